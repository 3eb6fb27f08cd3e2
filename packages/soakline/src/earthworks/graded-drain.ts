import { InputError } from '../foundation/index.js'
import { wetted } from './channel-shape.js'
import { twoThirdsPower } from './roots.js'
import { type Channel, normalDepth_m, uniformFlow } from './uniform-flow.js'

/** A ditch that leads water away: what it must carry, and how fast its bed may be run over. */
export interface GradedDrainDesign {
  readonly flow_m3s: number
  readonly bedWidth_m: number
  readonly sideSlope_ratio: number
  /** Along the ditch; over 0. */
  readonly fall_ratio: number
  /** Manning's n once the growth is tall: decides the depth. */
  readonly roughnessTall: number
  /** Manning's n when freshly dug or mown: decides the velocity. */
  readonly roughnessBare: number
  readonly permissible_ms: number
  /** Over the water at the tall growth. */
  readonly freeboard_m: number
}

/** How a graded drain does. */
export interface GradedDrain {
  /** Of the water with tall growth. */
  readonly depth_m: number
  /** From bed to lip: the water and the freeboard. */
  readonly digDepth_m: number
  /** With the bare bed, where it is fastest. */
  readonly velocity_ms: number
  readonly bedShear_Pa: number
  readonly froude: number
  readonly bedHolds: boolean
  /** The steepest fall at which this width stays within the velocity. */
  readonly steepestFall_ratio: number
  /** The narrowest bed that stays within the velocity at this fall; null where none does up to 20 m. */
  readonly narrowestBed_m: number | null
}

/**
 * A graded drain sized for capacity with tall growth and judged for velocity with a bare bed.
 *
 * Throws  `drain/bad-design`, and what `normalDepth_m` throws.
 * Source  Manning's formula; two states of growth: practice of USDA-NRCS for grassed waterways (from memory).
 */
export function gradedDrain(design: GradedDrainDesign): GradedDrain {
  checkDesign(design)
  const depth_m = normalDepth_m(channelOf(design, design.roughnessTall), design.flow_m3s)
  const bare = bareFlow(design)
  return {
    depth_m,
    digDepth_m: depth_m + design.freeboard_m,
    velocity_ms: bare.velocity_ms,
    bedShear_Pa: bare.bedShear_Pa,
    froude: bare.froude,
    bedHolds: bare.velocity_ms <= design.permissible_ms,
    steepestFall_ratio: steepestFall_ratio(design),
    narrowestBed_m: narrowestBed_m(design),
  }
}

/**
 * Fall at which the bare bed runs just at its permissible velocity, at most 1: the velocity gives the area, the area the depth, the depth the fall.
 *
 * Source  b y + z y² = Q/V solved for y; S = (V n / R^(2/3))², Manning.
 */
export function steepestFall_ratio({ flow_m3s, bedWidth_m, sideSlope_ratio, roughnessBare, permissible_ms }: GradedDrainDesign): number {
  const area_m2 = flow_m3s / permissible_ms
  // The root in the form that also serves upright sides.
  const depth_m = (2 * area_m2) / (bedWidth_m + Math.sqrt(bedWidth_m * bedWidth_m + 4 * sideSlope_ratio * area_m2))
  const { hydraulicRadius_m } = wetted({ form: 'trapezoid', bedWidth_m, sideSlope_ratio }, depth_m)
  const root = (permissible_ms * roughnessBare) / twoThirdsPower(hydraulicRadius_m)
  // A hair less, so that it holds in the last bits too.
  return Math.min(1, root * root * (1 - 1e-12))
}

function narrowestBed_m(design: GradedDrainDesign): number | null {
  const within = (bedWidth_m: number): boolean => bareFlow({ ...design, bedWidth_m }).velocity_ms <= design.permissible_ms
  let low = design.sideSlope_ratio > 0 ? 0 : 0.01
  let high = 20
  if (within(low)) return low
  if (!within(high)) return null
  for (let k = 0; k < 50; k++) {
    const middle = (low + high) / 2
    if (within(middle)) high = middle
    else low = middle
  }
  return high
}

const channelOf = ({ bedWidth_m, sideSlope_ratio, fall_ratio }: GradedDrainDesign, roughness: number): Channel => ({
  shape: { form: 'trapezoid', bedWidth_m, sideSlope_ratio },
  fall_ratio,
  roughness,
})

const bareFlow = (design: GradedDrainDesign) => {
  const channel = channelOf(design, design.roughnessBare)
  return uniformFlow(channel, normalDepth_m(channel, design.flow_m3s))
}

function checkDesign(design: GradedDrainDesign): void {
  for (const name of ['flow_m3s', 'permissible_ms'] as const)
    if (!(design[name] > 0 && design[name] < Infinity))
      throw new InputError('drain/bad-design', `${name} is ${design[name]}; give a number above 0.`, { name, value: design[name] })
  if (!(design.freeboard_m >= 0))
    throw new InputError('drain/bad-design', `The freeboard is ${design.freeboard_m} m; give 0 or more.`, {
      freeboard_m: design.freeboard_m,
    })
  if (design.roughnessBare > design.roughnessTall)
    throw new InputError(
      'drain/bad-design',
      `Manning's n bare (${design.roughnessBare}) is above that of tall growth (${design.roughnessTall}); give the lower for the bare bed.`,
      { roughnessBare: design.roughnessBare, roughnessTall: design.roughnessTall },
    )
}
