import { type Drainage, LEAVES, SINK, VOID } from '../hydrology/index.js'
import { COLUMN_STEP, type GridGeometry, neighbourOffsets, ROW_STEP } from '../raster/index.js'

const NONE = -1

/**
 * Working memory for draining one window again and again with other heights but the same gaps: nothing is allocated from run to run, as long as
 * there are no more pits than there were.
 */
export interface DrainScratch {
  readonly geometry: GridGeometry
  /** Heights of the run at hand: written by the caller. */
  readonly z: Float32Array
  readonly filled: Float32Array
  readonly slope: Uint8Array
  readonly direction: Uint8Array
  readonly basin: Int32Array
  /** Cells on the window's rim or beside a gap: any of them can let a hollow's water out. */
  readonly rim: Int32Array
  /** Pits that keep their water. */
  readonly keep: readonly number[]
  readonly walk: Int32Array
  edges: Int32Array
  pits: Int32Array
  basins: BasinScratch
}

interface BasinScratch {
  readonly level_m: Float64Array
  readonly passInside: Int32Array
  readonly passOutside: Int32Array
  readonly pass_m: Float64Array
  readonly next: Int32Array
  /** Union of basins that are joined already. */
  readonly joined: Int32Array
  readonly bestEdge: Int32Array
  readonly bestHeight: Float32Array
  readonly bestDrop: Float32Array
  /** Chosen passes of each basin as linked lists: two halves for each. */
  readonly first: Int32Array
  readonly follow: Int32Array
  readonly chosen: Int32Array
  readonly queue: Int32Array
}

const basinScratch = (room: number): BasinScratch => ({
  level_m: new Float64Array(room),
  passInside: new Int32Array(room),
  passOutside: new Int32Array(room),
  pass_m: new Float64Array(room),
  next: new Int32Array(room),
  joined: new Int32Array(room),
  bestEdge: new Int32Array(room),
  bestHeight: new Float32Array(room),
  bestDrop: new Float32Array(room),
  first: new Int32Array(room),
  follow: new Int32Array(2 * room),
  chosen: new Int32Array(room),
  queue: new Int32Array(room),
})

/** Working memory for a window whose gaps are those of `ground`. About 40 bytes a cell. */
export function drainScratch(geometry: GridGeometry, ground: Float32Array, keep: readonly number[]): DrainScratch {
  const { width, height } = geometry
  const cells = width * height
  const offsets = neighbourOffsets(width)
  const rim: number[] = []
  for (let row = 0, cell = 0; row < height; row++)
    for (let column = 0; column < width; column++, cell++) {
      if (Number.isNaN(ground[cell]!)) continue
      let leaves = row === 0 || column === 0 || row === height - 1 || column === width - 1
      for (let k = 0; k < 8 && !leaves; k++) leaves = Number.isNaN(ground[cell + offsets[k]!]!)
      if (leaves) rim.push(cell)
    }
  return {
    geometry,
    z: new Float32Array(cells),
    filled: new Float32Array(cells),
    slope: new Uint8Array(cells),
    direction: new Uint8Array(cells),
    basin: new Int32Array(cells),
    rim: Int32Array.from(rim),
    keep,
    walk: new Int32Array(cells),
    edges: new Int32Array(Math.max(1024, cells)),
    pits: new Int32Array(1024),
    basins: basinScratch(1024),
  }
}

/**
 * Drains the heights of the scratch: directions, basins, their passes, and the filled surface, as `drainage` and `filledSurface` give them.
 *
 * The passes are chosen by Borůvka's rounds over the boundaries between basins instead of a queue; the tree of lowest passes is the same one.
 * One difference, for equal heights only: the cells of a flat are pits of their own. Of equally high passes the steepest counts, as there.
 * Laws    following the directions from any cell ends off the window or in a kept pit; the filled surface is that of `filledSurface`.
 * Cost    about 100 ns a cell.
 * Source  Borůvka (1926), as told in any textbook of algorithms; basin graph after Cordonnier, Bovy & Braun (2019), ESurf 7, 549–562; own
 *         construction.
 * @returns a drainage whose arrays are the scratch's own and hold until the next call.
 */
