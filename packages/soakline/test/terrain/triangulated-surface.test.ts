import fc from 'fast-check'
import { seededRandom } from 'soakline/foundation'
import { cellCentre, type GridGeometry, type Point } from 'soakline/raster'
import {
  checkSurveyPoints,
  pointSpacing,
  type SurveyPoint,
  surfaceFromTriangles,
  surfaceFromTrianglesSteps,
  surveyGeometry,
} from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { plane, roof, type Surface } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 30, numRuns: 60 })

/** A net of points with their triangles: corners of squares pushed about by up to a third of a side, so that no square turns over. */
function net(seed: number, across: number, down: number, side_m: number, height: Surface): { points: SurveyPoint[]; triangles: number[] } {
  const random = seededRandom(seed)
  const points: SurveyPoint[] = []
  for (let r = 0; r < down; r++)
    for (let c = 0; c < across; c++) {
      const at: Point = [(c + (random.uniform() - 0.5) / 3) * side_m, (r + (random.uniform() - 0.5) / 3) * side_m]
      points.push({ at, elevation_m: height(...at), row: points.length + 1 })
    }
  const triangles: number[] = []
  for (let r = 0; r + 1 < down; r++)
    for (let c = 0; c + 1 < across; c++) {
      const k = r * across + c
      triangles.push(k, k + 1, k + across + 1, k, k + across + 1, k + across)
    }
  return { points, triangles }
}

/** Height at a place straight from barycentric coordinates, by Cramer's rule; NaN outside all triangles. */
function byHand(points: readonly SurveyPoint[], triangles: readonly number[], [x, y]: Point): number {
  for (let k = 0; k < triangles.length; k += 3) {
    const [a, b, c] = [0, 1, 2].map(n => points[triangles[k + n]!]!) as [SurveyPoint, SurveyPoint, SurveyPoint]
    const whole = (b.at[1] - c.at[1]) * (a.at[0] - c.at[0]) + (c.at[0] - b.at[0]) * (a.at[1] - c.at[1])
    const wa = ((b.at[1] - c.at[1]) * (x - c.at[0]) + (c.at[0] - b.at[0]) * (y - c.at[1])) / whole
    const wb = ((c.at[1] - a.at[1]) * (x - c.at[0]) + (a.at[0] - c.at[0]) * (y - c.at[1])) / whole
    if (wa >= -1e-9 && wb >= -1e-9 && wa + wb <= 1 + 1e-9) return wa * a.elevation_m + wb * b.elevation_m + (1 - wa - wb) * c.elevation_m
  }
  return Number.NaN
}

const shuffled = <T>(list: readonly T[], seed: number): T[] => {
  const random = seededRandom(seed)
  return list
    .map(value => ({ value, at: random.uniform() }))
    .sort((a, b) => a.at - b.at)
    .map(({ value }) => value)
}

const random = (seed: number): Surface => {
  const numbers = seededRandom(seed)
  return () => 100 + 10 * numbers.uniform()
}
const seeds = fc.integer({ min: 1, max: 1e6 })

