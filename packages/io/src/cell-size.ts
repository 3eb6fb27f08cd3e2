import { InputError } from 'soakline/foundation'
import { METRES_PER_DEGREE } from './earth-size.js'

/** Sides of cells that some ground is measured in. Unit: m. Source: judgement; a drone's finest are of a centimetre, the world's coarsest rasters of some 20 km. */
const [LEAST_m, MOST_m] = [0.001, 100_000]
/** A cell that is longer than wide by more than this is a slip of the pen. Source: judgement; a square in degrees is six times longer than wide at 80°. */
const MOST_RATIO = 50

/** A corner further out than this many cells leaves no digits for places within a cell. */
const MOST_CELLS_OUT = 2 ** 40

/**
 * Refuses cells of a size, or at a place, that no ground has, before anything is drawn anew on them.
 *
 * Throws  InputError `grid/cell-size`.
 *
 * @param affine from cells to coordinates, in the unit of the file's system
 * @param unit_m metres of that unit; NaN for degrees
 */
export function refuseCellSize(affine: readonly [number, number, number, number, number, number], unit_m: number): void {
  const [a, b, c, d, e, f] = affine
  const unit = Number.isNaN(unit_m) ? METRES_PER_DEGREE : unit_m
  const [across_m, down_m] = [Math.hypot(a, d) * unit, Math.hypot(b, e) * unit]
  const [least, most] = [Math.min(across_m, down_m), Math.max(across_m, down_m)]
  const far_m = Math.max(Math.abs(c), Math.abs(f)) * unit
  if (least >= LEAST_m && most <= MOST_m && most <= MOST_RATIO * least && far_m <= MOST_CELLS_OUT * least) return
  throw new InputError(
    'grid/cell-size',
    `The cells of this raster are ${Number(across_m.toPrecision(4))} by ${Number(down_m.toPrecision(4))} m, at ${Number(far_m.toPrecision(4))} m from where its coordinates begin, which no measured ground is. Its georeference is broken, or it is in another unit than its system says; export it again.`,
    { across_m, down_m, far_m },
  )
}
