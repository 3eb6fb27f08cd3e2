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
  const falls = new Float64Array(8)
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let row = firstRow, cell = row * width; row < endRow; row++) {
      for (let column = 0; column < width; column++, cell++) {
        const here = z[cell]!
        // Most cells have eight neighbours, no gap among them, and are not infinitely high.
        if (here - here === 0 && rim[cell] === 0) {
          slope[cell] = steepestOfEight(z, cell, width, falls)
          continue
        }
        let best = Number.isNaN(here) ? VOID : rim[cell] ? LEAVES : OPEN
        let steepest = 0
        for (let k = 0; k < 8; k++) {
          if (!inside(column, row, k, width, height)) continue
          const fall = (here - z[cell + offsets[k]!]!) / STEP_LENGTH[k]!
          if (fall > steepest) {
            steepest = fall
            best = k
          }
        }
        slope[cell] = best
      }
    }
  })
  return slope
}

/** The direction of the steepest fall of eight, found without a branch: which it is cannot be foretold, and wrong guesses would take most of the time. */
function steepestOfEight(z: Float32Array, cell: number, width: number, falls: Float64Array): number {
  const here = z[cell]!
  const north = cell - width
  const south = cell + width
  falls[0] = here - z[north]!
  falls[1] = (here - z[north + 1]!) / Math.SQRT2
  falls[2] = here - z[cell + 1]!
  falls[3] = (here - z[south + 1]!) / Math.SQRT2
  falls[4] = here - z[south]!
  falls[5] = (here - z[south - 1]!) / Math.SQRT2
  falls[6] = here - z[cell - 1]!
  falls[7] = (here - z[north - 1]!) / Math.SQRT2
  // By twos, fours and eight: the later one only where it is steeper.
  const n = Number(falls[1] > falls[0])
  const e = 2 + Number(falls[3] > falls[2])
  const s = 4 + Number(falls[5] > falls[4])
  const w = 6 + Number(falls[7] > falls[6])
  const ne = n + (e - n) * Number(falls[e]! > falls[n]!)
  const sw = s + (w - s) * Number(falls[w]! > falls[s]!)
  const best = ne + (sw - ne) * Number(falls[sw]! > falls[ne]!)
  return falls[best]! > 0 ? best : OPEN
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
  const { width, height } = ground.geometry
  const ways = new FlatWays(ground.data, slope, neighbourOffsets(width))
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let cell = firstRow * width; cell < endRow * width; cell++) if (slope[cell] === OPEN) ways.drain(cell)
  })
}

/** Farther than any way over a flat. */
const UNREACHED = 0xffffffff

/** The ways over one flat after the other. A pit that nobody of its height is beside is a flat of one cell. */
class FlatWays {
  /** 8 × how far a cell's water has to go over its flat + the direction: the least is the shortest way, and of those the first clockwise. */
  private readonly ways: Uint32Array
  private readonly flat: number[] = []
  private cells = 0
  /** Steps have two lengths, and each has its queue: within one, cells stand in the order of their distance, and none comes twice. */
  private readonly straight: number[] = []
  private readonly slant: number[] = []
  private straights = 0
  private slants = 0

  constructor(
    private readonly z: Float32Array,
    private readonly slope: Uint8Array,
    private readonly offsets: Int32Array,
  ) {
    this.ways = new Uint32Array(slope.length)
  }

  /** Gives the open cells of a flat their directions; `first` is the first of them in the raster. */
  drain(first: number): void {
    const { slope, ways, flat } = this
    this.straights = 0
    this.slants = 0
    this.gather(first)
    if (this.straights + this.slants === 0) {
      slope[first] = SINK
      if (this.cells === 1) return
      this.reachRound(first, 0)
    }
    this.spread()
    for (let at = slope[first] === SINK ? 1 : 0; at < this.cells; at++) slope[flat[at]!] = ways[flat[at]!]! & 7
  }

  /** The cells of a flat; those beside a cell of their height that has a way out are queued. */
  private gather(first: number): void {
    const { z, slope, offsets, ways, flat } = this
    ways[first] = UNREACHED
    flat[0] = first
    this.cells = 1
    for (let at = 0; at < this.cells; at++) {
      const cell = flat[at]!
      const here = z[cell]!
      for (let k = 0; k < 8; k++) {
        // An open cell lies within the rim: it has eight neighbours, none of them a gap.
        const to = cell + offsets[k]!
        if (z[to] !== here) continue
        if (slope[to] !== OPEN) this.reach(cell, FLAT_STEP[k]!, k)
        else if (ways[to] === 0) {
          ways[to] = UNREACHED
          flat[this.cells++] = to
        }
      }
    }
  }

