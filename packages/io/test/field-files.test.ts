import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import {
  everyElement,
  type FieldDrawing,
  lineFormat,
  localProjection,
  openProjection,
  parseXml,
  readGpx,
  readKml,
  readLineFile,
  readVectorFile,
  stakesCsv,
  writeDxf,
  writeGpx,
  writeKml,
  xmlText,
} from '@soakline/io'
import type { Stake } from 'soakline/plan'
import type { Point } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { refusal } from './refusal.js'

const UTM = await openProjection('EPSG:32625')
const AT: Point = [512345.678, 3212345.432]
const LINE: Point[] = [
  [512300.123, 3212300.456],
  [512340.001, 3212310.999],
  [512390.5, 3212308.25],
]

/** Names that would break out of a file or a spreadsheet. */
const HOSTILE = [
  '=HYPERLINK("http://x")',
  '</name></wpt><script>alert(1)</script>',
  ']]><!ENTITY a "b">',
  "O'Brien & <Söhne> «día» 沢 🌱",
  'two\nlines\r\n  0\nLINE\n',
  'nul\u0000bell\u0007\uFFFE',
  'half \uD83D surrogate',
  '%%d %%u percent',
  '../../etc/passwd',
  '-1+1',
  '',
  'a'.repeat(500),
]
/** What XML lets through: forbidden signs are dropped, line ends as XML reads them. */
const throughXml = (name: string): string =>
  name
    // biome-ignore lint/suspicious/noControlCharactersInRegex: the ones that XML forbids
    .replace(/[\u0000-\u0008\u000B\u000C\u000E-\u001F\uFFFE\uFFFF]/g, '')
    .replace(/\uD83D(?![\uDC00-\uDFFF])/g, '\uFFFD')
    .trim()

const drawing = (name: string): FieldDrawing => ({
  name,
  note: name,
  points: [
    { name, at: AT, height_m: 123.4567, note: name, group: 'stakes' },
    { name: 'no height', at: LINE[0]!, height_m: null },
  ],
  lines: [{ name, path: LINE, heights_m: [10.5, 4, -2.125], group: name }],
  areas: [
    {
      name,
      rings: [
        [
          [512300, 3212300],
          [512300, 3212320],
          [512320, 3212320],
          [512320, 3212300],
        ],
      ],
      group: 'catchment',
    },
  ],
})
const close = (a: Point, b: Point): void => {
  expect(Math.abs(a[0] - b[0])).toBeLessThan(0.001)
  expect(Math.abs(a[1] - b[1])).toBeLessThan(0.001)
}

describe.each(HOSTILE)('a name such as %j', name => {
  test('GPX: well-formed, comes back as it was, places within 1 mm', () => {
    const text = writeGpx(drawing(name), UTM)
    const root = parseXml(text)
    expect(everyElement(root, 'script')).toEqual([])
    const { points, lines } = readGpx(text, UTM)
    expect(points.map(p => p.name)).toEqual([throughXml(name), 'no height'])
    expect(points[0]!.height_m).toBeCloseTo(123.457, 9)
    expect(points[1]!.height_m).toBeNull()
    close(points[0]!.at, AT)
    expect(lines.length).toBe(1)
    for (const [k, at] of lines[0]!.path.entries()) close(at, LINE[k]!)
    expect(lines[0]!.heights_m).toEqual([10.5, 4, -2.125])
  })

  test('KML: the same, and the area’s ring closed and counter-clockwise', () => {
    const text = writeKml(drawing(name), UTM)
    const { points, lines } = readKml(text, UTM)
    expect(points[0]!.name).toBe(throughXml(name))
    close(points[0]!.at, AT)
    for (const [k, at] of lines[0]!.path.entries()) close(at, LINE[k]!)
    const [ring] = everyElement(parseXml(text), 'LinearRing')
    const corners = ring!.children[0]!.text.split(' ').map(c => c.split(',').map(Number) as [number, number])
    expect(corners[0]).toEqual(corners.at(-1))
    let twice = 0
    for (let k = 1; k < corners.length; k++) {
      const [x0, y0] = corners[0]!
      const [ax, ay] = corners[k - 1]!
      const [bx, by] = corners[k]!
      twice += (ax - x0) * (by - y0) - (bx - x0) * (ay - y0)
    }
    expect(twice).toBeGreaterThan(0)
  })

  test('DXF: every second line is a group code; layers keep to release 12; nothing but ASCII', () => {
    const text = writeDxf(drawing(name))
    const lines = text.split('\r\n')
    expect(lines.pop()).toBe('')
    expect(lines.length % 2).toBe(0)
    expect(text).toMatch(/^[\r\n\x20-\x7e]*$/)
    for (let k = 0; k < lines.length; k += 2) {
      expect(lines[k]).toMatch(/^ *\d+$/)
      if (lines[k]!.trim() === '8') expect(lines[k + 1]).toMatch(/^[A-Z0-9_-]{1,31}$/)
    }
    expect(lines.filter((line, k) => k % 2 === 1 && line === 'LINE')).toEqual([])
    expect(lines.filter((line, k) => k % 2 === 1 && line.includes('%%'))).toEqual([])
  })
})

