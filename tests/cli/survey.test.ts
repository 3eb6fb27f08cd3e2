import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { openProjection, readElevation } from '@soakline/io'
import { METRES_PER } from 'soakline/foundation'
import { distance_m, type Point } from 'soakline/raster'
import { describe, expect, test } from 'vitest'
import { newFolder, noTerrainsTried, soakline } from '../helpers/command-line.js'
import { arc, cone, lineAcross, roof, type Surface } from '../helpers/surfaces.js'

// A survey in place of a raster: invented points on exact surfaces, every 4 m, 200 m to each side of the middle.

const STEP = 4
const CORNER: Point = [500_000, 5_200_000]
const CENTRE: Point = [CORNER[0] + 200, CORNER[1] + 200]
const UTM = ['--crs', 'EPSG:32632']

const places = Array.from({ length: 101 * 101 }, (_, k): Point => [CORNER[0] + STEP * (k % 101), CORNER[1] + STEP * Math.floor(k / 101)])

function table(header: string, rows: readonly (readonly number[])[]): string {
  const file = join(newFolder(), 'points.csv')
  writeFileSync(file, `${header}\n${rows.map(row => row.join(',')).join('\n')}\n`)
  return file
}

const survey = (surface: Surface, header = 'easting_m,northing_m,elevation_m', within: readonly Point[] = places): string =>
  table(
    header,
    within.map(([x, y]) => [x, y, surface(x, y)]),
  )

async function lineFile(path: readonly Point[]): Promise<string> {
  const { toLonLat } = await openProjection('EPSG:32632')
  const file = join(newFolder(), 'line.geojson')
  writeFileSync(file, JSON.stringify({ type: 'LineString', coordinates: path.map(([x, y]) => toLonLat(x, y)) }))
  return file
}

async function groundOf(folder: string) {
  const bytes = readFileSync(join(folder, 'gradient.tif'))
  return (
    await readElevation(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer, { elevationUnit: 'm' })
  ).grid
}

test('a roof: its ridge stands on rows of points, so the catchment of a line is the rectangle above it, within 1 %', async () => {
  const ran = await soakline('catchment', survey(roof(0, 0.1, CENTRE)), ...UTM, '--line', await lineFile(lineAcross(0, CENTRE, 60, 80)))
  expect(ran.error).not.toMatch(/internal/)
  expect(ran.code).toBe(0)
  expect(Math.abs(ran.json('catchment.json').area_m2! / (60 * 80) - 1)).toBeLessThan(0.01)
  expect(ran.json('catchment.json').cutByEdge).toBe(false)
})

test('a cone: the catchment of an arc is its sector within 2 %, and a level line is level and keeps its radius', async () => {
  const file = survey(cone(0.1, CENTRE))
  const caught = await soakline('catchment', file, ...UTM, '--line', await lineFile(arc(31, CENTRE, 80, 80)))
  expect(Math.abs(caught.json('catchment.json').area_m2! / ((80 * 80) / 2) - 1)).toBeLessThan(0.02)
  const level = await soakline('level', file, ...UTM, '--at-xy', `${CENTRE[0] + 90},${CENTRE[1]}`, '--length', '100')
  const { fromLonLat } = await openProjection('EPSG:32632')
  const line = (level.json('line.geojson') as unknown as { features: { geometry: { coordinates: number[][] } }[] }).features[0]!.geometry
    .coordinates
  const heights = line.map(c => c[2]!)
  expect(Math.max(...heights) - Math.min(...heights)).toBeLessThan(0.0005)
  // A chord of a 4 m triangle leaves the circle by 4² / (8 · 90) = 0.02 m; two triangles and the cells between them by a few times that.
  for (const c of line) expect(Math.abs(distance_m(fromLonLat(c[0]!, c[1]!), CENTRE) - 90)).toBeLessThan(0.1)
})

test('path and assess answer on a survey; its remarks are told and kept', async () => {
  const file = survey(cone(0.1, CENTRE))
  const path = await soakline('path', file, ...UTM, '--at-xy', `${CENTRE[0] + 50},${CENTRE[1] + 20}`)
  expect(path.code).toBe(0)
  expect(path.error).toContain('survey/interpolated')
  expect(JSON.stringify(path.json('path.json').warnings)).toContain('"points":10201')
  const assessed = await soakline('assess', file, ...UTM, '--line', await lineFile(arc(31, CENTRE, 80, 80)), ...noTerrainsTried())
  expect([0, 4]).toContain(assessed.code)
  expect((assessed.json('assessment.json') as unknown as { catchment: { area_m2: number } }).catchment.area_m2).toBeGreaterThan(3000)
})

test('outside the points and across ground that nobody measured there is no ground', async () => {
  const notched = places.filter(([x, y]) => !(x > CENTRE[0] - 60 && x < CENTRE[0] + 60 && y > CENTRE[1]))
  const ran = await soakline('terrain', survey(roof(0, 0.1, CENTRE), undefined, notched), ...UTM)
  expect(ran.code).toBe(0)
  expect(ran.error).toContain('survey/voids')
  const { geometry: g, data } = await groundOf(ran.folder)
  const at = ([x, y]: Point): number => data[Math.floor((g.north_m - y) / g.cell_m) * g.width + Math.floor((x - g.west_m) / g.cell_m)]!
  expect(at([CENTRE[0] + 1, CENTRE[1] + 101])).toBeNaN()
  expect(at([CENTRE[0] + 1, CENTRE[1] - 99])).toBeCloseTo(0.1, 4)
  expect(at([CENTRE[0] + 101, CENTRE[1] + 101])).toBeCloseTo(0.1, 4)
})

