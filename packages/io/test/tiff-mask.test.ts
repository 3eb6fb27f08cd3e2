import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { bytesSource, readGeoTiffFrom, readStoredGeoTiff } from '@soakline/io'
import { expect, test } from 'vitest'
import { maskedTiff } from './mask-builder.js'
import { buildDem } from './tiff-builder.js'

// Masks inside a TIFF: TIFF 6.0 (1992), PhotometricInterpretation 4; a cell of value 0 is hidden.

const [WIDTH, HEIGHT] = [31, 12]
const heights = Float32Array.from({ length: WIDTH * HEIGHT }, (_, cell) => 100 + cell)
const hides = (column: number, row: number): boolean => column === 9 || row === 2 || (column + row) % 5 === 0

const withMask = (image: ArrayBuffer, bits: 1 | 8, other: Readonly<Record<number, number>> = {}): ArrayBuffer =>
  maskedTiff(image, { width: WIDTH, height: HEIGHT, bits, hides, other })

const plain = (): ArrayBuffer => buildDem({ width: WIDTH, height: HEIGHT, cells: heights })
const seen = Array.from(heights, (height, cell) => (hides(cell % WIDTH, Math.floor(cell / WIDTH)) ? Number.NaN : height))

test.each([1, 8] as const)('cells that a mask of %d bit a cell hides are gaps, and their number is told', async bits => {
  const { data, warnings } = await readStoredGeoTiff(withMask(plain(), bits))
  expect([...data]).toEqual(seen)
  expect(warnings).toContainEqual({ code: 'grid/mask-applied', details: { cells: seen.filter(Number.isNaN).length } })
})

test.each([1, 8] as const)('in a window too, wherever it begins; %d bit', async bits => {
  for (const [west, south] of [
    [4, 3],
    [12, 5],
    [19, 0],
  ] as const) {
    const box = [500000 + west, 4000000 - HEIGHT + south, 500000 + west + 6, 4000000 - HEIGHT + south + 4] as const
    const cut = await readGeoTiffFrom(bytesSource(withMask(plain(), bits)), { window: { in: 'own', box } })
    const [column, row] = [cut.affine[2] - 500000, 4000000 - cut.affine[5]]
    expect([column, cut.width]).toEqual([west - 2, 10])
    const rows = Array.from({ length: cut.height }, (_, k) =>
      seen.slice((row + k) * WIDTH + column, (row + k) * WIDTH + column + cut.width),
    )
    expect([...cut.data]).toEqual(rows.flat())
  }
})

test('a mask of another size, of a kind that is not read, or of a copy is told and changes nothing', async () => {
  for (const other of [{ 256: WIDTH - 1 }, { 258: 4 }, { 259: 4 }, { 266: 2 }, { 277: 3 }]) {
    const { data, warnings } = await readStoredGeoTiff(withMask(plain(), 1, other))
    expect([...data]).toEqual([...heights])
    expect(warnings.map(({ code }) => code)).toContain('grid/mask-ignored')
  }
  const copy = await readStoredGeoTiff(withMask(plain(), 1, { 254: 5 }))
  expect(copy.warnings.map(({ code }) => code).filter(code => code.startsWith('grid/mask'))).toEqual([])
})

test('a number for “no data” that the file does not name is no question where the mask hides it', async () => {
  const cells = heights.map((height, cell) => (Number.isNaN(seen[cell]!) ? -9999 : height))
  const file = (): ArrayBuffer => buildDem({ width: WIDTH, height: HEIGHT, cells })
  await expect(readStoredGeoTiff(file())).rejects.toMatchObject({ code: 'grid/nodata-unclear' })
  expect([...(await readStoredGeoTiff(withMask(file(), 1))).data]).toEqual(seen)
})

test.each([
  [1, Math.ceil((WIDTH * HEIGHT * 9) / 8)],
  [8, 2 * WIDTH * HEIGHT],
] as const)('a mask of %d bit a cell counts among the cells that can be held, before any is taken', async (bits, needed) => {
  const { data } = await readStoredGeoTiff(withMask(plain(), bits), { maxCells: needed })
  expect(data).toHaveLength(WIDTH * HEIGHT)
  const window = { in: 'own', box: [500000, 4000000 - HEIGHT, 500000 + WIDTH, 4000000] } as const
  for (const more of [{}, { window }])
    await expect(readStoredGeoTiff(withMask(plain(), bits), { maxCells: needed - 1, ...more })).rejects.toMatchObject({
      code: 'grid/too-large',
    })
  // Without a mask the heights alone count.
  expect((await readStoredGeoTiff(plain(), { maxCells: WIDTH * HEIGHT })).data).toHaveLength(WIDTH * HEIGHT)
})

test('a mask that lies beyond the file is refused as cut off', async () => {
  await expect(readStoredGeoTiff(withMask(plain(), 1, { 273: 100_000 }))).rejects.toMatchObject({ code: 'grid/truncated' })
})

const gdal = (program: string, ...args: readonly string[]): string =>
  execFileSync(program, [...args], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] })
const hasGdal = (() => {
  try {
    return gdal('gdal_translate', '--version').length > 0
  } catch {
    return false
  }
})()
if (!hasGdal) console.info('Masks were not compared with GDAL: gdal_translate is not installed here.')

if (hasGdal)
  test('GDAL: a mask that it wrote, tiled and packed, hides the same cells as in GDAL’s own reading', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'soakline-mask-'))
    const at = (name: string): string => join(folder, name)
    // A value for "no data" that GDAL turns into a mask of 40 × 30 cells in tiles of 16.
    const rows = Array.from({ length: 30 }, (_, y) =>
      Array.from({ length: 40 }, (_, x) => ((x * 7 + y * 3) % 11 === 0 ? -1 : 50 + x + y / 8)).join(' '),
    )
    writeFileSync(at('in.asc'), `ncols 40\nnrows 30\nxllcorner 0\nyllcorner 0\ncellsize 1\nnodata_value -1\n${rows.join('\n')}\n`)
    const tiles = ['-co', 'TILED=YES', '-co', 'BLOCKXSIZE=16', '-co', 'BLOCKYSIZE=16', '-co', 'COMPRESS=DEFLATE']
    gdal(
      'gdal_translate',
      '-q',
      '--config',
      'GDAL_TIFF_INTERNAL_MASK',
      'YES',
      '-mask',
      'mask',
      '-a_nodata',
      'none',
      ...tiles,
      at('in.asc'),
      at('masked.tif'),
    )
    gdal('gdal_translate', '-q', '-b', 'mask', '-of', 'ENVI', at('masked.tif'), at('mask.bin'))
    const { buffer } = new Uint8Array(readFileSync(at('masked.tif')))
    const { data } = await readStoredGeoTiff(buffer)
    const theirs = readFileSync(at('mask.bin'))
    expect([...data].map(height => !Number.isNaN(height))).toEqual([...theirs].map(value => value !== 0))
    expect([...theirs].filter(value => value === 0).length).toBeGreaterThan(50)
  })
