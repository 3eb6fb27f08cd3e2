import { finish, inBands, type Steps } from '../foundation/index.js'
import type { Kernels } from '../kernels/index.js'
import type { ElevationGrid, Grid } from '../raster/index.js'

/**
 * Horn's weighted differences over a 3 × 3 window: rise per metre to the east and to the north, written into `out`. NaN on the border and beside
 * voids. In float32, each difference of two heights first: those of neighbours are exact, or nearly.
 */
function hornRise(ground: ElevationGrid, cell: number, out: [number, number]): void {
  const { width, cell_m } = ground.geometry
  const z = ground.data
  const f32 = Math.fround
  const a = z[cell - width - 1]!
  const c = z[cell - width + 1]!
  const g = z[cell + width - 1]!
  const i = z[cell + width + 1]!
  const across = f32(z[cell + 1]! - z[cell - 1]!)
  const along = f32(z[cell - width]! - z[cell + width]!)
  const run = f32(8 * cell_m)
  out[0] = f32(f32(f32(f32(c - a) + f32(i - g)) + f32(across + across)) / run)
  out[1] = f32(f32(f32(f32(a - g) + f32(c - i)) + f32(along + along)) / run)
}

/**
 * Steepness of the ground, rise over run.
 *
 * No data  NaN on the outermost ring, in voids and beside them.
 * Laws     exact on planes.
 * Source   Horn (1981), Proc. IEEE 69(1), 14–47.
 * @param kernels compiled kernels that do the work, with the same bits; what stands below is its definition
 */
export function gradient(ground: ElevationGrid, kernels: Kernels | null = null): Grid<'gradient_ratio'> {
  return finish(gradientSteps(ground, kernels))
}

/** `gradient` in steps. */
export function* gradientSteps(ground: ElevationGrid, kernels: Kernels | null = null): Steps<Grid<'gradient_ratio'>> {
  const { width, height } = ground.geometry
  const data = new Float32Array(width * height)
  if (kernels) {
    const rowOf = (row: number): Float32Array => ground.data.subarray(row * width, (row + 1) * width)
    yield* kernels.steepnessInRows(ground.geometry, rowOf, (found, row) => data.set(found, row * width))
    return { quantity: 'gradient_ratio', geometry: ground.geometry, data }
  }
  data.fill(Number.NaN)
  const rise: [number, number] = [0, 0]
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let row = Math.max(1, firstRow); row < Math.min(endRow, height - 1); row++)
      for (let column = 1, cell = row * width + 1; column < width - 1; column++, cell++) {
        hornRise(ground, cell, rise)
        const z = ground.data[cell]!
        data[cell] = !Number.isNaN(z) ? Math.sqrt(Math.fround(Math.fround(rise[0] * rise[0]) + Math.fround(rise[1] * rise[1]))) : Number.NaN
      }
  })
  return { quantity: 'gradient_ratio', geometry: ground.geometry, data }
}

/**
 * Direction in which the ground falls, degrees clockwise from grid north; for display (uses `atan2`, never for a decision).
 *
 * No data  NaN as for `gradient`, and where the ground is level.
 */
export function aspect(ground: ElevationGrid): Grid<'aspect_deg'> {
  const { width, height } = ground.geometry
  const data = new Float32Array(width * height).fill(Number.NaN)
  const rise: [number, number] = [0, 0]
  for (let row = 1; row < height - 1; row++)
    for (let column = 1, cell = row * width + 1; column < width - 1; column++, cell++) {
      const z = ground.data[cell]!
      if (Number.isNaN(z)) continue
      hornRise(ground, cell, rise)
      if (rise[0] === 0 && rise[1] === 0) continue
      const degrees = (Math.atan2(-rise[0], -rise[1]) * 180) / Math.PI
      data[cell] = degrees < 0 ? degrees + 360 : degrees
    }
  return { quantity: 'aspect_deg', geometry: ground.geometry, data }
}
