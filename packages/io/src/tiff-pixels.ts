import { InputError } from 'soakline/foundation'
import { inflate, type NativeInflate } from './inflate.js'
import { blockWriter } from './tiff-blocks.js'
import { malformed, type TiffDirectory, type TiffFile, truncated } from './tiff-directory.js'

/** How the numbers of an image are written. */
export interface PixelType {
  readonly kind: 'unsigned' | 'signed' | 'float'
  readonly bits: 8 | 16 | 32 | 64
}

/** The layout of one image, every number of it checked against the file. */
export interface ImageLayout {
  readonly width: number
  readonly height: number
  readonly pixel: PixelType
  readonly samples: number
  readonly planar: boolean
  readonly compression: number
  readonly predictor: number
  readonly blockWidth: number
  readonly blockHeight: number
  readonly tiled: boolean
  readonly offsets: readonly number[]
  readonly byteCounts: readonly number[]
}

/** Names of compressions by their TIFF number: TIFF 6.0 and its supplements, LibTIFF's list, from memory. */
const COMPRESSIONS: Readonly<Record<number, string>> = {
  1: 'none',
  2: 'CCITT',
  3: 'CCITT fax 3',
  4: 'CCITT fax 4',
  5: 'LZW',
  6: 'old JPEG',
  7: 'JPEG',
  8: 'DEFLATE',
  32773: 'PackBits',
  32946: 'DEFLATE',
  34712: 'JPEG 2000',
  34887: 'LERC',
  34925: 'LZMA',
  50000: 'ZSTD',
  50001: 'WebP',
  50002: 'JPEG XL',
  52546: 'JPEG XL',
}
const READABLE = [1, 5, 8, 32773, 32946, 50000]
/** The most that one compressed byte can become: DEFLATE 1032, PackBits 64, LZW with 12-bit codes under 2800; ZSTD runs are bounded apart. */
const MAX_RATIO = 4000

/**
 * Reads and checks how the first full-size image is laid out, before anything is allocated.
 *
 * Throws  InputError `grid/malformed`, `grid/too-large`, `grid/compression`, `grid/pixel-type`, `grid/truncated`, `grid/mostly-empty`.
 */
