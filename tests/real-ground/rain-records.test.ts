import { existsSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { readDailyRain, readPrecipitationFrequency } from '@soakline/io'
import { checkRainTable, dayOfDate, rainDepth_mm, type StorageRow, yearsOfWater } from 'soakline/hydrology'
import { describe, expect, test } from 'vitest'

/** Real records; not part of the project. */
const SHARED = fileURLToPath(new URL('../../../shared/data/', import.meta.url))
const GULLY = join(SHARED, 'gully_1m/extras/rain_events_2004_2016.csv')
const ATLAS = join(SHARED, 'rain/atlas14_fort_myers.csv')

/** 100 m of ditch with a bed of 1 m and sides 1:1, 0.3 m deep, soaking through its bed. */
const DITCH: readonly StorageRow[] = [0, 0.1, 0.2, 0.3].map(level_m => ({
  level_m,
  volume_m3: 100 * level_m * (1 + level_m),
  soaking_m2: 100,
}))

describe.skipIf(!existsSync(GULLY))('hourly rain of 2004–2016, hours with rain alone (skipped where ../shared is absent)', () => {
  const text = existsSync(GULLY) ? readFileSync(GULLY, 'utf8') : ''

  test('summed to days it holds what a plain sum by date holds', () => {
    const { rain, gaps } = readDailyRain(text, { unit: 'mm', missing: 'dry' })
    const byDate = new Map<string, number>()
    for (const line of text.trim().split('\n').slice(1)) {
      const [time, depth] = line.split(',') as [string, string]
      byDate.set(time.slice(0, 10), (byDate.get(time.slice(0, 10)) ?? 0) + Number(depth))
    }
    const first = dayOfDate(rain.firstDay)
    expect([rain.firstDay, gaps]).toEqual(['2004-01-05', []])
    expect(rain.depths_mm.filter(depth => depth > 0).length).toBe(byDate.size)
    for (const [date, depth] of byDate) expect(rain.depths_mm[dayOfDate(date) - first]).toBeCloseTo(depth, 9)
  })

  test('taken for what it is not, its other hours are gaps, and it is too short', () => {
    expect(() => readDailyRain(text, { unit: 'mm' })).toThrow(/days without a row were dry/)
  })

  test('through a ditch: no water is lost in twelve years', () => {
    const { rain } = readDailyRain(text, { unit: 'mm', missing: 'dry' })
    const y = yearsOfWater(rain, { curveNumber: 80, catchment_m2: 5000, storage: DITCH, intake_mmh: 6.3 })
    expect(Math.abs(y.inflow_m3 - y.spilled_m3 - y.soaked_m3 - y.standing_m3)).toBeLessThan(1e-9 * y.inflow_m3)
    expect(y.spillsPerYear).toBeGreaterThan(0)
    expect(y.rainiest!.rain_mm).toBe(Math.max(...y.byYear.filter(b => b.complete).map(b => b.rain_mm)))
  })
})

test('four years of daily rain (NOAA, in vega-datasets): every day is there, and no water is lost', () => {
  const folder = dirname(createRequire(import.meta.url).resolve('vega-datasets'))
  const { rain, gaps, warnings } = readDailyRain(readFileSync(join(folder, '../data/seattle-weather.csv'), 'utf8'), { unit: 'mm' })
  expect([rain.firstDay, rain.depths_mm.length, gaps]).toEqual(['2012-01-01', 1461, []])
  expect(warnings.map(w => w.code)).toEqual(['rain-record/columns-left-out'])
  const y = yearsOfWater(rain, { curveNumber: 85, catchment_m2: 5000, storage: DITCH, intake_mmh: 2 })
  expect(y.byYear.map(b => [b.year, b.complete])).toEqual([2012, 2013, 2014, 2015].map(year => [year, true]))
  expect(Math.abs(y.inflow_m3 - y.spilled_m3 - y.soaked_m3 - y.standing_m3)).toBeLessThan(1e-9 * y.inflow_m3)
  expect(y.longestWet!.hours).toBeGreaterThan(72)
  expect(y.remarks.map(r => r.code)).toContain('balance/mosquitoes')
})

test.skipIf(!existsSync(ATLAS))('a whole file of point precipitation frequencies (skipped where ../shared is absent)', () => {
  const { rows, series, latitude, longitude } = readPrecipitationFrequency(readFileSync(ATLAS, 'utf8'))
  expect([rows.length, series, latitude, longitude]).toEqual([190, 'partial-duration', 26.6, -81.9])
  checkRainTable({ rows })
  // 10 years among all large storms, 24 h: 7.28 in; 5 min, 100 years: 1.15 in.
  expect(
    rainDepth_mm({ rows }, 24, rows.find(r => r.duration_h === 24 && Math.abs(r.depth_mm - 7.28 * 25.4) < 1e-9)!.chancePerYear),
  ).toBeCloseTo(184.912, 9)
  expect(rows.some(r => Math.abs(r.duration_h - 1 / 12) < 1e-12 && Math.abs(r.depth_mm - 1.15 * 25.4) < 1e-9)).toBe(true)
})
