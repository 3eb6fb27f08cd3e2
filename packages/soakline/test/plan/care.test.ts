import { storageAt_m3 } from 'soakline/earthworks'
import type { InputError } from 'soakline/foundation'
import { stormRunoff_mm } from 'soakline/hydrology'
import {
  cleanAt_m,
  compareStorm,
  INSPECTION_LIST,
  INSPECTION_TIMES,
  type LoggedStorm,
  stormCard,
  stormLogFrom,
  stormPredicted,
} from 'soakline/plan'
import { expect, test } from 'vitest'
import { ditchPool } from '../../src/plan/line-ditch.js'
import { laidOn, SLOPE, STRAIGHT } from './laid-on.js'

const { laid, answer } = laidOn(SLOPE, STRAIGHT, { spillChainage_m: 40, curveNumber: 80 })
const storm = (rest: Partial<LoggedStorm>): LoggedStorm => ({
  date: '2026-03-31',
  rain_mm: 30,
  highestWater_m: null,
  spilled: null,
  seen: '',
  photos: [],
  ...rest,
})

test('the storm card: where to open it, its levels, and the user’s own words', () => {
  const card = stormCard(laid, answer, 'Ring the house below')
  expect(card.openAt).toEqual({ chainage_m: 40, at: [100, 80] })
  expect(card.sill_m).toBeCloseTo(answer.spillway!.sillElevation_m, 9)
  expect(card.lowestCrest_m).toBeCloseTo(answer.storage!.crestElevation_m, 3)
  expect(card.sillToCrest_m).toBeCloseTo(0.25, 3)
  expect(card.holds_m3).toBeCloseTo(answer.storage!.toSill_m3, 9)
  expect(card.ring).toBe('Ring the house below')
  expect(card.doNot).toContain('stand-on-berm')
})

test('every time of inspection has something to look at, and nothing is listed twice', () => {
  for (const time of INSPECTION_TIMES) expect(INSPECTION_LIST.some(item => (item.when as readonly string[]).includes(time))).toBe(true)
  expect(new Set(INSPECTION_LIST.map(item => item.code)).size).toBe(INSPECTION_LIST.length)
})

test('sediment is cleaned where a quarter of the store is gone', () => {
  const pool = ditchPool(laid.ditch, 0)
  expect(storageAt_m3(pool, cleanAt_m(laid)) / storageAt_m3(pool, laid.ditch.spillLevel_m)).toBeCloseTo(0.25, 6)
})

test('predicted: runoff by the plan’s curve number, water by the ditch’s store, and never less for more rain', () => {
  let before = -1
  for (const rain_mm of [0, 5, 15, 20, 30, 60, 120]) {
    const predicted = stormPredicted(laid, answer, rain_mm)
    expect(predicted.runoff_mm).toBeCloseTo(stormRunoff_mm(rain_mm, 80), 9)
    expect(predicted.runoff_m3).toBeGreaterThanOrEqual(before)
    expect(predicted.least_m3).toBeLessThanOrEqual(predicted.runoff_m3)
    expect(predicted.most_m3).toBeGreaterThanOrEqual(predicted.runoff_m3)
    expect(predicted.leastWater_m).toBeLessThanOrEqual(predicted.water_m)
    if (predicted.filled_ratio < 1) expect(storageAt_m3(ditchPool(laid.ditch, 0), predicted.water_m)).toBeCloseTo(predicted.runoff_m3, 6)
    before = predicted.runoff_m3
  }
  expect(stormPredicted(laid, answer, 0).spills).toBe('no')
  expect(stormPredicted(laid, answer, 300).spills).toBe('yes')
})

test('a logged storm against it', () => {
  expect(compareStorm(laid, answer, storm({ rain_mm: null })).because).toBe('log/no-rain')
  expect(compareStorm(laid, answer, storm({})).because).toBe('log/nothing-seen')
  expect(compareStorm(laid, answer, storm({ rain_mm: 5, spilled: true })).because).toBe('log/spilled-unexpectedly')
  expect(compareStorm(laid, answer, storm({ rain_mm: 5, highestWater_m: 0.3, spilled: false })).because).toBe(
    'log/more-water-than-predicted',
  )
  expect(compareStorm(laid, answer, storm({ rain_mm: 300, spilled: false })).because).toBe('log/did-not-spill')
  const seen = stormPredicted(laid, answer, 20).water_m
  const compared = compareStorm(laid, answer, storm({ rain_mm: 20, highestWater_m: seen, spilled: null }))
  expect([compared.because, compared.waterOff_m]).toEqual(['log/within-spread', expect.closeTo(0, 9)])
})

test('a log is read as it was kept; a bad entry is named', () => {
  const log = [storm({ seen: '=1+1 "quoted" <b>', photos: ['a b.jpg'] }), storm({ date: '2024-02-29', spilled: true, line: 'upper' })]
  expect(stormLogFrom(JSON.parse(JSON.stringify(log)))).toEqual(log)
  for (const bad of [
    { date: '2026-02-29' },
    { date: '31.3.2026' },
    { date: '2026-13-01' },
    { rain_mm: -1 },
    { rain_mm: '12' },
    { spilled: 'yes' },
    { photos: 'a.jpg' },
    { highestWater_m: 21 },
  ])
    expect(() => stormLogFrom([storm({}), { ...storm({}), ...bad }])).toThrow(
      expect.objectContaining({ code: 'log/bad-entry', details: { entry: 2 } }) as InputError,
    )
  expect(() => stormLogFrom('none')).toThrow(expect.objectContaining({ code: 'log/not-a-list' }) as InputError)
})
