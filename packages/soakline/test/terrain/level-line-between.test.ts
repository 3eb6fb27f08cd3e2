import { InputError } from 'soakline/foundation'
import { distance_m, type Point, pathLength_m, surfaceValue } from 'soakline/raster'
import { levelLineAlong, levelLineBetween } from 'soakline/terrain'
import { expect, test } from 'vitest'
import { gridOf } from '../../../../tests/helpers/surfaces.js'

// Lines walked along the contour and fitted to it, on a hill whose contours are circles.

/** A round hill: its contours are circles round its middle. */
const MIDDLE: Point = [100, 100]
const hill = gridOf(200, 200, 1, (x, y) => 60 - 0.15 * Math.hypot(x - MIDDLE[0], y - MIDDLE[1]))
const onCircle = (radius: number, turn_deg: number): Point => [
  MIDDLE[0] + radius * Math.cos((turn_deg * Math.PI) / 180),
  MIDDLE[1] + radius * Math.sin((turn_deg * Math.PI) / 180),
]

test('walked from one place to another of the same circle, the line is the arc between them, to a cell', () => {
  const [from, toward] = [onCircle(50, 10), onCircle(50, 70)]
  const { path, ground_m } = levelLineBetween(hill, from, toward)!
  expect(pathLength_m(path) / ((50 * 60 * Math.PI) / 180)).toBeCloseTo(1, 1)
  const ends = [path[0]!, path[path.length - 1]!]
  expect(Math.min(...ends.map(end => distance_m(end, from)))).toBeLessThan(1e-9)
  expect(Math.min(...ends.map(end => distance_m(end, toward)))).toBeLessThan(1.5)
  const level = surfaceValue(hill, from)
  for (const z of ground_m) expect(Math.abs(z - level)).toBeLessThan(1e-9)
})

test('walked toward a place off the level it ends where it comes nearest to it; toward where it stands it is no line', () => {
  const from = onCircle(50, 10)
  const { path } = levelLineBetween(hill, from, onCircle(80, 70))!
  const ends = [path[0]!, path[path.length - 1]!]
  expect(Math.min(...ends.map(end => distance_m(end, onCircle(50, 70))))).toBeLessThan(3)
  expect(levelLineBetween(hill, from, from)).toBeNull()
  expect(() => levelLineBetween(hill, [-500, 0], from)).toThrow(InputError)
})

test('a line drawn by a shaky hand is laid on the contour of its middle height, from end to end', () => {
  const shaky = Array.from({ length: 13 }, (_, k): Point => onCircle(50 + [0, 1.2, -1][k % 3]!, 20 + 5 * k))
  const { path, ground_m } = levelLineAlong(hill, shaky)!
  expect(Math.max(...ground_m) - Math.min(...ground_m)).toBeLessThan(1e-9)
  expect(pathLength_m(path) / ((50 * 60 * Math.PI) / 180)).toBeCloseTo(1, 1)
  for (const at of path) expect(Math.abs(distance_m(at, MIDDLE) - 50)).toBeLessThan(1.5)
})

test('a line that runs straight up the slope has no contour to be laid on', () => {
  expect(levelLineAlong(hill, [onCircle(30, 45), onCircle(80, 45)])).toBeNull()
  expect(levelLineAlong(hill, [onCircle(30, 45)])).toBeNull()
})

test('two places are line enough to be laid on a contour', () => {
  const { path } = levelLineAlong(hill, [onCircle(50, 20), onCircle(50, 50)])!
  expect(pathLength_m(path) / ((50 * 30 * Math.PI) / 180)).toBeCloseTo(1, 1)
})
