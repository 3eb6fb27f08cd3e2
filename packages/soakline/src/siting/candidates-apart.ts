import { distanceToSegment, type Point } from '../raster/index.js'

/** Whether a line lies nearer to another than a spacing; lines of one level only need the gap. */
export function liesNear(
  path: readonly Point[],
  elevation_m: number,
  other: { readonly path: readonly Point[]; readonly elevation_m: number },
  spacing_m: number,
  gap_m: number,
): boolean {
  const away = Math.abs(elevation_m - other.elevation_m) < 1e-6 ? gap_m * 0.8 : spacing_m
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity]
  for (const [x, y] of other.path) {
    west = Math.min(west, x - away)
    east = Math.max(east, x + away)
    south = Math.min(south, y - away)
    north = Math.max(north, y + away)
  }
  return path.some(at => {
    if (at[0] < west || at[0] > east || at[1] < south || at[1] > north) return false
    for (let k = 1; k < other.path.length; k++) if (distanceToSegment(at, other.path[k - 1]!, other.path[k]!).distance_m < away) return true
    return false
  })
}
