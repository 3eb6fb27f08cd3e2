import { deflateSync } from 'node:zlib'
import { COLOUR_CODES, readElevation, readVectorFile } from '@soakline/io'
import { InputError } from 'soakline/foundation'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { cases } from '../../../tests/helpers/cases.js'
import { crc32 } from '../src/crc32.js'
import { buildPng } from './png-builder.js'
import { buildDbf, buildShp } from './shapefile-builder.js'
import { buildDem, ground, type Tag } from './tiff-builder.js'
import { buildZip } from './zip-builder.js'

// Files that were changed at random, from a seed: each must be read or refused by a code, soon, without huge memory and without a rejection that nobody
// hears. A few hundred of each format here, the long check (`files`) tries many more.

const CASES = cases(300)
/** Longest time for one file. The machine's load is not the file's fault: it is measured in time of this process. */
const MOST_MS = 2000
/** Largest single allocation, for files of some kilobytes under a limit of a million cells of 8 bytes, read once and drawn once more. */
const MOST_BYTES = 64e6

const text = (value: string): Uint8Array => new TextEncoder().encode(value)
const WGS84 =
  'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]'
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
const raster = (bytes: ArrayBuffer): Promise<unknown> =>
  readElevation(bytes, { maxCells: 1e6, crs: 'local', elevationUnit: 'm', join: true, fileName: 'x' })
const layer = (bytes: ArrayBuffer): Promise<unknown> => readVectorFile(bytes, { crs: 'EPSG:4326' })

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

/** What is changed, and how it is read. Where check sums would catch each change, there is a second row that changes what they guard and sums anew. */
const SEEDS: readonly (readonly [string, Uint8Array, (bytes: ArrayBuffer) => Promise<unknown>])[] = [
  ['GeoTIFF', new Uint8Array(buildDem({ width: 12, height: 10, cells, nodata: '-9999' })), raster],
  [
    'GeoTIFF, packed',
    new Uint8Array(
      buildDem({
        width: 12,
        height: 10,
        cells,
        blocks: [new Uint8Array(deflateSync(new Uint8Array(cells.buffer)))],
        tags: [short(259, 8)],
      }),
    ),
    raster,
  ],
  ['ASCII grid', text(GRID), raster],
  ['height tile', new Uint8Array(300), bytes => readElevation(bytes, { fileName: 'N36W081.hgt', maxCells: 1e6 })],
  ['map tile', tile, colours],
  ['map tile summed anew', tile, bytes => colours(summed(bytes))],
  [
    'archive of a changed raster',
    new Uint8Array(buildDem({ width: 12, height: 10, cells })),
    bytes => raster(buildZip([{ name: 'a.tif', content: new Uint8Array(bytes) }])),
  ],
  [
    'changed system beside a grid',
    text(WGS84),
    bytes =>
      readElevation(
        buildZip([
          { name: 'a.asc', content: GRID.replace('500000', '10').replace('4000000', '45').replace('cellsize 2', 'cellsize 0.0001') },
          { name: 'a.prj', content: new Uint8Array(bytes) },
        ]),
        { elevationUnit: 'm', maxCells: 1e6 },
      ),
  ],
  ['changed main file of a shapefile', shp, bytes => layer(shapefile(new Uint8Array(bytes), dbf))],
  ['changed table of a shapefile', dbf, bytes => layer(shapefile(shp, new Uint8Array(bytes)))],
  ['archive of a grid', new Uint8Array(buildZip([{ name: 'a.asc', content: GRID }])), raster],
  [
    'archive of tiles',
    new Uint8Array(
      buildZip([
        { name: 'a.asc', content: GRID, stored: true },
        { name: 'b.asc', content: GRID.replace('500000', '500012'), stored: true },
      ]),
    ),
    raster,
  ],
  ['survey points', text('easting_m,northing_m,elevation_m\n0,0,1\n5,0,1\n0,5,2\n5,5,3\n2,2,1.5\n'), raster],
  ['shapefile', new Uint8Array(shapefile(shp, dbf)), layer],
  [
    'KML',
    text(
      '<?xml version="1.0"?><kml><Document><Placemark><name>A &amp; b</name><ExtendedData><Data name="kind"><value>forest</value></Data></ExtendedData><Polygon><outerBoundaryIs><LinearRing><coordinates>10,45 11,45 11,46 10,45</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></Document></kml>',
    ),
    layer,
  ],
  [
    'GPX',
    text(
      '<gpx><wpt lat="45" lon="10"><name>Gate</name></wpt><trk><trkseg><trkpt lat="45" lon="10"/><trkpt lat="46" lon="10"/></trkseg></trk></gpx>',
    ),
    layer,
  ],
  ['table of points', text('lon,lat,kind,name\n10,45,building,"By""re"\n11,45,tree,\n'), layer],
]

