import { InputError, MM_PER_INCH } from 'soakline/foundation'
import { type DayNumber, dateOfDay, dayNumber } from 'soakline/hydrology'
import { cellsOf, linesOf, separatorOf } from './table-text.js'

/** In what order a date such as 03/04/2020 is written. */
export type DateOrder = 'day-month-year' | 'month-day-year'
/** Units of a depth of rain as gauges and archives write it. */
export const RAIN_UNITS = ['mm', 'cm', 'in', 'tenths-mm', 'hundredths-in'] as const
/** Unit of a rain table. */
export type RainUnit = (typeof RAIN_UNITS)[number]

const MM_PER: Readonly<Record<RainUnit, number>> = { mm: 1, cm: 10, in: MM_PER_INCH, 'tenths-mm': 0.1, 'hundredths-in': MM_PER_INCH / 100 }

/** What `readRainSeries` may be told besides. */
export interface RainSeriesOptions {
  /** Of dates that are not written year first; without it such dates are refused. */
  readonly dateOrder?: DateOrder
  /** Of the depths where the header names none; where it does, the two must agree. */
  readonly unit?: RainUnit
  /** The column of depths, where several could be meant. */
  readonly depthColumn?: string
}

/** One row of a record: its time on its own clock, or hours from a start; NaN for a depth that is missing. */
export interface RainSeriesRow {
  readonly line: number
  readonly day: DayNumber
  /** Minutes after midnight; null in a table of days. */
  readonly minute: number | null
  readonly depth_mm: number
}

/** A record of rain as its table holds it. */
export interface RainSeriesTable {
  readonly rows: readonly RainSeriesRow[]
  readonly unit: RainUnit
  readonly traces: number
  readonly columnsLeftOut: readonly string[]
}

const DATE_NAMES = ['date', 'day', 'fecha', 'dia', 'día', 'obs_date', 'observation_date']
const TIME_NAMES = ['time', 'datetime', 'date_time', 'timestamp', 'ob', 'hora', 'fecha_hora', 'valid', 'date/time']
const DEPTH_NAMES = ['depth', 'rain', 'rainfall', 'precip', 'precipitation', 'prcp', 'ppt', 'lluvia', 'precipitacion', 'precipitación']
const UNIT_NAMES: Readonly<Record<string, RainUnit>> = {
  mm: 'mm',
  millimeters: 'mm',
  millimetres: 'mm',
  cm: 'cm',
  in: 'in',
  inch: 'in',
  inches: 'in',
  '0.1mm': 'tenths-mm',
  tenths_mm: 'tenths-mm',
  tenths_of_mm: 'tenths-mm',
  '0.01in': 'hundredths-in',
  hundredths_in: 'hundredths-in',
  hundredths_of_in: 'hundredths-in',
}
const MISSING = new Set([
  '',
  'na',
  'n/a',
  'nan',
  'null',
  'none',
  '-',
  '--',
  'm',
  '-99',
  '-999',
  '-9999',
  '-99.9',
  '-999.9',
  '-99.99',
  '-999.99',
])
const TRACE = new Set(['t', 'trace'])
/** More readings than a gauge gives in many years. Judgement. */
const MAX_ROWS = 2_000_000
/** No day has had more: 1825 mm in 24 h on La Réunion (from memory); rounded up. */
const MOST_mm = 2000

/**
 * Rows of a table of measured rain, as they stand.
 *
 * Commas, or semicolons or tabs with decimal commas; a byte-order mark, either line ending and lines that begin with # are taken. Dates with the year
 * first, or with `dateOrder`. A blank, NA, −999 and the like is a missing depth, T a trace: none that could be measured.
 *
 * Throws  InputError `rain-record/empty`, `rain-record/too-long`, `rain-record/header`, `rain-record/several-columns`, `rain-record/unit-unknown`, `rain-record/unit-contradiction`,
 *         `rain-record/number`, `rain-record/out-of-range`, `rain-record/date`, `rain-record/date-order`, `rain-record/mixed-zones`; lines are named.
 */
