import { finish, inBands, type Steps, within } from '../foundation/index.js'
import type { Kernels } from '../kernels/index.js'
import { type ElevationGrid, type Grid, type GridGeometry, neighbourOffsets, rimCells, STEP_LENGTH } from '../raster/index.js'

/** Directions are 0–7, clockwise from north in eighths of a turn; the codes above 7 say why a cell has none. */
export const LEAVES = 8
/** A kept hollow’s pit: its water goes no further. */
export const SINK = 9
/** No data: no direction. */
export const VOID = 255

/** No basin, no cell. */
const NONE = -1

/**
 * How single-direction water runs on a ground: one direction byte a cell, and the basin graph behind it.
 *
 * A cell drains to its steepest lower neighbour (O'Callaghan & Mark 1984). Water on a flat goes the shortest way over the flat to the nearest
 * place where it can leave, and, where the flat has no such place, to one cell of it: its pit. A pit's water leaves its hollow over the lowest
 * pass, as if the hollow were full: along the way from the pit to that pass the directions are turned round. Border cells and cells beside
 * voids drain inward where a neighbour is lower, else off the raster, and any of them can let a hollow's water out at its own height.
 *
 * Laws    following the directions from any cell ends off the raster or in a kept sink; no circle.
 * Source  basin graph with the lowest pass of each basin after Cordonnier, Bovy & Braun (2019), ESurf 7, 549–562; own construction.
 */
export interface Drainage {
  readonly geometry: GridGeometry
  /** Where water goes with hollows passing it on: 0–7, `LEAVES`, `SINK` (a kept hollow's pit) or `VOID`. */
  readonly direction: Uint8Array
  /** Where the slope itself leads: as `direction`, but `SINK` at every pit. */
  readonly slope: Uint8Array
  /** The basin of each cell: 0 runs off the raster without a pit, k ≥ 1 to `basins.pit[k]`, −1 is void. */
  readonly basin: Int32Array
  readonly basins: Basins
}

/** One entry for each basin; entry 0 is the ground that runs off the raster. */
export interface Basins {
  readonly pit: Int32Array
  /** Height to which the basin fills before its water can go on; −Infinity for entry 0 and kept sinks. */
  readonly level_m: Float64Array
  /** Cell of the basin at its pass, −1 for entry 0 and kept sinks. */
  readonly passInside: Int32Array
  /** Cell beyond the pass; −1 when the pass is the raster's rim. */
  readonly passOutside: Int32Array
  /** Height of the pass. */
  readonly pass_m: Float64Array
  /** The basin beyond the pass. */
  readonly next: Int32Array
}

/** How a drainage is worked out. */
export interface DrainageOptions {
  /** Cells whose hollows hold their water: it is not passed on. */
  readonly keep?: readonly number[]
  /** Compiled kernels that do the work, with the same answer to the bit; what stands below is its definition, and does it where there are none. */
  readonly kernels?: Kernels | null
}

/** Works out the drainage of a ground. */
export function drainage(ground: ElevationGrid, options: DrainageOptions = {}): Drainage {
  return finish(drainageSteps(ground, options))
}

/** `drainage` in steps. */
export function* drainageSteps(ground: ElevationGrid, { keep = [], kernels = null }: DrainageOptions = {}): Steps<Drainage> {
  const { geometry } = ground
  if (kernels) {
    const solved = yield* kernels.drainage(ground.data, geometry, keep)
    if (solved) {
      const { basin, ...basins } = solved.basins
      return { geometry, direction: solved.direction, slope: solved.slope, basin, basins }
    }
  }
  const rim = rimCells(ground.data, geometry.width, geometry.height)
  const slope = yield* within(0, 0.3, slopeDirections(ground, rim))
  yield* within(0.3, 0.45, drainFlats(ground, slope))
  const { basin, pits } = yield* within(0.45, 0.6, labelBasins(geometry, slope))
  const basins = yield* within(0.6, 0.95, joinBasins(ground, rim, basin, pits, keep))
  const direction = turnPitsRound(geometry.width, slope, basins)
  return { geometry, direction, slope, basin, basins }
}

/** Not yet given a direction. */
const OPEN = 254

