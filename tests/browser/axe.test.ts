import { AxeBuilder } from '@axe-core/playwright'
import { type Language, sheetWords } from '@soakline/drawing'
import type { Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest'
import { answers, DESKTOP, type House, openHouse, openSheet, PATIENCE_MS, PHONE } from '../helpers/open-sheet.js'

// axe-core finds nothing against the sheet: every leaf and dialog, on desk and phone, in both languages, paper and night.

let house: House
beforeAll(async () => {
  house = await openHouse()
})
afterEach(() => house?.clear())
afterAll(() => house?.close())

const CASES = [
  { name: 'desktop, English, paper', screen: DESKTOP, language: 'en', dark: false },
  { name: 'phone, Spanish, night', screen: PHONE, language: 'es', dark: true },
  { name: 'phone, English, paper', screen: PHONE, language: 'en', dark: false },
  { name: 'desktop, Spanish, night', screen: DESKTOP, language: 'es', dark: true },
] as const

/** What axe finds, in short. */
async function found(page: Page, where: string, alone?: string): Promise<string[]> {
  const axe = new AxeBuilder({ page })
  if (alone) axe.include(alone)
  const { violations } = await axe.analyze()
  return violations.flatMap(v =>
    v.nodes.map(node => `${where}: ${v.id} ${node.target.join(' ')} ${node.failureSummary?.split('\n')[1]?.trim() ?? ''}`),
  )
}

for (const { name, screen, language, dark } of CASES)
  test(
    `axe: ${name}`,
    async () => {
      const locale = { en: 'en-GB', es: 'es-CR' }[language satisfies Language]
      const sheet = await openSheet(house, { screen: { ...screen, locale, colorScheme: dark ? 'dark' : 'light' } })
      const { page } = sheet
      const words = sheetWords({ language })
      const all: string[] = []
      await answers(page)
      await page.locator('.questions button').nth(1).click()
      await page.locator('.answer-focused .why').waitFor()
      all.push(...(await found(page, 'the whole page')))
      for (const leaf of ['drawn', 'settings', 'ground'] as const) {
        await page.getByRole('tab', { name: words.leaf[leaf] }).click()
        await page.locator(`.leaf-${leaf}`).waitFor()
        await page.locator('.leaf details').evaluateAll(list => {
          for (const details of list) (details as HTMLDetailsElement).open = true
        })
        all.push(...(await found(page, leaf, '.margin')))
      }
      await page.getByRole('tab', { name: words.leaf.drawn }).click()
      await page.locator('.feature-list button').first().click()
      all.push(...(await found(page, 'a chosen thing', '.desk')))
      await page.getByRole('button', { name: words.tool.point }).click()
      await page.locator('.drawing-panel').waitFor()
      all.push(...(await found(page, 'pointing', '.desk')))
      await page.getByRole('button', { name: words.mode.cancel }).click()
      const open = async (what: string, last = false) => {
        await page.getByRole('button', { name: words.bar.more, exact: true }).click()
        const menu = page.getByRole('dialog')
        await menu.waitFor()
        if (what === words.bar.more) all.push(...(await found(page, what, 'dialog')))
        else {
          await menu.getByRole('button', { name: what, exact: true }).click()
          if (last) await page.locator('dialog iframe').waitFor()
          all.push(...(await found(page, what, 'dialog')))
        }
        await page.keyboard.press('Escape')
        await page.getByRole('dialog').waitFor({ state: 'detached' })
      }
      await open(words.bar.more)
      await open(words.bar.help)
      await open(words.bar.print, true)
      expect([...new Set(all)]).toEqual([])
    },
    4 * PATIENCE_MS,
  )
