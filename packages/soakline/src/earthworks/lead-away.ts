import { InputError, type Sourced } from '../foundation/index.js'
import type { Texture } from '../hydrology/index.js'
import { type GradedDrain, type GradedDrainDesign, gradedDrain, steepestFall_ratio } from './graded-drain.js'
import { type BareSoil, bareVelocity } from './permissible.js'
import { ROUGHNESS } from './roughness.js'
import { normalDepth_m } from './uniform-flow.js'

/**
 * The row of permissible velocities that a texture is judged by when freshly dug: where two come near, the slower.
 *
 * Source  judgement; dug clay counts as firm loam, since stiff clay is what nobody has dug in.
 */
export const BARE_SOIL_OF: Readonly<Record<Texture, BareSoil>> = {
  sand: 'fine-sand',
  'loamy-sand': 'fine-sand',
  'sandy-loam': 'sandy-loam',
  loam: 'silt-loam',
  'silt-loam': 'silt-loam',
  'sandy-clay-loam': 'sandy-loam',
  'clay-loam': 'firm-loam',
  'silty-clay-loam': 'silt-loam',
  'sandy-clay': 'firm-loam',
  'silty-clay': 'firm-loam',
  clay: 'firm-loam',
}

/** Least fall at which a ditch leads water away rather than keeping it: 0.1 %. Source: graded bunds at 0.1–0.3 %, as FAO and Indian manuals have them. */
export const LEAST_DRAIN_FALL_ratio = 0.001

/** What `leadAwayDrain` may be told besides. */
export interface LeadAwayOptions {
  /** Horizontal : vertical. Default 2 (judgement: a bare side that is mown later). */
  readonly sideSlope_ratio?: number
  /** Narrowest and widest bed to try. Default 0.5 to 3 m (judgement: a spade's work up to two passes of a small machine). */
  readonly narrowest_m?: number
  readonly widest_m?: number
  /** Deepest to dig, lip to bed. Default 0.6 m (judgement). */
  readonly deepest_m?: number
  /** Over the water. Default 0.15 m (FHWA HEC-22 3rd ed. (2009) section 5.2.4: about 0.15 m). */
  readonly freeboard_m?: number
  /** Default of weeds as high as the water, 0.08, and of bare soil, 0.020 (Chow (1959) Table 5-6; HEC-22 Table 5-1). */
  readonly roughnessTall?: number
  readonly roughnessBare?: number
}

/** A ditch that leads the water away, or why none does. */
export interface LeadAwayDrain {
  readonly because: 'drain/found' | 'drain/no-fall' | 'drain/too-fast' | 'drain/too-deep'
  /** Section and fall; null where none does. */
  readonly design: GradedDrainDesign | null
  readonly drain: GradedDrain | null
  /** What the bare bed is judged by. */
  readonly permissible: Sourced<'m/s'>
  /** Depth to dig of the widest bed tried, at the steepest fall that it bears; null without a fall. */
  readonly widestDig_m: number | null
}

const STEP_m = 0.1

/**
 * The narrowest drain that carries a flow with tall growth, keeps its bed while bare and is no deeper than may be dug; its fall is the steepest that
 * the bed bears, up to what the ground offers. Wider beds run slower, so they bear more fall. Not for dispersive soil: no bare bed of it stands.
 *
 * Units   m³/s; `fall_ratio` fall that the way to the outlet offers, rise over run.
 * Laws    a drain found holds: velocity within the permissible, depth within the deepest, fall within least and offered; more flow never gives a
 *         narrower one.
 * Throws  `drain/bad-design`.
 * Source  `gradedDrain`; velocity `bareVelocity` in clear water, of the first year.
 */
export function leadAwayDrain(
  flow_m3s: number,
  soil: Texture | BareSoil,
  fall_ratio: number,
  {
    sideSlope_ratio = 2,
    narrowest_m = 0.5,
    widest_m = 3,
    deepest_m = 0.6,
    freeboard_m = 0.15,
    roughnessTall = ROUGHNESS['weeds-to-flow-depth'].usual,
    roughnessBare = ROUGHNESS['bare-soil'].usual,
  }: LeadAwayOptions = {},
): LeadAwayDrain {
  for (const [name, value] of Object.entries({ flow_m3s, narrowest_m, widest_m, deepest_m }))
    if (!(value > 0 && value < Infinity))
      throw new InputError('drain/bad-design', `${name} is ${value}; give a number above 0.`, { name, value })
  if (!(fall_ratio >= 0 && fall_ratio <= 1))
    throw new InputError('drain/bad-design', `The fall offered is ${fall_ratio}; give rise over run from 0 to 1 (0.5 % is 0.005).`, {
      name: 'fall_ratio',
      value: fall_ratio,
    })
  const permissible = bareVelocity(soil in BARE_SOIL_OF ? BARE_SOIL_OF[soil as Texture] : (soil as BareSoil))
  const none = (because: LeadAwayDrain['because'], widestDig_m: number | null = null): LeadAwayDrain => ({
    because,
    design: null,
    drain: null,
    permissible,
    widestDig_m,
  })
  if (fall_ratio < LEAST_DRAIN_FALL_ratio) return none('drain/no-fall')
  const base = { flow_m3s, sideSlope_ratio, roughnessTall, roughnessBare, permissible_ms: permissible.value, freeboard_m }
  const tryBed = (bedWidth_m: number): { readonly design: GradedDrainDesign; readonly dig_m: number } | null => {
    const level = { ...base, bedWidth_m, fall_ratio }
    const fall = Math.min(fall_ratio, steepestFall_ratio(level))
    if (fall < LEAST_DRAIN_FALL_ratio) return null
    const design = { ...level, fall_ratio: fall }
    const shape = { form: 'trapezoid', bedWidth_m, sideSlope_ratio } as const
    return { design, dig_m: normalDepth_m({ shape, fall_ratio: fall, roughness: roughnessTall }, flow_m3s) + freeboard_m }
  }
  const last = tryBed(widest_m)
  if (last === null) return none('drain/too-fast')
  if (last.dig_m > deepest_m) return none('drain/too-deep', last.dig_m)
  // A wider bed runs slower, so bears more fall, so is shallower: what one width can do, every wider one can.
  let found = last
  let low = 0
  let high = Math.max(0, Math.ceil((widest_m - narrowest_m) / STEP_m - 1e-9))
  while (low < high) {
    const middle = Math.floor((low + high) / 2)
    const tried = tryBed(Math.round((narrowest_m + middle * STEP_m) * 1e6) / 1e6)
    if (tried !== null && tried.dig_m <= deepest_m) {
      found = tried
      high = middle
    } else low = middle + 1
  }
  return { because: 'drain/found', design: found.design, drain: gradedDrain(found.design), permissible, widestDig_m: last.dig_m }
}
