import { InputError } from '../foundation/index.js'
import { type DayNumber, dateOfDay, dayOfDate } from './calendar-day.js'

/** Rain of each day, in order, none left out. */
export interface DailyRain {
  /** `YYYY-MM-DD`. */
  readonly firstDay: string
  /** NaN for a day that nobody measured: a gap is no dry day. */
  readonly depths_mm: readonly number[]
  readonly source: string
}

/** Days without a reading, one after another. */
export interface RainGap {
  readonly from: string
  readonly to: string
  readonly days: number
}

/** Gaps of a record, in order. */
export function rainGaps({ firstDay, depths_mm }: DailyRain): RainGap[] {
  const first = dayOfDate(firstDay)
  const gaps: RainGap[] = []
  for (let k = 0; k < depths_mm.length; k++) {
    if (!Number.isNaN(depths_mm[k])) continue
    const begin = k
    while (k + 1 < depths_mm.length && Number.isNaN(depths_mm[k + 1])) k++
    gaps.push({ from: dateOfDay(first + begin), to: dateOfDay(first + k), days: k - begin + 1 })
  }
  return gaps
}

/** Rain read at a time of day: what fell in one step. */
export interface TimedRain {
  readonly day: DayNumber
  /** Minutes after midnight. */
  readonly minute: number
  /** NaN where the gauge gave none. */
  readonly depth_mm: number
}

/** What `dailySums` may be told besides. */
export interface DailySumOptions {
  /** Step of the readings. */
  readonly step_h: number
  /** What a step without a reading means: `gap` (default), or `dry` in a record that lists rain alone. */
  readonly missing?: 'gap' | 'dry'
}

/**
 * Readings within the day summed to days, midnight to midnight of their own clock.
 *
 * Shapes  readings in order of time, none twice.
 * Laws    what fell is what the days hold; a day lacking a step is a gap unless missing steps are dry.
 * Throws  `rain/no-steps`, `rain/bad-step`, `rain/negative-depth`, `rain-record/not-in-order`.
 */
export function dailySums(readings: readonly TimedRain[], source: string, { step_h, missing = 'gap' }: DailySumOptions): DailyRain {
  if (readings.length === 0) throw new InputError('rain/no-steps', 'The record holds no reading; give the depth of each step.', {})
  const perDay = 24 / step_h
  if (!(step_h > 0 && Number.isInteger(Math.round(perDay * 1e6) / 1e6)))
    throw new InputError('rain/bad-step', `Readings every ${step_h} h do not make up a day; give a step that divides 24 h.`, {
      name: 'step_h',
      measure: step_h,
    })
  const first = readings[0]!.day
  const sums = new Float64Array(readings.at(-1)!.day - first + 1)
  const counts = new Uint32Array(sums.length)
  for (const [k, { day, minute, depth_mm }] of readings.entries()) {
    const before = readings[k - 1]
    if (before && !(day > before.day || (day === before.day && minute > before.minute)))
      throw new InputError(
        'rain-record/not-in-order',
        `Reading ${k + 1} of the record does not come after the one before it; sort the record by time.`,
        {
          reading: k + 1,
        },
      )
    if (depth_mm < 0 || depth_mm === Infinity)
      throw new InputError(
        'rain/negative-depth',
        `Reading ${k + 1} of the record has the depth ${depth_mm} mm; each needs a depth of 0 or more.`,
        {
          step: k + 1,
          depth_mm,
        },
      )
    sums[day - first]! += depth_mm
    counts[day - first]!++
  }
  const whole = Math.round(perDay)
  return {
    firstDay: dateOfDay(first),
    depths_mm: Array.from(sums, (sum, k) => (missing === 'dry' || counts[k]! >= whole ? sum : Number.NaN)),
    source: `${source}; summed from readings every ${step_h} h${missing === 'dry' ? ', hours without a reading taken as dry' : ''}`,
  }
}
