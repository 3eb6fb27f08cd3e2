import { releasedWater, studyWater } from 'soakline/hydrology'
import { distance_m, type ElevationGrid, type Point, pathLength_m } from 'soakline/raster'
import { belowBerm, beyondEnd, type DugGround, dugGround, dugHeight_m, overflowAsDug, overflowFrom, wayAsDug } from 'soakline/siting'
import { describe, expect, test } from 'vitest'
import { arc, cone, gridOf, heading, lineAcross, plane, roof, saddle, vValley } from '../../../../tests/helpers/surfaces.js'
import { aside_m, cabin, dugAlong, withSill } from './dug-scenes.js'

const centre: Point = [100, 100]

describe('on a plane the overflow as dug keeps the line of fall', () => {
  for (const azimuth of [0, 17, 45, 73, 90, 131, 180, 222, 270, 305])
    test(`that falls towards ${azimuth}°: within one cell in 100 m, below the berm and round both ends`, () => {
      const base = gridOf(200, 200, 1, plane(azimuth, 0.1, centre))
      const study = studyWater(base)
      const line = lineAcross(azimuth, centre, -20, 40)
      const dug = dugGround(study, [dugAlong(base, line, 0.1)])
      for (const from of [
        belowBerm(dug, 0, 0),
        belowBerm(dug, 0, 13),
        belowBerm(dug, 0, 40),
        beyondEnd(dug, 0, 'start'),
        beyondEnd(dug, 0, 'end'),
      ]) {
        const { points, end } = wayAsDug(dug, from!)!
        expect(end).toBe('edge')
        const last = points[points.length - 1]!
        expect(distance_m(from!, last)).toBeGreaterThan(60)
        expect(aside_m(from!, heading(azimuth), last)).toBeLessThan(pathLength_m(points) / 100)
      }
    })
})

/** Whether a way runs over ground as high as the crest. */
const highest_m = (dug: DugGround, points: readonly Point[]): number => Math.max(...points.map(place => dugHeight_m(dug, place)))

describe('the berm turns water', () => {
  const base = gridOf(160, 120, 1, plane(180, 0.1, [80, 60]))
  const study = studyWater(base)
  const line = lineAcross(180, [80, 60], 0, 60)
  const uphill: Point = [84.3, 95.2]

  test('undisturbed, the way from above crosses the line; as dug it comes out of the ditch at its sill', () => {
    const dug = dugGround(study, [withSill(dugAlong(base, line, 0.1), 10, 16)])
    const before = releasedWater(study.ground, study.filled, study.drained, uphill)!
    expect(Math.abs(before.points[before.points.length - 1]![0] - uphill[0])).toBeLessThan(1)
    const { points, end, ditches } = wayAsDug(dug, uphill)!
    expect(end).toBe('edge')
    expect(ditches.map(d => d.line)).toEqual([0])
    const sillAt = line[0]![0] + Math.sign(line[60]![0] - line[0]![0]) * 13
    expect(Math.abs(points[points.length - 1]![0] - sillAt)).toBeLessThan(4)
  })

  test('without a sill it turns round an end or comes over the crest, nowhere lower', () => {
    const one = dugAlong(base, line, 0.1)
    const dug = dugGround(study, [one])
    const { points } = wayAsDug(dug, uphill)!
    // Between the ditch and the ground below it passes a place at least as high as the crest, or beyond the ends.
    const crossing = points.findIndex(([, y]) => y < 59)
    const [x] = points[crossing]!
    const within = x > 50 && x < 110
    const crest = one.bed_m + one.stakes[0]!.section.crest_z_m
    if (within) expect(highest_m(dug, points.slice(Math.max(0, crossing - 40), crossing))).toBeGreaterThan(crest - 0.05)
  })

  test('law: a taller berm never brings water through', () => {
    for (const taller of [0.05, 0.1, 0.2]) {
      const low = withSill(dugAlong(base, line, 0.1), 10, 16)
      const high = withSill(dugAlong(base, line, 0.1, taller), 10, 16)
      for (const x of [55.3, 84.3, 104.9]) {
        const a = wayAsDug(dugGround(study, [low]), [x, 95.2])!
        const b = wayAsDug(dugGround(study, [high]), [x, 95.2])!
        const [ea, eb] = [a.points[a.points.length - 1]!, b.points[b.points.length - 1]!]
        expect(Math.abs(ea[0] - eb[0])).toBeLessThan(3.5)
      }
    }
  })

  test('a line askew: water from above it runs along the ditch, never through the berm, whatever the turning of line and raster', () => {
    for (const azimuth of [20, 45, 110, 200, 315]) {
      const ground = gridOf(140, 140, 1, plane(azimuth, 0.08, [70, 70]))
      const water = studyWater(ground)
      const level = lineAcross(azimuth, [70, 70], 0, 50)
      const one = withSill(dugAlong(ground, level, 0.08), 40, 46)
      const dug = dugGround(water, [one])
      const [east, north] = heading(azimuth)
      for (const along of [-18, -5, 9]) {
        const from: Point = [70 - 25 * east - along * north, 70 - 25 * north + along * east]
        const { points, ditches } = wayAsDug(dug, from)!
        expect(ditches.length).toBe(1)
        const sill: Point = level[43]!
        const out = points.find(([x, y]) => (x - 70) * east + (y - 70) * north > 6)!
        expect(aside_m(sill, [east, north], out)).toBeLessThan(5)
      }
    }
  })

  test('two ditches above one another: the upper one spills into the lower, which spills at its own sill', () => {
    const upper = withSill(dugAlong(base, lineAcross(180, [80, 80], 0, 40), 0.1), 30, 36)
    const lower = withSill(dugAlong(base, lineAcross(180, [80, 60], 0, 60), 0.1), 4, 10)
    const dug = dugGround(study, [upper, lower])
    const over = overflowAsDug(dug, [], belowBerm(dug, 0, 33)!)!
    expect(over.ditches).toEqual([1])
    const sillX = lower.line[7]![0]
    expect(Math.abs(over.points[over.points.length - 1]![0] - sillX)).toBeLessThan(4)
  })
})

