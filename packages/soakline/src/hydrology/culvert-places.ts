import { cellCentre, distance_m, type ElevationGrid, eachNeighbour, elevationErrorOr_m, type Grid } from '../raster/index.js'

/** A place where water may pass under a bank that the raster shows as a dam: a question for the field, never carved unasked. */
export interface CulvertPlace {
  /** Index of the hollow that the bank holds back. */
  readonly hollow: number
  /** Last low cell on the hollow's side, first one beyond. */
  readonly from: number
  readonly to: number
  /** Between the centres of the two. */
  readonly length_m: number
  /** Of the bank over the hollow's floor, at its highest on the way. */
  readonly height_m: number
}

/** Whole numbers near 1 and √2 for steps by side and corner, so that ways can be told equal. */
const SIDE = 5
const CORNER = 7
/** Ways of such steps are up to 8.24 % longer than the straight line; within this they reach every cell that is near enough. */
const DETOUR = 1.0824

/**
 * Places where a narrow bank parts the floor of a hollow from ground as low: one for each hollow that has any, where the bank is narrowest.
 *
 * The way starts at any cell of the floor (joined to the deepest cell, no higher than `tolerance_m` above it) and ends at the first cell from which
 * water runs on at that height. Of equally long ways the one under the lowest bank counts, then the one that starts
 * lowest or comes out lowest, then the first cell. Within the tolerance the ground beyond may lie higher than where the way starts: a culvert drawn
 * there needs floors of its own.
 *
 * Options `longest_m`, default 30: a road on a bank with its ditches. `tolerance_m`, default twice the error of the heights as by `UNKNOWN_ERROR`. `leastDepth_m`,
 *         default 0.3, and `leastArea_m2`, default 10: smaller hollows drown no road. `leastHeight_m`, default 0.5: what a track on a bank has at least.
 *         All judgement.
 * Laws    `length_m` ≤ `longest_m`; `height_m` ≥ the hollow's depth; nothing is changed.
 */
export function culvertPlaces(
  ground: ElevationGrid,
  filled: Grid<'filled_m'>,
  hollows: readonly { readonly deepest: number; readonly depth_m: number; readonly area_m2: number }[],
  {
    longest_m = 30,
    tolerance_m = 2 * elevationErrorOr_m(null, ground.geometry.cell_m),
    leastDepth_m = 0.3,
    leastArea_m2 = 10,
    leastHeight_m = 0.5,
  }: {
    readonly longest_m?: number
    readonly tolerance_m?: number
    readonly leastDepth_m?: number
    readonly leastArea_m2?: number
    readonly leastHeight_m?: number
  } = {},
): CulvertPlace[] {
  const { geometry, data: z } = ground
  const { width, height, cell_m } = geometry
  const farthest = Math.floor((longest_m / cell_m) * DETOUR * SIDE)
  const places: CulvertPlace[] = []
  hollows.forEach(({ deepest, depth_m, area_m2 }, hollow) => {
    if (depth_m < leastDepth_m || area_m2 < leastArea_m2 || !(depth_m > tolerance_m)) return
    const place = narrowest(deepest)
    if (!place) return
    const { from, to, peak_m } = place
    const length_m = distance_m(cellCentre(geometry, from), cellCentre(geometry, to))
    const height_m = peak_m - z[deepest]!
    if (length_m <= longest_m && height_m >= leastHeight_m) places.push({ hollow, from, to, length_m, height_m })
  })
  return places

  function narrowest(deepest: number): { from: number; to: number; peak_m: number } | null {
    const low = z[deepest]! + tolerance_m
    interface Way {
      readonly far: number
      readonly peak_m: number
      readonly from: number
    }
    const ways = new Map<number, Way>()
    const shortest = (a: Way, b: Way): number => a.far - b.far || a.peak_m - b.peak_m || z[a.from]! - z[b.from]! || a.from - b.from
    const lowest = (a: number, b: number): number => ways.get(a)!.peak_m - ways.get(b)!.peak_m || z[a]! - z[b]! || a - b
    // A ring of buckets by length; no step is longer than seven.
    const ring: number[][] = Array.from({ length: 8 }, () => [])
    const floor = new Set([deepest])
    for (const cell of floor) eachNeighbour(width, height, cell, to => z[to]! <= low && floor.add(to))
    for (const cell of floor) {
      ways.set(cell, { far: 0, peak_m: z[cell]!, from: cell })
      ring[0]!.push(cell)
    }
    for (let far = 0, idle = 0; far <= farthest && idle < 8; far++) {
      const bucket = ring[far % 8]!
      ring[far % 8] = []
      idle = bucket.length === 0 ? idle + 1 : 0
      const [best] = bucket.filter(cell => ways.get(cell)!.far === far && filled.data[cell]! <= low).sort(lowest)
      if (best !== undefined) return { ...ways.get(best)!, to: best }
      for (const cell of bucket) {
        const way = ways.get(cell)!
        if (way.far !== far) continue
        eachNeighbour(width, height, cell, (to, k) => {
          if (Number.isNaN(z[to]!)) return
          const next = { far: far + (k & 1 ? CORNER : SIDE), peak_m: Math.max(way.peak_m, z[to]!), from: way.from }
          const known = ways.get(to)
          if (known && shortest(next, known) >= 0) return
          ways.set(to, next)
          if (next.far !== known?.far) ring[next.far % 8]!.push(to)
        })
      }
    }
    return null
  }
}
