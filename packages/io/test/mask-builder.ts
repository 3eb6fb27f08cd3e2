/** Appends a directory with a mask of one bit or one byte a cell to a classic little-endian TIFF. */
export function maskedTiff(
  image: ArrayBuffer,
  {
    width,
    height,
    bits,
    hides,
    other = {},
  }: {
    readonly width: number
    readonly height: number
    readonly bits: 1 | 8
    readonly hides: (column: number, row: number) => boolean
    /** Tags in place of its own. */
    readonly other?: Readonly<Record<number, number>>
  },
): ArrayBuffer {
  const rowBytes = bits === 1 ? Math.ceil(width / 8) : width
  const mask = new Uint8Array(rowBytes * height)
  for (let row = 0; row < height; row++)
    for (let column = 0; column < width; column++) {
      if (hides(column, row)) continue
      if (bits === 8) mask[row * rowBytes + column] = 255
      else mask[row * rowBytes + (column >> 3)]! |= 128 >> (column & 7)
    }
  const at = image.byteLength + (image.byteLength % 2)
  const directory = at + mask.length + (mask.length % 2)
  const tags = Object.entries({
    254: 4,
    256: width,
    257: height,
    258: bits,
    259: 1,
    262: 4,
    273: at,
    277: 1,
    278: height,
    279: mask.length,
    ...other,
  })
  const out = new Uint8Array(directory + 2 + 12 * tags.length + 4)
  out.set(new Uint8Array(image))
  out.set(mask, at)
  const view = new DataView(out.buffer)
  view.setUint16(directory, tags.length, true)
  tags.forEach(([tag, value], k) => {
    const entry = directory + 2 + 12 * k
    view.setUint16(entry, Number(tag), true)
    view.setUint16(entry + 2, 4, true)
    view.setUint32(entry + 4, 1, true)
    view.setUint32(entry + 8, value, true)
  })
  const first = view.getUint32(4, true)
  view.setUint32(first + 2 + 12 * view.getUint16(first, true), directory, true)
  return out.buffer
}
