import type { InputError } from 'soakline/foundation'
import {
  matchPlants,
  PLANT_ZONES,
  type Plant,
  type PlantZone,
  plantsFrom,
  plantsInRow,
  plantZones,
  STARTER_PLANTS,
  sunlight,
} from 'soakline/plan'
import { type Point, pathLength_m, ringArea_m2 } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { arc, gridOf } from '../../../../tests/helpers/surfaces.js'
import { CENTRE, KNOLL, laidOn, SLOPE, STRAIGHT } from './laid-on.js'

const zone = (zones: readonly PlantZone[], code: string): PlantZone => zones.find(z => z.zone === code)!

describe('a straight line of 40 m on 10 %, spilling 2 m wide in its middle', () => {
  const { laid } = laidOn(SLOPE, STRAIGHT, { spillChainage_m: 20, sillLength_m: 2 })
  const zones = plantZones(laid)

  test('every zone once, from uphill to downhill', () => expect(zones.map(z => z.zone)).toEqual([...PLANT_ZONES]))

  test('erosion strip: 40 m at 0.15 m are floor(266.67) + 1 = 267 plants in one row', () => {
    const strip = zone(zones, 'erosion-strip')
    expect([strip.length_m, strip.rows, strip.count]).toEqual([expect.closeTo(40, 6), 1, 267])
  })

  test('the bed is sown: 40 m × 2 m from edge to lip', () => {
    const bed = zone(zones, 'bed')
    expect([bed.count, bed.sown]).toEqual([null, true])
    expect(bed.area_m2).toBeCloseTo(40 * 2, 1)
  })

  test('the berm’s zones leave 3 m beside the sill: 16 m on either side', () => {
    for (const code of ['wet-edge', 'crest', 'dry-edge', 'soak-zone']) {
      const z = zone(zones, code)
      expect(z.parts.map(p => [p.from_m, p.to_m])).toEqual([
        [0, 16],
        [24, 40],
      ])
      expect(z.length_m).toBeCloseTo(32, 6)
    }
  })

  test('crest 0.5 m wide at 0.6 m: rows 0.52 m apart, so one row; 2 × (floor(16/0.6) + 1) = 54', () => {
    const crest = zone(zones, 'crest')
    expect([crest.rows, crest.count]).toEqual([1, 54])
    expect(crest.width_m).toBeCloseTo(0.5, 6)
  })

  test('soak zone 3 m wide at 3 m: rows 2.6 m apart, two of them staggered; 2 × (6 + (floor((16 − 1.5)/3) + 1)) = 22', () => {
    const soak = zone(zones, 'soak-zone')
    expect([soak.rows, soak.count]).toEqual([2, 22])
    expect(soak.area_m2).toBeCloseTo(32 * 3, 3)
  })

  test('polygons lie uphill of the line and below it as they should, and hold the ground that is counted', () => {
    for (const z of zones) {
      const area = z.parts.reduce((sum, p) => sum + Math.abs(ringArea_m2(p.ring)), 0)
      expect(area).toBeCloseTo(z.area_m2, 6)
      for (const { ring } of z.parts)
        for (const [, y] of ring) expect(z.zone === 'erosion-strip' || z.zone === 'bed' ? y - 80 : 80 - y).toBeGreaterThan(-1e-6)
    }
  })

  test('closer plants never make fewer', () => {
    const close = plantZones(laid, { spacing_m: { 'soak-zone': 2, crest: 0.3 } })
    expect(zone(close, 'soak-zone').count).toBeGreaterThan(22)
    expect(zone(close, 'crest').count).toBeGreaterThan(54)
  })
})

