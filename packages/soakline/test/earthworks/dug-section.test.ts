import fc from 'fast-check'
import {
  type BermShape,
  bermCover,
  checkSpacing_m,
  crossSection,
  ditchWater,
  dugSection,
  earthAlong,
  earthBalance,
  fallingStorage_m3,
  gradedStorage_m3,
  linePool,
  lineStorage,
  machineHours,
  personDays,
  sectionStorage_m2,
  soakLevels,
  storageWithChecks_m3,
  suddenBreach,
  waterWidth_m,
} from 'soakline/earthworks'
import { emptyingTime_h } from 'soakline/hydrology'
import type { Point } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { USUAL_DITCH } from '../../../../tests/helpers/ditches.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'

fc.configureGlobal({ seed: 1, numRuns: 60, endOnFailure: true })

const berm: BermShape = { innerSlope_ratio: 1.5, outerSlope_ratio: 2, crestWidth_m: 0.5, bermPerCut_ratio: 0.9, freeboard_m: 0.15 }
const slope = (s: number): Point[] => [
  [-30, 30 * s],
  [30, -30 * s],
]

describe('sections cut into the real ground', () => {
  test('oracle: a trapezoid on a plane is the section worked out by formula', () =>
    fc.assert(
      fc.property(evenly(0.3, 2), evenly(0.2, 0.8), evenly(0, 2), evenly(0, 3), evenly(0.01, 0.2), (bed, depth, cutSide, inner, s) => {
        const shape = {
          bedWidth_m: bed,
          depth_m: depth,
          cutSideSlope_ratio: cutSide,
          bermInnerSlope_ratio: inner,
          bermOuterSlope_ratio: 2,
          crestWidth_m: 0.3,
          bermPerCut_ratio: 0.9,
          freeboard_m: 0.1,
        }
        if (refusalCode(() => crossSection(shape, s)) !== 'answered') return
        const exact = crossSection(shape, s)
        const cut = { form: 'trapezoid', bedWidth_m: bed, depth_m: depth, sideSlope_ratio: cutSide } as const
        const dug = dugSection(cut, { ...berm, innerSlope_ratio: inner, crestWidth_m: 0.3, freeboard_m: 0.1 }, slope(s))
        for (const name of ['cut_m2', 'berm_m2', 'crest_z_m', 'sill_z_m', 'topWidth_m', 'waterAgainstFill_m'] as const)
          expect(Math.abs(dug[name] - exact[name]), name).toBeLessThan(1e-9)
        expect(Math.abs(dug.outerToe_x_m - (exact.outerToe_x_m - exact.lip_x_m))).toBeLessThan(1e-9)
        // The formula trusts 20 m of ground uphill, the drawn ground reaches 30 m.
        const level = Math.min(exact.sill_z_m, exact.holds_z_m)
        expect(Math.abs(ditchWater(dug, level).area_m2 - sectionStorage_m2(exact, level))).toBeLessThan(1e-9)
      }),
    ))

  test('law: water from the drawn outline is that of the formula, for any section', () =>
    fc.assert(
      fc.property(evenly(0.3, 2), evenly(0.2, 0.8), evenly(0, 2), evenly(0.02, 0.2), evenly(0.05, 1), (bed, depth, side, s, share) => {
        const shape = {
          bedWidth_m: bed,
          depth_m: depth,
          cutSideSlope_ratio: side,
          bermInnerSlope_ratio: 1.5,
          bermOuterSlope_ratio: 2,
          crestWidth_m: 0.3,
          bermPerCut_ratio: 0.9,
          freeboard_m: 0.1,
        }
        if (refusalCode(() => crossSection(shape, s)) !== 'answered') return
        const section = crossSection(shape, s)
        const level = share * section.crest_z_m
        const water = ditchWater(section, level)
        expect(Math.abs(water.area_m2 - sectionStorage_m2(section, level))).toBeLessThan(1e-9)
        expect(Math.abs(water.width_m - waterWidth_m(section, level))).toBeLessThan(1e-6)
      }),
    ))

  test('a bowl on level ground holds two thirds of width × depth up to its lip', () => {
    const bowl = dugSection({ form: 'bowl', topWidth_m: 2.4, depth_m: 0.45 }, berm, slope(0))
    expect(bowl.cut_m2 / ((2 / 3) * 2.4 * 0.45)).toBeCloseTo(1 - 1 / 128 ** 2, 9)
    expect(bowl.topWidth_m).toBeCloseTo(2.4, 9)
    expect(bowl.berm_m2).toBeCloseTo(0.9 * bowl.cut_m2, 9)
  })

  test('a drawn cut goes on uphill as its first piece until it comes out of the ground', () => {
    const cut: Point[] = [
      [-1.4, -0.4],
      [-0.4, -0.4],
      [0, 0],
    ]
    const drawn = dugSection({ form: 'drawn', points: [[-1.8, 0], ...cut] }, berm, slope(0.1))
    const formula = dugSection({ form: 'trapezoid', bedWidth_m: 1, depth_m: 0.4, sideSlope_ratio: 1 }, berm, slope(0.1))
    expect(drawn.cut_m2).toBeCloseTo(formula.cut_m2, 12)
    expect(drawn.uphillEdge_x_m).toBeCloseTo(formula.uphillEdge_x_m, 12)
  })

  test('ground that breaks uphill is followed: a bank there makes the cut larger, a terrace smaller', () => {
    const cut = { form: 'trapezoid', bedWidth_m: 1, depth_m: 0.4, sideSlope_ratio: 1 } as const
    const plain = dugSection(cut, berm, slope(0.1)).cut_m2
    expect(
      dugSection(cut, berm, [
        [-30, 3],
        [-1, 0.3],
        [0, 0],
        [30, -3],
      ]).cut_m2,
    ).toBeGreaterThan(plain)
    expect(
      dugSection(cut, berm, [
        [-30, 2.9],
        [-1, 0],
        [0, 0],
        [30, -3],
      ]).cut_m2,
    ).toBeLessThan(plain)
  })

  test('refusals', () => {
    const cut = { form: 'trapezoid', bedWidth_m: 1, depth_m: 0.4, sideSlope_ratio: 1 } as const
    expect(
      refusalCode(() =>
        dugSection(cut, berm, [
          [0, 0],
          [1, 0],
        ]),
      ),
    ).toBe('section/bad-ground')
    expect(
      refusalCode(() =>
        dugSection(cut, berm, [
          [-1, 0.1],
          [10, -1],
        ]),
      ),
    ).toBe('section/cut-never-ends')
    expect(
      refusalCode(() =>
        dugSection(cut, berm, [
          [-10, 1],
          [1, -0.1],
        ]),
      ),
    ).toBe('section/no-toe')
    expect(refusalCode(() => dugSection(cut, { ...berm, crestWidth_m: 8 }, slope(0.1)))).toBe('section/berm-below-lip')
    expect(refusalCode(() => dugSection(cut, { ...berm, freeboard_m: 2 }, slope(0.1)))).toBe('section/sill-below-bed')
    expect(
      refusalCode(() =>
        dugSection(cut, berm, [
          [-30, 0],
          [-10, -1],
          [-3, 0.3],
          [0, 0],
          [30, -3],
        ]),
      ),
    ).toBe('section/hollow-uphill')
    expect(refusalCode(() => dugSection({ ...cut, depth_m: 0 }, berm, slope(0.1)))).toBe('section/bad-shape')
    expect(
      refusalCode(() =>
        dugSection(
          {
            form: 'drawn',
            points: [
              [-1, 0],
              [0, 0],
            ],
          },
          berm,
          slope(0.1),
        ),
      ),
    ).toBe('section/bad-shape')
    expect(refusalCode(() => ditchWater(dugSection(cut, berm, slope(0.1)), 3))).toBe('section/level-over-crest')
  })
})

