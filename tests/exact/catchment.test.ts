import { contributingArea, drainage, flowNetwork, inflowRim, lineCatchment } from 'soakline/hydrology'
import { cellCentre, type ElevationGrid, type Point } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { arc, cone, exactCatchment_m2, gridOf, heading, hollowCone, lineAcross, plane, roof, type Surface } from '../helpers/surfaces.js'

/** Signed error of the area that drains into a line, as a share of the exact one. */
function areaError(ground: ElevationGrid, line: readonly Point[], exact_m2: number): number {
  const drained = drainage(ground)
  return lineCatchment(flowNetwork(ground, drained), ground, line, inflowRim(ground, drained)).area_m2 / exact_m2 - 1
}

const AZIMUTHS = [0, 13, 22.5, 31, 45, 58, 71, 90, 107.3, 144, 199, 256.5, 301, 337.5]
/** Most that the area of a contour line's catchment may be off, lines 80–100 m, cells of 1 m. The promise is 1 %; tighter here, to notice decay. */
const LIMIT = 0.006
/** A straight ridge between two rows of cell centres gives whole cells to one side: up to half a cell of the way to it is lost or won. */
const RIDGE_LIMIT = 0.01

const CENTRE: Point = [120.3, 119.6]
const SIZE = 240

describe('catchment of a contour line against geometry, 1 m cells', () => {
  test.each(AZIMUTHS)('failure 71: a roof that falls towards %s°', azimuth => {
    for (const [fall, length, away] of [
      [0.05, 100, 70],
      [0.25, 80, 50],
    ] as const) {
      const ground = gridOf(SIZE, SIZE, 1, roof(azimuth, fall, [120, 120]))
      expect(Math.abs(areaError(ground, lineAcross(azimuth, [120, 120], away, length), exactCatchment_m2.roof(length, away)))).toBeLessThan(
        LIMIT,
      )
    }
    const ground = gridOf(SIZE, SIZE, 1, roof(azimuth, 0.1, CENTRE))
    expect(Math.abs(areaError(ground, lineAcross(azimuth, CENTRE, 70, 100), exactCatchment_m2.roof(100, 70)))).toBeLessThan(RIDGE_LIMIT)
  })

  test.each(AZIMUTHS)('a cone, arc at %s°', azimuth => {
    for (const [fall, length, radius] of [
      [0.1, 90, 80],
      [0.3, 80, 100],
    ] as const) {
      const ground = gridOf(SIZE, SIZE, 1, cone(fall, CENTRE))
      expect(Math.abs(areaError(ground, arc(azimuth, CENTRE, radius, length), exactCatchment_m2.cone(length, radius)))).toBeLessThan(LIMIT)
    }
  })

  test.each(AZIMUTHS)('a hollow cone, arc at %s°', azimuth => {
    for (const [fall, length, radius] of [
      [0.1, 90, 50],
      [0.2, 100, 60],
    ] as const) {
      const ground = gridOf(SIZE, SIZE, 1, hollowCone(fall, CENTRE, 105))
      expect(
        Math.abs(areaError(ground, arc(azimuth, CENTRE, radius, length), exactCatchment_m2.hollowCone(length, radius, 105))),
      ).toBeLessThan(LIMIT)
    }
  })

  test('the area does not depend on the slope, nor on where the line starts', () => {
    const ground = (fall: number): ElevationGrid => gridOf(SIZE, SIZE, 1, cone(fall, CENTRE))
    const line = arc(31, CENTRE, 80, 90)
    const exact = exactCatchment_m2.cone(90, 80)
    expect(areaError(ground(0.02), line, exact)).toBeCloseTo(areaError(ground(0.4), line, exact), 2)
    expect(areaError(ground(0.1), [...line].reverse(), exact)).toBeCloseTo(areaError(ground(0.1), line, exact), 12)
  })

  test('a complete catchment is not flagged, one that reaches the raster’s edge is', () => {
    const flag = (surface: Surface, line: readonly Point[]): boolean => {
      const ground = gridOf(SIZE, SIZE, 1, surface)
      const drained = drainage(ground)
      return lineCatchment(flowNetwork(ground, drained), ground, line, inflowRim(ground, drained)).cutByEdge
    }
    for (const azimuth of [0, 31, 45, 199, 301]) {
      expect(flag(roof(azimuth, 0.1, CENTRE), lineAcross(azimuth, CENTRE, 60, 90)), `roof ${azimuth}`).toBe(false)
      expect(flag(cone(0.1, CENTRE), arc(azimuth, CENTRE, 80, 90)), `cone ${azimuth}`).toBe(false)
      expect(flag(hollowCone(0.1, CENTRE, 105), arc(azimuth, CENTRE, 60, 90)), `hollow cone ${azimuth}`).toBe(false)
      expect(flag(plane(azimuth, 0.1, CENTRE), lineAcross(azimuth, CENTRE, 20, 90)), `plane ${azimuth}`).toBe(true)
      // Rising beyond the raster: a hollow cone without its ridge.
      expect(flag(hollowCone(0.1, CENTRE, 400), arc(azimuth, CENTRE, 60, 90)), `open hollow cone ${azimuth}`).toBe(true)
    }
  })

  // Half a cell is open at the line and half a cell at the ridge.
  test('the longest way of water into a line on a roof is the distance from the ridge', () => {
    const ground = gridOf(SIZE, SIZE, 1, roof(0, 0.1, CENTRE))
    const drained = drainage(ground)
    const { longestFlow_m } = lineCatchment(flowNetwork(ground, drained), ground, lineAcross(0, CENTRE, 60, 90), inflowRim(ground, drained))
    expect(Math.abs(longestFlow_m - 60)).toBeLessThan(2)
  })
})

