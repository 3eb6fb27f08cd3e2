import { readFileSync } from 'node:fs'
import { fieldWords, onSiteWords, sheetWords, type Voice, wordsOf } from '@soakline/drawing'
import { readPlan } from 'soakline/plan'
import { expect, test } from 'vitest'
import {
  answers,
  answerTo,
  demoFile,
  drop,
  fileFrom,
  fileLine,
  houseForTests,
  openSheet,
  openTab,
  otherAnswers,
  PATIENCE_MS,
  planText,
  tabTo,
} from '../helpers/open-sheet.js'
import { focusNow } from '../helpers/reachable.js'

// Whole tasks, from what a person brings to what he carries away.

const house = houseForTests()

const EN: Voice = { language: 'en', units: 'metric' }

/** A line of the demo's better place, as somebody's own file would hold it. */
const lineThrough = (): readonly [number, number] => {
  const { features } = JSON.parse(readFileSync(demoFile('line-spur.geojson'), 'utf8')) as {
    features: { geometry: { coordinates: [number, number][] } }[]
  }
  const path = features[0]!.geometry.coordinates
  return path[Math.floor(path.length / 2)]!
}

/**
 * From an empty sheet to a plan on paper and a GPX in the hand, with the keyboard alone. Files come by the system's own dialog or are dropped; dropping
 * stands for it here, as a page cannot open that dialog in a test.
 */
test(
  'by keyboard alone: a dropped GeoTIFF, a level line, a building, the three answers, a printed plan, a GPX; a reload in the middle loses nothing',
  async () => {
    const say = sheetWords(EN)
    const first = await openSheet(house, {
      // The system's print dialog would hold the page up; that it was asked for, and by which page, is what can be seen here.
      before: () => {
        window.print = () =>
          window.parent.document.body.setAttribute('data-printed', String(document.querySelectorAll('figure.plan svg').length))
      },
    })
    const { context } = first
    let { page } = first
    await drop(page, fileFrom(demoFile('ground.tif'), 'hillside.tif'))
    await fileLine(page, 'hillside.tif')
    // One card says what was brought.
    await page.getByRole('tab', { name: say.leaf.answers }).focus()
    for (const _ of ['drawn', 'settings', 'ground']) await page.keyboard.press('ArrowRight')
    const card = page.locator('.ground-card')
    await card.waitFor()
    for (const row of ['what', 'where', 'units', 'size', 'gaps', 'border', 'date', 'trust'] as const)
      await card.getByText(say.ground[row], { exact: true }).first().waitFor()
    await drop(page, { name: 'quick.json', bytes: '{"triedTerrains": 0}' }, fileFrom(demoFile('rain.csv')))
    await fileLine(page, 'rain.csv')

    // The next action is named while there is no line; its place can be typed.
    await page.getByRole('tab', { name: say.leaf.ground }).focus()
    for (const _ of ['ground', 'settings', 'drawn']) await page.keyboard.press('ArrowLeft')
    await page.getByText(say.answer.noLineNext).waitFor()
    const [lon, lat] = lineThrough()
    await tabTo(page, new RegExp(say.answer.noLineNextTyped))
    await page.keyboard.type(`${lat.toFixed(7)}, ${lon.toFixed(7)}`)
    await page.keyboard.press('Enter')
    await answers(page)

    // A building, drawn corner by corner at the crosshair.
    await page.keyboard.press('f')
    await tabTo(page, new RegExp(`^${say.drawn.start}$`))
    await page.keyboard.press('Enter')
    for (const key of ['Enter', 'ArrowRight', 'Enter', 'ArrowDown', 'Enter']) {
      await page.keyboard.press(key)
      // The plan moves under the cross before the next corner is set.
      if (key.startsWith('Arrow')) await page.waitForTimeout(700)
    }
    await tabTo(page, new RegExp(`^${say.mode.done}$`))
    await page.keyboard.press('Enter')
    await page.getByLabel(say.drawn.name, { exact: true }).waitFor()
    await tabTo(page, new RegExp(`^${say.drawn.name}$`))
    await page.keyboard.type('Shed')
    await page.keyboard.press('Enter')
    // Its corner is moved by arrow keys.
    const moved = async (): Promise<string> => JSON.stringify(readPlan(await planText(page)).features)
    const before = await moved()
    await tabTo(page, new RegExp(`^${say.handle.north}$`))
    await page.keyboard.press('ArrowUp')
    await expect.poll(moved, { timeout: PATIENCE_MS }).not.toBe(before)

    // In the middle of it the page is gone, and comes back with everything.
    const kept = readPlan(await planText(page))
    await page
      .getByText(/^Saved (only )?in this browser/)
      .first()
      .waitFor({ state: 'attached' })
    await page.close()
    const second = await openTab(context, house.url)
    page = second.page
    await page.getByText(say.notice.restored).waitFor({ timeout: 3 * PATIENCE_MS })
    const list = await answers(page)
    expect(readPlan(await planText(page))).toEqual(kept)
    expect(kept.features.map(f => f.name)).toEqual(['Shed'])

    // Each of the three questions by its key.
    for (const [key, question] of [
      ['1', wordsOf(EN).question.ridge],
      ['2', wordsOf(EN).question.building],
      ['3', wordsOf(EN).question.spill],
    ] as const) {
      await page.locator('#margin').focus()
      await page.keyboard.press(key)
      await page.locator('.answer-focused', { hasText: question }).locator('.why').waitFor()
      expect(answerTo(list, question).text.length).toBeGreaterThan(20)
    }

    // To paper: the report is printed by the browser; the plan in it stands at a scale.
    await tabTo(page, new RegExp(`^${say.bar.print}$`))
    await page.keyboard.press('Enter')
    const report = page.frameLocator('dialog iframe')
    await report.locator('figure.plan svg').first().waitFor()
    await tabTo(page, new RegExp(`^${say.report.print}$`))
    await page.keyboard.press('Enter')
    await expect.poll(() => page.locator('body').getAttribute('data-printed')).toMatch(/^[1-9]/)
    expect(await report.locator('body').textContent()).toMatch(/1 ?: ?\d/)
    await page.keyboard.press('Escape')

    // Into the hand: the stakes as GPX.
    await page.getByRole('tab', { name: say.leaf.answers }).focus()
    await page.keyboard.press('ArrowLeft')
    await page.locator('.work[aria-busy=false] .said-table').first().waitFor()
    await tabTo(page, new RegExp(onSiteWords(EN).files.gpx.replace(/[()]/g, '\\$&')))
    const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Enter')])
    expect(download.suggestedFilename()).toMatch(/\.gpx$/)
    const gpx = readFileSync(await download.path(), 'utf8')
    expect(gpx.match(/<wpt /g)!.length).toBeGreaterThan(10)
    expect((await focusNow(page)).covered).toBe(false)
    await second.calm()
  },
  12 * PATIENCE_MS,
)

