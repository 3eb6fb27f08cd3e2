import { deflateSync } from 'node:zlib'
import {
  COLOUR_CODES,
  openProjection,
  type ReadOptions,
  readAsBuilt,
  readDailyRain,
  readElevation,
  readFeatures,
  readHollowChoices,
  readLineFile,
  readMeasuredStorm,
  readPrecipitationFrequency,
  readRainTable,
  readSoilRecord,
  readVectorFile,
  withKind,
} from '@soakline/io'
import { InputError } from 'soakline/foundation'
import { readPlan } from 'soakline/plan'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { cases } from '../../../tests/helpers/cases.js'
import { crc32 } from '../src/crc32.js'
import { type Allocations, chance, changed, type Hot, watchAllocations, watchTurns } from './fuzzing.js'
import { buildGeoPackage } from './geopackage-builder.js'
import { buildLerc, type LercOptions, summed as summedLerc } from './lerc-builder.js'
import { maskedTiff } from './mask-builder.js'
import { buildPng } from './png-builder.js'
import { buildDbf, buildShp } from './shapefile-builder.js'
import { buildDem, ground, type Tag, UTM17 } from './tiff-builder.js'
import { buildZip } from './zip-builder.js'

// Files that were changed at random, from a seed: each must be read or refused by a code, soon, without huge memory and without a rejection that nobody
// hears. A few hundred of each format here, the long check (`files`) tries many more.

const CASES = cases(240)
/** Longest time for one file. The machine's load is not the file's fault: it is measured in time of this process. */
const MOST_MS = 2000
/** Largest single allocation, for files of some kilobytes under a limit of a million cells of 8 bytes, read once and drawn once more. */
const MOST_BYTES = 64e6
/** All that is allocated for one file, given back or not. */
const MOST_TOTAL_BYTES = 256e6
/** Without a new file for so long the process is ended: then a decoder spins, however busy the machine is. */
const MOST_STILL_MS = 120_000

const text = (value: string): Uint8Array => new TextEncoder().encode(value)
const decoded = (bytes: ArrayBuffer): string => new TextDecoder().decode(bytes)
const WGS84 =
  'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]'
const PLANE = `PROJCS["WGS 84 / UTM zone 32N",${WGS84},PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",9],PARAMETER["scale_factor",0.9996],PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["metre",1]]`
const GRID =
  'ncols 6\nnrows 4\nxllcorner 500000\nyllcorner 4000000\ncellsize 2\nNODATA_value -9999\n101 102 103.5 104 105 106\n1e2 102 103 104 105 106\n101 -9999 103 104 105 106\n101 102 103 104 105 106\n'
const square: [number, number][] = [
  [10, 45],
  [10, 46],
  [11, 46],
  [11, 45],
  [10, 45],
]
const shp = buildShp([
  { kind: 5, parts: [square, [...square].reverse()] },
  { kind: 3, parts: [square] },
  { kind: 1, parts: [[[10, 45]]] },
  { kind: 8, parts: [square] },
])
const dbf = buildDbf(
  [
    ['name', 'C'],
    ['floor_m', 'N'],
  ],
  [
    ['Byre', '1.5'],
    ['Barn', ''],
    ['Gate', '3'],
    ['Trees', ''],
  ],
)
const cells = ground(12, 10)
const short = (tag: number, ...values: number[]): Tag => ({ tag, type: 'short', values })
const LIMITS: ReadOptions = { maxCells: 1e6, elevationUnit: 'm', join: true, fileName: 'x' }
const raster = (bytes: ArrayBuffer): Promise<unknown> => readElevation(bytes, { ...LIMITS, crs: 'local' })
/** As the file has it, so that its keys and its metadata count. */
const placed = (bytes: ArrayBuffer): Promise<unknown> => readElevation(bytes, LIMITS)
const layer = async (bytes: ArrayBuffer): Promise<unknown> => {
  const { geojson } = await readVectorFile(bytes, { crs: 'EPSG:4326' })
  return readFeatures(withKind(geojson, 'building'), await utm)
}
const utm = openProjection('EPSG:32632')

