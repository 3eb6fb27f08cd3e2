import { readFileSync } from 'node:fs'
import {
  answersKept,
  bytesSource,
  cutGround,
  groundInside,
  packZip,
  readElevation,
  withGroundInside,
  withoutGroundInside,
  writeGeoTiff,
} from '@soakline/io'
import { emptyPlan, type Plan, readPlan, writePlan } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { refusal } from './refusal.js'

// The raster within the plan: the same bytes, the same ground, the same hash.

const DEMO = new Uint8Array(readFileSync(new URL('../../../fixtures/demo/ground.tif', import.meta.url)))
const plan = (file: string, sha256: string): Plan => emptyPlan('x', { file, sha256, crs: 'EPSG:32625', elevationUnit: null, nodata: null })
const opened = async (text: string) => (await groundInside(readPlan(text)))!

test('saved with its ground and opened again without the raster: byte for byte the file, and the hash that the plan names', async () => {
  const { report } = await readElevation(DEMO.slice().buffer)
  const saved = writePlan(await withGroundInside(plan('../maps/ground.tif', report.sha256), DEMO, {}))
  const { name, bytes, options } = await opened(saved)
  expect(name).toBe('ground.tif')
  expect(Buffer.compare(Buffer.from(bytes), Buffer.from(DEMO))).toBe(0)
  expect((await readElevation(bytes, { ...options, fileName: name })).report.sha256).toBe(report.sha256)
  // A third more than the file at most, and some hundred bytes of plan.
  expect(saved.length).toBeLessThan((DEMO.length * 4) / 3 + 1500)
  // Saved again it is the same text; taken out it is the plan by reference.
  expect(writePlan(readPlan(saved))).toBe(saved)
  expect(withoutGroundInside(readPlan(saved))).toEqual(plan('../maps/ground.tif', report.sha256))
})

test('what was answered about the file goes along: unit, "no data", layer, member, tiles joined, colours', async () => {
  const geometry = { width: 40, height: 30, cell_m: 2, west_m: 500000, north_m: 4000000, crs: 'EPSG:32625' }
  const data = Float32Array.from({ length: 1200 }, (_, k) => (k === 7 ? -999 : 300 + (k % 40) * 0.25))
  const tif = await writeGeoTiff({ geometry, data }, { nodata: null })
  const answers = { elevationUnit: 'ft', nodata: -999 } as const
  const { report } = await readElevation(tif.slice().buffer, answers)
  const again = await opened(writePlan(await withGroundInside(plan('feet.tif', report.sha256), tif, answers)))
  expect(answersKept(again.options)).toEqual(answersKept(answers))
  const back = await readElevation(again.bytes, again.options)
  expect([back.report.sha256, back.report.elevationUnitFrom]).toEqual([report.sha256, 'user'])

  const joined = packZip([{ name: 'a.tif', bytes: tif }])
  const all = {
    nodata: Number.NaN,
    band: 1,
    member: 'a.tif',
    join: false,
    colours: { base_m: -1, step_m: 0.5 },
    tile: { z: 3, x: 1, y: 2 },
    crs: 'local',
  }
  const archive = await opened(writePlan(await withGroundInside(plan('tiles.zip', ''), joined, { ...all, maxCells: 5, fileName: 'no' })))
  expect(archive.options).toEqual(all)
  // What packs well is packed: the archive holds its tile unpacked.
  expect(JSON.parse(writePlan(await withGroundInside(plan('', ''), new Uint8Array(30_000), {}))).ground.inside.packing).toBe('deflate')
})

test('a part that was cut out of a raster: the same ground by the whole and its window, by the part alone, and out of the plan', async () => {
  const geometry = { width: 60, height: 50, cell_m: 2, west_m: 500000, north_m: 4000000, crs: 'EPSG:32625' }
  const data = Float32Array.from({ length: 3000 }, (_, k) => (k === 1520 ? -999 : 300 + (k % 60) * 0.25))
  const whole = await writeGeoTiff({ geometry, data }, { nodata: null })
  const answers = { nodata: -999, elevationUnit: 'ft', window: { in: 'own', box: [500020.3, 3999930.1, 500080.2, 3999981.7] } } as const
  const { report } = await readElevation(whole.slice().buffer, answers)
  const part = await cutGround(bytesSource(whole.slice().buffer), answers)
  expect((await readElevation(part.slice().buffer)).report.sha256).toBe(report.sha256)
  // The plan's own answers are those by which the whole is cut; the part inside is read by its own.
  const bare = plan('whole.tif', report.sha256)
  const kept = { ...bare, ground: { ...bare.ground, answers: answersKept(answers)! } }
  const saved = readPlan(writePlan(await withGroundInside(kept, part, {})))
  expect(saved.ground.answers).toEqual(kept.ground.answers)
  const inside = (await groundInside(saved))!
  expect(inside.options).toEqual({})
  expect((await readElevation(inside.bytes, inside.options)).report.sha256).toBe(report.sha256)
  expect(withoutGroundInside(saved)).toEqual(kept)
})

describe('a plan that lies about its ground', () => {
  const changed = async (change: Record<string, unknown>): Promise<string> => {
    const whole = await withGroundInside(plan('a.tif', ''), new Uint8Array(3000), {})
    return writePlan({ ...whole, ground: { ...whole.ground, inside: { ...whole.ground.inside!, ...change } } })
  }
  test.each([
    [{ bytes: 3001 }, 'plan/ground-damaged'],
    [{ bytes: 2e9 }, 'plan/ground-too-large'],
    [{ bytes: 9e8 }, 'plan/ground-damaged'],
    [{ base64: 'AAAA' }, 'plan/ground-damaged'],
    [{ base64: 'no base 64' }, 'plan/bad-value'],
    [{ packing: 'zip' }, 'plan/bad-value'],
    [{ bytes: -1 }, 'plan/bad-value'],
  ])('%o is refused, and nothing huge is taken', async (change, code) => {
    const text = await changed(change)
    expect((await refusal(() => opened(text))).code).toBe(code)
  })
})

test('a plan by reference holds none', async () => {
  expect(await groundInside(plan('a.tif', ''))).toBeNull()
})
