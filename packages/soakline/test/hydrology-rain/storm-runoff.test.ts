import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'
import {
  GREEN_AMPT,
  greenAmptRunoff,
  greenAmptSoil,
  pondedSoak_mm,
  ponding,
  soakCapacity_mmh,
  TEXTURES,
  type Texture,
} from '../../src/hydrology/green-ampt.js'
import { dividedHyetograph, measuredHyetograph, totalRain_mm } from '../../src/hydrology/hyetograph.js'
import { curveNumberSpread, runoffSpread, stormRunoff_mm } from '../../src/hydrology/index.js'
import { logShortfall, meanReciprocal } from '../../src/hydrology/log-shortfall.js'
import { power } from '../../src/hydrology/power.js'
import { curveNumberRunoff, totalRunoff_mm } from '../../src/hydrology/storm-runoff.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

const rain = fc
  .array(fc.oneof(fc.constant(0), evenly(0, 60)), { minLength: 1, maxLength: 40 })
  .map(depths => measuredHyetograph(0.25, depths, 'seeded'))
const curveNumber = fc.double({ min: 30, max: 100, noNaN: true })
const soil = fc.record({
  conductivity_mmh: fc.double({ min: 0.1, max: 120, noNaN: true }),
  suctionDeficit_mm: fc.oneof(fc.constant(0), fc.double({ min: 0.01, max: 300, noNaN: true })),
})

describe('runoff within a storm by curve number', () => {
  test('law: sums to the runoff of the whole storm, and no step runs off more than it rains', () =>
    fc.assert(
      fc.property(rain, curveNumber, (storm, cn) => {
        const runoff = curveNumberRunoff(storm, cn)
        expect(totalRunoff_mm(runoff)).toBeCloseTo(stormRunoff_mm(totalRain_mm(storm), cn), 9)
        for (const [k, depth] of runoff.depths_mm.entries()) {
          expect(depth).toBeGreaterThanOrEqual(0)
          expect(depth).toBeLessThanOrEqual(storm.depths_mm[k]! + 1e-9)
        }
      }),
    ))

  test('law: it learns no shorter bursts than its rain', () => {
    expect(curveNumberRunoff(measuredHyetograph(1, [80], 'gauge'), 80).shortestBurst_h).toBe(1)
  })
})

describe('spread of the curve number', () => {
  test('law: least ≤ expected ≤ most, and all of them lie between', () =>
    fc.assert(
      fc.property(evenly(0, 300), fc.double({ min: 3, max: 100, noNaN: true }), (rain_mm, cn) => {
        const s = runoffSpread(rain_mm, cn)
        for (const q of [s.expected_mm, s.fiveLower_mm, s.fiveHigher_mm, s.dry_mm, s.wet_mm].filter(v => v !== null)) {
          expect(q).toBeGreaterThanOrEqual(s.least_mm)
          expect(q).toBeLessThanOrEqual(s.most_mm)
        }
      }),
    ))

  test('NEH Part 630, ch. 10, Examples 10-1 and 10-2: 4.3 in on 74 runs off 0.65 in dry, 1.82 average, 3.01 wet', () => {
    const s = runoffSpread(4.3 * 25.4, 74)
    expect(s.dry_mm! / 25.4).toBeCloseTo(0.65, 2)
    expect(s.expected_mm / 25.4).toBeCloseTo(1.82, 2)
    expect(s.wet_mm! / 25.4).toBeCloseTo(3.01, 2)
  })

  test('where the wetness table does not reach, dry and wet are not known', () => {
    expect(runoffSpread(100, 29.9)).toMatchObject({ dry_mm: null, wet_mm: null })
    expect(runoffSpread(100, 99)).toMatchObject({ dry_mm: null, wet_mm: null, most_mm: 100 })
    expect(runoffSpread(100, 4).fiveLower_mm).toBe(0)
    expect(curveNumberSpread(74)).toEqual({ expected: 74, fiveLower: 69, fiveHigher: 79, dry: 55, wet: 88 })
    expect(curveNumberSpread(0.5).fiveLower).toBe(0.5)
    expect(refusalCode(() => curveNumberSpread(0))).toBe('curve-number/out-of-range')
  })
})

