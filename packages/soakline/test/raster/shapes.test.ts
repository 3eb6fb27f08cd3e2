import fc from 'fast-check'
import { seededRandom } from 'soakline/foundation'
import {
  cellAt,
  cellCentre,
  cellsAlong,
  cellsNear,
  chainages_m,
  crosses,
  crossingAt,
  distance_m,
  distanceToSegment,
  distanceToShape_m,
  type GridGeometry,
  insideRings,
  isLeftOf,
  type Point,
  pathLength_m,
  ringArea_m2,
  ringsAbove,
  type Shape,
  shapeBounds,
  stations,
} from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { atLeast, atMost, below, same } from '../../../../tests/helpers/in-each-cell.js'
import { gridOf, smoothHills } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 28, numRuns: 200 })

/** Whole 2⁻¹⁰ m, as places are kept. */
const coordinate = fc.integer({ min: -3 * 1024, max: 23 * 1024 }).map(n => n / 1024)
const place = fc.tuple(coordinate, coordinate)
const GRID: GridGeometry = { width: 20, height: 16, cell_m: 1, west_m: 0, north_m: 16, crs: 'local' }
const SQUARE: readonly Point[] = [
  [2, 2],
  [8, 2],
  [8, 6],
  [2, 6],
]

describe('paths', () => {
  test('law: chainages rise to the length; stations stand at equal spacing on the path', () =>
    fc.assert(
      fc.property(fc.array(place, { minLength: 2, maxLength: 7 }), fc.double({ min: 0.1, max: 9, noNaN: true }), (path, spacing) => {
        const along = chainages_m(path)
        expect(along[along.length - 1]).toBeCloseTo(pathLength_m(path), 9)
        const marks = stations(path, spacing)
        expect(marks[0]!.at).toEqual(path[0])
        expect(distance_m(marks[marks.length - 1]!.at, path[path.length - 1]!)).toBeLessThan(1e-9)
        marks.forEach(({ chainage_m, at, heading }, k) => {
          if (k > 0) {
            expect(chainage_m - marks[k - 1]!.chainage_m).toBeLessThanOrEqual(spacing + 1e-6)
            atMost(distance_m(at, marks[k - 1]!.at), chainage_m - marks[k - 1]!.chainage_m + 1e-9)
          }
          expect(Math.hypot(...heading)).toBeCloseTo(1, 6)
          let off = Number.POSITIVE_INFINITY
          for (let n = 1; n < path.length; n++) off = Math.min(off, distanceToSegment(at, path[n - 1]!, path[n]!).distance_m)
          below(off, 1e-9)
        })
      }),
    ))

  test('stations of a bend', () => {
    expect(
      stations(
        [
          [0, 0],
          [3, 0],
          [3, 1],
        ],
        2,
      ),
    ).toEqual([
      { chainage_m: 0, at: [0, 0], heading: [1, 0] },
      { chainage_m: 2, at: [2, 0], heading: [1, 0] },
      { chainage_m: 4, at: [3, 1], heading: [0, 1] },
    ])
  })

  test('law: the distance to a piece is the least to its points', () =>
    fc.assert(
      fc.property(place, place, place, (p, a, b) => {
        const { distance_m: found, t } = distanceToSegment(p, a, b)
        let least = Number.POSITIVE_INFINITY
        for (let k = 0; k <= 200; k++)
          least = Math.min(least, distance_m(p, [a[0] + (k / 200) * (b[0] - a[0]), a[1] + (k / 200) * (b[1] - a[1])]))
        expect(found).toBeLessThanOrEqual(least + 1e-9)
        expect(found).toBeGreaterThan(least - distance_m(a, b) / 200 - 1e-9)
        expect(t).toBeGreaterThanOrEqual(0)
        expect(t).toBeLessThanOrEqual(1)
      }),
    ))

  test('law: pieces cross alike in whatever order they are given, and where they cross they meet', () =>
    fc.assert(
      fc.property(place, place, place, place, (a, b, c, d) => {
        expect(crosses(c, d, a, b)).toBe(crosses(a, b, c, d))
        if (!crosses(a, b, c, d)) return
        const t = crossingAt(a, b, c, d)
        if (!Number.isFinite(t)) return
        const meet: Point = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]
        expect(t).toBeGreaterThan(-1e-6)
        expect(t).toBeLessThan(1 + 1e-6)
        expect(distanceToSegment(meet, c, d).distance_m).toBeLessThan(1e-6)
      }),
    ))

  test('a path through a shared vertex of two pieces is crossed once, not twice and not never', () => {
    const [from, to]: [Point, Point] = [
      [0, -1],
      [0, 1],
    ]
    for (const bend of [
      [-1, 0, 0, 0, 1, 0],
      [-1, 0.5, 0, 0, 1, 0.5],
      [-1, -0.5, 0, 0, 1, 0.5],
    ]) {
      const [a, b, c] = [
        [bend[0]!, bend[1]!],
        [bend[2]!, bend[3]!],
        [bend[4]!, bend[5]!],
      ] as [Point, Point, Point]
      expect([crosses(from, to, a, b), crosses(from, to, b, c)].filter(Boolean)).toHaveLength(1)
    }
  })

  test('left of a line to the east is north', () => {
    expect([isLeftOf([1, 1], [0, 0], [2, 0]), isLeftOf([1, -1], [0, 0], [2, 0])]).toEqual([true, false])
  })

  test('parallels never meet', () => expect(crossingAt([0, 0], [1, 0], [0, 1], [1, 1])).toBeNaN())
})

