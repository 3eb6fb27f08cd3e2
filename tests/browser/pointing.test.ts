import { measureWords, type Voice } from '@soakline/drawing'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import {
  answers,
  handle,
  houseForTests,
  middleOf,
  openSheet,
  otherAnswers,
  PATIENCE_MS,
  PHONE,
  planText,
  sameAnswers,
  shown,
  tabTo,
  wholeAnswers,
} from '../helpers/open-sheet.js'

// Pointing, drawing and moving: by mouse, by finger and by keyboard alone.

const house = houseForTests()

const ENGLISH: Voice = { language: 'en', units: 'metric' }

interface SavedPlan {
  readonly lines: readonly { readonly path: readonly (readonly number[])[]; readonly traced?: object }[]
  readonly features: readonly {
    readonly id: string
    readonly kind: string
    readonly geometry: { readonly type: string; readonly coordinates: unknown }
  }[]
}
const plan = async (page: Page): Promise<SavedPlan> => JSON.parse(await planText(page)) as SavedPlan

const undoButton = (page: Page) => page.locator('.undo-redo button').first()
const redoButton = (page: Page) => page.locator('.undo-redo button').last()

test('a tap traces a level line; while its middle is dragged the answers change under the finger; undo and redo go all the way', async () => {
  const sheet = await openSheet(house, { warmDrag: true })
  const { page } = sheet
  const atFirst = await wholeAnswers(page)
  const planAtFirst = await planText(page)

  const middle = await middleOf(handle(page, 'line-through'))
  await page.getByRole('button', { name: 'Level line here' }).click()
  await page.mouse.click(middle.x - 45, middle.y - 5)
  await otherAnswers(page, atFirst)
  const pointed = await wholeAnswers(page)
  const planPointed = await planText(page)
  expect((JSON.parse(planPointed) as SavedPlan).lines[0]!.traced).toBeDefined()
  expect(planPointed).not.toBe(planAtFirst)

  const from = await middleOf(handle(page, 'line-through'))
  await page.mouse.move(from.x, from.y)
  await page.mouse.down()
  await page.mouse.move(from.x + 16, from.y + 20, { steps: 3 })
  const during = await otherAnswers(page, pointed)
  await page.mouse.move(from.x + 30, from.y + 38, { steps: 3 })
  await otherAnswers(page, during)
  expect(await planText(page)).toBe(planPointed)
  await page.mouse.up()
  const moved = await wholeAnswers(page)
  await expect.poll(() => undoButton(page).getAttribute('aria-label')).toBe('Undo: line moved')
  const planMoved = await planText(page)

  await undoButton(page).click()
  await sameAnswers(page, pointed)
  expect(await planText(page)).toBe(planPointed)

  while (await undoButton(page).isEnabled()) await undoButton(page).click()
  await sameAnswers(page, atFirst)
  expect(await planText(page)).toBe(planAtFirst)
  while (await redoButton(page).isEnabled()) await redoButton(page).click()
  await sameAnswers(page, moved)
  expect(await planText(page)).toBe(planMoved)
  await sheet.calm()
})

test('an end of a traced line is dragged along its level; shaping by hand gives vertices, and making it level takes them back', async () => {
  const sheet = await openSheet(house, { warmDrag: true })
  const { page } = sheet
  const before = await answers(page)
  const from = await middleOf(handle(page, 'line-end').first())
  await page.mouse.move(from.x, from.y)
  await page.mouse.down()
  await page.mouse.move(from.x - 20, from.y - 10, { steps: 4 })
  await page.mouse.up()
  await otherAnswers(page, before)
  const longer = await answers(page)
  expect((await plan(page)).lines[0]!.traced).toBeDefined()

  await page.getByRole('tab', { name: 'Drawn' }).click()
  await page.getByRole('button', { name: 'Shape by hand' }).click()
  const vertex = handle(page, 'line-vertex').first()
  const at = await middleOf(vertex)
  await page.mouse.move(at.x, at.y)
  await page.mouse.down()
  await page.mouse.move(at.x, at.y + 14, { steps: 4 })
  await page.mouse.up()
  await page.getByRole('button', { name: 'Make it level again' }).waitFor()
  const shaped = await answers(page)
  expect(shaped).not.toEqual(longer)
  expect((await plan(page)).lines[0]!.traced).toBeUndefined()
  await page.getByRole('tab', { name: 'Drawn' }).click()
  await page.getByRole('button', { name: 'Make it level again' }).click()
  await page.getByRole('button', { name: 'Shape by hand' }).waitFor()
  expect((await plan(page)).lines[0]!.traced).toBeDefined()
  await sheet.calm()
})

