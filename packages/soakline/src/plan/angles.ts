/*
 * Sines and bearings from + − × ÷ √ alone, since Math.sin and Math.atan2 differ in their last bit between engines.
 */

const TO_RADIANS = Math.PI / 180

/** Sine of an angle in degrees. Laws: within 2e-16 of the true sine; exact at multiples of 90°. */
export function sineOf(angle_deg: number): number {
  let turned = angle_deg % 360
  if (turned > 180) turned -= 360
  if (turned < -180) turned += 360
  if (turned > 90) turned = 180 - turned
  if (turned < -90) turned = -180 - turned
  if (turned > 45) return cosineSeries((90 - turned) * TO_RADIANS)
  if (turned < -45) return -cosineSeries((90 + turned) * TO_RADIANS)
  return sineSeries(turned * TO_RADIANS)
}

/** Cosine of an angle in degrees, as `sineOf`. */
export const cosineOf = (angle_deg: number): number => sineOf(angle_deg + 90)

/**
 * Direction of a step, degrees clockwise from grid north, from 0 up to 360; null for no step.
 *
 * Laws    within 1e-12° of the true bearing.
 */
export function bearing_deg(east: number, north: number): number | null {
  if (!(east !== 0 || north !== 0) || Number.isNaN(east + north)) return null
  const [e, n] = [Math.abs(east), Math.abs(north)]
  const fromAxis = e <= n ? arctangent_deg(e / n) : 90 - arctangent_deg(n / e)
  const turned = north >= 0 ? (east >= 0 ? fromAxis : 360 - fromAxis) : east >= 0 ? 180 - fromAxis : 180 + fromAxis
  return turned >= 360 ? 0 : turned
}

/** Arctangent of 0–1. The half-angle rule brings it near 0, where the series is short. */
function arctangent_deg(ratio: number): number {
  let t = ratio
  for (let k = 0; k < 3; k++) t /= 1 + Math.sqrt(1 + t * t)
  let sum = 0
  for (let k = 9; k >= 0; k--) sum = (k % 2 === 0 ? 1 : -1) / (2 * k + 1) + sum * t * t
  return (8 * t * sum) / TO_RADIANS
}

function sineSeries(x: number): number {
  let sum = 1
  for (let k = 9; k >= 1; k--) sum = 1 - (x * x * sum) / (2 * k * (2 * k + 1))
  return x * sum
}

function cosineSeries(x: number): number {
  let sum = 1
  for (let k = 9; k >= 1; k--) sum = 1 - (x * x * sum) / ((2 * k - 1) * 2 * k)
  return sum
}
