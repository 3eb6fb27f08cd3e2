import fc from 'fast-check'
import { InputError, seededRandom } from 'soakline/foundation'
import {
  crosses,
  distance_m,
  distanceToSegment,
  type ElevationGrid,
  fromLattice,
  type Point,
  pathLength_m,
  surfaceValue,
} from 'soakline/raster'
import { linesApart_m, lineThrough, offLevel, type SmoothedLine, smoothLine } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { arc, cone, gridOf, lineAcross, plane, reshaped, roughened, terrain, turned } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 29, numRuns: 60 })

const fraction = evenly(0, 1)
const toPath = (p: Point, path: readonly Point[]): number =>
  Math.min(...path.slice(1).map((b, k) => distanceToSegment(p, path[k]!, b).distance_m))

/** Places along a path, `each` on every piece, and how far along the path each lies. */
function* along(path: readonly Point[], each: number): Generator<readonly [p: Point, chainage_m: number]> {
  let before = 0
  for (let k = 1; k < path.length; k++) {
    const [a, b] = [path[k - 1]!, path[k]!]
    const long = distance_m(a, b)
    for (let n = 0; n <= each; n++) {
      const t = n / each
      yield [[a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])], before + t * long]
    }
    before += long
  }
}

function crossesItself(path: readonly Point[]): boolean {
  for (let i = 1; i < path.length; i++)
    for (let j = i + 2; j < path.length; j++) if (crosses(path[i - 1]!, path[i]!, path[j - 1]!, path[j]!)) return true
  return false
}

/** A level line on random ground, or null where none can be told or it closes on itself. */
function someLine(ground: ElevationGrid, x: number, y: number, length_m: number, fall = 0): Point[] | null {
  const { width, height } = ground.geometry
  try {
    const { path } = lineThrough(ground, [1 + x * (width - 2), 1 + y * (height - 2)], length_m, fall)
    return path.length > 3 && pathLength_m(path) > 6 && distance_m(path[0]!, path[path.length - 1]!) > 0.01 ? [...path] : null
  } catch (error) {
    if (error instanceof InputError) return null
    throw error
  }
}

function smoothed(ground: ElevationGrid, path: readonly Point[], limits = {}): SmoothedLine | null {
  try {
    return smoothLine(ground, path, limits)
  } catch (error) {
    if (error instanceof InputError && error.code === 'smooth/no-ground') return null
    throw error
  }
}

const hillsides = fc.oneof(
  anyTerrain({ kinds: ['smooth'], least: 25, most: 45 }),
  anyTerrain({ kinds: ['rough', 'gaps', 'decimetres', 'lakes'], least: 25, most: 45 }),
)