/** Mean contributing area per metre of contour over some cells. A cell passes the water of one cell's width, seen along its fall line. */
function meanSpecificArea_m(
  ground: ElevationGrid,
  towards: (x: number, y: number) => Point,
  isThere: (x: number, y: number) => boolean,
): number {
  const area = contributingArea(flowNetwork(ground, drainage(ground)))
  let sum = 0
  let count = 0
  area.data.forEach((a, cell) => {
    const [x, y] = cellCentre(ground.geometry, cell)
    if (!isThere(x, y)) return
    const [east, north] = towards(x, y)
    sum += a / ground.geometry.cell_m / Math.max(Math.abs(east), Math.abs(north))
    count++
  })
  return sum / count
}

describe('specific catchment area: strip or sector above a contour over its length (derived: area of a strip, sector or ring piece)', () => {
  // A cell's area includes its own: it stands for the contour through its lower side, half a cell further on.
  test('a plane, 50 m from the divide: 50 m', () => {
    for (const azimuth of [0, 45, 90, 180, 270]) {
      const [east, north] = heading(azimuth)
      const away = (x: number, y: number): number => (x - 100) * east + (y - 100) * north
      const ground = gridOf(200, 200, 1, roof(azimuth, 0.1, [100, 100]))
      const across = (x: number, y: number): number => (x - 100) * north - (y - 100) * east
      const a = meanSpecificArea_m(
        ground,
        () => [east, north],
        (x, y) => Math.abs(away(x, y) - 49.6) < 0.4 && Math.abs(across(x, y)) < 30,
      )
      expect(Math.abs(a - 50)).toBeLessThan(azimuth === 45 ? 0.5 : 1e-6)
    }
  })

  test('an outward cone at 80 m: half the radius, 40 m', () => {
    const ground = gridOf(SIZE, SIZE, 1, cone(0.1, CENTRE))
    const radius = (x: number, y: number): number => Math.hypot(x - CENTRE[0], y - CENTRE[1])
    const a = meanSpecificArea_m(
      ground,
      (x, y) => [(x - CENTRE[0]) / radius(x, y), (y - CENTRE[1]) / radius(x, y)],
      (x, y) => Math.abs(radius(x, y) - 79.5) < 0.5,
    )
    expect(Math.abs(a / 40 - 1)).toBeLessThan(0.01)
  })

  test('an inward cone, ridge at 110 m, at 50 m: (R² − r²) / 2r = 96 m', () => {
    const ground = gridOf(SIZE, SIZE, 1, hollowCone(0.1, CENTRE, 110))
    const radius = (x: number, y: number): number => Math.hypot(x - CENTRE[0], y - CENTRE[1])
    const a = meanSpecificArea_m(
      ground,
      (x, y) => [(x - CENTRE[0]) / radius(x, y), (y - CENTRE[1]) / radius(x, y)],
      (x, y) => Math.abs(radius(x, y) - 50.5) < 0.5,
    )
    expect(Math.abs(a / 96 - 1)).toBeLessThan(0.01)
  })
})
