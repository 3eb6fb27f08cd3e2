import fc from 'fast-check'
import {
  cellAt,
  distance_m,
  type ElevationGrid,
  elevationGrid,
  fromLattice,
  type Point,
  patchAt,
  pathLength_m,
  riseOn,
  surfaceValue,
  toLattice,
} from 'soakline/raster'
import { type FallLine, fallLine } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { cone, gridOf, heading, hollowCone, plane, reshaped, roof, saddle, turned, vValley } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 27, numRuns: cases() })

const AZIMUTHS = [0, 7, 22.5, 31, 45, 71, 90, 144, 199, 256.5, 301]
const SIZE = 240
const CENTRE: Point = [120.2, 119.9]
const fraction = evenly(0, 1)
const lastOf = ({ points }: FallLine): Point => points[points.length - 1]!

/** How far a line strays from the straight line through its start, metres for each 100 m of it. */
function strays_m({ points }: FallLine, azimuth_deg: number): number {
  const [east, north] = heading(azimuth_deg)
  const [sx, sy] = points[0]!
  const worst = Math.max(...points.map(([x, y]) => Math.abs((x - sx) * north - (y - sy) * east)))
  return worst / Math.max(1, pathLength_m(points) / 100)
}

describe('fall lines on exact surfaces', () => {
  test.each(AZIMUTHS)('a plane that falls towards %s°: within 3 cm for each 100 m, up and down', azimuth => {
    const [east, north] = heading(azimuth)
    for (const fall of [0.01, 0.05, 0.3]) {
      const ground = gridOf(SIZE, SIZE, 1, plane(azimuth, fall, [120, 120]))
      for (const [sense, side] of [
        ['up', 1],
        ['down', -1],
      ] as const) {
        const line = fallLine(ground, [120.3 + 100 * side * east, 119.6 + 100 * side * north], sense)!
        expect(line.end).toBe('edge')
        expect(pathLength_m(line.points)).toBeGreaterThan(200)
        expect(strays_m(line, azimuth)).toBeLessThan(0.03)
      }
    }
  })

  test.each(AZIMUTHS)('a cone at %s°: up to its summit and down from it, within half a cell of the true cone’s line', azimuth => {
    const ground = gridOf(SIZE, SIZE, 1, cone(0.1, CENTRE))
    const [east, north] = heading(azimuth)
    const up = fallLine(ground, [CENTRE[0] + 110 * east, CENTRE[1] + 110 * north], 'up')!
    expect(up.end).toBe('summit')
    expect(distance_m(lastOf(up), CENTRE)).toBeLessThan(0.8)
    expect(strays_m(up, azimuth) * (pathLength_m(up.points) / 100)).toBeLessThan(0.5)
    const down = fallLine(ground, [CENTRE[0] + 20 * east, CENTRE[1] + 20 * north], 'down')!
    expect(down.end).toBe('edge')
    expect(strays_m(down, azimuth) * (pathLength_m(down.points) / 100)).toBeLessThan(0.5)
  })

  test.each(AZIMUTHS)(
    'a cone at %s°: the interpolated surface’s own line, walked in steps a hundred times finer, is met within 4 cm for each 100 m',
    azimuth => {
      const ground = gridOf(SIZE, SIZE, 1, cone(0.1, CENTRE))
      const [east, north] = heading(azimuth)
      const start: Point = [CENTRE[0] + 20 * east, CENTRE[1] + 20 * north]
      const line = fallLine(ground, start, 'down')!
      let { u, v } = toLattice(ground.geometry, start)
      const fine: Point[] = []
      for (;;) {
        const patch = patchAt(ground, u, v)
        if (!patch) break
        fine.push(fromLattice(ground.geometry, u, v))
        const { du, dv } = riseOn(patch, u, v)
        const steep = Math.hypot(du, dv)
        u -= (0.002 * du) / steep
        v -= (0.002 * dv) / steep
      }
      const [a, b] = [lastOf(line), fine[fine.length - 1]!]
      expect(pathLength_m(line.points)).toBeGreaterThan(95)
      expect(distance_m(a, b)).toBeLessThan(0.2 + 0.03)
      // Aside of the way, as the last steps end at different places along it.
      expect(Math.abs((a[0] - b[0]) * north - (a[1] - b[1]) * east)).toBeLessThan(0.04)
    },
  )

  test('a hollow cone: down to the pit in its middle', () => {
    const ground = gridOf(SIZE, SIZE, 1, hollowCone(0.1, CENTRE, 100))
    for (const azimuth of AZIMUTHS) {
      const [east, north] = heading(azimuth)
      const down = fallLine(ground, [CENTRE[0] + 80 * east, CENTRE[1] + 80 * north], 'down')!
      expect(down.end).toBe('pit')
      expect(distance_m(lastOf(down), CENTRE)).toBeLessThan(0.8)
    }
  })

  test('a roof: up to the crest and no further, at a right angle', () => {
    for (const azimuth of AZIMUTHS) {
      const ground = gridOf(SIZE, SIZE, 1, roof(azimuth, 0.1, [120.5, 119.5]))
      const [east, north] = heading(azimuth)
      const up = fallLine(ground, [120.5 + 60 * east, 119.5 + 60 * north], 'up')!
      const away = (p: Point): number => (p[0] - 120.5) * east + (p[1] - 119.5) * north
      const met = up.points.find(p => Math.abs(away(p)) < 1.5)!
      expect(Math.abs((met[0] - 120.5) * north - (met[1] - 119.5) * east)).toBeLessThan(0.1)
      // A level crest that runs slantwise is a chain of small summits in the raster: the line ends on one of them close by.
      expect(up.end).toBe('summit')
      expect(Math.abs(away(lastOf(up)))).toBeLessThan(1)
    }
  })

  test('a crest that rises is followed to its highest point, a channel that falls to its end', () => {
    for (const azimuth of [0, 31, 45, 71]) {
      const [east, north] = heading(azimuth)
      const valley = vValley(azimuth, 0.3, 0.05, [120, 120])
      const beside: Point = [120 - 60 * east + 20 * north, 120 - 60 * north - 20 * east]
      const away = ([x, y]: Point): number => Math.abs((x - 120) * north - (y - 120) * east)
      const down = fallLine(gridOf(SIZE, SIZE, 1, valley), beside, 'down')!
      const up = fallLine(
        gridOf(SIZE, SIZE, 1, (x, y) => -valley(x, y)),
        beside,
        'up',
      )!
      // A channel that runs slantwise through the cells holds pits that are not on the true surface: the line may end there.
      expect(['edge', 'pit']).toContain(down.end)
      expect(away(lastOf(down))).toBeLessThan(1)
      expect(up.points.length).toBe(down.points.length)
      if (azimuth % 45 === 0) {
        expect(down.end).toBe('edge')
        expect(up.end).toBe('edge')
      }
    }
  })

  test('a saddle parts the lines: xy stays what it was, as hyperbolas cross the contours at right angles', () => {
    const ground = gridOf(SIZE, SIZE, 1, saddle(0, 0.001, [120, 120]))
    const { points } = fallLine(ground, [125, 190], 'down')!
    for (const [x, y] of points) expect(Math.abs((x - 120) * (y - 120) - 5 * 70) / Math.hypot(x - 120, y - 120)).toBeLessThan(0.1)
    expect(lastOf({ points, end: 'edge' })[0]).toBeGreaterThan(SIZE - 1)
  })
})

