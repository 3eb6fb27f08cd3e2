import { execFileSync } from 'node:child_process'
import { existsSync, mkdtempSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type FieldDrawing, openProjection, parseXml, writeGpx, writeKml, type XmlElement } from '@soakline/io'
import { describe, expect, test } from 'vitest'

// What goes out keeps to the published schemas: by a table of their rules here, and by the schemas themselves where xmllint and they are at hand
// (`SOAKLINE_SCHEMAS` names their folder; Debian's package pytrainer ships both).

const UTM = await openProjection('EPSG:32625')

/** What one kind of element may hold. Sequence (`a|b` for a choice) and types as the schema's section says, each child once unless among `many`. */
interface Rule {
  readonly section: string
  readonly sequence?: readonly string[]
  readonly many?: readonly string[]
  readonly least?: readonly string[]
  readonly attributes?: Readonly<Record<string, (text: string) => boolean>>
  /** For an element without children: whether its text is of its type. */
  readonly text?: (text: string) => boolean
}

const decimal = (text: string): boolean => /^[+-]?(\d+(\.\d*)?|\.\d+)$/.test(text)
const any = (): boolean => true
const within =
  (low: number, high: number, open = false) =>
  (text: string): boolean =>
    decimal(text) && Number(text) >= low && (open ? Number(text) < high : Number(text) <= high)
const string = (section: string): Rule => ({ section, text: any })

/** GPX 1.1, gpx.xsd (Topografix, 2004): the types are named as in it. */
const WPT: Rule = {
  section: 'wptType; latitudeType −90…90, longitudeType −180 ≤ x < 180',
  sequence: [
    ...['ele', 'time', 'magvar', 'geoidheight', 'name', 'cmt', 'desc', 'src', 'link', 'sym', 'type', 'fix', 'sat', 'hdop', 'vdop', 'pdop'],
    ...['ageofdgpsdata', 'dgpsid', 'extensions'],
  ],
  attributes: { lat: within(-90, 90), lon: within(-180, 180, true) },
}
const GPX: Readonly<Record<string, Rule>> = {
  gpx: {
    section: 'gpxType',
    sequence: ['metadata', 'wpt', 'rte', 'trk', 'extensions'],
    many: ['wpt', 'rte', 'trk'],
    attributes: { version: text => text === '1.1', creator: any },
  },
  metadata: {
    section: 'metadataType',
    sequence: ['name', 'desc', 'author', 'copyright', 'link', 'time', 'keywords', 'bounds', 'extensions'],
  },
  wpt: WPT,
  rtept: WPT,
  rte: {
    section: 'rteType',
    sequence: ['name', 'cmt', 'desc', 'src', 'link', 'number', 'type', 'extensions', 'rtept'],
    many: ['link', 'rtept'],
  },
  ele: { section: 'wptType: ele is xsd:decimal', text: decimal },
  ...Object.fromEntries(['name', 'cmt', 'desc', 'src', 'type'].map(tag => [tag, string('xsd:string')])),
}

/** KML, ogckml22.xsd and what OGC 12-007r2 (KML 2.3) keeps of it: the types are named as in it. */
const FEATURE = [
  ...[
    'name',
    'visibility',
    'open',
    'author',
    'link',
    'address',
    'AddressDetails',
    'phoneNumber',
    'Snippet',
    'description',
    'LookAt',
    'Camera',
  ],
  ...['TimeStamp', 'TimeSpan', 'styleUrl', 'Style', 'StyleMap', 'Region', 'Metadata', 'ExtendedData'],
]
const MODES = ['clampToGround', 'relativeToGround', 'absolute']
const tuples = (text: string): boolean =>
  text.split(/\s+/).every(tuple => {
    const [longitude = '', latitude = '', altitude = '0', ...more] = tuple.split(',')
    return within(-180, 180)(longitude) && within(-90, 90)(latitude) && decimal(altitude) && more.length === 0
  })
