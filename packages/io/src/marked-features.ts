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

/** Kinds of shapes of KML that are no points, lines or areas on the ground. */
const OTHERS = ['Model', 'Track', 'MultiTrack', 'GroundOverlay', 'PhotoOverlay', 'ScreenOverlay']

/**
 * Places, lines and areas of a KML file, with what was said about each.
 *
 * Laws    What is linked from elsewhere is not fetched and other kinds of shapes are left out, both counted in a warning.
 * Throws  InputError `kml/bad-place`.
 * Source  OGC KML 2.3 (12-007r2, 2015), from memory.
 */
export function kmlFeatures(root: XmlElement): { features: LooseFeature[]; warnings: Warning[] } {
  const features = everyElement(root, 'Placemark').map((mark): LooseFeature => {
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
  })
  const warnings: Warning[] = []
  const links = everyElement(root, 'NetworkLink').length
  const others = OTHERS.reduce((sum, name) => sum + everyElement(root, name).length, 0)
  if (links > 0) warnings.push({ code: 'vector/links-not-followed', details: { links } })
  if (others > 0) warnings.push({ code: 'vector/shapes-left-out', details: { shapes: others } })
  return { features, warnings }
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
      return [{ type: 'Polygon', coordinates: [...ringsOf('outerBoundaryIs').slice(0, 1), ...ringsOf('innerBoundaryIs')] }]
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
 * Waypoints, routes and tracks of a GPX file, with their names.
 *
 * Throws  InputError `gpx/bad-place`.
 * Source  GPX 1.1 schema (Topografix, 2004), from memory.
 */
export function gpxFeatures(root: XmlElement): LooseFeature[] {
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
  const line = (owner: XmlElement, stops: readonly XmlElement[]): LooseFeature[] =>
    stops.length < 2 ? [] : [{ properties: wordsOf(owner), geometry: { type: 'LineString', coordinates: stops.map(place) } }]
  return root.children.flatMap((child): LooseFeature[] => {
    if (child.name === 'wpt') return [{ properties: wordsOf(child), geometry: { type: 'Point', coordinates: place(child) } }]
    if (child.name === 'rte')
      return line(
        child,
        child.children.filter(stop => stop.name === 'rtept'),
      )
    if (child.name !== 'trk') return []
    return everyElement(child, 'trkseg').flatMap(segment =>
      line(
        child,
        segment.children.filter(stop => stop.name === 'trkpt'),
      ),
    )
  })
}
