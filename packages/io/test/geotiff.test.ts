import { readElevation, readStoredGeoTiff } from '@soakline/io'
import { fromArrayBuffer } from 'geotiff'
import { describe, expect, test } from 'vitest'
import { refusal } from './refusal.js'
import { buildDem, bytesOf, type DemOptions, ground, UTM17 } from './tiff-builder.js'

const small = { width: 6, height: 5, cells: ground(6, 5) } as const
const dem = (options: Partial<DemOptions> = {}): ArrayBuffer => buildDem({ ...small, ...options })
const codes = (warnings: readonly { code: string }[]): string[] => warnings.map(warning => warning.code)
const withKeys = (...keys: NonNullable<DemOptions['keys']>): NonNullable<DemOptions['keys']> => [
  ...UTM17.filter(([key]) => !keys.some(([other]) => other === key)),
  ...keys,
]
const bytesEqual = (a: ArrayLike<number>, b: ArrayLike<number>): void => expect(Array.from(a)).toEqual(Array.from(b))

describe('a plain raster', () => {
  test('comes through as it is: cells, corner, system, and what was assumed is said', async () => {
    const { grid, projection, report } = await readElevation(dem())
    expect(grid.geometry).toEqual({ width: 6, height: 5, cell_m: 1, west_m: 500000, north_m: 4000000, crs: 'EPSG:32617' })
    bytesEqual(grid.data, small.cells)
    expect(projection.name).toBe('WGS 84 / UTM zone 17N')
    expect(report).toMatchObject({
      format: 'GeoTIFF',
      fileCells: [6, 5],
      voidCells: 0,
      elevationUnit: 'm',
      elevationUnitFrom: 'assumed',
      quantum_m: null,
    })
    expect(codes(report.warnings)).toEqual(['elevation-unit/assumed', 'vertical-datum/not-stated'])
    expect(report.sha256).toMatch(/^[0-9a-f]{64}$/)
  })

  test('law: the hash depends on cells and geometry and on nothing else', async () => {
    const hash = async (options: Partial<DemOptions>): Promise<string> => (await readElevation(dem(options))).report.sha256
    const first = await hash({})
    expect(await hash({ bigEndian: true })).toBe(first)
    expect(await hash({ big: true })).toBe(first)
    expect(await hash({ tie: [0, 0, 0, 500001, 4000000, 0] })).not.toBe(first)
    const other = small.cells.slice()
    other[3] = 101
    expect(await hash({ cells: other })).not.toBe(first)
  })

  for (const bigEndian of [false, true]) {
    for (const cells of [Uint8Array, Int8Array, Uint16Array, Int16Array, Int32Array, Float32Array, Float64Array]) {
      test(`oracle geotiff.js: ${cells.name}, ${bigEndian ? 'big' : 'little'}-endian, reads the same cells`, async () => {
        const values = cells.from([3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5, 8])
        const file = buildDem({ width: 4, height: 3, cells: values, bigEndian })
        const own = await readStoredGeoTiff(file)
        bytesEqual(own.data, values)
        const other = await (await (await fromArrayBuffer(file)).getImage()).readRasters({ interleave: true })
        bytesEqual(own.data, other as unknown as ArrayLike<number>)
      })
    }
  }
})

