import { InputError, type LengthUnit } from 'soakline/foundation'
import { linesOf, separatorOf, type TextLine } from './table-text.js'

/** What a column of a survey table may hold. */
export type SurveyColumn = 'easting' | 'northing' | 'elevation' | 'name' | 'code'

/** One row of a survey table, in the table's own units. */
export interface SurveyRow {
  readonly x: number
  readonly y: number
  readonly height: number
  readonly row: number
  readonly name: string
  readonly code: string
}

/** A survey table before any unit or coordinate system is settled. */
export interface SurveyTable {
  readonly rows: readonly SurveyRow[]
  /** What the header says of the places; null when it says nothing. */
  readonly unit: LengthUnit | 'degrees' | null
  /** What the header says of the heights; null when it says nothing. */
  readonly elevationUnit: LengthUnit | null
}

const NAMES: Readonly<Record<SurveyColumn, readonly string[]>> = {
  easting: ['x', 'e', 'east', 'easting', 'este'],
  northing: ['y', 'n', 'north', 'northing', 'norte'],
  elevation: ['z', 'h', 'height', 'elev', 'elevation', 'cota', 'altura', 'elevacion', 'elevación'],
  name: ['p', 'id', 'name', 'point', 'pt', 'punto', 'nombre'],
  code: ['d', 'code', 'desc', 'description', 'codigo', 'código', 'descripcion', 'descripción'],
}
const DEGREES: Readonly<Record<'easting' | 'northing', readonly string[]>> = {
  easting: ['lon', 'long', 'longitude', 'longitud'],
  northing: ['lat', 'latitude', 'latitud'],
}
/** The header that a refusal asks for. */
export const EXPECTED_COLUMNS = 'easting_m,northing_m,elevation_m (or x,y,z; name and code as well)'
const NEEDED = ['easting', 'northing', 'elevation'] as const
/** More rows than a person or a receiver measures on a holding. Judgement. */
const MAX_ROWS = 500_000

/**
 * Whether the beginning of a text is that of a survey table: by a header that names at least two of easting, northing and height.
 *
 * `numbers` is a table whose first row holds three numbers or more, so that nothing tells what its columns are.
 */
