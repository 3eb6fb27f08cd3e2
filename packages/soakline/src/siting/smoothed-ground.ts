import type { ElevationGrid } from '../raster/index.js'

/** Passes after which the ground has no small forms left. */
const MOST_PASSES = 60

/**
 * The ground without its smallest forms: every pass mixes each cell with its neighbours 1 : 2 : 1, along rows and then along columns.
 *
 * Units    `deviation_m` is the standard deviation of the mixing: a bump narrower than that goes.
 * No data  stays so, and is not mixed in.
 * Laws     within the lowest and the highest height; planes stay as they are, but for their rims.
 * Cost     passes over the raster: twice the square of the deviation in cells, 60 at most.
 */
export function smoothedGround(ground: ElevationGrid, deviation_m: number): ElevationGrid {
  const { width, height, cell_m } = ground.geometry
  const passes = Math.min(MOST_PASSES, Math.round(2 * (deviation_m / cell_m) * (deviation_m / cell_m)))
  let data = Float64Array.from(ground.data)
  let next = new Float64Array(data.length)
  const mix = (step: number, isFirst: (cell: number) => boolean, isLast: (cell: number) => boolean): void => {
    for (let cell = 0; cell < data.length; cell++) {
      const z = data[cell]!
      const before = isFirst(cell) ? Number.NaN : data[cell - step]!
      const after = isLast(cell) ? Number.NaN : data[cell + step]!
      // A rim keeps its height: half a neighbourhood would tilt it.
      const sum = before + after
      next[cell] = !Number.isNaN(sum) ? sum / 4 + z / 2 : z
    }
    ;[data, next] = [next, data]
  }
  for (let pass = 0; pass < passes; pass++) {
    mix(
      1,
      cell => cell % width === 0,
      cell => cell % width === width - 1,
    )
    mix(
      width,
      cell => cell < width,
      cell => cell >= (height - 1) * width,
    )
  }
  return { ...ground, data: Float32Array.from(data) }
}
