import { distance_m } from '../raster/index.js'
import type { SurveyPoint } from './survey-points.js'

/** By so much a distance may come out short of what was paced out: coordinates are written to the millimetre, or went through a projection. Judgement. */
const ROUNDING_m = 0.001

/** Lengths that tell how densely points stand. */
export interface PointSpacing {
  /** Half of the points have a neighbour nearer than this. */
  readonly nearest_m: number
  /** Half of the edges between neighbouring points are shorter than this. */
  readonly edge_m: number
  /** A cell that keeps what was measured: the largest power of two, from 1/8 m to 64 m, not above half of `nearest_m` (to a millimetre). Judgement. */
  readonly suggestedCell_m: number
  /** An edge longer than this bridges ground that nobody measured: four times `edge_m`. Judgement. */
  readonly suggestedLongestEdge_m: number
}

/** How densely points stand, from their triangles (three indices each). */
export function pointSpacing(points: readonly SurveyPoint[], triangles: ArrayLike<number>): PointSpacing {
  const nearest = new Float64Array(points.length).fill(Number.POSITIVE_INFINITY)
  const edges: number[] = []
  for (let k = 0; k < triangles.length; k++) {
    const [i, j] = [triangles[k]!, triangles[k % 3 === 2 ? k - 2 : k + 1]!]
    const length = distance_m(points[i]!.at, points[j]!.at)
    edges.push(length)
    nearest[i] = Math.min(nearest[i]!, length)
    nearest[j] = Math.min(nearest[j]!, length)
  }
  const median = (lengths: Float64Array): number => lengths.sort()[Math.floor(lengths.length / 2)] ?? Number.NaN
  const nearest_m = median(nearest.filter(length => Number.isFinite(length)))
  const edge_m = median(Float64Array.from(edges))
  let cell = 64
  while (cell > 0.125 && cell > (nearest_m + ROUNDING_m) / 2) cell /= 2
  return { nearest_m, edge_m, suggestedCell_m: cell, suggestedLongestEdge_m: 4 * edge_m }
}