test('failure 62: GPX keeps the order of its schema: metadata, waypoints, routes; ele, name, desc, type', () => {
  const root = parseXml(writeGpx(drawing('x'), UTM))
  expect(root.children.map(c => c.name)).toEqual(['metadata', 'wpt', 'wpt', 'rte'])
  expect(root.children[1]!.children.map(c => c.name)).toEqual(['ele', 'name', 'desc', 'type'])
  expect(root.children[3]!.children.map(c => c.name)).toEqual(['name', 'type', 'rtept', 'rtept', 'rtept'])
  expect(root.attributes.get('version')).toBe('1.1')
})

test('KML keeps the order of its schema: name, description, geometry; altitudeMode before coordinates', () => {
  const root = parseXml(writeKml(drawing('x'), UTM, { altitudeMode: 'absolute' }))
  const [mark] = everyElement(root, 'Placemark')
  expect(mark!.children.map(c => c.name)).toEqual(['name', 'description', 'Point'])
  expect(mark!.children[2]!.children.map(c => [c.name, c.text])).toEqual([
    ['altitudeMode', 'absolute'],
    ['coordinates', expect.stringMatching(/^-3\d\.\d{9},\d+\.\d{9},123\.457$/)],
  ])
})

test('DXF: a vertex of unknown height takes the one before, never 0 in the middle of a slope', () => {
  const text = writeDxf({ name: 'x', lines: [{ name: 'l', path: LINE, heights_m: [null, 10.5, null] }] })
  const vertices = text.split('VERTEX').slice(1)
  expect(vertices.map(v => /\r\n 30\r\n(.*)\r\n/.exec(v)![1])).toEqual(['10.5000', '10.5000', '10.5000'])
})

test('a raster without a place on Earth makes no GPX or KML, but a DXF in its own metres', async () => {
  expect((await refusal(() => writeGpx(drawing('x'), localProjection()))).code).toBe('crs/no-place')
  expect((await refusal(() => writeKml(drawing('x'), localProjection()))).code).toBe('crs/no-place')
  expect(writeDxf(drawing('x'))).toContain('512345.6780')
})

describe('reading', () => {
  test('tracks in segments, routes and waypoints of a receiver, with another prefix and CDATA', () => {
    const text = `<?xml version="1.0"?><!-- a receiver --><g:gpx xmlns:g="http://www.topografix.com/GPX/1/1" version="1.1">
      <g:wpt lat="29.0001" lon="-33.0002"><g:ele>12.5</g:ele><g:name><![CDATA[a & <b>]]></g:name></g:wpt>
      <g:trk><g:name>walk &#38; &#x41;</g:name><g:trkseg><g:trkpt lat="29" lon="-33"/><g:trkpt lat="29.001" lon="-33"/></g:trkseg>
      <g:trkseg><g:trkpt lat="29" lon="-33.1"/><g:trkpt lat="29.1" lon="-33.1"/></g:trkseg></g:trk></g:gpx>`
    const { points, lines } = readGpx(text, UTM)
    expect(points.map(p => [p.name, p.height_m])).toEqual([['a & <b>', 12.5]])
    expect(lines.map(l => [l.name, l.path.length])).toEqual([
      ['walk & A', 2],
      ['walk & A', 2],
    ])
    close(points[0]!.at, UTM.fromLonLat(-33.0002, 29.0001))
  })

  test.each([
    ['', 'xml/broken'],
    ['<gpx>', 'xml/broken'],
    ['<gpx></kml>', 'xml/broken'],
    ['<gpx/><gpx/>', 'xml/broken'],
    ['<gpx a=1/>', 'xml/broken'],
    ['<gpx>&nbsp;</gpx>', 'xml/broken'],
    ['<gpx>a & b</gpx>', 'xml/broken'],
    ['<!DOCTYPE gpx [<!ENTITY a "aaaa">]><gpx>&a;</gpx>', 'xml/doctype'],
    ['<gpx><!-- never ends', 'xml/broken'],
    ['{"type":"FeatureCollection"}', 'xml/broken'],
    ['<kml/>', 'gpx/not-gpx'],
    ['<gpx><wpt lat="a" lon="1"/></gpx>', 'gpx/bad-place'],
    ['<gpx><wpt lat="95" lon="1"/></gpx>', 'vector/not-lonlat'],
    [`<gpx>${'<a>'.repeat(100)}`, 'xml/too-large'],
  ])('refused: %s', async (text, code) => {
    expect((await refusal(() => readGpx(text, UTM))).code).toBe(code)
  })

  test('KML without numbers, and of another kind', async () => {
    expect((await refusal(() => readKml('<gpx/>', UTM))).code).toBe('kml/not-kml')
    expect(
      (await refusal(() => readKml('<kml><Placemark><Point><coordinates>x,y</coordinates></Point></Placemark></kml>', UTM))).code,
    ).toBe('kml/bad-place')
  })

  test('law: any text of 16-bit signs comes through an element of ours as XML lets it', () => {
    for (let seed = 1; seed < 300; seed++) {
      const text = Array.from({ length: 20 }, (_, k) => String.fromCharCode((seed * 7919 * (k + 1) * (k + 3)) % 65536)).join('')
      const once = parseXml(`<a b="${xmlText(text)}">${xmlText(text)}</a>`)
      expect(parseXml(`<a>${xmlText(once.text)}</a>`).text).toBe(once.text)
      expect(once.attributes.get('b')!.trim()).toBe(once.text)
    }
  })
})

