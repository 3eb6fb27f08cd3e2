import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'
import { emptyingTime_h } from '../../src/hydrology/drain-down.js'
import { afterSediment, dailyInflows_m3, type StorageRow, waterBalance } from '../../src/hydrology/water-balance.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

/** A ditch of 100 m, upright sides 1 m apart, soaking through its bed. */
const BOX: readonly StorageRow[] = [
  { level_m: 0, volume_m3: 0, soaking_m2: 100 },
  { level_m: 0.3, volume_m3: 30, soaking_m2: 100 },
]

const storage = fc
  .array(
    fc.record({
      rise: fc.double({ min: 0.01, max: 0.5, noNaN: true }),
      volume: fc.double({ min: 0.1, max: 80, noNaN: true }),
      soaking: fc.oneof(fc.constant(0), fc.constant(100), fc.double({ min: 0.01, max: 400, noNaN: true })),
    }),
    { minLength: 2, maxLength: 6 },
  )
  .map(rows => {
    let [level_m, volume_m3] = [0, 0]
    return rows.map(({ rise, volume, soaking }, k): StorageRow => {
      if (k > 0) [level_m, volume_m3] = [level_m + rise, volume_m3 + volume]
      return { level_m, volume_m3, soaking_m2: soaking }
    })
  })
const inflows = fc.array(fc.oneof(fc.constant(0), fc.constant(0), evenly(0, 200)), {
  minLength: 1,
  maxLength: 60,
})
const intake = fc.oneof(fc.constant(0), fc.double({ min: 0.01, max: 50, noNaN: true }))

