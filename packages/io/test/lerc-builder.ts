import type { Cells } from './tiff-builder.js'

/** How a blob of LERC is packed. */
export interface LercOptions {
  readonly width: number
  readonly height: number
  /** The samples of a cell side by side. */
  readonly cells: Cells | Uint32Array
  readonly samples?: number
  /** Which cells have a value. Default: all. */
  readonly mask?: readonly boolean[]
  /** Default: whole numbers 0.5, floating ones 0: kept as they are. */
  readonly error?: number
  /** As they stand; in small squares, each as short as it goes; those by lists of the values that come; by how often values come, or differences (8 bits). */
  readonly how?: 'plain' | 'squares' | 'lists' | 'values' | 'differences'
  readonly version?: 3 | 4 | 5
  readonly square?: number
  /** Changes of the head by name, after it is made. */
  readonly says?: Readonly<Partial<Record<HeadField, number>>>
}

type HeadField = 'version' | 'height' | 'width' | 'depth' | 'valid' | 'square' | 'length' | 'type' | 'error' | 'least' | 'most'

const TYPES = [Int8Array, Uint8Array, Int16Array, Uint16Array, Int32Array, Uint32Array, Float32Array, Float64Array] as const

/** A blob of LERC 2, packed plainly: an encoder of our own that says what it is told to. */
export function buildLerc(options: LercOptions): Uint8Array<ArrayBuffer> {
  const { width, height, cells, samples = 1, version = 4, square = 8, how = 'plain' } = options
  const type = TYPES.findIndex(Type => cells instanceof Type)
  const error = options.error ?? (type < 6 ? 0.5 : 0)
  const there = Array.from({ length: width * height }, (_, k) => options.mask?.[k] ?? true)
  const valid = there.filter(Boolean).length
  const body = new Writer()
  body.bytes(valid === 0 || valid === there.length ? [] : packedMask(there), true)
  const bands = Array.from({ length: samples }, (_, k) =>
    Array.from(cells).filter((_, i) => i % samples === k && there[Math.floor(i / samples)]),
  )
  const [leasts, mosts] = [bands.map(band => Math.min(...band)), bands.map(band => Math.max(...band))]
  const [least, most] = [Math.min(...leasts), Math.max(...mosts)]
  if (valid > 0 && least < most) {
    if (version >= 4) for (const value of [...leasts, ...mosts]) body.number(type, value)
    if (version < 4 || leasts.some((value, k) => value !== mosts[k])) {
      body.number(1, how === 'plain' ? 1 : 0)
      if (how !== 'plain' && type < 2 && error === 0.5) body.number(1, how === 'differences' ? 1 : how === 'values' ? 2 : 0)
      if (how === 'plain')
        for (const [k, z] of cells.entries()) {
          if (there[Math.floor(k / samples)]) body.number(type, z)
        }
      else if (how === 'values' || how === 'differences') byFrequency(body, options, there, type)
      else inSquares(body, { width, height, cells, samples, error, type, square, version, lists: how === 'lists' }, there)
    }
  }
  const head = new Writer()
  const says = { version, height, width, depth: samples, valid, square, type, error, least: valid ? least : 0, most: valid ? most : 0 }
  const { says: lies = {} } = options
  const is = { ...says, length: (version >= 4 ? 66 : 62) + body.length, ...lies }
  head.bytes(new TextEncoder().encode('Lerc2 '))
  for (const value of [is.version, 0, is.height, is.width, ...(version >= 4 ? [is.depth] : []), is.valid, is.square, is.length, is.type])
    head.number(5, value)
  for (const value of [is.error, is.least, is.most]) head.number(7, value)
  head.bytes(body.all())
  return summed(head.all())
}

