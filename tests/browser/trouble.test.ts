import { expect, test } from 'vitest'
import { cases } from '../helpers/cases.js'
import { answers, houseForTests, openSheet, otherAnswers, PATIENCE_MS, savingSays } from '../helpers/open-sheet.js'

// What a browser may lack or lose is told in a sentence, and the work goes on.

const house = houseForTests()

test('failure 83: without storage the sheet says so and works', async () => {
  const sheet = await openSheet(house, {
    before: () => {
      const refuse = () => {
        throw new DOMException('Storage is off.', 'SecurityError')
      }
      Object.defineProperty(window, 'indexedDB', { get: refuse })
      Object.defineProperty(window, 'localStorage', { get: refuse })
    },
  })
  const { page } = sheet
  await page.getByText(/This browser keeps nothing between visits/).waitFor()
  const before = await answers(page)
  await page.getByRole('button', { name: /On the bench/ }).click()
  await otherAnswers(page, before)
  await savingSays(page, /Not saved in this browser/)
  await sheet.calm()
})

test('without WebGL the sheet says so and answers all the same', async () => {
  const sheet = await openSheet(house, {
    drawn: false,
    before: () => {
      const real = HTMLCanvasElement.prototype.getContext
      HTMLCanvasElement.prototype.getContext = function (this: HTMLCanvasElement, ...asked: unknown[]) {
        return /webgl/.test(String(asked[0])) ? null : Reflect.apply(real, this, asked)
      } as typeof real
    },
  })
  const { page } = sheet
  await page.getByText(/WebGL is missing or off/).waitFor()
  const before = await answers(page)
  await page.getByRole('button', { name: /On the bench/ }).click()
  await otherAnswers(page, before)
  await sheet.calm()
})

const losses = cases(2)
test(
  `failure 87: a drawing context lost ${losses} times is told and comes back, handles and all; the answers can be had meanwhile, and nothing is lost`,
  async () => {
    const sheet = await openSheet(house)
    const { page } = sheet
    let before = await answers(page)
    for (let k = 0; k < losses; k++) {
      await page.locator('canvas.maplibregl-canvas').evaluate(canvas => {
        const gl = (canvas as HTMLCanvasElement).getContext('webgl2') ?? (canvas as HTMLCanvasElement).getContext('webgl')
        ;(gl as WebGLRenderingContext).getExtension('WEBGL_lose_context')!.loseContext()
      })
      await page.getByText(/The drawing of the plan was interrupted/).waitFor()
      // Without a picture the line is changed, and its answers come.
      await page.getByRole('button', { name: k % 2 === 0 ? /On the bench/ : /On the spur/ }).click()
      before = await otherAnswers(page, before)
      await page.waitForSelector('[data-ready]', { timeout: 2 * PATIENCE_MS })
      await page.getByText(/The drawing of the plan was interrupted/).waitFor({ state: 'detached' })
      expect(await page.locator('.plan-handle').count()).toBe(4)
      before = await answers(page)
    }
    expect(await page.locator('canvas.maplibregl-canvas').count()).toBe(1)
    // Every line chosen is a step that can be taken back.
    const back = page.locator('.undo-redo button').first()
    for (let k = 0; k < losses; k++) await back.click()
    await expect.poll(() => back.isEnabled()).toBe(false)
    await sheet.calm()
  },
  (losses + 2) * 3 * PATIENCE_MS,
)
