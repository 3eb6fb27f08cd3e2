import { sheetWords, type Voice } from '@soakline/drawing'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { axeFindings } from '../helpers/axe.js'
import { drop, fileLine, houseForTests, openSheet, PATIENCE_MS } from '../helpers/open-sheet.js'
import { beyondTheEdge, focusNow, smallTargets } from '../helpers/reachable.js'

// For everybody: small screens, large letters, the keyboard alone, less motion, more contrast. WCAG 2.2, by its numbers.

const house = houseForTests()

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

/** Inks that letters are set in, papers that they stand on, and rules that bound what can be pressed. */
const INKS = ['--ink', '--ink-soft', '--ink-dim', '--sepia', '--ditch', '--holds', '--watch', '--fails', '--unknown']
const PAPERS = ['--paper', '--paper-raised', '--wash-star', '--wash-fails']
const RULES = ['--control-rule', '--water']

/** Relative luminance of `#rrggbb`, or of `#rgb` as a build writes it. Source: WCAG 2.2, definition. */
function luminance(given: string): number {
  const colour = given.length === 4 ? given.replace(/[0-9a-f]/gi, '$&$&') : given
  const [r, g, b] = [1, 3, 5]
    .map(k => Number.parseInt(colour.slice(k, k + 2), 16) / 255)
    .map(c => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!
}
const contrast = (a: string, b: string): number => {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y)
  return (high! + 0.05) / (low! + 0.05)
}

test(
  'letters stand out by 4.5 and bounds by 3 from every paper, in each look, and where more contrast is asked for; axe-core finds nothing in any mode and at any question',
  async () => {
    const voice: Voice = { language: 'es', units: 'us' }
    const say = sheetWords(voice)
    const sheet = await openSheet(house, { screen: { viewport: { width: 1000, height: 640 }, locale: 'es-US' } })
    const { page } = sheet
    await quick(page)
    const weak: string[] = []
    for (const asked of ['no-preference', 'more'] as const) {
      await page.emulateMedia({ contrast: asked })
      for (const theme of ['paper', 'night', 'sunlight'] as const) {
        await page.getByRole('button', { name: say.bar.more, exact: true }).click()
        await page.getByRole('radio', { name: say.bar.themes[theme] }).check()
        await page.keyboard.press('Escape')
        expect(await page.locator('html').getAttribute('data-theme')).toBe(theme)
        const colours = await page.evaluate(
          names => Object.fromEntries(names.map(name => [name, getComputedStyle(document.documentElement).getPropertyValue(name).trim()])),
          [...INKS, ...PAPERS, ...RULES, '--on-ditch'],
        )
        const tell = (ink: string, paper: string, least: number): void => {
          const ratio = contrast(colours[ink]!, colours[paper]!)
          if (!(ratio >= least)) weak.push(`${theme}, ${asked}: ${ink} on ${paper} ${ratio.toFixed(2)}`)
        }
        for (const paper of PAPERS) {
          for (const ink of INKS) tell(ink, paper, 4.5)
          for (const rule of RULES) tell(rule, paper, 3)
        }
        tell('--on-ditch', '--ditch', 4.5)
      }
    }
    expect(weak).toEqual([])

    const found: string[] = []
    for (const key of ['l', 'd']) {
      await page.locator('#margin').focus()
      await page.keyboard.press(key)
      await page.locator('.drawing-panel').waitFor()
      found.push(...(await axeFindings(page, `mode ${key}`, '.margin')))
      await page.keyboard.press('Escape')
    }
    await drop(page, {
      name: 'things.geojson',
      bytes:
        '{"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[-32.863,36.507]}}]}',
    })
    await page.getByRole('heading', { name: say.ask.kindTitle }).waitFor({ timeout: 2 * PATIENCE_MS })
    found.push(...(await axeFindings(page, 'question about a layer', '.margin')))
    // One question at a time: the next file waits for it.
    await page.getByRole('button', { name: say.ask.not, exact: true }).click()
    await drop(page, { name: 'heights.asc', bytes: `ncols 4\nnrows 4\nxllcorner 0\nyllcorner 0\ncellsize 1\n${'1 2 3 4\n'.repeat(4)}` })
    await page.getByRole('heading', { name: say.ask.title }).waitFor({ timeout: 2 * PATIENCE_MS })
    found.push(...(await axeFindings(page, 'questions', '.margin')))
    expect([...new Set(found)]).toEqual([])
    await sheet.calm()
  },
  6 * PATIENCE_MS,
)

test(
  'less motion and forced colors: nothing moves by itself, and what is chosen is still told apart',
  async () => {
    const sheet = await openSheet(house, {
      screen: { viewport: { width: 1000, height: 640 }, forcedColors: 'active' } as never,
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

test(
  'single keys can be turned off, the plan is zoomed by buttons, text is pasted, and what changed is told to those who hear the page',
  async () => {
    const sheet = await openSheet(house, { screen: { viewport: { width: 1000, height: 640 } } })
    const { page } = sheet
    const say = sheetWords({ language: 'en' })
    const spoken = page.locator('p.unseen[role=status]')
    await expect.poll(() => spoken.textContent(), { timeout: PATIENCE_MS }).toContain('Which ridge drains here?')

    const scale = page.locator('.plan-scale')
    const drawn = async (): Promise<string> => `${await scale.textContent()} ${JSON.stringify(await scale.boundingBox())}`
    const before = await drawn()
    await page.getByRole('button', { name: say.tool.zoomIn }).click()
    await expect.poll(drawn, { timeout: PATIENCE_MS }).not.toBe(before)

    await page.locator('#margin').focus()
    await page.keyboard.press('l')
    await page.locator('.drawing-panel').waitFor()
    await page.keyboard.press('Escape')
    await page.locator('.drawing-panel').waitFor({ state: 'detached' })
    await page.keyboard.press('?')
    await page.getByRole('dialog').getByLabel(say.help.singleKeys).uncheck()
    await page.keyboard.press('Escape')
    await page.getByRole('dialog').waitFor({ state: 'detached' })
    await page.locator('#margin').focus()
    await page.keyboard.press('l')
    await page.keyboard.press('?')
    expect(await page.locator('.drawing-panel, dialog[open]').allTextContents()).toEqual([])

    await page.evaluate(() => {
      const clipboardData = new DataTransfer()
      clipboardData.setData('text/plain', 'duration_h,chance_per_year,depth_mm\n1,0.1,40\n24,0.1,90\n')
      document.getElementById('margin')!.dispatchEvent(new ClipboardEvent('paste', { bubbles: true, cancelable: true, clipboardData }))
    })
    expect(await (await fileLine(page, 'pasted.csv')).textContent()).toContain(say.file.what.rain(2))
    await sheet.calm()
  },
  4 * PATIENCE_MS,
)