describe('rings', () => {
  test('area is positive counter-clockwise, whatever the coordinates’ size', () => {
    expect(ringArea_m2(SQUARE)).toBe(24)
    expect(ringArea_m2([...SQUARE].reverse())).toBe(-24)
    expect(ringArea_m2(SQUARE.map(([x, y]): Point => [x + 500_000, y + 5_000_000]))).toBe(24)
    expect(ringArea_m2([])).toBe(0)
  })

  test('inside is even–odd: a hole is outside', () => {
    const hole: Point[] = [
      [4, 3],
      [6, 3],
      [6, 5],
      [4, 5],
    ]
    expect(
      [
        [3, 3],
        [5, 4],
        [9, 4],
        [1, 1],
      ].map(p => insideRings(p as [number, number], [SQUARE, hole])),
    ).toEqual([true, false, false, false])
  })
})

describe('shapes on a raster', () => {
  const anyShape: fc.Arbitrary<Shape> = fc.oneof(
    place.map((at): Shape => ({ type: 'point', at })),
    fc.array(place, { minLength: 2, maxLength: 4 }).map((path): Shape => ({ type: 'line', path })),
    fc.array(place, { minLength: 3, maxLength: 5 }).map((ring): Shape => ({ type: 'polygon', rings: [ring] })),
  )

  test('oracle: the cells near a shape, found by asking each cell', () =>
    fc.assert(
      fc.property(anyShape, fc.constantFrom(0, 0.7, 3), (shape, within) => {
        const near = new Set(cellsNear(GRID, shape, within, { touching: false }))
        for (let cell = 0; cell < GRID.width * GRID.height; cell++)
          same(near.has(cell), distanceToShape_m(cellCentre(GRID, cell), shape) <= within)
      }),
    ))

  test('law: no shape within the raster is lost, however small; more distance never means fewer cells', () =>
    fc.assert(
      fc.property(anyShape, shape => {
        const [tight, wide] = [cellsNear(GRID, shape, 0), cellsNear(GRID, shape, 2)]
        for (const cell of tight) expect(wide).toContain(cell)
        const inside = shape.type === 'point' ? [shape.at] : shape.type === 'line' ? shape.path : shape.rings.flat()
        for (const p of inside) {
          const cell = cellAt(GRID, p[0], p[1])
          if (cell >= 0) expect(tight).toContain(cell)
        }
      }),
    ))

  test('bounds', () => {
    expect(shapeBounds({ type: 'polygon', rings: [SQUARE] })).toEqual([2, 2, 8, 6])
    expect(shapeBounds({ type: 'point', at: [3, 4] })).toEqual([3, 4, 3, 4])
  })

  test('inside a polygon the distance is nothing, in its hole it is not', () => {
    const withHole: Shape = {
      type: 'polygon',
      rings: [
        SQUARE,
        [
          [4, 3],
          [6, 3],
          [6, 5],
          [4, 5],
        ],
      ],
    }
    expect(distanceToShape_m([3, 3], withHole)).toBe(0)
    expect(distanceToShape_m([5, 4], withHole)).toBe(1)
    expect(distanceToShape_m([10, 4], withHole)).toBe(2)
  })
})

