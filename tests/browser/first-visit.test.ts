import { LOOK_STATIONS, lookWords, sheetWords, type Voice } from '@soakline/drawing'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { axeFindings } from '../helpers/axe.js'
import { EVERY_READER } from '../helpers/every-reader.js'
import { answers, houseForTests, openSheet, openTab, PATIENCE_MS, PHONE, tabTo } from '../helpers/open-sheet.js'
import { focusNow } from '../helpers/reachable.js'

// At the first visit a guided look stands beside the demo: it can be walked through by keyboard, left at any time, and had again.

const house = houseForTests()

/** What the look says now. */
const standing = async (page: Page): Promise<string> => (await page.locator('.guided-look h2').textContent()) ?? ''

const READERS: readonly (readonly [Voice, string, object])[] = [
  [{ language: 'en', units: 'metric' }, 'en-GB', { viewport: { width: 1000, height: 700 } }],
  [{ language: 'es', units: 'metric' }, 'es-ES', { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true }],
]

for (const [voice, locale, screen] of EVERY_READER ? READERS : READERS.slice(1))
  test(
    `the first visit shows the demo with a guided look; by keyboard to its end, never again unless it is asked for: ${locale}`,
    async () => {
      const say = lookWords(voice)
      const first = await openSheet(house, { screen: { ...screen, locale }, firstVisit: true })
      const { page, context } = first
      expect(await standing(page)).toBe(say.stations.plan.title)
      // It does not take the keyboard from whoever came for something else, and is a named part for those who hear the page.
      expect(await page.evaluate(() => document.activeElement?.closest('.guided-look'))).toBeNull()
      await page.getByRole('region', { name: say.name }).waitFor()
      expect(await axeFindings(page, 'guided look', '.margin')).toEqual([])

      await tabTo(page, new RegExp(`^${say.next}$`))
      for (const [k, station] of LOOK_STATIONS.entries()) {
        await expect.poll(() => standing(page), { timeout: PATIENCE_MS }).toBe(say.stations[station].title)
        if (k > 0) {
          // The heading has the focus, so that it is read out; the next button is one Tab away.
          await expect.poll(async () => (await focusNow(page)).name, { timeout: PATIENCE_MS }).toBe(say.stations[station].title)
          await page.keyboard.press('Tab')
        }
        const asked = station === 'ridge' ? 0 : station === 'building' || station === 'bench' ? 1 : null
        const pressed = page.locator('.questions button[aria-pressed=true]')
        await expect.poll(() => pressed.count(), { timeout: PATIENCE_MS }).toBe(asked === null ? 0 : 1)
        if (station === 'bench')
          await expect.poll(() => page.locator('.answer-fails.answer-focused').count(), { timeout: PATIENCE_MS }).toBe(1)
        await expect.poll(() => page.locator('.looked-at').count(), { timeout: PATIENCE_MS }).toBe(1)
        await page.keyboard.press('Enter')
      }
      await page.locator('.guided-look').waitFor({ state: 'detached' })
      await expect.poll(() => page.locator('.looked-at').count(), { timeout: PATIENCE_MS }).toBe(0)
      await first.calm()
      await page.close()

      const second = await openTab(context, house.url)
      await answers(second.page)
      expect(await second.page.locator('.guided-look').count()).toBe(0)
      // Had again from the menu, and left with Escape.
      await second.page.getByRole('button', { name: sheetWords(voice).bar.more, exact: true }).click()
      await second.page.getByRole('button', { name: say.again }).click()
      await expect.poll(() => standing(second.page), { timeout: PATIENCE_MS }).toBe(say.stations.plan.title)
      await second.page.locator('.guided-look').getByRole('button', { name: say.next }).click()
      await second.page.keyboard.press('Escape')
      await second.page.locator('.guided-look').waitFor({ state: 'detached' })
      expect(await second.page.evaluate(() => document.activeElement?.id)).toBe('margin')
      await second.calm()
    },
    8 * PATIENCE_MS,
  )

test('on a small phone the look leaves the plan little height, and nothing of it covers the switch between the two places', async () => {
  const { page, calm } = await openSheet(house, { screen: PHONE, firstVisit: true, drawn: false })
  const buttons = page.locator('.demo-switch button')
  expect(await buttons.count()).toBe(2)
  for (const button of await buttons.all()) {
    const onTop = button.evaluate(node => {
      const { left, right, top, bottom } = node.getBoundingClientRect()
      const [middle, inset] = [(left + right) / 2, 4]
      return [top + inset, (top + bottom) / 2, bottom - inset].every(y => node.contains(document.elementFromPoint(middle, y)))
    })
    expect(await onTop, (await button.textContent()) ?? '').toBe(true)
  }
  await calm()
}, 60_000)
