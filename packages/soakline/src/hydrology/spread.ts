import { cellAt, type Grid, type Point } from '../raster/index.js'
import { VOID } from './drainage.js'
import { eachReceiver, type FlowNetwork } from './flow-network.js'

/**
 * Where water released at a place may spread to: for each cell the share of it that passes there, by the dispersive network.
 * It is a picture of spreading on smooth ground, not a chance.
 *
 * `taken` marks cells that keep what comes to them (a stream, say): water is not followed beyond.
 * Laws    1 at the place; what leaves the raster and stays in sinks adds up to 1.
 * Cost    one pass over the order below the place.
 * @returns null where there is no ground at the place.
 */
export function spreadFrom(net: FlowNetwork, place: Point, taken?: Uint8Array): Grid<'share_ratio', Float64Array> | null {
  const start = cellAt(net.geometry, place[0], place[1])
  if (start < 0 || net.facet[start] === VOID) return null
  const data = new Float64Array(net.facet.length)
  data[start] = 1
  let from = 0
  const give = (to: number, share: number): void => {
    if (to >= 0) data[to]! += data[from]! * share
  }
  for (const cell of net.order) {
    if (data[cell] === 0 || taken?.[cell]) continue
    from = cell
    eachReceiver(net, cell, give)
  }
  return { quantity: 'share_ratio', geometry: net.geometry, data }
}
