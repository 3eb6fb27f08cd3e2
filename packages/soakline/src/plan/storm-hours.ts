import { type PoolLevel, type PoolRouting, storageAt_m3 } from '../earthworks/index.js'
import type { Assessment, StormAnswer } from './assessment.js'

/** A storm at one of its hours, as it was routed from an empty ditch. Volumes are those since it began. */
export interface StormHour {
  readonly hour_h: number
  readonly inflow_m3s: number
  readonly spill_m3s: number
  readonly level_m: number
  readonly came_m3: number
  readonly spilled_m3: number
  readonly soaked_m3: number
  readonly standing_m3: number
}

type Levels = NonNullable<StormAnswer['levels']>

/** How long the storm was followed. */
export const stormLength_h = ({ step_h, levels_m }: Levels): number => step_h * Math.max(0, levels_m.length - 1)

/**
 * The storm at an hour, straight between the steps of its routing; kept to the hours that were followed.
 *
 * Laws    what came = what spilled + what soaked + what stands.
 */
export function stormAt(levels: Levels, hour_h: number): StormHour {
  const last = levels.levels_m.length - 1
  const place = Math.min(last, Math.max(0, hour_h / levels.step_h))
  const k = Math.min(Math.max(0, last - 1), Math.floor(place))
  const t = place - k
  const at = (values: readonly number[]): number => {
    const from = values[k] ?? 0
    return from + t * ((values[k + 1] ?? from) - from)
  }
  const [came_m3, spilled_m3, standing_m3] = [at(levels.came_m3), at(levels.spilled_m3), at(levels.standing_m3)]
  return {
    hour_h: place * levels.step_h,
    inflow_m3s: at(levels.inflows_m3s),
    spill_m3s: at(levels.spills_m3s),
    level_m: at(levels.levels_m),
    came_m3,
    spilled_m3,
    standing_m3,
    soaked_m3: Math.max(0, came_m3 - spilled_m3 - standing_m3),
  }
}

/** What soaks away in each step, at its end; nothing at the beginning. */
export function soakRates_m3s({ step_h, came_m3, spilled_m3, standing_m3 }: Levels): number[] {
  const soaked = came_m3.map((came, k) => came - spilled_m3[k]! - standing_m3[k]!)
  return soaked.map((now, k) => (k === 0 ? 0 : Math.max(0, now - soaked[k - 1]!) / (step_h * 3600)))
}

/** The storm that the ditch is judged by, as it was routed; null where it was not. */
export const judgedLevels = ({ storms, acceptance }: Pick<Assessment, 'storms' | 'acceptance'>): Levels | null =>
  storms.find(storm => storm.chancePerYear === acceptance.chancePerYear)?.levels ?? null

/** Where less than this part of the greatest flow runs, nothing need be looked at. Source: judgement. */
const TRICKLE = 0.005

/** Hours in which something happens: from the first inflow to an hour after the last flow in or out that is more than a trickle. */
export function busyHours(levels: Levels): { readonly from_h: number; readonly to_h: number } {
  const { step_h, inflows_m3s, spills_m3s } = levels
  const least = TRICKLE * Math.max(...inflows_m3s, ...spills_m3s)
  const flows = (k: number): boolean => (inflows_m3s[k] ?? 0) > least || (spills_m3s[k] ?? 0) > least
  const all = levels.levels_m.map((_, k) => k).filter(flows)
  if (all.length === 0) return { from_h: 0, to_h: stormLength_h(levels) }
  return {
    from_h: Math.max(0, (all[0]! - 1) * step_h),
    to_h: Math.min(stormLength_h(levels), all[all.length - 1]! * step_h + 1),
  }
}

/** How full a ditch stands and how strong it spills, for a picture: parts of what it holds up to its sill and of its strongest spill, 0 to 1. */
export function stormShares(
  levels: Levels,
  { level_m, spill_m3s }: Pick<StormHour, 'level_m' | 'spill_m3s'>,
  { bedElevation_m, sillElevation_m }: { readonly bedElevation_m: number; readonly sillElevation_m: number },
): { readonly fill_ratio: number; readonly spill_ratio: number } {
  const most_m3s = Math.max(...levels.spills_m3s, 1e-9)
  return {
    fill_ratio: Math.min(1, Math.max(0, (level_m - bedElevation_m) / Math.max(sillElevation_m - bedElevation_m, 1e-6))),
    spill_ratio: Math.min(1, spill_m3s / most_m3s),
  }
}

/**
 * A storm step by step, as it was routed through a ditch.
 *
 * Units   the routing counts levels over the bed, the answer in the raster's datum.
 * @param above  what ditches further up spill into it: the flow at each step, and the volume within each
 */
export function levelsOf(
  { step_s, levels_m, spills_m3s, spilled_m3BySteps }: PoolRouting,
  bed_m: number,
  pool: readonly PoolLevel[],
  flows_m3s: readonly number[],
  above: readonly Pick<PoolRouting, 'spills_m3s' | 'spilled_m3BySteps'>[] = [],
): Levels {
  const own_m3s = levels_m.map((_, k) => flows_m3s[k] ?? 0)
  const fromAbove = (k: number, of: 'spills_m3s' | 'spilled_m3BySteps'): number => above.reduce((sum, one) => sum + (one[of][k] ?? 0), 0)
  const summed = (parts: readonly number[]): number[] => {
    const all = [0]
    for (const part of parts) all.push(all[all.length - 1]! + part)
    return all
  }
  return {
    step_h: step_s / 3600,
    levels_m: levels_m.map(z => bed_m + z),
    spills_m3s,
    inflows_m3s: own_m3s.map((flow, k) => flow + fromAbove(k, 'spills_m3s')),
    came_m3: summed(own_m3s.slice(1).map((flow, k) => ((own_m3s[k]! + flow) / 2) * step_s + fromAbove(k, 'spilled_m3BySteps'))),
    spilled_m3: summed(spilled_m3BySteps),
    standing_m3: levels_m.map(z => storageAt_m3(pool, z)),
  }
}
