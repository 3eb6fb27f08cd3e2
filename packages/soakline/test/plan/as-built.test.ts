import { storageAt_m3 } from 'soakline/earthworks'
import type { InputError } from 'soakline/foundation'
import { asBuilt, type BuiltReading, ditchBuilt, stakesOf } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { ditchPool } from '../../src/plan/line-ditch.js'
import { laidOn, SLOPE, STRAIGHT } from './laid-on.js'

const { laid, answer, settings } = laidOn(SLOPE, STRAIGHT, { spillChainage_m: 0 })
const stakes = stakesOf(laid, { every_m: 2 })
const toSill = (ditch: typeof laid.ditch): number => storageAt_m3(ditchPool(ditch, 0), ditch.spillLevel_m)

/** Readings that equal the plan, with what was built differently added. */
function readings(change: (what: string, chainage_m: number) => number = () => 0): BuiltReading[] {
  return stakes.flatMap((s): BuiltReading[] => [
    { what: 'bed', chainage_m: s.chainage_m, level_m: s.bed_m + change('bed', s.chainage_m) },
    ...(s.crest_m === null
      ? []
      : [{ what: 'crest' as const, chainage_m: s.chainage_m, level_m: s.crest_m + change('crest', s.chainage_m) }]),
    ...(s.kinds.includes('sill-end')
      ? [{ what: 'sill' as const, chainage_m: s.chainage_m, level_m: s.sill_m! + change('sill', s.chainage_m) }]
      : []),
  ])
}

describe('built as planned', () => {
  const built = asBuilt(laid, readings())

  test('nothing is off, nothing low, nothing lost', () => {
    expect(built.readings.every(r => r.withinTolerance && Math.abs(r.off_m) < 1e-9)).toBe(true)
    expect(built.lowSpots).toEqual([])
    expect(built.bed!.unevenness_m).toBeCloseTo(0, 9)
    expect(built.bed!.lost_ratio).toBeCloseTo(0, 9)
    expect(built.remarks).toEqual([])
  })

  test('the ditch as built is the planned ditch', () => {
    const ditch = ditchBuilt(laid.ditch, built.built, settings)
    expect(ditch.bed_m).toBeCloseTo(laid.ditch.bed_m, 9)
    expect(ditch.crestLevel_m).toBeCloseTo(laid.ditch.crestLevel_m, 9)
    expect(ditch.spillLevel_m).toBeCloseTo(laid.ditch.spillLevel_m, 9)
    expect(ditch.sillLevel_m).toBeCloseTo(laid.ditch.sillLevel_m, 9)
    expect(toSill(ditch)).toBeCloseTo(toSill(laid.ditch), 6)
    expect(ditch.cut_m3).toBeCloseTo(laid.ditch.cut_m3, 6)
    expect(ditch.berm_m3).toBeCloseTo(laid.ditch.berm_m3, 6)
  })
})

