import { finish, InputError, type Steps } from '../foundation/index.js'
import type { ElevationGrid, Grid, Point } from '../raster/index.js'
import { contourPass, type PackedContours } from './contour-pass.js'

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
 * Cost     one pass over the raster, whatever the levels, and one step for each crossing.
 */
export function contourLines(ground: ElevationGrid, interval_m: number): ContourLine[] {
  return finish(contourLinesSteps(ground, interval_m))
}

/** `contourLines` in steps. */
export function* contourLinesSteps(ground: ElevationGrid, interval_m: number): Steps<ContourLine[]> {
  const levels = levelsOf(ground, interval_m)
  return unpacked(yield* contourPass(ground, levels), levels)
}

/** The lines of `contourLines`, packed into few arrays: for many levels of large ground. `elevation_m` holds the heights of its levels. */
export function packedContours(ground: ElevationGrid, interval_m: number): PackedContours & { readonly elevation_m: Float64Array } {
  const levels = levelsOf(ground, interval_m)
  return { ...finish(contourPass(ground, levels)), elevation_m: levels }
}

/** The levels of a ground. */
function levelsOf(ground: ElevationGrid, interval_m: number): Float64Array {
  if (!(interval_m > 0 && interval_m < Number.POSITIVE_INFINITY))
    throw new InputError('contours/interval', `A contour interval of ${interval_m} m gives no lines. Choose a positive number of metres.`, {
      interval_m,
    })
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  const { data } = ground
  for (let cell = 0; cell < data.length; cell++) {
    // Voids compare as neither.
    const z = data[cell]!
    if (z < low) low = z
    if (z > high) high = z
  }
  if ((high - low) / interval_m > MOST_LEVELS)
    throw new InputError(
      'contours/too-many-levels',
      `Lines every ${interval_m} m between ${low} m and ${high} m are more than ${MOST_LEVELS} levels. Choose a wider interval, or look whether a "no data" value was taken for a height.`,
      { interval_m, low_m: low, high_m: high, most: MOST_LEVELS },
    )
  // Added to nought, as a level of "−0" would be read out with its sign.
  const first = Math.ceil(low / interval_m) + 0
  const levels: number[] = []
  for (let k = first; k * interval_m <= high; k++) levels.push(k * interval_m + 0)
  return Float64Array.from(levels)
}

/** All lines of one level. */
export function linesAt(grid: Grid, level: number): ContourLine[] {
  const levels = Float64Array.of(level)
  return unpacked(finish(contourPass(grid, levels)), levels)
}

function unpacked({ xy, start, level, closed }: PackedContours, levels: Float64Array): ContourLine[] {
  return Array.from(level, (k, line) => {
    const path: Point[] = []
    for (let at = start[line]!; at < start[line + 1]!; at++) path.push([xy[2 * at]!, xy[2 * at + 1]!])
    return { elevation_m: levels[k]!, path, closed: closed[line] === 1 }
  })
}