describe('laws of a surface from triangles', () => {
  test('oracle: barycentric heights at every cell centre, and void outside', () =>
    fc.assert(
      fc.property(seeds, fc.constantFrom(0.5, 1, 2), (seed, cell) => {
        const { points, triangles } = net(seed, 5, 4, 6, random(seed))
        const grid = surfaceFromTriangles(points, triangles, surveyGeometry(points, cell, 'local'))
        let inside = 0
        grid.data.forEach((z, k) => {
          const expected = byHand(points, triangles, cellCentre(grid.geometry, k))
          expect(Number.isNaN(z)).toBe(Number.isNaN(expected))
          if (Number.isNaN(z)) return
          inside++
          expect(Math.abs(z - expected)).toBeLessThan(1e-5)
        })
        expect(inside).toBeGreaterThan((0.8 * 24 * 18) / cell ** 2 - 60)
      }),
    ))

  test('a plane comes out as it is', () =>
    fc.assert(
      fc.property(seeds, evenly(0, 359), (seed, azimuth) => {
        const surface = plane(azimuth, 0.2, [10, 10])
        const { points, triangles } = net(seed, 6, 6, 5, surface)
        const { data, geometry } = surfaceFromTriangles(points, triangles, surveyGeometry(points, 1, 'local'))
        data.forEach((z, k) => {
          // Heights near 100 m are kept to 8e-6 m.
          if (!Number.isNaN(z)) expect(Math.abs(z - surface(...cellCentre(geometry, k)))).toBeLessThan(8e-6)
        })
      }),
    ))

  test('neither the order of points, of triangles, nor of corners changes a bit', () =>
    fc.assert(
      fc.property(seeds, seed => {
        const { points, triangles } = net(seed, 5, 5, 4, random(seed))
        const geometry = surveyGeometry(points, 0.5, 'local')
        const order = shuffled([...points.keys()], seed + 1)
        const place = order.map((_, k) => order.indexOf(k))
        const threes = shuffled(
          Array.from({ length: triangles.length / 3 }, (_, k) => triangles.slice(3 * k, 3 * k + 3)),
          seed + 2,
        )
        const other = surfaceFromTriangles(
          order.map(k => points[k]!),
          threes.flatMap((three, k) => shuffled(three, seed + k).map(p => place[p]!)),
          geometry,
        )
        expect([...other.data]).toEqual([...surfaceFromTriangles(points, triangles, geometry).data])
      }),
    ))

  test('mirrored points give the mirrored surface, bit for bit', () =>
    fc.assert(
      fc.property(seeds, fc.constantFrom<readonly [number, number]>([-1, 1], [1, -1], [-1, -1]), (seed, [flipX, flipY]) => {
        const { points, triangles } = net(seed, 5, 5, 4, random(seed))
        const geometry: GridGeometry = { width: 40, height: 40, cell_m: 1, west_m: -20, north_m: 20, crs: 'local' }
        const plain = surfaceFromTriangles(points, triangles, geometry).data
        const mirrored = surfaceFromTriangles(
          points.map(p => ({ ...p, at: [flipX * p.at[0], flipY * p.at[1]] as const })),
          triangles,
          geometry,
        ).data
        const back = Array.from(mirrored, (_, k) => {
          const [column, row] = [k % 40, Math.floor(k / 40)]
          return mirrored[(flipY < 0 ? 39 - row : row) * 40 + (flipX < 0 ? 39 - column : column)]!
        })
        expect(back).toEqual([...plain])
      }),
    ))

  test('no height leaves those of the points', () =>
    fc.assert(
      fc.property(seeds, seed => {
        const { points, triangles } = net(seed, 4, 4, 3, random(seed))
        const heights = points.map(p => Math.fround(p.elevation_m))
        for (const z of surfaceFromTriangles(points, triangles, surveyGeometry(points, 0.25, 'local')).data) {
          if (Number.isNaN(z)) continue
          expect(z).toBeGreaterThanOrEqual(Math.min(...heights))
          expect(z).toBeLessThanOrEqual(Math.max(...heights))
        }
      }),
    ))
})