describe('laws of fall lines, on random ground', () => {
  test('they rise or fall strictly, never leap, and end for the reason they give', () =>
    fc.assert(
      fc.property(
        fc.oneof(anyDice({ most: 12 }), anyTerrain()),
        fraction,
        fraction,
        fc.constantFrom<'up' | 'down'>('up', 'down'),
        (ground: ElevationGrid, x, y, sense) => {
          const g = ground.geometry
          const place: Point = [x * g.width, y * g.height]
          const line = fallLine(ground, place, sense)
          expect(line === null).toBe(Number.isNaN(surfaceValue(ground, place)))
          if (line === null) return
          expect(line.points[0]).toEqual(place)
          const heights = line.points.map(p => surfaceValue(ground, p))
          for (let k = 1; k < heights.length; k++) {
            expect(distance_m(line.points[k - 1]!, line.points[k]!)).toBeLessThan(1.5)
            const rise = (heights[k]! - heights[k - 1]!) * (sense === 'up' ? 1 : -1)
            // Heights read again in the raster's coordinates may differ by a rounding of the place.
            if (!Number.isNaN(rise)) expect(rise).toBeGreaterThan(-1e-9)
          }
          const [ex, ey] = lastOf(line)
          const around = [-1, 0, 1].flatMap(dy => [-1, 0, 1].map(dx => surfaceValue(ground, [ex + 0.3 * dx, ey + 0.3 * dy])))
          if (line.end === 'edge') expect(Math.min(ex, ey, g.width - ex, g.height - ey)).toBeLessThan(0.5 + 0.2)
          if (line.end === 'void') expect(around.some(z => Number.isNaN(z))).toBe(true)
          if (line.end === 'summit' || line.end === 'pit') {
            expect(line.end).toBe(sense === 'up' ? 'summit' : 'pit')
            // On a cell centre whose south-east patch lacks a corner the surface has no value, though there is ground.
            const here = Number.isNaN(surfaceValue(ground, [ex, ey])) ? ground.data[cellAt(g, ex, ey)]! : surfaceValue(ground, [ex, ey])
            for (const z of around) if (!Number.isNaN(z)) expect((z - here) * (sense === 'up' ? 1 : -1)).toBeLessThan(1e-9)
          }
        },
      ),
      { numRuns: cases(600) },
    ))

  test('ground turned upside down turns up into down, bit for bit', () =>
    fc.assert(
      fc.property(anyTerrain(), fraction, fraction, (ground, x, y) => {
        const place: Point = [x * ground.geometry.width, y * ground.geometry.height]
        const up = fallLine(ground, place, 'up')
        const down = fallLine(
          reshaped(ground, z => -z),
          place,
          'down',
        )
        expect(down?.points).toEqual(up?.points)
        expect(down?.end).toBe(up?.end === 'summit' ? 'pit' : up?.end)
      }),
    ))

  test('a mirrored raster has mirrored lines', () =>
    fc.assert(
      fc.property(anyTerrain({ kinds: ['smooth'], least: 15 }), fraction, fraction, (ground, x, y) => {
        const { width, height } = ground.geometry
        const place: Point = [x * width, y * height]
        const line = fallLine(ground, place, 'down')
        const mirrored = fallLine(turned(ground, 1), [width - place[0], place[1]], 'down')
        expect(mirrored?.end).toBe(line?.end)
        if (!line || !mirrored) return
        const [a, b] = [lastOf(line), lastOf(mirrored)]
        expect(distance_m(a, [width - b[0], b[1]])).toBeLessThan(1e-6)
      }),
    ))
})

