import { COLUMN_STEP, ROW_STEP } from './neighbours.js'

/** Calls `visit` for each of a cell's up to eight neighbours on the raster, clockwise from north, with its direction. */
export function eachNeighbour(width: number, height: number, cell: number, visit: (to: number, direction: number) => unknown): void {
  const column = cell % width
  const row = (cell - column) / width
  for (let k = 0; k < 8; k++) {
    const c = column + COLUMN_STEP[k]!
    const r = row + ROW_STEP[k]!
    if (c >= 0 && r >= 0 && c < width && r < height) visit(r * width + c, k)
  }
}