describe('soaking away', () => {
  const section = dugSection({ form: 'trapezoid', bedWidth_m: 1, depth_m: 0.4, sideSlope_ratio: 3 }, berm, slope(0.02))

  test('through bed and sides alike a trapezoid 0.4 m deep at 13 mm/h takes 29.98 h; through its bed alone 67.7 h (worked by integral)', () => {
    expect(emptyingTime_h(soakLevels(section, 0.4, 1), 13)).toBeCloseTo(29.98, 1)
    expect(emptyingTime_h(soakLevels(section, 0.4), 13)).toBeCloseTo(67.7, 1)
  })

  test('law: sides that take more never make it last longer', () => {
    const times = [0, 0.3, 0.6, 1].map(share => emptyingTime_h(soakLevels(section, section.sill_z_m, share), 10))
    for (let k = 1; k < times.length; k++) expect(times[k]!).toBeLessThan(times[k - 1]!)
  })

  test('a shelf widens the water at once: the time is the sum over both pieces', () => {
    const shelf: Point[] = [
      [-3, 0],
      [-3, -0.3],
      [-2, -0.3],
      [-2, -0.6],
      [-1, -0.6],
      [0, 0],
    ]
    const ditch = dugSection({ form: 'drawn', points: shelf }, berm, slope(0))
    const byHand = ditchWater(ditch, 0.5).area_m2 / 0.02
    expect(emptyingTime_h(soakLevels(ditch, 0.5), 20)).toBeCloseTo(byHand, 5)
  })

  test('the pool of a line holds what its sections hold, and soaks through its beds', () => {
    const sections = [section, section, section]
    const levels = linePool(sections, 5, { bed_mmh: 36 })
    expect(levels[0]!.storage_m3).toBe(0)
    expect(levels.at(-1)!.storage_m3).toBeCloseTo(10 * section.storageToCrest_m2, 9)
    expect(levels.every(row => Math.abs(row.soak_m3s - 1e-4) < 1e-12)).toBe(true)
    const withSides = linePool(sections, 5, { bed_mmh: 36, sides_mmh: 18 })
    expect(withSides.at(-1)!.soak_m3s).toBeGreaterThan(1e-4)
    expect(refusalCode(() => linePool(sections, 5, { bed_mmh: -1 }))).toBe('line/bad-intake')
    expect(refusalCode(() => linePool(sections, 5, { bed_mmh: 1 }, { step_m: 0 }))).toBe('line/bad-step')
  })
})

