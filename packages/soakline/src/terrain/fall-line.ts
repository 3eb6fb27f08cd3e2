import { type ElevationGrid, fromLattice, heightOn, type Patch, type Point, patchAt, patchOf, riseOn, toLattice } from '../raster/index.js'

/** Up the ground or down it. */
export type Sense = 'up' | 'down'

/** Step in cells: short against a cell, so that the direction is that of the surface underfoot. */
const STEP = 0.2
/** Shorter steps than this tell that the surface bends away on both sides: a crest, a channel or a turning point. */
const SHORTEST = 0.005
/** A step that gains less of what the slope underfoot promises goes to and fro over a crest or a channel: without end where that is level. Judgement. */
const LEAST_GAIN_ratio = 1e-3

/**
 * One step up or down the bilinear surface by the midpoint rule, in lattice units; shorter where the surface bends.
 *
 * No data  a step may end where there is no surface (beyond the outermost cell centres, in a void): the caller sees it there.
 * Laws     otherwise the new place is strictly higher (up) or lower (down); + − × ÷ √ only.
 * @returns null where the surface gives no way on: level ground, the bottom of a channel, a crest, a turning point.
 */
export function stepOnFall(ground: ElevationGrid, patch: Patch, u: number, v: number, sense: Sense): { u: number; v: number } | null {
  const here = heightOn(patch, u, v)
  const sign = sense === 'down' ? -1 : 1
  const first = riseOn(patch, u, v)
  const steep = Math.sqrt(first.du * first.du + first.dv * first.dv)
  if (!(steep > 0)) return null
  const firstU = (sign * first.du) / steep
  const firstV = (sign * first.dv) / steep
  for (let h = STEP; h > SHORTEST; h /= 2) {
    const mu = u + (h / 2) * firstU
    const mv = v + (h / 2) * firstV
    const middle = isIn(patch, mu, mv) ? patch : patchUnder(ground, mu, mv)
    if (!middle) {
      // Across the corner of a void there may be ground again, even higher ground: the way ends in the void, it does not leap.
      const over = { u: u + h * firstU, v: v + h * firstV }
      return patchUnder(ground, over.u, over.v) ? { u: mu, v: mv } : over
    }
    const second = riseOn(middle, mu, mv)
    const steepThere = Math.sqrt(second.du * second.du + second.dv * second.dv)
    const nu = u + h * (steepThere > 0 ? (sign * second.du) / steepThere : firstU)
    const nv = v + h * (steepThere > 0 ? (sign * second.dv) / steepThere : firstV)
    const there = isIn(middle, nu, nv) ? middle : patchUnder(ground, nu, nv)
    if (!there) return { u: nu, v: nv }
    if (sign * (heightOn(there, nu, nv) - here) > LEAST_GAIN_ratio * h * steep) return { u: nu, v: nv }
  }
  return null
}

/** Whether a patch holds a place as `patchAt` has it: its rims to the north and west are its own. */
const isIn = ({ column, row }: Patch, u: number, v: number): boolean => u >= column && v >= row && u < column + 1 && v < row + 1

/** The line of steepest rise or fall from a place. */
export interface FallLine {
  readonly points: readonly Point[]
  /**
   * Where it ends: nothing around is higher (`summit`, also the crest of a level ridge) or lower (`pit`), the ground is level (`flat`),
   * or the surface ends at the outermost cell centres (`edge`) or at a void.
   */
  readonly end: 'summit' | 'pit' | 'flat' | 'edge' | 'void'
}

/**
 * The line of steepest rise or fall from a place on the surface that is bilinear between cell centres, until it can rise or fall no more.
 *
 * Where a crest or a channel is a crease between cells, it runs along the crease from cell centre to cell centre, and takes to the surface again:
 * to that patch round the centre which leads on most steeply.
 * It passes through no hollow and over no flat: that is `releasedWater`, which knows where a hollow spills.
 * No data  ends at a void.
 * Laws     heights rise (or fall) strictly from vertex to vertex; on a plane it keeps the plane's line of fall; up from the end of a way down
 *          need not lead back, as lines of fall meet in channels; decisions use + − × ÷ √ only.
 * Cost     some steps for each cell passed.
 * Source   midpoint rule: any textbook of numerical analysis.
 * @returns null where there is no surface at the place.
 */
export function fallLine(ground: ElevationGrid, place: Point, sense: Sense): FallLine | null {
  const g = ground.geometry
  let { u, v } = toLattice(g, place)
  if (!patchAt(ground, u, v)) return null
  const points: Point[] = [place]
  let patch: Patch | null = null
  for (;;) {
    patch = patchOnward(ground, u, v, sense, patch)
    const step: { readonly u: number; readonly v: number } | null = patch && stepOnFall(ground, patch, u, v, sense)
    if (step && !patchAt(ground, step.u, step.v)) {
      const outside = step.u < 0 || step.v < 0 || step.u > g.width - 1 || step.v > g.height - 1
      return { points, end: outside ? 'edge' : 'void' }
    }
    const onward = step ?? steepestCentre(ground, u, v, sense)
    if (!onward) return { points, end: isLevel(ground, u, v) ? 'flat' : sense === 'up' ? 'summit' : 'pit' }
    u = onward.u
    v = onward.v
    points.push(fromLattice(g, u, v))
  }
}