const shapefile = (main: Uint8Array, table: Uint8Array): ArrayBuffer =>
  buildZip([
    { name: 'a.shp', content: main, stored: true },
    { name: 'a.dbf', content: table, stored: true },
    { name: 'a.prj', content: WGS84, stored: true },
  ])
const tile = new Uint8Array(
  buildPng({ width: 16, height: 16, data: Uint8Array.from({ length: 768 }, (_, k) => [131, (k * 7) % 90, k & 255][k % 3]!), filter: 4 }),
)
const colours = (bytes: ArrayBuffer): Promise<unknown> =>
  readElevation(bytes, { colours: COLOUR_CODES.terrarium, tile: { z: 14, x: 4500, y: 6400 }, maxCells: 1e6 })

const TILE = new ArrayBuffer(1201 * 1201 * 2)

/** The picture with the check sums that its changed parts should have, so that the changes are seen by what reads the parts. */
function summed(bytes: ArrayBuffer): ArrayBuffer {
  const out = new Uint8Array(bytes)
  const view = new DataView(bytes)
  for (let at = 8; at + 12 <= out.length; ) {
    const length = view.getUint32(at)
    if (at + 12 + length > out.length) break
    view.setUint32(at + 8 + length, crc32(out.subarray(at + 4, at + 8 + length)))
    at += 12 + length
  }
  return bytes
}

/** One file of a format, how it is read, and where its sizes stand. */
interface Seed {
  readonly bytes: Uint8Array
  readonly read: (bytes: ArrayBuffer) => Promise<unknown>
  readonly hot?: Hot
}

const seed = (bytes: Uint8Array, read: Seed['read'], hot?: Hot): Seed => ({ bytes, read, ...(hot ? { hot } : {}) })
/** A raster file: its sizes stand in the directory, before the cells. */
const tiff = (bytes: ArrayBuffer, read: Seed['read'] = raster): Seed =>
  seed(new Uint8Array(bytes), read, [0, Math.min(bytes.byteLength, 260)])
/** A text that is read by a function that gives no promise. */
const said = (value: string, read: (text: string) => unknown): Seed => seed(text(value), async bytes => read(decoded(bytes)), 'text')
const words = (value: string, read: Seed['read']): Seed => seed(text(value), read, 'text')

const dem = { width: 12, height: 10, cells }
const blocks = (predictor: number, changedCells: Uint8Array): Parameters<typeof buildDem>[0] => ({
  ...dem,
  blocks: [new Uint8Array(deflateSync(changedCells))],
  tags: [short(259, 8), short(317, predictor)],
})
const long = (tag: number, ...values: number[]): Tag => ({ tag, type: 'long', values })
const tiles = {
  ...dem,
  tags: [long(322, 16), long(323, 16)],
  blocks: [new Uint8Array(new Float32Array(256).map((_, k) => 100 + (k % 16) * 0.1).buffer)],
}
const features = `{"type":"FeatureCollection","features":[{"type":"Feature","id":"a","properties":{"kind":"building","name":"Byre","floor_m":410.5},"geometry":{"type":"Polygon","coordinates":[[[9.1,45],[9.2,45],[9.2,45.1],[9.1,45]]]}},{"type":"Feature","properties":{"kind":"well"},"geometry":{"type":"Point","coordinates":[9.1,45.05,400]}},{"type":"Feature","properties":null,"geometry":null},{"type":"Feature","properties":{"kind":"stream"},"geometry":{"type":"GeometryCollection","geometries":[{"type":"MultiLineString","coordinates":[[[9.1,45],[9.2,45]]]}]}}]}`
const day = (k: number): string => new Date(Date.UTC(2020, 0, 1 + k)).toISOString().slice(0, 10)
const days = `date,depth_mm\n${Array.from({ length: 400 }, (_, k) => `${day(k)},${k % 9}`).join('\n')}\n`

