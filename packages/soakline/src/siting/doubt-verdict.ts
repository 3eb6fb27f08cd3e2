import type { Verdict } from '../foundation/index.js'
import { type BuildingDoubt, buildingDoubts } from './doubt-answer.js'
import type { DoubtQuestion, DoubtRuns } from './doubt-runs.js'

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
  'overflow/reaches-with-twice-the-error',
  'overflow/window-left',
  'overflow/too-few-runs',
  'overflow/misses-in-runs',
] as const
/** One of `OVERFLOW_REASONS`. */
export type OverflowReason = (typeof OVERFLOW_REASONS)[number]

/** Runs with doubled errors: a way that 1 in 100 terrains takes is then taken by about 1 in 8, and 100 runs hardly miss it. */
const RUNS_AT_TWICE = 100

/**
 * The same question with errors twice as large, for the second argument of `overflowVerdict`: it finds ways that 200 runs may miss. 100 runs with a
 * seed of their own; the clearance stays.
 */
export const atTwiceTheError = (question: DoubtQuestion): DoubtQuestion => ({
  ...question,
  error: { ...question.error, sigma_m: 2 * question.error.sigma_m },
  seed: question.seed + 1,
  firstRun: 0,
  runs: RUNS_AT_TWICE,
})

/** What is said of an overflow, why, and the numbers behind it. */
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
 * - any run comes within twice the clearance, or any with twice the error within the clearance: `watch` too, since 200 runs do not find the
 *   rarest way (measured: without the latter 2 of 90 overflows that came near a cabin were missed, with it 0 of 57 others);
 * - the water of any run leaves the window, the runs are too few to tell, or none were tried with twice the error: `unknown`;
 * - else it holds.
 *
 * Laws    more reached runs never give a better verdict.
 * @param twice  the runs of `atTwiceTheError`; null where they were not tried
 */
export function overflowVerdict(
  runs: DoubtRuns,
  twice: DoubtRuns | null,
  spill: number,
  limits: OverflowLimits = OVERFLOW_LIMITS,
): OverflowJudgement {
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
  const rare = twice && buildingDoubts(twice, spill).find(b => b.reached > 0)
  if (rare) return say('watch', 'overflow/reaches-with-twice-the-error', rare)
  if (leftWindow > 0 || runs.withoutError.spills[spill]!.leftWindow > 0) return say('unknown', 'overflow/window-left', buildings[0] ?? null)
  const worst = buildings[0] ?? null
  if (worst && (!twice || worst.reachedAtMost_ratio > limits.holdsAtMost_ratio)) return say('unknown', 'overflow/too-few-runs', worst)
  return say('holds', 'overflow/misses-in-runs', worst)
}