/** The patch that holds a place; on the rim of a void, which holds its own rim to the north and west, the patch beyond that rim. */
const patchUnder = (ground: ElevationGrid, u: number, v: number): Patch | null =>
  patchAt(ground, u, v) ?? patchesTouching(ground, u, v)[0] ?? null

/** The patches that touch a place: one inside a patch, two on a rim, four on a centre; without those that have a void corner. */
function patchesTouching(ground: ElevationGrid, u: number, v: number): Patch[] {
  const found: Patch[] = []
  for (let row = Math.ceil(v - 1); row <= Math.floor(v); row++)
    for (let column = Math.ceil(u - 1); column <= Math.floor(u); column++) {
      const patch = patchOf(ground, column, row)
      if (patch) found.push(patch)
    }
  return found
}

/**
 * The patch touching a place on which a way leads on: of those whose own slope does not lead out of them into others the steepest; null when there is
 * none.
 *
 * Laws  a turned raster gives the turned patch, but where the slope runs along a rim.
 * @param last  the patch of the step before, if any: a way makes several steps on each
 */
export function patchOnward(ground: ElevationGrid, u: number, v: number, sense: Sense, last: Patch | null = null): Patch | null {
  if (!Number.isInteger(u) && !Number.isInteger(v)) return last !== null && isIn(last, u, v) ? last : patchAt(ground, u, v)
  let best: Patch | null = null
  let most = 0
  for (const patch of patchesTouching(ground, u, v)) {
    const { du, dv } = riseOn(patch, u, v)
    const east = sense === 'up' ? du : -du
    const south = sense === 'up' ? dv : -dv
    // Out of this patch into another one: that has a slope of its own. Off the raster or into a void it leads as well.
    const column = patch.column + (u === patch.column && east < 0 ? -1 : u === patch.column + 1 && east > 0 ? 1 : 0)
    const row = patch.row + (v === patch.row && south < 0 ? -1 : v === patch.row + 1 && south > 0 ? 1 : 0)
    if ((column !== patch.column || row !== patch.row) && patchOf(ground, column, row)) continue
    const steep = du * du + dv * dv
    if (steep > most) {
      most = steep
      best = patch
    }
  }
  return best
}

/** Of the cell centres round a place that are higher (lower) than it the one with the steepest way to it; null when there is none. */
function steepestCentre(ground: ElevationGrid, u: number, v: number, sense: Sense): { u: number; v: number } | null {
  const [patch] = patchesTouching(ground, u, v)
  if (!patch) return null
  const here = heightOn(patch, u, v)
  let best: { u: number; v: number } | null = null
  let steep = 0
  let gain = 0
  for (const { column, row, z } of centresAround(ground, u, v)) {
    const rise = sense === 'up' ? z - here : here - z
    const away = Math.sqrt((column - u) * (column - u) + (row - v) * (row - v))
    // Of equally steep ways the one that gains more: a rule by value, so that it turns with the raster.
    if (rise / away > steep || (rise / away === steep && rise > gain)) {
      steep = rise / away
      gain = rise
      best = { u: column, v: row }
    }
  }
  return best
}

/** Cell centres that share a patch with a place: four inside a patch, six on a rim, nine on a centre. Those beside a void are not among them. */
function centresAround(ground: ElevationGrid, u: number, v: number): { column: number; row: number; z: number }[] {
  const { width, height } = ground.geometry
  const found: { column: number; row: number; z: number }[] = []
  // A step ends by rounding a little beside a rim: whoever stands so near stands on it.
  const near = 2 * SHORTEST
  for (let row = Math.max(0, Math.ceil(v - 1 - near)); row <= Math.min(height - 1, Math.floor(v + 1 + near)); row++)
    for (let column = Math.max(0, Math.ceil(u - 1 - near)); column <= Math.min(width - 1, Math.floor(u + 1 + near)); column++) {
      const z = ground.data[row * width + column]!
      if (patchAt(ground, (u + column) / 2, (v + row) / 2)) found.push({ column, row, z })
    }
  return found
}

/** Whether one of the patches at a place is level. */
function isLevel(ground: ElevationGrid, u: number, v: number): boolean {
  const near = 2 * SHORTEST
  for (const dv of [-near, near])
    for (const du of [-near, near]) {
      const p = patchAt(ground, u + du, v + dv)
      if (p && p.nw === p.ne && p.nw === p.sw && p.nw === p.se) return true
    }
  return false
}
