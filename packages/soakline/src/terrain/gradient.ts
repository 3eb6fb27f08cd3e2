import { finish, inBands, type Steps } from '../foundation/index.js'
import type { Kernels } from '../kernels/index.js'
import type { ElevationGrid, Grid } from '../raster/index.js'

/** Horn's weighted differences over a 3 × 3 window: rise per metre to the east and to the north, written into `out`. NaN on the border and beside voids. */
function hornRise(ground: ElevationGrid, cell: number, out: [number, number]): void {
  const { width, cell_m } = ground.geometry
  const z = ground.data
  const a = z[cell - width - 1]!
  const b = z[cell - width]!
  const c = z[cell - width + 1]!
  const d = z[cell - 1]!
  const f = z[cell + 1]!
  const g = z[cell + width - 1]!
  const h = z[cell + width]!
  const i = z[cell + width + 1]!
  out[0] = (c + 2 * f + i - (a + 2 * d + g)) / (8 * cell_m)
  out[1] = (a + 2 * b + c - (g + 2 * h + i)) / (8 * cell_m)
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
  if (kernels)
    return { quantity: 'gradient_ratio', geometry: ground.geometry, data: yield* kernels.steepness(ground.data, ground.geometry) }
  const data = new Float32Array(width * height).fill(Number.NaN)
  const rise: [number, number] = [0, 0]
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let row = Math.max(1, firstRow); row < Math.min(endRow, height - 1); row++)
      for (let column = 1, cell = row * width + 1; column < width - 1; column++, cell++) {
        hornRise(ground, cell, rise)
        const z = ground.data[cell]!
        data[cell] = !Number.isNaN(z) ? Math.sqrt(rise[0] * rise[0] + rise[1] * rise[1]) : Number.NaN
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
