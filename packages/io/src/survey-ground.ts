import { InputError, type LengthUnit, METRES_PER, type Warning } from 'soakline/foundation'
import { type SurveyPoint, surfaceFromTriangles, surveyGeometry } from 'soakline/terrain'
import { openProjection, type Projection } from './crs.js'
import { canonical, groundHash, quantumOf, type Reading, statisticsOf, workingSystem } from './ground.js'
import { DEFAULT_MAX_CELLS, type ReadOptions } from './stored-raster.js'
import { boundsLikeDegrees, triangulatePoints } from './survey-points.js'
import { readSurveyTable, type SurveyRow, type SurveyTable, surveyTableKind, unitContradiction } from './survey-table.js'
import { voidsOf } from './voids.js'

/** The name of the format. */
export const SURVEY_FORMAT = 'survey points'

/** Enough of a file to see its header. */
const HEAD_BYTES = 4096

/** Whether a file is a table of survey points, by its first line; one of bare numbers is taken too, so that its columns can be asked for. */
export function looksLikeSurvey(bytes: Uint8Array): boolean {
  const head = bytes.subarray(0, HEAD_BYTES)
  return !head.includes(0) && surveyTableKind(new TextDecoder().decode(head)) !== null
}

/**
 * Ground made from a table of measured points, ready for work: straight within the triangles between neighbouring points.
 *
 * Units    of the places by the header or the coordinate system, of the heights by the header or the user; neither is assumed.
 * No data  outside the points, and within triangles whose edges are so long that nobody measured what they bridge.
 * Laws     planes come out as they are; the order of rows changes nothing; places in degrees, or in a system whose lengths are not true, are worked
 *          out in the UTM zone point by point, so that no height is touched.
 * Throws   InputError `crs/unknown` and `elevation-unit/unknown`, which are questions; `survey/looks-like-degrees`, `survey/unit-contradiction`,
 *          `survey/outside-the-earth`, `survey/nothing-joined`, `grid/too-large`; those of `readSurveyTable`, `checkSurveyPoints`, `surveyGeometry`.
 */
export async function readSurveyGround(bytes: ArrayBuffer, options: ReadOptions = {}): Promise<Reading> {
  const table = readSurveyTable(new TextDecoder().decode(bytes))
  const warnings: Warning[] = []
  const source = await sourceSystem(table, options)
  const [elevationUnit, elevationUnitFrom] = elevationUnitOf(table, options)
  const { projection, points: given } = await placed(table, source, METRES_PER[elevationUnit], warnings)
  options.signal?.throwIfAborted()
  const { points, merged, triangles, spacing } = triangulatePoints(given)
  const geometry = surveyGeometry(points, spacing.suggestedCell_m, projection.crs)
  const { width, height, cell_m } = geometry
  const maxCells = options.maxCells ?? DEFAULT_MAX_CELLS
  if (width * height > maxCells)
    throw new InputError(
      'grid/too-large',
      `Drawn on cells of ${cell_m} m the points make ${width} × ${height} cells, more than ${maxCells}. Give the points of the holding and of the ground that drains to it.`,
      { width, height, maxCells },
    )
  options.signal?.throwIfAborted()
  const grid = surfaceFromTriangles(points, triangles, geometry, { longestEdge_m: spacing.suggestedLongestEdge_m })
  canonical(grid.data)
  const { count, minimum, maximum } = statisticsOf(grid.data)
  if (count === 0)
    throw new InputError(
      'survey/nothing-joined',
      'No cell of the raster lies between points near enough to each other to be joined. Measure more points between them.',
      { longestEdge_m: spacing.suggestedLongestEdge_m },
    )
  const voidCells = grid.data.length - count
  const quantum = quantumOf(Float64Array.from(table.rows, row => row.height))
  const quantum_m = quantum === null ? null : quantum * METRES_PER[elevationUnit]
  warnings.push({ code: 'survey/interpolated', details: { points: points.length, cell_m } })
  if (merged.length > 0) warnings.push({ code: 'survey/merged', details: { points: merged.length, firstRow: merged[0]!.row } })
  if (voidCells > 0) warnings.push({ code: 'survey/voids', details: { cells: voidCells, longestEdge_m: spacing.suggestedLongestEdge_m } })
  if (width < 3 || height < 3) warnings.push({ code: 'grid/tiny', details: { width, height } })
  if (quantum_m !== null) warnings.push({ code: 'grid/quantised', details: { quantum_m } })
  warnings.push(...projection.warnings, { code: 'vertical-datum/not-stated', details: {} })
  return {
    grid,
    projection,
    report: {
      format: SURVEY_FORMAT,
      fileCells: [width, height],
      points: points.length,
      cell_m,
      crs: projection.crs,
      crsName: projection.name,
      fileCrs: options.crs ?? source.crs,
      verticalReference: null,
      voidCells,
      voids: voidsOf(grid).voids,
      elevationUnit,
      elevationUnitFrom,
      minimum_m: minimum,
      maximum_m: maximum,
      quantum_m,
      sha256: await groundHash(grid.data, geometry),
      warnings,
    },
  }
}

