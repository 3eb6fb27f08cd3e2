import { InputError, type Warning } from 'soakline/foundation'
import { insideRings } from 'soakline/raster'
import type { FeatureKind } from 'soakline/siting'
import { type AddressOptions, fetchWhole } from './address-source.js'
import { ringsCross } from './geojson.js'
import type { MapDataSource } from './ground-sources.js'
import { type Box, refuseBadBox } from './ground-window.js'
import { hostOf } from './network.js'

/** Kinds of features that open map data tells. */
export const MAP_DATA_KINDS = ['building', 'track', 'stream', 'forest', 'wet', 'spring', 'well'] as const satisfies readonly FeatureKind[]
/** One of `MAP_DATA_KINDS`. */
export type MapDataKind = (typeof MAP_DATA_KINDS)[number]

/** What is asked for and what it is, by its tags. The values of waterways are those in which water runs in the open. Source: the tags' public documentation, from memory. */
const WATERWAYS = ['river', 'stream', 'ditch', 'drain', 'canal', 'tidal_channel']

type Tags = Readonly<Record<string, unknown>>

/** The kind of a thing by its tags; null for what is none of ours, and for what runs under the ground. */
export function kindByTags(tags: Tags): MapDataKind | null {
  const is = (key: string, ...values: string[]): boolean => typeof tags[key] === 'string' && values.includes(tags[key])
  const has = (key: string): boolean => typeof tags[key] === 'string' && tags[key] !== 'no'
  if (has('building')) return 'building'
  if (is('natural', 'spring')) return 'spring'
  if (is('man_made', 'water_well')) return 'well'
  if (is('waterway', ...WATERWAYS)) return has('tunnel') ? null : 'stream'
  if (is('landuse', 'forest') || is('natural', 'wood')) return 'forest'
  if (is('natural', 'wetland')) return 'wet'
  if (has('highway') && typeof tags.highway === 'string') return has('tunnel') ? null : 'track'
  return null
}

/** The question for a box, in the words of the query interface: everything of our kinds, with its shape. Source: the interface's manual, from memory. */
export function mapDataQuery([west, south, east, north]: Box): string {
  const box = [south, west, north, east].map(value => Number(value.toFixed(6))).join(',')
  const areas = ['["building"]', '["landuse"="forest"]', '["natural"="wood"]', '["natural"="wetland"]']
  const parts = [
    ...areas.flatMap(tag => [`way${tag}(${box});`, `relation["type"="multipolygon"]${tag}(${box});`]),
    `way["highway"](${box});`,
    `way["waterway"~"^(${WATERWAYS.join('|')})$"](${box});`,
    `node["natural"="spring"](${box});`,
    `node["man_made"="water_well"](${box});`,
  ]
  return `[out:json][timeout:25];(${parts.join('')});out geom;`
}

/** Features of open map data. */
export interface MapData {
  /** Each with `kind`, `name` and `source` as properties. */
  readonly geojson: string
  readonly counts: Readonly<Record<MapDataKind, number>>
  readonly warnings: readonly Warning[]
}

/** Side of a box that is asked for at once. Judgement: some 22 km; a town has 10,000 houses. Unit: degrees. */
const MOST_SIDE_deg = 0.2
/** More than such a box holds: what is larger is not taken. Judgement. */
const MOST_BYTES = 48e6
const MOST_ELEMENTS = 60_000
const MOST_POSITIONS = 2e6

/**
 * Brings what stands on the ground of a box.
 *
 * Throws  InputError `window/bad-box`, `window/too-large`, `map-data/…`, `address/…`, `network/not-allowed`.
 */
export async function bringMapData(source: MapDataSource, box: Box, options: AddressOptions): Promise<MapData> {
  refuseBadBox(box, 'lonlat')
  if (box[2] - box[0] > MOST_SIDE_deg || box[3] - box[1] > MOST_SIDE_deg)
    throw new InputError(
      'window/too-large',
      'The area is larger than can be brought at once. Choose a smaller one: the holding and the ground that drains to it.',
      {},
    )
  const address = `${source.address}?data=${encodeURIComponent(mapDataQuery(box))}`
  const bytes = await fetchWhole(address, MOST_BYTES, options)
  return readMapData(new TextDecoder().decode(bytes), source)
}

