import fc from 'fast-check'
import { type DailyRain, dateOfDay, dayNumber, dayOfDate, rainGaps, type StorageRow, waterBalance, yearsOfWater } from 'soakline/hydrology'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'

fc.configureGlobal({ seed: 1, numRuns: 40 })

const BOX: readonly StorageRow[] = [
  { level_m: 0, volume_m3: 0, soaking_m2: 100 },
  { level_m: 0.3, volume_m3: 30, soaking_m2: 100 },
]
/** Curve number 100: all rain runs off, so a millimetre on 1000 m² is a cubic metre. */
const plan = { curveNumber: 100, catchment_m2: 1000, storage: BOX, intake_mmh: 10 }
const record = (depths_mm: readonly number[], firstDay = '2019-01-01'): DailyRain => ({ firstDay, depths_mm, source: 'test' })
const dry = (days: number): number[] => Array<number>(days).fill(0)

describe('the calendar', () => {
  test('each day has the next number, as the engine’s own calendar has it (1900–2100)', () => {
    expect([dayOfDate('1970-01-01'), dayOfDate('2000-03-01'), dayNumber(1969, 12, 31)]).toEqual([0, 11017, -1])
    for (let day = dayOfDate('1900-01-01'); day <= dayOfDate('2100-12-31'); day += 13) {
      const date = dateOfDay(day)
      expect(new Date(day * 86_400_000).toISOString().slice(0, 10)).toBe(date)
      expect(dayOfDate(date)).toBe(day)
    }
  })
  test('days that are none are refused', () => {
    for (const date of ['2019-02-29', '1900-02-29', '2019-00-01', '2019-04-31', '2019-4-1', 'x'])
      expect(refusalCode(() => dayOfDate(date))).toBe('rain/bad-date')
    expect(dayOfDate('2000-02-29')).toBe(11016)
  })
})

