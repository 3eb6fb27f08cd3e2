import { InputError } from 'soakline/foundation'

/** One entry of a TIFF directory: where its values lie. */
interface Entry {
  readonly type: number
  readonly count: number
  readonly offset: number
}

/** What is read of a file's bytes to find its way in it; a `DataView` is one. */
export interface TiffView
  extends Pick<
    DataView,
    | 'byteLength'
    | 'getUint8'
    | 'getInt8'
    | 'getUint16'
    | 'getInt16'
    | 'getUint32'
    | 'getInt32'
    | 'getFloat32'
    | 'getFloat64'
    | 'getBigUint64'
    | 'getBigInt64'
  > {
  /** Told before a stretch is read in small pieces, so that a file that is not in memory is fetched in one. */
  hold?(offset: number, length: number): void
}

/** A TIFF directory whose values can be read without leaving the file. */
export interface TiffDirectory {
  has(tag: number): boolean
  /** How many values a tag promises; 0 when absent. */
  count(tag: number): number
  /** Some of a tag's numbers, from the one of an index on; fewer where there are none left. Throws InputError `grid/malformed`, `grid/truncated`. */
  part(tag: number, first: number, count: number): number[]
  /** Numbers of an integer or floating-point tag, `[]` when absent. Throws InputError `grid/malformed` beyond `limit` values. */
  numbers(tag: number, limit?: number): number[]
  text(tag: number): string | null
}

/** The directories of a file, in their order, and its byte order. */
export interface TiffFile {
  readonly byteLength: number
  readonly littleEndian: boolean
  readonly directories: readonly TiffDirectory[]
}

/** More, or longer, than any elevation raster has: such a file is damaged or hostile. Judgement. */
const MAX_DIRECTORIES = 64
const MAX_ENTRIES = 1024
const MAX_TEXT = 1 << 20
/** Bytes per value of each TIFF field type; TIFF 6.0 (1992), section 2, and the BigTIFF types 16–18. */
const SIZE: Readonly<Record<number, number>> = {
  1: 1,
  2: 1,
  3: 2,
  4: 4,
  5: 8,
  6: 1,
  7: 1,
  8: 2,
  9: 4,
  10: 8,
  11: 4,
  12: 8,
  13: 4,
  16: 8,
  17: 8,
  18: 8,
}

/** True for the first bytes of a classic or a BigTIFF file, in either byte order. */
export function looksLikeTiff(bytes: Uint8Array): boolean {
  const [a, b, c, d] = [bytes[0], bytes[1], bytes[2], bytes[3]]
  return (a === 0x49 && b === 0x49 && (c === 42 || c === 43) && d === 0) || (a === 0x4d && b === 0x4d && c === 0 && (d === 42 || d === 43))
}

/**
 * Walks the directories of a TIFF file without trusting any number in it.
 *
 * Laws    Ends: every directory is visited once, at most 64 of them. Reads nothing outside the file, allocates nothing by a count from the file.
 * Throws  InputError `grid/unknown-format`, `grid/truncated`, `grid/directory-loop`, `grid/malformed`.
 * Source  TIFF 6.0 (1992), section 2; BigTIFF after the LibTIFF design note.
 */
export function openTiff(view: TiffView): TiffFile {
  const head = Uint8Array.from({ length: Math.min(4, view.byteLength) }, (_, k) => view.getUint8(k))
  if (!looksLikeTiff(head)) {
    throw new InputError('grid/unknown-format', 'This is not a TIFF file: its first bytes are others. Give an elevation raster as GeoTIFF.')
  }
  const little = head[0] === 0x49
  const big = view.getUint16(2, little) === 43
  const need = (offset: number, length: number): void => {
    if (!(offset >= 0) || offset + length > view.byteLength) throw truncated(view.byteLength, offset + length)
    view.hold?.(offset, length)
  }
  const pointer = (offset: number): number => {
    need(offset, big ? 8 : 4)
    return big ? Number(view.getBigUint64(offset, little)) : view.getUint32(offset, little)
  }
  need(0, big ? 16 : 8)
  if (big && view.getUint16(4, little) !== 8) throw malformed('BigTIFF with offsets of another size than 8 bytes')

  const visited = new Set<number>()
  const directories: TiffDirectory[] = []
  let next = pointer(big ? 8 : 4)
  while (next !== 0) {
    if (visited.has(next)) {
      throw new InputError(
        'grid/directory-loop',
        'The directories of this TIFF run in a circle, so it never ends. The file is damaged or hostile; make it again.',
        { offset: next },
      )
    }
    if (directories.length >= MAX_DIRECTORIES) throw malformed(`more than ${MAX_DIRECTORIES} images in one file`)
    visited.add(next)
    need(next, big ? 8 : 2)
    const count = big ? Number(view.getBigUint64(next, little)) : view.getUint16(next, little)
    if (count === 0 || count > MAX_ENTRIES) throw malformed(`a directory of ${count} entries`)
    const first = next + (big ? 8 : 2)
    const step = big ? 20 : 12
    need(first, count * step + (big ? 8 : 4))
    const entries = new Map<number, Entry>()
    for (let k = 0; k < count; k++) {
      const at = first + k * step
      const tag = view.getUint16(at, little)
      const type = view.getUint16(at + 2, little)
      const values = big ? Number(view.getBigUint64(at + 4, little)) : view.getUint32(at + 4, little)
      const length = (SIZE[type] ?? 0) * values
      const inline = length <= (big ? 8 : 4)
      const where = at + (big ? 12 : 8)
      if (!entries.has(tag)) entries.set(tag, { type, count: values, offset: inline ? where : pointer(where) })
    }
    directories.push(directory(view, little, entries))
    next = pointer(first + count * step)
  }
  if (directories.length === 0) throw malformed('no image')
  return { byteLength: view.byteLength, littleEndian: little, directories }
}