describe('Green–Ampt', () => {
  const time = fc.double({ min: 1e-6, max: 100, noNaN: true })

  test('law: the depth that soaks in solves the equation', () =>
    fc.assert(
      fc.property(soil, time, evenly(0, 200), (s, t, before) => {
        const F = pondedSoak_mm(s, t, before)
        const S = s.suctionDeficit_mm
        const left = S === 0 ? F - before : F - before - S * Math.log((S + F) / (S + before))
        expect(Math.abs(left - s.conductivity_mmh * t)).toBeLessThan(1e-9 * (1 + F))
      }),
    ))

  test('law: soaks more than conductivity × time while the soil draws, and exactly that when it is wet through', () =>
    fc.assert(
      fc.property(soil, time, (s, t) => {
        const F = pondedSoak_mm(s, t)
        if (s.suctionDeficit_mm === 0) expect(F).toBe(s.conductivity_mmh * t)
        else expect(F).toBeGreaterThan(s.conductivity_mmh * t)
      }),
    ))

  test('law: soaking for two times one after the other is soaking for their sum', () =>
    fc.assert(
      fc.property(soil, time, time, (s, a, b) => {
        const once = pondedSoak_mm(s, a + b)
        expect(Math.abs(pondedSoak_mm(s, b, pondedSoak_mm(s, a)) - once)).toBeLessThan(1e-9 * (1 + once))
      }),
    ))

  test('law: the rate is the slope of the depth, and comes down on the conductivity from above', () =>
    fc.assert(
      fc.property(soil, fc.double({ min: 0.1, max: 50, noNaN: true }), (s, t) => {
        const dt = 1e-4 * t
        const slope = (pondedSoak_mm(s, t + dt) - pondedSoak_mm(s, t - dt)) / (2 * dt)
        const rate = soakCapacity_mmh(s, pondedSoak_mm(s, t))
        expect(slope / rate).toBeCloseTo(1, 5)
        expect(rate).toBeGreaterThanOrEqual(s.conductivity_mmh)
        expect(soakCapacity_mmh(s, 1e9) / s.conductivity_mmh).toBeCloseTo(1, 5)
      }),
    ))

  test('law: water never stands while it rains less than the conductivity', () =>
    fc.assert(
      fc.property(soil, evenly(0, 1), (s, share) => {
        expect(ponding(s, share * s.conductivity_mmh)).toBeNull()
        expect(totalRunoff_mm(greenAmptRunoff(measuredHyetograph(2, [2 * share * s.conductivity_mmh, 0], ''), s))).toBe(0)
      }),
    ))

  test('law: no step runs off more than it rains, and cutting the steps finer changes nothing', () =>
    fc.assert(
      fc.property(rain, soil, fc.integer({ min: 2, max: 5 }), (storm, s, parts) => {
        const runoff = greenAmptRunoff(storm, s)
        for (const [k, depth] of runoff.depths_mm.entries()) {
          expect(depth).toBeGreaterThanOrEqual(0)
          expect(depth).toBeLessThanOrEqual(storm.depths_mm[k]!)
        }
        expect(totalRunoff_mm(greenAmptRunoff(dividedHyetograph(storm, parts), s))).toBeCloseTo(totalRunoff_mm(runoff), 7)
      }),
    ))

  test('law: a wetter soil never runs off less', () =>
    fc.assert(
      fc.property(rain, fc.constantFrom(...TEXTURES), evenly(0, 1), evenly(0, 1), (storm, texture, a, b) => {
        const runoff = (saturation: number) => totalRunoff_mm(greenAmptRunoff(storm, greenAmptSoil(texture, saturation)))
        expect(runoff(Math.max(a, b))).toBeGreaterThanOrEqual(runoff(Math.min(a, b)) - 1e-9)
      }),
    ))

  test('oracle: a slow march in small steps gives the same runoff from a storm with a lull', () => {
    const s = greenAmptSoil('silt-loam', 0.4)
    const storm = measuredHyetograph(0.5, [4, 20, 2, 0, 30, 6], 'by hand')
    let F = 1e-9
    let off = 0
    const dt = 0.5 / 20_000
    for (const depth of storm.depths_mm)
      for (let k = 0; k < 20_000; k++) {
        const i = depth / 0.5
        const takes = Math.min(i, s.conductivity_mmh * (1 + s.suctionDeficit_mm / F))
        F += takes * dt
        off += (i - takes) * dt
      }
    expect(totalRunoff_mm(greenAmptRunoff(storm, s))).toBeCloseTo(off, 3)
  })

  test('loam is slower than silt loam: so the table has it (Rawls, Brakensiek & Miller, 1983)', () => {
    const k = (texture: Texture) => GREEN_AMPT.find(r => r.texture === texture)!.conductivity_mmh
    expect(k('loam')).toBeLessThan(k('silt-loam'))
  })

  test('refusals', () => {
    expect(refusalCode(() => greenAmptSoil('silt' as Texture, 0.5))).toBe('soil/unknown-texture')
    expect(refusalCode(() => greenAmptSoil('loam', 1.1))).toBe('soil/bad-saturation')
    expect(refusalCode(() => pondedSoak_mm({ conductivity_mmh: 0, suctionDeficit_mm: 1 }, 1))).toBe('soil/bad-parameters')
    expect(refusalCode(() => pondedSoak_mm(greenAmptSoil('loam', 0.5), -1))).toBe('soil/bad-time')
    expect(refusalCode(() => soakCapacity_mmh(greenAmptSoil('loam', 0.5), Number.NaN))).toBe('soil/bad-time')
    expect(soakCapacity_mmh(greenAmptSoil('loam', 0.5), 0)).toBe(Infinity)
  })
})

