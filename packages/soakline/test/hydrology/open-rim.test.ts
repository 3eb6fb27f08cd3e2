import { drainage, openRim_ratio } from 'soakline/hydrology'
import type { Point } from 'soakline/raster'
import { expect, test } from 'vitest'
import { cone, gridOf, hollowCone, plane } from '../../../../tests/helpers/surfaces.js'

const SIDE = 20
const CENTRE: Point = [SIDE / 2, SIDE / 2]
const share = (surface: (x: number, y: number) => number): number => {
  const ground = gridOf(SIDE, SIDE, 1, surface)
  return openRim_ratio(ground, drainage(ground))
}

test('a knoll lets no water in, a slope along its upper edge, a bowl all round', () => {
  expect(share(cone(0.2, CENTRE))).toBe(0)
  // Falls to the south: of 76 rim cells the 20 of the north edge drain inward, its two corners along the side.
  expect(share(plane(180, 0.1, CENTRE))).toBeCloseTo(18 / 76, 9)
  expect(share(hollowCone(0.2, CENTRE, 100))).toBeGreaterThan(0.9)
})