export function imageLayout(file: TiffFile, directory: TiffDirectory, maxCells: number): ImageLayout {
  const one = (tag: number, otherwise: number): number => directory.numbers(tag, 1 << 16)[0] ?? otherwise
  const [width, height] = [one(256, 0), one(257, 0)]
  const whole = (value: number, most: number): boolean => Number.isInteger(value) && value >= 1 && value <= most
  if (!whole(width, 2 ** 31) || !whole(height, 2 ** 31)) throw malformed(`an image of ${width} × ${height} cells`)
  if (width * height > maxCells) {
    throw new InputError(
      'grid/too-large',
      `The raster has ${width} × ${height} cells, more than the ${maxCells} that can be held. Cut out the holding and the ground that drains to it, or make the cells larger.`,
      { width, height, maxCells },
    )
  }
  const samples = one(277, 1)
  if (!whole(samples, 64)) throw malformed(`${samples} samples per cell`)
  const pixel = pixelType(directory, samples)
  const compression = one(259, 1)
  if (!READABLE.includes(compression)) {
    const name = COMPRESSIONS[compression] ?? `method ${compression}`
    throw new InputError(
      'grid/compression',
      `The raster is compressed with ${name}, which is not read here${[6, 7, 50001].includes(compression) ? ' (it also loses heights)' : ''}. Write it again as a GeoTIFF with DEFLATE.`,
      { compression, name },
    )
  }
  const predictor = one(317, 1)
  if (![1, 2, 3].includes(predictor) || (predictor === 3 && pixel.kind !== 'float') || (predictor === 2 && pixel.bits === 64)) {
    throw malformed(`predictor ${predictor} on ${pixel.bits}-bit ${pixel.kind} cells`)
  }
  const tiled = directory.has(322) || directory.has(324)
  const blockWidth = tiled ? one(322, 0) : width
  const blockHeight = tiled ? one(323, 0) : Math.min(one(278, height), height)
  if (!whole(blockWidth, 2 ** 31) || !whole(blockHeight, 2 ** 31)) throw malformed(`blocks of ${blockWidth} × ${blockHeight} cells`)
  const planar = one(284, 1) === 2 && samples > 1
  const bytesPerCell = (pixel.bits / 8) * (planar ? 1 : samples)
  const blockBytes = blockWidth * blockHeight * bytesPerCell
  if (blockBytes > Math.max(1 << 24, 4 * width * height * bytesPerCell))
    throw malformed(`blocks of ${blockWidth} × ${blockHeight} cells on ${width} × ${height}`)

  const across = Math.ceil(width / blockWidth)
  const down = Math.ceil(height / blockHeight)
  const blocks = across * down * (planar ? samples : 1)
  const limit = file.bytes.byteLength / 2
  if (blocks > limit) throw malformed(`${blocks} blocks in a file of ${file.bytes.byteLength} bytes`)
  const offsets = directory.numbers(tiled ? 324 : 273, limit)
  let byteCounts = directory.numbers(tiled ? 325 : 279, limit)
  if (byteCounts.length === 0 && compression === 1) {
    byteCounts = offsets.map((_, k) => (tiled ? blockBytes : rowsOf(k % (across * down), blockHeight, height) * width * bytesPerCell))
  }
  if (offsets.length < blocks || byteCounts.length < blocks)
    throw malformed(`${Math.min(offsets.length, byteCounts.length)} blocks listed where ${blocks} are needed`)
  let end = 0
  let full = 0
  let packed = 0
  for (let k = 0; k < blocks; k++) {
    if (offsets[k] === 0 || byteCounts[k] === 0) continue
    if (!(offsets[k]! > 0) || !(byteCounts[k]! > 0)) throw malformed('a block at a negative place')
    end = Math.max(end, offsets[k]! + byteCounts[k]!)
    full++
    packed += byteCounts[k]!
  }
  if (end > file.bytes.byteLength) throw truncated(file.bytes.byteLength, end)
  if (width * height > 16e6 && full < blocks / 100) {
    throw new InputError(
      'grid/mostly-empty',
      `Only ${full} of ${blocks} blocks of this raster hold anything. Cut out the part with data and try again.`,
      { full, blocks },
    )
  }
  const decoded = Math.min(full * blockBytes, width * height * bytesPerCell)
  if (compression === 1 ? packed < decoded : compression !== 50000 && packed * MAX_RATIO < decoded) {
    throw malformed(`${packed} bytes of data for ${decoded} bytes of cells`)
  }
  return { width, height, pixel, samples, planar, compression, predictor, blockWidth, blockHeight, tiled, offsets, byteCounts }
}

function pixelType(directory: TiffDirectory, samples: number): PixelType {
  const bits = directory.numbers(258, 64)
  const formats = directory.numbers(339, 64)
  const [first, format] = [bits[0] ?? 1, formats[0] ?? 1]
  if (bits.slice(0, samples).some(value => value !== first) || formats.slice(0, samples).some(value => value !== format))
    throw malformed('bands of several pixel types')
  const kind = format === 1 || format === 4 ? 'unsigned' : format === 2 ? 'signed' : format === 3 ? 'float' : null
  if (
    kind === null ||
    (first !== 8 && first !== 16 && first !== 32 && first !== 64) ||
    (kind === 'float' && first < 32) ||
    (kind !== 'float' && first === 64)
  ) {
    throw new InputError(
      'grid/pixel-type',
      `Cells of ${first} bits (sample format ${format}) are not read here. Write the raster again with 32-bit floating-point heights.`,
      { bits: first, format },
    )
  }
  return { kind, bits: first }
}

const rowsOf = (row: number, blockHeight: number, height: number): number => Math.min(blockHeight, height - row * blockHeight)

