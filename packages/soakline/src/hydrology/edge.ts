import { finish, inBands, type Steps, within } from '../foundation/index.js'
import { type ElevationGrid, eachNeighbour, type Mask, neighbourOffsets, rimCells, STEP_LENGTH } from '../raster/index.js'
import { LEAVES } from './direction-codes.js'
import type { Drainage } from './drainage.js'
import { eachReceiver, type FlowNetwork } from './flow-network.js'

/**
 * 1 where water may come in from beyond: on the raster's rim (the border, and cells beside voids), on flats (lakes above all) that reach it, and on
 * the ways by which a hollow or a valley may spill elsewhere than the raster shows.
 *
 * Beyond the rim the ground may be higher than here: water that the raster lets out would then rise, and run on over another pass. Marked are the way
 * from the bottom up to each such pass, and the first cell beyond it.
 * Laws    with `rise_m` without limit, a cell that has no mark at or above it has the same single contributing area on every bigger raster, equal heights
 *         aside. For the passes that are used there belong to the spanning tree of lowest passes here, and one of these can be crossed, or crossed the
 *         other way, only if water can leave the raster on its far side and be held up on its near side.
 * Cost    some passes over the raster, n log n in the number of basins.
 * @param rise_m  how far above the level at which it runs on here water may be held up from beyond, m; if not given, as deep as the deepest hollow
 *                here: beyond the edge the ground is taken to be of the same kind (judgement; tried on crops of real and invented ground)
 */
export function inflowRim(ground: ElevationGrid, drained: Drainage, rise_m = deepestHollow_m(ground, drained)): Mask {
  return finish(inflowRimSteps(ground, drained, rise_m))
}

/** `inflowRim` in steps. */
export function* inflowRimSteps(ground: ElevationGrid, drained: Drainage, rise_m = deepestHollow_m(ground, drained)): Steps<Mask> {
  const { width, height } = ground.geometry
  const z = ground.data
  const { slope } = drained
  const data = rimCells(z, width, height)
  const flat: number[] = []
  for (let cell = 0; cell < data.length; cell++) if (data[cell] && slope[cell] === LEAVES) flat.push(cell)
  for (const cell of flat)
    eachNeighbour(width, height, cell, to => {
      if (data[to] || z[to] !== z[cell]) return
      data[to] = 1
      flat.push(to)
    })
  const offsets = neighbourOffsets(width)
  for (const { inside, outside } of yield* otherPasses(ground, drained, rise_m)) {
    for (let cell = inside; ; cell += offsets[slope[cell]!]!) {
      data[cell] = 1
      if (slope[cell]! > 7) break
    }
    data[outside] = 1
  }
  return { geometry: ground.geometry, data }
}

/** Depth of the deepest hollow, its level above its pit; 0 without hollows. */
function deepestHollow_m({ data }: ElevationGrid, { basins }: Drainage): number {
  let deepest = 0
  for (let b = 1; b < basins.pit.length; b++) deepest = Math.max(deepest, basins.level_m[b]! - data[basins.pit[b]!]!)
  return deepest
}

/** The passes over which water may go only because the ground beyond the edge is not known, each as the last cell before and the first behind it. */
function* otherPasses(ground: ElevationGrid, drained: Drainage, rise_m: number): Steps<{ inside: number; outside: number }[]> {
  const { node, leavesAt_m } = drainingPlaces(ground, drained)
  yield 0.1
  const passes = yield* within(0.1, 0.7, lowestPasses(ground, node, leavesAt_m.length))
  const ways = waysOut(passes, leavesAt_m)
  yield 0.9
  const found: { inside: number; outside: number }[] = []
  const open = new Set<Pass>()
  const offer = (pass: Pass, inside: number, outside: number, near_m: number, far_m: number): void => {
    // Water of the near side leaves it at one height; to get over the pass and away beyond it would have to stand at another.
    const rise = Math.max(pass.height_m, far_m) - near_m
    if (!Number.isFinite(near_m) || !Number.isFinite(rise) || rise < 0 || rise > rise_m) return
    found.push({ inside, outside })
    open.add(pass)
  }
  for (const { pass, sideA_m, sideB_m } of ways) {
    offer(pass, pass.cellA, pass.cellB, sideA_m, sideB_m)
    offer(pass, pass.cellB, pass.cellA, sideB_m, sideA_m)
  }
  const closed = new Set(ways.map(({ pass }) => pass).filter(pass => !open.has(pass)))
  for (const { cellA, cellB } of equallyHigh(passes, open, closed, leavesAt_m.length))
    found.push({ inside: cellA, outside: cellB }, { inside: cellB, outside: cellA })
  return found
}

