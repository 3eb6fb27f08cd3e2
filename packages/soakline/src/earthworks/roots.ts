/*
 * Roots and powers from + − × ÷ √ alone, since Math.cbrt and Math.pow differ in their last bit between engines, and a depth of flow decides verdicts.
 */

/**
 * Cube root, the same bits in every engine.
 *
 * Laws    within 4e-16 of the true root, relative; cubes of powers of two are exact.
 * No data NaN below 0.
 * Source  Newton's rule on a number brought to 1–8 by eights; derived.
 */
export const cubeRoot = (x: number): number => wholeRoot(x, 3)

/** Fifth root, as `cubeRoot`. */
export const fifthRoot = (x: number): number => wholeRoot(x, 5)

/** x to the power 2/3, the power of the hydraulic radius in Manning's formula. No data NaN below 0. */
export function twoThirdsPower(x: number): number {
  const root = cubeRoot(x)
  return root * root
}

/** x to the power 3/2, the power of the head over a weir. No data NaN below 0. */
export const threeHalvesPower = (x: number): number => x * Math.sqrt(x)

/**
 * A number of 0 or more to a power of 0 or more: whole powers by multiplication, the fraction by square roots, bit by bit.
 *
 * Laws    within 2e-14, relative, for powers up to 10; the same bits in every engine.
 * No data NaN for a negative base or power.
 * Cost    about 50 square roots.
 */
export function powerByRoots(base: number, exponent: number): number {
  if (!(base >= 0 && exponent >= 0)) return Number.NaN
  const whole = Math.floor(exponent)
  let result = 1
  for (let k = 0; k < whole; k++) result *= base
  let root = base
  for (let rest = exponent - whole; rest > 0; ) {
    root = Math.sqrt(root)
    rest *= 2
    if (rest >= 1) {
      result *= root
      rest -= 1
    }
  }
  return result
}

/**
 * The least number of a range at which a rising function is 0 or more: to the last bit, as if the range had been halved until it cannot be, in
 * about half of the trials.
 *
 * Laws    the function is below 0 at what lies just before the answer, and 0 or more at the answer.
 * Source  Ridders (1979), IEEE Trans. Circuits Syst. 26(11), 979–980, then halving.
 * @param excess  rises along the range, below 0 at `low` (`atLow`) and 0 or more at `high` (`atHigh`)
 */
export function leastWhere(excess: (x: number) => number, low: number, atLow: number, high: number, atHigh: number): number {
  const near = NEAR * Math.max(Math.abs(low), Math.abs(high))
  const tryAt = (x: number): number => {
    const found = excess(x)
    if (found < 0) {
      low = x
      atLow = found
    } else {
      high = x
      atHigh = found
    }
    return found
  }
  let last = Number.POSITIVE_INFINITY
  for (let k = 0; k < GUESSES && high - low > near; k++) {
    const middle = (low + high) / 2
    const half = middle - low
    const product = atLow * atHigh
    const found = tryAt(middle)
    const guess = middle - (half * found) / Math.sqrt(found * found - product)
    const isNew = guess > low && guess < high
    const isUnder = isNew ? tryAt(guess) < 0 : guess <= low
    const moved = isNew ? Math.abs(guess - last) : 0
    last = guess
    if (moved > near) continue
    // The guesses stand still: the other end is fetched.
    for (let away = near; ; away *= 16) {
      const beyond = isUnder ? low + away : high - away
      if (!(beyond > low && beyond < high) || tryAt(beyond) < 0 !== isUnder) break
    }
    break
  }
  for (;;) {
    const middle = (low + high) / 2
    if (!(middle > low && middle < high)) return high
    tryAt(middle)
  }
}

/** Guesses end after so many, and where they move by less than this part of the range's ends. */
const GUESSES = 8
const NEAR = 2 ** -46

function wholeRoot(x: number, degree: 3 | 5): number {
  if (!(x > 0 && x < Infinity)) return x >= 0 ? x : Number.NaN
  const span = degree === 3 ? 8 : 32
  let m = x
  let scale = 1
  for (; m >= span; m /= span) scale *= 2
  for (; m < 1; m *= span) scale /= 2
  // The tangent at 1 lies above the root, so Newton falls towards it from the first step; seven steps double the figures from 1 to beyond 16.
  let y = Math.min(2, 1 + (m - 1) / degree)
  for (let k = 0; k < 7; k++) y = ((degree - 1) * y + m / (degree === 3 ? y * y : y * y * y * y)) / degree
  return y * scale
}
