import { InputError } from 'soakline/foundation'
import type { PixelType } from './tiff-pixels.js'

/** What one block of an image unpacks to. */
export interface LercCells {
  /** Row-major, the samples of a cell side by side; NaN where the block holds no value. */
  readonly cells: Float32Array | Float64Array
  /** The most by which a cell may differ from what was packed, in the file's own numbers; 0 for whole numbers that are kept as they were. */
  readonly error: number
}

/** The block that is expected, by the directory of the file. */
export interface LercShape {
  readonly columns: number
  readonly rows: number
  readonly samples: number
  readonly pixel: PixelType
}

/** What the head of a blob says, held against the block that is expected. */
interface Head {
  readonly version: number
  readonly columns: number
  readonly cells: number
  /** Values of a cell. */
  readonly depth: number
  readonly valid: number
  /** Side of the small squares that are packed apart, in cells. */
  readonly square: number
  readonly end: number
  readonly type: number
  readonly error: number
  readonly least: number
  readonly most: number
}

/** Number types by their code, with the bytes of each. */
const SIGNED_8 = 0
const UNSIGNED_8 = 1
const [SIGNED_16, UNSIGNED_16, SIGNED_32, UNSIGNED_32, FLOAT_32, FLOAT_64] = [2, 3, 4, 5, 6, 7] as const
const TYPE_BYTES = [1, 1, 2, 2, 4, 4, 4, 8] as const
const TYPES = {
  signed: { 8: SIGNED_8, 16: SIGNED_16, 32: SIGNED_32 },
  unsigned: { 8: UNSIGNED_8, 16: UNSIGNED_16, 32: UNSIGNED_32 },
} as const

/** LERC 2.3 to 2.5 are read: they pack bits alike. TIFF's LERC is written as 2.4. */
const [FIRST_VERSION, LAST_VERSION] = [3, 5]
/** The head to where the check sum begins. */
const SUMMED_FROM = 14
/** No encoder makes larger squares (8 and 16 are usual); as LERC's own reader has it. */
const MOST_SQUARE = 32
/** Bits of a code at most. */
const MOST_CODE = 32

/**
 * The most bytes that a block may have before its cells are unpacked: its cells as they stand, its mask and its heads.
 * A packer that would need more writes the cells as they stand.
 */
export const mostLercBytes = ({ columns, rows, samples, pixel }: LercShape): number =>
  columns * rows * (samples * (pixel.bits / 8) + 1) + 4096 * samples

/**
 * Unpacks a block that is packed with limited error (LERC).
 *
 * No data  NaN where the block's mask hides a cell, whatever the type of its numbers.
 * Laws     Nothing larger than the block is allocated: sizes in the blob must be those that the file's directory gives. Every step takes bits of
 *          the blob or ends, so that time is bounded by its bytes and by the cells.
 * Throws   Error for a broken blob; InputError `grid/compression` for a version of LERC that is not read.
 * Source   the layout of LERC 2 as its open reader has it (lerc 3.0.0, Apache-2.0), which trusts the sizes of a blob and whose wrapper in
 *          geotiff 3.0.5 drops the mask; values held against GDAL 3.6.2 with liblerc 4.0.0.
 */
export function unpackLerc(blob: Uint8Array, shape: LercShape): LercCells {
  const size = shape.columns * shape.rows
  const exact = shape.pixel.bits <= 16 || (shape.pixel.kind === 'float' && shape.pixel.bits === 32)
  const cells = exact ? new Float32Array(size * shape.samples) : new Float64Array(size * shape.samples)
  let [at, first, error] = [0, 0, 0]
  let mask: Uint8Array | null = null
  // All samples of a cell in one blob, or a blob for each sample.
  while (first < shape.samples) {
    const head = headOf(blob, at, shape, first)
    const bytes = new Bytes(blob, at + headBytes(head.version), head.end)
    mask = maskOf(bytes, head, mask)
    const values = valuesOf(bytes, head, mask)
    put(cells, shape.samples, first, values, head, mask)
    if (shape.pixel.kind === 'float' || head.error > 0.5) error = Math.max(error, head.error)
    first += head.depth
    at = head.end
  }
  return { cells, error }
}

const headBytes = (version: number): number => (version >= 4 ? 66 : 62)

