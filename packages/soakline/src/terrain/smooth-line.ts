import { InputError } from '../foundation/index.js'
import {
  chainages_m,
  crosses,
  distance_m,
  distanceToSegment,
  type ElevationGrid,
  heightOn,
  type Point,
  patchAt,
  surfaceValue,
  toLattice,
} from '../raster/index.js'
import { offLevel } from './height-along.js'
import { linesApart_m } from './line-deviation.js'

/** What a person can dig. */
export interface DiggingLimits {
  /** Shortest radius of a bend. Default 5 m: a spade follows less, a machine needs more. Judgement. */
  readonly radius_m?: number
  /** Least spacing of vertices; not above the radius. Default 2 m. Judgement. */
  readonly spacing_m?: number
  /** Where the ground on the smoothed line would leave the design level by more, the bend is kept. Default 0.15 m. Judgement. */
  readonly mostOff_m?: number
  /** Design level at the first and the last vertex, straight between them along the line. Default: the ground there. */
  readonly levels_m?: readonly [first: number, last: number]
}

/** A line that can be dug, with what its stakes must say. */
export interface SmoothedLine {
  readonly path: readonly Point[]
  readonly chainage_m: Float64Array
  /** Ground at each vertex; NaN where there is none. */
  readonly ground_m: Float64Array
  /** Design level at each vertex. */
  readonly level_m: Float64Array
  /** Ground less design level at each vertex: cut where positive, fill where negative. */
  readonly cut_m: Float64Array
  /** How far the smoothed line and the given one lie apart at most, in plan. */
  readonly largestPlan_m: number
  /** How far the ground anywhere on the smoothed line, between vertices too, leaves the design level at most. */
  readonly largestHeight_m: number
  /** Stretches that stay as they were given, since smoothing them would leave the level by too much or make the line cross itself. */
  readonly kept: readonly { readonly from_m: number; readonly to_m: number }[]
  /** Bends that remain shorter than the radius: the shortest of each run of them. */
  readonly tightBends: readonly { readonly chainage_m: number; readonly radius_m: number }[]
}

const RADIUS_M = 5
const SPACING_M = 2
const MOST_OFF_M = 0.15

/** Sweeps after which smoothing stops; what is still too tight is reported, never hidden. */
const MOST_SWEEPS = 3000
/** Bends are eased to somewhat less than the limit, so that a line that is smoothed again holds still. */
const EASE = 0.95

/** Vertices with the chainage on the given line that each stands for. */
interface Strung {
  readonly points: Point[]
  readonly given_m: number[]
}

/**
 * A level or falling line made fit to dig: bends no shorter than a radius, vertices no closer than a spacing, ends where they were.
 *
 * Only bends that are too tight move, towards the middle of their neighbours, and no vertex moves where the ground would leave the design level by more
 * than `mostOff_m`, nor further than the radius from the place on the given line that it stands for; nor is a part of the given line left out that
 * reaches further. The design level stays exact because the stakes carry cut and fill.
 * Units    metres throughout.
 * No data  nothing moves to where there is no ground; a piece that would cross a void stays as given.
 * Laws     ends stay; the line never crosses itself where the given one does not; off the kept stretches the ground stays within `mostOff_m` of the
 *          design level, and vertices are no closer than the spacing (a line shorter than two spacings has its ends only); straight lines and wide
 *          bends stay but for the chords between vertices; smoothing again changes next to nothing; mirrored ground and line give the mirrored line.
 * Throws   InputError `smooth/line` when there are fewer than two different places or a number is not one, `smooth/setting`, `smooth/no-ground` when
 *          an end has no ground and no design level is given.
 * Cost     some hundred sweeps over the vertices; comparing the lines takes their pieces multiplied.
 */
