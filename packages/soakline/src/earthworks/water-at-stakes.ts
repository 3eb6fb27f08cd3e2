import { InputError } from '../foundation/index.js'
import type { Ditch } from './ditch-water.js'

/** The water against the berm at one stake. */
export interface StakeWater {
  readonly level_m: number
  /** Settled crest over the water; below 0 where it is run over. */
  readonly freeboard_m: number
  /** Depth above the original ground at the berm's inner toe: water that leans on fill. */
  readonly againstFill_m: number
}

/** All stakes, and the worst of each kind (first of equals). */
export interface WaterAtStakes {
  readonly stakes: readonly StakeWater[]
  readonly leastFreeboard_m: number
  readonly leastFreeboardStake: number
  readonly mostAgainstFill_m: number
  readonly mostAgainstFillStake: number
}

/**
 * Freeboard and depth against fill at each stake, each against the water's own level there: it is not the same along a long vegetated ditch.
 *
 * Shapes  levels above the bed, one for each section.
 * Throws  `line/bad-levels`.
 */
export function waterAtStakes(sections: readonly Pick<Ditch, 'crest_z_m' | 'lip_z_m'>[], levels_m: readonly number[]): WaterAtStakes {
  if (sections.length === 0 || levels_m.length !== sections.length || levels_m.some(Number.isNaN))
    throw new InputError('line/bad-levels', `${levels_m.length} levels for ${sections.length} stakes; give one number for each.`, {
      levels: levels_m.length,
      stakes: sections.length,
    })
  const stakes = sections.map(({ crest_z_m, lip_z_m }, k) => ({
    level_m: levels_m[k]!,
    freeboard_m: crest_z_m - levels_m[k]!,
    againstFill_m: Math.max(0, levels_m[k]! - lip_z_m),
  }))
  const leastFreeboard_m = Math.min(...stakes.map(s => s.freeboard_m))
  const mostAgainstFill_m = Math.max(...stakes.map(s => s.againstFill_m))
  return {
    stakes,
    leastFreeboard_m,
    leastFreeboardStake: stakes.findIndex(s => s.freeboard_m === leastFreeboard_m),
    mostAgainstFill_m,
    mostAgainstFillStake: stakes.findIndex(s => s.againstFill_m === mostAgainstFill_m),
  }
}
