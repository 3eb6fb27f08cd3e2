import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { deflateSync } from 'node:zlib'
import { bytesSource, cutGround, readElevation, readStoredGeoTiff } from '@soakline/io'
import { getDecoder } from 'geotiff'
import { describe, expect, test } from 'vitest'
import { buildLerc, type LercOptions, summed } from './lerc-builder.js'
import { refusal } from './refusal.js'
import { buildDem, type Cells, type DemOptions, ground, type Tag } from './tiff-builder.js'

const [WIDTH, HEIGHT] = [21, 19]
const heights = ground(WIDTH, HEIGHT)
const short = (tag: number, ...values: number[]): Tag => ({ tag, type: 'short', values })
const long = (tag: number, ...values: number[]): Tag => ({ tag, type: 'long', values })
const lerc = (around = 0): Tag[] => [short(259, 34887), long(50674, 4, around)]
const packed = (options: Partial<LercOptions> = {}): Uint8Array<ArrayBuffer> =>
  buildLerc({ width: WIDTH, height: HEIGHT, cells: heights, ...options })
const file = (blob: Uint8Array, more: Partial<DemOptions> = {}, around = 0): ArrayBuffer =>
  buildDem({ width: WIDTH, height: HEIGHT, cells: heights, blocks: [blob], ...more, tags: [...lerc(around), ...(more.tags ?? [])] })
const mask = Array.from({ length: WIDTH * HEIGHT }, (_, k) => k % 7 !== 3 && Math.floor(k / WIDTH) !== 9)
/** The most by which a cell differs; where one of the two has no number, so has the other. */
const furthest = (cells: ArrayLike<number>, data: ArrayLike<number>): number => {
  expect(Array.from(data, Number.isNaN)).toEqual(Array.from(cells, Number.isNaN))
  return Array.from(cells, (z, k) => (Number.isNaN(z) ? 0 : Math.abs(data[k]! - z))).reduce((most, one) => Math.max(most, one), 0)
}
const hidden = (cells: Cells): Float64Array => Float64Array.from(cells, (z, k) => (mask[k] ? z : Number.NaN))
const errorOf = (warnings: readonly { code: string; details: object }[]): unknown =>
  warnings.find(({ code }) => code === 'grid/packed-with-error')?.details