function headOf(blob: Uint8Array, at: number, { columns, rows, samples, pixel }: LercShape, first: number): Head {
  const bytes = new Bytes(blob, at, blob.length)
  if (String.fromCharCode(...bytes.take(6)) !== 'Lerc2 ') throw new Error('no LERC')
  const version = bytes.number(SIGNED_32)
  if (!(version >= 1 && version < 1000)) throw new Error(`LERC 2.${version}`)
  if (version < FIRST_VERSION || version > LAST_VERSION) throw unread(`LERC 2.${version}`)
  const sum = bytes.number(UNSIGNED_32)
  const [height, width] = [bytes.number(UNSIGNED_32), bytes.number(UNSIGNED_32)]
  const depth = version >= 4 ? bytes.number(UNSIGNED_32) : 1
  const [valid, square] = [bytes.number(UNSIGNED_32), bytes.number(UNSIGNED_32)]
  const [length, type] = [bytes.number(UNSIGNED_32), bytes.number(UNSIGNED_32)]
  const [error, least, most] = [bytes.number(FLOAT_64), bytes.number(FLOAT_64), bytes.number(FLOAT_64)]
  if (width !== columns || height !== rows) throw new Error(`LERC of ${width} × ${height} cells where ${columns} × ${rows} are expected`)
  if (depth !== 1 && (depth !== samples || first > 0)) throw new Error(`LERC of ${depth} values a cell`)
  if (type !== typeOf(pixel)) throw new Error(`LERC of numbers of type ${type}`)
  if (valid > width * height) throw new Error(`LERC of ${valid} cells with a value`)
  if (!(square >= 1 && square <= MOST_SQUARE)) throw new Error(`LERC in squares of ${square} cells`)
  if (!(error >= 0 && error < Number.POSITIVE_INFINITY)) throw new Error(`LERC with an error of ${error}`)
  if (type < FLOAT_32 && !Number.isInteger(2 * error)) throw new Error(`LERC of whole numbers with an error of ${error}`)
  if (length < headBytes(version) || at + length > blob.length)
    throw new Error(`LERC of ${length} bytes where there are ${blob.length - at}`)
  if (fletcher32(blob.subarray(at + SUMMED_FROM, at + length)) !== sum) throw new Error('check sum of LERC')
  return { version, columns, cells: width * height, depth, valid, square, end: at + length, type, error, least, most }
}

const typeOf = ({ kind, bits }: PixelType): number =>
  kind === 'float' ? (bits === 32 ? FLOAT_32 : FLOAT_64) : ((TYPES[kind] as Readonly<Record<number, number>>)[bits] ?? -1)

const unread = (name: string): InputError =>
  new InputError(
    'grid/compression',
    `The raster is compressed with ${name}, which is not read here. Write it again as a GeoTIFF with DEFLATE.`,
    { compression: 34887, name },
  )

/** Which cells have a value, a byte each; null: all. A blob without a mask of its own takes that of the one before it. */
function maskOf(bytes: Bytes, { cells, valid }: Head, before: Uint8Array | null): Uint8Array | null {
  const length = bytes.number(UNSIGNED_32)
  if (valid === 0 || valid === cells) {
    if (length > 0) throw new Error('a mask that says nothing')
    return valid === 0 ? new Uint8Array(cells) : null
  }
  const mask = length > 0 ? unpackedMask(bytes.part(length), cells) : before
  if (mask === null || mask.reduce((sum, there) => sum + there, 0) !== valid) throw new Error('a mask of another number of cells')
  return mask
}

/** Runs of bytes, each byte eight cells with the first in the highest bit: a positive count copies, a negative one repeats, −32768 ends. */
function unpackedMask(runs: Bytes, cells: number): Uint8Array {
  const mask = new Uint8Array(cells)
  const most = Math.ceil(cells / 8)
  let filled = 0
  const put = (byte: number): void => {
    for (let bit = 0; bit < 8 && 8 * filled + bit < cells; bit++) mask[8 * filled + bit] = (byte >> (7 - bit)) & 1
    filled++
  }
  for (;;) {
    const count = runs.number(SIGNED_16)
    if (count === -32768) break
    if (count === 0 || filled + Math.abs(count) > most) throw new Error('a mask larger than its cells')
    if (count > 0) for (const byte of runs.take(count)) put(byte)
    else {
      const byte = runs.number(UNSIGNED_8)
      for (let k = 0; k < -count; k++) put(byte)
    }
  }
  if (filled < most) throw new Error('a mask that stops too early')
  return mask
}

