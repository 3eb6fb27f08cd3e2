import fc from 'fast-check'
import { elevationGrid, type Point } from 'soakline/raster'
import { measuredWay } from 'soakline/terrain'
import { expect, test } from 'vitest'

fc.configureGlobal({ seed: 1 })

/** A plane of cells of 1 m that rises by 0.3 a metre to the east, with a void in its north-east corner. */
const plane = elevationGrid(
  Array.from({ length: 40 }, (_, row) =>
    Array.from({ length: 40 }, (_, column) => (row < 4 && column > 35 ? Number.NaN : 100 + 0.3 * column)),
  ),
)

const within = fc.integer({ min: 2, max: 30 })
const places = fc.array(fc.tuple(within, within), { minLength: 2, maxLength: 6 }) as fc.Arbitrary<Point[]>

test('worked by hand: 3, 4 and 5 m on a plane of 0.3: lengths, rises, the tape and the area', () => {
  const way = measuredWay(plane, [
    [10, 10],
    [14, 10],
    [14, 13],
    [10, 13],
  ])
  expect(way.legs.map(leg => leg.length_m)).toEqual([4, 3, 4])
  expect(way.length_m).toBe(11)
  expect(way.legs[0]!.rise_m).toBeCloseTo(1.2, 5)
  expect(way.legs[0]!.tape_m).toBeCloseTo(Math.hypot(4, 1.2), 5)
  expect(way.legs[1]!.rise_m).toBeCloseTo(0, 5)
  expect(way.rise_m).toBeCloseTo(0, 5)
  expect(way.tape_m).toBeCloseTo(2 * Math.hypot(4, 1.2) + 3, 5)
  expect(way.area_m2).toBe(12)
})

test('law: the way back has the same lengths and area, and its rise turned round', () =>
  fc.assert(
    fc.property(places, way => {
      const [there, back] = [measuredWay(plane, way), measuredWay(plane, [...way].reverse())]
      expect(back.length_m).toBeCloseTo(there.length_m, 9)
      expect(back.rise_m!).toBeCloseTo(-there.rise_m!, 9)
      expect(back.tape_m!).toBeCloseTo(there.tape_m!, 9)
      if (there.area_m2 !== null && back.area_m2 !== null) expect(back.area_m2).toBeCloseTo(there.area_m2, 9)
    }),
  ))

test('a place beyond the raster or in a void has no height: the distance stays, what rests on the height is not known', () => {
  const way = measuredWay(plane, [
    [10, 10],
    [39, 39],
    [10, 12],
  ])
  expect(way.heights_m[1]).toBeNull()
  expect(way.legs.map(leg => leg.rise_m)).toEqual([null, null])
  expect(way.tape_m).toBeNull()
  expect(way.length_m).toBeGreaterThan(80)
  expect(way.rise_m).toBeCloseTo(0, 5)
})

test('a way that crosses itself has no area, nor has one of two places; one place alone has no length', () => {
  const bow: Point[] = [
    [5, 5],
    [9, 9],
    [9, 5],
    [5, 9],
  ]
  expect(measuredWay(plane, bow).area_m2).toBeNull()
  expect(measuredWay(plane, bow.slice(0, 2)).area_m2).toBeNull()
  expect(measuredWay(plane, [[5, 5]])).toMatchObject({ legs: [], length_m: 0, rise_m: null, area_m2: null })
})
