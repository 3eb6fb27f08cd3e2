import { InputError } from '../foundation/index.js'
import { type ChannelShape, wetted } from './channel-shape.js'

/** A ditch of any section whose bed falls evenly, closed at its low end. */
export interface FallingDitch {
  readonly shape: ChannelShape
  /** Depth of water at the low end, or at each check bank. */
  readonly depthAtSill_m: number
  readonly length_m: number
  /** Fall of the bed per metre; 0 for level. */
  readonly fall_ratio: number
}

/**
 * What a falling ditch of any section holds: water standing level at its low end.
 *
 * Laws    exact for straight-sided, drawn and parabolic sections, to 1e-6 for an arc; agrees with `gradedStorage_m3`.
 * Throws  `line/bad-ditch`, and what `wetted` throws.
 * Source  wet length × mean of A(h) from the depth at the high end to that at the low end; Simpson's rule between the section's corners, where the area is
 *         quadratic.
 */
export function fallingStorage_m3({ shape, depthAtSill_m, length_m, fall_ratio }: FallingDitch): number {
  checkDitch(depthAtSill_m, length_m, fall_ratio)
  const runsDry = fall_ratio * length_m > depthAtSill_m
  const wet_m = runsDry ? depthAtSill_m / fall_ratio : length_m
  const shallow = runsDry ? 0 : depthAtSill_m - fall_ratio * length_m
  const difference = depthAtSill_m - shallow
  // The mean area of a difference so small would drown in rounding.
  if (difference <= 1e-6 * depthAtSill_m) return wetted(shape, (depthAtSill_m + shallow) / 2).area_m2 * wet_m
  return (wet_m * areaIntegral(shape, shallow, depthAtSill_m)) / difference
}

/**
 * What the same ditch holds with check banks across it, each as high as the depth at the sill, the first one at its low end.
 *
 * Units   `spacing_m` between check banks.
 * Laws    never less than without banks; with banks close together, the level ditch.
 * Throws  as `fallingStorage_m3`; `line/bad-spacing`.
 */
export function storageWithChecks_m3(ditch: FallingDitch, spacing_m: number): number {
  checkDitch(ditch.depthAtSill_m, ditch.length_m, ditch.fall_ratio)
  if (!(spacing_m > 0))
    throw new InputError('line/bad-spacing', `Check banks ${spacing_m} m apart; give a distance above 0.`, { spacing_m })
  const whole = Math.floor(ditch.length_m / spacing_m)
  const rest_m = ditch.length_m - whole * spacing_m
  return (
    (whole > 0 ? whole * fallingStorage_m3({ ...ditch, length_m: spacing_m }) : 0) +
    (rest_m > 0 ? fallingStorage_m3({ ...ditch, length_m: rest_m }) : 0)
  )
}

/** Greatest distance between check banks at which the water of each reaches the next: depth over fall; Infinity for a level bed. Throws `line/bad-ditch`. */
export function checkSpacing_m(depthAtBank_m: number, fall_ratio: number): number {
  checkDitch(depthAtBank_m, 0, fall_ratio)
  return fall_ratio === 0 ? Infinity : depthAtBank_m / fall_ratio
}

/** Slices of an arc for Simpson's rule: its area is no polynomial of the depth. */
const ARC_SLICES = 256

/** ∫ A(h) dh. Units: m³. */
function areaIntegral(shape: ChannelShape, from_m: number, to_m: number): number {
  const area = (depth: number): number => wetted(shape, depth).area_m2
  if (shape.form === 'bowl') return (area(to_m) * to_m - area(from_m) * from_m) / 2.5
  const corners =
    shape.form === 'drawn'
      ? shape.points.map(([, z]) => z - Math.min(...shape.points.map(p => p[1])))
      : shape.form === 'arc'
        ? Array.from({ length: ARC_SLICES }, (_, k) => from_m + ((to_m - from_m) * k) / ARC_SLICES)
        : []
  const stops = [...new Set([from_m, ...corners.filter(z => z > from_m && z < to_m), to_m])].sort((a, b) => a - b)
  let sum = 0
  for (let k = 1; k < stops.length; k++) {
    const low = stops[k - 1]!
    const high = stops[k]!
    sum += ((high - low) / 6) * (area(low) + 4 * area((low + high) / 2) + area(high))
  }
  return sum
}

function checkDitch(depth_m: number, length_m: number, fall_ratio: number): void {
  for (const [name, size] of Object.entries({ depth_m, length_m, fall_ratio }))
    if (!(size >= 0 && size < Infinity))
      throw new InputError('line/bad-ditch', `${name} is ${size}; give a number of 0 or more.`, { name, size })
}
