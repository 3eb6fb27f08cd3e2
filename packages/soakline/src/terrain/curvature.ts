import { finish, inBands, type Steps } from '../foundation/index.js'
import type { ElevationGrid, Grid } from '../raster/index.js'

/**
 * Slopes and bends of the surface fitted to a 3 × 3 window: z ≈ ½·rxx·x² + rxy·xy + ½·ryy·y² + px·x + py·y + z₀, x to the east, y to the north.
 *
 * Units   `px`, `py` rise per metre; `rxx`, `rxy`, `ryy` per metre.
 * Source  Zevenbergen & Thorne (1987), Earth Surface Processes and Landforms 12, 47–56: their D, E, F, G, H are rxx/2, ryy/2, rxy, px, py.
 */
export interface SurfaceFit {
  readonly px: number
  readonly py: number
  readonly rxx: number
  readonly rxy: number
  readonly ryy: number
}

/** The fit at a cell; NaN in voids, beside them and on the outermost ring. Laws: exact on planes and on surfaces of the second degree. */
export function surfaceFit(ground: ElevationGrid, cell: number): SurfaceFit {
  const { width, height, cell_m: l } = ground.geometry
  const column = cell % width
  if (column === 0 || column === width - 1 || cell < width || cell >= (height - 1) * width) return NO_FIT
  const z = ground.data
  const north = cell - width
  const south = cell + width
  const twice = 2 * z[cell]!
  return {
    px: (z[cell + 1]! - z[cell - 1]!) / (2 * l),
    py: (z[north]! - z[south]!) / (2 * l),
    rxx: (z[cell - 1]! + z[cell + 1]! - twice) / (l * l),
    ryy: (z[north]! + z[south]! - twice) / (l * l),
    rxy: (z[north + 1]! + z[south - 1]! - (z[north - 1]! + z[south + 1]!)) / (4 * l * l),
  }
}

const NO_FIT: SurfaceFit = { px: Number.NaN, py: Number.NaN, rxx: Number.NaN, rxy: Number.NaN, ryy: Number.NaN }

/** A way to put a number on how the ground bends. */
export interface CurvatureMeasure<Q extends string = string> {
  /** Name and unit, for the grid that it gives. */
  readonly quantity: Q
  of(fit: SurfaceFit): number
}

/** Bend along the slope times the square of the gradient, and across it; summed so that a quarter turn changes no bit. */
const along = ({ px, py, rxx, rxy, ryy }: SurfaceFit): number => px * px * rxx + py * py * ryy + 2 * px * py * rxy
const across = ({ px, py, rxx, rxy, ryy }: SurfaceFit): number => py * py * rxx + px * px * ryy - 2 * px * py * rxy
const steepness = ({ px, py }: SurfaceFit): number => px * px + py * py

/**
 * Curvature of the ground along its fall line: positive where the slope eases off downhill (hollow), negative where it grows steeper (humped).
 *
 * Units   1/m, of the surface itself: a ball of radius R has −1/R everywhere.
 * Source  normal curvature of a surface in the direction of its gradient (differential geometry), as in Mitášová & Hofierka (1993), Math. Geology 25(6), 657–669.
 */
export const profileCurvature: CurvatureMeasure<'profile-curvature_per_m'> = {
  quantity: 'profile-curvature_per_m',
  of: fit => along(fit) / (steepness(fit) * (1 + steepness(fit)) * Math.sqrt(1 + steepness(fit))),
}

/** Curvature of the ground at a right angle to its fall line: positive where water gathers. Units, sign and source as for `profileCurvature`. */
export const tangentialCurvature: CurvatureMeasure<'tangential-curvature_per_m'> = {
  quantity: 'tangential-curvature_per_m',
  of: fit => across(fit) / (steepness(fit) * Math.sqrt(1 + steepness(fit))),
}

/** Curvature of the contour line in plan: positive where it bends round a hollow, so that water gathers; 1/m of the map: a round hill has −1/radius. Source as for `profileCurvature`. */
export const planCurvature: CurvatureMeasure<'plan-curvature_per_m'> = {
  quantity: 'plan-curvature_per_m',
  of: fit => across(fit) / (steepness(fit) * Math.sqrt(steepness(fit))),
}

/** Profile curvature as Zevenbergen & Thorne (1987) print it: without the factor (1 + gradient²)^1.5, else the sign of `profileCurvature`. */
export const profileCurvatureZT: CurvatureMeasure<'profile-curvature-zt_per_m'> = {
  quantity: 'profile-curvature-zt_per_m',
  of: fit => along(fit) / steepness(fit),
}

/** Plan curvature as Zevenbergen & Thorne (1987) print it: of the OPPOSITE sign to `planCurvature`, and weighted by the gradient. */
export const planCurvatureZT: CurvatureMeasure<'plan-curvature-zt_per_m'> = {
  quantity: 'plan-curvature-zt_per_m',
  of: fit => -across(fit) / steepness(fit),
}

/**
 * How the ground bends in each cell, by a measure: `curvature(ground, profileCurvature)`.
 *
 * Units    1/m.
 * No data  NaN on the outermost ring, in voids and beside them, and where the ground is level: it has no fall line there.
 * Laws     0 on planes, but for the rounding of heights; turning or mirroring the raster turns the answer; doubling heights doubles only the two
 *          measures of Zevenbergen & Thorne.
 * Cost     one pass over the raster.
 */
export function curvature<Q extends string>(ground: ElevationGrid, measure: CurvatureMeasure<Q>): Grid<Q> {
  return finish(curvatureSteps(ground, measure))
}

/** `curvature` in steps. */
export function* curvatureSteps<Q extends string>(ground: ElevationGrid, measure: CurvatureMeasure<Q>): Steps<Grid<Q>> {
  const { width, height } = ground.geometry
  const data = new Float32Array(width * height).fill(Number.NaN)
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let row = Math.max(1, firstRow); row < Math.min(endRow, height - 1); row++)
      for (let column = 1, cell = row * width + 1; column < width - 1; column++, cell++)
        data[cell] = measure.of(surfaceFit(ground, cell)) + 0
  })
  return { quantity: measure.quantity, geometry: ground.geometry, data }
}
