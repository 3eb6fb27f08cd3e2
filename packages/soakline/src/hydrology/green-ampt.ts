import { InputError, type Known } from '../foundation/index.js'
import type { Hyetograph } from './hyetograph.js'
import { logShortfall } from './log-shortfall.js'
import { refuseNegative, refuseUnlessPositive } from './method-limits.js'
import type { RunoffSeries } from './storm-runoff.js'

/** The texture classes of the USDA triangle for which parameters are published. Silt has none. */
export const TEXTURES = [
  'sand',
  'loamy-sand',
  'sandy-loam',
  'loam',
  'silt-loam',
  'sandy-clay-loam',
  'clay-loam',
  'silty-clay-loam',
  'sandy-clay',
  'silty-clay',
  'clay',
] as const
/** One of `TEXTURES`. */
export type Texture = (typeof TEXTURES)[number]

/** Green–Ampt parameters of one texture. */
export interface GreenAmptRow {
  readonly texture: Texture
  readonly porosity: number
  readonly effectivePorosity: number
  /** Suction at the wetting front. */
  readonly suction_mm: number
  /** Effective conductivity behind the front: about half of a saturated core in the laboratory. */
  readonly conductivity_mmh: number
  readonly source: string
  readonly known: Known
}

const row = (
  texture: Texture,
  porosity: number,
  effectivePorosity: number,
  suction_mm: number,
  conductivity_mmh: number,
): GreenAmptRow => ({
  texture,
  porosity,
  effectivePorosity,
  suction_mm,
  conductivity_mmh,
  source: 'Rawls, Brakensiek & Miller (1983), as in Chow, Maidment & Mays (1988) Table 4.3.1 (from memory, unchecked)',
  known: 'from-memory',
})

/**
 * Green–Ampt parameters by texture. Loam takes water more slowly here than silt loam: so the table has it.
 *
 * Source  Rawls, Brakensiek & Miller (1983), from memory; against the inch table of the EPA SWMM User's Manual, Table A.2 (read), conductivity
 *         agrees within rounding or 2.5 %, suction within 2 %.
 */
export const GREEN_AMPT: readonly GreenAmptRow[] = [
  row('sand', 0.437, 0.417, 49.5, 117.8),
  row('loamy-sand', 0.437, 0.401, 61.3, 29.9),
  row('sandy-loam', 0.453, 0.412, 110.1, 10.9),
  // biome-ignore lint/suspicious/noApproximativeNumericConstant: a porosity, no logarithm
  row('loam', 0.463, 0.434, 88.9, 3.4),
  row('silt-loam', 0.501, 0.486, 166.8, 6.5),
  row('sandy-clay-loam', 0.398, 0.33, 218.5, 1.5),
  row('clay-loam', 0.464, 0.309, 208.8, 1),
  row('silty-clay-loam', 0.471, 0.432, 273, 1),
  row('sandy-clay', 0.43, 0.321, 239, 0.6),
  row('silty-clay', 0.479, 0.423, 292.2, 0.5),
  row('clay', 0.475, 0.385, 316.3, 0.3),
]

/** A soil as the equation sees it. */
export interface GreenAmptSoil {
  readonly conductivity_mmh: number
  /** Suction times the moisture that the soil still takes, ψ Δθ; 0 for soil that is wet through. */
  readonly suctionDeficit_mm: number
}

/**
 * The soil of a texture at a wetness.
 *
 * Units   `saturation_ratio` effective saturation before the storm, 0 (dry) to 1 (wet through).
 * Throws  `soil/unknown-texture`, `soil/bad-saturation`.
 * Source  Δθ = (1 − saturation) × effective porosity: Chow, Maidment & Mays (1988) §4.3 (from memory, unchecked).
 */
export function greenAmptSoil(texture: Texture, saturation_ratio: number): GreenAmptSoil {
  const found = GREEN_AMPT.find(r => r.texture === texture)
  if (found === undefined)
    throw new InputError('soil/unknown-texture', `No parameters are tabled for "${texture}"; take one of ${TEXTURES.join(', ')}.`, {
      texture,
    })
  if (!(saturation_ratio >= 0 && saturation_ratio <= 1))
    throw new InputError('soil/bad-saturation', `Saturation ${saturation_ratio}; it lies from 0 (dry) to 1 (wet through).`, {
      saturation_ratio,
    })
  return {
    conductivity_mmh: found.conductivity_mmh,
    suctionDeficit_mm: found.suction_mm * (1 - saturation_ratio) * found.effectivePorosity,
  }
}

/**
 * Depth soaked in by the end of a time with water standing on the ground all the while.
 *
 * Units   h, mm; `before_mm` what had soaked in before (default 0).
 * Laws    grows with time; more than conductivity × time as long as the soil draws; soaking in two stages is soaking in one.
 * Throws  `soil/bad-parameters`, `soil/bad-time`.
 * Source  F − F₀ − S ln((S + F)/(S + F₀)) = K t, S = ψΔθ: Chow, Maidment & Mays (1988) eq. 4.3.6 and 4.4.5 (from memory; derived again). Solved
 *         by Newton from above, where the equation is convex, to the last bits; the same bits in every engine.
 */
