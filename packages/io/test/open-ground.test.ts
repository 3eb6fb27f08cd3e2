import { afterAll, beforeAll, expect, test } from 'vitest'
import { type OpenDataServer, openDataServer, servedBytes } from '../../../tests/helpers/open-data-server.js'
import { gentle, virtualRaster } from '../../../tests/helpers/virtual-raster.js'
import { bringGround, hostOfSource } from '../src/bring-ground.js'
import { tileAffine } from '../src/colour-heights.js'
import { openProjection } from '../src/crs.js'
import { readFeatures } from '../src/geojson.js'
import { degreeAddress, GROUND_SOURCES, type GroundSource, groundSourceFrom, MAP_DATA_SOURCES, tiling } from '../src/ground-sources.js'
import { boxRound } from '../src/ground-window.js'
import { bringMapData, kindByTags, mapDataQuery, readMapData } from '../src/map-data.js'
import { allowedOnly } from '../src/network.js'
import { readElevation } from '../src/read-elevation.js'
import { provenanceIn } from '../src/write-stored-raster.js'
import { buildPng } from './png-builder.js'
import { refusal } from './refusal.js'

// Open elevation and open map data for a place, from a server on this machine that behaves as those of open data do.

/** A square degree in cells of 1/1200 degree, whose south-west corner is given; heights tell the place. */
const degree = (west: number, south: number) =>
  virtualRaster({
    width: 1200,
    height: 1200,
    tile: 128,
    big: false,
    degrees: [west, south + 1, 1 / 1200],
    height_m: (column, row) => gentle(column + 1200 * (west + 100), row + 1200 * (60 - south)),
  })
const [WEST_HALF, EAST_HALF] = [degree(-94, 46), degree(-93, 46)]

/** A tile of heights in colours: 100 m and 1 m for each tile counted from the first. */
const colourTile = (x: number): Uint8Array => {
  const value = (100 + (x % 50) + 32_768) * 256
  return new Uint8Array(
    buildPng({ width: 64, height: 64, data: Uint8Array.from({ length: 64 * 64 * 3 }, (_, k) => (value >> (16 - 8 * (k % 3))) & 255) }),
  )
}

const MAP_ANSWER = {
  elements: [
    { type: 'way', id: 1, tags: { building: 'yes', name: 'Barn <b>' }, geometry: ring(-93.001, 46.5, 0.0002) },
    { type: 'way', id: 2, tags: { highway: 'track' }, geometry: line(-93.002, 46.5, 3) },
    { type: 'way', id: 3, tags: { waterway: 'stream' }, geometry: line(-93.003, 46.5, 4) },
    { type: 'way', id: 4, tags: { waterway: 'stream', tunnel: 'culvert' }, geometry: line(-93.003, 46.51, 2) },
    {
      type: 'relation',
      id: 5,
      tags: { type: 'multipolygon', natural: 'wood' },
      members: [
        { type: 'way', role: 'outer', geometry: ring(-93.01, 46.5, 0.004).slice(0, 3) },
        { type: 'way', role: 'outer', geometry: ring(-93.01, 46.5, 0.004).slice(2).reverse() },
        { type: 'way', role: 'inner', geometry: ring(-93.01, 46.5, 0.001) },
      ],
    },
    { type: 'node', id: 6, tags: { natural: 'spring' }, lat: 46.501, lon: -93.0015 },
    { type: 'way', id: 7, tags: { building: 'shed' }, geometry: line(-93.004, 46.5, 3) },
    { type: 'way', id: 8, tags: { building: 'hut' }, geometry: [0, 2, 1, 3, 0].map(k => ring(-93.005, 46.5, 0.0002)[k]) },
    { type: 'way', id: 9, tags: { leisure: 'park' }, geometry: ring(-93.006, 46.5, 0.0002) },
  ],
}
function ring(longitude: number, latitude: number, half: number) {
  return [
    [-1, -1],
    [1, -1],
    [1, 1],
    [-1, 1],
    [-1, -1],
  ].map(([x, y]) => ({ lon: longitude + x! * half, lat: latitude + y! * half }))
}
function line(longitude: number, latitude: number, places: number) {
  return Array.from({ length: places }, (_, k) => ({ lon: longitude + k * 1e-4, lat: latitude + k * 1e-4 }))
}

