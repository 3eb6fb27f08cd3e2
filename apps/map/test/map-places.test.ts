import { openProjection } from '@soakline/io'
import type { GridGeometry, Point } from 'soakline/raster'
import { expect, test } from 'vitest'
import { mapPlaces } from '../src/worker/map-places.js'

/** One millimetre of latitude. */
const MILLIMETRE_DEG = 1e-3 / 111_319

test('places on the map lie within two millimetres of the projection, 25 km of UTM at 60° north', async () => {
  const projection = await openProjection('EPSG:32632')
  const g: GridGeometry = { width: 2500, height: 2500, cell_m: 10, west_m: 620_000, north_m: 6_675_000, crs: 'EPSG:32632' }
  const exact = ([x, y]: Point): [number, number] => projection.toLonLat(x, y)
  const onMap = mapPlaces(g, exact)
  let worst = 0
  for (let k = 0; k < 400; k++) {
    const at: Point = [g.west_m + ((k * 617) % 25_000), g.north_m - ((k * 7919) % 25_000)]
    const [x, y] = onMap(at)
    const [ex, ey] = exact(at)
    worst = Math.max(worst, Math.abs(x - ex) / 2, Math.abs(y - ey))
  }
  expect(worst).toBeLessThan(2 * MILLIMETRE_DEG)
})

test('a raster smaller than the spacing of the knots has its corners exactly', () => {
  const g: GridGeometry = { width: 10, height: 20, cell_m: 1, west_m: 0, north_m: 20, crs: 'local' }
  const onMap = mapPlaces(g, ([x, y]) => [2 * x, 3 * y])
  expect(onMap([10, 0])).toEqual([20, 0])
  expect(onMap([5, 10])).toEqual([10, 30])
})
