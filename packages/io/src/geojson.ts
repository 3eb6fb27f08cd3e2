import { InputError, METRES_PER, type Warning } from 'soakline/foundation'
import type { GridGeometry, Point, Shape } from 'soakline/raster'
import { FEATURE_KINDS, type FeatureKind, type SiteFeature } from 'soakline/siting'
import { continuous, cutLine, cutPolygon, joinedAcross } from './antimeridian.js'
import { localProjection, type Projection } from './crs.js'
import { parseJson } from './json-text.js'
import { whichLine } from './which-line.js'

/** A position as it stands in the file. */
type Position = readonly number[]

/** Geometry of a checked GeoJSON feature, collections and multi-geometries taken apart. */
export type PlainGeometry =
  | { readonly type: 'Point'; readonly coordinates: Position; readonly multi: boolean }
  | { readonly type: 'LineString'; readonly coordinates: readonly Position[]; readonly multi: boolean }
  | { readonly type: 'Polygon'; readonly coordinates: readonly (readonly Position[])[]; readonly multi: boolean }

/** A feature as its file says it, before anybody said what it shows. */
export interface PlainFeature {
  /** Place in the file, from 1. */
  readonly number: number
  readonly id: string | null
  /** Simple values only (text, number, boolean, null); keys that could reach an object's prototype are dropped. */
  readonly properties: ReadonlyMap<string, string | number | boolean | null>
  readonly geometries: readonly PlainGeometry[]
}

/** What `readGeoJson` may be told besides. */
export interface VectorOptions {
  /** West, south, east, north of the raster in degrees; only used to see whether longitude and latitude are swapped. */
  readonly extent?: readonly [west: number, south: number, east: number, north: number]
  /** Which of several lines is meant, by its name or its number in the file; default as `whichLine`. */
  readonly line?: string
  /** Most characters that are taken. Default 100 million; judgement. */
  readonly maxCharacters?: number
}

/** Longer, larger files are no layer of a holding: they are damaged or hostile. Judgement. */
const MAX_CHARACTERS = 100e6
const MAX_POSITIONS = 5e6
const MAX_FEATURES = 200_000
const FORBIDDEN_KEYS = ['__proto__', 'constructor', 'prototype']

/**
 * Reads GeoJSON text and checks it down to each number.
 *
 * Laws    Nothing is repaired: a number written as text, a hole in the structure or an unknown type is refused with its place. Exact copies of a feature are left out and counted.
 * Throws  InputError `vector/too-large`, `vector/too-deep`, `vector/not-json`, `vector/not-geojson`, `vector/not-lonlat` (a legacy `crs` member).
 * Source  RFC 7946 (2016).
 */
export function readGeoJson(text: string, options: VectorOptions = {}): { features: PlainFeature[]; warnings: Warning[] } {
  const limit = options.maxCharacters ?? MAX_CHARACTERS
  if (text.length > limit)
    throw new InputError(
      'vector/too-large',
      `The GeoJSON has ${text.length} characters, more than ${limit}. Keep what lies on the holding.`,
      { characters: text.length },
    )
  const root = parseJson(text, why => new InputError('vector/not-json', `The vector file is not JSON (${why}). Export it as GeoJSON.`))
  if (!isObject(root)) throw notGeoJson('the file is not an object')
  refuseLegacyCrs(root)

  const raw: unknown[] = root.type === 'FeatureCollection' ? arrayOf(root.features, '"features"') : [root]
  if (raw.length > MAX_FEATURES)
    throw new InputError(
      'vector/too-large',
      `The GeoJSON has ${raw.length} features, more than ${MAX_FEATURES}. Keep what lies on the holding.`,
      { features: raw.length },
    )
  const budget = { positions: MAX_POSITIONS }
  const features: PlainFeature[] = []
  const seen = new Set<string>()
  let [empty, copies] = [0, 0]
  for (const [k, item] of raw.entries()) {
    const place = `feature ${k + 1}`
    if (!isObject(item)) throw notGeoJson(`${place} is not an object`)
    const bare = item.type !== 'Feature'
    if (bare && root.type === 'FeatureCollection')
      throw notGeoJson(`${place} has the type ${JSON.stringify(item.type)?.slice(0, 40)}, not "Feature"`)
    const geometry = bare ? item : item.geometry
    if (geometry === null || geometry === undefined) {
      empty++
      continue
    }
    const fingerprint = JSON.stringify(bare ? item : [item.geometry, item.properties ?? null])
    if (seen.has(fingerprint)) {
      copies++
      continue
    }
    seen.add(fingerprint)
    const geometries = flatten(geometry, place, false, budget, 0)
    if (geometries.length === 0) {
      empty++
      continue
    }
    features.push({
      number: k + 1,
      id: bare ? null : identity(item),
      properties: bare ? new Map() : simpleProperties(item.properties, place),
      geometries,
    })
  }
  const warnings: Warning[] = []
  if (empty > 0) warnings.push({ code: 'vector/empty-geometries', details: { features: empty } })
  if (copies > 0) warnings.push({ code: 'vector/copies-left-out', details: { features: copies } })
  return { features, warnings }
}

