import { expect } from 'vitest'

// Laws look at every cell of hundreds of rasters, millions of times. An `expect` takes some ten microseconds whether it holds or not: here it is
// made only where it does not.

/** As `expect(found).toBe(wanted)`. */
export function same<T>(found: T, wanted: NoInfer<T>, about?: string): void {
  if (!Object.is(found, wanted)) expect(found, about).toBe(wanted)
}

/** As `expect(found).toBeLessThanOrEqual(most)`. */
export function atMost(found: number | undefined, most: number): void {
  if (!(found! <= most)) expect(found).toBeLessThanOrEqual(most)
}

/** As `expect(found).toBeGreaterThanOrEqual(least)`. */
export function atLeast(found: number | undefined, least: number): void {
  if (!(found! >= least)) expect(found).toBeGreaterThanOrEqual(least)
}

/** As `expect(found).toBeLessThan(bound)`. */
export function below(found: number | undefined, bound: number): void {
  if (!(found! < bound)) expect(found).toBeLessThan(bound)
}

/** As `expect(found).toBeGreaterThan(bound)`. */
export function above(found: number | undefined, bound: number): void {
  if (!(found! > bound)) expect(found).toBeGreaterThan(bound)
}
