import { InputError, MM_PER_INCH } from 'soakline/foundation'
import { type Hyetograph, measuredHyetograph } from 'soakline/hydrology'
import { inOrder, type RainSeriesOptions, readRainSeries } from './rain-series-table.js'
import { linesOf, separatorOf } from './table-text.js'

/** What `readMeasuredStorm` may be told besides. */
export interface MeasuredStormOptions extends RainSeriesOptions {
  /** What the record is, for reports. Default "a storm as measured". */
  readonly source?: string
}

const HOURS = /^(?:time|t|tiempo)_(h|hr|hours|min|minutes)$/i
const DEPTHS = /^(depth|rain|precipitation|lluvia|cumulative|sum|acumulado|intensity|intensidad)_(mm|in|mmh|inh)$/i
const PER_HOUR: Readonly<Record<string, number>> = { h: 1, hr: 1, hours: 1, min: 1 / 60, minutes: 1 / 60 }

/**
 * Reads a storm as a gauge measured it: time and depth in even steps. `time_h` or `time_min` from its beginning, or a clock as in `readRainSeries`;
 * `depth_mm` or `depth_in` fallen in the step, `cumulative_mm` fallen so far (its first row is 0, when the storm begins), or `intensity_mmh`.
 *
 * Laws    a step that is missing or has no reading is refused: a gap in a storm is no dry spell.
 * Throws  InputError `rain-record/uneven-steps`, `rain-record/gap-in-storm`, `rain-record/cumulative`, `rain-record/empty`, `rain-record/header`, `rain-record/number`, `rain-record/duplicate-day`,
 *         `rain-record/not-in-order`, and those of `readRainSeries` and `measuredHyetograph`.
 */
export function readMeasuredStorm(text: string, { source = 'a storm as measured', ...table }: MeasuredStormOptions = {}): Hyetograph {
  const elapsed = elapsedRows(text)
  if (elapsed !== null) return stormOf(elapsed.rows, elapsed.kind, source)
  const rows = inOrder(readRainSeries(text, table).rows)
  return stormOf(
    rows.map(({ line, day, minute, depth_mm }) => ({ line, time_h: day * 24 + (minute ?? 0) / 60, value: depth_mm })),
    'depth',
    source,
  )
}

interface StormRow {
  readonly line: number
  readonly time_h: number
  readonly value: number
}
type StormKind = 'depth' | 'cumulative' | 'intensity'

/** A table of hours or minutes from the beginning; null where the header is another. */
function elapsedRows(text: string): { rows: StormRow[]; kind: StormKind } | null {
  const lines = linesOf(text)
  const head = lines[0]?.line ?? ''
  const separator = separatorOf(head)
  const names = head.split(separator).map(cell => cell.trim())
  const time = names.map(name => HOURS.exec(name)).find(found => found)
  const depth = names.map(name => DEPTHS.exec(name)).find(found => found)
  if (!time) return null
  if (!depth || names.length !== 2)
    throw new InputError(
      'rain-record/header',
      `The header of the storm is "${head.slice(0, 120)}". Expected: time_min,depth_mm (or cumulative_mm, intensity_mmh).`,
      {
        header: names.slice(0, 20).map(name => name.slice(0, 40)),
      },
    )
  const [what, unit] = [depth[1]!.toLowerCase(), depth[2]!.toLowerCase()]
  const kind: StormKind = /^(cumulative|sum|acumulado)$/.test(what) ? 'cumulative' : /^intensi/.test(what) ? 'intensity' : 'depth'
  if ((kind === 'intensity') !== unit.endsWith('h'))
    throw new InputError(
      'rain-record/header',
      `The column "${depth[0]}" names a ${kind} in ${unit}; an intensity is in mmh or inh, a depth in mm or in.`,
      {
        header: names.slice(0, 20),
      },
    )
  const at = names.findIndex(name => DEPTHS.test(name))
  const number = (raw: string, line: number, column: string): number => {
    const plain = separator === ',' ? raw.trim() : raw.trim().replace(',', '.')
    if (!/^(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain))
      throw new InputError(
        'rain-record/number',
        `"${raw.slice(0, 40)}" in line ${line} of the storm (${column}) is not a number of 0 or more.`,
        {
          line,
          column,
        },
      )
    return Number(plain)
  }
  const rows = lines.slice(1).map(({ line, row: n }): StormRow => {
    const cells = line.split(separator)
    if (cells.length !== 2)
      throw new InputError(
        'rain-record/number',
        `Line ${n} of the storm has ${cells.length} cells, not 2. Mind decimal commas: they need semicolons.`,
        {
          line: n,
          column: '',
        },
      )
    return {
      line: n,
      time_h: number(cells[1 - at]!, n, 'time') * PER_HOUR[time[1]!.toLowerCase()]!,
      value: number(cells[at]!, n, what) * (unit.startsWith('in') ? MM_PER_INCH : 1),
    }
  })
  return { rows, kind }
}

function stormOf(rows: readonly StormRow[], kind: StormKind, source: string): Hyetograph {
  if (rows.length < 2)
    throw new InputError('rain-record/empty', 'A storm needs two readings or more; its step is the time between them.', {})
  const step_h = rows[1]!.time_h - rows[0]!.time_h
  for (const [k, { line, time_h, value }] of rows.entries()) {
    const expected = rows[0]!.time_h + k * step_h
    if (!(step_h > 0) || Math.abs(time_h - expected) > 1e-3 * step_h)
      throw new InputError(
        'rain-record/uneven-steps',
        `Line ${line} of the storm does not follow in even steps of ${step_h * 60} minutes. Give every step once, dry ones with 0.`,
        { line, step_min: step_h * 60 },
      )
    if (Number.isNaN(value))
      throw new InputError(
        'rain-record/gap-in-storm',
        `Line ${line} of the storm has no reading; a gap is no dry spell. Fill it or cut the storm there.`,
        { line },
      )
  }
  if (kind === 'depth')
    return measuredHyetograph(
      step_h,
      rows.map(row => row.value),
      source,
    )
  if (kind === 'intensity')
    return measuredHyetograph(
      step_h,
      rows.map(row => row.value * step_h),
      source,
    )
  const falling = rows.find(({ value }, k) => k > 0 && value < rows[k - 1]!.value)
  if (rows[0]!.value !== 0 || falling !== undefined)
    throw new InputError(
      'rain-record/cumulative',
      `Rain fallen so far begins with 0 and never falls; line ${(falling ?? rows[0]!).line} does not fit. Is it the depth of each step?`,
      { line: (falling ?? rows[0]!).line },
    )
  return measuredHyetograph(
    step_h,
    rows.slice(1).map(({ value }, k) => value - rows[k]!.value),
    source,
  )
}
