import { InputError } from '../foundation/index.js'

/** A straight ditch of one section whose bed falls evenly to a closed end, where the sill is. A triangle has bed width 0. */
export interface GradedDitch {
  readonly bedWidth_m: number
  /** Both sides, horizontal : vertical. */
  readonly sideSlope_ratio: number
  /** Depth of water at the low end when it stands at the sill. */
  readonly depthAtSill_m: number
  readonly length_m: number
  /** Fall of the bed per metre; 0 for level. */
  readonly fall_ratio: number
}

/**
 * What a falling ditch holds: water standing level at the sill of its low end, which runs out at the high end where the bed rises above it.
 *
 * Units   m, m³.
 * Laws    exact for triangle and trapezoid; never more than the same ditch dug level.
 * Throws  `line/bad-ditch`.
 * Source  ∫ A(d₀ − g x) dx over the wet length, derived.
 */
export function gradedStorage_m3(ditch: GradedDitch): number {
  for (const [name, size] of Object.entries(ditch))
    if (!(size >= 0 && size < Infinity))
      throw new InputError('line/bad-ditch', `${name} is ${size}; give a number of 0 or more.`, { name, size })
  const { bedWidth_m, sideSlope_ratio, depthAtSill_m: deep, length_m, fall_ratio } = ditch
  const runsDry = fall_ratio * length_m > deep
  const wet_m = runsDry ? deep / fall_ratio : length_m
  const shallow = runsDry ? 0 : Math.max(0, deep - fall_ratio * length_m)
  return wet_m * ((bedWidth_m * (deep + shallow)) / 2 + (sideSlope_ratio * (deep * deep + deep * shallow + shallow * shallow)) / 3)
}

/**
 * Share of its storage that a ditch meant to be level keeps when it was dug with a fall from end to end.
 *
 * Laws    1 for no fall; about 1 − fall/depth for a small one.
 * Throws  `line/bad-ditch`, also for a ditch that holds nothing.
 * Source  `gradedStorage_m3` over the level storage, derived.
 */
export function keptDespiteFall_ratio(ditch: Omit<GradedDitch, 'fall_ratio'>, endToEndFall_m: number): number {
  const level_m3 = gradedStorage_m3({ ...ditch, fall_ratio: 0 })
  if (level_m3 === 0)
    throw new InputError('line/bad-ditch', 'A ditch without length, depth or width holds nothing, so no share of it can be kept.', {
      ...ditch,
    })
  return gradedStorage_m3({ ...ditch, fall_ratio: endToEndFall_m / ditch.length_m }) / level_m3
}