describe('powers and logarithms of our own', () => {
  test('oracle: powers agree with the engine', () =>
    fc.assert(
      fc.property(fc.double({ min: 1e-4, max: 1e5, noNaN: true }), evenly(-2, 2), (x, k) => {
        expect(Math.abs(power(x, k) / x ** k - 1)).toBeLessThan(2e-14)
      }),
    ))

  test('1 to any power is 1, 0 to a positive power 0', () => {
    expect(power(1, 0.77)).toBe(1)
    expect(power(0, 0.8)).toBe(0)
    expect(power(-1, 0.5)).toBeNaN()
  })

  test('oracle: y − ln(1 + y) keeps its digits near 0 and agrees with the engine farther off', () =>
    fc.assert(
      fc.property(evenly(-12, 4), fc.boolean(), (decades, negative) => {
        const y = negative ? -(10 ** Math.min(decades, -0.1)) : 10 ** decades
        const near = Math.abs(y) < 1e-3 ? (y * y) / 2 - y ** 3 / 3 + y ** 4 / 4 - y ** 5 / 5 : y - Math.log1p(y)
        expect(Math.abs(logShortfall(y) / near - 1)).toBeLessThan(Math.abs(y) < 1e-3 || y > 0.1 || y < -0.1 ? 1e-13 : 1e-10)
      }),
    ))

  test('oracle: ln(1 + y)/y near 0 and far off', () => {
    expect(meanReciprocal(0)).toBe(1)
    for (const y of [-0.999999, -0.5, -1e-9, 1e-12, 1e-6, 0.3, 1, 7, 1e6, 1e300])
      expect(meanReciprocal(y) / (Math.log1p(y) / y)).toBeCloseTo(1, 12)
  })
})