/**
 * The numbers of one band as they stand in the file, row-major from the file's first row.
 *
 * No data  NaN where a block is left out of the file (sparse), and nowhere else.
 * Laws     A block never inflates to more than its cells need.
 * Throws   InputError `grid/damaged`; the reason of an abort.
 * Cost     One pass; Float32Array where it holds the pixel type exactly, else Float64Array.
 */
export async function readBand(
  file: TiffFile,
  layout: ImageLayout,
  band: number,
  { signal, inflate: native }: { readonly signal?: AbortSignal | undefined; readonly inflate?: NativeInflate | undefined } = {},
): Promise<Float32Array | Float64Array> {
  const { width, height, pixel, blockWidth, blockHeight } = layout
  const exact = pixel.bits <= 16 || (pixel.kind === 'float' && pixel.bits === 32)
  const out = exact ? new Float32Array(width * height) : new Float64Array(width * height)
  const across = Math.ceil(width / blockWidth)
  const down = Math.ceil(height / blockHeight)
  const stride = layout.planar ? 1 : layout.samples
  const pick = layout.planar ? 0 : band
  const write = blockWriter(layout, file.littleEndian, out)
  for (let row = 0; row < down; row++) {
    for (let column = 0; column < across; column++) {
      signal?.throwIfAborted()
      const block = row * across + column + (layout.planar ? band * across * down : 0)
      const rows = layout.tiled ? blockHeight : rowsOf(row, blockHeight, height)
      const shownRows = Math.min(rows, height - row * blockHeight)
      const shownColumns = Math.min(blockWidth, width - column * blockWidth)
      const [offset, length] = [layout.offsets[block]!, layout.byteCounts[block]!]
      const bytes =
        offset === 0 || length === 0
          ? null
          : await decompress(file.bytes.subarray(offset, offset + length), layout, rows * blockWidth * stride, block, native)
      if (bytes && write) {
        write(bytes, { first: row * blockHeight * width + column * blockWidth, width, rows: shownRows, columns: shownColumns })
        continue
      }
      const cells = bytes && typed(unpredict(bytes, layout, rows, file.littleEndian), pixel)
      for (let r = 0; r < shownRows; r++) {
        const to = (row * blockHeight + r) * width + column * blockWidth
        if (cells === null) {
          out.fill(Number.NaN, to, to + shownColumns)
          continue
        }
        const from = r * blockWidth * stride + pick
        for (let c = 0; c < shownColumns; c++) out[to + c] = cells[from + c * stride]!
      }
    }
  }
  return out
}

async function decompress(
  packed: Uint8Array,
  layout: ImageLayout,
  values: number,
  block: number,
  native: NativeInflate | undefined,
): Promise<Uint8Array<ArrayBuffer>> {
  const expected = values * (layout.pixel.bits / 8)
  const whole = native && (layout.compression === 8 || layout.compression === 32946) ? inWhole(native, packed, expected) : null
  if (whole) return whole
  let out: Uint8Array<ArrayBuffer>
  let filled: number
  try {
    if (layout.compression === 1) {
      out = packed.slice(0, expected)
      filled = out.length
    } else if (layout.compression === 50000) {
      boundZstd(packed, expected)
      const decoder = await zstdDecoder()
      out = new Uint8Array((await decoder.decodeBlock(packed.slice().buffer)) as ArrayBuffer).slice(0, expected)
      filled = out.length
    } else {
      out = new Uint8Array(expected)
      filled =
        layout.compression === 5
          ? unpackLzw(packed, out)
          : layout.compression === 32773
            ? unpackBits(packed, out)
            : await inflate(packed, out)
    }
  } catch (error) {
    throw damaged(block, error instanceof Error ? error.message : String(error))
  }
  if (filled < expected) throw damaged(block, `${filled} of ${expected} bytes`)
  return out
}

/** A block unpacked in one go; null where that fails for whatever reason: then it is unpacked in pieces, which says what is wrong. */
function inWhole(native: NativeInflate, packed: Uint8Array, expected: number): Uint8Array<ArrayBuffer> | null {
  try {
    const out = native(packed, Math.ceil(expected * MOST_SURPLUS) + 1)
    // A view on a part of other memory cannot be read as cells of more bytes.
    return out.length < expected ? null : new Uint8Array(out.buffer.slice(out.byteOffset, out.byteOffset + expected) as ArrayBuffer)
  } catch {
    return null
  }
}