describe('compression and predictors', () => {
  const deflate = async (bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array> =>
    new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(new CompressionStream('deflate'))).arrayBuffer())
  const packed = (compression: number, predictor: number, blocks: Uint8Array[], more: Partial<DemOptions> = {}): ArrayBuffer =>
    dem({
      ...more,
      blocks,
      tags: [{ tag: 259, type: 'short', values: [compression] }, { tag: 317, type: 'short', values: [predictor] }, ...(more.tags ?? [])],
    })

  test('DEFLATE', async () => {
    bytesEqual((await readElevation(packed(8, 1, [await deflate(bytesOf(small.cells, false))]))).grid.data, small.cells)
    bytesEqual(
      (await readElevation(packed(32946, 1, [await deflate(bytesOf(small.cells, true))], { bigEndian: true }))).grid.data,
      small.cells,
    )
  })

  test('horizontal differences of 16-bit cells in either byte order', async () => {
    const cells = Int16Array.from(small.cells, z => Math.round(z * 10))
    const differences = cells.map((z, i) => (i % 6 === 0 ? z : z - cells[i - 1]!))
    for (const bigEndian of [false, true]) {
      const file = packed(8, 2, [await deflate(bytesOf(differences, bigEndian))], { cells, bigEndian })
      bytesEqual((await readStoredGeoTiff(file)).data, cells)
      bytesEqual(
        (await (await (await fromArrayBuffer(file)).getImage()).readRasters({ interleave: true })) as unknown as ArrayLike<number>,
        cells,
      )
    }
  })

  test('floating-point predictor: byte planes, most significant first, then differences', async () => {
    const rows: number[] = []
    for (let row = 0; row < 5; row++) {
      const big = bytesOf(small.cells.subarray(row * 6, row * 6 + 6), true)
      const planes = Array.from({ length: 24 }, (_, k) => big[(k % 6) * 4 + Math.floor(k / 6)]!)
      rows.push(...planes.map((byte, k) => (k === 0 ? byte : (byte - planes[k - 1]!) & 255)))
    }
    const file = packed(8, 3, [await deflate(Uint8Array.from(rows))])
    bytesEqual((await readElevation(file)).grid.data, small.cells)
    bytesEqual(
      (await (await (await fromArrayBuffer(file)).getImage()).readRasters({ interleave: true })) as unknown as ArrayLike<number>,
      small.cells,
    )
  })

  test('PackBits: the example of TIFF 6.0 (1992), section 9', async () => {
    const bytes = Uint8Array.from([0xfe, 0xaa, 0x02, 0x80, 0x00, 0x2a, 0xfd, 0xaa, 0x03, 0x80, 0x00, 0x2a, 0x22, 0xf7, 0xaa])
    const expected = [
      0xaa,
      0xaa,
      0xaa,
      0x80,
      0x00,
      0x2a,
      0xaa,
      0xaa,
      0xaa,
      0xaa,
      0x80,
      0x00,
      0x2a,
      0x22,
      ...Array.from({ length: 10 }, () => 0xaa),
    ]
    const file = buildDem({
      width: 6,
      height: 4,
      cells: new Uint8Array(24),
      blocks: [bytes],
      tags: [{ tag: 259, type: 'short', values: [32773] }],
    })
    bytesEqual((await readStoredGeoTiff(file)).data, expected)
  })

  test('LZW: codes packed by hand, and a long run that widens the codes to 12 bits (oracle geotiff.js)', async () => {
    const cells = Uint8Array.from({ length: 300 * 80 }, (_, i) => (i * i + (i >> 5)) % 251)
    const file = buildDem({ width: 300, height: 80, cells, blocks: [lzw(cells)], tags: [{ tag: 259, type: 'short', values: [5] }] })
    bytesEqual((await readStoredGeoTiff(file)).data, cells)
    bytesEqual(
      (await (await (await fromArrayBuffer(file)).getImage()).readRasters({ interleave: true })) as unknown as ArrayLike<number>,
      cells,
    )
    const runs = Uint8Array.from({ length: 6000 }, (_, i) => (i < 3000 ? 7 : 9))
    bytesEqual(
      (
        await readStoredGeoTiff(
          buildDem({ width: 100, height: 60, cells: runs, blocks: [lzw(runs)], tags: [{ tag: 259, type: 'short', values: [5] }] }),
        )
      ).data,
      runs,
    )
  })

  test('ZSTD: a frame of one raw block (RFC 8878); frames that grow too much are not unpacked', async () => {
    const cells = bytesOf(small.cells, false)
    const frame = (size: number, ...blocks: number[]): Uint8Array => Uint8Array.from([0x28, 0xb5, 0x2f, 0xfd, 0x20, size, ...blocks])
    const header = (last: number, type: number, size: number): number[] =>
      [0, 8, 16].map(shift => ((last | (type << 1) | (size << 3)) >> shift) & 255)
    bytesEqual((await readElevation(packed(50000, 1, [frame(120, ...header(1, 0, 120), ...cells)]))).grid.data, small.cells)
    const runs = Array.from({ length: 100 }, (_, k) => [...header(k === 99 ? 1 : 0, 1, 131_072), 0]).flat()
    for (const bomb of [frame(250, ...header(1, 1, 250), 0), frame(120, ...runs)]) {
      expect((await refusal(() => readElevation(packed(50000, 1, [bomb])))).code).toBe('grid/damaged')
    }
  })

  test('failure 44: tiles, cut off at the rim, with one left out of a sparse file: its cells are no data', async () => {
    const cells = ground(20, 18)
    const tile = (column: number, row: number): Uint8Array<ArrayBuffer> =>
      bytesOf(
        Float32Array.from({ length: 256 }, (_, i) => {
          const [c, r] = [column * 16 + (i % 16), row * 16 + Math.floor(i / 16)]
          return c < 20 && r < 18 ? cells[r * 20 + c]! : -1
        }),
        false,
      )
    const blocks = [tile(0, 0), tile(1, 0), tile(0, 1), tile(1, 1)]
    const tags = [
      { tag: 322, type: 'short', values: [16] },
      { tag: 323, type: 'short', values: [16] },
    ] as const
    bytesEqual((await readElevation(buildDem({ width: 20, height: 18, cells, blocks, tags }))).grid.data, cells)
    const { grid, report } = await readElevation(
      buildDem({ width: 20, height: 18, cells, blocks, tags: [...tags, { tag: 325, type: 'long', values: [1024, 0, 1024, 1024] }] }),
    )
    expect(report.voidCells).toBe(4 * 16)
    expect(grid.data[16]).toBeNaN()
    expect(grid.data[15]).toBe(cells[15])
  })

  test('failures 33, 42, 43: a compression that is not read is named', async () => {
    for (const [method, name] of [
      [7, 'JPEG'],
      [34925, 'LZMA'],
      [50001, 'WebP'],
      [12345, 'method 12345'],
    ] as const) {
      const refused = await refusal(() => readElevation(dem({ tags: [{ tag: 259, type: 'short', values: [method] }] })))
      expect(refused.code).toBe('grid/compression')
      expect(refused.message).toContain(name)
    }
  })
})

