import { InputError } from 'soakline/foundation'
import type { TiffDirectory, TiffFile } from './tiff-directory.js'
import { type CellWindow, type ImageLayout, type ImageShape, imageLayout, imageShape } from './tiff-pixels.js'

/** A mask that lies in the file beside the image, and how its cells are packed. */
export interface TiffMask {
  readonly directory: TiffDirectory
  /** Of its bytes: eight cells in each where a cell is one bit. */
  readonly stored: ImageShape
  /** Cells in a byte. */
  readonly packed: 1 | 8
}

const BYTES = { kind: 'unsigned', bits: 8 } as const

/**
 * The mask of an image by its directory; null where it is none that is read here: of another size, several bands, other bits, or a compression for pictures.
 *
 * Source  TIFF 6.0 (1992): PhotometricInterpretation 4, one bit a cell, rows from a whole byte, the first cell in the highest bit (FillOrder 1).
 */
export function maskBeside(directory: TiffDirectory, image: ImageShape): TiffMask | null {
  const one = (tag: number, otherwise: number): number => directory.numbers(tag)[0] ?? otherwise
  const bits = one(258, 1)
  const asRead =
    one(262, 4) === 4 &&
    one(277, 1) === 1 &&
    one(266, 1) === 1 &&
    one(317, 1) === 1 &&
    (bits === 1 || bits === 8) &&
    one(256, 0) === image.width &&
    one(257, 0) === image.height
  if (!asRead) return null
  try {
    const shape = imageShape(directory, BYTES)
    if (bits === 8) return { directory, stored: shape, packed: 1 }
    if (shape.tiled && shape.blockWidth % 8 !== 0) return null
    const blockWidth = Math.ceil(shape.blockWidth / 8)
    const width = shape.tiled ? Math.ceil(shape.width / shape.blockWidth) * blockWidth : blockWidth
    return { directory, stored: { ...shape, width, blockWidth }, packed: 8 }
  } catch (error) {
    if (error instanceof InputError && error.code === 'grid/compression') return null
    throw error
  }
}

/**
 * Most cells of an image that are taken where it has a mask: the mask's bytes are held beside the heights, each as a number as large as a height, so that they
 * count as cells of their own.
 */
export const mostWithMask = (maxCells: number, mask: TiffMask | null): number =>
  mask === null ? maxCells : Math.floor((maxCells * mask.packed) / (mask.packed + 1))

/** Where the bytes of a mask lie that some cells of the image need. Throws as `imageLayout`. */
export function maskLayout(file: TiffFile, { directory, stored, packed }: TiffMask, cells?: CellWindow): ImageLayout {
  if (!cells) return imageLayout(file, directory, stored, 0)
  const column = Math.floor(cells.column / packed)
  return imageLayout(file, directory, stored, 0, { ...cells, column, width: Math.ceil((cells.column + cells.width) / packed) - column })
}

/**
 * Takes out the cells that a mask hides, those of value 0; gives how many of them had a height.
 *
 * @param data the cells of the window, row by row
 * @param bytes of the mask, in the window `held` of its bytes
 */
export function applyMask(
  data: Float32Array | Float64Array,
  cells: CellWindow,
  { packed }: TiffMask,
  bytes: ArrayLike<number>,
  held: CellWindow,
): number {
  const first = cells.column - held.column * packed
  let hidden = 0
  for (let row = 0, cell = 0; row < cells.height; row++)
    for (let column = 0; column < cells.width; column++, cell++) {
      const at = first + column
      const byte = bytes[row * held.width + Math.floor(at / packed)]!
      const seen = packed === 1 ? byte !== 0 : ((byte >> (7 - (at & 7))) & 1) === 1
      if (seen || Number.isNaN(data[cell]!)) continue
      data[cell] = Number.NaN
      hidden++
    }
  return hidden
}
