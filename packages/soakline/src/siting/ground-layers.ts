import { cellAt, cellCentre, type Grid, type GridGeometry } from '../raster/index.js'

/** Rasters besides the ground that say where no swale goes. They may lie on another grid of the same CRS. */
export interface GroundLayers {
  /** Top of what stands on the ground (trees, roofs), m in the ground's datum. */
  readonly surface?: Grid
  /** Classes of land cover, and which of them are forest and wet ground. */
  readonly landCover?: { readonly classes: Grid; readonly forest: readonly number[]; readonly wet: readonly number[] }
  /** Classes of soil, and which of them are clay or colluvium. */
  readonly soil?: { readonly classes: Grid; readonly weak: readonly number[] }
}

/**
 * A layer's values at the centres of another raster's cells: the value of the cell that holds each.
 *
 * No data  NaN where the layer does not reach.
 */
export function valuesAt(g: GridGeometry, layer: Grid): Float32Array {
  const l = layer.geometry
  if (l.width === g.width && l.height === g.height && l.cell_m === g.cell_m && l.west_m === g.west_m && l.north_m === g.north_m)
    return layer.data
  return Float32Array.from({ length: g.width * g.height }, (_, cell) => {
    const [x, y] = cellCentre(g, cell)
    const at = cellAt(l, x, y)
    return at < 0 ? Number.NaN : layer.data[at]!
  })
}
