import { sheetWords, type Voice } from '@soakline/drawing'
import type { Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest'
import { axeFindings } from '../helpers/axe.js'
import { drop, type House, openHouse, openSheet, PATIENCE_MS } from '../helpers/open-sheet.js'
import { beyondTheEdge, focusNow, smallTargets } from '../helpers/reachable.js'

// For everybody: small screens, large letters, the keyboard alone, less motion, more contrast. WCAG 2.2, by its numbers.

let house: House
beforeAll(async () => {
  house = await openHouse()
})
afterEach(() => house?.clear())
afterAll(() => house?.close())

const LEAVES = ['answers', 'drawn', 'settings', 'ground', 'work'] as const

/** Goes through the leaves, with everything in them unfolded. */
async function eachLeaf(page: Page, voice: Voice, look: (leaf: string) => Promise<void>): Promise<void> {
  const say = sheetWords(voice)
  for (const leaf of LEAVES) {
    await page.getByRole('tab', { name: say.leaf[leaf], exact: true }).click()
    await page.locator(`.leaf-${leaf}`).waitFor()
    if (leaf === 'work')
      await page
        .locator('.work .work-group')
        .first()
        .waitFor({ timeout: 2 * PATIENCE_MS })
    await page.locator('#leaf details').evaluateAll(all => {
      for (const details of all) (details as HTMLDetailsElement).open = true
    })
    await look(leaf)
  }
}

const quick = (page: Page): Promise<void> => drop(page, { name: 'quick.json', bytes: '{"triedTerrains": 0}' })

test(
  'reflow: at 320 pixels, in Spanish, with letters spaced out, nothing runs out of the page and every target is at least 24 pixels',
  async () => {
    const voice: Voice = { language: 'es', units: 'metric' }
    const sheet = await openSheet(house, {
      screen: { viewport: { width: 320, height: 640 }, locale: 'es-ES', hasTouch: true, isMobile: true },
      drawn: false,
    })
    const { page } = sheet
    await quick(page)
    // Text spacing: WCAG 2.2, 1.4.12. The page's policy allows no style from elsewhere: it is set by script, as a reader's own style would.
    await page.evaluate(() => {
      const reader = new CSSStyleSheet()
      reader.replaceSync(
        '* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important } p { margin-bottom: 2em !important }',
      )
      document.adoptedStyleSheets = [...document.adoptedStyleSheets, reader]
    })
    const found: string[] = []
    await eachLeaf(page, voice, async leaf => {
      found.push(...(await beyondTheEdge(page)).map(one => `${leaf}: ${one}`))
      found.push(...(await smallTargets(page, 'body', 24)).map(one => `${leaf}: ${one}`))
      const wide = await page.locator('#leaf').evaluate(room => room.scrollWidth - room.clientWidth)
      if (wide > 1 && leaf !== 'answers') found.push(`${leaf}: its content is ${wide} px wider than the page`)
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(320)
    })
    await page.getByRole('button', { name: sheetWords(voice).bar.more, exact: true }).click()
    found.push(...(await beyondTheEdge(page)).map(one => `menu: ${one}`))
    expect([...new Set(found)]).toEqual([])
    await sheet.calm()
  },
  8 * PATIENCE_MS,
)

test(
  'by Tab through the whole page: the focus is always seen, never under something else, in the order of the page, and comes round',
  async () => {
    const sheet = await openSheet(house, { screen: { viewport: { width: 1000, height: 640 } } })
    const { page } = sheet
    await quick(page)
    const passed: string[] = []
    const faults: string[] = []
    await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur())
    for (let k = 0; k < 140; k++) {
      await page.keyboard.press('Tab')
      if (await page.evaluate(() => document.activeElement === document.body)) break
      const now = await focusNow(page)
      if (!now.outlined) faults.push(`${now.name}: no outline`)
      if (now.covered) faults.push(`${now.name}: covered`)
      passed.push(now.name)
    }
    expect(faults).toEqual([])
    expect(passed.length).toBeGreaterThan(20)
    // Bar, plan with its tools, margin, the three questions, sections.
    const say = sheetWords({ language: 'en' })
    const at = (name: string): number => passed.findIndex(one => one.startsWith(name))
    const order = [say.skipToAnswers, say.bar.open, say.tool.point, say.leaf.answers, 'Which ridge', say.section.slider].map(at)
    expect(order.every(place => place >= 0)).toBe(true)
    expect([...order].sort((a, b) => a - b)).toEqual(order)
    await sheet.calm()
  },
  8 * PATIENCE_MS,
)

