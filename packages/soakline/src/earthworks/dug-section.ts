import { InputError } from '../foundation/index.js'
import { type Point, ringArea_m2 } from '../raster/index.js'
import { type Ditch, ditchWater } from './ditch-water.js'

/**
 * What is cut out of the ground. The downhill lip, where the ditch meets the old ground, is the origin; x runs downhill, z upward, in metres.
 *
 * `trapezoid`: bed `depth_m` below the lip. `bowl`: a parabola `topWidth_m` wide at the lip's level. `drawn`: points from uphill to the lip, the
 * last one [0, 0], x never turning back; the first piece goes on uphill until it comes out of the ground.
 */
export type CutShape =
  | { readonly form: 'trapezoid'; readonly bedWidth_m: number; readonly depth_m: number; readonly sideSlope_ratio: number }
  | { readonly form: 'bowl'; readonly topWidth_m: number; readonly depth_m: number }
  | { readonly form: 'drawn'; readonly points: readonly Point[] }

/** The berm that the cut becomes. */
export interface BermShape {
  readonly innerSlope_ratio: number
  readonly outerSlope_ratio: number
  readonly crestWidth_m: number
  /** Placed and settled berm per volume of cut. */
  readonly bermPerCut_ratio: number
  /** From the sill up to the settled crest. */
  readonly freeboard_m: number
}

/** A ditch and berm on the ground across a place as it really lies. z stands above the deepest point of the bed, x as the cut has it. */
export interface DugSection extends Ditch {
  readonly ground: readonly Point[]
  readonly cutRing: readonly Point[]
  readonly bermRing: readonly Point[]
  readonly cut_m2: number
  readonly berm_m2: number
  readonly sill_z_m: number
  readonly uphillEdge_x_m: number
  readonly outerToe_x_m: number
  readonly topWidth_m: number
  readonly storageToSill_m2: number
  readonly storageToCrest_m2: number
  readonly waterAgainstFill_m: number
}

/** Chords that stand for a bowl's parabola between its lips; they take 1/16000 of its area away. */
const BOWL_CHORDS = 128

/**
 * A trapezoid, bowl or drawn section cut into the real ground across a place, its earth laid as a berm downhill.
 *
 * Shapes  `ground` from uphill to downhill, x rising strictly, from well uphill of the ditch to beyond the berm's toe; z in any datum.
 * Laws    the berm's area is `bermPerCut_ratio` × the cut's, to 1e-12; on a plane the trapezoid agrees with `crossSection`.
 * Throws  `section/bad-shape`, `section/bad-ground`; `section/cut-never-ends`, `section/no-toe` where the ditch or the berm does not meet the ground
 *         given; `section/berm-below-lip`, `section/sill-below-bed` as `crossSection`; `section/hollow-uphill` where the ground uphill lies under the bed.
 * Cost    pieces of ground × 60.
 * Source  geometry, derived; + − × ÷ √ only.
 */