/** A plain LZW packer after TIFF 6.0 section 13: it never clears before the table is full. */
function lzw(bytes: Uint8Array): Uint8Array {
  const out: number[] = []
  let [held, bits, width] = [0, 0, 9]
  const put = (code: number): void => {
    held = (held << width) | code
    bits += width
    while (bits >= 8) {
      out.push((held >> (bits - 8)) & 255)
      bits -= 8
    }
    held &= (1 << bits) - 1
  }
  let table = new Map<string, number>()
  let next = 258
  const clear = (): void => {
    put(256)
    table = new Map(Array.from({ length: 256 }, (_, k) => [String.fromCharCode(k), k]))
    next = 258
    width = 9
  }
  clear()
  let word = ''
  for (const byte of bytes) {
    const longer = word + String.fromCharCode(byte)
    if (table.has(longer)) {
      word = longer
      continue
    }
    put(table.get(word)!)
    table.set(longer, next++)
    if (next === 512 || next === 1024 || next === 2048) width++
    if (next === 4095) clear()
    word = String.fromCharCode(byte)
  }
  put(table.get(word)!)
  next++
  if (next === 512 || next === 1024 || next === 2048) width++
  put(257)
  if (bits > 0) out.push((held << (8 - bits)) & 255)
  return Uint8Array.from(out)
}

describe('where the cells lie', () => {
  test('failure 16: cells that stand for points lie half a cell to the north-west of their centre', async () => {
    const { grid } = await readElevation(dem({ keys: withKeys([1025, 2]), scale: [2, 2, 0] }))
    expect(grid.geometry).toMatchObject({ west_m: 499999, north_m: 4000001, cell_m: 2 })
  })

  test('failure 21: a tie point anywhere in the raster gives the same corner', async () => {
    const { grid } = await readElevation(dem({ tie: [3, 2, 0, 500003, 3999998, 0] }))
    expect(grid.geometry).toMatchObject({ west_m: 500000, north_m: 4000000 })
  })

  test('failures 17, 18, 20: rows from the south, columns from the east, or both, are turned', async () => {
    const at = (column: number, row: number): number => small.cells[row * 6 + column]!
    const south = await readElevation(dem({ matrix: [1, 0, 0, 500000, 0, 1, 0, 3999995, 0, 0, 0, 0, 0, 0, 0, 1] }))
    expect(south.grid.geometry).toMatchObject({ west_m: 500000, north_m: 4000000 })
    expect(south.grid.data[0]).toBe(at(0, 4))
    expect(south.grid.data[29]).toBe(at(5, 0))
    const east = await readElevation(dem({ matrix: [-1, 0, 0, 500006, 0, -1, 0, 4000000, 0, 0, 0, 0, 0, 0, 0, 1] }))
    expect(east.grid.geometry).toMatchObject({ west_m: 500000, north_m: 4000000 })
    expect(east.grid.data[0]).toBe(at(5, 0))
    const both = await readElevation(dem({ matrix: [-1, 0, 0, 500006, 0, 1, 0, 3999995, 0, 0, 0, 0, 0, 0, 0, 1] }))
    expect(both.grid.data[0]).toBe(at(5, 4))
    const scaled = await readElevation(dem({ scale: [1, -1, 0], tie: [0, 0, 0, 500000, 3999995, 0] }))
    bytesEqual(scaled.grid.data, south.grid.data)
  })

  test('failure 19: turned or sheared rasters, ground control points and no georeference at all are refused', async () => {
    expect(
      (await refusal(() => readElevation(dem({ matrix: [0.8, 0.6, 0, 500000, 0.6, -0.8, 0, 4000000, 0, 0, 0, 0, 0, 0, 0, 1] })))).code,
    ).toBe('grid/rotated')
    expect((await refusal(() => readElevation(dem({ matrix: [0, 1, 0, 500000, -1, 0, 0, 4000000, 0, 0, 0, 0, 0, 0, 0, 1] })))).code).toBe(
      'grid/rotated',
    )
    expect((await refusal(() => readElevation(dem({ tie: [0, 0, 0, 1, 2, 0, 5, 0, 0, 6, 2, 0] })))).code).toBe('grid/not-georeferenced')
    expect((await refusal(() => readElevation(dem({ scale: null, tie: null })))).code).toBe('grid/not-georeferenced')
  })

  test('the corner is snapped to 2⁻¹⁰ m', async () => {
    const { grid } = await readElevation(dem({ tie: [0, 0, 0, 500000.12345, 3999999.99967, 0] }))
    expect(grid.geometry.west_m).toBe(Math.round(500000.12345 * 1024) / 1024)
    expect(grid.geometry.north_m).toBe(4000000)
  })

  test('failure 23: cells that are not square are drawn on square ones, and it is said', async () => {
    // A plane: bilinear drawing must give it back exactly wherever it gives anything.
    const [width, height] = [40, 20]
    const cells = Float32Array.from(
      { length: width * height },
      (_, i) => 50 + 0.25 * ((i % width) + 0.5) + 0.5 * (Math.floor(i / width) + 0.5),
    )
    const { grid, report } = await readElevation(buildDem({ width, height, cells, scale: [1, 2, 0] }))
    expect(report.warnings).toContainEqual({ code: 'grid/resampled', details: { fromX_m: 1, fromY_m: 2, cell_m: 1 } })
    expect(grid.geometry).toMatchObject({ width: 40, height: 40, cell_m: 1, west_m: 500000, north_m: 4000000 })
    let worst = 0
    for (let row = 1; row < 39; row++)
      for (let column = 0; column < 40; column++)
        worst = Math.max(worst, Math.abs(grid.data[row * 40 + column]! - (50 + 0.25 * (column + 0.5) + 0.25 * (row + 0.5))))
    expect(worst).toBeLessThan(1e-4)
  })
})