/**
 * The line of a plan: the LineString of a GeoJSON file that `whichLine` finds, in the working system.
 *
 * Units    metres; a third coordinate is ignored. For a `local` projection the file's coordinates are taken as those metres, with a warning.
 * Throws   InputError `line/none`, `line/several`, `line/no-such-line`, `line/too-short`, `vector/not-lonlat`, `vector/swapped`, and those of `readGeoJson` and `Projection`.
 */
export function readLine(text: string, projection: Projection, options: VectorOptions = {}): { path: Point[]; warnings: Warning[] } {
  const { features, warnings } = readGeoJson(text, options)
  const words = (value: unknown): string => (typeof value === 'string' ? value : '')
  const lines = features.flatMap(({ geometries, properties }) =>
    acrossAntimeridian(geometries).flatMap(geometry =>
      geometry.type === 'LineString'
        ? [{ ...geometry, name: words(properties.get('name')) || words(properties.get('layer')), what: words(properties.get('what')) }]
        : [],
    ),
  )
  if (lines.length === 0) {
    throw new InputError(
      'line/none',
      'The file holds no line. Draw the swale as one LineString from its first to its last point and export that.',
      { features: features.length },
    )
  }
  const line = whichLine(lines, options.line)
  if (line.multi)
    throw new InputError(
      'line/several',
      'The file holds a MultiLineString; which of its parts is meant is not clear. Export the one line, as a LineString.',
      { lines: lines.length },
    )
  const others = features.length - 1
  if (others > 0) warnings.push({ code: 'line/others-ignored', details: { features: others } })
  const toWorking = placer(projection, features, options, warnings)
  const path = withoutRepeats(line.coordinates.map(toWorking))
  if (path.length < 2)
    throw new InputError(
      'line/too-short',
      'The line has fewer than two different points, so it has no length and no direction. Draw it again.',
      { points: path.length },
    )
  return { path, warnings }
}

/** A line that was cut at the antimeridian as the one that it was; all else as it is. */
function acrossAntimeridian(geometries: readonly PlainGeometry[]): readonly PlainGeometry[] {
  const pieces = geometries.flatMap(geometry => (geometry.type === 'LineString' ? [geometry.coordinates] : []))
  const joined = pieces.length > 1 && pieces.length === geometries.length ? joinedAcross(pieces) : null
  return joined === null ? geometries : [{ type: 'LineString', coordinates: joined, multi: false }]
}

/**
 * Features that should be single points, in the working system; `at` is null for any that is not.
 *
 * Throws   as `readLine`, but for the lines.
 */
export function readFeaturePoints(
  text: string,
  projection: Projection,
  options: VectorOptions = {},
): { points: { at: Point | null; properties: PlainFeature['properties']; number: number }[]; warnings: Warning[] } {
  const { features, warnings } = readGeoJson(text, options)
  const toWorking = placer(projection, features, options, warnings)
  const points = features.map(({ geometries, properties, number }) => {
    const [only] = geometries
    return { at: geometries.length === 1 && only?.type === 'Point' ? toWorking(only.coordinates) : null, properties, number }
  })
  return { points, warnings }
}

