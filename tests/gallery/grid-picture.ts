import { deflateSync } from 'node:zlib'
import type { GridGeometry } from 'soakline/raster'
import { crc32 } from '../../packages/io/src/crc32.js'

/** Cells of a raster as a picture: light is high, no data is left out. */
export interface GridPicture {
  readonly svg: string
  /** Cells that hold a number, and the least and greatest of them. */
  readonly known: number
  readonly least: number
  readonly greatest: number
}

/** Values that differ by no more than this part are one: the rounding of float32 is not shown as a pattern. */
const ROUNDING = 1e-5

/** A raster in shades of grey, an SVG with the cells as a picture inside. `stretch` turns a value into what is shown, e.g. its logarithm. */
export function gridPicture(
  { width, height }: GridGeometry,
  values: ArrayLike<number>,
  size_px: number,
  stretch: (value: number) => number = value => value,
): GridPicture {
  let [known, least, greatest] = [0, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (let cell = 0; cell < values.length; cell++) {
    const value = values[cell]!
    if (Number.isNaN(value)) continue
    known++
    least = Math.min(least, value)
    greatest = Math.max(greatest, value)
  }
  const [from, to] = [stretch(least), stretch(greatest)]
  // A byte of filter before each row, then grey and opacity of each cell.
  const rows = Buffer.alloc(height * (1 + 2 * width))
  for (let row = 0; row < height; row++)
    for (let column = 0; column < width; column++) {
      const value = values[row * width + column]!
      if (Number.isNaN(value)) continue
      const at = row * (1 + 2 * width) + 1 + 2 * column
      rows[at] =
        to - from > ROUNDING * Math.max(Math.abs(from), Math.abs(to)) ? Math.round((255 * (stretch(value) - from)) / (to - from)) : 128
      rows[at + 1] = 255
    }
  const high = Math.round((size_px * height) / width)
  const picture = png(width, height, rows).toString('base64')
  return {
    svg: `<svg xmlns="http://www.w3.org/2000/svg" width="${size_px}" height="${high}" viewBox="0 0 ${width} ${height}"><image width="${width}" height="${height}" style="image-rendering:pixelated" href="data:image/png;base64,${picture}"/></svg>`,
    known,
    least,
    greatest,
  }
}

/** A PNG of grey and opacity, eight bits each (ISO/IEC 15948:2004, colour type 4). */
function png(width: number, height: number, rows: Buffer): Buffer {
  const chunk = (name: string, body: Buffer): Buffer => {
    const named = Buffer.concat([Buffer.from(name, 'latin1'), body])
    const frame = Buffer.alloc(8 + named.length)
    frame.writeUInt32BE(body.length, 0)
    named.copy(frame, 4)
    frame.writeUInt32BE(crc32(named), 4 + named.length)
    return frame
  }
  const head = Buffer.alloc(13)
  head.writeUInt32BE(width, 0)
  head.writeUInt32BE(height, 4)
  head.set([8, 4, 0, 0, 0], 8)
  return Buffer.concat([
    Buffer.from([137, 80, 78, 71, 13, 10, 26, 10]),
    chunk('IHDR', head),
    chunk('IDAT', deflateSync(rows)),
    chunk('IEND', Buffer.alloc(0)),
  ])
}
