import { InputError } from '../foundation/index.js'
import { distance_m } from '../raster/index.js'
import type { Ditch } from './ditch-water.js'
import { averageEndArea_m3 } from './volumes.js'

/** The deepest mulch that is reckoned with. Source: judgement; 0.05–0.1 m is common practice, no source. */
export const DEEPEST_MULCH_m = 0.3

/** What is spread on the berms of a line. */
export interface BermCover {
  readonly area_m2: number
  /** As it is spread. */
  readonly mulch_m3: number
}

/**
 * Area of crest and outer face of a line's berm, and the mulch that covers it to a depth as spread. None is counted for the inner face: loose
 * mulch that slides or floats into the ditch blocks the sill.
 *
 * Shapes  `spacing_m` as in `lineStorage`.
 * Throws  `line/too-few-stakes`, `line/bad-spacing`, `cover/bad-depth` outside 0–0.3 m.
 * Source  lengths along the section; that the inner face stays without: judgement, the more cautious of two.
 */
export function bermCover(sections: readonly BermSection[], spacing_m: number | readonly number[], depth_m: number): BermCover {
  if (!(depth_m >= 0 && depth_m <= DEEPEST_MULCH_m))
    throw new InputError('cover/bad-depth', `Mulch ${depth_m} m deep; take 0 to 0.3 m (0.05–0.1 m is common practice).`, { depth_m })
  const area_m2 = averageEndArea_m3(sections.map(outsideLength_m), spacing_m)
  return { area_m2, mulch_m3: area_m2 * depth_m }
}

type BermSection = Pick<Ditch, 'dug' | 'lip_x_m' | 'crest_z_m'> & { readonly outerToe_x_m: number }

/** Along the section from the inner edge of the crest to the outer toe. */
function outsideLength_m({ dug, lip_x_m, crest_z_m, outerToe_x_m }: BermSection): number {
  const berm = dug.filter(([x]) => x >= lip_x_m && x <= outerToe_x_m + 1e-9)
  const outside = berm.slice(
    Math.max(
      0,
      berm.findIndex(([, z]) => z >= crest_z_m - 1e-9),
    ),
  )
  return outside.slice(1).reduce((sum, place, k) => sum + distance_m(place, outside[k]!), 0)
}