describe('laws of smoothed lines, on random ground', () => {
  test('ends stay; it never crosses itself; heights within the limit off the kept stretches; vertices no closer than asked; what is reported is true', () =>
    fc.assert(
      fc.property(hillsides, fraction, fraction, fc.constantFrom(20, 60), fc.constantFrom(0, 0.01), (ground, x, y, length, fall) => {
        const given = someLine(ground, x, y, length, fall)
        if (!given || crossesItself(given)) return
        const line = smoothed(ground, given)
        if (!line) return
        const { path, chainage_m, ground_m, level_m, cut_m, kept } = line
        expect(path[0]).toEqual(given[0])
        expect(path[path.length - 1]).toEqual(given[given.length - 1])
        expect(crossesItself(path)).toBe(false)
        const isKept = (at: number): boolean => kept.some(({ from_m, to_m }) => at >= from_m - 1e-6 && at <= to_m + 1e-6)
        const long = chainage_m[path.length - 1]!
        const levelAt = (at: number): number => level_m[0]! + (at / long) * (level_m[path.length - 1]! - level_m[0]!)
        let highest = 0
        for (const [p, at] of along(path, 12)) {
          const off = Math.abs(surfaceValue(ground, p) - levelAt(at))
          if (Number.isNaN(off)) continue
          highest = Math.max(highest, off)
          if (!isKept(at)) expect(off).toBeLessThanOrEqual(0.15 + 1e-9)
        }
        expect(line.largestHeight_m).toBeGreaterThanOrEqual(highest - 1e-9)
        expect(line.largestHeight_m).toBeLessThanOrEqual(highest + 0.05)
        for (let k = 0; k < path.length; k++) {
          expect(level_m[k]).toBeCloseTo(levelAt(chainage_m[k]!), 9)
          if (!Number.isNaN(ground_m[k]!)) expect(cut_m[k]).toBe(ground_m[k]! - level_m[k]!)
          if (k > 0 && path.length > 2 && !isKept((chainage_m[k - 1]! + chainage_m[k]!) / 2))
            expect(chainage_m[k]! - chainage_m[k - 1]!).toBeGreaterThan(2 - 1e-6 - (kept.length > 0 ? 1 : 0))
        }
        let apart = 0
        for (const [p] of along(path, 8)) apart = Math.max(apart, toPath(p, given))
        for (const [p] of along(given, 3)) apart = Math.max(apart, toPath(p, path))
        expect(line.largestPlan_m).toBeGreaterThanOrEqual(apart - 0.001)
        expect(line.largestPlan_m).toBeLessThanOrEqual(apart + 0.2)
      }),
      { numRuns: 150 },
    ))

  test('bends are no shorter than the radius, but for those that are named', () =>
    fc.assert(
      fc.property(hillsides, fraction, fraction, fc.constantFrom(3, 8), (ground, x, y, radius) => {
        const given = someLine(ground, x, y, 50)
        const line = given && smoothed(ground, given, { radius_m: radius })
        if (!line) return
        const { path, chainage_m, tightBends } = line
        for (let k = 1; k < path.length - 1; k++) {
          const [a, b, c] = [path[k - 1]!, path[k]!, path[k + 1]!]
          const twice = Math.abs((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]))
          const circle = (distance_m(a, b) * distance_m(b, c) * distance_m(a, c)) / (2 * twice)
          if (circle < radius * 0.999) expect(tightBends.length).toBeGreaterThan(0)
          if (tightBends.length === 0) expect(circle).toBeGreaterThan(radius * 0.999)
        }
        for (const { chainage_m: at, radius_m } of tightBends) {
          expect([...chainage_m]).toContain(at)
          expect(radius_m).toBeLessThan(radius)
        }
      }),
      { numRuns: 80 },
    ))

  test('smoothed again it moves by less than the given line did, and little', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: ['smooth', 'rough'], least: 25, most: 45 }), fraction, fraction, (ground, x, y) => {
        const given = someLine(ground, x, y, 60)
        const once = given && smoothed(ground, given)
        if (!once || once.kept.length > 0) return
        const twice = smoothLine(ground, once.path)
        expect(linesApart_m(once.path, twice.path)).toBeLessThan(0.1)
      }),
      { numRuns: 120 },
    ))

  test('a mirrored raster and line give the mirrored line', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: ['smooth', 'rough'], least: 25, most: 45 }), fraction, fraction, (ground, x, y) => {
        const given = someLine(ground, x, y, 40)
        const line = given && smoothed(ground, given)
        if (!given || !line) return
        const { width } = ground.geometry
        const flip = ([px, py]: Point): Point => [width - px, py]
        const other = smoothLine(turned(ground, 1), given.map(flip))
        expect(other.path.length).toBe(line.path.length)
        for (const [k, p] of other.path.entries()) expect(distance_m(flip(p), line.path[k]!)).toBeLessThan(1e-6)
        expect(other.largestPlan_m).toBeCloseTo(line.largestPlan_m, 2)
        // Walked the other way it is the same line.
        const back = smoothLine(ground, [...given].reverse())
        expect(linesApart_m(back.path, line.path)).toBeLessThan(0.02)
      }),
      { numRuns: 80 },
    ))
})

