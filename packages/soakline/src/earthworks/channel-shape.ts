import { InputError } from '../foundation/index.js'
import type { Point } from '../raster/index.js'
import { inverseSinh, inverseTangent } from './arcs.js'

/**
 * The cross-section of a channel.
 *
 * `trapezoid`: flat bed, straight sides (horizontal : vertical), a triangle where the bed has no width. `bowl`: a parabola as wide as `topWidth_m`
 * at `depth_m`, going on upward. `arc`: the same with a piece of circle, up to its half. `drawn`: straight pieces through points, from one bank to
 * the other, x never turning back; z from any datum, depths counted from its lowest point.
 */
export type ChannelShape =
  | {
      readonly form: 'trapezoid'
      readonly bedWidth_m: number
      readonly sideSlope_ratio: number
      /** The other side where it differs. */
      readonly otherSideSlope_ratio?: number
    }
  | { readonly form: 'bowl'; readonly topWidth_m: number; readonly depth_m: number }
  | { readonly form: 'arc'; readonly topWidth_m: number; readonly depth_m: number }
  | { readonly form: 'drawn'; readonly points: readonly Point[] }

/** What water of a depth touches in a channel. */
export interface Wetted {
  readonly area_m2: number
  readonly perimeter_m: number
  /** Of the water's surface. */
  readonly width_m: number
  /** Area over perimeter; 0 for no water. */
  readonly hydraulicRadius_m: number
}

/**
 * Area, perimeter and width of water of a depth. In a drawn section with several hollows only the pool over its lowest point counts.
 *
 * Units   m, m².
 * Laws    none of the three falls as the depth grows; the area grows by the width.
 * Throws  `channel/bad-shape`, `channel/bad-depth`; `channel/over-banks` where a drawn section ends below the water, or an arc passes its half.
 * Source  geometry: trapezoid b y + z y²; parabola ⅔ T y, arc length T/2 (√(1 + x²) + asinh x / x), x = 4y/T; circle r²/2 (θ − sin θ); shoelace.
 */
export function wetted(shape: ChannelShape, depth_m: number): Wetted {
  checkDepth(depth_m)
  return wettedIn(shape)(depth_m)
}

/** `wetted` for many depths of one shape, which is checked once. */
export function wettedIn(shape: ChannelShape): (depth_m: number) => Wetted {
  checkShape(shape)
  if (shape.form === 'drawn') {
    const { points } = shape
    const deepest = lowestOf(points)
    return depth_m => {
      checkDepth(depth_m)
      return wettedDrawn(points, deepest, depth_m)
    }
  }
  return depth_m => {
    checkDepth(depth_m)
    return wettedSmooth(shape, depth_m)
  }
}

function checkDepth(depth_m: number): void {
  if (!(depth_m >= 0 && depth_m < Infinity))
    throw new InputError('channel/bad-depth', `The water is ${depth_m} m deep; give a depth of 0 or more.`, { depth_m })
}

function wettedSmooth(shape: Exclude<ChannelShape, { form: 'drawn' }>, depth_m: number): Wetted {
  if (shape.form === 'trapezoid') {
    const { bedWidth_m, sideSlope_ratio: left } = shape
    const right = shape.otherSideSlope_ratio ?? left
    return withRadius(
      depth_m * (bedWidth_m + 0.5 * (left + right) * depth_m),
      bedWidth_m + depth_m * (Math.sqrt(1 + left * left) + Math.sqrt(1 + right * right)),
      bedWidth_m + depth_m * (left + right),
    )
  }
  if (depth_m === 0) return withRadius(0, 0, 0)
  if (shape.form === 'bowl') {
    const width_m = shape.topWidth_m * Math.sqrt(depth_m / shape.depth_m)
    const x = (4 * depth_m) / width_m
    return withRadius((2 / 3) * width_m * depth_m, (width_m / 2) * (Math.sqrt(1 + x * x) + inverseSinh(x) / x), width_m)
  }
  const radius_m = arcRadius_m(shape)
  if (depth_m > radius_m)
    throw new InputError('channel/over-banks', `Water ${depth_m} m deep stands over the half of a circle of ${radius_m} m.`, {
      depth_m,
      bank_m: radius_m,
    })
  const half_m = Math.sqrt(depth_m * (2 * radius_m - depth_m))
  const angle = 4 * inverseTangent(depth_m / half_m)
  return withRadius((radius_m * radius_m * angle) / 2 - half_m * (radius_m - depth_m), radius_m * angle, 2 * half_m)
}