test(
  'axe-core finds nothing in any mode and at any question about a file; letters keep their contrast on every leaf in the sun, at night and where more is asked for',
  async () => {
    const voice: Voice = { language: 'es', units: 'us' }
    const say = sheetWords(voice)
    const sheet = await openSheet(house, { screen: { viewport: { width: 1000, height: 640 }, locale: 'es-US' }, drawn: false })
    const { page } = sheet
    await quick(page)
    const found: string[] = []
    // What the looks differ in is colour; the rest is looked at on every screen in `screens.test.ts`.
    for (const [theme, contrast] of [
      ['sunlight', 'no-preference'],
      ['sunlight', 'more'],
      ['night', 'more'],
      ['paper', 'more'],
    ] as const) {
      await page.emulateMedia({ contrast })
      await page.getByRole('button', { name: say.bar.more, exact: true }).click()
      await page.getByRole('radio', { name: say.bar.themes[theme] }).check()
      await page.keyboard.press('Escape')
      expect(await page.locator('html').getAttribute('data-theme')).toBe(theme)
      await eachLeaf(page, voice, async leaf => {
        found.push(...(await axeFindings(page, `${theme}, ${contrast}, ${leaf}`, 'body', ['color-contrast'])))
      })
    }
    for (const key of ['l', 'd']) {
      await page.locator('#margin').focus()
      await page.keyboard.press(key)
      await page.locator('.drawing-panel').waitFor()
      found.push(...(await axeFindings(page, `mode ${key}`)))
      await page.keyboard.press('Escape')
    }
    await drop(page, {
      name: 'things.geojson',
      bytes:
        '{"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[-32.863,36.507]}}]}',
    })
    await page.getByRole('heading', { name: say.ask.kindTitle }).waitFor({ timeout: 2 * PATIENCE_MS })
    await drop(page, { name: 'heights.asc', bytes: `ncols 4\nnrows 4\nxllcorner 0\nyllcorner 0\ncellsize 1\n${'1 2 3 4\n'.repeat(4)}` })
    await page.getByRole('heading', { name: say.ask.title }).waitFor({ timeout: 2 * PATIENCE_MS })
    found.push(...(await axeFindings(page, 'questions')))
    expect([...new Set(found)]).toEqual([])
    await sheet.calm()
  },
  10 * PATIENCE_MS,
)

test(
  'less motion and forced colors: nothing moves by itself, and what is chosen is still told apart',
  async () => {
    const sheet = await openSheet(house, {
      screen: { viewport: { width: 1000, height: 640 }, forcedColors: 'active' } as never,
      drawn: false,
    })
    const { page } = sheet
    const moving = await page.evaluate(
      () =>
        [...document.querySelectorAll('*')].filter(element => {
          const { transitionDuration, animationName, animationDuration } = getComputedStyle(element)
          return (
            transitionDuration.split(',').some(part => Number.parseFloat(part) > 0) ||
            (animationName !== 'none' && Number.parseFloat(animationDuration) > 0)
          )
        }).length,
    )
    expect(moving).toBe(0)
    const grounds = await page.locator('.leaves [role=tab]').evaluateAll(tabs => tabs.map(tab => getComputedStyle(tab).backgroundColor))
    expect(grounds[0]).not.toBe(grounds[1])
    await sheet.calm()
  },
  4 * PATIENCE_MS,
)
