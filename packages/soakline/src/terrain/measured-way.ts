import { crosses, distance_m, type ElevationGrid, type Point, ringArea_m2, surfaceValue } from '../raster/index.js'

/** The straight way from one place to the next. */
export interface MeasuredLeg {
  /** Horizontal distance. */
  readonly length_m: number
  /** By how much the second place lies above the first; null where one of the heights is not known. */
  readonly rise_m: number | null
  /** From height to height, as a taut tape would lie; null where the rise is not known. */
  readonly tape_m: number | null
}

/** A way along places, measured on the ground. */
export interface MeasuredWay {
  /** Height of each place on the bilinear surface; null beyond the raster and in voids. */
  readonly heights_m: readonly (number | null)[]
  readonly legs: readonly MeasuredLeg[]
  readonly length_m: number
  /** The last place above the first. */
  readonly rise_m: number | null
  readonly tape_m: number | null
  /** Level area within the way closed from its last place to its first; null under three places, and where it crosses itself. */
  readonly area_m2: number | null
}

/**
 * Distances, rises and the area along places that a hand has set. Nothing of the ground between two places is looked at.
 *
 * Units    metres in the plane of the raster's coordinate system.
 * No data  a height that is not known is null, and so is all that rests on it; distances stay.
 * Laws     the way back has the same lengths and area and the rise turned round; a place set on a leg changes no length.
 * Cost     legs squared, for the crossings.
 */
export function measuredWay(ground: ElevationGrid, places: readonly Point[]): MeasuredWay {
  const heights_m = places.map(at => known(surfaceValue(ground, at)))
  const legs = places.slice(1).map((to, k): MeasuredLeg => {
    const length_m = distance_m(places[k]!, to)
    const rise_m = between(heights_m[k]!, heights_m[k + 1]!)
    return { length_m, rise_m, tape_m: rise_m === null ? null : Math.sqrt(length_m * length_m + rise_m * rise_m) }
  })
  return {
    heights_m,
    legs,
    length_m: legs.reduce((sum, leg) => sum + leg.length_m, 0),
    rise_m: heights_m.length < 2 ? null : between(heights_m[0]!, heights_m[heights_m.length - 1]!),
    tape_m: legs.reduce((sum: number | null, { tape_m }) => (sum === null || tape_m === null ? null : sum + tape_m), 0),
    area_m2: places.length < 3 || crossesItself(places) ? null : Math.abs(ringArea_m2(places)),
  }
}

const known = (value: number): number | null => (Number.isNaN(value) ? null : value)
const between = (from: number | null, to: number | null): number | null => (from === null || to === null ? null : to - from)

/** Whether two sides of the closed ring cross that share no corner. */
function crossesItself(ring: readonly Point[]): boolean {
  const n = ring.length
  for (let a = 0; a < n; a++)
    for (let b = a + 2; b < n; b++) {
      if (a === 0 && b === n - 1) continue
      if (crosses(ring[a]!, ring[a + 1]!, ring[b]!, ring[(b + 1) % n]!)) return true
    }
  return false
}
