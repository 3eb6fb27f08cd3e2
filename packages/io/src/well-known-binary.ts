import type { LooseFeature } from './marked-features.js'

/** Thrown within this file and by nobody else: the bytes are no geometry. */
class Broken extends Error {}

/** What a blob of a GeoPackage holds: a geometry, nothing, a kind of shape that is not read here, or bytes that are none. */
export type BlobReading = {
  readonly system: number
  readonly geometry: NonNullable<LooseFeature['geometry']> | 'empty' | 'other-kind' | 'broken'
}

/** Nested deeper than this no drawing program writes collections. Judgement. */
const MAX_DEPTH = 8
/** Bytes of the box round a geometry, by the number in its flags. */
const BOX_BYTES = [0, 32, 48, 48, 64]
const NAMES = ['Point', 'LineString', 'Polygon', 'MultiPoint', 'MultiLineString', 'MultiPolygon', 'GeometryCollection'] as const

/**
 * The geometry of a GeoPackage's blob; heights and measures are passed over.
 *
 * Laws     Nothing is allocated by a count that the bytes cannot hold; of the bytes' own words none is believed beyond their end.
 * Source   OGC GeoPackage 1.3 (12-128r17), clause 2.1.3 on the blob; ISO 13249-3 well-known binary: codes + 1000 with heights, + 2000 with measures, + 3000
 *          with both. From memory; held against GDAL in the test.
 */
export function readGeometryBlob(blob: Uint8Array): BlobReading {
  const view = new DataView(blob.buffer, blob.byteOffset, blob.byteLength)
  if (blob.length < 8 || blob[0] !== 0x47 || blob[1] !== 0x50) return { system: 0, geometry: 'broken' }
  const flags = blob[3]!
  const system = view.getInt32(4, (flags & 1) === 1)
  const box = BOX_BYTES[(flags >> 1) & 7]
  // Bit 5: of a kind that an extension describes.
  if ((flags & 32) !== 0) return { system, geometry: 'other-kind' }
  if (box === undefined || 8 + box > blob.length) return { system, geometry: 'broken' }
  if ((flags & 16) !== 0) return { system, geometry: 'empty' }
  try {
    const at = { at: 8 + box }
    return { system, geometry: geometryAt(view, at, 0) }
  } catch (error) {
    if (error instanceof Broken) return { system, geometry: 'broken' }
    throw error
  }
}

type Read = NonNullable<LooseFeature['geometry']> | 'empty' | 'other-kind'

function geometryAt(view: DataView, cursor: { at: number }, depth: number): Read {
  if (depth > MAX_DEPTH || cursor.at + 5 > view.byteLength) throw new Broken()
  const little = view.getUint8(cursor.at) === 1
  const written = view.getUint32(cursor.at + 1, little)
  cursor.at += 5
  const [kind, form] = [written % 1000, Math.floor(written / 1000)]
  const name = NAMES[kind - 1]
  if (form > 3 || kind > 17) throw new Broken()
  // Curves, triangles and surfaces in space: 8 to 17.
  if (name === undefined) return 'other-kind'
  const numbers = form === 0 ? 2 : form === 3 ? 4 : 3
  const count = (bytesEach: number): number => {
    if (cursor.at + 4 > view.byteLength) throw new Broken()
    const n = view.getUint32(cursor.at, little)
    cursor.at += 4
    if (cursor.at + n * bytesEach > view.byteLength) throw new Broken()
    return n
  }
  const place = (): [number, number] => {
    if (cursor.at + numbers * 8 > view.byteLength) throw new Broken()
    const at: [number, number] = [view.getFloat64(cursor.at, little), view.getFloat64(cursor.at + 8, little)]
    cursor.at += numbers * 8
    return at
  }
  const places = (): [number, number][] => {
    const line = Array.from({ length: count(numbers * 8) }, place)
    if (!line.every(at => at.every(Number.isFinite))) throw new Broken()
    return line
  }
  if (name === 'Point') {
    const coordinates = place()
    // A point of no numbers is how the format writes one without a place.
    if (coordinates.every(Number.isNaN)) return 'empty'
    if (!coordinates.every(Number.isFinite)) throw new Broken()
    return { type: name, coordinates }
  }
  if (name === 'LineString') {
    const coordinates = places()
    return coordinates.length === 0 ? 'empty' : { type: name, coordinates }
  }
  if (name === 'Polygon') {
    const coordinates = Array.from({ length: count(4) }, places)
    return (coordinates[0]?.length ?? 0) === 0 ? 'empty' : { type: name, coordinates }
  }
  const parts = Array.from({ length: count(9) }, () => geometryAt(view, cursor, depth + 1))
  // A part that cannot be shown makes the whole thing one that cannot: half a feature would look like all of it.
  if (parts.some(part => part === 'other-kind')) return 'other-kind'
  const shown = parts.filter(part => part !== 'empty' && part !== 'other-kind')
  if (shown.length === 0) return 'empty'
  if (name === 'GeometryCollection') return { type: name, geometries: shown }
  const single = name.slice(5)
  if (shown.some(part => part.type !== single)) throw new Broken()
  return { type: name, coordinates: shown.map(part => part.coordinates) }
}