export function dugSection(cut: CutShape, berm: BermShape, ground: readonly Point[]): DugSection {
  checkShapes(cut, berm, ground)
  const lipGround_m = heightAt(ground, 0)
  const fromLip: Point[] = ground.map(([x, z]) => [x, z - lipGround_m])
  const cutLine = uphillFromLip(cut, fromLip)
  const depth_m = -Math.min(...cutLine.map(([, z]) => z))
  if (!(depth_m > 0))
    throw new InputError('section/bad-shape', 'The cut does not go below its downhill lip; draw its bed deeper.', { depth_m })

  // From here on z stands above the bed.
  const up = ([x, z]: Point): Point => [x, z + depth_m]
  const old = fromLip.map(up)
  const bed = cutLine.map(up).reverse() // from the uphill edge to the lip
  const [uphillEdge_x_m] = bed[0]!
  const cutRing = [...bed, ...between(old, uphillEdge_x_m, 0).reverse()]
  const cut_m2 = Math.abs(ringArea_m2(cutRing))

  const { height_m, profile } = bermFor(berm, berm.bermPerCut_ratio * cut_m2, fromLip)
  const crest_z_m = depth_m + height_m
  const outside = profile.slice(1).map(up)
  const outerToe_x_m = outside[outside.length - 1]![0]
  const bermRing = [...profile.map(up), ...between(old, 0, outerToe_x_m).reverse()]
  const sill_z_m = crest_z_m - berm.freeboard_m
  if (!(sill_z_m > 0))
    throw new InputError(
      'section/sill-below-bed',
      `The crest stands ${crest_z_m} m above the bed and the freeboard is ${berm.freeboard_m} m: nothing would be held. Dig deeper or take less freeboard.`,
      { crest_z_m, freeboard_m: berm.freeboard_m },
    )
  const uphill = old.filter(([x]) => x < uphillEdge_x_m)
  if (uphill.some(([, z]) => z < 0))
    throw new InputError(
      'section/hollow-uphill',
      'The ground uphill of the ditch lies under its bed; water would gather there. Move the line.',
      {},
    )
  const holds_z_m = Math.min(crest_z_m, Math.max(bed[0]![1], ...uphill.map(([, z]) => z)))
  const ditch: Ditch = {
    dug: [...uphill, ...bed, ...outside, ...old.filter(([x]) => x > outerToe_x_m)],
    lip_x_m: 0,
    lip_z_m: depth_m,
    crest_z_m,
    holds_z_m,
    // A parabola is half as wide at a quarter of its depth: what lies below counts as its bed. Source: judgement.
    ...(cut.form === 'bowl' ? { bed_m: cut.topWidth_m / 2 } : {}),
  }
  return {
    ...ditch,
    ground: old,
    cutRing,
    bermRing,
    cut_m2,
    berm_m2: bermArea_m2(profile, fromLip),
    sill_z_m,
    uphillEdge_x_m,
    outerToe_x_m,
    topWidth_m: -uphillEdge_x_m,
    storageToSill_m2: ditchWater(ditch, sill_z_m).area_m2,
    storageToCrest_m2: ditchWater(ditch, crest_z_m).area_m2,
    waterAgainstFill_m: Math.max(0, sill_z_m - depth_m),
  }
}

/**
 * A drawn cut as deep as it is dug at a place: its last side goes on up to the lip there, or ends lower.
 *
 * Shapes  `points` as of a drawn cut; the last but one lies below the lip. The result ends at [0, 0], its deepest point at −`depth_m`.
 * Laws    at the drawn depth it is what was drawn.
 */
export function drawnToDepth(points: readonly Point[], depth_m: number): Point[] {
  const bed_m = Math.min(...points.map(([, z]) => z))
  const overBed = points.map(([x, z]): Point => [x, z - bed_m])
  let last = points.length - 1
  while (last > 1 && overBed[last - 1]![1] >= depth_m) last--
  const [low, high] = [overBed[last - 1]!, overBed[last]!]
  const lip_x_m = low[0] + ((depth_m - low[1]) / (high[1] - low[1])) * (high[0] - low[0])
  return [...overBed.slice(0, last).map(([x, z]): Point => [x - lip_x_m, z - depth_m]), [0, 0]]
}

/** The cut from its lip uphill to where it comes out of the ground, the first point the lip. */
function uphillFromLip(cut: CutShape, ground: readonly Point[]): Point[] {
  const left = ground[0]![0]
  const line: Point[] = [[0, 0]]
  for (const next of cutPoints(cut, left)) {
    const from = line[line.length - 1]!
    const edge = crossing(from, next, ground)
    if (edge && edge[0] >= left) return [...line, edge]
    if (edge) break
    line.push(next)
  }
  throw new InputError(
    'section/cut-never-ends',
    'The uphill side of the ditch never comes out of the ground given; dig it steeper, choose gentler ground, or give the ground further uphill.',
    { ground_from_m: left },
  )
}

