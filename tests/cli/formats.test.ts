import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { openProjection, writeKml } from '@soakline/io'
import type { Point } from 'soakline/raster'
import { expect, test } from 'vitest'
import { blob, buildGeoPackage, point } from '../../packages/io/test/geopackage-builder.js'
import { buildDbf, buildShp } from '../../packages/io/test/shapefile-builder.js'
import { buildZip } from '../../packages/io/test/zip-builder.js'
import { newFolder, noTerrainsTried, soakline } from '../helpers/command-line.js'
import { lineAcross, roof } from '../helpers/surfaces.js'

// Kinds of files on the command line: an ASCII grid of an exact surface, alone, packed and in halves; lines and features of other formats than GeoJSON.

const [WEST, SOUTH, CELL, SIDE] = [500_000, 5_200_000, 2, 200]
const CENTRE: Point = [WEST + (SIDE * CELL) / 2, SOUTH + (SIDE * CELL) / 2]
const surface = roof(0, 0.1, CENTRE)

/** Columns `from` to `to` of the grid, as text. */
function grid(from = 0, to = SIDE): string {
  const rows = Array.from({ length: SIDE }, (_, row) =>
    Array.from({ length: to - from }, (_, k) => surface(WEST + (from + k + 0.5) * CELL, SOUTH + (SIDE - row - 0.5) * CELL).toFixed(4)).join(
      ' ',
    ),
  )
  return `ncols ${to - from}\nnrows ${SIDE}\nxllcorner ${WEST + from * CELL}\nyllcorner ${SOUTH}\ncellsize ${CELL}\n${rows.join('\n')}\n`
}

function file(name: string, content: string | ArrayBuffer): string {
  const path = join(newFolder(), name)
  writeFileSync(path, typeof content === 'string' ? content : new Uint8Array(content))
  return path
}

const UTM = ['--crs', 'EPSG:32632']
const utm = await openProjection('EPSG:32632')
const kml = writeKml({ name: 'Line', lines: [{ name: 'Ditch', path: lineAcross(0, CENTRE, 60, 80) }] }, utm)

test('an ASCII grid, packed, or in two halves that are joined: the same catchment, of a line from a KMZ', async () => {
  const line = file('line.kmz', buildZip([{ name: 'doc.kml', content: kml }]))
  const files = [
    [file('dem.asc', grid())],
    [file('dem.zip', buildZip([{ name: 'dem.asc', content: grid() }]))],
    [
      file(
        'halves.zip',
        buildZip([
          { name: 'w.asc', content: grid(0, 90) },
          { name: 'e.asc', content: grid(90) },
        ]),
      ),
      '--join',
    ],
  ] as const
  for (const [dem, ...more] of files) {
    const ran = await soakline('catchment', dem, ...more, ...UTM, '--line', line)
    expect(ran.error).not.toMatch(/internal/)
    expect(ran.code).toBe(0)
    expect(Math.abs(ran.json('catchment.json').area_m2! / (60 * 80) - 1)).toBeLessThan(0.01)
  }
  const asked = await soakline('catchment', files[2][0], ...UTM, '--line', line)
  expect(asked.code).toBe(3)
  expect(asked.error).toContain('archive/several-files')
})

test('features of a zipped shapefile: their kind and system are said where they do not say it; a broken record is told', async () => {
  const dem = file('dem.asc', grid())
  const around = ([x, y]: Point): [number, number][] => [
    [x, y],
    [x, y + 10],
    [x + 10, y + 10],
    [x + 10, y],
    [x, y],
  ]
  const records = [
    { kind: 5, parts: [around([CENTRE[0] + 50, CENTRE[1] - 80])] },
    { kind: 5, parts: [around(CENTRE)], saysPoints: 99 },
  ]
  const layer = file(
    'houses.zip',
    buildZip([
      { name: 'houses.shp', content: buildShp(records) },
      { name: 'houses.dbf', content: buildDbf([['name', 'C']], [['Byre'], ['Barn']]) },
    ]),
  )
  const words = ['path', dem, ...UTM, '--at-xy', `${CENTRE[0] + 55},${CENTRE[1] - 40}`, '--features', layer]
  expect((await soakline(...words)).error).toContain('vector/system-unknown')
  expect((await soakline(...words, '--features-crs', 'EPSG:32632')).error).toContain('features/unknown-kind')
  const said = await soakline(...words, '--features-crs', 'EPSG:32632', '--features-kind', 'building')
  expect(said.code).toBe(0)
  expect(said.error).toContain('vector/records-left-out')
})

