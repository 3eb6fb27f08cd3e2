import {
  crossSection,
  type DugLine,
  dugSection,
  groundAsDug,
  heldOnGround,
  lineStorage_m3,
  type Section,
  sectionStorage_m2,
} from 'soakline/earthworks'
import { InputError } from 'soakline/foundation'
import { type ElevationGrid, type Ground, groundHeight_m, groundWindow, type Point, pathLength_m, surfaceValue } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { USUAL_DITCH } from '../../../../tests/helpers/ditches.js'
import { arc, cone, gridOf, lineAcross, plane } from '../../../../tests/helpers/surfaces.js'

/** Water held at a level over the bed, on the fine cells round the line. */
function held(ground: Ground, dug: DugLine, level_m: number, margin_m: number) {
  const xs = dug.line.map(([x]) => x)
  const ys = dug.line.map(([, y]) => y)
  const window = groundWindow(
    ground,
    {
      west_m: Math.min(...xs) - margin_m,
      east_m: Math.max(...xs) + margin_m,
      south_m: Math.min(...ys) - margin_m,
      north_m: Math.max(...ys) + margin_m,
    },
    ground.patches[0]!.geometry.cell_m,
  )
  // A metre uphill of the lip lies the bed.
  const side = dug.downhill === 'right' ? 1 : -1
  const middle = Math.floor(dug.line.length / 2)
  const [ax, ay] = dug.line[middle - 1]!
  const [bx, by] = dug.line[middle]!
  const long = Math.hypot(bx - ax, by - ay)
  const over: Point[] = [[(ax + bx) / 2 - (side * (by - ay)) / long, (ay + by) / 2 + (side * (bx - ax)) / long]]
  return heldOnGround(window, over, dug.bed_m + level_m)
}

const dugOn = (base: ElevationGrid, line: readonly Point[], section: Section, downhill: 'left' | 'right'): DugLine => ({
  line,
  downhill,
  bed_m: surfaceValue(base, line[0]!) - section.lip_z_m,
  stakes: [{ chainage_m: 0, section }],
})

describe('storage from the ground as dug agrees with that of the sections', () => {
  for (const azimuth of [0, 37, 90, 213])
    test(`on a plane of 10 % that falls towards ${azimuth}°, within 1 %`, () => {
      const centre: Point = [40, 40]
      const base = gridOf(80, 80, 1, plane(azimuth, 0.1, centre))
      const section = crossSection(USUAL_DITCH, 0.1)
      const line = lineAcross(azimuth, centre, 0, 30)
      // The helper runs so that downhill lies on the right where its normal points ahead: asked of the ground itself.
      const [east, north] = [line[1]![0] - line[0]![0], line[1]![1] - line[0]![1]]
      const right: Point = [line[0]![0] + 2 * north, line[0]![1] - 2 * east]
      const downhill = surfaceValue(base, right) < surfaceValue(base, line[0]!) ? 'right' : 'left'
      const dug = dugOn(base, line, section, downhill)
      const ground = groundAsDug(base, dug)
      for (const level of [0.2, section.lip_z_m, section.sill_z_m]) {
        const answer = held(ground, dug, level, 12)
        expect(answer.reachesRim).toBe(false)
        expect(answer.volume_m3 / (sectionStorage_m2(section, level) * 30) - 1).toBeGreaterThan(-0.01)
        expect(answer.volume_m3 / (sectionStorage_m2(section, level) * 30) - 1).toBeLessThan(0.01)
      }
    })

  test('on a cone of 12 %, round a top 300 m away, within 1 %', () => {
    const top: Point = [30, -270]
    const base = gridOf(60, 60, 1, cone(0.12, top))
    const line = arc(0, top, 300, 30)
    const section = crossSection(USUAL_DITCH, 0.12)
    const first = line[0]!
    const [east, north] = [line[1]![0] - first[0], line[1]![1] - first[1]]
    const downhill = surfaceValue(base, [first[0] + north * 2, first[1] - east * 2]) < surfaceValue(base, first) ? 'right' : 'left'
    const dug = dugOn(base, line, section, downhill)
    const answer = held(groundAsDug(base, dug), dug, section.sill_z_m, 12)
    expect(answer.reachesRim).toBe(false)
    const bySections = lineStorage_m3([section, section], pathLength_m(line), section.sill_z_m)
    expect(Math.abs(answer.volume_m3 / bySections - 1)).toBeLessThan(0.01)
  })

  test('a bowl cut into a plane, within 1 %', () => {
    const base = gridOf(80, 80, 1, plane(180, 0.08, [40, 40]))
    const section = dugSection(
      { form: 'bowl', topWidth_m: 2.4, depth_m: 0.45 },
      { innerSlope_ratio: 1.5, outerSlope_ratio: 2, crestWidth_m: 0.5, bermPerCut_ratio: 0.9, freeboard_m: 0.15 },
      [
        [-15, 1.2],
        [15, -1.2],
      ],
    )
    const line: Point[] = [
      [25, 40],
      [55, 40],
    ]
    const dug: DugLine = {
      line,
      downhill: 'right',
      bed_m: surfaceValue(base, line[0]!) - section.lip_z_m,
      stakes: [{ chainage_m: 0, section }],
    }
    const answer = held(groundAsDug(base, dug), dug, section.sill_z_m, 12)
    expect(answer.reachesRim).toBe(false)
    expect(Math.abs(answer.volume_m3 / (section.storageToSill_m2 * 30) - 1)).toBeLessThan(0.01)
  })
})

