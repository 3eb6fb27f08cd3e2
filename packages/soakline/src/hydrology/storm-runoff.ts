import { stormRunoff_mm } from './curve-number.js'
import { type Hyetograph, rainSoFar_mm } from './hyetograph.js'

/** Runoff over time in the steps of its rain: what leaves the ground in each, before any time to run down the slope. */
export interface RunoffSeries {
  readonly step_h: number
  readonly depths_mm: readonly number[]
  /** Of the rain it comes from; peaks are unknown where it is too long. */
  readonly shortestBurst_h: number
  readonly source: string
}

/**
 * Runoff within a storm by curve number: the runoff of the rain so far, differenced. Steps should be short where the rain is: differencing
 * hourly runoff lowers the peak.
 *
 * Units   mm in each step; `curveNumber` of the 0.2 tables; `initialAbstractionRatio` 0.2 (default) or 0.05.
 * Laws    sums to the runoff of the whole storm; never negative; never more than the step's rain (to rounding).
 * Throws  what `stormRunoff_mm` throws.
 * Source  USDA TR-55 (1986) eq. 2-3 on cumulative rain; FHWA HDS-2, 2nd ed. (2002), Example 6.11. Limits: `runoffLimits`.
 */
export function curveNumberRunoff(rain: Hyetograph, curveNumber: number, initialAbstractionRatio = 0.2): RunoffSeries {
  let before = 0
  const depths_mm = rainSoFar_mm(rain).map(soFar => {
    // Runoff so far never falls; a rounding of the last bit may not show as a negative step.
    const after = Math.max(before, stormRunoff_mm(soFar, curveNumber, initialAbstractionRatio))
    const step = after - before
    before = after
    return step
  })
  return {
    step_h: rain.step_h,
    depths_mm,
    shortestBurst_h: rain.shortestBurst_h,
    source: `${rain.source}; curve number ${curveNumber}, initial abstraction ${initialAbstractionRatio} S (USDA TR-55, 1986)`,
  }
}

/** Runoff of the whole series. Units: mm. */
export const totalRunoff_mm = (runoff: RunoffSeries): number => runoff.depths_mm.reduce((sum, depth) => sum + depth, 0)