export function drainRun(s: DrainScratch): Drainage {
  slopes(s)
  const count = label(s)
  joinBasins(s, count)
  orient(s, count)
  turnPitsRound(s, count)
  fill(s)
  const { level_m, passInside, passOutside, pass_m, next } = s.basins
  return {
    geometry: s.geometry,
    direction: s.direction,
    slope: s.slope,
    basin: s.basin,
    basins: {
      pit: s.pits.subarray(0, count),
      level_m: level_m.subarray(0, count),
      passInside: passInside.subarray(0, count),
      passOutside: passOutside.subarray(0, count),
      pass_m: pass_m.subarray(0, count),
      next: next.subarray(0, count),
    },
  }
}

/** The steepest lower neighbour; ties go to the first clockwise from north. Gaps compare as not lower. */
function slopes({ geometry: { width, height }, z, slope, rim }: DrainScratch): void {
  const SLANT = Math.SQRT2
  for (let row = 1; row < height - 1; row++)
    for (let column = 1, cell = row * width + 1; column < width - 1; column++, cell++) {
      const here = z[cell]!
      if (Number.isNaN(here)) {
        slope[cell] = VOID
        continue
      }
      // The lowest straight and the lowest slant neighbour; the first of equals.
      let straight = z[cell - width]!
      let toStraight = 0
      let slant = z[cell - width + 1]!
      let toSlant = 1
      let there = z[cell + 1]!
      if (there < straight || Number.isNaN(straight)) {
        straight = there
        toStraight = 2
      }
      there = z[cell + width + 1]!
      if (there < slant || Number.isNaN(slant)) {
        slant = there
        toSlant = 3
      }
      there = z[cell + width]!
      if (there < straight || Number.isNaN(straight)) {
        straight = there
        toStraight = 4
      }
      there = z[cell + width - 1]!
      if (there < slant || Number.isNaN(slant)) {
        slant = there
        toSlant = 5
      }
      there = z[cell - 1]!
      if (there < straight || Number.isNaN(straight)) {
        straight = there
        toStraight = 6
      }
      there = z[cell - width - 1]!
      if (there < slant || Number.isNaN(slant)) {
        slant = there
        toSlant = 7
      }
      const drop = here - straight
      const dropSlant = (here - slant) / SLANT
      let best: number = drop > 0 ? toStraight : SINK
      if (dropSlant > 0 && (!(drop > 0) || dropSlant > drop || (dropSlant === drop && toSlant < toStraight))) best = toSlant
      slope[cell] = best
    }
  const border = (column: number, row: number): void => {
    const cell = row * width + column
    const here = z[cell]!
    let best: number = Number.isNaN(here) ? VOID : LEAVES
    let steepest = 0
    for (let k = 0; k < 8; k++) {
      const c = column + COLUMN_STEP[k]!
      const r = row + ROW_STEP[k]!
      if (c < 0 || r < 0 || c >= width || r >= height) continue
      const drop = (here - z[r * width + c]!) / (k & 1 ? SLANT : 1)
      if (drop > steepest) {
        steepest = drop
        best = k
      }
    }
    slope[cell] = best
  }
  for (let column = 0; column < width; column++) {
    border(column, 0)
    border(column, height - 1)
  }
  for (let row = 1; row < height - 1; row++) {
    border(0, row)
    border(width - 1, row)
  }
  for (let k = 0; k < rim.length; k++) if (slope[rim[k]!] === SINK) slope[rim[k]!] = LEAVES
}

/** Names the basin of each cell; how many there are, the outside included. */
function label(s: DrainScratch): number {
  const { slope, basin, walk, geometry } = s
  const offsets = neighbourOffsets(geometry.width)
  basin.fill(-2)
  let pits = s.pits
  pits[0] = NONE
  let count = 1
  for (let start = 0; start < basin.length; start++) {
    let name = basin[start]!
    if (name !== -2) continue
    let cell = start
    let on = 0
    for (;;) {
      const code = slope[cell]!
      if (code < 8) {
        walk[on++] = cell
        cell += offsets[code]!
        name = basin[cell]!
        if (name !== -2) break
        continue
      }
      if (code === VOID) name = NONE
      else if (code === LEAVES) name = 0
      else {
        if (count === pits.length) {
          s.pits = new Int32Array(2 * count)
          s.pits.set(pits)
          pits = s.pits
        }
        name = count
        pits[count++] = cell
      }
      basin[cell] = name
      break
    }
    while (on > 0) basin[walk[--on]!] = name
  }
  if (s.basins.level_m.length < count) s.basins = basinScratch(Math.ceil(1.25 * count))
  return count
}

