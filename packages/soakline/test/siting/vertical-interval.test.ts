import { SPACING_RULES, storageSpacing_m, verticalIntervals } from 'soakline/siting'
import { describe, expect, test } from 'vitest'

const rule = (slope: number, name: (typeof SPACING_RULES)[number]) => verticalIntervals(slope).rules.find(r => r.rule === name)!

describe('vertical interval rules', () => {
  // Examples of the reference dossier §9.2.
  test('worked examples', () => {
    expect(rule(0.045, 'ramser').vertical_m[0]).toBeCloseTo(1.05, 9)
    expect(rule(0.04, 'high-rain-bunds').vertical_m[0]).toBeCloseTo(1, 9)
    expect(rule(0.04, 'high-rain-bunds').horizontal_m[0]).toBeCloseTo(25, 9)
    expect(rule(0.2, 'taiwan').vertical_m[0]).toBeCloseTo(2.4, 9)
    expect(rule(0.1, 'ramser').horizontal_m[0]).toBeCloseTo(16, 9)
    expect(rule(0.1, 'taiwan').horizontal_m[0]).toBeCloseTo(14, 9)
    expect(rule(0.1, 'hedges').horizontal_m[0]).toBeCloseTo(20, 9)
    // USDA at 5 % with x 0.6, y 2 is 5 ft, 100 ft apart; the range of x and y holds it.
    const [low, high] = rule(0.05, 'usda').horizontal_m
    expect(low).toBeLessThan(30.48)
    expect(high).toBeGreaterThan(30.48)
    expect(low).toBeCloseTo((3 * 0.3048) / 0.05, 9)
    expect(rule(0.005, 'stone-lines').horizontal_m).toEqual([20, 20])
    expect(rule(0.015, 'stone-lines').horizontal_m).toEqual([15, 15])
  })

  test('the rules disagree, and the answer says so as a range: 14 to 46 m at 10 %', () => {
    const { low_m, high_m } = verticalIntervals(0.1)
    expect(low_m).toBeCloseTo(14, 6)
    expect(high_m).toBeCloseTo((12 * 0.3048) / 0.1, 6)
  })

  test('law: vertical is horizontal times slope; every rule carries its source', () => {
    const seen = new Set<string>()
    for (const slope of [0.005, 0.015, 0.03, 0.1, 0.27, 1])
      for (const r of verticalIntervals(slope).rules) {
        seen.add(r.rule)
        for (const k of [0, 1] as const) expect(r.vertical_m[k]).toBeCloseTo(r.horizontal_m[k] * slope, 9)
        expect(r.horizontal_m[0]).toBeLessThanOrEqual(r.horizontal_m[1])
        expect(r.source.length).toBeGreaterThan(10)
        if (r.known === 'from-memory') expect(r.source).toContain('from memory')
      }
    expect([...seen].sort()).toEqual([...SPACING_RULES].sort())
  })

  // Dossier §9.2: A 0.99 m², Q 39.38 mm; with W 6.6 m and P 100 mm.
  test('storage-limited spacing: 25.1 m, and 14.98 m with the rain on its own water', () => {
    expect(storageSpacing_m(0.99, 39.38)).toBeCloseTo(25.14, 2)
    expect(storageSpacing_m(0.99, 39.38, { rain_mm: 100, width_m: 6.6 })).toBeCloseTo(14.98, 2)
    expect(storageSpacing_m(0.99, 0)).toBe(Number.POSITIVE_INFINITY)
    expect(storageSpacing_m(0.5, 39.38, { rain_mm: 100, width_m: 6.6 })).toBe(6.6)
  })

  test('level ground and sizes that are none are refused', () => {
    for (const slope of [0, -0.1, 1.01, Number.NaN])
      expect(() => verticalIntervals(slope)).toThrow(expect.objectContaining({ code: 'spacing/bad-slope' }))
    expect(() => storageSpacing_m(-1, 10)).toThrow(expect.objectContaining({ code: 'spacing/bad-storage' }))
  })
})
