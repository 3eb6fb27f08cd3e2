import type { CellBox, ElevationGrid, GridGeometry } from '../raster/index.js'

/** Most cells of a window unless told otherwise: about a minute and a half for 200 runs. Source: judgement. */
export const MOST_WINDOW_CELLS = 1_000_000

/** A part of a raster for the tried terrains. */
export interface DoubtWindow {
  readonly box: CellBox
  /** True when it had to be made smaller than what it should hold. */
  readonly clipped: boolean
}

/**
 * The window round everything that may matter: the boxes given (line, catchment, overflow), each with a margin, within the raster.
 *
 * The margin is a tenth of the larger side of what is inside plus ten cells, so that water of a changed ground has somewhere to go.
 * Laws    holds every box unless `clipped`; never larger than `mostCells`, shrunk about the middle of the first box (the line).
 */
export function windowRound(
  { width, height }: GridGeometry,
  boxes: readonly CellBox[],
  { marginCells, mostCells = MOST_WINDOW_CELLS }: { readonly marginCells?: number; readonly mostCells?: number } = {},
): DoubtWindow {
  const known = boxes.filter(b => b.lastColumn >= b.firstColumn && b.lastRow >= b.firstRow)
  const inner: CellBox = {
    firstColumn: Math.min(...known.map(b => b.firstColumn)),
    lastColumn: Math.max(...known.map(b => b.lastColumn)),
    firstRow: Math.min(...known.map(b => b.firstRow)),
    lastRow: Math.max(...known.map(b => b.lastRow)),
  }
  const side = Math.max(inner.lastColumn - inner.firstColumn, inner.lastRow - inner.firstRow) + 1
  const margin = marginCells ?? Math.ceil(side / 10) + 10
  const whole = inside(width, height, {
    firstColumn: inner.firstColumn - margin,
    lastColumn: inner.lastColumn + margin,
    firstRow: inner.firstRow - margin,
    lastRow: inner.lastRow + margin,
  })
  if (cellsOf(whole) <= mostCells) return { box: whole, clipped: false }
  const line = known[0]!
  const column = Math.round((line.firstColumn + line.lastColumn) / 2)
  const row = Math.round((line.firstRow + line.lastRow) / 2)
  // Shrink both sides towards the line by the same factor until it fits.
  for (let keep = 0.98; ; keep *= 0.98) {
    const box = {
      firstColumn: column - Math.floor((column - whole.firstColumn) * keep),
      lastColumn: column + Math.floor((whole.lastColumn - column) * keep),
      firstRow: row - Math.floor((row - whole.firstRow) * keep),
      lastRow: row + Math.floor((whole.lastRow - row) * keep),
    }
    if (cellsOf(box) <= mostCells || keep < 1e-3) return { box: inside(width, height, box), clipped: true }
  }
}

const cellsOf = (b: CellBox): number => (b.lastColumn - b.firstColumn + 1) * (b.lastRow - b.firstRow + 1)

const inside = (width: number, height: number, b: CellBox): CellBox => ({
  firstColumn: Math.max(0, b.firstColumn),
  lastColumn: Math.min(width - 1, b.lastColumn),
  firstRow: Math.max(0, b.firstRow),
  lastRow: Math.min(height - 1, b.lastRow),
})

/** The heights of a window as a raster of their own. */
export function windowOf({ geometry: g, data, quantity }: ElevationGrid, box: CellBox): ElevationGrid {
  const width = box.lastColumn - box.firstColumn + 1
  const height = box.lastRow - box.firstRow + 1
  const part = new Float32Array(width * height)
  for (let row = 0; row < height; row++) {
    const from = (box.firstRow + row) * g.width + box.firstColumn
    part.set(data.subarray(from, from + width), row * width)
  }
  const geometry: GridGeometry = {
    ...g,
    width,
    height,
    west_m: g.west_m + box.firstColumn * g.cell_m,
    north_m: g.north_m - box.firstRow * g.cell_m,
  }
  return { quantity, geometry, data: part }
}