export function smoothLine(ground: ElevationGrid, given: readonly Point[], limits: DiggingLimits = {}): SmoothedLine {
  const { radius_m = RADIUS_M, spacing_m = SPACING_M, mostOff_m = MOST_OFF_M } = limits
  refuseSettings(radius_m, spacing_m, mostOff_m)
  const along = chainages_m(given)
  const whole_m = along[along.length - 1] ?? 0
  if (!(whole_m > 0 && whole_m < Number.POSITIVE_INFINITY))
    throw new InputError('smooth/line', 'A line to smooth needs two different places at least, with coordinates that are numbers.', {
      vertices: given.length,
    })
  const ends: [number, number] = limits.levels_m
    ? [...limits.levels_m]
    : [groundAtEnd(ground, given[0]!, given[1]!), groundAtEnd(ground, given[given.length - 1]!, given[given.length - 2]!)]
  if (!Number.isFinite(ends[0] + ends[1]))
    throw new InputError(
      'smooth/no-ground',
      'An end of the line has no ground, so it has no level to keep. Give the design levels, or shorten the line.',
      {
        first: given[0],
        last: given[given.length - 1],
      },
    )

  const most = 1 / radius_m
  const exact: Strung = { points: [...given], given_m: [...along] }
  const sweep = (line: Strung, fixed: readonly boolean[]): void =>
    ease(
      ground,
      line,
      line.given_m.map(at => placeAt(exact, at)),
      fixed,
      ends,
      most,
      mostOff_m,
    )

  // Smooth, and string the vertices anew while the line has become so short that they stand too close.
  let line = spaced(exact, spacing_m)
  sweep(line, [])
  for (;;) {
    const pieces = line.points.length - 1
    const long = chainages_m(line.points)[pieces]!
    const shortest = Math.min(...line.points.slice(1).map((p, k) => distance_m(line.points[k]!, p)))
    if (pieces < 2 || shortest >= spacing_m * (1 - 1e-9)) break
    line = evenly(line, Math.max(1, Math.min(pieces - 1, Math.floor(long / (1.02 * spacing_m)))))
    sweep(line, [])
  }

  // Pieces that leave the level by too much, or cross others, go back to the given line; their neighbours then ease towards them.
  const keeps: boolean[] = line.points.slice(1).map(() => false)
  for (let round = 0; ; round++) {
    const fixed = line.points.map((_, k) => Boolean(keeps[k - 1] || keeps[k]))
    fixed.forEach((stays, k) => {
      if (stays) line.points[k] = placeAt(exact, line.given_m[k]!)
    })
    if (round > 0 && round < 6) sweep(line, fixed)
    const { path, pieceOf } = assembled(line, keeps, exact)
    const level_m = levelsAlong(path, ends)
    const wrong = crossingPieces(path).map(piece => pieceOf[piece]!)
    for (let k = 1; k < path.length; k++) {
      if (keeps[pieceOf[k - 1]!]) continue
      const off = offLevel(ground, path[k - 1]!, path[k]!, level_m[k - 1]!, level_m[k]!)
      if (!off || Math.max(off.above_m, -off.below_m) > mostOff_m) wrong.push(pieceOf[k - 1]!)
    }
    for (let piece = 0; piece < keeps.length; piece++) if (!keeps[piece] && strays(line, piece, exact, radius_m)) wrong.push(piece)
    const anew = wrong.filter(piece => !keeps[piece])
    if (anew.length === 0) return described(ground, path, level_m, given, pieceOf, keeps, most)
    for (const piece of anew) keeps[piece] = true
  }
}

function refuseSettings(radius_m: number, spacing_m: number, mostOff_m: number): void {
  if (radius_m > 0 && spacing_m > 0 && spacing_m <= radius_m && mostOff_m >= 0 && Number.isFinite(radius_m + spacing_m + mostOff_m)) return
  throw new InputError(
    'smooth/setting',
    `A line cannot be smoothed to a radius of ${radius_m} m with vertices ${spacing_m} m apart and ${mostOff_m} m off its level. Radius and spacing are positive, the spacing is not above the radius, and the height is 0 or more.`,
    { radius_m, spacing_m, mostOff_m },
  )
}

/** Ground at an end of a line; an end at the raster's outermost cell centres may lie beyond them by a rounding. */
function groundAtEnd(ground: ElevationGrid, end: Point, next: Point): number {
  const z = surfaceValue(ground, end)
  if (!Number.isNaN(z)) return z
  const inward = toLattice(ground.geometry, [end[0] + 1e-6 * (next[0] - end[0]), end[1] + 1e-6 * (next[1] - end[1])])
  const patch = patchAt(ground, inward.u, inward.v)
  const { u, v } = toLattice(ground.geometry, end)
  return patch ? heightOn(patch, u, v) : Number.NaN
}

