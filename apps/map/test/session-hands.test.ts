import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { InputError } from 'soakline/foundation'
import type { Place } from 'soakline/plan'
import { beforeAll, expect, test } from 'vitest'
import { fileAnswers } from '../src/worker/file-answers.js'
import type { Answered } from '../src/worker/protocol.js'
import { createSession, type Rehearsing, type Session } from '../src/worker/session.js'

// What hands ask of the worker, on the demo holding.

const demo = join(import.meta.dirname, '../../../fixtures/demo')
const text = (name: string): string => readFileSync(join(demo, name), 'utf8')
const on = { crs: 'EPSG:32625', extent: null } as const
let session: Session & Rehearsing
let path: readonly Place[]
let rain: Answered<'importRain'>['rows']
const settings = JSON.parse(text('settings.json')) as Record<string, never>

beforeAll(async () => {
  session = createSession({ toBitmap: async picture => picture as unknown as ImageBitmap })
  const file = readFileSync(join(demo, 'ground.tif'))
  const bytes = file.buffer.slice(file.byteOffset, file.byteOffset + file.byteLength) as ArrayBuffer
  await session.openGround({ name: 'ground.tif', bytes, options: {} })
  const { features } = await fileAnswers.importFeatures({ text: text('features.geojson'), on })
  await session.setSite({ features, settings, hollows: [] })
  path = (await fileAnswers.importLine({ text: text('line-spur.geojson'), on })).path
  rain = (await fileAnswers.importRain({ text: text('rain.csv') })).rows
})
const answer = async (trying = {}) => (await session.answer({ revision: 1, line: { path }, rain, live: true, trying })).assessment

test('settings under the finger are answered by, sections and stages with them, and the site keeps its own', async () => {
  const before = await answer()
  const deeper = await answer({ depth_m: 0.6, spillChainage_m: 30 })
  expect(before.line.bedElevation_m - deeper.line.bedElevation_m).toBeCloseTo(0.6 - before.section!.shape.depth_m, 6)
  expect(deeper.spillway!.chainage_m).toBe(30)
  expect((await session.sectionAt({ chainage_m: 40 }))!.shape.depth_m).toBeGreaterThan(0.55)
  const stages = (await session.stages({ revision: 1 }))!
  expect(stages[0]!.level_m).toBeCloseTo(deeper.line.bedElevation_m, 9)
  expect((await session.dugView({ revision: 1 }))!.asDug.data.length).toBeGreaterThan(1000)
  expect((await answer()).line.bedElevation_m).toBe(before.line.bedElevation_m)
})

test('what is rehearsed is forgotten: sections, stages and the report stay those of the last answer', async () => {
  const kept = async () => ({
    section: await session.sectionAt({ chainage_m: 40 }),
    stages: await session.stages({ revision: 1 }),
    report: await session.report({ language: 'en', units: 'metric', holding: 'A', dateText: '2026-01-01' }),
  })
  await session.answer({ revision: 1, line: { path }, rain })
  const before = await kept()
  session.rehearse({ revision: 2, line: { path: path.slice(0, -3) }, rain, trying: { depth_m: 0.6 } })
  expect(await kept()).toEqual(before)
  await answer({ depth_m: 0.6 })
  expect(await kept()).not.toEqual(before)
})

test('no-go ground follows the bed under the finger as it does when the setting is kept; a line that moves changes none of it', async () => {
  const { features } = await fileAnswers.importFeatures({ text: text('features.geojson'), on })
  // Ten depths of the ditch rule out what lies above a house where they are more than the fixed distance.
  const nearer = { ...settings, seepage_m: 2 as never }
  await session.setSite({ features, settings: nearer, hollows: [] })
  const tried = await session.answer({ revision: 1, line: { path }, rain, live: true, trying: { depth_m: 1.2 } })
  const kept = await session.setSite({ features, settings: { ...nearer, depth_m: 1.2 as never }, hollows: [] })
  expect(tried.noGo).toEqual(kept.noGo)
  const asItWas = await session.setSite({ features, settings: nearer, hollows: [] })
  expect(kept.noGo).not.toEqual(asItWas.noGo)
  const elsewhere = path.map(([lon, lat]): Place => [lon, lat + 0.0001])
  for (const line of [path, elsewhere])
    expect(
      (await session.answer({ revision: 2, line: { path: line }, rain, live: true, trying: { spillChainage_m: 30 } })).noGo,
    ).toBeUndefined()
  await session.setSite({ features, settings, hollows: [] })
})

test('a line walked, one fitted, and copies below: each comes back level, and traced again it is itself', async () => {
  const walked = (await session.walkLine({ from: path[0]!, toward: path[path.length - 1]! }))!
  const again = await session.traceLine({ through: walked.through, length_m: walked.length_m, fall_ratio: 0 })
  expect(Math.abs(again.length_m - walked.length_m)).toBeLessThan(1.5)
  const fitted = (await session.fitLine({ path: [path[0]!, path[Math.floor(path.length / 2)]!, path[path.length - 1]!] }))!
  expect(fitted.length_m).toBeGreaterThan(50)
  const { lines, drop_m } = await session.linesBelow({ path, count: 2, drop_m: null })
  expect(lines.length).toBeGreaterThan(0)
  const height = async (place: Place) => (await session.readPlace({ place }))!.elevation_m!
  expect((await height(walked.path[0]!)) - (await height(lines[0]!.path[0]!))).toBeCloseTo(drop_m, 1)
})

test('two designs, and two swales together, are answered beside the line on the plan, which stays the answered one', async () => {
  const bench = (await fileAnswers.importLine({ text: text('line-bench.geojson'), on })).path
  const before = await answer()
  const { compared, drawn } = await session.compare({
    a: { path, settings },
    b: { path: bench, settings: { ...settings, bedWidth_m: 1.5 } as never },
    rain,
  })
  expect(compared.verdicts.length).toBeGreaterThan(0)
  expect(drawn.features[0]!.properties).toMatchObject({ what: 'design-a' })
  const { lines } = await session.linesBelow({ path, count: 1, drop_m: 2 })
  const { result, drawn: ways } = (await session.cascade({ lines: [{ path }, ...lines], rain }))!
  expect(result.ditches.map(d => d.line)).toEqual([0, 1])
  expect(ways.features.map(f => f.properties)).toEqual([0, 1].map(line => ({ what: 'other-way', line })))
  expect((await session.stages({ revision: 1 }))![0]!.level_m).toBeCloseTo(before.line.bedElevation_m, 9)
})

test('what would change it most can be called off', async () => {
  const off = new AbortController()
  const asked = session.matters(
    { path, rain },
    { signal: off.signal, onProgress: done => done > 0.1 && off.abort(new InputError('worker/called-off', 'off')) },
  )
  await expect(asked).rejects.toThrow('off')
})