  private reach(cell: number, far: number, code: number): void {
    const known = this.ways[cell]!
    const way = 8 * far + code
    if (known <= way) return
    this.ways[cell] = way
    if (known >>> 3 === far) return
    if (code & 1) this.slant[this.slants++] = cell
    else this.straight[this.straights++] = cell
  }

  private reachRound(cell: number, far: number): void {
    const { z, slope, offsets } = this
    const here = z[cell]!
    for (let k = 0; k < 8; k++) {
      const to = cell + offsets[k]!
      if (z[to] === here && slope[to] === OPEN) this.reach(to, far + FLAT_STEP[k]!, k ^ 4)
    }
  }

  /** Distances spread from what is queued. */
  private spread(): void {
    const { ways, straight, slant } = this
    for (let a = 0, b = 0; a < this.straights || b < this.slants; ) {
      const next = b === this.slants || (a < this.straights && ways[straight[a]!]! <= ways[slant[b]!]!) ? straight[a++]! : slant[b++]!
      this.reachRound(next, ways[next]! >>> 3)
    }
  }
}

function* labelBasins({ width, height }: GridGeometry, slope: Uint8Array): Steps<{ basin: Int32Array; pits: number[] }> {
  const offsets = neighbourOffsets(width)
  const UNKNOWN = -2
  const basin = new Int32Array(slope.length).fill(UNKNOWN)
  const pits = [NONE]
  const path = new Int32Array(slope.length)
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let start = firstRow * width; start < endRow * width; start++) {
      if (basin[start] !== UNKNOWN) continue
      // Down to a cell whose basin is known or ends here; then all that was passed has its name.
      let cells = 0
      let end = start
      for (; basin[end] === UNKNOWN && slope[end]! < 8; end += offsets[slope[end]!]!) path[cells++] = end
      if (basin[end] === UNKNOWN) {
        const code = slope[end]!
        basin[end] = code === VOID ? NONE : code === LEAVES ? 0 : pits.length
        if (code === SINK) pits.push(end)
      }
      const label = basin[end]!
      for (let at = 0; at < cells; at++) basin[path[at]!] = label
    }
  })
  return { basin, pits }
}

/**
 * Finds each basin's lowest way out, by Borůvka's rounds: every group of basins takes the lowest pass that leads out of it, which belongs to the
 * tree of lowest ways whatever else does, and groups that are so joined are one in the next round, until all are one with the outside.
 */
function* joinBasins(
  ground: ElevationGrid,
  rim: Uint8Array,
  basin: Int32Array,
  pits: readonly number[],
  keep: readonly number[],
): Steps<Basins> {
  const { width, height } = ground.geometry
  const count = pits.length
  const level_m = new Float64Array(count).fill(Number.NaN)
  level_m[0] = Number.NEGATIVE_INFINITY
  for (const cell of keep) if (basin[cell]! > 0) level_m[basin[cell]!] = Number.NEGATIVE_INFINITY
  const group = new Int32Array(count)
  for (let b = 0; b < count; b++) group[b] = level_m[b] === Number.NEGATIVE_INFINITY ? 0 : b
  const passes = new BasinPasses(ground, rim, basin, group)
  const way = new Uint32Array(count).fill(NOWHERE)
  let lowest = new LowestPasses(count)
  const lookAround = (firstRow: number, endRow: number): void => passes.lookFor(lowest, firstRow * width, endRow * width)
  yield* within(0, 0.4, inBands(height, width, lookAround))
  // From now on only cells count that have a neighbour in another group.
  let groups = joinGroups(passes, lowest.place, way)
  const between = yield* within(0.4, 0.6, passes.cellsBetween())
  for (let left = 0.4; groups > 1; left /= 2) {
    lowest = new LowestPasses(groups)
    const look = inBands(between.length, 1, (first, end) => passes.lookFor(lowest, first, end, between))
    yield* within(1 - left, 1 - left / 2, look)
    groups = joinGroups(passes, lowest.place, way)
  }

  const passInside = new Int32Array(count).fill(NONE)
  const passOutside = new Int32Array(count).fill(NONE)
  const pass_m = new Float64Array(count).fill(Number.NaN)
  const next = new Int32Array(count).fill(NONE)
  for (let b = 1; b < count; b++) {
    const place = way[b]!
    if (place === NOWHERE) continue
    const [from, to] = [place >>> 3, passes.endOf(place)]
    const isInside = basin[from] === b
    passInside[b] = isInside ? from : to
    passOutside[b] = isInside ? to : from
    pass_m[b] = passes.heightOf(place)
    next[b] = passes.beyond(place, b)
  }
  // A basin's water has to rise as high as that of the next one, or as the pass to it.
  const path: number[] = []
  for (let start = 0; start < count; start++) {
    let at = start
    for (; Number.isNaN(level_m[at]!); at = next[at]!) path.push(at)
    for (let b = path.pop(); b !== undefined; at = b, b = path.pop()) level_m[b] = Math.max(level_m[at]!, pass_m[b]!)
  }
  return { pit: Int32Array.from(pits), level_m, passInside, passOutside, pass_m, next }
}

