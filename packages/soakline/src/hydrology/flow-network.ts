import { finish, inBands, type Steps, within } from '../foundation/index.js'
import type { Kernels, SpreadGround, SpreadMethod, SpreadWays } from '../kernels/index.js'
import { COLUMN_STEP, type ElevationGrid, type GridGeometry, neighbourOffsets, opposite, ROW_STEP, STEP_LENGTH } from '../raster/index.js'
import { LEAVES, SINK, VOID } from './direction-codes.js'
import type { Drainage } from './drainage.js'

/** A cell whose water is shared evenly among several neighbours that nothing sets apart. */
export const EVEN = 10
/** A cell whose water is shared unevenly among more than two neighbours, or two that do not lie side by side. */
export const MANY = 11

/** How the cells marked `MANY` share their water. */
export interface ManyShares {
  /** For each cell so marked the place of its weights: eight, clockwise from north, from `8 * row` on. */
  readonly row: Int32Array
  /** Each neighbour gets its weight over the sum of the eight. Up to 1, down to 2⁻²⁵ or 0: so the sum is exact in any order. */
  readonly weight: Float32Array
}

/**
 * How water spreads over a ground: each cell gives its water to the two neighbours on either side of its line of fall.
 *
 * `facet[cell]` is a direction k (0–7) that takes `1 − toNext`, the next one clockwise takes `toNext`; or `EVEN` (see `even`), `MANY` (see
 * `many`), `LEAVES`, `SINK` (a pit: its water goes to `jump` of its basin) or `VOID`.
 */
export interface FlowNetwork {
  readonly geometry: GridGeometry
  readonly facet: Uint8Array
  readonly toNext: Float32Array
  /** Receivers of the cells marked `EVEN`. */
  readonly even: ReadonlyMap<number, readonly number[]>
  /** Shares of the cells marked `MANY`; null where the method marks none. */
  readonly many: ManyShares | null
  /** For each basin the cell at which its pit's water comes down beyond the pass; −1 off the raster, −2 for none (basin 0, kept sinks). */
  readonly jump: Int32Array
  readonly drainage: Drainage
  /** Every data cell, from the ridges down: nobody comes before a cell that gives it water. */
  readonly order: Int32Array
  /** Layer of each cell: 0 on the ridges, always more than any cell's that gives it water. */
  readonly layer: Int32Array
  readonly layers: number
  /** Who gives a cell water: bit k for the neighbour in direction k, bit 8 for hollows whose overflow comes down here (see `landed`). */
  readonly donors: Uint16Array
  /** For each cell that overflow of hollows passes between their pass and where it comes down: their basins. */
  readonly overflowing: ReadonlyMap<number, readonly number[]>
  /** For each cell at which overflow of hollows comes down: their pits. */
  readonly landed: ReadonlyMap<number, readonly number[]>
}

/** A network before its order is known. */
type Unordered = Omit<FlowNetwork, 'order' | 'layer' | 'layers' | 'donors' | 'landed' | 'overflowing'>

/** Where a network sends the water of each cell, worked out in steps. */
export interface FlowMethod {
  (ground: ElevationGrid, drainage: Drainage): Steps<Pick<FlowNetwork, 'facet' | 'toNext' | 'even' | 'many'>>
  /** As what the compiled kernels know it, where they do. */
  readonly compiled?: SpreadMethod
}

/** A method that the compiled kernels know, too. */
export function compiledAs(compiled: SpreadMethod, method: FlowMethod): FlowMethod {
  return Object.assign(method, { compiled })
}

/**
 * Direction from central differences, shared between the two neighbours beside it so that the mean step points exactly along it.
 *
 * Where a neighbour of the two is not lower, the other takes all; where neither is, the steepest neighbours share evenly. A fall that points
 * exactly at a slant neighbour which is not lower is shared by the two straight ones beside it. Flats and pits follow the drainage.
 * Laws    on a plane the mean path has the plane's azimuth; a turned raster gives turned shares.
 * Source  own arrangement of the vector split; compare Tarboton (1997), Water Resour. Res. 33(2), 309–319, who splits by angle on facets.
 */