describe('lines that need no smoothing stay', () => {
  test.each([0, 31, 45, 71, 90])('a straight line at %s°: to a micrometre, no cut and no fill', azimuth => {
    const ground = gridOf(120, 120, 1, plane(azimuth, 0.1, [60, 60]))
    const given = lineAcross(azimuth, [60, 60], 10.3, 60)
    const line = smoothLine(ground, given)
    expect(line.largestPlan_m).toBeLessThan(1e-6)
    expect(line.largestHeight_m).toBeLessThan(1e-4)
    expect(line.kept).toEqual([])
    expect(line.tightBends).toEqual([])
    expect(line.path.length).toBe(31)
    for (const cut of line.cut_m) expect(Math.abs(cut)).toBeLessThan(1e-4)
  })

  test.each([6, 12, 40])('an arc of %s m radius, more than the shortest: but for the chords between its vertices', radius => {
    const ground = gridOf(120, 120, 1, cone(0.1, [60.2, 59.9]))
    const given = arc(33, [60.2, 59.9], radius, 2 * radius)
    const line = smoothLine(ground, given)
    // A chord of 2 m is off its arc by 2² / 8r; where 2 m do not go into the length, the pieces are longer; and the given arc is made of chords too.
    const piece = line.chainage_m[1]!
    expect(line.largestPlan_m).toBeLessThan(piece ** 2 / (8 * radius) + 1 / (8 * radius) + 0.002)
    for (const p of line.path) expect(Math.abs(distance_m(p, [60.2, 59.9]) - radius)).toBeLessThan(0.03)
    expect(line.tightBends).toEqual([])
  })

  test('the level line of a cone, traced on cells of 1 m: within 2 cm and the chords', () => {
    const ground = gridOf(200, 200, 1, cone(0.1, [100.2, 99.9]))
    const { path } = lineThrough(ground, [160.2, 99.9], 100)
    const line = smoothLine(ground, path)
    expect(line.largestPlan_m).toBeLessThan(0.03)
    expect(line.largestHeight_m).toBeLessThan(0.003)
  })
})

describe('smoothed lines, small cases', () => {
  test('a right angle becomes an arc, on ground that allows it', () => {
    const ground = gridOf(60, 60, 1, plane(0, 0.001, [30, 30]))
    const corner: Point[] = [
      [10, 40],
      [30, 40],
      [30, 20],
    ]
    const line = smoothLine(ground, corner, { levels_m: [100, 100] })
    expect(line.tightBends).toEqual([])
    // An arc of radius r that touches both legs leaves the corner by (√2 − 1)·r.
    expect(line.largestPlan_m).toBeGreaterThan((Math.SQRT2 - 1) * 5)
    expect(line.largestPlan_m).toBeLessThan((Math.SQRT2 - 1) * 8)
  })

  test('on steep ground a bend that cannot be eased is kept, and said so', () => {
    // A gully with steep sides, sharp-edged: its level lines turn on the spot.
    const ground = gridOf(80, 80, 1, (x, y) => 100 + 0.3 * (y - 40) + 0.4 * Math.abs(x - 40.5))
    const { path } = lineThrough(ground, [30.2, 30.1], 70)
    const line = smoothLine(ground, path)
    expect(line.tightBends.length).toBeGreaterThan(0)
    expect(line.tightBends[0]!.radius_m).toBeLessThan(5)
    const loose = smoothLine(ground, path, { mostOff_m: 5 })
    expect(loose.tightBends).toEqual([])
    expect(loose.largestHeight_m).toBeGreaterThan(0.15)
    expect(loose.largestPlan_m).toBeGreaterThan(line.largestPlan_m)
  })

  test('a zigzag on rough, gentle ground becomes a line with wide bends', () => {
    const ground = roughened(gridOf(120, 80, 1, plane(0, 0.05, [60, 40])), seededRandom(4), 0.03)
    const { path } = lineThrough(ground, [60.3, 40.2], 150)
    const line = smoothLine(ground, path)
    expect(pathLength_m(line.path)).toBeLessThan(0.9 * pathLength_m(path))
    expect(line.kept).toEqual([])
    expect(line.tightBends).toEqual([])
    expect(line.largestHeight_m).toBeLessThanOrEqual(0.15)
  })

  test('a level line round a knoll smaller than the shortest bend does not shrink to nothing, however gentle the ground', () => {
    const ground = gridOf(40, 40, 1, cone(0.01, [20.2, 19.9]))
    const { path } = lineThrough(ground, [24.2, 19.9], 60)
    const line = smoothLine(ground, path)
    expect(line.largestPlan_m).toBeLessThan(7)
    expect(line.chainage_m[line.path.length - 1]).toBeGreaterThan(5)
    expect(line.tightBends.length).toBeGreaterThan(0)
  })

  test('a falling line keeps the heights of its ends, and falls evenly between them', () => {
    const ground = terrain('smooth', 12, 60, 60)
    const given = lineThrough(ground, [30.2, 30.1], 40, 0.01)
    const line = smoothLine(ground, given.path)
    const last = line.path.length - 1
    expect(line.level_m[0]).toBeCloseTo(given.ground_m[0]!, 9)
    expect(line.level_m[last]).toBeCloseTo(given.ground_m[given.ground_m.length - 1]!, 9)
    expect((line.level_m[0]! - line.level_m[last]!) / line.chainage_m[last]!).toBeGreaterThanOrEqual(0.0099)
  })

  test('design levels of the user’s own: the stakes carry the difference', () => {
    const ground = gridOf(60, 60, 1, plane(0, 0.1, [30, 30]))
    const line = smoothLine(ground, lineAcross(0, [30, 30], 0, 30), { levels_m: [99.9, 99.9] })
    for (const cut of line.cut_m) expect(cut).toBeCloseTo(0.1, 4)
  })

  test('settings and lines that make no sense are refused with what to do', () => {
    const ground = gridOf(60, 60, 1, plane(0, 0.1, [30, 30]))
    const path = lineAcross(0, [30, 30], 0, 30)
    for (const limits of [{ radius_m: 0 }, { radius_m: 1, spacing_m: 2 }, { spacing_m: Number.NaN }, { mostOff_m: -1 }])
      expect(() => smoothLine(ground, path, limits)).toThrow(expect.objectContaining({ code: 'smooth/setting' }))
    for (const line of [
      [],
      [[3, 3]],
      [
        [3, 3],
        [3, 3],
      ],
      [
        [3, 3],
        [Number.NaN, 3],
      ],
    ] as Point[][])
      expect(() => smoothLine(ground, line)).toThrow(expect.objectContaining({ code: 'smooth/line' }))
    const outside: Point[] = [
      [-9, 3],
      [20, 20],
    ]
    expect(() => smoothLine(ground, outside)).toThrow(expect.objectContaining({ code: 'smooth/no-ground' }))
  })

  test('a line beside a void does not cut across it', () => {
    const bowl = gridOf(60, 60, 1, (x, y) => 0.05 * (y - 0.02 * (x - 30) ** 2))
    const ground = reshaped(bowl, (z, cell) => {
      const [x, y] = fromLattice(bowl.geometry, cell % 60, Math.floor(cell / 60))
      return Math.hypot(x - 30, y - 24.5) < 2 ? Number.NaN : z
    })
    const { path } = lineThrough(ground, [10.2, 30.1], 90)
    const line = smoothLine(ground, path, { radius_m: 50, mostOff_m: 5 })
    for (const [p] of along(line.path, 10)) expect(surfaceValue(ground, p)).not.toBeNaN()
  })
})