describe('cells along a piece', () => {
  test('law: tight — every sampled place lies in one of them, and each but corner ones is touched; ends among them', () =>
    fc.assert(
      fc.property(place, place, (a, b) => {
        const cells = cellsAlong(GRID, a, b)
        const set = new Set(cells)
        for (let k = 0; k <= 400; k++) {
          const cell = cellAt(GRID, a[0] + (k / 400) * (b[0] - a[0]), a[1] + (k / 400) * (b[1] - a[1]))
          if (cell >= 0) same(set.has(cell), true)
        }
        for (const cell of cells) {
          const [x, y] = cellCentre(GRID, cell)
          atMost(distanceToSegment([x, y], a, b).distance_m, Math.SQRT1_2 + 1e-5)
        }
      }),
    ))

  test('through a corner exactly: both cells beside it too, so that no diagonal step leaks', () => {
    const found = new Set(cellsAlong(GRID, [2.5, 2.5], [4.5, 4.5]))
    for (const [x, y] of [
      [2.5, 2.5],
      [3.5, 2.5],
      [2.5, 3.5],
      [3.5, 3.5],
      [4.5, 3.5],
      [3.5, 4.5],
      [4.5, 4.5],
    ] as const)
      expect(found).toContain(cellAt(GRID, x, y))
  })

  test('law: no diagonal step passes between them, but for the piece’s own ends', () =>
    fc.assert(
      fc.property(
        fc.tuple(fc.integer({ min: 0, max: 40 }), fc.integer({ min: 0, max: 32 })),
        fc.tuple(fc.integer({ min: 0, max: 40 }), fc.integer({ min: 0, max: 32 })),
        ([ax, ay], [bx, by]) => {
          // Ends on half cells: the hard ones.
          const cells = cellsAlong(GRID, [ax / 2, ay / 2], [bx / 2, by / 2])
          for (let k = 2; k < cells.length - 1; k++) {
            const [p, q] = [cells[k - 1]!, cells[k]!]
            const [dc, dr] = [(q % 20) - (p % 20), Math.floor(q / 20) - Math.floor(p / 20)]
            if (Math.abs(dc) === 1 && Math.abs(dr) === 1) same(cells.includes(p + dc) || cells.includes(p + 20 * dr), true)
          }
        },
      ),
    ))
})

