import fc from 'fast-check'
import { distanceToSegment, type Point, thinned } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'

describe('thinned', () => {
  test('a straight row of places keeps its two ends', () => {
    expect(
      thinned(
        Array.from({ length: 9 }, (_, k): Point => [k, 2 * k]),
        0.001,
      ),
    ).toEqual([
      [0, 0],
      [8, 16],
    ])
  })

  test('a corner stays', () => {
    const corner: Point[] = [
      [0, 0],
      [5, 0.01],
      [10, 0],
      [10, 10],
    ]
    expect(thinned(corner, 0.05)).toEqual([corner[0], corner[2], corner[3]])
  })

  test('a closed ring keeps its shape', () => {
    const ring: Point[] = [
      [0, 0],
      [4, 0],
      [4, 4],
      [0, 4],
      [0, 0],
    ]
    expect(thinned(ring, 0.5)).toEqual(ring)
  })

  test('laws: ends stay, nothing is added, and every dropped vertex lies within the distance of what is left', () => {
    const place = fc.tuple(evenly(-100, 100), evenly(-100, 100))
    fc.assert(
      fc.property(fc.array(place, { minLength: 2, maxLength: 40 }), fc.double({ min: 0.01, max: 20, noNaN: true }), (path, tolerance_m) => {
        const kept = thinned(path, tolerance_m)
        expect(kept[0]).toBe(path[0])
        expect(kept.at(-1)).toBe(path.at(-1))
        let piece = 0
        for (const at of path) {
          if (at === kept[piece + 1] && piece + 2 < kept.length) piece++
          const near = Math.min(
            ...[piece - 1, piece, piece + 1].flatMap(k =>
              kept[k] && kept[k + 1] ? [distanceToSegment(at, kept[k]!, kept[k + 1]!).distance_m] : [],
            ),
          )
          expect(near).toBeLessThanOrEqual(tolerance_m * (1 + 1e-9) + 1e-9)
        }
      }),
      { numRuns: 100, seed: 1 },
    )
  })
})
