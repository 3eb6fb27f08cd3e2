import { upperBound_ratio } from 'soakline/siting'
import { describe, expect, test } from 'vitest'

/** The binomial sum by its definition, with exact whole-number coefficients. */
function atMost(k: number, n: number, p: number): number {
  let sum = 0
  for (let i = 0; i <= k; i++) {
    let ways = 1n
    for (let j = 1n; j <= BigInt(i); j++) ways = (ways * (BigInt(n) - j + 1n)) / j
    sum += Number(ways) * p ** i * (1 - p) ** (n - i)
  }
  return sum
}

describe('exact upper bound of a share', () => {
  test('none of n: 1 − 0.05^(1/n), about 3/n (worked by hand)', () => {
    for (const n of [1, 10, 100, 200, 1000]) expect(upperBound_ratio(0, n)).toBeCloseTo(1 - 0.05 ** (1 / n), 12)
    expect(upperBound_ratio(0, 200)).toBeCloseTo(0.0149, 4)
    expect(Math.abs(upperBound_ratio(0, 200) / (3 / 200) - 1)).toBeLessThan(0.01)
  })

  test('all but one of n: 0.95^(1/n) (worked by hand)', () => {
    for (const n of [2, 10, 50]) expect(upperBound_ratio(n - 1, n)).toBeCloseTo(0.95 ** (1 / n), 12)
  })

  test('oracle: at the bound the binomial sum is 5 %', () => {
    for (const [k, n] of [
      [1, 10],
      [3, 20],
      [7, 60],
      [25, 200],
      [100, 200],
      [190, 200],
    ] as const)
      expect(atMost(k, n, upperBound_ratio(k, n))).toBeCloseTo(0.05, 9)
  })

  test('law: above the share itself, rising with successes, falling with tries; 1 when all succeeded', () => {
    expect(upperBound_ratio(20, 20)).toBe(1)
    for (let k = 0; k < 30; k++) {
      expect(upperBound_ratio(k, 200)).toBeGreaterThan(k / 200)
      expect(upperBound_ratio(k + 1, 200)).toBeGreaterThan(upperBound_ratio(k, 200))
      expect(upperBound_ratio(k, 400)).toBeLessThan(upperBound_ratio(k, 200))
    }
    // Many tries neither overflow nor die.
    expect(upperBound_ratio(5000, 10_000)).toBeGreaterThan(0.5)
    expect(upperBound_ratio(5000, 10_000)).toBeLessThan(0.51)
    expect(upperBound_ratio(0, 60_000)).toBeCloseTo(3 / 60_000, 6)
  })
})
