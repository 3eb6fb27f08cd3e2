import { InputError } from '../foundation/index.js'
import { distance_m, type ElevationGrid, type Point, pathLength_m, stations, surfaceValue } from '../raster/index.js'
import { fallLine, levelLineAlong, lineThrough, profileAlong } from '../terrain/index.js'
import { verticalIntervals } from './vertical-interval.js'

/** One of several lines below one another. */
export interface LineBelow {
  readonly path: readonly Point[]
  /** Height of the ground under the line before it. */
  readonly drop_m: number
}

/** Rules of spacing know no flatter ground than this, and no steeper than the other. */
const [FLATTEST, STEEPEST] = [0.005, 1]

/**
 * How far one line lies below the next, by the rules for works that hold water on the ground's mean slope along the line: the middle of their range.
 *
 * Source  `verticalIntervals`; the middle: judgement.
 */
export function usualDrop_m(ground: ElevationGrid, path: readonly Point[]): number {
  const slopes = profileAlong(ground, path, ground.geometry.cell_m)
    .map(({ crossSlope_ratio }) => Math.abs(crossSlope_ratio))
    .filter(slope => !Number.isNaN(slope))
  const mean = slopes.length === 0 ? 0 : slopes.reduce((sum, slope) => sum + slope, 0) / slopes.length
  const slope_ratio = Math.min(STEEPEST, Math.max(FLATTEST, mean))
  const { low_m, high_m } = verticalIntervals(slope_ratio)
  return ((low_m + high_m) / 2) * slope_ratio
}

/**
 * Copies of a line further down the slope, each level and as long, at so many metres of height below the one before.
 *
 * Each is traced through the place where the fall line from the middle of the line before reaches its height. Fewer than asked come where the slope
 * ends before.
 *
 * Units   `drop_m` above 0.
 * Laws    every line is level to 1e-9 m, and lies `drop_m` under the one before to a millimetre.
 */
export function linesBelow(ground: ElevationGrid, path: readonly Point[], count: number, drop_m: number): LineBelow[] {
  const length_m = pathLength_m(path)
  const found: LineBelow[] = []
  let above = path
  while (found.length < count) {
    const next = oneBelow(ground, above, length_m, drop_m)
    if (next === null) break
    found.push({ path: next, drop_m })
    above = next
  }
  return found
}

function oneBelow(ground: ElevationGrid, above: readonly Point[], length_m: number, drop_m: number): readonly Point[] | null {
  const level = levelled(ground, above)
  const along = stations(level, Math.min(ground.geometry.cell_m, length_m / 2))
  const middle = along[Math.floor(along.length / 2)]?.at
  if (middle === undefined) return null
  const want_m = surfaceValue(ground, middle) - drop_m
  const place = onHeight(ground, fallLine(ground, middle, 'down')?.points ?? [], want_m)
  if (place === null) return null
  try {
    const { path } = lineThrough(ground, place, length_m)
    return pathLength_m(path) < 0.5 * length_m || distance_m(path[0]!, path[path.length - 1]!) === 0 ? null : path
  } catch (error) {
    if (error instanceof InputError) return null
    throw error
  }
}

/** The line as a level one, where it comes near to one. */
function levelled(ground: ElevationGrid, path: readonly Point[]): readonly Point[] {
  try {
    return levelLineAlong(ground, path)?.path ?? path
  } catch (error) {
    if (error instanceof InputError) return path
    throw error
  }
}

/** The place of a way down that lies at a height, found to a millionth of a step; null where the way ends above it. */
function onHeight(ground: ElevationGrid, way: readonly Point[], z_m: number): Point | null {
  for (let k = 1; k < way.length; k++) {
    let [high, low] = [way[k - 1]!, way[k]!]
    if (!(surfaceValue(ground, low) <= z_m)) continue
    for (let step = 0; step < HALVINGS; step++) {
      const middle: Point = [(high[0] + low[0]) / 2, (high[1] + low[1]) / 2]
      if (surfaceValue(ground, middle) <= z_m) low = middle
      else high = middle
    }
    return low
  }
  return null
}

const HALVINGS = 40
