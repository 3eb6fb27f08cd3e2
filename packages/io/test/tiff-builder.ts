/** Builds small TIFF files tag by tag, hostile ones included. Values are written as given; nothing is checked. */
export interface Tag {
  readonly tag: number
  readonly type: 'byte' | 'ascii' | 'short' | 'long' | 'double' | 'long8'
  readonly values: readonly number[] | string
  /** A count other than the number of values. */
  readonly count?: number
  /** An offset other than where the values lie. */
  readonly offset?: number
}

export interface BuildOptions {
  readonly big?: boolean
  readonly bigEndian?: boolean
  /** Where the first directory says that the next one lies; `'self'` for a loop. Default 0. */
  readonly next?: number | 'self'
}

const SIZE = { byte: 1, ascii: 1, short: 2, long: 4, double: 8, long8: 8 } as const
const CODE = { byte: 1, ascii: 2, short: 3, long: 4, double: 12, long8: 16 } as const

/** A TIFF with one directory; the data blocks lie behind it, and tags 273 or 324 are filled with their places unless given. */
export function buildTiff(tags: readonly Tag[], blocks: readonly Uint8Array[] = [], options: BuildOptions = {}): ArrayBuffer {
  const { big = false, bigEndian = false } = options
  const little = !bigEndian
  const tiled = tags.some(tag => tag.tag === 322)
  const all = [...tags]
  const placeTag = tiled ? 324 : 273
  const countTag = tiled ? 325 : 279
  const fill = !all.some(tag => tag.tag === placeTag)
  if (fill) all.push({ tag: placeTag, type: 'long', values: blocks.map(() => 0) })
  if (!all.some(tag => tag.tag === countTag)) all.push({ tag: countTag, type: 'long', values: blocks.map(block => block.length) })
  all.sort((a, b) => a.tag - b.tag)
  const start = big ? 16 : 8
  const step = big ? 20 : 12
  const inline = big ? 8 : 4
  const bytesOf = (tag: Tag): number => (typeof tag.values === 'string' ? tag.values.length + 1 : tag.values.length * SIZE[tag.type])
  let next = start + (big ? 8 : 2) + step * all.length + (big ? 8 : 4)
  const places = all.map(tag => {
    const length = bytesOf(tag)
    if (length <= inline) return -1
    const at = next
    next += length + (length % 2)
    return at
  })
  const blockPlaces = blocks.map(block => {
    const at = next
    next += block.length + (block.length % 2)
    return at
  })
  const out = new Uint8Array(next)
  const view = new DataView(out.buffer)
  const pointer = (at: number, value: number): void =>
    big ? view.setBigUint64(at, BigInt(value), little) : view.setUint32(at, value, little)
  out.set(bigEndian ? [0x4d, 0x4d] : [0x49, 0x49])
  view.setUint16(2, big ? 43 : 42, little)
  if (big) view.setUint16(4, 8, little)
  pointer(big ? 8 : 4, start)
  if (big) view.setBigUint64(start, BigInt(all.length), little)
  else view.setUint16(start, all.length, little)
  all.forEach((tag, k) => {
    const at = start + (big ? 8 : 2) + k * step
    view.setUint16(at, tag.tag, little)
    view.setUint16(at + 2, CODE[tag.type], little)
    const values =
      typeof tag.values === 'string'
        ? [...new TextEncoder().encode(tag.values), 0]
        : fill && tag.tag === placeTag
          ? blockPlaces
          : tag.values
    pointer(at + 4, tag.count ?? values.length)
    const valueAt = at + (big ? 12 : 8)
    let where = valueAt
    if (places[k]! >= 0) {
      where = places[k]!
      pointer(valueAt, tag.offset ?? where)
    }
    for (const value of values) {
      if (tag.type === 'short') view.setUint16(where, value, little)
      else if (tag.type === 'long') view.setUint32(where, value, little)
      else if (tag.type === 'double') view.setFloat64(where, value, little)
      else if (tag.type === 'long8') view.setBigUint64(where, BigInt(value), little)
      else view.setUint8(where, value)
      where += SIZE[tag.type]
    }
  })
  pointer(start + (big ? 8 : 2) + step * all.length, options.next === 'self' ? start : (options.next ?? 0))
  blocks.forEach((block, k) => {
    out.set(block, blockPlaces[k]!)
  })
  return out.buffer
}

export type Cells = Float32Array | Float64Array | Int16Array | Uint16Array | Int32Array | Uint8Array | Int8Array

