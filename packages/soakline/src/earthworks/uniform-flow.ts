import { InputError } from '../foundation/index.js'
import { bankDepth_m, type ChannelShape, type Wetted, wetted, wettedIn } from './channel-shape.js'
import { fifthRoot, leastWhere, twoThirdsPower } from './roots.js'

/** Acceleration of gravity, m/s². */
export const GRAVITY_ms2 = 9.81

/** Weight of water, N/m³. */
export const WATER_Nm3 = 9810

/** A channel of one section, falling evenly. */
export interface Channel {
  readonly shape: ChannelShape
  /** Fall of the bed, rise over run; over 0, up to 1. */
  readonly fall_ratio: number
  /** Manning's n, s/m^(1/3); 0.01 to 0.5, the span of the published tables. */
  readonly roughness: number
}

/** Water running evenly. */
export interface UniformFlow extends Wetted {
  readonly depth_m: number
  readonly velocity_ms: number
  readonly flow_m3s: number
  /** Velocity over that of a small wave: under 1 tranquil, over 1 shooting. */
  readonly froude: number
  /** Over the whole bed, and at its deepest. */
  readonly meanShear_Pa: number
  readonly bedShear_Pa: number
}

/**
 * Even flow of a depth in a channel, by Manning's formula.
 *
 * Units   m, m/s, m³/s, Pa.
 * Throws  `channel/bad-roughness`, `channel/bad-fall`, and what `wetted` throws.
 * Source  Q = A R^(2/3) S^(1/2) / n; shear γ R S and γ d S: FHWA HEC-22 3rd ed. (2009), ch. 5, eq. 5-1.
 */
export function uniformFlow(channel: Channel, depth_m: number): UniformFlow {
  checkChannel(channel)
  const water = wetted(channel.shape, depth_m)
  const velocity_ms = (twoThirdsPower(water.hydraulicRadius_m) * Math.sqrt(channel.fall_ratio)) / channel.roughness
  return {
    ...water,
    depth_m,
    velocity_ms,
    flow_m3s: water.area_m2 * velocity_ms,
    froude: froude(velocity_ms, water),
    meanShear_Pa: WATER_Nm3 * water.hydraulicRadius_m * channel.fall_ratio,
    bedShear_Pa: WATER_Nm3 * depth_m * channel.fall_ratio,
  }
}

/** Velocity over that of a small wave on the mean depth; 0 for no water. */
export const froude = (velocity_ms: number, { area_m2, width_m }: Wetted): number =>
  area_m2 > 0 ? velocity_ms / Math.sqrt((GRAVITY_ms2 * area_m2) / width_m) : 0

/**
 * Depth at which a flow runs evenly.
 *
 * Laws    `uniformFlow` of it gives the flow back, to 1e-12; more flow never stands lower. A drawn section that carries less just above a shelf has
 *         several such depths: one of them is given.
 * Throws  `channel/flow-over-banks` where a drawn section cannot carry it; `channel/bad-flow`; as `uniformFlow`.
 * Cost    about 30 sections.
 * Source  Manning's formula, turned by trials.
 */
export function normalDepth_m(channel: Channel, flow_m3s: number): number {
  return depthWhere(channel.shape, flow_m3s, depth => uniformFlow(channel, depth).flow_m3s - flow_m3s)
}

/**
 * Depth at which a flow passes with the least energy: deeper runs tranquil, shallower shooting.
 *
 * Throws  `channel/flow-over-banks`, `channel/bad-flow`, and what `wetted` throws.
 * Source  Q² T = g A³, by trials.
 */
export function criticalDepth_m(shape: ChannelShape, flow_m3s: number): number {
  const water = wettedIn(shape)
  return depthWhere(shape, flow_m3s, depth => {
    const { area_m2: a, width_m } = water(depth)
    return GRAVITY_ms2 * a * a * a - flow_m3s * flow_m3s * width_m
  })
}

