import Delaunator from 'delaunator'
import { InputError, type LengthUnit, METRES_PER } from 'soakline/foundation'
import { type CheckedPoints, checkSurveyPoints, type PointSpacing, pointSpacing, type SurveyPoint } from 'soakline/terrain'

/** What a column of a survey table may hold. */
export type SurveyColumn = 'easting' | 'northing' | 'elevation' | 'name' | 'code'

/** What a table may leave open. Nothing of it is guessed. */
export interface SurveyOptions {
  /** Columns of a table without a header, in order. Surveyors write both "easting, northing" and "northing, easting". */
  readonly columns?: readonly SurveyColumn[]
  /** Unit of eastings and northings, unless the header says it (`easting_m`, `easting_ft`, `easting_ftUS`). */
  readonly unit?: LengthUnit
  /** Unit of heights, unless the header says it. */
  readonly elevationUnit?: LengthUnit
}

/** Measured points, and the triangles between them. */
export interface SurveyReading extends CheckedPoints {
  /** Three indices of `points` for each triangle: the Delaunay triangulation. */
  readonly triangles: Uint32Array
  readonly spacing: PointSpacing
  /** What each point was called in the table, '' where it was not. In the order of `points`. */
  readonly labels: readonly { readonly name: string; readonly code: string }[]
  readonly unit: LengthUnit
  readonly elevationUnit: LengthUnit
}

const NAMES: Readonly<Record<SurveyColumn, readonly string[]>> = {
  easting: ['x', 'e', 'east', 'easting'],
  northing: ['y', 'n', 'north', 'northing'],
  elevation: ['z', 'h', 'height', 'elev', 'elevation'],
  name: ['p', 'id', 'name', 'point', 'pt'],
  code: ['d', 'code', 'desc', 'description'],
}
const EXPECTED = 'easting_m,northing_m,elevation_m (or x,y,z; name and code as well)'
const NEEDED = ['easting', 'northing', 'elevation'] as const
/** More rows than a person or a receiver measures on a holding. Judgement. */
const MAX_ROWS = 500_000
/** A survey that is smaller than this in both directions, with coordinates like longitude and latitude, is one in degrees. Judgement. */
const DEGREES_EXTENT = 0.1

/**
 * Reads a table of points measured on the ground, and triangulates them.
 *
 * Commas; or semicolons or tabs, then with decimal commas or points. A byte-order mark and either line ending are taken; lines that begin with # are
 * left out; text may stand in double quotes. Columns may be in any order; those of other names are refused.
 *
 * Units    given in feet, answered in metres; US survey feet and international feet are kept apart.
 * Laws     the order of rows does not change the triangles, and of rows at one place the first is kept.
 * Throws   InputError `survey/empty`, `survey/too-long`, `survey/header`, `survey/columns-unknown` (no header and no `columns`), `survey/number`,
 *          `survey/unit-unknown`, `survey/unit-contradiction`, `survey/looks-like-degrees`, and those of `checkSurveyPoints`; rows are named.
 * Source   triangulation: delaunator 5.1.0, with robust predicates.
 */
export function readSurveyPoints(text: string, options: SurveyOptions = {}): SurveyReading {
  const lines = text
    .replace(/^\uFEFF/, '')
    .split(/\r\n|\n|\r/)
    .map((line, k) => ({ line: line.trim(), row: k + 1 }))
    .filter(({ line }) => line !== '' && !line.startsWith('#'))
  const first = lines[0]
  if (!first) throw new InputError('survey/empty', `The table of survey points is empty. It begins with the line ${EXPECTED}.`)
  if (lines.length > MAX_ROWS)
    throw new InputError(
      'survey/too-long',
      `The table has ${lines.length} rows, more than ${MAX_ROWS}. Give the points of the holding only.`,
      {
        rows: lines.length,
      },
    )
  const separator = first.line.includes(';') ? ';' : first.line.includes('\t') ? '\t' : ','
  const { column, cells, unit, elevationUnit, body } = layout(first, lines, separator, options)

  const labels = new Map<number, { name: string; code: string }>()
  const raw: [number, number][] = []
  const given = body.map(({ line, row }): SurveyPoint => {
    const values = cellsOf(line, separator, row)
    // Empty texts at the end of a row are often left out with their commas; numbers never are.
    if (values.length > cells || values.length <= Math.max(...NEEDED.map(name => column.get(name)!)))
      throw new InputError(
        'survey/number',
        `Row ${row} has ${values.length} cells, not ${cells}. Mind decimal commas, which need semicolons between the columns, and commas in texts, which need quotes.`,
        { row },
      )
    const number = (name: SurveyColumn): number => numberOf(values[column.get(name)!]!, separator, row, name)
    const text = (name: SurveyColumn): string => values[column.get(name) ?? -1] ?? ''
    const [x, y] = [number('easting'), number('northing')]
    raw.push([x, y])
    labels.set(row, { name: text('name'), code: text('code') })
    const metres = METRES_PER[unit]
    return { at: [x * metres, y * metres], elevation_m: number('elevation') * METRES_PER[elevationUnit], row }
  })
  if (given.length === 0) throw new InputError('survey/empty', 'The table of survey points has a header and no rows.')
  refuseDegrees(raw)
  const { points, merged } = checkSurveyPoints(given)
  const triangles = delaunayTriangles(points)
  return {
    points,
    merged,
    triangles,
    spacing: pointSpacing(points, triangles),
    labels: points.map(p => labels.get(p.row)!),
    unit,
    elevationUnit,
  }
}