/**
 * What lies on the holding: buildings, forest, boundary and so on, in the working system.
 *
 * Units    metres; `floor_ft` is converted exactly. For a `local` projection the file's coordinates are taken as metres, with a warning.
 * Laws     Every feature names its kind; every polygon ring has three different points or more and no two sides cross.
 * Throws   InputError `features/unknown-kind`, `features/floor`, `features/ring-too-short`, `features/line-too-short`, `features/self-crossing`, `vector/…`.
 */
export function readFeatures(
  text: string,
  projection: Projection,
  options: VectorOptions = {},
): { features: SiteFeature[]; warnings: Warning[] } {
  const { features, warnings } = readGeoJson(text, options)
  const toWorking = placer(projection, features, options, warnings)
  const ids = new Set<string>()
  let [renamed, opened] = [0, 0]
  const read = features.map(feature => {
    const name = feature.properties.get('name') ?? null
    const shown = `feature ${feature.number}${name === null ? '' : ` ("${String(name).slice(0, 60)}")`}`
    const kind = feature.properties.get('kind')
    if (!isKind(kind)) {
      throw new InputError(
        'features/unknown-kind',
        `${shown} has the kind ${kind === undefined ? '(none)' : JSON.stringify(kind)}; without a known kind it would not be kept clear of water. Give one of: ${FEATURE_KINDS.join(', ')}.`,
        { feature: feature.number, kind: kind ?? null, allowed: [...FEATURE_KINDS] },
      )
    }
    const shapes = feature.geometries.map((geometry): Shape => {
      if (geometry.type === 'Point') return { type: 'point', at: toWorking(geometry.coordinates) }
      if (geometry.type === 'LineString') {
        const path = withoutRepeats(geometry.coordinates.map(toWorking))
        if (path.length < 2)
          throw new InputError(
            'features/line-too-short',
            `${shown} is a line with fewer than two different points. Draw it again, or as a point.`,
            { feature: feature.number },
          )
        return { type: 'line', path }
      }
      const rings = geometry.coordinates.map(ring => {
        const [first, last] = [ring[0], ring.at(-1)]
        if (first && last && (first[0] !== last[0] || first[1] !== last[1])) opened++
        return openRing(ring.map(toWorking))
      })
      if (rings.length === 0 || rings.some(ring => new Set(ring.map(String)).size < 3)) {
        throw new InputError(
          'features/ring-too-short',
          `${shown} is a polygon with a ring of fewer than three different points, so it has no area. Draw it again.`,
          { feature: feature.number },
        )
      }
      refuseCrossing(rings, shown, projection)
      return { type: 'polygon', rings }
    })
    let id = feature.id ?? `f${feature.number}`
    if (ids.has(id)) {
      renamed++
      for (let k = 2; ids.has(id); k++) id = `${feature.id ?? `f${feature.number}`}-${k}`
    }
    ids.add(id)
    const source = feature.properties.get('source')
    const height_m = kind === 'wall' ? measureOf(feature, 'height', shown) : null
    return {
      id,
      kind,
      name: name === null ? null : String(name),
      shapes,
      floor_m: measureOf(feature, 'floor', shown),
      ...(height_m === null ? {} : { height_m }),
      ...(typeof source === 'string' && source !== '' ? { source: source.slice(0, 300) } : {}),
    }
  })
  if (renamed > 0) warnings.push({ code: 'features/ids-made-unique', details: { features: renamed } })
  if (opened > 0) warnings.push({ code: 'features/rings-closed', details: { rings: opened } })
  return { features: read, warnings }
}