/** Corners of the cut after the lip, going uphill and past the end of the ground. */
function* cutPoints(cut: CutShape, left: number): Generator<Point> {
  if (cut.form === 'bowl') {
    const { topWidth_m, depth_m } = cut
    const step = topWidth_m / BOWL_CHORDS
    for (let k = 1; -(k - 1) * step > left; k++) {
      const across = (2 * k) / BOWL_CHORDS - 1
      yield [-k * step, depth_m * (across * across - 1)]
    }
    return
  }
  const corners: Point[] =
    cut.form === 'drawn'
      ? [...cut.points].reverse().slice(1)
      : [
          [-cut.sideSlope_ratio * cut.depth_m, -cut.depth_m],
          [-cut.sideSlope_ratio * cut.depth_m - cut.bedWidth_m, -cut.depth_m],
          [-2 * cut.sideSlope_ratio * cut.depth_m - cut.bedWidth_m, 0],
        ]
  yield* corners
  // The last piece goes on.
  const [xa, za] = corners[corners.length - 2] ?? [0, 0]
  const [xb, zb] = corners[corners.length - 1]!
  const dx = xb - xa
  const dz = zb - za
  if (dz > 0) {
    const times = 1 + Math.max(dx < 0 ? (xb - left) / -dx : 0, 1e3 / dz)
    yield [xb + times * dx, zb + times * dz]
  }
}

/** Where a piece of the cut, running uphill from under the ground, first comes out of it; null while it stays below. */
function crossing(from: Point, to: Point, ground: readonly Point[]): Point | null {
  const stops = [
    from,
    ...ground
      .filter(([x]) => x < from[0] && x > to[0])
      .reverse()
      .map(([x]): Point => [x, from[1] + ((x - from[0]) / (to[0] - from[0])) * (to[1] - from[1])]),
    to,
  ]
  for (let k = 1; k < stops.length; k++) {
    const a = stops[k - 1]!
    const b = stops[k]!
    const before = a[1] - heightAt(ground, a[0])
    const after = b[1] - heightAt(ground, b[0])
    // A piece that lies in the ground's surface, as from the lip on level ground, does not come out of it.
    if (after >= 0 && after > before) {
      const t = -before / (after - before)
      return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]
    }
  }
  return null
}

/** The berm whose area is what is asked: its height over the lip, and its outline from the lip to the outer toe. */
function bermFor(berm: BermShape, asked_m2: number, ground: readonly Point[]): { height_m: number; profile: Point[] } {
  const least = outline(berm, 0, ground)
  if (bermArea_m2(least, ground) >= asked_m2)
    throw new InputError(
      'section/berm-below-lip',
      `The earth of the cut (${asked_m2} m² placed) is used up by the crest before it rises above the lip; dig deeper or wider, or make the crest narrower.`,
      { asked_m2, crestWidth_m: berm.crestWidth_m },
    )
  let low = 0
  let high = 0.25
  while (bermArea_m2(outline(berm, high, ground), ground) < asked_m2) {
    low = high
    high *= 2
  }
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2
    if (bermArea_m2(outline(berm, middle, ground), ground) < asked_m2) low = middle
    else high = middle
  }
  return { height_m: high, profile: outline(berm, high, ground) }
}

function outline({ innerSlope_ratio, outerSlope_ratio, crestWidth_m }: BermShape, height_m: number, ground: readonly Point[]): Point[] {
  const inner: Point = [innerSlope_ratio * height_m, height_m]
  const outer: Point = [inner[0] + crestWidth_m, height_m]
  return [[0, 0], inner, outer, toe(outer, outerSlope_ratio, ground)]
}

/** Where the outer face, falling from the crest, meets the ground. */
function toe([x0, z0]: Point, slope_ratio: number, ground: readonly Point[]): Point {
  const right = ground[ground.length - 1]![0]
  if (x0 <= right) {
    const start = heightAt(ground, x0)
    if (z0 <= start) return [x0, start]
    if (slope_ratio === 0) return [x0, start]
    const stops: Point[] = [[x0, start], ...ground.filter(([x]) => x > x0)]
    for (let k = 1; k < stops.length; k++) {
      const a = stops[k - 1]!
      const b = stops[k]!
      const before = z0 - (a[0] - x0) / slope_ratio - a[1]
      const after = z0 - (b[0] - x0) / slope_ratio - b[1]
      if (after <= 0) {
        const t = before / (before - after)
        return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]
      }
    }
  }
  throw new InputError(
    'section/no-toe',
    'The outer face of the berm does not meet the ground given; choose gentler ground or a steeper face, or give the ground further downhill.',
    { ground_to_m: right },
  )
}