/** The values of a blob, those of a cell side by side; what stands where the mask hides a cell is not told. */
function valuesOf(bytes: Bytes, head: Head, mask: Uint8Array | null): Float64Array {
  const { version, cells, depth, valid, type, error, least, most } = head
  const values = new Float64Array(cells * depth)
  if (valid === 0) return values
  if (least === most) return values.fill(least)
  const leasts = version >= 4 ? bytes.numbers(type, depth) : Float64Array.of(least)
  const mosts = version >= 4 ? bytes.numbers(type, depth) : Float64Array.of(most)
  if (leasts.every((value, k) => value === mosts[k])) {
    for (let k = 0; k < values.length; k++) values[k] = leasts[k % depth]!
    return values
  }
  if (bytes.number(UNSIGNED_8) !== 0) readAsTheyStand(bytes, head, mask, values)
  else {
    // Pictures and other small numbers that are kept as they were may be packed by how often each comes.
    const how = type <= UNSIGNED_8 && error === 0.5 ? bytes.number(UNSIGNED_8) : 0
    if (how > 2 || (how === 2 && version < 4)) throw new Error(`LERC packed in way ${how}`)
    if (how === 0) readSquares(bytes, head, mask, mosts, values)
    else readByFrequency(bytes, head, mask, how === 1, values)
  }
  return values
}

function readAsTheyStand(bytes: Bytes, { cells, depth, type }: Head, mask: Uint8Array | null, values: Float64Array): void {
  for (let cell = 0; cell < cells; cell++) {
    if (mask !== null && mask[cell] === 0) continue
    for (let k = 0; k < depth; k++) values[cell * depth + k] = bytes.number(type)
  }
}

/** The small squares one after the other, west to east and north to south, of each the values of the first sample, then of the second, and so on. */
function readSquares(bytes: Bytes, head: Head, mask: Uint8Array | null, mosts: Float64Array, values: Float64Array): void {
  const { columns, cells, depth, square } = head
  const rows = cells / columns
  for (let top = 0; top < rows; top += square) {
    for (let left = 0; left < columns; left += square) {
      const there: number[] = []
      for (let row = top; row < Math.min(top + square, rows); row++)
        for (let cell = row * columns + left; cell < row * columns + Math.min(left + square, columns); cell++)
          if (mask === null || mask[cell] === 1) there.push(cell)
      for (let k = 0; k < depth; k++)
        readSquare(bytes, head, left, there, mosts[k]!, (n, value) => {
          values[there[n]! * depth + k] = value
        })
    }
  }
}

/** One small square: nothing but 0, one value, the values as they stand, or steps of twice the error above the least of them. */
function readSquare(
  bytes: Bytes,
  { version, type, error }: Head,
  left: number,
  there: readonly number[],
  most: number,
  put: (n: number, value: number) => void,
): void {
  const first = bytes.number(UNSIGNED_8)
  const [how, spare] = [first & 3, version >= 5 ? 14 : 15]
  if (((first >> 2) & spare) !== ((left >> 3) & spare)) throw new Error('a square of LERC in another place')
  if (version >= 5 && (first & 4) !== 0) throw unread('LERC 2.5 with differences between bands')
  if (how === 2) for (let n = 0; n < there.length; n++) put(n, 0)
  else if (how === 0) for (let n = 0; n < there.length; n++) put(n, bytes.number(type))
  else {
    const least = bytes.number(shorterType(type, first >> 6))
    const steps = how === 3 ? null : bytes.packedNumbers(there.length)
    for (let n = 0; n < there.length; n++) put(n, steps === null ? least : Math.min(least + steps[n]! * 2 * error, most))
  }
}