describe('no data', () => {
  const holed = (value: number): Float32Array => {
    const cells = small.cells.slice()
    cells[8] = value
    cells[20] = value
    return cells
  }

  test('failure 24: -3.39999999999999996e+38 in the tag is the float32 cell -3.39999995e38', async () => {
    const { grid, report } = await readElevation(dem({ cells: holed(-3.4e38), nodata: '-3.39999999999999996e+38' }))
    expect(report.voidCells).toBe(2)
    expect(grid.data[8]).toBeNaN()
    expect(report.minimum_m).toBeGreaterThan(99)
  })

  test('failure 25: nan, with or without a tag, and infinities are no data', async () => {
    expect((await readElevation(dem({ cells: holed(Number.NaN), nodata: 'nan' }))).report.voidCells).toBe(2)
    expect((await readElevation(dem({ cells: holed(Number.NaN) }))).report.voidCells).toBe(2)
    const { report } = await readElevation(dem({ cells: holed(Number.NEGATIVE_INFINITY) }))
    expect(report.voidCells).toBe(2)
    expect(report.warnings).toContainEqual({ code: 'grid/infinite-cells', details: { cells: 2 } })
  })

  test('a tag that the cells cannot hold voids nothing, and it is said', async () => {
    for (const [cells, nodata] of [
      [Uint8Array.from(small.cells), '-9999'],
      [Int16Array.from(small.cells), '-3.4028234663852886e+38'],
      [Int16Array.from(small.cells), '0.5'],
    ] as const) {
      const { report } = await readElevation(dem({ cells, nodata }))
      expect(report.voidCells).toBe(0)
      expect(codes(report.warnings)).toContain('grid/nodata-impossible')
    }
    expect((await readElevation(dem({ cells: Int16Array.from(small.cells), nodata: 'nan' }))).report.voidCells).toBe(0)
  })

  test('failure 26: a tag that is no number is said; with a suspicious value in the cells it is asked', async () => {
    const harmless = await readElevation(dem({ nodata: 'n/a' }))
    expect(codes(harmless.report.warnings)).toContain('grid/nodata-unreadable')
    const refused = await refusal(() => readElevation(dem({ cells: holed(-9999), nodata: '-9999,0' })))
    expect(refused.code).toBe('grid/nodata-unclear')
    expect(refused.details).toMatchObject({ value: -9999, count: 2 })
  })

  test('failure 27: isolated usual values without a tag, or beside another one, are asked, never taken', async () => {
    for (const value of [-9999, -32768, -99999, -3.4028234663852886e38, 3.4e38]) {
      const refused = await refusal(() => readElevation(dem({ cells: holed(value) })))
      expect(refused.code).toBe('grid/nodata-unclear')
      expect(refused.details.count).toBe(2)
      expect(refused.message).toContain('--nodata')
      expect((await readElevation(dem({ cells: holed(value) }), { nodata: value })).report.voidCells).toBe(2)
    }
    expect((await refusal(() => readElevation(dem({ cells: holed(-9999), nodata: '-32768' })))).code).toBe('grid/nodata-unclear')
    const both = holed(-9999)
    both[1] = -32768
    expect((await readElevation(dem({ cells: both }), { nodata: [-9999, -32768] })).report.voidCells).toBe(3)
  })

  test('the user is believed: nan says that the values are ground, and a tag is overruled', async () => {
    const { report } = await readElevation(dem({ cells: holed(-9999) }), { nodata: Number.NaN })
    expect(report.minimum_m).toBe(-9999)
    const coast = small.cells.slice()
    coast[4] = 0
    expect((await readElevation(dem({ cells: coast, nodata: '0' }))).report.voidCells).toBe(1)
    expect((await readElevation(dem({ cells: coast, nodata: '0' }), { nodata: Number.NaN })).report.voidCells).toBe(0)
  })

  test('zero and negative heights are ground', async () => {
    const { report } = await readElevation(dem({ cells: small.cells.map(z => z - 103) }))
    expect(report.voidCells).toBe(0)
    expect(report.minimum_m).toBeLessThan(0)
  })

  test('heights that no ground has, and a raster without any, are refused', async () => {
    expect((await refusal(() => readElevation(dem({ cells: holed(250_000) })))).code).toBe('grid/implausible-heights')
    expect((await refusal(() => readElevation(dem({ cells: holed(-13_000) })))).code).toBe('grid/implausible-heights')
    expect((await refusal(() => readElevation(dem({ cells: small.cells.map(() => -5), nodata: '-5' })))).code).toBe('grid/all-void')
  })

  test('failure 30: no data never bleeds into neighbours when cells are drawn anew', async () => {
    const cells = ground(30, 30)
    for (let k = 300; k < 310; k++) cells[k] = -99999
    const { grid, report } = await readElevation(buildDem({ width: 30, height: 30, cells, nodata: '-99999', scale: [1, 1.5, 0] }))
    const valid = [...grid.data].filter(z => !Number.isNaN(z))
    const least = ground(30, 30).reduce((a, b) => Math.min(a, b))
    expect(Math.min(...valid)).toBeGreaterThanOrEqual(least)
    expect(report.voidCells).toBeGreaterThanOrEqual(10)
  })
})