/** The steepest lower neighbour of each cell; ties go to the first clockwise from north. */
function* slopeDirections(ground: ElevationGrid, rim: Uint8Array): Steps<Uint8Array> {
  const { width, height } = ground.geometry
  const z = ground.data
  const offsets = neighbourOffsets(width)
  const slope = new Uint8Array(width * height)
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let row = firstRow, cell = row * width; row < endRow; row++) {
      for (let column = 0; column < width; column++, cell++) {
        const here = z[cell]!
        if (Number.isNaN(here)) {
          slope[cell] = VOID
          continue
        }
        let best = OPEN
        const north = cell - width
        const south = cell + width
        // Most cells have eight neighbours and no gap among them: first how steep the steepest fall is, then whose it is.
        const most = rim[cell] ? Number.NaN : steepestFall(z, cell, north, south)
        if (most > 0) {
          if (here - z[north]! === most) best = 0
          else if ((here - z[north + 1]!) / Math.SQRT2 === most) best = 1
          else if (here - z[cell + 1]! === most) best = 2
          else if ((here - z[south + 1]!) / Math.SQRT2 === most) best = 3
          else if (here - z[south]! === most) best = 4
          else if ((here - z[south - 1]!) / Math.SQRT2 === most) best = 5
          else if (here - z[cell - 1]! === most) best = 6
          else best = 7
        } else if (Number.isNaN(most)) {
          let steepest = 0
          for (let k = 0; k < 8; k++) {
            if (!inside(column, row, k, width, height)) continue
            const drop = (here - z[cell + offsets[k]!]!) / STEP_LENGTH[k]!
            if (drop > steepest) {
              steepest = drop
              best = k
            }
          }
        }
        slope[cell] = best === OPEN && rim[cell] ? LEAVES : best
      }
    }
  })
  return slope
}

/** The steepest fall from a cell to its eight neighbours, per width of a cell. NaN where infinite heights leave it open. */
function steepestFall(z: Float32Array, cell: number, north: number, south: number): number {
  const straight = z[cell]! - Math.min(z[north]!, z[cell + 1]!, z[south]!, z[cell - 1]!)
  const slant = (z[cell]! - Math.min(z[north + 1]!, z[south + 1]!, z[south - 1]!, z[north - 1]!)) / Math.SQRT2
  return Math.max(straight, slant)
}

function inside(column: number, row: number, k: number, width: number, height: number): boolean {
  if (row === 0 && (k === 7 || k === 0 || k === 1)) return false
  if (row === height - 1 && (k === 3 || k === 4 || k === 5)) return false
  if (column === 0 && (k === 5 || k === 6 || k === 7)) return false
  return !(column === width - 1 && (k === 1 || k === 2 || k === 3))
}

/** Whole numbers near 1 and √2, so that distances over a flat are exact and turn with the raster. */
const FLAT_STEP = [5, 7, 5, 7, 5, 7, 5, 7] as const

