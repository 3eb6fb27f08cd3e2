import { type CellBox, cellAt, neighbourOffsets, type Point } from '../raster/index.js'
import { VOID } from './direction-codes.js'
import { eachReceiver, type FlowNetwork } from './flow-network.js'
import { LayerQueue, type WalkScratch, walkScratch } from './layer-queue.js'

/** Where water may spread to: the cells that it passes and the share of it that passes each. */
export interface Spread {
  readonly cells: readonly number[]
  readonly share_ratio: Float64Array
}

/** Shares below this are not followed. */
const LEAST = 1e-5

/**
 * Where water released at a place may spread to, by the dispersive network, from the place downwards. It is a picture of spreading on smooth
 * ground, not a chance.
 *
 * `taken` marks cells that keep what comes to them (a stream, say): water is not followed beyond.
 * Laws    1 at the place; no share exceeds 1.
 * Cost    some steps for each cell passed.
 * @returns null where there is no ground at the place.
 */
export function spreadFrom(
  net: FlowNetwork,
  place: Point,
  taken?: Uint8Array,
  scratch = walkScratch(net.facet.length),
  least_ratio = 0,
): Spread | null {
  const start = cellAt(net.geometry, place[0], place[1])
  if (start < 0 || net.facet[start] === VOID) return null
  return spreadFromCells(net, [[start, 1]], taken, scratch, least_ratio)
}

/**
 * `spreadFrom` for water that comes in at several cells, each with its share. Cells without ground are left out.
 *
 * @param least_ratio  cells that a smaller share passes are walked over and not told of. Default 0: all are
 */
export function spreadFromCells(
  net: FlowNetwork,
  from: Iterable<readonly [cell: number, share_ratio: number]>,
  taken?: Uint8Array,
  scratch = walkScratch(net.facet.length),
  least_ratio = 0,
): Spread {
  const { amounts: arriving, links, walked }: WalkScratch = scratch
  const { facet, toNext } = net
  const offsets = neighbourOffsets(net.geometry.width)
  const queue = new LayerQueue(net.layer, net.layers, 1, links)
  for (const [cell, share] of from) {
    if (net.facet[cell] === VOID) continue
    arriving[cell]! += share
    queue.push(cell)
  }
  let passed = 0
  let told = 0
  for (let cell = queue.pop(); cell >= 0; cell = queue.pop()) {
    const passing = arriving[cell]!
    walked[passed++] = cell
    if (passing >= least_ratio) told++
    if (passing < LEAST || taken?.[cell]) continue
    const code = facet[cell]!
    if (code < 8) {
      const t = toNext[cell]!
      if (t < 1) {
        const to = cell + offsets[code]!
        arriving[to]! += passing * (1 - t)
        queue.push(to)
      }
      if (t > 0) {
        const to = cell + offsets[(code + 1) & 7]!
        arriving[to]! += passing * t
        queue.push(to)
      }
    } else giveToMany(net, cell, passing, arriving, queue)
  }
  // Only now, when it is known how many there are: lists that grow are made several times over.
  const cells = new Array<number>(told)
  const share_ratio = new Float64Array(told)
  for (let k = 0, next = 0; k < passed; k++) {
    const cell = walked[k]!
    if (arriving[cell]! >= least_ratio) {
      cells[next] = cell
      share_ratio[next++] = arriving[cell]!
    }
    arriving[cell] = 0
    links[cell] = 0
  }
  return { cells, share_ratio }
}

/** Cells that give to many are rare: kept out of the loop, or the engine puts what it counts with on the heap for every cell. */
function giveToMany(net: FlowNetwork, cell: number, passing: number, arriving: Float64Array, queue: LayerQueue): void {
  eachReceiver(net, cell, (to, share) => {
    if (to < 0) return
    arriving[to]! += passing * share
    queue.push(to)
  })
}

/** The smallest block that holds all of the cells. */
export function boxOf(width: number, cells: ArrayLike<number>): CellBox {
  let [firstColumn, lastColumn, firstRow, lastRow] = [Infinity, -Infinity, Infinity, -Infinity]
  for (let k = 0; k < cells.length; k++) {
    const cell = cells[k]!
    const row = Math.floor(cell / width)
    const column = cell - row * width
    if (column < firstColumn) firstColumn = column
    if (column > lastColumn) lastColumn = column
    if (row < firstRow) firstRow = row
    if (row > lastRow) lastRow = row
  }
  return { firstColumn, lastColumn, firstRow, lastRow }
}