const boundary: Rule = { section: 'BoundaryType', sequence: ['LinearRing'], least: ['LinearRing'] }
const KML: Readonly<Record<string, Rule>> = {
  kml: {
    section: 'KmlType; version by OGC 12-007r2, 7.1 (from memory)',
    sequence: ['NetworkLinkControl', 'Document|Folder|Placemark'],
    attributes: { version: text => text === '2.3' },
  },
  Document: { section: 'DocumentType', sequence: [...FEATURE, 'Schema', 'Folder|Placemark'], many: ['Folder', 'Placemark'] },
  Folder: { section: 'FolderType', sequence: [...FEATURE, 'Placemark'], many: ['Placemark'] },
  Placemark: { section: 'PlacemarkType', sequence: [...FEATURE, 'Point|LineString|Polygon'] },
  Point: { section: 'PointType', sequence: ['extrude', 'altitudeMode', 'coordinates'], least: ['coordinates'] },
  LineString: { section: 'LineStringType', sequence: ['extrude', 'tessellate', 'altitudeMode', 'coordinates'], least: ['coordinates'] },
  LinearRing: { section: 'LinearRingType', sequence: ['extrude', 'tessellate', 'altitudeMode', 'coordinates'], least: ['coordinates'] },
  Polygon: {
    section: 'PolygonType',
    sequence: ['extrude', 'tessellate', 'altitudeMode', 'outerBoundaryIs', 'innerBoundaryIs'],
    many: ['innerBoundaryIs'],
    least: ['outerBoundaryIs'],
  },
  outerBoundaryIs: boundary,
  innerBoundaryIs: boundary,
  ExtendedData: { section: 'ExtendedDataType', sequence: ['Data', 'SchemaData'], many: ['Data', 'SchemaData'] },
  Data: { section: 'DataType', sequence: ['displayName', 'value'], least: ['value'], attributes: { name: any } },
  tessellate: { section: 'xsd:boolean', text: text => ['0', '1', 'true', 'false'].includes(text) },
  altitudeMode: { section: 'altitudeModeEnumType', text: text => MODES.includes(text) },
  coordinates: { section: 'coordinatesType: tuples longitude,latitude[,altitude]', text: tuples },
  ...Object.fromEntries(['name', 'description', 'value'].map(tag => [tag, string('xsd:string')])),
}

/** Where a document breaks a table's rules. */
function broken(element: XmlElement, rules: Readonly<Record<string, Rule>>, at = ''): string[] {
  const here = `${at}/${element.name}`
  const rule = Object.hasOwn(rules, element.name) ? rules[element.name]! : null
  if (rule === null) return [`${here}: no such element`]
  const { section, sequence = [], many = [], least = [], attributes = {}, text } = rule
  const wrong: string[] = []
  const names = element.children.map(child => child.name)
  const places = names.map(name => sequence.findIndex(place => place.split('|').includes(name)))
  if (places.includes(-1) || places.some((place, k) => k > 0 && place < places[k - 1]!))
    wrong.push(`${here}: ${names.join(' ')} (${section})`)
  for (const name of new Set(names))
    if (!many.includes(name) && names.filter(other => other === name).length > 1) wrong.push(`${here}: ${name} more than once (${section})`)
  for (const name of least) if (!names.includes(name)) wrong.push(`${here}: ${name} is missing (${section})`)
  for (const [name, fits] of Object.entries(attributes)) {
    const value = element.attributes.get(name)
    if (value === undefined || !fits(value)) wrong.push(`${here}: ${name} is "${value}" (${section})`)
  }
  for (const name of element.attributes.keys())
    if (!Object.hasOwn(attributes, name) && !/^(xmlns|xsi|schemaLocation)$/.test(name))
      wrong.push(`${here}: attribute ${name} (${section})`)
  if (text && !text(element.text.trim())) wrong.push(`${here}: "${element.text.slice(0, 40)}" (${section})`)
  return [...wrong, ...element.children.flatMap(child => broken(child, rules, here))]
}

const NAMES = ['plain', '', '=1+1 <b>&"\'', 'two\nlines', 'nul\u0000bell\u0007\uFFFE', '沢 🌱 día', ']]>', 'a'.repeat(300)]
const drawing = (name: string): FieldDrawing => ({
  name,
  note: name,
  points: [
    { name, at: [512345.678, 3212345.432], height_m: -3.4567, note: name, group: name, what: 'stake' },
    { name, at: [512300, 3212300], height_m: null },
  ],
  lines: [
    {
      name,
      path: [
        [512300, 3212300],
        [512350, 3212300],
      ],
      heights_m: [1, null],
      note: name,
      group: 'a',
      what: 'line',
    },
    {
      name,
      path: [
        [512300, 3212300],
        [512350, 3212200],
      ],
      group: 'b',
      what: 'overflow',
    },
  ],
  areas: [
    {
      name,
      note: name,
      rings: [
        [
          [512300, 3212300],
          [512400, 3212300],
          [512400, 3212400],
        ],
        [
          [512350, 3212310],
          [512380, 3212310],
          [512380, 3212340],
        ],
      ],
      group: 'b',
      what: 'planting',
    },
  ],
})
const nothing: FieldDrawing = { name: 'nothing in it' }