describe('bands, colours, scale', () => {
  const two = {
    tags: [
      { tag: 277, type: 'short', values: [2] },
      { tag: 258, type: 'short', values: [32, 32] },
      { tag: 339, type: 'short', values: [3, 3] },
    ],
  } as const
  const interleaved = Float32Array.from({ length: 60 }, (_, i) => (i % 2 === 0 ? small.cells[i >> 1]! : 7))

  test('several bands: asked which; the chosen one is read, interleaved or plane by plane', async () => {
    const blocks = [bytesOf(interleaved, false)]
    expect((await refusal(() => readElevation(dem({ ...two, blocks })))).code).toBe('grid/several-bands')
    bytesEqual((await readElevation(dem({ ...two, blocks }), { band: 1 })).grid.data, small.cells)
    expect((await readStoredGeoTiff(dem({ ...two, blocks }), { band: 2 })).data.every(z => z === 7)).toBe(true)
    expect((await refusal(() => readElevation(dem({ ...two, blocks }), { band: 3 }))).code).toBe('grid/no-such-band')
    const planes = [bytesOf(new Float32Array(30).fill(7), false), bytesOf(small.cells, false)]
    bytesEqual(
      (await readElevation(dem({ tags: [...two.tags, { tag: 284, type: 'short', values: [2] }], blocks: planes }), { band: 2 })).grid.data,
      small.cells,
    )
  })

  test('pictures and palettes are no heights', async () => {
    expect(
      (await refusal(() => readElevation(dem({ cells: new Uint8Array(30), tags: [{ tag: 262, type: 'short', values: [3] }] })))).code,
    ).toBe('grid/colours')
    expect(
      (await refusal(() => readElevation(dem({ cells: new Uint8Array(30), tags: [{ tag: 262, type: 'short', values: [2] }] })))).code,
    ).toBe('grid/colours')
  })

  test('scale and offset of the band are applied and said', async () => {
    const cells = Int16Array.from(small.cells, z => Math.round(z * 100))
    const metadata =
      '<GDALMetadata>\n<Item name="OFFSET" sample="0" role="offset">-20</Item>\n<Item name="SCALE" sample="0" role="scale">0.01</Item>\n</GDALMetadata>'
    const { grid, report } = await readElevation(dem({ cells, metadata }))
    expect(grid.data[0]).toBeCloseTo(cells[0]! * 0.01 - 20, 4)
    expect(report.warnings).toContainEqual({ code: 'grid/scaled', details: { scale: 0.01, offset: -20 } })
    expect((await refusal(() => readElevation(dem({ cells, metadata: metadata.replace('0.01', '0') })))).code).toBe('grid/malformed')
  })

  test('overviews alone are no raster: the first full-size image is read', async () => {
    expect((await refusal(() => readElevation(dem({ tags: [{ tag: 254, type: 'long', values: [1] }] })))).code).toBe('grid/malformed')
  })

  test('cells of a kind that is not read are named', async () => {
    expect((await refusal(() => readElevation(dem({ tags: [{ tag: 258, type: 'short', values: [12] }] })))).code).toBe('grid/pixel-type')
    expect((await refusal(() => readElevation(dem({ tags: [{ tag: 339, type: 'short', values: [6] }] })))).code).toBe('grid/pixel-type')
  })
})

