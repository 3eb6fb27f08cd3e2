import type { PlanFeature } from 'soakline/plan'
import { expect, test } from 'vitest'
import { featureInPlan, localProjection, openProjection, placeInPlan, placeOnGround, readPlanFeatures } from '../src/index.js'

const BUILDING: PlanFeature = {
  id: 'cabin',
  kind: 'building',
  name: 'Cabin',
  floor_m: 412.5,
  source: 'open map',
  geometry: {
    type: 'Polygon',
    coordinates: [
      [
        [-32.8645, 36.5068],
        [-32.8644, 36.5068],
        [-32.8644, 36.5069],
        [-32.8645, 36.5068],
      ],
    ],
  },
}

const WALL: PlanFeature = {
  id: 'terrace',
  kind: 'wall',
  name: null,
  floor_m: null,
  height_m: 1.2,
  geometry: {
    type: 'LineString',
    coordinates: [
      [-32.864, 36.5068],
      [-32.8638, 36.5068],
    ],
  },
}

test('a place of the plan, taken to the ground and back, is the same within a tenth of a millimetre', async () => {
  const projection = await openProjection('EPSG:32625')
  const place = [-32.8634, 36.5071] as const
  const at = placeOnGround(projection, place)
  expect(at[0]).toBeGreaterThan(500_000)
  const [longitude, latitude] = placeInPlan(projection, at)
  expect(Math.abs(longitude - place[0])).toBeLessThan(1.1e-9)
  expect(Math.abs(latitude - place[1])).toBeLessThan(1.1e-9)
})

test('a raster without a place on Earth keeps its own metres as they are', () => {
  expect(placeInPlan(localProjection(), [12.345678912345, 7])).toEqual([12.345678912345, 7])
  expect(placeOnGround(localProjection(), [12.345678912345, 7])).toEqual([12.345678912345, 7])
})

test('a feature of the plan comes back with all that is known of it; one with a broken shape is refused like a file’s', async () => {
  const projection = await openProjection('EPSG:32625')
  const { features, warnings } = readPlanFeatures([BUILDING, WALL], projection)
  expect(warnings).toEqual([])
  const again = features.map(feature => featureInPlan(feature, projection))
  const rounded = (plan: readonly PlanFeature[]): unknown =>
    JSON.parse(JSON.stringify(plan, (_, value) => (typeof value === 'number' ? Number(value.toFixed(8)) : value)))
  expect(rounded(again)).toEqual(rounded([BUILDING, WALL]))
  expect(() => readPlanFeatures([{ ...BUILDING, geometry: { type: 'Polygon', coordinates: 'none' } } as never], projection)).toThrow()
})
