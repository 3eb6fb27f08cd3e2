import {
  type CellBox,
  COLUMN_STEP,
  cellArea_m2,
  cellAt,
  cellCentre,
  crossesXY,
  type Grid,
  type GridGeometry,
  type Mask,
  neighbourOffsets,
  type Point,
  ROW_STEP,
  STEP_LENGTH,
} from '../raster/index.js'
import { type Drainage, SINK, VOID } from './drainage.js'
import { EVEN, eachDonor, eachReceiver, type FlowNetwork, MANY } from './flow-network.js'
import { LayerQueue, walkScratch } from './layer-queue.js'
import { boxOf } from './spread.js'

/** Hollows deeper than this below a crossing hold their water before a ditch there could catch it. */
const DITCH_DEEP_M = 0.5

/** What drains into something. */
export interface Catchment {
  /** For each cell the part of its water that arrives, 0–1. */
  readonly share: Grid<'share_ratio', Float64Array>
  /** The block of cells outside which the share is 0. */
  readonly box: CellBox
  /** Sum of the shares. */
  readonly area_m2: number
  /**
   * Water that could have come in from beyond, as a share of the whole, if each rim cell that drains inward brought as much again as the
   * catchment itself: Σ/(1 + Σ) over those cells' shares.
   */
  readonly edgeShare_ratio: number
  /** True when that share is above 0.5 %: the area is then "at least". */
  readonly cutByEdge: boolean
  /** Longest way of water to the line, along the receivers that take most; through a full hollow straight across. */
  readonly longestFlow_m: number
  /** The cell from which that longest way comes; −1 for none. */
  readonly farthest: number
  /** Hollows (cells of their pits) in which the line lies deeper than a ditch: their water is not counted as caught when they overflow. */
  readonly drowned: readonly number[]
}

const EDGE_LIMIT = 0.005

/**
 * What drains into a line, at any azimuth: each cell's water is followed link by link, and a link that crosses the line as a vector is caught.
 *
 * Beside the line every link is tried from sixteen places spread over its cell, so that the ends of the line cut the flow where they lie and
 * not at the next cell centre.
 * Laws    shares lie in 0–1; moving or turning the raster with the line moves or turns the answer.
 * Cost    some steps for each cell of the catchment.
 * @param scratch  working memory; when it is handed in, `share` is its own and holds until the next call with it
 */
