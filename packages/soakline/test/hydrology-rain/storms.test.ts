import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'
import { alternatingBlockStorm, arrangedBlocks, depthIncrements_mm } from '../../src/hydrology/alternating-block.js'
import { chanceOfInterval, chanceOverYears } from '../../src/hydrology/chance.js'
import {
  dividedHyetograph,
  knowsPeaks,
  measuredHyetograph,
  rainSoFar_mm,
  totalRain_mm,
  upliftedHyetograph,
} from '../../src/hydrology/hyetograph.js'
import { formulaIntensity_mmh, formulaRows } from '../../src/hydrology/intensity-formula.js'
import { type RainTable, rainDepth_mm, shortestDuration_h } from '../../src/hydrology/rainfall.js'
import { SCS_DISTRIBUTIONS, SCS_TYPES, scsFallen_ratio, scsStorm } from '../../src/hydrology/scs-storm.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

// 26.6 N 81.9 W, inches, 1 in 25 each year, 5 minutes to 24 hours. Source: NOAA Atlas 14 Volume 9 Version 2 point output.
const FLORIDA: readonly (readonly [hours: number, inches: number])[] = [
  [5 / 60, 0.95],
  [10 / 60, 1.39],
  [0.25, 1.7],
  [0.5, 2.74],
  [1, 3.62],
  [2, 4.49],
  [3, 4.99],
  [6, 6.16],
  [12, 7.79],
  [24, 9.05],
]
const florida: RainTable = { rows: FLORIDA.map(([duration_h, inches]) => ({ duration_h, chancePerYear: 0.04, depth_mm: inches * 25.4 })) }

/** A concave table of hourly depths: each hour brings less than the one before. */
const concave = fc
  .array(fc.double({ min: 0.1, max: 60, noNaN: true }), { minLength: 1, maxLength: 24 })
  .map(blocks => [...blocks].sort((a, b) => b - a))

describe('alternating blocks', () => {
  test('law: every block is used once, the heaviest at the asked place', () =>
    fc.assert(
      fc.property(concave, evenly(0, 1), (blocks, place) => {
        const arranged = arrangedBlocks(blocks, place)
        expect([...arranged].sort((a, b) => b - a)).toEqual(blocks)
        expect(arranged[Math.max(0, Math.ceil(blocks.length * place) - 1)]).toBe(blocks[0])
      }),
    ))

  test('law: for every k some run of k blocks holds the k heaviest, so each duration of the table is in the storm', () =>
    fc.assert(
      fc.property(concave, evenly(0, 1), (blocks, place) => {
        const soFar = [0, ...rainSoFar_mm(measuredHyetograph(1, arrangedBlocks(blocks, place), ''))]
        let heaviest = 0
        for (let k = 1; k <= blocks.length; k++) {
          heaviest += blocks[k - 1]!
          const most = Math.max(...soFar.slice(k).map((sum, j) => sum - soFar[j]!))
          expect(most).toBeCloseTo(heaviest, 9)
        }
      }),
    ))

  test('law: the blocks sum to the depth of the whole duration, and hold that of 5 and 15 minutes and 1 hour (NOAA Atlas 14, Volume 9)', () => {
    const storm = alternatingBlockStorm(florida, 0.04, 24, 5 / 60)
    expect(storm.depths_mm).toHaveLength(288)
    expect(totalRain_mm(storm)).toBeCloseTo(9.05 * 25.4, 9)
    expect(Math.max(...storm.depths_mm)).toBe(0.95 * 25.4)
    const soFar = [0, ...rainSoFar_mm(storm)]
    for (const [steps, inches] of [
      [3, 1.7],
      [12, 3.62],
    ] as const)
      expect(Math.max(...soFar.slice(steps).map((sum, k) => sum - soFar[k]!))).toBeGreaterThanOrEqual(inches * 25.4 - 1e-9)
    expect(knowsPeaks(storm)).toBe(true)
  })

  test('hourly blocks from a table with short bursts still know no peak; nor does a table without them', () => {
    expect(knowsPeaks(alternatingBlockStorm(florida, 0.04, 6, 1))).toBe(false)
    const hourly: RainTable = { rows: florida.rows.filter(r => r.duration_h >= 1) }
    expect(alternatingBlockStorm(hourly, 0.04, 6, 1).shortestBurst_h).toBe(1)
    expect(refusalCode(() => alternatingBlockStorm(hourly, 0.04, 6, 0.25))).toBe('rain/outside-table')
  })

  test('refusals', () => {
    expect(refusalCode(() => alternatingBlockStorm(florida, 0.04, 6, 0.7))).toBe('rain/bad-step')
    expect(refusalCode(() => alternatingBlockStorm(florida, 0.04, 6, 0))).toBe('rain/bad-step')
    expect(refusalCode(() => alternatingBlockStorm(florida, 0.1, 6, 1))).toBe('rain/outside-table')
    expect(refusalCode(() => arrangedBlocks([1, 2], 1.1))).toBe('rain/bad-peak-place')
    expect(refusalCode(() => depthIncrements_mm([10, 9]))).toBe('rain/not-monotone')
  })
})