/** The place on a strung line that stands for a chainage of the given one. */
function placeAt(line: Strung, given_m: number): Point {
  const last = line.points.length - 1
  if (given_m >= line.given_m[last]!) return line.points[last]!
  let k = 1
  while (k < last && line.given_m[k]! <= given_m) k++
  return between(line.points[k - 1]!, line.points[k]!, (given_m - line.given_m[k - 1]!) / (line.given_m[k]! - line.given_m[k - 1]!))
}

const between = (a: Point, b: Point, t: number): Point => (t > 0 ? [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])] : a)

/** Whether a smoothed piece leaves out a part of the given line that reaches further than the radius from it. */
function strays(line: Strung, piece: number, exact: Strung, radius_m: number): boolean {
  const [a, b] = [line.points[piece]!, line.points[piece + 1]!]
  const [from, to] = [line.given_m[piece]!, line.given_m[piece + 1]!]
  return exact.points.some((p, k) => exact.given_m[k]! > from && exact.given_m[k]! < to && distanceToSegment(p, a, b).distance_m > radius_m)
}

/** Vertices at equal spacing along a line, its ends among them. */
function evenly(line: Strung, pieces: number): Strung {
  const along = chainages_m(line.points)
  const last = along.length - 1
  const points: Point[] = []
  const given_m: number[] = []
  for (let n = 0, k = 1; n < pieces; n++) {
    const at = (along[last]! * n) / pieces
    while (k < last && along[k]! <= at) k++
    const t = (at - along[k - 1]!) / (along[k]! - along[k - 1]!)
    points.push(between(line.points[k - 1]!, line.points[k]!, t))
    given_m.push(line.given_m[k - 1]! + t * (line.given_m[k]! - line.given_m[k - 1]!))
  }
  points.push(line.points[last]!)
  given_m.push(line.given_m[last]!)
  return { points, given_m }
}

/** The line with vertices at a spacing; one that already has them keeps its own. */
function spaced(line: Strung, spacing_m: number): Strung {
  const pieces = line.points.slice(1).map((p, k) => distance_m(line.points[k]!, p))
  if (pieces.every(long => long >= spacing_m * (1 - 1e-9) && long < 2 * spacing_m))
    return { points: [...line.points], given_m: [...line.given_m] }
  const whole_m = pieces.reduce((sum, long) => sum + long, 0)
  return evenly(line, Math.max(1, Math.floor(whole_m / spacing_m + 1e-9)))
}

/** How sharply a line bends at a vertex: 1 / radius of the circle through it and its neighbours; infinite where it turns back. */
function bendAt(a: Point, b: Point, c: Point): number {
  const [ux, uy, vx, vy] = [b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]]
  if (ux * vx + uy * vy < 0) return Number.POSITIVE_INFINITY
  const sides = distance_m(a, b) * distance_m(b, c) * distance_m(a, c)
  return sides > 0 ? (2 * Math.abs(ux * vy - uy * vx)) / sides : 0
}

function levelsAlong(path: readonly Point[], [first, last]: readonly [number, number]): Float64Array {
  const along = chainages_m(path)
  const whole_m = along[along.length - 1]!
  return along.map(at => first + (at / whole_m) * (last - first))
}

/** Moves vertices with too tight a bend towards the middle of their neighbours, all at once, until none needs to or may. */
function ease(
  ground: ElevationGrid,
  line: Strung,
  homes: readonly Point[],
  fixed: readonly boolean[],
  ends: readonly [number, number],
  most: number,
  mostOff_m: number,
): void {
  const { points } = line
  for (let sweep = 0; sweep < MOST_SWEEPS; sweep++) {
    const level_m = levelsAlong(points, ends)
    const moved: [number, Point][] = []
    let farthest = 0
    for (let k = 1; k < points.length - 1; k++) {
      if (fixed[k]) continue
      const [a, b, c] = [points[k - 1]!, points[k]!, points[k + 1]!]
      const bend = bendAt(a, b, c)
      if (!(bend > most)) continue
      const was = Math.abs(surfaceValue(ground, b) - level_m[k]!)
      // The ends of a bend are pulled too: half the way at most, or neighbours would swing.
      for (let share = 0.5 * (1 - (EASE * most) / bend), tries = 0; tries < 3; share /= 2, tries++) {
        const to: Point = [b[0] + share * ((a[0] + c[0]) / 2 - b[0]), b[1] + share * ((a[1] + c[1]) / 2 - b[1])]
        const off = Math.abs(surfaceValue(ground, to) - level_m[k]!)
        if (!(off <= mostOff_m || off <= was)) continue
        // On gentle ground the heights alone would let a line round a knoll shrink to nothing.
        if (distance_m(to, homes[k]!) * most > 1) continue
        moved.push([k, to])
        farthest = Math.max(farthest, distance_m(b, to))
        break
      }
    }
    for (const [k, to] of moved) points[k] = to
    if (farthest < 1e-6) return
  }
}