/** What a block may hold beyond its cells before it is unpacked piece by piece. Judgement. */
const MOST_SURPLUS = 1.05

const damaged = (block: number, why: string): InputError =>
  new InputError(
    'grid/damaged',
    `Block ${block} of the raster does not unpack (${why.slice(0, 100)}). The file is damaged; fetch or write it again.`,
    { block, why },
  )

/** TIFF's LZW: codes of 9 to 12 bits, most significant bit first, widened one code early. Source: TIFF 6.0 (1992), section 13. */
function unpackLzw(packed: Uint8Array, out: Uint8Array): number {
  const prefix = new Uint16Array(4096)
  const last = new Uint8Array(4096)
  const length = new Uint16Array(4096)
  for (let code = 0; code < 256; code++) {
    last[code] = code
    length[code] = 1
  }
  let [next, bits, previous, filled, at, held, heldBits] = [258, 9, -1, 0, 0, 0, 0]
  while (filled < out.length) {
    while (heldBits < bits) {
      if (at >= packed.length) return filled
      held = ((held << 8) | packed[at++]!) & 0xffffff
      heldBits += 8
    }
    const code = (held >>> (heldBits - bits)) & ((1 << bits) - 1)
    heldBits -= bits
    if (code === 257) break
    if (code === 256) {
      next = 258
      bits = 9
      previous = -1
      continue
    }
    if (code > next || (code === next && previous < 0) || (code >= next && previous < 0)) throw new Error(`LZW code ${code} out of turn`)
    // The string of a code that is just being made is the previous string and its own first byte.
    const source = code < next ? code : previous
    const run = length[source]! + (code < next ? 0 : 1)
    let write = filled + length[source]! - 1
    let walk = source
    let firstByte = last[walk]!
    for (;;) {
      firstByte = last[walk]!
      if (write < out.length) out[write] = firstByte
      if (length[walk]! <= 1) break
      write--
      walk = prefix[walk]!
    }
    if (code >= next && filled + run - 1 < out.length) out[filled + run - 1] = firstByte
    filled = Math.min(out.length, filled + run)
    if (previous >= 0 && next < 4096) {
      prefix[next] = previous
      last[next] = firstByte
      length[next] = length[previous]! + 1
      next++
    }
    previous = code
    if (next >= (1 << bits) - 1 && bits < 12) bits++
  }
  return filled
}

/** Byte runs. Source: TIFF 6.0 (1992), section 9. */
function unpackBits(packed: Uint8Array, out: Uint8Array): number {
  let [at, filled] = [0, 0]
  while (at < packed.length && filled < out.length) {
    const head = (packed[at++]! << 24) >> 24
    if (head >= 0) {
      const piece = packed.subarray(at, Math.min(at + head + 1, at + out.length - filled))
      out.set(piece, filled)
      filled += piece.length
      at += head + 1
    } else if (head !== -128) {
      const end = Math.min(out.length, filled + 1 - head)
      out.fill(packed[at++] ?? 0, filled, end)
      filled = end
    }
  }
  return filled
}

/** The decoder of geotiff.js, loaded when the first ZSTD block comes: the package cannot be loaded in a Node worker thread, and few rasters need it. */
async function zstdDecoder(): Promise<{ decodeBlock(packed: ArrayBuffer): ArrayBufferLike | Promise<ArrayBufferLike> }> {
  const { getDecoder } = await import('geotiff')
  return getDecoder(50000, {} as never)
}

