import { InputError, MM_PER_INCH } from 'soakline/foundation'
import { chanceOfInterval, type RainSeries } from 'soakline/hydrology'
import type { RainRow } from './rain-csv.js'

/** Design rain of one point, with what its file says of itself. */
export interface PrecipitationFrequency {
  readonly rows: RainRow[]
  readonly series: RainSeries
  /** The file's own name for its edition, such as its first lines give it. */
  readonly source: string
  readonly latitude: number | null
  readonly longitude: number | null
}

const MARK = 'PRECIPITATION FREQUENCY ESTIMATES'
const MAX_LINES = 2000

/** Whether a text is such a file: by the line that stands over its table. */
export const looksLikePrecipitationFrequency = (text: string): boolean => text.slice(0, 5000).toUpperCase().includes(MARK)

/**
 * Reads the point precipitation frequency estimates of NOAA Atlas 14 as its server gives them out: depths or intensities, inches or millimetres,
 * of yearly maxima or of all large storms. Intervals become chances by `chanceOfInterval`.
 *
 * Units   h, chance per year, mm.
 * Laws    each row of the file becomes one row for each of its intervals; nothing is interpolated.
 * Throws  InputError `rain/not-frequency-table` (no such table, or no unit, kind or series stated), `rain/number`, `rain/empty`, `rain/too-long`.
 * Source  NOAA Atlas 14 point files, layout read from one whole file (Volume 9).
 */
export function readPrecipitationFrequency(text: string): PrecipitationFrequency {
  const lines = text
    .replace(/^\uFEFF/, '')
    .split(/\r\n|\n|\r/)
    .map(line => line.trim())
  if (lines.length > MAX_LINES)
    throw new InputError('rain/too-long', `The table has ${lines.length} lines; such files have about fifty.`, { rows: lines.length })
  const stated = (name: RegExp): string | null =>
    lines.map(line => name.exec(line)?.[1]?.trim() ?? null).find(found => found !== null) ?? null
  const refuse = (what: string): InputError =>
    new InputError('rain/not-frequency-table', `The file of point precipitation frequencies ${what}. Download it again, with its header.`, {
      what,
    })
  const head = lines.findIndex(line => line.toUpperCase().startsWith(MARK))
  const ages = lines.findIndex((line, k) => k > head && /^by duration for ARI/i.test(line))
  if (head < 0 || ages < 0) throw refuse('has no line "by duration for ARI (years)"')
  const unit = /\((inches|millimeters|millimetres|mm|in)\b/i.exec(lines[0] ?? '')?.[1]?.toLowerCase()
  const kind = stated(/^Data type:\s*(.*)$/i)?.toLowerCase() ?? ''
  const maxima = stated(/^Time series type:\s*(.*)$/i)?.toLowerCase() ?? ''
  const perUnit_mm = unit === undefined ? null : unit.startsWith('in') ? MM_PER_INCH : 1
  if (perUnit_mm === null) throw refuse('does not say in its first line whether it is in inches or millimetres')
  if (!/depth|intensity/.test(kind)) throw refuse('does not say whether it holds depths or intensities')
  if (!/partial|annual/.test(maxima)) throw refuse('does not say of which series its storms are')
  const series: RainSeries = maxima.includes('partial') ? 'partial-duration' : 'annual-maximum'
  const cells = (line: string, number: number): number[] =>
    line
      .slice(line.indexOf(':') + 1)
      .split(',')
      .map(cell => cell.trim())
      .filter(cell => cell !== '')
      .map(cell => {
        if (!/^\d+(\.\d+)?$/.test(cell))
          throw new InputError('rain/number', `"${cell.slice(0, 40)}" in line ${number} of the rain table is not a number.`, {
            line: number,
            column: '',
          })
        return Number(cell)
      })
  const intervals = cells(lines[ages]!.replace(/^[^:]*:/, ':'), ages + 1)
  const rows: RainRow[] = []
  for (let k = ages + 1; k < lines.length; k++) {
    const duration = /^(\d+)-(min|hr|day):/.exec(lines[k]!)
    if (!duration) break
    const duration_h = Number(duration[1]) * { min: 1 / 60, hr: 1, day: 24 }[duration[2] as 'min' | 'hr' | 'day']
    const values = cells(lines[k]!, k + 1)
    if (values.length !== intervals.length)
      throw new InputError('rain/number', `Line ${k + 1} of the rain table has ${values.length} cells, the header ${intervals.length}.`, {
        line: k + 1,
      })
    for (const [n, value] of values.entries())
      rows.push({
        duration_h,
        // The largest storm of each year has no interval of one year: the file leaves it out.
        chancePerYear: chanceOfInterval(intervals[n]!, series),
        depth_mm: value * perUnit_mm * (kind.includes('intensity') ? duration_h : 1),
      })
  }
  if (rows.length === 0) throw new InputError('rain/empty', 'The table of precipitation frequencies has a header and no rows.')
  const degrees = (name: RegExp): number | null => {
    const value = Number.parseFloat(stated(name) ?? '')
    return Number.isFinite(value) ? value : null
  }
  return {
    rows,
    series,
    source: (lines[1] ?? '').slice(0, 120),
    latitude: degrees(/^Latitude:\s*(.*)$/i),
    longitude: degrees(/^Longitude:\s*(.*)$/i),
  }
}
