import fc from 'fast-check'
import {
  cellArea_m2,
  cellAt,
  cellCentre,
  cellCount,
  elevationGrid,
  fromLattice,
  heightOn,
  neighbourOffsets,
  patchAt,
  patchOf,
  rimCells,
  riseOn,
  surfaceValue,
  toLattice,
} from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { anyDice, anyTerrain } from '../../../../tests/helpers/any-terrain.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { outletsOf } from '../../../../tests/helpers/slow-oracles.js'
import { gridOf, plane } from '../../../../tests/helpers/surfaces.js'

fc.configureGlobal({ seed: 27, numRuns: 100 })

const anyGeometry = fc.record({
  width: fc.integer({ min: 1, max: 50 }),
  height: fc.integer({ min: 1, max: 50 }),
  cell_m: fc.constantFrom(0.25, 1, 5, 30),
  west_m: fc.constantFrom(0, -300.5, 597_195),
  north_m: fc.constantFrom(0, 50.25, 5_274_642),
  crs: fc.constant('local'),
})

describe('cells and places', () => {
  test('law: a cell’s centre lies in the cell, its rims belong to it on the west and north', () =>
    fc.assert(
      fc.property(anyGeometry, evenly(0, 0.999999), (g, where) => {
        const cell = Math.floor(where * cellCount(g))
        const [x, y] = cellCentre(g, cell)
        const half = g.cell_m / 2
        expect(cellAt(g, x, y)).toBe(cell)
        expect(cellAt(g, x - half, y + half)).toBe(cell)
        expect(cellAt(g, x + half, y)).not.toBe(cell)
        expect(cellAt(g, x, y - half)).not.toBe(cell)
        expect(cellArea_m2(g)).toBe(g.cell_m ** 2)
      }),
    ))

  test('places outside the raster, and no places, have no cell', () => {
    const { geometry } = elevationGrid(
      [
        [1, 2, 3],
        [4, 5, 6],
      ],
      10,
    )
    for (const [x, y] of [
      [-0.001, 5],
      [30, 5],
      [5, 20.001],
      [5, 0],
      [Number.NaN, 5],
      [5, Number.NaN],
      [Number.POSITIVE_INFINITY, 5],
    ] as const)
      expect(cellAt(geometry, x, y)).toBe(-1)
    expect(cellAt(geometry, 0, 20)).toBe(0)
  })

  test('rows are given from the north', () => {
    const ground = elevationGrid(
      [
        [1, 2, 3],
        [4, 5, 6],
      ],
      10,
    )
    expect(ground.data[cellAt(ground.geometry, 25, 5)]).toBe(6)
    expect(ground.data[cellAt(ground.geometry, 5, 15)]).toBe(1)
  })

  test('law: lattice and place are each other’s inverse; cell (0,0)’s centre is (0, 0)', () =>
    fc.assert(
      fc.property(anyGeometry, evenly(-10, 60), evenly(-10, 60), (g, u, v) => {
        const back = toLattice(g, fromLattice(g, u, v))
        expect(back.u).toBeCloseTo(u, 7)
        expect(back.v).toBeCloseTo(v, 7)
        expect(fromLattice(g, 0, 0)).toEqual(cellCentre(g, 0))
      }),
    ))

  test('the eight neighbours are listed clockwise from north', () => {
    expect([...neighbourOffsets(10)]).toEqual([-10, -9, 1, 11, 10, 9, -1, -11])
  })

  test('oracle: the rim is the border and what touches a void', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 12 }), anyTerrain({ most: 20 })), ground => {
        const { width, height } = ground.geometry
        const rim = rimCells(ground.data, width, height)
        expect([...rim.keys()].filter(cell => rim[cell])).toEqual(outletsOf(ground))
      }),
    ))
})

describe('the surface between cell centres', () => {
  test('law: through every centre, between the four heights around, and known exactly where those are', () =>
    fc.assert(
      fc.property(fc.oneof(anyDice({ most: 8 }), anyTerrain({ most: 12 })), evenly(0, 1), evenly(0, 1), (ground, x, y) => {
        const g = ground.geometry
        const place = [x * g.width, y * g.height] as const
        const z = surfaceValue(ground, place)
        const { u, v } = toLattice(g, place)
        const patch = patchAt(ground, u, v)
        if (u < 0 || v < 0 || u > g.width - 1 || v > g.height - 1) expect(patch).toBeNull()
        expect(Number.isNaN(z)).toBe(patch === null)
        if (!patch) return
        const around = [patch.nw, patch.ne, patch.sw, patch.se]
        expect(z).toBeGreaterThanOrEqual(Math.min(...around) - 1e-9)
        expect(z).toBeLessThanOrEqual(Math.max(...around) + 1e-9)
        expect(heightOn(patch, patch.column, patch.row)).toBe(patch.nw)
        expect(heightOn(patch, patch.column + 1, patch.row + 1)).toBeCloseTo(patch.se, 12)
        // The rise is the derivative.
        const e = 1e-6
        const { du, dv } = riseOn(patch, u, v)
        expect((heightOn(patch, u + e, v) - heightOn(patch, u - e, v)) / (2 * e)).toBeCloseTo(du, 5)
        expect((heightOn(patch, u, v + e) - heightOn(patch, u, v - e)) / (2 * e)).toBeCloseTo(dv, 5)
      }),
      { numRuns: 300 },
    ))

  test('exact on planes up to the outermost centres, nothing beyond', () => {
    const surface = plane(31, 0.1, [10, 10], 0)
    const ground = gridOf(20, 15, 1, surface)
    for (const [x, y] of [
      [0.5, 0.5],
      [19.5, 14.5],
      [7.3, 11.9],
      [10, 10],
    ] as const)
      expect(surfaceValue(ground, [x, y])).toBeCloseTo(surface(x, y), 5)
    for (const place of [
      [0.4, 5],
      [19.6, 5],
      [5, 0.4],
      [5, 14.6],
    ] as const)
      expect(surfaceValue(ground, place)).toBeNaN()
  })

  test('a void leaves a hole of one cell’s width to each side', () => {
    const ground = elevationGrid([
      [1, 1, 1, 1],
      [1, Number.NaN, 1, 1],
      [1, 1, 1, 1],
    ])
    expect(surfaceValue(ground, [1.5, 1.5])).toBeNaN()
    expect(surfaceValue(ground, [2.4, 1.5])).toBeNaN()
    expect(surfaceValue(ground, [2.6, 1.5])).toBe(1)
    expect(patchOf(ground, -1, 0)).toBeNull()
    expect(patchOf(ground, 3, 0)).toBeNull()
  })

  test('rasters of one row or column have no surface', () => {
    expect(surfaceValue(elevationGrid([[1, 2, 3]]), [1.5, 0.5])).toBeNaN()
    expect(surfaceValue(elevationGrid([[1], [2]]), [0.5, 1])).toBeNaN()
  })
})