export function surveyTableKind(beginning: string): 'header' | 'numbers' | null {
  const first = linesOf(beginning)[0]
  // GeoJSON and web pages hold numbers between commas too.
  if (!first || /^[{[<]/.test(first.line)) return null
  const separator = separatorOf(first.line)
  const cells = first.line.split(separator).map(cell => cell.trim().replace(/^"(.*)"$/, '$1'))
  const named = new Set(cells.flatMap(cell => columnNamed(cell)?.[0] ?? []))
  if (NEEDED.filter(name => named.has(name)).length >= 2) return 'header'
  return cells.filter(cell => numeric(cell, separator) !== null).length >= 3 ? 'numbers' : null
}

/**
 * Reads the rows of a survey table as they stand.
 *
 * Commas; or semicolons or tabs, then with decimal commas or points. A byte-order mark and either line ending are taken; lines that begin with # are
 * left out; text may stand in double quotes. Columns may be in any order; those of other names are refused.
 *
 * Throws  InputError `survey/empty`, `survey/too-long`, `survey/header`, `survey/columns-unknown` (no header and no `columns`), `survey/number`,
 *         `survey/unit-contradiction` (eastings and northings in two units); rows are named.
 *
 * @param columns columns of a table without a header, in order; default: the header's
 */
export function readSurveyTable(text: string, columns?: readonly SurveyColumn[]): SurveyTable {
  const lines = linesOf(text)
  const first = lines[0]
  if (!first) throw new InputError('survey/empty', `The table of survey points is empty. It begins with the line ${EXPECTED_COLUMNS}.`)
  if (lines.length > MAX_ROWS)
    throw new InputError(
      'survey/too-long',
      `The table has ${lines.length} rows, more than ${MAX_ROWS}. Give the points of the holding only.`,
      {
        rows: lines.length,
      },
    )
  const separator = separatorOf(first.line)
  const { column, cells, unit, elevationUnit } = layout(first, separator, columns)
  const last = Math.max(...NEEDED.map(name => column.get(name)!))
  const rows = (columns ? lines : lines.slice(1)).map(({ line, row }): SurveyRow => {
    const values = cellsOf(line, separator, row)
    // Empty texts at the end of a row are often left out with their commas; numbers never are.
    if (values.length > cells || values.length <= last)
      throw new InputError(
        'survey/number',
        `Row ${row} has ${values.length} cells, not ${cells}. Mind decimal commas, which need semicolons between the columns, and commas in texts, which need quotes.`,
        { row },
      )
    const number = (name: SurveyColumn): number => numberOf(values[column.get(name)!]!, separator, row, name)
    const written = (name: SurveyColumn): string => values[column.get(name) ?? -1] ?? ''
    return { x: number('easting'), y: number('northing'), height: number('elevation'), row, name: written('name'), code: written('code') }
  })
  if (rows.length === 0) throw new InputError('survey/empty', 'The table of survey points has a header and no rows.')
  return { rows, unit, elevationUnit }
}

/** Which cell of a row is what, and the units that the header names. */
function layout(
  first: TextLine,
  separator: string,
  columns: readonly SurveyColumn[] | undefined,
): {
  column: ReadonlyMap<SurveyColumn, number>
  cells: number
  unit: LengthUnit | 'degrees' | null
  elevationUnit: LengthUnit | null
} {
  const header = cellsOf(first.line, separator, first.row)
  const known: (readonly [SurveyColumn, LengthUnit | 'degrees' | null] | null)[] = columns
    ? columns.map(name => [name, null] as const)
    : header.map(columnNamed)
  if (!columns && header.filter(cell => numeric(cell, separator) !== null).length >= 3)
    throw new InputError(
      'survey/columns-unknown',
      `The table has no header, so it does not say which column is the easting and which the northing. Give the columns, or write ${EXPECTED_COLUMNS} above.`,
      { firstRow: first.line.slice(0, 80) },
    )
  const names = known.flatMap(cell => (cell ? [cell[0]] : []))
  const column = new Map(names.map((name, k) => [name, k]))
  const unitOf = (name: SurveyColumn): LengthUnit | 'degrees' | null => known[column.get(name)!]![1]
  if (
    names.length !== known.length ||
    column.size !== names.length ||
    NEEDED.some(name => !column.has(name)) ||
    (unitOf('easting') === 'degrees') !== (unitOf('northing') === 'degrees')
  )
    throw new InputError(
      'survey/header',
      `The columns of the table are "${(columns ?? header).join(', ').slice(0, 120)}". Expected: ${EXPECTED_COLUMNS}, each once.`,
      { header: header.slice(0, 20).map(cell => cell.slice(0, 40)) },
    )
  const units = [...new Set([unitOf('easting'), unitOf('northing')].filter(unit => unit !== null))]
  if (units.length > 1) throw unitContradiction('eastings and northings', 'unit', units)
  return { column, cells: names.length, unit: units[0] ?? null, elevationUnit: unitOf('elevation') as LengthUnit | null }
}

/** The refusal of two units for one thing. */
export const unitContradiction = (what: string, question: 'unit' | 'elevationUnit', units: readonly string[]): InputError =>
  new InputError('survey/unit-contradiction', `The unit of the ${what} is given as ${units.join(' and as ')}. Give one.`, {
    question,
    units,
  })

/** A header's cell, such as `x_m` or `Elevation (ft)`: the column and the unit that it names; null when it is not known. */
export function columnNamed(cell: string): readonly [SurveyColumn, LengthUnit | 'degrees' | null] | null {
  const parts = /^([a-záéíóú]+)(?:_(m|ft|ftus)|\s*[([](m|ft|ftus)[)\]])?$/.exec(cell.trim().toLowerCase())
  if (!parts) return null
  const written = parts[2] ?? parts[3]
  for (const key of ['easting', 'northing'] as const) if (DEGREES[key].includes(parts[1]!)) return written ? null : [key, 'degrees']
  const name = (Object.keys(NAMES) as SurveyColumn[]).find(key => NAMES[key].includes(parts[1]!))
  if (!name || (written && (name === 'name' || name === 'code'))) return null
  return [name, written === undefined ? null : written === 'ftus' ? 'ftUS' : (written as LengthUnit)]
}

/** Cells of a row; a cell in double quotes may hold the separator, and a doubled quote stands for one. */
export function cellsOf(line: string, separator: string, row: number): string[] {
  const cells: string[] = []
  let cell = ''
  let quoted = false
  for (let k = 0; k < line.length; k++) {
    const sign = line[k]!
    if (quoted) {
      if (sign !== '"') cell += sign
      else if (line[k + 1] === '"') cell += line[++k]!
      else quoted = false
    } else if (sign === '"' && cell.trim() === '') {
      cell = ''
      quoted = true
    } else if (sign === separator) {
      cells.push(cell.trim())
      cell = ''
    } else cell += sign
  }
  if (quoted) throw new InputError('survey/number', `Row ${row} has a quote that does not end. Close it, or leave quotes out.`, { row })
  cells.push(cell.trim())
  return cells
}

/** A plain decimal number, or null: no thousands, no hexadecimal, no formula, nothing beyond what a double holds. */
export function numeric(raw: string, separator: string): number | null {
  const plain = separator === ',' ? raw : raw.replace(',', '.')
  if (!/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain)) return null
  const value = Number(plain)
  return Number.isFinite(value) ? value : null
}

function numberOf(raw: string, separator: string, row: number, name: SurveyColumn): number {
  const value = numeric(raw, separator)
  if (value === null)
    throw new InputError('survey/number', `"${raw.slice(0, 40)}" in row ${row} (${name}) is not a number. Mend or delete the row.`, {
      row,
      column: name,
    })
  return value
}