/** Area between the berm's outline and the ground, where it lies above the ground. */
function bermArea_m2(profile: readonly Point[], ground: readonly Point[]): number {
  const end = profile[profile.length - 1]![0]
  const stops = [...new Set([...profile.map(([x]) => x), ...ground.map(([x]) => x).filter(x => x > 0 && x < end)])].sort((a, b) => a - b)
  let sum = 0
  for (let k = 1; k < stops.length; k++) {
    const from = stops[k - 1]!
    const run = stops[k]! - from
    // Heights over the ground at the ends of the piece, by way of its inside: at a vertical face the outline has two heights.
    const near = rise(from + run / 4)
    const far = rise(from + (3 * run) / 4)
    const first = near - (far - near) / 2
    const last = far + (far - near) / 2
    if (first >= 0 && last >= 0) sum += (run * (first + last)) / 2
    else if (first > 0) sum += (run * first * first) / (2 * (first - last))
    else if (last > 0) sum += (run * last * last) / (2 * (last - first))
  }
  return sum

  function rise(x: number): number {
    return heightAt(profile, x) - heightAt(ground, x)
  }
}

/** The ground from one place to another, both included. */
function between(ground: readonly Point[], from: number, to: number): Point[] {
  return [[from, heightAt(ground, from)], ...ground.filter(([x]) => x > from && x < to), [to, heightAt(ground, to)]]
}

/** Height of a line of rising x; beyond its ends its last pieces go on. */
function heightAt(line: readonly Point[], x: number): number {
  let k = 1
  while (k < line.length - 1 && line[k]![0] < x) k++
  const [xa, za] = line[k - 1]!
  const [xb, zb] = line[k]!
  return x === xb ? zb : za + ((x - xa) / (xb - xa)) * (zb - za)
}

function checkShapes(cut: CutShape, berm: BermShape, ground: readonly Point[]): void {
  if (
    ground.length < 2 ||
    ground.some(([x, z], k) => !Number.isFinite(x) || !Number.isFinite(z) || (k > 0 && x <= ground[k - 1]![0])) ||
    !(ground[0]![0] < 0 && ground[ground.length - 1]![0] > 0)
  )
    throw new InputError(
      'section/bad-ground',
      'The ground across the line needs two points or more, from uphill (x below 0) to downhill, x rising.',
      {
        points: ground.length,
      },
    )
  const refuse = (message: string): never => {
    throw new InputError('section/bad-shape', message, { form: cut.form })
  }
  for (const [name, size] of Object.entries(berm))
    if (!(size >= 0 && size < Infinity)) refuse(`${name} is ${size}; give a number of 0 or more.`)
  if (berm.crestWidth_m + berm.innerSlope_ratio + berm.outerSlope_ratio === 0) refuse('The berm would be a sheet without width.')
  if (berm.bermPerCut_ratio === 0) refuse('Without a berm this section does not apply.')
  if (cut.form === 'drawn') {
    const { points } = cut
    const last = points[points.length - 1]
    if (points.length < 3 || !last || last[0] !== 0 || last[1] !== 0)
      refuse('A drawn cut needs three points or more, from uphill to the lip at [0, 0].')
    if (points.some(([x, z], k) => !Number.isFinite(x) || !Number.isFinite(z) || (k > 0 && x < points[k - 1]![0])))
      refuse('A drawn cut runs from uphill to the lip; its x never turns back.')
    if (points.slice(0, -1).some(([x, z]) => x === 0 && z > 0)) refuse('A drawn cut lies below its lip.')
    return
  }
  const sizes = cut.form === 'bowl' ? [cut.topWidth_m, cut.depth_m] : [cut.depth_m, cut.bedWidth_m + cut.sideSlope_ratio]
  if (sizes.some(size => !(size > 0 && size < Infinity))) refuse('A cut needs a width and a depth above 0.')
  if (cut.form === 'trapezoid' && !(cut.bedWidth_m >= 0 && cut.sideSlope_ratio >= 0)) refuse('A size of the cut is below 0.')
}