let server: OpenDataServer
let answerText = JSON.stringify(MAP_ANSWER)
beforeAll(async () => {
  server = await openDataServer(path => {
    const tile = /^\/tiles\/14\/(\d+)\/(\d+)\.png$/.exec(path)
    if (tile) return servedBytes(colourTile(Number(tile[1])), 'image/png')
    if (path.startsWith('/map?data=')) return servedBytes(new TextEncoder().encode(answerText), 'application/json')
    return { '/dem/N46W094.tif': WEST_HALF, '/dem/N46W093.tif': EAST_HALF }[path] ?? null
  })
})
afterAll(() => server.close())

const own = (more: Record<string, unknown> = {}): GroundSource =>
  groundSourceFrom({
    id: 'test',
    name: 'Test heights',
    address: `${server.url}dem/{NS:south}{south:2}{EW:west}{west:3}.tif`,
    cell_m: 90,
    heightUnit: 'm',
    heightError_m: 2.4,
    shows: 'surface',
    verticalDatum: 'EGM2008 geoid',
    licence: 'CC BY 4.0',
    credit: '© Test Survey — all rights',
    ...more,
  })
const yes = () => ({
  fetch: allowedOnly(fetch, host => host === server.host),
  dateText: '2026-11-28',
  patience_ms: 2000,
  wait: async () => undefined,
})

test('elevation for a box comes with its credit, licence, datum and worth, in a file that needs no network', async () => {
  const box = boxRound([-93.4, 46.3], 3000)
  const brought = await bringGround(own(), box, yes())
  const asked = server.asked.length
  const { grid, report } = await readElevation(brought.file.buffer)
  expect(server.asked).toHaveLength(asked)
  expect(report.crs).toBe('EPSG:32615')
  expect(report.elevationUnitFrom).toBe('file')
  const codes = Object.fromEntries(report.warnings.map(({ code, details }) => [code, details]))
  expect(codes['ground/credit']).toEqual({
    credit: '© Test Survey — all rights',
    licence: 'CC BY 4.0',
    name: 'Test heights',
    brought: '2026-11-28',
  })
  expect(codes['ground/open-source']).toMatchObject({ name: 'Test heights', error_m: 2.4, shows: 'surface', trust: 'country' })
  expect(codes['vertical-datum/not-stated']).toBeUndefined()
  // The box is inside, and little more came.
  const { geometry } = grid
  expect(geometry.width * geometry.cell_m).toBeGreaterThan(3000)
  expect(geometry.width * geometry.cell_m).toBeLessThan(4200)
})

test('heights are those of the files, cell for cell, also across two of them', async () => {
  const before = server.sent
  const box = [-93.02, 46.49, -92.98, 46.51] as const
  const brought = await bringGround(own(), box, yes())
  const { readStoredGeoTiff } = await import('../src/geotiff.js')
  const stored = await readStoredGeoTiff(brought.file.buffer)
  // Cells of 1/1200 degree: 48 + 2 × 2 across, 24 + 2 × 2 down.
  expect([stored.width, stored.height]).toEqual([52, 28])
  const column = Math.round((stored.affine[2] + 94) * 1200)
  const row = Math.round((47 - stored.affine[5]) * 1200)
  for (const k of [0, 51, 27 * 52, 27 * 52 + 51])
    expect(stored.data[k]).toBe(Math.fround(gentle(column + (k % 52) + 1200 * 6, row + Math.floor(k / 52) + 1200 * 14)))
  expect(stored.verticalDatum).toBe('EGM2008 geoid')
  expect(brought.warnings.map(({ code }) => code)).toContain('tiles/joined')
  expect(server.sent - before).toBeLessThan(12 * 65_536 + 2 * 40_000)
})

test('where a source has no file the ground is unknown, and said to be; where it has none at all it is refused', async () => {
  const brought = await bringGround(own(), [-91.52, 46.49, -91.48, 46.51], yes()).catch((error: { code: string }) => error.code)
  expect(brought).toBe('ground/nothing-there')
  const rim = await bringGround(own(), [-93.02, 46.99, -92.98, 47.01], yes())
  expect(rim.warnings).toContainEqual({ code: 'ground/no-file-there', details: { files: 2 } })
})