/** A thin wide sheet running evenly, per metre of its width. */
export interface SheetFlow {
  readonly depth_m: number
  readonly velocity_ms: number
  readonly bedShear_Pa: number
  readonly froude: number
}

/**
 * Even flow of a wide sheet down a slope.
 *
 * Units   `flow_m2s` m³/s per metre of width.
 * Throws  `channel/bad-flow`, `channel/bad-fall`, `channel/bad-roughness`.
 * Source  Manning's formula with the depth for the radius: y = (q n / √S)^(3/5).
 */
export function sheetFlow(flow_m2s: number, fall_ratio: number, roughness: number): SheetFlow {
  checkFlow(flow_m2s)
  checkFall(fall_ratio)
  checkRoughness(roughness)
  const root = fifthRoot((flow_m2s * roughness) / Math.sqrt(fall_ratio))
  const depth_m = root * root * root
  const velocity_ms = depth_m > 0 ? flow_m2s / depth_m : 0
  return {
    depth_m,
    velocity_ms,
    bedShear_Pa: WATER_Nm3 * depth_m * fall_ratio,
    froude: depth_m > 0 ? velocity_ms / Math.sqrt(GRAVITY_ms2 * depth_m) : 0,
  }
}

/** Steepest slope on which a sheet stays within a velocity. Throws `channel/bad-flow`, `channel/bad-roughness`. Source: Manning: (V n / y^(2/3))², y = q/V. */
export function steepestForSheet_ratio(flow_m2s: number, velocity_ms: number, roughness: number): number {
  checkFlow(flow_m2s)
  checkRoughness(roughness)
  if (!(flow_m2s > 0 && velocity_ms > 0))
    throw new InputError('channel/bad-flow', 'A slope for a velocity needs a flow and a velocity above 0.', { flow_m2s, velocity_ms })
  const root = (velocity_ms * roughness) / twoThirdsPower(flow_m2s / velocity_ms)
  return root * root
}

/** The least depth at which a rising `excess` is 0 or more; 0 for no flow. */
function depthWhere(shape: ChannelShape, flow_m3s: number, excess: (depth_m: number) => number): number {
  checkFlow(flow_m3s)
  const bank_m = bankDepth_m(shape)
  if (flow_m3s === 0) return 0
  let low = 0
  let atLow = excess(low)
  let high = Math.min(0.125, bank_m)
  let atHigh = excess(high)
  while (atHigh < 0) {
    if (high >= bank_m || high > 1e6)
      throw new InputError(
        'channel/flow-over-banks',
        `The section, ${bank_m} m deep, does not carry ${flow_m3s} m³/s; make it larger or lead less water in.`,
        { flow_m3s, bank_m },
      )
    low = high
    atLow = atHigh
    high = Math.min(2 * high, bank_m)
    atHigh = excess(high)
  }
  return leastWhere(excess, low, atLow, high, atHigh)
}

function checkChannel({ fall_ratio, roughness }: Channel): void {
  checkFall(fall_ratio)
  checkRoughness(roughness)
}

function checkFall(fall_ratio: number): void {
  if (!(fall_ratio > 0 && fall_ratio <= 1))
    throw new InputError(
      'channel/bad-fall',
      `The fall is ${fall_ratio}; even flow needs one over 0 and up to 1 (1 % is 0.01). A level ditch is a pool: work out its backwater.`,
      { fall_ratio },
    )
}

/** Refuses a roughness outside the published tables. Throws `channel/bad-roughness`. */
export function checkRoughness(roughness: number): void {
  if (!(roughness >= 0.01 && roughness <= 0.5))
    throw new InputError(
      'channel/bad-roughness',
      `Manning's n is ${roughness}; published values run from 0.01 (smooth) to 0.5 (dense brush). Take one of them.`,
      { roughness },
    )
}

function checkFlow(flow: number): void {
  if (!(flow >= 0 && flow < Infinity)) throw new InputError('channel/bad-flow', `The flow is ${flow}; give 0 or more.`, { flow })
}
