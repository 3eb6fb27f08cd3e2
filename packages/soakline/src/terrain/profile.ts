import { type ElevationGrid, type Point, stations, surfaceValue } from '../raster/index.js'

/** The ground at one place of a path. */
export interface ProfilePoint {
  readonly chainage_m: number
  readonly at: Point
  /** NaN where the ground is not known. */
  readonly ground_m: number
  /** Rise of the ground across the path, per metre: positive where it rises to the left. NaN where the ground of a side is not known. */
  readonly crossSlope_ratio: number
}

/**
 * Heights along a path at equal spacing, with the slope across it taken from `reach_m` on one side to `reach_m` on the other.
 *
 * Units  m; `reach_m` default 3 (judgement: wider than a ditch), at least a cell.
 */
export function profileAlong(ground: ElevationGrid, path: readonly Point[], spacing_m: number, reach_m = 3): ProfilePoint[] {
  const reach = Math.max(ground.geometry.cell_m, reach_m)
  return stations(path, spacing_m).map(({ chainage_m, at, heading }) => {
    const left: Point = [at[0] - heading[1] * reach, at[1] + heading[0] * reach]
    const right: Point = [at[0] + heading[1] * reach, at[1] - heading[0] * reach]
    return {
      chainage_m,
      at,
      ground_m: surfaceValue(ground, at),
      crossSlope_ratio: (surfaceValue(ground, left) - surfaceValue(ground, right)) / (2 * reach),
    }
  })
}
