import { InputError } from '../foundation/index.js'
import { exponential, naturalLog } from './logarithm.js'
import { refuseUnlessPositive } from './method-limits.js'

/** How a rain table was made: from the largest storm of each year, or from all large storms, of which a year may hold several. */
export type RainSeries = 'annual-maximum' | 'partial-duration'

/**
 * Chance each year of a storm of an average recurrence interval. The two kinds differ noticeably below about 10 years only.
 *
 * Units   years → chance per year.
 * Throws  `rain/bad-interval` unless above 0, and above 1 for yearly maxima.
 * Source  1/T for yearly maxima; 1 − e^(−1/T) for all large storms: Langbein (1949) (from memory, unchecked).
 */
export function chanceOfInterval(interval_yr: number, series: RainSeries): number {
  refuseUnlessPositive('rain/bad-interval', { interval_yr }, 'Give the average years between such storms.')
  if (series === 'partial-duration') return 1 - exponential(-1 / interval_yr)
  if (interval_yr < 1)
    throw new InputError(
      'rain/bad-interval',
      `The largest storm of each year cannot come back after ${interval_yr} years; give 1 or more.`,
      {
        interval_yr,
      },
    )
  return 1 / interval_yr
}

/**
 * Chance that something of a chance each year happens at least once in a number of years, each year on its own.
 *
 * Units   chance per year, years → chance.
 * Laws    more years never give less; one year gives the chance itself (to rounding).
 * Throws  `rain/bad-chance` outside 0–1; `rain/bad-years` unless a number of 0 or more.
 * Source  1 − (1 − p)ⁿ, derived.
 */
export function chanceOverYears(chancePerYear: number, years: number): number {
  if (!(chancePerYear >= 0 && chancePerYear <= 1))
    throw new InputError('rain/bad-chance', `A chance of ${chancePerYear} each year; it lies between 0 and 1 (4 % is 0.04).`, {
      chancePerYear,
    })
  if (!(years >= 0 && years < Infinity))
    throw new InputError('rain/bad-years', `The chance over ${years} years; give a number of 0 or more.`, { years })
  return years === 0 ? 0 : 1 - exponential(years * naturalLog(1 - chancePerYear))
}
