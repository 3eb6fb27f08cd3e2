import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'
import {
  COVER_ROWS,
  COVERS,
  compositeCurveNumber,
  connectedImperviousCurveNumber,
  curveNumber,
  curveNumberOfRetention,
  type HydrologicSoilGroup,
  retention_mm,
  retentionFromStorm_mm,
  runoffLimits,
  stormRunoff_mm,
  unconnectedImperviousCurveNumber,
  weightedRunoff_mm,
  wetnessCurveNumber,
  wetnessCurveNumberByFormula,
} from '../../src/hydrology/index.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

const rain = evenly(0, 800)
const number = fc.double({ min: 1, max: 100, noNaN: true })
const ratio = fc.constantFrom(0.2, 0.05)

describe('laws of storm runoff', () => {
  test('0 ≤ runoff ≤ rain', () =>
    fc.assert(
      fc.property(rain, number, ratio, (p, cn, λ) => {
        const q = stormRunoff_mm(p, cn, λ)
        expect(q).toBeGreaterThanOrEqual(0)
        expect(q).toBeLessThanOrEqual(p)
      }),
    ))

  test('none as long as rain stays within the initial abstraction, some beyond it', () =>
    fc.assert(
      fc.property(rain, number, ratio, (p, cn, λ) => {
        expect(stormRunoff_mm(p, cn, λ) > 0).toBe(p > λ * retention_mm(cn, λ))
      }),
    ))

  test('more rain never gives less', () =>
    fc.assert(
      fc.property(rain, rain, number, ratio, (p, more, cn, λ) => {
        expect(stormRunoff_mm(p + more, cn, λ)).toBeGreaterThanOrEqual(stormRunoff_mm(p, cn, λ) * (1 - 1e-14))
      }),
    ))

  test('a higher curve number never gives less', () =>
    fc.assert(
      fc.property(rain, number, number, ratio, (p, a, b, λ) => {
        const low = stormRunoff_mm(p, Math.min(a, b), λ)
        expect(stormRunoff_mm(p, Math.max(a, b), λ)).toBeGreaterThanOrEqual(low * (1 - 1e-13))
      }),
    ))

  test('rain − runoff never exceeds 1.2 S, and comes near it in a deluge', () => {
    fc.assert(
      fc.property(rain, number, (p, cn) => {
        expect(p - stormRunoff_mm(p, cn)).toBeLessThanOrEqual(1.2 * retention_mm(cn) + 1e-12 * p)
      }),
    )
    expect((1e7 - stormRunoff_mm(1e7, 74)) / retention_mm(74)).toBeCloseTo(1.2, 4)
  })

  test('curve number 100 gives all rain back, exactly', () =>
    fc.assert(
      fc.property(rain, ratio, (p, λ) => {
        expect(stormRunoff_mm(p, 100, λ)).toBe(p)
      }),
    ))

  test('the retention that explains a storm is the one that made it', () =>
    fc.assert(
      fc.property(fc.double({ min: 1, max: 300, noNaN: true }), fc.double({ min: 30, max: 99, noNaN: true }), (p, cn) => {
        const q = stormRunoff_mm(p, cn)
        fc.pre(q > 1e-3)
        expect(curveNumberOfRetention(retentionFromStorm_mm(p, q))).toBeCloseTo(cn, 6)
      }),
    ))

  test('weighted runoff lies between the covers’', () =>
    fc.assert(
      fc.property(rain, number, number, fc.double({ min: 0.01, max: 0.99, noNaN: true }), (p, a, b, share) => {
        const parts = [
          { area_m2: share, curveNumber: a },
          { area_m2: 1 - share, curveNumber: b },
        ]
        const q = weightedRunoff_mm(p, parts)
        const each = [stormRunoff_mm(p, a), stormRunoff_mm(p, b)]
        expect(q).toBeGreaterThanOrEqual(Math.min(...each) * (1 - 1e-12))
        expect(q).toBeLessThanOrEqual(Math.max(...each) * (1 + 1e-12))
      }),
    ))
})