describe('unit of height', () => {
  const stateplane = withKeys([3072, 2264], [3076, 9003])

  test('failure 5: stated by the vertical unit, the vertical system, or the band', async () => {
    for (const [options, unit, factor] of [
      [{ keys: withKeys([4099, 9002]) }, 'ft', 0.3048],
      [{ keys: withKeys([4099, 9003]) }, 'ftUS', 1200 / 3937],
      [{ keys: withKeys([4096, 5703]) }, 'm', 1],
      [{ keys: withKeys([4096, 6360]) }, 'ftUS', 1200 / 3937],
      [{ keys: withKeys([4096, 8228]) }, 'ft', 0.3048],
      [{ metadata: '<Item name="UNITTYPE" sample="0" role="unittype">US survey foot</Item>' }, 'ftUS', 1200 / 3937],
      [{ metadata: '<Item name="UNITTYPE" sample="0" role="unittype">metre</Item>' }, 'm', 1],
    ] as const) {
      const { grid, report } = await readElevation(dem(options))
      expect(report).toMatchObject({ elevationUnit: unit, elevationUnitFrom: 'file' })
      expect(grid.data[0]).toBe(Math.fround(small.cells[0]! * factor))
      expect(codes(report.warnings)).not.toContain('elevation-unit/assumed')
    }
  })

  test('on feet or degrees without a unit of height it is asked', async () => {
    const feet = await refusal(() => readElevation(dem({ keys: stateplane, tie: [0, 0, 0, 2_000_000, 700_000, 0], scale: [5, 5, 0] })))
    expect(feet.code).toBe('elevation-unit/unknown')
    expect(feet.message).toContain('--elevation-unit')
    const degrees: NonNullable<DemOptions['keys']> = [
      [1024, 2],
      [1025, 1],
      [2048, 4326],
      [2054, 9102],
    ]
    expect((await refusal(() => readElevation(dem({ keys: degrees, scale: [1e-4, 1e-4, 0], tie: [0, 0, 0, 10, 45, 0] })))).code).toBe(
      'elevation-unit/unknown',
    )
  })

  test('a unit that is no length, two units, or a stretched third axis are refused; the user overrules', async () => {
    const other = dem({ metadata: '<Item name="UNITTYPE" sample="0" role="unittype">NDVI</Item>' })
    expect((await refusal(() => readElevation(other))).message).toContain('NDVI')
    expect((await readElevation(other, { elevationUnit: 'm' })).report.elevationUnitFrom).toBe('user')
    expect((await refusal(() => readElevation(dem({ keys: withKeys([4096, 5703], [4099, 9003]) })))).code).toBe('elevation-unit/conflict')
    expect(
      (
        await refusal(() =>
          readElevation(dem({ keys: withKeys([4096, 5703]), metadata: '<Item name="UNITTYPE" sample="0" role="unittype">ft</Item>' })),
        )
      ).code,
    ).toBe('elevation-unit/conflict')
    expect((await refusal(() => readElevation(dem({ keys: withKeys([4096, 5703]), scale: [1, 1, 0.1] })))).code).toBe('grid/vertical-scale')
  })
})

