import { type Point, pathLength_m, pieceAlong, placeAlong } from 'soakline/raster'
import { expect, test } from 'vitest'

const BENT: readonly Point[] = [
  [0, 0],
  [0, 0],
  [3, 4],
  [3, 4],
  [3, 10],
  [3, 10],
]

test('a place along a path: straight between vertices, the piece before at a bend, doubled vertices passed over', () => {
  expect(pathLength_m(BENT)).toBe(11)
  expect(placeAlong(BENT, 0)).toEqual({ at: [0, 0], heading: [0.6, 0.8] })
  expect(placeAlong(BENT, 2.5)).toEqual({ at: [1.5, 2], heading: [0.6, 0.8] })
  expect(placeAlong(BENT, 5)).toEqual({ at: [3, 4], heading: [0.6, 0.8] })
  expect(placeAlong(BENT, 8)).toEqual({ at: [3, 7], heading: [0, 1] })
})

test('beyond its ends the ends, with the headings of the pieces there', () => {
  expect(placeAlong(BENT, -3)).toEqual(placeAlong(BENT, 0))
  for (const beyond of [11, 12, Number.POSITIVE_INFINITY]) expect(placeAlong(BENT, beyond)).toEqual({ at: [3, 10], heading: [0, 1] })
  expect(pieceAlong(BENT, 12)).toEqual({ to: 4, t: 1 })
})

test('a path of one place, or of one place twice, is that place and heads east', () => {
  expect(placeAlong([[2, 1]], 5)).toEqual({ at: [2, 1], heading: [1, 0] })
  const twice: Point[] = [
    [2, 1],
    [2, 1],
  ]
  expect(placeAlong(twice, 5)).toEqual({ at: [2, 1], heading: [1, 0] })
})
