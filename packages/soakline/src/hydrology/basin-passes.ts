import { inBands, type Steps, within } from '../foundation/index.js'
import { type ElevationGrid, neighbourOffsets, STEP_LENGTH } from '../raster/index.js'
import { inside, NONE } from './direction-codes.js'

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

/**
 * Finds each basin's lowest way out, by Borůvka's rounds: every group of basins takes the lowest pass that leads out of it, which belongs to the
 * tree of lowest ways whatever else does, and groups that are so joined are one in the next round, until all are one with the outside.
 */
export function* joinBasins(
  ground: ElevationGrid,
  rim: Uint8Array,
  basin: Int32Array,
  pits: readonly number[],
  keep: readonly number[],
): Steps<Basins> {
  const count = pits.length
  const level_m = new Float64Array(count).fill(Number.NaN)
  level_m[0] = Number.NEGATIVE_INFINITY
  for (const cell of keep) if (basin[cell]! > 0) level_m[basin[cell]!] = Number.NEGATIVE_INFINITY
  const group = new Int32Array(count)
  for (let b = 0; b < count; b++) group[b] = level_m[b] === Number.NEGATIVE_INFINITY ? 0 : b
  const passes = new BasinPasses(ground, rim, basin, group)
  const way = new Uint32Array(count).fill(NOWHERE)
  // The first round looks through the raster and joins most basins; what lies between the groups is then collected once for the others.
  let joined = joinGroups(passes, yield* within(0, 0.5, passes.lowestOfBasins()), way)
  const between = yield* within(0.5, 0.9, passes.betweenGroups())
  while (joined.groups > 1) {
    joined = joinGroups(passes, between.lowestOfGroups(joined.groups), way)
    between.rename(joined.names)
    yield 0.95
  }

  const passInside = new Int32Array(count).fill(NONE)
  const passOutside = new Int32Array(count).fill(NONE)
  const pass_m = new Float64Array(count).fill(Number.NaN)
  const next = new Int32Array(count).fill(NONE)
  for (let b = 1; b < count; b++) {
    const place = way[b]!
    if (place === NOWHERE) continue
    const from = place >>> 3
    const to = passes.endOf(place)
    const isInside = basin[from] === b
    passInside[b] = isInside ? from : to
    passOutside[b] = isInside ? to : from
    pass_m[b] = to === NONE ? ground.data[from]! : Math.max(ground.data[from]!, ground.data[to]!)
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

/** The lowest pass that was met so far of each basin, group or pair of groups. */
interface LowestPasses {
  readonly height_m: Float32Array
  readonly place: Uint32Array
}

const noPasses = (count: number): LowestPasses => ({
  height_m: new Float32Array(count).fill(Number.POSITIVE_INFINITY),
  place: new Uint32Array(count).fill(NOWHERE),
})

/**
 * The passes between basins, by their place: 8 × a cell + the direction (2 to 5) in which the other cell lies, or + 0 where the cell's water leaves
 * the raster.
 */
class BasinPasses {
  private readonly z: Float32Array
  private readonly width: number
  private readonly height: number
  private readonly offsets: Int32Array

  /** @param group of each basin, 0 being the outside; changes as they are joined */
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

  /** Puts a pass in the place of a kept one where it comes before that. */
  offer({ height_m, place }: LowestPasses, to: number, pass_m: number, at: number): void {
    if (pass_m > height_m[to]! || (pass_m === height_m[to] && place[to] !== NOWHERE && !this.isSooner(at, place[to]!))) return
    height_m[to] = pass_m
    place[to] = at
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

  /** The lowest pass of each basin that is not outside. */
  *lowestOfBasins(): Steps<LowestPasses> {
    const { z, basin, group, width, height } = this
    const lowest = noPasses(group.length)
    yield* inBands(height, width, (firstRow, endRow) => {
      for (let cell = firstRow * width; cell < endRow * width; cell++) {
        const b = basin[cell]!
        // Most cells lie higher than a pass of their basin that is known already.
        if (b > 0 && z[cell]! <= lowest.height_m[b]! && group[b]! > 0) this.lookRound(lowest, cell, b)
      }
    })
    return lowest
  }

  private lookRound(lowest: LowestPasses, cell: number, b: number): void {
    const { width, offsets } = this
    if (this.rim[cell]) {
      const [column, row] = [cell % width, Math.floor(cell / width)]
      this.offer(lowest, b, this.z[cell]!, 8 * cell)
      for (let k = 0; k < 8; k++) if (inside(column, row, k, width, this.height)) this.lookTo(lowest, cell, b, cell + offsets[k]!, k)
      return
    }
    const north = cell - width
    const south = cell + width
    this.lookTo(lowest, cell, b, north, 0)
    this.lookTo(lowest, cell, b, north + 1, 1)
    this.lookTo(lowest, cell, b, cell + 1, 2)
    this.lookTo(lowest, cell, b, south + 1, 3)
    this.lookTo(lowest, cell, b, south, 4)
    this.lookTo(lowest, cell, b, south - 1, 5)
    this.lookTo(lowest, cell, b, cell - 1, 6)
    this.lookTo(lowest, cell, b, north - 1, 7)
  }

  private lookTo(lowest: LowestPasses, cell: number, b: number, to: number, k: number): void {
    const { z, basin } = this
    if (basin[to] === b || z[to]! > lowest.height_m[b]! || basin[to] === NONE) return
    this.offer(lowest, b, Math.max(z[cell]!, z[to]!), k >= 2 && k < 6 ? 8 * cell + k : 8 * to + ((k + 4) & 7))
  }

  /** The lowest pass between each two groups. */
  *betweenGroups(): Steps<GroupPairs> {
    const { z, rim, basin, group, offsets, width, height } = this
    const pairs = new GroupPairs(this)
    const names = new Int32Array(basin.length)
    for (let cell = 0; cell < names.length; cell++) names[cell] = basin[cell] === NONE ? NONE : group[basin[cell]!]!
    const lookTo = (cell: number, to: number, k: number): void => {
      const own = names[cell]!
      const other = names[to]!
      if (own !== other && other !== NONE) pairs.offer(own, other, Math.max(z[cell]!, z[to]!), 8 * cell + k)
    }
    yield* inBands(height, width, (firstRow, endRow) => {
      for (let row = firstRow, cell = row * width; row < endRow; row++)
        for (let column = 0; column < width; column++, cell++) {
          if (names[cell] === NONE) continue
          if (rim[cell]) {
            if (names[cell]! > 0) pairs.offer(0, names[cell]!, z[cell]!, 8 * cell)
            for (let k = 2; k < 6; k++) if (inside(column, row, k, width, height)) lookTo(cell, cell + offsets[k]!, k)
            continue
          }
          const south = cell + width
          lookTo(cell, cell + 1, 2)
          lookTo(cell, south + 1, 3)
          lookTo(cell, south, 4)
          lookTo(cell, south - 1, 5)
        }
    })
    return pairs
  }
}

/** The lowest pass of each two groups beside each other: a table with open slots, since there may be more pairs than a `Map` can hold. */
class GroupPairs {
  private one = new Int32Array(1024)
  private other = new Int32Array(1024)
  private lowest = noPasses(1024)
  private count = 0
  private slots = new Int32Array(4096).fill(NONE)
  /** The pair that was met last: along the border of two groups it comes again and again. */
  private last = 0

  constructor(private readonly passes: BasinPasses) {}

  offer(a: number, b: number, pass_m: number, place: number): void {
    const one = Math.min(a, b)
    const other = Math.max(a, b)
    if (this.one[this.last] !== one || this.other[this.last] !== other) this.last = this.pairOf(one, other)
    if (pass_m <= this.lowest.height_m[this.last]!) this.passes.offer(this.lowest, this.last, pass_m, place)
  }

  /** The number of a pair; the next one where it has not been met before. */
  private pairOf(one: number, other: number): number {
    if (this.count === this.one.length) this.grow()
    const slot = this.slotOf(one, other)
    if (this.slots[slot] === NONE) {
      this.one[this.count] = one
      this.other[this.count] = other
      this.slots[slot] = this.count++
    }
    return this.slots[slot]!
  }

  /** Where a pair stands, or the open slot where it belongs. */
  private slotOf(one: number, other: number): number {
    const most = this.slots.length - 1
    const mixed = Math.imul(one, 0x9e3779b1) + Math.imul(other, 0x85ebca6b)
    let at = (mixed ^ (mixed >>> 15)) & most
    for (let p = this.slots[at]!; p !== NONE && (this.one[p] !== one || this.other[p] !== other); p = this.slots[at]!) at = (at + 1) & most
    return at
  }

  private grow(): void {
    const { one, other, lowest, count } = this
    this.one = new Int32Array(2 * count)
    this.one.set(one)
    this.other = new Int32Array(2 * count)
    this.other.set(other)
    this.lowest = noPasses(2 * count)
    this.lowest.height_m.set(lowest.height_m)
    this.lowest.place.set(lowest.place)
    this.slots = new Int32Array(8 * count).fill(NONE)
    for (let p = 0; p < count; p++) this.slots[this.slotOf(one[p]!, other[p]!)] = p
  }

  /** The lowest pass of each group that is not the outside. */
  lowestOfGroups(groups: number): LowestPasses {
    const { passes, one, other } = this
    const { height_m, place } = this.lowest
    const found = noPasses(groups)
    for (let p = 0; p < this.count; p++) {
      if (one[p]! > 0) passes.offer(found, one[p]!, height_m[p]!, place[p]!)
      if (other[p]! > 0) passes.offer(found, other[p]!, height_m[p]!, place[p]!)
    }
    return found
  }

  /** Groups are called otherwise from now on: the new name of each. Pairs that have become one group are left out. */
  rename(names: Int32Array): void {
    const { one, other } = this
    const { height_m, place } = this.lowest
    let kept = 0
    for (let p = 0; p < this.count; p++) {
      const a = names[one[p]!]!
      const b = names[other[p]!]!
      if (a === b) continue
      one[kept] = a
      other[kept] = b
      height_m[kept] = height_m[p]!
      place[kept++] = place[p]!
    }
    this.count = kept
  }
}

/** Joins groups over their lowest passes, and turns the ways within each so that they lead to where it is left. */
function joinGroups(passes: BasinPasses, { place: lowest }: LowestPasses, way: Uint32Array): { names: Int32Array; groups: number } {
  const { group } = passes
  // The names of the groups that are joined: 0 is the outside.
  const names = new Int32Array(lowest.length).fill(NONE)
  names[0] = 0
  let groups = 1
  const path: number[] = []
  for (let start = 1; start < names.length; start++) {
    let g = start
    while (names[g] === NONE && lowest[g] !== NOWHERE) {
      path.push(g)
      const place = lowest[g]!
      const on = group[passes.beyond(place, passes.sideIn(place, g))]!
      if (lowest[on] === place) {
        // The two take the same pass. Where the water of the second goes in the end is not known yet.
        lowest[on] = NOWHERE
        names[on] = groups++
      }
      g = on
    }
    for (const passed of path) names[passed] = names[g]!
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
  for (let b = 0; b < group.length; b++) group[b] = names[group[b]!]!
  return { names, groups }
}
