import { finish, InputError, inBands, type Steps, within } from '../foundation/index.js'
import type { Kernels } from '../kernels/index.js'
import { cellArea_m2, type ElevationGrid, type Grid, type GridGeometry, neighbourOffsets } from '../raster/index.js'
import { VOID } from './direction-codes.js'
import type { Drainage } from './drainage.js'
import { type FlowMethod, type FlowNetwork, flowNetworkSteps, landings, shareTowards, spreadGround } from './flow-network.js'

/** What each cell counts for: 1 for its own area, 0 to leave it out, a runoff ratio for what runs off it. */
export type CellWeights = Grid<string, Float32Array | Float64Array>

/**
 * Upslope contributing area of each cell, its own area included; with `weights`, the area of each cell times its weight.
 *
 * Units   weights are dimensionless (a runoff ratio, say): the answer stays m².
 * Laws    water is conserved: what leaves the raster and what stays in kept sinks is the weighted area of all data cells; linear in the
 *         weights; the same bits in whatever order the cells are walked, so a turned raster gives turned areas.
 * No data NaN in voids. Summed in float64: float32 stops counting whole cells at 2²⁴.
 * Throws  InputError `weights/other-raster`, `weights/no-data` (a data cell without a weight).
 * Cost    one pass over the raster in its order.
 */
export function contributingArea(net: FlowNetwork, weights?: CellWeights): Grid<'contributing-area_m2', Float64Array> {
  return finish(contributingAreaSteps(net, weights))
}

/** `contributingArea` in steps. */
export function* contributingAreaSteps(net: FlowNetwork, weights?: CellWeights): Steps<Grid<'contributing-area_m2', Float64Array>> {
  const { facet, donors, landed, geometry } = net
  const offsets = neighbourOffsets(geometry.width)
  const data = ownWeights(geometry, facet, weights)
  const { order } = net
  const parts: number[] = []
  const gather = (first: number, end: number): void => {
    for (let at = first; at < end; at++) {
      const cell = order[at]!
      const word = donors[cell]!
      if (word === 0) continue
      let count = 0
      for (let bits = word & 255, k = 0; bits > 0; bits >>= 1, k++) {
        if (!(bits & 1)) continue
        const donor = cell + offsets[k]!
        parts[count++] = data[donor]! * shareTowards(net, donor, (k + 4) & 7)
      }
      if (word > 255) for (const pit of landed.get(cell)!) parts[count++] = data[pit]!
      data[cell] = sumBySize(parts, count) + data[cell]!
    }
  }
  yield* inBands(order.length, 1, gather)
  const area = cellArea_m2(geometry)
  for (let cell = 0; cell < data.length; cell++) data[cell]! *= area
  return { quantity: 'contributing-area_m2', geometry, data }
}

/** What `contributingAreaBy` may be told besides. */
export interface AreaOptions {
  readonly weights?: CellWeights
  /** Compiled kernels: the same but for rounding, within 1e-12 of each area, without a network being made. */
  readonly kernels?: Kernels | null
}

/**
 * Contributing area by a method, where nothing else is asked of its network: `contributingArea` of `flowNetwork`.
 *
 * Throws  as `contributingArea`.
 */
export function contributingAreaBy(
  ground: ElevationGrid,
  drained: Drainage,
  method: FlowMethod,
  options: AreaOptions = {},
): Grid<'contributing-area_m2', Float64Array> {
  return finish(contributingAreaBySteps(ground, drained, method, options))
}

/** `contributingAreaBy` in steps. */
export function* contributingAreaBySteps(
  ground: ElevationGrid,
  drained: Drainage,
  method: FlowMethod,
  { weights, kernels = null }: AreaOptions = {},
): Steps<Grid<'contributing-area_m2', Float64Array>> {
  const { geometry } = ground
  if (kernels && method.compiled) {
    const own = weights ? ownWeights(geometry, drained.slope, weights) : null
    const told = spreadGround(ground, drained, landings(ground, drained))
    const data = yield* kernels.gatherSpread(told, method.compiled, own)
    if (data) {
      const area = cellArea_m2(geometry)
      if (area !== 1) for (let cell = 0; cell < data.length; cell++) data[cell]! *= area
      return { quantity: 'contributing-area_m2', geometry, data }
    }
  }
  const net = yield* within(0, 0.7, flowNetworkSteps(ground, drained, method))
  return yield* within(0.7, 1, contributingAreaSteps(net, weights))
}

