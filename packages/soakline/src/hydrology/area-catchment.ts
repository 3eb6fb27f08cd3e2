import { cellArea_m2, cellsNear, type Mask, type Shape } from '../raster/index.js'
import { type Catchment, edgeOf, HALF, shares } from './catchment.js'
import { VOID } from './direction-codes.js'
import { eachDonor, eachReceiver, type FlowNetwork } from './flow-network.js'
import { LayerQueue } from './layer-queue.js'
import { boxOf } from './spread.js'

/**
 * What drains into an area (a pond, a planting, a wet place): for each cell the part of its water that comes into any cell whose centre lies inside, the
 * area's own cells included with all of theirs.
 *
 * Shapes  the outer ring first, then holes; an area that holds no cell centre is the cells that its outline passes.
 * Units   metres of the network's raster.
 * Laws    shares lie in 0–1; a part of the area never catches more than the whole; two areas together catch no more than both apart; beyond the raster
 *         nothing is caught. Of the overflow of a full hollow all is caught that lands inside; what passes through on its way from pit to pass is not.
 * Cost    some steps for each cell of the catchment.
 */
export function areaCatchment(net: FlowNetwork, { rings }: Extract<Shape, { type: 'polygon' }>, rim: Mask): Catchment {
  const { geometry, facet } = net
  const shape: Shape = { type: 'polygon', rings }
  const centres = cellsNear(geometry, shape, 0, { touching: false })
  const inside = (centres.length > 0 ? centres : cellsNear(geometry, shape, 0)).filter(cell => facet[cell] !== VOID)
  return catchmentOfCells(net, inside, rim)
}

/** As `areaCatchment`, of cells. */
function catchmentOfCells(net: FlowNetwork, inside: readonly number[], rim: Mask): Catchment {
  const { geometry, facet } = net
  const { width, cell_m } = geometry
  const share = new Float64Array(facet.length)
  const length = new Float64Array(facet.length)
  const isInside = new Uint8Array(facet.length)
  for (const cell of inside) isInside[cell] = 1
  const queue = new LayerQueue(net.layer, net.layers, -1, new Int32Array(facet.length))
  for (const cell of inside) queue.push(cell)
  const reached: number[] = []
  let edge = 0
  let total = 0
  let farthest = -1
  for (let cell = queue.pop(); cell >= 0; cell = queue.pop()) {
    let arrives = 0
    let way_m = 0
    if (isInside[cell]) arrives = 1
    else {
      let most = 0
      eachReceiver(net, cell, (to, part) => {
        if (to < 0) return
        const comes = part * share[to]!
        arrives += comes
        if (comes <= most) return
        most = comes
        const columns = (cell % width) - (to % width)
        const rows = Math.floor(cell / width) - Math.floor(to / width)
        way_m = cell_m * Math.sqrt(columns * columns + rows * rows) + length[to]!
      })
    }
    if (arrives < LEAST) continue
    share[cell] = arrives
    length[cell] = way_m
    reached.push(cell)
    total += arrives
    if (rim.data[cell]) edge += arrives
    if (arrives >= HALF && (farthest < 0 || way_m > length[farthest]!)) farthest = cell
    eachDonor(net, cell, donor => queue.push(donor))
  }
  return {
    ...edgeOf(edge),
    share: shares(geometry, share),
    box: boxOf(width, reached),
    area_m2: total * cellArea_m2(geometry),
    longestFlow_m: farthest < 0 ? 0 : length[farthest]!,
    farthest,
    drowned: [],
  }
}

/** Shares below this are not followed further up. */
const LEAST = 1e-6
