import { InputError, type Warning } from 'soakline/foundation'
import { gpxWhat, plain } from './gpx.js'
import { placesWritten } from './kml.js'
import { childText, everyElement, type XmlElement } from './xml.js'

/** A GeoJSON feature to be written as text. Keys of properties are text from the file: they are kept in a map until then. */
export interface LooseFeature {
  readonly properties: ReadonlyMap<string, string | number | boolean | null>
  readonly geometry: { readonly type: string; readonly coordinates?: unknown; readonly geometries?: readonly unknown[] } | null
}

type LonLat = readonly [number, number]

/** Features of one folder, of one kind of line, or of a whole file. */
export interface LoosePart {
  /** What the file calls it; '' for what stands in no folder. */
  readonly part: string
  readonly features: readonly LooseFeature[]
}

/** Kinds of shapes of KML that are no points, lines or areas on the ground. */
const OTHERS = ['Model', 'Track', 'MultiTrack', 'GroundOverlay', 'PhotoOverlay', 'ScreenOverlay']

/**
 * Places, lines and areas of a KML file by its folders, with what was said about each.
 *
 * Laws    What is linked from elsewhere is not fetched and other kinds of shapes are left out, both counted in a warning.
 * Throws  InputError `kml/bad-place`.
 * Source  OGC KML 2.3 (12-007r2, 2015), from memory.
 */
export function kmlParts(root: XmlElement): { parts: LoosePart[]; warnings: Warning[] } {
  const feature = (mark: XmlElement): LooseFeature => {
    const properties = new Map<string, string>()
    for (const data of [...everyElement(mark, 'Data'), ...everyElement(mark, 'SimpleData')]) {
      const key = data.attributes.get('name')
      if (key !== undefined) properties.set(key, data.name === 'Data' ? (childText(data, 'value') ?? '') : data.text)
    }
    const [name, note] = [childText(mark, 'name'), childText(mark, 'description')]
    if (name !== null) properties.set('name', name)
    if (note !== null) properties.set('note', note)
    const geometries = mark.children.flatMap(geometriesIn)
    return {
      properties,
      geometry: geometries.length === 0 ? null : geometries.length === 1 ? geometries[0]! : { type: 'GeometryCollection', geometries },
    }
  }
  const parts = inParts(marksInFolders(root, []), ({ folders }) => folders.join('/')).map(({ part, features }) => ({
    part,
    features: features.map(({ mark }) => feature(mark)),
  }))
  const warnings: Warning[] = []
  const links = everyElement(root, 'NetworkLink').length
  const others = OTHERS.reduce((sum, name) => sum + everyElement(root, name).length, 0)
  if (links > 0) warnings.push({ code: 'vector/links-not-followed', details: { links } })
  if (others > 0) warnings.push({ code: 'vector/shapes-left-out', details: { shapes: others } })
  return { parts, warnings }
}

/** More parts than this are not asked about one by one. Judgement. */
const MOST_PARTS = 60

/** Things by the part that each names, in the order in which the parts first come; all as one part where there are too many of them. */
export function inParts<T>(things: readonly T[], named: (thing: T) => string): { part: string; features: T[] }[] {
  const parts = new Map<string, T[]>()
  for (const thing of things) {
    const part = named(thing)
    if (!parts.has(part)) parts.set(part, [])
    parts.get(part)!.push(thing)
  }
  return parts.size > MOST_PARTS ? [{ part: '', features: [...things] }] : [...parts].map(([part, features]) => ({ part, features }))
}

/** Every placemark with the names of the folders that it stands in. */
function marksInFolders(element: XmlElement, folders: readonly string[]): { mark: XmlElement; folders: readonly string[] }[] {
  return element.children.flatMap(child => {
    if (child.name === 'Placemark') return [{ mark: child, folders }]
    const name = child.name === 'Folder' ? (childText(child, 'name') ?? '').trim().slice(0, 80) : ''
    return marksInFolders(child, name === '' ? folders : [...folders, name])
  })
}

function geometriesIn(element: XmlElement): NonNullable<LooseFeature['geometry']>[] {
  switch (element.name) {
    case 'MultiGeometry':
      return element.children.flatMap(geometriesIn)
    case 'Point':
      return placesIn(element)
        .slice(0, 1)
        .map(coordinates => ({ type: 'Point', coordinates }))
    case 'LineString':
    case 'LinearRing':
      return [{ type: 'LineString', coordinates: placesIn(element) }]
    case 'Polygon': {
      const ringsOf = (side: string): LonLat[][] =>
        element.children.filter(child => child.name === side).flatMap(child => everyElement(child, 'LinearRing').map(placesIn))
      const outer = ringsOf('outerBoundaryIs').slice(0, 1)
      // Holes of nothing are no area.
      return outer.length === 0 ? [] : [{ type: 'Polygon', coordinates: [...outer, ...ringsOf('innerBoundaryIs')] }]
    }
    default:
      return []
  }
}

function placesIn(element: XmlElement): LonLat[] {
  return placesWritten(childText(element, 'coordinates') ?? '').map(item => {
    const [longitude, latitude, ...more] = item.split(',').map(plain)
    if (longitude === undefined || latitude === undefined || !Number.isFinite(longitude + latitude) || more.length > 1)
      throw new InputError(
        'kml/bad-place',
        `"${item.slice(0, 60)}" is no place: KML writes longitude,latitude,altitude. Export the file again.`,
      )
    return [longitude, latitude] as const
  })
}

/**
 * Waypoints, routes and tracks of a GPX file, with their names: each of the three a part.
 *
 * Laws    A route or a piece of a track with fewer than two points has no shape; it is kept as such, so that it is counted.
 * Throws  InputError `gpx/bad-place`.
 * Source  GPX 1.1 schema (Topografix, 2004), from memory.
 */
export function gpxParts(root: XmlElement): LoosePart[] {
  const place = (element: XmlElement): LonLat => {
    const [longitude, latitude] = [plain(element.attributes.get('lon') ?? ''), plain(element.attributes.get('lat') ?? '')]
    if (!Number.isFinite(longitude + latitude))
      throw new InputError('gpx/bad-place', `A <${element.name}> has no place that can be read. Export the file again.`)
    return [longitude, latitude]
  }
  const wordsOf = (element: XmlElement): Map<string, string> => {
    const words = new Map<string, string>()
    for (const [tag, key] of [
      ['name', 'name'],
      ['desc', 'note'],
      ['type', 'type'],
    ] as const) {
      const text = childText(element, tag)
      if (text !== null) words.set(key, text)
    }
    const what = gpxWhat(element)
    if (what !== undefined) words.set('what', what)
    return words
  }
  const line = (owner: XmlElement, stops: readonly XmlElement[]): LooseFeature => ({
    properties: wordsOf(owner),
    geometry: stops.length < 2 ? null : { type: 'LineString', coordinates: stops.map(place) },
  })
  const named = (element: XmlElement, name: string): XmlElement[] => element.children.filter(child => child.name === name)
  return [
    {
      part: 'waypoints',
      features: named(root, 'wpt').map(point => ({ properties: wordsOf(point), geometry: { type: 'Point', coordinates: place(point) } })),
    },
    { part: 'routes', features: named(root, 'rte').map(route => line(route, named(route, 'rtept'))) },
    {
      part: 'tracks',
      features: named(root, 'trk').flatMap(track => everyElement(track, 'trkseg').map(piece => line(track, named(piece, 'trkpt')))),
    },
  ].filter(({ features }) => features.length > 0)
}
