import { AxeBuilder } from '@axe-core/playwright'
import { handsWords, mattersWords, sayJobStep, type Voice, wordsOf } from '@soakline/drawing'
import type { Locator, Page } from 'playwright-core'
import { expect, test } from 'vitest'
import {
  answers,
  DESKTOP,
  houseForTests,
  middleOf,
  openSheet,
  otherAnswers,
  PATIENCE_MS,
  PHONE,
  planText,
  sameAnswers,
  still,
  wholeAnswers,
} from '../helpers/open-sheet.js'

// Whole tasks done by hand on the drawing: by mouse, by finger, by keys.

const house = houseForTests()

const ENGLISH: Voice = { language: 'en', units: 'metric' }
const SPANISH: Voice = { language: 'es', units: 'metric' }
const say = handsWords(ENGLISH)
interface SavedPlan {
  readonly lines: readonly { readonly id: string; readonly path: readonly (readonly number[])[]; readonly traced?: object }[]
  readonly settings: Readonly<Record<string, number>>
  readonly otherDesign?: { readonly settings: object }
}
const plan = async (page: Page): Promise<SavedPlan> => JSON.parse(await planText(page)) as SavedPlan
const undo = (page: Page) => page.locator('.undo-redo button').first()
const undoes = (page: Page, what: RegExp) =>
  expect.poll(() => undo(page).getAttribute('aria-label'), { timeout: PATIENCE_MS }).toMatch(what)
/** Whether something is out of order for those who cannot see it. */
async function heard(page: Page, part: string): Promise<void> {
  const { violations } = await new AxeBuilder({ page }).include(part).analyze()
  expect(violations.map(v => `${v.id} ${v.nodes[0]?.target.join(' ')}`)).toEqual([])
}
async function pull(
  page: Page,
  grip: Locator,
  dx: number,
  dy: number,
  between: () => Promise<unknown> = async () => undefined,
): Promise<void> {
  const from = await middleOf(grip)
  await page.mouse.move(from.x, from.y)
  await page.mouse.down()
  await page.mouse.move(from.x + dx / 2, from.y + dy / 2, { steps: 3 })
  await page.mouse.move(from.x + dx, from.y + dy, { steps: 3 })
  await between()
  await page.mouse.up()
}

test(
  'by mouse the spill and the bed are dragged: every move is answered, letting go keeps it, undo takes it back',
  async () => {
    const sheet = await openSheet(house, { warmDrag: true })
    const { page } = sheet
    const before = await wholeAnswers(page)
    const planBefore = await planText(page)
    await pull(page, page.locator('.plan-handle-spill'), -45, 8, () => otherAnswers(page, before))
    await undoes(page, /setting/)
    const spilt = await plan(page)
    expect(spilt.settings.spillChainage_m).toBeGreaterThan(5)
    await page.getByText(/You set the spill: /).waitFor()
    await undo(page).click()
    await sameAnswers(page, before)
    expect(await planText(page)).toBe(planBefore)

    const digging = page.locator('.long-section svg').first()
    const drawnBefore = await digging.innerHTML()
    await pull(page, page.locator('.grip-bed'), 0, 12, () => expect.poll(() => digging.innerHTML()).not.toBe(drawnBefore))
    await undoes(page, /setting/)
    expect((await plan(page)).settings.depth_m).toBeGreaterThan(0.41)
    await undo(page).click()
    await sameAnswers(page, before)
    expect(await planText(page)).toBe(planBefore)
    await sheet.calm()
  },
  5 * PATIENCE_MS,
)

