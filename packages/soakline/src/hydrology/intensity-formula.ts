import { refuseNegative, refuseUnlessPositive } from './method-limits.js'
import { power } from './power.js'
import type { RainRow } from './rainfall.js'

/** A fitted formula for the intensity of rain of one chance, i = a/(t + b)ⁿ with t in minutes and i in mm/h, as many countries publish it. */
export interface IntensityFormula {
  readonly a: number
  readonly b_min: number
  readonly n: number
}

/**
 * Intensity by a published fit. A fit is no measurement: use it only within the durations for which it was fitted.
 *
 * Units   min → mm/h.
 * Throws  `rain/bad-formula`, `rain/bad-duration`.
 */
export function formulaIntensity_mmh({ a, b_min, n }: IntensityFormula, duration_min: number): number {
  refuseUnlessPositive('rain/bad-formula', { a, n }, 'Give the constants of i = a/(t + b)^n for mm/h and minutes.')
  refuseNegative('rain/bad-formula', { b_min }, 'Give the constants of i = a/(t + b)^n for mm/h and minutes.')
  refuseUnlessPositive('rain/bad-duration', { duration_min }, 'Give minutes.')
  return a / power(duration_min + b_min, n)
}

/** Rows of a rain table from such a fit, at the durations for which it was made. Throws what `formulaIntensity_mmh` throws. */
export const formulaRows = (formula: IntensityFormula, chancePerYear: number, durations_min: readonly number[]): RainRow[] =>
  durations_min.map(minutes => ({
    duration_h: minutes / 60,
    chancePerYear,
    depth_mm: (formulaIntensity_mmh(formula, minutes) * minutes) / 60,
  }))
