import fc from 'fast-check'
import { InputError } from 'soakline/foundation'
import { distance_m, type ElevationGrid, elevationGrid, isLeftOf, type Point, pathLength_m, surfaceValue } from 'soakline/raster'
import { type GroundLine, linesAt, lineThrough, profileAlong } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { cone, gridOf, plane, terrain } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 26, numRuns: cases(100) })

const fraction = evenly(0, 1)
const someGround = fc.oneof(anyDice({ most: 10, high: 6 }), anyTerrain({ least: 8 }))

function lineOrRefusal(ground: ElevationGrid, place: Point, length_m: number, fall = 0): GroundLine | string {
  try {
    return lineThrough(ground, place, length_m, fall)
  } catch (error) {
    if (error instanceof InputError) return error.code
    throw error
  }
}

describe('laws of level and falling lines, on random ground', () => {
  test('level: on the height of the place to 1e-9 m, vertices at most 1 m apart, no longer than asked, refused only where there is no telling', () =>
    fc.assert(
      fc.property(someGround, fraction, fraction, evenly(2, 60), (ground, x, y, length) => {
        const place: Point = [x * ground.geometry.width, y * ground.geometry.height]
        const level = surfaceValue(ground, place)
        const line = lineOrRefusal(ground, place, length)
        if (typeof line === 'string') {
          expect(line).toBe(Number.isNaN(level) ? 'level/outside' : 'level/flat-ground')
          return
        }
        const { path, ground_m, ends } = line
        for (const z of ground_m) if (!Number.isNaN(z)) expect(Math.abs(z - level)).toBeLessThan(1e-9)
        for (let k = 1; k < path.length; k++) expect(distance_m(path[k - 1]!, path[k]!)).toBeLessThanOrEqual(1 + 1e-9)
        // The piece that is cut off at the end is a chord of its line.
        expect(pathLength_m(path)).toBeLessThanOrEqual(length + 0.05)
        if (ends[0] === 'length' && ends[1] === 'length') expect(Math.abs(pathLength_m(path) - length)).toBeLessThan(0.05)
        expect(path.some(p => distance_m(p, place) < 1e-9)).toBe(true)
      }),
      { numRuns: cases(400) },
    ))

  test('falling: each vertex on its planned height to 1e-6 m, vertices at most 1 m apart', () =>
    fc.assert(
      fc.property(someGround, fraction, fraction, evenly(2, 40), fc.constantFrom(0.005, -0.01, 0.03), (ground, x, y, length, fall) => {
        const place: Point = [x * ground.geometry.width, y * ground.geometry.height]
        const level = surfaceValue(ground, place)
        const line = lineOrRefusal(ground, place, length, fall)
        if (typeof line === 'string') {
          expect(line).toBe(Number.isNaN(level) ? 'level/outside' : 'level/flat-ground')
          return
        }
        const { path, ground_m, ends } = line
        const middle = path.indexOf(place)
        expect(middle).toBeGreaterThanOrEqual(0)
        let along = -pathLength_m(path.slice(0, middle + 1))
        path.forEach((p, k) => {
          if (k > 0) {
            along += distance_m(path[k - 1]!, p)
            expect(distance_m(path[k - 1]!, p)).toBeLessThanOrEqual(1)
          }
          if (!Number.isNaN(ground_m[k]!)) expect(Math.abs(ground_m[k]! - (level - fall * along))).toBeLessThan(1e-6)
        })
        if (ends[0] === 'length' && ends[1] === 'length') expect(Math.abs(pathLength_m(path) - length)).toBeLessThan(1e-6)
      }),
      { numRuns: cases(300) },
    ))

  test.each([0.5, 2.5])('a fall is per metre whatever the cell: %s m', cell_m => {
    const ground = gridOf(60, 60, cell_m, plane(33, 0.1, [0, 0], 50))
    const { path, ends } = lineThrough(ground, [30 * cell_m, 30 * cell_m], 20 * cell_m, 0.02)
    expect(ends).toEqual(['length', 'length'])
    const drop = surfaceValue(ground, path[0]!) - surfaceValue(ground, path[path.length - 1]!)
    expect(drop).toBeCloseTo(0.02 * 20 * cell_m, 4)
  })

  test.each([
    ['north', [0, 1], [1, 0]],
    ['south', [0, -1], [-1, 0]],
    ['east', [1, 0], [0, -1]],
    ['west', [-1, 0], [0, 1]],
  ] as const)('ground that rises due %s: level and falling lines have it on their left', (_, [east, north], [dx, dy]) => {
    const ground = gridOf(30, 40, 0.5, (x, y) => 9 + 0.25 * (east * x + north * y))
    for (const place of [[7.3, 10.6] as const, [7.25, 10.25] as const, [7.25, 10.6] as const, [7.3, 10.25] as const])
      for (const fall of [0, 0.0625]) {
        const { path, ends } = lineThrough(ground, place, 6, fall)
        expect(ends).toEqual(['length', 'length'])
        const [a, b] = [path[0]!, path[path.length - 1]!]
        expect((b[0] - a[0]) * dx + (b[1] - a[1]) * dy).toBeGreaterThan(5.7)
        // A fall of 1/16 on a slope of 1/4 leads 1/4 of its length down the slope.
        expect((b[0] - a[0]) * east + (b[1] - a[1]) * north).toBeCloseTo(-6 * 4 * fall, 6)
      }
  })

  test.each([
    ['north', [0, 1]],
    ['south', [0, -1]],
    ['east', [1, 0]],
    ['west', [-1, 0]],
  ] as const)('ground that rises due %s: along a row of cell centres, too, vertices are at most 1 m apart', (_, [east, north]) => {
    for (const cell_m of [1, 2, 3]) {
      const ground = gridOf(12, 12, cell_m, (x, y) => 9 + 0.25 * (east * x + north * y))
      const { path, ground_m } = lineThrough(ground, [5.5 * cell_m, 5.5 * cell_m], 6 * cell_m)
      expect(pathLength_m(path)).toBeCloseTo(6 * cell_m, 9)
      for (let k = 1; k < path.length; k++) expect(distance_m(path[k - 1]!, path[k]!)).toBeLessThanOrEqual(1 + 1e-9)
      for (const z of ground_m) expect(z).toBeCloseTo(surfaceValue(ground, [5.5 * cell_m, 5.5 * cell_m]), 9)
    }
  })

  test.each([
    ['north', [0, 1], [5, 0]],
    ['south', [0, -1], [5, 11]],
    ['east', [1, 0], [11, 5]],
    ['west', [-1, 0], [0, 5]],
  ] as const)(
    'a falling line along the outermost centres of the %s side: at a void it ends at the void, not at the edge',
    (_, [east, north], [u, v]) => {
      const slope = gridOf(12, 12, 1, (x, y) => 9 + 0.25 * (east * x + north * y))
      // Uphill on the left: on the lattice, whose rows run south, it heads so.
      const [ahead, down] = [north, east]
      for (const sense of [-1, 1]) {
        const gap = (cell: number): boolean =>
          ahead === 0 ? Math.floor(cell / 12) === v + 2 * sense * down : cell % 12 === u + 2 * sense * ahead
        const ground = { ...slope, data: slope.data.map((z, cell) => (gap(cell) ? Number.NaN : z)) }
        const { ends } = lineThrough(ground, [u + 0.9 * sense * ahead + 0.5, 11.5 - v - 0.9 * sense * down], 3, 1e-6)
        expect(ends[sense < 0 ? 0 : 1]).toBe('void')
      }
    },
  )

  test('uphill is on the left at the place', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: ['smooth'], least: 20 }), fraction, fraction, (ground, x, y) => {
        const { width, height } = ground.geometry
        const place: Point = [2 + x * (width - 4), 2 + y * (height - 4)]
        const line = lineOrRefusal(ground, place, 4)
        if (typeof line === 'string') return
        const k = line.path.indexOf(place)
        const [a, b] = [line.path[Math.max(0, k - 1)]!, line.path[Math.min(line.path.length - 1, k + 1)]!]
        const long = distance_m(a, b)
        const reach = 0.2
        const left: Point = [place[0] - (reach * (b[1] - a[1])) / long, place[1] + (reach * (b[0] - a[0])) / long]
        const right: Point = [2 * place[0] - left[0], 2 * place[1] - left[1]]
        // Only where the ground is a slope and not a summit, pit or pass of its own patch.
        const rise = surfaceValue(ground, left) - surfaceValue(ground, right)
        if (Math.abs(rise) < 0.002) return
        expect(isLeftOf(left, a, b)).toBe(true)
        expect(rise).toBeGreaterThan(0)
      }),
      { numRuns: cases(300) },
    ))
})

