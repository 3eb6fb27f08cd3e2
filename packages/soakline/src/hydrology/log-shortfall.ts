import { naturalLog } from './logarithm.js'

/**
 * y − ln(1 + y), for y > −1: what a logarithm falls short of its argument, without the loss of digits of the plain difference near 0.
 * Water soaking from above into dry soil, and out through a bed that widens, both come down to it.
 *
 * Laws    never negative; y²/2 for small y; within 1e-14 of itself.
 * Source  with t = y/(2 + y): y − ln(1 + y) = y t − 2 (t³/3 + t⁵/5 + …), derived.
 */
export function logShortfall(y: number): number {
  const t = y / (2 + y)
  if (Math.abs(t) > 1 / 3) return y - naturalLog(1 + y)
  const t2 = t * t
  let sum = 0
  for (let k = 37; k >= 3; k -= 2) sum = sum * t2 + 1 / k // t² ≤ 1/9: what is left out is under 1e-19
  return y * t - 2 * t * t2 * sum
}

/**
 * ln(1 + y)/y, 1 at 0, for y > −1: the mean of 1/(1 + x) from 0 to y.
 *
 * Laws    within 1e-14 of itself near 0 and far off.
 */
export const meanReciprocal = (y: number): number => (y === 0 ? 1 : Math.abs(y) <= 1 ? 1 - logShortfall(y) / y : naturalLog(1 + y) / y)