export interface DemOptions extends BuildOptions {
  readonly width: number
  readonly height: number
  readonly cells: Cells
  /** GeoTIFF keys as [key, value], text or double values in their own tags. Default UTM zone 17 north. */
  readonly keys?: readonly (readonly [number, number | string | readonly number[]])[]
  readonly scale?: readonly number[] | null
  readonly tie?: readonly number[] | null
  readonly matrix?: readonly number[]
  readonly nodata?: string
  readonly metadata?: string
  /** Further tags; they replace those of the same number. */
  readonly tags?: readonly Tag[]
  /** Blocks already packed; default the cells as one strip. */
  readonly blocks?: readonly Uint8Array[]
}

export const UTM17: NonNullable<DemOptions['keys']> = [
  [1024, 1],
  [1025, 1],
  [3072, 32617],
  [3076, 9001],
]

/** A small elevation raster. */
export function buildDem(options: DemOptions): ArrayBuffer {
  const { width, height, cells } = options
  const floating = cells instanceof Float32Array || cells instanceof Float64Array
  const signed = cells instanceof Int16Array || cells instanceof Int32Array || cells instanceof Int8Array
  const tags: Tag[] = [
    { tag: 256, type: 'long', values: [width] },
    { tag: 257, type: 'long', values: [height] },
    { tag: 258, type: 'short', values: [cells.BYTES_PER_ELEMENT * 8] },
    { tag: 259, type: 'short', values: [1] },
    { tag: 262, type: 'short', values: [1] },
    { tag: 277, type: 'short', values: [1] },
    { tag: 278, type: 'long', values: [height] },
    { tag: 339, type: 'short', values: [floating ? 3 : signed ? 2 : 1] },
    ...keyTags(options.keys ?? UTM17),
  ]
  const scale = options.scale === undefined ? (options.matrix ? null : [1, 1, 0]) : options.scale
  const tie = options.tie === undefined ? (options.matrix ? null : [0, 0, 0, 500000, 4000000, 0]) : options.tie
  if (scale) tags.push({ tag: 33550, type: 'double', values: scale })
  if (tie) tags.push({ tag: 33922, type: 'double', values: tie })
  if (options.matrix) tags.push({ tag: 34264, type: 'double', values: options.matrix })
  if (options.metadata !== undefined) tags.push({ tag: 42112, type: 'ascii', values: options.metadata })
  if (options.nodata !== undefined) tags.push({ tag: 42113, type: 'ascii', values: options.nodata })
  const replaced = new Set((options.tags ?? []).map(tag => tag.tag))
  return buildTiff(
    [...tags.filter(tag => !replaced.has(tag.tag)), ...(options.tags ?? [])],
    options.blocks ?? [bytesOf(cells, options.bigEndian ?? false)],
    options,
  )
}

/** The cells as bytes in the order of the file. */
export function bytesOf(cells: Cells, bigEndian: boolean): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(cells.buffer.slice(cells.byteOffset, cells.byteOffset + cells.byteLength)) as Uint8Array<ArrayBuffer>
  if (bigEndian)
    for (let at = 0; at < bytes.length; at += cells.BYTES_PER_ELEMENT) bytes.subarray(at, at + cells.BYTES_PER_ELEMENT).reverse()
  return bytes
}

function keyTags(keys: NonNullable<DemOptions['keys']>): Tag[] {
  if (keys.length === 0) return []
  const directory = [1, 1, 0, keys.length]
  const doubles: number[] = []
  let text = ''
  for (const [key, value] of [...keys].sort(([a], [b]) => a - b)) {
    if (typeof value === 'string') {
      directory.push(key, 34737, value.length + 1, text.length)
      text += `${value}|`
    } else if (typeof value === 'number') directory.push(key, 0, 1, value)
    else {
      directory.push(key, 34736, value.length, doubles.length)
      doubles.push(...value)
    }
  }
  return [
    { tag: 34735, type: 'short', values: directory },
    ...(doubles.length > 0 ? [{ tag: 34736, type: 'double', values: doubles } as const] : []),
    ...(text === '' ? [] : [{ tag: 34737, type: 'ascii', values: text } as const]),
  ]
}

/** Gentle ground that is never flat: 100 m and a slope of 10 % with a ripple. */
export function ground(width: number, height: number): Float32Array {
  return Float32Array.from(
    { length: width * height },
    (_, i) => 100.037 + 0.1 * (i % width) + 0.0517 * Math.floor(i / width) + 0.013 * ((i * 7) % 11),
  )
}
