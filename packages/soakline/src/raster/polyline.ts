import type { Point } from './grid.js'

/** Horizontal distance between two places. */
export const distance_m = (a: Point, b: Point): number => {
  const dx = b[0] - a[0]
  const dy = b[1] - a[1]
  return Math.sqrt(dx * dx + dy * dy)
}

/** Horizontal length of a path. */
export function pathLength_m(path: readonly Point[]): number {
  let sum = 0
  for (let k = 1; k < path.length; k++) sum += distance_m(path[k - 1]!, path[k]!)
  return sum
}

/** Distance along the path of each of its vertices. */
export function chainages_m(path: readonly Point[]): Float64Array {
  const along = new Float64Array(path.length)
  for (let k = 1; k < path.length; k++) along[k] = along[k - 1]! + distance_m(path[k - 1]!, path[k]!)
  return along
}

/** A place along a path: where it is, and which way the path runs there. */
export interface PathPlace {
  readonly at: Point
  readonly heading: Point
}

/**
 * The straight piece of a path that a chainage lies on, as the index of the vertex in which it ends, and how far along it (0–1). Beyond the path's
 * ends its ends; at a vertex the piece before; pieces without length are passed over.
 */
export function pieceAlong(path: readonly Point[], chainage_m: number): { readonly to: number; readonly t: number } {
  let left = Math.max(0, chainage_m)
  let last = { to: Math.min(1, path.length - 1), t: 0 }
  for (let to = 1; to < path.length; to++) {
    const long = distance_m(path[to - 1]!, path[to]!)
    if (long === 0) continue
    if (left <= long) return { to, t: left / long }
    left -= long
    last = { to, t: 1 }
  }
  return last
}

/** The place at a distance along a path; beyond its ends the ends, at a bend the heading of the piece before. A path of one place heads east. */
export function placeAlong(path: readonly Point[], chainage_m: number): PathPlace {
  const { to, t } = pieceAlong(path, chainage_m)
  const b = path[to]!
  const a = path[to - 1] ?? b
  const [dx, dy, long] = [b[0] - a[0], b[1] - a[1], distance_m(a, b)]
  return { at: t === 1 ? b : [a[0] + t * dx, a[1] + t * dy], heading: long > 0 ? [dx / long, dy / long] : [1, 0] }
}

/** Places along a path at equal spacing not above `spacing_m`, its two ends among them. */
export function stations(
  path: readonly Point[],
  spacing_m: number,
): { readonly chainage_m: number; readonly at: Point; readonly heading: Point }[] {
  const along = chainages_m(path)
  const length = along[along.length - 1]!
  const steps = Math.max(1, Math.ceil(length / spacing_m - 1e-9))
  const result = []
  for (let k = 0, piece = 1; k <= steps; k++) {
    const chainage = (length * k) / steps
    while (piece < path.length - 1 && along[piece]! < chainage) piece++
    const a = path[piece - 1]!
    const b = path[piece]!
    const span = along[piece]! - along[piece - 1]!
    const t = span > 0 ? (chainage - along[piece - 1]!) / span : 0
    const at: Point = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]
    result.push({
      chainage_m: chainage,
      at,
      heading: span > 0 ? ([(b[0] - a[0]) / span, (b[1] - a[1]) / span] as const) : ([1, 0] as const),
    })
  }
  return result
}

/** Distance from a place to a straight piece, and how far along the piece (0–1) the nearest point lies. */
export function distanceToSegment(p: Point, a: Point, b: Point): { readonly distance_m: number; readonly t: number } {
  const dx = b[0] - a[0]
  const dy = b[1] - a[1]
  const square = dx * dx + dy * dy
  const t = square > 0 ? Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square)) : 0
  return { distance_m: distance_m(p, [a[0] + t * dx, a[1] + t * dy]), t }
}

/** How far a path lies from a place, and the chainage of its nearest point (the first of equals). Infinity and 0 for a path of fewer than two vertices. */
export function nearestOnPath(path: readonly Point[], place: Point): { readonly distance_m: number; readonly chainage_m: number } {
  const along = chainages_m(path)
  let nearest = { distance_m: Number.POSITIVE_INFINITY, chainage_m: 0 }
  for (let k = 1; k < path.length; k++) {
    const { distance_m: away_m, t } = distanceToSegment(place, path[k - 1]!, path[k]!)
    if (away_m < nearest.distance_m) nearest = { distance_m: away_m, chainage_m: along[k - 1]! + t * (along[k]! - along[k - 1]!) }
  }
  return nearest
}

/** Which side of the line a→b a place lies on; places on it count as left, so that a shared vertex is never crossed twice or missed. */
export const isLeftOf = (p: Point, a: Point, b: Point): boolean => (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) >= 0