/** Refuses a ZSTD frame that could unpack to far more than its cells need. Source: RFC 8878, sections 3.1.1.1 and 3.1.1.2. */
function boundZstd(packed: Uint8Array, expected: number): void {
  const view = new DataView(packed.buffer, packed.byteOffset, packed.byteLength)
  if (packed.length < 6 || view.getUint32(0, true) !== 0xfd2fb528) throw new Error('not a ZSTD frame')
  const descriptor = packed[4]!
  const single = (descriptor & 0x20) !== 0
  const sizeField = [single ? 1 : 0, 2, 4, 8][descriptor >> 6]!
  const dictionary = [0, 1, 2, 4][descriptor & 3]!
  const sizeAt = 5 + (single ? 0 : 1) + dictionary
  if (sizeField > 0) {
    const size =
      sizeField === 1
        ? view.getUint8(sizeAt)
        : sizeField === 2
          ? view.getUint16(sizeAt, true) + 256
          : sizeField === 4
            ? view.getUint32(sizeAt, true)
            : Number(view.getBigUint64(sizeAt, true))
    if (size > expected * 1.05 + 1) throw new Error(`a ZSTD frame of ${size} bytes where ${expected} are needed`)
  }
  let at = sizeAt + sizeField
  let most = 0
  for (;;) {
    if (at + 3 > packed.length) throw new Error('a ZSTD frame that stops too early')
    const header = packed[at]! | (packed[at + 1]! << 8) | (packed[at + 2]! << 16)
    const [lastBlock, type, size] = [header & 1, (header >> 1) & 3, header >> 3]
    most += type === 2 ? 131072 : size
    at += 3 + (type === 1 ? 1 : size)
    if (most > expected * 64 + (1 << 22)) throw new Error('a ZSTD frame that grows too much')
    if (lastBlock) break
  }
  if (packed.length - at > 4) throw new Error('more than one ZSTD frame')
}

/** Undoes the predictor and leaves the bytes in this machine's order (little-endian). Source: TIFF 6.0 section 14; Adobe TIFF Technical Note 3 (2005). */
function unpredict(bytes: Uint8Array<ArrayBuffer>, layout: ImageLayout, rows: number, littleEndian: boolean): Uint8Array<ArrayBuffer> {
  const { blockWidth, pixel, predictor } = layout
  const size = pixel.bits / 8
  const stride = layout.planar ? 1 : layout.samples
  const perRow = blockWidth * stride
  if (predictor === 3) {
    const row = new Uint8Array(perRow * size)
    for (let r = 0; r < rows; r++) {
      const line = bytes.subarray(r * perRow * size, (r + 1) * perRow * size)
      for (let k = stride; k < line.length; k++) line[k] = line[k]! + line[k - stride]!
      // The planes hold the most significant bytes first, whatever the order of the file.
      for (let k = 0; k < perRow; k++) for (let b = 0; b < size; b++) row[k * size + (size - 1 - b)] = line[b * perRow + k]!
      line.set(row)
    }
    return bytes
  }
  if (!littleEndian && size > 1) {
    for (let at = 0; at < bytes.length; at += size) {
      for (let a = at, z = at + size - 1; a < z; a++, z--) [bytes[a], bytes[z]] = [bytes[z]!, bytes[a]!]
    }
  }
  if (predictor === 2) {
    const cells = size === 1 ? bytes : size === 2 ? new Uint16Array(bytes.buffer) : new Uint32Array(bytes.buffer)
    for (let r = 0; r < rows; r++) for (let k = r * perRow + stride; k < (r + 1) * perRow; k++) cells[k] = cells[k]! + cells[k - stride]!
  }
  return bytes
}

function typed(bytes: Uint8Array<ArrayBuffer>, pixel: PixelType): ArrayLike<number> {
  if (pixel.kind === 'float') return pixel.bits === 32 ? new Float32Array(bytes.buffer) : new Float64Array(bytes.buffer)
  if (pixel.bits === 8) return pixel.kind === 'signed' ? new Int8Array(bytes.buffer) : bytes
  if (pixel.bits === 16) return pixel.kind === 'signed' ? new Int16Array(bytes.buffer) : new Uint16Array(bytes.buffer)
  return pixel.kind === 'signed' ? new Int32Array(bytes.buffer) : new Uint32Array(bytes.buffer)
}
