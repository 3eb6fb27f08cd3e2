import { InputError } from 'soakline/foundation'
import type { ByteSource } from './byte-source.js'
import { inflate, type NativeInflate } from './inflate.js'
import { type LercCells, mostLercBytes, unpackLerc } from './lerc.js'
import { type BlockPlace, blockWriter } from './tiff-blocks.js'
import { malformed, type TiffDirectory, type TiffFile, truncated } from './tiff-directory.js'

/** How the numbers of an image are written. */
export interface PixelType {
  readonly kind: 'unsigned' | 'signed' | 'float'
  readonly bits: 8 | 16 | 32 | 64
}

/** Some of an image's cells: a rectangle of whole ones. */
export interface CellWindow {
  readonly column: number
  readonly row: number
  readonly width: number
  readonly height: number
}

/** How an image is written, every number of it checked; nothing is known yet of where its blocks lie. */
export interface ImageShape {
  readonly width: number
  readonly height: number
  readonly pixel: PixelType
  readonly samples: number
  readonly planar: boolean
  readonly compression: number
  /** The compression that blocks of LERC are packed in once more; 1: none. */
  readonly around: number
  readonly predictor: number
  readonly blockWidth: number
  readonly blockHeight: number
  readonly tiled: boolean
}

/** A block that is needed, and where its bytes lie; no bytes: it is left out of the file. */
interface Block {
  readonly number: number
  /** Of blocks, from the image's first. */
  readonly column: number
  readonly row: number
  readonly offset: number
  readonly length: number
}