/** True when the straight piece a–b crosses c–d, by the half-open rule of `isLeftOf`; in plain numbers, for inner loops. */
export function crossesXY(ax: number, ay: number, bx: number, by: number, cx: number, cy: number, dx: number, dy: number): boolean {
  const sx = dx - cx
  const sy = dy - cy
  if (sx * (ay - cy) - sy * (ax - cx) >= 0 === sx * (by - cy) - sy * (bx - cx) >= 0) return false
  const tx = bx - ax
  const ty = by - ay
  return tx * (cy - ay) - ty * (cx - ax) >= 0 !== tx * (dy - ay) - ty * (dx - ax) >= 0
}

/** True when two straight pieces cross, by the half-open rule of `isLeftOf`. */
export const crosses = (a: Point, b: Point, c: Point, d: Point): boolean => crossesXY(a[0], a[1], b[0], b[1], c[0], c[1], d[0], d[1])

/** How far along a→b (0–1) it meets the line through c and d; NaN for parallels. */
export function crossingAt(a: Point, b: Point, c: Point, d: Point): number {
  const rx = b[0] - a[0]
  const ry = b[1] - a[1]
  const sx = d[0] - c[0]
  const sy = d[1] - c[1]
  const turn = rx * sy - ry * sx
  return turn === 0 ? Number.NaN : ((c[0] - a[0]) * sy - (c[1] - a[1]) * sx) / turn
}

/** Signed area of a ring: positive when it runs counter-clockwise. */
export function ringArea_m2(ring: readonly Point[]): number {
  let twice = 0
  const o = ring[0]
  if (!o) return 0
  for (let k = 0; k < ring.length; k++) {
    const a = ring[k]!
    const b = ring[(k + 1) % ring.length]!
    twice += (a[0] - o[0]) * (b[1] - o[1]) - (b[0] - o[0]) * (a[1] - o[1])
  }
  return twice / 2
}

/** True when a place lies inside rings taken together by the even–odd rule. */
export function insideRings([x, y]: Point, rings: readonly (readonly Point[])[]): boolean {
  let inside = false
  for (const ring of rings)
    for (let k = 0, j = ring.length - 1; k < ring.length; j = k++) {
      const a = ring[k]!
      const b = ring[j]!
      if (a[1] > y !== b[1] > y && x < ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside
    }
  return inside
}

/**
 * A path with as few of its vertices as keep it within a distance of itself; its ends stay. For pictures: an answer rests on the whole path.
 *
 * Cost    n log n as a rule.
 * Source  Douglas & Peucker (1973), Cartographica 10(2), 112–122.
 */
export function thinned(path: readonly Point[], tolerance_m: number): Point[] {
  if (path.length < 3) return [...path]
  const last = path.length - 1
  const [x, y] = sideBySide(path)
  const kept = new Uint8Array(path.length)
  kept[0] = kept[last] = 1
  let left = 2
  const pieces = [0, last]
  while (pieces.length > 0) {
    const to = pieces.pop()!
    const from = pieces.pop()!
    const ax = x[from]!
    const ay = y[from]!
    const dx = x[to]! - ax
    const dy = y[to]! - ay
    const square = dx * dx + dy * dy
    let far = tolerance_m * tolerance_m
    let farthest = -1
    for (let k = from + 1; k < to; k++) {
      const px = x[k]! - ax
      const py = y[k]! - ay
      const along = px * dx + py * dy
      let t = 0
      if (along > 0) t = along < square ? along / square : 1
      const ox = px - t * dx
      const oy = py - t * dy
      const off = ox * ox + oy * oy
      if (off > far) {
        far = off
        farthest = k
      }
    }
    if (farthest < 0) continue
    kept[farthest] = 1
    left++
    pieces.push(from, farthest, farthest, to)
  }
  const rest = new Array<Point>(left)
  for (let k = 0, next = 0; k < path.length; k++) if (kept[k]) rest[next++] = path[k]!
  return rest
}

/** Room for the coordinates of one path at a time, made larger as longer ones come. */
let room: readonly [x: Float64Array, y: Float64Array] = [new Float64Array(256), new Float64Array(256)]

/** A path's coordinates side by side, until the next call: loops that pass over them many times go from number to number. */
function sideBySide(path: readonly Point[]): readonly [x: Float64Array, y: Float64Array] {
  if (path.length > room[0].length) room = [new Float64Array(2 * path.length), new Float64Array(2 * path.length)]
  const [x, y] = room
  for (let k = 0; k < path.length; k++) {
    x[k] = path[k]![0]
    y[k] = path[k]![1]
  }
  return room
}

/** Least and most of a path's coordinates, m. */
export type Box = readonly [west: number, south: number, east: number, north: number]

/** The box round a path; inside out where it has no vertices. */
export function boxOfPath(path: readonly Point[]): Box {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity]
  for (let k = 0; k < path.length; k++) {
    const x = path[k]![0]
    const y = path[k]![1]
    if (x < west) west = x
    if (x > east) east = x
    if (y < south) south = y
    if (y > north) north = y
  }
  return [west, south, east, north]
}
