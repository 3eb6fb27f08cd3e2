import type { Grid } from '../raster/index.js'

/**
 * Topographic wetness index ln(a / tan β): a = dispersive area per cell width, tan β at least 0.001.
 *
 * The width is that of the cell whichever way the water runs. Where it runs at an angle θ to rows and columns, its own width is cos θ of that,
 * so the index lies up to ln √2 = 0.35 below one that divides by the length of contour.
 * No data NaN on the border, where the gradient is not known. For display: uses `log`, never for a decision.
 * Source  Beven & Kirkby (1979), Hydrol. Sci. Bull. 24(1), 43–69.
 */
export function wetnessIndex(area: Grid<'contributing-area_m2', Float64Array>, gradient: Grid<'gradient_ratio'>): Grid<'wetness_ln'> {
  const data = Float32Array.from(area.data, (a, cell) => Math.log(a / area.geometry.cell_m / Math.max(gradient.data[cell]!, 0.001)))
  return { quantity: 'wetness_ln', geometry: area.geometry, data }
}
