import { drainage, filledSurface, releasedWater, type WaterPath } from 'soakline/hydrology'
import { distance_m, type ElevationGrid, type Point, pathLength_m, surfaceValue } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { cone, gridOf, heading, hollowCone, plane, roof, saddle, vValley } from '../helpers/surfaces.js'

function released(ground: ElevationGrid, place: Point): WaterPath {
  const drained = drainage(ground)
  const path = releasedWater(ground, filledSurface(ground, drained), drained, place)
  if (!path) throw new Error('no ground at the place')
  return path
}

/** How far a path strays from the straight fall line through its start, per 100 m of it. Stretches within a cell of the rim are left out. */
function strays_m({ points }: WaterPath, azimuth_deg: number, size_m: number): number {
  const [east, north] = heading(azimuth_deg)
  const [sx, sy] = points[0]!
  let worst = 0
  for (const [x, y] of points) {
    if (x < 1 || y < 1 || x > size_m - 1 || y > size_m - 1) continue
    worst = Math.max(worst, Math.abs((x - sx) * north - (y - sy) * east))
  }
  return worst / Math.max(1, pathLength_m(points) / 100)
}

const AZIMUTHS = [0, 7, 13, 22.5, 31, 45, 58, 71, 90, 111, 144, 180, 199, 233.3, 256.5, 270, 301, 337.5]
const SIZE = 300

describe('water released on exact surfaces keeps the line of fall within 1 m per 100 m', () => {
  test.each(AZIMUTHS)('a plane that falls towards %s°', azimuth => {
    const [east, north] = heading(azimuth)
    const middle: Point = [150, 150]
    for (const fall of [0.01, 0.05, 0.3]) {
      const ground = gridOf(SIZE, SIZE, 1, plane(azimuth, fall, middle))
      for (const shift of [0, 0.37]) {
        const place: Point = [150 - 100 * east + shift, 150 - 100 * north + shift / 2]
        const path = released(ground, place)
        expect(path.points[0]).toEqual(place)
        expect(path.end).toBe('edge')
        expect(pathLength_m(path.points)).toBeGreaterThan(200)
        expect(strays_m(path, azimuth, SIZE)).toBeLessThan(1)
      }
    }
  })

  test.each(AZIMUTHS)('a cone, from 50 m off its axis at %s°', azimuth => {
    const ground = gridOf(SIZE, SIZE, 1, cone(0.1, [150.2, 149.9]))
    const [east, north] = heading(azimuth)
    const path = released(ground, [150.2 + 50 * east, 149.9 + 50 * north])
    expect(path.end).toBe('edge')
    expect(pathLength_m(path.points)).toBeGreaterThan(98)
    expect(strays_m(path, azimuth, SIZE)).toBeLessThan(1)
  })

  test.each(AZIMUTHS)('a hollow cone, from 100 m at %s° into its middle, where a kept hollow holds it', azimuth => {
    const centre: Point = [150.2, 149.9]
    const ground = gridOf(SIZE, SIZE, 1, hollowCone(0.1, centre, 140))
    const deepest = ground.data.indexOf(Math.min(...ground.data.slice(140 * SIZE, 160 * SIZE)), 140 * SIZE)
    const drained = drainage(ground, { keep: [deepest] })
    const [east, north] = heading(azimuth)
    const path = releasedWater(ground, filledSurface(ground, drained), drained, [centre[0] + 100 * east, centre[1] + 100 * north])!
    expect(path.end).toBe('hollow')
    expect(distance_m(path.points[path.points.length - 1]!, centre)).toBeLessThan(1.5)
    for (const p of path.points)
      if (distance_m(p, centre) > 50) expect(Math.abs((p[0] - centre[0]) * north - (p[1] - centre[1]) * east)).toBeLessThan(1)
  })

  test.each([0.5, 2, 5])('the answer does not hang on the cell: %s m cells', cell => {
    for (const azimuth of [13, 31, 71]) {
      const cells = Math.round(SIZE / cell)
      const ground = gridOf(cells, cells, cell, plane(azimuth, 0.05, [150, 150]))
      expect(strays_m(released(ground, [150, 150]), azimuth, SIZE - 2 * cell)).toBeLessThan(1)
    }
  })

  test('a roof sheds to the side that the place is on', () => {
    const ground = gridOf(SIZE, SIZE, 1, roof(31, 0.1, [150, 150]))
    const [east, north] = heading(31)
    for (const side of [-1, 1]) {
      const path = released(ground, [150 + 2 * side * east, 150 + 2 * side * north])
      const [x, y] = path.points[path.points.length - 1]!
      expect(side * ((x - 150) * east + (y - 150) * north)).toBeGreaterThan(140)
    }
  })

  test('a V-valley leads to its channel and along it', () => {
    const ground = gridOf(SIZE, SIZE, 1, vValley(0, 0.2, 0.05, [150, 150]))
    const { points, end } = released(ground, [190, 80])
    expect(end).toBe('edge')
    const [x, y] = points[points.length - 1]!
    expect(Math.abs(x - 150)).toBeLessThan(1.5)
    expect(y).toBeGreaterThan(SIZE - 1)
    // The fall line on the side goes 0.05 north for each 0.2 west: the channel is met 10 m further north.
    const met = points.find(p => p[0] < 151)!
    expect(Math.abs(met[1] - (80 + (39 * 0.05) / 0.2))).toBeLessThan(1)
  })

  test('a saddle parts the water: xy stays what it was, as hyperbolas cross the contours at right angles', () => {
    const ground = gridOf(SIZE, SIZE, 1, saddle(0, 0.001, [150, 150]))
    const { points } = released(ground, [155, 230])
    const product = 5 * 80
    for (const [x, y] of points)
      if (x < SIZE - 1) expect(Math.abs((x - 150) * (y - 150) - product) / Math.hypot(x - 150, y - 150)).toBeLessThan(1)
    expect(points[points.length - 1]![0]).toBeGreaterThan(SIZE - 1)
  })

  test('it never rises', () => {
    for (const surface of [plane(31, 0.01, [0, 0]), cone(0.1, [150.2, 149.9]), saddle(20, 0.001, [150, 150])]) {
      const ground = gridOf(SIZE, SIZE, 1, surface)
      const heights = released(ground, [155, 230])
        .points.map(p => surfaceValue(ground, p))
        .filter(z => !Number.isNaN(z))
      for (let k = 1; k < heights.length; k++) expect(heights[k]).toBeLessThan(heights[k - 1]!)
    }
  })
})