export function lineCatchment(
  net: FlowNetwork,
  ground: { readonly data: Float32Array },
  line: readonly Point[],
  rim: Mask,
  scratch = walkScratch(net.facet.length),
): Catchment {
  const { facet, toNext, jump } = net
  const { cell_m, width } = net.geometry
  const { basin, basins, slope, direction } = net.drainage
  const offsets = neighbourOffsets(width)
  const caught = linksAcross(net, line)
  // A hollow's water on its way over the pass is caught where that way crosses the line, unless the line lies drowned in the hollow.
  const caughtBasins = new Set<number>()
  const drowned: number[] = []
  for (const [cell, links] of caught) {
    // Beyond the pass, before it comes down.
    if (slope[cell]! < 8 && links[slope[cell]!]! !== 0) for (const over of net.overflowing.get(cell) ?? []) caughtBasins.add(over)
    const b = basin[cell]!
    if (b < 1 || basins.passInside[b]! < 0) continue
    const k = direction[cell]!
    const depth = basins.level_m[b]! - ground.data[cell]!
    if (depth > DITCH_DEEP_M) {
      if (!drowned.includes(basins.pit[b]!)) drowned.push(basins.pit[b]!)
    } else if (k !== slope[cell] && k < 8 && links[k]! !== 0) caughtBasins.add(b)
  }
  const { shares: share, lengths: length, links: queued } = scratch
  for (const cell of scratch.touched) {
    share[cell] = 0
    length[cell] = 0
  }
  const seen: number[] = []
  const spread = new Map<number, Float64Array>()
  const reached: number[] = []
  let total = 0
  let edge = 0
  let longest = 0
  let farthest = -1
  // From the line upwards, downstream cells first: when a cell's turn comes, all that it gives to is known.
  const queue = new LayerQueue(net.layer, net.layers, -1, queued)
  for (const cell of caught.keys()) queue.push(cell)
  for (const b of caughtBasins) queue.push(basins.pit[b]!)
  const upstream = (donor: number): void => queue.push(donor)
  const beside = new Uint8Array(facet.length)
  for (const cell of caught.keys()) beside[cell] = 1
  for (let cell = queue.pop(); cell >= 0; cell = queue.pop()) {
    seen.push(cell)
    const code = facet[cell]!
    let arrives = 0
    let far = 0
    if (code < 8) {
      const next = (code + 1) & 7
      const t = toNext[cell]!
      const a = cell + offsets[code]!
      const b = t === 0 ? a : cell + offsets[next]!
      if (!beside[cell]) {
        arrives = (1 - t) * share[a]! + t * share[b]!
        const toA = (1 - t) * share[a]! >= t * share[b]!
        far = (toA ? STEP_LENGTH[code]! : STEP_LENGTH[next]!) * cell_m + length[toA ? a : b]!
      } else {
        const links = caught.get(cell)!
        const parts = new Float64Array(TRIES)
        const beyondA = spread.get(a)
        const beyondB = spread.get(b)
        for (let k = 0; k < TRIES; k++) {
          const viaA = links[code]! & (1 << k) ? 1 : beyondA ? beyondA[k]! : share[a]!
          const viaB = t === 0 ? 0 : links[next]! & (1 << k) ? 1 : beyondB ? beyondB[k]! : share[b]!
          parts[k] = (1 - t) * viaA + t * viaB
          arrives += parts[k]! / TRIES
        }
        spread.set(cell, parts)
        const main = t <= 0.5 ? code : next
        far = links[main]! !== 0 ? (STEP_LENGTH[main]! * cell_m) / 2 : STEP_LENGTH[main]! * cell_m + length[t <= 0.5 ? a : b]!
      }
    } else if (code === SINK) {
      const to = jump[basin[cell]!]!
      arrives = caughtBasins.has(basin[cell]!) ? 1 : to >= 0 ? share[to]! : 0
      // Through a full hollow at least straight across.
      far = to >= 0 && !caughtBasins.has(basin[cell]!) ? length[to]! + between_m(net.geometry, cell, to) : 0
    } else if (code === EVEN || code === MANY) {
      const links = caught.get(cell)
      const parts = links && new Float64Array(TRIES)
      eachReceiver(net, cell, (to, part) => {
        const k = offsets.indexOf(to - cell)
        const beyond = spread.get(to)
        far = Math.max(far, STEP_LENGTH[k]! * cell_m + length[to]!)
        if (!parts) arrives += part * share[to]!
        else for (let n = 0; n < TRIES; n++) parts[n]! += part * (links[k]! & (1 << n) ? 1 : beyond ? beyond[n]! : share[to]!)
      })
      if (parts) {
        spread.set(cell, parts)
        for (const p of parts) arrives += p / TRIES
      }
    }
    if (arrives < LEAST) continue
    share[cell] = arrives
    length[cell] = far
    reached.push(cell)
    total += arrives
    if (rim.data[cell]) edge += arrives
    if (arrives >= 0.5 && far > longest) {
      longest = far
      farthest = cell
    }
    eachDonor(net, cell, upstream)
  }
  for (const cell of seen) queued[cell] = 0
  scratch.touched = reached
  return {
    ...edgeOf(edge),
    share: shares(net.geometry, share),
    box: boxOf(width, reached),
    area_m2: total * cellArea_m2(net.geometry),
    longestFlow_m: longest,
    farthest,
    drowned,
  }
}

/** Between the centres of two cells. */
function between_m({ cell_m, width }: GridGeometry, a: number, b: number): number {
  const columns = (a % width) - (b % width)
  const rows = Math.floor(a / width) - Math.floor(b / width)
  return cell_m * Math.sqrt(columns * columns + rows * rows)
}

/** Shares below this are not followed further up. */
const LEAST = 1e-6

/** A grid of shares. */
export const shares = (geometry: GridGeometry, data: Float64Array): Grid<'share_ratio', Float64Array> => ({
  quantity: 'share_ratio',
  geometry,
  data,
})

/** The edge's part in a catchment, from the sum of the shares of the cells where water may come in from beyond. */
export function edgeOf(rimShares: number): { edgeShare_ratio: number; cutByEdge: boolean } {
  const edgeShare_ratio = rimShares / (1 + rimShares)
  return { edgeShare_ratio, cutByEdge: edgeShare_ratio > EDGE_LIMIT }
}

/** Places in a cell from which a link is tried: a 4 × 4 lattice. */
const TRIES = 16

/**
 * For each cell beside a line the links that cross it: one word for each direction k, whose bit n is set when the link, tried from the n-th
 * place of the cell, crosses the line. Only links that carry water are tried.
 */