export const byVector: FlowMethod = compiledAs({ by: 'vector' }, function* (ground, { slope }) {
  const { width, height } = ground.geometry
  const z = ground.data
  const offsets = neighbourOffsets(width)
  const facet = new Uint8Array(slope.length)
  const toNext = new Float32Array(slope.length)
  const even = new Map<number, number[]>()
  const scatter = scatterOf(ground)
  yield 0.1
  const share = (firstRow: number, endRow: number): void => {
    for (let row = firstRow, cell = row * width; row < endRow; row++) {
      for (let column = 0; column < width; column++, cell++) {
        const k = slope[cell]!
        facet[cell] = k
        if (k > 7) continue
        const here = z[cell]!
        if (!(z[cell + offsets[k]!]! < here)) continue // a flat: the drainage's own way
        const n = row > 0 ? z[cell - width]! : Number.NaN
        const s = row < height - 1 ? z[cell + width]! : Number.NaN
        const e = column < width - 1 ? z[cell + 1]! : Number.NaN
        const w = column > 0 ? z[cell - 1]! : Number.NaN
        const east = fallAlong(w, here, e)
        const south = fallAlong(n, here, s)
        const across = Math.abs(east)
        const along = Math.abs(south)
        if (across > 0 || along > 0) {
          const straight = across >= along ? (east > 0 ? 2 : 6) : south > 0 ? 4 : 0
          const slant = south > 0 ? (east > 0 ? 3 : 5) : east > 0 ? 1 : 7
          const ratio = Math.min(across, along) / Math.max(across, along)
          const aside = across >= along ? width * (south > 0 ? 1 : -1) : east > 0 ? 1 : -1
          // In whole 2⁻²⁴, so that float32 holds the share and the rest alike, and a turned raster gives the same bits.
          const part =
            Math.round(Math.min(1, Math.max(0, ratio + drift(ratio, scatter[cell - aside], scatter[cell + aside]))) * 0x1000000) / 0x1000000
          const takesStraight = isLower(straight)
          const takesSlant = part > 0 && isLower(slant)
          if (across === along && !takesSlant) {
            // The fall points at the slant neighbour, which is no way down: of the two straight ones beside it neither is favoured.
            const other = south > 0 ? 4 : 0
            if (takesStraight && isLower(other)) {
              facet[cell] = EVEN
              even.set(
                cell,
                [straight, other].sort().map(d => cell + offsets[d]!),
              )
              continue
            }
            if (takesStraight || isLower(other)) {
              facet[cell] = takesStraight ? straight : other
              continue
            }
          }
          if (takesStraight || takesSlant) {
            const toSlant = !takesStraight ? 1 : !takesSlant ? 0 : part
            const clockwise = (straight + 1) % 8 === slant
            facet[cell] = clockwise ? straight : slant
            toNext[cell] = clockwise ? toSlant : 1 - toSlant
            if (toSlant === 0) {
              facet[cell] = straight
              toNext[cell] = 0
            }
            continue
          }
        }
        // The differences tell nothing here (a ridge, a saddle, a spike): the steepest neighbours, evenly where they are equal.
        const steepest = (here - z[cell + offsets[k]!]!) / STEP_LENGTH[k]!
        const equals: number[] = []
        for (let d = 0; d < 8; d++)
          if (isLower(d) && (here - z[cell + offsets[d]!]!) / STEP_LENGTH[d]! === steepest) equals.push(cell + offsets[d]!)
        if (equals.length > 1) {
          facet[cell] = EVEN
          even.set(cell, equals)
        }

        function isLower(d: number): boolean {
          if ((column === 0 && (d === 5 || d === 6 || d === 7)) || (column === width - 1 && (d === 1 || d === 2 || d === 3))) return false
          const to = cell + offsets[d]!
          return to >= 0 && to < slope.length && z[to]! < here
        }
      }
    }
  }
  yield* within(0.1, 1, inBands(height, width, share))
  return { facet, toNext, even, many: null }
})

/** Largest difference of scatter over two cells for which the ground counts as smooth; beyond it there is no correction. */
const SMOOTH = 0.1

