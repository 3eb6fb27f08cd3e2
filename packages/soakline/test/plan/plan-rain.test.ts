import { rainDepth_mm, stormRunoff_mm } from 'soakline/hydrology'
import { dailyRainOf, defaultSettings, measuredStormOf, statedStorm } from 'soakline/plan'
import { expect, test } from 'vitest'

const TABLE = {
  rows: [
    { duration_h: 24, chancePerYear: 0.5, depth_mm: 60 },
    { duration_h: 24, chancePerYear: 0.01, depth_mm: 160 },
  ],
}

test('a day that nobody measured is no dry day: null in the plan, NaN in the balance', () => {
  expect(dailyRainOf({ firstDay: '2020-01-01', depths_mm: [0, null, 4.5], source: 'gauge' })).toEqual({
    firstDay: '2020-01-01',
    depths_mm: [0, Number.NaN, 4.5],
    source: 'gauge',
  })
  expect(dailyRainOf(undefined)).toBeNull()
})

test('a measured storm keeps its steps, depths and source', () => {
  expect(measuredStormOf({ step_h: 0.25, depths_mm: [1, 3, 2], source: 'gauge' })).toMatchObject({
    step_h: 0.25,
    depths_mm: [1, 3, 2],
    source: 'gauge',
  })
  expect(measuredStormOf(undefined)).toBeNull()
})

test('lines are ranked by the acceptance storm of the table and its runoff; a storm beyond the table is refused', () => {
  const settings = { ...defaultSettings(), curveNumber: 80, stormDuration_h: 24, acceptanceChance: 0.1 }
  const rain_mm = rainDepth_mm(TABLE, 24, 0.1)
  expect(statedStorm(TABLE, settings)).toEqual({ rain_mm, runoff_mm: stormRunoff_mm(rain_mm, 80), assumed: false })
  expect(() => statedStorm(TABLE, { ...settings, acceptanceChance: 0.001 })).toThrow(
    expect.objectContaining({ code: 'rain/outside-table' }),
  )
})
