import type { ImageLayout } from './tiff-pixels.js'

/** Where a block lies in the raster. */
export interface BlockPlace {
  /** First cell of the raster that the block holds, and the raster's width. */
  readonly first: number
  readonly width: number
  /** The part of the block that lies in the raster. */
  readonly rows: number
  readonly columns: number
}

/** Puts an unpacked block into the raster, its predictor undone on the way. */
export type BlockWriter = (bytes: Uint8Array<ArrayBuffer>, place: BlockPlace) => void

/**
 * The writer for a common layout: one value a cell of 8, 16 or 32 bits in this machine's order; null for all others, which go the general way.
 *
 * Laws    the same cells as the general way, bit for bit.
 * Source  TIFF 6.0 (1992), section 14; Adobe TIFF Technical Note 3 (2005).
 */
export function blockWriter(layout: ImageLayout, littleEndian: boolean, out: Float32Array | Float64Array): BlockWriter | null {
  const { pixel, predictor, blockWidth, planar, samples } = layout
  if (samples > 1 && !planar) return null
  if (predictor === 3) return pixel.bits === 32 ? floatPlanes(blockWidth, new Uint32Array(out.buffer)) : null
  if (pixel.bits === 64 || (!littleEndian && pixel.bits > 8)) return null
  if (predictor === 1) return plain(layout, out)
  // Differences of floating cells run over their bits.
  if (pixel.kind === 'float') return sums(blockWidth, 0, bytes => new Uint32Array(bytes.buffer), new Uint32Array(out.buffer))
  return sums(blockWidth, pixel.kind === 'signed' ? pixel.bits : -pixel.bits, bytes => cellsOf(bytes, layout), out)
}

type Whole = Uint8Array | Int8Array | Uint16Array | Int16Array | Uint32Array | Int32Array

function cellsOf(bytes: Uint8Array<ArrayBuffer>, { pixel: { kind, bits } }: ImageLayout): Whole {
  if (kind === 'signed')
    return bits === 8 ? new Int8Array(bytes.buffer) : bits === 16 ? new Int16Array(bytes.buffer) : new Int32Array(bytes.buffer)
  return bits === 8 ? bytes : bits === 16 ? new Uint16Array(bytes.buffer) : new Uint32Array(bytes.buffer)
}

/** Cells as they stand. */
function plain(layout: ImageLayout, out: Float32Array | Float64Array): BlockWriter {
  const { blockWidth, pixel } = layout
  return (bytes, { first, width, rows, columns }) => {
    const cells = pixel.kind === 'float' ? new Float32Array(bytes.buffer) : cellsOf(bytes, layout)
    for (let row = 0; row < rows; row++) out.set(cells.subarray(row * blockWidth, row * blockWidth + columns), first + row * width)
  }
}

/**
 * The floating-point predictor: each row holds the cells' most significant bytes, then the next ones, and so on, as differences that run through
 * all of them. The four planes are summed side by side, each from the sum of those before it.
 */
function floatPlanes(blockWidth: number, out: Uint32Array): BlockWriter {
  return (bytes, { first, width, rows, columns }) => {
    const words = new Uint32Array(bytes.buffer)
    for (let row = 0; row < rows; row++) {
      const from = row * blockWidth * 4
      let a = 0
      let b = a + sumOf(bytes, words, from, blockWidth)
      let c = b + sumOf(bytes, words, from + blockWidth, blockWidth)
      let d = c + sumOf(bytes, words, from + 2 * blockWidth, blockWidth)
      const to = first + row * width
      for (let column = 0; column < columns; column++) {
        const at = from + column
        a += bytes[at]!
        b += bytes[at + blockWidth]!
        c += bytes[at + 2 * blockWidth]!
        d += bytes[at + 3 * blockWidth]!
        out[to + column] = (a << 24) | ((b & 255) << 16) | ((c & 255) << 8) | (d & 255)
      }
    }
  }
}

/** The last eight bits of the sum of some bytes, which are also at hand as words of four. */
function sumOf(bytes: Uint8Array, words: Uint32Array, from: number, length: number): number {
  let sum = 0
  let at = from
  const end = from + length
  if (from % 4 === 0 && length % 4 === 0) {
    // Four at a time: the first and third, the second and fourth side by side in one number.
    let odd = 0
    let even = 0
    for (; at < end; at += 4) {
      const four = words[at >> 2]!
      odd = (odd + (four & 0xff00ff)) & 0xff00ff
      even = (even + ((four >>> 8) & 0xff00ff)) & 0xff00ff
    }
    sum = odd + (odd >>> 16) + even + (even >>> 16)
  }
  for (; at < end; at++) sum += bytes[at]!
  return sum & 255
}

/** Differences to the cell before, summed in as many bits as cells have: negative for unsigned, 0 where all 32 bits are kept as they are. */
function sums(
  blockWidth: number,
  bits: number,
  cellsIn: (bytes: Uint8Array<ArrayBuffer>) => Whole,
  out: Float32Array | Float64Array | Uint32Array,
): BlockWriter {
  const unused = 32 - Math.abs(bits)
  return (bytes, { first, width, rows, columns }) => {
    const cells = cellsIn(bytes)
    for (let row = 0; row < rows; row++) {
      const [from, to] = [row * blockWidth, first + row * width]
      let sum = 0
      for (let column = 0; column < columns; column++) {
        sum = (sum + cells[from + column]!) | 0
        out[to + column] = bits === 0 ? sum : bits > 0 ? (sum << unused) >> unused : (sum << unused) >>> unused
      }
    }
  }
}
