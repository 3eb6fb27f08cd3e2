import fc from 'fast-check'
import { elevationGrid } from 'soakline/raster'
import {
  curvature,
  curvatureSteps,
  planCurvature,
  planCurvatureZT,
  profileCurvature,
  profileCurvatureZT,
  surfaceFit,
  tangentialCurvature,
} from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { cone, gridOf, heading, plane, reshaped, SYMMETRIES, turned, turning } from '../../../../tests/helpers/surfaces.js'
import { watched } from '../../../../tests/helpers/watched.js'

fc.configureGlobal({ seed: 28, numRuns: 60 })

const MEASURES = [profileCurvature, tangentialCurvature, planCurvature, profileCurvatureZT, planCurvatureZT]
const azimuth = evenly(0, 359.9)

describe('exact values of simple surfaces', () => {
  test('a round hill or hollow of the second degree, in all directions from its middle', () =>
    fc.assert(
      fc.property(azimuth, evenly(20, 60), fc.constantFrom(-0.002, 0.004), (at, away, k) => {
        const [east, north] = heading(at)
        const [cx, cy] = [7.5 - away * east, 7.5 - away * north]
        const ground = gridOf(3, 3, 5, (x, y) => k * ((x - cx) ** 2 + (y - cy) ** 2))
        const slope = 2 * k * away
        const fit = surfaceFit(ground, 4)
        // float32 keeps heights of some metres to 1e-6 m: 1e-7 of a bend over 5 m.
        expect(Math.hypot(fit.px, fit.py)).toBeCloseTo(Math.abs(slope), 5)
        expect(profileCurvature.of(fit)).toBeCloseTo((2 * k) / (1 + slope ** 2) ** 1.5, 5)
        expect(tangentialCurvature.of(fit)).toBeCloseTo((2 * k) / (1 + slope ** 2) ** 0.5, 5)
        expect(planCurvature.of(fit)).toBeCloseTo(Math.sign(k) / away, 4)
      }),
    ))

  test('a cone: none along the fall, the radius across it', () =>
    fc.assert(
      fc.property(azimuth, evenly(20, 60), fc.constantFrom(0.05, 0.3), (at, away, fall) => {
        const [east, north] = heading(at)
        const ground = gridOf(3, 3, 1, cone(fall, [1.5 - away * east, 1.5 - away * north], fall * away))
        const fit = surfaceFit(ground, 4)
        // Differences over a cell of 1 m are off by parts of (cell / radius)².
        expect(Math.abs(profileCurvature.of(fit))).toBeLessThan(fall * 2e-4)
        expect(planCurvature.of(fit) * away).toBeCloseTo(-1, 2)
        expect((tangentialCurvature.of(fit) * away * Math.sqrt(1 + fall * fall)) / fall).toBeCloseTo(-1, 2)
      }),
    ))

  test('a lying cylinder: its radius along the fall, none across it', () =>
    fc.assert(
      fc.property(azimuth, evenly(5, 40), (at, away) => {
        const [east, north] = heading(at)
        const radius = 80
        const top = Math.sqrt(radius ** 2 - away ** 2)
        const ground = gridOf(3, 3, 1, (x, y) => Math.sqrt(radius ** 2 - (away + (x - 1.5) * east + (y - 1.5) * north) ** 2) - top)
        const fit = surfaceFit(ground, 4)
        expect(profileCurvature.of(fit) * radius).toBeCloseTo(-1, 2)
        expect(Math.abs(tangentialCurvature.of(fit)) * radius).toBeLessThan(0.005)
      }),
    ))
})

describe('the surface fitted to a window', () => {
  test('is the surface itself where that is of the second degree, on cells of 4 m as on cells of 1 m, to the bit', () => {
    // Binary fractions: heights in float32 and all sums are exact.
    const [rxx, rxy, ryy, px, py] = [0.125, -0.0625, 0.375, 0.5, -0.25]
    for (const cell of [1, 4, 0.5]) {
      const [cx, cy] = [2.5 * cell, 1.5 * cell]
      const ground = gridOf(5, 3, cell, (east, north) => {
        const [x, y] = [east - cx, north - cy]
        return 16 + 0.5 * rxx * x * x + rxy * x * y + 0.5 * ryy * y * y + px * x + py * y
      })
      expect(surfaceFit(ground, 5 + 2)).toEqual({ px, py, rxx, rxy, ryy })
    }
  })

  test('has no slope and no bend in any cell of the border, on each of the four sides and in the corners', () => {
    const ground = gridOf(6, 4, 1, (x, y) => 3 + 0.1 * x * x + 0.3 * y * y + 0.2 * x * y)
    for (let cell = 0; cell < 24; cell++) {
      const [column, row] = [cell % 6, Math.floor(cell / 6)]
      const atBorder = column === 0 || column === 5 || row === 0 || row === 3
      for (const value of Object.values(surfaceFit(ground, cell))) expect(Number.isNaN(value)).toBe(atBorder)
    }
  })

  test('worked example: fit and measures by hand for slopes 3/4 and 1, bends 2, 1 and −1', () => {
    const fit = { px: 0.75, py: 1, rxx: 2, rxy: 1, ryy: -1 }
    // Along the slope: 9/16 · 2 + 1 · (−1) + 2 · 3/4 · 1 = 13/8; across it: 1 · 2 + 9/16 · (−1) − 2 · 3/4 · 1 = −1/16; gradient² 25/16.
    expect(profileCurvature.of(fit)).toBeCloseTo(13 / 8 / ((25 / 16) * (41 / 16) ** 1.5), 12)
    expect(tangentialCurvature.of(fit)).toBeCloseTo(-1 / 16 / ((25 / 16) * (41 / 16) ** 0.5), 12)
    expect(planCurvature.of(fit)).toBeCloseTo(-1 / 16 / (25 / 16) ** 1.5, 12)
    expect(profileCurvatureZT.of(fit)).toBeCloseTo(26 / 25, 12)
    expect(planCurvatureZT.of(fit)).toBeCloseTo(1 / 25, 12)
  })
})