/** The type in which the least value of a square is written: a shorter one where it fits. */
function shorterType(type: number, shorter: number): number {
  const types: Readonly<Record<number, readonly number[]>> = {
    [SIGNED_16]: [SIGNED_16, UNSIGNED_8, SIGNED_8],
    [UNSIGNED_16]: [UNSIGNED_16, UNSIGNED_8],
    [SIGNED_32]: [SIGNED_32, UNSIGNED_16, SIGNED_16, UNSIGNED_8],
    [UNSIGNED_32]: [UNSIGNED_32, UNSIGNED_16, UNSIGNED_8],
    [FLOAT_32]: [FLOAT_32, SIGNED_16, UNSIGNED_8],
    [FLOAT_64]: [FLOAT_64, FLOAT_32, SIGNED_32, SIGNED_16],
  }
  const found = (types[type] ?? [type])[shorter]
  if (found === undefined) throw new Error(`a value of LERC of type ${type} made shorter by ${shorter}`)
  return found
}

/** Codes by how often each value comes (Huffman): of differences to the cell before, or of the values themselves. */
function readByFrequency(bytes: Bytes, head: Head, mask: Uint8Array | null, differences: boolean, values: Float64Array): void {
  const { columns, cells, depth, type } = head
  const tree = treeOf(bytes)
  const bits = bytes.bits()
  const middle = type === SIGNED_8 ? 128 : 0
  const there = (cell: number): boolean => mask === null || mask[cell] === 1
  if (!differences) {
    for (let cell = 0; cell < cells; cell++)
      if (there(cell)) for (let k = 0; k < depth; k++) values[cell * depth + k] = walk(tree, bits) - middle
    return
  }
  for (let k = 0; k < depth; k++) {
    let before = 0
    for (let cell = 0; cell < cells; cell++) {
      if (!there(cell)) continue
      const column = cell % columns
      const from =
        (column > 0 && there(cell - 1)) || cell < columns || !there(cell - columns) ? before : values[(cell - columns) * depth + k]!
      // Sums run over in eight bits.
      before = type === SIGNED_8 ? ((walk(tree, bits) - middle + from) << 24) >> 24 : (walk(tree, bits) + from) & 255
      values[cell * depth + k] = before
    }
  }
}

/** A binary tree in pairs: what follows on 0 and on 1; below 0 a value (−1 − value), 0 nothing. */
function treeOf(bytes: Bytes): number[] {
  const [version, size, from, to] = [bytes.number(SIGNED_32), bytes.number(SIGNED_32), bytes.number(SIGNED_32), bytes.number(SIGNED_32)]
  if (version < 2 || !(size >= 1 && size <= 256) || !(from >= 0 && from < to && to - from <= size && to <= 2 * size))
    throw new Error('a table of LERC that is none')
  const lengths = bytes.packedNumbers(to - from)
  const bits = bytes.bits()
  const tree = [0, 0]
  lengths.forEach((length, k) => {
    if (length > MOST_CODE) throw new Error(`a code of LERC of ${length} bits`)
    let node = 0
    for (let n = 1; n <= length; n++) {
      const side = node + bits()
      if (n === length) tree[side] = -1 - ((from + k) % size)
      else {
        if (tree[side]! <= 0) {
          tree[side] = tree.length
          tree.push(0, 0)
        }
        node = tree[side]!
      }
    }
  })
  bytes.toWord()
  return tree
}

function walk(tree: readonly number[], bits: () => number): number {
  let node = 0
  for (;;) {
    node = tree[node + bits()]!
    if (node < 0) return -1 - node
    if (node === 0) throw new Error('a code of LERC that there is not')
  }
}

function put(
  cells: Float32Array | Float64Array,
  samples: number,
  first: number,
  values: Float64Array,
  { depth }: Head,
  mask: Uint8Array | null,
): void {
  for (let cell = 0; cell * depth < values.length; cell++)
    for (let k = 0; k < depth; k++)
      cells[cell * samples + first + k] = mask === null || mask[cell] === 1 ? values[cell * depth + k]! : Number.NaN
}

/** Fletcher's sum over words of two bytes, high byte first. Source: Fletcher, IEEE Transactions on Communications 30 (1982), as LERC has it. */
function fletcher32(bytes: Uint8Array): number {
  let [low, high] = [0xffff, 0xffff]
  for (let at = 0; at < bytes.length; ) {
    // So many words fit before a sum must be folded.
    for (const end = Math.min(bytes.length, at + 718); at < end; at += 2) {
      low += (bytes[at]! << 8) + (bytes[at + 1] ?? 0)
      high += low
    }
    low = (low & 0xffff) + (low >>> 16)
    high = (high & 0xffff) + (high >>> 16)
  }
  low = (low & 0xffff) + (low >>> 16)
  high = (high & 0xffff) + (high >>> 16)
  return ((high << 16) | low) >>> 0
}

