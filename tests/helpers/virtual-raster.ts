/** A GeoTIFF of any size of which no byte exists before it is read. */
export interface VirtualRaster {
  readonly size: number
  /** The bytes of a stretch, made on the spot. */
  read(offset: number, length: number): Uint8Array<ArrayBuffer>
  /** Bytes of one tile. */
  readonly tileBytes: number
  /** Where the first tile lies. */
  readonly dataStart: number
}

export interface VirtualOptions {
  readonly width: number
  readonly height: number
  /** Side of a tile in cells. */
  readonly tile: number
  /** BigTIFF: offsets of 64 bits. Default true. */
  readonly big?: boolean
  /** Where the tiles begin; default behind the lists. */
  readonly dataStart?: number
  /** Height of a cell. Default gentle ground. Unit: m. */
  readonly height_m?: (column: number, row: number) => number
  /** Longitude and latitude of the outer corner and the side of a cell in degrees; default metres in UTM zone 17 north, cells of 1 m. */
  readonly degrees?: readonly [west: number, north: number, cell: number]
}

export const gentle = (column: number, row: number): number =>
  100 + 0.1 * (column % 997) + 0.05 * (row % 1009) + 0.013 * ((column * 7) % 11)

/** Float32 tiles, not packed, one after another; their lists stand before them. */
export function virtualRaster(options: VirtualOptions): VirtualRaster {
  const { width, height, tile, big = true, height_m = gentle, degrees } = options
  const [across, down] = [Math.ceil(width / tile), Math.ceil(height / tile)]
  const tiles = across * down
  const tileBytes = tile * tile * 4
  const [west, north, cell] = degrees ?? [500_000, 4_000_000, 1]
  const keys = degrees
    ? [1, 1, 0, 3, 1024, 0, 1, 2, 1025, 0, 1, 1, 2048, 0, 1, 4326]
    : [1, 1, 0, 3, 1024, 0, 1, 1, 1025, 0, 1, 1, 3072, 0, 1, 32617]
  const pointer = big ? 8 : 4
  // [tag, type, values]; 3 short, 4 long, 12 double, 16 long8
  type Tag = readonly [number, number, readonly number[]]
  const tags = (start: number): Tag[] => [
    [256, 4, [width]],
    [257, 4, [height]],
    [258, 3, [32]],
    [259, 3, [1]],
    [262, 3, [1]],
    [277, 3, [1]],
    [322, 4, [tile]],
    [323, 4, [tile]],
    [324, big ? 16 : 4, Array.from({ length: tiles }, (_, k) => start + k * tileBytes)],
    [325, 4, Array.from({ length: tiles }, () => tileBytes)],
    [339, 3, [3]],
    [33550, 12, [cell, cell, 0]],
    [33922, 12, [0, 0, 0, west, north, 0]],
    [34735, 3, keys],
    // The band's own unit, so that nothing is asked.
    [42112, 2, [...new TextEncoder().encode('<GDALMetadata><Item name="U" sample="0" role="unittype">m</Item></GDALMetadata>'), 0]],
  ]
  const bytesOf: Readonly<Record<number, number>> = { 2: 1, 3: 2, 4: 4, 12: 8, 16: 8 }
  const directoryAt = big ? 16 : 8
  const step = big ? 20 : 12
  const listed = tags(0)
  let next = directoryAt + (big ? 8 : 2) + step * listed.length + pointer
  const places = listed.map(([, type, values]) => {
    const length = bytesOf[type]! * values.length
    if (length <= pointer) return 0
    const at = next
    next += length + (length % 2)
    return at
  })
  const dataStart = options.dataStart ?? next
  const head = new Uint8Array(next)
  const view = new DataView(head.buffer)
  const put = (at: number, value: number): void => (big ? view.setBigUint64(at, BigInt(value), true) : view.setUint32(at, value, true))
  head.set([0x49, 0x49, big ? 43 : 42, 0])
  if (big) view.setUint16(4, 8, true)
  put(big ? 8 : 4, directoryAt)
  if (big) view.setBigUint64(directoryAt, BigInt(listed.length), true)
  else view.setUint16(directoryAt, listed.length, true)
  tags(dataStart).forEach(([tag, type, values], k) => {
    const at = directoryAt + (big ? 8 : 2) + k * step
    view.setUint16(at, tag, true)
    view.setUint16(at + 2, type, true)
    put(at + 4, values.length)
    let where = places[k]!
    if (where === 0) where = at + 4 + pointer
    else put(at + 4 + pointer, where)
    for (const value of values) {
      if (type === 2) view.setUint8(where, value)
      else if (type === 3) view.setUint16(where, value, true)
      else if (type === 4) view.setUint32(where, value, true)
      else if (type === 12) view.setFloat64(where, value, true)
      else view.setBigUint64(where, BigInt(value), true)
      where += bytesOf[type]!
    }
  })
  return {
    size: dataStart + tiles * tileBytes,
    tileBytes,
    dataStart,
    read(offset, length) {
      const end = Math.min(offset + length, dataStart + tiles * tileBytes)
      const out = new Uint8Array(Math.max(0, end - offset))
      if (offset < head.length) out.set(head.subarray(offset, Math.min(head.length, end)))
      if (end <= dataStart) return out
      // Whole cells first, then the part of them that is asked for.
      const from = Math.max(0, Math.floor((offset - dataStart) / 4))
      const to = Math.ceil((end - dataStart) / 4)
      const cells = new Float32Array(to - from)
      for (let k = from; k < to; k++) {
        const [number, inside] = [Math.floor(k / (tile * tile)), k % (tile * tile)]
        const column = (number % across) * tile + (inside % tile)
        const row = Math.floor(number / across) * tile + Math.floor(inside / tile)
        cells[k - from] = height_m(column, row)
      }
      const made = new Uint8Array(cells.buffer)
      const skip = offset - dataStart - from * 4
      if (skip >= 0) out.set(made.subarray(skip, skip + out.length))
      else out.set(made.subarray(0, out.length + skip), -skip)
      return out
    },
  }
}