/** A point and a line as the blobs of a GeoPackage: its header, then well-known binary. Source: OGC 12-128r17, clause 2.1.3; from memory. */
const blob = (words: readonly number[]): Uint8Array => {
  const out = new DataView(new ArrayBuffer(8 + 5 + (words.length === 2 ? 0 : 4) + 8 * words.length))
  out.setUint32(0, 0x47500001)
  out.setInt32(4, 4326, true)
  out.setUint8(8, 1)
  out.setUint32(9, words.length === 2 ? 1 : 2, true)
  let at = 13
  if (words.length > 2) {
    out.setUint32(at, words.length / 2, true)
    at += 4
  }
  words.forEach((word, k) => {
    out.setFloat64(at + 8 * k, word, true)
  })
  return new Uint8Array(out.buffer)
}
const geoPackage = new Uint8Array(
  await buildGeoPackage([
    {
      name: 'houses',
      columns: { name: 'TEXT', floor_m: 'REAL' },
      rows: [
        [blob([9.1, 45]), 'Byre', 410.5],
        [blob([9.1, 45, 9.2, 45.1, 9.3, 45]), 'Wall', null],
        [null, 'Nothing', 1],
      ],
    },
  ]),
)
/** Where the rows of the table stand: a database is mostly empty pages, whose changes nobody sees. */
const rowsAt = geoPackage.findIndex((_, k) => text('Byre').every((letter, n) => geoPackage[k + n] === letter))
/** Group codes and values line by line, every kind of shape that is read. */
const drawing = [
  '0 SECTION 2 HEADER 9 $INSUNITS 70 6 0 ENDSEC',
  '0 SECTION 2 BLOCKS 0 BLOCK 2 gate 10 0 20 0 0 LINE 8 0 10 0 20 0 11 1 21 1 0 ENDBLK 0 ENDSEC',
  '0 SECTION 2 ENTITIES',
  '0 LINE 8 Drain 10 9.1 20 45 11 9.2 21 45.1',
  '0 LWPOLYLINE 8 Yard 90 3 70 1 10 9.1 20 45 42 0.5 10 9.2 20 45 10 9.2 20 45.1',
  '0 POLYLINE 8 Old 66 1 70 0 0 VERTEX 10 9.1 20 45 0 VERTEX 10 9.2 20 45.1 0 SEQEND',
  '0 CIRCLE 8 Tank 10 9.1 20 45 40 0.01',
  '0 ARC 8 Bend 10 9.1 20 45 40 0.02 50 350 51 80',
  '0 ELLIPSE 8 Pond 10 9.1 20 45 11 0.02 21 0 40 0.5 41 0 42 6.2',
  '0 SPLINE 8 Way 70 8 71 2 72 6 73 3 40 0 40 0 40 0 40 1 40 1 40 1 10 9.1 20 45 10 9.15 20 45.2 10 9.2 20 45',
  '0 INSERT 8 Gates 2 gate 10 9.1 20 45 41 0.01 42 0.01 50 30 70 3 71 2 44 0.1 45 0.1',
  '0 TEXT 8 Names 10 9.1 20 45 1 Byre',
  '0 ENDSEC 0 EOF',
]
  .join(' ')
  .replaceAll(/ (?=[A-Za-z0-9$.-])/g, '\n')
  .concat('\n')

/** Its mask's directory stands at its end. */
function masked(bits: 1 | 8): Seed {
  const bytes = maskedTiff(buildDem(dem), { width: 12, height: 10, bits, hides: (column, row) => (column + row) % 5 === 0 })
  return seed(new Uint8Array(bytes), raster, [bytes.byteLength - 130, bytes.byteLength])
}

const bytes = Uint8Array.from(cells, (z, k) => z - (k % 9))
const holes = Array.from(cells, (_, k) => k % 5 !== 2)

/** A raster whose blob of LERC is changed alone, with the check sum that its changes should have. */
function lerc(options: Partial<LercOptions>): Seed {
  const built = new Uint8Array(
    buildDem({
      ...dem,
      cells: options.cells instanceof Uint8Array ? options.cells : cells,
      blocks: [buildLerc({ ...dem, ...options })],
      tags: [short(259, 34887)],
    }),
  )
  const from = built.findIndex((_, k) => text('Lerc2').every((letter, n) => built[k + n] === letter))
  return seed(built, changedBytes => raster(summedLerc(new Uint8Array(changedBytes)).buffer), [from, Math.min(built.length, from + 130)])
}

