import { InputError } from '../foundation/index.js'
import { distance_m, distanceToSegment, type Point } from '../raster/index.js'

/** A place whose height was measured on the ground. */
export interface SurveyPoint {
  readonly at: Point
  readonly elevation_m: number
  /** Its row in the table it came from, so that a person can find it again. */
  readonly row: number
}

/** What was made of measured points. */
export interface CheckedPoints {
  /** One point for each place, in the order given. */
  readonly points: readonly SurveyPoint[]
  /** Points left out because an earlier one stands at the same place with the same height. */
  readonly merged: readonly { readonly row: number; readonly into: number }[]
}

/** Two points no farther apart than this in plan are one place. Default 0.01 m: as near as a staff is held. Judgement. */
const SAME_PLACE_m = 0.01
/** Heights of one place may differ by this. Default 0.05 m: twice what a levelling staff and a hand-held receiver disagree by. Judgement. */
const SAME_HEIGHT_m = 0.05
/** A cloud of points narrower than this share of its length says nothing about the slope across it. Judgement. */
const NARROWEST = 1e-3
/** As for rasters: no ground on Earth lies beyond these. */
const LOWEST_m = -12_000
const HIGHEST_m = 100_000
/** Coordinates in metres beyond these are in no projection. */
const FARTHEST_m = 1e8
/**
 * Measured points fit to carry a surface: each place once, heights that ground can have, not all in one line.
 *
 * Units    `samePlace_m` (default 0.01) and `sameHeight_m` (default 0.05) as above; judgement.
 * Laws     of points at one place the first stands; nothing is averaged.
 * Throws   InputError `survey/not-a-number`, `survey/out-of-range`, `survey/contradiction` (two heights for one place), `survey/too-few` (fewer than
 *          three places), `survey/in-line`; rows are named.
 * Cost     about the number of points.
 */
export function checkSurveyPoints(
  given: readonly SurveyPoint[],
  { samePlace_m = SAME_PLACE_m, sameHeight_m = SAME_HEIGHT_m }: { readonly samePlace_m?: number; readonly sameHeight_m?: number } = {},
): CheckedPoints {
  const points: SurveyPoint[] = []
  const merged: { row: number; into: number }[] = []
  // Squares of twice the tolerance: whoever is as near lies in the same square or a neighbouring one.
  const squares = new Map<string, SurveyPoint[]>()
  const square = (x: number): number => Math.floor(x / (2 * samePlace_m))
  for (const point of given) {
    refuseNonsense(point)
    const [column, row] = [square(point.at[0]), square(point.at[1])]
    const near: SurveyPoint[] = []
    for (let dr = -1; dr <= 1; dr++) for (let dc = -1; dc <= 1; dc++) near.push(...(squares.get(`${column + dc} ${row + dr}`) ?? []))
    const same = near.find(p => distance_m(p.at, point.at) <= samePlace_m)
    if (same) {
      const differ_m = Math.abs(same.elevation_m - point.elevation_m)
      if (differ_m > sameHeight_m)
        throw new InputError(
          'survey/contradiction',
          `Rows ${same.row} and ${point.row} give the same place two heights, ${same.elevation_m} m and ${point.elevation_m} m. Delete the wrong one.`,
          { rows: [same.row, point.row], differ_m },
        )
      merged.push({ row: point.row, into: same.row })
      continue
    }
    points.push(point)
    const here = squares.get(`${column} ${row}`)
    if (here) here.push(point)
    else squares.set(`${column} ${row}`, [point])
  }
  if (points.length < 3)
    throw new InputError(
      'survey/too-few',
      `There are ${points.length} different places; a surface needs three at least. Give more points.`,
      {
        points: points.length,
      },
    )
  refuseInLine(points)
  return { points, merged }
}

function refuseNonsense({ at: [x, y], elevation_m, row }: SurveyPoint): void {
  if (!Number.isFinite(x) || !Number.isFinite(y) || !Number.isFinite(elevation_m))
    throw new InputError('survey/not-a-number', `Row ${row} has a coordinate or a height that is not a number. Mend or delete it.`, { row })
  if (Math.abs(x) > FARTHEST_m || Math.abs(y) > FARTHEST_m || elevation_m < LOWEST_m || elevation_m > HIGHEST_m)
    throw new InputError(
      'survey/out-of-range',
      `Row ${row} lies at ${x}, ${y} m with a height of ${elevation_m} m, which no ground does. Look for swapped columns or another unit.`,
      { row, x_m: x, y_m: y, elevation_m },
    )
}

function refuseInLine(points: readonly SurveyPoint[]): void {
  const farthestFrom = (p: Point): Point => points.reduce((best, q) => (distance_m(q.at, p) > distance_m(best, p) ? q.at : best), p)
  const one = farthestFrom(points[0]!.at)
  const other = farthestFrom(one)
  const length = distance_m(one, other)
  const breadth = Math.max(...points.map(p => distanceToSegment(p.at, one, other).distance_m))
  if (breadth <= NARROWEST * length)
    throw new InputError(
      'survey/in-line',
      `The ${points.length} points all lie in one line, ${length} m long and ${breadth} m broad: nothing tells how the ground slopes across it. Measure points beside it.`,
      { length_m: length, breadth_m: breadth },
    )
}
