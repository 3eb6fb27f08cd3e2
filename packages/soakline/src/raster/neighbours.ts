/** The eight neighbours, clockwise from north: N, NE, E, SE, S, SW, W, NW. */
export const COLUMN_STEP = [0, 1, 1, 1, 0, -1, -1, -1] as const
/** Rows to the neighbour in each direction, clockwise from north; rows count southward. */
export const ROW_STEP = [-1, -1, 0, 1, 1, 1, 0, -1] as const

/** Distance to a neighbour in cells. */
export const STEP_LENGTH = [1, Math.SQRT2, 1, Math.SQRT2, 1, Math.SQRT2, 1, Math.SQRT2] as const

/** The direction that leads back: half a turn further. */
export const opposite = (k: number): number => k ^ 4

/** Index offsets of the eight neighbours in a raster of this width, clockwise from north. */
export const neighbourOffsets = (width: number): Int32Array =>
  Int32Array.from({ length: 8 }, (_, k) => ROW_STEP[k]! * width + COLUMN_STEP[k]!)

/** 1 where a cell lies on the outermost ring of the raster or touches (8 neighbours) a cell without data; cells without data are 0. */
export function rimCells(data: Float32Array | Float64Array, width: number, height: number): Uint8Array {
  const rim = new Uint8Array(width * height)
  const offsets = neighbourOffsets(width)
  // Most rows lie far from any gap.
  const gaps = Uint8Array.from({ length: height }, (_, row) => {
    for (let cell = row * width; cell < (row + 1) * width; cell++) if (Number.isNaN(data[cell]!)) return 1
    return 0
  })
  for (let row = 0, cell = 0; row < height; row++) {
    if (row > 0 && row < height - 1 && gaps[row - 1]! + gaps[row]! + gaps[row + 1]! === 0) {
      rim[cell] = 1
      cell += width
      rim[cell - 1] = 1
      continue
    }
    for (let column = 0; column < width; column++, cell++) {
      const z = data[cell]!
      if (Number.isNaN(z)) continue
      if (row === 0 || column === 0 || row === height - 1 || column === width - 1) {
        rim[cell] = 1
        continue
      }
      for (let k = 0; k < 8; k++) {
        const neighbour = data[cell + offsets[k]!]!
        if (Number.isNaN(neighbour)) {
          rim[cell] = 1
          break
        }
      }
    }
  }
  return rim
}
