import { InputError } from '../foundation/index.js'
import type { Ditch } from './ditch-water.js'
import { averageEndArea_m3 } from './volumes.js'

/** Loose mulch to fetch for one that has settled. Source: judgement: straw and wood chips settle by a fifth to a third. */
const LOOSE_PER_SETTLED = 1.3

/** What is spread on the berms of a line. Mulch stays on the berm: loose in the bed it floats and blocks the sill. */
export interface BermCover {
  readonly area_m2: number
  /** As it lies, and as it is fetched. */
  readonly settled_m3: number
  readonly loose_m3: number
}

/**
 * Area of crest and outer face of a line's berm, and the mulch that covers it to a depth.
 *
 * Shapes  `spacing_m` as in `lineStorage`.
 * Throws  `line/too-few-stakes`, `line/bad-spacing`, `cover/bad-depth` outside 0–0.3 m.
 * Source  lengths along the section; loose per settled 1.3 (judgement).
 */
export function bermCover(
  sections: readonly (Ditch & { readonly outerToe_x_m: number })[],
  spacing_m: number | readonly number[],
  depth_m: number,
): BermCover {
  if (!(depth_m >= 0 && depth_m <= 0.3))
    throw new InputError('cover/bad-depth', `Mulch ${depth_m} m deep; take 0 to 0.3 m (0.05–0.1 m is common practice).`, { depth_m })
  const area_m2 = averageEndArea_m3(sections.map(outsideLength_m), spacing_m)
  return { area_m2, settled_m3: area_m2 * depth_m, loose_m3: area_m2 * depth_m * LOOSE_PER_SETTLED }
}

/** Along the section from the inner edge of the crest to the outer toe. */
function outsideLength_m({ dug, lip_x_m, crest_z_m, outerToe_x_m }: Ditch & { readonly outerToe_x_m: number }): number {
  const outside = dug.filter(([x]) => x >= lip_x_m && x <= outerToe_x_m)
  const first = outside.findIndex(([, z]) => z >= crest_z_m - 1e-9)
  let length = 0
  for (let k = Math.max(1, first + 1); k < outside.length; k++) {
    const dx = outside[k]![0] - outside[k - 1]![0]
    const dz = outside[k]![1] - outside[k - 1]![1]
    length += Math.sqrt(dx * dx + dz * dz)
  }
  return length
}
