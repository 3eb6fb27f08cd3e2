import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { UnitSystem } from '@soakline/drawing'
import { placeOnEarth, readElevation, readFeatures, readLine, readRainTable } from '@soakline/io'
import { InputError } from 'soakline/foundation'
import { studyWater } from 'soakline/hydrology'
import { assess, groundWork, laidLine, settingsFrom, siteOf } from 'soakline/plan'
import { gradient } from 'soakline/terrain'
import { beforeAll, describe, expect, test } from 'vitest'
import { fileAnswers } from '../src/worker/file-answers.js'
import type { Answered, GroundCard } from '../src/worker/protocol.js'
import { createSession, type Session } from '../src/worker/session.js'
import type { Picture } from '../src/worker/shade-tile.js'

const demo = join(import.meta.dirname, '../../../fixtures/demo')
const text = (name: string): string => readFileSync(join(demo, name), 'utf8')
const bytes = (): ArrayBuffer => {
  const file = readFileSync(join(demo, 'ground.tif'))
  return file.buffer.slice(file.byteOffset, file.byteOffset + file.byteLength) as ArrayBuffer
}
/** Pictures stand in for bitmaps: Node has none. */
const tools = { toBitmap: async (picture: Picture): Promise<ImageBitmap> => picture as unknown as ImageBitmap }
/** Files of the demo, read as the sheet has them read. */
const on = { crs: 'EPSG:32625', extent: null } as const
const codeOf = async (run: () => unknown): Promise<string> => {
  try {
    await run()
  } catch (error) {
    return error instanceof InputError ? error.code : String(error)
  }
  return 'answered'
}

describe('opening a raster takes a while', () => {
  test('its progress is told, and it can be called off: what was open stays', async () => {
    const session = createSession(tools)
    const told: number[] = []
    const first = await session.openGround({ name: 'first', bytes: bytes(), options: {} }, { onProgress: done => told.push(done) })
    expect(told.length).toBeGreaterThan(3)
    expect(told.at(-1)).toBe(1)
    const off = new AbortController()
    const second = session.openGround(
      { name: 'second', bytes: bytes(), options: {} },
      { signal: off.signal, onProgress: done => done > 0.3 && off.abort(new InputError('worker/called-off', 'off')) },
    )
    expect(await codeOf(() => second)).toBe('worker/called-off')
    expect((await session.openGround({ name: 'third', bytes: bytes(), options: {} })).groundNumber).toBeGreaterThan(first.groundNumber)
  })

  test('its tiles are given before its water is known, those of the ground that is open still meanwhile', async () => {
    const session = createSession(tools)
    const first = await session.openGround({ name: 'first', bytes: bytes(), options: {} })
    const at = { z: 16, x: 0, y: 0, night: false, ramp: 'hill' } as const
    const middle = (bounds: GroundCard['bounds']) => {
      const [longitude, latitude] = [(bounds[0] + bounds[2]) / 2, ((bounds[1] + bounds[3]) / 2 / 180) * Math.PI]
      const across = 2 ** at.z
      return {
        x: Math.floor(((longitude + 180) / 360) * across),
        y: Math.floor((0.5 - Math.log(Math.tan(Math.PI / 4 + latitude / 2)) / (2 * Math.PI)) * across),
      }
    }
    const tile = (groundNumber: number, bounds: GroundCard['bounds']) => session.tile({ ...at, ...middle(bounds), groundNumber })
    const early: Promise<unknown>[] = []
    let done = 0
    const second = await session.openGround(
      { name: 'second', bytes: bytes(), options: {} },
      {
        onProgress: part => {
          done = part
        },
        onPicture: ({ groundNumber, bounds, cell_m }) => {
          expect(done).toBe(0)
          expect([groundNumber, bounds, cell_m]).toEqual([first.groundNumber + 1, first.bounds, first.report.cell_m])
          early.push(...[groundNumber, first.groundNumber].map(async number => tile(number, bounds)))
        },
      },
    )
    const [coming, open] = await Promise.all(early)
    expect(coming).not.toBeNull()
    expect(coming).toEqual(open)
    expect(await tile(second.groundNumber, second.bounds)).toEqual(coming)
    expect(await tile(first.groundNumber, first.bounds)).toBeNull()
  })

  test('a raster of more cells than a page can hold is refused before they are read', async () => {
    const session = createSession(tools)
    expect(await codeOf(() => session.openGround({ name: 'big', bytes: bytes(), options: { maxCells: 100 } }))).toBe('grid/too-large')
  })
})

