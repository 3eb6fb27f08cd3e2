import { InputError } from '../foundation/index.js'
import {
  distance_m,
  type ElevationGrid,
  fromLattice,
  heightOn,
  type LatticePoint,
  type Patch,
  type Point,
  patchAt,
  pathLength_m,
  riseOn,
  surfaceValue,
  toLattice,
} from '../raster/index.js'
import { edgeCrossing, type LineEnd, ontoLevel, patchOnLevel, refine, walkLevel } from './isoline.js'

/** A line on the ground with its heights. */
export interface GroundLine {
  readonly path: readonly Point[]
  /** Interpolated ground at each vertex. */
  readonly ground_m: Float64Array
  /** Why it begins and ends where it does; `length` when it has the asked length. */
  readonly ends: readonly [LineEnd, LineEnd]
}

/** Largest gap between vertices. */
const GAP_m = 1

/**
 * The line through a place that keeps its level, or falls at a chosen ratio, on the surface that is bilinear between cell centres.
 * It runs with the uphill side on the left and the place in its middle; a positive fall descends along it. A level line that closes on itself within
 * the length is given once round, from the place to the place.
 *
 * Units    `length_m` is the whole horizontal length; `fall_ratio` is metres of fall per metre of line.
 * Laws     level: every vertex lies on the place's own height to 1e-9 m; falling: every vertex lies on its planned height to 1e-6 m;
 *          no two vertices are more than 1 m apart.
 * Throws   InputError `level/outside` when the place has no ground, `level/flat-ground` when no line can be told there.
 */
export function lineThrough(ground: ElevationGrid, place: Point, length_m: number, fall_ratio = 0): GroundLine {
  const level = surfaceValue(ground, place)
  if (Number.isNaN(level))
    throw new InputError(
      'level/outside',
      `There is no ground at ${place[0]}, ${place[1]}: the place lies outside the raster or in a void. Choose a place inside it.`,
      {
        place,
      },
    )
  const [back, on] =
    fall_ratio === 0
      ? levelBoth(ground, place, level, length_m)
      : [falling(ground, place, length_m / 2, fall_ratio, -1), falling(ground, place, length_m / 2, fall_ratio, 1)]
  const path = [...back.path.reverse(), place, ...on.path]
  return { path, ground_m: Float64Array.from(path, p => surfaceValue(ground, p)), ends: [back.end, on.end] }
}

interface Half {
  readonly path: Point[]
  readonly end: LineEnd
}

/** Where a level line through a place starts: its patch, and the edges by which it leaves that backwards and onwards (uphill on the left). */
function levelStart(ground: ElevationGrid, place: Point, level: number): { patch: Patch; back: number; on: number } {
  const start = patchOnLevel(ground, place, level)
  if (!start)
    throw new InputError(
      'level/flat-ground',
      `The ground at ${place[0]}, ${place[1]} is flat or a summit: no level line can be told there. Choose a place on a slope.`,
      {
        place,
      },
    )
  // Uphill on the left: the gradient at the place, turned to the right, points along the line. The place may be one of the two crossings.
  const { patch, edges } = start
  const { u, v } = toLattice(ground.geometry, place)
  const { du, dv } = riseOn(patch, u, v)
  const first = edgeCrossing(patch, edges[0], level)
  const second = edgeCrossing(patch, edges[1], level)
  return -dv * (first.u - second.u) + du * (first.v - second.v) > 0
    ? { patch, back: edges[1], on: edges[0] }
    : { patch, back: edges[0], on: edges[1] }
}

function levelBoth(ground: ElevationGrid, place: Point, height_m: number, length_m: number): [Half, Half] {
  const { patch, back, on } = levelStart(ground, place, height_m)
  const { round, half } = levelHalf(ground, place, patch, on, height_m, length_m / 2, length_m)
  if (round.end === 'closed') {
    // Once round: two halves would lie on top of each other.
    const last = round.path[round.path.length - 1] ?? place
    const home = refine(ground, patch, toLattice(ground.geometry, last), toLattice(ground.geometry, place), height_m, gapOn(ground))
    const path = [...round.path, ...home, ...(distance_m(last, place) > 0 ? [place] : [])]
    if (pathLength_m([place, ...path]) <= length_m)
      return [
        { path: [], end: 'closed' },
        { path, end: 'closed' },
      ]
  }
  return [levelHalf(ground, place, patch, back, height_m, length_m / 2).half, half]
}

/** Largest gap between vertices, in cells. */
const gapOn = (ground: ElevationGrid): number => Math.min(0.5, (0.99 * GAP_m) / ground.geometry.cell_m)

