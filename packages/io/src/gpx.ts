import { InputError } from 'soakline/foundation'
import type { Point } from 'soakline/raster'
import type { Projection } from './crs.js'
import type { FieldDrawing, FieldReading, FieldWhat, NamedLine, NamedPoint } from './field-shapes.js'
import { childText, everyElement, parseXml, type XmlElement, xmlText } from './xml.js'

/**
 * Points as waypoints and lines as routes, for a receiver or a telephone.
 *
 * Units   longitude and latitude in WGS 84 degrees, nine decimals (a tenth of a millimetre); `ele` in metres of the raster's own datum, three decimals.
 * Laws    elements stand in the order of the schema; any name comes back as it was, but for signs that XML forbids. Areas are left out: GPX has none.
 * Throws  InputError `crs/no-place` for a local raster, `crs/outside-domain`.
 * Source  GPX 1.1 schema (Topografix, 2004): order of elements, `ele` a plain decimal, longitudes from −180 up to, not including, 180.
 */
export function writeGpx({ name, note, points = [], lines = [] }: FieldDrawing, projection: Projection): string {
  const place = (tag: string, at: Point, height_m: number | null | undefined, inner: string): string => {
    const [longitude, latitude] = projection.toLonLat(at[0], at[1])
    const ele = height_m === null || height_m === undefined || !Number.isFinite(height_m) ? '' : `<ele>${height_m.toFixed(3)}</ele>`
    return `<${tag} lat="${latitude.toFixed(9)}" lon="${east(longitude)}">${ele}${inner}</${tag}>`
  }
  const named = (tag: string, text: string | undefined): string => (text === undefined ? '' : `<${tag}>${xmlText(text)}</${tag}>`)
  const body = [
    ...points.map(point =>
      place('wpt', point.at, point.height_m, `${named('name', point.name)}${named('desc', point.note)}${named('type', point.group)}`),
    ),
    ...lines.map(
      line =>
        `<rte>${named('name', line.name)}${named('desc', line.note)}${named('src', line.what && `${OWN_SOURCE}${line.what}`)}${named('type', line.group)}\n${line.path
          .map((at, k) => place('rtept', at, line.heights_m?.[k], ''))
          .join('\n')}\n</rte>`,
    ),
  ]
  return `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="Soakline" xmlns="http://www.topografix.com/GPX/1/1" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" xsi:schemaLocation="http://www.topografix.com/GPX/1/1 http://www.topografix.com/GPX/1/1/gpx.xsd">
<metadata>${named('name', name)}${named('desc', note)}</metadata>
${body.join('\n')}
</gpx>
`
}

/** By this source a route of ours says what it is. */
const OWN_SOURCE = 'Soakline: '

/** What a route says it is, where it is one of ours. */
export function gpxWhat(owner: XmlElement): FieldWhat | undefined {
  const source = childText(owner, 'src')
  return source === `${OWN_SOURCE}line` ? 'line' : source === `${OWN_SOURCE}overflow` ? 'overflow' : undefined
}

/** A longitude as the schema takes it: 180 is −180. */
function east(longitude: number): string {
  const text = longitude.toFixed(9)
  return text === '180.000000000' ? '-180.000000000' : text
}

/**
 * Waypoints, routes and tracks of a GPX file, in the working system.
 *
 * Units    heights in metres as the receiver gave them: of its own datum, and seldom better than some metres.
 * Throws   InputError `gpx/not-gpx`, `gpx/bad-place`, those of `parseXml` and of `Projection`.
 */
export function readGpx(text: string, projection: Projection): FieldReading {
  const root = parseXml(text)
  if (root.name !== 'gpx')
    throw new InputError('gpx/not-gpx', `The file begins with <${root.name.slice(0, 40)}>, not <gpx>. Export it as GPX.`, {
      root: root.name,
    })
  const place = (element: XmlElement): { at: Point; height_m: number | null } => {
    const number = (name: string): number => plain(element.attributes.get(name) ?? '')
    const [longitude, latitude] = [number('lon'), number('lat')]
    if (Number.isNaN(longitude + latitude))
      throw new InputError(
        'gpx/bad-place',
        `A <${element.name}> has the place lat="${shown(element, 'lat')}" lon="${shown(element, 'lon')}". Export the file again.`,
      )
    const ele = childText(element, 'ele')
    const height_m = ele === null ? null : plain(ele)
    return { at: projection.fromLonLat(longitude, latitude), height_m: height_m === null || Number.isNaN(height_m) ? null : height_m }
  }
  const points = root.children
    .filter(child => child.name === 'wpt')
    .map((element): NamedPoint => ({ name: childText(element, 'name') ?? '', ...place(element), ...noteOf(element) }))
  const lineOf = (owner: XmlElement, stops: readonly XmlElement[]): NamedLine[] => {
    const places = stops.map(place)
    const what = gpxWhat(owner)
    return places.length < 2
      ? []
      : [
          {
            name: childText(owner, 'name') ?? '',
            path: places.map(p => p.at),
            heights_m: places.map(p => p.height_m),
            ...noteOf(owner),
            ...(what === undefined ? {} : { what }),
          },
        ]
  }
  const lines = root.children.flatMap(child =>
    child.name === 'rte'
      ? lineOf(
          child,
          child.children.filter(stop => stop.name === 'rtept'),
        )
      : child.name === 'trk'
        ? everyElement(child, 'trkseg').flatMap(segment =>
            lineOf(
              child,
              segment.children.filter(stop => stop.name === 'trkpt'),
            ),
          )
        : [],
  )
  return { points, lines }
}

const shown = (element: XmlElement, name: string): string => (element.attributes.get(name) ?? '').slice(0, 30)

function noteOf(element: XmlElement): { note?: string } {
  const note = childText(element, 'desc')
  return note === null ? {} : { note }
}

/** A plain decimal number, or NaN. */
export const plain = (text: string): number => (/^\s*[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?\s*$/i.test(text) ? Number(text) : Number.NaN)
