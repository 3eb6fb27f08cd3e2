import { contours } from 'd3-contour'
import fc from 'fast-check'
import {
  crosses,
  distance_m,
  type ElevationGrid,
  elevationGrid,
  fromLattice,
  type Point,
  pathLength_m,
  surfaceValue,
} from 'soakline/raster'
import { type ContourLine, contourLines, contourLinesSteps, linesAt, packedContours } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { cropped, SYMMETRIES, TIE_FREE, terrain, turned, turning } from '../../../../tests/helpers/surfaces.js'
import { watched } from '../../../../tests/helpers/watched.js'

fc.configureGlobal({ seed: 24, numRuns: cases(100) })

/** Ground and a level within its range; on dice and rounded ground mostly a level that many cells have exactly. */
const groundAndLevel = fc
  .record({
    ground: fc.oneof(anyDice({ most: 12, high: 5 }), anyTerrain({ most: 24 })),
    // Anywhere in the range, and within a hair of its ends.
    at: fc.oneof(evenly(0, 1), fc.double({ min: 0, max: 1, noNaN: true })),
    whole: fc.boolean(),
  })
  .map(({ ground, at, whole }) => {
    const heights = [...ground.data].filter(z => !Number.isNaN(z))
    const [low, high] = [Math.min(...heights), Math.max(...heights)]
    const level = heights.length === 0 ? 1 : low + at * (high - low)
    return { ground, level: whole ? Math.round(level) : level }
  })

/** The pieces of lines between neighbouring vertices, as text, so that sets of them can be compared. */
function pieces(lines: readonly Pick<ContourLine, 'path'>[]): string[] {
  const found: string[] = []
  const name = ([x, y]: Point): string => `${(Math.round(x * 1e6) / 1e6 + 0).toFixed(6)} ${(Math.round(y * 1e6) / 1e6 + 0).toFixed(6)}`
  for (const { path } of lines)
    for (let k = 1; k < path.length; k++) {
      const ends = [name(path[k - 1]!), name(path[k]!)].sort()
      if (ends[0] !== ends[1]) found.push(ends.join(' – '))
    }
  return found.sort()
}

/** Marching squares patch by patch, straight from the definition: ground at exactly the level counts as above it; a saddle is cut as its surface is. */
function piecesByHand({ geometry: g, data }: ElevationGrid, level: number): string[] {
  const found: { path: Point[] }[] = []
  for (let row = 0; row < g.height - 1; row++)
    for (let column = 0; column < g.width - 1; column++) {
      const corners = [
        [0, 0],
        [1, 0],
        [1, 1],
        [0, 1],
      ].map(([c, r]) => ({ u: column + c!, v: row + r!, z: data[(row + r!) * g.width + column + c!]! }))
      if (corners.some(c => Number.isNaN(c.z))) continue
      const cuts = corners.map((a, k): Point | null => {
        const b = corners[(k + 1) % 4]!
        if (a.z >= level === b.z >= level) return null
        const t = (level - a.z) / (b.z - a.z)
        return fromLattice(g, a.u + t * (b.u - a.u), a.v + t * (b.v - a.v))
      })
      const open = cuts.filter(p => p !== null)
      if (open.length === 2) found.push({ path: open })
      if (open.length !== 4) continue
      const [nw, ne, se, sw] = corners.map(c => c.z) as [number, number, number, number]
      const middle = (nw * se - ne * sw) / (nw + se - ne - sw)
      // Cut off the corners that are not of the middle's kind.
      const apart = middle >= level === nw >= level ? [1, 3] : [0, 2]
      for (const k of apart) found.push({ path: [cuts[(k + 3) % 4]!, cuts[k]!] })
    }
  return pieces(found)
}

