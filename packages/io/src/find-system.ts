import { InputError } from 'soakline/foundation'
import { openProjection, type Projection } from './crs.js'
import { METRES_PER_DEGREE } from './earth-size.js'

/** A point that is known twice: in the numbers of a file, and on Earth. */
export interface KnownPoint {
  readonly x: number
  readonly y: number
  readonly longitude: number
  readonly latitude: number
}

/** A coordinate system that would put things where they are said to be. */
export interface FittingSystem {
  /** `EPSG:n`. */
  readonly crs: string
  readonly name: string
  /** How far off it puts what is known: the worst of the points, or the middle of the file from the place that was named. */
  readonly off_m: number
}

/** What is known beside the places. */
export interface FindOptions {
  /** Unit that the file itself names for its lengths; null or absent: that of each system. */
  readonly unit_m?: number | null | undefined
  readonly signal?: AbortSignal
}

/** West, south, east, north in a file's own numbers. */
export type FileBounds = readonly [west: number, south: number, east: number, north: number]

/** A place from a telephone or a map is this good; more is another system. Judgement. */
const POINT_OFF_m = 30
/** Points that stand closer tell nothing of a system's unit and turn. Judgement. */
const LEAST_APART = 1e-4
/** Systems that differ by less are the same for this place. */
const SAME_m = 0.001
/** How far the file may lie from the place that was named. Judgement. */
const NEAR_m = 60_000
/** Systems whose distances differ by less are told apart by how sure they are, since a place named roughly tells no more. Judgement. */
const NEAR_STEP_m = 5000

/**
 * The systems of the table in which points of a file lie where they are known to lie, nearest first. Of systems that agree to a millimetre only one is given.
 *
 * Throws  InputError `crs/known-points`: fewer than two, or too close together.
 * Cost    every system of the table is opened once: about a second.
 */
export async function systemsThrough(points: readonly KnownPoint[], { unit_m, signal }: FindOptions = {}): Promise<FittingSystem[]> {
  const [a, b] = points
  const whole = points.every(
    ({ x, y, longitude, latitude }) => Number.isFinite(x + y) && Math.abs(longitude) <= 180 && Math.abs(latitude) <= 90,
  )
  const apart = (p: number, q: number): number => Math.abs(p - q)
  if (!a || !b || !whole || apart(a.longitude, b.longitude) + apart(a.latitude, b.latitude) < LEAST_APART || (a.x === b.x && a.y === b.y))
    throw new InputError(
      'crs/known-points',
      'Two different points are needed, each with its two coordinates in the file and its longitude and latitude, at least some ten metres apart.',
      { points: points.length },
    )
  return rank(
    points,
    projection => {
      const off = points.map(({ x, y, longitude, latitude }) => offBy_m(projection, [x, y], [longitude, latitude], unit_m))
      const worst = Math.max(...off.map(([east, north]) => Math.hypot(east, north)))
      return worst <= POINT_OFF_m ? { off_m: worst, alike: off.flat() } : null
    },
    SAME_m,
    signal,
  )
}

/**
 * The systems of the table in which a file lies near a place, nearest first. Of systems that agree to a millimetre only one is given.
 *
 * Cost    as `systemsThrough`.
 */
export async function systemsNear(
  [west, south, east, north]: FileBounds,
  [longitude, latitude]: readonly [longitude: number, latitude: number],
  { unit_m, signal }: FindOptions = {},
): Promise<FittingSystem[]> {
  const middle = [(west + east) / 2, (south + north) / 2] as const
  return rank(
    [{ longitude, latitude }],
    projection => {
      const [x, y] = offBy_m(projection, middle, [longitude, latitude], unit_m)
      const off_m = Math.hypot(x, y)
      return off_m <= NEAR_m ? { off_m, alike: [x, y] } : null
    },
    NEAR_STEP_m,
    signal,
  )
}

/**
 * The one system of a list that fits so much better than all others that nobody need be asked: to a metre, and ten times as well as the next.
 * Null where there is none, or where several fit alike. Judgement.
 */
