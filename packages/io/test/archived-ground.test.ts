import { archiveHolds, packZip, readElevation } from '@soakline/io'
import { describe, expect, test } from 'vitest'
import { openZip } from '../src/zip.js'
import { refusal } from './refusal.js'
import { buildDem, ground } from './tiff-builder.js'
import { buildZip, type PackedFile } from './zip-builder.js'

const tiff = new Uint8Array(buildDem({ width: 6, height: 5, cells: ground(6, 5) }))
const dem: PackedFile = { name: 'farm/dem.tif', content: tiff }
const grid = 'ncols 3\nnrows 3\nxllcorner 500000\nyllcorner 4000000\ncellsize 2\n1 2 3 4 5 6 7 8 9\n'
const UTM17 =
  'PROJCS["WGS_1984_UTM_Zone_17N",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-81.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]'
const code = async (zip: ArrayBuffer, options = {}): Promise<string> => (await refusal(() => readElevation(zip, options))).code

describe('one raster in an archive', () => {
  test('packed or not, it is the same ground as without', async () => {
    const plain = (await readElevation(tiff.buffer as ArrayBuffer)).report.sha256
    for (const stored of [true, false]) {
      const zip = buildZip([
        { name: 'farm/', content: '', stored: true },
        { ...dem, stored },
        { name: 'readme.txt', content: 'see the web' },
        { name: 'farm/dem.tif.aux.xml', content: '<x/>' },
      ])
      expect((await readElevation(zip)).report.sha256).toBe(plain)
    }
  })

  test('the .prj of the same name gives an ASCII grid its system; the one of another does not', async () => {
    const zip = buildZip([
      { name: 'a.asc', content: grid },
      { name: 'A.PRJ', content: UTM17 },
    ])
    const { report } = await readElevation(zip)
    expect(report.crs).toMatch(/proj=(utm|tmerc|etmerc)/)
    expect((await readElevation(zip, { crs: 'EPSG:32617' })).report.crs).toBe('EPSG:32617')
    expect(
      await code(
        buildZip([
          { name: 'a.asc', content: grid },
          { name: 'b.prj', content: UTM17 },
        ]),
      ),
    ).toBe('crs/unknown')
  })

  test('of several it is asked which; a name answers', async () => {
    const zip = buildZip([dem, { name: 'farm/old.asc', content: grid }])
    const asked = await refusal(() => readElevation(zip))
    expect(asked).toMatchObject({ code: 'archive/several-files', details: { members: ['farm/dem.tif', 'farm/old.asc'] } })
    expect((await readElevation(zip, { member: 'farm/dem.tif' })).report.format).toBe('GeoTIFF')
    expect((await readElevation(zip, { member: 'farm/old.asc', crs: 'local' })).report.format).toBe('ASCII grid')
    expect(await code(zip, { member: '../dem.tif' })).toBe('archive/no-such-file')
  })

  test('a table of points in an archive is ground too', async () => {
    const points = 'easting_m,northing_m,elevation_m\n0,0,1\n5,0,1\n0,5,2\n5,5,3\n2,2,1.5\n'
    expect((await readElevation(buildZip([{ name: 'points.csv', content: points }]), { crs: 'local' })).report.points).toBe(5)
  })
})

test('an archive is a layer where it holds one and no raster beside it', () => {
  const holds = (...names: string[]) => archiveHolds(buildZip(names.map(name => ({ name, content: 'x' }))))
  for (const names of [
    ['a.shp', 'a.dbf', 'a.prj'],
    ['doc.kml', 'files/a.png'],
    ['a.geojson', 'readme.txt'],
  ])
    expect(holds(...names)).toBe('features')
  for (const names of [['a.tif', 'a.shp'], ['a.asc', 'a.prj'], ['N36W081.hgt'], ['points.csv'], ['letter.docx'], ['tile.png']])
    expect(holds(...names)).toBe('ground')
})