/** A walk over bytes that throws at their end; numbers are little-endian. */
class Bytes {
  readonly #bytes: Uint8Array
  readonly #view: DataView
  readonly #end: number
  #at: number
  /** Bits taken of the word of four bytes that the walk stands at. */
  #bit = 0

  constructor(bytes: Uint8Array, at: number, end: number) {
    this.#bytes = bytes
    this.#view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
    this.#at = at
    this.#end = end
  }

  #step(length: number): number {
    const at = this.#at
    if (at + length > this.#end) throw new Error('LERC that stops too early')
    this.#at += length
    return at
  }

  take(length: number): Uint8Array {
    const at = this.#step(length)
    return this.#bytes.subarray(at, at + length)
  }

  part(length: number): Bytes {
    const at = this.#step(length)
    return new Bytes(this.#bytes, at, at + length)
  }

  number(type: number): number {
    const at = this.#step(TYPE_BYTES[type]!)
    switch (type) {
      case SIGNED_8:
        return this.#view.getInt8(at)
      case UNSIGNED_8:
        return this.#view.getUint8(at)
      case SIGNED_16:
        return this.#view.getInt16(at, true)
      case UNSIGNED_16:
        return this.#view.getUint16(at, true)
      case SIGNED_32:
        return this.#view.getInt32(at, true)
      case UNSIGNED_32:
        return this.#view.getUint32(at, true)
      case FLOAT_32:
        return this.#view.getFloat32(at, true)
      default:
        return this.#view.getFloat64(at, true)
    }
  }

  numbers(type: number, count: number): Float64Array {
    return Float64Array.from({ length: count }, () => this.number(type))
  }

  /**
   * Whole numbers of as few bits as the largest needs, or places in a short list of those that come, 0 being the first. How many there are stands
   * before them and must be as expected.
   */
  packedNumbers(expected: number): Uint32Array {
    const first = this.number(UNSIGNED_8)
    const counted = [UNSIGNED_32, UNSIGNED_16, UNSIGNED_8][first >> 6]
    if (counted === undefined || this.number(counted) !== expected) throw new Error('LERC of another number of cells')
    const bits = first & 31
    if ((first & 32) === 0) return this.#stuffed(expected, bits)
    const listed = this.number(UNSIGNED_8) - 1
    if (listed < 1) throw new Error('a list of LERC without entries')
    const list = [0, ...this.#stuffed(listed, bits)]
    const places = this.#stuffed(expected, 32 - Math.clz32(listed))
    return places.map(place => {
      const value = list[place]
      if (value === undefined) throw new Error('a place of LERC beyond its list')
      return value
    })
  }

  /** Numbers of so many bits, the lowest first, over words of four bytes of which the last is cut to the bytes it needs. */
  #stuffed(count: number, bits: number): Uint32Array {
    const packed = this.take(Math.ceil((count * bits) / 8))
    const numbers = new Uint32Array(count)
    let [held, holds, at] = [0, 0, 0]
    for (let k = 0; k < count; k++) {
      let [value, filled] = [0, 0]
      while (filled < bits) {
        if (holds === 0) {
          held = packed[at++]!
          holds = 8
        }
        const taken = Math.min(bits - filled, holds)
        value |= (held & ((1 << taken) - 1)) << filled
        held >>>= taken
        holds -= taken
        filled += taken
      }
      numbers[k] = value
    }
    return numbers
  }

  /** The bits from here on, the highest of each little-endian word of four bytes first. */
  bits(): () => number {
    return () => {
      if (this.#at >= this.#end) throw new Error('LERC that stops too early')
      const byte = this.#at + 3 - (this.#bit >> 3)
      const bit = byte < this.#end ? (this.#bytes[byte]! >> (7 - (this.#bit & 7))) & 1 : 0
      if (++this.#bit === 32) {
        this.#bit = 0
        this.#at += 4
      }
      return bit
    }
  }

  /** On to the next whole word, where one is begun. */
  toWord(): void {
    if (this.#bit > 0) this.#at += 4
    this.#bit = 0
  }
}