/** West, south, east, north of a raster in WGS 84 degrees, the east one beyond 180 where the antimeridian lies between; null for a local one. For `VectorOptions.extent`. */
export function lonLatExtent(g: GridGeometry, projection: Projection): [number, number, number, number] | null {
  if (projection.kind === 'local') return null
  const bounds: [number, number, number, number] = [540, 90, -540, -90]
  let first: number | null = null
  for (let k = 0; k <= 8; k++) {
    const [dx, dy] = [(k / 8) * g.width * g.cell_m, (k / 8) * g.height * g.cell_m]
    const [east, south] = [g.west_m + g.width * g.cell_m, g.north_m - g.height * g.cell_m]
    for (const [x, y] of [
      [g.west_m + dx, g.north_m],
      [g.west_m + dx, south],
      [g.west_m, g.north_m - dy],
      [east, g.north_m - dy],
    ] as const) {
      const [written, latitude] = projection.toLonLat(x, y)
      first ??= written
      const longitude = continuous([[first], [written]])[1]![0]!
      bounds[0] = Math.min(bounds[0], longitude)
      bounds[1] = Math.min(bounds[1], latitude)
      bounds[2] = Math.max(bounds[2], longitude)
      bounds[3] = Math.max(bounds[3], latitude)
    }
  }
  // Counted from the west side: 179° to 181°, not −181° to −179°.
  return bounds[0] < -180 ? [bounds[0] + 360, bounds[1], bounds[2] + 360, bounds[3]] : bounds
}

/** A feature to be written: shapes in the working system. */
export interface DrawnFeature {
  readonly id?: string
  readonly shapes: readonly Shape[]
  /** Heights of the vertices, for a feature of one line; written as third coordinates. */
  readonly heights_m?: readonly number[]
  readonly properties: Readonly<Record<string, unknown>>
}

/**
 * Features as a GeoJSON object: longitude, latitude, WGS 84, nine decimals (a tenth of a millimetre).
 *
 * Laws    Outer rings run counter-clockwise, holes clockwise; rings are closed; shapes of one kind become one Multi geometry. What crosses the antimeridian is
 *         cut there.
 *         A `local` projection has no longitude: coordinates are its metres, and the member `coordinateSystem` says so.
 * Source  RFC 7946 (2016), section 3.1.6 for the rings, 3.1.9 for the cut.
 */
export function featureCollection(
  features: readonly DrawnFeature[],
  projection: Projection,
  members: Readonly<Record<string, unknown>> = {},
): Record<string, unknown> {
  const local = projection.kind === 'local'
  const round = (value: number, digits: number): number => Math.round(value * digits) / digits + 0
  const place = ([x, y]: Point, height_m?: number): number[] => {
    const at = local ? [round(x, 1e6), round(y, 1e6)] : projection.toLonLat(x, y).map(value => round(value, 1e9))
    return height_m === undefined || !Number.isFinite(height_m) ? at : [...at, round(height_m, 1e4)]
  }
  /** Coordinates of a shape: one, or several where the antimeridian cuts it. */
  const coordinates = (shape: Shape, heights: readonly number[] | undefined): readonly unknown[] => {
    if (shape.type === 'point') return [place(shape.at, heights?.[0])]
    if (shape.type === 'line') {
      const path = shape.path.map((point, k) => place(point, heights?.[k]))
      return local ? [path] : cutLine(path)
    }
    const rings = shape.rings.map((ring, k) => {
      const open = openRing(ring)
      const turned = signedArea(open) > 0 === (k === 0) ? open : [...open].reverse()
      return [...turned, turned[0]!].map(point => place(point))
    })
    return local ? [rings] : cutPolygon(rings)
  }
  const names = { point: 'Point', line: 'LineString', polygon: 'Polygon' } as const
  const geometry = (feature: DrawnFeature): unknown => {
    const [first] = feature.shapes
    if (!first) return null
    const heights = feature.shapes.length === 1 ? feature.heights_m : undefined
    const parts = feature.shapes.flatMap(shape => coordinates(shape, heights).map(part => ({ type: names[shape.type], coordinates: part })))
    if (parts.length === 1) return parts[0]
    if (feature.shapes.every(shape => shape.type === first.type))
      return { type: `Multi${names[first.type]}`, coordinates: parts.map(part => part.coordinates) }
    return { type: 'GeometryCollection', geometries: parts }
  }
  return {
    type: 'FeatureCollection',
    ...members,
    ...(local ? { coordinateSystem: 'metres of the raster itself, which has no place on Earth; not longitude and latitude' } : {}),
    features: features.map(feature => ({
      type: 'Feature',
      ...(feature.id === undefined ? {} : { id: feature.id }),
      properties: feature.properties,
      geometry: geometry(feature),
    })),
  }
}

