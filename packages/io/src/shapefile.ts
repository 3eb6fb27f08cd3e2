import { InputError } from 'soakline/foundation'
import { insideRings } from 'soakline/raster'

/** Geometry of a shape in the file's own coordinates, as GeoJSON has it. */
export type ShapeGeometry =
  | { readonly type: 'Point'; readonly coordinates: Place }
  | { readonly type: 'MultiPoint'; readonly coordinates: readonly Place[] }
  | { readonly type: 'MultiLineString'; readonly coordinates: readonly (readonly Place[])[] }
  | { readonly type: 'MultiPolygon'; readonly coordinates: readonly (readonly (readonly Place[])[])[] }

type Place = readonly [x: number, y: number]

/** The shapes of a file in the order of their records; null for an empty one or one that is left out. */
export interface ShapeReading {
  readonly shapes: readonly (ShapeGeometry | null)[]
  /** Numbers of the records that cannot be read, counted from 1. */
  readonly broken: readonly number[]
}

const HEADER_BYTES = 100
/** More lines or rings than one shape of a holding has; each ring is looked for in every other. Judgement. */
const MAX_PARTS = 5000
/** Kinds of shapes; with heights 10 more, with measures 20 more, both of which are passed over. */
const [EMPTY, POINT, LINE, AREA, POINTS] = [0, 1, 3, 5, 8]

/**
 * The shapes of a shapefile's main file.
 *
 * Laws     Nothing is read outside its own record, nothing allocated by a count that the record cannot hold; a broken record is told by its number and
 *          the others are read.
 * Throws   InputError `shapefile/not-shapefile`, `shapefile/truncated`.
 * Source   ESRI Shapefile Technical Description (July 1998), pp. 3–15, from memory.
 */
export function readShapes(bytes: Uint8Array): ShapeReading {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  if (bytes.length < HEADER_BYTES || view.getInt32(0) !== 9994)
    throw new InputError('shapefile/not-shapefile', 'The .shp file does not begin as a shapefile does. Export the layer again.', {})
  const promised = view.getInt32(24) * 2
  if (promised > bytes.length)
    throw new InputError(
      'shapefile/truncated',
      `The .shp file stops too early: it promises ${promised} bytes and has ${bytes.length} (${Math.floor((100 * bytes.length) / promised)} %). Fetch or export it again.`,
      { bytes: bytes.length, needed: promised },
    )
  const shapes: (ShapeGeometry | null)[] = []
  const broken: number[] = []
  let at = HEADER_BYTES
  while (at + 8 <= bytes.length) {
    const length = view.getInt32(at + 4) * 2
    const [from, to] = [at + 8, at + 8 + length]
    if (length < 4 || to > bytes.length) {
      // Without its length nobody knows where the next record begins.
      shapes.push(null)
      broken.push(shapes.length)
      break
    }
    const shape = shapeOf(view, from, to)
    shapes.push(shape === 'broken' ? null : shape)
    if (shape === 'broken') broken.push(shapes.length)
    at = to
  }
  return { shapes, broken }
}

function shapeOf(view: DataView, from: number, to: number): ShapeGeometry | null | 'broken' {
  const kind = view.getInt32(from, true)
  const base = kind % 10
  if (kind === EMPTY) return null
  if (kind < 0 || kind > 28) return 'broken'
  let whole = true
  const placeAt = (at: number): Place => {
    const place = [view.getFloat64(at, true), view.getFloat64(at + 8, true)] as const
    // Less than −10³⁸ is the format's "no value"; no place on Earth is that far.
    if (!(Math.abs(place[0]) < 1e12) || !(Math.abs(place[1]) < 1e12)) whole = false
    return place
  }
  if (base === POINT) {
    if (from + 20 > to) return 'broken'
    const coordinates = placeAt(from + 4)
    return whole ? { type: 'Point', coordinates } : 'broken'
  }
  if (from + 44 > to) return 'broken'
  if (base === POINTS) {
    const count = view.getInt32(from + 36, true)
    if (count < 0 || from + 40 + count * 16 > to) return 'broken'
    const coordinates = Array.from({ length: count }, (_, k) => placeAt(from + 40 + k * 16))
    return whole ? { type: 'MultiPoint', coordinates } : 'broken'
  }
  if (base !== LINE && base !== AREA) return 'broken'
  const [parts, count] = [view.getInt32(from + 36, true), view.getInt32(from + 40, true)]
  const first = from + 44 + parts * 4
  if (parts < 0 || parts > MAX_PARTS || count < 0 || first + count * 16 > to) return 'broken'
  const lines: Place[][] = []
  for (let k = 0; k < parts; k++) {
    const begin = view.getInt32(from + 44 + k * 4, true)
    const end = k + 1 < parts ? view.getInt32(from + 48 + k * 4, true) : count
    if (begin < 0 || end < begin || end > count) return 'broken'
    lines.push(Array.from({ length: end - begin }, (_, n) => placeAt(first + (begin + n) * 16)))
  }
  if (!whole) return 'broken'
  return base === LINE ? { type: 'MultiLineString', coordinates: lines } : { type: 'MultiPolygon', coordinates: polygonsOf(lines) }
}

/** Rings sorted to areas: outer ones run clockwise, a hole belongs to the smallest outer ring round it; a hole without one is an area of its own. */
function polygonsOf(rings: readonly (readonly Place[])[]): Place[][][] {
  const sized = rings.filter(ring => ring.length > 0).map(ring => ({ ring: [...ring], area: turnedArea(ring) }))
  const areas = sized.filter(({ area }) => area <= 0).map(({ ring, area }) => ({ rings: [ring], area: -area }))
  for (const { ring, area } of sized) {
    if (area <= 0) continue
    const round = areas.filter(outer => outer.area >= area && insideRings(ring[0]!, [outer.rings[0]!])).sort((a, b) => a.area - b.area)[0]
    if (round) round.rings.push(ring)
    else areas.push({ rings: [ring], area })
  }
  return areas.map(({ rings: own }) => own)
}

/** Positive counter-clockwise. */
function turnedArea(ring: readonly Place[]): number {
  const [ox, oy] = ring[0]!
  let sum = 0
  for (let k = 0; k + 1 < ring.length; k++) {
    const [p, q] = [ring[k]!, ring[k + 1]!]
    sum += (p[0] - ox) * (q[1] - oy) - (q[0] - ox) * (p[1] - oy)
  }
  return sum / 2
}