describe('falling ditches', () => {
  test('oracle: any section by the general rule is the trapezoid by formula, and the parabola by many slices', () =>
    fc.assert(
      fc.property(evenly(0.2, 2), evenly(0.1, 3), evenly(0, 0.02), (bed, z, fall_ratio) => {
        const general = fallingStorage_m3({
          shape: { form: 'trapezoid', bedWidth_m: bed, sideSlope_ratio: z },
          depthAtSill_m: 0.4,
          length_m: 60,
          fall_ratio,
        })
        const exact = gradedStorage_m3({ bedWidth_m: bed, sideSlope_ratio: z, depthAtSill_m: 0.4, length_m: 60, fall_ratio })
        expect(Math.abs(general / exact - 1)).toBeLessThan(1e-7)
        const bowl = { form: 'bowl', topWidth_m: 2, depth_m: 0.5 } as const
        const slices = 4000
        let sum = 0
        for (let k = 0; k < slices; k++) {
          const depth = 0.4 - (fall_ratio * 60 * (k + 0.5)) / slices
          if (depth > 0) sum += ((2 / 3) * 2 * Math.sqrt(depth / 0.5) * depth * 60) / slices
        }
        expect(Math.abs(fallingStorage_m3({ shape: bowl, depthAtSill_m: 0.4, length_m: 60, fall_ratio }) / sum - 1)).toBeLessThan(1e-5)
      }),
    ))

  test('check banks bring the storage back: at 1 % a ditch 100 m long keeps 42 of 100 m³ instead of 21 with banks every 25 m … and all when close', () => {
    const ditch = {
      shape: { form: 'trapezoid', bedWidth_m: 1, sideSlope_ratio: 2 },
      depthAtSill_m: 0.5,
      length_m: 100,
      fall_ratio: 0.01,
    } as const
    expect(checkSpacing_m(0.5, 0.01)).toBe(50)
    expect(storageWithChecks_m3(ditch, 100)).toBeCloseTo(20.833, 3)
    expect(storageWithChecks_m3(ditch, 50)).toBeCloseTo(41.667, 3)
    expect(storageWithChecks_m3(ditch, 30)).toBeGreaterThan(storageWithChecks_m3(ditch, 50))
    expect(storageWithChecks_m3(ditch, 0.01)).toBeCloseTo(100, 1)
    expect(checkSpacing_m(0.5, 0)).toBe(Infinity)
    expect(refusalCode(() => storageWithChecks_m3(ditch, 0))).toBe('line/bad-spacing')
    expect(refusalCode(() => fallingStorage_m3({ ...ditch, fall_ratio: -1 }))).toBe('line/bad-ditch')
  })
})

describe('earth', () => {
  test('both rules along a line, and the balance', () => {
    const taper = earthAlong([2, 0.5], [1.125], 20)
    expect(taper.averageEndArea_m3).toBe(25)
    expect(taper.prismoidal_m3).toBeCloseTo(23.333, 3)
    expect(earthBalance(10, 8, 0.85).over_m3).toBeCloseTo(0.5, 12)
    expect(refusalCode(() => earthAlong([1, 2], [], 20))).toBe('volume/bad-area')
    expect(refusalCode(() => earthBalance(-1, 1, 1))).toBe('volume/bad-area')
  })

  test('days by hand are a range whose ends are the published outputs', () => {
    const days = personDays(30, 'firm', 0.5)
    expect(days.low_days).toBeCloseTo(30 / 3.5, 9)
    expect(days.high_days).toBeCloseTo(30 / 1.5, 9)
    expect(days.sources.length).toBe(3)
    expect(personDays(30, 'firm', 0.5, { carry_m: 15 }).low_days).toBeCloseTo(30 / 3.5 + 30 / (3.23 * 6), 9)
    expect(refusalCode(() => personDays(30, 'firm', 1.6))).toBe('labour/too-deep')
    expect(refusalCode(() => personDays(30, 'firm', 0.5, { carry_m: 60 }))).toBe('labour/too-far')
    expect(refusalCode(() => personDays(-1, 'firm', 0.5))).toBe('labour/bad-volume')
    expect(machineHours(30, '0.3', 'clay')).toMatchObject({ low_h: 30 / 5.2, high_h: 30 / 3.3 })
  })

  test('mulch covers crest and outer face', () => {
    const section = crossSection(USUAL_DITCH, 0)
    const face = (section.crest_z_m - section.lip_z_m) * Math.sqrt(5)
    const cover = bermCover([section, section], 10, 0.1)
    expect(cover.area_m2).toBeCloseTo(10 * (0.5 + face), 9)
    expect(cover.mulch_m3).toBeCloseTo(cover.area_m2 * 0.1, 12)
    expect(refusalCode(() => bermCover([section, section], 10, 0.5))).toBe('cover/bad-depth')
    expect(lineStorage([section, section], 10).length_m).toBe(10)
  })

  test('a sudden breach refuses a depth below 0', () => expect(refusalCode(() => suddenBreach(-1))).toBe('breach/bad-depth'))
})
