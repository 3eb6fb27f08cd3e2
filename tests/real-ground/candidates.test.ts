import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { hollowCells, lineCatchment, studyWater, type WaterStudy } from 'soakline/hydrology'
import { defaultSettings } from 'soakline/plan'
import { cellAt, type ElevationGrid, type Point, stations, surfaceValue } from 'soakline/raster'
import {
  type Candidate,
  type CandidateSearch,
  candidateLines,
  type GroundLayers,
  type NoGoGround,
  noGoAlong,
  noGoGround,
} from 'soakline/siting'
import { gradient } from 'soakline/terrain'
import { beforeAll, describe, expect, test } from 'vitest'
import { soakline } from '../helpers/command-line.js'
import { realCases, realGround, realRaster } from '../helpers/real-ground.js'

// Possible lines on lidar ground: on their level, off the hollow, the forest and the lakes that are really there.

const SETTINGS = defaultSettings()
const present = realCases()
if (present.length === 0)
  test('real rasters are not on this machine: possible lines on them are left out', () => {
    console.log('real-ground: the folder of real rasters is absent; possible lines are looked for on invented ground only')
  })

interface Looked {
  readonly ground: ElevationGrid
  readonly study: WaterStudy
  readonly noGo: NoGoGround
  readonly search: CandidateSearch
  readonly seconds: number
}
function look(ground: ElevationGrid, layers: GroundLayers = {}): Looked {
  const study = studyWater(ground)
  const from = performance.now()
  const noGo = noGoGround(study, gradient(ground), [], SETTINGS, { layers })
  const search = candidateLines({ study, features: [], noGo }, SETTINGS)
  return { ground, study, noGo, search, seconds: (performance.now() - from) / 1000 }
}
const cellsOf = ({ ground }: Looked, line: Candidate): number[] =>
  stations(line.path, ground.geometry.cell_m / 2).map(({ at }: { at: Point }) => cellAt(ground.geometry, at[0], at[1]))

/** What holds of every line, on any ground. */
function checkLines({ ground, study, noGo, search }: Looked): void {
  expect(search.candidates.length).toBeGreaterThan(5)
  for (const line of search.candidates) {
    for (const { at } of stations(line.path, 0.5))
      expect(Math.abs(surfaceValue(ground, at) - line.elevation_m)).toBeLessThanOrEqual(0.15 + 1e-6)
    expect(noGoAlong(noGo, line.path)).toEqual([])
    expect(line.slope_ratio).toBeGreaterThan(0.01)
    expect(line.slope_ratio).toBeLessThan(0.3)
    const caught = lineCatchment(study.net, study.ground, line.path, study.rim)
    expect(line.cutByEdge).toBe(caught.cutByEdge)
    expect(line.reasons.some(r => r.code === 'line/catchment-cut-by-edge')).toBe(line.cutByEdge)
  }
}

describe.skipIf(!present.includes('moraine_1m'))('moraine_1m', () => {
  let looked: Looked
  beforeAll(async () => {
    looked = look(await realGround('moraine_1m'))
  })
  test('lines lie on their level, and within a few seconds', () => {
    checkLines(looked)
    // Far above what it takes, so that a busy machine passes.
    expect(looked.seconds).toBeLessThan(30)
  })
  test('none lies in a kettle hollow', () => {
    const kettles = new Set(
      looked.study.hollows
        .filter(h => h.depth_m > 0.3)
        .flatMap(h => [...hollowCells(looked.study.ground, looked.study.brimful, h.deepest)]),
    )
    expect(kettles.size).toBeGreaterThan(10_000)
    for (const line of looked.search.candidates) expect(cellsOf(looked, line).some(cell => kettles.has(cell))).toBe(false)
  })
})