describe('the table of covers', () => {
  test('curve numbers rise from soil group A to D and fall from poor to good, within 30 to 98', () => {
    for (const { cover, curveNumbers: n } of COVER_ROWS) {
      expect([n.A, n.B, n.C, n.D], cover).toEqual([n.A, n.B, n.C, n.D].sort((a, b) => a - b))
      expect(Math.min(n.A), cover).toBeGreaterThanOrEqual(30)
      expect(Math.max(n.D), cover).toBeLessThanOrEqual(98)
    }
    for (const cover of COVERS) {
      const rows = COVER_ROWS.filter(r => r.cover === cover)
      for (const group of ['A', 'B', 'C', 'D'] as const)
        for (let k = 1; k < rows.length; k++) expect(rows[k]!.curveNumbers[group], cover).toBeLessThan(rows[k - 1]!.curveNumbers[group])
    }
  })

  test('USDA TR-55 (1986) Table 2-2c: pasture, fair, soil group C is 79, and says where it stands', () => {
    expect(curveNumber('pasture', 'fair', 'C')).toEqual({
      value: 79,
      unit: '1',
      source: 'USDA TR-55 (1986) Table 2-2c: pasture, fair, soil group C',
      known: 'published',
    })
  })

  test('a cover tabled in one condition takes any', () => {
    expect(curveNumber('meadow', null, 'B').value).toBe(58)
    expect(curveNumber('meadow', 'fair', 'B').value).toBe(58)
    expect(curveNumber('impervious', null, 'A').value).toBe(98)
  })

  test('refusals', () => {
    expect(refusalCode(() => curveNumber('jungle', 'good', 'A'))).toBe('cover/unknown')
    expect(refusalCode(() => curveNumber('pasture', null, 'A'))).toBe('cover/condition-missing')
    expect(refusalCode(() => curveNumber('row-crop-straight', 'fair', 'A'))).toBe('cover/condition-missing')
    expect(refusalCode(() => curveNumber('meadow', null, 'E' as HydrologicSoilGroup))).toBe('cover/soil-group-unknown')
    expect(refusalCode(() => curveNumber('meadow', null, 'toString' as HydrologicSoilGroup))).toBe('cover/soil-group-unknown')
  })
})

describe('limits and refusals', () => {
  test('USDA TR-55 (1986) ch. 2: under half an inch of runoff, and under curve number 40, the method says so', () => {
    expect(runoffLimits(74, 20)).toEqual([])
    expect(runoffLimits(74, 12.6).map(w => w.code)).toEqual(['runoff/small-less-accurate'])
    expect(runoffLimits(39, 20).map(w => w.code)).toEqual(['runoff/curve-number-low'])
    expect(runoffLimits(30, 0).map(w => w.code)).toEqual(['runoff/small-less-accurate', 'runoff/curve-number-low'])
  })

  test('rain that is no depth', () => {
    expect(refusalCode(() => stormRunoff_mm(-1, 74))).toBe('rain/negative-depth')
    expect(refusalCode(() => stormRunoff_mm(Number.NaN, 74))).toBe('rain/not-a-number')
    expect(refusalCode(() => stormRunoff_mm(Infinity, 74))).toBe('rain/not-a-number')
  })

  test('curve numbers that are none', () => {
    for (const cn of [0, -1, 100.1, Number.NaN]) expect(refusalCode(() => stormRunoff_mm(10, cn))).toBe('curve-number/out-of-range')
  })

  test('a ratio for which no conversion is published', () => {
    expect(refusalCode(() => stormRunoff_mm(100, 74, 0.1))).toBe('curve-number/ratio-not-published')
    expect(refusalCode(() => stormRunoff_mm(100, 100, 0))).toBe('curve-number/ratio-not-published')
  })

  test('sealed ground', () => {
    expect(refusalCode(() => unconnectedImperviousCurveNumber(61, 0.3, 0.5))).toBe('curve-number/too-much-impervious')
    expect(refusalCode(() => connectedImperviousCurveNumber(61, 20))).toBe('curve-number/share-out-of-range')
    expect(unconnectedImperviousCurveNumber(61, 0.2, 0)).toBe(connectedImperviousCurveNumber(61, 0.2))
  })

  test('covers without area', () => {
    expect(refusalCode(() => compositeCurveNumber([]))).toBe('curve-number/no-area')
    expect(refusalCode(() => compositeCurveNumber([{ area_m2: -1, curveNumber: 60 }]))).toBe('curve-number/no-area')
  })

  test('a storm that tells nothing', () => {
    expect(refusalCode(() => retentionFromStorm_mm(50, 0))).toBe('runoff/none')
    expect(refusalCode(() => retentionFromStorm_mm(50, 51))).toBe('runoff/exceeds-rain')
  })
})

describe('wetness before the storm', () => {
  test('between whole numbers of the table on a straight line', () => {
    expect(wetnessCurveNumber(74.5, 'I')).toBe(56) // 55 at 74, 57 at 75
    expect(wetnessCurveNumber(98, 'III')).toBe(99)
  })

  test('table and formula differ by 2.45 at most, at curve number 92 on dry ground', () => {
    const gaps = Array.from({ length: 69 }, (_, k) => 30 + k).flatMap(cn =>
      (['I', 'III'] as const).map(wetness => ({
        at: `${cn} ${wetness}`,
        gap: Math.abs(wetnessCurveNumber(cn, wetness) - wetnessCurveNumberByFormula(cn, wetness)),
      })),
    )
    const widest = gaps.reduce((a, b) => (b.gap > a.gap ? b : a))
    expect(widest.at).toBe('92 I')
    expect(widest.gap).toBeCloseTo(2.448, 3)
  })

  test('outside the table is refused, not extended', () => {
    expect(refusalCode(() => wetnessCurveNumber(29.9, 'I'))).toBe('curve-number/outside-table')
    expect(refusalCode(() => wetnessCurveNumber(98.1, 'III'))).toBe('curve-number/outside-table')
  })
})
