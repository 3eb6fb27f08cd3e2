import { InputError, type InputErrorCode, type Warning } from '../foundation/index.js'

/** A number of a method that holds only within published limits. Outside them there is no number, only the limits that were left. */
export interface Limited<Unit extends string = string> {
  /** Null exactly when `outsideLimits` is not empty. */
  readonly value: number | null
  readonly unit: Unit
  readonly outsideLimits: readonly Warning[]
  /** What the method says against its own number, though it still gives it. */
  readonly remarks: readonly Warning[]
}

/** Works a number out only when none of the limits of its method is left; nulls among limits and remarks are dropped. */
export function withinLimits<Unit extends string>(
  unit: Unit,
  limits: readonly (Warning | null)[],
  work: () => number,
  remarks: readonly (Warning | null)[] = [],
): Limited<Unit> {
  const outsideLimits = limits.filter(w => w !== null)
  return { value: outsideLimits.length === 0 ? work() : null, unit, outsideLimits, remarks: remarks.filter(w => w !== null) }
}

/** The limit that a measure leaves, as data; null within `least` to `most`, both included. `quantity` carries the unit of all three. */
export const outsideRange = (code: InputErrorCode, quantity: string, measured: number, least: number, most: number): Warning | null =>
  measured >= least && measured <= most ? null : { code, details: { quantity, measured, least, most } }

/** Refuses measures that are not finite numbers above 0; `next` says what to give instead. Throws what `code` says. */
export function refuseUnlessPositive(code: InputErrorCode, measures: Readonly<Record<string, number>>, next: string): void {
  for (const [name, measure] of Object.entries(measures))
    if (!(measure > 0 && measure < Infinity))
      throw new InputError(code, `${name} is ${measure}; it is a number above 0. ${next}`, { name, measure })
}

/** Refuses measures that are not finite numbers of 0 or more; `next` says what to give instead. Throws what `code` says. */
export function refuseNegative(code: InputErrorCode, measures: Readonly<Record<string, number>>, next: string): void {
  for (const [name, measure] of Object.entries(measures))
    if (!(measure >= 0 && measure < Infinity))
      throw new InputError(code, `${name} is ${measure}; it is a number of 0 or more. ${next}`, { name, measure })
}
