import { InputError } from '../foundation/index.js'
import { knowsPeaks } from './hyetograph.js'
import { refuseUnlessPositive } from './method-limits.js'
import type { RunoffSeries } from './storm-runoff.js'
import { CURVED_FORM, timeToPeak_h, type UnitForm } from './unit-hydrograph.js'

/** Flow at a place over time. */
export interface Hydrograph {
  readonly step_h: number
  /** Flow at times 0, 1, 2 … steps. */
  readonly flows_m3s: readonly number[]
  readonly volume_m3: number
  /** The peak; null where it is unknown, since the rain knows no burst of 15 min or less. Never taken from `highest_m3s` instead. */
  readonly peak_m3s: number | null
  /** The highest of `flows_m3s`, whatever the rain behind it is worth, and when. */
  readonly highest_m3s: number
  readonly highestAt_h: number
  readonly shortestBurst_h: number
  readonly source: string
}

/** What `runoffHydrograph` may be told besides. */
export interface HydrographOptions {
  /** Default `CURVED_FORM`. */
  readonly form?: UnitForm
}

/**
 * Flow that a catchment gives from runoff over time: each step's runoff is spread over time by a unit hydrograph, and all are added.
 * The runoff of the step from j to j + 1 flows in the form that begins at j.
 *
 * Units   m², h → m³/s.
 * Laws    flow × step sums to runoff × area (to 1e-12 of it): the sampled form is scaled to one; twice the runoff is twice the flow.
 * Throws  `hydrograph/bad-measure`; `hydrograph/step-too-long` where the rise has fewer than two steps, so that sampling would miss the form.
 * Cost    steps of rain × steps of the form.
 * Source  USDA-NRCS NEH Part 630, ch. 16: time to peak D/2 + 0.6 Tc. Two steps to the rise: judgement.
 */
export function runoffHydrograph(
  runoff: RunoffSeries,
  area_m2: number,
  timeOfConcentration_h: number,
  { form = CURVED_FORM }: HydrographOptions = {},
): Hydrograph {
  const { step_h, depths_mm, shortestBurst_h } = runoff
  refuseUnlessPositive('hydrograph/bad-measure', { area_m2, timeOfConcentration_h, step_h }, 'Give m² and h.')
  const peakAt_h = timeToPeak_h(step_h, timeOfConcentration_h)
  if (step_h > (peakAt_h / 2) * (1 + 1e-9))
    throw new InputError(
      'hydrograph/step-too-long',
      `Steps of ${step_h} h are too long for a time of concentration of ${timeOfConcentration_h} h: the rise to the peak needs two steps at least. Divide the rain into shorter steps before the runoff is worked out.`,
      { step_h, timeOfConcentration_h, timeToPeak_h: peakAt_h },
    )
  const shares = sampledShares(form, step_h / peakAt_h)
  const flows = new Float64Array(depths_mm.length + shares.length - 1)
  const flowOfDepth_m3s = area_m2 / 1000 / (step_h * 3600)
  for (let j = 0; j < depths_mm.length; j++) {
    const depth = depths_mm[j]!
    if (depth > 0) for (let k = 0; k < shares.length; k++) flows[j + k]! += depth * flowOfDepth_m3s * shares[k]!
  }
  const highest_m3s = flows.reduce((high, flow) => Math.max(high, flow), 0)
  return {
    step_h,
    flows_m3s: [...flows],
    volume_m3: (depths_mm.reduce((sum, depth) => sum + depth, 0) * area_m2) / 1000,
    peak_m3s: knowsPeaks(runoff) ? highest_m3s : null,
    highest_m3s,
    highestAt_h: Math.max(0, flows.indexOf(highest_m3s)) * step_h,
    shortestBurst_h,
    source: `${runoff.source}; unit hydrograph ${form.source}, time of concentration ${timeOfConcentration_h} h`,
  }
}

/** The form at every step, scaled so that the shares sum to 1. */
function sampledShares(form: UnitForm, step_ratio: number): number[] {
  const flows = Array.from({ length: Math.ceil(form.ends_ratio / step_ratio) + 1 }, (_, k) => form.flow_ratio(k * step_ratio))
  const sum = flows.reduce((a, b) => a + b, 0)
  return flows.map(flow => flow / sum)
}
