import { readFileSync } from 'node:fs'
import { AxeBuilder } from '@axe-core/playwright'
import { nameGroundWork, onSiteWords, sheetWords, type Voice, wordsOf } from '@soakline/drawing'
import type { Locator, Page } from 'playwright-core'
import { readPlan } from 'soakline/plan'
import { expect, test } from 'vitest'
import { drop, fileLine, houseForTests, openSheet, PATIENCE_MS, planText, wholeAnswers } from '../helpers/open-sheet.js'

// The work on the ground: stakes and files, levels, what was built, digging, planting, care.

const house = houseForTests()

const EN: Voice = { language: 'en', units: 'metric' }
const ES: Voice = { language: 'es', units: 'metric' }

/** The sheet at the leaf of the work, with its whole answer; no terrains are tried, which would take most of the time. */
async function openWork(voice: Voice, screen: Parameters<typeof openSheet>[1] = {}): Promise<Awaited<ReturnType<typeof openSheet>>> {
  const sheet = await openSheet(house, screen)
  await drop(sheet.page, { name: 'quick.json', bytes: '{"triedTerrains": 0}' })
  await fileLine(sheet.page, 'quick.json')
  await wholeAnswers(sheet.page)
  await sheet.page.getByRole('tab', { name: sheetWords(voice).leaf.work, exact: true }).click()
  await sheet.page.locator('.work[aria-busy=false] .said-table').first().waitFor()
  return sheet
}

const group = (page: Page, title: string): Locator =>
  page.locator('.work-group', { has: page.getByRole('heading', { name: title, exact: true }) })

/** Opens one of the papers. */
async function opened(page: Page, title: string): Promise<Locator> {
  const paper = group(page, title)
  if ((await paper.getAttribute('open')) === null) await paper.locator('summary').first().click()
  return paper
}

async function saved(page: Page, button: string): Promise<{ name: string; text: string }> {
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: button, exact: true }).click()])
  return { name: download.suggestedFilename(), text: readFileSync(await download.path(), 'utf8') }
}

const cellsOf = (row: string): string[] => row.split(',')

for (const [locale, voice] of [
  ['en-GB', EN],
  ['es-ES', ES],
] as const)
  test(`stakes are listed and saved; a low spot of 6 cm in the readings is found, told, undone and done again: ${locale}`, async () => {
    const { page, calm } = await openWork(voice, { screen: { viewport: { width: 1280, height: 800 }, locale } })
    const [say, work] = [sheetWords(voice), onSiteWords(voice)]
    const rows = await group(page, work.stakes.title).locator('tbody tr').count()
    expect(rows).toBeGreaterThan(20)

    const csv = await saved(page, work.files.csv)
    expect(csv.name).toMatch(/-stakes\.csv$/)
    const [header, ...lines] = csv.text.trim().split('\r\n')
    expect(lines.length).toBe(rows)
    for (const [button, mark] of [
      [work.files.gpx, /<wpt /g],
      [work.files.kml, /<Point>/g],
      [work.files.geojson, /"what":"stake"/g],
    ] as const)
      expect((await saved(page, button)).text.match(mark)!.length).toBe(rows)
    expect((await saved(page, work.files.dxf)).text).toMatch(/AC1009/)
    expect((await saved(page, work.files.levels)).text).toContain(work.levels.frame.toUpperCase())

    // The readings are those of the plan, but for the place where the crest is lowest.
    const column = (name: string): number => cellsOf(header!).indexOf(name)
    const [crest, bed] = [column('crest_m'), column('bed_m')]
    const stakes = lines.map(cellsOf).filter(cells => cells[crest] !== '')
    const low = stakes.slice(1, -2).reduce((a, b) => (Number(b[crest]) < Number(a[crest]) ? b : a))
    const table = ['stake,bed_m,crest_m', ...stakes.map(c => `${c[0]},${c[bed]},${(Number(c[crest]) - (c === low ? 0.06 : 0)).toFixed(4)}`)]
    await drop(page, { name: 'read.csv', bytes: table.join('\n') })
    expect(await (await fileLine(page, 'read.csv')).textContent()).toContain(say.file.what.readings(2 * stakes.length))
    // Readings that come open their paper by themselves.
    const built = group(page, work.built.title)
    await built.locator('.work-built').waitFor()
    const spots = built.getByRole('heading', { name: work.built.lowSpots }).locator('..').locator('.said-cards > li')
    await spots.first().waitFor()
    expect(await spots.count()).toBe(1)
    expect(await spots.first().textContent()).toContain('6 cm')
    const changed = work.built.changed(wordsOf(voice).check.freeboard, wordsOf(voice).verdict.watch, wordsOf(voice).verdict.fails)
    await built.getByText(changed).waitFor()

    // One step back takes all of it away, and the answers are not asked for again.
    await page.keyboard.press('Control+z')
    await built.getByText(work.built.none).waitFor()
    expect(await page.locator('.whole-progress').count()).toBe(0)
    await page.keyboard.press('Control+Shift+z')
    await built.getByText(changed).waitFor()
    expect(readPlan(await planText(page)).built!.readings.length).toBe(2 * stakes.length)
    await calm()
  })