test('a line drawn freely and a building drawn by mouse count in the answers', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  const before = await answers(page)
  const middle = await middleOf(handle(page, 'line-through'))
  await page.getByRole('button', { name: 'Draw a line freely' }).click()
  for (const [dx, dy] of [
    [-40, 0],
    [0, 4],
    [40, 0],
  ] as const)
    await page.mouse.click(middle.x + dx, middle.y + dy - 20)
  await page.getByText('3 places set.').waitFor()
  await page.getByRole('button', { name: 'Done' }).click()
  const free = await otherAnswers(page, before)
  await page.getByRole('button', { name: 'Draw…' }).click()
  await page.getByRole('button', { name: 'Start drawing' }).click()
  for (const [dx, dy] of [
    [-10, 0],
    [10, 0],
    [10, 12],
    [-10, 12],
  ] as const)
    await page.mouse.click(middle.x + dx, middle.y + dy + 14)
  await page.getByRole('button', { name: 'Done' }).click()
  const saved = await plan(page)
  expect(saved.lines[0]!.path).toHaveLength(3)
  expect(saved.features.filter(f => f.kind === 'building')).toHaveLength(4)
  await page.getByRole('button', { name: /Back to the list/ }).click()
  expect(await answers(page)).not.toEqual(free)
  await sheet.calm()
})

test('failure 99: by finger: a level line, an area, and an end dragged', async () => {
  const sheet = await openSheet(house, { screen: PHONE, warmDrag: true })
  const { page, context } = sheet
  const touch = await context.newCDPSession(page)
  const finger = (type: 'touchStart' | 'touchMove' | 'touchEnd', at?: { x: number; y: number }) =>
    touch.send('Input.dispatchTouchEvent', { type, touchPoints: at ? [{ x: at.x, y: at.y, id: 1 }] : [] })
  const atFirst = await wholeAnswers(page)
  const middle = await middleOf(handle(page, 'line-through'))
  await page.getByRole('button', { name: 'Level line here' }).tap()
  await page.touchscreen.tap(middle.x - 40, middle.y - 12)
  await otherAnswers(page, atFirst)
  const pointed = await wholeAnswers(page)

  const end = await middleOf(handle(page, 'line-end').first())
  await finger('touchStart', end)
  for (let k = 1; k <= 5; k++) await finger('touchMove', { x: end.x - 4 * k, y: end.y - 2 * k })
  await otherAnswers(page, pointed)
  await finger('touchEnd')
  await expect.poll(() => undoButton(page).getAttribute('aria-label')).toBe('Undo: line moved')

  await page.getByRole('tab', { name: 'Drawn' }).tap()
  await page.getByRole('combobox', { name: 'What it is' }).selectOption('forest')
  await page.getByRole('button', { name: 'Start drawing' }).tap()
  await page.getByText(/Tap its corners/).waitFor()
  const canvas = await page.locator('canvas.maplibregl-canvas').boundingBox()
  const centre = { x: canvas!.x + canvas!.width / 2, y: canvas!.y + canvas!.height / 2 + 20 }
  for (const [k, [dx, dy]] of (
    [
      [-25, 20],
      [25, 20],
      [0, 45],
    ] as const
  ).entries()) {
    await page.touchscreen.tap(centre.x + dx, centre.y + dy)
    await page.getByText(k === 0 ? '1 place set.' : `${k + 1} places set.`).waitFor()
  }
  await page.getByRole('button', { name: 'Done' }).tap()
  await page.getByRole('heading', { name: /orest/ }).waitFor()
  const saved = await plan(page)
  expect(saved.features.filter(f => f.kind === 'forest')).toHaveLength(2)

  // Measured by finger; a finger held on a place reads it.
  await page.getByRole('button', { name: measureWords(ENGLISH).tool, exact: true }).tap()
  for (const [k, dx] of [-30, 30].entries()) {
    await page.touchscreen.tap(centre.x + dx, centre.y - 40)
    await page
      .locator('.measure-panel')
      .getByText(k === 0 ? measureWords(ENGLISH).one : /level distance/)
      .waitFor()
  }
  await page.getByRole('button', { name: measureWords(ENGLISH).end }).tap()
  await finger('touchStart', { x: centre.x, y: centre.y - 60 })
  await page.locator('.place-panel .place-form').nth(2).waitFor()
  await finger('touchEnd')
  await sheet.calm()
})

