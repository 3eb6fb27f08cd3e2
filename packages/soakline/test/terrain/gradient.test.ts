import fc from 'fast-check'
import { elevationGrid } from 'soakline/raster'
import { aspect, gradient, gradientSteps } from 'soakline/terrain'
import { expect, test } from 'vitest'
import { anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { gridOf, heading, plane, reshaped, SYMMETRIES, turned, turning } from '../../../../tests/helpers/surfaces.js'
import { watched } from '../../../../tests/helpers/watched.js'

fc.configureGlobal({ seed: 25, numRuns: cases(100) })

test('worked example: a 3 × 3 window, cells of 10 m — slope 0.074603, aspect 121.29304° [Horn 1981; reproduced with GDAL 3.6.2 gdaldem]', () => {
  const ground = elevationGrid(
    [
      [101, 100.2, 99.8],
      [100.6, 100, 99.2],
      [100.1, 99.5, 99],
    ],
    10,
  )
  // Rise per metre: to the east −0.06375, to the north 0.03875.
  expect(gradient(ground).data[4]).toBeCloseTo(Math.hypot(0.06375, 0.03875), 5)
  expect(gradient(ground).data[4]).toBeCloseTo(0.074603, 5)
  expect(aspect(ground).data[4]).toBeCloseTo(121.29304, 3)
})

test('worked example: z = x³ at x = 2, spacing 0.5 — 3x² + h² = 12.25 [Horn 1981, second-order error term; derived]', () => {
  const ground = gridOf(9, 3, 0.5, x => (x - 0.25) ** 3)
  expect(gradient(ground).data[9 + 4]).toBeCloseTo(12.25, 5)
  expect(aspect(ground).data[9 + 4]).toBe(270)
})

test('worked example: the plane z = 0.03x − 0.04y — slope 0.05, falls towards 323.1301° [derived: exact on planes]', () => {
  const ground = gridOf(6, 5, 1, (x, y) => 0.03 * x - 0.04 * y)
  for (const cell of [7, 8, 15, 22]) {
    expect(gradient(ground).data[cell]).toBeCloseTo(0.05, 6)
    expect(aspect(ground).data[cell]).toBeCloseTo(323.1301, 3)
  }
})

test('law: exact on planes of any azimuth, slope and cell', () =>
  fc.assert(
    fc.property(evenly(0, 359.9), evenly(0.02, 1), fc.constantFrom(0.5, 1, 7), (azimuth, fall, cell) => {
      const ground = gridOf(5, 6, cell, plane(azimuth, fall, [0, 0], 0))
      expect(gradient(ground).data[12]).toBeCloseTo(fall, 4)
      const [east, north] = heading(aspect(ground).data[12]!)
      const [trueEast, trueNorth] = heading(azimuth)
      expect(east * trueEast + north * trueNorth).toBeGreaterThan(1 - 1e-6)
    }),
  ))

test('law: on planes the slope is off by no more than the rounding of heights, 2·ulp(z) / (cell·slope) of it', () =>
  fc.assert(
    fc.property(
      evenly(0, 359.9),
      evenly(0.005, 1),
      fc.constantFrom(0.5, 1, 7),
      fc.constantFrom(0, 100, 2400),
      (azimuth, fall, cell, height) => {
        const ground = gridOf(5, 6, cell, plane(azimuth, fall, [0, 0], height))
        const highest = Math.max(...ground.data.map(Math.abs))
        const ulp = 2 ** (Math.floor(Math.log2(highest)) - 23)
        // The slope itself is kept in float32.
        expect(Math.abs(gradient(ground).data[12]! / fall - 1)).toBeLessThanOrEqual((2 * ulp) / (cell * fall) + 2 ** -24)
      },
    ),
    { numRuns: cases(300) },
  ))

test('law: no value on the border, in a void or beside one; everywhere else there is one', () =>
  fc.assert(
    fc.property(anyTerrain({ least: 3, most: 20 }), ground => {
      const { width, height } = ground.geometry
      gradient(ground).data.forEach((slope, cell) => {
        const column = cell % width
        const row = Math.floor(cell / width)
        let known = column > 0 && row > 0 && column < width - 1 && row < height - 1
        if (known)
          for (const o of [-width - 1, -width, 1 - width, -1, 0, 1, width - 1, width, width + 1])
            known &&= !Number.isNaN(ground.data[cell + o]!)
        expect(Number.isNaN(slope)).toBe(!known)
        if (known && slope > 0) expect(aspect(ground).data[cell]).toBeGreaterThanOrEqual(0)
        if (!known || slope === 0) expect(aspect(ground).data[cell]).toBeNaN()
      })
    }),
    { numRuns: cases(30) },
  ))

test('law: turning the raster turns the slope; shifting heights changes nothing, doubling doubles', () =>
  fc.assert(
    fc.property(anyTerrain({ kinds: ['metres', 'metres with gaps'], most: 20 }), fc.constantFrom(...SYMMETRIES), (ground, symmetry) => {
      const plain = gradient(ground).data
      const { from } = turning(ground.geometry.width, ground.geometry.height, symmetry)
      const after = gradient(turned(ground, symmetry)).data
      expect([...after]).toEqual([...from].map(old => plain[old]))
      expect([...gradient(reshaped(ground, z => z + 64)).data]).toEqual([...plain])
      expect([...gradient(reshaped(ground, z => 2 * z)).data]).toEqual([...plain].map(s => 2 * s))
    }),
    { numRuns: cases(40) },
  ))

test('the aspect of the four and eight ways down', () => {
  for (const azimuth of [0, 45, 90, 135, 180, 225, 270, 315])
    expect(aspect(gridOf(3, 3, 1, plane(azimuth, 0.5, [1.5, 1.5]))).data[4]! % 360).toBeCloseTo(azimuth, 4)
})

test('ground that falls due north, east, south or west: 0, 90, 180 and 270 degrees to the bit, and never 360', () => {
  const falls: readonly (readonly [east: number, north: number, degrees: number])[] = [
    [0, 1, 0],
    [1, 0, 90],
    [0, -1, 180],
    [-1, 0, 270],
  ]
  for (const [east, north, degrees] of falls)
    expect(aspect(gridOf(3, 3, 2, (x, y) => 50 - 0.25 * (east * x + north * y))).data[4]! + 0).toBe(degrees)
})

test('in steps: each reads the rows of its own band and those beside them; the rows of the border are nobody’s', () => {
  // As many columns that a step takes one row.
  const width = 40_000
  const { grid, taken } = watched(gridOf(width, 4, 1, (x, y) => 0.1 * x + 0.2 * y))
  const rows: unknown[] = []
  for (const _ of gradientSteps(grid)) rows.push(taken()?.map(cell => Math.floor(cell / width)))
  expect(rows).toEqual([undefined, [0, 2], [1, 3], undefined])
})

test('no cell outside the raster is looked at, however small it is', () => {
  for (const [width, height] of [
    [1, 1],
    [2, 5],
    [5, 2],
    [3, 3],
    [5, 4],
    [4, 6],
  ] as const)
    for (const of of [gradient, aspect]) {
      const { grid, taken } = watched(gridOf(width, height, 1, (x, y) => 0.1 * x * x + 0.2 * y))
      expect(of(grid).data).toHaveLength(width * height)
      const read = taken()
      if (width < 3 || height < 3) expect(read).toBeNull()
      else expect(read).toEqual([0, width * height - 1])
    }
})