type Position = readonly [longitude: number, latitude: number]

/**
 * Features out of an answer, told apart by their tags; each bears whom it is owed to.
 *
 * Laws    Nothing is left out without being counted. An answer that says itself that it is not whole is refused: what is missing would look like open ground.
 * Throws  InputError `map-data/not-json`, `map-data/incomplete`, `map-data/too-large`.
 */
export function readMapData(text: string, source: Pick<MapDataSource, 'address' | 'credit' | 'licence' | 'name'>): MapData {
  const host = hostOf(source.address)
  let answer: { elements?: unknown; remark?: unknown }
  try {
    answer = JSON.parse(text)
  } catch {
    throw new InputError('map-data/not-json', `The answer of ${host} is no map data. Try again later.`, { host })
  }
  if (typeof answer !== 'object' || answer === null || !Array.isArray(answer.elements))
    throw new InputError('map-data/not-json', `The answer of ${host} is no map data. Try again later.`, { host })
  if (typeof answer.remark === 'string' && answer.remark !== '')
    throw new InputError(
      'map-data/incomplete',
      `${host} says that its answer is not whole (${answer.remark.slice(0, 100)}). Choose a smaller area, or try again later.`,
      { host, remark: answer.remark.slice(0, 100) },
    )
  const elements: unknown[] = answer.elements
  if (elements.length > MOST_ELEMENTS)
    throw new InputError('map-data/too-large', `The answer holds ${elements.length} things. Choose a smaller area.`, {
      elements: elements.length,
    })

  const budget = { positions: MOST_POSITIONS }
  const counts: Record<MapDataKind, number> = { building: 0, track: 0, stream: 0, forest: 0, wet: 0, spring: 0, well: 0 }
  const features: unknown[] = []
  let [broken, underground] = [0, 0]
  // A building that is mapped by its outline is an element and a part of another: it is drawn once.
  const drawn = new Set<string>()
  for (const item of elements) {
    const element = (typeof item === 'object' && item !== null ? item : {}) as Element
    const tags = (typeof element.tags === 'object' && element.tags !== null ? element.tags : {}) as Tags
    const kind = kindByTags(tags)
    if (kind === null) {
      if (typeof tags.tunnel === 'string') underground++
      continue
    }
    const id = `${typeof element.type === 'string' ? element.type : '?'}/${typeof element.id === 'number' ? element.id : features.length}`
    const geometry = geometryOf(element, kind, budget)
    if (geometry === null || polygonsIn(geometry).some(crosses)) {
      broken++
      continue
    }
    if (drawn.has(id)) continue
    drawn.add(id)
    counts[kind]++
    features.push({
      type: 'Feature',
      id,
      properties: { kind, name: typeof tags.name === 'string' ? tags.name.slice(0, 120) : null, source: source.credit },
      geometry,
    })
  }
  const warnings: Warning[] = [{ code: 'map-data/brought', details: { ...counts, name: source.name } }]
  if (broken > 0) warnings.push({ code: 'map-data/left-out', details: { features: broken } })
  if (underground > 0) warnings.push({ code: 'map-data/underground', details: { features: underground } })
  warnings.push(
    { code: 'map-data/may-lack', details: {} },
    { code: 'map-data/credit', details: { credit: source.credit, licence: source.licence } },
  )
  return { geojson: JSON.stringify({ type: 'FeatureCollection', features }), counts, warnings }
}

interface Element {
  readonly type?: unknown
  readonly id?: unknown
  readonly tags?: unknown
  readonly lat?: unknown
  readonly lon?: unknown
  readonly geometry?: unknown
  readonly members?: unknown
}

const AREAS: readonly MapDataKind[] = ['building', 'forest', 'wet']

type Drawn =
  | { readonly type: 'Point'; readonly coordinates: Position }
  | { readonly type: 'LineString'; readonly coordinates: readonly Position[] }
  | { readonly type: 'Polygon'; readonly coordinates: readonly Position[][] }
  | { readonly type: 'MultiPolygon'; readonly coordinates: readonly Position[][][] }