describe('level lines, small cases', () => {
  test.each([
    ['above the raster', [5, 25]],
    ['on the outer half cell', [0.2, 10]],
    ['nowhere', [Number.NaN, 3]],
  ] as const)('a place %s is refused with what to do next', (_, place) => {
    const ground = gridOf(20, 20, 1, plane(90, 0.1, [10, 10]))
    expect(() => lineThrough(ground, place, 10)).toThrow(
      expect.objectContaining({ code: 'level/outside', message: expect.stringContaining('Choose a place') }),
    )
  })

  test('flat ground and a lone summit are refused', () => {
    const flat = gridOf(10, 10, 1, () => 3)
    expect(() => lineThrough(flat, [5, 5], 10)).toThrow(expect.objectContaining({ code: 'level/flat-ground' }))
    const summit = elevationGrid([
      [0, 0, 0],
      [0, 1, 0],
      [0, 0, 0],
    ])
    expect(lineOrRefusal(summit, [1.5, 1.5], 4)).toBe('level/flat-ground')
  })

  test('a level line round a knoll, shorter than asked, is given once round and not twice over', () => {
    const ground = gridOf(60, 60, 1, cone(0.1, [30.2, 29.9]))
    for (const length of [64, 80, 300]) {
      const { path, ends } = lineThrough(ground, [40.2, 29.9], length)
      expect(ends).toEqual(['closed', 'closed'])
      expect(path[0]).toEqual([40.2, 29.9])
      expect(path[path.length - 1]).toEqual(path[0])
      expect(Math.abs(pathLength_m(path) / (20 * Math.PI) - 1)).toBeLessThan(0.01)
      for (let k = 1; k < path.length; k++) expect(distance_m(path[k - 1]!, path[k]!)).toBeLessThanOrEqual(1)
    }
    // Shorter than once round: two halves, open.
    const { path, ends } = lineThrough(ground, [40.2, 29.9], 60)
    expect(ends).toEqual(['length', 'length'])
    expect(distance_m(path[0]!, path[path.length - 1]!)).toBeGreaterThan(2)
  })

  test('regression: where the slope turns back on itself a falling line stops; it does not step on the spot for ever', () => {
    const { path, ends } = lineThrough(terrain('gaps', 5, 40, 35), [20.3, 17.2], 20, 0.01)
    expect(pathLength_m(path)).toBeLessThanOrEqual(20 + 1e-6)
    // It once ended in the middle of the ground; by its planned heights it runs on to the gap.
    expect(ends).toEqual(['void', 'length'])
    expect(path.length).toBeLessThan(200)
  })

  test.each([2, 4, 10])('on cells of %s m too vertices are at most 1 m apart, level and falling, and not needlessly many', cell_m => {
    const ground = gridOf(40, 40, cell_m, plane(33, 0.1, [0, 0], 50))
    for (const fall of [0, 0.02]) {
      const { path } = lineThrough(ground, [20.3 * cell_m, 19.6 * cell_m], 10 * cell_m, fall)
      const gaps = path.slice(1).map((p, k) => distance_m(path[k]!, p))
      expect(Math.max(...gaps)).toBeLessThanOrEqual(1)
      expect(path.length).toBeLessThan(10 * cell_m * 5)
    }
  })

  test('ground hardly steeper than the asked fall is too flat to tell the line; ground a tenth steeper is not (it once had to be steeper by half)', () => {
    const ground = gridOf(60, 60, 1, x => 50 + 0.03125 * x)
    for (const steeper of [1.0005, 1.01, 1.05]) {
      const { path, ends } = lineThrough(ground, [30.2, 30.3], 10, 0.03125 / steeper)
      expect(ends).toEqual(['flat', 'flat'])
      expect(path).toEqual([[30.2, 30.3]])
    }
    for (const steeper of [1.1, 1.2, 1.5, 2, 3])
      expect(lineThrough(ground, [30.2, 30.3], 10, 0.03125 / steeper).ends).toEqual(['length', 'length'])
  })

  test('the length is kept to the micrometre where it ends on a vertex, and where it is shorter than a step', () => {
    const ground = gridOf(30, 30, 1, (_, y) => 50 + 0.25 * y)
    for (const length of [0.125, 0.5, 1, 4, 7.3])
      for (const fall of [0, 0.0625]) {
        const { path, ends } = lineThrough(ground, [15.25, 15.25], length, fall)
        expect(ends).toEqual(['length', 'length'])
        expect(pathLength_m(path)).toBeCloseTo(length, 6)
        expect(pathLength_m(path.slice(0, path.findIndex(p => p[0] === 15.25 && p[1] === 15.25) + 1))).toBeCloseTo(length / 2, 6)
      }
  })

  test('regression: round the sharp corner of a saddle, where the ground all but stops rising, vertices are on the level (one was 0.06 mm off)', () => {
    const ground = elevationGrid([
      [0, 1, 0],
      [1, 1, 0],
      [0, 0, 0],
    ])
    const place: Point = [0.5 + 2 ** -20, 0.5 + 2 ** -20]
    const { path, ground_m } = lineThrough(ground, place, 4)
    expect(path.length).toBeGreaterThan(5)
    for (const z of ground_m) expect(Math.abs(z - 2 ** -20)).toBeLessThan(1e-11)
  })

  test('a shelf of level ground within a slope does not lead the line astray: it follows the shelf’s foot or is refused', () => {
    const ground = gridOf(30, 30, 1, (_, y) => (y < 10 ? 0.1 * y : y < 20 ? 1 : 1 + 0.1 * (y - 20)))
    for (const y of [5, 25]) expect(lineThrough(ground, [15, y], 12).ends).toEqual(['length', 'length'])
  })

  test('on rough ground a falling line comes to an end: it stops where a correction undoes its step (this one once ran for ever)', () => {
    const ground = terrain('rough', 12, 90, 70, 2)
    const { path, ends } = lineThrough(ground, [90, 98], 60, 0.005)
    expect(ends).toContain('flat')
    expect(path.length).toBeLessThan(400)
    for (let seed = 1; seed <= 40; seed++)
      expect(pathLength_m(lineThrough(terrain('rough', seed, 60, 60), [30, 30], 40, 0.01).path)).toBeLessThanOrEqual(40 + 1e-6)
  })
})