describe('curved lines', () => {
  test('60 m round a knoll at 40 m: zones below are longer by the ratio of radii, zones above shorter', () => {
    const path = arc(180, CENTRE, 40, 60)
    const { laid } = laidOn(KNOLL, path, { spillChainage_m: 0, sillLength_m: 1 })
    const zones = plantZones(laid, { besideSill_m: 0 })
    const { section } = laid.ditch.stakes[5]!
    const toe = section.outerToe_x_m - section.lip_x_m
    const soak = zone(zones, 'soak-zone')
    expect(soak.length_m).toBeCloseTo(59 * ((40 + toe + 1.5) / 40), 0)
    const strip = zone(zones, 'erosion-strip')
    expect(strip.length_m).toBeCloseTo(60 * ((40 - section.topWidth_m - 0.15) / 40), 0)
    expect(strip.count).toBe(Math.floor(strip.length_m / 0.15) + 1)
    expect(soak.area_m2).toBeCloseTo(((40 + toe + 3) ** 2 - (40 + toe) ** 2) * 0.5 * (59 / 40), 0)
  })

  test('a line that all but closes round the knoll faces no way at all, and its zones run round', () => {
    const path = arc(180, CENTRE, 30, 180)
    const { laid } = laidOn(KNOLL, path, { spillChainage_m: 0, sillLength_m: 1 })
    const zones = plantZones(laid, { latitude_deg: 40 })
    const soak = zone(zones, 'soak-zone')
    expect(soak.conditions.facing_deg).toBeNull()
    expect(soak.conditions.sun).toBeNull()
    expect(soak.length_m).toBeGreaterThan(pathLength_m(path))
  })

  // A pyramid's contours have right angles: 20 m to a corner and 20 m on.
  const corner: Point[] = [
    [100.3, 79.6],
    [100.3, 59.6],
    [80.3, 59.6],
  ]
  test.each([
    ['outside', 1],
    ['inside', -1],
  ])('a right angle with the berm on its %s, by hand: 40 m ± twice the offset', (_, sign) => {
    const pyramid = gridOf(160, 160, 1, (x, y) => 100 - sign * 0.1 * Math.max(Math.abs(x - CENTRE[0]), Math.abs(y - CENTRE[1])))
    const { laid } = laidOn(pyramid, corner, { spillChainage_m: 0, sillLength_m: 1 })
    const zones = plantZones(laid, { besideSill_m: 0 })
    const { section } = laid.ditch.stakes[2]!
    const below_m = section.outerToe_x_m - section.lip_x_m + 1.5
    const above_m = section.topWidth_m + 0.15
    // At the corner itself the slope across is gentler and the section another one: half a metre.
    expect(Math.abs(zone(zones, 'soak-zone').length_m - (39 + sign * 2 * below_m))).toBeLessThan(0.6)
    expect(Math.abs(zone(zones, 'erosion-strip').length_m - (40 - sign * 2 * above_m))).toBeLessThan(0.6)
    expect(Math.abs(zone(zones, 'soak-zone').area_m2 - 3 * (39 + sign * 2 * below_m))).toBeLessThan(2)
  })
})

describe('conditions', () => {
  const { laid } = laidOn(SLOPE, STRAIGHT, { spillChainage_m: 0, texture: 'loam' })

  test('time under water: the bed as long as the ditch takes to empty, the wet edge less, the crest never; unknown without intake', () => {
    const wet = plantZones(laid, { intake_mmh: 10 })
    const hours = (code: string) => zone(wet, code).conditions.underWater_h
    expect(hours('bed')).toBeGreaterThan(hours('wet-edge')!)
    expect(hours('wet-edge')).toBeGreaterThan(0)
    expect(hours('crest')).toBe(0)
    expect(zone(plantZones(laid), 'bed').conditions.underWater_h).toBeNull()
  })

  test('the crest has the drained depth of the freeboard and the head over the sill', () => {
    const drained = zone(plantZones(laid), 'crest').conditions.drainedDepth_m!
    expect(drained).toBeCloseTo(laid.ditch.crestLevel_m - laid.ditch.spillLevel_m, 2)
    expect(zone(plantZones(laid), 'soak-zone').conditions.drainedDepth_m).toBeNull()
  })

  test('the slope looks south, its berm’s ditch side north', () => {
    const zones = plantZones(laid, { latitude_deg: 40 })
    expect(zone(zones, 'dry-edge').conditions.facing_deg).toBeCloseTo(180, 6)
    expect(zone(zones, 'wet-edge').conditions.facing_deg).toBeCloseTo(0, 6)
    expect(zone(zones, 'dry-edge').conditions.sun!.year_ratio).toBeGreaterThan(1)
    expect(zone(zones, 'wet-edge').conditions.sun!.year_ratio).toBeLessThan(1)
    expect(zone(plantZones(laid, { latitude_deg: -40 }), 'wet-edge').conditions.sun!.year_ratio).toBeGreaterThan(1)
  })
})

