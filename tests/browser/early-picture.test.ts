import { expect, test } from 'vitest'
import { demoFile, drop, fileFrom, fileLine, handle, houseForTests, middleOf, openSheet, PATIENCE_MS } from '../helpers/open-sheet.js'

// The heights of a ground are on the plan before its water is known; called off then, the ground before it is there again as it was looked at. What the plan
// was fitted to stays in sight, and only what has changed is drawn anew.

const house = houseForTests()

declare global {
  interface Window {
    /** Whether what a worker says of a ground that is now open is held back. */
    holding?: boolean
    /** How often each thing on the plan was sent to the map's worker. */
    sentToMap?: Record<string, number>
  }
}

/** In the page: what the worker says of an opened ground can be held back. */
function holdOpenedGround(): void {
  const Real = window.Worker
  window.Worker = class extends Real {
    constructor(...given: ConstructorParameters<typeof Worker>) {
      super(...given)
      Object.defineProperty(this, 'onmessage', {
        set: (take: (event: MessageEvent) => void) =>
          this.addEventListener('message', event => {
            const { ok, value } = event.data ?? {}
            if (!(window.holding && ok && value?.groundNumber > 0)) take(event)
          }),
      })
    }
  }
}

/** In the page: what the map sends its worker to be cut into tiles is counted by its source. */
function countSent(): void {
  window.sentToMap = {}
  const real = Worker.prototype.postMessage
  Worker.prototype.postMessage = function (this: Worker, ...letter: unknown[]) {
    const source = (letter[0] as { data?: { source?: unknown } } | null)?.data?.source
    if (typeof source === 'string') window.sentToMap![source] = (window.sentToMap![source] ?? 0) + 1
    return Reflect.apply(real, this, letter)
  } as typeof real
}

test(
  'ground is on the plan before it is open, and is taken off it when it is called off',
  async () => {
    const { page, calm } = await openSheet(house, { before: holdOpenedGround })
    const handle = page.locator('.plan-handle').first()
    const plan = page.locator('[data-pictured]')
    const fitted = await handle.boundingBox()
    await page.getByRole('button', { name: 'Zoom in' }).first().click()
    await expect.poll(() => handle.boundingBox()).not.toEqual(fitted)
    const before = await handle.boundingBox()
    await page.evaluate(() => {
      window.holding = true
    })
    await drop(page, fileFrom(demoFile('ground.tif'), 'second.tif'))
    await expect.poll(() => plan.getAttribute('data-pictured'), { timeout: PATIENCE_MS }).toBe('2')
    expect(await plan.getAttribute('data-ready')).toBeNull()
    // What stood on the ground before has no place on this one.
    expect(await page.locator('.plan-handle').count()).toBe(0)
    await page.getByRole('status').getByRole('button', { name: 'Cancel' }).click()
    expect(await (await fileLine(page, 'second.tif')).textContent()).toContain('was stopped')
    await expect.poll(() => plan.getAttribute('data-ready'), { timeout: PATIENCE_MS }).toBe('1')
    expect(await plan.getAttribute('data-pictured')).toBe('1')
    expect(await handle.boundingBox()).toEqual(before)
    await calm()
  },
  4 * PATIENCE_MS,
)

test(
  'the plan stays fitted when the page takes another shape, until a hand was on it',
  async () => {
    const { page, calm } = await openSheet(house, { screen: { viewport: { width: 1000, height: 760 } } })
    /** Metres that a pixel stands for. */
    const scale = async (): Promise<number> => {
      const text = (await page.locator('.plan-scale-text').textContent())!
      const width = await page.locator('.plan-scale-line').evaluate(line => Number.parseFloat((line as HTMLElement).style.width))
      return Number.parseFloat(text) / width
    }
    const wide = await scale()
    await page.setViewportSize({ width: 1000, height: 600 })
    await expect.poll(scale).toBeGreaterThan(1.1 * wide)
    const fitted = await scale()
    await page.getByRole('button', { name: 'Zoom in' }).first().click()
    await expect.poll(scale).toBeLessThan(0.6 * fitted)
    const byHand = await scale()
    await page.setViewportSize({ width: 700, height: 600 })
    await page.locator('.plan-scale-line').waitFor()
    await page.waitForTimeout(500)
    expect(await scale()).toBeCloseTo(byHand, 3)
    await calm()
  },
  4 * PATIENCE_MS,
)

test(
  'while a line is dragged the answer goes to the map again and nothing else, be it the same or as empty as before',
  async () => {
    const { page, calm } = await openSheet(house, { before: countSent, warmDrag: true })
    const sent = (): Promise<Record<string, number>> => page.evaluate(() => ({ ...window.sentToMap! }))
    const { answer: answered = 0, ...rest } = await sent()
    expect(rest['no-go']).toBeGreaterThan(0)
    const { x, y } = await middleOf(handle(page, 'line-through'))
    await page.mouse.move(x, y)
    await page.mouse.down()
    for (let step = 1; step <= 4; step++) {
      await page.mouse.move(x + 2 * step, y - step)
      await expect.poll(async () => (await sent()).answer, { timeout: PATIENCE_MS }).toBeGreaterThan(answered + step - 1)
    }
    const { answer: _, ...after } = await sent()
    expect(after).toEqual(rest)
    await page.mouse.up()
    await calm()
  },
  4 * PATIENCE_MS,
)