/** No pass. */
const NOWHERE = 0xffffffff

/** The lowest pass of each group that was met so far. */
class LowestPasses {
  readonly height_m: Float32Array
  readonly place: Uint32Array

  constructor(groups: number) {
    this.height_m = new Float32Array(groups).fill(Number.POSITIVE_INFINITY)
    this.place = new Uint32Array(groups).fill(NOWHERE)
  }
}

/**
 * The passes between basins, by their place: 8 × a cell + the direction (2 to 5) in which the other cell lies, or + 0 where the cell's water leaves
 * the raster.
 */
class BasinPasses {
  private readonly z: Float32Array
  private readonly width: number
  private readonly height: number
  private readonly offsets: Int32Array

  /** @param group of each basin; changes as they are joined */
  constructor(
    ground: ElevationGrid,
    private readonly rim: Uint8Array,
    private readonly basin: Int32Array,
    readonly group: Int32Array,
  ) {
    this.z = ground.data
    this.width = ground.geometry.width
    this.height = ground.geometry.height
    this.offsets = neighbourOffsets(this.width)
  }

  /** The second cell of a pass; −1 off the raster. */
  endOf(place: number): number {
    return place & 7 ? (place >>> 3) + this.offsets[place & 7]! : NONE
  }

  heightOf(place: number): number {
    const here = this.z[place >>> 3]!
    return place & 7 ? Math.max(here, this.z[this.endOf(place)]!) : here
  }

  /** The basin on the other side of a pass. */
  beyond(place: number, b: number): number {
    const one = this.basin[place >>> 3]!
    if (one !== b) return one
    return place & 7 ? this.basin[this.endOf(place)]! : 0
  }

  /** The basin of a pass that belongs to a group. */
  sideIn(place: number, g: number): number {
    const one = this.basin[place >>> 3]!
    return this.group[one] === g ? one : this.beyond(place, one)
  }

  /** Looks from some cells of the raster, or of a list, for lower passes of each group than those met so far. */
  lookFor(lowest: LowestPasses, first: number, end: number, cells: Int32Array | null = null): void {
    const { z, basin, group } = this
    for (let at = first; at < end; at++) {
      const cell = cells ? cells[at]! : at
      if (basin[cell] === NONE) continue
      const g = group[basin[cell]!]!
      // Most cells lie higher than a pass of their group that is known already.
      if (g > 0 && z[cell]! <= lowest.height_m[g]!) this.lookRound(lowest, cell, g)
    }
  }

  private lookRound(lowest: LowestPasses, cell: number, g: number): void {
    const { width, offsets } = this
    if (this.rim[cell]) {
      const [column, row] = [cell % width, Math.floor(cell / width)]
      this.offer(lowest, g, this.z[cell]!, 8 * cell)
      for (let k = 0; k < 8; k++) if (inside(column, row, k, width, this.height)) this.lookTo(lowest, cell, g, cell + offsets[k]!, k)
      return
    }
    const north = cell - width
    const south = cell + width
    this.lookTo(lowest, cell, g, north, 0)
    this.lookTo(lowest, cell, g, north + 1, 1)
    this.lookTo(lowest, cell, g, cell + 1, 2)
    this.lookTo(lowest, cell, g, south + 1, 3)
    this.lookTo(lowest, cell, g, south, 4)
    this.lookTo(lowest, cell, g, south - 1, 5)
    this.lookTo(lowest, cell, g, cell - 1, 6)
    this.lookTo(lowest, cell, g, north - 1, 7)
  }