describe('national 24-hour storms', () => {
  test('each distribution begins at 0, never falls, ends at 1, and has an ordinate for each step', () => {
    for (const type of SCS_TYPES) {
      const { fallen, step_h } = SCS_DISTRIBUTIONS[type]
      expect(fallen).toHaveLength(Math.round(24 / step_h) + 1)
      expect([fallen[0], fallen.at(-1)]).toEqual([0, 10_000])
      for (let k = 1; k < fallen.length; k++) expect(fallen[k]!, `${type} ${k}`).toBeGreaterThan(fallen[k - 1]!)
    }
  })

  test('type III is antisymmetric about noon within a thousandth', () => {
    const { fallen } = SCS_DISTRIBUTIONS.III
    for (let k = 0; k <= 240; k++) expect(Math.abs(fallen[k]! + fallen[240 - k]! - 10_000), `${k}`).toBeLessThanOrEqual(10)
  })

  test('type II in its worst tenth of an hour brings 0.1371 of the day: half hours would hide two thirds of that rate', () => {
    expect(Math.max(...scsStorm('II', 1, 0.1).depths_mm)).toBeCloseTo(0.1371, 12)
    expect(Math.max(...scsStorm('II', 1, 0.5).depths_mm) / 5).toBeCloseTo(0.076, 12)
  })

  test('law: sums to the depth in every step that divides the day, and never knows a peak', () => {
    for (const type of SCS_TYPES)
      for (const step_h of [0.5, 0.75, 1, 24]) {
        const storm = scsStorm(type, 120, step_h)
        expect(totalRain_mm(storm)).toBeCloseTo(120, 9)
        expect(Math.min(...storm.depths_mm)).toBeGreaterThanOrEqual(0)
        expect(knowsPeaks(storm)).toBe(false)
      }
  })

  test('refusals: finer than the table, not dividing the day, outside it', () => {
    expect(refusalCode(() => scsStorm('II', 100, 0.05))).toBe('rain/bad-step')
    expect(refusalCode(() => scsStorm('IA', 100, 0.1))).toBe('rain/bad-step')
    expect(refusalCode(() => scsStorm('II', 100, 0.7))).toBe('rain/bad-step')
    expect(refusalCode(() => scsStorm('II', 0, 1))).toBe('rain/negative-depth')
    expect(refusalCode(() => scsFallen_ratio('II', 24.1))).toBe('rain/outside-storm')
  })
})

describe('measured storms, uplift, shorter steps', () => {
  const rains = fc.array(evenly(0, 80), { minLength: 1, maxLength: 40 })

  test('law: uplift multiplies every step, and dividing keeps the depth', () =>
    fc.assert(
      fc.property(rains, fc.double({ min: 0.5, max: 2, noNaN: true }), fc.integer({ min: 1, max: 12 }), (depths, factor, parts) => {
        const rain = measuredHyetograph(1, depths, 'gauge')
        expect(upliftedHyetograph(rain, factor).depths_mm).toEqual(depths.map(d => d * factor))
        const finer = dividedHyetograph(rain, parts)
        expect(finer.depths_mm).toHaveLength(depths.length * parts)
        expect(totalRain_mm(finer)).toBeCloseTo(totalRain_mm(rain), 9)
        expect(finer.shortestBurst_h).toBe(1)
      }),
    ))

  test('a gauge read every five minutes knows peaks, one read every hour does not', () => {
    expect(knowsPeaks(measuredHyetograph(5 / 60, [1], 'gauge'))).toBe(true)
    expect(knowsPeaks(measuredHyetograph(0.25, [1], 'gauge'))).toBe(true)
    expect(knowsPeaks(measuredHyetograph(1, [1], 'gauge'))).toBe(false)
  })

  test('refusals', () => {
    expect(refusalCode(() => measuredHyetograph(0, [1], ''))).toBe('rain/bad-step')
    expect(refusalCode(() => measuredHyetograph(1, [], ''))).toBe('rain/no-steps')
    expect(refusalCode(() => measuredHyetograph(1, [1, Number.NaN], ''))).toBe('rain/negative-depth')
    expect(refusalCode(() => measuredHyetograph(1, [-1], ''))).toBe('rain/negative-depth')
    expect(refusalCode(() => upliftedHyetograph(measuredHyetograph(1, [1], ''), 0))).toBe('rain/bad-uplift')
    expect(refusalCode(() => dividedHyetograph(measuredHyetograph(1, [1], ''), 1.5))).toBe('rain/bad-step')
  })
})

