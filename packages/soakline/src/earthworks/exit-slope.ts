import { InputError } from '../foundation/index.js'
import {
  type BareSoil,
  bareVelocity,
  type GrassCover,
  type GrassRule,
  grassVelocity,
  type SoilResistance,
  stoneShear,
} from './permissible.js'
import { cubeRoot } from './roots.js'
import { ROUGHNESS } from './roughness.js'
import { GRAVITY_ms2, sheetFlow } from './uniform-flow.js'

/** What may cover the slope below a spill. */
export const EXIT_COVERS = ['bare', 'grass', 'stone'] as const
/** One of `EXIT_COVERS`. */
export type ExitCover = (typeof EXIT_COVERS)[number]

/** How spilled water runs down the slope below, and what one cover bears. */
export interface ExitCheck {
  readonly cover: ExitCover
  readonly roughness: number
  readonly depth_m: number
  readonly velocity_ms: number
  readonly bedShear_Pa: number
  /** The number that is limited, its unit and limit; null where no published rule uses the cover on such a slope: then it does not hold. */
  readonly measured: number
  readonly limit: number | null
  readonly unit: 'm/s' | 'Pa'
  readonly holds: boolean
  readonly source: string
}

/** What `exitChecks` may be told besides. */
export interface ExitOptions {
  /** Default `firm-loam`. */
  readonly soil?: BareSoil
  /** Soil under the grass. Default `erodible`, the unfavourable one. */
  readonly resistance?: SoilResistance
  /** Published rule and its stand of grass. Default USDA SCS-TP-61, `grass-mixture-canarygrass`. */
  readonly grass?: { readonly [R in GrassRule]: { readonly rule: R; readonly cover: GrassCover<R> } }[GrassRule]
  /** Middle size of the stone. Default 0.1 m (judgement). */
  readonly stone_m?: number
}

const STONE_ROUGHNESS = 0.04

/**
 * Depth and velocity on the slope below a spill against what bare soil, grass and stone bear. In the first year the bare answer counts.
 *
 * Units   `flow_m2s` m³/s per metre of sill; `slope_ratio` over 0, up to 1.
 * Laws    less flow per metre, or a gentler slope, never runs faster.
 * Throws  what `sheetFlow`, `grassVelocity` and `stoneShear` throw.
 * Source  Manning's formula; n of bare soil FHWA HEC-22 (2009) Table 5-1, of grass its short state, of stone 0.04 (judgement); limits in `source`.
 */
export function exitChecks(
  flow_m2s: number,
  slope_ratio: number,
  {
    soil = 'firm-loam',
    resistance = 'erodible',
    grass = { rule: 'tp-61', cover: 'grass-mixture-canarygrass' },
    stone_m = 0.1,
  }: ExitOptions = {},
): ExitCheck[] {
  return EXIT_COVERS.map(cover => {
    const roughness = cover === 'bare' ? ROUGHNESS['bare-soil'].usual : cover === 'grass' ? ROUGHNESS['grass-5cm'].usual : STONE_ROUGHNESS
    const { depth_m, velocity_ms, bedShear_Pa } = sheetFlow(flow_m2s, slope_ratio, roughness)
    const rule =
      cover === 'bare'
        ? bareVelocity(soil)
        : cover === 'grass'
          ? grassVelocity<GrassRule>(grass.rule, grass.cover, resistance, slope_ratio)
          : stoneShear(stone_m)
    const measured = cover === 'stone' ? bedShear_Pa : velocity_ms
    return {
      cover,
      roughness,
      depth_m,
      velocity_ms,
      bedShear_Pa,
      measured,
      limit: rule?.value ?? null,
      unit: cover === 'stone' ? 'Pa' : 'm/s',
      holds: rule !== null && measured <= rule.value,
      source: rule?.source ?? `the rule ${grass.rule} does not use this grass on so steep a slope`,
    }
  })
}

/** Velocity of critical flow, per metre of width. Units: m²/s → m/s. Source: (g q)^(1/3); FHWA HEC-22 (2009) eq. 8-27 prints 2.14 q^0.33. */
export const criticalVelocity_ms = (flow_m2s: number): number => cubeRoot(GRAVITY_ms2 * flow_m2s)

/**
 * Slope at which a sheet runs critical: on steeper exits the sill controls the flow.
 *
 * Throws  `channel/bad-flow` unless the flow is above 0.
 * Source  g n² / y^(1/3), y the critical depth; FHWA HEC-22 (2009) eq. 8-28 prints a rounded form.
 */
export function criticalSlope_ratio(flow_m2s: number, roughness: number): number {
  if (!(flow_m2s > 0)) throw new InputError('channel/bad-flow', `The flow is ${flow_m2s} m²/s; give one above 0.`, { flow_m2s })
  const depth_m = cubeRoot((flow_m2s * flow_m2s) / GRAVITY_ms2)
  return (GRAVITY_ms2 * roughness * roughness) / cubeRoot(depth_m)
}
