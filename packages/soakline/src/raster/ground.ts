import { InputError } from '../foundation/index.js'
import type { ElevationGrid, GridGeometry, Point } from './grid.js'
import { fromLattice, surfaceValue } from './surface.js'

/** The ground as it is, or as it is after work: a base raster, and finer patches where more is known or has been dug. */
export interface Ground {
  readonly base: ElevationGrid
  /** A later patch hides an earlier one; between cell centres each is bilinear. NaN shows what lies beneath. */
  readonly patches: readonly ElevationGrid[]
}

/** A rectangle of the working CRS, metres. */
export interface Bounds {
  readonly west_m: number
  readonly south_m: number
  readonly east_m: number
  readonly north_m: number
}

/** A raster as a ground without finer patches. */
export const plainGround = (base: ElevationGrid): Ground => ({ base, patches: [] })

/**
 * Height of the ground at a place, by the uppermost patch that knows it.
 *
 * No data  NaN where neither a patch nor the base has data.
 */
export function groundHeight_m(ground: Ground, place: Point): number {
  for (let k = ground.patches.length - 1; k >= 0; k--) {
    const height_m = surfaceValue(ground.patches[k]!, place)
    if (!Number.isNaN(height_m)) return height_m
  }
  return surfaceValue(ground.base, place)
}

/**
 * The ground of a rectangle as one raster: its heights at the cells' centres.
 *
 * Shapes   cells of `cell_m` on the lattice of the base's north-west corner, enough to cover the rectangle: with the patches' own cell their heights
 *          come through unchanged.
 * No data  NaN as `groundHeight_m`.
 * Throws   `ground/bad-window` for a rectangle without size or a cell that is not above 0; `ground/window-too-large` over 16 million cells.
 * Cost     cells × patches. A berm narrower than two cells may fall between centres: ask with the patches' own cell where it counts.
 */
export function groundWindow(ground: Ground, bounds: Bounds, cell_m: number): ElevationGrid {
  const { west_m, south_m, east_m, north_m } = bounds
  if (!(cell_m > 0 && cell_m < Infinity && east_m > west_m && north_m > south_m && Number.isFinite(east_m - west_m + north_m - south_m)))
    throw new InputError('ground/bad-window', 'A window needs a width, a height and a cell above 0, in metres.', { ...bounds, cell_m })
  const { west_m: west, north_m: north, crs } = ground.base.geometry
  const left = Math.floor((west_m - west) / cell_m + HAIR)
  const top = Math.floor((north - north_m) / cell_m + HAIR)
  const width = Math.ceil((east_m - west) / cell_m - HAIR) - left
  const height = Math.ceil((north - south_m) / cell_m - HAIR) - top
  if (width * height > MOST_CELLS)
    throw new InputError(
      'ground/window-too-large',
      `A window of ${width} × ${height} cells is too large; ask for a smaller rectangle or a coarser cell.`,
      { width, height },
    )
  const geometry: GridGeometry = { width, height, cell_m, west_m: west + left * cell_m, north_m: north - top * cell_m, crs }
  const near = { ...ground, patches: ground.patches.filter(patch => overlaps(patch.geometry, bounds)) }
  const data = new Float32Array(width * height)
  for (let row = 0, cell = 0; row < height; row++)
    for (let column = 0; column < width; column++, cell++) data[cell] = groundHeight_m(near, fromLattice(geometry, column, row))
  return { quantity: 'elevation_m', geometry, data }
}

/** Cells of a window at most: 4000 × 4000, 64 MB. Source: judgement. */
const MOST_CELLS = 16_000_000
/** Part of a cell by which an edge may miss the lattice through rounding. */
const HAIR = 1e-9

const overlaps = (g: GridGeometry, b: Bounds): boolean =>
  g.west_m < b.east_m && g.west_m + g.width * g.cell_m > b.west_m && g.north_m > b.south_m && g.north_m - g.height * g.cell_m < b.north_m