/** Radius of the circle of an arc. Units: m. */
export const arcRadius_m = ({ topWidth_m, depth_m }: { readonly topWidth_m: number; readonly depth_m: number }): number =>
  ((topWidth_m * topWidth_m) / 4 + depth_m * depth_m) / (2 * depth_m)

/** The depth at which a channel runs over: Infinity where its sides go on for ever. Throws `channel/bad-shape`. */
export function bankDepth_m(shape: ChannelShape): number {
  checkShape(shape)
  if (shape.form === 'arc') return arcRadius_m(shape)
  if (shape.form !== 'drawn') return Infinity
  const { points } = shape
  const deepest = lowestOf(points)
  const bank = (from: number, to: number): number => Math.max(...points.slice(from, to).map(([, z]) => z))
  return Math.min(bank(0, deepest + 1), bank(deepest, points.length)) - points[deepest]![1]
}

function wettedDrawn(points: readonly Point[], deepest: number, depth_m: number): Wetted {
  const level = points[deepest]![1] + depth_m
  const left = oneBank(points, deepest, -1, level)
  const right = oneBank(points, deepest, 1, level)
  if (!left || !right)
    throw new InputError('channel/over-banks', `Water ${depth_m} m deep stands over an end of the drawn section; draw its bank higher.`, {
      depth_m,
    })
  return withRadius(left.area + right.area, left.length + right.length, left.width + right.width)
}

/** From the lowest point outward until the bed rises through the level; null where the drawing ends before. */
function oneBank(
  points: readonly Point[],
  from: number,
  step: 1 | -1,
  level: number,
): { area: number; length: number; width: number } | null {
  let area = 0
  let length = 0
  let width = 0
  for (let k = from; ; k += step) {
    const here = points[k]!
    const za = here[1]
    const next = points[k + step]
    if (za >= level && k !== from) return { area, length, width }
    if (!next) return za >= level ? { area, length, width } : null
    const dx = Math.abs(next[0] - here[0])
    const dz = next[1] - za
    const share = next[1] > level ? (level - za) / dz : 1
    const run = dx * share
    const rise = dz * share
    area += run * (level - za - rise / 2)
    length += Math.sqrt(run * run + rise * rise)
    width += run
    if (share < 1) return { area, length, width }
  }
}

const lowestOf = (points: readonly Point[]): number => points.reduce((lowest, p, k) => (p[1] < points[lowest]![1] ? k : lowest), 0)

const withRadius = (area_m2: number, perimeter_m: number, width_m: number): Wetted => ({
  area_m2,
  perimeter_m,
  width_m,
  hydraulicRadius_m: area_m2 > 0 ? area_m2 / perimeter_m : 0,
})

function checkShape(shape: ChannelShape): void {
  const refuse = (message: string): never => {
    throw new InputError('channel/bad-shape', message, { form: shape.form })
  }
  if (shape.form === 'drawn') {
    const { points } = shape
    if (points.length < 3) refuse('A drawn section needs three points or more: two banks and a bed.')
    if (points.some(p => !Number.isFinite(p[0]) || !Number.isFinite(p[1]))) refuse('A point of the drawn section is not a number.')
    if (points.some((p, k) => k > 0 && p[0] < points[k - 1]![0]))
      refuse('The drawn section turns back on itself; draw it from one bank to the other.')
    return
  }
  const sizes: readonly number[] =
    shape.form === 'trapezoid'
      ? [shape.bedWidth_m, shape.sideSlope_ratio, shape.otherSideSlope_ratio ?? 0]
      : [shape.topWidth_m, shape.depth_m]
  if (sizes.some(size => !(size >= 0 && size < Infinity))) refuse('A size of the channel is not a number of 0 or more.')
  if (shape.form === 'trapezoid') {
    if (shape.bedWidth_m + shape.sideSlope_ratio + (shape.otherSideSlope_ratio ?? 0) === 0) refuse('A slit without width carries nothing.')
  } else if (!(shape.topWidth_m > 0 && shape.depth_m > 0)) refuse('A bowl needs a width and a depth above 0.')
  else if (shape.form === 'arc' && shape.depth_m > shape.topWidth_m / 2)
    refuse('An arc deeper than half its width is more than half a circle; take a bowl.')
}
