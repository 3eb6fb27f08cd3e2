import { InputError } from '../foundation/index.js'

/** Soil over a slip plane that lies parallel to the ground. */
export interface SlopeSoil {
  readonly cohesion_kPa: number
  readonly friction_deg: number
  /** Weight of the wet soil, kN/m³. */
  readonly weight_kNm3: number
  /** Depth of the slip plane below the ground. */
  readonly depth_m: number
  /** Part of that depth that stands under water, 0–1. */
  readonly wetShare_ratio: number
}

/** Weight of water, kN/m³. */
const WATER_kNm3 = 9.81

/**
 * Factor of safety of a long slope with seepage parallel to the surface. It says where to ask a professional; it clears no ground.
 *
 * Units   `gradient_ratio` rise over run, above 0; the factor has none.
 * Laws    falls as the ground steepens and as the soil grows wet; without cohesion and dry it is tan φ′ / tan β.
 * No data NaN for a gradient that is not known, infinite on level ground.
 * Throws  InputError `slope/bad-soil`.
 * Source  FS = [c′ + (γ − m γw) z cos²β tan φ′] / (γ z sin β cos β), the infinite-slope form of soil mechanics; with cos²β = 1/(1 + tan²β).
 */
export const infiniteSlopeFactor = (gradient_ratio: number, soil: SlopeSoil): number => {
  const { resisting_kPa, cohesion_kPa, driving_kPa } = slopeForces(soil)
  const g = gradient_ratio
  return (cohesion_kPa * (1 + g * g) + resisting_kPa) / (driving_kPa * g)
}

/**
 * The gradient above which the factor lies below a target: infinite where cohesion alone holds every slope.
 *
 * Laws    at a finite answer the factor is the target.
 * Throws  InputError `slope/bad-soil`.
 */
export function steepestStable_ratio(soil: SlopeSoil, factor_ratio: number): number {
  const { resisting_kPa, cohesion_kPa: c, driving_kPa } = slopeForces(soil)
  // c g² − F w g + (c + r) = 0, the smaller root.
  const half = (factor_ratio * driving_kPa) / 2
  const under = half * half - c * (c + resisting_kPa)
  return under >= 0 ? (c + resisting_kPa) / (half + Math.sqrt(under)) : Number.POSITIVE_INFINITY
}

function slopeForces(soil: SlopeSoil): { resisting_kPa: number; cohesion_kPa: number; driving_kPa: number } {
  const { cohesion_kPa, friction_deg, weight_kNm3, depth_m, wetShare_ratio } = soil
  const fits =
    cohesion_kPa >= 0 &&
    friction_deg >= 0 &&
    friction_deg <= 60 &&
    weight_kNm3 > WATER_kNm3 &&
    depth_m > 0 &&
    wetShare_ratio >= 0 &&
    wetShare_ratio <= 1 &&
    Number.isFinite(cohesion_kPa + weight_kNm3 + depth_m)
  if (!fits)
    throw new InputError(
      'slope/bad-soil',
      `A slope cannot be reckoned with cohesion ${cohesion_kPa} kPa, friction ${friction_deg}°, weight ${weight_kNm3} kN/m³, depth ${depth_m} m and wet share ${wetShare_ratio}. Friction lies from 0 to 60°, the weight above that of water, the depth above 0, the share from 0 to 1.`,
      { ...soil },
    )
  return {
    cohesion_kPa,
    resisting_kPa: (weight_kNm3 - wetShare_ratio * WATER_kNm3) * depth_m * tangent(friction_deg),
    driving_kPa: weight_kNm3 * depth_m,
  }
}

/** Tangent of an angle from 0 to 60 degrees by the series of sine and cosine: the last bits of `Math.tan` differ between engines. */
function tangent(degrees: number): number {
  const x = (degrees * Math.PI) / 180
  let sine = 0
  let cosine = 0
  for (let k = 20; k >= 0; k -= 2) {
    cosine = 1 - (cosine * x * x) / ((k + 1) * (k + 2))
    sine = 1 - (sine * x * x) / ((k + 2) * (k + 3))
  }
  return (x * sine) / cosine
}