/** `featureCollection` as text, one line a feature. */
export function writeGeoJson(
  features: readonly DrawnFeature[],
  projection: Projection,
  members: Readonly<Record<string, unknown>> = {},
): string {
  const { features: list, ...rest } = featureCollection(features, projection, members)
  const head = JSON.stringify(rest).slice(0, -1)
  return `${head},"features":[\n${(list as unknown[]).map(feature => JSON.stringify(feature)).join(',\n')}\n]}\n`
}

// — reading

type JsonObject = Readonly<Record<string, unknown>>
const isObject = (value: unknown): value is JsonObject => typeof value === 'object' && value !== null && !Array.isArray(value)
const isKind = (value: unknown): value is FeatureKind => (FEATURE_KINDS as readonly unknown[]).includes(value)
const notGeoJson = (what: string): InputError =>
  new InputError('vector/not-geojson', `This is not GeoJSON as RFC 7946 has it: ${what}. Export the layer again as GeoJSON.`, { what })

function arrayOf(value: unknown, what: string): unknown[] {
  if (!Array.isArray(value)) throw notGeoJson(`${what} is not a list`)
  return value
}

/** The old `crs` member is taken only where it names longitude and latitude in WGS 84. */
function refuseLegacyCrs(root: JsonObject): void {
  if (root.crs === undefined || root.crs === null) return
  const properties = isObject(root.crs) && isObject(root.crs.properties) ? root.crs.properties : {}
  const name = typeof properties.name === 'string' ? properties.name : JSON.stringify(root.crs).slice(0, 80)
  if (/(CRS:?84|EPSG:{1,2}4326)$/i.test(name)) return
  throw new InputError(
    'vector/not-lonlat',
    `The GeoJSON says that its coordinates are in ${name}. RFC 7946 knows only longitude and latitude in WGS 84; export it as EPSG:4326 ("GeoJSON, RFC 7946").`,
    { crs: name },
  )
}

function identity(item: JsonObject): string | null {
  const inner = isObject(item.properties) ? item.properties.id : undefined
  for (const id of [item.id, inner])
    if ((typeof id === 'string' && id !== '') || (typeof id === 'number' && Number.isFinite(id))) return String(id).slice(0, 200)
  return null
}

function simpleProperties(properties: unknown, place: string): Map<string, string | number | boolean | null> {
  const simple = new Map<string, string | number | boolean | null>()
  if (properties === null || properties === undefined) return simple
  if (!isObject(properties)) throw notGeoJson(`the properties of ${place} are not an object`)
  for (const [key, value] of Object.entries(properties)) {
    if (FORBIDDEN_KEYS.includes(key)) continue
    if (value === null || typeof value === 'string' || typeof value === 'boolean' || (typeof value === 'number' && Number.isFinite(value)))
      simple.set(key, value)
  }
  return simple
}

function flatten(geometry: unknown, place: string, multi: boolean, budget: { positions: number }, depth: number): PlainGeometry[] {
  if (!isObject(geometry)) throw notGeoJson(`the geometry of ${place} is not an object`)
  if (depth > 8) throw notGeoJson(`${place} nests collections too deep`)
  const position = (value: unknown): Position => {
    if (--budget.positions < 0)
      throw new InputError('vector/too-large', `The GeoJSON has more than ${MAX_POSITIONS} points. Keep what lies on the holding.`, {})
    if (
      !Array.isArray(value) ||
      value.length < 2 ||
      value.length > 4 ||
      !value.every(number => typeof number === 'number' && Number.isFinite(number))
    ) {
      throw notGeoJson(`${place} has the position ${JSON.stringify(value)?.slice(0, 60)}; it must be two or three plain numbers`)
    }
    return value as number[]
  }
  const line = (value: unknown): Position[] => arrayOf(value, `a line of ${place}`).map(position)
  const polygon = (value: unknown): Position[][] => arrayOf(value, `a polygon of ${place}`).map(line)
  const { type, coordinates } = geometry
  switch (type) {
    case 'Point':
      // An empty position is RFC 7946's way of a geometry without a place.
      return Array.isArray(coordinates) && coordinates.length === 0 ? [] : [{ type, coordinates: position(coordinates), multi }]
    case 'LineString':
      return [{ type, coordinates: line(coordinates), multi }]
    case 'Polygon':
      return [{ type, coordinates: polygon(coordinates), multi }]
    case 'MultiPoint':
      return arrayOf(coordinates, `${place}'s points`).map(item => ({ type: 'Point', coordinates: position(item), multi: true }))
    case 'MultiLineString':
      return arrayOf(coordinates, `${place}'s lines`).map(item => ({ type: 'LineString', coordinates: line(item), multi: true }))
    case 'MultiPolygon':
      return arrayOf(coordinates, `${place}'s polygons`).map(item => ({ type: 'Polygon', coordinates: polygon(item), multi: true }))
    case 'GeometryCollection':
      return arrayOf(geometry.geometries, `${place}'s geometries`).flatMap(item => flatten(item, place, multi, budget, depth + 1))
    default:
      throw notGeoJson(`${place} has the geometry type ${JSON.stringify(type)?.slice(0, 40)}`)
  }
}

