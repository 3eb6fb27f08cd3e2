import fc from 'fast-check'
import {
  catchmentOutline,
  dependenceOn,
  drainage,
  flowNetwork,
  lineCatchment,
  spreadFrom,
  spreadFromCells,
  studyWater,
  walkScratch,
} from 'soakline/hydrology'
import { cellCentre, type Point, pathLength_m, ringArea_m2, surfaceValue } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import {
  arc,
  cone,
  gridOf,
  heading,
  hollowCone,
  lineAcross,
  plane,
  reshaped,
  roof,
  saddle,
  terrain,
} from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 29, numRuns: cases() })

const someGround = fc.oneof(anyDice({ most: 10 }), anyTerrain({ most: 24 }))
const fraction = evenly(0, 0.999999)

describe('dependence on marked cells', () => {
  test('law: what a cell gives a place is what the place gets of the cell’s water', () =>
    fc.assert(
      fc.property(someGround, fraction, fraction, (ground, from, to) => {
        const net = flowNetwork(ground, drainage(ground))
        const [a, b] = [from, to].map(where => Math.floor(where * ground.data.length)) as [number, number]
        const spread = spreadFrom(net, cellCentre(ground.geometry, a))
        const marked = new Uint8Array(ground.data.length)
        marked[b] = 1
        if (!spread) return
        const at = spread.cells.indexOf(b)
        // Shares below a millionth are not followed.
        expect(Math.abs(dependenceOn(net, marked).data[a]! - (at < 0 ? 0 : spread.share_ratio[at]!))).toBeLessThan(1e-4)
      }),
      { numRuns: cases(300) },
    ))

  test('law: shares lie in 0–1, are 1 on the marks, and more marks never lower one', () =>
    fc.assert(
      fc.property(someGround, fraction, fraction, (ground, one, two) => {
        const net = flowNetwork(ground, drainage(ground))
        const marked = new Uint8Array(ground.data.length)
        marked[Math.floor(one * marked.length)] = 1
        const few = dependenceOn(net, marked).data
        marked[Math.floor(two * marked.length)] = 1
        dependenceOn(net, marked).data.forEach((share, cell) => {
          expect(share).toBeGreaterThanOrEqual(few[cell]! - 1e-12)
          expect(share).toBeLessThanOrEqual(1 + 1e-12)
          if (marked[cell]) expect(share).toBe(1)
        })
      }),
    ))
})