export function pondedSoak_mm(soil: GreenAmptSoil, time_h: number, before_mm = 0): number {
  checkSoil(soil)
  refuseNegative('soil/bad-time', { time_h, before_mm }, 'Give hours from when water stands, and mm soaked in before.')
  const { conductivity_mmh, suctionDeficit_mm: draw } = soil
  const byGravity = conductivity_mmh * time_h
  const scale = draw + before_mm
  if (byGravity === 0 || draw === 0) return before_mm + byGravity
  // With y = (F − F₀)/(S + F₀) the equation is F₀ y + S (y − ln(1 + y)) = K t. F − F₀ never exceeds K t + √(2 K S t).
  let y = (byGravity + Math.sqrt(2 * byGravity * draw)) / scale
  for (let k = 0; k < 60; k++) {
    const next = y - (before_mm * y + draw * logShortfall(y) - byGravity) / (before_mm + (draw * y) / (1 + y))
    if (!(next < y)) break
    y = next
  }
  return before_mm + scale * y
}

/**
 * Rate at which water can soak in once a depth has soaked in.
 *
 * Units   mm → mm/h; Infinity for none yet.
 * Laws    falls towards the conductivity.
 * Throws  `soil/bad-parameters`, `soil/bad-time`.
 * Source  f = K (1 + ψΔθ/F): Chow, Maidment & Mays (1988) eq. 4.3.7 (from memory).
 */
export function soakCapacity_mmh(soil: GreenAmptSoil, soaked_mm: number): number {
  checkSoil(soil)
  refuseNegative('soil/bad-time', { soaked_mm }, 'Give mm soaked in.')
  const { conductivity_mmh, suctionDeficit_mm } = soil
  return suctionDeficit_mm === 0 ? conductivity_mmh : conductivity_mmh * (1 + suctionDeficit_mm / soaked_mm)
}

/** When water begins to stand under steady rain; null when it never does. */
export interface Ponding {
  readonly after_h: number
  readonly soaked_mm: number
}

/**
 * Time until water stands on the ground under steady rain on soil into which nothing has soaked yet.
 *
 * Units   mm/h → h, mm.
 * Throws  `soil/bad-parameters`, `rain/negative-depth`.
 * Source  Fp = K ψΔθ/(i − K), tp = Fp/i: Chow, Maidment & Mays (1988) eq. 4.4.2 (from memory; derived again).
 */
export function ponding(soil: GreenAmptSoil, intensity_mmh: number): Ponding | null {
  checkSoil(soil)
  refuseNegative('rain/negative-depth', { intensity_mmh }, 'Give mm/h.')
  if (intensity_mmh <= soil.conductivity_mmh) return null
  const soaked_mm = (soil.conductivity_mmh * soil.suctionDeficit_mm) / (intensity_mmh - soil.conductivity_mmh)
  return { after_h: soaked_mm / intensity_mmh, soaked_mm }
}

/**
 * Runoff within a storm by Green–Ampt: in each step rain soaks in until water stands, and what stands runs off at once. The soil never recovers
 * between bursts: right within one storm, too much runoff across days.
 *
 * Units   mm in each step.
 * Laws    rain = soaked + runoff in each step; none while the rain stays under the conductivity; dividing the steps changes nothing (to rounding).
 * Throws  `soil/bad-parameters`.
 * Source  Chow, Maidment & Mays (1988) §4.4 and fig. 4.4.3 (from memory).
 */
export function greenAmptRunoff(rain: Hyetograph, soil: GreenAmptSoil): RunoffSeries {
  checkSoil(soil)
  let soaked = 0
  const depths_mm = rain.depths_mm.map(depth => {
    const before = soaked
    soaked = soakedAfterStep(soil, before, depth, rain.step_h)
    return Math.max(0, depth - (soaked - before))
  })
  return {
    step_h: rain.step_h,
    depths_mm,
    shortestBurst_h: rain.shortestBurst_h,
    source: `${rain.source}; Green–Ampt, conductivity ${soil.conductivity_mmh} mm/h, suction × deficit ${soil.suctionDeficit_mm} mm`,
  }
}

/** Depth soaked in by the end of a step of steady rain. */
function soakedAfterStep(soil: GreenAmptSoil, before_mm: number, depth_mm: number, step_h: number): number {
  const intensity = depth_mm / step_h
  const start = ponding(soil, intensity)
  // Water stands from when as much has soaked in as the rain's intensity then allows; with less rain than the conductivity, never.
  if (start === null || before_mm + depth_mm <= start.soaked_mm) return before_mm + depth_mm
  const dry_mm = Math.max(0, start.soaked_mm - before_mm)
  const after = pondedSoak_mm(soil, Math.max(0, step_h - dry_mm / intensity), before_mm + dry_mm)
  return Math.min(after, before_mm + depth_mm)
}

function checkSoil({ conductivity_mmh, suctionDeficit_mm }: GreenAmptSoil): void {
  refuseUnlessPositive('soil/bad-parameters', { conductivity_mmh }, 'Give mm/h.')
  refuseNegative('soil/bad-parameters', { suctionDeficit_mm }, 'Give suction times moisture deficit in mm.')
}