describe('laws of contour lines, on random ground', () => {
  test('oracle: the pieces that marching squares gives patch by patch, no more and no fewer', () =>
    fc.assert(
      fc.property(groundAndLevel, ({ ground, level }) => {
        expect(pieces(linesAt(ground, level))).toEqual(piecesByHand(ground, level))
      }),
      { numRuns: cases(400) },
    ))

  test('P24: every vertex interpolates to its level, 1e-9 of the range', () =>
    fc.assert(
      fc.property(anyTerrain(), fc.constantFrom(0.1, 0.25, 1), (ground, interval) => {
        const heights = [...ground.data].filter(z => !Number.isNaN(z))
        const range = Math.max(1, Math.max(...heights) - Math.min(...heights))
        for (const { path, elevation_m } of contourLines(ground, interval))
          for (const p of path) {
            const z = surfaceValue(ground, p)
            // Beside a void a vertex may lie on the rim of the patch that its place is counted to: there is no surface then.
            if (!Number.isNaN(z)) expect(Math.abs(z - elevation_m)).toBeLessThanOrEqual(1e-9 * range)
          }
      }),
    ))

  test('failure 79: P25: a line is closed, or ends at the outermost cell centres or at a void', () =>
    fc.assert(
      fc.property(groundAndLevel, ({ ground, level }) => {
        const g = ground.geometry
        for (const { path, closed } of linesAt(ground, level)) {
          const [first, last] = [path[0]!, path[path.length - 1]!]
          if (closed) {
            expect(last).toEqual(first)
            expect(path.length).toBeGreaterThan(2)
            continue
          }
          for (const [x, y] of [first, last]) {
            const atFrame = Math.min(x, y, g.width - x, g.height - y) < 0.5 + 1e-9
            const nudge = [-1e-6, 1e-6].flatMap(dx => [-1e-6, 1e-6].map(dy => surfaceValue(ground, [x + dx, y + dy])))
            expect(atFrame || nudge.some(z => Number.isNaN(z))).toBe(true)
          }
        }
      }),
    ))

  test('P30: no piece has no length, also on plateaus at the level', () =>
    fc.assert(
      fc.property(groundAndLevel, ({ ground, level }) => {
        for (const { path } of linesAt(ground, level))
          for (let k = 1; k < path.length; k++) expect(distance_m(path[k - 1]!, path[k]!)).toBeGreaterThan(0)
      }),
    ))

  test('P26: lines of different levels never cross', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 7, high: 5 }), anyTerrain({ most: 9 })), ground => {
        const lines = contourLines(ground, 0.31)
        const parts = lines.flatMap(({ path, elevation_m }) => path.slice(1).map((b, k) => ({ a: path[k]!, b, elevation_m })))
        for (const one of parts)
          for (const two of parts)
            if (one.elevation_m < two.elevation_m && Math.abs(one.a[0] - two.a[0]) < 2 && Math.abs(one.a[1] - two.a[1]) < 2)
              expect(crosses(one.a, one.b, two.a, two.b)).toBe(false)
      }),
      { numRuns: cases(60) },
    ))

  test('P27: a window of the raster has the same lines as the raster there', () =>
    fc.assert(
      fc.property(groundAndLevel, evenly(0, 0.4), ({ ground, level }, share) => {
        const { width, height } = ground.geometry
        const [left, top] = [Math.floor(share * width), Math.floor(share * height)]
        const [w, h] = [width - left - 1, height - top]
        const inWindow = pieces(linesAt(cropped(ground, left, top, w, h), level))
        const all = new Set(pieces(linesAt(ground, level)))
        for (const piece of inWindow) expect(all).toContain(piece)
        const middleOf = (piece: string): [number, number] => {
          const [a, b] = piece.split(' – ').map(p => p.split(' ').map(Number)) as [[number, number], [number, number]]
          return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]
        }
        const within = [...all].filter(piece => {
          const [x, y] = middleOf(piece)
          return x > left + 0.5 && x < left + w - 0.5 && y < height - top - 0.5 && y > 0.5
        })
        for (const piece of within) expect(inWindow).toContain(piece)
      }),
    ))

  test('failure 78: P27: two overlapping windows of ground far from the origin have the same vertices in the overlap, bit for bit', () =>
    fc.assert(
      fc.property(groundAndLevel, fc.constantFrom(0.5, 1, 2.25), ({ ground, level }, cell_m) => {
        const { width, height } = ground.geometry
        const placed: ElevationGrid = { ...ground, geometry: { ...ground.geometry, cell_m, west_m: 500_000.25, north_m: 4_100_007.5 } }
        const [overlapFrom, overlapTo] = [Math.floor(width / 3), Math.ceil((2 * width) / 3)]
        const vertices = (left: number, right: number): string[] =>
          linesAt(cropped(placed, left, 0, right - left, height), level)
            .flatMap(({ path }) => path)
            .map(([x, y]) => `${x} ${y}`)
        const cellsEast = (vertex: string): number => (Number(vertex.split(' ')[0]) - placed.geometry.west_m) / cell_m
        const inOverlap = (list: readonly string[]): string[] =>
          [...new Set(list)].filter(v => cellsEast(v) > overlapFrom + 0.5 && cellsEast(v) < overlapTo - 0.5).sort()
        expect(inOverlap(vertices(0, overlapTo))).toEqual(inOverlap(vertices(overlapFrom, width)))
      }),
      { numRuns: cases(200) },
    ))

  test('P28: in coordinates counted from the raster’s middle a mirrored raster has mirrored vertices, bit for bit', () =>
    fc.assert(
      fc.property(groundAndLevel, fc.constantFrom<0 | 1 | 2 | 3>(0, 1, 2, 3), ({ ground, level }, symmetry) => {
        const centred = (grid: ElevationGrid): ElevationGrid => ({
          ...grid,
          geometry: { ...grid.geometry, west_m: -grid.geometry.width / 2, north_m: grid.geometry.height / 2 },
        })
        const vertices = (grid: ElevationGrid, flipX: number, flipY: number): string[] =>
          [
            ...new Set(
              linesAt(grid, level)
                .flatMap(({ path }) => path)
                .map(([x, y]) => `${flipX * x + 0} ${flipY * y + 0}`),
            ),
          ].sort()
        const mirrored = centred(turned(ground, symmetry))
        expect(vertices(mirrored, symmetry & 1 ? -1 : 1, symmetry & 2 ? -1 : 1)).toEqual(vertices(centred(ground), 1, 1))
      }),
      { numRuns: cases(200) },
    ))

  test('P28: a turned or mirrored raster has turned lines', () =>
    fc.assert(
      fc.property(groundAndLevel, fc.constantFrom(...SYMMETRIES), ({ ground, level }, symmetry) => {
        const { width, height } = ground.geometry
        const size = turning(width, height, symmetry)
        const back = linesAt(turned(ground, symmetry), level).map(({ path }) => ({
          path: path.map(([x, y]): Point => {
            const [c, r] = symmetry >= 4 ? [size.height - y, x] : [x, size.height - y]
            return [symmetry & 1 ? width - c : c, symmetry & 2 ? r : height - r]
          }),
        }))
        expect(pieces(back)).toEqual(pieces(linesAt(ground, level)))
      }),
    ))

  test('P29: the levels are all whole multiples of the interval within the range', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: TIE_FREE, least: 10 }), fc.constantFrom(0.2, 0.5, 1), (ground, interval) => {
        const heights = [...ground.data].filter(z => !Number.isNaN(z))
        const expected = []
        for (let k = Math.ceil(Math.min(...heights) / interval); k * interval <= Math.max(...heights); k++)
          if (linesAt(ground, k * interval).length > 0) expected.push(k * interval)
        expect([...new Set(contourLines(ground, interval).map(line => line.elevation_m))]).toEqual(expected)
      }),
    ))

  test('P29: so many levels that with their interval they cover the range of heights', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: ['smooth', 'rough'], least: 10 }), fc.constantFrom(0.2, 0.5, 1), (ground, interval) => {
        const range = Math.max(...ground.data) - Math.min(...ground.data)
        const levels = new Set(contourLines(ground, interval).map(line => line.elevation_m)).size
        expect(Math.abs(levels * interval - range)).toBeLessThanOrEqual(interval)
      }),
      { numRuns: cases(40) },
    ))

  test('failure 22: oracle: d3-contour’s vertices off the frame are ours, 1e-9 cells', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const ground = terrain(seed % 2 ? 'smooth' : 'rough', seed, 30, 24)
      const { width, height } = ground.geometry
      const [low, high] = [Math.min(...ground.data), Math.max(...ground.data)]
      const level = low + (high - low) * (0.2 + 0.6 * ((seed * 0.37) % 1))
      // Its rows run south from the north-west corner; along the frame it adds vertices that are no crossings.
      const theirs = contours()
        .size([width, height])
        .thresholds([level])([...ground.data])[0]!
        .coordinates.flat(2)
        .map(([x, y]): Point => [x!, height - y!])
        .filter(([x, y]) => x > 0.5 + 1e-6 && y > 0.5 + 1e-6 && x < width - 0.5 - 1e-6 && y < height - 0.5 - 1e-6)
      const ours = linesAt(ground, level).flatMap(({ path }) => path)
      const inside = ours.filter(([x, y]) => x > 0.5 + 1e-6 && y > 0.5 + 1e-6 && x < width - 0.5 - 1e-6 && y < height - 0.5 - 1e-6)
      const names = (points: readonly Point[]): string[] => [...new Set(points.map(([x, y]) => `${x.toFixed(8)} ${y.toFixed(8)}`))].sort()
      expect(theirs.length).toBeGreaterThan(10)
      expect(names(inside)).toEqual(names(theirs))
    }
  })

  test('oracle: d3-contour’s rings, less their pieces along the frame, have the same length', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const ground = terrain(seed % 2 ? 'smooth' : 'rough', seed, 30, 24)
      const { width, height } = ground.geometry
      const [low, high] = [Math.min(...ground.data), Math.max(...ground.data)]
      const level = low + (high - low) * (0.2 + 0.6 * ((seed * 0.37) % 1))
      let length = 0
      for (const polygon of contours().size([width, height]).thresholds([level])([...ground.data])[0]!.coordinates)
        for (const ring of polygon)
          for (let k = 1; k < ring.length; k++) {
            const ends = [ring[k - 1]!, ring[k]!]
            const onFrame = ends.some(([x, y]) => x! < 0.5 || y! < 0.5 || x! > width - 0.5 || y! > height - 0.5)
            if (!onFrame) length += Math.hypot(ends[0]![0]! - ends[1]![0]!, ends[0]![1]! - ends[1]![1]!)
          }
      // d3 joins all saddles alike; each may differ by no more than its patch is wide.
      let saddles = 0
      for (let row = 0; row < height - 1; row++)
        for (let column = 0; column < width - 1; column++) {
          const [a, b, c, d] = [0, 1, width + 1, width].map(o => ground.data[row * width + column + o]! >= level)
          if (a === c && b === d && a !== b) saddles++
        }
      const ours = linesAt(ground, level).reduce((sum, line) => sum + pathLength_m(line.path), 0)
      expect(length).toBeGreaterThan(10)
      expect(Math.abs(ours - length)).toBeLessThanOrEqual(1e-6 * length + 1.5 * saddles)
      if (seed % 2) expect(saddles).toBeLessThan(3)
    }
  })
})