/** Gives flats their directions: over cells of equal height, the shortest way to one that drains; flats without one get a pit. */
function* drainFlats(ground: ElevationGrid, slope: Uint8Array): Steps<void> {
  const z = ground.data
  const offsets = neighbourOffsets(ground.geometry.width)
  // An open cell lies within the rim: it has eight neighbours, none of them a gap, and no index off the raster's sides is one of an open cell.
  const open: number[] = []
  for (let cell = 0; cell < slope.length; cell++) if (slope[cell] === OPEN) open.push(cell)
  if (open.length === 0) return
  const UNREACHED = 0x7fffffff
  const away = new Int32Array(slope.length).fill(UNREACHED)
  // Buckets by distance; a ring of eight is enough since no step is longer than seven.
  const ring: number[][] = Array.from({ length: 8 }, () => [])
  let waiting = 0
  const reach = (cell: number, from: number): void => {
    for (let k = 0; k < 8; k++) {
      const to = cell + offsets[k]!
      if (slope[to] !== OPEN || z[to] !== z[cell]) continue
      const far = from + FLAT_STEP[k]!
      if (away[to]! <= far) continue
      away[to] = far
      ring[far % 8]!.push(to)
      waiting++
    }
  }
  const spread = (): void => {
    for (let far = 1, idle = 0; idle < 8; far++) {
      const bucket = ring[far % 8]!
      if (bucket.length > 0) ring[far % 8] = []
      idle = bucket.length === 0 ? idle + 1 : 0
      for (const cell of bucket) if (away[cell] === far) reach(cell, far)
    }
    waiting = 0
  }
  const settle = (cells: readonly number[]): void => {
    const directions = new Uint8Array(cells.length).fill(OPEN)
    for (let at = 0; at < cells.length; at++) {
      const cell = cells[at]!
      if (slope[cell] !== OPEN || away[cell] === UNREACHED) continue
      let least = Number.POSITIVE_INFINITY
      let best = 0
      for (let k = 0; k < 8; k++) {
        const to = cell + offsets[k]!
        if (z[to] !== z[cell]) continue
        const far = (slope[to] === OPEN ? away[to]! : 0) + FLAT_STEP[k]!
        if (far < least) {
          least = far
          best = k
        }
      }
      directions[at] = best
    }
    for (let at = 0; at < cells.length; at++) if (directions[at] !== OPEN) slope[cells[at]!] = directions[at]!
  }
  // First the flats that drain: distances spread from the cells of equal height that already have a way out.
  for (const cell of open) {
    let nearest = UNREACHED
    for (let k = 0; k < 8; k++) {
      const beside = cell + offsets[k]!
      if (z[beside] === z[cell] && slope[beside] !== OPEN) nearest = Math.min(nearest, FLAT_STEP[k]!)
    }
    if (nearest === UNREACHED) continue
    away[cell] = nearest
    ring[nearest]!.push(cell)
  }
  yield 0.2
  spread()
  yield 0.4
  settle(open)
  yield 0.6
  // Then the flats that do not: each gets its first cell as pit, and drains to it.
  const rest = open.filter(cell => slope[cell] === OPEN)
  for (const cell of rest) away[cell] = UNREACHED
  for (const cell of rest) {
    if (away[cell] !== UNREACHED) continue
    away[cell] = 0
    reach(cell, 0)
    // Most pits are no flat: nobody of their height is beside them.
    if (waiting > 0) spread()
  }
  yield 0.8
  for (const cell of rest) if (away[cell] === 0) slope[cell] = SINK
  settle(rest)
}

function* labelBasins({ width, height }: GridGeometry, slope: Uint8Array): Steps<{ basin: Int32Array; pits: number[] }> {
  const offsets = neighbourOffsets(width)
  const UNKNOWN = -2
  const basin = new Int32Array(slope.length).fill(UNKNOWN)
  const pits = [NONE]
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let start = firstRow * width; start < endRow * width; start++) {
      if (basin[start] !== UNKNOWN) continue
      // Down to a cell whose basin is known or ends here, then the same way again with its name.
      let end = start
      while (basin[end] === UNKNOWN && slope[end]! < 8) end += offsets[slope[end]!]!
      if (basin[end] === UNKNOWN) {
        const code = slope[end]!
        basin[end] = code === VOID ? NONE : code === LEAVES ? 0 : pits.length
        if (code === SINK) pits.push(end)
      }
      const label = basin[end]!
      for (let cell = start; cell !== end; cell += offsets[slope[cell]!]!) basin[cell] = label
    }
  })
  return { basin, pits }
}

