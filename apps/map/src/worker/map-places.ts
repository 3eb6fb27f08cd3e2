import type { GridGeometry, Point } from 'soakline/raster'
import type { Display } from './protocol.js'

/** Knots lie at most this far apart, on rasters up to 25 km: between them the Earth's curvature moves a place by a millimetre or two. */
const SPACING_M = 200
const MOST_KNOTS = 129

/**
 * Map degrees of places in the working CRS, exact on a lattice of knots over the raster and linear between them. For the picture alone: a
 * projection costs some microseconds a place, and an answer under the finger draws thousands.
 *
 * Laws    within 2 mm of the projection on rasters up to 25 km, to 60° of latitude; beyond the raster the rim's patches go on.
 */
export function mapPlaces(g: GridGeometry, exact: (at: Point) => Display): (at: Point) => [longitude: number, latitude: number] {
  const width_m = g.width * g.cell_m
  const height_m = g.height * g.cell_m
  const columns = knots(width_m)
  const rows = knots(height_m)
  const longitude = new Float64Array(columns * rows)
  const latitude = new Float64Array(columns * rows)
  for (let row = 0, k = 0; row < rows; row++)
    for (let column = 0; column < columns; column++, k++) {
      const [x, y] = exact([g.west_m + (width_m * column) / (columns - 1), g.north_m - (height_m * row) / (rows - 1)])
      longitude[k] = x
      latitude[k] = y
    }
  return ([x, y]) => {
    const u = ((x - g.west_m) / width_m) * (columns - 1)
    const v = ((g.north_m - y) / height_m) * (rows - 1)
    const column = Math.min(Math.max(Math.floor(u), 0), columns - 2)
    const row = Math.min(Math.max(Math.floor(v), 0), rows - 2)
    const at = row * columns + column
    return [between(longitude, at, columns, u - column, v - row), between(latitude, at, columns, u - column, v - row)]
  }
}

const knots = (length_m: number): number => Math.min(MOST_KNOTS, Math.max(2, Math.ceil(length_m / SPACING_M) + 1))

const between = (values: Float64Array, at: number, columns: number, a: number, b: number): number => {
  const top = values[at]! + a * (values[at + 1]! - values[at]!)
  const bottom = values[at + columns]! + a * (values[at + columns + 1]! - values[at + columns]!)
  return top + b * (bottom - top)
}
