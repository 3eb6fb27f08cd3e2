import { distance_m, distanceToSegment, type Point } from '../raster/index.js'

/** How closely the distance is found. */
const CLOSE_m = 0.001

/**
 * How far two lines lie apart at most: the farthest that a place on either has to go to the other (their Hausdorff distance).
 *
 * Laws    the same for both orders; never less than the true distance less 1 mm, nor more than it.
 * Cost    some steps for each piece of one line times the pieces of the other.
 */
export const linesApart_m = (one: readonly Point[], other: readonly Point[]): number => Math.max(farthest(one, other), farthest(other, one))

interface Place {
  readonly at: Point
  readonly away: number
  /** The piece of the other line that is nearest. */
  readonly piece: number
}

function farthest(from: readonly Point[], to: readonly Point[]): number {
  const piecesOf = Math.max(1, to.length - 1)
  const toPiece = (p: Point, piece: number): number => distanceToSegment(p, to[piece]!, to[Math.min(to.length - 1, piece + 1)]!).distance_m
  const place = (at: Point): Place => {
    let away = Number.POSITIVE_INFINITY
    let nearest = 0
    for (let piece = 0; piece < piecesOf; piece++) {
      const d = toPiece(at, piece)
      if (d < away) {
        away = d
        nearest = piece
      }
    }
    return { at, away, piece: nearest }
  }
  let most = 0
  let before: Place | null = null
  for (const at of from) {
    const here = place(at)
    most = Math.max(most, here.away)
    const open: [Place, Place][] = before ? [[before, here]] : []
    for (let pair = open.pop(); pair; pair = open.pop()) {
      const [a, b] = pair
      // Along a straight way the distance to one piece is convex; and no distance grows faster than the way.
      const bound = Math.min(
        (a.away + b.away + distance_m(a.at, b.at)) / 2,
        Math.max(a.away, toPiece(b.at, a.piece)),
        Math.max(b.away, toPiece(a.at, b.piece)),
      )
      if (bound <= most + CLOSE_m) continue
      const middle = place([(a.at[0] + b.at[0]) / 2, (a.at[1] + b.at[1]) / 2])
      most = Math.max(most, middle.away)
      open.push([a, middle], [middle, b])
    }
    before = here
  }
  return most
}
