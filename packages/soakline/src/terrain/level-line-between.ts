import { distance_m, type ElevationGrid, type Point, pathLength_m, stations, surfaceValue } from '../raster/index.js'
import { type GroundLine, lineThrough } from './level-line.js'

/** A contour winds: so many times the straight way is followed before the other place counts as not reached. Source: judgement. */
const WINDING = 3
/** The least that is followed. */
const LEAST_m = 20

/** The vertex nearest to a place. */
function nearest(path: readonly Point[], place: Point): number {
  let best = 0
  for (let k = 1; k < path.length; k++) if (distance_m(path[k]!, place) < distance_m(path[best]!, place)) best = k
  return best
}

const piece = (
  { path, ground_m }: GroundLine,
  a: number,
  b: number,
): { readonly path: readonly Point[]; readonly ground_m: Float64Array } => {
  const [from, to] = [Math.min(a, b), Math.max(a, b)]
  return { path: path.slice(from, to + 1), ground_m: ground_m.slice(from, to + 1) }
}

/** A piece of a level line; the uphill side lies on its left. */
export type LevelPiece = ReturnType<typeof piece>

/**
 * The level line walked from a place toward another, as far as where it comes nearest to that; null where it would be shorter than a cell.
 *
 * Laws    every vertex lies on the first place's height to 1e-9 m.
 * Throws  what `lineThrough` throws.
 */
export function levelLineBetween(ground: ElevationGrid, from: Point, toward: Point): LevelPiece | null {
  const line = lineThrough(ground, from, 2 * (WINDING * distance_m(from, toward) + LEAST_m))
  const found = piece(line, nearest(line.path, from), nearest(line.path, toward))
  return pathLength_m(found.path) < ground.geometry.cell_m ? null : found
}

/** A level line that keeps less than this of a drawn one's length has little to do with it. Source: judgement. */
const LEAST_SHARE = 0.4

/**
 * The level line that a drawn one comes nearest to: through the place of the drawn line whose ground is the middle height of all along it, from where it
 * passes the drawn line's first end to where it passes the last; null where the two go different ways.
 *
 * Laws    every vertex lies on that height to 1e-9 m; a drawn line that is level already is given back to within a cell.
 * Throws  what `lineThrough` throws.
 */
export function levelLineAlong(ground: ElevationGrid, drawn: readonly Point[]): LevelPiece | null {
  const length_m = pathLength_m(drawn)
  const { cell_m } = ground.geometry
  if (drawn.length < 2 || length_m < cell_m) return null
  const places = stations(drawn, Math.min(cell_m, length_m / 2))
    .map(({ at }) => ({ at, z_m: surfaceValue(ground, at) }))
    .filter(({ z_m }) => !Number.isNaN(z_m))
  if (places.length === 0) return null
  const byHeight = [...places].sort((a, b) => a.z_m - b.z_m)
  const { at } = byHeight[Math.floor(byHeight.length / 2)]!
  const line = lineThrough(ground, at, WINDING * length_m)
  const found = piece(line, nearest(line.path, drawn[0]!), nearest(line.path, drawn[drawn.length - 1]!))
  const kept_m = pathLength_m(found.path)
  return kept_m < Math.max(cell_m, LEAST_SHARE * length_m) ? null : found
}