test('layers of one GeoPackage: each to its own kind in one option, what is left out is told', async () => {
  const dem = file('dem.asc', grid())
  const spot = (x: number): Uint8Array => blob(point([CENTRE[0] + x, CENTRE[1] - 80]), { system: 32632 })
  const layers = file(
    'farm.gpkg',
    await buildGeoPackage([
      { name: 'Houses', system: 32632, columns: { name: 'TEXT' }, rows: [[spot(50), 'Byre']] },
      { name: 'wells', system: 32632, columns: { kind: 'TEXT' }, rows: [[spot(60), 'well']] },
      { name: 'old', system: 32632, rows: [[spot(70)]] },
    ]),
  )
  const words = ['path', dem, ...UTM, '--at-xy', `${CENTRE[0] + 55},${CENTRE[1] - 40}`, '--features', layers]
  const asked = await soakline(...words)
  expect(asked.code).toBe(3)
  expect(asked.error).toMatch(/archive\/several-files.*Houses, wells, old.*--features-kind LAYER=KIND/s)
  expect((await soakline(...words, '--features-kind', 'houses=building')).error).toMatch(/does not say what the layer old shows/)
  expect((await soakline(...words, '--features-kind', 'houses=building,barns=none')).error).toMatch(/"barns", which fits 0 layers/)
  expect((await soakline(...words, '--features-kind', 'houses=castle')).code).toBe(2)
  const said = await soakline(...words, '--features-kind', 'houses=building,old=none')
  expect(said.error).not.toMatch(/internal/)
  expect(said.code).toBe(0)
  expect(said.error).toContain('vector/layers-left-out')
})

test('what is typed about colours and tiles is checked', async () => {
  const dem = file('dem.asc', grid())
  for (const wrong of [
    ['--colours', 'rainbow'],
    ['--colours', '1,2,3'],
    ['--tile', '14/4500'],
    ['--tile', 'a/b/c'],
  ])
    expect((await soakline('terrain', dem, ...UTM, ...wrong)).code).toBe(2)
})

test('a plan keeps how its raster was read: assessed again from the plan alone, nothing is asked and the ground is the same', async () => {
  const line = file('line.kml', kml)
  const halves = file(
    'halves.zip',
    buildZip([
      { name: 'w.asc', content: grid(0, 90) },
      { name: 'e.asc', content: grid(90) },
    ]),
  )
  const first = await soakline('assess', halves, '--join', ...UTM, '--line', line, ...noTerrainsTried())
  expect(first.error).not.toMatch(/internal/)
  const plan = first.json('plan.soakline.json') as unknown as { ground: { sha256: string; answers: unknown } }
  expect(plan.ground.answers).toEqual({ crs: 'EPSG:32632', join: true })
  const again = await soakline('assess', halves, '--plan', file('plan.soakline.json', JSON.stringify(plan)))
  expect(again.error).not.toMatch(/archive\/|crs\//)
  expect(again.json('plan.soakline.json')).toMatchObject({ ground: { sha256: plan.ground.sha256, answers: plan.ground.answers } })
})

test('a system that nobody knows by its number: found through two known points, narrowed by a place, else local metres', async () => {
  const dem = file('dem.asc', grid())
  const corner = (x: number, y: number): string =>
    `${x},${y}=${utm
      .toLonLat(x, y)
      .map(value => value.toFixed(8))
      .join(',')}`
  const points = [corner(WEST, SOUTH), corner(WEST + SIDE * CELL, SOUTH + SIDE * CELL)].join(';')
  const [longitude, latitude] = utm.toLonLat(...CENTRE)
  const at = ['--at', `${longitude},${latitude}`]
  const ran = await soakline('path', dem, '--crs-points', points, ...at)
  expect(ran.error).not.toMatch(/internal|crs\//)
  expect(ran.code).toBe(0)
  const near = await soakline('path', dem, '--crs-near', `${longitude.toFixed(1)},${latitude.toFixed(1)}`, ...at)
  expect(near.code).toBe(3)
  expect(near.error).toMatch(/crs\/several-fit/)
  expect(near.error).toMatch(/EPSG:32632 \(WGS 84 \/ UTM zone 32N/)
  expect((await soakline('path', dem, '--crs-near', '-60,-20', ...at)).error).toContain('crs/none-fits')
  expect((await soakline('path', dem, '--crs-points', corner(WEST, SOUTH), ...at)).error).toContain('crs/known-points')
  expect((await soakline('path', dem, '--crs-points', '1,2=3', ...at)).code).toBe(2)
  expect((await soakline('path', dem, '--crs', 'local', '--crs-points', points, ...at)).code).toBe(2)
  const line = file('line.kml', kml)
  const kept = await soakline('assess', dem, '--crs-points', points, '--line', line, ...noTerrainsTried())
  expect(kept.json('plan.soakline.json')).toMatchObject({ ground: { answers: { crs: 'EPSG:32632' } } })
})