test(
  'by keys: the bed a centimetre deeper, the water to a level, the storm to an hour',
  async () => {
    const sheet = await openSheet(house)
    const { page } = sheet
    const bed = page.getByRole('slider', { name: say.section.bed })
    const was = (await plan(page)).settings.depth_m ?? 0.4
    await bed.focus()
    await bed.press('ArrowDown')
    await undoes(page, /setting/)
    expect((await plan(page)).settings.depth_m! - was).toBeCloseTo(0.01, 3)
    // The water is looked at: the plan stays as it is.
    const planNow = await planText(page)
    const water = page.getByRole('slider', { name: say.section.water })
    await water.focus()
    await water.press('PageDown')
    await page.getByText(/With the water at .* the ditch holds .*Nothing leaves\./).waitFor()
    const storm = page.getByRole('slider', { name: say.storm.slider })
    await storm.focus()
    for (let k = 0; k < 4; k++) await storm.press('PageUp')
    await page.getByText(/^Hour .* run in, .* run out.*So far .* came: /).waitFor()
    expect(await page.locator('.water-now svg').count()).toBe(1)
    await heard(page, '.foot')
    await page.getByRole('button', { name: say.storm.putAway }).click()
    expect(await page.locator('.water-now').count()).toBe(0)
    await page.getByRole('button', { name: say.storm.play }).click()
    await page.getByRole('button', { name: say.storm.pause }).waitFor()
    const first = await page.locator('.cross-section figcaption').textContent()
    await expect.poll(() => page.locator('.cross-section figcaption').textContent()).not.toBe(first)
    await page.getByRole('button', { name: say.storm.pause }).click()
    expect(await planText(page)).toBe(planNow)
    await sheet.calm()
  },
  5 * PATIENCE_MS,
)

test(
  'a line is walked along the contour; one drawn freely is kept or laid on the contour',
  async () => {
    const sheet = await openSheet(house)
    const { page } = sheet
    const before = await answers(page)
    const middle = await middleOf(page.locator('.plan-handle-line-through'))
    await page.getByRole('button', { name: say.walk.tool }).click()
    await page.getByText(say.walk.from).waitFor()
    await page.mouse.click(middle.x - 30, middle.y - 6)
    await page.getByText(say.walk.to).waitFor()
    await page.mouse.move(middle.x + 10, middle.y, { steps: 4 })
    const under = await otherAnswers(page, before)
    await page.mouse.move(middle.x + 35, middle.y - 4, { steps: 4 })
    await otherAnswers(page, under)
    await page.mouse.click(middle.x + 35, middle.y - 4)
    await undoes(page, /contour/)
    expect((await plan(page)).lines[0]!.traced).toBeDefined()

    await page.getByRole('button', { name: 'Draw a line freely' }).click()
    for (const [dx, dy] of [
      [-40, -14],
      [-10, 0],
      [30, -4],
    ] as const)
      await page.mouse.click(middle.x + dx, middle.y + dy)
    await page.getByRole('button', { name: 'Done' }).click()
    await page.getByText(say.drawn.title).waitFor()
    expect((await plan(page)).lines[0]!.traced).toBeUndefined()
    await page.getByRole('button', { name: say.drawn.fit }).first().click()
    await page.getByText(say.drawn.fitted).waitFor()
    expect((await plan(page)).lines[0]!.traced).toBeDefined()
    await undo(page).click()
    await expect.poll(async () => (await plan(page)).lines[0]!.traced).toBeUndefined()
    await sheet.calm()
  },
  5 * PATIENCE_MS,
)

test(
  'two designs side by side: what differs is said in words, and the other one can be gone on with',
  async () => {
    const sheet = await openSheet(house)
    const { page } = sheet
    const first = await wholeAnswers(page)
    await page.getByRole('tab', { name: 'Drawn' }).click()
    await page.getByRole('button', { name: say.designs.keep }).click()
    const kept = (await plan(page)).lines[0]!.id
    await page.getByRole('button', { name: /On the bench/ }).click()
    await expect.poll(async () => (await plan(page)).lines[0]!.id).not.toBe(kept)
    await page.getByRole('button', { name: say.designs.compare }).click()
    const said = page.locator('.comparison')
    await said.waitFor()
    await expect
      .poll(() => said.textContent(), { timeout: PATIENCE_MS })
      .toMatch(/ground drains into B: .* against [\s\S]*The overflow of A runs .*; that of B runs/)
    expect(await said.textContent()).toMatch(/A within limits, B fails/)
    // Side by side: one column for each, every row with both.
    expect((await said.getByRole('columnheader').allTextContents()).slice(1)).toEqual(['A', 'B'])
    for (const row of await said.locator('tbody tr').all())
      expect(await row.locator('td').allTextContents()).toEqual([/\S/, /\S/].map(some => expect.stringMatching(some)))
    await heard(page, '.margin')
    await page.getByRole('button', { name: say.designs.swap }).click()
    await expect.poll(async () => (await plan(page)).lines[0]!.id).toBe('demo-spur')
    expect((await plan(page)).otherDesign).toBeDefined()
    await answers(page)
    await sameAnswers(page, first)
    await sheet.calm()
  },
  5 * PATIENCE_MS,
)

