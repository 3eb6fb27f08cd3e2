import { cellArea_m2, type ElevationGrid, eachNeighbour, type Grid, rimCells } from '../raster/index.js'

/** How much of a cut is still taken. */
export interface CutLimits {
  /** Longest way through earth, m. Default: any. */
  readonly longest_m?: number
  /** Deepest cut, m. Default: any. */
  readonly deepest_m?: number
}

/** A trench from a pit to where its water runs on by itself. */
export interface Cut {
  /** Cells from the pit to the first from which water runs on, each beside the next. */
  readonly path: readonly number[]
  /** Those of them that are lowered, all to the height of the pit. */
  readonly lowered: readonly number[]
  readonly volume_m3: number
  readonly deepest_m: number
  /** Length of the steps that leave or enter a lowered cell. */
  readonly length_m: number
  /** It ends on the raster's rim: what lies beyond is not known. */
  readonly atRim: boolean
  /** Another way is as cheap and as long: which one was taken depends on how the raster lies. */
  readonly tied: boolean
}

/** Why no cut was made: within the limits there is no way (`cut/too-deep`, `cut/too-long`), or only through walls or kept hollows (`cut/barred`). */
export type NoCut = 'cut/too-deep' | 'cut/too-long' | 'cut/barred'

/** A ground that is being carved: change it only through its functions. */
export interface Carving {
  /** The heights as carved so far. */
  readonly data: Float32Array
  /** The cheapest cut from a pit, made at once; or why there is none, and nothing changed. */
  readonly cutFrom: (pit: number) => Cut | NoCut
  /** Takes back the latest cut that still stands. */
  readonly undo: () => void
}

/**
 * Begins to carve a ground, cut by cut.
 *
 * A cut leads from a pit to the nearest cell, in earth to move, from which water runs on at the pit's height or below: where filling raises
 * nothing above it (off the raster, down a slope, into a cut made before, or into a hollow that is kept). Every cell on the way that lies higher
 * is lowered to the pit's own height, no further: the trench is level, and a flat drains by the shortest way. Of equally cheap ways the shortest is
 * taken, of ends as near the lowest. `barred_m` gives for each cell the height below which it may not be cut (+∞: never).
 *
 * The filled surface is that of the ground before the first cut. Cutting the pits in order of height, lowest first, makes each cut the cheapest for
 * its pit given those before; the sum over several pits need not be the least that could be thought of.
 *
 * Limits  `deepest_m` shuts out cells that lie higher above the pit. `longest_m` judges the cheapest way: if it is longer, there is no cut, even
 *         where a dearer way is shorter.
 * Laws    never higher than before; only cells on the paths change; the pit fills no more; no new pit appears; the earth moved is the least.
 * Cost    a search round the pit as wide as the earth to move is worth: some hundred cells for a pit of noise, the hollow and as much again for a
 *         big one.
 * Source  least-cost breaching: Lindsay & Dhun (2015), Int. J. Geogr. Inf. Sci. 29, 1232–1257; Lindsay (2016), Hydrol. Process. 30, 846–857 (from
 *         memory, unchecked). Level trench and end by the filled surface: own construction.
 */