test('law: packed files come out as they went in, also two of one name', async () => {
  const files = ['a.tif', 'ñandú/b.tif', 'a.tif', ''].map((name, k) => ({
    name,
    bytes: Uint8Array.from({ length: k * 1000 }, (_, n) => n * k),
  }))
  const members = openZip(packZip(files))
  expect(members.map(({ name }) => name)).toEqual(['a.tif', 'ñandú/b.tif', '3 a.tif', ''])
  for (const [k, member] of members.entries()) expect(await member.read()).toEqual(files[k]!.bytes)
})

describe('refused', () => {
  test('what holds no ground, or another archive', async () => {
    expect(await code(buildZip([{ name: 'letter.docx', content: 'x' }]))).toBe('archive/no-ground')
    expect(
      await code(
        buildZip([
          { name: '.hidden.tif', content: tiff },
          { name: '__MACOSX/dem.tif', content: tiff },
        ]),
      ),
    ).toBe('archive/no-ground')
    expect(await code(buildZip([{ name: 'dem.tif', content: new Uint8Array(buildZip([dem])) }]))).toBe('archive/nested')
    expect(await code(buildZip([{ name: 'dem.tif', content: 'no raster at all' }]))).toBe('grid/unknown-format')
  })

  test.each<[string, PackedFile, string]>([
    ['a password', { ...dem, flags: 1 }, 'archive/locked'],
    ['another packing', { ...dem, method: 12 }, 'archive/unknown-packing'],
    ['a wrong check sum', { ...dem, crc: 7 }, 'archive/damaged'],
    ['a promise beyond DEFLATE', { ...dem, bytes: 0xfffffff0 }, 'archive/damaged'],
    [
      'a promise beyond the limit',
      { ...dem, content: new Uint8Array(1_200_000).map((_, k) => (k * k) >>> 5), stored: true, method: 8, bytes: 2 ** 30 + 1 },
      'archive/too-large',
    ],
    ['fewer bytes than promised', { ...dem, bytes: tiff.length + 100 }, 'archive/damaged'],
    ['more packed bytes than there are', { ...dem, packed: 1e6 }, 'archive/damaged'],
    ['bytes that are not packed', { ...dem, stored: true, method: 8 }, 'archive/damaged'],
    ['two sizes of an unpacked file', { ...dem, stored: true, bytes: 40 }, 'archive/damaged'],
  ])('%s', async (_, file, expected) => {
    expect(await code(buildZip([file]))).toBe(expected)
  })

  test('failure 41: files that share their bytes, more files than a layer has, and archives beyond 4 GB', async () => {
    expect(await code(buildZip([dem, { ...dem, name: 'again.tif', sharesWith: 0 }]))).toBe('archive/overlapping')
    expect(await code(buildZip([dem], { entries: 5000 }))).toBe('archive/too-many-files')
    expect(await code(buildZip([dem], { entries: 0xffff }))).toBe('archive/unknown-packing')
    expect(await code(buildZip([dem], { entries: 3 }))).toBe('archive/damaged')
    expect(await code(buildZip([dem], { start: 4 }))).toBe('archive/damaged')
  })

  test('a bomb unpacks to what the directory says and no further', async () => {
    const before = process.memoryUsage().arrayBuffers
    expect(await code(buildZip([{ name: 'a.tif', content: new Uint8Array(60_000_000), bytes: 1000 }]))).toBe('archive/damaged')
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(100e6)
  })

  test('names are text: paths upwards and keys of prototypes reach nothing', async () => {
    const zip = buildZip(['../../etc/dem.tif', '__proto__.tif', 'C:\\x.tif'].map(name => ({ name, content: tiff })))
    expect(openZip(new Uint8Array(zip)).map(({ name }) => name)).toEqual(['../../etc/dem.tif', '__proto__.tif', 'C:\\x.tif'])
    expect((await readElevation(zip, { member: '../../etc/dem.tif' })).report.format).toBe('GeoTIFF')
  })

  test('at every length a cut archive is refused', async () => {
    const whole = buildZip([dem])
    for (let length = 5; length < whole.byteLength; length += 3) expect(await code(whole.slice(0, length))).toBe('archive/damaged')
  })
})