describe('rings round high ground', () => {
  test('law: the signed areas are the enclosed area; outer rings run counter-clockwise', () => {
    for (const radius of [3, 7.4, 15]) {
      const rise = gridOf(40, 40, 1, (x, y) => radius + 1 - Math.hypot(x - 20.2, y - 19.7))
      const rings = ringsAbove(rise.geometry, rise.data, 1)
      expect(rings).toHaveLength(1)
      expect(ringArea_m2(rings[0]!) / (Math.PI * radius ** 2)).toBeCloseTo(1, 1)
      expect(Math.abs(ringArea_m2(rings[0]!) - Math.PI * radius ** 2)).toBeLessThan(1)
    }
  })

  test('a hole runs clockwise, inside is where the value is at least the level', () => {
    const ridge = gridOf(40, 40, 1, (x, y) => 8 - Math.abs(Math.hypot(x - 20, y - 20) - 10))
    const rings = ringsAbove(ridge.geometry, ridge.data, 5)
    expect(rings.map(ring => Math.sign(ringArea_m2(ring))).sort()).toEqual([-1, 1])
    const sum = rings.reduce((area, ring) => area + ringArea_m2(ring), 0)
    expect(Math.abs(sum / (Math.PI * (13 ** 2 - 7 ** 2)) - 1)).toBeLessThan(0.01)
  })

  test('law: on random values rings hold exactly the centres at or above the level, the raster’s edge closes them, and voids count as 0', () =>
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.integer({ min: 3, max: 12 }),
        fc.integer({ min: 3, max: 12 }),
        fc.constantFrom(0.5, 0.3),
        (seed, width, height, level) => {
          const random = seededRandom(seed)
          const g = { ...GRID, width, height, north_m: height }
          const value = Float64Array.from({ length: width * height }, () =>
            random.uniform() < 0.1 ? Number.NaN : random.uniform() < 0.3 ? Math.round(random.uniform()) : random.uniform(),
          )
          const rings = ringsAbove(g, value, level)
          for (const ring of rings) {
            expect(ring.length).toBeGreaterThan(2)
            for (const [x, y] of ring) atLeast(Math.min(x + 0.5, y + 0.5, width + 0.5 - x, height + 0.5 - y), 0)
          }
          value.forEach((v, cell) => {
            if (v === level) return
            same(insideRings(cellCentre(g, cell), rings), v > level, `cell ${cell} of ${v}`)
          })
          expect(rings.reduce((area, ring) => area + ringArea_m2(ring), 0)).toBeGreaterThanOrEqual(0)
        },
      ),
    ))

  test('in a saddle the mean of the four corners says whether the high corners hang together', () => {
    const g = { ...GRID, width: 2, height: 2, north_m: 2 }
    expect(ringsAbove(g, [1, 0.2, 0.2, 1], 0.5)).toHaveLength(1)
    expect(ringsAbove(g, [0.2, 1, 1, 0.2], 0.5)).toHaveLength(1)
    expect(ringsAbove(g, [0.7, 0, 0, 0.7], 0.5)).toHaveLength(2)
    expect(ringsAbove(g, [0, 0.7, 0.7, 0], 0.5)).toHaveLength(2)
  })

  test('shares of 1 up to the border end a fraction of a cell beyond the outermost centres', () => {
    const rings = ringsAbove(GRID, new Float64Array(GRID.width * GRID.height).fill(1), 0.5)
    expect(rings).toHaveLength(1)
    expect(Math.abs(ringArea_m2(rings[0]!) - 20 * 16)).toBeLessThan(1)
  })

  test('smooth hills: as many square metres as cells', () => {
    const hills = smoothHills(seededRandom(4), 60, 50)
    const level = [...hills.data].sort((a, b) => a - b)[1500]!
    const shifted = hills.data.map(z => z - level)
    const area = ringsAbove(
      hills.geometry,
      shifted.map(z => Math.max(0, z + 1)),
      1,
    ).reduce((sum, ring) => sum + ringArea_m2(ring), 0)
    expect(Math.abs(area - 1500)).toBeLessThan(40)
  })
})

test('oracle: cells near a shape are those whose centre is near enough by the slow definition', () => {
  const random = seededRandom(7)
  const g = { width: 40, height: 30, cell_m: 1.5, west_m: -3, north_m: 41, crs: 'local' }
  for (let k = 0; k < 60; k++) {
    const place = (): Point => [random.uniform() * 70 - 8, random.uniform() * 55 - 8]
    const path = [place(), place(), place(), place()]
    const shape: Shape =
      k % 3 === 0
        ? { type: 'point', at: place() }
        : k % 3 === 1
          ? { type: 'line', path }
          : { type: 'polygon', rings: [path, [place(), place(), place()]] }
    const within_m = k % 2 === 0 ? 0 : random.uniform() * 9
    const slow: number[] = []
    for (let cell = 0; cell < g.width * g.height; cell++) if (distanceToShape_m(cellCentre(g, cell), shape) <= within_m) slow.push(cell)
    expect(cellsNear(g, shape, within_m, { touching: false })).toEqual(slow)
  }
})
