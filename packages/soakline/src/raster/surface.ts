import type { Grid, GridGeometry, Point } from './grid.js'

/** A place counted in cells: `u` columns east and `v` rows south of the centre of cell (0,0). */
export interface LatticePoint {
  readonly u: number
  readonly v: number
}

/** The lattice point of a place: columns and rows from the centre of the north-west cell. */
export const toLattice = (g: GridGeometry, [x, y]: Point): LatticePoint => ({
  u: (x - g.west_m) / g.cell_m - 0.5,
  v: (g.north_m - y) / g.cell_m - 0.5,
})

/** The place of a lattice point. */
export const fromLattice = (g: GridGeometry, u: number, v: number): [number, number] => [
  g.west_m + (u + 0.5) * g.cell_m,
  g.north_m - (v + 0.5) * g.cell_m,
]

/** The four corners of the bilinear patch between cell centres (column, row) and (column + 1, row + 1). */
export interface Patch {
  readonly column: number
  readonly row: number
  readonly nw: number
  readonly ne: number
  readonly sw: number
  readonly se: number
}

/** The patch that holds a lattice point; null outside the outermost cell centres, or where a corner has no data. */
export function patchAt(grid: Grid, u: number, v: number): Patch | null {
  const { width, height } = grid.geometry
  if (!(u >= 0 && v >= 0 && u <= width - 1 && v <= height - 1)) return null
  return patchOf(grid, Math.min(Math.floor(u), width - 2), Math.min(Math.floor(v), height - 2))
}

/** The patch with this north-west corner, or null as for `patchAt`. */
export function patchOf(grid: Grid, column: number, row: number): Patch | null {
  const { width, height } = grid.geometry
  if (column < 0 || row < 0 || column > width - 2 || row > height - 2) return null
  const at = row * width + column
  const nw = grid.data[at]!
  const ne = grid.data[at + 1]!
  const sw = grid.data[at + width]!
  const se = grid.data[at + width + 1]!
  const sum = nw + ne + sw + se
  return !Number.isNaN(sum) ? { column, row, nw, ne, sw, se } : null
}

/** Height on a patch at a lattice point. */
export function heightOn(p: Patch, u: number, v: number): number {
  const a = u - p.column
  const b = v - p.row
  return p.nw + a * (p.ne - p.nw) + b * (p.sw - p.nw) + a * b * (p.nw - p.ne - p.sw + p.se)
}

/** Rise per cell to the east (`du`) and to the south (`dv`) on a patch at a lattice point. */
export function riseOn(p: Patch, u: number, v: number): { du: number; dv: number } {
  const twist = p.nw - p.ne - p.sw + p.se
  return { du: p.ne - p.nw + (v - p.row) * twist, dv: p.sw - p.nw + (u - p.column) * twist }
}

/**
 * Value at a place of the surface that is bilinear between cell centres.
 *
 * No data  NaN outside the outermost cell centres and where one of the four cells around has no data.
 */
export function surfaceValue(grid: Grid, place: Point): number {
  // `heightOn` of `patchAt`, without making a patch of it: this is asked thousands of times while a line is dragged.
  const { width, height, cell_m, west_m, north_m } = grid.geometry
  const u = (place[0] - west_m) / cell_m - 0.5
  const v = (north_m - place[1]) / cell_m - 0.5
  if (!(u >= 0 && v >= 0 && u <= width - 1 && v <= height - 1) || width < 2 || height < 2) return Number.NaN
  const column = Math.min(Math.floor(u), width - 2)
  const row = Math.min(Math.floor(v), height - 2)
  const at = row * width + column
  const nw = grid.data[at]!
  const ne = grid.data[at + 1]!
  const sw = grid.data[at + width]!
  const se = grid.data[at + width + 1]!
  const a = u - column
  const b = v - row
  return nw + a * (ne - nw) + b * (sw - nw) + a * b * (nw - ne - sw + se)
}
