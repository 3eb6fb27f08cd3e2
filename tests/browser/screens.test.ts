import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { fieldWords, onSiteWords, sheetWords } from '@soakline/drawing'
import { beforeAll, expect, test } from 'vitest'
import { axeFindings } from '../helpers/axe.js'
import { EVERY_READER } from '../helpers/every-reader.js'
import { answers, drop, fileLine, houseForTests, openSheet, PATIENCE_MS } from '../helpers/open-sheet.js'
import { repositoryRoot } from '../helpers/repository.js'

// Every screen on desk and phone, in both languages: a picture for people's eyes in tests/artefacts/ (not committed: browsers and fonts differ), and
// axe-core finds nothing against it. In `npm test` the one with the least room for its words; `npm run check:long -- screens` makes all twelve.

const artefacts = join(repositoryRoot, 'tests/artefacts')
const house = houseForTests()
beforeAll(() => mkdirSync(artefacts, { recursive: true }))

const SCREENS = {
  desktop: { viewport: { width: 1280, height: 800 } },
  phone: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
} as const

/** Beside the demo's line on the bench. */
const STANDING = { longitude: -32.8647, latitude: 36.5071, accuracy: 6 }

const LANGUAGES = ['en', 'es'] as const
const LOOKS = ['paper', 'night', 'sunlight'] as const

const CASES = (['desktop', 'phone'] as const)
  .flatMap(size => LANGUAGES.flatMap(language => LOOKS.map(look => ({ size, language, look }))))
  .filter(({ size, language, look }) => EVERY_READER || (size === 'phone' && language === 'es' && look === 'night'))

for (const { size, language, look } of CASES)
  test(
    `every screen: ${size}, ${language}, ${look}`,
    async () => {
      const locale = language === 'en' ? 'en-US' : 'es-CR'
      const sheet = await openSheet(house, {
        screen: {
          ...SCREENS[size],
          locale,
          colorScheme: look === 'night' ? 'dark' : 'light',
          permissions: ['geolocation'],
          geolocation: STANDING,
        },
        firstVisit: true,
      })
      const { page } = sheet
      const words = sheetWords({ language })
      let number = 0
      const picture = async (what: string) => {
        await page.waitForSelector('[data-ready]', { timeout: 2 * PATIENCE_MS })
        await page.screenshot({ path: join(artefacts, `${size}-${language}-${look}-${String(++number).padStart(2, '0')}-${what}.png`) })
      }
      const all: string[] = []
      const check = async (where: string, alone: string | null) => all.push(...(await axeFindings(page, where, alone)))
      await answers(page)
      if (look === 'sunlight') {
        await page.getByRole('button', { name: words.bar.more, exact: true }).click()
        await page.getByRole('radio', { name: words.bar.themes.sunlight }).check()
        await page.keyboard.press('Escape')
      }
      await picture('first-visit')
      await check('the first visit', '.guided-look')
      await page.locator('.guided-look button').last().click()
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
      await page.getByRole('tab', { name: words.leaf.work, exact: true }).click()
      await page
        .locator('.work .work-group')
        .first()
        .waitFor({ timeout: 2 * PATIENCE_MS })
      await picture('work')
      await page.getByRole('button', { name: fieldWords({ language }).open }).click()
      const panel = page.locator('.field-panel')
      await panel.getByRole('button', { name: fieldWords({ language }).where }).click()
      await panel.locator('.own-glance').waitFor()
      await picture('at-the-stake')
      for (const digit of ['1', '2']) await panel.locator('.number-pad').getByRole('button', { name: digit, exact: true }).click()
      await panel.getByRole('button', { name: fieldWords({ language }).take }).click()
      for (const digit of ['1', '3']) await panel.locator('.number-pad').getByRole('button', { name: digit, exact: true }).click()
      await panel.locator('.field-word').waitFor()
      await picture('reading')
      await check('at the stake', '.margin')
      await panel.getByRole('button', { name: fieldWords({ language }).close }).click()
      await page.getByText(onSiteWords({ language }).lead).waitFor()
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
      expect(number).toBe(18)
      expect([...new Set(all)]).toEqual([])
      await sheet.calm()
    },
    14 * PATIENCE_MS,
  )