/** The same bytes with the check sums that their blobs should have, so that changes in them are seen by what reads the blobs. */
export function summed(bytes: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  const view = new DataView(bytes.buffer)
  for (let at = 0; at + 66 <= bytes.length; at++) {
    if (view.getUint32(at) !== 0x4c657263 || view.getUint16(at + 4) !== 0x3220) continue
    const length = view.getUint32(at + (view.getUint32(at + 6, true) >= 4 ? 34 : 30), true)
    if (length < 62 || at + length > bytes.length) continue
    view.setUint32(at + 10, fletcher(bytes.subarray(at + 14, at + length)), true)
  }
  return bytes
}

function fletcher(bytes: Uint8Array): number {
  let [low, high] = [0, 0]
  for (let at = 0; at < bytes.length; at += 2) {
    low = (low + bytes[at]! * 256 + (bytes[at + 1] ?? 0)) % 65535
    high = (high + low) % 65535
  }
  // Sums that begin at 65,535 and are folded never come to 0.
  return (high === 0 ? 65535 : high) * 65536 + (low === 0 ? 65535 : low)
}

/** The mask in runs: what repeats three times or more as a run, the rest as it stands. */
function packedMask(there: readonly boolean[]): Uint8Array {
  const bytes = Array.from({ length: Math.ceil(there.length / 8) }, (_, byte) =>
    Array.from({ length: 8 }, (_, bit) => Number(there[8 * byte + bit] ?? false)).reduce((sum, is) => 2 * sum + is, 0),
  )
  const out = new Writer()
  for (let at = 0; at < bytes.length; ) {
    let same = 1
    while (at + same < bytes.length && bytes[at + same] === bytes[at] && same < 32767) same++
    out.number(2, same >= 3 ? -same : 1)
    out.number(1, bytes[at]!)
    at += same >= 3 ? same : 1
  }
  out.number(2, -32768)
  return out.all()
}

interface Squares {
  readonly width: number
  readonly height: number
  readonly cells: LercOptions['cells']
  readonly samples: number
  readonly error: number
  readonly type: number
  readonly square: number
  readonly version: number
  readonly lists: boolean
}

function inSquares(
  out: Writer,
  { width, height, cells, samples, error, type, square, version, lists }: Squares,
  there: readonly boolean[],
): void {
  for (let top = 0; top < height; top += square)
    for (let left = 0; left < width; left += square)
      for (let band = 0; band < samples; band++) {
        const values: number[] = []
        for (let row = top; row < Math.min(height, top + square); row++)
          for (let column = left; column < Math.min(width, left + square); column++)
            if (there[row * width + column]) values.push(cells[(row * width + column) * samples + band]!)
        const test = ((left >> 3) & (version >= 5 ? 14 : 15)) << 2
        const [least, most] = [Math.min(...values), Math.max(...values)]
        const steps = values.map(z => Math.round((z - least) / (2 * error)))
        if (values.length === 0 || (least === 0 && most === 0)) out.number(1, test | 2)
        else if (least === most) {
          const [code, short] = shorter(type, least)
          out.number(1, test | 3 | (code << 6))
          out.number(short, least)
        } else if (error === 0 || Math.max(...steps) >= 2 ** 28) {
          out.number(1, test)
          for (const z of values) out.number(type, z)
        } else {
          const [code, short] = shorter(type, least)
          out.number(1, test | 1 | (code << 6))
          out.number(short, least)
          out.packed(steps, lists)
        }
      }
}

/** The shortest type in which a least value can be written, and the code for it. */
function shorter(type: number, value: number): readonly [code: number, type: number] {
  const ways = { 2: [2, 1, 0], 3: [3, 1], 4: [4, 3, 2, 1], 5: [5, 3, 1], 6: [6, 2, 1], 7: [7, 6, 4, 2] }[type] ?? [type]
  for (let code = ways.length - 1; code > 0; code--) if (TYPES[ways[code]!]!.of(value)[0] === value) return [code, ways[code]!]
  return [0, type]
}