  private lookTo(lowest: LowestPasses, cell: number, g: number, to: number, k: number): void {
    const { z, basin, group } = this
    const other = basin[to]!
    if (other === basin[cell] || z[to]! > lowest.height_m[g]! || other === NONE || group[other] === g) return
    this.offer(lowest, g, Math.max(z[cell]!, z[to]!), k >= 2 && k < 6 ? 8 * cell + k : 8 * to + ((k + 4) & 7))
  }

  /** The cells that leave the raster or lie beside another group. */
  *cellsBetween(): Steps<Int32Array> {
    const { basin, group, width, height, rim } = this
    const names = new Int32Array(basin.length)
    for (let cell = 0; cell < names.length; cell++) names[cell] = basin[cell] === NONE ? NONE : group[basin[cell]!]!
    const found = new Int32Array(names.length)
    let count = 0
    yield* inBands(height, width, (firstRow, endRow) => {
      for (let cell = firstRow * width; cell < endRow * width; cell++) {
        const name = names[cell]!
        if (name === NONE) continue
        const north = cell - width
        const south = cell + width
        if (
          rim[cell] ||
          names[cell + 1] !== name ||
          names[south + 1] !== name ||
          names[south] !== name ||
          names[south - 1] !== name ||
          names[cell - 1] !== name ||
          names[north + 1] !== name ||
          names[north] !== name ||
          names[north - 1] !== name
        )
          found[count++] = cell
      }
    })
    return found.subarray(0, count)
  }

  private offer({ height_m, place }: LowestPasses, g: number, pass_m: number, at: number): void {
    if (pass_m > height_m[g]! || (pass_m === height_m[g] && place[g] !== NOWHERE && !this.isSooner(at, place[g]!))) return
    height_m[g] = pass_m
    place[g] = at
  }

  /**
   * Whether of two passes of one height the first comes before. Ways over one cell are equally high: of them the one with the steepest drop counts,
   * as water itself would choose, so that a turned raster takes the same; the rim only where no neighbour is lower. Last of all the first in the
   * raster: the order is total, so that the tree of lowest ways does not depend on who looks for it.
   */
  private isSooner(place: number, other: number): boolean {
    const drop = this.dropOf(place)
    const otherDrop = this.dropOf(other)
    return drop > otherDrop || (drop === otherDrop && place < other)
  }

  private dropOf(place: number): number {
    const k = place & 7
    if (k === 0) return 0
    const one = this.z[place >>> 3]!
    const other = this.z[this.endOf(place)]!
    return one === other ? 0 : Math.abs(one - other) / STEP_LENGTH[k]!
  }
}

/** Joins groups over their lowest passes, and turns the ways within each so that they lead to where it is left. Gives how many are left. */
function joinGroups(passes: BasinPasses, lowest: Uint32Array, way: Uint32Array): number {
  const { group } = passes
  // The groups as they were joined: 0 is the outside.
  const joined = new Int32Array(lowest.length).fill(NONE)
  joined[0] = 0
  let groups = 1
  const path: number[] = []
  for (let start = 1; start < joined.length; start++) {
    let g = start
    while (joined[g] === NONE && lowest[g] !== NOWHERE) {
      path.push(g)
      const place = lowest[g]!
      const on = group[passes.beyond(place, passes.sideIn(place, g))]!
      if (lowest[on] === place) {
        // The two take the same pass. From the second on, where its water goes in the end is not known yet.
        lowest[on] = NOWHERE
        joined[on] = groups++
      }
      g = on
    }
    for (const passed of path) joined[passed] = joined[g]!
    path.length = 0
  }
  for (let g = 1; g < lowest.length; g++) {
    if (lowest[g] === NOWHERE) continue
    // Back along the ways of the group, from where it is left to where its way on was not known.
    let b = passes.sideIn(lowest[g]!, g)
    for (let on = lowest[g]!; on !== NOWHERE; ) {
      const was = way[b]!
      way[b] = on
      if (was !== NOWHERE) b = passes.beyond(was, b)
      on = was
    }
  }
  for (let b = 0; b < group.length; b++) group[b] = joined[group[b]!]!
  return groups
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
