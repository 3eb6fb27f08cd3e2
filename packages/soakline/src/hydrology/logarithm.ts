/*
 * Logarithm and exponential from + − × ÷ alone, since Math.log, Math.exp and Math.pow differ in their last bit between engines,
 * and a storm's depth decides verdicts.
 */

/**
 * Natural logarithm, the same bits in every engine.
 *
 * Laws    within 1e-15 + 4e-16 |ln x| of the engine’s own; ln 1 = 0 exactly.
 * Source  ln m = 2 artanh((m − 1)/(m + 1)), m brought to [√½, √2] by powers of two; derived.
 */
export function naturalLog(x: number): number {
  if (!(x > 0)) return x === 0 ? -Infinity : NaN
  if (x === Infinity) return x
  let m = x
  let twos = 0
  for (; m > Math.SQRT2; twos++) m /= 2
  for (; m < Math.SQRT1_2; twos--) m *= 2
  const t = (m - 1) / (m + 1)
  const t2 = t * t
  let sum = 0
  for (let k = 23; k >= 1; k -= 2) sum = sum * t2 + 1 / k // t² ≤ 0.0295: what is left out is under 1e-19
  return twos * Math.LN2 + 2 * t * sum
}

/** e to the power x, the same bits in every engine. Source: e^x = 2^k e^r, |r| ≤ ½ ln 2, e^r by its series; derived. */
export function exponential(x: number): number {
  if (!(x > -745)) return x < 0 ? 0 : NaN
  if (x > 709) return Infinity
  const twos = Math.round(x / Math.LN2)
  const r = x - twos * Math.LN2
  let sum = 1
  for (let k = 18; k >= 1; k--) sum = 1 + (r / k) * sum
  for (let k = twos; k > 0; k--) sum *= 2
  for (let k = twos; k < 0; k++) sum /= 2
  return sum
}