export function standsOut([best, ...others]: readonly FittingSystem[]): FittingSystem | null {
  if (best === undefined || (others.length > 0 && best.off_m > 1)) return null
  return others.every(({ off_m }) => off_m >= 10 * Math.max(best.off_m, 0.1)) ? best : null
}

/** From a point of the file to where it should be, in metres to the east and the north. */
function offBy_m(
  projection: Projection,
  [x, y]: readonly [number, number],
  [longitude, latitude]: readonly [number, number],
  own_m: number | null | undefined,
): [number, number] {
  if (projection.kind === 'geographic') {
    const along = METRES_PER_DEGREE * Math.cos((latitude * Math.PI) / 180)
    return [(longitude - x) * along, (latitude - y) * METRES_PER_DEGREE]
  }
  const unit_m = own_m ?? projection.horizontalUnit_m
  const [east, north] = projection.fromLonLat(longitude, latitude)
  return [east - x * unit_m, north - y * unit_m]
}

/** Systems that fit, by how far off they are in whole steps; of those that agree to a millimetre one. */
async function rank(
  places: readonly { readonly longitude: number; readonly latitude: number }[],
  fit: (projection: Projection) => { readonly off_m: number; readonly alike: readonly number[] } | null,
  step_m: number,
  signal: AbortSignal | undefined,
): Promise<FittingSystem[]> {
  const { EPSG_DEFINITIONS } = await import('./generated/epsg.js')
  const fitting: (FittingSystem & { readonly alike: readonly number[]; readonly rank: number })[] = []
  for (const [k, code] of Object.keys(EPSG_DEFINITIONS).entries()) {
    if (k % 256 === 0) signal?.throwIfAborted()
    const [, definition] = EPSG_DEFINITIONS[code]!
    if (!mayReach(definition, places)) continue
    try {
      const projection = await openProjection(`EPSG:${code}`)
      if (projection.kind === 'geographic' && code !== '4326') continue
      const found = fit(projection)
      if (found) fitting.push({ crs: `EPSG:${code}`, name: projection.name, rank: rankOf(code, projection), ...found })
    } catch (error) {
      // A system that cannot be opened, or does not reach there, is none that fits.
      if (!(error instanceof InputError)) throw error
    }
  }
  const step = ({ off_m }: FittingSystem): number => Math.round(off_m / step_m)
  const byName = [...fitting].sort((p, q) => p.rank - q.rank || p.off_m - q.off_m)
  const kept: typeof fitting = []
  for (const one of byName)
    if (!kept.some(({ alike }) => alike.every((value, n) => Math.abs(value - one.alike[n]!) <= SAME_m))) kept.push(one)
  kept.sort((p, q) => step(p) - step(q) || p.rank - q.rank || p.off_m - q.off_m)
  return kept.map(({ crs, name, off_m }) => ({ crs, name, off_m }))
}

/** Which of several systems that fit alike is told first: the UTM zones of WGS 84, then what has no doubt about its place on Earth. */
const rankOf = (code: string, { warnings }: Projection): number =>
  /^32[67]\d\d$/.test(code) ? 0 : code === '4326' ? 1 : warnings.length === 0 ? 2 : 3

/** Whether a definition's middle line lies within reach of the places: what is far from it is opened in vain. */
function mayReach(definition: string, places: readonly { readonly longitude: number }[]): boolean {
  const zone = /\+zone=(\d+)/.exec(definition)?.[1]
  const written = /\+lon_0=(-?[\d.]+)/.exec(definition)?.[1]
  const middle = zone !== undefined ? Number(zone) * 6 - 183 : written !== undefined ? Number(written) : null
  if (middle === null) return true
  // Strips along a meridian are narrow, cones and the like may span a continent.
  const reach = /\+proj=(utm|e?tmerc)\b/.test(definition) ? 12 : 60
  return places.every(({ longitude }) => Math.abs(((longitude - middle + 540) % 360) - 180) <= reach)
}
