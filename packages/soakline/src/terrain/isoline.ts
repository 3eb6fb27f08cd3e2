import { fromLattice, type Grid, heightOn, type Patch, type Point, patchAt, patchOf, riseOn, toLattice } from '../raster/index.js'

/** Edges of a patch, clockwise from the top. */
const TOP = 0
const RIGHT = 1
const BOTTOM = 2
const LEFT = 3

/** Ground at exactly the level counts as above it (a symbolic nudge), so that a line never runs along a plateau or through a corner twice. */
const isAbove = (z: number, level: number): boolean => z >= level

/** For each edge of a patch, clockwise from the top, the edge that the level line joins it to, or −1. */
type Joined = readonly [number, number, number, number]

/** The line from one edge to another, for each pair of edges: looked up by the word of the two edges' bits. */
const JOINED: readonly Joined[] = Array.from({ length: 16 }, (_, word) => {
  const joined: [number, number, number, number] = [-1, -1, -1, -1]
  const [a, b, ...more] = [TOP, RIGHT, BOTTOM, LEFT].filter(k => (word >> k) & 1)
  if (a === undefined || b === undefined || more.length > 0) return joined
  joined[a] = b
  joined[b] = a
  return joined
})
/** The two ways through a saddle. */
const OFF_NORTH_EAST_AND_SOUTH_WEST: Joined = [RIGHT, TOP, LEFT, BOTTOM]
const OFF_NORTH_WEST_AND_SOUTH_EAST: Joined = [LEFT, BOTTOM, RIGHT, TOP]

/** For each edge of a patch the edge that the level line joins it to, or −1. In a saddle the lines keep to the side that the surface itself takes. */
export function joinedEdges(p: Patch, level: number): Joined {
  const nw = isAbove(p.nw, level)
  const ne = isAbove(p.ne, level)
  const se = isAbove(p.se, level)
  const sw = isAbove(p.sw, level)
  const cut = (nw !== ne ? 1 << TOP : 0) | (ne !== se ? 1 << RIGHT : 0) | (se !== sw ? 1 << BOTTOM : 0) | (sw !== nw ? 1 << LEFT : 0)
  if (cut !== 0b1111) return JOINED[cut]!
  const twist = p.nw - p.ne - p.sw + p.se
  const saddle = (p.nw * p.se - p.ne * p.sw) / twist
  // The lines cut off the two corners of the kind that the middle of the saddle is not.
  return nw === isAbove(saddle, level) ? OFF_NORTH_EAST_AND_SOUTH_WEST : OFF_NORTH_WEST_AND_SOUTH_EAST
}

/** Where the level crosses an edge of a patch. */
export function edgeCrossing(p: Patch, edge: number, level: number): { u: number; v: number } {
  const between = (a: number, b: number): number => (level - a) / (b - a)
  if (edge === TOP) return { u: p.column + between(p.nw, p.ne), v: p.row }
  if (edge === RIGHT) return { u: p.column + 1, v: p.row + between(p.ne, p.se) }
  if (edge === BOTTOM) return { u: p.column + between(p.sw, p.se), v: p.row + 1 }
  return { u: p.column, v: p.row + between(p.nw, p.sw) }
}

const STEP = [
  [0, -1],
  [1, 0],
  [0, 1],
  [-1, 0],
] as const

/** Why a line stopped. */
export type LineEnd = 'length' | 'edge' | 'void' | 'closed' | 'flat'

/** Where a level line leaves a patch. */
export interface Crossing {
  readonly u: number
  readonly v: number
  readonly patch: Patch
  readonly edge: number
}

/** Places of one level line from a patch's edge onwards, until it leaves the raster, meets a void or comes back. */
export function* walkLevel(grid: Grid, start: Patch, towards: number, level: number): Generator<Crossing, LineEnd> {
  let patch = start
  let edge = towards
  for (;;) {
    const { u, v } = edgeCrossing(patch, edge, level)
    yield { u, v, patch, edge }
    const [dc, dr] = STEP[edge]!
    const entered = (edge + 2) % 4
    const column = patch.column + dc
    const row = patch.row + dr
    const next = patchOf(grid, column, row)
    if (!next) return column < 0 || row < 0 || column > grid.geometry.width - 2 || row > grid.geometry.height - 2 ? 'edge' : 'void'
    patch = next
    edge = joinedEdges(patch, level)[entered]!
    if (edge < 0) return 'flat'
    if (patch.column === start.column && patch.row === start.row && edge === towards) return 'closed'
  }
}