describe('the two measures of deviation', () => {
  test('the ground along a piece: extremes that no sampling exceeds, met to what sampling can tell', () =>
    fc.assert(
      fc.property(anyTerrain({ most: 12 }), fraction, fraction, fraction, fraction, (ground, ax, ay, bx, by) => {
        const { width, height } = ground.geometry
        const at = (x: number, y: number): Point => [x * width, y * height]
        const [a, b] = [at(ax, ay), at(bx, by)]
        const off = offLevel(ground, a, b, 3, 4)
        const heights = Array.from({ length: 401 }, (_, n) => {
          const t = n / 400
          return surfaceValue(ground, [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]) - (3 + t)
        })
        if (!off) return
        const known = heights.filter(z => !Number.isNaN(z))
        expect(known.length).toBeGreaterThan(390)
        expect(off.above_m).toBeGreaterThanOrEqual(Math.max(...known) - 1e-9)
        expect(off.below_m).toBeLessThanOrEqual(Math.min(...known) + 1e-9)
        expect(off.above_m).toBeLessThan(Math.max(...known) + 0.1)
      }),
      { numRuns: 200 },
    ))

  test('two lines: known distances, the same for both orders, also where only one of them strays', () => {
    const straight: Point[] = [
      [0, 0],
      [20, 0],
    ]
    const detour: Point[] = [
      [0, 0],
      [9.9, 0],
      [10, 7],
      [10.1, 0],
      [20, 0],
    ]
    expect(linesApart_m(straight, detour)).toBeCloseTo(7, 2)
    expect(linesApart_m(detour, straight)).toBeCloseTo(7, 2)
    // The farthest place of the chord lies inside a piece, not on a vertex.
    const roundabout: Point[] = [
      [0, 0],
      [0, 5],
      [20, 5],
      [20, 0],
    ]
    expect(linesApart_m(straight, roundabout)).toBeCloseTo(5, 2)
    expect(linesApart_m(straight, straight)).toBe(0)
  })
})