test('regression: a way from centre to centre goes on past a void beside it, and takes to the steepest patch round the centre', () => {
  // A channel that turns west at the middle centre, to whose south-east there is no ground.
  const turning = elevationGrid([
    [30, 20, 30],
    [1, 4, 9],
    [9, 9, Number.NaN],
  ])
  expect(fallLine(turning, [1.5, 2.5], 'down')).toEqual({
    points: [
      [1.5, 2.5],
      [1.5, 1.5],
      [0.5, 1.5],
    ],
    end: 'edge',
  })
  // From the middle centre the north-west patch falls most.
  const spread = elevationGrid([
    [2, 5, 7],
    [5, 8, 9],
    [6, 7, 7.5],
  ])
  const [, next] = fallLine(spread, [1.5, 1.5], 'down')!.points
  expect(next![0]).toBeLessThan(1.5)
  expect(next![1]).toBeGreaterThan(1.5)
})

test('level ground, the outer half cell and a void: said, not guessed', () => {
  const flat = gridOf(10, 10, 1, () => 3)
  expect(fallLine(flat, [5.2, 5.3], 'up')).toEqual({ points: [[5.2, 5.3]], end: 'flat' })
  expect(fallLine(flat, [0.2, 5], 'down')).toBeNull()
  expect(fallLine(flat, [Number.NaN, 5], 'down')).toBeNull()
  const terrace = gridOf(30, 10, 1, x => (x < 15 ? 0.1 * x : 1.5))
  const line = fallLine(terrace, [5.2, 5.2], 'up')!
  expect(line.end).toBe('flat')
  expect(Math.abs(lastOf(line)[0] - 15.6)).toBeLessThan(0.2)
  const hole = elevationGrid([
    [1, 2, 3, Number.NaN, 5],
    [1, 2, 3, Number.NaN, 5],
  ])
  expect(fallLine(hole, [1.1, 1], 'up')!.end).toBe('void')
})

test('regression: it does not go to and fro over a level crest or channel for ever', () => {
  // Found by chance: some billion steps, each a little higher by rounding alone.
  const heights = elevationGrid(
    [
      [2, 1, 2, 2],
      [3, 2, 3, 2],
      [0, 1, 2, 1],
      [2, 1, 3, 2],
      [2, 1, 3, 0],
      [0, 0, 2, 0],
      [0, 1, 3, 3],
    ].map(row => row.map(z => z * 0.05)),
  )
  const ground = { ...heights, geometry: { ...heights.geometry, west_m: 300, north_m: 307 } }
  const place: Point = [303.17742206458934, 304.9494809494354]
  for (const [surface, sense] of [
    [ground, 'up'],
    [reshaped(ground, z => -z), 'down'],
  ] as const)
    expect(fallLine(surface, place, sense)!.points.length).toBeLessThan(100)
})