describe('LERC: heights packed with a stated error', () => {
  const whole = { Int8Array, Uint8Array, Int16Array, Uint16Array, Int32Array } as const
  const spread = { Int8Array: 100, Uint8Array: 250, Int16Array: 30_000, Uint16Array: 60_000, Int32Array: 2e6 }
  const cases: (readonly [name: string, cells: Cells, options: Partial<LercOptions>])[] = [
    ...Object.entries(whole).flatMap(([name, Type]) => {
      const most = spread[name as keyof typeof spread]
      const cells = new Type(
        Array.from({ length: WIDTH * HEIGHT }, (_, k) => ((k * k * 31) % most) * (name.startsWith('I') && k % 3 === 0 ? -1 : 1)),
      )
      const ways =
        name.endsWith('8Array') && name.length < 11
          ? (['plain', 'squares', 'lists', 'values', 'differences'] as const)
          : (['plain', 'squares', 'lists'] as const)
      return ways.map(how => [`${name}, ${how}`, cells, { how }] as const)
    }),
    ...([3, 4, 5] as const).map(
      version => [`Float32Array, squares of 0.01, version 2.${version}`, heights, { how: 'squares', error: 0.01, version }] as const,
    ),
    ['Float32Array, lists of 0.25', heights, { how: 'lists', error: 0.25 }],
    ['Float32Array, squares as they stand', heights, { how: 'squares' }],
    ['Float32Array, squares of 16', heights, { how: 'squares', error: 0.001, square: 16 }],
    ['Float64Array, plain', Float64Array.from(heights, z => z / 3), {}],
    ['Float64Array, squares of 0.001', Float64Array.from(heights, z => z / 3), { how: 'squares', error: 0.001 }],
    ['one value', new Float32Array(WIDTH * HEIGHT).fill(412.25), {}],
  ]
  test.each(cases)(
    '%s: the cells of the independent decoder (geotiff 3.0.5 with lerc 3.0.0), within the error',
    async (_, cells, options) => {
      const blob = packed({ ...options, cells })
      const { data, packingError } = await readStoredGeoTiff(file(blob, { cells }))
      const decoder = await getDecoder(34887, { LercParameters: [4, 0], planarConfiguration: 1 } as never)
      const other = (await decoder.decodeBlock(blob.slice().buffer)) as ArrayBuffer
      // Bytes that stand as they are it gives with the head before them.
      const from = cells instanceof Uint8Array && options.how === 'plain' ? other.byteLength - cells.length : 0
      expect(Array.from(data)).toEqual(Array.from(new (cells.constructor as typeof Float32Array)(other, from)))
      const error = cells instanceof Float32Array || cells instanceof Float64Array ? (options.error ?? 0) : 0
      expect(packingError ?? 0).toBe(error)
      expect(furthest(cells, data)).toBeLessThanOrEqual(error + 1e-5 * Number(error > 0))
    },
  )

  test('what the mask hides is no data, whatever the numbers are, where the independent decoder has 0', async () => {
    for (const [cells, how, error] of [
      [heights, 'plain', 0],
      [heights, 'squares', 0.01],
      [Int16Array.from(heights, z => 10 * z), 'squares', 0.5],
      [Uint8Array.from(heights, z => z % 50), 'differences', 0.5],
      [Uint8Array.from(heights, z => z % 50), 'values', 0.5],
    ] as const) {
      const { data } = await readStoredGeoTiff(file(packed({ cells, how, mask, error }), { cells }))
      expect(furthest(hidden(cells), data)).toBeLessThanOrEqual(0.0101)
    }
    const none = await readStoredGeoTiff(file(packed({ mask: mask.map(() => false) })))
    expect(none.data.every(Number.isNaN)).toBe(true)
  })

  test('inside DEFLATE and ZSTD, in strips and tiles, cut by a window', async () => {
    const strip = (from: number, rows: number): Uint8Array =>
      deflateSync(buildLerc({ width: WIDTH, height: rows, cells: heights.slice(from * WIDTH, (from + rows) * WIDTH), how: 'squares' }))
    const strips = file(packed(), { blocks: [strip(0, 8), strip(8, 8), strip(16, 3)], tags: [long(278, 8)] }, 1)
    expect(Array.from((await readElevation(strips)).grid.data)).toEqual(Array.from(heights))
    const raw = packed()
    const size = [raw.length & 255, raw.length >> 8]
    const [low, middle, high] = [0, 8, 16].map(shift => (((raw.length << 3) | 1) >> shift) & 255)
    // A frame of one raw block that says its size. Source: RFC 8878.
    const frame = Uint8Array.from([0x28, 0xb5, 0x2f, 0xfd, 0x60, size[0]!, size[1]! - 1, low!, middle!, high!, ...raw])
    expect(Array.from((await readElevation(file(frame, {}, 2))).grid.data)).toEqual(Array.from(heights))
    const tile = (column: number, row: number): Uint8Array =>
      buildLerc({
        width: 16,
        height: 16,
        cells: Float32Array.from({ length: 256 }, (_, k) => {
          const [x, y] = [Math.min(WIDTH - 1, 16 * column + (k % 16)), Math.min(HEIGHT - 1, 16 * row + (k >> 4))]
          return heights[y * WIDTH + x]!
        }),
      })
    const tiled = file(raw, { blocks: [tile(0, 0), tile(1, 0), tile(0, 1), tile(1, 1)], tags: [long(322, 16), long(323, 16)] })
    expect(Array.from((await readElevation(tiled)).grid.data)).toEqual(Array.from(heights))
  })

  test('several bands: side by side in one blob, or a blob for each, which may share a mask', async () => {
    const two = Float32Array.from({ length: 2 * heights.length }, (_, k) => (k % 2 === 0 ? heights[k >> 1]! : 7 + (k % 5)))
    const bands: Partial<DemOptions> = { cells: two, tags: [short(258, 32, 32), short(277, 2), short(339, 3, 3)] }
    for (const how of ['plain', 'squares'] as const) {
      const { data } = await readStoredGeoTiff(file(packed({ cells: two, samples: 2, how, error: 0.001 }), bands), { band: 1 })
      expect(furthest(heights, data)).toBeLessThanOrEqual(0.00101)
    }
    const second = Float32Array.from(heights, (_, k) => k % 5)
    const blobs = Buffer.concat([packed({ mask }), packed({ cells: second, mask })])
    const { data } = await readStoredGeoTiff(file(blobs, bands), { band: 2 })
    expect(furthest(hidden(second), data)).toBe(0)
  })

  test('the report says the largest error in metres, in feet files too; kept heights and whole numbers say none', async () => {
    const blob = packed({ how: 'squares', error: 0.05 })
    expect(errorOf((await readElevation(file(blob))).report.warnings)).toEqual({ error_m: 0.05 })
    expect(errorOf((await readElevation(file(blob), { elevationUnit: 'ft' })).report.warnings)).toEqual({ error_m: 0.01524 })
    const scaled = { metadata: '<GDALMetadata><Item name="SCALE" sample="0" role="scale">0.5</Item></GDALMetadata>' }
    expect(errorOf((await readElevation(file(blob, scaled))).report.warnings)).toEqual({ error_m: 0.025 })
    expect(errorOf((await readElevation(file(packed()))).report.warnings)).toBeUndefined()
    const cells = Int16Array.from(heights)
    expect(errorOf((await readElevation(file(packed({ cells, how: 'squares' }), { cells }))).report.warnings)).toBeUndefined()
    expect(errorOf((await readElevation(file(packed({ cells, how: 'squares', error: 2 }), { cells }))).report.warnings)).toEqual({
      error_m: 2,
    })
  })

  test('a part that is cut out and kept as a file of its own still says it', async () => {
    const window = { in: 'own', box: [500_002, 3_999_985, 500_015, 3_999_997] } as const
    const cut = await cutGround(bytesSource(file(packed({ how: 'squares', error: 0.05 }))), { window })
    expect(errorOf((await readElevation(cut.buffer)).report.warnings)).toEqual({ error_m: 0.05 })
  })

  test('a value for "no data" that came out beside itself is no data all the same', async () => {
    // Above all heights and below the largest of the blob, such a value is a step of twice the error from its square's least, and so misses itself.
    const cells = Float32Array.from(heights, (z, k) => (k === 30 ? 9999 : k === 300 ? 12_000 : z))
    const bytes = file(packed({ cells, how: 'squares', error: 0.07 }), { cells })
    const [asGround, asGap] = [await readStoredGeoTiff(bytes, { nodata: Number.NaN }), await readStoredGeoTiff(bytes, { nodata: 9999 })]
    expect(asGround.data[30]).not.toBe(9999)
    expect(Math.abs(asGround.data[30]! - 9999)).toBeLessThanOrEqual(0.07)
    expect(asGap.data[30]).toBeNaN()
    expect(asGap.data.filter(Number.isNaN).length).toBe(1)
  })

  test('other versions of LERC, and what pictures are packed with, are refused by name', async () => {
    for (const version of [1, 2, 6]) {
      const refused = await refusal(() => readElevation(file(packed({ says: { version } }))))
      expect([refused.code, refused.details.name]).toEqual(['grid/compression', `LERC 2.${version}`])
    }
    for (const method of [6, 7, 34712, 50001]) {
      const refused = await refusal(() => readElevation(buildDem({ width: 3, height: 3, cells: ground(3, 3), tags: [short(259, method)] })))
      expect([refused.code, refused.message.includes('changes heights without saying by how much')]).toEqual(['grid/compression', true])
    }
  })

  test('a changed byte anywhere behind the head is noticed by the check sum', async () => {
    const blob = packed({ how: 'squares', error: 0.01 })
    for (let at = 14; at < blob.length; at += 29) {
      const changed = blob.slice()
      changed[at]! ^= 4
      expect((await refusal(() => readElevation(file(changed)))).code).toMatch(/grid\/(damaged|compression)/)
      expect(summed(changed.slice()).slice(10, 14)).not.toEqual(changed.slice(10, 14))
    }
  })
})