test(
  'two swales in a cascade, in Spanish: copied downhill, told together, worked on one by one, undone',
  async () => {
    const sheet = await openSheet(house)
    const { page } = sheet
    await page.getByRole('radio', { name: 'Español' }).check()
    const es = handsWords(SPANISH).swales
    await page.getByRole('tab').nth(1).click()
    const copies = page.getByLabel(es.copies)
    await copies.fill('1')
    await copies.press('Enter')
    // The button counts by what the field said when the page was last drawn.
    await page.evaluate(() => new Promise(resolve => requestAnimationFrame(() => requestAnimationFrame(resolve))))
    await page.getByRole('button', { name: es.copy }).click()
    const cascade = page.locator('.swales .cascade')
    await cascade.waitFor({ timeout: 2 * PATIENCE_MS })
    expect(await cascade.textContent()).toMatch(/Zanja 1 rebalsa[\s\S]*Si cede el camellón de Zanja 1/)
    // The storm is followed through both: the lower one is told beside the section as it fills.
    const storm = page.getByRole('slider', { name: handsWords(SPANISH).storm.slider })
    await storm.focus()
    for (let k = 0; k < 4; k++) await storm.press('PageUp')
    await page
      .locator('.storm-others')
      .filter({ hasText: /^Zanja 2: .* adentro, salen / })
      .waitFor()
    await page.getByRole('button', { name: handsWords(SPANISH).storm.putAway }).click()
    const [upper, lower] = (await plan(page)).lines
    expect((await plan(page)).lines.map(line => line.id)).toHaveLength(2)
    await heard(page, '.margin')
    await page.getByRole('button', { name: `${es.workOn}: ${es.name('2')}` }).click()
    await expect.poll(async () => (await plan(page)).lines.map(line => line.id)).toEqual([lower!.id, upper!.id])
    await page.getByRole('tab').first().click()
    await page.locator('.answer-list .cascade').waitFor({ timeout: 2 * PATIENCE_MS })
    await undo(page).click()
    await undo(page).click()
    await expect.poll(async () => (await plan(page)).lines.length).toBe(1)
    await sheet.calm()
  },
  5 * PATIENCE_MS,
)

test(
  'another swale is chosen and dragged in one gesture, by mouse and by finger; each of the two steps is undone by itself',
  async () => {
    const sheet = await openSheet(house, { screen: { ...DESKTOP, hasTouch: true }, warmDrag: true })
    const { page, context } = sheet
    const touch = await context.newCDPSession(page)
    const finger = (type: 'touchStart' | 'touchMove' | 'touchEnd', at?: { x: number; y: number }) =>
      touch.send('Input.dispatchTouchEvent', { type, touchPoints: at ? [{ x: at.x, y: at.y, id: 1 }] : [] })
    await page.getByRole('tab', { name: 'Drawn' }).click()
    await page.getByLabel(say.swales.drop).fill('6')
    await page.getByLabel(say.swales.copies).fill('1')
    await page.getByLabel(say.swales.copies).press('Enter')
    await page.evaluate(() => new Promise(resolve => requestAnimationFrame(() => requestAnimationFrame(resolve))))
    await page.getByRole('button', { name: say.swales.copy }).click()
    await expect.poll(async () => (await plan(page)).lines.length).toBe(2)
    // Where the copy lies on the screen is found by making it the line that is worked on, once.
    const second = page.getByRole('button', { name: `${say.swales.workOn}: ${say.swales.name('2')}` })
    await second.click()
    const onCopy = await middleOf(page.locator('.plan-handle-line-through'))
    await undo(page).click()
    const [upper, lower] = (await plan(page)).lines
    await expect.poll(async () => (await middleOf(page.locator('.plan-handle-line-through'))).y).not.toBe(onCopy.y)
    const idle = await planText(page)
    for (const by of ['mouse', 'finger'] as const) {
      const moves = [6, 12, 18].map(dy => ({ x: onCopy.x + dy / 3, y: onCopy.y + dy }))
      const start = onCopy
      // The map has drawn the lines anew once the pointer over the other one says that it can be moved.
      let jitter = 0
      await expect
        .poll(async () => {
          await page.mouse.move(start.x, start.y + (jitter = 1 - jitter))
          return page.locator('canvas.maplibregl-canvas').evaluate(canvas => canvas.style.cursor)
        })
        .toBe('move')
      if (by === 'mouse') {
        await page.mouse.move(start.x, start.y)
        await page.mouse.down()
        for (const to of moves) await page.mouse.move(to.x, to.y)
        await page.mouse.up()
      } else {
        await finger('touchStart', start)
        for (const to of moves) await finger('touchMove', to)
        await finger('touchEnd')
      }
      await expect.poll(async () => (await plan(page)).lines[0]!.path, { timeout: PATIENCE_MS }).not.toEqual(upper!.path)
      await undoes(page, /line moved/)
      const now = await plan(page)
      expect(now.lines.map(line => line.id)).toEqual([lower!.id, upper!.id])
      expect(now.lines[1]!.path).toEqual(upper!.path)
      expect(now.lines[0]!.path).not.toEqual(lower!.path)
      await undo(page).click()
      expect((await plan(page)).lines).toEqual([lower, upper])
      await undo(page).click()
      expect(await planText(page)).toBe(idle)
    }
    await sheet.calm()
  },
  5 * PATIENCE_MS,
)