/** Chooses the passes: each round every group of joined basins takes its lowest way out. */
function joinBasins(s: DrainScratch, count: number): void {
  const { z, basin, rim, geometry } = s
  const { width, height } = geometry
  const { joined, bestEdge, bestHeight, bestDrop, first, follow, chosen } = s.basins
  for (let b = 0; b < count; b++) {
    joined[b] = b
    bestEdge[b] = NO_EDGE
    bestHeight[b] = Number.POSITIVE_INFINITY
    first[b] = NONE
  }
  for (const cell of s.keep) if (basin[cell]! > 0) joined[basin[cell]!] = 0
  // Boundaries between basins: the rim's as −1 − cell, the others as 4 × cell + direction − 2. The order in which they are looked at decides ties.
  let edges = s.edges
  let found = 0
  const room = (): void => {
    s.edges = new Int32Array(2 * edges.length)
    s.edges.set(edges)
    edges = s.edges
  }
  for (let k = 0; k < rim.length; k++) {
    const own = basin[rim[k]!]!
    if (own <= 0) continue
    const h = z[rim[k]!]!
    if (found === edges.length) room()
    edges[found++] = -1 - rim[k]!
    if (h < bestHeight[own]!) {
      bestHeight[own] = h
      bestDrop[own] = 0
      bestEdge[own] = -1 - rim[k]!
    }
  }
  for (let row = 0, cell = 0; row < height; row++)
    for (let column = 0; column < width; column++, cell++) {
      const own = basin[cell]!
      // Most cells lie within their basin: tell that at a glance.
      if (column > 0 && column < width - 1 && row < height - 1) {
        const below = cell + width
        if (basin[cell + 1] === own && basin[below + 1] === own && basin[below] === own && basin[below - 1] === own) continue
      }
      if (own < 0) continue
      const here = z[cell]!
      if (found + 4 > edges.length) room()
      for (let k = 0; k < 4; k++) {
        // East, south-east, south, south-west.
        if (k < 2 ? column === width - 1 : k === 3 && column === 0) continue
        if (k > 0 && row === height - 1) continue
        const to = k === 0 ? cell + 1 : cell + width + 2 - k
        const other = basin[to]!
        if (other === own || other < 0) continue
        const there = z[to]!
        const h = Math.max(here, there)
        const drop = Math.fround(Math.abs(here - there) / (k & 1 ? Math.SQRT2 : 1))
        const edge = 4 * cell + k
        edges[found++] = edge
        if (h < bestHeight[own]! || (h === bestHeight[own]! && drop > bestDrop[own]!)) {
          bestHeight[own] = h
          bestDrop[own] = drop
          bestEdge[own] = edge
        }
        if (h < bestHeight[other]! || (h === bestHeight[other]! && drop > bestDrop[other]!)) {
          bestHeight[other] = h
          bestDrop[other] = drop
          bestEdge[other] = edge
        }
      }
    }
  // Kept pits belong to the outside, which never asks for a way out.
  for (const cell of s.keep) if (basin[cell]! > 0) bestEdge[basin[cell]!] = NO_EDGE
  const root = (b: number): number => {
    while (joined[b] !== b) b = joined[b]!
    return b
  }
  let passes = 0
  for (;;) {
    let merged = 0
    for (let b = 1; b < count; b++) {
      const edge = bestEdge[b]!
      if (edge === NO_EDGE) continue
      const cell = edge < 0 ? -1 - edge : edge >> 2
      const one = basin[cell]!
      const two = edge < 0 ? 0 : basin[beyondOf(edge, cell, width)]!
      const p = root(one)
      const q = root(two)
      if (p === q) continue
      // The lower name stands for the group, so that the outside is always 0.
      if (p > q) joined[p] = q
      else joined[q] = p
      chosen[passes] = edge
      follow[2 * passes] = first[one]!
      first[one] = 2 * passes
      follow[2 * passes + 1] = first[two]!
      first[two] = 2 * passes + 1
      passes++
      merged++
    }
    if (merged === 0) return
    // A group's name is lower than its members': one pass upwards tells everybody theirs.
    for (let b = 0; b < count; b++) {
      joined[b] = joined[joined[b]!]!
      bestEdge[b] = NO_EDGE
      bestHeight[b] = Number.POSITIVE_INFINITY
    }
    let left = 0
    for (let k = 0; k < found; k++) {
      const edge = edges[k]!
      const cell = edge < 0 ? -1 - edge : edge >> 2
      const to = edge < 0 ? cell : beyondOf(edge, cell, width)
      const p = joined[basin[cell]!]!
      const q = edge < 0 ? 0 : joined[basin[to]!]!
      if (p === q) continue
      edges[left++] = edge
      const h = Math.max(z[cell]!, z[to]!)
      const drop = edge < 0 ? 0 : Math.fround(Math.abs(z[cell]! - z[to]!) / (edge & 1 ? Math.SQRT2 : 1))
      if (p > 0 && (h < bestHeight[p]! || (h === bestHeight[p]! && drop > bestDrop[p]!))) {
        bestHeight[p] = h
        bestDrop[p] = drop
        bestEdge[p] = edge
      }
      if (q > 0 && (h < bestHeight[q]! || (h === bestHeight[q]! && drop > bestDrop[q]!))) {
        bestHeight[q] = h
        bestDrop[q] = drop
        bestEdge[q] = edge
      }
    }
    found = left
    if (left === 0) return
  }
}

