import { readFileSync } from 'node:fs'
import { gridWords, nameGroundWork, onSiteWords, sayGrid, sheetWords, type Voice } from '@soakline/drawing'
import { readStoredGeoTiff } from '@soakline/io'
import type { Page } from 'playwright-core'
import { readPlan } from 'soakline/plan'
import { expect, test } from 'vitest'
import { drop, fileLine, houseForTests, openSheet, PHONE, planText, wholeAnswers } from '../helpers/open-sheet.js'

// Files out of the sheet and in again: drawings, rasters, the ground within the plan, the drawing set.

const house = houseForTests()

const EN: Voice = { language: 'en', units: 'metric' }
const ES: Voice = { language: 'es', units: 'metric' }

async function openWork(voice: Voice, screen: Parameters<typeof openSheet>[1] = {}): Promise<Awaited<ReturnType<typeof openSheet>>> {
  const sheet = await openSheet(house, screen)
  await drop(sheet.page, { name: 'quick.json', bytes: '{"triedTerrains": 0}' })
  await fileLine(sheet.page, 'quick.json')
  await wholeAnswers(sheet.page)
  await leaf(sheet.page, voice, 'work')
  await sheet.page.locator('.work[aria-busy=false] .said-table').first().waitFor()
  return sheet
}
const leaf = (page: Page, voice: Voice, name: 'work' | 'ground'): Promise<void> =>
  page.getByRole('tab', { name: sheetWords(voice).leaf[name], exact: true }).click()
async function saved(page: Page, button: string | RegExp): Promise<Buffer> {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: button, ...(typeof button === 'string' ? { exact: true } : {}) }).click(),
  ])
  return readFileSync(await download.path())
}
const plan = async (page: Page) => readPlan(await planText(page))

test('our own drawing and map are the line again without a question; a bare drawing asks for unit, system and line', async () => {
  const { page, calm } = await openWork(EN)
  const { files } = onSiteWords(EN)
  const [dxf, kml] = [await saved(page, files.dxf), await saved(page, files.kml)]
  const { path } = (await plan(page)).lines[0]!
  const off_m = (other: readonly (readonly number[])[]): number =>
    Math.max(...other.map((at, k) => Math.hypot((at[0]! - path[k]![0]) * 89_000, (at[1]! - path[k]![1]) * 111_000)))
  for (const [name, bytes] of [
    ['plan.dxf', dxf],
    ['plan.kml', kml],
  ] as const) {
    await drop(page, { name, bytes: bytes.toString() })
    expect(await (await fileLine(page, name)).textContent()).toContain(sheetWords(EN).file.what.line(path.length))
    expect(off_m((await plan(page)).lines[0]!.path)).toBeLessThan(0.001)
  }
  await drop(page, { name: 'bare.dxf', bytes: dxf.toString().replace(/^999\r\n.*\r\n/gm, '') })
  const question = page.locator('form.question')
  const { ask } = sheetWords(EN)
  const go = (): Promise<void> => question.getByRole('button', { name: ask.go, exact: true }).click()
  await question.getByText(ask.drawnUnit).waitFor()
  await question.getByLabel(sheetWords(EN).ground.unit.m).check()
  await go()
  await question.getByLabel(ask.crsOfGround('WGS 84 / UTM zone 25N', 'EPSG:32625')).check()
  await go()
  // Each layer of the drawing is told apart in the one step.
  await question.getByLabel('LINE', { exact: true }).waitFor()
  for (const select of await question.locator('select').all()) {
    const layer = await select.evaluate(field => (field as HTMLSelectElement).labels[0]?.textContent?.trim())
    await select.selectOption(layer === 'LINE' ? 'line' : 'leave')
  }
  await go()
  await fileLine(page, 'bare.dxf')
  expect(off_m((await plan(page)).lines[0]!.path)).toBeLessThan(0.001)
  await calm()
}, 240_000)

test('a raster is saved; the plan with its ground opens where the raster is not; the set holds what the user keeps: phone, Spanish', async () => {
  const { page, calm } = await openWork(ES, { screen: { ...PHONE, locale: 'es-ES' } })
  const kept = await saved(page, /terreno adentro/)
  const whole = readPlan(kept.toString())
  expect(whole.ground.inside!.bytes).toBeGreaterThan(1e5)
  // The plan itself, with a plant of his own, is opened on top; its list reaches the printed set.
  const { inside: _, ...ground } = whole.ground
  const needs = { wetFeet_h: 0, drainedDepth_m: 0, sun: 'any', spread_m: 1, woody: true, deepDrainage: false }
  const own = { ...whole, ground, ring: 'Rosa 555', plants: [{ name: 'tilo de la abuela', needs }] }
  await drop(page, { name: 'own.soakline.json', bytes: JSON.stringify(own) })
  await fileLine(page, 'own.soakline.json')
  await wholeAnswers(page)
  await leaf(page, ES, 'work')
  await page.locator('.work[aria-busy=false] .said-table').first().waitFor()
  await page.getByRole('button', { name: onSiteWords(ES).files.drawingSet, exact: true }).click()
  const set = page.frameLocator('iframe')
  await set.locator('[data-sheet="planting"]').first().waitFor({ state: 'attached' })
  const words = async (sheet: string): Promise<string> => (await set.locator(`[data-sheet="${sheet}"]`).allTextContents()).join(' ')
  expect((await words('planting')).includes('tilo de la abuela')).toBe(true)
  expect((await words('planting')).includes(nameGroundWork('zone', 'crest', ES))).toBe(true)
  expect((await words('stormCard')).includes('Rosa 555')).toBe(true)
  // The rules of the page let the set's look in: a page is as wide as its paper.
  expect(
    await set
      .locator('.page')
      .first()
      .evaluate(e => e.getBoundingClientRect().width),
  ).toBeCloseTo((210 * 96) / 25.4, 0)
  await page.keyboard.press('Escape')

  await leaf(page, ES, 'ground')
  const say = gridWords(ES)
  await page.getByLabel(say.which).selectOption({ label: sayGrid('catchment-share', ES) })
  const tif = await saved(page, say.save)
  const { width, height, data, crs } = await readStoredGeoTiff(tif.buffer.slice(tif.byteOffset, tif.byteOffset + tif.length) as ArrayBuffer)
  expect([width, height, crs]).toEqual([620, 540, 'EPSG:32625'])
  const caught_m2 = Array.from(data).reduce((sum, share) => sum + share, 0)
  expect(caught_m2).toBeGreaterThan(1000)
  expect(caught_m2).toBeLessThan(20_000)

  // Another ground is opened; then the plan brings its own.
  const rows = Array.from({ length: 30 }, (_, r) => Array.from({ length: 30 }, (_, c) => 10 + r * 0.3 + c * 0.1).join(' ')).join('\n')
  const ascii = `ncols 30\nnrows 30\nxllcorner 500000\nyllcorner 4000000\ncellsize 5\nNODATA_value -9999\n${rows}\n`
  await drop(page, { name: 'other.asc', bytes: ascii })
  await page.locator('form.question').getByRole('radio').last().check()
  await page
    .locator('form.question')
    .getByRole('button', { name: sheetWords(ES).ask.go })
    .click()
  await fileLine(page, 'other.asc')
  await drop(page, { name: 'whole.soakline.json', bytes: kept.toString() })
  await fileLine(page, 'whole.soakline.json')
  await wholeAnswers(page)
  const back = await plan(page)
  expect(back.ground.sha256).toBe(whole.ground.sha256)
  expect(back.ground.inside).toBeUndefined()
  expect(back.lines).toEqual(whole.lines)
  await calm()
}, 300_000)
