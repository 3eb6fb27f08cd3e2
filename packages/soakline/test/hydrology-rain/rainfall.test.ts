import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'
import {
  chances,
  checkRainTable,
  durations_h,
  type RainRow,
  type RainTable,
  rainDepth_mm,
  shortestDuration_h,
} from '../../src/hydrology/rainfall.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

const table = (depths: Readonly<Record<number, readonly number[]>>, chancesPerYear: readonly number[]): RainTable => ({
  rows: Object.entries(depths).flatMap(([h, row]) =>
    row.map((depth_mm, k): RainRow => ({ duration_h: Number(h), chancePerYear: chancesPerYear[k]!, depth_mm })),
  ),
})

// 26.6 N 81.9 W, inches, chances 1/2 to 1/100. Source: NOAA Atlas 14 Volume 9 Version 2 point output.
const CHANCES = [1 / 2, 1 / 5, 1 / 10, 1 / 25, 1 / 50, 1 / 100]
const INCHES = {
  1: [2.38, 2.79, 3.13, 3.62, 4.0, 4.38],
  2: [2.98, 3.47, 3.9, 4.49, 4.97, 5.46],
  3: [3.25, 3.81, 4.3, 4.99, 5.54, 6.11],
  6: [3.7, 4.5, 5.18, 6.16, 6.94, 7.75],
  12: [4.18, 5.35, 6.36, 7.79, 8.94, 10.1],
  24: [4.76, 6.09, 7.28, 9.05, 10.5, 12.1],
}
const florida: RainTable = {
  rows: table(INCHES, CHANCES).rows.map(r => ({ ...r, depth_mm: r.depth_mm * 25.4 })),
}

describe('depth of a storm', () => {
  test('every row is given back exactly', () => {
    for (const r of florida.rows) expect(rainDepth_mm(florida, r.duration_h, r.chancePerYear)).toBe(r.depth_mm)
  })

  test('a row taken out of NOAA Atlas 14 (Volume 9) is found again between its neighbours: durations within 5 %, chances within 2 %', () => {
    for (const r of florida.rows) {
      const without = (key: 'duration_h' | 'chancePerYear'): RainTable => ({ rows: florida.rows.filter(o => o[key] !== r[key]) })
      if (r.duration_h !== 1 && r.duration_h !== 24)
        expect(Math.abs(rainDepth_mm(without('duration_h'), r.duration_h, r.chancePerYear) / r.depth_mm - 1)).toBeLessThan(0.05)
      if (r.chancePerYear !== 1 / 2 && r.chancePerYear !== 1 / 100)
        expect(Math.abs(rainDepth_mm(without('chancePerYear'), r.duration_h, r.chancePerYear) / r.depth_mm - 1)).toBeLessThan(0.02)
    }
  })

  test('worked by hand: a power law between durations, a straight line over ln(chance)', () => {
    const t = table({ 1: [20, 40], 4: [40, 80] }, [0.1, 0.001])
    expect(rainDepth_mm(t, 2, 0.1)).toBeCloseTo(20 * Math.SQRT2, 12) // depth ∝ √duration
    expect(rainDepth_mm(t, 1, 0.01)).toBeCloseTo(30, 12) // half-way in ln(chance)
    expect(rainDepth_mm(t, 2, 0.01)).toBeCloseTo(30 * Math.SQRT2, 12)
  })

  test('law: longer or rarer never gives less rain, and it stays between the neighbours', () =>
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 24, noNaN: true }),
        fc.double({ min: 1, max: 24, noNaN: true }),
        fc.double({ min: 0.01, max: 0.5, noNaN: true }),
        fc.double({ min: 0.01, max: 0.5, noNaN: true }),
        (h1, h2, c1, c2) => {
          const less = rainDepth_mm(florida, Math.min(h1, h2), Math.max(c1, c2))
          const more = rainDepth_mm(florida, Math.max(h1, h2), Math.min(c1, c2))
          expect(more).toBeGreaterThanOrEqual(less * (1 - 1e-12))
          expect(less).toBeGreaterThanOrEqual(2.38 * 25.4)
          expect(more).toBeLessThanOrEqual(12.1 * 25.4)
        },
      ),
    ))

  test('law: the order of the rows does not matter', () => {
    const turned: RainTable = { rows: [...florida.rows].reverse() }
    expect(rainDepth_mm(turned, 5, 0.03)).toBe(rainDepth_mm(florida, 5, 0.03))
  })

  test('a table with gaps: the nearest durations that know the chance', () => {
    const gaps: RainTable = { rows: [...table({ 1: [20], 2: [25], 4: [40] }, [0.1]).rows, ...table({ 1: [30], 4: [60] }, [0.02]).rows] }
    expect(rainDepth_mm(gaps, 2, 0.02)).toBeCloseTo(30 * Math.SQRT2, 12)
  })

  test('nothing is extrapolated', () => {
    for (const [h, chance] of [
      [0.5, 0.1],
      [48, 0.1],
      [24, 0.001],
      [24, 0.9],
      [0, 0.1],
      [24, 0],
      [Number.NaN, 0.1],
      [24, Number.NaN],
    ] as const)
      expect(
        refusalCode(() => rainDepth_mm(florida, h, chance)),
        `${h} h, ${chance}`,
      ).toBe('rain/outside-table')
  })

  test('what the table covers', () => {
    expect(shortestDuration_h(florida)).toBe(1)
    expect(durations_h(florida)).toEqual([1, 2, 3, 6, 12, 24])
    expect(chances(florida)).toEqual(CHANCES)
    expect(refusalCode(() => shortestDuration_h({ rows: [] }))).toBe('rain/empty-table')
  })
})

describe('tables that are refused', () => {
  const broken = (rows: readonly (readonly [number, number, number])[]): string =>
    refusalCode(() =>
      checkRainTable({ rows: rows.map(([duration_h, chancePerYear, depth_mm]) => ({ duration_h, chancePerYear, depth_mm })) }),
    )

  test('empty', () => expect(broken([])).toBe('rain/empty-table'))
  test('rows that are none', () => {
    expect(broken([[24, 0.1, 0]])).toBe('rain/bad-row')
    expect(broken([[24, 10, 100]])).toBe('rain/bad-row') // a return period in place of a chance
    expect(broken([[0, 0.1, 100]])).toBe('rain/bad-row')
    expect(broken([[24, 0.1, Number.NaN]])).toBe('rain/bad-row')
  })
  test('twice the same storm', () =>
    expect(
      broken([
        [24, 0.1, 100],
        [24, 0.1, 110],
      ]),
    ).toBe('rain/duplicate-row'))
  test('intensities taken for depths', () =>
    expect(
      broken([
        [1, 0.1, 40],
        [24, 0.1, 5],
      ]),
    ).toBe('rain/not-monotone'))
  test('rarer and drier', () =>
    expect(
      broken([
        [24, 0.1, 100],
        [24, 0.01, 90],
      ]),
    ).toBe('rain/not-monotone'))
})
