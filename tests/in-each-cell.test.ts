import { expect, test } from 'vitest'
import { above, atLeast, atMost, below, same } from './helpers/in-each-cell.js'

// What the laws of every cell rest on fails where `expect` does.

const NUMBERS = [Number.NEGATIVE_INFINITY, -1, -0, 0, 1e-300, 1, Number.POSITIVE_INFINITY, Number.NaN]
type Check = (found: number, other: number) => void
const fails = (check: () => void): boolean => {
  try {
    check()
    return false
  } catch {
    return true
  }
}

test.each([
  ['same', same, (a: number, b: number) => expect(a).toBe(b)],
  ['atMost', atMost, (a: number, b: number) => expect(a).toBeLessThanOrEqual(b)],
  ['atLeast', atLeast, (a: number, b: number) => expect(a).toBeGreaterThanOrEqual(b)],
  ['below', below, (a: number, b: number) => expect(a).toBeLessThan(b)],
  ['above', above, (a: number, b: number) => expect(a).toBeGreaterThan(b)],
] satisfies [string, Check, Check][])('%s fails where expect fails, and only there', (_name, check, asked) => {
  for (const a of NUMBERS)
    for (const b of NUMBERS)
      expect(
        fails(() => check(a, b)),
        `${a}, ${b}`,
      ).toBe(fails(() => asked(a, b)))
  expect(fails(() => check(undefined as unknown as number, 1))).toBe(true)
})