/** Passes that are not in the tree, and could stand there in the place of an open one that is as high. */
function equallyHigh(passes: readonly Pass[], open: ReadonlySet<Pass>, closed: ReadonlySet<Pass>, count: number): Pass[] {
  const sets = disjointSets(count)
  const found: Pass[] = []
  for (let from = 0, to = 0; from < passes.length; from = to) {
    while (passes[to]?.height_m === passes[from]!.height_m) to++
    const group = passes.slice(from, to)
    for (const pass of group) if (closed.has(pass)) sets.join(pass.a, pass.b)
    for (const pass of group) if (!open.has(pass) && !sets.areOne(pass.a, pass.b)) found.push(pass)
    for (const pass of group) sets.join(pass.a, pass.b)
  }
  return found
}

/** Numbers 0 … count − 1, joined into sets. */
function disjointSets(count: number): { join: (a: number, b: number) => boolean; areOne: (a: number, b: number) => boolean } {
  const set = Int32Array.from({ length: count }, (_, k) => k)
  const setOf = (k: number): number => {
    let at = k
    while (set[at] !== at) at = set[at] = set[set[at]!]!
    return at
  }
  return {
    /** False where they were one already. */
    join: (a, b) => {
      const [one, two] = [setOf(a), setOf(b)]
      set[one] = two
      return one !== two
    },
    areOne: (a, b) => setOf(a) === setOf(b),
  }
}

/** A way between two basins: the lowest there is. */
interface Pass {
  readonly a: number
  readonly b: number
  readonly cellA: number
  readonly cellB: number
  readonly height_m: number
  readonly drop: number
}

/**
 * The pit, or the cell at the edge, to which the slope takes each cell's water, as a number (−1 in voids); and for each of these the height at
 * which its water can first leave the raster: Infinity where nowhere, −Infinity in a kept sink, which is never full.
 */
function drainingPlaces(ground: ElevationGrid, { slope, basin, basins }: Drainage): { node: Int32Array; leavesAt_m: number[] } {
  const { width, height } = ground.geometry
  const offsets = neighbourOffsets(width)
  const rim = rimCells(ground.data, width, height)
  const OPEN = -2
  const node = basin.map(b => (b === 0 ? OPEN : b))
  const leavesAt_m = Array.from(basins.pit, (_, b) =>
    b > 0 && basins.level_m[b] === Number.NEGATIVE_INFINITY ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY,
  )
  const walk: number[] = []
  for (let start = 0; start < node.length; start++) {
    let cell = start
    while (node[cell] === OPEN) {
      walk.push(cell)
      if (slope[cell] === LEAVES) {
        node[cell] = leavesAt_m.length
        leavesAt_m.push(Number.POSITIVE_INFINITY)
      } else cell += offsets[slope[cell]!]!
    }
    for (const passed of walk) node[passed] = node[cell]!
    walk.length = 0
  }
  for (let cell = 0; cell < node.length; cell++)
    if (rim[cell]) leavesAt_m[node[cell]!] = Math.min(leavesAt_m[node[cell]!]!, ground.data[cell]!)
  return { node, leavesAt_m }
}

/** The lowest pass between each two neighbouring basins, the lowest first. */
function* lowestPasses(ground: ElevationGrid, node: Int32Array, count: number): Steps<Pass[]> {
  const { width, height } = ground.geometry
  const z = ground.data
  const offsets = neighbourOffsets(width)
  const found = new Map<number, Pass>()
  const collect = (firstRow: number, endRow: number): void => {
    for (let row = firstRow, cell = row * width; row < endRow; row++)
      for (let column = 0; column < width; column++, cell++) {
        const own = node[cell]!
        if (own < 0) continue
        // To the east and the south-east, south and south-west: so each pair of cells comes once.
        for (let k = 2; k < 6; k++) {
          if ((k < 4 && column === width - 1) || (k > 2 && row === height - 1) || (k === 5 && column === 0)) continue
          const to = cell + offsets[k]!
          const other = node[to]!
          if (other < 0 || own === other) continue
          const height_m = Math.max(z[cell]!, z[to]!)
          const key = own < other ? own * count + other : other * count + own
          const known = found.get(key)
          if (known && height_m > known.height_m) continue
          const drop = Math.abs(z[cell]! - z[to]!) / STEP_LENGTH[k]!
          if (known && height_m === known.height_m && drop <= known.drop) continue
          const isFirst = own < other
          found.set(key, {
            a: isFirst ? own : other,
            b: isFirst ? other : own,
            cellA: isFirst ? cell : to,
            cellB: isFirst ? to : cell,
            height_m,
            drop,
          })
        }
      }
  }
  yield* inBands(height, width, collect)
  return [...found.values()].sort((p, q) => p.height_m - q.height_m || q.drop - p.drop)
}