describe('a low spot of 6 cm in the berm', () => {
  const low = readings((what, at) => (what === 'crest' && at === 20 ? -0.06 : 0))
  const built = asBuilt(laid, low, { water_m: answer.spillway!.highestWater_m })

  test('is found, with its place, length and depth', () => {
    expect(built.lowSpots.length).toBe(1)
    const [spot] = built.lowSpots
    expect(spot!.depth_m).toBeCloseTo(0.06, 9)
    expect(spot!.lowestAt_m).toBe(20)
    // From the reading before to the one after, 2 m apart each.
    expect([spot!.from_m, spot!.to_m]).toEqual([expect.closeTo(18, 6), expect.closeTo(22, 6)])
    expect(spot!.underNeeded_m).toBeCloseTo(0.06, 3)
  })

  test('is sized: earth by hand, heaped for settling, and raised by a quarter more', () => {
    const [spot] = built.lowSpots
    // Crest 0.5 m wide, height h, faces 1.5 and 2 on a fall of 10 %: what 6 cm more hold, by slices of the slow way.
    const { section } = laid.ditch.stakes[10]!
    const h = section.crest_z_m - section.lip_z_m
    const area = (height: number): number => {
      // Slices of 1 mm across, from the lip downhill.
      let sum = 0
      for (let x = 0.0005; x < 4; x += 0.001) {
        const up = Math.min(x / 1.5, height)
        const outer = height - Math.max(0, x - 1.5 * height - 0.5) / 2
        sum += Math.max(0, Math.min(up, outer) + 0.1 * x) * 0.001
      }
      return sum
    }
    const expected = (area(h) - area(h - 0.06)) * 2 // 4 m long, a triangle along
    expect(spot!.soilSettled_m3 / expected).toBeCloseTo(1, 2)
    expect(spot!.soilHeaped_m3).toBeCloseTo(spot!.soilSettled_m3 * 1.25, 9)
    expect(spot!.soilDug_m3).toBeCloseTo(spot!.soilSettled_m3 / 0.9, 9)
    expect(spot!.raiseBy_m).toBeCloseTo(0.075, 9)
  })

  test('costs freeboard: what is left there is told, and the ditch that is run again has the lower crest', () => {
    const [spot] = built.lowSpots
    expect(spot!.freeboard_m).toBeCloseTo(answer.storage!.crestElevation_m - 0.06 - answer.spillway!.highestWater_m, 3)
    const ditch = ditchBuilt(laid.ditch, built.built, settings)
    expect(laid.ditch.crestLevel_m - ditch.crestLevel_m).toBeCloseTo(0.06, 3)
    expect(ditch.sillLevel_m).toBeCloseTo(laid.ditch.sillLevel_m, 9)
  })

  test('is not lost when it lies between two stakes of the ditch', () => {
    const crest = (at: number, off: number): BuiltReading => ({ what: 'crest', chainage_m: at, level_m: stakes[5]!.crest_m! + off })
    const between = asBuilt(laid, [crest(5, 0), crest(20.5, 0), crest(21, -0.06), crest(21.5, 0), crest(39, 0)])
    expect(between.lowSpots[0]!.length_m).toBeCloseTo(1, 6)
    expect(laid.ditch.crestLevel_m - ditchBuilt(laid.ditch, between.built, settings).crestLevel_m).toBeCloseTo(0.06, 3)
  })

  test('below the sill the water leaves there', () => {
    const under = asBuilt(
      laid,
      readings((what, at) => (what === 'crest' && at === 20 ? -0.3 : 0)),
      { water_m: answer.spillway!.highestWater_m },
    )
    expect(under.remarks.map(r => r.code)).toContain('as-built/berm-below-sill')
    expect(under.remarks.map(r => r.code)).toContain('as-built/water-over-berm')
    const ditch = ditchBuilt(laid.ditch, under.built, settings)
    expect(ditch.spillLevel_m).toBeCloseTo(ditch.crestLevel_m, 9)
    expect(toSill(ditch)).toBeLessThan(toSill(laid.ditch))
  })
})

test('unevenness of a tenth of the depth costs about a tenth of the storage (derived)', () => {
  const depth_m = laid.ditch.spillLevel_m
  const e = 0.1
  const built = asBuilt(
    laid,
    readings((what, at) => (what === 'bed' ? e * depth_m * (at / 40) : 0)),
  )
  expect(built.bed!.unevenness_ratio).toBeCloseTo(e, 6)
  expect(built.bed!.withinTolerance).toBe(true)
  expect(built.bed!.lost_ratio).toBeCloseTo(1 - (1 - (1 - e) ** 3) / (3 * e), 9)
  expect(built.bed!.lostHere_ratio).toBeGreaterThan(0.04)
  expect(built.bed!.lostHere_ratio).toBeLessThan(built.bed!.lost_ratio)
  // The ditch that is run again loses about as much.
  const ditch = ditchBuilt(laid.ditch, built.built, settings)
  expect(1 - toSill(ditch) / toSill(laid.ditch)).toBeCloseTo(built.bed!.lostHere_ratio, 1)
  const twice = asBuilt(
    laid,
    readings((what, at) => (what === 'bed' && at === 10 ? 2 * e * depth_m : 0)),
  )
  expect(twice.bed!.withinTolerance).toBe(false)
})