export function readRainSeries(text: string, { dateOrder, unit, depthColumn }: RainSeriesOptions = {}): RainSeriesTable {
  const lines = linesOf(text)
  const head = lines[0]
  if (!head) throw new InputError('rain-record/empty', 'The record of rain is empty. It begins with the line date,depth_mm.')
  if (lines.length > MAX_ROWS)
    throw new InputError(
      'rain-record/too-long',
      `The record has ${lines.length} rows, more than ${MAX_ROWS}. Cut it to some tens of years.`,
      {
        rows: lines.length,
      },
    )
  const separator = separatorOf(head.line)
  const header = cellsOf(head.line, separator)
  const columns = layout(header, depthColumn)
  if (columns.unit !== null && unit !== undefined && columns.unit !== unit)
    throw new InputError(
      'rain-record/unit-contradiction',
      `The header says ${columns.unit}, the question was answered with ${unit}. Give one.`,
      {
        header: columns.unit,
        given: unit,
      },
    )
  const depthUnit = columns.unit ?? unit
  if (depthUnit === undefined)
    throw new InputError(
      'rain-record/unit-unknown',
      `The column "${header[columns.depth]}" does not say whether it is in millimetres or inches. Say the unit, or name the column depth_mm or depth_in.`,
      { column: header[columns.depth]!.slice(0, 40), allowed: [...RAIN_UNITS] },
    )
  let traces = 0
  let zone: string | null = null
  const rows = lines.slice(1).map(({ line, row: number }): RainSeriesRow => {
    const cells = cellsOf(line, separator)
    if (cells.length <= Math.max(columns.date, columns.time ?? 0, columns.depth) || cells.length > header.length)
      throw new InputError(
        'rain-record/number',
        `Line ${number} of the record has ${cells.length} cells, the header ${header.length}. Mind decimal commas: they need semicolons between the columns.`,
        { line: number, column: '' },
      )
    const written = columns.time === null ? cells[columns.date]! : `${cells[columns.date]} ${cells[columns.time]}`
    const moment = momentOf(written, dateOrder, number)
    if (zone !== null && moment.zone !== zone)
      throw new InputError(
        'rain-record/mixed-zones',
        `Line ${number} of the record is in another time zone than those before it ("${moment.zone}" after "${zone}"). Export it in one clock, without daylight saving.`,
        { line: number },
      )
    zone = moment.zone
    const raw = cells[columns.depth]!
    if (TRACE.has(raw.toLowerCase())) traces++
    return { line: number, day: moment.day, minute: moment.minute, depth_mm: depthOf(raw, separator, number, MM_PER[depthUnit]) }
  })
  if (rows.length === 0) throw new InputError('rain-record/empty', 'The record of rain has a header and no rows.')
  const used = new Set([columns.date, columns.time, columns.depth])
  return { rows, unit: depthUnit, traces, columnsLeftOut: header.filter((_, k) => !used.has(k)) }
}

/** The rows in order of time: a record written newest first is turned round. Throws `rain-record/not-in-order`, `rain-record/duplicate-day` (or time), with both lines. */
export function inOrder(rows: readonly RainSeriesRow[]): readonly RainSeriesRow[] {
  const when = ({ day, minute }: RainSeriesRow): number => day * 1440 + (minute ?? 0)
  const sorted = rows.length > 1 && when(rows[0]!) > when(rows.at(-1)!) ? [...rows].reverse() : rows
  for (let k = 1; k < sorted.length; k++) {
    const [before, row] = [sorted[k - 1]!, sorted[k]!]
    if (when(row) === when(before))
      throw new InputError(
        'rain-record/duplicate-day',
        `Lines ${before.line} and ${row.line} of the record are of the same time (${dateOfDay(row.day)}). Keep one.`,
        {
          lines: [before.line, row.line],
          day: dateOfDay(row.day),
        },
      )
    if (when(row) < when(before))
      throw new InputError(
        'rain-record/not-in-order',
        `Line ${row.line} of the record does not come after line ${before.line}; sort the record by time.`,
        {
          lines: [before.line, row.line],
        },
      )
  }
  return sorted
}

/** Whether a header, as read, has a day or a moment and a depth of rain among its columns. */
export function isRainRecord(header: string): boolean {
  const cells = cellsOf(header.trim(), separatorOf(header)).map(cell => cell.toLowerCase())
  return cells.some(name => DATE_NAMES.includes(name) || TIME_NAMES.includes(name)) && cells.some(name => depthNamed(name) !== null)
}

interface Layout {
  readonly date: number
  readonly time: number | null
  readonly depth: number
  readonly unit: RainUnit | null
}

function layout(header: readonly string[], depthColumn: string | undefined): Layout {
  const names = header.map(cell => cell.toLowerCase())
  const dates = names.flatMap((name, k) => (DATE_NAMES.includes(name) ? [k] : []))
  const times = names.flatMap((name, k) => (TIME_NAMES.includes(name) ? [k] : []))
  const depths = names.flatMap((name, k) => {
    const found =
      depthColumn === undefined ? depthNamed(name) : name === depthColumn.toLowerCase() ? (depthNamed(name) ?? { unit: null }) : null
    return found ? [{ at: k, unit: found.unit }] : []
  })
  const date = dates[0] ?? times[0]
  if (date === undefined || depths.length === 0 || dates.length > 1 || times.length > 1)
    throw new InputError(
      'rain-record/header',
      `The header of the record is "${header.join(',').slice(0, 120)}". Expected: date,depth_mm (or rain_in, precipitation and so on; with a time of day, time as well).`,
      { header: header.slice(0, 20).map(cell => cell.slice(0, 40)) },
    )
  if (depths.length > 1)
    throw new InputError(
      'rain-record/several-columns',
      `Several columns could be the rain: ${depths
        .map(({ at }) => header[at])
        .join(', ')
        .slice(0, 120)}. Say which, or leave one in the file.`,
      { columns: depths.map(({ at }) => header[at]!.slice(0, 40)) },
    )
  return { date, time: dates.length > 0 ? (times[0] ?? null) : null, depth: depths[0]!.at, unit: depths[0]!.unit }
}