/** West, south, east, north of the points, in the table's own numbers. */
function boundsOf(rows: SurveyTable['rows']): [number, number, number, number] {
  const bounds: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity]
  for (const { x, y } of rows) {
    bounds[0] = Math.min(bounds[0], x)
    bounds[1] = Math.min(bounds[1], y)
    bounds[2] = Math.max(bounds[2], x)
    bounds[3] = Math.max(bounds[3], y)
  }
  return bounds
}

/** The system that the user names; a table names none. */
async function sourceSystem({ rows, unit }: SurveyTable, { crs }: ReadOptions): Promise<Projection> {
  const likeDegrees = unit === 'degrees' || boundsLikeDegrees(rows) !== null
  if (crs === undefined)
    throw new InputError(
      'crs/unknown',
      `A table of points does not say in which coordinate system they lie. Give --crs EPSG:n${likeDegrees ? ' (its coordinates look like degrees: perhaps EPSG:4326)' : ''}, or --crs local if its coordinates are plain lengths.`,
      { found: 'a table of points', looksLikeDegrees: likeDegrees, bounds: boundsOf(rows) },
    )
  const source = await openProjection(crs)
  if (source.kind === 'geographic') {
    if (unit !== null && unit !== 'degrees')
      throw unitContradiction('eastings and northings', 'unit', [`${unit} by the table`, `degrees by ${source.crs}`])
    return source
  }
  if (likeDegrees)
    throw new InputError(
      'survey/looks-like-degrees',
      `The coordinates of the table ${unit === 'degrees' ? 'are' : 'look like'} longitude and latitude, which ${source.crs} does not count in. Give their own system, for instance --crs EPSG:4326.`,
      { crs: source.crs },
    )
  // The foot of a system and that of a header must be the same: the two kinds of foot are a metre apart on a state's coordinates.
  if (source.kind === 'projected' && unit !== null && METRES_PER[unit as LengthUnit] !== source.horizontalUnit_m)
    throw unitContradiction('eastings and northings', 'unit', [
      `${unit} by the table`,
      `units of ${source.horizontalUnit_m} m by the coordinate system (${source.name})`,
    ])
  return source
}

function elevationUnitOf(table: SurveyTable, { elevationUnit }: ReadOptions): [LengthUnit, 'file' | 'user'] {
  if (table.elevationUnit !== null) {
    if (elevationUnit !== undefined && elevationUnit !== table.elevationUnit)
      throw unitContradiction('heights', 'elevationUnit', [`${table.elevationUnit} by the table`, `${elevationUnit} by you`])
    return [table.elevationUnit, 'file']
  }
  if (elevationUnit !== undefined) return [elevationUnit, 'user']
  throw new InputError(
    'elevation-unit/unknown',
    'The table does not say the unit of its heights. Metres taken for feet make every slope wrong by 3.28. Give --elevation-unit m, ft or ftUS.',
    {},
  )
}

/** The points in metres of the working system. */
async function placed(
  { rows, unit }: SurveyTable,
  source: Projection,
  up_m: number,
  warnings: Warning[],
): Promise<{ projection: Projection; points: SurveyPoint[] }> {
  const geographic = source.kind === 'geographic'
  if (geographic) for (const row of rows) refuseOffEarth(row)
  const along_m = geographic ? 1 : source.kind === 'local' && unit !== null ? METRES_PER[unit as LengthUnit] : source.horizontalUnit_m
  const own = rows.map(({ x, y }) => [x * along_m, y * along_m] as const)
  const middle = (axis: 0 | 1): number => {
    let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
    for (const at of own) {
      low = Math.min(low, at[axis])
      high = Math.max(high, at[axis])
    }
    return (low + high) / 2
  }
  const projection = await workingSystem(source, [middle(0), middle(1)], warnings)
  if (projection !== source) warnings.push({ code: 'survey/reprojected', details: { from: source.crs, to: projection.crs } })
  const points = rows.map(({ height, row }, k): SurveyPoint => {
    const [x, y] = own[k]!
    return { at: projection === source ? [x, y] : projection.fromLonLat(...source.toLonLat(x, y)), elevation_m: height * up_m, row }
  })
  return { projection, points }
}

function refuseOffEarth({ x, y, row }: SurveyRow): void {
  if (Math.abs(x) <= 180 && Math.abs(y) <= 90) return
  throw new InputError(
    'survey/outside-the-earth',
    `Row ${row} lies at longitude ${x}, latitude ${y}, which is nowhere on Earth. Look whether the two columns are swapped, or whether the coordinates are metres.`,
    { row, longitude: x, latitude: y },
  )
}
