import { InputError } from '../foundation/index.js'
import { refuseUnlessPositive } from './method-limits.js'

/** Rain over time in even steps: what fell, or would fall, in each. */
export interface Hyetograph {
  readonly step_h: number
  /** Depth in each step, the first beginning at time 0. */
  readonly depths_mm: readonly number[]
  /**
   * The shortest burst whose depth comes from the place's own rain. A 24-hour depth shared out by a national pattern knows 24 h,
   * whatever its step: no peak may rest on the pattern.
   */
  readonly shortestBurst_h: number
  readonly source: string
}

/** Longest burst from which the peak of a hillside's flow may be taken: 15 minutes. Source: judgement. */
export const LONGEST_BURST_h = 0.25

/** Whether peaks of flow may be taken from this rain; where not, they are unknown. */
export const knowsPeaks = (rain: { readonly shortestBurst_h: number }): boolean => rain.shortestBurst_h <= LONGEST_BURST_h

/**
 * A storm as it was measured.
 *
 * Units   h, mm in each step.
 * Throws  `rain/bad-step`, `rain/no-steps`, `rain/negative-depth` (also for a depth that is no number: a gap in a record is not a dry hour).
 */
export function measuredHyetograph(step_h: number, depths_mm: readonly number[], source: string): Hyetograph {
  refuseUnlessPositive('rain/bad-step', { step_h }, 'Give the hours between readings.')
  if (depths_mm.length === 0) throw new InputError('rain/no-steps', 'The record holds no reading; give the depth of each step.', {})
  const at = depths_mm.findIndex(depth => !(depth >= 0 && depth < Infinity))
  if (at >= 0)
    throw new InputError(
      'rain/negative-depth',
      `Step ${at + 1} of the record has the depth ${depths_mm[at]} mm; each step needs a depth of 0 or more. A gap is not a dry hour: fill it or cut the record there.`,
      { step: at + 1, depth_mm: depths_mm[at] },
    )
  return { step_h, depths_mm: [...depths_mm], shortestBurst_h: step_h, source }
}

/** Depth of the whole storm. Units: mm. */
export const totalRain_mm = (rain: Hyetograph): number => rain.depths_mm.reduce((sum, depth) => sum + depth, 0)

/** Depth fallen by the end of each step. Units: mm. */
export function rainSoFar_mm(rain: Hyetograph): number[] {
  let sum = 0
  return rain.depths_mm.map(depth => (sum += depth))
}

/**
 * The same storm with each depth multiplied, as for a warmer climate. The factor is the user's: none is built in.
 *
 * Throws  `rain/bad-uplift` for a factor that is not above 0.
 */
export function upliftedHyetograph(rain: Hyetograph, factor_ratio: number): Hyetograph {
  refuseUnlessPositive('rain/bad-uplift', { factor_ratio }, 'One fifth more rain is 1.2.')
  return {
    ...rain,
    depths_mm: rain.depths_mm.map(depth => depth * factor_ratio),
    source: factor_ratio === 1 ? rain.source : `${rain.source}; all depths × ${factor_ratio}`,
  }
}

/**
 * The same storm in shorter steps, the rain of each old step spread evenly over the new ones. It learns nothing of shorter bursts:
 * `shortestBurst_h` stays.
 *
 * Throws  `rain/bad-step` unless `parts` is a whole number from 1 up.
 */
export function dividedHyetograph(rain: Hyetograph, parts: number): Hyetograph {
  if (!(Number.isInteger(parts) && parts >= 1))
    throw new InputError('rain/bad-step', `A step cannot be divided into ${parts} parts; give a whole number from 1 up.`, { parts })
  return { ...rain, step_h: rain.step_h / parts, depths_mm: rain.depths_mm.flatMap(depth => Array<number>(parts).fill(depth / parts)) }
}