describe('laws of curvature', () => {
  test('planes have none, but for the rounding of heights', () =>
    fc.assert(
      fc.property(azimuth, evenly(0.01, 1), fc.constantFrom(0.5, 1, 7), (at, fall, cell) => {
        const ground = gridOf(3, 3, cell, plane(at, fall, [0, 0], 0))
        const rounding = 2 ** -24 * Math.max(...ground.data.map(Math.abs))
        const fit = surfaceFit(ground, 4)
        for (const measure of [profileCurvature, tangentialCurvature, profileCurvatureZT, planCurvatureZT])
          expect(Math.abs(measure.of(fit))).toBeLessThanOrEqual((8 * rounding) / (cell * cell))
        expect(Math.abs(planCurvature.of(fit))).toBeLessThanOrEqual((8 * rounding) / (cell * cell * 0.99 * fall))
      }),
    ))

  test('a turned or mirrored raster has turned curvatures, bit for bit', () =>
    fc.assert(
      fc.property(
        anyTerrain({ least: 3, most: 20 }),
        fc.constantFrom(...SYMMETRIES),
        fc.constantFrom(...MEASURES),
        (ground, symmetry, measure) => {
          const { from } = turning(ground.geometry.width, ground.geometry.height, symmetry)
          const plain = curvature(ground, measure).data
          const after = [...curvature(turned(ground, symmetry), measure).data]
          const expected = [...from].map(old => plain[old]!)
          expect(after).toEqual(expected)
        },
      ),
    ))

  test('upside down, hollows are humps; twice as high, the measures of Zevenbergen & Thorne double', () =>
    fc.assert(
      fc.property(anyTerrain({ most: 15 }), fc.constantFrom(...MEASURES), (ground, measure) => {
        const plain = [...curvature(ground, measure).data]
        const upsideDown = [
          ...curvature(
            reshaped(ground, z => -z),
            measure,
          ).data,
        ]
        expect(upsideDown).toEqual(plain.map(k => -k + 0))
        if (measure !== profileCurvatureZT && measure !== planCurvatureZT) return
        const doubled = curvature(
          reshaped(ground, z => 2 * z),
          measure,
        ).data
        expect([...doubled]).toEqual(plain.map(k => 2 * k))
      }),
    ))

  test('no value on the outermost ring, in a void, beside one, or on level ground', () => {
    const ground = elevationGrid([
      [1, 2, 3, 4, 5],
      [1, 2, 3.5, 4, 5],
      [1, 2, 3, 4, Number.NaN],
      [1, 2, 3, 4, 5],
    ])
    for (const measure of MEASURES)
      expect([...curvature(ground, measure).data].map(k => Number.isNaN(k))).toEqual([
        true,
        true,
        true,
        true,
        true,
        true,
        false,
        false,
        true,
        true,
        true,
        false,
        false,
        true,
        true,
        true,
        true,
        true,
        true,
        true,
      ])
    expect(
      [
        ...curvature(
          gridOf(5, 5, 1, () => 7),
          profileCurvature,
        ).data,
      ].every(Number.isNaN),
    ).toBe(true)
  })
})

test('in steps: each looks at the rows of its own band and those beside them', () => {
  const width = 40_000
  const { grid, taken } = watched(gridOf(width, 4, 1, (x, y) => 0.1 * x + 0.2 * y))
  const rows: unknown[] = []
  for (const _ of curvatureSteps(grid, profileCurvature)) rows.push(taken()?.map(cell => Math.floor(cell / width)))
  expect(rows).toEqual([undefined, [0, 2], [1, 3], undefined])
})