/**
 * Moves a place onto the level along the steepest rise of its patch.
 *
 * A few steps end at rounding; beside the saddle point of a patch, where the rise all but vanishes, each step only halves what is left.
 */
export function ontoLevel(p: Patch, u: number, v: number, level: number): { u: number; v: number } {
  for (let k = 0; k < 40; k++) {
    const { du, dv } = riseOn(p, u, v)
    const square = du * du + dv * dv
    const short = level - heightOn(p, u, v)
    if (square === 0 || Math.abs(short) < 1e-12) break
    u += (short * du) / square
    v += (short * dv) / square
  }
  return { u, v }
}

/** The patch through which the level line at a place runs, and the two edges by which that line leaves it; null on level ground. */
export function patchOnLevel(grid: Grid, place: Point, level: number): { patch: Patch; edges: readonly [number, number] } | null {
  const { u, v } = toLattice(grid.geometry, place)
  // A place on a cell centre or a patch rim belongs to several patches: take the one whose line comes nearest.
  const around = [patchAt(grid, u, v)]
  for (const [du, dv] of [
    [-1e-9, 0],
    [0, -1e-9],
    [-1e-9, -1e-9],
  ] as const)
    around.push(patchAt(grid, u + du, v + dv))
  let best: { patch: Patch; edges: readonly [number, number] } | null = null
  let least = Number.POSITIVE_INFINITY
  let longest = 0
  for (const patch of around) {
    if (!patch) continue
    const joined = joinedEdges(patch, level)
    for (let a = 0; a < 4; a++) {
      const b = joined[a]!
      if (b <= a) continue
      const p = edgeCrossing(patch, a, level)
      const q = edgeCrossing(patch, b, level)
      const middle = ontoLevel(patch, (p.u + q.u) / 2, (p.v + q.v) / 2, level)
      const away = Math.min(...[p, q, middle].map(at => (at.u - u) * (at.u - u) + (at.v - v) * (at.v - v)))
      // Round a cell centre at exactly the level some patches hold no more than that point of the line: they cannot tell its direction, and
      // round a summit none can.
      const long = (p.u - q.u) * (p.u - q.u) + (p.v - q.v) * (p.v - q.v)
      if (long < 1e-20) continue
      if (away < least - 1e-12 || (away <= least + 1e-12 && long > longest)) {
        least = Math.min(least, away)
        longest = long
        best = { patch, edges: [a, b] }
      }
    }
  }
  return best
}

/** Places between two points of a level line within one patch, so that no gap exceeds `gap` cells and the chord keeps to the curve. */
export function refine(
  grid: Grid,
  patch: Patch,
  a: { u: number; v: number },
  b: { u: number; v: number },
  level: number,
  gap: number,
): Point[] {
  const found: Point[] = []
  addBetween(found, grid, patch, a, b, level, gap)
  return found
}

function addBetween(
  found: Point[],
  grid: Grid,
  patch: Patch,
  a: { u: number; v: number },
  b: { u: number; v: number },
  level: number,
  gap: number,
): void {
  const du = b.u - a.u
  const dv = b.v - a.v
  if (du * du + dv * dv <= gap * gap) return
  const middle = ontoLevel(patch, (a.u + b.u) / 2, (a.v + b.v) / 2, level)
  const inside = middle.u >= patch.column && middle.u <= patch.column + 1 && middle.v >= patch.row && middle.v <= patch.row + 1
  if (!inside) return
  addBetween(found, grid, patch, a, middle, level, gap)
  found.push(fromLattice(grid.geometry, middle.u, middle.v))
  addBetween(found, grid, patch, middle, b, level, gap)
}
