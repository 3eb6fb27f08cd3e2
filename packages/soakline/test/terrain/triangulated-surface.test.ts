import fc from 'fast-check'
import { seededRandom } from 'soakline/foundation'
import { cellCentre, type GridGeometry, type Point } from 'soakline/raster'
import { checkSurveyPoints, pointSpacing, type SurveyPoint, surfaceFromTriangles, surveyGeometry } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
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
      fc.property(seeds, fc.double({ min: 0, max: 359, noNaN: true }), (seed, azimuth) => {
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

  test('spacing, the cell and the limit that follow from it', () => {
    const points = [0, 3, 6].flatMap(x => [0, 3, 6].map(y => at(x, y, 1, x + y)))
    const spacing = pointSpacing(
      points,
      [0, 1, 3, 4].flatMap(k => [k, k + 1, k + 4, k, k + 4, k + 3]),
    )
    expect(spacing).toEqual({ nearest_m: 3, edge_m: 3, suggestedCell_m: 1, suggestedLongestEdge_m: 12 })
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
    for (const cell of [0, -1, Number.NaN])
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
