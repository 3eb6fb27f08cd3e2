import { deflateSync } from 'node:zlib'
import { crc32 } from '../src/crc32.js'
import { concatenated } from './zip-builder.js'

export interface PictureOptions {
  readonly width: number
  readonly height: number
  /** Row-major samples. */
  readonly data: Uint8Array
  /** PNG's number of the kind of pixels: 2 colours, 6 colours with gaps. */
  readonly kind?: number
  readonly depth?: number
  readonly interlace?: number
  /** Filter of every row, 0 to 4. */
  readonly filter?: number
  readonly packed?: Uint8Array
  /** What the header says instead of the truth. */
  readonly saysWidth?: number
  readonly saysHeight?: number
}

/** A picture as the standard writes it. The filters are done here sample by sample, from section 9 of the standard. */
export function buildPng({
  width,
  height,
  data,
  kind = 2,
  depth = 8,
  interlace = 0,
  filter = 0,
  packed,
  saysWidth,
  saysHeight,
}: PictureOptions): ArrayBuffer {
  const samples = kind === 6 ? 4 : 3
  const across = width * samples
  const lines = new Uint8Array((across + 1) * height)
  const at = (row: number, k: number): number => (row < 0 || k < 0 ? 0 : data[row * across + k]!)
  for (let row = 0; row < height; row++) {
    lines[row * (across + 1)] = filter
    for (let k = 0; k < across; k++) {
      const [left, up, corner] = [at(row, k - samples), at(row - 1, k), k < samples ? 0 : at(row - 1, k - samples)]
      const p = left + up - corner
      const [pa, pb, pc] = [Math.abs(p - left), Math.abs(p - up), Math.abs(p - corner)]
      const paeth = pa <= pb && pa <= pc ? left : pb <= pc ? up : corner
      const guess = [0, left, up, Math.floor((left + up) / 2), paeth][filter] ?? 0
      lines[row * (across + 1) + 1 + k] = at(row, k) - guess
    }
  }
  const header = new DataView(new ArrayBuffer(13))
  header.setUint32(0, saysWidth ?? width)
  header.setUint32(4, saysHeight ?? height)
  for (const [k, value] of [depth, kind, 0, 0, interlace].entries()) header.setUint8(8 + k, value)
  return concatenated([
    Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk('IHDR', new Uint8Array(header.buffer)),
    chunk('IDAT', packed ?? new Uint8Array(deflateSync(lines))),
    chunk('IEND', new Uint8Array(0)),
  ])
}

function chunk(kind: string, body: Uint8Array): Uint8Array {
  const out = new Uint8Array(body.length + 12)
  const view = new DataView(out.buffer)
  view.setUint32(0, body.length)
  out.set(new TextEncoder().encode(kind), 4)
  out.set(body, 8)
  view.setUint32(8 + body.length, crc32(out.subarray(4, 8 + body.length)))
  return out
}