test('readings, a level book, crossings, prices, plants and storms are typed by keyboard, each one step, and kept in the plan', async () => {
  const { page, calm } = await openWork(EN)
  const work = onSiteWords(EN)
  const enter = async (within: Locator, label: string, text: string): Promise<void> => {
    const field = within.getByLabel(label, { exact: true })
    await field.fill(text)
    await field.press('Tab')
  }

  // A level book of two stands; the check on its sums follows what is typed. Arithmetic by hand: 1.250 − 0.750 = 0.500.
  const levels = await opened(page, work.levels.title)
  await levels.getByRole('button', { name: work.levels.addRow }).press('Enter')
  await levels.getByRole('button', { name: work.levels.addRow }).press('Enter')
  await enter(levels, `${work.levels.bookColumns[1]}, ${work.levels.bookFirst}`, '1.250')
  await enter(levels, `${work.levels.bookColumns[3]}, 2`, '0.750')
  await levels.getByText(work.levels.checkAgrees('0.50 m')).waitFor()
  // The A-frame: half-way between the marks is level.
  await enter(levels, work.levels.first, '40')
  await enter(levels, work.levels.turned, '42')
  await levels.getByText('Level is at 41 cm from that end').waitFor()
  // The laser: on stake 1 the ground reads what was typed, the bed 0.4 m more.
  await enter(levels, work.levels.backsight, '1.2')
  const staff = levels
    .locator('section.said', { has: page.getByRole('heading', { name: work.levels.staff }) })
    .locator('tbody tr')
    .first()
  await expect.poll(() => staff.textContent(), { timeout: PATIENCE_MS }).toMatch(/^11\.20 m1\.60 m/)

  const built = await opened(page, work.built.title)
  await enter(built, work.built.along, '20')
  await enter(built, work.built.level, '160.2')
  await built.getByRole('button', { name: work.built.add, exact: true }).press('Enter')
  await built
    .getByText(/160\.20 m/)
    .first()
    .waitFor()

  const dig = await opened(page, work.dig.title)
  await enter(dig, work.dig.personDay, '100')
  await dig.getByText(work.dig.costByHand).waitFor()
  await enter(dig, work.dig.at, '30')
  await dig.getByRole('button', { name: work.dig.addCrossing }).press('Enter')
  await dig.getByRole('button', { name: work.dig.removeCrossing(nameGroundWork('crosser', 'barrow', EN), '30 m') }).waitFor()

  const plant = await opened(page, work.plant.title)
  await enter(plant, work.plant.name, '=SUM(A1) <b>pear</b>')
  await enter(plant, work.plant.drained, '1.5')
  await plant.getByLabel(work.plant.woodyBox).check()
  await plant.getByRole('button', { name: work.plant.add, exact: true }).press('Enter')
  const pear = plant.locator('.work-plants li')
  await expect.poll(() => pear.count(), { timeout: PATIENCE_MS }).toBe(1)
  await pear.locator('summary').click()
  expect(await pear.textContent()).toContain('trees are kept off the berm')

  const care = await opened(page, work.care.title)
  const form = care.locator('form')
  await form.getByLabel(work.care.date).fill('yesterday')
  await form.getByRole('button', { name: work.care.addStorm }).click()
  await form.getByText(work.care.dateBad).waitFor()
  await enter(form, work.care.date, '2026-03-31')
  await enter(form, work.care.rain, '4')
  await form.getByLabel(work.care.spilled).selectOption('yes')
  await form.getByRole('button', { name: work.care.addStorm }).click()
  await care.getByText(/It spilled although the plan said that it would not/).waitFor()

  const plan = readPlan(await planText(page))
  expect(plan.levelBook!.readings.map(r => [r.backsight_m ?? null, r.foresight_m ?? null])).toEqual([
    [1.25, null],
    [null, 0.75],
  ])
  expect(plan.built!.readings).toEqual([{ what: 'crest', chainage_m: 20, level_m: 160.2 }])
  expect([plan.rates, plan.crossings]).toEqual([{ personDay: 100 }, [{ crosser: 'barrow', chainage_m: 30 }]])
  expect(plan.plants!.map(p => p.name)).toEqual(['=SUM(A1) <b>pear</b>'])
  expect(plan.stormLog!.map(s => [s.date, s.rain_mm, s.spilled])).toEqual([['2026-03-31', 4, true]])

  // Back one step each: the storm, the plant.
  await page.keyboard.press('Control+z')
  await page.keyboard.press('Control+z')
  const before = readPlan(await planText(page))
  expect([before.stormLog, before.plants]).toEqual([undefined, undefined])
  expect(before.crossings!.length).toBe(1)
  await calm()
})

for (const [name, voice, screen] of [
  ['desktop, night, English', EN, { viewport: { width: 1280, height: 800 }, locale: 'en-US', colorScheme: 'dark' }],
  ['phone, Spanish', ES, { viewport: { width: 375, height: 667 }, hasTouch: true, isMobile: true, locale: 'es-CR' }],
] as const)
  test(`axe-core finds nothing against the papers when all of them are open, and none is wider than the page: ${name}`, async () => {
    const { page, calm } = await openWork(voice, { screen })
    const work = onSiteWords(voice)
    for (const { title } of [work.levels, work.built, work.dig, work.plant, work.care]) await opened(page, title)
    await page.locator('.storm-card').waitFor()
    const { violations } = await new AxeBuilder({ page }).include('.margin').analyze()
    expect(violations.flatMap(v => v.nodes.map(node => `${v.id} ${node.target.join(' ')}`))).toEqual([])
    const wide = await page.locator('#leaf').evaluate(leaf => leaf.scrollWidth - leaf.clientWidth)
    expect(wide).toBeLessThanOrEqual(0)
    await calm()
  })
