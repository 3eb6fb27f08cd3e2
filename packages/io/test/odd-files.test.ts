import { existsSync, readFileSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { COLOUR_CODES, openProjection, type ReadOptions, readElevation, readStoredGeoTiff, type StoredRaster } from '@soakline/io'
import { expect, test } from 'vitest'
import { unpackGround } from '../src/archived-ground.js'
import { readStoredAsciiGrid } from '../src/ascii-grid.js'
import { readStoredColourTile } from '../src/colour-heights.js'
import { joinRasters } from '../src/join-rasters.js'
import { readPng } from '../src/png.js'
import { readStoredHeightTile } from '../src/srtm-tile.js'
import { refusal } from './refusal.js'
import { buildZip } from './zip-builder.js'

interface Expected {
  readonly cols: number
  readonly rows: number
  readonly geotransform: readonly number[]
  readonly nodata: number | string | null
  readonly valid_cells: number
  readonly raw_min: number
  readonly raw_max: number
  readonly raw_mean: number
  readonly scale: number | null
  readonly epsg: string | null
  readonly offset: number | null
  readonly unit: string
  readonly geographic?: boolean
  readonly linear_unit_m?: number | null
  readonly cell_m_at_centre?: readonly [number, number]
  readonly samples_raw: readonly { readonly row: number; readonly col: number; readonly value: number | null }[]
}

const folder = resolve(dirname(fileURLToPath(import.meta.url)), '../../../../shared/data')
const index = join(folder, 'odd/readings.json')
const present = existsSync(index)
if (!present) console.info('odd-files: real awkward files are not here; their tests are left out')
const entries: { file: string; expect: Expected }[] = present ? JSON.parse(readFileSync(index, 'utf8')) : []
const rasters = entries.filter(entry => /\.(tif|asc|hgt\.zip)$/.test(entry.file))
const bytesOf = (file: string): ArrayBuffer => {
  const buffer = readFileSync(join(folder, file))
  return buffer.buffer.slice(buffer.byteOffset, buffer.byteOffset + buffer.length) as ArrayBuffer
}

/** The raster as its file stores it; a grid without a word about gaps keeps all its numbers here. */
async function storedOf(file: string): Promise<StoredRaster> {
  if (file.endsWith('.tif')) return readStoredGeoTiff(bytesOf(file))
  if (file.endsWith('.asc')) return readStoredAsciiGrid(bytesOf(file), /without_header/.test(file) ? { nodata: Number.NaN } : {})
  const [tile] = await unpackGround(bytesOf(file), {})
  return readStoredHeightTile(tile!.bytes, { fileName: tile!.fileName })
}

/** How each file is to be opened for work, and what comes of it. Refusals name the code; the next answer follows. */
const OPENING: Readonly<
  Record<
    string,
    {
      refused?: string
      options?: ReadOptions
      still?: string
      crs?: string | RegExp
      warnings?: readonly string[]
      cell_m?: number
      heights_m?: readonly [number, number]
    }
  >
> = {
  z01: { refused: 'elevation-unit/unknown', options: { elevationUnit: 'm' }, crs: 'EPSG:32748', warnings: ['grid/reprojected'] },
  z02: { refused: 'grid/rotated', still: 'grid/rotated' },
  z03: { refused: 'elevation-unit/unknown', options: { elevationUnit: 'm' }, still: 'crs/outside-domain' },
  z05: {
    crs: 'EPSG:27700',
    cell_m: 2,
    heights_m: [44, 197],
    warnings: ['grid/quantised', 'grid/nodata-impossible', 'elevation-unit/assumed'],
  },
  z06: { crs: /\+proj=laea/, cell_m: 25, heights_m: [1586, 3214], warnings: ['grid/nodata-impossible', 'grid/quantised'] },
  z07: { refused: 'elevation-unit/unknown', options: { elevationUnit: 'm' }, crs: 'EPSG:32634', warnings: ['grid/reprojected'] },
  z08: { crs: 'EPSG:32634', warnings: ['grid/reprojected'] },
  z09: { refused: 'elevation-unit/unknown', options: { elevationUnit: 'm' }, crs: 'EPSG:32630', warnings: ['grid/reprojected'] },
  z10: {
    refused: 'crs/unknown',
    options: { crs: 'EPSG:4326', elevationUnit: 'm' },
    crs: 'EPSG:32630',
    cell_m: 4.875,
    warnings: ['grid/reprojected'],
  },
  z11: { refused: 'grid/nodata-unclear', options: { nodata: -9999, crs: 'local' }, crs: 'local', cell_m: 10, warnings: ['grid/quantised'] },
  z12: { refused: 'crs/unknown', options: { crs: 'local' }, crs: 'local', cell_m: 4.988744589, heights_m: [1673.07, 1729.86] },
  z13: { refused: 'crs/unknown', options: { crs: 'EPSG:32613' }, crs: 'EPSG:32613', cell_m: 3, heights_m: [1680.78, 1725.43] },
  z14: { crs: 'EPSG:32734', warnings: ['grid/reprojected', 'grid/flat-border'] },
  z16: {
    refused: 'grid/colours',
    options: { colours: { base_m: -100, step_m: 0.001 } },
    crs: 'EPSG:32610',
    heights_m: [0.6, 4.14],
    warnings: ['grid/reprojected'],
  },
  z17: { crs: 'EPSG:32610', warnings: ['grid/reprojected'] },
  z18: { crs: 'EPSG:25832', cell_m: 1, heights_m: [118.13, 148.62], warnings: ['grid/looks-like-surface-model'] },
  z19: { refused: 'elevation-unit/unknown', options: { elevationUnit: 'm' }, crs: 'EPSG:32629', warnings: ['grid/reprojected'] },
  z22a: { refused: 'elevation-unit/unknown', options: { elevationUnit: 'm' }, crs: 'EPSG:32610' },
  z22b: { refused: 'elevation-unit/unknown', options: { elevationUnit: 'm' }, crs: 'EPSG:32610' },
  z24: { crs: 'EPSG:32612', warnings: ['grid/reprojected', 'grid/quantised'] },
  z25: { refused: 'crs/unknown', options: { crs: 'local' }, crs: 'local', cell_m: 100, heights_m: [-1.88, 1.41] },
  z26: { crs: 'EPSG:26905', cell_m: 5, heights_m: [1, 10] },
  z27: { crs: /\+proj=lcc.*\+units=m/, cell_m: 1.524, heights_m: [123.84, 132.27] },
}

// A file without a test is an error to the runner, so absence is a test too.
if (!present) test('no real awkward files here', () => expect(rasters).toEqual([]))

/** What `readings.json` says of a raster, and where it is held against ours. */
const HELD: Readonly<Record<string, string>> = {
  cols: 'numbers',
  rows: 'numbers',
  geotransform: 'numbers',
  valid_cells: 'numbers',
  nodata: 'by the cells that count as gaps',
  raw_min: 'numbers',
  raw_max: 'numbers',
  raw_mean: 'numbers',
  scale: 'numbers',
  offset: 'numbers',
  samples_raw: 'numbers',
  unit: 'numbers',
  epsg: 'numbers',
  crs_name: 'by the code, or by the place of the corner where there is none',
  geographic: 'numbers',
  linear_unit_m: 'numbers',
  cell_m_at_centre: 'opened',
  area_or_point: 'by the corner, which lies half a cell apart',
  bands: 'by the question that several raise',
  type: 'by the numbers',
  compression: 'by the numbers',
  height_min: 'z15, z16',
  height_max: 'z15, z16',
  height_samples: 'z15, z16',
}

test.runIf(present)('every file has its test, and every field of its reading is held against ours', () => {
  const own = ['z15', 'z23', 'z28']
  expect(entries.filter(({ file }) => !rasters.some(r => r.file === file)).map(({ file }) => /z\d+/.exec(file)![0])).toEqual(own)
  const fields = entries.filter(({ file }) => !/z23|z28/.test(file)).flatMap(entry => Object.keys(entry.expect))
  expect([...new Set(fields)].filter(field => !(field in HELD))).toEqual([])
})

/** Units as the readings write them. */
const UNITS: Readonly<Record<string, string | null>> = { '': null, m: 'm', metre: 'm', 'US survey foot': 'ftUS', other: 'other' }

test.each(rasters)('$file: numbers, corner and voids as an independent GIS reads them', async ({ file, expect: want }) => {
  // The reading of packed colours is that of their first band.
  const stored = file.includes('z16') ? await readStoredGeoTiff(bytesOf(file), { band: 1 }) : await storedOf(file)
  expect([stored.width, stored.height]).toEqual([want.cols, want.rows])
  const [c, a, b, f, d, e] = want.geotransform as [number, number, number, number, number, number]
  for (const [k, value] of [a, b, c, d, e, f].entries()) expect(stored.affine[k]).toBeCloseTo(value, 9)
  const scale = want.scale ?? 1
  let [count, least, most, sum] = [0, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0]
  for (const z of stored.data) {
    if (Number.isNaN(z)) continue
    count++
    least = Math.min(least, z)
    most = Math.max(most, z)
    sum += z
  }
  expect(count).toBe(want.valid_cells)
  expect(least).toBeCloseTo(want.raw_min * scale, 6)
  expect(most).toBeCloseTo(want.raw_max * scale, 6)
  expect(sum / count).toBeCloseTo(want.raw_mean * scale, 4)
  for (const { row, col, value } of want.samples_raw) {
    const z = stored.data[row * stored.width + col]!
    if (value === null) expect(z).toBeNaN()
    else expect(z).toBeCloseTo(value * scale, 5)
  }
  expect(want.offset ?? 0).toBe(0)
  expect(stored.verticalUnit).toBe(UNITS[want.unit])
  if (want.epsg !== null && want.epsg !== undefined) expect(stored.crs).toBe(`EPSG:${want.epsg}`)
  if (want.geographic === undefined) expect(stored.crs).toBeNull()
  else {
    const system = await openProjection(stored.crs!)
    expect(system.kind === 'geographic').toBe(want.geographic)
    if (want.geographic) expect(system.horizontalUnit_m).toBeNaN()
    else expect(system.horizontalUnit_m).toBe(want.linear_unit_m)
  }
})

test.each(rasters)('$file: opened for work, or refused with the question', async ({ file, expect: want }) => {
  const key = /z\d+[ab]?/.exec(file)![0]
  const opening = OPENING[key]
  expect(opening, `${key} needs a line in this test`).toBeDefined()
  const { refused, options = {}, still, crs, warnings = [], cell_m, heights_m } = opening!
  if (refused) expect((await refusal(() => readElevation(bytesOf(file)))).code).toBe(refused)
  if (still) {
    expect((await refusal(() => readElevation(bytesOf(file), options))).code).toBe(still)
    return
  }
  const { grid, projection, report } = await readElevation(bytesOf(file), options)
  if (crs instanceof RegExp) expect(report.crs).toMatch(crs)
  else expect(report.crs).toBe(crs)
  const codes = report.warnings.map(warning => warning.code as string)
  for (const code of warnings) expect(codes).toContain(code)
  if (cell_m !== undefined) expect(report.cell_m).toBeCloseTo(cell_m, 9)
  // Drawn anew, the cell is the shorter ground side of the file's, to half a percent.
  if (want.cell_m_at_centre) expect(Math.abs(report.cell_m / Math.min(...want.cell_m_at_centre) - 1)).toBeLessThan(0.005)
  if (heights_m) {
    expect(report.minimum_m).toBeCloseTo(heights_m[0], 1)
    expect(report.maximum_m).toBeCloseTo(heights_m[1], 1)
  }
  expect(grid.data.length).toBe(grid.geometry.width * grid.geometry.height)

  // A cell of the file keeps its place: sampled back through longitude and latitude it has its height within the relief around it.
  if (projection.kind !== 'local' && codes.includes('grid/reprojected')) {
    const file_ = /z16/.test(file) ? await readStoredGeoTiff(bytesOf(file), options) : await storedOf(file)
    const source = await openProjection(options.crs ?? file_.crs!)
    const g = grid.geometry
    let compared = 0
    for (let k = 0; k < 400; k++) {
      const [column, row] = [(k * 7919) % g.width, (k * 104729) % g.height]
      const z = grid.data[row * g.width + column]!
      if (Number.isNaN(z)) continue
      const [x, y] = source.fromLonLat(...projection.toLonLat(g.west_m + (column + 0.5) * g.cell_m, g.north_m - (row + 0.5) * g.cell_m))
      const [a, , c, , e, f] = file_.affine
      const [u, v] = [(x - c) / a - 0.5, (y - f) / e - 0.5]
      const around = [0, 1].flatMap(dr =>
        [0, 1].map(
          dc =>
            file_.data[
              Math.min(file_.height - 1, Math.floor(v + 1e-3) + dr) * file_.width + Math.min(file_.width - 1, Math.floor(u + 1e-3) + dc)
            ]!,
        ),
      )
      const valid = around.filter(value => !Number.isNaN(value))
      const slack = 0.01 * (Math.max(...valid) - Math.min(...valid)) + 1e-3
      expect(z).toBeGreaterThanOrEqual(Math.min(...valid) - slack)
      expect(z).toBeLessThanOrEqual(Math.max(...valid) + slack)
      compared++
    }
    expect(compared).toBeGreaterThan(0)
  }
})

/** What `readings.json` says of a file; absent where the folder is. */
const readingOf = (key: string): { file: string; expect: Record<string, unknown> } =>
  entries.find(({ file }) => file.includes(key))! as unknown as { file: string; expect: Record<string, unknown> }

test.runIf(present)('z11: half of the numbers are gaps once that is said, and none of them is a pit', async () => {
  const { report } = await readElevation(bytesOf(readingOf('z11').file), { nodata: -9999, crs: 'local' })
  expect(report.voidCells).toBe(2028)
  expect(report.minimum_m).toBeGreaterThan(1000)
})

test.runIf(present)('z12: the area of a cell is 24.888 m², not 25', async () => {
  const { report } = await readElevation(bytesOf(readingOf('z12').file), { crs: 'local' })
  expect(report.cell_m ** 2).toBeCloseTo(24.8876, 3)
})

test.runIf(present)(
  'z15: heights in colours are asked for their way of packing, then for their place, then read to their 256th',
  async () => {
    const { file, expect: want } = readingOf('z15')
    expect((await refusal(() => readElevation(bytesOf(file)))).code).toBe('colours/unknown-code')
    const colours = COLOUR_CODES.terrarium
    expect((await refusal(() => readElevation(bytesOf(file), { colours }))).code).toBe('tile/unknown-place')
    const picture = await readPng(new Uint8Array(bytesOf(file)), 1e6)
    expect([picture.width, picture.height]).toEqual([want.cols, want.rows])
    const red = Array.from({ length: picture.width * picture.height }, (_, k) => picture.data[k * picture.samples]!)
    expect([red.length, Math.min(...red), Math.max(...red)]).toEqual([want.valid_cells, want.raw_min, want.raw_max])
    expect(red.reduce((sum, value) => sum + value, 0) / red.length).toBeCloseTo(want.raw_mean as number, 6)
    const { data, width } = await readStoredColourTile(bytesOf(file), { colours, tile: { z: 12, x: 655, y: 1582 } })
    const sorted = [...data].sort((a, b) => a - b)
    expect([sorted[0], sorted.at(-1)]).toEqual([want.height_min, want.height_max])
    for (const { row, col, h } of want.height_samples as { row: number; col: number; h: number }[]) expect(data[row * width + col]).toBe(h)
  },
)

test.runIf(present)('z16: with the base and step of its publisher it is the same ground as z17, to half a step', async () => {
  const { file, expect: want } = readingOf('z16')
  const packed = await readStoredGeoTiff(bytesOf(file), { colours: { base_m: -100, step_m: 0.001 } })
  const truth = await readStoredGeoTiff(bytesOf(readingOf('z17').file))
  let worst = 0
  for (let k = 0; k < truth.data.length; k++) worst = Math.max(worst, Math.abs(packed.data[k]! - truth.data[k]!))
  // The packing program cut the last digit off instead of rounding it.
  expect(worst).toBeLessThan(0.00101)
  for (const { row, col, h } of want.height_samples as { row: number; col: number; h: number }[])
    expect(packed.data[row * packed.width + col]).toBeCloseTo(h, 9)
})

test.runIf(present)('z22: the two tiles join to 46 by 37 cells with 1620 heights, whichever comes first', async () => {
  const names = ['z22a', 'z22b'].map(key => readingOf(key).file)
  const [west, east] = await Promise.all(names.map(file => readStoredGeoTiff(bytesOf(file))))
  for (const order of [
    [west!, east!],
    [east!, west!],
  ]) {
    const joined = joinRasters(order)
    expect([joined.width, joined.height]).toEqual([46, 37])
    expect([...joined.data].filter(z => !Number.isNaN(z)).length).toBe(1620)
  }
  const zip = buildZip(names.map(name => ({ name, content: new Uint8Array(bytesOf(name)) })))
  expect((await refusal(() => readElevation(zip))).code).toBe('archive/several-files')
  const { report } = await readElevation(zip, { join: true, elevationUnit: 'm' })
  expect(report.minimum_m).toBeGreaterThanOrEqual(-35)
  expect(report.maximum_m).toBeLessThanOrEqual(118)
})

test.runIf(present)('z23: an archive of arrays with bounds by name is no ground that is read here', async () => {
  expect((await refusal(() => readElevation(bytesOf(readingOf('z23').file)))).code).toBe('archive/no-ground')
})