/** The blocks of one band that some cells need. */
export interface ImageLayout extends ImageShape {
  readonly window: CellWindow
  readonly blocks: readonly Block[]
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
const LERC = 34887
const READABLE = [1, 5, 8, 32773, 32946, LERC, 50000]
/** Made for pictures: they change heights, by how much nobody says. */
const LOSSY = [6, 7, 34712, 50001, 50002, 52546]
/** What LERC may be packed in, by the second number of tag 50674, as TIFF compressions. Source: LibTIFF 4.5, tiff.h, from memory. */
const AROUND_LERC = [1, 8, 50000]
/** The most that one compressed byte can become: DEFLATE 1032, PackBits 64, LZW with 12-bit codes under 2800; ZSTD runs are bounded apart. */
const MAX_RATIO = 4000
/** A block of one value takes the same bytes in these however large it is. */
const WITHOUT_RATIO = [LERC, 50000]

/**
 * Reads and checks how an image is written, before anything is allocated.
 *
 * Throws  InputError `grid/malformed`, `grid/compression`, `grid/pixel-type`.
 *
 * @param taken how its numbers are taken, whatever the file says of them
 */
export function imageShape(directory: TiffDirectory, taken?: PixelType): ImageShape {
  const one = (tag: number, otherwise: number): number => directory.numbers(tag, 1 << 16)[0] ?? otherwise
  const [width, height] = [one(256, 0), one(257, 0)]
  const whole = (value: number, most: number): boolean => Number.isInteger(value) && value >= 1 && value <= most
  if (!whole(width, 2 ** 31) || !whole(height, 2 ** 31)) throw malformed(`an image of ${width} × ${height} cells`)
  const samples = one(277, 1)
  if (!whole(samples, 64)) throw malformed(`${samples} samples per cell`)
  const pixel = taken ?? pixelType(directory, samples)
  const compression = one(259, 1)
  if (!READABLE.includes(compression)) {
    const name = COMPRESSIONS[compression] ?? `method ${compression}`
    throw new InputError(
      'grid/compression',
      `The raster is compressed with ${name}, which is not read here${LOSSY.includes(compression) ? ' (it is made for pictures and changes heights without saying by how much)' : ''}. Write it again as a GeoTIFF with DEFLATE.`,
      { compression, name },
    )
  }
  const around = compression === LERC ? AROUND_LERC[directory.numbers(50674, 16)[1] ?? 0] : 1
  if (around === undefined) throw malformed('LERC in a compression that there is not')
  const predictor = one(317, 1)
  if (compression === LERC && predictor !== 1) throw malformed(`predictor ${predictor} on LERC`)
  if (![1, 2, 3].includes(predictor) || (predictor === 3 && pixel.kind !== 'float') || (predictor === 2 && pixel.bits === 64)) {
    throw malformed(`predictor ${predictor} on ${pixel.bits}-bit ${pixel.kind} cells`)
  }
  const tiled = directory.has(322) || directory.has(324)
  const blockWidth = tiled ? one(322, 0) : width
  const blockHeight = tiled ? one(323, 0) : Math.min(one(278, height), height)
  if (!whole(blockWidth, 2 ** 31) || !whole(blockHeight, 2 ** 31)) throw malformed(`blocks of ${blockWidth} × ${blockHeight} cells`)
  const planar = one(284, 1) === 2 && samples > 1
  const shape = { width, height, pixel, samples, planar, compression, around, predictor, blockWidth, blockHeight, tiled }
  if (blockBytes(shape) > Math.max(1 << 24, 4 * width * height * bytesPerCell(shape)))
    throw malformed(`blocks of ${blockWidth} × ${blockHeight} cells on ${width} × ${height}`)
  return shape
}

const bytesPerCell = ({ pixel, planar, samples }: ImageShape): number => (pixel.bits / 8) * (planar ? 1 : samples)
const blockBytes = (shape: ImageShape): number => shape.blockWidth * shape.blockHeight * bytesPerCell(shape)

/** Throws InputError `grid/too-large` where more cells would be taken than can be held. */
export function refuseTooMany({ width, height }: Pick<CellWindow, 'width' | 'height'>, maxCells: number): void {
  if (width * height > maxCells)
    throw new InputError(
      'grid/too-large',
      `The raster has ${width} × ${height} cells, more than the ${maxCells} that can be held. Read only the holding and the ground that drains to it (--window WEST,SOUTH,EAST,NORTH), or make the cells larger.`,
      { width, height, maxCells },
    )
}

/** A block that is unpacked whole for a part of it may be so large. Judgement: it is held twice while it is read. */
const MOST_BLOCK_BYTES = 1 << 28

/**
 * Where the blocks lie that some cells need: of the lists of all blocks only their entries are read.
 *
 * Throws  InputError `grid/malformed`, `grid/truncated`, `grid/mostly-empty`, `window/large-pieces`.
 *
 * @param window default all cells
 */
export function imageLayout(file: TiffFile, directory: TiffDirectory, stored: ImageShape, band: number, window?: CellWindow): ImageLayout {
  const { width, height, compression } = stored
  const bytes = bytesPerCell(stored)
  const [placeTag, countTag] = stored.tiled ? [324, 325] : [273, 279]
  const cells = window ?? { column: 0, row: 0, width, height }
  // Rows that are not packed can be taken one by one out of a strip however large.
  const byRow = window !== undefined && compression === 1 && !stored.tiled && stored.blockHeight > 1
  if (window !== undefined && !byRow && blockBytes(stored) > MOST_BLOCK_BYTES)
    throw new InputError(
      'window/large-pieces',
      `The raster is packed in pieces of ${stored.blockWidth} × ${stored.blockHeight} cells, so no small part of it can be read. Write it again in tiles of 512 × 512.`,
      { width: stored.blockWidth, height: stored.blockHeight },
    )
  const across = Math.ceil(width / stored.blockWidth)
  const down = Math.ceil(height / stored.blockHeight)
  const bands = stored.planar ? stored.samples : 1
  const all = across * down * bands
  const limit = file.byteLength / 2
  if (all > limit) throw malformed(`${all} blocks in a file of ${file.byteLength} bytes`)
  for (const tag of [placeTag, countTag])
    if (directory.count(tag) > limit) throw malformed(`tag ${tag} with ${directory.count(tag)} values`)
  const counted = directory.count(countTag) > 0 || compression !== 1
  const listed = Math.min(directory.count(placeTag), counted ? directory.count(countTag) : Number.POSITIVE_INFINITY)
  if (listed < all) throw malformed(`${listed} blocks listed where ${all} are needed`)

  const blocks: Block[] = []
  const [left, right] = [Math.floor(cells.column / stored.blockWidth), Math.floor((cells.column + cells.width - 1) / stored.blockWidth)]
  const [top, bottom] = [Math.floor(cells.row / stored.blockHeight), Math.floor((cells.row + cells.height - 1) / stored.blockHeight)]
  // A planar file that is read whole is checked in all its bands.
  const planes = !stored.planar ? [0] : window === undefined ? Array.from({ length: bands }, (_, k) => k) : [band]
  let [end, full, packed] = [0, 0, 0]
  for (const plane of planes) {
    for (let row = top; row <= bottom; row++) {
      const first = row * across + left + plane * across * down
      const offsets = directory.part(placeTag, first, right - left + 1)
      const lengths = counted
        ? directory.part(countTag, first, right - left + 1)
        : offsets.map(() => (stored.tiled ? blockBytes(stored) : rowsOf(row, stored.blockHeight, height) * width * bytes))
      for (let column = left; column <= right; column++) {
        const [offset, length] = [offsets[column - left]!, lengths[column - left]!]
        const there = offset !== 0 && length !== 0
        if (there) {
          if (!(offset > 0) || !(length > 0)) throw malformed('a block at a negative place')
          end = Math.max(end, offset + length)
          full++
          packed += length
        }
        if (!stored.planar || plane === band)
          blocks.push({ number: row * across + column, column, row, offset: there ? offset : 0, length: there ? length : 0 })
      }
    }
  }
  if (end > file.byteLength) throw truncated(file.byteLength, end)
  const needed = (right - left + 1) * (bottom - top + 1) * planes.length
  if (cells.width * cells.height > 16e6 && full < needed / 100) {
    throw new InputError(
      'grid/mostly-empty',
      `Only ${full} of ${needed} blocks of this raster hold anything. Cut out the part with data and try again.`,
      { full, blocks: needed },
    )
  }
  const decoded = Math.min(full * blockBytes(stored), width * height * bytes)
  if (compression === 1 ? packed < decoded && window === undefined : !WITHOUT_RATIO.includes(compression) && packed * MAX_RATIO < decoded) {
    throw malformed(`${packed} bytes of data for ${decoded} bytes of cells`)
  }
  // No packing makes a block much larger than its cells: a list that says so would have far too much fetched.
  if (window !== undefined) {
    const most = 2 * blockBytes(stored) + 65_536
    for (const { number, length } of blocks) if (length > most) throw malformed(`block ${number} of ${length} bytes`)
  }
  return byRow ? rowByRow(stored, cells, blocks) : { ...stored, window: cells, blocks }
}

/** Strips that are not packed, with each needed row as a strip of its own. */
function rowByRow(stored: ImageShape, window: CellWindow, strips: readonly Block[]): ImageLayout {
  const bytes = stored.width * bytesPerCell(stored)
  const blocks: Block[] = []
  for (let row = window.row; row < window.row + window.height; row++) {
    const strip = strips[Math.floor(row / stored.blockHeight) - Math.floor(window.row / stored.blockHeight)]!
    const within = (row % stored.blockHeight) * bytes
    const there = strip.length >= within + bytes
    if (strip.length > 0 && !there) throw malformed(`strip ${strip.number} of ${strip.length} bytes`)
    blocks.push({ number: row, column: 0, row, offset: there ? strip.offset + within : 0, length: there ? bytes : 0 })
  }
  return { ...stored, blockHeight: 1, window, blocks }
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

/** Blocks that lie so near to each other are fetched in one; what lies between is wasted. Judgement: a request costs more than a page. */
const GAP_BYTES = 4096
/** A fetch of several blocks ends here. Judgement: enough for a row of tiles, little to hold. */
const MOST_FETCH_BYTES = 1 << 22
/** Fetches under way at a time. Judgement: what browsers allow for one host is 6. */
const FETCHES = 4

/**
 * The numbers of one band as they stand in the file, row-major from the window's first row.
 *
 * No data  NaN where a block is left out of the file (sparse), and nowhere else.
 * Laws     A block never inflates to more than its cells need; only blocks that the window touches are read.
 * Throws   InputError `grid/damaged`, `grid/truncated`; what the source throws; the reason of an abort.
 * Cost     One pass; Float32Array where it holds the pixel type exactly, else Float64Array.
 *
 * @param options.onProgress told how many of the blocks are read, 0–1
 */
export async function readBand(
  source: ByteSource,
  littleEndian: boolean,
  layout: ImageLayout,
  band: number,
  {
    signal,
    onProgress,
    onLoss,
    inflate: native,
  }: {
    readonly signal?: AbortSignal | undefined
    readonly onProgress?: ((done: number) => void) | undefined
    /** Told the most by which cells may differ from what was packed, in the file's own numbers, where a block says it. */
    readonly onLoss?: ((error: number) => void) | undefined
    readonly inflate?: NativeInflate | undefined
  } = {},
): Promise<Float32Array | Float64Array> {
  const { width, height } = layout.window
  const { pixel } = layout
  const exact = pixel.bits <= 16 || (pixel.kind === 'float' && pixel.bits === 32)
  const out = exact ? new Float32Array(width * height) : new Float64Array(width * height)
  for (const block of layout.blocks) if (block.length === 0) putBlock(out, layout, band, block, null)
  const write = blockWriter(layout, littleEndian, out)
  const fetches = inFetches(layout.blocks)
  let [next, read] = [0, 0]
  const failed = new AbortController()
  const stop = signal ? AbortSignal.any([signal, failed.signal]) : failed.signal
  const work = async (): Promise<void> => {
    for (let fetch = fetches[next++]; fetch; fetch = fetches[next++]) {
      stop.throwIfAborted()
      const bytes = await source.read(fetch.offset, fetch.length, stop)
      if (bytes.length < fetch.length) throw truncated(fetch.offset + bytes.length, fetch.offset + fetch.length)
      for (const block of fetch.blocks) {
        stop.throwIfAborted()
        const from = block.offset - fetch.offset
        const rows = layout.tiled ? layout.blockHeight : rowsOf(block.row, layout.blockHeight, layout.height)
        if (layout.compression === LERC) {
          const { cells, error } = await fromLerc(bytes.subarray(from, from + block.length), layout, rows, block.number)
          putBlock(out, layout, band, block, cells)
          if (error > 0) onLoss?.(error)
          continue
        }
        const values = rows * layout.blockWidth * (layout.planar ? 1 : layout.samples)
        const unpacked = await decompress(bytes.subarray(from, from + block.length), layout, values, block.number, native)
        const place = wholeFrom(layout, block)
        if (write && place) write(unpacked, place)
        else putBlock(out, layout, band, block, typed(unpredict(unpacked, layout, rows, littleEndian), pixel))
      }
      read += fetch.blocks.length
      onProgress?.(read / layout.blocks.length)
    }
  }
  try {
    // What is in memory is read in its order: the first damaged block is the one that is named.
    await Promise.all(Array.from({ length: source.held ? 1 : FETCHES }, work))
  } catch (error) {
    failed.abort(error)
    throw error
  }
  return out
}

/** The blocks that hold bytes, in stretches of the file that are fetched in one. */
function inFetches(blocks: readonly Block[]): { readonly offset: number; readonly length: number; readonly blocks: readonly Block[] }[] {
  const sorted = blocks.filter(({ length }) => length > 0).sort((a, b) => a.offset - b.offset || a.number - b.number)
  const fetches: { offset: number; length: number; blocks: Block[] }[] = []
  for (const block of sorted) {
    const last = fetches.at(-1)
    const end = block.offset + block.length
    if (last && block.offset - last.offset - last.length <= GAP_BYTES && end - last.offset <= Math.max(MOST_FETCH_BYTES, last.length)) {
      last.length = Math.max(last.length, end - last.offset)
      last.blocks.push(block)
    } else fetches.push({ offset: block.offset, length: block.length, blocks: [block] })
  }
  return fetches
}

/** Where a block goes whose first cell lies in the window; null for others. */
function wholeFrom({ window, blockWidth, blockHeight }: ImageLayout, block: Block): BlockPlace | null {
  const [column, row] = [block.column * blockWidth - window.column, block.row * blockHeight - window.row]
  if (column < 0 || row < 0) return null
  const { width } = window
  return {
    first: row * width + column,
    width,
    rows: Math.min(blockHeight, window.height - row),
    columns: Math.min(blockWidth, width - column),
  }
}

/** Writes the cells of a block that lie in the window; null: a block left out. */
function putBlock(
  out: Float32Array | Float64Array,
  { window, blockWidth, blockHeight, planar, samples }: ImageLayout,
  band: number,
  { column, row }: Block,
  cells: ArrayLike<number> | null,
): void {
  const stride = planar ? 1 : samples
  const pick = planar ? 0 : band
  const [left, top] = [column * blockWidth, row * blockHeight]
  const [from, to] = [Math.max(left, window.column), Math.min(left + blockWidth, window.column + window.width)]
  const [first, last] = [Math.max(top, window.row), Math.min(top + blockHeight, window.row + window.height)]
  for (let r = first; r < last; r++) {
    const at = (r - window.row) * window.width - window.column
    if (cells === null) {
      out.fill(Number.NaN, at + from, at + to)
      continue
    }
    const within = ((r - top) * blockWidth - left) * stride + pick
    for (let c = from; c < to; c++) out[at + c] = cells[within + c * stride]!
  }
}

/** The cells of a block of LERC, taken out of what else it is packed in first. */
async function fromLerc(
  packed: Uint8Array,
  { blockWidth, pixel, planar, samples, around }: ImageLayout,
  rows: number,
  block: number,
): Promise<LercCells> {
  const shape = { columns: blockWidth, rows, samples: planar ? 1 : samples, pixel }
  const most = mostLercBytes(shape)
  try {
    if (around === 1) return unpackLerc(packed, shape)
    return unpackLerc(around === 8 ? await inflatedUpTo(packed, most) : await unzstd(packed, most), shape)
  } catch (error) {
    if (error instanceof InputError) throw error
    throw damaged(block, error instanceof Error ? error.message : String(error))
  }
}

async function inflatedUpTo(packed: Uint8Array, most: number): Promise<Uint8Array> {
  const out = new Uint8Array(most)
  return out.subarray(0, await inflate(packed, out))
}

async function unzstd(packed: Uint8Array, most: number): Promise<Uint8Array> {
  boundZstd(packed, most)
  const decoder = await zstdDecoder()
  return new Uint8Array((await decoder.decodeBlock(packed.slice().buffer)) as ArrayBuffer)
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
      out = (await unzstd(packed, expected)).slice(0, expected)
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
      if (at >= packed.length) break
      const end = Math.min(out.length, filled + 1 - head)
      out.fill(packed[at++]!, filled, end)
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
function unpredict(bytes: Uint8Array<ArrayBuffer>, layout: ImageShape, rows: number, littleEndian: boolean): Uint8Array<ArrayBuffer> {
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