/** Finds each basin's lowest way out: passes between neighbouring basins, taken from the outside inwards in order of height. */
function* joinBasins(
  ground: ElevationGrid,
  rim: Uint8Array,
  basin: Int32Array,
  pits: readonly number[],
  keep: readonly number[],
): Steps<Basins> {
  const { width, height } = ground.geometry
  const z = ground.data
  const count = pits.length
  const offsets = neighbourOffsets(width)
  // Passes: the lowest between each pair of basins. Ways over one cell are equally high: of them the one with the steepest drop counts, as
  // water itself would choose, so that a turned raster takes the same; the rim only where no neighbour is lower. Last of all the first in the
  // raster: the order of passes is total, so that the tree of lowest ways does not depend on who looks for it.
  const index = new PairTable()
  const passA: number[] = []
  const passB: number[] = []
  const passHeight: number[] = []
  const passDrop: number[] = []
  const passPlace: number[] = []
  const offer = (a: number, b: number, cellA: number, cellB: number, h: number, drop: number, place: number): void => {
    const known = index.placeOf(a < b ? a : b, a < b ? b : a)
    const first = a < b ? cellA : cellB
    const second = a < b ? cellB : cellA
    if (known === passHeight.length) {
      passHeight.push(h)
      passDrop.push(drop)
      passPlace.push(place)
      passA.push(first)
      passB.push(second)
    } else if (h < passHeight[known]! || (h === passHeight[known] && drop > passDrop[known]!)) {
      passHeight[known] = h
      passDrop[known] = drop
      passPlace[known] = place
      passA[known] = first
      passB[known] = second
    }
  }
  const collect = (firstRow: number, endRow: number): void => {
    for (let row = firstRow, cell = row * width; row < endRow; row++) {
      for (let column = 0; column < width; column++, cell++) {
        const own = basin[cell]!
        if (own === NONE) continue
        // Most cells lie within their basin: tell that at a glance.
        if (!rim[cell] && basin[cell + 1] === own) {
          const below = cell + width
          if (basin[below - 1] === own && basin[below] === own && basin[below + 1] === own) continue
        }
        if (rim[cell] && own > 0) offer(0, own, NONE, cell, z[cell]!, 0, 8 * cell)
        for (let k = 2; k < 6; k++) {
          if (rim[cell] && !inside(column, row, k, width, height)) continue
          const to = cell + offsets[k]!
          const other = basin[to]!
          if (other === own || other === NONE) continue
          offer(own, other, cell, to, Math.max(z[cell]!, z[to]!), Math.abs(z[cell]! - z[to]!) / STEP_LENGTH[k]!, 8 * cell + k)
        }
      }
    }
  }
  yield* within(0, 0.7, inBands(height, width, collect))
  const level_m = new Float64Array(count).fill(Number.POSITIVE_INFINITY)
  const passInside = new Int32Array(count).fill(NONE)
  const passOutside = new Int32Array(count).fill(NONE)
  const pass_m = new Float64Array(count).fill(Number.NaN)
  const next = new Int32Array(count).fill(NONE)
  const done = new Uint8Array(count)
  // Passes of each basin, as linked lists.
  const first = new Int32Array(count).fill(NONE)
  const follow = new Int32Array(2 * passHeight.length).fill(NONE)
  const { lows, highs } = index
  for (let p = 0; p < passHeight.length; p++) {
    const low = lows[p]!
    const high = highs[p]!
    follow[2 * p] = first[low]!
    first[low] = 2 * p
    follow[2 * p + 1] = first[high]!
    first[high] = 2 * p + 1
  }
  const heap = new PassHeap(passHeight, passDrop, passPlace)
  const open = (b: number): void => {
    done[b] = 1
    for (let side = first[b]!; side !== NONE; side = follow[side]!) {
      const p = side >> 1
      const other = side & 1 ? lows[p]! : highs[p]!
      if (!done[other]) heap.push(side)
    }
  }
  const roots = new Set([0, ...keep.map(cell => basin[cell]!).filter(b => b > 0)])
  for (const root of roots) level_m[root] = Number.NEGATIVE_INFINITY
  for (const root of roots) open(root)
  for (let side = heap.pop(), taken = 1; side !== NONE; side = heap.pop(), taken++) {
    if (taken % PASSES_A_STEP === 0) yield 0.7 + (0.3 * taken) / (taken + count)
    const p = side >> 1
    const low = lows[p]!
    const high = highs[p]!
    const from = side & 1 ? high : low
    const to = side & 1 ? low : high
    if (done[to]) continue
    level_m[to] = Math.max(level_m[from]!, passHeight[p]!)
    pass_m[to] = passHeight[p]!
    passInside[to] = side & 1 ? passA[p]! : passB[p]!
    passOutside[to] = side & 1 ? passB[p]! : passA[p]!
    next[to] = from
    open(to)
  }
  return { pit: Int32Array.from(pits), level_m, passInside, passOutside, pass_m, next }
}

/** Numbers pairs of basins in the order in which they are met: a table with open places, since there are more pairs than a `Map` can hold. */
class PairTable {
  lows = new Int32Array(1024)
  highs = new Int32Array(1024)
  private places = new Int32Array(4096).fill(NONE)
  private met = 0
  /** The number that was asked for last. */
  private last = 0