describe('the shortest burst of a table', () => {
  const ragged: RainTable = {
    rows: [...florida.rows, { duration_h: 1, chancePerYear: 0.01, depth_mm: 120 }, { duration_h: 24, chancePerYear: 0.01, depth_mm: 300 }],
  }

  test('is asked for the chance that is meant: a rarer storm may have no short rows', () => {
    expect(shortestDuration_h(ragged)).toBe(5 / 60)
    expect(shortestDuration_h(ragged, 0.04)).toBe(5 / 60)
    expect(shortestDuration_h(ragged, 0.01)).toBe(1)
    expect(shortestDuration_h(ragged, 0.02)).toBe(1)
    expect(refusalCode(() => shortestDuration_h(ragged, 0.5))).toBe('rain/outside-table')
  })

  test('and the storm made for that chance knows no peak', () => {
    expect(knowsPeaks(alternatingBlockStorm(ragged, 0.02, 6, 1))).toBe(false)
  })
})

describe('chances', () => {
  test('law: more years never give less, and one year gives the chance', () =>
    fc.assert(
      fc.property(evenly(0, 1), fc.integer({ min: 0, max: 200 }), (p, years) => {
        expect(chanceOverYears(p, years + 1)).toBeGreaterThanOrEqual(chanceOverYears(p, years) - 1e-15)
        expect(chanceOverYears(p, 1)).toBeCloseTo(p, 12)
      }),
    ))

  test('Langbein (1949): the two kinds of table differ by 0.11 at one in 2 years and by a part in two hundred at one in 100', () => {
    expect(chanceOfInterval(2, 'annual-maximum')).toBe(0.5)
    expect(chanceOfInterval(2, 'partial-duration')).toBeCloseTo(0.3935, 4)
    expect(chanceOfInterval(100, 'partial-duration')).toBeCloseTo(0.00995, 5)
  })

  test('refusals', () => {
    expect(refusalCode(() => chanceOfInterval(0, 'partial-duration'))).toBe('rain/bad-interval')
    expect(refusalCode(() => chanceOfInterval(0.5, 'annual-maximum'))).toBe('rain/bad-interval')
    expect(refusalCode(() => chanceOverYears(1.5, 3))).toBe('rain/bad-chance')
    expect(refusalCode(() => chanceOverYears(0.1, -1))).toBe('rain/bad-years')
  })
})

describe('fitted formulas', () => {
  const formula = { a: 1200, b_min: 10, n: 0.85 }

  test('rows of a formula serve as a rain table', () => {
    const rows = formulaRows(formula, 0.1, [5, 10, 30, 60])
    expect(rainDepth_mm({ rows }, 1, 0.1)).toBeCloseTo(formulaIntensity_mmh(formula, 60), 9)
    expect(rows[0]).toMatchObject({ duration_h: 5 / 60, chancePerYear: 0.1 })
  })

  test('refusals', () => {
    expect(refusalCode(() => formulaIntensity_mmh({ ...formula, a: 0 }, 10))).toBe('rain/bad-formula')
    expect(refusalCode(() => formulaIntensity_mmh({ ...formula, b_min: -1 }, 10))).toBe('rain/bad-formula')
    expect(refusalCode(() => formulaIntensity_mmh(formula, 0))).toBe('rain/bad-duration')
  })
})
