import fc from 'fast-check'
import { InputError } from 'soakline/foundation'
import { distance_m, type ElevationGrid, elevationGrid, isLeftOf, type Point, pathLength_m, surfaceValue } from 'soakline/raster'
import { type GroundLine, lineThrough, profileAlong } from 'soakline/terrain'
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
        expect(pathLength_m(path)).toBeLessThanOrEqual(length + 0.02)
        if (ends[0] === 'length' && ends[1] === 'length') expect(Math.abs(pathLength_m(path) - length)).toBeLessThan(0.02)
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
    expect(ends).toContain('flat')
    expect(path.length).toBeLessThan(200)
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
})
