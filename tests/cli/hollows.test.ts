import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { newFolder, noTerrainsTried, type Ran, soakline } from '../helpers/command-line.js'
import { demoFile } from '../helpers/open-sheet.js'

// On the demo holding a bank of the farm track holds a hollow back. What the steward says of it is honoured.

interface TerrainJson {
  readonly hollows: readonly { deepest: [number, number]; depth_m: number; guess: string; because: string }[]
  readonly culvertPlaces: readonly { hollow: number; from: [number, number]; to: [number, number]; length_m: number; height_m: number }[]
  readonly treated: readonly { treatment: string; done: string | null; because: string | null; cut_m3: number }[]
  readonly drawn: readonly { kind: string; cells: number; volume_m3: number }[]
}
const terrainOf = (ran: Ran): TerrainJson => ran.json('terrain.json') as unknown as TerrainJson

const DEM = demoFile('ground.tif')
let plain: TerrainJson
beforeAll(async () => {
  plain = terrainOf(await soakline('terrain', DEM))
})

const collection = (features: unknown[]): string => {
  const file = join(newFolder(), 'marks.geojson')
  writeFileSync(file, JSON.stringify({ type: 'FeatureCollection', features }))
  return file
}
const mark = (at: readonly number[], treatment: string): unknown => ({
  type: 'Feature',
  properties: { treatment },
  geometry: { type: 'Point', coordinates: at },
})
const lineOf = (kind: string, coordinates: unknown, more: object = {}): unknown => ({
  type: 'Feature',
  properties: { kind, ...more },
  geometry: { type: 'LineString', coordinates },
})

describe('hollows, culverts and walls on the command line', () => {
  test('the hollow behind the bank is listed with a first guess, and the bank as a place where a pipe may run', () => {
    expect(plain.hollows[0]).toMatchObject({ guess: 'unsure', because: 'embankment' })
    expect(plain.hollows[0]!.depth_m).toBeGreaterThan(0.5)
    expect(plain.culvertPlaces).toHaveLength(1)
    expect(plain.culvertPlaces[0]!.length_m).toBeLessThan(15)
  })

  test('carved it drains and is gone; kept it stays, and its water with it', async () => {
    const { deepest } = plain.hollows[0]!
    const carved = terrainOf(await soakline('terrain', DEM, '--hollows', collection([mark(deepest, 'carve')])))
    expect(carved.treated[0]).toMatchObject({ treatment: 'carve', done: 'carve', because: null })
    expect(carved.treated[0]!.cut_m3).toBeGreaterThan(0)
    expect(carved.hollows).toHaveLength(plain.hollows.length - 1)
    const keep = collection([mark(deepest, 'keep')])
    const at = deepest.join(',')
    expect((await soakline('path', DEM, '--at', at)).json('path.json')).not.toMatchObject({ endsIn: 'hollow' })
    expect((await soakline('path', DEM, '--at', at, '--hollows', keep)).json('path.json')).toMatchObject({ endsIn: 'hollow' })
  })

  test('a pipe drawn under the bank empties the hollow', async () => {
    const { from, to } = plain.culvertPlaces[0]!
    const piped = terrainOf(await soakline('terrain', DEM, '--features', collection([lineOf('culvert', [from, to])])))
    expect(piped.drawn).toMatchObject([{ kind: 'culvert' }])
    expect(piped.drawn[0]!.volume_m3).toBeGreaterThan(1)
    expect(piped.culvertPlaces).toHaveLength(0)
    expect(piped.hollows[0]?.depth_m ?? 0).toBeLessThan(0.3)
  })

  test('a wall across the way turns the water; its height is its own or the setting’s', async () => {
    const line = JSON.parse(
      await soakline('path', DEM, '--at', plain.hollows[0]!.deepest.join(',')).then(ran => ran.text('path.geojson')),
    ) as { features: { geometry: { coordinates: [number, number][] } }[] }
    const path = line.features[0]!.geometry.coordinates
    const [lon, lat] = path[Math.floor(path.length / 2)]!
    const across = [
      [lon - 0.0002, lat],
      [lon + 0.0002, lat],
    ]
    const walled = terrainOf(await soakline('terrain', DEM, '--features', collection([lineOf('wall', across, { height_m: 2 })])))
    expect(walled.drawn[0]).toMatchObject({ kind: 'wall' })
    expect(walled.drawn[0]!.volume_m3 / walled.drawn[0]!.cells).toBeCloseTo(2, 3)
    const assumed = terrainOf(await soakline('terrain', DEM, '--features', collection([lineOf('wall', across)])))
    expect(assumed.drawn[0]!.volume_m3 / assumed.drawn[0]!.cells).toBeCloseTo(1, 3)
  })

  test('a choice that cannot be followed is told; a word that is no treatment, or a mark that is no point, is refused', async () => {
    const nowhere = await soakline('terrain', DEM, '--hollows', collection([mark([-32.8585, 36.5085], 'carve')]))
    expect(nowhere.code).toBe(0)
    expect(nowhere.error).toContain('hollows/not-as-chosen')
    const word = await soakline('terrain', DEM, '--hollows', collection([mark([-32.8585, 36.5085], 'dig')]))
    expect([word.code, word.error.split(':')[0]]).toEqual([3, 'hollows/treatment'])
    const shape = await soakline('terrain', DEM, '--hollows', collection([lineOf('x', [[-32.86, 36.5], [-32.861, 36.5]])])) // biome-ignore format: one line
    expect([shape.code, shape.error.split(':')[0]]).toEqual([3, 'hollows/not-points'])
    const low = await soakline('terrain', DEM, '--features', collection([lineOf('wall', [[-32.86, 36.5065], [-32.861, 36.5065]], { height_m: 0 })])) // biome-ignore format: one line
    expect([low.code, low.error.split(':')[0]]).toEqual([3, 'features/height'])
  })

  test('the plan file carries the choices, and gives the same answer again', async () => {
    const keep = collection([mark(plain.hollows[0]!.deepest, 'keep')])
    const whole = ['--line', demoFile('line-bench.geojson'), '--features', demoFile('features.geojson'), ...noTerrainsTried()]
    const first = await soakline('assess', DEM, ...whole, '--hollows', keep)
    const again = await soakline('assess', '--plan', join(first.folder, 'plan.soakline.json'))
    expect((JSON.parse(first.text('plan.soakline.json')) as { hollows: unknown[] }).hollows).toHaveLength(1)
    expect(again.json('assessment.json')).toEqual(first.json('assessment.json'))
  })
})
