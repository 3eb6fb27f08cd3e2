import { InputError } from '../foundation/index.js'
import type { GridGeometry } from '../raster/index.js'
import type { SurveyPoint } from './survey-points.js'

/** Cells of a raster that a survey may ask for: 4000 × 4000. Judgement. */
const MOST_CELLS = 16_000_000

/**
 * A raster over measured points: cells on whole multiples of the cell, so that surveys side by side share their cells.
 *
 * Throws  InputError `survey/cell` when the cell is not a positive length, `survey/too-many-cells` beyond 16 million.
 */
export function surveyGeometry(points: readonly SurveyPoint[], cell_m: number, crs: string): GridGeometry {
  if (!(cell_m > 0 && Number.isFinite(cell_m)))
    throw new InputError('survey/cell', `A cell of ${cell_m} m makes no raster. Choose a positive length.`, { cell_m })
  let [west, east, south, north] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (const {
    at: [x, y],
  } of points) {
    west = Math.min(west, x)
    east = Math.max(east, x)
    south = Math.min(south, y)
    north = Math.max(north, y)
  }
  // A cell's value stands for its centre: outermost centres just beyond the points, as there is no surface beyond centres.
  const [firstColumn, lastColumn] = [Math.floor(west / cell_m - 0.5), Math.ceil(east / cell_m - 0.5)]
  const [firstRow, lastRow] = [Math.floor(south / cell_m - 0.5), Math.ceil(north / cell_m - 0.5)]
  const [width, height] = [lastColumn - firstColumn + 1, lastRow - firstRow + 1]
  if (!(width * height <= MOST_CELLS))
    throw new InputError(
      'survey/too-many-cells',
      `Cells of ${cell_m} m over these points make ${width} × ${height}, more than ${MOST_CELLS}. Choose a larger cell, or look for a point far away from the others.`,
      { width, height, most: MOST_CELLS },
    )
  return { width, height, cell_m, west_m: firstColumn * cell_m, north_m: (lastRow + 1) * cell_m, crs }
}