const polygonsIn = (geometry: Drawn): readonly (readonly Position[][])[] =>
  geometry.type === 'Polygon' ? [geometry.coordinates] : geometry.type === 'MultiPolygon' ? geometry.coordinates : []

/** Outlines that cross themselves enclose nothing that could be told. Degrees are drawn out to about metres for the test. */
const crosses = (rings: readonly Position[][]): boolean =>
  ringsCross(rings.map(ring => ring.slice(1).map(([longitude, latitude]): [number, number] => [longitude * 1e5, latitude * 1e5])))

/** A GeoJSON geometry; null where its shape is not whole. */
function geometryOf(element: Element, kind: MapDataKind, budget: { positions: number }): Drawn | null {
  if (element.type === 'node') {
    const at = positionOf(element, budget)
    return at && { type: 'Point', coordinates: at }
  }
  if (element.type === 'way') {
    const path = pathOf(element.geometry, budget)
    if (path === null) return null
    if (AREAS.includes(kind)) return isRing(path) ? { type: 'Polygon', coordinates: [path] } : null
    return { type: 'LineString', coordinates: path }
  }
  if (element.type !== 'relation' || !Array.isArray(element.members)) return null
  const pieces = { outer: [] as Position[][], inner: [] as Position[][] }
  for (const member of element.members as { type?: unknown; role?: unknown; geometry?: unknown }[]) {
    if (member?.type !== 'way') continue
    const path = pathOf(member.geometry, budget)
    if (path === null) return null
    pieces[member.role === 'inner' ? 'inner' : 'outer'].push(path)
  }
  const [outer, inner] = [ringsOf(pieces.outer), ringsOf(pieces.inner)]
  if (outer === null || inner === null || outer.length === 0) return null
  const polygons = outer.map(ring => [ring])
  for (const hole of inner) {
    const home = polygons.find(([ring]) => insideRings(hole[0]!, [ring!]))
    if (home === undefined) return null
    home.push(hole)
  }
  return { type: 'MultiPolygon', coordinates: polygons }
}

function positionOf(value: { readonly lat?: unknown; readonly lon?: unknown } | null, budget: { positions: number }): Position | null {
  if (--budget.positions < 0) throw new InputError('map-data/too-large', 'The answer holds too many places. Choose a smaller area.', {})
  const [longitude, latitude] = [value?.lon, value?.lat]
  return typeof longitude === 'number' && typeof latitude === 'number' && Math.abs(longitude) <= 180 && Math.abs(latitude) <= 90
    ? [longitude, latitude]
    : null
}

function pathOf(geometry: unknown, budget: { positions: number }): Position[] | null {
  if (!Array.isArray(geometry) || geometry.length < 2) return null
  const path: Position[] = []
  for (const item of geometry) {
    const at = positionOf(item, budget)
    if (at === null) return null
    path.push(at)
  }
  return path
}

const same = (a: Position, b: Position): boolean => a[0] === b[0] && a[1] === b[1]
const isRing = (path: readonly Position[]): boolean => path.length >= 4 && same(path[0]!, path.at(-1)!)

/** Pieces of outlines put together end to end; null where an outline does not close. */
function ringsOf(pieces: readonly Position[][]): Position[][] | null {
  const rings: Position[][] = []
  const ends = new Map<string, number[]>()
  const at = (place: Position): string => place.join()
  const left = new Set(pieces.keys())
  for (const [k, piece] of pieces.entries())
    for (const end of [piece[0]!, piece.at(-1)!]) ends.set(at(end), [...(ends.get(at(end)) ?? []), k])
  for (const k of pieces.keys()) {
    if (!left.delete(k)) continue
    const ring = [...pieces[k]!]
    while (!isRing(ring)) {
      const end = ring.at(-1)!
      const next = (ends.get(at(end)) ?? []).find(candidate => left.has(candidate))
      if (next === undefined) return null
      left.delete(next)
      const piece = pieces[next]!
      ring.push(...(same(piece[0]!, end) ? piece : [...piece].reverse()).slice(1))
    }
    rings.push(ring)
  }
  return rings
}
