import { distance_m, type ElevationGrid, isLeftOf, type Point, pathLength_m, surfaceValue } from 'soakline/raster'
import { type GroundLine, linesAt, lineThrough } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { cone, gridOf, heading, hollowCone, plane, roof, type Surface, saddle } from '../helpers/surfaces.js'

const AZIMUTHS = [0, 13, 22.5, 31, 45, 71, 90, 126, 200, 289]
const CENTRE: Point = [150.2, 149.9]
const SIZE = 300

/** Places along a path, ten on each piece, its vertices among them. */
function* chords(path: readonly Point[]): Generator<Point> {
  for (let k = 1; k < path.length; k++)
    for (let n = 0; n < 10; n++) {
      const t = n / 10
      yield [path[k - 1]![0] + t * (path[k]![0] - path[k - 1]![0]), path[k - 1]![1] + t * (path[k]![1] - path[k - 1]![1])]
    }
  yield path[path.length - 1]!
}

const worst = (places: Iterable<Point>, off: (p: Point) => number): number => {
  let most = 0
  for (const p of places) most = Math.max(most, Math.abs(off(p)))
  return most
}

/** What every complete line through a place keeps: gaps, length, middle, heights, uphill on the left. */
function expectSound(ground: ElevationGrid, line: GroundLine, place: Point, length_m: number): void {
  const { path, ground_m, ends } = line
  expect(ends).toEqual(['length', 'length'])
  for (let k = 1; k < path.length; k++) expect(distance_m(path[k - 1]!, path[k]!)).toBeLessThanOrEqual(1)
  expect(Math.abs(pathLength_m(path) - length_m)).toBeLessThan(0.001)
  const middle = path.findIndex(p => distance_m(p, place) < 1e-9)
  expect(middle).toBeGreaterThan(0)
  expect(Math.abs(pathLength_m(path.slice(0, middle + 1)) - length_m / 2)).toBeLessThan(0.001)
  expect([...ground_m]).toEqual(path.map(p => surfaceValue(ground, p)))
  for (const k of [0, middle - 1, path.length - 2]) {
    const [a, b] = [path[k]!, path[k + 1]!]
    const long = distance_m(a, b)
    const left: Point = [(a[0] + b[0]) / 2 - (b[1] - a[1]) / long, (a[1] + b[1]) / 2 + (b[0] - a[0]) / long]
    expect(isLeftOf(left, a, b)).toBe(true)
    expect(surfaceValue(ground, left)).toBeGreaterThan((ground_m[k]! + ground_m[k + 1]!) / 2)
  }
}