/** Values or differences of eight bits, by codes of 7 to 9 bits, so that a table of several lengths is needed: 0 to 63 short, 64 to 127 long. */
function byFrequency(out: Writer, { width, cells, samples = 1, how }: LercOptions, there: readonly boolean[], type: number): void {
  const middle = type === 0 ? 128 : 0
  const lengths = Array.from({ length: 256 }, (_, value) => (value < 64 ? 7 : value < 192 ? 9 : 8))
  // Canonical: shorter codes first, in the order of their values.
  const codes = new Array<number>(256)
  let [code, before] = [0, 0]
  for (const length of [7, 8, 9])
    lengths.forEach((one, value) => {
      if (one !== length) return
      code <<= length - (before || length)
      before = length
      codes[value] = code++
    })
  for (const value of [4, 256, 0, 256]) out.number(4, value)
  out.packed(lengths, false)
  const words = new Bits()
  for (const [value, length] of lengths.entries()) words.put(codes[value]!, length)
  out.bytes(words.all())
  const data = new Bits()
  const say = (value: number): void => {
    data.put(codes[value & 255]!, lengths[value & 255]!)
  }
  if (how === 'values') {
    for (const [k, z] of cells.entries()) if (there[Math.floor(k / samples)]) say(z + middle)
  } else
    for (let band = 0; band < samples; band++) {
      let last = 0
      there.forEach((is, k) => {
        if (!is) return
        const z = cells[k * samples + band]!
        const beside = k % width > 0 && there[k - 1]
        const from = beside || k < width || !there[k - width] ? last : cells[(k - width) * samples + band]!
        say(z - from + middle)
        last = z
      })
    }
  // Readers look one word ahead.
  out.bytes([...data.all(), 0, 0, 0, 0])
}

/** Bits, the highest of each little-endian word of four bytes first. */
class Bits {
  readonly #bits: number[] = []
  put(value: number, length: number): void {
    for (let bit = length - 1; bit >= 0; bit--) this.#bits.push((value >> bit) & 1)
  }
  all(): Uint8Array {
    const out = new Uint8Array(4 * Math.ceil(this.#bits.length / 32))
    this.#bits.forEach((bit, k) => {
      const [word, at] = [k >> 5, k & 31]
      out[4 * word + 3 - (at >> 3)]! |= bit << (7 - (at & 7))
    })
    return out
  }
}

class Writer {
  readonly #out: number[] = []
  get length(): number {
    return this.#out.length
  }
  all(): Uint8Array<ArrayBuffer> {
    return Uint8Array.from(this.#out)
  }
  bytes(bytes: ArrayLike<number>, counted = false): void {
    if (counted) this.number(5, bytes.length)
    for (let k = 0; k < bytes.length; k++) this.#out.push(bytes[k]!)
  }
  number(type: number, value: number): void {
    this.bytes(new Uint8Array(TYPES[type]!.of(value).buffer))
  }
  /** Whole numbers of as few bits as the largest needs; or their places in the list of those that come. */
  packed(values: readonly number[], lists: boolean): void {
    const counted = values.length < 256 ? [2, 1] : values.length < 65536 ? [1, 3] : [0, 5]
    const list = [...new Set([0, ...values])].sort((a, b) => a - b)
    const inList = lists && list.length > 1 && list.length < 255
    const bits = 32 - Math.clz32(Math.max(...values))
    this.number(1, (counted[0]! << 6) | (inList ? 32 : 0) | bits)
    this.number(counted[1]!, values.length)
    this.listed(values, inList ? list : null, bits)
  }
  listed(values: readonly number[], list: readonly number[] | null, bits: number): void {
    if (list === null) {
      this.stuffed(values, bits)
      return
    }
    this.number(1, list.length)
    this.stuffed(list.slice(1), bits)
    this.stuffed(
      values.map(value => list.indexOf(value)),
      32 - Math.clz32(list.length - 1),
    )
  }
  stuffed(values: readonly number[], bits: number): void {
    const all = values.flatMap(value => Array.from({ length: bits }, (_, bit) => Math.floor(value / 2 ** bit) % 2))
    for (let at = 0; at < all.length; at += 8) this.#out.push(all.slice(at, at + 8).reduce((sum, bit, k) => sum + bit * 2 ** k, 0))
  }
}