describe.skipIf(!present.includes('gully_1m'))('gully_1m with its land cover', () => {
  let looked: Looked
  let cover: Float64Array
  beforeAll(async () => {
    const ground = await realGround('gully_1m')
    cover = await realRaster('gully_1m', 'extras/landcover.tif')
    const classes = { quantity: 'class', geometry: ground.geometry, data: Float32Array.from(cover) }
    looked = look(ground, { landCover: { classes, forest: [41, 42, 43], wet: [90, 95] } })
  })
  test('lines lie on their level', () => checkLines(looked))
  test('none lies in forest, which covers a sixth of the ground', () => {
    const isForest = (cell: number): boolean => cover[cell]! >= 41 && cover[cell]! <= 43
    expect([...cover.keys()].filter(isForest).length).toBeGreaterThan(0.15 * cover.length)
    for (const line of looked.search.candidates) expect(cellsOf(looked, line).some(isForest)).toBe(false)
    expect(looked.search.ruledOut.map(r => r.by)).toContain('forest')
  })
  test('without the land cover lines run into the forest: it is the layer that keeps them out', () => {
    const blind = look(looked.ground)
    checkLines(blind)
    const forest = blind.search.candidates.filter(line => cellsOf(blind, line).some(cell => cover[cell]! >= 41 && cover[cell]! <= 43))
    expect(forest.length).toBeGreaterThan(0)
  })
})

describe.skipIf(!present.includes('lake_2m'))('lake_2m', () => {
  test('lines lie on their level and none crosses a lake, though none was drawn', async () => {
    const looked = look(await realGround('lake_2m'))
    checkLines(looked)
    expect(looked.seconds).toBeLessThan(30)
    const water = await realRaster('lake_2m', 'extras/water.tif')
    expect([...water].filter(w => w === 1).length).toBeGreaterThan(500)
    for (const line of looked.search.candidates) expect(cellsOf(looked, line).some(cell => water[cell] === 1)).toBe(false)
  })
})

const FOLDER = fileURLToPath(new URL('../../../shared/data/', import.meta.url))
describe.skipIf(!existsSync(join(FOLDER, 'swellendam_80m/dem.tif')))('on the command line', () => {
  test('swellendam_80m: cells of 80 m are too coarse for a ditch, and the answer says so in both languages', async () => {
    const dem = join(FOLDER, 'swellendam_80m/dem.tif')
    const ran = await soakline('suggest', dem)
    expect(ran.code).toBe(0)
    expect(JSON.parse(ran.text('candidates.json'))).toMatchObject({ candidates: [], remarks: [{ code: 'ground/too-coarse' }] })
    expect(JSON.parse(ran.text('candidates.geojson')).features).toEqual([])
    expect(ran.out).toContain('80 m wide')
    expect((await soakline('suggest', dem, '--language', 'es')).out).toContain('no se ofrece ninguna línea')
  })
  test('gully_1m: land cover named by file keeps lines out of the forest as the library does', async () => {
    const cover = join(FOLDER, 'gully_1m/extras/landcover.tif')
    const classes = ['--land-cover', cover, '--forest-classes', '41,42,43', '--wet-classes=90,95']
    const ran = await soakline('suggest', join(FOLDER, 'gully_1m/dem.tif'), ...classes)
    expect(ran.code).toBe(0)
    const { candidates, ruledOut } = JSON.parse(ran.text('candidates.json')) as {
      candidates: { rank: number }[]
      ruledOut: { by: string }[]
    }
    expect(candidates.length).toBeGreaterThan(5)
    expect(ruledOut.map(r => r.by)).toContain('forest')
    const wrong = await soakline('suggest', join(FOLDER, 'gully_1m/dem.tif'), '--land-cover', cover)
    expect(wrong.code).toBe(2)
    const heights = join(FOLDER, 'gully_1m/dem.tif')
    const noClasses = await soakline('suggest', heights, '--land-cover', heights, '--forest-classes', '41')
    expect([noClasses.code, noClasses.error.split(':')[0]]).toEqual([3, 'layer/not-classes'])
    expect(readFileSync(join(ran.folder, 'candidates.geojson'), 'utf8')).toContain('"LineString"')
  })
})
