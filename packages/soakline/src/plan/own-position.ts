import { bearing_deg, cosineOf, sineOf } from './angles.js'
import type { Place } from './plan-file.js'

/** WGS 84: the equator's half diameter, and the square of the eccentricity of f = 1/298.257223563. Source: defining constants of WGS 84 (from memory, unchecked). */
const EQUATOR_m = 6_378_137
const FLATTENING = 1 / 298.257223563
const ECCENTRICITY2 = FLATTENING * (2 - FLATTENING)
const TO_RADIANS = Math.PI / 180

/** Metres of one degree at a latitude, along the parallel and along the meridian. Source: radii of curvature of the ellipsoid. */
function degree_m(latitude_deg: number): { readonly east_m: number; readonly north_m: number } {
  const sine = sineOf(latitude_deg)
  const bulge = 1 - ECCENTRICITY2 * sine * sine
  const across_m = EQUATOR_m / Math.sqrt(bulge)
  const along_m = (across_m * (1 - ECCENTRICITY2)) / bulge
  return { east_m: across_m * cosineOf(latitude_deg) * TO_RADIANS, north_m: along_m * TO_RADIANS }
}

/**
 * How far east and north a place lies of another, on the ellipsoid.
 *
 * Units   places as longitude and latitude in WGS 84 degrees.
 * Laws    there and back are opposite; within 1 mm of the true step up to 3 km from it, polar regions excepted.
 * Source  middle-latitude formula: radii of curvature half-way between the two (from memory; checked against chords in space).
 */
export function stepOnEarth(from: Place, to: Place): { readonly east_m: number; readonly north_m: number } {
  const { east_m, north_m } = degree_m((from[1] + to[1]) / 2)
  let turn_deg = to[0] - from[0]
  if (turn_deg > 180) turn_deg -= 360
  if (turn_deg < -180) turn_deg += 360
  return { east_m: turn_deg * east_m, north_m: (to[1] - from[1]) * north_m }
}

/** A closed ring of places about so far from a place: the circle that a device's accuracy is drawn as. Source: as `stepOnEarth`. */
export function ringOnEarth(at: Place, radius_m: number, corners = 48): readonly Place[] {
  const { east_m, north_m } = degree_m(at[1])
  return Array.from({ length: corners + 1 }, (_, k): Place => {
    const turn_deg = ((k % corners) * 360) / corners
    return [at[0] + (radius_m * sineOf(turn_deg)) / east_m, at[1] + (radius_m * cosineOf(turn_deg)) / north_m]
  })
}

/** Where a device says that it is, in WGS 84 degrees, and how sure it is of it (95 of 100 by the W3C's Geolocation, where it keeps to it). */
export interface OwnFix {
  readonly at: Place
  /** Null where the device does not say. */
  readonly accuracy_m: number | null
}

/** The way from where one stands to a stake, as far as a device may tell it. */
export interface WayToStake {
  /**
   * `unknown`: the device does not say how sure it is. `too-rough`: less sure than the limit, so no way is told. `here`: the stake lies within what
   * the device can tell; walking on by it gets no nearer. `walk`: distance and bearing lead to it.
   */
  readonly state: 'unknown' | 'too-rough' | 'here' | 'walk'
  readonly accuracy_m: number | null
  readonly limit_m: number
  /** Null where no way is told. */
  readonly distance_m: number | null
  /** Clockwise from true north; null where no way is told, and at the stake. */
  readonly bearing_deg: number | null
  /** How far off the level would be if the stake were set by this position alone: its error across the slope. Null while either is unknown. */
  readonly levelDoubt_m: number | null
}

/**
 * The way to a stake from a device's own position.
 *
 * Units   places in WGS 84 degrees; the slope of the ground at the stake, rise over run, null for unknown.
 * Laws    a position that is not sure, or less sure than the limit, leads nowhere.
 * Source  geometry; a dot without its circle misleads; the limit is a setting.
 */
export function wayToStake(fix: OwnFix, stake: Place, limit_m: number, slope_ratio: number | null): WayToStake {
  const { accuracy_m } = fix
  const { east_m, north_m } = stepOnEarth(fix.at, stake)
  const distance_m = Math.sqrt(east_m * east_m + north_m * north_m)
  const unsure = accuracy_m === null || !(accuracy_m >= 0) || !Number.isFinite(distance_m)
  const state = unsure ? 'unknown' : accuracy_m > limit_m ? 'too-rough' : distance_m <= accuracy_m ? 'here' : 'walk'
  const told = state === 'here' || state === 'walk'
  return {
    state,
    accuracy_m: unsure ? null : accuracy_m,
    limit_m,
    distance_m: told ? distance_m : null,
    bearing_deg: told ? bearing_deg(east_m, north_m) : null,
    levelDoubt_m: unsure || slope_ratio === null ? null : accuracy_m * slope_ratio,
  }
}

/** One of eight winds that a bearing points to, from north by east: 0 north, 2 east, 4 south, 6 west. */
export const windOf = (bearing_deg: number): number => Math.floor((bearing_deg + 22.5) / 45) % 8