describe('a surface from triangles, small cases', () => {
  const at = (x: number, y: number, elevation_m: number, row: number): SurveyPoint => ({ at: [x, y], elevation_m, row })

  test('centres on points and on a shared edge: the point’s height, and one value between two points', () => {
    // Corners on cell centres; the diagonal runs through the middle ones.
    const points = [at(0.5, 0.5, 1, 1), at(4.5, 0.5, 2, 2), at(4.5, 4.5, 4, 3), at(0.5, 4.5, 10, 4)]
    const geometry = surveyGeometry(points, 1, 'local')
    expect([geometry.width, geometry.height, geometry.west_m, geometry.north_m]).toEqual([5, 5, 0, 5])
    for (const triangles of [
      [0, 1, 2, 0, 2, 3],
      [3, 2, 0, 2, 1, 0],
    ]) {
      const { data } = surfaceFromTriangles(points, triangles, geometry)
      expect([data[20], data[24], data[4], data[0]]).toEqual([1, 2, 4, 10])
      expect([data[16], data[12], data[8]]).toEqual([1.75, 2.5, 3.25])
      expect([...data].some(Number.isNaN)).toBe(false)
    }
  })

  test('a roof measured along its crest keeps the crest', () => {
    const surface = roof(90, 0.1, [10, 10])
    const points = [0, 10, 20].flatMap(x => [0, 10, 20].map((y, k) => at(x, y, surface(x, y), x + k)))
    const triangles = [0, 1, 3, 4].flatMap(k => [k, k + 1, k + 4, k, k + 4, k + 3])
    const { data, geometry } = surfaceFromTriangles(points, triangles, surveyGeometry(points, 1, 'local'))
    data.forEach((z, k) => {
      if (!Number.isNaN(z)) expect(z).toBeCloseTo(surface(...cellCentre(geometry, k)), 5)
    })
  })

  test('beyond the points and across edges too long there is no ground', () => {
    const points = [at(0, 0, 1, 1), at(4, 0, 1, 2), at(0, 4, 1, 3), at(60, 60, 1, 4)]
    const triangles = [0, 1, 2, 1, 3, 2]
    const geometry: GridGeometry = { width: 80, height: 80, cell_m: 1, west_m: -10, north_m: 70, crs: 'local' }
    const cells = (limits?: { longestEdge_m: number }): number =>
      surfaceFromTriangles(points, triangles, geometry, limits).data.filter(z => !Number.isNaN(z)).length
    expect(cells({ longestEdge_m: 6 })).toBe(10)
    expect(cells({ longestEdge_m: Number.POSITIVE_INFINITY })).toBeGreaterThan(150)
    // By default four times the median edge.
    expect(pointSpacing(points, triangles).edge_m).toBeCloseTo(Math.sqrt(32), 9)
    expect(cells()).toBe(10)
  })

  /** Every order of three. */
  const ORDERS = [
    [0, 1, 2],
    [0, 2, 1],
    [1, 0, 2],
    [1, 2, 0],
    [2, 0, 1],
    [2, 1, 0],
  ] as const

  test('an edge as long as the limit is kept, a longer one is not, whichever of the three it is', () => {
    const corners: Point[] = [
      [0.5, 0.5],
      [3.5, 0.5],
      [0.5, 4.5],
    ]
    for (const heights of ORDERS) {
      const points = corners.map((place, k) => at(...place, heights[k]!, k))
      const cells = (longestEdge_m: number): number =>
        surfaceFromTriangles(points, [0, 1, 2], surveyGeometry(points, 1, 'local'), { longestEdge_m }).data.filter(z => !Number.isNaN(z))
          .length
      expect(cells(5)).toBe(11)
      expect(cells(4.999)).toBe(0)
      expect(cells(3.5)).toBe(0)
    }
  })

  test('a centre on an edge or a corner belongs to the triangle: on any of its edges, in either turning, far from the origin', () => {
    const [x, y] = [500_000, 4_100_000]
    const corners: Point[] = [
      [x + 0.5, y + 0.5],
      [x + 2.5, y + 0.5],
      [x + 0.5, y + 4.5],
    ]
    const geometry: GridGeometry = { width: 3, height: 5, cell_m: 1, west_m: x, north_m: y + 5, crs: 'local' }
    for (const heights of ORDERS)
      for (const triangle of ORDERS) {
        const points = corners.map((place, k) => at(...place, heights[k]!, k))
        const [a, b, c] = heights
        const { data } = surfaceFromTriangles(points, triangle, geometry, { longestEdge_m: 9 })
        const expected = Array.from({ length: 15 }, (_, cell) => {
          const [east, south] = [cell % 3, Math.floor(cell / 3)]
          const [toB, toC] = [east / 2, (4 - south) / 4]
          return toB + toC <= 1 ? Math.fround(a + toB * (b - a) + toC * (c - a)) : Number.NaN
        })
        expect([...data]).toEqual(expected)
      }
  })

  test('triangles that reach past the raster on all four sides fill it and write nowhere else', () => {
    // North-west, north, west and the rest of a large plane: a window of 3 × 2 cells of 2 m in its middle.
    const surface = (px: number, py: number): number => 8 + 0.5 * px - 0.25 * py
    const points = [at(-40, -40, surface(-40, -40), 1), at(60, -40, surface(60, -40), 2), at(-40, 60, surface(-40, 60), 3)]
    const geometry: GridGeometry = { width: 3, height: 2, cell_m: 2, west_m: 2, north_m: 8, crs: 'local' }
    const all = (data: ArrayLike<number>): number[] => Array.from({ length: 6 }, (_, k) => data[k]!)
    const { data } = surfaceFromTriangles(points, [0, 1, 2], geometry, { longestEdge_m: 1000 })
    expect(all(data)).toEqual(all(Array.from({ length: 6 }, (_, cell) => surface(...cellCentre(geometry, cell)))))
    // Beyond the west side only, and beyond the east side only: the other cells of their rows stay void.
    const west = [at(-20, 5.5, 1, 1), at(3.5, 7, 1, 2), at(-20, 9, 1, 3)]
    const east = [at(30, 5.5, 1, 1), at(6.5, 7, 1, 2), at(30, 9, 1, 3)]
    const known = (corners: SurveyPoint[]): boolean[] =>
      [...surfaceFromTriangles(corners, [0, 1, 2], geometry, { longestEdge_m: 1000 }).data].map(z => !Number.isNaN(z))
    expect(known(west)).toEqual([true, false, false, false, false, false])
    expect(known(east)).toEqual([false, false, true, false, false, false])
  })

  test('level ground is level without a hole, though centres lie on shared edges whose coordinates are no binary fractions', () =>
    fc.assert(
      fc.property(seeds, seed => {
        const numbers = seededRandom(seed)
        const [across, down] = [6, 5]
        const points = Array.from({ length: across * down }, (_, k) =>
          at(0.05 + 1.2 * (k % across), 0.05 + 0.6 * Math.floor(k / across), 5, k),
        )
        const triangles: number[] = []
        for (let r = 0; r + 1 < down; r++)
          for (let c = 0; c + 1 < across; c++) {
            const k = r * across + c
            const halves =
              numbers.uniform() < 0.5
                ? [
                    [k, k + 1, k + across + 1],
                    [k, k + across + 1, k + across],
                  ]
                : [
                    [k, k + 1, k + across],
                    [k + 1, k + across + 1, k + across],
                  ]
            for (const half of halves) triangles.push(...shuffled(half, Math.floor(1e6 * numbers.uniform())))
          }
        const geometry: GridGeometry = { width: 61, height: 25, cell_m: 0.1, west_m: 0, north_m: 2.5, crs: 'local' }
        const { data } = surfaceFromTriangles(points, triangles, geometry)
        // But for the outline, where a rounding decides.
        const inside = data.filter((_, cell) => cell % 61 > 0 && cell % 61 < 60 && cell >= 61 && cell < 24 * 61)
        expect(inside.every(z => z === 5)).toBe(true)
      }),
    ))

  test('no triangles: no ground; a height of minus nought is nought', () => {
    const points = [at(0.5, 0.5, -0, 1), at(2.5, 0.5, -0, 2), at(0.5, 2.5, -0, 3)]
    const geometry = surveyGeometry(points, 1, 'local')
    expect([...surfaceFromTriangles(points, [], geometry).data].every(Number.isNaN)).toBe(true)
    for (const z of surfaceFromTriangles(points, [0, 1, 2], geometry).data) if (!Number.isNaN(z)) expect(z).toBe(0)
  })

  test('in steps: few large triangles take one step each, many small ones go together', () => {
    const points = [0, 1, 2].flatMap(x => [0, 1, 2].map(y => at(600 * x, 600 * y, 1, x + y)))
    const triangles = [0, 1, 3, 4].flatMap(k => [k, k + 1, k + 4, k, k + 4, k + 3])
    const stepsAt = (cell_m: number): number[] => [...surfaceFromTrianglesSteps(points, triangles, surveyGeometry(points, cell_m, 'local'))]
    expect(stepsAt(2)).toEqual([1, 2, 3, 4, 5, 6, 7, 8].map(k => k / 8))
    expect(stepsAt(12)).toEqual([1])
  })

  test('spacing, the cell and the limit that follow from it', () => {
    const points = [0, 3, 6].flatMap(x => [0, 3, 6].map(y => at(x, y, 1, x + y)))
    const spacing = pointSpacing(
      points,
      [0, 1, 3, 4].flatMap(k => [k, k + 1, k + 4, k, k + 4, k + 3]),
    )
    expect(spacing).toEqual({ nearest_m: 3, edge_m: 3, suggestedCell_m: 1, suggestedLongestEdge_m: 12 })
  })

  test('spacing of a single triangle of 3, 4 and 5 m: its corners have neighbours at 3, 3 and 4 m', () => {
    for (const triangle of ORDERS) {
      const points = [at(0, 0, 1, 1), at(3, 0, 1, 2), at(0, 4, 1, 3)]
      expect(pointSpacing(points, triangle)).toEqual({ nearest_m: 3, edge_m: 4, suggestedCell_m: 1, suggestedLongestEdge_m: 16 })
    }
  })

  test.each([
    [4, 2],
    [3.9999999, 2],
    [3.999, 2],
    [3.99, 1],
    [1, 0.5],
    [0.9999999, 0.5],
    [0.2, 0.125],
    [0.05, 0.125],
    [1000, 64],
  ])('points %s m apart: cells of %s m — what only rounding made shorter does not halve them', (apart, cell_m) => {
    const points = [at(0, 0, 1, 1), at(apart, 0, 1, 2), at(0, apart, 1, 3)]
    expect(pointSpacing(points, [0, 1, 2]).suggestedCell_m).toBe(cell_m)
  })

  test('the raster of a survey: its lines on whole multiples of the cell, east and west, north and south of the origin', () => {
    const geometryOf = (cell_m: number, [x, y]: Point): GridGeometry =>
      surveyGeometry([at(x + 1, y - 7, 1, 1), at(x + 9, y + 3, 1, 2), at(x + 4, y, 1, 3)], cell_m, 'local')
    expect(geometryOf(2, [100, 0])).toEqual({ width: 5, height: 6, cell_m: 2, west_m: 100, north_m: 4, crs: 'local' })
    expect(geometryOf(2, [-300, -50])).toEqual({ width: 5, height: 6, cell_m: 2, west_m: -300, north_m: -46, crs: 'local' })
    expect(geometryOf(0.5, [-4, 80])).toEqual({ width: 18, height: 22, cell_m: 0.5, west_m: -3.5, north_m: 83.5, crs: 'local' })
  })

  test('a survey may ask for 16 million cells and for none more', () => {
    const corners = (far: number): SurveyPoint[] => [at(0.5, 0.5, 1, 1), at(far, 0.5, 1, 2), at(0.5, 3999.5, 1, 3)]
    expect(surveyGeometry(corners(3999.5), 1, 'local')).toMatchObject({ width: 4000, height: 4000 })
    expect(() => surveyGeometry(corners(4000.5), 1, 'local')).toThrow(
      expect.objectContaining({ code: 'survey/too-many-cells', details: { width: 4001, height: 4000, most: 16_000_000 } }),
    )
  })

  test('triangles that do not fit, cells that make no raster', () => {
    const points = [at(0, 0, 1, 1), at(4, 0, 1, 2), at(0, 4, 1, 3)]
    const geometry = surveyGeometry(points, 1, 'local')
    for (const triangles of [
      [0, 1],
      [0, 1, 3],
      [0, 1, -1],
      [0, 1, 0.5],
    ])
      expect(() => surfaceFromTriangles(points, triangles, geometry)).toThrow(expect.objectContaining({ code: 'survey/triangles' }))
    for (const cell of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => surveyGeometry(points, cell, 'local')).toThrow(expect.objectContaining({ code: 'survey/cell' }))
    expect(() => surveyGeometry(points, 1e-6, 'local')).toThrow(expect.objectContaining({ code: 'survey/too-many-cells' }))
  })
})

