import type { Place, PlanLine } from 'soakline/plan'
import { fromDisplay, toDisplay } from '../display.js'
import type { Display } from '../worker/protocol.js'

/** How many inner vertices of a line can be taken hold of at once; more would hide the line. */
const MOST = 9

/** Indices of the vertices of a free line that can be taken hold of: both ends and up to so many between them, evenly spread. */
export function heldVertices(path: readonly Place[]): readonly number[] {
  const last = path.length - 1
  const steps = Math.min(last, MOST + 1)
  return Array.from({ length: steps + 1 }, (_, k) => Math.round((k * last) / steps))
}

/** The vertices held of a line after the one with a number was moved and those between it and its held neighbours went: the same places by the same numbers. */
export function heldAfter(held: readonly number[], number: number): readonly number[] {
  const [before, after] = [held[number - 1], held[number + 1]]
  const now = before === undefined ? 0 : before + 1
  return held.map((index, k) => (k < number ? index : k === number ? now : index - (after ?? index) + now + 1))
}

/** Lengths on the page: east and north of one another in metres, near enough to tell which vertex a finger means. Never used for an answer. */
function flat(place: Place, near: Place, localCentre: readonly [number, number] | null): readonly [number, number] {
  const shrink = localCentre ? 1 : Math.cos((near[1] * Math.PI) / 180)
  const [a, b] = [fromFlat(place, localCentre), fromFlat(near, localCentre)]
  return [(a[0] - b[0]) * shrink, a[1] - b[1]]
}
const ORIGIN: readonly [number, number] = [0, 0]
const fromFlat = (place: Place, localCentre: readonly [number, number] | null): Place => fromDisplay(toDisplay(place, localCentre), ORIGIN)

/** The vertex nearest to a place. */
export function nearestVertex(path: readonly Place[], place: Place, localCentre: readonly [number, number] | null): number {
  let [best, at] = [Number.POSITIVE_INFINITY, 0]
  path.forEach((vertex, k) => {
    const [x, y] = flat(vertex, place, localCentre)
    if (x * x + y * y < best) [best, at] = [x * x + y * y, k]
  })
  return at
}

/** About how long a path is, in whole metres: a first guess at the length to trace, which the user may change. */
export function roughLength_m(path: readonly Place[], localCentre: readonly [number, number] | null): number {
  let sum = 0
  for (let k = 1; k < path.length; k++) sum += Math.hypot(...flat(path[k]!, path[k - 1]!, localCentre))
  return Math.max(1, Math.round(sum))
}

/** A place moved by so many metres east and north, as a nudge of an arrow key. */
export function nudged(place: Place, east_m: number, north_m: number, localCentre: readonly [number, number] | null): Place {
  if (localCentre) return [place[0] + east_m, place[1] + north_m]
  const degrees: Display = toDisplay([east_m, north_m], ORIGIN)
  return [place[0] + degrees[0] / Math.cos((place[1] * Math.PI) / 180), place[1] + degrees[1]]
}

/** What to trace so that one end of a level line comes near a place while the other end stays: `long` is a longer trace through the same place. */
export function tracedBetween(
  long: readonly Place[],
  line: PlanLine,
  end: 'first' | 'last',
  place: Place,
  localCentre: readonly [number, number] | null,
): { readonly through: Place; readonly length_m: number } | null {
  const fixed = line.path[end === 'first' ? line.path.length - 1 : 0]
  if (fixed === undefined) return null
  const a = nearestVertex(long, fixed, localCentre)
  const b = nearestVertex(long, place, localCentre)
  // The moving end may not pass the fixed one: the line keeps its direction.
  if (end === 'first' ? b >= a : b <= a) return null
  const piece = long.slice(Math.min(a, b), Math.max(a, b) + 1)
  const length_m = roughLength_m(piece, localCentre)
  let along = 0
  for (let k = 1; k < piece.length; k++) {
    along += Math.hypot(...flat(piece[k]!, piece[k - 1]!, localCentre))
    if (along >= length_m / 2) return { through: piece[k]!, length_m }
  }
  return null
}
