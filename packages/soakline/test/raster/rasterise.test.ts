import fc from 'fast-check'
import { cellAt, cellCentre, cellsAlong, distanceToSegment, type GridGeometry, type Point } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'

fc.configureGlobal({ seed: 33, numRuns: 300 })

const geometry = (width: number, height: number, cell_m = 1, west_m = 0, north_m = height * cell_m): GridGeometry => ({
  width,
  height,
  cell_m,
  west_m,
  north_m,
  crs: 'local',
})

const cellsOf = (g: GridGeometry, path: readonly Point[]): Set<number> =>
  new Set(path.slice(1).flatMap((b, k) => cellsAlong(g, path[k]!, b)))

/** Whether steps by side and corner lead from the first row to the last without entering some cells. */
function leaks({ width, height }: GridGeometry, wall: ReadonlySet<number>): boolean {
  const reached = new Set([...Array(width).keys()].filter(cell => !wall.has(cell)))
  for (const cell of reached) {
    const [column, row] = [cell % width, Math.floor(cell / width)]
    if (row === height - 1) return true
    for (let r = Math.max(0, row - 1); r <= Math.min(height - 1, row + 1); r++)
      for (let c = Math.max(0, column - 1); c <= Math.min(width - 1, column + 1); c++)
        if (!wall.has(r * width + c)) reached.add(r * width + c)
  }
  return false
}

/** Sizes and places of rasters whose grid lines do and do not fall on short binary fractions; far from the origin as real ones are. */
const anyGeometry = fc
  .record({
    cell_m: fc.constantFrom(1, 0.5, 0.3, 2.1),
    west_m: fc.constantFrom(0, 499_999.5, 612_345.1),
    north_m: fc.constantFrom(12, 5_123_456.7),
  })
  .map(({ cell_m, west_m, north_m }) => geometry(14, 12, cell_m, west_m, north_m))

describe('a wall of the cells along a line is tight', () => {
  test('law: no line from the west side to the east lets a step by side or corner through, wherever its vertices lie', () =>
    fc.assert(
      fc.property(
        anyGeometry,
        fc.array(fc.tuple(fc.integer({ min: 0, max: 28 }), fc.integer({ min: 2, max: 22 })), { maxLength: 6 }),
        fc.integer({ min: 2, max: 22 }),
        fc.integer({ min: 2, max: 22 }),
        fc.constantFrom(0, 0, 1e-10, -1e-10, 1e-7, 0.01),
        (g, inner, first, last, off) => {
          // Vertices on half cells: corners, middles of sides, centres; some beside them by a hair.
          const place = ([column, row]: readonly [number, number]): Point => [
            g.west_m + (column / 2 + off) * g.cell_m,
            g.north_m - (row / 2 - off) * g.cell_m,
          ]
          const path = [place([-3, first]), ...inner.map(place), place([31, last])]
          expect(leaks(g, cellsOf(g, path))).toBe(false)
        },
      ),
      { numRuns: 1500 },
    ))

  test('regression: a line that turns at a corner does not leak there', () => {
    const g = geometry(6, 6)
    // Down to the corner (3, 3) from the north-west, on to the south-east along the other diagonal's side.
    const path: Point[] = [
      [0, 5.5],
      [3, 3],
      [6, 0.5],
    ]
    const cells = cellsOf(g, path)
    for (const [x, y] of [
      [2.5, 3.5],
      [3.5, 3.5],
      [2.5, 2.5],
      [3.5, 2.5],
    ] as const)
      expect(cells).toContain(cellAt(g, x, y))
    expect(leaks(g, cells)).toBe(false)
  })
})

describe('cells along a piece', () => {
  const half = fc.integer({ min: -4, max: 32 }).map(n => n / 2)
  const anywhere = evenly(-2, 16)
  const end = fc.oneof(fc.tuple(half, half), fc.tuple(anywhere, anywhere))

  test('law: tight — no cell lies further from the piece than its own corner', () =>
    fc.assert(
      fc.property(end, end, (a, b) => {
        const g = geometry(14, 12)
        for (const cell of cellsAlong(g, a, b))
          expect(distanceToSegment(cellCentre(g, cell), a, b).distance_m).toBeLessThanOrEqual(Math.SQRT1_2 + 1e-8)
      }),
    ))

  test('law: drawn from the other end, the same cells', () =>
    fc.assert(
      fc.property(fc.tuple(half, half), fc.tuple(half, half), (a, b) => {
        const g = geometry(14, 12)
        const sorted = (cells: number[]): number[] => [...new Set(cells)].sort((p, q) => p - q)
        expect(sorted(cellsAlong(g, b, a))).toEqual(sorted(cellsAlong(g, a, b)))
      }),
    ))

  test('law: without corners they are among those with, each beside the next by side or corner, and the piece passes through each', () =>
    fc.assert(
      fc.property(end, end, (a, b) => {
        const g = geometry(14, 12)
        const all = new Set(cellsAlong(g, a, b))
        const thin = cellsAlong(g, a, b, { corners: false })
        for (const [k, cell] of thin.entries()) {
          expect(all).toContain(cell)
          if (k === 0) continue
          const [from, to] = [thin[k - 1]!, cell]
          if (inside(g, a) && inside(g, b))
            expect(Math.max(Math.abs((to % 14) - (from % 14)), Math.abs(Math.floor(to / 14) - Math.floor(from / 14)))).toBe(1)
        }
      }),
    ))

  const inside = (g: GridGeometry, [x, y]: Point): boolean => cellAt(g, x, y) >= 0

  test('a diagonal from corner to corner: its own cells without corners, all it touches with them', () => {
    const g = geometry(5, 5)
    expect(cellsAlong(g, [1.5, 3.5], [3.5, 1.5], { corners: false })).toEqual([6, 12, 18])
    expect([...new Set(cellsAlong(g, [1.5, 3.5], [3.5, 1.5]))].sort((a, b) => a - b)).toEqual([6, 7, 11, 12, 13, 17, 18])
    expect([...new Set(cellsAlong(g, [2, 3], [3, 2]))].sort((a, b) => a - b)).toEqual([6, 7, 11, 12, 13, 17, 18])
    expect(cellsAlong(g, [2, 3], [3, 2], { corners: false })).toEqual([12, 18])
  })

  test('a place, and a piece off the raster', () => {
    const g = geometry(5, 5)
    expect(cellsAlong(g, [2.5, 2.5], [2.5, 2.5])).toEqual([12])
    expect(cellsAlong(g, [9, 9], [12, 8])).toEqual([])
  })
})
