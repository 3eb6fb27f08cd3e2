import { InputError } from '../foundation/index.js'
import type { Hyetograph } from './hyetograph.js'
import { refuseUnlessPositive } from './method-limits.js'
import { depthOfChance, type RainTable, shortestDuration_h } from './rainfall.js'

/** What `alternatingBlockStorm` may be told besides. */
export interface AlternatingBlockOptions {
  /** Where the heaviest step lies, as a share of the duration, 0–1. Default 0.5: the third of six blocks (FHWA HDS-2, 2nd ed., 2002, Example 6.6). */
  readonly peakAt_ratio?: number
}

/**
 * A design storm from the place's own rain table: the table's depths for one, two, three … steps are differenced, and the blocks set around
 * the heaviest, right and left by turns. It nests the rain of every duration up to its own in one storm.
 *
 * Units   h, chance per year; depths mm.
 * Laws    the blocks sum to the table's depth for the whole duration; a run of k blocks around the heaviest holds the table's depth of k steps
 *         (more where the table is not concave), and no run of k blocks holds more than the k heaviest.
 * Throws  `rain/bad-step` unless the duration is a whole number of steps; what `rainDepth_mm` throws: a step shorter than the table's shortest
 *         duration is outside it.
 * Source  FHWA HDS-2, 2nd ed. (FHWA-NHI-02-001, 2002), Example 6.6.
 */
export function alternatingBlockStorm(
  table: RainTable,
  chancePerYear: number,
  duration_h: number,
  step_h: number,
  { peakAt_ratio = 0.5 }: AlternatingBlockOptions = {},
): Hyetograph {
  refuseUnlessPositive('rain/bad-step', { duration_h, step_h }, 'Give hours.')
  const steps = Math.round(duration_h / step_h)
  if (steps < 1 || steps > 10_000 || Math.abs(duration_h / step_h - steps) > 1e-9 * steps)
    throw new InputError(
      'rain/bad-step',
      `A storm of ${duration_h} h is not a whole number of steps of ${step_h} h, up to 10 000; choose a step that divides it.`,
      { duration_h, step_h },
    )
  // The last depth is asked for by the duration itself, so that a rounding of k × step does not leave the table.
  const depthOf_mm = depthOfChance(table, chancePerYear)
  const depths = Array.from({ length: steps }, (_, k) => depthOf_mm(k === steps - 1 ? duration_h : (k + 1) * step_h))
  return {
    step_h,
    depths_mm: arrangedBlocks(depthIncrements_mm(depths), peakAt_ratio),
    shortestBurst_h: Math.max(step_h, shortestDuration_h(table, chancePerYear)),
    source: `alternating blocks from the rain table, ${chancePerYear} each year, ${duration_h} h (FHWA HDS-2 Example 6.6)`,
  }
}

/** Differences of depths of one, two, three … steps. Units: mm. Throws `rain/not-monotone` where a longer duration has less. */
export function depthIncrements_mm(depths_mm: readonly number[]): number[] {
  return depths_mm.map((depth, k) => {
    const more = depth - (depths_mm[k - 1] ?? 0)
    if (!(more >= 0))
      throw new InputError(
        'rain/not-monotone',
        `The rain table gives ${depths_mm[k - 1]} mm for ${k} steps and ${depth} mm for ${k + 1}; a longer storm cannot bring less.`,
        { steps: k + 1, shorter_mm: depths_mm[k - 1], longer_mm: depth },
      )
    return more
  })
}

/**
 * Blocks set around the heaviest: the next heaviest right of it, the next left, and so on; when one side is full the rest fill the other.
 *
 * Throws  `rain/bad-peak-place` for a place outside 0–1.
 */
export function arrangedBlocks(blocks_mm: readonly number[], peakAt_ratio = 0.5): number[] {
  if (!(peakAt_ratio >= 0 && peakAt_ratio <= 1))
    throw new InputError('rain/bad-peak-place', `The heaviest step lies at ${peakAt_ratio} of the storm; give a share from 0 to 1.`, {
      peakAt_ratio,
    })
  const heaviestFirst = [...blocks_mm].sort((a, b) => b - a)
  const places = Array<number>(blocks_mm.length)
  const first = Math.max(0, Math.ceil(blocks_mm.length * peakAt_ratio) - 1)
  let left = first - 1
  let right = first + 1
  heaviestFirst.forEach((block, k) => {
    const goesRight = left < 0 || (k % 2 === 1 && right < blocks_mm.length)
    if (k === 0) places[first] = block
    else if (goesRight) places[right++] = block
    else places[left--] = block
  })
  return places
}
