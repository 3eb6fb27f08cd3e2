import {
  contributingArea,
  contributingAreaSingle,
  drainage,
  filledSurface,
  flowNetwork,
  hollows,
  inflowRim,
  pointCatchment,
  releasedWater,
} from 'soakline/hydrology'
import { cellCentre, pathLength_m } from 'soakline/raster'
import { contourLines, gradient, lineThrough } from 'soakline/terrain'
import { expect, test } from 'vitest'
import { volcano } from '../helpers/real-ground.js'

const ground = volcano()
const drained = drainage(ground)
const filled = filledSurface(ground, drained)

test('the hill is what its papers say: 87 × 61 cells of 10 m, 94–195 m', () => {
  expect([ground.geometry.width, ground.geometry.height, Math.min(...ground.data), Math.max(...ground.data)]).toEqual([87, 61, 94, 195])
})

test('its crater is the one hollow: 88 700 m³ on 10 300 m², 20 m deep (SAGA 8.5.0 and scikit-image 0.19.3 agree)', () => {
  expect(hollows(ground, filled, drained)).toMatchObject([{ cells: 103, area_m2: 10_300, volume_m3: 88_700, depth_m: 20 }])
})

test('contours at 10 m: the closed levels have gdal_contour’s lengths within 0.1 % (GDAL 3.6.2)', () => {
  const published: Record<number, number> = { 130: 2018.186, 140: 1922.787, 150: 1718.299, 160: 1558.115, 170: 1426.282 }
  const lines = contourLines(ground, 10)
  for (const [level, length_m] of Object.entries(published)) {
    const ours = lines.filter(line => line.elevation_m === Number(level))
    expect(ours.every(line => line.closed)).toBe(true)
    expect(Math.abs(ours.reduce((sum, line) => sum + pathLength_m(line.path), 0) / length_m - 1)).toBeLessThan(0.001)
  }
})

test('no water is lost on whole metres, with the crater open or kept', () => {
  const pit = hollows(ground, filled, drained)[0]!.deepest
  for (const keep of [[], [pit]]) {
    const d = drainage(ground, { keep })
    const area = contributingAreaSingle(d).data
    let [out, held] = [0, 0]
    d.direction.forEach((code, cell) => {
      if (code === 8) out += area[cell]!
      if (code === 9) held += area[cell]!
    })
    expect(out + held).toBe(87 * 61 * 100)
    if (keep.length === 0) expect(held).toBe(0)
    else expect(held).toBeGreaterThan(10_300)
    expect(Math.max(...contributingArea(flowNetwork(ground, d)).data)).toBeLessThan(87 * 61 * 100)
  }
})

test('water released in the crater stays where the crater is kept, and leaves the hill where it is not', () => {
  const pit = hollows(ground, filled, drained)[0]!.deepest
  const place = cellCentre(ground.geometry, pit)
  const kept = drainage(ground, { keep: [pit] })
  expect(releasedWater(ground, filledSurface(ground, kept), kept, place)?.end).toBe('hollow')
  expect(releasedWater(ground, filled, drained, place)?.end).toBe('edge')
  // All that drains to the kept pit: the inside of the crater, up to its rim.
  const inside = pointCatchment(kept, cellCentre(ground.geometry, kept.basins.pit[kept.basin[pit]!]!), inflowRim(ground, kept))!
  expect(inside.cutByEdge).toBe(false)
})

test('a level line round the hill closes on itself', () => {
  const line = lineThrough(ground, [455, 405], 5000)
  expect(line.ends).toEqual(['closed', 'closed'])
  expect(Math.max(...gradient(ground).data.filter(s => !Number.isNaN(s)))).toBeLessThan(1.2)
})
