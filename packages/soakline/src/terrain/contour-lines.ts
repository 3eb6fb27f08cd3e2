import { finish, InputError, type Steps } from '../foundation/index.js'
import { type ElevationGrid, type Grid, type Patch, type Point, patchOf } from '../raster/index.js'
import { crossingPoint, joinedEdges, walkLevel } from './isoline.js'

/** A line of one height. Closed lines repeat their first point; open ones end where the ground ends. */
export interface ContourLine {
  readonly elevation_m: number
  readonly path: readonly Point[]
  readonly closed: boolean
}

/** More levels than any sheet can show; a nodata value taken for a height would ask for billions. Judgement. */
const MOST_LEVELS = 10_000

/**
 * Contour lines at whole multiples of an interval, on the surface that is bilinear between cell centres.
 *
 * No data  lines are open at voids and at the outermost cell centres; the frame is never part of them.
 * Laws     every vertex interpolates to its level; a plateau at exactly a level gives one line at its foot; lines of different levels never cross;
 *          a window of the raster has the raster's own vertices, bit for bit where the cell centres are; level ground has no line.
 * Throws   InputError `contours/interval` when the interval is not a positive number, `contours/too-many-levels` beyond 10 000 levels.
 * Cost     one pass over the raster for each level and one step for each crossing.
 */
export function contourLines(ground: ElevationGrid, interval_m: number): ContourLine[] {
  return finish(contourLinesSteps(ground, interval_m))
}

/** `contourLines` in steps, one for each level. */
export function* contourLinesSteps(ground: ElevationGrid, interval_m: number): Steps<ContourLine[]> {
  if (!(interval_m > 0 && interval_m < Number.POSITIVE_INFINITY))
    throw new InputError('contours/interval', `A contour interval of ${interval_m} m gives no lines. Choose a positive number of metres.`, {
      interval_m,
    })
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const z of ground.data)
    if (!Number.isNaN(z)) {
      if (z < low) low = z
      if (z > high) high = z
    }
  if ((high - low) / interval_m > MOST_LEVELS)
    throw new InputError(
      'contours/too-many-levels',
      `Lines every ${interval_m} m between ${low} m and ${high} m are more than ${MOST_LEVELS} levels. Choose a wider interval, or look whether a "no data" value was taken for a height.`,
      { interval_m, low_m: low, high_m: high, most: MOST_LEVELS },
    )
  const lines: ContourLine[] = []
  // Added to nought, as a level of "−0" would be read out with its sign.
  for (let k = Math.ceil(low / interval_m) + 0; k * interval_m <= high; k++) {
    lines.push(...linesAt(ground, k * interval_m))
    yield Math.min(1, (k * interval_m - low) / (high - low || 1))
  }
  return lines
}

/** All lines of one level. */
export function linesAt(grid: Grid, level: number): ContourLine[] {
  const { width, height } = grid.geometry
  // A crossing lies on a rim shared by two patches; it is named by the cell centre at the rim's north-west end and the rim's direction.
  const seen = new Set<number>()
  const name = (column: number, row: number, edge: number): number => {
    if (edge === 1) return (row * width + column + 1) * 2 + 1
    if (edge === 2) return ((row + 1) * width + column) * 2
    return (row * width + column) * 2 + (edge === 3 ? 1 : 0)
  }
  const walk = (patch: Patch, towards: number): { points: Point[]; closed: boolean } => {
    const points: Point[] = []
    const steps = walkLevel(grid, patch, towards, level)
    for (let step = steps.next(); ; step = steps.next()) {
      if (step.done) return { points, closed: step.value === 'closed' }
      const { patch: at, edge } = step.value
      seen.add(name(at.column, at.row, edge))
      points.push(crossingPoint(grid.geometry, at, edge, level))
    }
  }
  const lines: ContourLine[] = []
  const z = grid.data
  for (let row = 0; row < height - 1; row++) {
    for (let column = 0, at = row * width; column < width - 1; column++, at++) {
      const above = z[at]! >= level
      if (above === z[at + 1]! >= level && above === z[at + width]! >= level && above === z[at + width + 1]! >= level) continue
      const patch = patchOf(grid, column, row)
      if (!patch) continue
      const joined = joinedEdges(patch, level)
      for (let edge = 0; edge < 4; edge++) {
        const other = joined[edge]!
        if (other < edge || seen.has(name(column, row, edge)) || seen.has(name(column, row, other))) continue
        const onward = walk(patch, other)
        const points = onward.closed ? onward.points : [...walk(patch, edge).points.reverse(), ...onward.points]
        const path = points.filter((p, k) => k === 0 || p[0] !== points[k - 1]![0] || p[1] !== points[k - 1]![1])
        if (onward.closed) {
          const last = path[path.length - 1]!
          if (path.length > 1 && last[0] === path[0]![0] && last[1] === path[0]![1]) path.pop()
          path.push(path[0]!)
        }
        if (path.length > (onward.closed ? 2 : 1)) lines.push({ elevation_m: level, path, closed: onward.closed })
      }
    }
  }
  return lines
}
