/**
 * The largest chance that `reached` successes in `runs` tries still allow: the exact one-sided upper bound at a confidence.
 *
 * It solves P(X ≤ reached | runs, p) = 1 − confidence for p by halving, on the binomial sum itself. "0 of 200" still allows 1.5 %.
 * Laws    1 when every run succeeded; falls with more runs; for 0 of n it is 1 − (1 − confidence)^(1/n), about 3/n at 95 %.
 * Cost    some hundred × `reached` steps; + − × ÷ only.
 * Source  Clopper & Pearson (1934), Biometrika 26, 404–413; the 3/n rule: Hanley & Lippman-Hand (1983), JAMA 249, 1743–1745 (both from memory,
 *         unchecked; the values of the tests are derived by hand).
 */
export function upperBound_ratio(reached: number, runs: number, confidence = 0.95): number {
  if (!(runs > 0) || reached >= runs) return 1
  const missed = 1 - confidence
  let low = reached / runs
  let high = 1
  for (let k = 0; k < 60; k++) {
    const p = (low + high) / 2
    if (atMost_ratio(reached, runs, p) > missed) low = p
    else high = p
  }
  return high
}

/** Chance of at most k successes in n tries of chance p each, 0 < p < 1. */
function atMost_ratio(k: number, n: number, p: number): number {
  // The term of exactly k, its factors taken in turn so that the product neither overflows nor dies too soon.
  let term = 1
  let failures = n - k
  for (let i = 1; i <= k; i++) {
    term *= ((n - k + i) / i) * p
    while (term > 1 && failures > 0) {
      term *= 1 - p
      failures--
    }
  }
  for (; failures > 0 && term > 0; failures--) term *= 1 - p
  let sum = term
  for (let i = k; i > 0; i--) {
    term *= (i * (1 - p)) / ((n - i + 1) * p)
    sum += term
  }
  return sum
}
