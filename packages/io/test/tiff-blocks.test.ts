import { deflateSync, inflateSync } from 'node:zlib'
import { fromArrayBuffer } from 'geotiff'
import { seededRandom } from 'soakline/foundation'
import { describe, expect, test } from 'vitest'
import { readStoredGeoTiff } from '../src/geotiff.js'
import { buildDem, type Cells, type Tag } from './tiff-builder.js'

// Oracle: geotiff.js 3.0.5 (dev dependency), `readRasters`, for the same bytes.

const [width, height] = [61, 47]
const inflate = (packed: Uint8Array, maxOutputLength: number): Uint8Array => inflateSync(packed, { maxOutputLength })

const KINDS = {
  float32: (): Cells => Float32Array.from(numbers(), z => 40 * z),
  float64: (): Cells => Float64Array.from(numbers(), z => 40 * z),
  int16: (): Cells => Int16Array.from(numbers(), z => 20000 * z),
  uint16: (): Cells => Uint16Array.from(numbers(), z => 32768 + 32767 * z),
  int32: (): Cells => Int32Array.from(numbers(), z => 2e9 * z),
  uint8: (): Cells => Uint8Array.from(numbers(), z => 128 + 127 * z),
  int8: (): Cells => Int8Array.from(numbers(), z => 127 * z),
}

function numbers(): number[] {
  const random = seededRandom(12)
  return Array.from({ length: width * height }, () => 2 * random.uniform() - 1)
}

/** Cells of one block, padded with the last of each row and the last row. */
function block(cells: Cells, left: number, top: number, wide: number, high: number): Cells {
  const out = new (cells.constructor as new (length: number) => Cells)(wide * high)
  for (let row = 0; row < high; row++)
    for (let column = 0; column < wide; column++)
      out[row * wide + column] = cells[Math.min(height - 1, top + row) * width + Math.min(width - 1, left + column)]!
  return out
}

/** Bytes of a block as the predictor writes them. Source: TIFF 6.0 section 14; Adobe TIFF Technical Note 3. */
function predicted(cells: Cells, wide: number, predictor: number): Uint8Array {
  const size = cells.BYTES_PER_ELEMENT
  const bytes = new Uint8Array(cells.buffer.slice(0))
  if (predictor === 1) return bytes
  if (predictor === 2) {
    const bits = size === 1 ? bytes : size === 2 ? new Uint16Array(bytes.buffer) : new Uint32Array(bytes.buffer)
    for (let at = bits.length - 1; at > 0; at--) if (at % wide > 0) bits[at] = bits[at]! - bits[at - 1]!
    return bytes
  }
  const out = new Uint8Array(bytes.length)
  for (let row = 0; row < cells.length / wide; row++) {
    const from = row * wide * size
    for (let k = 0; k < wide; k++) for (let b = 0; b < size; b++) out[from + b * wide + k] = bytes[from + k * size + (size - 1 - b)]!
    for (let at = from + wide * size - 1; at > from; at--) out[at] = out[at]! - out[at - 1]!
  }
  return out
}

/** LZW without any string: each byte as its own code, the table cleared before codes grow beyond nine bits. */
function lzw(bytes: Uint8Array): Uint8Array {
  const codes = [...bytes].flatMap((byte, k) => (k % 200 === 0 ? [256, byte] : [byte])).concat(257)
  const out = new Uint8Array(Math.ceil((codes.length * 9) / 8))
  codes.forEach((code, k) => {
    for (let bit = 0; bit < 9; bit++) if (code & (256 >> bit)) out[(9 * k + bit) >> 3]! |= 128 >> ((9 * k + bit) & 7)
  })
  return out
}

const PACKED: Readonly<Record<number, (bytes: Uint8Array) => Uint8Array>> = { 1: bytes => bytes, 5: lzw, 8: bytes => deflateSync(bytes) }

function raster(cells: Cells, tiled: boolean, compression: number, predictor: number): ArrayBuffer {
  const [wide, high] = tiled ? [16, 32] : [width, 10]
  const blocks: Uint8Array[] = []
  for (let top = 0; top < height; top += high)
    for (let left = 0; left < width; left += wide) {
      const rows = tiled ? high : Math.min(high, height - top)
      blocks.push(PACKED[compression]!(predicted(block(cells, left, top, wide, rows), wide, predictor)))
    }
  const tags: Tag[] = [
    { tag: 259, type: 'short', values: [compression] },
    { tag: 317, type: 'short', values: [predictor] },
    ...(tiled
      ? ([
          { tag: 322, type: 'long', values: [wide] },
          { tag: 323, type: 'long', values: [high] },
        ] as const)
      : ([{ tag: 278, type: 'long', values: [high] }] as const)),
  ]
  return buildDem({ width, height, cells, tags, blocks, nodata: 'none' })
}

describe.each(Object.keys(KINDS) as (keyof typeof KINDS)[])('%s', kind => {
  const predictors = kind.startsWith('float') ? (kind === 'float64' ? [1, 3] : [1, 2, 3]) : [1, 2]
  test.each(
    predictors.flatMap(predictor => [true, false].flatMap(tiled => [1, 5, 8].map(packing => [predictor, tiled, packing] as const))),
  )('predictor %d, tiled %s, compression %d: the cells of the independent decoder', async (predictor, tiled, packing) => {
    const bytes = raster(KINDS[kind](), tiled, packing, predictor)
    const image = await (await fromArrayBuffer(bytes)).getImage()
    const expected = [...(await image.readRasters({ interleave: true }))] as number[]
    for (const options of [{}, { inflate }]) {
      const { data } = await readStoredGeoTiff(bytes, { ...options, nodata: Number.NaN })
      expect([...data]).toEqual(expected)
    }
  })
})

test('a block that holds more than its cells is unpacked all the same, and one that holds less is refused', async () => {
  const cells = KINDS.float32()
  const bytes = new Uint8Array(cells.buffer)
  const packed = (data: Uint8Array): ArrayBuffer =>
    buildDem({ width, height, cells, tags: [{ tag: 259, type: 'short', values: [8] }], blocks: [deflateSync(data)] })
  const longer = new Uint8Array(3 * bytes.length)
  longer.set(bytes)
  expect([...(await readStoredGeoTiff(packed(longer), { inflate })).data]).toEqual([...cells])
  await expect(readStoredGeoTiff(packed(bytes.subarray(0, 900)), { inflate })).rejects.toMatchObject({ code: 'grid/damaged' })
})

test('a bomb is stopped where the native way would give more than the cells and a twentieth', async () => {
  const cells = KINDS.float32()
  let most = 0
  const watched = (packed: Uint8Array, most_bytes: number): Uint8Array => {
    most = most_bytes
    return inflate(packed, most_bytes)
  }
  const bomb = deflateSync(new Uint8Array(1 << 24))
  const file = buildDem({ width, height, cells, tags: [{ tag: 259, type: 'short', values: [8] }], blocks: [bomb] })
  const { data } = await readStoredGeoTiff(file, { inflate: watched })
  expect(most).toBe(Math.ceil(cells.byteLength * 1.05) + 1)
  expect(data.every(z => z === 0)).toBe(true)
})