describe.each([...NAMES.map(drawing), nothing])('$name', given => {
  test('GPX 1.1 by the rules of its schema', () => expect(broken(parseXml(writeGpx(given, UTM)), GPX)).toEqual([]))
  test('KML 2.3 by the rules of its schema', () => {
    for (const altitudeMode of ['clampToGround', 'absolute'] as const)
      expect(broken(parseXml(writeKml(given, UTM, { altitudeMode })), KML)).toEqual([])
  })
})

test('at 180° the longitude is −180, which is the one that GPX has', async () => {
  // The zone's own meridian at 177° E: 180° lies three degrees east of it.
  const sixty = await openProjection('EPSG:32660')
  const [x, y] = sixty.fromLonLat(180, -17)
  const text = writeGpx({ name: 'x', points: [{ name: 'p', at: [x, y], height_m: null }] }, sixty)
  expect(broken(parseXml(text), GPX)).toEqual([])
  expect(text).toContain('lon="-180.000000000"')
})

test('the tables see what is wrong', () => {
  const gpx = writeGpx(drawing('x'), UTM)
  for (const [good, bad] of [
    ['version="1.1"', 'version="1.0"'],
    [/<ele>([^<]*)<\/ele><name>x<\/name>/, '<name>x</name><ele>$1</ele>'],
    [/lat="29/, 'lat="129'],
    ['<ele>-3.457', '<ele>-3,457'],
    ['</metadata>', '</metadata><stake/>'],
    ['<wpt ', '<wpt color="red" '],
  ] as const)
    expect(broken(parseXml(gpx.replace(good, bad)), GPX).length, String(bad)).toBeGreaterThan(0)
  const kml = writeKml(drawing('x'), UTM)
  for (const [good, bad] of [
    ['<tessellate>1', '<tessellate>yes'],
    ['clampToGround', 'onGround'],
    [/<altitudeMode>(\w+)<\/altitudeMode>(<coordinates>.*?<\/coordinates>)/, '$2<altitudeMode>$1</altitudeMode>'],
    [/<outerBoundaryIs>.*?<\/outerBoundaryIs>/, ''],
    [/<value>\w+<\/value>/, ''],
    ['<coordinates>-', '<coordinates>-4'],
  ] as const)
    expect(broken(parseXml(kml.replace(good, bad)), KML).length, String(bad)).toBeGreaterThan(0)
})

/** The schemas themselves, where they and xmllint are. */
function schemas(): string | null {
  const folder = process.env.SOAKLINE_SCHEMAS ?? '/usr/share/pytrainer/schemas'
  try {
    execFileSync('xmllint', ['--version'], { stdio: 'pipe' })
  } catch {
    return null
  }
  return existsSync(join(folder, 'Topografix_gpx11.xsd')) && existsSync(join(folder, 'ogckml22.xsd')) ? folder : null
}
const folder = schemas()
if (folder === null)
  console.info('GPX and KML were not validated by the schemas themselves: xmllint or the schemas are not here (see SOAKLINE_SCHEMAS).')

test.skipIf(folder === null)('the published schemas find nothing: gpx.xsd 1.1, ogckml22.xsd on what 2.3 keeps of it', () => {
  const out = mkdtempSync(join(tmpdir(), 'soakline-schemas-'))
  const valid = (schema: string, name: string, text: string): void => {
    writeFileSync(join(out, name), text)
    execFileSync('xmllint', ['--nonet', '--noout', '--schema', join(folder!, schema), join(out, name)], { stdio: 'pipe' })
  }
  for (const [k, given] of [...NAMES.map(drawing), nothing].entries()) {
    valid('Topografix_gpx11.xsd', `${k}.gpx`, writeGpx(given, UTM))
    // No schema of 2.3 is at hand; it took over the elements of 2.2 under a name and an attribute of its own.
    valid('ogckml22.xsd', `${k}.kml`, writeKml(given, UTM).replace('kml/2.3" version="2.3"', 'kml/2.2"'))
  }
  expect(() => valid('Topografix_gpx11.xsd', 'bad.gpx', writeGpx(nothing, UTM).replace('1.1" creator', '1.0" creator'))).toThrow()
})
