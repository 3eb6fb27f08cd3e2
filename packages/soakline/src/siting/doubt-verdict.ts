import type { Verdict } from '../foundation/index.js'
import { type BuildingDoubt, buildingDoubts } from './doubt-answer.js'
import type { DoubtRuns } from './doubt-runs.js'

/** Where the verdict about an overflow turns. */
export interface OverflowLimits {
  /** A building touched in this share of the runs fails. */
  readonly failShare_ratio: number
  /** `holds` needs that no more than this share could reach a building, at 95 % confidence: about 150 runs without one. */
  readonly holdsAtMost_ratio: number
}

/** Source: judgement. */
export const OVERFLOW_LIMITS: OverflowLimits = { failShare_ratio: 0.05, holdsAtMost_ratio: 0.02 }

/** Why an overflow is judged as it is. */
export const OVERFLOW_REASONS = [
  'overflow/reaches-building',
  'overflow/reaches-in-runs',
  'overflow/near-in-runs',
  'overflow/window-left',
  'overflow/too-few-runs',
  'overflow/misses-in-runs',
] as const
export type OverflowReason = (typeof OVERFLOW_REASONS)[number]

export interface OverflowJudgement {
  readonly verdict: Verdict
  readonly because: OverflowReason
  /** The building that decides; null where there is none near. */
  readonly building: BuildingDoubt | null
  readonly runs: number
  readonly leftWindow: number
}

/**
 * Does the overflow of a spill keep away from every building, the heights being as wrong as they are said to be? The unfavourable end decides:
 *
 * - on the ground without error, or in 5 % of the runs or more, water comes within a cell of a building and is not low enough: `fails`;
 * - any run comes within the clearance, in plan and height: `watch`;
 * - any run comes within twice the clearance: `watch` too, since 200 runs do not find the rarest way;
 * - the water of any run leaves the window, or the runs are too few to tell: `unknown`;
 * - else it holds.
 *
 * Laws    more reached runs never give a better verdict.
 */
export function overflowVerdict(runs: DoubtRuns, spill: number, limits: OverflowLimits = OVERFLOW_LIMITS): OverflowJudgement {
  const buildings = buildingDoubts(runs, spill)
  const { leftWindow } = runs.spills[spill]!
  const say = (verdict: Verdict, because: OverflowReason, building: BuildingDoubt | null): OverflowJudgement => ({
    verdict,
    because,
    building,
    runs: runs.runs,
    leftWindow,
  })
  const plain = runs.withoutError.spills[spill]!.buildings
  const hit = buildings.find(
    b => b.touched >= Math.max(1, limits.failShare_ratio * runs.runs) || plain.some(p => p.id === b.id && p.touched > 0),
  )
  if (hit) return say('fails', 'overflow/reaches-building', hit)
  const reached = buildings.find(b => b.reached > 0 || plain.some(p => p.id === b.id && p.reached > 0))
  if (reached) return say('watch', 'overflow/reaches-in-runs', reached)
  const near = buildings.find(b => b.near > 0 || plain.some(p => p.id === b.id && p.near > 0))
  if (near) return say('watch', 'overflow/near-in-runs', near)
  if (leftWindow > 0 || runs.withoutError.spills[spill]!.leftWindow > 0) return say('unknown', 'overflow/window-left', buildings[0] ?? null)
  const worst = buildings[0] ?? null
  if (worst && worst.reachedAtMost_ratio > limits.holdsAtMost_ratio) return say('unknown', 'overflow/too-few-runs', worst)
  return say('holds', 'overflow/misses-in-runs', worst)
}
