import { type ElevationGrid, heightOn, type Point, patchAt, toLattice } from '../raster/index.js'

/**
 * How far the ground along a straight piece rises above and sinks below a level that runs straight between the piece's ends.
 *
 * Units    metres; `above_m` and `below_m` are ground less level: the largest and the least.
 * No data  null where a part of the piece has no surface.
 * Laws     exact: on each patch the ground along the piece is of the second degree, so its extremes are found, not sampled.
 */
export function offLevel(
  ground: ElevationGrid,
  a: Point,
  b: Point,
  levelA_m: number,
  levelB_m: number,
): { readonly above_m: number; readonly below_m: number } | null {
  const from = toLattice(ground.geometry, a)
  const to = toLattice(ground.geometry, b)
  const cuts = [0, ...rimsBetween(from.u, to.u), ...rimsBetween(from.v, to.v), 1].sort((s, t) => s - t)
  let above_m = Number.NEGATIVE_INFINITY
  let below_m = Number.POSITIVE_INFINITY
  for (let k = 1; k < cuts.length; k++) {
    const [s, t] = [cuts[k - 1]!, cuts[k]!]
    if (t === s && cuts.length > 2) continue
    const along = (share: number): [number, number] => [from.u + share * (to.u - from.u), from.v + share * (to.v - from.v)]
    const patch = patchAt(ground, ...along((s + t) / 2))
    if (!patch) return null
    const off = (share: number): number => heightOn(patch, ...along(share)) - (levelA_m + share * (levelB_m - levelA_m))
    const [first, middle, last] = [off(s), off((s + t) / 2), off(t)]
    above_m = Math.max(above_m, first, last)
    below_m = Math.min(below_m, first, last)
    // off = first + linear·r + square·r², r from 0 to 1.
    const square = 2 * (first - 2 * middle + last)
    const linear = last - first - square
    const turn = -linear / (2 * square)
    if (turn > 0 && turn < 1) {
      const there = first + turn * (linear + turn * square)
      above_m = Math.max(above_m, there)
      below_m = Math.min(below_m, there)
    }
  }
  return { above_m, below_m }
}

/** Where, as shares of the way from one lattice coordinate to another, whole numbers are passed. */
function rimsBetween(from: number, to: number): number[] {
  const shares: number[] = []
  const [low, high] = from < to ? [from, to] : [to, from]
  for (let rim = Math.floor(low) + 1; rim < high; rim++) shares.push((rim - from) / (to - from))
  return shares
}