/** Sum of the first numbers of a list, the smallest first, so that it does not depend on where each came from. Sorts them in place. */
function sumBySize(parts: number[], count: number): number {
  for (let i = 1; i < count; i++) {
    const part = parts[i]!
    let at = i
    for (; at > 0 && parts[at - 1]! > part; at--) parts[at] = parts[at - 1]!
    parts[at] = part
  }
  let sum = 0
  for (let i = 0; i < count; i++) sum += parts[i]!
  return sum
}

/** Each data cell's own weight, NaN in voids. */
function ownWeights(geometry: GridGeometry, codes: Uint8Array, weights?: CellWeights): Float64Array {
  const data = new Float64Array(codes.length)
  if (!weights) {
    for (let cell = 0; cell < data.length; cell++) data[cell] = codes[cell] === VOID ? Number.NaN : 1
    return data
  }
  const { width, height } = weights.geometry
  if (width !== geometry.width || height !== geometry.height)
    throw new InputError(
      'weights/other-raster',
      `The weights are ${width} × ${height} cells, the ground ${geometry.width} × ${geometry.height}: bring one weight for each cell.`,
      { width, height },
    )
  data.set(weights.data)
  for (let cell = 0; cell < data.length; cell++) {
    if (codes[cell] === VOID) data[cell] = Number.NaN
    else if (!Number.isFinite(data[cell]!))
      throw new InputError(
        'weights/no-data',
        `Cell ${cell} has ground but the weight ${data[cell]}, and all below it would be unknown: give it a number, 0 to leave it out.`,
        { cell },
      )
  }
  return data
}

/**
 * Contributing area along the single directions by the compiled kernels: whole cells, the same bits as without them.
 *
 * No data NaN in voids.
 */
function countedArea({ geometry, direction }: Drainage, kernels: Kernels): Grid<'contributing-area_m2', Float64Array> {
  const data = new Float64Array(direction.length)
  const area = cellArea_m2(geometry)
  finish(
    kernels.cellsUpslope(direction, geometry, (row, cells) => {
      for (let column = 0, at = row * geometry.width; column < cells.length; column++, at++)
        data[at] = direction[at] === VOID ? Number.NaN : cells[column]! * area
    }),
  )
  return { quantity: 'contributing-area_m2', geometry, data }
}

/**
 * Contributing area along the single directions, with each hollow's water on its way from pit to pass cell by cell; with `weights`
 * (dimensionless), the area of each cell times its weight.
 *
 * Laws    never falls downstream while no weight is negative; the cells that leave the raster and the kept sinks together hold the weighted
 *         area of all data cells; without weights whole cells are counted, so the answer does not depend on any order.
 * No data NaN in voids.
 * Throws  InputError `weights/other-raster`, `weights/no-data`.
 * @param kernels compiled kernels, which count where there are no weights
 */
export function contributingAreaSingle(
  drained: Drainage,
  weights?: CellWeights,
  kernels: Kernels | null = null,
): Grid<'contributing-area_m2', Float64Array> {
  if (kernels && !weights) return countedArea(drained, kernels)
  const { geometry, direction } = drained
  const offsets = neighbourOffsets(geometry.width)
  const data = ownWeights(geometry, direction, weights)
  const donors = new Uint8Array(direction.length)
  for (let cell = 0; cell < direction.length; cell++) if (direction[cell]! < 8) donors[cell + offsets[direction[cell]!]!]!++
  for (let start = 0; start < direction.length; start++) {
    if (direction[start] === VOID) continue
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
  const area = cellArea_m2(geometry)
  if (area !== 1) for (let cell = 0; cell < data.length; cell++) data[cell]! *= area
  return { quantity: 'contributing-area_m2', geometry, data }
}