describe('where and why lines end', () => {
  // 24 × 16 cells of 2 m, its corner far from the origin.
  const [west, north] = [1000, 5000]
  const slopeTo = (east: number, up: number, isVoid = (_column: number, _row: number): boolean => false): ElevationGrid => {
    const grid = gridOf(24, 16, 2, (x, y) => 50 + 0.25 * (east * x + up * y))
    return {
      ...grid,
      geometry: { ...grid.geometry, west_m: west, north_m: north },
      data: grid.data.map((z, cell) => (isVoid(cell % 24, Math.floor(cell / 24)) ? Number.NaN : z)),
    }
  }
  const place: Point = [west + 24.6, north - 15.4]

  test.each([
    ['east', 0, 1],
    ['west', 0, -1],
    ['south', 1, 0],
    ['north', -1, 0],
  ] as const)('off the raster’s %s side a level or falling line ends at its edge, on the outermost cell centres', (side, east, up) => {
    const [left, right, bottom, top] = [west + 1, west + 47, north - 31, north - 1]
    for (const fall of [0, 0.001]) {
      const { path, ends } = lineThrough(slopeTo(east, up), place, 200, fall)
      expect(ends).toEqual(['edge', 'edge'])
      const [x, y] = path[path.length - 1]!
      const away = { east: right - x, west: x - left, south: y - bottom, north: top - y }[side]
      expect(away).toBeGreaterThanOrEqual(-1e-9)
      expect(away).toBeLessThan(fall === 0 ? 1e-9 : 0.55)
    }
  })

  test.each([
    ['east', 0, 1, (column: number) => column === 23],
    ['west', 0, -1, (column: number) => column === 0],
    ['south', 1, 0, (_: number, row: number) => row === 15],
    ['north', -1, 0, (_: number, row: number) => row === 0],
  ] as const)('where only the outermost cells of the %s side are void, it ends at a void', (_, east, up, isVoid) => {
    for (const fall of [0, 0.001]) expect(lineThrough(slopeTo(east, up, isVoid), place, 200, fall).ends).toEqual(['edge', 'void'])
  })

  test('a line that starts inside a saddle, both of whose arcs belong to it, runs through its first patch twice and closes only on coming home', () => {
    // Two summits at opposite corners of the middle patch, whose middle lies above the level: one line round both of them.
    const ground = elevationGrid([
      [0, 0, 0, 0],
      [0, 8, 2, 0],
      [0, 2, 8, 0],
      [0, 0, 0, 0],
    ])
    // The patch’s surface is 5 high in its middle; 3.5 high on both arcs, north-east and south-west of it.
    const level = 3.5
    const [line, ...others] = linesAt(ground, level)
    expect(others).toEqual([])
    expect(line!.closed).toBe(true)
    const whole = pathLength_m(line!.path)
    // Places on either arc, where it crosses the diagonal of the low corners: 8 − 6(a + b) + 12ab = 3.5 with b = 1 − a.
    const a = 0.5 + Math.sqrt(0.125)
    for (const east of [a, 1 - a]) {
      const start: Point = [1.5 + east, 2.5 - (1 - east)]
      expect(surfaceValue(ground, start)).toBeCloseTo(level, 6)
      const { path, ends } = lineThrough(ground, start, 3 * whole)
      expect(ends).toEqual(['closed', 'closed'])
      expect(path[path.length - 1]).toEqual(start)
      // Round all of it: about both summits, not only about one; finer vertices than the contour line’s.
      expect(pathLength_m(path)).toBeGreaterThan(whole - 1e-9)
      expect(pathLength_m(path)).toBeLessThan(1.1 * whole)
      expect(Math.min(...path.map(p => p[0] - p[1]))).toBeLessThan(-1)
      expect(Math.max(...path.map(p => p[0] - p[1]))).toBeGreaterThan(1)
    }
  })

  test('a place on a patch’s rim: no piece without length; once round, asked to the millimetre, is once round', () => {
    const hill = elevationGrid([
      [0, 0, 0],
      [0, 1, 0],
      [0, 0, 0],
    ])
    const start: Point = [1.5, 2]
    const { path, ends } = lineThrough(hill, start, 10)
    expect(ends).toEqual(['closed', 'closed'])
    for (let k = 1; k < path.length; k++) expect(distance_m(path[k - 1]!, path[k]!)).toBeGreaterThan(0)
    const whole = pathLength_m(path)
    expect(lineThrough(hill, start, whole).ends).toEqual(['closed', 'closed'])
    expect(lineThrough(hill, start, whole - 1e-6).ends).toEqual(['length', 'length'])
    for (const p of lineThrough(hill, start, 0).path) expect(distance_m(p, start)).toBe(0)
  })

  test('ground no steeper than the asked fall has no such line; steeper ground has', () => {
    const ground = gridOf(60, 40, 0.5, x => 0.125 * x)
    const at: Point = [14.3, 10.2]
    expect(lineThrough(ground, at, 4, 0.125)).toMatchObject({ path: [at], ends: ['flat', 'flat'] })
    expect(lineThrough(ground, at, 4, -0.125)).toMatchObject({ path: [at], ends: ['flat', 'flat'] })
    expect(lineThrough(ground, at, 4, 0.05).ends).toEqual(['length', 'length'])
  })

  test('a tenth of a millimetre in a kilometre is level ground to a falling line, whatever the cell', () => {
    for (const cell_m of [10, 0.1])
      for (const [rise, end] of [
        [0.5e-7, 'flat'],
        [2e-7, 'length'],
      ] as const) {
        const ground = gridOf(40, 40, cell_m, x => rise * x)
        expect(lineThrough(ground, [20 * cell_m, 20 * cell_m], 4 * cell_m, 1e-9).ends).toEqual([end, end])
      }
  })

  test('regression: a falling line that says it has its length has it, or stops before a sharp edge and says so', () => {
    const ground = elevationGrid([
      [1, 0, 1, 1],
      [0, 1, 0, 0],
      [0, 1, 0, 0],
      [0, 0, 1, 0],
      [1, 0, 1, 1],
      [0, 0, 0, 1],
    ])
    // It once was 0.46 m too long.
    const start: Point = [4 * 0.250881, 6 * 0.690619]
    const { path, ends } = lineThrough(ground, start, 2, 0.03)
    const middle = path.indexOf(start)
    for (const [k, half] of [path.slice(0, middle + 1), path.slice(middle)].entries()) {
      if (ends[k] === 'length') expect(pathLength_m(half)).toBeCloseTo(1, 6)
      else expect(pathLength_m(half)).toBeLessThan(1)
    }
  })
})