test(
  'failure 100: by keyboard alone: a level line and a building under the crosshair, a handle moved by arrow keys',
  async () => {
    const sheet = await openSheet(house, {
      before: () => {
        for (const type of ['mousedown', 'pointerdown', 'touchstart'])
          window.addEventListener(type, () => document.documentElement.setAttribute('data-pointed', type), true)
      },
    })
    const { page } = sheet
    const atFirst = await wholeAnswers(page)
    const settled = () => page.waitForSelector('.answers[aria-busy=false] .answer', { state: 'attached' })
    await page.keyboard.press('l')
    await page.keyboard.press('Shift+ArrowLeft')
    await page.keyboard.press('Shift+ArrowLeft')
    await page.keyboard.press('Shift+ArrowDown')
    await page.keyboard.press('Enter')
    await otherAnswers(page, atFirst)
    await settled()
    await expect.poll(() => undoButton(page).getAttribute('aria-label')).toBe('Undo: level line')
    const pointed = await shown(page)

    await tabTo(page, /the line, by its middle/)
    await page.keyboard.down('ArrowUp')
    await page.keyboard.up('ArrowUp')
    await page.keyboard.press('Shift+ArrowUp')
    await otherAnswers(page, pointed)
    await expect.poll(() => undoButton(page).getAttribute('aria-label')).toBe('Undo: line moved')

    // Shaped by keys, a vertex keeps the focus and its name, also after its first move has made the line a free one.
    await page.keyboard.press('f')
    await page.getByRole('button', { name: 'Shape by hand' }).waitFor()
    await tabTo(page, /^Shape by hand/)
    await page.keyboard.press('Enter')
    await handle(page, 'line-vertex').first().waitFor()
    await page.getByRole('button', { name: 'vertex 3', exact: true }).focus()
    for (let k = 0; k < 3; k++) {
      await page.keyboard.press('Shift+ArrowDown')
      await page.getByRole('button', { name: 'Make it level again' }).waitFor()
      expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toBe('vertex 3')
    }
    expect((await plan(page)).lines[0]!.traced).toBeUndefined()

    await page.getByRole('button', { name: 'Start drawing' }).waitFor()
    await tabTo(page, /^Start drawing/)
    await page.keyboard.press('Enter')
    await page.getByText(/Tap its corners/).waitFor()
    for (const way of ['ArrowRight', 'ArrowDown', 'ArrowLeft']) {
      await page.keyboard.press('Enter')
      for (let k = 0; k < 3; k++) await page.keyboard.press(`Shift+${way}`)
    }
    await page.keyboard.press('Enter')
    await page.getByText('4 places set.').waitFor()
    await tabTo(page, /^Done/)
    await page.keyboard.press('Enter')
    await page
      .getByRole('heading', { name: /uilding/ })
      .first()
      .waitFor()
    const saved = await plan(page)
    expect(saved.features.filter(f => f.kind === 'building')).toHaveLength(4)
    expect(await page.evaluate(() => document.documentElement.getAttribute('data-pointed'))).toBeNull()
    await sheet.calm()
  },
  3 * PATIENCE_MS,
)
