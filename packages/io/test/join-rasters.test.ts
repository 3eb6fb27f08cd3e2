import { readElevation } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { joinRasters } from '../src/join-rasters.js'
import type { StoredRaster } from '../src/stored-raster.js'
import { refusal } from './refusal.js'
import { buildZip } from './zip-builder.js'

const tile = (
  west: number,
  north: number,
  width: number,
  height: number,
  data: readonly number[],
  more: Partial<StoredRaster> = {},
): StoredRaster => ({
  format: 'ASCII grid',
  width,
  height,
  data: Float32Array.from(data),
  affine: [2, 0, west, 0, -2, north],
  crs: 'EPSG:32617',
  crsName: null,
  crsFound: '',
  verticalUnit: null,
  verticalUnitText: null,
  verticalDatum: null,
  ellipsoidal: false,
  warnings: [],
  ...more,
})
const V = Number.NaN
const code = async (...tiles: StoredRaster[]): Promise<string> => (await refusal(() => joinRasters(tiles))).code

describe('tiles of one grid', () => {
  test('they stand where their corners say, gaps stay gaps, and a gap never overwrites a height', () => {
    const west = tile(0, 4, 3, 2, [1, 2, V, 4, 5, 6])
    const east = tile(4, 4, 2, 2, [3, 7, V, 8])
    for (const order of [
      [west, east],
      [east, west],
    ]) {
      const joined = joinRasters(order)
      expect([joined.width, joined.height, ...joined.affine]).toEqual([4, 2, 2, 0, 0, 0, -2, 4])
      expect([...joined.data]).toEqual([1, 2, 3, 7, 4, 5, 6, 8])
      expect(joined.warnings[0]).toMatchObject({ code: 'tiles/joined', details: { tiles: 2, shared: 0 } })
    }
    const apart = joinRasters([west, tile(8, -2, 1, 1, [9])])
    expect([...apart.data].filter(z => !Number.isNaN(z))).toEqual([1, 2, 4, 5, 6, 9])
  })

  test('rows from the south are turned first', () => {
    const south = tile(6, 0, 1, 2, [8, 7], { affine: [2, 0, 6, 0, 2, 0] })
    expect([...joinRasters([tile(0, 4, 3, 2, [1, 2, 3, 4, 5, 6]), south]).data]).toEqual([1, 2, 3, 7, 4, 5, 6, 8])
  })

  test('where they disagree the first is taken, and it is said by how much', () => {
    const joined = joinRasters([tile(0, 4, 2, 1, [1, 2]), tile(2, 4, 2, 1, [2.5, 3])])
    expect([...joined.data]).toEqual([1, 2, 3])
    expect(joined.warnings).toContainEqual({ code: 'tiles/disagree', details: { cells: 1, most: 0.5 } })
  })

  test('failure 8: other systems, units, cells and places between cells are refused', async () => {
    const one = tile(0, 4, 2, 1, [1, 2])
    expect(await code(one, tile(4, 4, 1, 1, [3], { crs: 'EPSG:32618' }))).toBe('tiles/other-system')
    expect(await code(one, tile(4, 4, 1, 1, [3], { verticalUnit: 'ft' }))).toBe('tiles/other-unit')
    expect(await code(one, tile(4, 4, 1, 1, [3], { verticalDatum: 'NAVD88' }))).toBe('tiles/other-unit')
    expect(await code(one, tile(4, 4, 1, 1, [3], { ellipsoidal: true }))).toBe('tiles/other-unit')
    expect(await code(one, tile(4, 4, 1, 1, [3], { affine: [2.2, 0, 4, 0, -2, 4] }))).toBe('tiles/other-cells')
    expect(await code(one, tile(5, 4, 1, 1, [3]))).toBe('tiles/not-in-line')
    expect(await code(one, tile(4, 4, 1, 1, [3], { affine: [2, 1, 4, 1, -2, 4] }))).toBe('tiles/turned')
    expect(await code(one, tile(2e9, 4, 1, 1, [3]))).toBe('grid/too-large')
    expect((await refusal(() => joinRasters([one, tile(200, 4, 1, 1, [3])], { maxCells: 10 }))).code).toBe('grid/too-large')
  })
})

test('an archive of tiles is joined when that is asked for', async () => {
  const grid = (west: number, heights: string): string => `ncols 2\nnrows 2\nxllcorner ${west}\nyllcorner 0\ncellsize 2\n${heights}\n`
  const zip = buildZip([
    { name: 'a.asc', content: grid(0, '1 2 3 4') },
    { name: 'b.asc', content: grid(4, '5 6 7 8') },
  ])
  const { grid: joined, report } = await readElevation(zip, { join: true, crs: 'local' })
  expect([...joined.data]).toEqual([1, 2, 5, 6, 3, 4, 7, 8])
  expect(report.warnings.map(w => w.code)).toContain('tiles/joined')
  const mixed = buildZip([
    { name: 'a.asc', content: grid(0, '1 2 3 4') },
    { name: 'p.csv', content: 'easting_m,northing_m,elevation_m\n0,0,1\n' },
  ])
  expect((await refusal(() => readElevation(mixed, { join: true, crs: 'local' }))).code).toBe('tiles/not-rasters')
})
