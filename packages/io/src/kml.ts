import { InputError } from 'soakline/foundation'
import type { Point } from 'soakline/raster'
import type { Projection } from './crs.js'
import type { FieldDrawing, FieldReading, NamedArea, NamedLine, NamedPoint } from './field-shapes.js'
import { plain } from './gpx.js'
import { childText, everyElement, parseXml, type XmlElement, xmlText } from './xml.js'

/** What `writeKml` may be told besides. */
export interface KmlOptions {
  /**
   * `clampToGround` lays everything on the viewer's own ground, heights kept in the coordinates; `absolute` hangs it at the raster's heights, which may
   * be of another datum than the viewer's. Default `clampToGround`.
   */
  readonly altitudeMode?: 'clampToGround' | 'absolute'
}

/**
 * Points, lines and areas in folders by their groups.
 *
 * Units   longitude,latitude,altitude: WGS 84 degrees with nine decimals, metres with three.
 * Laws    elements stand in the order of the schema; outer rings run counter-clockwise and are closed.
 * Throws  InputError `crs/no-place` for a local raster, `crs/outside-domain`.
 * Source  OGC KML 2.3 (12-007r2, 2015), from memory.
 */
export function writeKml(drawing: FieldDrawing, projection: Projection, { altitudeMode = 'clampToGround' }: KmlOptions = {}): string {
  const { name, note, points = [], lines = [], areas = [] } = drawing
  const coordinate = (at: Point, height_m: number | null | undefined): string => {
    const [longitude, latitude] = projection.toLonLat(at[0], at[1])
    const altitude = height_m === null || height_m === undefined || !Number.isFinite(height_m) ? '' : `,${height_m.toFixed(3)}`
    return `${longitude.toFixed(9)},${latitude.toFixed(9)}${altitude}`
  }
  const mode = `<altitudeMode>${altitudeMode}</altitudeMode>`
  const ring = (corners: readonly Point[], outer: boolean): string => {
    const turned = area(corners) > 0 === outer ? corners : [...corners].reverse()
    return `<LinearRing><coordinates>${[...turned, turned[0]!].map(at => coordinate(at, null)).join(' ')}</coordinates></LinearRing>`
  }
  const marks: { readonly group: string; readonly text: string }[] = [
    ...points.map(p => ({
      group: p.group ?? '',
      text: placemark(p, `<Point>${mode}<coordinates>${coordinate(p.at, p.height_m)}</coordinates></Point>`),
    })),
    ...lines.map(l => ({
      group: l.group ?? '',
      text: placemark(
        l,
        `<LineString><tessellate>1</tessellate>${mode}<coordinates>${l.path.map((at, k) => coordinate(at, l.heights_m?.[k])).join(' ')}</coordinates></LineString>`,
      ),
    })),
    ...areas
      .filter(a => (a.rings[0]?.length ?? 0) >= 3)
      .map(a => ({
        group: a.group ?? '',
        text: placemark(
          a,
          `<Polygon><tessellate>1</tessellate><altitudeMode>clampToGround</altitudeMode>${a.rings
            .map((corners, k) =>
              k === 0
                ? `<outerBoundaryIs>${ring(corners, true)}</outerBoundaryIs>`
                : `<innerBoundaryIs>${ring(corners, false)}</innerBoundaryIs>`,
            )
            .join('')}</Polygon>`,
        ),
      })),
  ]
  const groups = [...new Set(marks.map(mark => mark.group))]
  const folders = groups.map(group => {
    const inner = marks
      .filter(mark => mark.group === group)
      .map(mark => mark.text)
      .join('\n')
    return group === '' ? inner : `<Folder><name>${xmlText(group)}</name>\n${inner}\n</Folder>`
  })
  return `<?xml version="1.0" encoding="UTF-8"?>
<kml xmlns="http://www.opengis.net/kml/2.3" version="2.3">
<Document><name>${xmlText(name)}</name>${note === undefined ? '' : `<description>${xmlText(note)}</description>`}
${folders.join('\n')}
</Document>
</kml>
`
}

const placemark = ({ name, note, what }: NamedPoint | NamedLine | NamedArea, geometry: string): string =>
  `<Placemark><name>${xmlText(name)}</name>${note === undefined ? '' : `<description>${xmlText(note)}</description>`}${what === undefined ? '' : `<ExtendedData><Data name="what"><value>${what}</value></Data></ExtendedData>`}${geometry}</Placemark>`

/** Signed: positive counter-clockwise. */
function area(ring: readonly Point[]): number {
  return ring.reduce((sum, a, k) => {
    const b = ring[(k + 1) % ring.length]!
    return sum + (a[0] - ring[0]![0]) * (b[1] - ring[0]![1]) - (b[0] - ring[0]![0]) * (a[1] - ring[0]![1])
  }, 0)
}

/**
 * Points and lines of a KML file, in the working system; what is linked from elsewhere is not fetched, areas are left to `readFeatures`.
 *
 * Throws   InputError `kml/not-kml`, `kml/bad-place`, those of `parseXml` and of `Projection`.
 */
export function readKml(text: string, projection: Projection): FieldReading {
  const root = parseXml(text)
  if (root.name !== 'kml')
    throw new InputError(
      'kml/not-kml',
      `The file begins with <${root.name.slice(0, 40)}>, not <kml>. Export it as KML (a KMZ is a packed folder: unpack it first).`,
      {
        root: root.name,
      },
    )
  const points: NamedPoint[] = []
  const lines: NamedLine[] = []
  for (const mark of everyElement(root, 'Placemark')) {
    const name = childText(mark, 'name') ?? ''
    const note = childText(mark, 'description')
    const isLine = everyElement(mark, 'Data').some(data => data.attributes.get('name') === 'what' && childText(data, 'value') === 'line')
    const words = { name, ...(note === null ? {} : { note }), ...(isLine ? { what: 'line' as const } : {}) }
    for (const point of everyElement(mark, 'Point')) {
      const [only] = coordinatesOf(point, projection)
      if (only) points.push({ ...words, at: only.at, height_m: only.height_m })
    }
    for (const line of everyElement(mark, 'LineString')) {
      const places = coordinatesOf(line, projection)
      if (places.length > 1) lines.push({ ...words, path: places.map(p => p.at), heights_m: places.map(p => p.height_m) })
    }
  }
  return { points, lines }
}

/** The places of a `coordinates` element, one text each. Blanks beside a comma belong to the place, though the standard has none there. */
export const placesWritten = (text: string): string[] =>
  text
    .replace(/\s+/g, ' ')
    .replace(/ ?, ?/g, ',')
    .split(' ')
    .filter(item => item !== '')

function coordinatesOf(element: XmlElement, projection: Projection): { at: Point; height_m: number | null }[] {
  return placesWritten(childText(element, 'coordinates') ?? '').map(item => {
    const [longitude, latitude, altitude, ...more] = item.split(',').map(plain)
    if (longitude === undefined || latitude === undefined || Number.isNaN(longitude + latitude) || more.length > 0)
      throw new InputError(
        'kml/bad-place',
        `"${item.slice(0, 60)}" is no place: KML writes longitude,latitude,altitude. Export the file again.`,
      )
    return {
      at: projection.fromLonLat(longitude, latitude),
      height_m: altitude === undefined || Number.isNaN(altitude) ? null : altitude,
    }
  })
}