/**
 * How far the share must lean so that scattering does not push water aside. A cell that gives to two neighbours scatters water sideways by
 * t(1 − t) a step; where that changes across the slope, as on a cone, water drifts out of the strongly scattering sectors and a line's
 * catchment is off by up to 1 %. The lean that cancels the drift is half the sideways derivative of scatter times flow, over flow, where the
 * flow through a cell goes as 1/√(1 + t²).
 */
function drift(ratio: number, before: number | undefined, after: number | undefined): number {
  // Straight or slanting exactly: either side would do, so neither is favoured.
  if (ratio === 0 || ratio === 1 || before === undefined || after === undefined) return 0
  const difference = after - before
  return Math.abs(difference) <= SMOOTH ? 0.25 * Math.sqrt(1 + ratio * ratio) * difference : 0
}

/** t(1 − t)/√(1 + t²) of every inner cell, t being how its central differences share water; NaN where they cannot be taken. */
function scatterOf(ground: ElevationGrid): Float32Array {
  const { width, height } = ground.geometry
  const z = ground.data
  const scatter = new Float32Array(z.length).fill(Number.NaN)
  for (let row = 1; row < height - 1; row++)
    for (let column = 1, cell = row * width + 1; column < width - 1; column++, cell++) {
      const across = Math.abs(z[cell + 1]! - z[cell - 1]!)
      const along = Math.abs(z[cell + width]! - z[cell - width]!)
      const t = Math.min(across, along) / Math.max(across, along)
      scatter[cell] = (t * (1 - t)) / Math.sqrt(1 + t * t)
    }
  return scatter
}

/** Fall along one axis from three heights: central difference, one-sided where an end has no data, 0 where both lack. */
function fallAlong(before: number, here: number, after: number): number {
  if (!Number.isNaN(before)) return !Number.isNaN(after) ? (before - after) / 2 : before - here
  return !Number.isNaN(after) ? here - after : 0
}

/** All water to the one cell that the drainage names. */
export const single: FlowMethod = function* (_ground, { slope }) {
  const facet = slope.slice()
  yield 1
  return { facet, toNext: new Float32Array(slope.length), even: new Map(), many: null }
}

/**
 * The flow network of a ground by one method.
 *
 * Laws    no circle; every cell's shares add up to 1.
 * Cost    some passes over the raster; 15 bytes a cell besides the drainage, 36 more where `multiple` shares.
 * @param method `byVector`, `byFacets`, `multiple()` or `single`
 * @param kernels compiled kernels, which give the same network, to the bit, by `byVector` and, where no facets are equally steep, by `byFacets`
 */
export function flowNetwork(
  ground: ElevationGrid,
  drained: Drainage,
  method: FlowMethod = byVector,
  kernels: Kernels | null = null,
): FlowNetwork {
  return finish(flowNetworkSteps(ground, drained, method, kernels))
}

/** `flowNetwork` in steps. */
export function* flowNetworkSteps(
  ground: ElevationGrid,
  drained: Drainage,
  method: FlowMethod = byVector,
  kernels: Kernels | null = null,
): Steps<FlowNetwork> {
  const overflowing = new Map<number, number[]>()
  const jump = landings(ground, drained, (cell, b) => {
    const basins = overflowing.get(cell)
    if (basins) basins.push(b)
    else overflowing.set(cell, [b])
  })
  const landed = new Map<number, number[]>()
  for (let b = 1; b < jump.length; b++) {
    const to = jump[b]!
    if (to < 0) continue
    const pits = landed.get(to)
    if (pits) pits.push(drained.basins.pit[b]!)
    else landed.set(to, [drained.basins.pit[b]!])
  }
  const { compiled } = method
  if (kernels && compiled && compiled.by !== 'multiple') {
    const ways = yield* within(0, 0.9, kernels.spreadWays(spreadGround(ground, drained, jump), compiled))
    if (ways) return { geometry: ground.geometry, drainage: drained, jump, landed, overflowing, ...networkOf(ways, landed) }
  }
  const parts = yield* within(0, 0.5, method(ground, drained))
  const network = { geometry: ground.geometry, ...parts, jump, drainage: drained }
  const order = yield* within(0.5, 0.85, downstreamOrder(network))
  const donors = yield* within(0.85, 1, donorsOf(network, landed))
  return { ...network, ...order, donors, landed, overflowing }
}

