import { elevationErrorOr_m, errorBesideHouse_m, UNKNOWN_ERROR } from 'soakline/raster'
import { expect, test } from 'vitest'

test('an error that was said counts, 0 too; else that of lidar under plants (QL2: 0.30 m at 95 %, from memory) on fine cells, half a metre on coarser ones', () => {
  expect(elevationErrorOr_m(0.04, 10)).toBe(0.04)
  expect(elevationErrorOr_m(0, 1)).toBe(0)
  expect([0.5, 2, 2.01, 30].map(cell_m => elevationErrorOr_m(null, cell_m))).toEqual([0.15, 0.15, 0.5, 0.5])
  expect(1.96 * UNKNOWN_ERROR.fine_m).toBeCloseTo(0.3, 1)
})

test('beside a house an error that nobody said is half a metre, however fine the cells; one that was said counts', () => {
  expect(errorBesideHouse_m(null)).toBe(0.5)
  expect(errorBesideHouse_m(undefined)).toBe(0.5)
  expect(errorBesideHouse_m(0.04)).toBe(0.04)
})