  /** The number of a pair; the next one where it has not been met before. */
  placeOf(low: number, high: number): number {
    // Along the rim between two basins the same pair is asked for again and again.
    if (this.lows[this.last] === low && this.highs[this.last] === high) return this.last
    let at = this.lookFor(low, high)
    if (this.places[at] === NONE) {
      if (this.met === this.lows.length) {
        this.grow()
        at = this.lookFor(low, high)
      }
      this.lows[this.met] = low
      this.highs[this.met] = high
      this.places[at] = this.met++
    }
    this.last = this.places[at]!
    return this.last
  }

  /** Where a pair stands, or the open place where it belongs. */
  private lookFor(low: number, high: number): number {
    const most = this.places.length - 1
    const mixed = Math.imul(low, 0x9e3779b1) + Math.imul(high, 0x85ebca6b)
    let at = (mixed ^ (mixed >>> 15)) & most
    for (let p = this.places[at]!; p !== NONE && (this.lows[p] !== low || this.highs[p] !== high); p = this.places[at]!)
      at = (at + 1) & most
    return at
  }

  private grow(): void {
    const [lows, highs] = [new Int32Array(2 * this.met), new Int32Array(2 * this.met)]
    lows.set(this.lows)
    highs.set(this.highs)
    this.lows = lows
    this.highs = highs
    this.places = new Int32Array(8 * this.met).fill(NONE)
    for (let p = 0; p < this.met; p++) this.places[this.lookFor(lows[p]!, highs[p]!)] = p
  }
}

/** Passes taken from the heap in one step. */
const PASSES_A_STEP = 1 << 14

/** A binary heap of pass sides: lowest pass first, then the steepest drop, then the first in the raster. */
class PassHeap {
  private readonly items: number[] = []
  constructor(
    private readonly heights: readonly number[],
    private readonly drops: readonly number[],
    private readonly places: readonly number[],
  ) {}

  private before(a: number, b: number): boolean {
    const ha = this.heights[a >> 1]!
    const hb = this.heights[b >> 1]!
    if (ha !== hb) return ha < hb
    const da = this.drops[a >> 1]!
    const db = this.drops[b >> 1]!
    return da > db || (da === db && this.places[a >> 1]! < this.places[b >> 1]!)
  }

  push(side: number): void {
    const items = this.items
    let at = items.length
    items.push(side)
    while (at > 0) {
      const up = (at - 1) >> 1
      if (!this.before(side, items[up]!)) break
      items[at] = items[up]!
      at = up
    }
    items[at] = side
  }

  /** −1 when empty. */
  pop(): number {
    const items = this.items
    const top = items[0]
    if (top === undefined) return NONE
    const last = items.pop()!
    if (items.length > 0) {
      let at = 0
      for (;;) {
        let down = 2 * at + 1
        if (down >= items.length) break
        if (down + 1 < items.length && this.before(items[down + 1]!, items[down]!)) down++
        if (!this.before(items[down]!, last)) break
        items[at] = items[down]!
        at = down
      }
      items[at] = last
    }
    return top
  }
}

/** Turns the way from each pit to its pass round, so that every cell leads off the raster or into a kept sink. */
function turnPitsRound(width: number, slope: Uint8Array, basins: Basins): Uint8Array {
  const offsets = neighbourOffsets(width)
  const direction = slope.slice()
  for (let b = 1; b < basins.pit.length; b++) {
    let cell = basins.passInside[b]!
    if (cell === NONE) continue
    const beyond = basins.passOutside[b]!
    let turned = beyond === NONE ? LEAVES : offsets.indexOf(beyond - cell)
    for (;;) {
      const was = slope[cell]!
      direction[cell] = turned
      if (was === SINK) break
      turned = (was + 4) % 8
      cell += offsets[was]!
    }
  }
  return direction
}

/**
 * The ground with every hollow filled to the height at which its water can go on. Kept hollows stay open.
 *
 * Laws    never lower than the ground; filling twice changes nothing; only cells inside hollows change.
 */
export function filledSurface(ground: ElevationGrid, { basin, basins }: Drainage): Grid<'filled_m'> {
  const data = new Float32Array(ground.data.length)
  for (let cell = 0; cell < data.length; cell++) {
    const z = ground.data[cell]!
    const level = basin[cell]! > 0 ? basins.level_m[basin[cell]!]! : Number.NEGATIVE_INFINITY
    data[cell] = z < level ? level : z
  }
  return { quantity: 'filled_m', geometry: ground.geometry, data }
}