/** A change-maker of one seed; the same changes for the same number. */
function changer(seed: number): (bytes: Uint8Array) => Uint8Array<ArrayBuffer> {
  let state = (seed * 2654435761 + 12345) >>> 0
  const below = (n: number): number => {
    state = (Math.imul(state ^ (state >>> 15), 0x2c1b3c6d) + 0x9e3779b9) >>> 0
    const mixed = Math.imul(state ^ (state >>> 12), 0x297a2d39) >>> 0
    return Math.floor(((mixed ^ (mixed >>> 15)) >>> 0) / (2 ** 32 / n))
  }
  const HOSTILE = [0, 1, 0x7f, 0x80, 0xff, 0x20, 0x2d, 0x39, 0x22, 0x3c]
  return bytes => {
    let changed = bytes.slice() as Uint8Array<ArrayBuffer>
    for (let k = 1 + below(4); k > 0; k--) {
      const at = below(changed.length || 1)
      const what = below(7)
      if (what <= 1) changed[at] = HOSTILE[below(HOSTILE.length)]!
      else if (what === 2) changed[at] = below(256)
      // Four bytes at once, as sizes and offsets stand.
      else if (what === 3) changed.set([0xff, 0xff, 0xff, 0x7f].slice(0, changed.length - at), at)
      else if (what === 4) changed.fill(below(256), at, at + below(8))
      else if (what === 5) changed = changed.slice(0, at)
      else {
        const piece = changed.slice(at, at + below(40))
        const to = below(changed.length + 1)
        const longer = new Uint8Array(changed.length + piece.length)
        longer.set(changed.subarray(0, to))
        longer.set(piece, to)
        longer.set(changed.subarray(to), to + piece.length)
        changed = longer
      }
    }
    return changed
  }
}

/** Largest allocation asked for while `work` runs. A size beyond the budget is not given: what asks for it is the fault that is looked for. */
const NAMES = ['ArrayBuffer', 'Uint8Array', 'Float32Array', 'Float64Array', 'Uint16Array', 'Uint32Array', 'Int32Array'] as const
const own = new Map(
  NAMES.map(name => [name, globalThis[name] as unknown as { new (...given: unknown[]): object; BYTES_PER_ELEMENT?: number }]),
)
let largest = 0
const unheard: unknown[] = []
const hear = (reason: unknown): void => void unheard.push(reason)
beforeAll(() => {
  process.on('unhandledRejection', hear)
  for (const name of NAMES) {
    const real = own.get(name)!
    const watched: typeof real = new Proxy(real, {
      construct(target, given, newTarget): object {
        const bytes = typeof given[0] === 'number' ? given[0] * (target.BYTES_PER_ELEMENT ?? 1) : 0
        if (bytes > largest) largest = bytes
        if (bytes > MOST_BYTES) throw new Error(`an allocation of ${bytes} bytes`)
        return Reflect.construct(target, given, newTarget === watched ? target : newTarget)
      },
    })
    ;(globalThis as Record<string, unknown>)[name] = watched
  }
})
afterAll(() => {
  process.off('unhandledRejection', hear)
  for (const [name, real] of own) (globalThis as Record<string, unknown>)[name] = real
})

test('the watch notices what it watches for', () => {
  expect(() => new Float32Array(MOST_BYTES)).toThrow('allocation')
  expect(() => new ArrayBuffer(1e9)).toThrow('allocation')
  expect(largest).toBe(1e9)
  expect(new Uint8Array([1, 2])).toEqual(Uint8Array.of(1, 2))
  largest = 0
})

test.each(SEEDS)('%s: whatever is changed, it is read or refused by a code, soon and in little memory', async (name, bytes, read) => {
  const faults: string[] = []
  let [taken, refused] = [0, 0]
  if (name !== 'height tile') await read(bytes.slice().buffer)
  for (let seed = 1; seed <= CASES; seed++) {
    const changed = changer(seed)(bytes)
    const before = process.cpuUsage()
    try {
      await read(changed.buffer)
      taken++
    } catch (error) {
      refused++
      if (!(error instanceof InputError) || !/^[a-z0-9-]+\/[a-z0-9-]+$/.test(error.code))
        faults.push(
          `${name}, seed ${seed}: ${error instanceof Error ? (error.stack ?? error.message).split('\n').slice(0, 3).join(' ') : String(error)}`,
        )
    }
    const { user, system } = process.cpuUsage(before)
    if ((user + system) / 1000 > MOST_MS) faults.push(`${name}, seed ${seed}: ${Math.round((user + system) / 1000)} ms`)
  }
  expect(faults).toEqual([])
  expect(unheard).toEqual([])
  expect(largest).toBeLessThanOrEqual(MOST_BYTES)
  // Both happen, or the changes are not what they should be; only where check sums stand, or a size, is every change seen.
  expect(refused).toBeGreaterThan(CASES / 50)
  if (!/^(height tile|map tile|archive of a grid)$/.test(name)) expect(taken).toBeGreaterThan(0)
})
