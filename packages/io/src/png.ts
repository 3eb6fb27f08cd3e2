import { InputError } from 'soakline/foundation'
import { crc32 } from './crc32.js'
import { inflate, MAX_INFLATION } from './inflate.js'

/** A picture of 8-bit samples, row-major from the top. */
export interface Picture {
  readonly width: number
  readonly height: number
  /** Red, green, blue; and how solid the pixel is, in that order, where there are four. */
  readonly samples: 3 | 4
  readonly data: Uint8Array
}

const SIGNATURE = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]
const KINDS: Readonly<Record<number, string>> = { 0: 'grey', 2: 'colours', 3: 'a palette', 4: 'grey with gaps', 6: 'colours with gaps' }

/** Whether bytes begin as a PNG does. */
export const looksLikePng = (bytes: Uint8Array): boolean => SIGNATURE.every((byte, k) => bytes[k] === byte)

/**
 * The pixels of a PNG picture of 8-bit colours, not interlaced: what tiles of heights are written as.
 *
 * Laws    Sizes are checked before anything is allocated; no more is unpacked than the pixels need.
 * Throws  InputError `picture/damaged`, `picture/kind`, `grid/too-large`.
 * Source  Portable Network Graphics (2nd ed.), W3C/ISO 15948:2003, sections 5, 9 and 10.
 */
export async function readPng(bytes: Uint8Array, maxCells: number, signal?: AbortSignal): Promise<Picture> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const parts: Uint8Array[] = []
  let header: { width: number; height: number; samples: 3 | 4 } | null = null
  let ended = false
  for (let at = SIGNATURE.length; !ended; ) {
    if (at + 12 > bytes.length) throw damaged('it was cut off')
    const length = view.getUint32(at)
    if (at + 12 + length > bytes.length) throw damaged('it was cut off')
    const kind = String.fromCharCode(...bytes.subarray(at + 4, at + 8))
    const body = bytes.subarray(at + 8, at + 8 + length)
    if (crc32(bytes.subarray(at + 4, at + 8 + length)) !== view.getUint32(at + 8 + length))
      throw damaged(`its part ${printable(kind)} does not agree with its check sum`)
    if (header === null) {
      if (kind !== 'IHDR' || length !== 13) throw damaged('it does not begin with its header')
      header = headerOf(body, maxCells)
    } else if (kind === 'IDAT') parts.push(body)
    else if (kind === 'IEND') ended = true
    at += 12 + length
  }
  const { width, height, samples } = header!
  const stride = 1 + width * samples
  const packed = joined(parts)
  if (packed.length * MAX_INFLATION + 64 < stride * height) throw damaged(`${packed.length} bytes promise ${width} × ${height} pixels`)
  const lines = new Uint8Array(stride * height)
  let filled: number
  try {
    filled = await inflate(packed, lines, 'deflate', signal)
  } catch (error) {
    signal?.throwIfAborted()
    throw damaged(`it does not unpack (${error instanceof Error ? error.message.slice(0, 80) : 'broken'})`)
  }
  if (filled < lines.length) throw damaged(`it ends after ${filled} of ${lines.length} bytes`)
  return { width, height, samples, data: unfiltered(lines, width, height, samples) }
}

function headerOf(body: Uint8Array, maxCells: number): { width: number; height: number; samples: 3 | 4 } {
  const view = new DataView(body.buffer, body.byteOffset, body.byteLength)
  const [width, height] = [view.getUint32(0), view.getUint32(4)]
  const [depth, kind, packing, filter, interlace] = [body[8]!, body[9]!, body[10]!, body[11]!, body[12]!]
  if (width < 1 || height < 1 || width > 2 ** 31 || height > 2 ** 31 || packing !== 0 || filter !== 0 || interlace > 1)
    throw damaged('its header is broken')
  if (width * height > maxCells)
    throw new InputError(
      'grid/too-large',
      `The picture has ${width} × ${height} pixels, more than the ${maxCells} that can be held. Cut out the part that is needed.`,
      {
        width,
        height,
        maxCells,
      },
    )
  if (depth !== 8 || (kind !== 2 && kind !== 6) || interlace === 1)
    throw new InputError(
      'picture/kind',
      `The picture holds ${KINDS[kind] ?? 'an unknown kind of pixels'} of ${depth} bits${interlace === 1 ? ', interlaced' : ''}; heights are read only from 8-bit colours, not interlaced. Ask its publisher for the elevation values.`,
      { kind: KINDS[kind] ?? null, depth },
    )
  return { width, height, samples: kind === 6 ? 4 : 3 }
}

/** Undoes the filter of each row. Source: PNG (2nd ed.), section 9.2. */
function unfiltered(lines: Uint8Array, width: number, height: number, samples: number): Uint8Array {
  const across = width * samples
  const out = new Uint8Array(across * height)
  for (let row = 0; row < height; row++) {
    const filter = lines[row * (across + 1)]!
    const from = row * (across + 1) + 1
    const to = row * across
    if (filter > 4) throw damaged(`row ${row + 1} has the unknown filter ${filter}`)
    for (let k = 0; k < across; k++) {
      const left = k >= samples ? out[to + k - samples]! : 0
      const up = row > 0 ? out[to + k - across]! : 0
      const corner = k >= samples && row > 0 ? out[to + k - across - samples]! : 0
      const guess = filter === 0 ? 0 : filter === 1 ? left : filter === 2 ? up : filter === 3 ? (left + up) >> 1 : nearest(left, up, corner)
      out[to + k] = lines[from + k]! + guess
    }
  }
  return out
}

/** The neighbour that lies nearest to left + up − corner. */
function nearest(left: number, up: number, corner: number): number {
  const sum = left + up - corner
  const [a, b, c] = [Math.abs(sum - left), Math.abs(sum - up), Math.abs(sum - corner)]
  return a <= b && a <= c ? left : b <= c ? up : corner
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const out = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0))
  let at = 0
  for (const part of parts) {
    out.set(part, at)
    at += part.length
  }
  return out
}

const printable = (kind: string): string => kind.replace(/[^A-Za-z]/g, '?')

const damaged = (what: string): InputError =>
  new InputError('picture/damaged', `The picture cannot be read: ${what}. Fetch it again.`, { what })
