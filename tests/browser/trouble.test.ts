import { afterAll, afterEach, beforeAll, expect, test } from 'vitest'
import { answers, type House, openHouse, openSheet, otherAnswers, PATIENCE_MS, sameAnswers } from '../helpers/open-sheet.js'

// What a browser may lack or lose is told in a sentence, and the work goes on.

let house: House
beforeAll(async () => {
  house = await openHouse()
})
afterEach(() => house?.clear())
afterAll(() => house?.close())

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
  await page.getByText(/Not kept in this browser/).waitFor()
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

test('failure 87: a lost drawing context is told and comes back, handles and all; the answers stay', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  const before = await answers(page)
  await page.locator('canvas.maplibregl-canvas').evaluate(canvas => {
    const gl = (canvas as HTMLCanvasElement).getContext('webgl2') ?? (canvas as HTMLCanvasElement).getContext('webgl')
    ;(gl as WebGLRenderingContext).getExtension('WEBGL_lose_context')!.loseContext()
  })
  await page.getByText(/The drawing of the plan was interrupted/).waitFor()
  await page.waitForSelector('[data-ready]', { timeout: 2 * PATIENCE_MS })
  await page.getByText(/The drawing of the plan was interrupted/).waitFor({ state: 'detached' })
  expect(await page.locator('.plan-handle').count()).toBe(3)
  await sameAnswers(page, before)
  await sheet.calm()
})