describe('contour lines, small cases', () => {
  test('failure 80: an interval that gives no lines, or more levels than anyone can use, is refused with what to do next', () => {
    const ground = elevationGrid([
      [0, 0],
      [200, 3.4e7],
    ])
    for (const interval of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => contourLines(ground, interval)).toThrow(expect.objectContaining({ code: 'contours/interval' }))
    expect(() => contourLines(ground, 0.5)).toThrow(
      expect.objectContaining({ code: 'contours/too-many-levels', message: expect.stringContaining('wider interval') }),
    )
    const unknown = elevationGrid([
      [Number.NaN, Number.NaN],
      [Number.NaN, Number.NaN],
    ])
    expect(contourLines(unknown, 1)).toEqual([])
  })

  test('one hill: one closed line round its cell', () => {
    const [line, ...others] = linesAt(
      elevationGrid([
        [0, 0, 0],
        [0, 1, 0],
        [0, 0, 0],
      ]),
      0.5,
    )
    expect(others).toEqual([])
    expect(line!.closed).toBe(true)
    expect(pieces([line!])).toHaveLength(4)
    expect(pathLength_m(line!.path)).toBeCloseTo(4 * Math.SQRT1_2, 12)
  })

  test('a plateau at exactly the level has one line, at its foot', () => {
    const lines = linesAt(
      elevationGrid([
        [4, 4, 4, 4, 4],
        [4, 5, 5, 5, 4],
        [4, 5, 5, 5, 4],
        [4, 4, 4, 4, 4],
      ]),
      5,
    )
    expect(lines).toHaveLength(1)
    expect(lines[0]!.closed).toBe(true)
    // Along the outermost plateau centres: 2 by 1 cells.
    expect(pathLength_m(lines[0]!.path)).toBeCloseTo(6, 9)
  })

  test('level ground has no line, at its own height or beside it', () => {
    const ground = elevationGrid([
      [5, 5, 5],
      [5, 5, 5],
      [5, 5, 5],
    ])
    for (const level of [4, 5, 6]) expect(linesAt(ground, level)).toEqual([])
  })

  test('failure 32: a void cuts a line; it never runs along the void', () => {
    const ground = elevationGrid(
      [0, 1, 2, 3, 4].map(row => [0, 1, 2, 3, 4, 5, 6].map(column => (column === 3 && row === 1 ? Number.NaN : row))),
    )
    const lines = linesAt(ground, 1.5)
    expect(lines).toHaveLength(2)
    for (const { path } of lines) for (const [, y] of path) expect(y).toBeCloseTo(5 - 2, 12)
    expect(lines.reduce((sum, line) => sum + pathLength_m(line.path), 0)).toBeCloseTo(4, 12)
  })

  test('places come in the raster’s own coordinates', () => {
    const ground: ElevationGrid = {
      ...elevationGrid(
        [
          [0, 0],
          [2, 2],
        ],
        10,
      ),
      geometry: { width: 2, height: 2, cell_m: 10, west_m: 500_000, north_m: 4_000_000, crs: 'EPSG:32633' },
    }
    expect(linesAt(ground, 0.5)[0]!.path).toEqual(
      expect.arrayContaining([
        [500_005, 3_999_992.5],
        [500_015, 3_999_992.5],
      ]),
    )
  })

  test('failure 31: ten thousand levels are drawn, one more is refused; how high the ground lies does not matter', () => {
    const slope = (low: number, high: number): ElevationGrid =>
      elevationGrid([
        [low, low],
        [high, high],
      ])
    expect(contourLines(slope(0, 10_000), 1)).toHaveLength(10_000)
    expect(contourLines(slope(8000, 8010), 0.5)).toHaveLength(20)
    for (const [low, high] of [
      [0, 10_001],
      [-5001, 5001],
    ] as const)
      expect(() => contourLines(slope(low, high), 1)).toThrow(
        expect.objectContaining({ code: 'contours/too-many-levels', details: { interval_m: 1, low_m: low, high_m: high, most: 10_000 } }),
      )
  })

  test('the highest level counts: a plateau whose height is a whole multiple has the line at its foot', () => {
    const ground = elevationGrid([
      [4, 4, 4, 4],
      [4, 5, 5, 4],
      [4, 5, 5, 4],
      [4, 4, 4, 4],
    ])
    expect(contourLines(ground, 1).map(line => line.elevation_m)).toEqual([5])
    expect(contourLines(ground, 2.5).map(line => line.elevation_m)).toEqual([5])
  })

  test('the level of the sea is 0, not −0', () => {
    const shore = elevationGrid([
      [-0.5, -0.5],
      [0.5, 0.5],
    ])
    expect(contourLines(shore, 1).map(line => line.elevation_m)).toEqual([0])
  })

  test('in steps: the part that is done rises to 1, band by band of a large raster', () => {
    const ground = terrain('smooth', 3, 300, 500)
    const done = [...contourLinesSteps(ground, 0.5)]
    // Counted and joined in three bands each, followed in one.
    expect(done.length).toBeGreaterThanOrEqual(7)
    expect(done).toEqual([...done].sort((a, b) => a - b))
    expect(done[0]!).toBeGreaterThan(0)
    expect(done[done.length - 1]!).toBeCloseTo(1, 12)
  })

  test('packed: the same lines in four arrays', () => {
    for (const kind of ['rough', 'gaps', 'decimetres'] as const) {
      const ground = terrain(kind, 8, 60, 50)
      const { xy, start, level, closed, elevation_m } = packedContours(ground, 0.5)
      expect(
        [...level].map((k, line) => ({
          elevation_m: elevation_m[k],
          path: Array.from({ length: start[line + 1]! - start[line]! }, (_, n) => [
            ...xy.slice(2 * (start[line]! + n), 2 * (start[line]! + n) + 2),
          ]),
          closed: closed[line] === 1,
        })),
      ).toEqual(contourLines(ground, 0.5))
    }
  })

  test('a raster of one patch, cut as a saddle: both of its lines', () => {
    const ground = elevationGrid([
      [1, 0],
      [0, 1],
    ])
    // Its middle is 0.5 high: at 0.4 the two low corners are cut off, at 0.6 the two high ones.
    for (const level of [0.4, 0.6]) {
      const lines = linesAt(ground, level)
      expect(lines).toHaveLength(2)
      expect(pieces(lines)).toEqual(piecesByHand(ground, level))
    }
  })

  test('no cell outside the raster is looked at', () => {
    for (const [width, height] of [
      [1, 4],
      [4, 1],
      [2, 2],
      [5, 3],
      [3, 5],
    ] as const) {
      const { grid, taken } = watched({
        ...elevationGrid(Array.from({ length: height }, (_, r) => Array.from({ length: width }, (__, c) => (7 * c + 5 * r) % 4))),
      })
      linesAt(grid, 1.5)
      const read = taken()
      if (width < 2 || height < 2) expect(read).toBeNull()
      else expect(read).toEqual([0, width * height - 1])
    }
  })

  test.each([
    [
      'within the raster',
      [
        [0, 0, 0, 0],
        [0, 5, 0, 0],
        [0, 6, 6, 0],
        [0, 0, 0, 0],
      ],
      [1.5, 2.5],
    ],
    [
      'at its north side',
      [
        [0, 5, 6, 6],
        [0, 0, 0, 6],
        [0, 0, 0, 0],
      ],
      [1.5, 2.5],
    ],
    [
      'at its west side',
      [
        [0, 0, 0],
        [5, 0, 0],
        [6, 0, 0],
        [6, 6, 0],
      ],
      [1 + 2 / 3, 0.5],
    ],
  ] as const)('a line starts from where it is first met, row by row, be it a single cell at exactly the level %s', (_, rows, [x, y]) => {
    const lines = linesAt(elevationGrid(rows), 5)
    expect(lines).toHaveLength(1)
    expect(lines[0]!.path[0]![0]).toBeCloseTo(x, 12)
    expect(lines[0]!.path[0]![1]).toBeCloseTo(y, 12)
  })
})