/** The formats, each by several files of its kind. Where check sums would catch each change, another changes what they guard and sums anew. */
const FORMATS: readonly (readonly [string, readonly Seed[]])[] = [
  [
    'GeoTIFF',
    [
      tiff(buildDem({ ...dem, nodata: '-9999' })),
      tiff(
        buildDem({
          ...dem,
          keys: UTM17,
          metadata: '<GDALMetadata><Item name="SCALE" sample="0" role="scale">0.5</Item></GDALMetadata>',
          nodata: 'nan',
        }),
        placed,
      ),
      tiff(buildDem(blocks(1, new Uint8Array(cells.buffer)))),
      tiff(buildDem(blocks(3, new Uint8Array(cells.buffer)))),
      tiff(buildDem({ ...dem, big: true, bigEndian: true })),
      tiff(buildDem({ ...tiles, cells: new Float32Array(0) })),
      tiff(
        buildDem({
          ...dem,
          blocks: [Uint8Array.from({ length: 60 }, (_, k) => (k % 2 ? 0x90 : 0x81))],
          tags: [short(259, 32773)],
          cells: new Int16Array(120),
        }),
      ),
      tiff(
        buildDem({
          ...dem,
          blocks: [Uint8Array.from([0x80, 0x0b, 0x60, 0x50, 0x22, 0x0c, 0x0c, 0x85, 0x01])],
          tags: [short(259, 5)],
          width: 3,
          height: 3,
          cells: new Uint8Array(9),
        }),
      ),
      tiff(
        buildDem({
          ...dem,
          keys: [
            [1024, 1],
            [3072, 32767],
            [3074, 32767],
            [3075, 1],
            [3076, 9001],
            [2048, 4326],
            [3080, [9]],
            [3081, [0]],
            [3092, [0.9996]],
            [3082, [500000]],
            [3073, 'own'],
          ],
        }),
        placed,
      ),
      tiff(
        buildDem({
          ...dem,
          keys: [
            [1024, 2],
            [1025, 2],
            [2048, 4326],
            [4096, 5703],
          ],
          scale: [1e-4, 1e-4, 0],
          tie: [0, 0, 0, 10, 45, 0],
        }),
        placed,
      ),
      tiff(
        buildDem({
          width: 12,
          height: 10,
          cells: Uint8Array.from({ length: 360 }, (_, k) => k % 7),
          tags: [short(258, 8, 8, 8), short(262, 2), short(277, 3)],
        }),
        bytes => readElevation(bytes, { ...LIMITS, crs: 'local', colours: COLOUR_CODES['terrain-rgb'] }),
      ),
      ...([1, 8] as const).map(bits => masked(bits)),
    ],
  ],
  [
    'LERC',
    [
      lerc({ how: 'squares', error: 0.01 }),
      lerc({ mask: holes }),
      lerc({ cells: bytes, how: 'differences' }),
      lerc({ cells: bytes, how: 'lists' }),
    ],
  ],
  ['ASCII grid', [words(GRID, raster), seed(text(GRID), raster, [0, 100])]],
  [
    'height tile',
    [
      seed(new Uint8Array(300), bytes => readElevation(bytes, { fileName: 'N36W081.hgt', maxCells: 1e6 })),
      // Whatever bytes such a tile has are heights; what can be hostile is its name.
      said('N36W081.hgt', name => readElevation(TILE, { fileName: `${name}.hgt`, maxCells: 1e6 })),
    ],
  ],
  ['map tile', [seed(tile, bytes => colours(summed(bytes)), [8, 60]), seed(tile, colours, [8, 60])]],
  [
    'archive',
    [
      seed(new Uint8Array(buildZip([{ name: 'a.asc', content: GRID, stored: true }])), raster, [180, 320]),
      seed(new Uint8Array(buildZip([{ name: 'a.asc', content: GRID }])), raster),
      seed(
        new Uint8Array(
          buildZip([
            { name: 'a.asc', content: GRID, stored: true },
            { name: 'b.asc', content: GRID.replace('500000', '500012'), stored: true },
          ]),
        ),
        raster,
      ),
      seed(new Uint8Array(buildDem(dem)), bytes => raster(buildZip([{ name: 'a.tif', content: new Uint8Array(bytes), stored: true }]))),
    ],
  ],
  [
    'system beside a grid',
    [WGS84, PLANE].map(system =>
      words(system, bytes =>
        readElevation(
          buildZip([
            {
              name: 'a.asc',
              content:
                system === PLANE ? GRID : GRID.replace('500000', '10').replace('4000000', '45').replace('cellsize 2', 'cellsize 0.0001'),
              stored: true,
            },
            { name: 'a.prj', content: new Uint8Array(bytes), stored: true },
          ]),
          LIMITS,
        ),
      ),
    ),
  ],
  [
    'survey points',
    [
      words('easting_m,northing_m,elevation_m\n0,0,1\n5,0,1\n0,5,2\n5,5,3\n2,2,1.5\n', raster),
      words('easting_m;northing_m;elevation_m;code\n0,0;0;1;a\n5,0;0;1;b\n0;5,5;2;c\n5;5;3;d\n', raster),
    ],
  ],
  [
    'shapefile',
    [
      seed(new Uint8Array(shapefile(shp, dbf)), layer),
      seed(shp, bytes => layer(shapefile(new Uint8Array(bytes), dbf)), [0, 160]),
      seed(dbf, bytes => layer(shapefile(shp, new Uint8Array(bytes))), [0, 96]),
    ],
  ],
  [
    'KML',
    [
      words(
        '<?xml version="1.0"?><kml><Document><Placemark><name>A &amp; b</name><ExtendedData><Data name="kind"><value>forest</value></Data></ExtendedData><Polygon><outerBoundaryIs><LinearRing><coordinates>10,45 11,45 11,46 10,45</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></Document></kml>',
        layer,
      ),
    ],
  ],
  [
    'GPX',
    [
      words(
        '<gpx><wpt lat="45" lon="10"><name>Gate</name></wpt><trk><trkseg><trkpt lat="45" lon="10"/><trkpt lat="46" lon="10"/></trkseg></trk></gpx>',
        layer,
      ),
    ],
  ],
  ['DXF', [words(drawing, layer)]],
  [
    'GeoPackage',
    [
      seed(geoPackage, layer, [Math.max(0, rowsAt - 200), rowsAt + 200]),
      seed(geoPackage, layer, [16, 108]),
      seed(geoPackage, layer, [100, 4096]),
    ],
  ],
  ['table of points', [words('lon,lat,kind,name\n10,45,building,"By""re"\n11,45,forest,\n', layer)]],
  [
    'GeoJSON',
    [
      words(features, async bytes => readFeatures(decoded(bytes), await utm, { extent: [9, 45, 9.3, 45.2] })),
      words('{"type":"LineString","coordinates":[[9.1,45],[9.2,45.1,3],[9.3,45]]}', async bytes => readLineFile(decoded(bytes), await utm)),
      words('{"type":"Feature","properties":{"treatment":"kept"},"geometry":{"type":"Point","coordinates":[9.1,45]}}', async bytes =>
        readHollowChoices(decoded(bytes), await utm),
      ),
      words(
        '{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"kind":"pit","depth_m":1.2,"texture":"loam"},"geometry":{"type":"Point","coordinates":[9.1,45]}}]}',
        async bytes => readSoilRecord(decoded(bytes), await utm),
      ),
    ],
  ],
  [
    'rain tables',
    [
      said('duration_h,chance_per_year,depth_mm\n1,0.5,20\n24,0.5,60\n24,0.04,130\n', readRainTable),
      said(days, readDailyRain),
      said('time_min,depth_mm\n0,0\n5,2\n10,4.5\n15,1\n20,0\n', readMeasuredStorm),
      said(
        'Point precipitation frequency estimates (inches)\nData type: Precipitation depth\nTime series type: Partial duration\nLatitude: 26.6 Degree\nLongitude: -81.9 Degree\n\nPRECIPITATION FREQUENCY ESTIMATES\nby duration for ARI (years):, 2,10\n30-min:, 1,2\n2-day:, 4,8\n',
        readPrecipitationFrequency,
      ),
    ],
  ],
  ['readings of a ditch', [said('chainage_m,bed_m,crest_m,sill_m\n0,99.6,,99.9\n5,99.61,100.2,\n', readAsBuilt)]],
  [
    'plan',
    [
      said(
        '{"format":"soakline-plan/1","holding":"Farm","ground":{"file":"a.tif","sha256":"","crs":"local","elevationUnit":null,"nodata":null},"lines":[{"id":"line-1","path":[[9,45],[9.1,45]]}],"features":[],"rain":[{"duration_h":1,"chancePerYear":0.5,"depth_mm":20}],"settings":{"soilGroup":"B"}}',
        readPlan,
      ),
    ],
  ],
]