/** What the compiled kernels are told of a ground. */
export function spreadGround(ground: ElevationGrid, { slope, basins }: Drainage, jumps: Int32Array): SpreadGround {
  const { width, height } = ground.geometry
  return { heights: ground.data, slope, width, height, pits: basins.pit, jumps }
}

/** The kernels' ways in the words of a network. */
function networkOf({ width, even, donors, ...ways }: SpreadWays, landed: ReadonlyMap<number, readonly number[]>) {
  const offsets = neighbourOffsets(width)
  const given = (cell: number, gives: number): number[] => [...offsets].filter((_, k) => gives & (1 << k)).map(offset => cell + offset)
  const words = Uint16Array.from(donors)
  for (const cell of landed.keys()) words[cell]! |= LANDS
  return { ...ways, even: new Map(even.map(([cell, gives]) => [cell, given(cell, gives)])), many: null, donors: words }
}

function* donorsOf(
  { geometry: { width, height }, facet, toNext, even, many }: Unordered,
  landed: ReadonlyMap<number, readonly number[]>,
): Steps<Uint16Array> {
  const donors = new Uint16Array(facet.length)
  const offsets = neighbourOffsets(width)
  const rows = (firstRow: number, endRow: number): void => {
    for (let cell = firstRow * width; cell < endRow * width; cell++) {
      const code = facet[cell]!
      if (code < 8) {
        const next = (code + 1) & 7
        if (toNext[cell]! < 1) donors[cell + offsets[code]!]! |= 1 << opposite(code)
        if (toNext[cell]! > 0) donors[cell + offsets[next]!]! |= 1 << opposite(next)
      } else if (code === EVEN) for (const to of even.get(cell)!) donors[to]! |= 1 << opposite(offsets.indexOf(to - cell))
      else if (code === MANY && many)
        for (let k = 0; k < 8; k++) if (many.weight[8 * many.row[cell]! + k]! > 0) donors[cell + offsets[k]!]! |= 1 << opposite(k)
    }
  }
  yield* inBands(height, width, rows)
  for (const cell of landed.keys()) donors[cell]! |= LANDS
  return donors
}

const LANDS = 256

/** Where each basin's overflow comes down: the first cell beyond the pass that lies below it; `pass` is told of the cells before it. */
export function landings(
  ground: ElevationGrid,
  { slope, basins }: Drainage,
  pass: (cell: number, basin: number) => void = () => undefined,
): Int32Array {
  const z = ground.data
  const offsets = neighbourOffsets(ground.geometry.width)
  const { passInside, passOutside, pass_m } = basins
  const found = new Int32Array(basins.pit.length).fill(-2)
  for (let b = 0; b < found.length; b++) {
    if (passInside[b]! < 0) continue
    let cell = passOutside[b]!
    while (cell >= 0 && z[cell] === pass_m[b] && slope[cell]! < 8) {
      pass(cell, b)
      cell += offsets[slope[cell]!]!
    }
    found[b] = cell
  }
  return found
}

/** Calls `give` for every receiver of a cell with its share; −1 stands for off the raster. */
export function eachReceiver(net: Unordered, cell: number, give: (to: number, share: number) => void): void {
  const code = net.facet[cell]!
  if (code < 8) {
    const { width } = net.geometry
    const t = net.toNext[cell]!
    if (t < 1) give(cell + ROW_STEP[code]! * width + COLUMN_STEP[code]!, 1 - t)
    const next = (code + 1) & 7
    if (t > 0) give(cell + ROW_STEP[next]! * width + COLUMN_STEP[next]!, t)
  } else if (code === LEAVES) give(-1, 1)
  else if (code === SINK) {
    const to = net.jump[net.drainage.basin[cell]!]!
    if (to > -2) give(to, 1)
  } else if (code === EVEN) {
    const to = net.even.get(cell)!
    for (const receiver of to) give(receiver, 1 / to.length)
  } else if (code === MANY) eachOfMany(net, cell, give)
}