test(
  'every step of the job has its answer, and why says what would change it most',
  async () => {
    const sheet = await openSheet(house)
    const { page } = sheet
    await wholeAnswers(page)
    const titles = await page.locator('.answer-list > li h2 > span:nth-child(2)').allTextContents()
    const at = (title: string): number => titles.findIndex(one => one.trim() === title)
    const step = (name: Parameters<typeof sayJobStep>[0]['step']): number =>
      at(sayJobStep({ step: name, because: '', values: {} }, ENGLISH).title)
    const { question } = wordsOf(ENGLISH)
    const order = [
      at(question.spill),
      step('line'),
      at(question.ridge),
      step('section'),
      at(question.building),
      step('stakes'),
      step('digging'),
    ]
    expect(order).toEqual([...order].sort((a, b) => a - b))
    expect(order[0]).toBeGreaterThan(-1)
    expect([step('planting'), step('as-built'), step('care')].every(k => k > step('digging'))).toBe(true)
    const stakes = page.locator('.answer-more').filter({ hasText: 'Where exactly do I dig?' })
    await expect.poll(() => stakes.locator('.answer-text').textContent(), { timeout: PATIENCE_MS }).toMatch(/^\d+ stakes stand along/)

    const kept = page.locator('.answer').filter({ hasText: 'How much of a storm does the ditch keep?' })
    await kept.locator('summary').first().click()
    const matters = kept.locator('.matters')
    await expect.poll(() => matters.textContent(), { timeout: 2 * PATIENCE_MS }).toContain(mattersWords(ENGLISH).one)
    expect(await matters.textContent()).toMatch(/(If|With) .*: .*m³/)
    await heard(page, '.margin')
    await stakes.locator('summary').click()
    await stakes.getByRole('button', { name: say.job.open }).click()
    await page.locator('.work').waitFor()
    await sheet.calm()
  },
  5 * PATIENCE_MS,
)

test(
  'on a phone the sections stand inside their answer: the bed is dragged by a finger, the storm by its slider',
  async () => {
    const sheet = await openSheet(house, { screen: PHONE, warmDrag: true })
    const { page, context } = sheet
    const touch = await context.newCDPSession(page)
    const finger = (type: 'touchStart' | 'touchMove' | 'touchEnd', at?: { x: number; y: number }) =>
      touch.send('Input.dispatchTouchEvent', { type, touchPoints: at ? [{ x: at.x, y: at.y, id: 1 }] : [] })
    await answers(page)
    const grip = page.locator('.foot-inside .grip-bed')
    await grip.waitFor({ state: 'attached' })
    await grip.evaluate(element => element.scrollIntoView({ block: 'center', inline: 'center' }))
    await still(grip)
    const from = await middleOf(grip)
    await finger('touchStart', from)
    for (let k = 1; k <= 4; k++) await finger('touchMove', { x: from.x, y: from.y + 4 * k })
    await finger('touchEnd')
    await undoes(page, /setting/)
    const storm = page.locator('.foot-inside .storm-hours')
    await storm.evaluate((element: HTMLInputElement) => {
      element.value = String((Number(element.min) + Number(element.max)) / 2)
      element.dispatchEvent(new Event('input', { bubbles: true }))
    })
    await expect.poll(() => page.locator('.foot-inside figcaption').textContent()).toMatch(/^Hour .* run in/)
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true)
    await sheet.calm()
  },
  5 * PATIENCE_MS,
)