describe('units and systems', () => {
  const ground = async (file: string, ...words: string[]) => {
    const ran = await soakline('terrain', file, ...words)
    expect(ran.error).not.toMatch(/^\w+[/-]\w+: .*\n$/)
    expect(ran.code).toBe(0)
    return ran.json('terrain.json') as unknown as {
      cell_m: number
      width: number
      minimum_m: number
      maximum_m: number
      crs: string
      sha256: string
    }
  }

  test('feet of a header on a local grid become metres exactly; of a foot system by the system', async () => {
    const feet = [0, 100, 200, 300].flatMap(x => [0, 100, 200, 300].map(y => [x, y, 50 + x / 10]))
    const local = await ground(table('x_ft,y_ft,z_ft', feet), '--crs', 'local')
    expect([local.crs, local.cell_m]).toEqual(['local', 8])
    expect(local.maximum_m).toBeLessThanOrEqual(80 * METRES_PER.ft)
    expect(local.minimum_m).toBeGreaterThanOrEqual(50 * METRES_PER.ft)
    const state = feet.map(([x, y, z]) => [x! + 2_000_000, y! + 600_000, z!])
    const own = await ground(table('x,y,z', state), '--crs', 'EPSG:2274', '--elevation-unit', 'ftUS')
    expect(own.crs).toContain('+units=m')
    expect((await ground(table('x_ftUS,y_ftUS,z_ftUS', state), '--crs', 'EPSG:2274')).sha256).toBe(own.sha256)
  })

  test('longitude and latitude are worked out in the UTM zone point by point: the same ground to 0.1 mm', async () => {
    const { toLonLat } = await openProjection('EPSG:32632')
    const surface = cone(0.1, CENTRE)
    // Not every 4 m: half the spacing is then no power of two, and a rounding cannot choose another cell.
    const within = places.map(([x, y]): Point => [CENTRE[0] + 1.1 * (x - CENTRE[0]), CENTRE[1] + 1.1 * (y - CENTRE[1])])
    const degrees = within.map(([x, y]) => {
      const [longitude, latitude] = toLonLat(x, y)
      return [latitude, longitude, surface(x, y)]
    })
    const there = await ground(table('latitude,longitude,height_m', degrees), '--crs', 'EPSG:4326')
    const here = await ground(survey(surface, undefined, within), ...UTM)
    expect([there.crs, there.cell_m]).toEqual([here.crs, here.cell_m])
    expect(Math.abs(there.maximum_m - here.maximum_m)).toBeLessThan(1e-4)
    expect(Math.abs(there.minimum_m - here.minimum_m)).toBeLessThan(1e-4)
  })
})

describe('what is not said is asked, what contradicts itself refused: exit 3, one line, nothing written', () => {
  const rows = [
    [0, 0, 10],
    [100, 0, 11],
    [0, 100, 12],
    [100, 100, 13],
  ]
  const degrees = rows.map(([x, y, z]) => [9 + x! / 1e5, 47 + y! / 1e5, z!])
  test.each<[string, string, readonly (readonly number[])[], string[]]>([
    ['crs/unknown', 'x_m,y_m,z_m', rows, []],
    ['elevation-unit/unknown', 'x,y,z', rows, ['--crs', 'local']],
    ['elevation-unit/unknown', 'x_m,y_m,z', rows, ['--crs', 'EPSG:32632']],
    ['survey/unit-contradiction', 'x_m,y_m,z_m', rows, ['--crs', 'local', '--elevation-unit', 'ft']],
    ['survey/unit-contradiction', 'x_ft,y_ft,z_m', rows, ['--crs', 'EPSG:32632']],
    ['survey/unit-contradiction', 'x_ft,y_ft,z_m', rows, ['--crs', 'EPSG:2274']],
    ['survey/unit-contradiction', 'x_m,y_m,z_m', degrees, ['--crs', 'EPSG:4326']],
    ['survey/columns-unknown', '0,0,9', rows, ['--crs', 'local', '--elevation-unit', 'm']],
    ['survey/header', 'x_m,y_m,slope', rows, ['--crs', 'local', '--elevation-unit', 'm']],
    ['survey/looks-like-degrees', 'x,y,z_m', degrees, ['--crs', 'local']],
    ['survey/looks-like-degrees', 'lon,lat,z_m', degrees, ['--crs', 'EPSG:32632']],
    ['survey/outside-the-earth', 'x,y,z_m', rows, ['--crs', 'EPSG:4326']],
    ['survey/contradiction', 'x_m,y_m,z_m', [...rows, [0, 0, 19]], ['--crs', 'local']],
    ['survey/in-line', 'x_m,y_m,z_m', rows.map(([x]) => [x!, x!, 1]).concat([[50, 50, 2]]), ['--crs', 'local']],
    [
      'survey/too-many-cells',
      'x_m,y_m,z_m',
      [...rows, [1, 1, 10], [2, 0, 10], [1, 2, 10], [2, 2, 10], [3, 1, 10], [9000, 9000, 12]],
      ['--crs', 'local'],
    ],
  ])('%s: %s', async (code, header, given, words) => {
    const ran = await soakline('terrain', table(header, given), ...words)
    expect(ran.error).toMatch(new RegExp(`^${code}: .{20,}`))
    expect(ran.error.trim().split('\n')).toHaveLength(1)
    expect(ran.code).toBe(3)
    expect(ran.out).toBe('')
    expect(readdirSync(ran.folder)).toEqual([])
  })
})
