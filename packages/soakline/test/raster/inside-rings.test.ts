import fc from 'fast-check'
import { insideRings, insideTester, type Point } from 'soakline/raster'
import { expect, test } from 'vitest'

fc.configureGlobal({ seed: 1, numRuns: 300 })

/** On a lattice of quarters, so that places fall on vertices, sides and level sides as well. */
const place = fc.tuple(fc.integer({ min: -12, max: 12 }), fc.integer({ min: -12, max: 12 })).map(([x, y]): Point => [x / 4, y / 4])
const ring = fc.array(place, { minLength: 0, maxLength: 40 })

test('law: it answers as `insideRings` does, on vertices and sides too, for rings that cross themselves and each other', () =>
  fc.assert(
    fc.property(fc.array(ring, { maxLength: 4 }), fc.array(place, { minLength: 1, maxLength: 30 }), (rings, places) => {
      const inside = insideTester(rings)
      for (const at of places) expect(inside(at)).toBe(insideRings(at, rings))
    }),
  ))

test('law: the same where heights lie between those of a lattice, and far from 0', () =>
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.double({ min: 0, max: 9, noNaN: true }), fc.double({ min: 0, max: 9, noNaN: true })), {
        minLength: 3,
        maxLength: 60,
      }),
      fc.double({ min: -5e6, max: 5e6, noNaN: true }),
      (raw, shift) => {
        const around = raw.map(([x, y]): Point => [x + shift, y + shift])
        const inside = insideTester([around])
        for (const [x, y] of around)
          for (const at of [[x, y] as Point, [x - 0.1, y] as Point, [x + 0.3, y + 1e-9] as Point, [x, Number.NaN] as Point])
            expect(inside(at)).toBe(insideRings(at, [around]))
      },
    ),
  ))

test('without rings, or in a ring without height, there is no inside', () => {
  expect(insideTester([])([0, 0])).toBe(false)
  expect(
    insideTester([
      [
        [0, 1],
        [5, 1],
        [2, 1],
      ],
    ])([1, 1]),
  ).toBe(false)
})
