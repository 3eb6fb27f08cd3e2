import { suddenBreach } from 'soakline/earthworks'
import { studyWater, type WaterStudy } from 'soakline/hydrology'
import type { Point } from 'soakline/raster'
import { type BreachAnswer, breachesAlong, dugGround, type SiteFeature } from 'soakline/siting'
import { describe, expect, test } from 'vitest'
import { arc, cone, gridOf, heading, lineAcross, plane, roof } from '../../../../tests/helpers/surfaces.js'
import { cabin, dugAlong, lineFeature, withSill } from './dug-scenes.js'

const base = gridOf(201, 201, 1, plane(180, 0.1, [100.5, 100.5]))
const study: WaterStudy = studyWater(base)
const line = lineAcross(180, [100.5, 100.5], -40, 60)
const one = dugAlong(base, line, 0.1)
const dug = dugGround(study, [one])
const xOf = (chainage: number): number => line[0]![0] + ((line[60]![0] - line[0]![0]) * chainage) / 60
const breaches = (features: readonly SiteFeature[], storm = 0.05): BreachAnswer =>
  breachesAlong(dug, 0, features, [{ stored_m3: 30 }], storm)

describe('one cabin below a plane’s ditch', () => {
  const answer = breaches([cabin([xOf(20), 60.5])])

  test('the stakes above it reach it, those to the sides do not', () => {
    expect(answer.stakes.length).toBe(31)
    const hit = answer.stakes.filter(s => s.reachesBuilding).map(s => s.chainage_m)
    // Way or band: straight above it the way; to the sides as far as the band, some metres on 80 m of way.
    for (const stake of answer.stakes) if (Math.abs(stake.chainage_m - 20) <= 3) expect(hit).toContain(stake.chainage_m)
    for (const chainage of hit) expect(Math.abs(chainage - 20)).toBeLessThan(3 + 14)
    expect(hit.length).toBeLessThan(31)
  })

  test('the worst is straight above it', () => {
    const worst = answer.stakes[answer.worst]!
    expect(worst.below).toBe('building')
    expect(worst.reachesBuilding).toBe(true)
    expect(answer.worstOverflow!.band.length).toBeGreaterThan(0)
    expect(worst.heightBelowFloor_m).not.toBe(null)
  })

  test('distances grow evenly to both sides', () => {
    const by = new Map(answer.stakes.map(s => [Math.round(s.chainage_m), s.nearestBuilding_m!]))
    for (const away of [12, 16, 20]) expect(Math.abs(by.get(20 - away)! - by.get(20 + away)!)).toBeLessThan(1.1)
    expect(by.get(60)!).toBeGreaterThan(by.get(44)!)
  })
})

test('a house above, or to the side on the same height, is not reached', () => {
  for (const at of [
    [xOf(30), 170.5],
    [xOf(30) + 80, 140.5],
  ] as Point[]) {
    const { stakes } = breaches([cabin(at)])
    expect(stakes.some(s => s.reachesBuilding)).toBe(false)
    expect(stakes.every(s => s.below === 'not-known')).toBe(true)
  }
})

describe('what lies below is told by its worth', () => {
  const across = (y: number): Point[] => [
    [0, y],
    [201, y],
  ]
  test('track, then boundary; a stream above them ends the way: nothing', () => {
    expect(breaches([lineFeature('boundary', across(40)), lineFeature('track', across(20))]).stakes.every(s => s.below === 'track')).toBe(
      true,
    )
    expect(breaches([lineFeature('boundary', across(40))]).stakes.every(s => s.below === 'boundary')).toBe(true)
    const dry = breaches([lineFeature('stream', across(60)), lineFeature('boundary', across(40)), lineFeature('track', across(20))])
    expect(dry.stakes.every(s => s.below === 'nothing' && s.endsIn === 'stream')).toBe(true)
  })

  test('nothing drawn, and the way leaves the raster: not known', () => {
    const { stakes } = breaches([])
    expect(stakes.every(s => s.below === 'not-known' && s.nearestBuilding_m === null && s.endsIn === 'edge')).toBe(true)
  })
})

test('the peak is the sudden outflow through the gap and the storm; more of either is never less', () => {
  const crest = one.stakes[0]!.section.crest_z_m
  const [a, b] = [0, 0.3].map(storm => breaches([], storm).stakes[5]!)
  // Ritter (1892): 8/27 √g h^1.5 for each metre of gap.
  expect(a!.peak_m3s).toBeCloseTo(2 * (8 / 27) * Math.sqrt(9.81) * crest ** 1.5, 9)
  expect(b!.peak_m3s - a!.peak_m3s).toBeCloseTo(0.3, 9)
  const deeper = breachesAlong(dug, 0, [], [{ stored_m3: 30, stood_m: 0.7 }], 0).stakes[5]!
  expect(deeper.peak_m3s).toBeCloseTo(2 * suddenBreach(0.7).flow_m2s, 9)
  expect(breachesAlong(dug, 0, [], [{ stored_m3: 30 }], 0, { gapWidth_m: 4 }).stakes[5]!.peak_m3s).toBeCloseTo(2 * a!.peak_m3s, 9)
})