describe('coordinate systems of files', () => {
  test('failures 6, 7: US survey feet become metres by 1200/3937: cell, corner and the place on Earth', async () => {
    const { grid, projection } = await readElevation(
      dem({ keys: withKeys([3072, 2264], [3076, 9003], [4099, 9003]), tie: [0, 0, 0, 2_000_000, 700_000, 0], scale: [5, 5, 0] }),
    )
    expect(grid.geometry.cell_m).toBe((5 * 1200) / 3937)
    expect(grid.geometry.west_m).toBeCloseTo((2_000_000 * 1200) / 3937, 2)
    // In metres the 2 ppm between the two feet are 1.22 m here.
    expect(Math.abs(grid.geometry.west_m - 2_000_000 * 0.3048)).toBeGreaterThan(1.2)
    expect(grid.geometry.crs).toContain('+units=m')
    expect(projection.horizontalUnit_m).toBe(1200 / 3937)
    const [longitude, latitude] = projection.toLonLat(grid.geometry.west_m, grid.geometry.north_m)
    // EPSG:2264 is North Carolina; its false easting of 2,000,000 ft lies on the meridian 79° west.
    expect(longitude).toBeCloseTo(-79, 5)
    expect(latitude).toBeGreaterThan(35)
    expect(latitude).toBeLessThan(36)
  })

  test('failures 1, 13: degrees and Web Mercator are drawn on UTM with true lengths', async () => {
    const keys: NonNullable<DemOptions['keys']> = [
      [1024, 2],
      [1025, 1],
      [2048, 4326],
      [2054, 9102],
      [4099, 9001],
    ]
    const [width, height] = [60, 50]
    const { grid, report } = await readElevation(
      buildDem({ width, height, cells: ground(width, height), keys, scale: [1e-4, 1e-4, 0], tie: [0, 0, 0, 10, 45, 0] }),
    )
    expect(grid.geometry.crs).toBe('EPSG:32632')
    // One ten-thousandth of a degree at 45° north: 7.884 m of parallel, 11.113 m of meridian (WGS 84 radii of curvature).
    expect(grid.geometry.cell_m).toBeGreaterThan(7.86)
    expect(grid.geometry.cell_m).toBeLessThan(7.885)
    expect(report.warnings.find(warning => warning.code === 'grid/reprojected')?.details).toMatchObject({
      from: 'EPSG:4326',
      to: 'EPSG:32632',
    })

    const mercator = await readElevation(
      buildDem({
        width,
        height,
        cells: ground(width, height),
        keys: withKeys([3072, 3857]),
        scale: [10, 10, 0],
        tie: [0, 0, 0, 1_113_194, 5_621_521, 0],
      }),
    )
    expect(mercator.grid.geometry.crs).toBe('EPSG:32632')
    expect(mercator.grid.geometry.cell_m).toBeCloseTo(10 * Math.cos((45 * Math.PI) / 180), 1)
  })

  test('failure 3: law: a hill keeps its place and height when degrees become metres', async () => {
    const [width, height] = [80, 80]
    const cells = Float32Array.from({ length: width * height }, (_, i) => 100 + 0.05 * (i % width) + 0.03 * Math.floor(i / width))
    const keys: NonNullable<DemOptions['keys']> = [
      [1024, 2],
      [2048, 4326],
      [4099, 9001],
    ]
    const { grid, projection } = await readElevation(
      buildDem({ width, height, cells, keys, scale: [1e-4, 1e-4, 0], tie: [0, 0, 0, 10, 45, 0] }),
    )
    const g = grid.geometry
    let worst = 0
    for (let row = 20; row < g.height - 20; row += 7) {
      for (let column = 20; column < g.width - 20; column += 7) {
        const [longitude, latitude] = projection.toLonLat(g.west_m + (column + 0.5) * g.cell_m, g.north_m - (row + 0.5) * g.cell_m)
        const exact = 100 + 0.05 * ((longitude - 10) / 1e-4 - 0.5) + 0.03 * ((45 - latitude) / 1e-4 - 0.5)
        worst = Math.max(worst, Math.abs(grid.data[row * g.width + column]! - exact))
      }
    }
    expect(worst).toBeLessThan(1e-4)
  })

  test('failure 12: no system, or one that cannot be worked out, is asked; local is plain metres', async () => {
    const none = await refusal(() => readElevation(dem({ keys: [] })))
    expect(none.code).toBe('crs/unknown')
    expect(none.message).toContain('--crs')
    expect((await refusal(() => readElevation(dem({ keys: withKeys([3072, 32767], [1026, 'my site grid']) })))).message).toContain(
      'my site grid',
    )
    expect((await refusal(() => readElevation(dem({ keys: withKeys([3072, 60000]) })))).code).toBe('crs/unknown')
    expect((await refusal(() => readElevation(dem({ keys: [], scale: [1e-4, 1e-4, 0], tie: [0, 0, 0, 10, 45, 0] })))).message).toContain(
      '4326',
    )
    const { grid, projection, report } = await readElevation(dem({ keys: [], tie: [0, 0, 0, 0, 5, 0] }), { crs: 'local' })
    expect(grid.geometry).toMatchObject({ crs: 'local', west_m: 0, north_m: 5 })
    expect(report.elevationUnitFrom).toBe('assumed')
    expect((await refusal(() => projection.toLonLat(0, 0))).code).toBe('crs/no-place')
    expect(
      (await refusal(() => readElevation(dem({ keys: [], scale: [1e-4, 1e-4, 0], tie: [0, 0, 0, 10, 45, 0] }), { crs: 'local' }))).code,
    ).toBe('crs/not-metric')
    const given = await readElevation(dem({ keys: [] }), { crs: 'EPSG:32617' })
    expect(given.grid.geometry.crs).toBe('EPSG:32617')
    expect(codes((await readElevation(dem(), { crs: 'EPSG:26917' })).report.warnings)).toContain('crs/overridden')
  })

  test('a length unit that the named system does not have is refused', async () => {
    expect((await refusal(() => readElevation(dem({ keys: withKeys([3076, 9002]) })))).code).toBe('crs/unit-conflict')
    // The answer that the refusal asks for is taken.
    expect((await readElevation(dem({ keys: withKeys([3076, 9002]) }), { crs: 'EPSG:32617' })).grid.geometry.cell_m).toBe(1)
    expect((await readElevation(dem({ keys: withKeys([4096, 5703], [4099, 9003]) }), { elevationUnit: 'm' })).report.elevationUnit).toBe(
      'm',
    )
  })

  test('failure 11: a system by its parameters is the one with the code: transverse Mercator, Lambert, equal-area', async () => {
    const wgs84: NonNullable<DemOptions['keys']> = [
      [2048, 4326],
      [2054, 9102],
      [3072, 32767],
      [3074, 32767],
      [3076, 9001],
      [1024, 1],
    ]
    const cases: [string, NonNullable<DemOptions['keys']>, [number, number]][] = [
      [
        'EPSG:32617',
        [
          [3075, 1],
          [3080, [-81]],
          [3081, [0]],
          [3082, [500000]],
          [3083, [0]],
          [3092, [0.9996]],
        ],
        [500000, 4000000],
      ],
      [
        'EPSG:2154',
        [
          [3075, 8],
          [3078, [49]],
          [3079, [44]],
          [3084, [3]],
          [3085, [46.5]],
          [3086, [700000]],
          [3087, [6600000]],
        ],
        [652000, 6862000],
      ],
      [
        'EPSG:3035',
        [
          [3075, 10],
          [3088, [10]],
          [3089, [52]],
          [3082, [4321000]],
          [3083, [3210000]],
        ],
        [4321000, 3210000],
      ],
      [
        'EPSG:5070',
        [
          [3075, 11],
          [3078, [29.5]],
          [3079, [45.5]],
          [3080, [-96]],
          [3081, [23]],
          [3082, [0]],
          [3083, [0]],
        ],
        [100000, 2000000],
      ],
    ]
    for (const [code, parameters, [x, y]] of cases) {
      const tie = [0, 0, 0, x, y, 0]
      const own = await readElevation(dem({ keys: [...wgs84, ...parameters], tie }))
      const named = await readElevation(dem({ keys: withKeys([3072, Number(code.slice(5))]), tie }))
      const [a, b] = [own.projection.toLonLat(x, y), named.projection.toLonLat(x, y)]
      expect(a[0]).toBeCloseTo(b[0], 8)
      expect(a[1]).toBeCloseTo(b[1], 8)
    }
  })

  test('far outside its zone a UTM raster is drawn on the right one', async () => {
    // Zone 33 south, 5.4 degrees east of its meridian.
    const { grid, report } = await readElevation(
      buildDem({
        width: 40,
        height: 40,
        cells: ground(40, 40),
        keys: withKeys([3072, 32733]),
        tie: [0, 0, 0, 1_000_000, 6_230_000, 0],
        scale: [30, 30, 0],
      }),
    )
    expect(grid.geometry.crs).toBe('EPSG:32734')
    expect(report.warnings.find(warning => warning.code === 'grid/reprojected')?.details).toMatchObject({
      from: 'EPSG:32733',
      to: 'EPSG:32734',
    })
    // At the rim of its zone (3 degrees) it stays.
    expect((await readElevation(dem({ keys: withKeys([3072, 32733]), tie: [0, 0, 0, 770_000, 6_230_000, 0] }))).grid.geometry.crs).toBe(
      'EPSG:32733',
    )
  })
})