function linksAcross({ geometry: g, facet, drainage: { direction } }: FlowNetwork, line: readonly Point[]): Map<number, Uint16Array> {
  const caught = new Map<number, Uint16Array>()
  const { width, height, cell_m } = g
  const half = cell_m / 2
  for (let piece = 1; piece < line.length; piece++) {
    const a = line[piece - 1]!
    const b = line[piece]!
    // Cells whose links can reach the piece: its box widened by a cell and a half.
    const first = Math.max(0, Math.floor((Math.min(a[0], b[0]) - g.west_m) / cell_m - 2))
    const last = Math.min(width - 1, Math.ceil((Math.max(a[0], b[0]) - g.west_m) / cell_m + 1))
    const top = Math.max(0, Math.floor((g.north_m - Math.max(a[1], b[1])) / cell_m - 2))
    const bottom = Math.min(height - 1, Math.ceil((g.north_m - Math.min(a[1], b[1])) / cell_m + 1))
    for (let row = top; row <= bottom; row++)
      for (let column = first; column <= last; column++) {
        const cell = row * width + column
        const code = facet[cell]!
        const [x, y] = cellCentre(g, cell)
        for (let k = 0; k < 8; k++) {
          if (code !== EVEN && code !== MANY && k !== direction[cell] && !(code < 8 && (k === code || k === ((code + 1) & 7)))) continue
          const dx = COLUMN_STEP[k]! * cell_m
          const dy = -ROW_STEP[k]! * cell_m
          // The strip that the tried links sweep: most pieces lie outside it.
          if (Math.max(a[0], b[0]) < x - half + Math.min(0, dx) || Math.min(a[0], b[0]) > x + half + Math.max(0, dx)) continue
          if (Math.max(a[1], b[1]) < y - half + Math.min(0, dy) || Math.min(a[1], b[1]) > y + half + Math.max(0, dy)) continue
          for (let n = 0; n < TRIES; n++) {
            const fx = x + (((n & 3) + 0.5) / 4 - 0.5) * cell_m
            const fy = y + (((n >> 2) + 0.5) / 4 - 0.5) * cell_m
            if (!crossesXY(fx, fy, fx + dx, fy + dy, a[0], a[1], b[0], b[1])) continue
            let links = caught.get(cell)
            if (!links) caught.set(cell, (links = new Uint16Array(8)))
            links[k]! |= 1 << n
          }
        }
      }
  }
  return caught
}

/**
 * For each cell the part of its water that reaches any of the marked cells, 1 on those themselves.
 *
 * Laws    marking more cells never lowers a share.
 * Cost    one pass over the raster in its order.
 */
export function dependenceOn(net: FlowNetwork, marked: Uint8Array): Grid<'share_ratio', Float64Array> {
  const data = new Float64Array(marked.length)
  data.set(marked)
  let sum = 0
  const add = (to: number, part: number): void => {
    if (to >= 0) sum += part * data[to]!
  }
  for (let at = net.order.length - 1; at >= 0; at--) {
    const cell = net.order[at]!
    if (marked[cell]) continue
    sum = 0
    eachReceiver(net, cell, add)
    data[cell] = sum
  }
  return shares(net.geometry, data)
}

/**
 * What drains through one cell along the single directions, its own area included.
 *
 * Laws    its area is the single contributing area of the cell.
 */
export function pointCatchment({ geometry, direction }: Drainage, at: Point, rim: Mask): Catchment | null {
  const outlet = cellAt(geometry, at[0], at[1])
  if (outlet < 0 || direction[outlet] === VOID) return null
  const { width, height, cell_m } = geometry
  const share = new Float64Array(direction.length)
  const length = new Float64Array(direction.length)
  const queue = [outlet]
  share[outlet] = 1
  let edge = 0
  let farthest = outlet
  for (const cell of queue) {
    if (rim.data[cell]) edge++
    if (length[cell]! > length[farthest]!) farthest = cell
    const column = cell % width
    const row = (cell - column) / width
    for (let k = 0; k < 8; k++) {
      const c = column + COLUMN_STEP[k]!
      const r = row + ROW_STEP[k]!
      if (c < 0 || r < 0 || c >= width || r >= height) continue
      const donor = r * width + c
      if (share[donor] || direction[donor] !== (k + 4) % 8) continue
      share[donor] = 1
      length[donor] = length[cell]! + STEP_LENGTH[k]! * cell_m
      queue.push(donor)
    }
  }
  return {
    ...edgeOf(edge),
    share: shares(geometry, share),
    box: boxOf(width, queue),
    area_m2: queue.length * cellArea_m2(geometry),
    longestFlow_m: length[farthest]!,
    farthest,
    drowned: [],
  }
}