test('stakes as a table: formula-safe, empty where nothing is known', () => {
  const stake: Stake = {
    number: 1,
    kinds: ['start', 'spill'],
    chainage_m: 0,
    at: AT,
    ground_m: 100.12346,
    bed_m: 99.7,
    crest_m: null,
    sill_m: 99.9,
    cut_m: 0.42345,
    bermSettled_m: null,
    bermToBuild_m: null,
    topWidth_m: 2,
    outerToe_m: null,
    toNext: { distance_m: 5, groundDrop_m: -0.01, bedDrop_m: 0 },
    fromBase: { distance_m: 0, tape_m: 0, bearing_deg: null },
    horizontalDoubt_m: null,
    doubtCapped: false,
  }
  const [header, row] = stakesCsv([stake], UTM)
    .split('\r\n')
    .map(line => line.split(','))
  const cell = Object.fromEntries(header!.map((name, k) => [name, row![k]]))
  expect(cell).toMatchObject({ stake: '1', kinds: 'start spill', ground_m: '100.1235', crest_m: '', ground_drop_to_next_m: '-0.01' })
  const [longitude, latitude] = [Number(cell.longitude), Number(cell.latitude)]
  close(UTM.fromLonLat(longitude, latitude), AT)
  expect(stakesCsv([stake], localProjection())).toContain(',,')
})

describe('the line of a plan from GPX and KML', () => {
  const one = { name: 'x', lines: [{ name: 'swale', path: LINE }], points: [{ name: 'p', at: AT, height_m: null }] }
  test.each([
    ['gpx', writeGpx(one, UTM)],
    ['kml', writeKml(one, UTM)],
  ] as const)('%s: the one line, within 1 mm, and what else was there is said', (format, text) => {
    expect(lineFormat(text)).toBe(format)
    const { path, warnings } = readLineFile(text, UTM)
    expect(path.length).toBe(LINE.length)
    for (const [k, at] of path.entries()) expect(Math.hypot(at[0] - LINE[k]![0], at[1] - LINE[k]![1])).toBeLessThan(0.001)
    expect(warnings.map(w => w.code)).toEqual(['line/others-ignored'])
  })
  test('several lines are refused with their names, and so is none', () => {
    const two = { name: 'x', lines: [...one.lines, { name: 'other', path: LINE }] }
    expect(() => readLineFile(writeKml(two, UTM), UTM)).toThrow(
      expect.objectContaining({ code: 'line/several', message: expect.stringContaining('1 swale, 2 other') }),
    )
    expect(() => readLineFile(writeGpx({ name: 'x', points: one.points }, UTM), UTM)).toThrow(
      expect.objectContaining({ code: 'line/none' }),
    )
  })
  test.each([
    ['gpx', (d: FieldDrawing) => writeGpx(d, UTM)],
    ['kml', (d: FieldDrawing) => writeKml(d, UTM)],
  ] as const)(
    'our own %s with its overflow: the line that says that it is the line, wherever it stands and whatever it is called',
    async (_, write) => {
      const drawn: FieldDrawing = {
        name: 'x',
        points: [{ name: '1', at: AT, height_m: 1, what: 'stake' }],
        lines: [
          { name: 'línea', path: [LINE[0]!, [512000, 3212000]], what: 'overflow' },
          { name: 'línea', path: LINE, what: 'line' },
        ],
      }
      const taken = (text: string): Point[] => readLineFile(text, UTM).path
      for (const [k, at] of taken(write(drawn)).entries()) close(at, LINE[k]!)
      // As a layer it says the same.
      const { geojson } = await readVectorFile(new TextEncoder().encode(write(drawn)).buffer as ArrayBuffer)
      for (const [k, at] of taken(geojson).entries()) close(at, LINE[k]!)
      // Two that say so are a question, which a number answers.
      const twice = { ...drawn, lines: drawn.lines!.map(line => ({ ...line, what: 'line' as const })) }
      expect((await refusal(() => readLineFile(write(twice), UTM))).code).toBe('line/several')
      close(readLineFile(write(twice), UTM, { line: '1' }).path[1]!, [512000, 3212000])
    },
  )
  test('GeoJSON and anything else go the way they went', () => {
    expect(lineFormat('{"type": "Feature"}')).toBe('geojson')
    expect(lineFormat('<!DOCTYPE html><html>')).toBe('geojson')
    expect(lineFormat('\uFEFF<?xml version="1.0"?>\n<!-- a -->\n<gpx version="1.1">')).toBe('gpx')
  })
})

