import { filledVoids, readElevation, voidsOf } from '@soakline/io'
import type { ElevationGrid } from 'soakline/raster'
import { expect, test } from 'vitest'
import { chance } from './fuzzing.js'
import { refusal } from './refusal.js'
import { buildDem, ground } from './tiff-builder.js'

/** A raster drawn as text: `.` is a gap, all else ground at a height of its place. */
function drawn(picture: string, height = (column: number, row: number): number => 100 + 0.5 * column + 0.25 * row): ElevationGrid {
  const rows = picture
    .trim()
    .split('\n')
    .map(row => row.trim())
  const width = rows[0]!.length
  return {
    quantity: 'elevation_m',
    geometry: { width, height: rows.length, cell_m: 2, west_m: 500000, north_m: 4000000, crs: 'local' },
    data: Float32Array.from(rows.flatMap((row, r) => [...row].map((sign, c) => (sign === '.' ? Number.NaN : height(c, r))))),
  }
}

const PICTURE = `
  ..########
  .###..####
  ####...###
  #####..###
  ########.#
  #######.##
  ##########`

test('failure 29: each gap is listed with its area and a place in it, the largest first; what reaches the edge is told apart', () => {
  const list = voidsOf(drawn(PICTURE))
  expect(list).toMatchObject({ count: 4, inner: 3, innerCells: 9 })
  expect(list.voids.map(v => [v.cells, v.area_m2, v.touchesEdge])).toEqual([
    [7, 28, false],
    [3, 12, true],
    [1, 4, false],
    [1, 4, false],
  ])
  // The middle cell of the largest: column 5, row 2.
  expect(list.voids[0]!.at).toEqual([500011, 3999995])
  expect(voidsOf(drawn('###\n###\n###'))).toEqual({ voids: [], count: 0, inner: 0, innerCells: 0 })
})

test('only what was asked for is filled; on a plane the fill is the plane; no measured height changes', () => {
  const grid = drawn(PICTURE)
  const all = filledVoids(grid, 28)
  expect([all.filled, all.cells]).toEqual([3, 9])
  all.grid.data.forEach((z, k) => {
    const [column, row] = [k % 10, Math.floor(k / 10)]
    if (Number.isNaN(grid.data[k])) {
      if (column < 2 && row < 2) expect(z).toBeNaN()
      else expect(z).toBeCloseTo(100 + 0.5 * column + 0.25 * row, 3)
    } else expect(z).toBe(grid.data[k])
  })
  expect([filledVoids(grid, 27.9).filled, filledVoids(grid, 3.9).filled]).toEqual([2, 0])
  expect(voidsOf(all.grid).count).toBe(1)
})

test('law: a fill lies between the heights round its gap, however the gap runs; a plane across 60 cells to a thousandth of its fall', async () => {
  for (let seed = 1; seed <= 20; seed++) {
    const below = chance(seed)
    const z = ground(24, 20)
    for (let k = 0; k < 60; k++) z[(1 + below(18)) * 24 + 1 + below(22)] = Number.NaN
    const grid: ElevationGrid = {
      quantity: 'elevation_m',
      geometry: { width: 24, height: 20, cell_m: 1, west_m: 0, north_m: 0, crs: 'local' },
      data: z,
    }
    const { grid: mended } = filledVoids(grid, 1e9)
    const [least, most] = [Math.min(...z.filter(v => !Number.isNaN(v))), Math.max(...z.filter(v => !Number.isNaN(v)))]
    for (const v of mended.data) {
      expect(v).toBeGreaterThanOrEqual(least)
      expect(v).toBeLessThanOrEqual(most)
    }
  }
  const wide = drawn(Array.from({ length: 64 }, (_, r) => (r < 2 || r > 61 ? '#'.repeat(64) : `##${'.'.repeat(60)}##`)).join('\n'))
  for (const [k, z] of filledVoids(wide, 1e6).grid.data.entries())
    expect(Math.abs(z - (100 + 0.5 * (k % 64) + 0.25 * Math.floor(k / 64)))).toBeLessThan(0.045)
  expect((await refusal(() => filledVoids(wide, Number.NaN))).code).toBe('grid/bad-fill')
})

test('failure 28: what will count as a gap is told before anything is worked out, and it is the user who says that it is filled', async () => {
  const cells = ground(12, 10)
  for (const k of [40, 41, 52]) cells[k] = -9999
  const file = buildDem({ width: 12, height: 10, cells, nodata: '-9999' })
  const { report } = await readElevation(file)
  expect(report.warnings).toContainEqual({ code: 'grid/voids', details: { cells: 3, inner: 1, largest_m2: 3 } })
  expect(report.voids).toMatchObject([{ cells: 3, area_m2: 3, touchesEdge: false }])
  const filled = await readElevation(file, { fillVoids_m2: 3 })
  expect(filled.report).toMatchObject({ voidCells: 0, voids: [] })
  expect(filled.report.warnings).toContainEqual({ code: 'grid/voids-filled', details: { voids: 1, cells: 3, most_m2: 3 } })
  expect(filled.report.sha256).not.toBe(report.sha256)
})
