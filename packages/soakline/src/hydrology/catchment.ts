import {
  type CellBox,
  COLUMN_STEP,
  cellArea_m2,
  cellAt,
  crossesXY,
  type Grid,
  type GridGeometry,
  type Mask,
  neighbourOffsets,
  opposite,
  type Point,
  ROW_STEP,
  STEP_LENGTH,
} from '../raster/index.js'
import { SINK, VOID } from './direction-codes.js'
import type { Drainage } from './drainage.js'
import { EVEN, eachReceiver, type FlowNetwork, MANY } from './flow-network.js'
import { LayerQueue, type WalkScratch, walkScratch } from './layer-queue.js'
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
 * This is done from sixteen places spread over the cells, so that the ends of the line cut the flow where they lie and not at the next cell
 * centre: water keeps its place from link to link, and a cell's share is the mean over the places.
 * Laws    shares lie in 0–1; no part of a line catches more than the whole, nor the whole more than its parts together (to a millionth of a
 *         cell's water); moving or turning the raster with the line moves or turns the answer.
 * Cost    some steps for each cell of the catchment, sixteen times as much where the places must be kept apart (see `keptApart`).
 * @param scratch  working memory; when it is handed in, `share` is its own and holds until the next call with it
 */
export function lineCatchment(
  net: FlowNetwork,
  ground: { readonly data: Float32Array },
  line: readonly Point[],
  rim: Mask,
  scratch = walkScratch(net.facet.length),
): Catchment {
  const { facet, toNext, jump, donors, landed } = net
  const { cell_m, width } = net.geometry
  const { basin, basins } = net.drainage
  const offsets = neighbourOffsets(width)
  const caught = linksAcross(net, line)
  const { caughtBasins, drowned } = overflowAcross(net, ground, caught)
  const { shares: share, lengths: length, links: queued, rows: apart, reached } = scratch
  for (let k = 0; k < scratch.touched; k++) {
    share[reached[k]!] = 0
    length[reached[k]!] = 0
  }
  scratch.touched = 0
  const keptCells = keptApart(net, ground, caught, caughtBasins, apart)
  // What arrives from each place: sixteen numbers for each cell that is kept apart, 0 until its turn comes.
  const parts = new Float64Array(TRIES * keptCells.length)
  let arrivals = 0
  let total = 0
  let edge = 0
  let longest = 0
  let farthest = -1
  // From the line upwards, downstream cells first: when a cell's turn comes, all that it gives to is known.
  const queue = new LayerQueue(net.layer, net.layers, -1, queued)
  for (const cell of caught.keys()) queue.push(cell)
  for (const b of caughtBasins.keys()) queue.push(basins.pit[b]!)
  const ofMany = { arrives: 0, far: 0 }
  for (let cell = queue.pop(); cell >= 0; cell = queue.pop()) {
    // Its turn comes once: all that it gives to had theirs.
    queued[cell] = 0
    const code = facet[cell]!
    const isApart = apart[cell] !== 0
    const links = isApart ? caught.get(cell) : undefined
    const first = TRIES * (apart[cell]! - 1)
    let arrives = 0
    let far = 0
    if (code < 8) {
      const next = (code + 1) & 7
      const t = toNext[cell]!
      const a = cell + offsets[code]!
      const b = t === 0 ? a : cell + offsets[next]!
      if (!isApart) arrives = (1 - t) * share[a]! + t * share[b]!
      else {
        const acrossA = links ? links[code]! : 0
        const acrossB = links ? links[next]! : 0
        const beyondA = TRIES * (apart[a]! - 1)
        const beyondB = TRIES * (apart[b]! - 1)
        for (let k = 0; k < TRIES; k++) {
          const viaA = acrossA & (1 << k) ? 1 : beyondA >= 0 ? parts[beyondA + k]! : share[a]!
          const viaB = t === 0 ? 0 : acrossB & (1 << k) ? 1 : beyondB >= 0 ? parts[beyondB + k]! : share[b]!
          const part = (1 - t) * viaA + t * viaB
          parts[first + k] = part
          arrives += part / TRIES
        }
      }
      const toA = links ? t <= 0.5 : (1 - t) * share[a]! >= t * share[b]!
      const step_m = STEP_LENGTH[toA ? code : next]! * cell_m
      far = links && links[toA ? code : next]! !== 0 ? step_m / 2 : step_m + length[toA ? a : b]!
    } else if (code === SINK) {
      const to = jump[basin[cell]!]!
      const across = caughtBasins.get(basin[cell]!) ?? 0
      const beyond = to >= 0 ? TRIES * (apart[to]! - 1) : -1
      if (!isApart) arrives = to >= 0 ? share[to]! : 0
      else
        for (let k = 0; k < TRIES; k++) {
          const part = across & (1 << k) ? 1 : beyond >= 0 ? parts[beyond + k]! : to >= 0 ? share[to]! : 0
          parts[first + k] = part
          arrives += part / TRIES
        }
      // Through a full hollow at least straight across.
      far = to >= 0 && across === 0 ? length[to]! + between_m(net.geometry, cell, to) : 0
    } else if (code === EVEN || code === MANY) {
      arriveFromMany(net, cell, scratch, parts, isApart, links, ofMany)
      arrives = ofMany.arrives
      far = ofMany.far
    }
    if (arrives < LEAST) {
      if (isApart) parts.fill(0, first, first + TRIES)
      continue
    }
    share[cell] = arrives
    length[cell] = far
    reached[arrivals++] = cell
    total += arrives
    if (rim.data[cell]) edge += arrives
    if (arrives >= HALF && far > longest) {
      longest = far
      farthest = cell
    }
    const word = donors[cell]!
    queue.pushAround(cell, word & 255, offsets)
    if (word > 255) for (const pit of landed.get(cell)!) queue.push(pit)
  }
  for (const cell of keptCells) apart[cell] = 0
  scratch.touched = arrivals
  return {
    ...edgeOf(edge),
    share: shares(net.geometry, share),
    box: boxOf(width, reached.subarray(0, arrivals)),
    area_m2: total * cellArea_m2(net.geometry),
    longestFlow_m: longest,
    farthest,
    drowned,
  }
}

/**
 * What `lineCatchment` counts for a cell that gives to many. Such cells are rare: what they need is kept out of the loop, or the engine puts what it
 * counts with on the heap for every cell.
 */
function arriveFromMany(
  net: FlowNetwork,
  cell: number,
  { shares: share, lengths: length, rows: apart }: WalkScratch,
  parts: Float64Array,
  isApart: boolean,
  links: Uint16Array | undefined,
  found: { arrives: number; far: number },
): void {
  const offsets = neighbourOffsets(net.geometry.width)
  const { cell_m } = net.geometry
  const first = TRIES * (apart[cell]! - 1)
  let arrives = 0
  let far = 0
  eachReceiver(net, cell, (to, part) => {
    const k = offsets.indexOf(to - cell)
    const across = links ? links[k]! : 0
    const beyond = TRIES * (apart[to]! - 1)
    far = Math.max(far, STEP_LENGTH[k]! * cell_m + length[to]!)
    if (!isApart) arrives += part * share[to]!
    else for (let n = 0; n < TRIES; n++) parts[first + n]! += part * (across & (1 << n) ? 1 : beyond >= 0 ? parts[beyond + n]! : share[to]!)
  })
  if (isApart) for (let n = 0; n < TRIES; n++) arrives += parts[first + n]! / TRIES
  found.arrives = arrives
  found.far = far
}

/**
 * A hollow's water on its way over the pass is caught where that way crosses the line, unless the line lies drowned in the hollow: for each such
 * basin a word whose bit n is set when the way crosses the line from the n-th place.
 */
function overflowAcross(
  { overflowing, drainage: { basin, basins, slope, direction } }: FlowNetwork,
  ground: { readonly data: Float32Array },
  caught: ReadonlyMap<number, Uint16Array>,
): { caughtBasins: ReadonlyMap<number, number>; drowned: number[] } {
  const caughtBasins = new Map<number, number>()
  const drowned: number[] = []
  const add = (b: number, across: number): void => {
    if (across !== 0) caughtBasins.set(b, (caughtBasins.get(b) ?? 0) | across)
  }
  for (const [cell, links] of caught) {
    // Beyond the pass, before it comes down.
    if (slope[cell]! < 8) for (const over of overflowing.get(cell) ?? []) add(over, links[slope[cell]!]!)
    const b = basin[cell]!
    if (basins.passInside[b]! < 0) continue
    const k = direction[cell]!
    const depth = basins.level_m[b]! - ground.data[cell]!
    if (depth > DITCH_DEEP_M) {
      if (!drowned.includes(basins.pit[b]!)) drowned.push(basins.pit[b]!)
    } else if (k !== slope[cell] && k < 8) add(b, links[k]!)
  }
  return { caughtBasins, drowned }
}

/**
 * The cells whose sixteen places must be kept apart: those beside the line, and those below them whose water may meet it once more. Of all others
 * the mean of the places tells as much. Water below the lowest place of the line, hollows filled, does not meet it again.
 *
 * @param rows  working memory; each of the cells gets its number in the answer there, from 1 on
 */
function keptApart(
  net: FlowNetwork,
  ground: { readonly data: Float32Array },
  caught: ReadonlyMap<number, Uint16Array>,
  caughtBasins: ReadonlyMap<number, number>,
  rows: Int32Array,
): readonly number[] {
  const { facet, drainage } = net
  const { basin, basins } = drainage
  const offsets = neighbourOffsets(net.geometry.width)
  const filled_m = (cell: number): number => Math.max(ground.data[cell]!, basins.level_m[basin[cell]!]!)
  const cells: number[] = []
  const add = (cell: number): void => {
    if (rows[cell] === 0) rows[cell] = cells.push(cell)
  }
  for (const cell of caught.keys()) add(cell)
  for (const b of caughtBasins.keys()) add(basins.pit[b]!)
  let lowest = Number.POSITIVE_INFINITY
  for (const cell of cells) lowest = Math.min(lowest, filled_m(cell))
  let links: Uint16Array | undefined
  let from = 0
  const goOn = (to: number): void => {
    if (to < 0 || filled_m(to) < lowest) return
    // What is caught from all places goes no further.
    if (links?.[offsets.indexOf(to - from)] !== ALL) add(to)
  }
  for (let at = 0; at < cells.length; at++) {
    from = cells[at]!
    links = facet[from] === SINK ? undefined : caught.get(from)
    eachReceiver(net, from, goOn)
  }
  return cells
}

/** Between the centres of two cells. */
function between_m({ cell_m, width }: GridGeometry, a: number, b: number): number {
  const columns = (a % width) - (b % width)
  const rows = Math.floor(a / width) - Math.floor(b / width)
  return cell_m * Math.sqrt(columns * columns + rows * rows)
}

/** Shares below this are not followed further up. */
const LEAST = 1e-6

/** A half of a cell's water, where sums of sixteenths end a last bit below it. */
export const HALF = 0.5 - 1e-9

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
/** A word with the bits of all of them. */
const ALL = 0xffff

/**
 * For each cell beside a line the links that cross it: one word for each direction k, whose bit n is set when the link, tried from the n-th
 * place of the cell, crosses the line. Only links that may carry water are tried, a full hollow's overflow included.
 */
function linksAcross(
  { geometry: g, facet, toNext, drainage: { direction, slope } }: FlowNetwork,
  line: readonly Point[],
): Map<number, Uint16Array> {
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
    const east = b[0] - a[0]
    const north = b[1] - a[1]
    const reach = 1.5 * cell_m * (Math.abs(east) + Math.abs(north))
    // How far the places lie to the side of the centre, seen from the piece, and a little.
    const aside = 0.4 * cell_m * (Math.abs(east) + Math.abs(north))
    const [westEnd, eastEnd] = [Math.min(a[0], b[0]), Math.max(a[0], b[0])]
    const [southEnd, northEnd] = [Math.min(a[1], b[1]), Math.max(a[1], b[1])]
    for (let row = top; row <= bottom; row++) {
      const y = g.north_m - (row + 0.5) * cell_m
      for (let column = first; column <= last; column++) {
        const cell = row * width + column
        const x = g.west_m + (column + 0.5) * cell_m
        // Links end within 1.375 cells of the centre to each side: cells farther off the piece's own line have none that crosses it.
        const side = east * (y - a[1]) - north * (x - a[0])
        if (Math.abs(side) > reach) continue
        const code = facet[cell]!
        // Codes above 7 are no directions.
        const singly = direction[cell]!
        const steepest = slope[cell]!
        let carries = (singly < 8 ? 1 << singly : 0) | (steepest < 8 ? 1 << steepest : 0)
        if (code < 8) carries |= (toNext[cell]! < 1 ? 1 << code : 0) | (toNext[cell]! > 0 ? 1 << ((code + 1) & 7) : 0)
        else if (code === EVEN || code === MANY) carries = 0xff
        for (let k = 0; k < 8; k++) {
          if ((carries & (1 << k)) === 0) continue
          const dx = COLUMN_STEP[k]! * cell_m
          const dy = -ROW_STEP[k]! * cell_m
          // Links that begin and end on one side of the piece, from wherever they are tried.
          const sideBeyond = side + east * dy - north * dx
          if (Math.min(side, sideBeyond) > aside || Math.max(side, sideBeyond) < -aside) continue
          // The strip that the tried links sweep: most pieces lie outside it.
          if (eastEnd < x - half + Math.min(0, dx) || westEnd > x + half + Math.max(0, dx)) continue
          if (northEnd < y - half + Math.min(0, dy) || southEnd > y + half + Math.max(0, dy)) continue
          let across = 0
          for (let n = 0; n < TRIES; n++) {
            const fx = x + (((n & 3) + 0.5) / 4 - 0.5) * cell_m
            const fy = y + (((n >> 2) + 0.5) / 4 - 0.5) * cell_m
            if (crossesXY(fx, fy, fx + dx, fy + dy, a[0], a[1], b[0], b[1])) across |= 1 << n
          }
          if (across === 0) continue
          let links = caught.get(cell)
          if (!links) caught.set(cell, (links = new Uint16Array(8)))
          links[k]! |= across
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
  const { width, cell_m } = geometry
  const offsets = neighbourOffsets(width)
  const share = new Float64Array(direction.length)
  const length = new Float64Array(direction.length)
  const queue = [outlet]
  share[outlet] = 1
  let edge = 0
  let farthest = outlet
  for (const cell of queue) {
    if (rim.data[cell]) edge++
    if (length[cell]! > length[farthest]!) farthest = cell
    for (let k = 0; k < 8; k++) {
      // No direction leads off the raster, so none comes in over its sides.
      const donor = cell + offsets[k]!
      if (share[donor] || direction[donor] !== opposite(k)) continue
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