test(
  'offline: with no network a line is drawn, answered, carried out to the stakes and saved',
  async () => {
    const sheet = await openSheet(house)
    const { page, context } = sheet
    await page.evaluate(() => navigator.serviceWorker.ready)
    await page.reload()
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null)
    await context.setOffline(true)
    await page.reload()
    await page.waitForSelector('.answers[aria-busy=false] .answer', { state: 'attached', timeout: 4 * PATIENCE_MS })
    const before = await answers(page)
    await page.getByRole('button', { name: /On the bench/ }).click()
    await otherAnswers(page, before)
    await page.getByRole('button', { name: sheetWords(EN).bar.more, exact: true }).click()
    await page.getByText(/It works without a network/).waitFor()
    // The holding's name can be given here too, where the window has no room for the title block.
    const named = page.getByRole('dialog').getByLabel(sheetWords(EN).title.holding, { exact: true })
    await named.fill('Upper slope')
    await named.press('Tab')
    await page.keyboard.press('Escape')
    await page.getByRole('tab', { name: sheetWords(EN).leaf.work, exact: true }).click()
    await page.getByRole('button', { name: fieldWords(EN).open }).click({ timeout: 3 * PATIENCE_MS })
    await page.locator('.field-panel').waitFor()
    const plan = readPlan(await planText(page))
    expect([plan.lines[0]!.id, plan.holding]).toEqual(['demo-bench', 'Upper slope'])
    await sheet.calm()
  },
  8 * PATIENCE_MS,
)

test(
  'a folder dropped is walked through: what lies in it is opened or named with its reason, over an open dialog too',
  async () => {
    const sheet = await openSheet(house)
    const { page, context } = sheet
    await page.getByRole('button', { name: sheetWords(EN).bar.more, exact: true }).click()
    await page.getByRole('dialog').waitFor()
    const browser = await context.newCDPSession(page)
    const data = { items: [], files: [demoFile('').replace(/\/$/, '')], dragOperationsMask: 1 }
    for (const type of ['dragEnter', 'dragOver', 'drop'] as const)
      await browser.send('Input.dispatchDragEvent', { type, x: 500, y: 300, data, modifiers: 0 })
    await page.getByRole('dialog').waitFor({ state: 'detached' })
    // The last of the folder's files in its line; all of them are listed with the ground.
    await page
      .locator('.notices .files li')
      .first()
      .waitFor({ timeout: 3 * PATIENCE_MS })
    await page.getByRole('tab', { name: sheetWords(EN).leaf.ground }).click()
    const lines = page.locator('.leaf-ground .files li')
    await expect.poll(() => lines.count(), { timeout: 3 * PATIENCE_MS }).toBeGreaterThan(4)
    const all = (await lines.allTextContents()).join('\n')
    expect(all).toMatch(/ground\.tif/)
    expect(all).toMatch(/rain\.csv/)
    await sheet.calm()
  },
  6 * PATIENCE_MS,
)