describe('profile along a path', () => {
  test('equal spacing not above the asked one, ends among them, ground and cross slope of a plane', () => {
    const ground = gridOf(40, 40, 1, plane(180, 0.1, [20, 20]))
    const profile = profileAlong(
      ground,
      [
        [5, 20],
        [25, 20],
        [25, 30],
      ],
      0.7,
    )
    expect(profile[0]).toMatchObject({ chainage_m: 0, at: [5, 20] })
    expect(profile[profile.length - 1]!.chainage_m).toBeCloseTo(30, 12)
    expect(profile[profile.length - 1]!.at).toEqual([25, 30])
    profile.forEach((p, k) => {
      if (k > 0) expect(p.chainage_m - profile[k - 1]!.chainage_m).toBeCloseTo(30 / 43, 9)
      expect(p.ground_m).toBeCloseTo(100 + 0.1 * (p.at[1] - 20), 4)
      // It rises to the north: to the left of a line to the east, along a line to the north.
      expect(p.crossSlope_ratio).toBeCloseTo(p.chainage_m <= 20 ? 0.1 : 0, 4)
    })
  })

  test('where the ground is not known, nothing is said', () => {
    const ground = elevationGrid([
      [1, 1, 1, 1],
      [1, 1, Number.NaN, 1],
      [1, 1, 1, 1],
    ])
    expect(
      profileAlong(
        ground,
        [
          [0.5, 1.5],
          [3.5, 1.5],
        ],
        1,
      ).map(p => Number.isNaN(p.ground_m)),
    ).toEqual([false, true, true, true])
  })

  test('the cross slope is taken over at least a cell to each side, and over as much as asked, by either side’s own height', () => {
    // Rises to the left of a line to the north-east, and bends: 0.01·s² across it.
    const across = ([x, y]: Point): number => (y - x) / Math.SQRT2
    const ground = gridOf(60, 50, 2, (x, y) => 20 + 0.2 * across([x, y]) + 0.01 * across([x, y]) ** 3)
    const path: Point[] = [
      [40, 40],
      [60, 60],
    ]
    for (const [asked, reach] of [
      [0.5, 2],
      [6, 6],
      [undefined, 3],
    ] as const)
      for (const { at, crossSlope_ratio, ground_m } of profileAlong(ground, path, 5, asked)) {
        expect(across(at)).toBeCloseTo(0, 9)
        expect(ground_m).toBeCloseTo(20, 1)
        // An odd function’s slope from −reach to reach; bilinear cells of 2 m add some hundredths.
        expect(crossSlope_ratio).toBeCloseTo(0.2 + 0.01 * reach * reach, 1)
        expect(Math.abs(crossSlope_ratio - (0.2 + 0.01 * reach * reach))).toBeLessThan(0.03)
      }
  })
})