test('the sill: as built, out of level, too low and too high', () => {
  const off = (mm: (at: number) => number) =>
    asBuilt(
      laid,
      readings((what, at) => (what === 'sill' ? mm(at) / 1000 : 0)),
    )
  expect(off(() => 5).sill!.withinTolerance).toBe(true)
  expect(off(() => 20).remarks.map(r => r.code)).toEqual(['as-built/sill-higher'])
  expect(off(() => -20).remarks.map(r => r.code)).toEqual(['as-built/sill-lower'])
  expect(off(at => (at === 0 ? -10 : 10)).remarks.map(r => r.code)).toContain('as-built/sill-not-level')
  const ditch = ditchBuilt(laid.ditch, off(() => -20).built, settings)
  expect(laid.ditch.spillLevel_m - ditch.spillLevel_m).toBeCloseTo(0.02, 9)
})

test('a fresh berm is judged by what it settles to', () => {
  const heaped = stakes.flatMap((s): BuiltReading[] =>
    s.crest_m === null ? [] : [{ what: 'crest', chainage_m: s.chainage_m, level_m: s.ground_m + s.bermToBuild_m! }],
  )
  expect(asBuilt(laid, heaped, { fresh: true }).lowSpots).toEqual([])
  const flat = heaped.map(r => ({ ...r, level_m: r.level_m - 0.05 }))
  expect(asBuilt(laid, flat, { fresh: true }).lowSpots[0]!.depth_m).toBeCloseTo(0.04, 6)
})

test('what was not read is said: gaps, no crest, no sill', () => {
  const few = asBuilt(laid, [
    { what: 'crest', chainage_m: 5, level_m: stakes[5]!.crest_m! },
    { what: 'crest', chainage_m: 38, level_m: stakes[5]!.crest_m! },
  ])
  expect(few.remarks).toContainEqual({ code: 'as-built/gap', chainage_m: 5, value_m: 33 })
  expect(few.remarks.map(r => r.code)).toContain('as-built/no-sill')
  expect(asBuilt(laid, [{ what: 'bed', chainage_m: 5, level_m: stakes[5]!.bed_m }]).remarks.map(r => r.code)).toContain('as-built/no-crest')
})

test.each([
  [[], 'as-built/no-readings'],
  [[{ what: 'bed', chainage_m: 60, level_m: 99 }], 'as-built/off-line'],
  [[{ what: 'bed', chainage_m: Number.NaN, level_m: 99 }], 'as-built/off-line'],
  [[{ what: 'bed', chainage_m: 5, level_m: Number.NaN }], 'as-built/bad-level'],
  [[{ what: 'bed', chainage_m: 5, level_m: 0.35 }], 'as-built/far-from-plan'],
  [
    [
      { what: 'bed', chainage_m: 5, level_m: 99.5 },
      { what: 'bed', chainage_m: 5.01, level_m: 99.5 },
    ],
    'as-built/twice',
  ],
] as const)('refused: %o', (given, code) => {
  expect(() => asBuilt(laid, given)).toThrow(expect.objectContaining({ code }) as InputError)
})

test('a bowl is built again at its own crest', () => {
  const bowl = laidOn(SLOPE, STRAIGHT, { sectionForm: 'bowl', depth_m: 0.4 })
  const ditch = ditchBuilt(bowl.laid.ditch, { bedOff: [], crestOff: [{ chainage_m: 20, off_m: -0.06 }], sill_m: null }, bowl.settings)
  expect(bowl.laid.ditch.crestLevel_m - ditch.crestLevel_m).toBeCloseTo(0.06, 4)
})