test('a cascade adds volumes and peaks; what passes beside the lower ditch leaves it standing', () => {
  const upper = dugAlong(base, lineAcross(180, [100.5, 100.5], -40, 60), 0.1)
  const lower = withSill(dugAlong(base, lineAcross(180, [90.5, 100.5], -10, 40), 0.1), 4, 10)
  const both = dugGround(study, [upper, lower])
  const house = cabin([upper.line[20]![0], 40.5])
  const { stakes } = breachesAlong(both, 0, [house], [{ stored_m3: 30 }, { stored_m3: 22 }], 0.1)
  const lowerWest = Math.min(...lower.line.map(([x]) => x))
  const lowerEast = Math.max(...lower.line.map(([x]) => x))
  for (const stake of stakes) {
    const [x] = upper.line[Math.round(stake.chainage_m)]!
    if (x > lowerWest + 2 && x < lowerEast - 2) {
      expect(stake.alsoFall).toEqual([1])
      expect(stake.volume_m3).toBe(52)
      expect(stake.peak_m3s).toBeCloseTo(0.1 + 2 * 2 * suddenBreach(upper.stakes[0]!.section.crest_z_m).flow_m2s, 6)
      // It breaks through where it hits, not at the lower ditch's sill.
      expect(Math.abs(stake.points[stake.points.length - 1]![0] - x)).toBeLessThan(3)
    }
    if (x < lowerWest - 4 || x > lowerEast + 4) {
      expect(stake.alsoFall).toEqual([])
      expect(stake.volume_m3).toBe(30)
    }
  }
})

test('mirrored ground gives mirrored stakes', () => {
  const house = (sense: number): SiteFeature => cabin([100.5 + sense * 14, 60.5])
  const lineOf = (sense: number): Point[] => Array.from({ length: 61 }, (_, k): Point => [100.5 + sense * (k - 30), 140.5])
  const [a, b] = [1, -1].map(sense =>
    breachesAlong(dugGround(study, [dugAlong(base, lineOf(sense), 0.1)]), 0, [house(sense)], [{ stored_m3: 30 }], 0.05),
  )
  expect(a!.worst).toBe(b!.worst)
  for (const [k, stake] of a!.stakes.entries()) {
    expect(stake.reachesBuilding).toBe(b!.stakes[k]!.reachesBuilding)
    expect(Math.abs(stake.nearestBuilding_m! - b!.stakes[k]!.nearestBuilding_m!)).toBeLessThan(0.6)
  }
})

test('a roof’s ridge keeps the other side dry; a cone sends each stake its own way', () => {
  const ridge = gridOf(161, 161, 1, roof(180, 0.1, [80.5, 80.5]))
  const south = dugGround(studyWater(ridge), [dugAlong(ridge, lineAcross(180, [80.5, 80.5], 10, 40), 0.1)])
  const { stakes } = breachesAlong(
    south,
    0,
    [cabin([80.5, 120.5], 3, null, 'north'), cabin([80.5, 40.5], 3, null, 'south')],
    [{ stored_m3: 1 }],
    0,
  )
  expect(stakes.some(s => s.reachesBuilding)).toBe(true)
  expect(stakes.every(s => s.nearestBuilding === 'south')).toBe(true)
  const hill = gridOf(161, 161, 1, cone(0.1, [80.5, 80.5]))
  const round = dugGround(studyWater(hill), [dugAlong(hill, arc(90, [80.5, 80.5], 30, 60), 0.1)])
  for (const { points, chainage_m } of breachesAlong(round, 0, [], [{ stored_m3: 1 }], 0, { spacing_m: 10 }).stakes) {
    const [east, north] = heading(90 + ((chainage_m - 30) / 30) * (180 / Math.PI))
    const [x, y] = points[points.length - 1]!
    const long = Math.hypot(x - 80.5, y - 80.5)
    expect(((x - 80.5) * east + (y - 80.5) * north) / long).toBeGreaterThan(0.998)
  }
})

test('refusals, and a line at the rim', () => {
  const call =
    (waters: { stored_m3: number }[], storm: number, index = 0) =>
    () =>
      breachesAlong(dug, index, [], waters, storm)
  expect(call([], 0)).toThrow(expect.objectContaining({ code: 'breach/bad-water' }))
  expect(call([{ stored_m3: -1 }], 0)).toThrow(expect.objectContaining({ code: 'breach/bad-water' }))
  expect(call([{ stored_m3: 1 }], Number.NaN)).toThrow(expect.objectContaining({ code: 'breach/bad-water' }))
  expect(call([{ stored_m3: 1 }], 0, 3)).toThrow(expect.objectContaining({ code: 'breach/no-such-line' }))
  const rim = dugGround(study, [dugAlong(base, lineAcross(180, [100.5, 2.5], 0, 20), 0.1)])
  for (const { below, from } of breachesAlong(rim, 0, [], [{ stored_m3: 1 }], 0).stakes) if (from === null) expect(below).toBe('not-known')
})