describe('level lines on exact surfaces', () => {
  test.each(AZIMUTHS)('a cone at %s°: level to 1 mm on the gridded surface, 3 mm on the true one, round to 2 cm', azimuth => {
    for (const [fall, radius, length] of [
      [0.1, 80, 120],
      [0.3, 110, 90],
      [0.02, 60, 100],
    ] as const) {
      for (const make of [cone, (f: number, c: Point): Surface => hollowCone(f, c, 140)]) {
        const surface = make(fall, CENTRE)
        const ground = gridOf(SIZE, SIZE, 1, surface)
        const [east, north] = heading(azimuth)
        const place: Point = [CENTRE[0] + radius * east, CENTRE[1] + radius * north]
        const line = lineThrough(ground, place, length)
        const level = surfaceValue(ground, place)
        expectSound(ground, line, place, length)
        expect(worst(line.path, p => surfaceValue(ground, p) - level)).toBeLessThan(1e-9)
        expect(worst(chords(line.path), p => surfaceValue(ground, p) - level)).toBeLessThan(0.001)
        expect(worst(chords(line.path), p => surface(...p) - surface(...place))).toBeLessThan(0.003)
        expect(worst(line.path, p => distance_m(p, CENTRE) - radius)).toBeLessThan(0.02)
      }
    }
  })

  test.each(AZIMUTHS)('a plane at %s°: straight, whatever the cell', azimuth => {
    for (const cell of [0.5, 1, 3]) {
      const ground = gridOf(Math.round(SIZE / cell), Math.round(SIZE / cell), cell, plane(azimuth, 0.04, [150, 150]))
      const [east, north] = heading(azimuth)
      const line = lineThrough(ground, [150.3, 149.6], 150)
      expectSound(ground, line, [150.3, 149.6], 150)
      expect(worst(line.path, ([x, y]) => (x - 150.3) * east + (y - 149.6) * north)).toBeLessThan(0.005)
    }
  })

  test('a line on a cell’s centre, on a row of centres and on a patch’s rim is as good as any other', () => {
    for (const azimuth of [0, 45, 90, 31]) {
      const ground = gridOf(SIZE, SIZE, 1, plane(azimuth, 0.04, [150, 150]))
      for (const place of [
        [150.5, 150.5],
        [150.5, 150.25],
        [150.1, 150.5],
      ] as const)
        expectSound(ground, lineThrough(ground, place, 60), place, 60)
    }
  })

  test.each(AZIMUTHS)('on a cone at %s° a line of one in a hundred falls 0.0100 ± 0.0002 along its chainage', azimuth => {
    for (const ratio of [0.01, -0.01, 0.003]) {
      const ground = gridOf(SIZE, SIZE, 1, cone(0.1, CENTRE))
      const [east, north] = heading(azimuth)
      const place: Point = [CENTRE[0] + 80 * east, CENTRE[1] + 80 * north]
      const line = lineThrough(ground, place, 100, ratio)
      expectSound(ground, line, place, 100)
      const { ground_m, path } = line
      expect(Math.abs(pathLength_m(path) - 100)).toBeLessThan(1e-6)
      const fall = (ground_m[0]! - ground_m[ground_m.length - 1]!) / pathLength_m(path)
      expect(Math.abs(fall - ratio)).toBeLessThan(0.0002)
      for (let k = 1; k < ground_m.length; k++) expect(Math.sign(ground_m[k - 1]! - ground_m[k]!)).toBe(Math.sign(ratio))
      // Each vertex on its planned height.
      let along = -50
      const level = surfaceValue(ground, place)
      path.forEach((p, k) => {
        if (k > 0) along += distance_m(path[k - 1]!, p)
        expect(Math.abs(ground_m[k]! - (level - ratio * along))).toBeLessThan(1e-6)
      })
    }
  })

  test('ends say why a line is shorter than asked', () => {
    const slope = gridOf(100, 100, 1, plane(0, 0.1, [50, 50]))
    expect(lineThrough(slope, [50, 50], 400).ends).toEqual(['edge', 'edge'])
    expect(lineThrough(slope, [90, 50], 60).ends.filter(e => e === 'edge')).toHaveLength(1)
    expect(lineThrough(slope, [50, 50], 400, 0.01).ends).toEqual(['edge', 'edge'])
    const hill = gridOf(100, 100, 1, cone(0.1, [50.3, 49.8]))
    expect(lineThrough(hill, [60.3, 49.8], 200).ends).toEqual(['closed', 'closed'])
    const gap = { ...slope, data: slope.data.map((z, cell) => (cell % 100 === 70 ? Number.NaN : z)) }
    expect(lineThrough(gap, [50, 50], 80).ends.filter(e => e === 'void')).toHaveLength(1)
    // Steeper than the slope itself: no line can fall that fast.
    expect(lineThrough(slope, [50, 50], 40, 0.2).ends).toEqual(['flat', 'flat'])
  })

  test.each([
    ['outside the raster', [-5, 50], 'level/outside'],
    ['in a void', [20.2, 50], 'level/outside'],
    ['on flat ground', [80, 50], 'level/flat-ground'],
  ] as const)('a place %s is refused', (_, place, code) => {
    const ground = gridOf(100, 100, 1, (x, y) => (x < 40 && x > 10 ? Number.NaN : x > 60 ? 5 : 5 + 0.1 * y))
    expect(() => lineThrough(ground, place, 20)).toThrow(expect.objectContaining({ code }))
    expect(() => lineThrough(ground, place, 20, 0.01).ends.some(end => end === 'flat') || expect.fail('answered')).not.toThrow(TypeError)
  })
})

describe('contour lines on exact surfaces', () => {
  test('of a cone: circles, round to 2 cm, of the right length', () => {
    const ground = gridOf(SIZE, SIZE, 1, cone(0.1, CENTRE))
    for (let level = 87; level < 98; level++) {
      const lines = linesAt(ground, level)
      expect(lines).toHaveLength(1)
      const radius = (100 - level) / 0.1
      expect(lines[0]!.closed).toBe(true)
      expect(worst(lines[0]!.path, p => distance_m(p, CENTRE) - radius)).toBeLessThan(0.02)
      expect(Math.abs(pathLength_m(lines[0]!.path) / (2 * Math.PI * radius) - 1)).toBeLessThan(0.001)
    }
  })

  test('of a roof: two straight lines, open at the raster’s outermost cell centres', () => {
    const ground = gridOf(100, 100, 1, roof(31, 0.1, [50, 50]))
    const [east, north] = heading(31)
    const lines = linesAt(ground, 98)
    expect(lines).toHaveLength(2)
    for (const { path, closed } of lines) {
      expect(closed).toBe(false)
      expect(worst(path, ([x, y]) => Math.abs((x - 50) * east + (y - 50) * north) - 20)).toBeLessThan(1e-4)
      for (const [x, y] of [path[0]!, path[path.length - 1]!]) expect(Math.min(x, y, 100 - x, 100 - y)).toBeCloseTo(0.5, 9)
    }
  })

  test('of a saddle: pairs that open to the other side above and below the pass', () => {
    const ground = gridOf(101, 101, 1, saddle(0, 0.01, [50.5, 50.5]))
    for (const [level, axis] of [
      [99, 0],
      [101, 1],
    ] as const) {
      const lines = linesAt(ground, level)
      expect(lines).toHaveLength(2)
      for (const { path } of lines) expect(new Set(path.map(p => Math.sign(p[axis]! - 50.5))).size).toBe(1)
    }
  })
})