let allocations: { seen: Allocations; stop(): void }
let turns: ReturnType<typeof watchTurns>
const unheard: unknown[] = []
const hear = (reason: unknown): void => void unheard.push(reason)
beforeAll(async () => {
  await utm
  process.on('unhandledRejection', hear)
  turns = watchTurns(MOST_STILL_MS)
  allocations = watchAllocations(MOST_BYTES)
})
afterAll(async () => {
  allocations.stop()
  await turns.stop()
  process.off('unhandledRejection', hear)
})

test('the watch notices what it watches for, and feeds it', () => {
  const { seen } = allocations
  seen.beyond = null
  expect(new Float32Array(1e9).length).toBe(MOST_BYTES / 4)
  expect(seen.beyond).toMatch(/^4000000000 bytes/)
  expect(seen.largest).toBe(4e9)
  expect(Array.from({ length: 1e9 })).toEqual([])
  expect('ab'.repeat(1e9)).toBe('')
  expect(new Uint8Array([1, 2])).toEqual(Uint8Array.of(1, 2))
  expect(Array.from({ length: 2 }, (_, k) => k)).toEqual([0, 1])
})

test.each(FORMATS)('%s: whatever is changed, it is read or refused by a code, soon and in little memory', async (name, seeds) => {
  const faults: string[] = []
  const codes = new Map<string, number>()
  const { seen } = allocations
  let [taken, largest, total, slowest] = [0, 0, 0, 0]
  if (name !== 'height tile') for (const one of seeds.slice(0, 1)) await one.read(one.bytes.slice().buffer)
  for (let number = 1; number <= CASES; number++) {
    const { bytes, read, hot } = seeds[number % seeds.length]!
    const file = changed(bytes, chance(number), hot)
    const fault = (what: string): void => void (faults.length < 20 && faults.push(`${name}, seed ${number}: ${what}`))
    turns.begin(name, number)
    seen.largest = seen.total = 0
    seen.beyond = null
    const before = process.cpuUsage()
    try {
      await read(file.buffer)
      taken++
    } catch (error) {
      if (error instanceof InputError && /^[a-z0-9-]+\/[a-z0-9-]+$/.test(error.code))
        codes.set(error.code, (codes.get(error.code) ?? 0) + 1)
      else fault(error instanceof Error ? (error.stack ?? error.message).split('\n').slice(0, 3).join(' ') : String(error))
    }
    const { user, system } = process.cpuUsage(before)
    const spent_ms = (user + system) / 1000
    if (spent_ms > MOST_MS) fault(`${Math.round(spent_ms)} ms`)
    if (seen.beyond !== null) fault(seen.beyond)
    if (seen.total > MOST_TOTAL_BYTES) fault(`${seen.total} bytes in all`)
    largest = Math.max(largest, seen.largest)
    total = Math.max(total, seen.total)
    slowest = Math.max(slowest, spent_ms)
  }
  const most = [...codes].sort((a, b) => b[1] - a[1])
  if (CASES >= 1000)
    console.info(
      `${name}: ${CASES} changed files, ${taken} taken, ${CASES - taken} refused by ${most.length} codes (${most
        .slice(0, 6)
        .map(([code, count]) => `${code} ${count}`)
        .join(
          ', ',
        )}); ${faults.length} at fault; at most ${(largest / 1e6).toFixed(1)} MB at once, ${(total / 1e6).toFixed(1)} MB in all, ${slowest.toFixed(0)} ms`,
    )
  expect(faults).toEqual([])
  expect(unheard).toEqual([])
  // Both happen, or the changes are not what they should be; only where a size stands is every change seen.
  expect(CASES - taken).toBeGreaterThan(CASES / 50)
  if (name !== 'height tile') expect(taken).toBeGreaterThan(0)
})