describe('laws', () => {
  const base = gridOf(60, 60, 1, plane(180, 0.1, [30, 30]))
  const section = crossSection(USUAL_DITCH, 0.1)
  const line: Point[] = [
    [20, 30],
    [30, 30],
    [40, 30],
  ]
  const dug = { ...dugOn(base, line, section, 'right'), sill: { from_m: 8, to_m: 12, z_m: section.sill_z_m } }
  const ground = groundAsDug(base, dug)

  test('cells are no wider than an eighth of the bed', () => {
    for (const patch of ground.patches) expect(patch.geometry.cell_m).toBeLessThanOrEqual(USUAL_DITCH.bedWidth_m / 8)
  })

  test('away from the strip nothing changes; inside it nothing lies under the bed or over the crest but old ground', () => {
    for (const patch of ground.patches) {
      const { width, height, cell_m, west_m, north_m } = patch.geometry
      for (let cell = 0; cell < width * height; cell += 7) {
        const place: Point = [west_m + ((cell % width) + 0.5) * cell_m, north_m - (Math.floor(cell / width) + 0.5) * cell_m]
        const old = surfaceValue(base, place)
        const now = patch.data[cell]!
        if (place[1] > 36 || place[1] < 24) expect(now).toBe(Math.fround(old))
        if (now < old - 1e-4) expect(now).toBeGreaterThanOrEqual(dug.bed_m - 1e-4)
        if (now > old + 1e-4) expect(now).toBeLessThanOrEqual(dug.bed_m + section.crest_z_m + 1e-4)
      }
    }
    expect(groundHeight_m(ground, [5, 50])).toBe(surfaceValue(base, [5, 50]))
  })

  test('the sill is let into the berm, so that the pool runs out there and no higher', () => {
    const crown = section.lip_x_m - section.outerToe_x_m
    expect(crown).toBeLessThan(0)
    const overSill = groundHeight_m(ground, [30, 30 - 0.75])
    const overBerm = groundHeight_m(ground, [24, 30 - 0.75])
    expect(overSill - dug.bed_m).toBeCloseTo(section.sill_z_m, 2)
    expect(overBerm - dug.bed_m).toBeCloseTo(section.crest_z_m, 2)
    expect(held(ground, dug, section.sill_z_m - 0.01, 12).reachesRim).toBe(false)
    expect(held(ground, dug, section.sill_z_m + 0.02, 12).reachesRim).toBe(true)
  })

  test('a sill below the lip is cut into the old ground, with no fill under the water', () => {
    const low = groundAsDug(base, { ...dug, sill: { from_m: 8, to_m: 12, z_m: section.lip_z_m - 0.1 } })
    expect(groundHeight_m(low, [30, 29.8]) - dug.bed_m).toBeCloseTo(section.lip_z_m - 0.1, 2)
    expect(groundHeight_m(low, [30, 28])).toBeCloseTo(surfaceValue(base, [30, 28]), 4)
    expect(held(low, dug, section.lip_z_m - 0.11, 12).reachesRim).toBe(false)
    expect(held(low, dug, section.lip_z_m - 0.08, 12).reachesRim).toBe(true)
  })

  test('where the base has no data there is none after the work', () => {
    const gap = { ...base, data: base.data.map((z, cell) => (cell === 30 * 60 + 30 ? Number.NaN : z)) }
    expect(groundHeight_m(groundAsDug(gap, dug), [30.5, 29.5])).toBeNaN()
  })
})

describe('refusals', () => {
  const base = gridOf(20, 20, 1, plane(180, 0.1, [10, 10]))
  const section = crossSection(USUAL_DITCH, 0.1)
  const code = (work: () => unknown): string => {
    try {
      work()
    } catch (error) {
      return error instanceof InputError ? error.code : 'other'
    }
    return 'answered'
  }
  const good: DugLine = {
    line: [
      [5, 10],
      [15, 10],
    ],
    downhill: 'right',
    bed_m: 99,
    stakes: [{ chainage_m: 0, section }],
  }
  test('each has its code', () => {
    expect(code(() => groundAsDug(base, good))).toBe('answered')
    expect(code(() => groundAsDug(base, { ...good, line: [[5, 10]] }))).toBe('dug/bad-line')
    expect(code(() => groundAsDug(base, { ...good, stakes: [] }))).toBe('dug/bad-stakes')
    expect(code(() => groundAsDug(base, good, { cell_m: 0.001 }))).toBe('dug/too-fine')
    expect(code(() => groundWindow({ base, patches: [] }, { west_m: 0, east_m: 0, south_m: 0, north_m: 1 }, 1))).toBe('ground/bad-window')
    expect(code(() => groundWindow({ base, patches: [] }, { west_m: 0, east_m: 9, south_m: 0, north_m: 9 }, 1e-4))).toBe(
      'ground/window-too-large',
    )
  })
})