function directory(view: TiffView, little: boolean, entries: ReadonlyMap<number, Entry>): TiffDirectory {
  const sizeOf = (tag: number, entry: Entry): number => {
    const size = SIZE[entry.type]
    if (size === undefined) throw malformed(`tag ${tag} of unknown type ${entry.type}`)
    if (entry.offset + entry.count * size > view.byteLength) throw truncated(view.byteLength, entry.offset + entry.count * size)
    return size
  }
  const inside = (tag: number, entry: Entry, limit: number): number => {
    if (SIZE[entry.type] !== undefined && entry.count > limit) throw malformed(`tag ${tag} with ${entry.count} values`)
    const size = sizeOf(tag, entry)
    view.hold?.(entry.offset, entry.count * size)
    return size
  }
  return {
    has: tag => entries.has(tag),
    count: tag => entries.get(tag)?.count ?? 0,
    part(tag, first, count) {
      const entry = entries.get(tag)
      if (!entry) return []
      const size = sizeOf(tag, entry)
      const length = Math.max(0, Math.min(count, entry.count - first))
      view.hold?.(entry.offset + first * size, length * size)
      return Array.from({ length }, (_, k) => readNumber(view, entry.offset + (first + k) * size, entry.type, little))
    },
    numbers(tag, limit = 4096) {
      const entry = entries.get(tag)
      if (!entry) return []
      const size = inside(tag, entry, limit)
      return Array.from({ length: entry.count }, (_, k) => readNumber(view, entry.offset + k * size, entry.type, little))
    },
    text(tag) {
      const entry = entries.get(tag)
      if (!entry) return null
      inside(tag, entry, MAX_TEXT)
      let text = ''
      for (let k = 0; k < entry.count; k++) text += String.fromCharCode(view.getUint8(entry.offset + k))
      return text.replace(/\0[\s\S]*$/, '')
    },
  }
}

function readNumber(view: TiffView, at: number, type: number, little: boolean): number {
  switch (type) {
    case 1:
    case 2:
    case 7:
      return view.getUint8(at)
    case 3:
      return view.getUint16(at, little)
    case 4:
    case 13:
      return view.getUint32(at, little)
    case 5:
      return view.getUint32(at, little) / view.getUint32(at + 4, little)
    case 6:
      return view.getInt8(at)
    case 8:
      return view.getInt16(at, little)
    case 9:
      return view.getInt32(at, little)
    case 10:
      return view.getInt32(at, little) / view.getInt32(at + 4, little)
    case 11:
      return view.getFloat32(at, little)
    case 12:
      return view.getFloat64(at, little)
    case 17:
      return Number(view.getBigInt64(at, little))
    default:
      return Number(view.getBigUint64(at, little))
  }
}

/** The file ends before what it promises. */
export function truncated(have: number, needed: number): InputError {
  const share = needed > 0 && Number.isFinite(needed) ? Math.floor((100 * have) / needed) : 0
  return new InputError(
    'grid/truncated',
    `This file stops too early: it promises at least ${needed} bytes and has ${have} (${share} %). The download or copy probably broke off; fetch it again.`,
    { bytes: have, needed },
  )
}

/** The file contradicts itself or asks for more than any elevation raster needs. */
export function malformed(what: string): InputError {
  return new InputError(
    'grid/malformed',
    `This TIFF cannot be read: ${what}. The file is damaged or hostile; write it again as a plain GeoTIFF.`,
    { what },
  )
}
