import { cellArea_m2, type ElevationGrid, type Grid, type Mask, neighbourOffsets, rimCells } from '../raster/index.js'
import { type Drainage, LEAVES, VOID } from './drainage.js'
import { eachReceiver, type FlowNetwork } from './flow-network.js'

/**
 * Upslope contributing area of each cell, its own area included.
 *
 * Laws    water is conserved: what leaves the raster and what stays in kept sinks is the area of all data cells.
 * No data NaN in voids. Summed in float64: float32 stops counting whole cells at 2²⁴.
 */
export function contributingArea(net: FlowNetwork): Grid<'contributing-area_m2', Float64Array> {
  const data = new Float64Array(net.facet.length).fill(cellArea_m2(net.geometry))
  let from = 0
  const give = (to: number, share: number): void => {
    if (to >= 0) data[to]! += data[from]! * share
  }
  for (const cell of net.order) {
    from = cell
    eachReceiver(net, cell, give)
  }
  for (let cell = 0; cell < data.length; cell++) if (net.facet[cell] === VOID) data[cell] = Number.NaN
  return { quantity: 'contributing-area_m2', geometry: net.geometry, data }
}

/**
 * Contributing area along the single directions, with each hollow's water on its way from pit to pass cell by cell.
 *
 * Laws    never falls downstream; the cells that leave the raster and the kept sinks together hold the area of all data cells.
 */
export function contributingAreaSingle({ geometry, direction }: Drainage): Grid<'contributing-area_m2', Float64Array> {
  const { width } = geometry
  const offsets = neighbourOffsets(width)
  const data = new Float64Array(direction.length).fill(cellArea_m2(geometry))
  const donors = new Uint8Array(direction.length)
  for (let cell = 0; cell < direction.length; cell++) if (direction[cell]! < 8) donors[cell + offsets[direction[cell]!]!]!++
  for (let start = 0; start < direction.length; start++) {
    if (direction[start] === VOID) {
      data[start] = Number.NaN
      continue
    }
    // Walk down from each spring, on as long as every donor of the next cell is done.
    for (let cell = start; donors[cell] === 0; ) {
      donors[cell] = 255
      const code = direction[cell]!
      if (code > 7) break
      const to = cell + offsets[code]!
      data[to]! += data[cell]!
      if (--donors[to]! > 0) break
      cell = to
    }
  }
  return { quantity: 'contributing-area_m2', geometry, data }
}

/**
 * Topographic wetness index ln(a / tan β): a = dispersive area per cell width, tan β at least 0.001.
 *
 * No data NaN on the border, where the gradient is not known. For display: uses `log`, never for a decision.
 * Source  Beven & Kirkby (1979), Hydrol. Sci. Bull. 24(1), 43–69.
 */
export function wetnessIndex(area: Grid<'contributing-area_m2', Float64Array>, gradient: Grid<'gradient_ratio'>): Grid<'wetness_ln'> {
  const data = Float32Array.from(area.data, (a, cell) => Math.log(a / area.geometry.cell_m / Math.max(gradient.data[cell]!, 0.001)))
  return { quantity: 'wetness_ln', geometry: area.geometry, data }
}

/**
 * 1 where water may come in from beyond: on each cell of the raster's rim (the border, and cells beside voids) whose water runs inward, and
 * on flats (lakes above all) that reach the rim: what lies beyond may drain through them.
 */
export function inflowRim(ground: ElevationGrid, { slope }: Drainage): Mask {
  const { width, height } = ground.geometry
  const z = ground.data
  const rim = rimCells(z, width, height)
  const data = new Uint8Array(rim.length)
  const offsets = neighbourOffsets(width)
  const seen = new Uint8Array(rim.length)
  for (let start = 0; start < data.length; start++) {
    if (!rim[start]) continue
    if (slope[start]! < 8) data[start] = 1
    if (slope[start] !== LEAVES || seen[start]) continue
    const flat = [start]
    seen[start] = 1
    for (const cell of flat) {
      const column = cell % width
      for (let k = 0; k < 8; k++) {
        const to = cell + offsets[k]!
        const aside = (to % width) - column
        if (to < 0 || to >= z.length || aside > 1 || aside < -1 || seen[to] || z[to] !== z[cell]) continue
        seen[to] = 1
        flat.push(to)
      }
    }
    if (flat.length > 1) for (const cell of flat) data[cell] = 1
  }
  return { geometry: ground.geometry, data }
}

/**
 * 1 where the water may be more than the raster shows: on the inflow rim, and below it wherever its water reaches, by the single directions or
 * with at least `least_ratio` of a rim cell's water by the dispersive network (a literal any-water flag would be up nearly everywhere).
 *
 * Laws    inherited downstream along the single directions.
 */
export function edgeReach(net: FlowNetwork, rim: Mask, least_ratio = 0.005): Mask {
  // Sums of rim cells' shares, so that a wide inflow counts as a whole.
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
  for (let cell = 0; cell < data.length; cell++) data[cell] = reached[cell]! > least_ratio ? 1 : 0
  const { direction } = net.drainage
  const offsets = neighbourOffsets(net.geometry.width)
  const followed = new Uint8Array(data.length)
  for (let start = 0; start < data.length; start++) {
    if (!data[start]) continue
    for (let cell = start; !followed[cell]; cell += offsets[direction[cell]!]!) {
      followed[cell] = 1
      data[cell] = 1
      if (direction[cell]! > 7) break
    }
  }
  return { geometry: net.geometry, data }
}
