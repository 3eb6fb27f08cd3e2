/** Directions are 0–7, clockwise from north in eighths of a turn; the codes above 7 say why a cell has none. */
export const LEAVES = 8
/** A kept hollow’s pit: its water goes no further. */
export const SINK = 9
/** No data: no direction. */
export const VOID = 255

/** No basin, no cell. */
export const NONE = -1

/** Not yet given a direction. */
export const OPEN = 254

/** Whether the neighbour in a direction lies on the raster. */
export function inside(column: number, row: number, k: number, width: number, height: number): boolean {
  if (row === 0 && (k === 7 || k === 0 || k === 1)) return false
  if (row === height - 1 && (k === 3 || k === 4 || k === 5)) return false
  if (column === 0 && (k === 5 || k === 6 || k === 7)) return false
  return !(column === width - 1 && (k === 1 || k === 2 || k === 3))
}