describe('the outline of a catchment and its ridge', () => {
  const CENTRE: Point = [80.3, 79.6]

  test.each([0, 22.5, 45, 71, 180, 301])('a roof that falls towards %s°: the ring is the rectangle, its far side the ridge', azimuth => {
    const ground = gridOf(160, 160, 1, roof(azimuth, 0.1, CENTRE))
    const { net, rim } = studyWater(ground)
    const line = lineAcross(azimuth, CENTRE, 40, 60)
    const caught = lineCatchment(net, ground, line, rim)
    const { rings, ridges, highPoint, ridgeLength_m } = catchmentOutline(ground, caught, line)
    const area = rings.reduce((sum, ring) => sum + ringArea_m2(ring), 0)
    expect(Math.abs(area / (60 * 40) - 1)).toBeLessThan(0.03)
    expect(highPoint!.elevation_m).toBeGreaterThan(99.8)
    expect(Math.abs(ridgeLength_m - 60)).toBeLessThan(12)
    const [east, north] = heading(azimuth)
    for (const [x, y] of ridges.flat()) expect(Math.abs((x - CENTRE[0]) * east + (y - CENTRE[1]) * north)).toBeLessThan(4)
    expect(ridges.reduce((sum, run) => sum + pathLength_m(run), 0)).toBeCloseTo(ridgeLength_m, 9)
  })

  test('a cone: the ring narrows to the summit, which is its highest point', () => {
    const ground = gridOf(160, 160, 1, cone(0.1, CENTRE))
    const { net, rim } = studyWater(ground)
    const line = arc(31, CENTRE, 60, 70)
    const { rings } = catchmentOutline(ground, lineCatchment(net, ground, line, rim), line)
    expect(rings).toHaveLength(1)
    expect(Math.abs(ringArea_m2(rings[0]!) / (60 * 35) - 1)).toBeLessThan(0.03)
    expect(Math.min(...rings[0]!.map(([x, y]) => Math.hypot(x - CENTRE[0], y - CENTRE[1])))).toBeLessThan(4)
  })

  // The 3 cells next to each corner of the outline see two slopes at once.
  test.each([0, 13, 22.5, 31, 45, 71, 107, 180, 301])(
    'ridge lengths at %s°: a roof’s as long as the line, a hollow cone’s in the ratio of the radii, a cone has none',
    azimuth => {
      const centre: Point = [100.3, 99.6]
      const outlineOf = (surface: (x: number, y: number) => number, line: readonly Point[]) => {
        const ground = gridOf(200, 200, 1, surface)
        const { net, rim } = studyWater(ground)
        return catchmentOutline(ground, lineCatchment(net, ground, line, rim), line)
      }
      const onRoof = outlineOf(roof(azimuth, 0.1, centre), lineAcross(azimuth, centre, 50, 80))
      expect(Math.abs(onRoof.ridgeLength_m - 80)).toBeLessThan(4)
      expect(onRoof.ridges).toHaveLength(1)
      expect(Math.abs(onRoof.highPoint!.elevation_m - 100)).toBeLessThan(0.1)

      const inHollow = outlineOf(hollowCone(0.1, centre, 80), arc(azimuth, centre, 40, 60))
      expect(Math.abs(inHollow.ridgeLength_m - 120)).toBeLessThan(6)
      expect(Math.abs(Math.hypot(inHollow.highPoint!.at[0] - centre[0], inHollow.highPoint!.at[1] - centre[1]) - 80)).toBeLessThan(2)

      // Only its summit, some cells wide.
      expect(outlineOf(cone(0.1, centre), arc(azimuth, centre, 60, 70)).ridgeLength_m).toBeLessThan(10)
    },
  )

  test.each([0.25, 4])('cells of %s m: a ridge of a ground that is so many times as large is so many times as long', times => {
    const azimuth = 22.5
    const ridgesAt = (cell_m: number): readonly (readonly Point[])[] => {
      const centre: Point = [60.3 * cell_m, 59.6 * cell_m]
      const ground = gridOf(120, 120, cell_m, roof(azimuth, 0.125, centre))
      const { net, rim } = studyWater(ground)
      const line = lineAcross(azimuth, centre, 25 * cell_m, 40 * cell_m)
      return catchmentOutline(ground, lineCatchment(net, ground, line, rim), line).ridges
    }
    const [one, many] = [ridgesAt(1), ridgesAt(times)]
    expect(many.map(ridge => ridge.length)).toEqual(one.map(ridge => ridge.length))
    for (const [k, ridge] of many.entries()) expect(Math.abs(pathLength_m(ridge) / times - pathLength_m(one[k]!))).toBeLessThan(0.01)
  })

  test('a saddle: its high point is not where the raster cuts the crest off', () => {
    const ground = gridOf(160, 160, 1, saddle(0, 0.002, CENTRE))
    const { net, rim } = studyWater(ground)
    const line = lineAcross(90, CENTRE, 40, 40)
    const caught = lineCatchment(net, ground, line, rim)
    const { highPoint, ridges } = catchmentOutline(ground, caught, line)
    expect(caught.cutByEdge).toBe(true)
    for (const [, y] of [highPoint!.at, ...ridges.flat()]) expect(y > 1 && y < 159).toBe(true)
    // The crest runs north and south through the middle.
    for (const [x] of ridges.flat()) expect(Math.abs(x - CENTRE[0])).toBeLessThan(4)
  })

  test('neither the border nor a void is a ridge or a high point', () => {
    const slope = gridOf(60, 60, 1, plane(180, 0.1, [30, 30]))
    const holed = reshaped(slope, (z, cell) => (Math.floor(cell / 60) < 20 && cell % 60 > 15 && cell % 60 < 45 ? Number.NaN : z))
    for (const ground of [slope, holed]) {
      const { net, rim } = studyWater(ground)
      const line = lineAcross(180, [30, 30], 15, 20)
      const { ridges, highPoint } = catchmentOutline(ground, lineCatchment(net, ground, line, rim), line)
      expect(ridges).toEqual([])
      // Only the sides are left, below the cut-off cells.
      expect(highPoint!.at[1]).toBeLessThan(ground === slope ? 59 : 39)
    }
  })

  describe.each([0, 45, 90, 135, 180, 225, 270, 315])('towards %s°', azimuth => {
    const [east, north] = heading(azimuth)

    test('a divide falls off by at least three tenths of the slope on its near side', () => {
      // From the crest the ground falls at 10 % towards the line, and at 2 % or at 4 % on the far side.
      const ridgeOf = (far_ratio: number): number => {
        const ground = gridOf(120, 120, 1, (x, y) => {
          const from = (x - 60.3) * east + (y - 59.6) * north
          return 100 - (from > 0 ? 0.1 * from : -far_ratio * from)
        })
        const { net, rim } = studyWater(ground)
        const line = lineAcross(azimuth, [60.3, 59.6], 25, 40)
        return catchmentOutline(ground, lineCatchment(net, ground, line, rim), line).ridgeLength_m
      }
      expect(ridgeOf(0.02)).toBeLessThan(5)
      expect(ridgeOf(0.04)).toBeGreaterThan(32)
    })

    test('neither the border nor a void is a high point, on whichever side it lies', () => {
      const rising = plane(azimuth, 0.1, [30, 24])
      const ground = gridOf(60, 48, 1, (x, y) => (-(x - 30) * east - (y - 24) * north > 18 ? Number.NaN : rising(x, y)))
      for (const on of [ground, gridOf(60, 48, 1, rising)]) {
        const { net, rim } = studyWater(on)
        const line = lineAcross(azimuth, [30, 24], 12, 16)
        const { highPoint, ridges } = catchmentOutline(on, lineCatchment(net, on, line, rim), line)
        expect(ridges).toEqual([])
        const [x, y] = highPoint!.at
        const g = on.geometry
        // More than the outermost cell away from what is not known.
        expect(Math.min(x, y, g.width - x, g.height - y)).toBeGreaterThan(1)
        if (on === ground) expect(-(x - 30) * east - (y - 24) * north).toBeLessThan(17.5)
        expect(highPoint!.elevation_m).toBe(surfaceValue(on, highPoint!.at))
      }
    })
  })

  describe('of a block of cells on a dome', () => {
    const ground = gridOf(40, 30, 1, (x, y) => 100 - 0.05 * ((x - 20.2) ** 2 + (y - 15.1) ** 2))
    const box = { firstColumn: 12, lastColumn: 27, firstRow: 9, lastRow: 20 }
    const share = {
      quantity: 'share_ratio' as const,
      geometry: ground.geometry,
      data: Float64Array.from({ length: 1200 }, (_, cell) => {
        const [column, row] = [cell % 40, Math.floor(cell / 40)]
        return column >= 12 && column <= 27 && row >= 9 && row <= 20 ? 1 : 0
      }),
    }

    test('where the ground falls away all round, the whole outline is one closed ridge', () => {
      const { rings, ridges } = catchmentOutline(ground, { share, box }, [[2, 2]])
      expect(rings).toHaveLength(1)
      expect(ridges).toHaveLength(1)
      expect(ridges[0]![0]).toEqual(ridges[0]![ridges[0]!.length - 1])
      expect(Math.abs(pathLength_m(ridges[0]!) - 2 * (16 + 12))).toBeLessThan(4)
    })

    test.each([
      [12, 14],
      [27, 13],
      [20, 9],
      [18, 20],
    ])('the line’s own cell (column %i, row %i) and two more to every side are no ridge; what lies beyond them is', (column, row) => {
      const line = [cellCentre(ground.geometry, row * 40 + column)]
      const near = ([x, y]: Point): boolean => Math.abs(Math.floor(x) - column) <= 2 && Math.abs(Math.floor(30 - y) - row) <= 2
      const { rings, ridges } = catchmentOutline(ground, { share, box }, line)
      const kept = rings[0]!.filter(at => !near(at))
      expect(kept.length).toBeLessThan(rings[0]!.length)
      expect(ridges.flat().filter(near)).toEqual([])
      expect(ridges).toHaveLength(1)
      // The ridge begins and ends with the last vertices of the outline that the line leaves.
      const ends = rings[0]!.filter((at, k, ring) => {
        const [before, after] = [ring[(k + ring.length - 1) % ring.length]!, ring[(k + 1) % ring.length]!]
        return !near(at) && (near(before) || near(after))
      })
      expect([ridges[0]![0]!, ridges[0]![ridges[0]!.length - 1]!].map(String).sort()).toEqual(ends.map(String).sort())
    })

    test('on level ground nothing falls away, and no ridge is a single place', () => {
      const level = gridOf(40, 30, 1, () => 7)
      const { ridges, highPoint } = catchmentOutline(level, { share, box }, [[2, 2]])
      expect(ridges).toEqual([])
      expect(highPoint!.elevation_m).toBe(7)
    })
  })

  test('law: every ridge has two places or more, all of them on the outline', () =>
    fc.assert(
      fc.property(anyTerrain({ least: 12, most: 30 }), fraction, fraction, (ground, x, y) => {
        const { net, rim } = studyWater(ground)
        const { width, height } = ground.geometry
        const line: Point[] = [
          [x * width, y * height],
          [(1 - x) * width, y * height],
        ]
        const { rings, ridges } = catchmentOutline(ground, lineCatchment(net, ground, line, rim), line)
        const outline = new Set(rings.flat().map(String))
        for (const ridge of ridges) {
          expect(ridge.length).toBeGreaterThan(1)
          for (const at of ridge) expect(outline).toContain(String(at))
        }
      }),
      { numRuns: cases(60) },
    ))

  test('a line that catches nothing has no outline', () => {
    const ground = gridOf(40, 40, 1, roof(0, 0.1, [20, 20]))
    const { net, rim } = studyWater(ground)
    const line: Point[] = [
      [200, 200],
      [220, 200],
    ]
    expect(catchmentOutline(ground, lineCatchment(net, ground, line, rim), line)).toEqual({
      rings: [],
      ridges: [],
      highPoint: null,
      ridgeLength_m: 0,
    })
  })
})

test('working memory is handed on clean: one spread after another is what each is alone', () => {
  const { net } = studyWater(terrain('rough', 6, 50, 50))
  const scratch = walkScratch(net.facet.length)
  for (const place of [
    [25.5, 40.5],
    [24.5, 39.5],
    [25.5, 40.5],
    [10.5, 30.5],
  ] as const)
    expect(spreadFrom(net, place, undefined, scratch)).toEqual(spreadFrom(net, place))
})

test('a share of a hundred-thousandth is followed, a smaller one is not', () => {
  const { net } = studyWater(gridOf(9, 9, 1, plane(180, 0.1, [0, 0])))
  const passed = (share: number): number => spreadFromCells(net, [[13, share]]).cells.length
  expect(passed(1e-5)).toBe(8)
  expect(passed(0.99e-5)).toBe(1)
})