interface Line {
  readonly line: string
  readonly row: number
}

/** Which cell of a row is what, the units, and the lines that hold points. */
function layout(
  first: Line,
  lines: readonly Line[],
  separator: string,
  options: SurveyOptions,
): {
  column: ReadonlyMap<SurveyColumn, number>
  cells: number
  unit: LengthUnit
  elevationUnit: LengthUnit
  body: readonly Line[]
} {
  const header = cellsOf(first.line, separator, first.row)
  const known: (readonly [SurveyColumn, LengthUnit | null] | null)[] = options.columns
    ? options.columns.map(name => [name, null] as const)
    : header.map(columnNamed)
  if (!options.columns && header.filter(cell => numeric(cell, separator) !== null).length >= 3)
    throw new InputError(
      'survey/columns-unknown',
      `The table has no header, so it does not say which column is the easting and which the northing. Give the columns, or write ${EXPECTED} above.`,
      { firstRow: first.line.slice(0, 80) },
    )
  const names = known.flatMap(cell => (cell ? [cell[0]] : []))
  if (names.length !== known.length || new Set(names).size !== names.length || NEEDED.some(name => !names.includes(name)))
    throw new InputError(
      'survey/header',
      `The columns of the table are "${(options.columns ?? header).join(', ').slice(0, 120)}". Expected: ${EXPECTED}, each once.`,
      { header: header.slice(0, 20).map(cell => cell.slice(0, 40)) },
    )
  const column = new Map(names.map((name, k) => [name, k]))
  const unitOf = (name: SurveyColumn): LengthUnit | null => known[column.get(name)!]![1]
  return {
    column,
    cells: names.length,
    unit: settled('eastings and northings', 'unit', [unitOf('easting'), unitOf('northing'), options.unit ?? null]),
    elevationUnit: settled('heights', 'elevationUnit', [unitOf('elevation'), options.elevationUnit ?? null]),
    body: options.columns ? lines : lines.slice(1),
  }
}

/** A header's cell: the column and the unit that it names; null when it is not known. */
function columnNamed(cell: string): readonly [SurveyColumn, LengthUnit | null] | null {
  const parts = /^([a-z]+)(?:_(m|ft|ftus))?$/.exec(cell.toLowerCase())
  if (!parts) return null
  const name = (Object.keys(NAMES) as SurveyColumn[]).find(key => NAMES[key].includes(parts[1]!))
  if (!name || (parts[2] && (name === 'name' || name === 'code'))) return null
  return [name, parts[2] === undefined ? null : parts[2] === 'ftus' ? 'ftUS' : (parts[2] as LengthUnit)]
}

/** The one unit that header and user name between them. */
function settled(what: string, question: 'unit' | 'elevationUnit', named: readonly (LengthUnit | null)[]): LengthUnit {
  const units = [...new Set(named.filter(unit => unit !== null))]
  const [unit] = units
  if (!unit)
    throw new InputError(
      'survey/unit-unknown',
      `The table does not say the unit of its ${what}. Are they metres (m), feet (ft) or US survey feet (ftUS)?`,
      { question },
    )
  if (units.length > 1)
    throw new InputError('survey/unit-contradiction', `The unit of the ${what} is given as ${units.join(' and as ')}. Give one.`, {
      question,
      units,
    })
  return unit
}

/** Cells of a row; a cell in double quotes may hold the separator, and a doubled quote stands for one. */
function cellsOf(line: string, separator: string, row: number): string[] {
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
function numeric(raw: string, separator: string): number | null {
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

function refuseDegrees(raw: readonly (readonly [number, number])[]): void {
  let [west, east, south, north] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (const [x, y] of raw) {
    west = Math.min(west, x)
    east = Math.max(east, x)
    south = Math.min(south, y)
    north = Math.max(north, y)
  }
  if (west < -180 || east > 180 || south < -90 || north > 90 || east - west > DEGREES_EXTENT || north - south > DEGREES_EXTENT) return
  throw new InputError(
    'survey/looks-like-degrees',
    `All points lie within ${east - west} by ${north - south} of each other, with coordinates like longitude and latitude. Project them to metres first.`,
    { west, east, south, north },
  )
}

/** The Delaunay triangulation of points: three indices for each triangle. */
function delaunayTriangles(points: readonly SurveyPoint[]): Uint32Array {
  // Where four points lie on one circle either diagonal will do; sorting makes it the same one whatever the order of rows.
  const order = Uint32Array.from(points.keys()).sort((i, j) => points[i]!.at[0] - points[j]!.at[0] || points[i]!.at[1] - points[j]!.at[1])
  const [x0, y0] = points[order[0]!]!.at
  const { triangles } = new Delaunator(Float64Array.from([...order].flatMap(k => [points[k]!.at[0] - x0, points[k]!.at[1] - y0])))
  return Uint32Array.from(triangles, k => order[k]!)
}