/** Kept apart, so that the engine can fold `eachReceiver` into its callers' loops. */
function eachOfMany(net: Unordered, cell: number, give: (to: number, share: number) => void): void {
  if (!net.many) return
  const { width } = net.geometry
  const first = 8 * net.many.row[cell]!
  const sum = sumOfWeights(net.many, cell)
  for (let k = 0; k < 8; k++) {
    const part = net.many.weight[first + k]!
    if (part > 0) give(cell + ROW_STEP[k]! * width + COLUMN_STEP[k]!, part / sum)
  }
}

function sumOfWeights({ row, weight }: ManyShares, cell: number): number {
  let sum = 0
  for (let at = 8 * row[cell]!, end = at + 8; at < end; at++) sum += weight[at]!
  return sum
}

/** The part of a cell's water that goes to its neighbour in direction k. */
export function shareTowards(net: Unordered, cell: number, k: number): number {
  const code = net.facet[cell]!
  if (code < 8) {
    const t = net.toNext[cell]!
    return code === k ? 1 - t : ((code + 1) & 7) === k ? t : 0
  }
  return code === EVEN || code === MANY ? shareOfMany(net, cell, k) : 0
}

function shareOfMany(net: Unordered, cell: number, k: number): number {
  const to = net.even.get(cell)
  if (to) return to.includes(cell + ROW_STEP[k]! * net.geometry.width + COLUMN_STEP[k]!) ? 1 / to.length : 0
  return net.many ? net.many.weight[8 * net.many.row[cell]! + k]! / sumOfWeights(net.many, cell) : 0
}

/** Calls `found` for every cell that gives a cell any of its water. */
export function eachDonor(net: FlowNetwork, cell: number, found: (donor: number) => void): void {
  const { width } = net.geometry
  const word = net.donors[cell]!
  for (let bits = word & 255, k = 0; bits > 0; bits >>= 1, k++) if (bits & 1) found(cell + ROW_STEP[k]! * width + COLUMN_STEP[k]!)
  if (word & LANDS) for (const pit of net.landed.get(cell)!) found(pit)
}

/** Stands for a cell that waits for nobody any more. */
const DONE = -1

/** The cells from the ridges down, and how far down each lies. */
function* downstreamOrder(net: Unordered): Steps<{ order: Int32Array; layer: Int32Array; layers: number }> {
  const cells = net.facet.length
  const waiting = new Int32Array(cells)
  let valid = 0
  const count = (to: number): void => {
    if (to >= 0) waiting[to]!++
  }
  const { width, height } = net.geometry
  const countRows = (firstRow: number, endRow: number): void => {
    for (let cell = firstRow * width; cell < endRow * width; cell++) {
      if (net.facet[cell] === VOID) continue
      valid++
      eachReceiver(net, cell, count)
    }
  }
  yield* within(0, 0.4, inBands(height, width, countRows))
  const order = new Int32Array(valid)
  const layer = new Int32Array(cells)
  let tail = 0
  let layers = 1
  let below = 0
  const release = (to: number): void => {
    if (to < 0) return
    if (layer[to]! < below) layer[to] = below
    if (--waiting[to]! === 0) {
      waiting[to] = DONE
      order[tail++] = to
    }
  }
  // Row by row from the ridges on it down, as far as nothing else is waited for: so the work stays near by.
  let head = 0
  const releaseFrom = (firstRow: number, endRow: number): void => {
    for (let row = firstRow; row < endRow; row++) {
      for (let cell = row * width; cell < (row + 1) * width; cell++)
        if (waiting[cell] === 0 && net.facet[cell] !== VOID) order[tail++] = cell
      for (; head < tail; head++) {
        below = layer[order[head]!]! + 1
        layers = Math.max(layers, below)
        eachReceiver(net, order[head]!, release)
      }
    }
  }
  yield* within(0.4, 1, inBands(height, width, releaseFrom))
  if (tail !== valid) throw new Error(`flow network: ${valid - tail} of ${valid} cells lie on a circle`)
  return { order, layer, layers }
}