test('tiles of heights in colours are put together at their finest zoom', async () => {
  const tiles = own({
    address: `${server.url}tiles/{z}/{x}/{y}.png`,
    zoom: 14,
    colours: { base_m: -32768, step_m: 1 / 256 },
    verticalDatum: null,
  })
  const box = boxRound([-93.5, 46.5], 2500)
  const { file, width, height } = await bringGround(tiles, box, yes())
  const { report } = await readElevation(file.buffer)
  expect(report.fileCrs).toBe('EPSG:3857')
  // Neighbouring tiles differ by a metre, but at the fiftieth.
  expect(report.maximum_m - report.minimum_m).toBeGreaterThan(0)
  expect(report.minimum_m).toBeGreaterThanOrEqual(100)
  expect(report.maximum_m).toBeLessThan(150)
  const [cell] = tileAffine({ z: 14, x: 0, y: 0 }, 64)
  const across = 2500 / Math.cos((46.5 * Math.PI) / 180) / cell
  expect(width).toBeGreaterThanOrEqual(Math.floor(across))
  expect(width).toBeLessThan(across + 7)
  expect(height).toBeLessThan(across + 7)
})

test.each([
  ['an area as large as a country', [-94, 46, -90, 50], 'window/too-large', {}],
  ['a box turned round', [-93, 46, -94, 47], 'window/bad-box', {}],
  ['a place that is not covered', [-93.5, 46.2, -93.4, 46.3], 'ground/not-covered', { covers: [0, 0, 10, 10] }],
] as const)('%s is refused before anybody is asked', async (_, box, code, more) => {
  const before = server.asked.length
  expect((await refusal(() => bringGround(own(more), box, yes()))).code).toBe(code)
  expect(server.asked).toHaveLength(before)
})

test('no host is asked that nobody has allowed', async () => {
  const before = server.asked.length
  const no = { ...yes(), fetch: allowedOnly(fetch, () => false) }
  expect((await refusal(() => bringGround(own(), boxRound([-93.4, 46.3], 500), no))).code).toBe('network/not-allowed')
  const map = { ...MAP_DATA_SOURCES[0]!, address: `${server.url}map` }
  expect((await refusal(() => bringMapData(map, boxRound([-93.4, 46.3], 500), no))).code).toBe('network/not-allowed')
  expect(server.asked).toHaveLength(before)
})

test('the list of sources is whole: every fact has its origin, every address its places', () => {
  for (const source of GROUND_SOURCES) {
    expect(source.facts.length).toBeGreaterThan(40)
    expect(source.credit).not.toBe('')
    expect(source.licence).not.toBe('')
    expect(hostOfSource(source)).toMatch(/^[a-z0-9.-]+$/)
    // A list entry is what a user could give too.
    expect({ ...groundSourceFrom({ ...source }), facts: '', trust: '', id: '' }).toEqual({ ...source, facts: '', trust: '', id: '' })
  }
  const [usgs, , copernicus, tiles] = GROUND_SOURCES
  expect(tiling(usgs!)).toBe('degrees')
  expect(tiling(tiles!)).toBe('map-tiles')
  expect(degreeAddress(usgs!.address, -94, 46)).toMatch(/current\/n47w094\/USGS_13_n47w094\.tif$/)
  expect(degreeAddress(copernicus!.address, -94, 46)).toMatch(/Copernicus_DSM_COG_10_N46_00_W094_00_DEM\.tif$/)
  expect(degreeAddress(copernicus!.address, 7, -4)).toMatch(/_10_S04_00_E007_00_DEM\.tif$/)
})

test.each([
  [{}, 'source/bad-value'],
  [{ address: 'ftp://example.org/a.tif' }, 'address/not-web'],
  [{ address: 'https://example.org/{row}.tif' }, 'source/bad-value'],
  [{ address: 'https://example.org/{z}/{x}.png', zoom: 10 }, 'source/bad-value'],
  [{ address: 'https://example.org/{z}/{x}/{y}.png', zoom: 10 }, 'source/bad-value'],
  [{ address: 'https://example.org/a.tif', covers: [10, 0, 0, 10] }, 'window/bad-box'],
  [{ address: 'https://example.org/a.tif', heightUnit: 'cubit' }, 'source/bad-value'],
])('a source that cannot be used is refused: %j', async (given, code) => {
  expect((await refusal(() => groundSourceFrom(given))).code).toBe(code)
})