/** The half of a level line, `half_m` long, and the same followed on to `round_m`, which tells whether it comes back: one walk gives both. */
function levelHalf(
  ground: ElevationGrid,
  place: Point,
  patch: Patch,
  edge: number,
  level: number,
  half_m: number,
  round_m = half_m,
): { readonly round: Half; readonly half: Half } {
  const g = ground.geometry
  const gap = gapOn(ground)
  const path: Point[] = []
  let half: Half | null = null
  let before: LatticePoint = toLattice(g, place)
  let last = place
  let length = 0
  const walk = walkLevel(ground, patch, edge, level)
  for (let step = walk.next(); ; step = walk.next()) {
    if (step.done) {
      const round = { path, end: step.value }
      return { round, half: half ?? round }
    }
    const here = step.value
    const points = refine(ground, here.patch, before, here, level, gap)
    points.push(fromLattice(g, here.u, here.v))
    for (const point of points) {
      const piece = distance_m(last, point)
      if (half === null && length + piece >= half_m)
        half = { path: [...path, cutAt(half_m - length, piece, here.patch, last, point)], end: 'length' }
      if (half !== null && length + piece >= round_m) {
        const round: Half = { path: [...path, cutAt(round_m - length, piece, here.patch, last, point)], end: 'length' }
        return { round, half }
      }
      if (piece > 0) path.push(point)
      length += piece
      last = point
    }
    before = here
  }

  /** The place on the level some way along a piece of it. */
  function cutAt(along_m: number, piece_m: number, on: Patch, a: Point, b: Point): Point {
    const t = piece_m > 0 ? along_m / piece_m : 0
    const cut = toLattice(g, [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])])
    const { u, v } = ontoLevel(on, cut.u, cut.v, level)
    return fromLattice(g, u, v)
  }
}

/** Lengths closer than this, in cells, are one. */
const NEAR = 1e-8
/** Halvings of a cell that end below `NEAR`, and some more. */
const MOST_TRIES = 40

/** One half of a falling line: short steps across the slope, each moved up or down it onto its planned height. */
function falling(ground: ElevationGrid, place: Point, half_m: number, fall_ratio: number, sense: 1 | -1): Half {
  const g = ground.geometry
  const step = Math.min(0.25, (0.5 * GAP_m) / g.cell_m)
  const half = half_m / g.cell_m
  const fall = fall_ratio * g.cell_m * sense // per cell of line walked in this sense
  const path: Point[] = []
  let { u, v } = toLattice(g, place)
  let planned = surfaceValue(ground, place)
  let reach = 1 // how much of the rest the last step takes before it is moved onto its height
  let [tooLittle, tooMuch] = [0, Number.POSITIVE_INFINITY]
  let tries = 0
  for (let length = 0; length < half - NEAR; ) {
    const patch = patchAt(ground, u, v)
    if (!patch) return { path, end: ended(ground, u, v) }
    const { du, dv } = riseOn(patch, u, v)
    const steep = Math.sqrt(du * du + dv * dv)
    if (!(steep > Math.abs(fall) * 1.001) || steep < 1e-7 * g.cell_m) return { path, end: 'flat' }
    const last = half - length < 1.5 * step // no sliver at the end
    const h = last ? reach * (half - length) : step
    // Uphill on the left, x east and v south: the gradient (du, dv) turned right is (−dv, du).
    let nu = u + (sense * h * -dv) / steep
    let nv = v + (sense * h * du) / steep
    let long = h
    let target = planned
    for (let k = 0; k < 20; k++) {
      const at = patchAt(ground, nu, nv)
      if (!at) return { path, end: ended(ground, nu, nv) }
      long = Math.sqrt((nu - u) * (nu - u) + (nv - v) * (nv - v))
      target = planned - fall * long
      const short = target - heightOn(at, nu, nv)
      if (Math.abs(short) < 1e-9) break
      const rise = riseOn(at, nu, nv)
      const square = rise.du * rise.du + rise.dv * rise.dv
      // Moving up by a length changes the planned height too, as the step gets longer or shorter.
      const gains = square + (fall * ((nu - u) * rise.du + (nv - v) * rise.dv)) / long
      if (!(gains > 1e-14) || k === 19) return { path, end: 'flat' }
      nu += (short * rise.du) / gains
      nv += (short * rise.dv) / gains
    }
    // A correction longer than the step means that the slope broke off here, one that undoes the step that the slope turns back on itself: an
    // honest stop rather than a jump, or a step on the spot for ever.
    if (long > 3 * h || long < 0.05 * h) return { path, end: 'flat' }
    // The last step is tried again where its correction gave it another length than the rest of the line. On a sharp edge no share of it may do: the
    // line then ends before it, as it cannot have the asked length.
    if (last && Math.abs(length + long - half) > NEAR) {
      if (tries++ >= MOST_TRIES) return { path, end: 'flat' }
      if (length + long < half) tooLittle = reach
      else tooMuch = reach
      const next = (reach * (half - length)) / long
      reach = next > tooLittle && next < tooMuch ? next : (tooLittle + tooMuch) / 2
      continue
    }
    length += long
    planned = target
    u = nu
    v = nv
    path.push(fromLattice(g, u, v))
  }
  return { path, end: 'length' }
}

function ended(ground: ElevationGrid, u: number, v: number): LineEnd {
  const { width, height } = ground.geometry
  return u < 0 || v < 0 || u > width - 1 || v > height - 1 ? 'edge' : 'void'
}