/** The far cell of a boundary between basins. */
const beyondOf = (edge: number, cell: number, width: number): number => ((edge & 3) === 0 ? cell + 1 : cell + width + 2 - (edge & 3))

const NO_EDGE = -0x80000000

/** From the outside inwards along the chosen passes: where each basin spills and how high it fills. */
function orient(s: DrainScratch, count: number): void {
  const { basin, z, keep, geometry } = s
  const { width } = geometry
  const { level_m, passInside, passOutside, pass_m, next, first, follow, chosen, queue } = s.basins
  const UNREACHED = Number.POSITIVE_INFINITY
  for (let b = 0; b < count; b++) {
    level_m[b] = UNREACHED
    passInside[b] = NONE
    passOutside[b] = NONE
    pass_m[b] = Number.NaN
    next[b] = NONE
  }
  let tail = 0
  level_m[0] = Number.NEGATIVE_INFINITY
  queue[tail++] = 0
  for (const cell of keep) {
    const b = basin[cell]!
    if (b <= 0 || level_m[b] !== UNREACHED) continue
    level_m[b] = Number.NEGATIVE_INFINITY
    queue[tail++] = b
  }
  for (let head = 0; head < tail; head++) {
    const from = queue[head]!
    for (let half = first[from]!; half !== NONE; half = follow[half]!) {
      const edge = chosen[half >> 1]!
      const cell = edge < 0 ? -1 - edge : edge >> 2
      const other = edge < 0 ? NONE : beyondOf(edge, cell, width)
      // The even half hangs on the basin of the near cell, the odd one on the far cell's, or the outside's.
      const fromNear = (half & 1) === 0
      const insideCell = fromNear ? other : cell
      const to = insideCell < 0 ? 0 : basin[insideCell]!
      if (level_m[to] !== UNREACHED) continue
      const h = edge < 0 ? z[cell]! : Math.max(z[cell]!, z[other]!)
      pass_m[to] = h
      level_m[to] = Math.max(level_m[from]!, h)
      passInside[to] = insideCell
      passOutside[to] = fromNear ? cell : other
      next[to] = from
      queue[tail++] = to
    }
  }
}

function turnPitsRound({ geometry: { width }, slope, direction, basins }: DrainScratch, count: number): void {
  const offsets = neighbourOffsets(width)
  direction.set(slope)
  for (let b = 1; b < count; b++) {
    let cell = basins.passInside[b]!
    if (cell < 0) continue
    const beyond = basins.passOutside[b]!
    let turned = LEAVES as number
    if (beyond >= 0) {
      turned = 0
      while (offsets[turned] !== beyond - cell) turned++
    }
    for (;;) {
      const was = slope[cell]!
      direction[cell] = turned
      if (was === SINK) break
      turned = (was + 4) & 7
      cell += offsets[was]!
    }
  }
}

function fill({ z, filled, basin, basins: { level_m } }: DrainScratch): void {
  for (let cell = 0; cell < z.length; cell++) {
    const b = basin[cell]!
    const here = z[cell]!
    filled[cell] = b > 0 && here < level_m[b]! ? level_m[b]! : here
  }
}
