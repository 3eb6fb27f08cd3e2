import { existsSync, readdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { openProjection, type Projection, readElevation, writeGeoTiff } from '@soakline/io'
import { distance_m, type ElevationGrid, type Point, pathLength_m } from 'soakline/raster'
import { beforeAll, describe, expect, test } from 'vitest'
import { newFolder, noTerrainsTried, soakline } from '../helpers/command-line.js'
import { arc, cone, gridOf, heading, hollowCone, lineAcross, plane, roof, type Surface } from '../helpers/surfaces.js'

// The command line on exact surfaces, in a UTM zone, at azimuths that no grid favours.

const AZIMUTHS = [0, 13, 22.5, 31, 45, 71, 200]
const SIDE = 400
const CENTRE: Point = [200.3, 199.6]
/** Where the surfaces' (0, 0) lies in EPSG:32632. */
const CORNER: Point = [500_000, 5_200_000]

let utm: Projection
beforeAll(async () => {
  utm = await openProjection('EPSG:32632')
})

const placed = (grid: ElevationGrid): ElevationGrid => ({
  ...grid,
  geometry: { ...grid.geometry, west_m: CORNER[0], north_m: CORNER[1] + grid.geometry.height * grid.geometry.cell_m, crs: 'EPSG:32632' },
})

const lonLat = ([x, y]: Point): [number, number] => utm.toLonLat(x + CORNER[0], y + CORNER[1])
const fromLonLat = ([lon, lat]: number[]): Point => {
  const [x, y] = utm.fromLonLat(lon!, lat!)
  return [x - CORNER[0], y - CORNER[1]]
}

async function dem(surface: Surface, unit: string | null = 'm'): Promise<string> {
  const file = join(newFolder(), 'dem.tif')
  const { geometry, data } = placed(gridOf(SIDE, SIDE, 1, surface))
  writeFileSync(file, await writeGeoTiff({ geometry, data }, unit === null ? {} : { unit }))
  return file
}

function lineFile(path: readonly Point[], dimensions = 2): string {
  const file = join(newFolder(), 'line.geojson')
  const coordinates = path.map(p => (dimensions === 3 ? [...lonLat(p), 999] : lonLat(p)))
  writeFileSync(file, JSON.stringify({ type: 'Feature', properties: {}, geometry: { type: 'LineString', coordinates } }))
  return file
}

const at = (place: Point): string => lonLat(place).join(',')

describe.each(AZIMUTHS)('azimuth %d°', azimuth => {
  const [east, north] = heading(azimuth)

  test('catchment of a contour line on a roof, a cone and a hollow cone is within 1 %', async () => {
    const onRoof = await soakline(
      'catchment',
      await dem(roof(azimuth, 0.1, CENTRE)),
      '--line',
      lineFile(lineAcross(azimuth, CENTRE, 60, 80)),
    )
    expect(onRoof.code).toBe(0)
    expect(Math.abs(onRoof.json('catchment.json').area_m2! / (60 * 80) - 1)).toBeLessThan(0.01)
    // Ten metres further at either end would catch ten metres more of the slope.
    const { atStart_m2, atEnd_m2 } = onRoof.json('catchment.json').pastEnds as unknown as { atStart_m2: number; atEnd_m2: number }
    for (const more of [atStart_m2, atEnd_m2]) expect(Math.abs(more / (60 * 10) - 1)).toBeLessThan(0.05)
    expect(onRoof.json('catchment.json').cutByEdge).toBe(false)
    const onCone = await soakline('catchment', await dem(cone(0.1, CENTRE)), '--line', lineFile(arc(azimuth, CENTRE, 80, 80)))
    expect(Math.abs(onCone.json('catchment.json').area_m2! / ((80 * 80) / 2) - 1)).toBeLessThan(0.01)
    const inHollow = await soakline('catchment', await dem(hollowCone(0.1, CENTRE, 160)), '--line', lineFile(arc(azimuth, CENTRE, 80, 80)))
    expect(Math.abs(inHollow.json('catchment.json').area_m2! / (((160 ** 2 - 80 ** 2) / 2) * (80 / 80)) - 1)).toBeLessThan(0.01)
    expect(inHollow.json('catchment.json').cutByEdge).toBe(false)
  })

  test('released water keeps within 1 m per 100 m of the line of fall on planes and a cone', async () => {
    for (const fall of [0.01, 0.12]) {
      const ran = await soakline('path', await dem(plane(azimuth, fall, CENTRE)), '--at', at(CENTRE), '--json')
      expect(ran.code).toBe(0)
      const path = coordinates(ran.json('path.geojson'))
      expect(distance_m(path[0]!, CENTRE)).toBeLessThan(0.001)
      for (const [x, y] of path) {
        const aside = Math.abs((x - CENTRE[0]) * north - (y - CENTRE[1]) * east)
        expect(aside).toBeLessThan(0.01 * Math.max(100, distance_m([x, y], CENTRE)))
      }
      expect(JSON.parse(ran.out)).toEqual(ran.json('path.json'))
      expect(ran.json('path.json').endsIn).toBe('edge')
    }
    const start: Point = [CENTRE[0] + 50 * east, CENTRE[1] + 50 * north]
    const ran = await soakline('path', await dem(cone(0.1, CENTRE)), `--at=${at(start)}`)
    const end = coordinates(ran.json('path.geojson')).at(-1)!
    expect(Math.abs((end[0] - CENTRE[0]) * north - (end[1] - CENTRE[1]) * east)).toBeLessThan(1.2)
  })

  test('a level line on a cone is level and round; a 1 % line falls 1.00 ± 0.02 %', async () => {
    const file = await dem(cone(0.1, CENTRE))
    const through: Point = [CENTRE[0] + 90 * east, CENTRE[1] + 90 * north]
    const level = await soakline('level', file, '--at', at(through), '--length', '100')
    expect(level.code).toBe(0)
    const heights = heightsOf(level.json('line.geojson'))
    const path = coordinates(level.json('line.geojson'))
    expect(Math.max(...heights) - Math.min(...heights)).toBeLessThan(0.0005)
    for (const p of path) expect(Math.abs(distance_m(p, CENTRE) - 90)).toBeLessThan(0.02)
    expect(pathLength_m(path)).toBeCloseTo(100, 2)
    for (let k = 1; k < path.length; k++) expect(distance_m(path[k - 1]!, path[k]!)).toBeLessThanOrEqual(1.0001)
    const falling = await soakline('level', file, '--at', at(through), '--length', '100', '--fall', '0.01')
    const z = heightsOf(falling.json('line.geojson'))
    const fall = (z[0]! - z.at(-1)!) / pathLength_m(coordinates(falling.json('line.geojson')))
    expect(fall).toBeGreaterThan(0.0098)
    expect(fall).toBeLessThan(0.0102)
    const rising = await soakline('level', file, '--at', at(through), '--fall=-0.01')
    const up = heightsOf(rising.json('line.geojson'))
    expect(up.at(-1)! - up[0]!).toBeCloseTo(1, 1)
  })

  test('a slope that runs off the raster: cut by the edge, not complete, and nothing about capacity holds', async () => {
    const rain = join(newFolder(), 'rain.csv')
    writeFileSync(rain, 'duration_h,chance_per_year,depth_mm\n24,0.5,60\n24,0.04,120\n24,0.01,160\n')
    const line = lineAcross(azimuth, CENTRE, 20, 80)
    const ran = await soakline(
      'assess',
      await dem(plane(azimuth, 0.1, CENTRE)),
      '--line',
      lineFile(line),
      '--rain',
      rain,
      ...noTerrainsTried(),
    )
    const answer = ran.json('assessment.json') as unknown as {
      catchment: { cutByEdge: boolean }
      findings: { check: string; verdict: string }[]
    }
    expect(answer.catchment.cutByEdge).toBe(true)
    expect(answer.findings.find(f => f.check === 'catchment-complete')?.verdict).not.toBe('holds')
    expect(answer.findings.find(f => f.check === 'storage-holds-storm')?.verdict).toBe('unknown')
  })
})

const line = (collection: unknown): number[][] =>
  (collection as { features: { geometry: { coordinates: number[][] } }[] }).features[0]!.geometry.coordinates
const coordinates = (collection: unknown): Point[] => line(collection).map(fromLonLat)
const heightsOf = (collection: unknown): number[] => line(collection).map(c => c[2]!)

test('a third coordinate of the line is ignored', async () => {
  const file = await dem(roof(13, 0.1, CENTRE))
  const path = lineAcross(13, CENTRE, 60, 80)
  const [flat, tall] = [
    await soakline('catchment', file, '--line', lineFile(path)),
    await soakline('catchment', file, '--line', lineFile(path, 3)),
  ]
  expect(tall.json('catchment.json')).toEqual(flat.json('catchment.json'))
})

test('terrain writes every raster of the contract, on the working grid, each readable again', async () => {
  const ran = await soakline('terrain', await dem(cone(0.1, CENTRE)), '--interval', '2', '--json')
  expect(ran.code).toBe(0)
  expect(readdirSync(ran.folder).sort()).toEqual(
    [
      'contours.geojson',
      'contributing-area-single.tif',
      'contributing-area.tif',
      'edge.tif',
      'filled.tif',
      'flow-direction.tif',
      'gradient.tif',
      'terrain.json',
      'wetness.tif',
    ].sort(),
  )
  const single = await raster(join(ran.folder, 'contributing-area-single.tif'))
  const direction = await raster(join(ran.folder, 'flow-direction.tif'))
  let leaving = 0
  for (let cell = 0; cell < direction.data.length; cell++) {
    expect([0, 45, 90, 135, 180, 225, 270, 315, 360]).toContain(direction.data[cell])
    if (direction.data[cell] === 0) leaving += single.data[cell]!
  }
  expect(leaving).toBe(SIDE * SIDE)
  const steep = await raster(join(ran.folder, 'gradient.tif'))
  expect(Number.isNaN(steep.data[0]!)).toBe(true)
  expect(steep.data[50 * SIDE + 200]).toBeCloseTo(0.1, 4)
  const contours = ran.json('contours.geojson') as unknown as { features: { properties: { elevation_m: number } }[] }
  expect(contours.features.every(f => Math.abs(f.properties.elevation_m / 2 - Math.round(f.properties.elevation_m / 2)) < 1e-9)).toBe(true)
  expect(JSON.parse(ran.out)).toEqual(ran.json('terrain.json'))
})

async function raster(file: string): Promise<ElevationGrid> {
  const { readFileSync } = await import('node:fs')
  const bytes = readFileSync(file)
  return (
    await readElevation(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer, { elevationUnit: 'm' })
  ).grid
}

test('a file without a vertical unit on a metric CRS is taken as metres, with the warning', async () => {
  const ran = await soakline('path', await dem(plane(13, 0.1, CENTRE), null), '--at', at(CENTRE))
  expect(ran.code).toBe(0)
  expect(ran.error).toContain('elevation-unit/assumed')
  expect(JSON.stringify(ran.json('path.json').warnings)).toContain('elevation-unit/assumed')
})

describe('wrong use is exit 2, a refused input exit 3 in one line, and nothing is written', () => {
  test.each([
    [[]],
    [['fly']],
    [['path']],
    [['path', 'x.tif', '--at', '1']],
    [['path', 'x.tif', '--at', '1,2', '--colour', 'blue']],
    [['path', 'x.tif', '--at', '1,2', '--language', 'fr']],
    [['level', 'x.tif', '--at', '1,2', '--length', 'long']],
    [['catchment', 'x.tif']],
    [['assess', 'x.tif']],
  ])('%j', async words => {
    const ran = await soakline(...words)
    expect(ran.code).toBe(2)
    expect(ran.out).toBe('')
    expect(ran.error).not.toBe('')
    expect(readdirSync(ran.folder)).toEqual([])
  })

  test.each([
    ['a missing file', 'file/not-found', (): string[] => ['/nowhere/dem.tif']],
    ['a place outside', 'place/outside', async (): Promise<string[]> => [await dem(plane(13, 0.1, CENTRE)), '--at', '12,46']],
    ['a file that is no raster', 'grid/unknown-format', (): string[] => [lineFile([CENTRE, [1, 2]])]],
  ])('%s: %s', async (_name, code, words) => {
    const given = await words()
    const ran = await soakline('path', ...given, ...(given.includes('--at') ? [] : ['--at', '9,47']))
    expect(ran.code).toBe(3)
    expect(ran.error.trim().split('\n')).toHaveLength(1)
    expect(ran.error).toMatch(new RegExp(`^${code}: .{20,}`))
    expect(ran.out).toBe('')
    expect(readdirSync(ran.folder)).toEqual([])
  })

  test('several lines, or a line outside the raster', async () => {
    const file = await dem(plane(13, 0.1, CENTRE))
    const several = join(newFolder(), 'line.geojson')
    writeFileSync(several, JSON.stringify({ type: 'MultiLineString', coordinates: [[lonLat(CENTRE), lonLat([210, 200])]] }))
    expect((await soakline('catchment', file, '--line', several)).error).toMatch(/^line\/several: /)
    const outside = await soakline(
      'assess',
      file,
      '--line',
      lineFile([
        [200, 200],
        [900, 200],
      ]),
    )
    expect(outside.code).toBe(3)
    expect(outside.error).toMatch(/^line\/outside: /m)
    expect(readdirSync(outside.folder)).toEqual([])
  })

  test('unknown settings are refused', async () => {
    const settings = join(newFolder(), 'settings.json')
    writeFileSync(settings, '{"bed": 1}')
    const ran = await soakline(
      'assess',
      await dem(roof(13, 0.1, CENTRE)),
      '--line',
      lineFile(lineAcross(13, CENTRE, 60, 80)),
      '--settings',
      settings,
    )
    expect(ran.code).toBe(3)
    expect(ran.error).toMatch(/^settings\/unknown-key: /m)
  })
})

test('same-named files are replaced, others are left alone', async () => {
  const folder = newFolder()
  writeFileSync(join(folder, 'mine.txt'), 'mine')
  writeFileSync(join(folder, 'path.json'), 'old')
  const ran = await soakline('path', await dem(plane(13, 0.1, CENTRE)), '--at', at(CENTRE), '--out', folder)
  expect(ran.json('path.json').format).toBe('soakline-path/1')
  expect(ran.text('mine.txt')).toBe('mine')
  expect(readdirSync(folder).filter(name => name.endsWith('.part'))).toEqual([])
  expect(existsSync(join(folder, 'path.geojson'))).toBe(true)
})