const positionsOf = (geometry: PlainGeometry): readonly Position[] =>
  geometry.type === 'Point' ? [geometry.coordinates] : geometry.type === 'LineString' ? geometry.coordinates : geometry.coordinates.flat()

/** The way from the file's positions to the working system, after a look at all of them. */
function placer(
  projection: Projection,
  features: readonly PlainFeature[],
  options: VectorOptions,
  warnings: Warning[],
): (position: Position) => Point {
  if (projection.kind === 'local') {
    if (features.length > 0) warnings.push({ code: 'vector/local-metres', details: {} })
    return position => [position[0]!, position[1]!]
  }
  const { extent } = options
  const eastOf = (longitude: number, west: number): number => longitude - west - 360 * Math.floor((longitude - west) / 360)
  const within = (longitude: number, latitude: number): boolean =>
    extent !== undefined &&
    eastOf(longitude, extent[0] - 0.01) <= extent[2] - extent[0] + 0.02 &&
    latitude >= extent[1] - 0.01 &&
    latitude <= extent[3] + 0.01
  let [positions, straight, swapped] = [0, 0, 0]
  let odd: Position | null = null
  for (const feature of features) {
    for (const geometry of feature.geometries) {
      for (const position of positionsOf(geometry)) {
        const [x, y] = position as [number, number]
        positions++
        if (within(x, y)) straight++
        if (within(y, x)) swapped++
        if (odd === null && !(Math.abs(x) <= 180 && Math.abs(y) <= 90)) odd = position
      }
    }
  }
  const looksSwapped = positions > 0 && straight === 0 && swapped === positions
  if (odd !== null) {
    throw new InputError(
      'vector/not-lonlat',
      `${odd[0]}, ${odd[1]} is not a longitude and latitude in degrees${looksSwapped ? '; swapped, the points lie on the raster' : ''}. Vectors are read as RFC 7946 GeoJSON (longitude first, WGS 84): export the layer as EPSG:4326.`,
      { position: [...odd], looksSwapped },
    )
  }
  if (looksSwapped) {
    throw new InputError(
      'vector/swapped',
      'Longitude and latitude seem to be swapped: as written no point lies on the raster, the other way round all do. GeoJSON puts the longitude first; export the layer again.',
      { positions },
    )
  }
  if (extent !== undefined && positions > 0 && straight === 0) warnings.push({ code: 'vector/outside-raster', details: { positions } })
  return position => projection.fromLonLat(position[0]!, position[1]!)
}

/** A measure that a feature carries in metres or in feet: the height of a building's floor, or of a wall; null when it has none. */
function measureOf(feature: PlainFeature, what: 'floor' | 'height', shown: string): number | null {
  const [metres, feet] = [feature.properties.get(`${what}_m`) ?? null, feature.properties.get(`${what}_ft`) ?? null]
  if (metres === null && feet === null) return null
  const value = metres ?? feet
  const twice = metres !== null && feet !== null
  const [low, high] = what === 'floor' ? [-100_000, 100_000] : [0, 1000]
  if (twice || typeof value !== 'number' || !(value >= low && value <= high) || (what === 'height' && value === 0)) {
    throw new InputError(
      what === 'floor' ? 'features/floor' : 'features/height',
      `${shown} gives its ${what} as ${JSON.stringify(twice ? { [`${what}_m`]: metres, [`${what}_ft`]: feet } : value)}; it must be one plain number, ${what}_m in metres or ${what}_ft in feet, ${what === 'floor' ? "in the raster's own datum" : 'over the ground, above 0'}.`,
      {
        feature: feature.number,
      },
    )
  }
  return metres === null ? value * METRES_PER.ft : value
}