export function carving(
  ground: ElevationGrid,
  filled: Grid<'filled_m'>,
  { longest_m = Number.POSITIVE_INFINITY, deepest_m = Number.POSITIVE_INFINITY }: CutLimits = {},
  barred_m?: Float32Array,
): Carving {
  const { width, height, cell_m } = ground.geometry
  const area = cellArea_m2(ground.geometry)
  const data = ground.data.slice()
  const rim = rimCells(data, width, height)
  // The height to which a cell on a cut made before drains.
  const trench = new Float32Array(data.length).fill(Number.POSITIVE_INFINITY)
  const done: { readonly cell: number; readonly height: number; readonly trench: number }[][] = []

  // Labels of the search at hand: valid where `stamp` is the search's number. Each cell's way has a cost (earth) and a length (steps).
  const stamp = new Uint32Array(data.length)
  const cost = new Float64Array(data.length)
  const far = new Int32Array(data.length)
  const back = new Int32Array(data.length)
  const settled = new Uint8Array(data.length)
  const equals = new Uint8Array(data.length)
  let search = 0

  /** The cheapest way from a pit, backwards from its end; null where there is none within a depth. */
  function cheapestWay(pit: number, most_m: number): { end: number; tied: boolean } | null {
    search++
    const floor = data[pit]!
    const queue = wayQueue(cost, far)
    const runsOn = (cell: number): boolean => filled.data[cell]! <= floor || trench[cell]! <= floor || rim[cell] === 1
    const reach = (cell: number, dear: number, long: number, from: number): void => {
      if (stamp[cell] === search) {
        if (settled[cell] || dear > cost[cell]! || (dear === cost[cell] && long > far[cell]!)) return
        if (dear === cost[cell] && long === far[cell]) {
          equals[cell] = 1
          return
        }
      }
      stamp[cell] = search
      settled[cell] = 0
      equals[cell] = 0
      cost[cell] = dear
      far[cell] = long
      back[cell] = from
      queue.push(cell)
    }
    reach(pit, 0, 0, -1)
    let end = -1
    let tied = false
    for (let cell = queue.pop(); cell >= 0; cell = queue.pop()) {
      // Of ends as near the lowest counts.
      if (end >= 0 && (cost[cell]! > cost[end]! || far[cell]! > far[end]!)) break
      if (settled[cell]) continue
      settled[cell] = 1
      if (runsOn(cell)) {
        if (end < 0 || data[cell]! < data[end]!) tied = false
        else if (data[cell] === data[end]) tied = true
        if (end < 0 || data[cell]! < data[end]!) end = cell
      } else if (end < 0) {
        eachNeighbour(width, height, cell, (to, k) => {
          const z = data[to]!
          if (Number.isNaN(z)) return
          const earth = z > floor ? z - floor : 0
          if (earth > most_m || (earth > 0 && barred_m && barred_m[to]! > floor)) return
          reach(to, cost[cell]! + earth, far[cell]! + (k & 1 ? 7 : 5), cell)
        })
      }
    }
    return end < 0 ? null : { end, tied }
  }

  function cutFrom(pit: number): Cut | NoCut {
    const way = cheapestWay(pit, deepest_m)
    if (!way) return deepest_m < Number.POSITIVE_INFINITY && cheapestWay(pit, Number.POSITIVE_INFINITY) ? 'cut/too-deep' : 'cut/barred'
    const floor = data[pit]!
    const path: number[] = []
    let { tied } = way
    for (let cell = way.end; cell >= 0; cell = back[cell]!) {
      path.push(cell)
      if (equals[cell]) tied = true
    }
    path.reverse()
    const lowered = path.filter(cell => data[cell]! > floor)
    let sides = 0
    let corners = 0
    for (let k = 1; k < path.length; k++) {
      const [a, b] = [path[k - 1]!, path[k]!]
      if (!(data[a]! > floor || data[b]! > floor)) continue
      if (Math.abs(a - b) === 1 || Math.abs(a - b) === width) sides++
      else corners++
    }
    const length_m = (sides + corners * Math.SQRT2) * cell_m
    if (length_m > longest_m) return 'cut/too-long'
    const volume_m3 = cost[way.end]! * area
    const deepest = lowered.reduce((most, cell) => Math.max(most, data[cell]! - floor), 0)
    done.push(path.map(cell => ({ cell, height: data[cell]!, trench: trench[cell]! })))
    for (const cell of path) {
      if (data[cell]! > floor) data[cell] = floor
      if (trench[cell]! > floor) trench[cell] = floor
    }
    return { path, lowered, volume_m3, deepest_m: deepest, length_m, atRim: rim[way.end] === 1, tied }
  }

  return {
    data,
    cutFrom,
    undo: () => {
      for (const was of done.pop() ?? []) {
        data[was.cell] = was.height
        trench[was.cell] = was.trench
      }
    },
  }
}

/** A binary heap of cells: the cheapest way first, then the shortest, then the first cell. A cell whose way got better is pushed again. */
function wayQueue(cost: Float64Array, far: Int32Array): { push: (cell: number) => void; pop: () => number } {
  const cells: number[] = []
  // As they were when the cell was pushed: a later, better way must not disturb the heap.
  const costs: number[] = []
  const fars: number[] = []
  const before = (a: number, b: number): boolean => {
    if (costs[a] !== costs[b]) return costs[a]! < costs[b]!
    return fars[a] !== fars[b] ? fars[a]! < fars[b]! : cells[a]! < cells[b]!
  }
  const swap = (a: number, b: number): void => {
    for (const list of [cells, costs, fars]) {
      const kept = list[a]!
      list[a] = list[b]!
      list[b] = kept
    }
  }
  return {
    push: cell => {
      let at = cells.length
      cells.push(cell)
      costs.push(cost[cell]!)
      fars.push(far[cell]!)
      for (let up = (at - 1) >> 1; at > 0 && before(at, up); at = up, up = (at - 1) >> 1) swap(at, up)
    },
    pop: () => {
      if (cells.length === 0) return -1
      swap(0, cells.length - 1)
      const top = cells.pop()!
      costs.pop()
      fars.pop()
      for (let at = 0; ; ) {
        let down = 2 * at + 1
        if (down >= cells.length) return top
        if (down + 1 < cells.length && before(down + 1, down)) down++
        if (!before(down, at)) return top
        swap(at, down)
        at = down
      }
    },
  }
}