/** GDAL's own reader, where it is installed. */
function ogr(): ((file: string, ...options: string[]) => string) | null {
  try {
    execFileSync('ogrinfo', ['--version'], { stdio: 'pipe' })
  } catch {
    return null
  }
  return (file, ...options) =>
    execFileSync('ogrinfo', ['-ro', '-al', ...options, file], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] })
}

const read = ogr()
if (!read) console.info('GPX, KML and DXF were not read by GDAL: ogrinfo is not installed here.')

describe.skipIf(!read)('an independent reader (GDAL)', () => {
  const folder = mkdtempSync(join(tmpdir(), 'soakline-field-'))
  const given = (name: string, content: string): string => {
    const file = join(folder, name)
    writeFileSync(file, content)
    return read!(file)
  }
  const numbers = (wkt: string): number[] => [...wkt.matchAll(/-?\d+(?:\.\d+)?/g)].map(m => Number(m[0]))
  const geometry = (text: string, kind: string): number[][] =>
    [...text.matchAll(new RegExp(`^\\s*${kind}[^(]*\\((.*)\\)\\s*$`, 'gm'))].map(m => numbers(m[1]!))

  test('DXF: coordinates and layers', () => {
    const text = given('plan.dxf', writeDxf(drawing('Ridge & <día>')))
    const [point] = geometry(text, 'POINT')
    expect(point!.slice(0, 3)).toEqual([expect.closeTo(AT[0], 3), expect.closeTo(AT[1], 3), expect.closeTo(123.4567, 3)])
    const line = geometry(text, 'LINESTRING').find(g => g.length === 9)!
    for (const [k, at] of LINE.entries()) close([line[3 * k]!, line[3 * k + 1]!], at)
    expect(text).toContain('Layer (String) = STAKES')
    expect(text).toContain('Layer (String) = CATCHMENT')
    // The form in which release 12 writes what is not ASCII; this reader leaves it as it is, drawing programs read it.
    expect(text).toContain('Ridge & <d\\U+00EDa>')
  })

  test('GPX: waypoints and routes with heights', () => {
    const text = given('plan.gpx', writeGpx(drawing('Ridge & <día>'), UTM))
    const [point] = geometry(text, 'POINT')
    close(UTM.fromLonLat(point![0]!, point![1]!), AT)
    expect(text).toContain('name (String) = Ridge & <día>')
    expect(text).toMatch(/ele \(Real\) = 123\.457/)
    const [route] = geometry(text, 'LINESTRING')
    for (const [k, at] of LINE.entries()) close(UTM.fromLonLat(route![2 * k]!, route![2 * k + 1]!), at)
  })

  test('KML: points, lines and areas', () => {
    const text = given('plan.kml', writeKml(drawing('Ridge & <día>'), UTM))
    const places = geometry(text, 'POINT').map(([longitude, latitude]) => UTM.fromLonLat(longitude!, latitude!))
    close(places.find(([x]) => Math.abs(x - AT[0]) < 1)!, AT)
    close(places.find(([x]) => Math.abs(x - LINE[0]![0]) < 1)!, LINE[0]!)
    const [line] = geometry(text, 'LINESTRING')
    for (const [k, at] of LINE.entries()) close(UTM.fromLonLat(line![3 * k]!, line![3 * k + 1]!), at)
    expect(text).toContain('Ridge & <día>')
    expect(text).toMatch(/POLYGON/)
    rmSync(folder, { recursive: true })
  })
})