describe('a session on the demo holding', () => {
  let session: Session
  beforeAll(async () => {
    session = createSession(tools)
    await session.openGround({ name: 'ground.tif', bytes: bytes(), options: {} })
  })

  test('answers as the library does when it is asked directly', async () => {
    const { features } = await fileAnswers.importFeatures({ text: text('features.geojson'), on })
    const given = JSON.parse(text('settings.json')) as Record<string, never>
    await session.setSite({ features, settings: given, hollows: [] })
    const { path } = await fileAnswers.importLine({ text: text('line-bench.geojson'), on })
    const { rows } = await fileAnswers.importRain({ text: text('rain.csv') })
    const { assessment, drawn } = await session.answer({ revision: 1, line: { path }, rain: rows })

    const { grid, projection, report } = await readElevation(bytes())
    const { settings } = settingsFrom(given)
    const site = siteOf(studyWater(grid), gradient(grid), readFeatures(text('features.geojson'), projection).features, settings, report)
    const expected = assess(site, readLine(text('line-bench.geojson'), projection).path, settings, {
      rows: readRainTable(text('rain.csv')).rows,
    })
    expect(assessment.findings.map(f => [f.check, f.verdict])).toEqual(expected.findings.map(f => [f.check, f.verdict]))
    expect(assessment.catchment.area_m2).toBeCloseTo(expected.catchment.area_m2, 0)
    expect(assessment.spills.map(s => s.path.nearestBuildingName)).toEqual(expected.spills.map(s => s.path.nearestBuildingName))
    expect(new Set(drawn.features.map(f => f.properties?.what))).toEqual(
      new Set(['catchment', 'ridge', 'high-point', 'fall-line', 'band', 'path', 'beyond', 'path-end', 'berm-stroke', 'line', 'level-line']),
    )
    expect(await session.report({ language: 'es', units: 'us', holding: 'A & B', dateText: '2026-01-01' })).toContain('A &amp; B')
  })

  test('a raster that is refused leaves the open one as it was', async () => {
    expect(await codeOf(() => session.openGround({ name: 'broken.tif', bytes: bytes().slice(0, 900), options: {} }))).toMatch(/^grid\//)
    expect((await session.contours({ units: 'metric' })).features.length).toBeGreaterThan(20)
  })

  test('contours stand in whole steps of the reader’s units, every fifth heavier', async () => {
    const levels = async (units: UnitSystem, unit_m: number) => {
      const { features } = await session.contours({ units })
      const all = features.map(f => ({ level: (f.properties!.elevation_m as number) / unit_m, heavy: f.properties!.heavy as boolean }))
      for (const { level } of all) expect(Math.abs(level - Math.round(level))).toBeLessThan(1e-9)
      const whole = [...new Set(all.map(({ level }) => Math.round(level)))].sort((a, b) => a - b)
      const step = whole[1]! - whole[0]!
      for (const { level, heavy } of all) expect(heavy).toBe(Math.round(level) % (5 * step) === 0)
      return { step, steps: new Set(whole.slice(1).map((level, k) => level - whole[k]!)) }
    }
    const metric = await levels('metric', 1)
    const us = await levels('us', 0.3048)
    expect([1, 2, 5, 10]).toContain(metric.step)
    expect([1, 2, 5, 10]).toContain(us.step)
    expect(us.steps).toEqual(new Set([us.step]))
  })

  test('a traced line keeps to its length and its level', async () => {
    const { path } = await fileAnswers.importLine({ text: text('line-spur.geojson'), on })
    const traced = await session.traceLine({ through: path[40]!, length_m: 60, fall_ratio: 0 })
    expect(traced.length_m).toBeCloseTo(60, 5)
    const there = await session.readPlace({ place: traced.path[5]! })
    expect(there?.elevation_m).toBeCloseTo(traced.elevation_m, 3)
  })

  test('beyond the raster there is nothing to read', async () => {
    expect(await session.readPlace({ place: [0, 0] })).toBeNull()
    expect(await session.readPlace({ place: [1e9, 1e9] })).toBeNull()
  })
})

describe('the work on the ground, in a session', () => {
  const NOTHING = { records: {}, rain: [], frame: null, backsight_m: null } as const
  let session: Session
  let rain: Answered<'importRain'>['rows']
  beforeAll(async () => {
    session = createSession(tools)
    await session.openGround({ name: 'ground.tif', bytes: bytes(), options: {} })
    const { features } = await fileAnswers.importFeatures({ text: text('features.geojson'), on })
    await session.setSite({ features, settings: JSON.parse(text('settings.json')), hollows: [] })
    const { path } = await fileAnswers.importLine({ text: text('line-spur.geojson'), on })
    rain = (await fileAnswers.importRain({ text: text('rain.csv') })).rows
    await session.answer({ revision: 1, line: { path }, rain })
  })

  test('is the library’s, drawn in map degrees, and the files hold the same stakes', async () => {
    const { grid, projection, report } = await readElevation(bytes())
    const { settings } = settingsFrom(JSON.parse(text('settings.json')))
    const { path } = readLine(text('line-spur.geojson'), projection)
    const site = siteOf(studyWater(grid), gradient(grid), readFeatures(text('features.geojson'), projection).features, settings, report)
    const expected = assess(site, path, settings, { rows: rain })
    const answer = (await session.groundWork(NOTHING))!
    expect(answer.work.stakes).toEqual(groundWork(laidLine(grid, expected, settings)!, expected, placeOnEarth(projection, path)).stakes)
    const drawn = answer.drawn.features.filter(f => f.properties!['what'] === 'stake')
    expect(drawn.length).toBe(answer.work.stakes.length)
    const asked = { records: {}, holding: 'x', language: 'en', units: 'metric' } as const
    const csv = await session.fieldFile({ file: 'csv', ...asked })
    expect(csv.trim().split('\r\n').length).toBe(drawn.length + 1)
    for (const file of ['gpx', 'kml', 'dxf', 'geojson', 'levels'] as const)
      expect((await session.fieldFile({ file, ...asked })).length).toBeGreaterThan(1000)
  })

  test('one bad reading refuses what rests on it and nothing else', async () => {
    const { work } = (await session.groundWork(NOTHING))!
    const read = (what: 'crest' | 'bed', level_m: number) => ({ what, chainage_m: 20, level_m })
    const asked = (readings: readonly ReturnType<typeof read>[]) =>
      session.groundWork({
        ...NOTHING,
        rain,
        records: {
          built: { fresh: false, readings },
          levelBook: { start_m: 1, closesOn_m: null, readings: [{ point: 'A', foresight_m: 1 }, { point: 'B' }] },
        },
        backsight_m: 1.3,
      })
    const far = (await asked([read('crest', 12)]))!
    expect(far.built).toMatchObject({ refusal: { code: 'as-built/far-from-plan' } })
    expect(far.book).toMatchObject({ refusal: { code: 'levelling/book-shape' } })
    expect(far.work.stakes.length).toBe(work.stakes.length)
    expect(far.staff && 'value' in far.staff ? far.staff.value[0]!.ground_m : null).toBeCloseTo(1.3, 9)
    const low = (await asked([read('crest', work.stakes[0]!.crest_m! - 0.1)]))!
    expect(low.built).toMatchObject({ value: { asBuilt: { lowSpots: [{}] } } })
    expect(low.drawn.features.some(f => f.properties!['what'] === 'low-spot')).toBe(true)
  })

  test('readings in a table by stake go to where the stakes stand', async () => {
    const { stakes } = (await session.groundWork(NOTHING))!.work
    const { readings } = await fileAnswers.importReadings({ text: 'stake,crest_m\n3,160.2\n', stakes })
    expect(readings).toEqual([{ what: 'crest', chainage_m: stakes[2]!.chainage_m, level_m: 160.2 }])
    expect(await codeOf(() => fileAnswers.importReadings({ text: 'stake,crest_m\n99,1\n', stakes }))).toBe('as-built/unknown-stake')
  })

  test('a line that cannot be dug has no work, and no file', async () => {
    const other = createSession(tools)
    await other.openGround({ name: 'ground.tif', bytes: bytes(), options: {} })
    expect(await other.groundWork(NOTHING)).toBeNull()
    const asked = { file: 'csv', records: {}, holding: '', language: 'en', units: 'us' } as const
    expect(await codeOf(() => other.fieldFile(asked))).toBe('stakes/no-ditch')
  })
})

test('without a raster every question is refused with ground/none', async () => {
  const session = createSession(tools)
  expect(await codeOf(() => session.contours({ units: 'metric' }))).toBe('ground/none')
  expect(await codeOf(() => session.setSite({ features: [], settings: {}, hollows: [] }))).toBe('ground/none')
  expect(await codeOf(() => session.answer({ revision: 1, line: { path: [] }, rain: [] }))).toBe('ground/none')
  expect(await session.tile({ groundNumber: 1, z: 0, x: 0, y: 0, night: false })).toBeNull()
})

test('a raster without a place on Earth is shown round the middle of its own metres', async () => {
  const session = createSession(tools)
  const card = await session.openGround({ name: 'ground.tif', bytes: bytes(), options: { crs: 'local' } })
  const [west, south, east, north] = card.bounds
  expect(west).toBeCloseTo(-east, 9)
  expect(south).toBeCloseTo(-north, 9)
  expect(card.localCentre).not.toBeNull()
  const middle = await session.readPlace({ place: card.localCentre! })
  expect(middle?.elevation_m).toBeGreaterThan(100)
})
