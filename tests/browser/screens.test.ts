import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { AxeBuilder } from '@axe-core/playwright'
import { sheetWords } from '@soakline/drawing'
import type { Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest'
import { answers, drop, fileLine, type House, openHouse, openSheet, PATIENCE_MS } from '../helpers/open-sheet.js'
import { repositoryRoot } from '../helpers/repository.js'

// Every screen on desk and phone, in both languages, paper and night: a picture for people's eyes in tests/artefacts/, and axe-core finds nothing against it.

const artefacts = join(repositoryRoot, 'tests/artefacts')
let house: House
beforeAll(async () => {
  mkdirSync(artefacts, { recursive: true })
  house = await openHouse()
})
afterEach(() => house?.clear())
afterAll(() => house?.close())

const SCREENS = {
  desktop: { viewport: { width: 1280, height: 800 } },
  phone: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
} as const

const CASES = [
  { size: 'desktop', language: 'en', dark: false },
  { size: 'desktop', language: 'es', dark: true },
  { size: 'phone', language: 'es', dark: true },
  { size: 'phone', language: 'en', dark: false },
] as const

/** What axe finds, in short. */
async function found(page: Page, where: string, alone: string | null): Promise<string[]> {
  const axe = new AxeBuilder({ page })
  if (alone !== null) axe.include(alone)
  const { violations } = await axe.analyze()
  return violations.flatMap(v =>
    v.nodes.map(node => `${where}: ${v.id} ${node.target.join(' ')} ${node.failureSummary?.split('\n')[1]?.trim() ?? ''}`),
  )
}

for (const { size, language, dark } of CASES)
  test(
    `every screen: ${size}, ${language}, ${dark ? 'night' : 'paper'}`,
    async () => {
      const locale = language === 'en' ? 'en-US' : 'es-CR'
      const sheet = await openSheet(house, { screen: { ...SCREENS[size], locale, colorScheme: dark ? 'dark' : 'light' } })
      const { page } = sheet
      const words = sheetWords({ language })
      let number = 0
      const picture = async (what: string) => {
        await page.waitForSelector('[data-ready]', { timeout: 2 * PATIENCE_MS })
        await page.screenshot({ path: join(artefacts, `${size}-${language}-${String(++number).padStart(2, '0')}-${what}.png`) })
      }
      const all: string[] = []
      const check = async (where: string, alone: string | null) => all.push(...(await found(page, where, alone)))
      await answers(page)
      await picture('spur')
      await page.getByRole('button', { name: new RegExp(words.demo.bench) }).click()
      await page.locator('.answer-fails').first().waitFor({ state: 'attached' })
      await picture('bench')
      for (const [k, question] of ['ridge', 'building', 'spill'].entries()) {
        await page.locator('.questions button').nth(k).click()
        await page.locator('.answer-focused .why').waitFor()
        await picture(`asked-${question}`)
        if (question === 'building') await check('the whole page', null)
        await page.locator('.questions button').nth(k).click()
      }
      await page.getByRole('button', { name: words.tool.fit }).click()
      for (const leaf of ['drawn', 'settings', 'ground'] as const) {
        await page.getByRole('tab', { name: words.leaf[leaf] }).click()
        await page.locator(`.leaf-${leaf}`).waitFor()
        await picture(leaf)
        await page.locator('.leaf details').evaluateAll(list => {
          for (const details of list) (details as HTMLDetailsElement).open = true
        })
        await check(leaf, '.margin')
      }
      await page.getByRole('tab', { name: words.leaf.drawn }).click()
      await page.locator('.feature-list button').first().click()
      await picture('chosen-building')
      await check('a chosen thing', '.desk')
      await page.getByRole('button', { name: words.tool.point }).click()
      await page.locator('.drawing-panel').waitFor()
      await picture('pointing')
      await check('pointing', '.desk')
      await page.getByRole('button', { name: words.mode.cancel }).click()
      for (const [what, name] of [
        ['menu', words.bar.more],
        ['help', words.bar.help],
        ['report', words.bar.print],
      ] as const) {
        await page.getByRole('button', { name: words.bar.more, exact: true }).click()
        if (what !== 'menu') await page.getByRole('dialog').getByRole('button', { name, exact: true }).click()
        if (what === 'report') await page.frameLocator('dialog iframe').locator('figure.plan svg').first().waitFor()
        await picture(`dialog-${what}`)
        await check(what, 'dialog')
        await page.keyboard.press('Escape')
        await page.getByRole('dialog').waitFor({ state: 'detached' })
      }
      await drop(page, { name: 'photo.tif', bytes: 'not a raster' })
      await fileLine(page, 'photo.tif')
      await page.getByRole('tab', { name: words.leaf.answers }).click()
      await picture('refused-file')
      expect(number).toBe(14)
      expect([...new Set(all)]).toEqual([])
      await sheet.calm()
    },
    8 * PATIENCE_MS,
  )