describe('what the heights look like', () => {
  test('rounded heights are measured: 1, 0.5, 0.1 of the file’s unit', async () => {
    for (const step of [1, 0.5, 0.1]) {
      const cells = ground(20, 20).map(z => Math.round(z / step) * step)
      const { report } = await readElevation(buildDem({ width: 20, height: 20, cells }))
      expect(report.quantum_m).toBeCloseTo(step, 9)
      expect(codes(report.warnings)).toContain('grid/quantised')
    }
    const feet = await readElevation(
      buildDem({ width: 20, height: 20, cells: ground(20, 20).map(Math.round), keys: withKeys([4099, 9002]) }),
    )
    expect(feet.report.quantum_m).toBeCloseTo(0.3048, 9)
  })

  test('walls on a tenth of the cells: probably roofs and trees', async () => {
    const cells = ground(30, 30).map((z, i) => (Math.floor((i % 30) / 5) % 2 === 0 ? z + 6 : z))
    expect(codes((await readElevation(buildDem({ width: 30, height: 30, cells }))).report.warnings)).toContain(
      'grid/looks-like-surface-model',
    )
  })

  test('a rim of equal lowest cells: filler or water', async () => {
    const cells = ground(30, 30).map((z, i) => (i % 30 < 3 ? 0 : z))
    expect(codes((await readElevation(buildDem({ width: 30, height: 30, cells }))).report.warnings)).toContain('grid/flat-border')
  })

  test('an abort is heard', async () => {
    await expect(readElevation(dem(), { signal: AbortSignal.abort(new Error('enough')) })).rejects.toThrow('enough')
  })
})
