import { chainages_m, type Point, type Shape } from '../raster/index.js'
import { type FlowGround, type FlowStation, flowAlong } from './flow-along.js'
import { nearestPlace } from './overflow.js'

/** A flow where its way passes nearest to a thing. */
export interface FlowBeside {
  readonly chainage_m: number
  /** From the way's line. */
  readonly fromWay_m: number
  /** The greater depth, of bare and grassed ground; null where it is not known. */
  readonly depth_m: number | null
  /** Whether banks hold the flow and its water stands as far aside as the thing lies. */
  readonly wetsIt: boolean
}

/** The flow where its way passes nearest to shapes. Throws as `flowAlong`. Cost: some 100 sections. */
export function flowBeside(
  ground: FlowGround,
  path: readonly Point[],
  shapes: readonly Shape[],
  flow_m3s: number,
  issuesOver_m: number,
): FlowBeside | null {
  const { index, distance_m } = nearestPlace(shapes, path)
  if (index < 0) return null
  const chainage_m = chainages_m(path)[index]!
  const [station] = flowAlong(ground, path, flow_m3s, issuesOver_m, { only_m: [chainage_m] })
  return {
    chainage_m,
    fromWay_m: distance_m,
    depth_m: station ? greaterDepth_m(station) : null,
    wetsIt: station?.form === 'banked' && distance_m <= Math.max(station.bare.width_m ?? 0, station.grassed.width_m ?? 0) / 2,
  }
}

/** The greater depth of a flow, of bare and grassed ground. */
export const greaterDepth_m = ({ bare, grassed }: FlowStation): number => Math.max(bare.depth_m, grassed.depth_m)
