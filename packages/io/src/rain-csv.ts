import { InputError, MM_PER_INCH, type Warning } from 'soakline/foundation'
import { cellsOf } from './table-text.js'

/** One line of a table of design rain. */
export interface RainRow {
  readonly duration_h: number
  /** Chance that this depth is reached or passed in any one year, 0–1. */
  readonly chancePerYear: number
  readonly depth_mm: number
}

const EXPECTED = 'duration_h,chance_per_year,depth_mm'
const COLUMNS = ['duration_h', 'chance_per_year', 'return_period_yr', 'depth_mm', 'depth_in']
/** More rows than any station has. Judgement. */
const MAX_ROWS = 10_000
/** Rain beyond these has never been measured: 1.825 m in a day, 26.5 m in a year (La Réunion, Cherrapunji; from memory). */
const DEEPEST_mm = 30_000

/**
 * Reads a table of design rain: `duration_h,chance_per_year,depth_mm`.
 *
 * `return_period_yr` may stand for the chance (chance = 1 / return period), `depth_in` for `depth_mm`; columns may be in any order.
 * Commas, or semicolons with decimal commas; a byte-order mark and either line ending are taken.
 *
 * Laws    For one chance the depth never falls with the duration; for one duration it never falls with rarity.
 * Throws  InputError `rain/header`, `rain/number`, `rain/out-of-range`, `rain/duplicate`, `rain/not-monotone`, `rain/empty`, `rain/too-long`.
 */
export function readRainTable(text: string): { rows: RainRow[]; warnings: Warning[] } {
  const lines = text
    .replace(/^\uFEFF/, '')
    .split(/\r\n|\n|\r/)
    .map((line, k) => ({ line: line.trim(), number: k + 1 }))
    .filter(({ line }) => line !== '')
  const first = lines[0]
  if (!first) throw new InputError('rain/empty', `The rain table is empty. It begins with the line ${EXPECTED}.`)
  if (lines.length - 1 > MAX_ROWS)
    throw new InputError('rain/too-long', `The rain table has ${lines.length - 1} rows; ${MAX_ROWS} are enough for any station.`, {
      rows: lines.length - 1,
    })
  const separator = first.line.includes(';') ? ';' : ','
  const header = cellsOf(first.line, separator).map(name => name.toLowerCase())
  const column = headerColumns(header)

  const rows = lines.slice(1).map(({ line, number }) => {
    const values = cellsOf(line, separator)
    if (values.length !== header.length) {
      throw new InputError(
        'rain/number',
        `Line ${number} of the rain table has ${values.length} cells, the header ${header.length}. Mind decimal commas: they need semicolons between the columns.`,
        {
          line: number,
        },
      )
    }
    const value = (name: string): number => {
      const raw = values[column.get(name)!]!
      const parsed = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(separator === ';' ? raw.replace(',', '.') : raw)
        ? Number(separator === ';' ? raw.replace(',', '.') : raw)
        : Number.NaN
      if (Number.isNaN(parsed))
        throw new InputError('rain/number', `"${raw.slice(0, 40)}" in line ${number} of the rain table (${name}) is not a number.`, {
          line: number,
          column: name,
        })
      return parsed
    }
    const duration_h = value('duration_h')
    const chancePerYear = column.has('chance_per_year') ? value('chance_per_year') : 1 / value('return_period_yr')
    const depth_mm = column.has('depth_mm') ? value('depth_mm') : value('depth_in') * MM_PER_INCH
    const refuse = (what: string): never => {
      throw new InputError('rain/out-of-range', `Line ${number} of the rain table: ${what}.`, { line: number })
    }
    if (!(duration_h > 0) || duration_h > 24 * 366) refuse(`a duration of ${duration_h} h; it is a positive number of hours`)
    if (!(chancePerYear > 0) || chancePerYear > 1) {
      refuse(
        column.has('chance_per_year')
          ? `a chance of ${chancePerYear}; it lies between 0 and 1 (10 % is 0.1)`
          : `a return period of ${1 / chancePerYear} years; it is 1 or more`,
      )
    }
    if (!(depth_mm > 0) || depth_mm > DEEPEST_mm) refuse(`a depth of ${depth_mm} mm; it is a positive depth of rain`)
    return { duration_h, chancePerYear, depth_mm, line: number }
  })
  if (rows.length === 0) throw new InputError('rain/empty', 'The rain table has a header and no rows.')
  refuseContradictions(rows)
  return { rows: rows.map(({ duration_h, chancePerYear, depth_mm }) => ({ duration_h, chancePerYear, depth_mm })), warnings: [] }
}

function headerColumns(header: readonly string[]): Map<string, number> {
  const column = new Map(header.map((name, k) => [name, k]))
  const unknown = header.filter(name => !COLUMNS.includes(name))
  const chance = Number(column.has('chance_per_year')) + Number(column.has('return_period_yr'))
  const depth = Number(column.has('depth_mm')) + Number(column.has('depth_in'))
  if (unknown.length > 0 || column.size !== header.length || !column.has('duration_h') || chance !== 1 || depth !== 1) {
    throw new InputError(
      'rain/header',
      `The header of the rain table is "${header.join(',').slice(0, 120)}". Expected: ${EXPECTED} (return_period_yr may stand for chance_per_year, depth_in for depth_mm).`,
      { header: header.slice(0, 20), unknown: unknown.slice(0, 20) },
    )
  }
  return column
}

interface Line extends RainRow {
  readonly line: number
}

function refuseContradictions(rows: readonly Line[]): void {
  const sameChance = (a: Line, b: Line): boolean => Math.abs(a.chancePerYear - b.chancePerYear) <= 1e-9 * a.chancePerYear
  for (const a of rows) {
    for (const b of rows) {
      if (a === b) continue
      if (a.duration_h === b.duration_h && sameChance(a, b)) {
        throw new InputError(
          'rain/duplicate',
          `Lines ${a.line} and ${b.line} of the rain table give a depth for the same duration and chance. Keep one.`,
          { lines: [a.line, b.line] },
        )
      }
      const longer = sameChance(a, b) && b.duration_h > a.duration_h
      const rarer = a.duration_h === b.duration_h && b.chancePerYear < a.chancePerYear
      if ((longer || rarer) && b.depth_mm < a.depth_mm) {
        throw new InputError(
          'rain/not-monotone',
          `Lines ${a.line} and ${b.line} of the rain table contradict each other: the ${longer ? 'longer' : 'rarer'} rain is less deep (${b.depth_mm} mm after ${a.depth_mm} mm). Look for a slip or swapped columns.`,
          { lines: [a.line, b.line] },
        )
      }
    }
  }
}