describe('years of water', () => {
  test('by hand: 50 mm on 1000 m² into 30 m³ soaking 1 m³/h', () => {
    const depths = dry(365)
    depths[10] = 50
    depths[200] = 20
    const y = yearsOfWater(record(depths), plan)
    expect(y).toMatchObject({ days: 365, missingDays: 0, rain_mm: 70, spills: 1, spilled_m3: 20, soaked_m3: 50, standing_m3: 0 })
    expect(y.largestSpill).toEqual({ day: '2019-01-11', spilled_m3: 20 })
    // 30 m³ at 1 m³/h, all but its last millimetre, 0.1 m³.
    expect(y.longestWet!.hours).toBeCloseTo(29.9, 9)
    expect(y.longestWet!.from).toBe('2019-01-11')
    expect(y.spillsPerYear).toBeCloseTo(365.25 / 365, 12)
    expect(y.remarks).toEqual([])
    expect(y.byYear).toHaveLength(1)
    expect(y.rainiest).toEqual(y.byYear[0])
    expect(y.byYear[0]).toMatchObject({ year: 2019, days: 365, complete: true, daysSpilling: 1 })
  })

  test('days of spilling in a row are one spill; long standing is said with its limits', () => {
    const depths = dry(400)
    for (const k of [10, 11, 12, 50]) depths[k] = 40
    const y = yearsOfWater(record(depths), { ...plan, intake_mmh: 3 })
    expect([y.spills, y.byYear.map(b => b.daysSpilling)]).toEqual([2, [4, 0]])
    // Full to 30 m³ on the morning of the 13th, two days of 24 h wet before; 29.9 m³ at 0.3 m³/h.
    expect(y.longestWet!.hours).toBeCloseTo(48 + 29.9 / 0.3, 6)
    expect(y.remarks.map(r => r.code)).toEqual(['balance/mosquitoes', 'balance/roots-under-water'])
    expect(y.mosquitoSpellsPerYear).toBeCloseTo((2 * 365.25) / 400, 9)
    expect(y.rainiest!.year).toBe(2019)
  })

  test('over a gap the water stays; the spell ends there and the days are told', () => {
    const depths = dry(400)
    depths[10] = 30
    for (let k = 11; k < 16; k++) depths[k] = Number.NaN
    depths[16] = 30
    const y = yearsOfWater(record(depths), { ...plan, intake_mmh: 0.5 })
    // 30 m³ less 24 h at 0.05 m³/h stood over the gap; the next 30 m³ spill but for what had soaked.
    expect(y.spilled_m3).toBeCloseTo(30 - 1.2, 9)
    expect(y.remarks[0]).toEqual({ code: 'balance/days-missing', details: { days: 5, gaps: 1, longest: 5 } })
    expect(rainGaps(record(depths))).toEqual([{ from: '2019-01-12', to: '2019-01-16', days: 5 }])
    expect(y.byYear[0]).toMatchObject({ days: 360, complete: false })
    expect(y.rainiest).toBeNull()
  })

  const anyRecord = fc.array(
    fc.oneof(
      { weight: 5, arbitrary: fc.constant(0) },
      { weight: 3, arbitrary: evenly(0, 120) },
      { weight: 1, arbitrary: fc.constant(Number.NaN) },
    ),
    { minLength: 600, maxLength: 900, size: 'max' },
  )

  test('law: inflow = spilled + soaked + standing to 1e-9; the years add up; spells are within the wet hours', () =>
    fc.assert(
      fc.property(anyRecord, evenly(0, 30), fc.double({ min: 40, max: 100, noNaN: true }), (depths, f, cn) => {
        const y = yearsOfWater(record(depths, '2018-11-05'), { ...plan, intake_mmh: f, curveNumber: cn })
        expect(Math.abs(y.inflow_m3 - y.spilled_m3 - y.soaked_m3 - y.standing_m3)).toBeLessThanOrEqual(1e-9 * (1 + y.inflow_m3))
        for (const key of ['inflow_m3', 'spilled_m3', 'soaked_m3', 'rain_mm', 'wet_h', 'days'] as const) {
          const sum = y.byYear.reduce((total, year) => total + year[key], 0)
          expect(Math.abs(sum - y[key])).toBeLessThanOrEqual(1e-9 * (1 + y[key]))
        }
        expect(y.days + y.missingDays).toBe(depths.length)
        expect(y.longestWet?.hours ?? 0).toBeLessThanOrEqual(y.wet_h + 1e-6)
        expect(y.spillsPerYear).toBeLessThanOrEqual(y.daysSpillingPerYear)
        expect(y.mosquitoSpellsPerYear).toBeLessThanOrEqual(y.rootSpellsPerYear)
      }),
    ))

  test('law: more intake never spills more; a record without gaps is the daily balance itself', () =>
    fc.assert(
      fc.property(anyRecord, evenly(0, 30), evenly(0, 30), (depths, a, b) => {
        const spilled = (f: number): number => yearsOfWater(record(depths), { ...plan, intake_mmh: f }).spilled_m3
        expect(spilled(Math.max(a, b))).toBeLessThanOrEqual(spilled(Math.min(a, b)) * (1 + 1e-9) + 1e-9)
        const whole = depths.map(depth => (Number.isNaN(depth) ? 0 : depth))
        const y = yearsOfWater(record(whole), { ...plan, intake_mmh: a })
        const balance = waterBalance(BOX, whole, a)
        expect([y.spilled_m3, y.soaked_m3, y.standing_m3]).toEqual([balance.spilled_m3, balance.soaked_m3, balance.standing_m3])
        // The balance goes on counting a spell that its last day leaves open, and so does this.
        expect(y.longestWet?.hours ?? 0).toBeCloseTo(balance.longestWet_h, 6)
      }),
    ))

  test('refusals', () => {
    expect(refusalCode(() => yearsOfWater(record(dry(364)), plan))).toBe('balance/short-record')
    expect(refusalCode(() => yearsOfWater(record([...dry(365), Number.NaN]), plan))).toBe('answered')
    expect(refusalCode(() => yearsOfWater(record([...dry(365), -1]), plan))).toBe('balance/bad-day')
    expect(refusalCode(() => yearsOfWater(record(dry(365)), { ...plan, catchment_m2: 0 }))).toBe('balance/bad-area')
    expect(refusalCode(() => waterBalance(BOX, [0], 1, -1))).toBe('balance/bad-day')
    expect(waterBalance(BOX, [0], 0, 99).standing_m3).toBe(30)
  })
})