/**
 * The passes of the spanning tree, each with the heights at which the water of either side can leave the raster without crossing it; Infinity where it
 * cannot.
 */
function waysOut(passes: readonly Pass[], leavesAt_m: readonly number[]): { pass: Pass; sideA_m: number; sideB_m: number }[] {
  const sets = disjointSets(leavesAt_m.length)
  const tree = passes.filter(({ a, b }) => sets.join(a, b))
  const at: Pass[][] = leavesAt_m.map(() => [])
  for (const pass of tree) {
    at[pass.a]!.push(pass)
    at[pass.b]!.push(pass)
  }
  // From some basin of each tree outwards.
  const towards: (Pass | null)[] = leavesAt_m.map(() => null)
  const order: number[] = []
  const met = new Uint8Array(leavesAt_m.length)
  for (let first = 0; first < met.length; first++) {
    if (met[first]) continue
    met[first] = 1
    order.push(first)
    for (let head = order.length - 1; head < order.length; head++)
      for (const pass of at[order[head]!]!) {
        const next = beyond(pass, order[head]!)
        if (met[next]) continue
        met[next] = 1
        towards[next] = pass
        order.push(next)
      }
  }
  // What lies further out, from the ends inwards; then what lies on the other side, from the middle outwards.
  const outer_m = [...leavesAt_m]
  for (let k = order.length - 1; k >= 0; k--) {
    const pass = towards[order[k]!]
    if (!pass) continue
    const inner = beyond(pass, order[k]!)
    outer_m[inner] = Math.min(outer_m[inner]!, Math.max(pass.height_m, outer_m[order[k]!]!))
  }
  const inner_m = leavesAt_m.map(() => Number.POSITIVE_INFINITY)
  for (const here of order) {
    // The lowest way out of here, and the lowest by another pass.
    let best = leavesAt_m[here]!
    let second = Number.POSITIVE_INFINITY
    let by: Pass | null = null
    for (const pass of at[here]!) {
      const way = Math.max(pass.height_m, pass === towards[here] ? inner_m[here]! : outer_m[beyond(pass, here)]!)
      if (way < best) {
        second = best
        best = way
        by = pass
      } else if (way < second) second = way
    }
    for (const pass of at[here]!) if (pass !== towards[here]) inner_m[beyond(pass, here)] = pass === by ? second : best
  }
  return order.flatMap(here => {
    const pass = towards[here]
    if (!pass) return []
    const [own, far] = [outer_m[here]!, inner_m[here]!]
    return [pass.a === here ? { pass, sideA_m: own, sideB_m: far } : { pass, sideA_m: far, sideB_m: own }]
  })

  function beyond(pass: Pass, from: number): number {
    return pass.a === from ? pass.b : pass.a
  }
}

/**
 * 1 where the water may be more than the raster shows: where it may come in from beyond, and below wherever that water reaches, by the single
 * directions or with at least `least_ratio` of a marked cell's water by the dispersive network (a literal any-water flag would be up nearly
 * everywhere).
 *
 * Laws    inherited downstream along the single directions.
 * @param rim  what `inflowRim` gives
 */
export function edgeReach(net: FlowNetwork, rim: Mask, least_ratio = 0.005): Mask {
  // Sums of marked cells' shares, so that a wide inflow counts as a whole.
  const reached = new Float64Array(rim.data.length)
  reached.set(rim.data)
  let from = 0
  const give = (to: number, share: number): void => {
    if (to >= 0) reached[to]! += reached[from]! * share
  }
  for (const cell of net.order) {
    if (reached[cell] === 0) continue
    from = cell
    eachReceiver(net, cell, give)
  }
  const data = new Uint8Array(reached.length)
  const { direction, slope } = net.drainage
  const offsets = neighbourOffsets(net.geometry.width)
  const below: number[] = []
  for (let cell = 0; cell < data.length; cell++) if (reached[cell]! > least_ratio) below.push(cell)
  for (let cell = below.pop(); cell !== undefined; cell = below.pop()) {
    if (data[cell]) continue
    data[cell] = 1
    // Where a hollow spills elsewhere than the raster shows, its water goes down the slope for longer before it turns.
    for (const code of [direction[cell]!, slope[cell]!]) if (code < 8) below.push(cell + offsets[code]!)
  }
  return { geometry: net.geometry, data }
}
