import {
  cellAt,
  cellCentre,
  type ElevationGrid,
  fromLattice,
  type Grid,
  neighbourOffsets,
  type Patch,
  type Point,
  toLattice,
} from '../raster/index.js'
import { patchOnward, stepOnFall } from '../terrain/index.js'
import { LEAVES, SINK, VOID } from './direction-codes.js'
import type { Drainage } from './drainage.js'

/** The way of water over the ground. */
export interface WaterPath {
  readonly points: readonly Point[]
  /** Where it stops being known: the raster's edge, a void, or a hollow that is kept. */
  readonly end: 'edge' | 'void' | 'hollow'
  /** Stretches (indices into `points`) that pass through filled hollows or over flats along the drainage, not on the surface itself. */
  readonly byDrainage: readonly (readonly [from: number, to: number])[]
}

/**
 * Where water released at a place runs: continuous steepest descent on the surface that is bilinear between cell centres.
 *
 * In hollows and on flats it follows the drainage to where the hollow spills, then takes to the surface again.
 * Laws    never rises outside hollows; on a plane it keeps the plane's line of fall; a turned raster gives the turned way, ties aside;
 *         decisions use + − × ÷ √ only.
 * No data ends at a void.
 * Cost    some steps for each cell passed.
 * @returns null where there is no ground at the place.
 */
export function releasedWater(
  ground: ElevationGrid,
  filled: Grid<'filled_m'>,
  { direction, slope }: Drainage,
  place: Point,
): WaterPath | null {
  const g = ground.geometry
  const offsets = neighbourOffsets(g.width)
  let cell = cellAt(g, place[0], place[1])
  if (cell < 0 || direction[cell] === VOID) return null
  const points: Point[] = [place]
  const byDrainage: [number, number][] = []
  let { u, v } = toLattice(g, place)
  // Cells from which it has gone by the drainage.
  const left = new Set<number>()
  const inHollow = (at: number): boolean => filled.data[at]! > ground.data[at]! || slope[at] === SINK
  // Within the outer half cell there is no surface: start at the nearest cell centre's line.
  for (;;) {
    // On the surface, as far as it goes down.
    let patch: Patch | null = null
    for (;;) {
      // From a cell centre that the drainage led to, onto the steepest patch round it.
      patch = patchOnward(ground, u, v, 'down', patch)
      if (!patch) break
      if (inHollow(nearest(u, v))) break
      const next = stepOnFall(ground, patch, u, v, 'down')
      if (!next) break
      u = next.u
      v = next.v
      points.push(fromLattice(g, u, v))
    }
    const outside = u < 0 || v < 0 || u > g.width - 1 || v > g.height - 1
    cell = nearest(u, v)
    if (points.length > 1 && outside) return { points, end: 'edge', byDrainage }
    if (direction[cell] === VOID) return { points, end: 'void', byDrainage }
    // By the drainage, cell by cell, until the surface falls away again.
    const from = points.length - 1
    const metAgain = left.has(cell)
    left.add(cell)
    let height = ground.data[cell]!
    const push = (at: number): void => {
      const centre = cellCentre(g, at)
      const last = points[points.length - 1]!
      if (centre[0] !== last[0] || centre[1] !== last[1]) points.push(centre)
    }
    push(cell)
    for (;;) {
      const code = direction[cell]!
      if (code === LEAVES || code === SINK) {
        byDrainage.push([from, points.length - 1])
        return { points, end: code === LEAVES ? (onBorder(cell) ? 'edge' : 'void') : 'hollow', byDrainage }
      }
      cell += offsets[code]!
      push(cell)
      const falls = ground.data[cell]! < height || ground.data[cell + offsets[slope[cell]!]!]! < ground.data[cell]!
      height = Math.min(height, ground.data[cell]!)
      // A place met again is left to the drainage for good: it always ends.
      if (falls && !inHollow(cell) && !metAgain) break
    }
    byDrainage.push([from, points.length - 1])
    const at = toLattice(g, cellCentre(g, cell))
    u = at.u
    v = at.v
  }

  // A step ends at most a fifth of a cell beyond the outermost centres.
  function nearest(a: number, b: number): number {
    return Math.floor(b + 0.5) * g.width + Math.floor(a + 0.5)
  }

  function onBorder(at: number): boolean {
    const column = at % g.width
    const row = (at - column) / g.width
    return column === 0 || row === 0 || column === g.width - 1 || row === g.height - 1
  }
}
