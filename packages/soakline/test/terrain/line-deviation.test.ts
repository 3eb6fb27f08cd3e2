import fc from 'fast-check'
import { distance_m, type Point } from 'soakline/raster'
import { linesApart_m } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'

fc.configureGlobal({ seed: 62, numRuns: cases(100) })

/** Distance from a place to a straight piece, by its own formula. */
function toPiece([x, y]: Point, a: Point, b: Point): number {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]]
  const square = dx * dx + dy * dy
  const t = square > 0 ? Math.max(0, Math.min(1, ((x - a[0]) * dx + (y - a[1]) * dy) / square)) : 0
  return Math.hypot(a[0] + t * dx - x, a[1] + t * dy - y)
}

/** The definition, sampled: of `each` places on every piece of one line the farthest from the other. */
function farthest(from: readonly Point[], to: readonly Point[], each: number): number {
  const pieces = (line: readonly Point[]): [Point, Point][] =>
    line.length > 1 ? line.slice(1).map((b, k) => [line[k]!, b]) : [[line[0]!, line[0]!]]
  let most = 0
  for (const [a, b] of pieces(from))
    for (let n = 0; n <= each; n++) {
      const p: Point = [a[0] + (n / each) * (b[0] - a[0]), a[1] + (n / each) * (b[1] - a[1])]
      most = Math.max(most, Math.min(...pieces(to).map(([c, d]) => toPiece(p, c, d))))
    }
  return most
}

const anyLine = fc.array(fc.tuple(evenly(0, 10), evenly(0, 10)), { minLength: 1, maxLength: 6 }) as fc.Arbitrary<Point[]>

describe('how far two lines lie apart', () => {
  test('oracle: the farthest of many places on both, to what lies between two of them; the same for both orders', () =>
    fc.assert(
      fc.property(anyLine, anyLine, (one, other) => {
        const apart = linesApart_m(one, other)
        const each = 200
        const slow = Math.max(farthest(one, other, each), farthest(other, one, each))
        const longest = Math.max(0, ...[one, other].flatMap(line => line.slice(1).map((b, k) => distance_m(line[k]!, b))))
        expect(apart).toBeGreaterThan(slow - 0.001 - 1e-9)
        // A place between two samples is nearer to one of them than half their spacing.
        expect(apart).toBeLessThanOrEqual(slow + longest / each / 2 + 1e-9)
        expect(linesApart_m(other, one)).toBe(apart)
      }),
    ))

  test('law: lines that differ only in vertices along their pieces lie nowhere apart', () => {
    const line: Point[] = [
      [0, 0],
      [8, 0],
      [8, 6],
    ]
    const finer: Point[] = [
      [0, 0],
      [2, 0],
      [5, 0],
      [8, 0],
      [8, 1],
      [8, 6],
    ]
    expect(linesApart_m(line, finer)).toBeLessThan(1e-12)
  })

  test('worked cases: single places, a place and a line, the middle of a piece that no vertex tells of', () => {
    expect(linesApart_m([[0, 0]], [[3, 4]])).toBe(5)
    expect(
      linesApart_m(
        [[0, 3]],
        [
          [0, 0],
          [4, 0],
        ],
      ),
    ).toBe(5)
    // A tent's top above its floor.
    const tent: Point[] = [
      [-5, 0],
      [0, 12],
      [5, 0],
    ]
    const floor: Point[] = [
      [-5, 0],
      [5, 0],
    ]
    expect(linesApart_m(floor, tent)).toBe(12)
    // A box open below and one open above.
    const box: Point[] = [
      [-4, 0],
      [-4, 9],
      [4, 9],
      [4, 0],
    ]
    const wide: Point[] = [
      [-4, 9],
      [-4, 0],
      [4, 0],
      [4, 9],
    ]
    // From the middle of the box's lid down to the floor it is 9, to the legs 4: the legs are nearer.
    expect(linesApart_m(box, wide)).toBeCloseTo(4, 2)
  })

  test('the farthest place is found where only the first or only the last piece strays, and on lines of unlike numbers of pieces', () => {
    const straight: Point[] = [
      [0, 0],
      [30, 0],
    ]
    const strays = (at: number): Point[] => [0, 1, 2, 3, 4, 5].map(n => [6 * n, n === at ? 3 : 0] as Point)
    for (const at of [0, 1, 2, 3, 4, 5]) {
      expect(linesApart_m(straight, strays(at))).toBeCloseTo(3, 9)
      expect(linesApart_m(strays(at), straight)).toBeCloseTo(3, 9)
    }
  })
})