// — geometry

function withoutRepeats(path: readonly Point[]): Point[] {
  return path.filter((point, k) => k === 0 || point[0] !== path[k - 1]![0] || point[1] !== path[k - 1]![1])
}

/** A ring without its closing repeat and without points that stand twice. */
function openRing(ring: readonly Point[]): Point[] {
  const open = withoutRepeats(ring)
  while (open.length > 1 && open[0]![0] === open.at(-1)![0] && open[0]![1] === open.at(-1)![1]) open.pop()
  return open
}

/** Positive when the ring runs counter-clockwise (x east, y north). */
function signedArea(ring: readonly Point[]): number {
  const [ox, oy] = ring[0] ?? [0, 0]
  let sum = 0
  for (let k = 0; k < ring.length; k++) {
    const [p, q] = [ring[k]!, ring[(k + 1) % ring.length]!]
    sum += (p[0] - ox) * (q[1] - oy) - (q[0] - ox) * (p[1] - oy)
  }
  return sum / 2
}

interface Side {
  readonly p: Point
  readonly q: Point
  readonly west: number
  readonly east: number
}

/** Most pairs of sides that are compared; beyond it a polygon is too crowded to be a drawn one. Judgement. */
const MAX_PAIRS = 2e7

/** Whether sides of rings cross, so that `readFeatures` would refuse them; also where there are too many to be checked. Unit: metres, roughly. */
export function ringsCross(rings: readonly (readonly Point[])[]): boolean {
  try {
    refuseCrossing(rings, '', localProjection())
    return false
  } catch {
    return true
  }
}

/** Refuses a polygon whose sides cross, its holes included. Sides are sorted by their west end, so that only neighbours in x are compared. */
function refuseCrossing(rings: readonly (readonly Point[])[], shown: string, projection: Projection): void {
  const sides: Side[] = rings.flatMap(ring =>
    ring.map((p, k) => {
      const q = ring[(k + 1) % ring.length]!
      return { p, q, west: Math.min(p[0], q[0]), east: Math.max(p[0], q[0]) }
    }),
  )
  sides.sort((a, b) => a.west - b.west)
  let pairs = 0
  for (let i = 0; i < sides.length; i++) {
    const a = sides[i]!
    for (let j = i + 1; j < sides.length && sides[j]!.west <= a.east; j++) {
      if (++pairs > MAX_PAIRS)
        throw new InputError('features/too-crowded', `${shown} has too many sides to be checked (${sides.length}). Simplify it.`, {
          sides: sides.length,
        })
      const b = sides[j]!
      const at = crossing(a, b)
      if (at) {
        const place =
          projection.kind === 'local'
            ? `${at[0].toFixed(2)}, ${at[1].toFixed(2)} (metres)`
            : projection
                .toLonLat(at[0], at[1])
                .map(value => value.toFixed(6))
                .join(', ')
        throw new InputError(
          'features/self-crossing',
          `${shown} is a polygon whose sides cross at ${place}, so its inside is not clear. Redraw it there.`,
          { place },
        )
      }
    }
  }
}

/** Where two sides cross in their insides, or null. Touching ends are no crossing. */
function crossing(a: Side, b: Side): Point | null {
  const side = (p: Point, q: Point, r: Point): number => (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
  const [a1, a2] = [side(b.p, b.q, a.p), side(b.p, b.q, a.q)]
  const [b1, b2] = [side(a.p, a.q, b.p), side(a.p, a.q, b.q)]
  if (!((a1 > 0 && a2 < 0) || (a1 < 0 && a2 > 0)) || !((b1 > 0 && b2 < 0) || (b1 < 0 && b2 > 0))) return null
  const t = a1 / (a1 - a2)
  return [a.p[0] + t * (a.q[0] - a.p[0]), a.p[1] + t * (a.q[1] - a.p[1])]
}