/** A header's cell, such as `rain_mm` or `Precipitation (0.01 in)`: null where it is no depth of rain. */
function depthNamed(cell: string): { readonly unit: RainUnit | null } | null {
  const parts = /^(.*?)\s*[([]\s*([^)\]]*?)\s*[)\]]$/.exec(cell)
  if (parts) {
    if (!DEPTH_NAMES.includes(parts[1]!)) return null
    const unit = UNIT_NAMES[parts[2]!.replace(/\s+/g, '')]
    return unit === undefined ? null : { unit }
  }
  const name = DEPTH_NAMES.find(known => cell === known || cell.startsWith(`${known}_`))
  if (name === undefined) return null
  if (cell === name) return { unit: null }
  const unit = UNIT_NAMES[cell.slice(name.length + 1)]
  return unit === undefined ? null : { unit }
}

function depthOf(raw: string, separator: string, line: number, perUnit_mm: number): number {
  const plain = separator === ',' ? raw : raw.replace(',', '.')
  const low = plain.toLowerCase()
  if (MISSING.has(low) || /^-9{2,4}(\.0+)?$/.test(low)) return Number.NaN
  if (TRACE.has(low)) return 0
  if (!/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain))
    throw new InputError(
      'rain-record/number',
      `"${raw.slice(0, 40)}" in line ${line} of the record (depth) is not a number. Leave it blank where nothing was read.`,
      {
        line,
        column: 'depth',
      },
    )
  const depth_mm = Number(plain) * perUnit_mm
  if (!(depth_mm >= 0 && depth_mm <= MOST_mm))
    throw new InputError(
      'rain-record/out-of-range',
      `Line ${line} of the record has ${depth_mm} mm of rain; a reading lies from 0 to ${MOST_mm} mm. Look at the unit, or leave it blank where nothing was read.`,
      { line, depth_mm },
    )
  return depth_mm
}

/** A date, with or without a time of day and a zone. */
function momentOf(written: string, order: DateOrder | undefined, line: number): { day: DayNumber; minute: number | null; zone: string } {
  const refuse = (why: string): InputError =>
    new InputError(
      'rain-record/date',
      `"${written.slice(0, 40)}" in line ${line} of the record is no date: ${why}. Write year-month-day, as 2024-02-29.`,
      { line },
    )
  const parts =
    /^(\d{1,4})([-/.]?)(\d{1,2})\2(\d{1,4})(?:[T\s]+(\d{1,2}):(\d{2})(?::(\d{2})(?:\.\d+)?)?\s*(Z|UTC|GMT|[+-]\d{2}:?\d{2})?)?$/i.exec(
      written.trim(),
    )
  if (!parts) throw refuse('it is not understood')
  const [, a, sign, b, c] = parts as unknown as [string, string, string, string, string]
  let [year, month, day] = [Number(a), Number(b), Number(c)]
  if (a.length !== 4 || (sign === '' && (b.length !== 2 || c.length !== 2))) {
    if (sign === '' || c.length !== 4) throw refuse('the year needs four figures')
    if (order === undefined)
      throw new InputError(
        'rain-record/date-order',
        `Line ${line} of the record is dated ${written.slice(0, 40)}, which could be day or month first. Say which, or write the year first.`,
        { line, allowed: ['day-month-year', 'month-day-year'] },
      )
    ;[year, month, day] = order === 'day-month-year' ? [Number(c), Number(b), Number(a)] : [Number(c), Number(a), Number(b)]
  }
  const [hour, minute, second] = [Number(parts[5] ?? 0), Number(parts[6] ?? 0), Number(parts[7] ?? 0)]
  if (hour > 24 || minute > 59 || second > 59 || (hour === 24 && minute + second > 0)) throw refuse('the time of day is out of range')
  let number: DayNumber
  try {
    number = dayNumber(year, month, day)
  } catch {
    throw refuse('the calendar has no such day')
  }
  const minutes = parts[5] === undefined ? null : hour * 60 + minute + second / 60
  return {
    day: number + (hour === 24 ? 1 : 0),
    minute: minutes === null ? null : hour === 24 ? 0 : minutes,
    zone: (parts[8] ?? '').toUpperCase(),
  }
}
