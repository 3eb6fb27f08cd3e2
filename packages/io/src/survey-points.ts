import Delaunator from 'delaunator'
import { InputError, type LengthUnit, METRES_PER } from 'soakline/foundation'
import { type CheckedPoints, checkSurveyPoints, type PointSpacing, pointSpacing, type SurveyPoint } from 'soakline/terrain'
import { readSurveyTable, type SurveyColumn, type SurveyRow, unitContradiction } from './survey-table.js'

/** What a table may leave open. Nothing of it is guessed. */
export interface SurveyOptions {
  /** Columns of a table without a header, in order. Surveyors write both "easting, northing" and "northing, easting". */
  readonly columns?: readonly SurveyColumn[]
  /** Unit of eastings and northings, unless the header says it (`easting_m`, `easting_ft`, `easting_ftUS`). */
  readonly unit?: LengthUnit
  /** Unit of heights, unless the header says it. */
  readonly elevationUnit?: LengthUnit
}

/** Measured points, the triangles between them, and how densely they stand. */
export interface TriangulatedPoints extends CheckedPoints {
  /** Three indices of `points` for each triangle: the Delaunay triangulation. */
  readonly triangles: Uint32Array
  readonly spacing: PointSpacing
}

/** Measured points of a table. */
export interface SurveyReading extends TriangulatedPoints {
  /** What each point was called in the table, '' where it was not. In the order of `points`. */
  readonly labels: readonly { readonly name: string; readonly code: string }[]
  readonly unit: LengthUnit
  readonly elevationUnit: LengthUnit
}

/** A survey that is smaller than this in both directions, with coordinates like longitude and latitude, is one in degrees. Judgement. */
const DEGREES_EXTENT = 0.1

/**
 * Reads a table of points measured on the ground, as `readSurveyTable` does, and triangulates them.
 *
 * Units    given in feet, answered in metres; US survey feet and international feet are kept apart.
 * Laws     the order of rows does not change the triangles, and of rows at one place the first is kept.
 * Throws   InputError those of `readSurveyTable`, `survey/unit-unknown`, `survey/unit-contradiction`, `survey/looks-like-degrees`, and those of
 *          `checkSurveyPoints`; rows are named.
 */
export function readSurveyPoints(text: string, options: SurveyOptions = {}): SurveyReading {
  const table = readSurveyTable(text, options.columns)
  if (table.unit === 'degrees')
    throw new InputError('survey/looks-like-degrees', 'The columns of the table are longitude and latitude. Project them to metres first.')
  const unit = settled('eastings and northings', 'unit', [table.unit, options.unit ?? null])
  const elevationUnit = settled('heights', 'elevationUnit', [table.elevationUnit, options.elevationUnit ?? null])
  const degrees = boundsLikeDegrees(table.rows)
  if (degrees)
    throw new InputError(
      'survey/looks-like-degrees',
      `All points lie within ${degrees.east - degrees.west} by ${degrees.north - degrees.south} of each other, with coordinates like longitude and latitude. Project them to metres first.`,
      degrees,
    )
  const [metres, up] = [METRES_PER[unit], METRES_PER[elevationUnit]]
  const read = triangulatePoints(
    table.rows.map(({ x, y, height, row }) => ({ at: [x * metres, y * metres], elevation_m: height * up, row })),
  )
  const labels = new Map(table.rows.map(({ row, name, code }) => [row, { name, code }]))
  return { ...read, labels: read.points.map(p => labels.get(p.row)!), unit, elevationUnit }
}

/**
 * Points fit to carry a surface, and the Delaunay triangles between them.
 *
 * Laws    the order of points does not change the triangles.
 * Throws  as `checkSurveyPoints`.
 * Source  triangulation: delaunator 5.1.0, with robust predicates.
 */
export function triangulatePoints(given: readonly SurveyPoint[]): TriangulatedPoints {
  const { points, merged } = checkSurveyPoints(given)
  const triangles = delaunayTriangles(points)
  return { points, merged, triangles, spacing: pointSpacing(points, triangles) }
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
  if (units.length > 1) throw unitContradiction(what, question, units)
  return unit
}

/** Bounds of places that are within some kilometres of each other if their coordinates are degrees, and within a step if they are lengths; else null. */
export function boundsLikeDegrees(
  rows: readonly SurveyRow[],
): { readonly west: number; readonly east: number; readonly south: number; readonly north: number } | null {
  let [west, east, south, north] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (const { x, y } of rows) {
    west = Math.min(west, x)
    east = Math.max(east, x)
    south = Math.min(south, y)
    north = Math.max(north, y)
  }
  const metric = west < -180 || east > 180 || south < -90 || north > 90 || east - west > DEGREES_EXTENT || north - south > DEGREES_EXTENT
  return metric ? null : { west, east, south, north }
}

/** The Delaunay triangulation of points: three indices for each triangle. */
function delaunayTriangles(points: readonly SurveyPoint[]): Uint32Array {
  // Where four points lie on one circle either diagonal will do; sorting makes it the same one whatever the order of rows.
  const order = Uint32Array.from(points.keys()).sort((i, j) => points[i]!.at[0] - points[j]!.at[0] || points[i]!.at[1] - points[j]!.at[1])
  const [x0, y0] = points[order[0]!]!.at
  const { triangles } = new Delaunator(Float64Array.from([...order].flatMap(k => [points[k]!.at[0] - x0, points[k]!.at[1] - y0])))
  return Uint32Array.from(triangles, k => order[k]!)
}
