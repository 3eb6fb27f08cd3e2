import { InputError, type Warning } from 'soakline/foundation'
import { type DailyRain, dailySums, dateOfDay, FEWEST_DAYS, type RainGap, rainGaps, type TimedRain } from 'soakline/hydrology'
import { inOrder, type RainSeriesOptions, type RainSeriesRow, readRainSeries } from './rain-series-table.js'

/** What `readDailyRain` may be told besides. */
export interface DailyRainOptions extends RainSeriesOptions {
  /** What a day, or a step, without a row means: `gap` (default), or `dry` in a record that lists rain alone. */
  readonly missing?: 'gap' | 'dry'
  /** What the record is, for reports. Default "a record of daily rain". */
  readonly source?: string
}

/** Rain of each day, and what was noticed on the way. */
export interface DailyRainReading {
  readonly rain: DailyRain
  /** Days without a reading, in order. */
  readonly gaps: readonly RainGap[]
  readonly warnings: readonly Warning[]
}

/** Longest stretch from the first day to the last that is taken: 300 years. Judgement. */
const MOST_DAYS = 110_000

/**
 * Reads a record of daily rain: `date,depth_mm` in several spellings, or readings within the day, which are summed to days of their own clock.
 *
 * Units    millimetres, inches, tenths of a millimetre or hundredths of an inch, by the header or by `unit`.
 * Laws     nothing is filled in: a day without a row or a reading is a gap and told, unless `missing` says that such days were dry.
 * Throws   InputError `rain-record/short-record` under 365 days with a reading, `rain-record/duplicate-day`, `rain-record/not-in-order`, `rain-record/uneven-steps`,
 *          `rain-record/mixed-times`, `rain-record/too-long`, and those of `readRainSeries`.
 */
export function readDailyRain(
  text: string,
  { missing = 'gap', source = 'a record of daily rain', ...table }: DailyRainOptions = {},
): DailyRainReading {
  const read = readRainSeries(text, table)
  const rows = inOrder(read.rows)
  const span = rows.at(-1)!.day - rows[0]!.day + 1
  if (span > MOST_DAYS)
    throw new InputError(
      'rain-record/too-long',
      `The record runs over ${span} days, from ${dateOfDay(rows[0]!.day)} to ${dateOfDay(rows.at(-1)!.day)}. Look for a wrong year.`,
      {
        rows: span,
      },
    )
  const rain = rows.every(({ minute }) => minute === null) ? byDay(rows, source, missing) : fromReadings(rows, source, missing)
  const gaps = rainGaps(rain)
  const known = rain.depths_mm.filter(depth => !Number.isNaN(depth)).length
  if (known < FEWEST_DAYS)
    throw new InputError(
      'rain-record/short-record',
      `The record has a reading on ${known} days; a year is asked for, better ten. Bring a longer record${missing === 'gap' ? ', or say that days without a row were dry' : ''}.`,
      { days: known, least: FEWEST_DAYS },
    )
  const warnings: Warning[] = []
  if (gaps.length > 0)
    warnings.push({
      code: 'rain-record/gaps',
      details: {
        days: rain.depths_mm.length - known,
        gaps: gaps.length,
        longest: Math.max(...gaps.map(gap => gap.days)),
        first: gaps[0]!.from,
      },
    })
  if (read.traces > 0) warnings.push({ code: 'rain-record/traces', details: { readings: read.traces } })
  if (read.columnsLeftOut.length > 0)
    warnings.push({ code: 'rain-record/columns-left-out', details: { columns: read.columnsLeftOut.join(', ').slice(0, 120) } })
  return { rain, gaps, warnings }
}

function byDay(rows: readonly RainSeriesRow[], source: string, missing: 'gap' | 'dry'): DailyRain {
  const first = rows[0]!.day
  const depths_mm = Array<number>(rows.at(-1)!.day - first + 1).fill(missing === 'dry' ? 0 : Number.NaN)
  for (const { day, depth_mm } of rows) depths_mm[day - first] = depth_mm
  return { firstDay: dateOfDay(first), depths_mm, source }
}

function fromReadings(rows: readonly RainSeriesRow[], source: string, missing: 'gap' | 'dry'): DailyRain {
  return dailySums(timed(rows), source, { step_h: stepOf_h(rows), missing })
}

/** Readings with a time of day. Throws `rain-record/mixed-times` where some rows have none. */
function timed(rows: readonly RainSeriesRow[]): TimedRain[] {
  return rows.map(({ day, minute, depth_mm, line }) => {
    if (minute === null)
      throw new InputError(
        'rain-record/mixed-times',
        `Line ${line} of the record has no time of day, others have. Give one to all or to none.`,
        {
          line,
        },
      )
    return { day, minute, depth_mm }
  })
}

/** The shortest time between readings, of which all others must be multiples. Throws `rain-record/uneven-steps`. */
function stepOf_h(rows: readonly RainSeriesRow[]): number {
  const at = (row: RainSeriesRow): number => row.day * 1440 + (row.minute ?? 0)
  let step = 1440
  for (let k = 1; k < rows.length; k++) step = Math.min(step, at(rows[k]!) - at(rows[k - 1]!))
  const odd = rows.find(row => Math.abs((at(row) - at(rows[0]!)) / step - Math.round((at(row) - at(rows[0]!)) / step)) > 1e-6)
  if (odd !== undefined)
    throw new InputError(
      'rain-record/uneven-steps',
      `Line ${odd.line} of the record does not lie on even steps of ${step} minutes from the first reading. Export it in even steps.`,
      { line: odd.line, step_min: step },
    )
  return step / 60
}
