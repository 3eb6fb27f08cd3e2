/*
 * Lengths of curved beds need an inverse sine or logarithm; these are built from + − × ÷ √ alone, the same bits in every engine.
 */

/** Inverse hyperbolic sine. Laws: odd; within 1e-15, relative. Source: halved by sinh t/2 = sinh t / √(2 (1 + cosh t)) until its series is short. */
export function inverseSinh(x: number): number {
  let a = x
  let times = 1
  for (; a > 0.1 || a < -0.1; times *= 2) a /= Math.sqrt(2 * (1 + Math.sqrt(1 + a * a)))
  let term = a
  let sum = a
  for (let k = 1; k < 10; k++) {
    term *= (-a * a * (2 * k - 1)) / (2 * k)
    sum += term / (2 * k + 1)
  }
  return times * sum
}

/** Inverse tangent, radians. Laws: odd; within 1e-15, relative. Source: halved by tan t/2 = tan t / (1 + √(1 + tan² t)) until its series is short. */
export function inverseTangent(x: number): number {
  let a = x
  let times = 1
  for (; a > 0.1 || a < -0.1; times *= 2) a /= 1 + Math.sqrt(1 + a * a)
  let term = a
  let sum = a
  for (let k = 1; k < 10; k++) {
    term *= -a * a
    sum += term / (2 * k + 1)
  }
  return times * sum
}
