import fc from 'fast-check'
import { contourInterval_m } from 'soakline/terrain'
import { expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'

fc.configureGlobal({ seed: 31, numRuns: 300 })

test.each([
  [0.05, 0.01],
  [0.4, 0.01],
  [0.41, 0.02],
  [0.8, 0.02],
  [1, 0.05],
  [2, 0.05],
  [3, 0.1],
  [4, 0.1],
  [10, 0.5],
  [40, 1],
  [50, 2],
  [100, 5],
  [1000, 50],
  [8848, 500],
] as const)('heights that differ by %s m: a line every %s m', (range_m, interval_m) => {
  expect(contourInterval_m(range_m)).toBe(interval_m)
})

test('level ground, and a range that is none, have lines every metre: there is nothing to choose by', () => {
  for (const range of [0, -3, Number.NaN]) expect(contourInterval_m(range)).toBe(1)
})

test('law: 1, 2 or 5 times a power of ten; 16 to 40 lines, fewer only where 1 cm would give fewer', () =>
  fc.assert(
    fc.property(evenly(-2, 4), power => {
      const range_m = 10 ** power
      const interval_m = contourInterval_m(range_m)
      expect(interval_m.toExponential()).toMatch(/^[125]e/)
      expect(interval_m).toBeGreaterThanOrEqual(0.01)
      expect(range_m / interval_m).toBeLessThanOrEqual(40 + 1e-9)
      if (interval_m > 0.01) expect(range_m / interval_m).toBeGreaterThan(16 - 1e-9)
    }),
  ))
