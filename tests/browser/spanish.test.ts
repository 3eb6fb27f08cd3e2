import { type SheetWords, sheetWords, wordsOf } from '@soakline/drawing'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { answers, houseForTests, openSheet } from '../helpers/open-sheet.js'

// In Spanish with feet nothing English or metric is left on the sheet.

const house = houseForTests()

/** Every sentence of a dictionary that is not made by a function. */
function leaves(words: unknown, found: string[] = []): string[] {
  if (typeof words === 'string') found.push(words.trim())
  else if (typeof words === 'object' && words !== null) for (const part of Object.values(words)) leaves(part, found)
  return found
}

const english = { language: 'en', units: 'us' } as const
const spanish = { language: 'es', units: 'us' } as const
const inSpanish = new Set([...leaves(sheetWords(spanish)), ...leaves(wordsOf(spanish))])
const onlyEnglish = new Set(
  [...leaves(sheetWords(english)), ...leaves(wordsOf(english))].filter(text => text.length > 1 && !inSpanish.has(text)),
)

/** What can be read or is read aloud: the page's own pieces of text, labels and titles. A source stands as it was published, in its own units. */
const pieces = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const said: string[] = []
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT | NodeFilter.SHOW_ELEMENT)
    for (let node = walk.nextNode(); node; node = walk.nextNode())
      if (node instanceof Text) {
        if (!node.parentElement?.closest('cite')) said.push(node.data.trim())
      } else if (node instanceof HTMLElement || node instanceof SVGElement)
        for (const name of ['aria-label', 'title', 'placeholder']) said.push(node.getAttribute(name)?.trim() ?? '')
    return said.filter(text => text !== '')
  })

/** A tool's own size, told in both: 10 m (33 pies). */
const IN_BOTH = /\d+ m \([\d,]+ pies\)/g

/** Names of hosts are no measures, whatever stands in them. */
const withoutHosts = (text: string): string => text.replace(/[\w-]+(\.[\w-]+){2,}/g, '')

test('no English and no meters are left on any leaf or dialog', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  await page.getByRole('radio', { name: 'Español' }).check()
  await page.getByRole('radio', { name: 'pies' }).check()
  await expect.poll(() => page.evaluate(() => document.documentElement.lang)).toBe('es')
  const words: SheetWords = sheetWords(spanish)
  const left = new Map<string, string>()
  const look = async (where: string) => {
    for (const text of await pieces(page))
      if (onlyEnglish.has(text) && text !== 'English') left.set(text, where)
      else if (/\d\s?(m|m²|m³|mm|km|ha)(?!\p{L})/u.test(withoutHosts(text).replace(IN_BOTH, ''))) left.set(text, where)
  }
  await answers(page)
  await page.locator('.answer summary').evaluateAll(all => {
    for (const summary of all) (summary as HTMLElement).click()
  })
  await page.locator('.answer .why').last().waitFor()
  await look('answers')
  const listed = (await answers(page)).map(a => a.text).join(' ')
  expect(listed).toMatch(/pies/)
  for (const [leaf, name] of Object.entries(words.leaf)) {
    await page.getByRole('tab', { name }).click()
    await page.locator(`.leaf-${leaf}`).waitFor()
    await page.locator('.leaf details').evaluateAll(all => {
      for (const details of all) (details as HTMLDetailsElement).open = true
    })
    await look(leaf)
  }
  await page.getByRole('tab', { name: words.leaf.drawn }).click()
  await page.locator('.feature-list button').first().click()
  await look('a chosen thing')
  await page.getByRole('button', { name: words.tool.point }).click()
  await look('pointing')
  await page.getByRole('button', { name: words.mode.cancel }).click()
  for (const name of [words.bar.more, words.bar.help]) {
    await page.getByRole('button', { name, exact: true }).first().click()
    await page.getByRole('dialog').waitFor()
    await look(`dialog ${name}`)
    await page.keyboard.press('Escape')
    await page.getByRole('dialog').waitFor({ state: 'detached' })
  }
  await page.getByRole('button', { name: words.bar.print }).click()
  const report = page.getByRole('dialog').frameLocator('iframe').locator('body')
  await report.locator('svg').first().waitFor()
  expect(await report.textContent()).toMatch(/pies/)
  expect(Object.fromEntries(left)).toEqual({})
  await sheet.calm()
})
