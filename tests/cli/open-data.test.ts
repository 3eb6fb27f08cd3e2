import { closeSync, ftruncateSync, openSync, statSync, writeFileSync, writeSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { newFolder, noTerrainsTried, soakline } from '../helpers/command-line.js'
import { type OpenDataServer, openDataServer, servedBytes } from '../helpers/open-data-server.js'
import { gentle, type VirtualRaster, virtualRaster } from '../helpers/virtual-raster.js'

// Rasters larger than memory, at addresses, and open data for a place, on the command line. The server stands on this machine.

/** A hillside in cells of 1/3600 degree, falling to the south. */
const HILL = virtualRaster({
  width: 3600,
  height: 3600,
  tile: 256,
  big: false,
  degrees: [-94, 47, 1 / 3600],
  height_m: (column, row) => 900 - 0.9 * row + 0.02 * ((column % 40) - 20) ** 2,
})
const MAP = {
  elements: [
    { type: 'node', id: 4, tags: { natural: 'spring', name: 'Cold spring' }, lat: 46.3, lon: -93.4 },
    { type: 'way', id: 5, tags: { waterway: 'stream' }, geometry: [0, 1, 2].map(k => ({ lat: 46.3 + k * 0.002, lon: -93.405 })) },
  ],
}

let server: OpenDataServer
beforeAll(async () => {
  server = await openDataServer(path =>
    path === '/dem/N46W094.tif'
      ? HILL
      : path.startsWith('/map?data=')
        ? servedBytes(new TextEncoder().encode(JSON.stringify(MAP)), 'application/json')
        : null,
  )
})
afterAll(() => server.close())

/** Writes of a raster only its lists and some of its tiles; the rest are holes in the file. */
function sparseFile(raster: VirtualRaster, tiles: readonly number[]): string {
  const path = join(newFolder(), 'large.tif')
  const file = openSync(path, 'w')
  writeSync(file, raster.read(0, raster.dataStart), 0, raster.dataStart, 0)
  ftruncateSync(file, raster.size)
  for (const tile of tiles) {
    const at = raster.dataStart + tile * raster.tileBytes
    writeSync(file, raster.read(at, raster.tileBytes), 0, raster.tileBytes, at)
  }
  closeSync(file)
  return path
}

test('a farm out of a raster of more than 2 GB: its size is told, all of it is refused, a part is read', async () => {
  const raster = virtualRaster({ width: 24_000, height: 24_000, tile: 512, height_m: (column, row) => gentle(column, row) + 0.02 * row })
  // Columns and rows 5200 to 5400 lie in the eleventh tile of the eleventh row.
  const path = sparseFile(raster, [10 * 47 + 10])
  expect(statSync(path).size).toBeGreaterThan(2 ** 31)
  const about = await soakline('about', path)
  expect(about.code).toBe(0)
  expect(about.out).toContain('24000 by 24000 cells')
  expect(about.json('about.json')).toMatchObject({ width: 24_000, height: 24_000, crs: 'EPSG:32617', memoryBytes: 4 * 24_000 ** 2 })

  const all = await soakline('terrain', path)
  expect(all.code).toBe(3)
  expect(all.error).toMatch(/^grid\/too-large: .*--window/)

  const before = process.memoryUsage().arrayBuffers
  const part = await soakline('terrain', path, '--window-xy', '505200,3994600,505400,3994800')
  expect(part.code).toBe(0)
  expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(300e6)
  expect(part.json('terrain.json')).toMatchObject({ width: 204, height: 204, cell_m: 1 })
  expect(part.error).toContain('ground/cut-out: Only a part was read: 204 by 204 cells of 24,000 by 24,000.')

  const outside = await soakline('terrain', path, '--window', '10,45,10.1,45.1')
  expect(outside.code).toBe(3)
  expect(outside.error).toMatch(/^window\/outside: /)
})

test('a raster at an address is read where its host is allowed, and asked for nothing where it is not', async () => {
  const words = ['terrain', `${server.url}dem/N46W094.tif`, '--window', '-93.41,46.29,-93.39,46.31', '--elevation-unit', 'm']
  server.asked.length = 0
  const no = await soakline(...words)
  expect(no.code).toBe(3)
  expect(no.error).toMatch(/^network\/not-allowed: .*--allow 127\.0\.0\.1:\d+/)
  expect(server.asked).toHaveLength(0)
  const before = server.sent
  const yes = await soakline(...words, '--allow', server.host)
  expect(yes.error).not.toMatch(/network/)
  expect(yes.code).toBe(0)
  // Of 50 MB no more than the four tiles that the part may touch, and the lists.
  expect(server.sent - before).toBeLessThan(4 * HILL.tileBytes + 100_000)
})

test('what is open for a place is brought to files that need no network, and its credit goes into every paper', async () => {
  const source = join(newFolder(), 'source.json')
  const heights = {
    name: 'Test Survey 30',
    address: `${server.url}dem/{NS:south}{south:2}{EW:west}{west:3}.tif`,
    cell_m: 30,
    heightUnit: 'm',
    credit: '© Test Survey',
    licence: 'CC BY 4.0',
  }
  writeFileSync(source, JSON.stringify(heights))
  const map = join(newFolder(), 'map.json')
  writeFileSync(map, JSON.stringify({ name: 'Test map', address: `${server.url}map`, credit: '© Mappers', licence: 'ODbL' }))
  const keep = newFolder()
  const words = ['bring', '--at', '-93.4,46.3', '--side', '3000', '--from', source, '--map-data', '--map-from', map, '--keep', keep]
  server.asked.length = 0
  const no = await soakline(...words)
  expect(no.error).toMatch(/^network\/not-allowed: /)
  expect(server.asked).toHaveLength(0)

  const brought = await soakline(...words, '--allow', server.host)
  expect(brought.code).toBe(0)
  expect(brought.out).toContain('from now on no network is needed')
  expect(brought.error).toContain('map-data/may-lack: ')
  expect(brought.json('brought.json')).toMatchObject({
    format: 'soakline-brought/1',
    brought: [{ credit: '© Test Survey' }, { credit: '© Mappers' }],
  })
  const asked = server.asked.length

  // The same again comes from the folder of what is kept.
  expect((await soakline(...words, '--allow', server.host)).code).toBe(0)
  const line = join(newFolder(), 'line.geojson')
  writeFileSync(
    line,
    JSON.stringify({
      type: 'LineString',
      coordinates: [
        [-93.4015, 46.3],
        [-93.3985, 46.3],
      ],
    }),
  )
  const ground = join(brought.folder, 'ground.tif')
  const answer = await soakline(
    'assess',
    ground,
    '--line',
    line,
    '--features',
    join(brought.folder, 'features.geojson'),
    ...noTerrainsTried(),
  )
  expect([0, 4]).toContain(answer.code)
  expect(server.asked).toHaveLength(asked)
  expect(answer.error).toContain('ground/credit: The heights are by others: © Test Survey. Source: Test Survey 30. License: CC BY 4.0.')
  for (const paper of ['report.html', 'drawing-set.html'])
    for (const credit of ['© Test Survey', '© Mappers']) {
      const parts = answer.text(paper).split(credit)
      // On the plan, and again among the sources.
      expect(parts.length, `${paper} ${credit}`).toBeGreaterThan(2)
    }
  const plan = JSON.parse(answer.text('plan.soakline.json')) as { features: { source?: string }[] }
  expect(plan.features.map(feature => feature.source)).toEqual(['© Mappers', '© Mappers'])
  // And again from the saved plan.
  const again = await soakline('assess', '--plan', join(answer.folder, 'plan.soakline.json'))
  expect(again.text('report.html')).toContain('© Mappers')
})

test('the list of public sources says what each may be trusted for', async () => {
  const { out, code } = await soakline('about', '--sources')
  expect(code).toBe(0)
  expect(out).toContain('copernicus-glo-30: Copernicus DEM GLO-30')
  expect(out).toContain('Good for: seeing how the country lies; no line and no level')
  expect(out).toContain('© OpenStreetMap contributors')
  expect((await soakline('about', '--sources', '--language', 'es')).out).toContain('Sirve para: ver cómo es la comarca')
})

test.each([
  [['bring']],
  [['bring', '--at', '1,2']],
  [['bring', '--at', '1,2', '--window', '1,2,3,4', '--from', 'copernicus-glo-30']],
  [['terrain', 'x.tif', '--window', '1,2,3']],
  [['terrain', 'x.tif', '--window', '1,2,3,4', '--window-xy', '1,2,3,4']],
])('wrong use: %j', async words => {
  const ran = await soakline(...words)
  expect(ran.code).toBe(2)
  expect(ran.error).not.toBe('')
})