/** The whole line, kept pieces with all the given vertices between their ends; and for each of its pieces the smoothed piece it belongs to. */
function assembled(line: Strung, keeps: readonly boolean[], exact: Strung): { path: Point[]; pieceOf: number[] } {
  const path: Point[] = [line.points[0]!]
  const pieceOf: number[] = []
  const push = (p: Point, piece: number): void => {
    const last = path[path.length - 1]!
    if (p[0] === last[0] && p[1] === last[1]) return
    path.push(p)
    pieceOf.push(piece)
  }
  for (let piece = 0, k = 0; piece < keeps.length; piece++) {
    const [from, to] = [line.given_m[piece]!, line.given_m[piece + 1]!]
    if (keeps[piece]) {
      while (exact.given_m[k]! <= from) k++
      for (; exact.given_m[k]! < to; k++) push(exact.points[k]!, piece)
    }
    push(line.points[piece + 1]!, piece)
  }
  return { path, pieceOf }
}

/** Pieces of a line that cross another of its pieces. */
function crossingPieces(path: readonly Point[]): number[] {
  const found = new Set<number>()
  const last = path.length - 2
  const meets = path[0]![0] === path[last + 1]![0] && path[0]![1] === path[last + 1]![1]
  for (let j = 2; j <= last; j++)
    for (let i = 0; i < j - 1; i++) {
      if (meets && i === 0 && j === last) continue
      const [a, b, c, d] = [path[i]!, path[i + 1]!, path[j]!, path[j + 1]!]
      if (Math.max(a[0], b[0]) < Math.min(c[0], d[0]) || Math.max(c[0], d[0]) < Math.min(a[0], b[0])) continue
      if (crosses(a, b, c, d)) {
        found.add(i)
        found.add(j)
      }
    }
  return [...found]
}

function described(
  ground: ElevationGrid,
  path: readonly Point[],
  level_m: Float64Array,
  given: readonly Point[],
  pieceOf: readonly number[],
  keeps: readonly boolean[],
  most: number,
): SmoothedLine {
  const chainage_m = chainages_m(path)
  const last = path.length - 1
  const ground_m = Float64Array.from(path, (p, k) =>
    k === 0 ? groundAtEnd(ground, p, path[1]!) : k === last ? groundAtEnd(ground, p, path[last - 1]!) : surfaceValue(ground, p),
  )
  let largestHeight_m = 0
  const kept: { from_m: number; to_m: number }[] = []
  const tightBends: { chainage_m: number; radius_m: number }[] = []
  let inRun = false
  for (let k = 1; k <= last; k++) {
    const off = offLevel(ground, path[k - 1]!, path[k]!, level_m[k - 1]!, level_m[k]!)
    if (off) largestHeight_m = Math.max(largestHeight_m, off.above_m, -off.below_m)
    if (keeps[pieceOf[k - 1]!]) {
      const before = kept[kept.length - 1]
      if (before && before.to_m === chainage_m[k - 1]) before.to_m = chainage_m[k]!
      else kept.push({ from_m: chainage_m[k - 1]!, to_m: chainage_m[k]! })
    }
    const bend = k < last ? bendAt(path[k - 1]!, path[k]!, path[k + 1]!) : 0
    // A bend at the limit itself is none too tight, whatever its rounding.
    const tight = bend > most * (1 + 1e-6)
    const before = tightBends[tightBends.length - 1]
    if (tight && !inRun) tightBends.push({ chainage_m: chainage_m[k]!, radius_m: 1 / bend })
    else if (tight && before && 1 / bend < before.radius_m)
      tightBends[tightBends.length - 1] = { chainage_m: chainage_m[k]!, radius_m: 1 / bend }
    inRun = tight
  }
  return {
    path,
    chainage_m,
    ground_m,
    level_m,
    cut_m: ground_m.map((z, k) => z - level_m[k]!),
    largestPlan_m: linesApart_m(path, given),
    largestHeight_m,
    kept,
    tightBends,
  }
}
