import fc from 'fast-check'
import {
  broadCrestCoefficient,
  exitChecks,
  levelForFlow_m,
  SPREADER_RULES,
  sillHead_m,
  sillLength_m,
  spreaderLengths,
  tiltedLip_ratio,
  twoStageLengths,
  type Weir,
  weirFlow_m3s,
  weirsFlow_m3s,
} from 'soakline/earthworks'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

const notch: Weir = { crest_m: 0.3, length_m: 0.5, coefficient: 1.45 }
const sill: Weir = { crest_m: 0.35, length_m: 8, coefficient: 1.45, sideSlope_ratio: 3 }

describe('weirs', () => {
  test('law: nothing up to the crest; more never falls; a tailwater only takes away, and all when it stands as high', () =>
    fc.assert(
      fc.property(evenly(0, 0.8), evenly(0, 0.3), evenly(0, 0.8), (level, more, tail) => {
        expect(weirsFlow_m3s([notch, sill], 0.3)).toBe(0)
        expect(weirsFlow_m3s([notch, sill], level + more)).toBeGreaterThanOrEqual(weirsFlow_m3s([notch, sill], level))
        expect(weirFlow_m3s(sill, level, tail)).toBeLessThanOrEqual(weirFlow_m3s(sill, level))
        expect(weirFlow_m3s(sill, level, level)).toBe(0)
        expect(weirFlow_m3s(sill, level, 0.35)).toBe(weirFlow_m3s(sill, level))
      }),
    ))

  test('law: the level for a flow passes it; the sill for a flow and head passes it', () =>
    fc.assert(
      fc.property(evenly(0.001, 2), evenly(0.03, 0.3), (flow, head) => {
        expect(Math.abs(weirsFlow_m3s([notch, sill], levelForFlow_m([notch, sill], flow)) / flow - 1)).toBeLessThan(1e-9)
        expect(sillHead_m(flow, sillLength_m(flow, head))).toBeCloseTo(head, 12)
      }),
    ))

  test('an opening of 1 m at 0.15 m of head passes 84 L/s (worked by hand)', () =>
    expect(weirFlow_m3s({ crest_m: 0, length_m: 1, coefficient: 1.45 }, 0.15)).toBeCloseTo(0.0842, 4))

  test('the table of coefficients holds between its own heads and breadths only', () => {
    expect(broadCrestCoefficient(0.15, 1)).toBeCloseTo(1.435, 10)
    expect(broadCrestCoefficient(0.05, 1)).toBeNull()
    expect(broadCrestCoefficient(0.15, 5)).toBeNull()
    expect(broadCrestCoefficient(0.15, 0.1)).toBeNull()
  })

  test('refusals', () => {
    expect(refusalCode(() => weirFlow_m3s({ ...sill, coefficient: 3.2 }, 1))).toBe('weir/bad-weir')
    expect(refusalCode(() => weirFlow_m3s({ ...sill, length_m: -1 }, 1))).toBe('weir/bad-weir')
    expect(refusalCode(() => levelForFlow_m([], 1))).toBe('weir/none')
    expect(refusalCode(() => sillLength_m(1, 0))).toBe('weir/bad-flow')
    expect(refusalCode(() => sillHead_m(1, 0))).toBe('weir/bad-flow')
    expect(refusalCode(() => tiltedLip_ratio(0.005, 0.00635))).toBe('weir/bad-flow')
    expect(refusalCode(() => twoStageLengths({ flow: 1, head: 0.1 }, { flow: 1.5, head: 0.4, sillHead: 0.3 }, 1.45))).toBe('weir/bad-flow')
  })
})

describe('level spreaders', () => {
  test('for 0.25 m³/s the published rules ask from 5 to 108 m, all shown, one chosen', () => {
    const lengths = spreaderLengths(0.25, 'north-carolina')
    expect(lengths.map(l => Math.round(l.length_m))).toEqual([27, 35, 108, 5])
    expect(lengths.filter(l => l.chosen).map(l => l.rule)).toEqual(['north-carolina'])
    expect(lengths.find(l => l.rule === 'trca-forest')!.longerThanPublished).toBe(true)
    expect(Object.values(SPREADER_RULES).every(rule => rule.source.length > 10)).toBe(true)
    expect(refusalCode(() => spreaderLengths(-1))).toBe('weir/bad-flow')
  })
})

describe('the slope below a spill', () => {
  test('bare soil fails where grass still bears it; both fail when too much comes over each metre', () => {
    const thin = exitChecks(0.02, 0.08)
    expect(thin.map(c => [c.cover, c.holds])).toEqual([
      ['bare', false],
      ['grass', true],
      ['stone', true],
    ])
    expect(exitChecks(0.2, 0.08).map(c => c.holds)).toEqual([false, false, false])
  })

  test('on slopes where the rule does not use the grass there is no limit, and it does not hold', () => {
    const grass = exitChecks(0.001, 0.2).find(c => c.cover === 'grass')!
    expect(grass.limit).toBeNull()
    expect(grass.holds).toBe(false)
  })

  test('law: less flow per metre, or a gentler slope, never runs faster', () =>
    fc.assert(
      fc.property(evenly(0.001, 0.2), evenly(0.005, 0.5), evenly(1, 3), (flow, slope, times) => {
        const here = exitChecks(flow, slope)
        for (const [k, more] of exitChecks(flow * times, slope).entries())
          expect(more.velocity_ms).toBeGreaterThanOrEqual(here[k]!.velocity_ms * (1 - 1e-12))
        for (const [k, steeper] of exitChecks(flow, Math.min(1, slope * times)).entries())
          expect(steeper.velocity_ms).toBeGreaterThanOrEqual(here[k]!.velocity_ms * (1 - 1e-12))
      }),
    ))
})