test('cells coarser than the ditch: the berm is tight all the same', () => {
  const base = gridOf(60, 60, 2, plane(200, 0.1, [60, 60]))
  const study = studyWater(base)
  const line = lineAcross(200, [60, 60], 0, 50)
  const one = withSill(dugAlong(base, line, 0.1), 40, 46)
  for (const cell_m of [2, 1, 0.5]) {
    const dug = dugGround(study, [one], { cell_m })
    const [east, north] = heading(200)
    const from: Point = [60 - 20 * east, 60 - 20 * north]
    const out = wayAsDug(dug, from)!.points.find(([x, y]) => (x - 60) * east + (y - 60) * north > 8)!
    expect(aside_m(line[43]!, [east, north], out)).toBeLessThan(3 + 2 * cell_m)
  }
})

describe('away from the works it is the way and the band of the undisturbed study', () => {
  const scenes: [string, ElevationGrid, Point[], number, Point][] = [
    ['roof', gridOf(120, 120, 1, roof(30, 0.1, [60, 60])), lineAcross(30, [60, 60], 20, 20), 0.1, [20.3, 30.2]],
    ['cone', gridOf(120, 120, 1, cone(0.1, [60, 60])), arc(0, [60, 60], 30, 20), 0.1, [60.4, 40.1]],
    ['valley', gridOf(120, 120, 1, vValley(180, 0.1, 0.05, [60, 60])), lineAcross(250, [80, 80], 10, 10), 0.1, [50.2, 30.3]],
  ]
  for (const [name, base, line, slope, place] of scenes)
    test(name, () => {
      const study = studyWater(base)
      const dug = dugGround(study, [dugAlong(base, line, slope)])
      const house = cabin([70, 20])
      const plain = overflowFrom(study, [house], place)!
      const { ditches, ...over } = overflowAsDug(dug, [house], place)!
      expect(ditches).toEqual([])
      expect(over.points).toEqual(plain.points)
      expect(over.buildings).toEqual(plain.buildings)
      expect(over.exitSlope_ratio).toBe(plain.exitSlope_ratio)
    })
})

test('the band below the berm is that of the undisturbed ground, handed over from the fine cells', () => {
  const base = gridOf(160, 160, 1, plane(160, 0.1, [80, 80]))
  const study = studyWater(base)
  const line = lineAcross(160, [80, 80], -20, 40)
  const dug = dugGround(study, [dugAlong(base, line, 0.1)])
  const from = belowBerm(dug, 0, 20)!
  const plain = overflowFrom(study, [cabin([140, 20])], from)!
  const over = overflowAsDug(dug, [cabin([140, 20])], from)!
  // Fine cells scatter less: the band may be a little narrower, never wider by more than a cell.
  expect(Math.abs(over.buildings[0]!.distance_m - plain.buildings[0]!.distance_m)).toBeLessThan(6)
  expect(over.band.length).toBeGreaterThan(0)
})

describe('mirrored and turned scenes give the same numbers', () => {
  const numbers = (azimuth: number, mirrored: boolean): number[] => {
    const [east, north] = heading(azimuth)
    const at = (along: number, aside: number): Point => {
      const s = mirrored ? -aside : aside
      return [100.5 + along * east - s * north, 100.5 + along * north + s * east]
    }
    const base = gridOf(201, 201, 1, plane(azimuth, 0.1, [100.5, 100.5]))
    const study = studyWater(base)
    const line = Array.from({ length: 31 }, (_, k) => at(-20, k - 15))
    const dug = dugGround(study, [dugAlong(base, line, 0.1)])
    const over = overflowAsDug(dug, [cabin(at(30, 12))], belowBerm(dug, 0, 20)!)!
    return [over.buildings[0]!.distance_m, over.buildings[0]!.heightBelowFloor_m!, over.exitSlope_ratio]
  }
  const first = numbers(0, false)
  for (const azimuth of [90, 180, 270])
    for (const mirrored of [false, true])
      test(`${azimuth}°${mirrored ? ', mirrored' : ''}`, () => {
        const now = numbers(azimuth, mirrored)
        for (const [k, value] of now.entries()) expect(value).toBeCloseTo(first[k]!, 3)
      })
})

test('a saddle: which side of the pass the spill lies on decides which way it goes', () => {
  const base = gridOf(120, 120, 1, saddle(0, 0.002, [60, 60]))
  const study = studyWater(base)
  // A line along the pass's crest, its ground level within the ditch's depth.
  const line = lineAcross(90, [60, 60], 0, 12)
  const dug = dugGround(study, [dugAlong(base, line, 0.02)])
  const sides = [beyondEnd(dug, 0, 'start')!, beyondEnd(dug, 0, 'end')!].map(from => {
    const { points } = wayAsDug(dug, from)!
    return points[points.length - 1]!
  })
  expect(sides.every(([x]) => x < 20 || x > 100)).toBe(true)
})

test('works at the rim of the raster, and a place without ground', () => {
  const base = gridOf(60, 40, 1, plane(180, 0.1, [30, 20]))
  const study = studyWater(base)
  const dug = dugGround(study, [dugAlong(base, lineAcross(180, [30, 4], 0, 30), 0.1)])
  const { end } = wayAsDug(dug, belowBerm(dug, 0, 15)!)!
  expect(end).toBe('edge')
  expect(wayAsDug(dug, [-5, 20])).toBe(null)
})