describe('measured points', () => {
  const at = (x: number, y: number, elevation_m: number, row: number): SurveyPoint => ({ at: [x, y], elevation_m, row })
  const three = [at(0, 0, 1, 2), at(10, 0, 2, 3), at(0, 10, 3, 4)]

  test('one place measured twice: merged when the heights agree, refused with both rows when not', () => {
    const { points, merged } = checkSurveyPoints([...three, at(10.004, -0.004, 2.03, 5), at(0, 0, 1, 6)])
    expect(points).toEqual(three)
    expect(merged).toEqual([
      { row: 5, into: 3 },
      { row: 6, into: 2 },
    ])
    expect(() => checkSurveyPoints([...three, at(10, 0, 2.2, 9)])).toThrow(
      expect.objectContaining({ code: 'survey/contradiction', details: expect.objectContaining({ rows: [3, 9] }) }),
    )
    expect(checkSurveyPoints([...three, at(10, 0, 2.2, 9)], { sameHeight_m: 0.3 }).merged).toEqual([{ row: 9, into: 3 }])
  })

  test('a place is known again on whichever side it is measured, and with a wide tolerance as with a narrow one', () => {
    for (const samePlace_m of [0.01, 1, 3])
      for (const dy of [-1, 0, 1])
        for (const dx of [-1, 0, 1]) {
          // Across the corner and the sides of the squares by which near points are looked up.
          const [x, y] = [2 * samePlace_m * 40, 2 * samePlace_m * 30]
          const apart = 0.6 * samePlace_m
          const points = [at(x - 0.3 * samePlace_m * dx, y - 0.3 * samePlace_m * dy, 5, 7), at(x + 200, y, 1, 8), at(x, y + 200, 1, 9)]
          const again = at(points[0]!.at[0] + apart * dx, points[0]!.at[1] + apart * dy, 5, 10)
          expect(checkSurveyPoints([...points, again], { samePlace_m }).merged).toEqual([{ row: 10, into: 7 }])
        }
  })

  test('points as far apart as the tolerance are one place, heights that differ by as much agree; beyond it they do not', () => {
    const limits = { samePlace_m: 2, sameHeight_m: 0.5 }
    expect(checkSurveyPoints([...three, at(12, 0, 2.5, 5)], limits).merged).toEqual([{ row: 5, into: 3 }])
    expect(checkSurveyPoints([...three, at(12.001, 0, 9, 5)], limits).points).toHaveLength(4)
    expect(() => checkSurveyPoints([...three, at(12, 0, 2.501, 5)], limits)).toThrow(
      expect.objectContaining({ code: 'survey/contradiction' }),
    )
  })

  test('the outermost coordinates and heights are taken, the next are refused, each field on its own', () => {
    const wide = [at(0, 0, 1, 2), at(1e7, 0, 2, 3), at(0, 1e7, 3, 4)]
    const withPoint =
      (x: number, y: number, z: number): (() => unknown) =>
      () =>
        checkSurveyPoints([...wide, at(x, y, z, 8)])
    for (const [x, y, z] of [
      [1e8, 5, 1],
      [-1e8, 5, 1],
      [5, 1e8, 1],
      [5, -1e8, 1],
      [5, 5, -12_000],
      [5, 5, 100_000],
    ] as const) {
      expect(withPoint(x, y, z)).not.toThrow()
      const beyond = (value: number): number => (Math.abs(value) > 100 ? value * (1 + 1e-9) : value)
      expect(withPoint(beyond(x), beyond(y), beyond(z))).toThrow(
        expect.objectContaining({ code: 'survey/out-of-range', details: expect.objectContaining({ row: 8 }) }),
      )
    }
    for (const [x, y, z] of [
      [Number.NaN, 5, 1],
      [5, Number.NEGATIVE_INFINITY, 1],
      [5, 5, Number.POSITIVE_INFINITY],
    ] as const)
      expect(withPoint(x, y, z)).toThrow(expect.objectContaining({ code: 'survey/not-a-number', details: { row: 8 } }))
  })

  test('a cloud a thousandth as broad as it is long counts as a line, a broader one does not', () => {
    const cloud = (breadth: number): SurveyPoint[] => [at(0, 0, 1, 1), at(1000, 0, 2, 2), at(500, breadth, 3, 3)]
    expect(() => checkSurveyPoints(cloud(1))).toThrow(
      expect.objectContaining({ code: 'survey/in-line', details: { length_m: 1000, breadth_m: 1 } }),
    )
    expect(checkSurveyPoints(cloud(1.001)).points).toHaveLength(3)
  })

  test.each([
    ['two points', three.slice(0, 2), 'survey/too-few'],
    ['three rows of two places', [three[0]!, three[1]!, three[0]!], 'survey/too-few'],
    ['a row of points', [0, 1, 2, 3, 4].map(k => at(3 * k, 4 * k, k, k)), 'survey/in-line'],
    ['a row of points with a hand’s breadth', [0, 1, 2, 3, 4].map(k => at(100 * k, k % 2 ? 0.1 : 0, k, k)), 'survey/in-line'],
    ['a height that is not a number', [...three, at(5, 5, Number.NaN, 8)], 'survey/not-a-number'],
    ['a place at infinity', [...three, at(Number.POSITIVE_INFINITY, 5, 1, 8)], 'survey/not-a-number'],
    ['a height of 1e308 m', [...three, at(5, 5, 1e308, 8)], 'survey/out-of-range'],
    ['a place 1e300 m away', [...three, at(1e300, 5, 1, 8)], 'survey/out-of-range'],
  ] as const)('%s: refused', (_, points, code) => {
    expect(() => checkSurveyPoints(points)).toThrow(expect.objectContaining({ code }))
  })
})
