import { contributingArea, contributingAreaSingle, pointCatchment, studyWater } from 'soakline/hydrology'
import type { ElevationGrid } from 'soakline/raster'
import { expect, test } from 'vitest'

test('failure 76: a stream of 150,000 cells one after another is followed without a stack: whatever drains to its mouth is counted', () => {
  const [width, height] = [150_000, 3]
  // A gully between two banks that fall along with it; the step is large enough for float32 to keep.
  const data = Float32Array.from({ length: width * height }, (_, k) => {
    const [column, row] = [k % width, Math.floor(k / width)]
    return 10_000 - 0.0625 * column + (row === 1 ? 0 : 0.5)
  })
  const ground: ElevationGrid = {
    quantity: 'elevation_m',
    geometry: { width, height, cell_m: 1, west_m: 0, north_m: height, crs: 'local' },
    data,
  }
  const study = studyWater(ground)
  const mouth = width + width - 1
  expect(contributingAreaSingle(study.drained).data[mouth]).toBeGreaterThan(width)
  expect(contributingArea(study.net).data[mouth]).toBeGreaterThan(width)
  expect(pointCatchment(study.drained, [width - 0.5, 1.5], study.rim)!.area_m2).toBeGreaterThan(width)
})