test('files that GDAL packs are read as GDAL reads them, where it is installed', async () => {
  const about = spawnSync('gdalinfo', ['--format', 'GTiff'], { encoding: 'utf8' })
  if (about.status !== 0 || !about.stdout.includes('LERC_ZSTD'))
    return console.info('LERC was not held against GDAL: no gdalinfo with LERC here.')
  const folder = mkdtempSync(join(tmpdir(), 'lerc-'))
  try {
    const [width, height, asGround] = [150, 70, { nodata: Number.NaN }]
    const cells = ground(width, height).map((z, k) => (k % 977 === 5 ? Number.NaN : z + 3 * Math.sin(k / 90)))
    writeFileSync(join(folder, 'plain.tif'), new Uint8Array(buildDem({ width, height, cells })))
    for (const [type, packing, error, tiled] of [
      ['Float32', 'LERC', '0.01', 'YES'],
      ['Float64', 'LERC_ZSTD', '0.003', 'NO'],
      ['Int16', 'LERC_DEFLATE', '0', 'NO'],
      ['Byte', 'LERC', '0', 'YES'],
    ] as const) {
      const [packed, copy] = [join(folder, 'packed.tif'), join(folder, 'copy.tif')]
      const options = [
        `COMPRESS=${packing}`,
        `MAX_Z_ERROR=${error}`,
        `TILED=${tiled}`,
        ...(tiled === 'YES' ? ['BLOCKXSIZE=64', 'BLOCKYSIZE=64'] : []),
      ]
      const sample = type === 'Byte' || type === 'Int16' ? ['-scale', '100', '120', '0', '250'] : []
      execFileSync('gdal_translate', [
        '-q',
        '-ot',
        type,
        ...sample,
        ...options.flatMap(one => ['-co', one]),
        join(folder, 'plain.tif'),
        packed,
      ])
      execFileSync('gdal_translate', ['-q', packed, copy])
      const [own, other] = [await readStoredGeoTiff(bufferOf(packed), asGround), await readStoredGeoTiff(bufferOf(copy), asGround)]
      expect(Array.from(own.data), `${type} ${packing} ${error}`).toEqual(Array.from(other.data))
      expect(own.packingError ?? 0).toBe(type.startsWith('Float') || Number(error) > 0.5 ? Number(error) : 0)
    }
  } finally {
    rmSync(folder, { recursive: true })
  }
})

const bufferOf = (path: string): ArrayBuffer => new Uint8Array(readFileSync(path)).buffer