describe('daily water balance', () => {
  test('law: inflow = spilled + soaked + what still stands, to 1e-9, over all days and on each', () =>
    fc.assert(
      fc.property(storage, inflows, intake, (rows, days, f) => {
        const w = waterBalance(rows, days, f)
        expect(Math.abs(w.inflow_m3 - w.spilled_m3 - w.soaked_m3 - w.standing_m3)).toBeLessThanOrEqual(1e-9 * (1 + w.inflow_m3))
        let before = 0
        for (const d of w.days) {
          expect(Math.abs(d.inflow_m3 + before - d.spilled_m3 - d.soaked_m3 - d.standing_m3)).toBeLessThanOrEqual(1e-9 * (1 + d.inflow_m3))
          expect(Math.min(d.spilled_m3, d.soaked_m3, d.standing_m3)).toBeGreaterThanOrEqual(0)
          expect(d.standing_m3).toBeLessThanOrEqual(rows.at(-1)!.volume_m3)
          expect(d.wet_h).toBeGreaterThanOrEqual(0)
          expect(d.wet_h).toBeLessThanOrEqual(24 + 1e-9)
          before = d.standing_m3
        }
        expect(w.longestWet_h).toBeLessThanOrEqual(w.wet_h + 1e-9)
      }),
    ))

  test('law: more intake never spills more', () =>
    fc.assert(
      fc.property(storage, inflows, intake, intake, (rows, days, a, b) => {
        const spilled = (f: number) => waterBalance(rows, days, f).spilled_m3
        expect(spilled(Math.max(a, b))).toBeLessThanOrEqual(spilled(Math.min(a, b)) + 1e-9 * (1 + spilled(Math.min(a, b))))
      }),
    ))

  test('oracle: a slow march through each day soaks the same', () =>
    fc.assert(
      fc.property(
        storage,
        fc.double({ min: 1, max: 200, noNaN: true }),
        fc.double({ min: 0.5, max: 20, noNaN: true }),
        (rows, inflow, f) => {
          let volume = Math.min(inflow, rows.at(-1)!.volume_m3)
          const steps = 20_000
          for (let k = 0; k < steps && volume > 0; k++) {
            const at = Math.max(
              1,
              rows.findIndex(r => r.volume_m3 >= volume),
            )
            const [low, high] = [rows[at - 1]!, rows[at]!]
            const soaking =
              low.soaking_m2 + ((volume - low.volume_m3) / (high.volume_m3 - low.volume_m3)) * (high.soaking_m2 - low.soaking_m2)
            volume = Math.max(0, volume - ((f / 1000) * soaking * 24) / steps)
          }
          expect(Math.abs(waterBalance(rows, [inflow], f).standing_m3 - volume)).toBeLessThan(0.02 + 1e-3 * volume)
        },
      ),
      { numRuns: 20 },
    ))

  test('by hand: 50 m³ into a box of 30 at 5 mm/h: 20 spill, 12 soak a day, dry in the third', () => {
    const w = waterBalance(BOX, [50, 0, 0, 0], 5)
    expect(w.days.map(d => d.spilled_m3)).toEqual([20, 0, 0, 0])
    expect(w.days.map(d => d.soaked_m3)).toEqual([12, 12, 6, 0])
    expect(w.days.map(d => d.deepest_m)[0]).toBeCloseTo(0.3, 12)
    expect(w).toMatchObject({ daysSpilling: 1, daysWithInflow: 1, standing_m3: 0, daysSpillingPerYear: null })
    expect(w.soaked_ratio).toBeCloseTo(0.6, 12)
    // All but the last millimetre: 0.299 m at 5 mm/h.
    expect(w.longestWet_h).toBeCloseTo(59.8, 9)
    expect(w.wet_h).toBeCloseTo(59.8, 9)
  })

  test('hours of standing agree with the time to empty of the same ditch', () => {
    const rows: StorageRow[] = [
      { level_m: 0, volume_m3: 0, soaking_m2: 100 },
      { level_m: 0.001, volume_m3: 0.1, soaking_m2: 101 },
      { level_m: 0.2, volume_m3: 25, soaking_m2: 170 },
    ]
    const w = waterBalance(rows, [25, 0, 0, 0, 0, 0], 3)
    // Volume straight over the level: its surface is the same all the way.
    const levels = rows.slice(1).map(r => ({ level_m: r.level_m - 0.001, surface_m2: 24.9 / 0.199, soaking_m2: r.soaking_m2 }))
    expect(w.longestWet_h).toBeCloseTo(emptyingTime_h(levels, 3), 9)
  })

  test('two showers that overlap make one long standing, two apart do not', () => {
    expect(waterBalance(BOX, [20, 12, 0, 0], 5).longestWet_h).toBeCloseTo(63.8, 9)
    expect(waterBalance(BOX, [6, 0, 6, 0], 5).longestWet_h).toBeCloseTo(11.8, 9)
  })

  test('a bed that takes nothing stands for ever; a year and more gives days of spilling a year', () => {
    const w = waterBalance(BOX, Array<number>(730).fill(1), 0)
    expect(w.longestWet_h).toBe(730 * 24)
    expect(w.soaked_m3).toBe(0)
    expect(w.daysSpilling).toBe(700)
    expect(w.daysSpillingPerYear).toBeCloseTo(350.24, 2)
  })

  test('a share kept for sediment spills that share sooner', () => {
    const silted = afterSediment(BOX, 0.2)
    expect(silted.map(r => r.volume_m3)).toEqual([0, 24])
    expect(waterBalance(silted, [50], 5).spilled_m3).toBe(26)
    expect(afterSediment(BOX)[1]!.volume_m3).toBeCloseTo(25.5, 12)
    expect(refusalCode(() => afterSediment(BOX, 1))).toBe('balance/bad-share')
  })

  test('inflow of a day from its rain: 100 mm on curve number 80 over 1 ha is 505 m³ (USDA TR-55 eq. 2-3)', () => {
    expect(dailyInflows_m3([0, 5, 100], 80, 10_000).map(Math.round)).toEqual([0, 0, 505])
  })

  test('refusals: gaps in the record, tables that do not rise', () => {
    expect(refusalCode(() => waterBalance(BOX, [], 5))).toBe('balance/no-days')
    expect(refusalCode(() => waterBalance(BOX, [1, Number.NaN], 5))).toBe('balance/bad-day')
    expect(refusalCode(() => waterBalance(BOX, [-1], 5))).toBe('balance/bad-day')
    expect(refusalCode(() => waterBalance(BOX, [1], -5))).toBe('soak/bad-intake')
    expect(refusalCode(() => waterBalance(BOX.slice(1), [1], 5))).toBe('balance/bad-storage')
    expect(refusalCode(() => waterBalance([BOX[0]!, BOX[1]!, BOX[1]!], [1], 5))).toBe('balance/bad-storage')
    expect(refusalCode(() => dailyInflows_m3([1, Number.NaN], 80, 100))).toBe('balance/bad-day')
    expect(refusalCode(() => dailyInflows_m3([1], 80, 0))).toBe('balance/bad-area')
  })
})