describe('sun', () => {
  test('level ground gets 1, half of it in the afternoon; west faces are hot, east ones not; winter prefers the sun’s side', () => {
    const level = sunlight(40, 0, 123)
    for (const value of [level.year_ratio, level.summer_ratio, level.winter_ratio]) expect(value).toBeCloseTo(1, 12)
    expect(level.afternoon_ratio).toBeCloseTo(0.5, 12)
    const [west, east, south] = [sunlight(40, 0.5, 270), sunlight(40, 0.5, 90), sunlight(40, 0.5, 180)]
    expect(west.year_ratio).toBeCloseTo(east.year_ratio, 9)
    expect(west.afternoon_ratio).toBeGreaterThan(east.afternoon_ratio + 0.1)
    expect(south.winter_ratio).toBeGreaterThan(1.4)
    expect(south.summer_ratio).toBeLessThan(south.winter_ratio)
    expect(sunlight(-40, 0.5, 0).year_ratio).toBeCloseTo(south.year_ratio, 1)
  })

  test('oracle: noon at the equinox on a slope that looks at the sun, worked with the engine’s own functions', () => {
    // A day's sum on level ground at the equator at the equinox is half a turn of cosines; a slope of 100 % to the east gets the morning half alone and more.
    expect(sunlight(0, 1, 90).year_ratio).toBeGreaterThan(0.7)
    expect(sunlight(0, 1, 90).year_ratio).toBeLessThan(1)
    expect(() => sunlight(91, 0, 0)).toThrow(expect.objectContaining({ code: 'sun/bad-place' }) as InputError)
  })
})

describe('the plant list', () => {
  const { laid } = laidOn(SLOPE, STRAIGHT, { spillChainage_m: 20, sillLength_m: 2 })
  const zones = plantZones(laid, { intake_mmh: 15 })
  const verdict = (plant: Plant, code: string, all = zones) => matchPlants([plant], all).find(m => m.zone === code)!
  const starter = (name: string): Plant => STARTER_PLANTS.find(p => p.name === `plant-type/${name}`)!

  test('nothing woody holds at the spill, in the bed or in the erosion strip', () => {
    for (const plant of STARTER_PLANTS.filter(p => p.needs.woody))
      for (const code of ['spill', 'bed', 'erosion-strip']) expect(verdict(plant, code).verdict).toBe('fails')
  })

  test('trees that want over 1.2 m of drained soil never hold on the berm, whatever the user chose', () => {
    for (const onBerm of ['none', 'small', 'trees'] as const) {
      const all = plantZones(laid, { intake_mmh: 15, onBerm })
      for (const code of ['wet-edge', 'crest', 'dry-edge']) {
        const match = verdict(starter('nut-or-timber-tree'), code, all)
        expect(match.verdict).toBe('fails')
        expect(match.reasons).toContain('plant/deep-drainage-on-berm')
      }
    }
  })

  test('trees on the berm are kept off by default, and a warning where the user chose them', () => {
    const pear = starter('fruit-tree-for-moist-soil')
    expect(verdict(pear, 'crest').reasons).toContain('plant/trees-kept-off-berm')
    const chosen = verdict(pear, 'crest', plantZones(laid, { intake_mmh: 15, onBerm: 'trees' }))
    expect(chosen.reasons).toContain('plant/tree-on-berm')
    expect(chosen.verdict).not.toBe('holds')
    expect(verdict(starter('berry-shrub'), 'crest', plantZones(laid, { onBerm: 'none' })).verdict).toBe('fails')
  })

  test('clumping grass holds above the cut, sedges in a bed that stands wet; unknown intake leaves it unknown', () => {
    expect(verdict(starter('clumping-grass'), 'erosion-strip').verdict).toBe('holds')
    expect(verdict(starter('sedge-or-rush'), 'bed').verdict).toBe('holds')
    expect(verdict(starter('flower-or-herb'), 'bed').reasons).toContain('plant/under-water-too-long')
    expect(verdict(starter('sedge-or-rush'), 'bed', plantZones(laid)).verdict).toBe('unknown')
  })

  test('a list is read as it was kept, and refused by its row', () => {
    expect(plantsFrom(JSON.parse(JSON.stringify(STARTER_PLANTS)))).toEqual(STARTER_PLANTS)
    for (const bad of [
      [{}],
      [{ name: 'x', needs: { ...STARTER_PLANTS[0]!.needs, spread_m: -1 } }],
      [{ name: ' ', needs: STARTER_PLANTS[0]!.needs }],
    ])
      expect(() => plantsFrom(bad)).toThrow(expect.objectContaining({ code: 'plants/bad-plant' }) as InputError)
    expect(() => plantsFrom({})).toThrow(expect.objectContaining({ code: 'plants/not-a-list' }) as InputError)
  })
})

test('rows: 60 m at 0.15 and 0.1 m are 401 and 601; a shifted row has room for half a spacing less', () => {
  expect([plantsInRow(60, 0.15), plantsInRow(60, 0.1)]).toEqual([401, 601])
  expect([plantsInRow(6, 3), plantsInRow(6, 3, true), plantsInRow(1, 3, true), plantsInRow(0, 3)]).toEqual([3, 2, 0, 1])
})