test('a description by a stranger is text and no more', () => {
  expect(provenanceIn('{"format":"soakline-source/1","credit":{"toString":1},"cell_m":"x","name":7}')).toEqual({
    format: 'soakline-source/1',
  })
  expect(provenanceIn('{"format":"soakline-source/1", broken')).toBeNull()
  expect(provenanceIn('A picture')).toBeNull()
})

test('features of the open map are told apart by their tags and bear their source; what is not whole is counted', async () => {
  const map = { ...MAP_DATA_SOURCES[0]!, address: `${server.url}map` }
  const { geojson, counts, warnings } = await bringMapData(map, [-93.02, 46.49, -92.99, 46.51], yes())
  expect(counts).toEqual({ building: 1, track: 1, stream: 1, forest: 1, wet: 0, spring: 1, well: 0 })
  expect(decodeURIComponent(server.asked.at(-1)!.path)).toContain('way["building"](46.49,-93.02,46.51,-92.99);')
  const codes = Object.fromEntries(warnings.map(({ code, details }) => [code, details]))
  // A building that does not close, and one whose outline crosses itself.
  expect(codes['map-data/left-out']).toEqual({ features: 2 })
  expect(codes['map-data/underground']).toEqual({ features: 1 })
  expect(codes['map-data/credit']).toMatchObject({ credit: '© OpenStreetMap contributors' })
  expect(codes['map-data/may-lack']).toBeDefined()
  const { features } = readFeatures(geojson, await openProjection('EPSG:32615'))
  expect(features.map(({ id, kind, name, source }) => [id, kind, name, source])).toEqual([
    ['way/1', 'building', 'Barn <b>', '© OpenStreetMap contributors'],
    ['way/2', 'track', null, '© OpenStreetMap contributors'],
    ['way/3', 'stream', null, '© OpenStreetMap contributors'],
    ['relation/5', 'forest', null, '© OpenStreetMap contributors'],
    ['node/6', 'spring', null, '© OpenStreetMap contributors'],
  ])
  const wood = features[3]!.shapes[0]!
  expect(wood.type === 'polygon' && wood.rings.length).toBe(2)
})

test.each([
  [{ building: 'yes' }, 'building'],
  [{ building: 'no' }, null],
  [{ highway: 'footway' }, 'track'],
  [{ highway: 'primary', tunnel: 'yes' }, null],
  [{ waterway: 'ditch' }, 'stream'],
  [{ waterway: 'dam' }, null],
  [{ landuse: 'forest' }, 'forest'],
  [{ natural: 'wetland' }, 'wet'],
  [{ man_made: 'water_well' }, 'well'],
  [{ building: 5 }, null],
  [JSON.parse('{"__proto__": {"building": "yes"}}'), null],
])('by its tags %j is %s', (tags, kind) => {
  expect(kindByTags(tags)).toBe(kind)
})

test.each([
  ['<html>Sign in</html>', 'map-data/not-json'],
  ['[]', 'map-data/not-json'],
  ['{"elements": [], "remark": "runtime error: Query timed out"}', 'map-data/incomplete'],
])('an answer that cannot be used is refused: %s', async (text, code) => {
  expect((await refusal(() => readMapData(text, MAP_DATA_SOURCES[0]!))).code).toBe(code)
})

test('an answer cut off on its way is refused, never taken as the whole', async () => {
  const map = { ...MAP_DATA_SOURCES[0]!, address: `${server.url}map` }
  server.behaviour = 'breaks-off'
  expect((await refusal(() => bringMapData(map, [-93.02, 46.49, -92.99, 46.51], yes()))).code).toBe('address/cut-off')
  server.behaviour = 'well'
  answerText = JSON.stringify(MAP_ANSWER).slice(0, 400)
  expect((await refusal(() => bringMapData(map, [-93.02, 46.49, -92.99, 46.51], yes()))).code).toBe('map-data/not-json')
  answerText = JSON.stringify(MAP_ANSWER)
})

test('the question for the open map names every kind and one box', () => {
  const query = mapDataQuery([-93.02, 46.49, -92.99, 46.51])
  for (const tag of ['building', 'forest', 'wood', 'wetland', 'highway', 'waterway', 'spring', 'water_well']) expect(query).toContain(tag)
  expect(query.match(/\(46\.49,-93\.02,46\.51,-92\.99\)/g)).toHaveLength(12)
})
