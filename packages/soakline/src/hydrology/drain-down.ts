import { InputError } from '../foundation/index.js'
import { logShortfall, meanReciprocal } from './log-shortfall.js'
import { refuseNegative, refuseUnlessPositive } from './method-limits.js'

/** A level of standing water. Between levels both areas lie on straight lines, which is exact for any section made of straight lines. */
export interface SoakLevel {
  /** Above the lowest point. */
  readonly level_m: number
  /** Open water; for a section of a ditch, its width per metre of length. */
  readonly surface_m2: number
  /** Ground through which water is counted to soak: of the bed alone it is the same at every level. */
  readonly soaking_m2: number
}

/** Time in which a ditch is to be empty again: 48 h, of 24 to 72 h in use. Source: state stormwater manuals (from memory, unchecked). */
export const EMPTYING_TARGET_h = 48

/**
 * Time until standing water has soaked away, nothing running in and nothing evaporating.
 *
 * Shapes  levels from the lowest point (level 0) up, at least two, in rising order.
 * Units   mm/h through `soaking_m2`; m → h. Infinity where water stands over ground that takes none.
 * Laws    twice the intake, half the time; a higher start never takes less.
 * Throws  `soak/bad-levels`; `soak/bad-intake`; `soak/level-outside` for a start outside the levels.
 * Source  t = (1/f) ∫ surface / soaking dz, integrated exactly between levels, derived.
 */
export function emptyingTime_h(levels: readonly SoakLevel[], intake_mmh: number, from_m = levels.at(-1)?.level_m ?? NaN): number {
  checkLevels(levels)
  refuseNegative('soak/bad-intake', { intake_mmh }, 'Give mm/h.')
  const top = levels.at(-1)!.level_m
  if (!(from_m >= 0 && from_m <= top))
    throw new InputError('soak/level-outside', `Water starts ${from_m} m deep; the levels go from 0 to ${top} m.`, { from_m, top_m: top })
  if (from_m === 0) return 0
  if (intake_mmh === 0) return Infinity
  let sum = 0
  for (let k = 1; k < levels.length; k++) {
    const low = levels[k - 1]!
    if (low.level_m >= from_m) break
    const high = levels[k]!
    sum += depthOverSoaking(low, high.level_m > from_m ? between(low, high, from_m) : high)
  }
  return sum / (intake_mmh / 1000)
}

/** Levels of a straight-sided ditch of one metre, for `emptyingTime_h`. Units: m; side slopes horizontal : vertical. Throws `soak/bad-levels`. */
export function ditchLevels(bedWidth_m: number, sideSlope_ratio: number, depth_m: number, soaking: 'bed' | 'wetted'): SoakLevel[] {
  refuseNegative('soak/bad-levels', { bedWidth_m, sideSlope_ratio }, 'Give m and horizontal : vertical.')
  refuseUnlessPositive('soak/bad-levels', { depth_m }, 'Give m.')
  const sides_m = 2 * depth_m * Math.sqrt(1 + sideSlope_ratio * sideSlope_ratio)
  return [
    { level_m: 0, surface_m2: bedWidth_m, soaking_m2: bedWidth_m },
    {
      level_m: depth_m,
      surface_m2: bedWidth_m + 2 * sideSlope_ratio * depth_m,
      soaking_m2: soaking === 'bed' ? bedWidth_m : bedWidth_m + sides_m,
    },
  ]
}

/** Least intake, over the ground counted, that empties in a time. Units: h → mm/h. Throws what `emptyingTime_h` throws; `soak/bad-time`. */
export function intakeToEmpty_mmh(levels: readonly SoakLevel[], within_h: number): number {
  refuseUnlessPositive('soak/bad-time', { within_h }, 'Give hours.')
  return emptyingTime_h(levels, 1) / within_h
}

/** ∫ surface / soaking dz between two levels, both areas straight in between. */
function depthOverSoaking(low: SoakLevel, high: SoakLevel): number {
  const depth = high.level_m - low.level_m
  const surfaceGain = high.surface_m2 - low.surface_m2
  const soakingGain = high.soaking_m2 - low.soaking_m2
  if (low.soaking_m2 === 0) {
    // A point at the bottom, as in a triangle: both areas grow from nothing together, or water stands for ever.
    if (low.surface_m2 === 0 && surfaceGain === 0) return 0
    return low.surface_m2 === 0 && soakingGain > 0 ? (depth * surfaceGain) / soakingGain : Infinity
  }
  if (high.soaking_m2 === 0) return Infinity
  const gain = soakingGain / low.soaking_m2
  // ∫₀¹ dx/(1 + g x) = ln(1 + g)/g and ∫₀¹ x dx/(1 + g x) = (g − ln(1 + g))/g².
  const share = meanReciprocal(gain)
  const rising = gain === 0 ? 0.5 : logShortfall(gain) / gain / gain
  return (depth / low.soaking_m2) * (low.surface_m2 * share + surfaceGain * rising)
}

function between(low: SoakLevel, high: SoakLevel, level_m: number): SoakLevel {
  const along = (level_m - low.level_m) / (high.level_m - low.level_m)
  return {
    level_m,
    surface_m2: low.surface_m2 + along * (high.surface_m2 - low.surface_m2),
    soaking_m2: low.soaking_m2 + along * (high.soaking_m2 - low.soaking_m2),
  }
}

function checkLevels(levels: readonly SoakLevel[]): void {
  if (levels.length < 2 || levels[0]!.level_m !== 0)
    throw new InputError('soak/bad-levels', 'Give the level 0 and at least one above it, each with its areas.', { levels: levels.length })
  for (const [k, { level_m, surface_m2, soaking_m2 }] of levels.entries()) {
    refuseNegative('soak/bad-levels', { level_m, surface_m2, soaking_m2 }, 'Give m and m².')
    if (k > 0 && !(level_m > levels[k - 1]!.level_m))
      throw new InputError('soak/bad-levels', `Level ${level_m} m does not lie above the one before; give them in rising order.`, {
        level_m,
      })
  }
}
