import { distance_m, type Mask, type Point } from '../raster/index.js'
import { type Catchment, lineCatchment } from './catchment.js'
import type { FlowNetwork } from './flow-network.js'
import type { WalkScratch } from './layer-queue.js'

/** How far beyond the ends of a line water is looked for, m (judgement: about as far as water turns round the end of a ditch). */
const BEYOND_m = 10

/** What passes the ends of a line unseen, m². */
export interface PastEnds {
  readonly atStart_m2: number
  readonly atEnd_m2: number
}

/**
 * What passes the two ends of a line unseen: for each end the area that the line would catch more if it went straight on there.
 *
 * Options `beyond_m` how far it goes on, default 10 m (judgement); `scratch` working memory, taken over by this call.
 * Laws    not below 0; going on further never lowers it; 0 where the line goes on beyond the raster.
 * Cost    two catchments.
 * @param caught  the line's own catchment
 */
export function pastEnds(
  net: FlowNetwork,
  ground: { readonly data: Float32Array },
  line: readonly Point[],
  rim: Mask,
  { area_m2 }: Pick<Catchment, 'area_m2'>,
  { beyond_m = BEYOND_m, scratch }: { readonly beyond_m?: number; readonly scratch?: WalkScratch } = {},
): PastEnds {
  const more = (longer: readonly Point[] | null): number =>
    longer ? Math.max(0, lineCatchment(net, ground, longer, rim, scratch).area_m2 - area_m2) : 0
  const onward = (way: readonly Point[]): readonly Point[] | null => {
    // Its course over the last cell: single vertices may lie close together.
    const end = way[way.length - 1]
    if (!end) return null
    let from = end
    for (let k = way.length - 2; k >= 0 && distance_m(from, end) < net.geometry.cell_m; k--) from = way[k]!
    const far = distance_m(from, end)
    if (far === 0) return null
    return [...way, [end[0] + (beyond_m * (end[0] - from[0])) / far, end[1] + (beyond_m * (end[1] - from[1])) / far]]
  }
  return { atStart_m2: more(onward([...line].reverse())), atEnd_m2: more(onward(line)) }
}
