import { fieldWords, onSiteWords, sheetWords, type Voice } from '@soakline/drawing'
import type { Locator, Page } from 'playwright-core'
import { readPlan, stepOnEarth } from 'soakline/plan'
import { expect, test } from 'vitest'
import { axeFindings } from '../helpers/axe.js'
import { drop, fileLine, houseForTests, openSheet, openTab, PATIENCE_MS, planText } from '../helpers/open-sheet.js'
import { smallTargets } from '../helpers/reachable.js'

// Out at the stakes with a phone: the way to a stake, readings by big keys, nothing lost when the page is loaded again.

const house = houseForTests()

/** A phone that may be asked where it is. */
const SCREEN = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, permissions: ['geolocation'] }

/** Opens the stakes; no terrains are tried, which would take most of the time. */
async function goOut(page: Page, voice: Voice): Promise<Locator> {
  await drop(page, { name: 'quick.json', bytes: '{"triedTerrains": 0}' })
  await fileLine(page, 'quick.json')
  await page.getByRole('tab', { name: sheetWords(voice).leaf.work, exact: true }).click()
  await page.getByRole('button', { name: fieldWords(voice).open }).click({ timeout: 3 * PATIENCE_MS })
  const panel = page.locator('.field-panel')
  await panel.waitFor()
  return panel
}

/** Types a number by the big keys, with the reader's decimal mark. */
async function keyIn(panel: Locator, text: string): Promise<void> {
  for (const sign of text) await panel.locator('.number-pad').getByRole('button', { name: sign, exact: true }).click()
}

test(
  'failure 92: own position: asked for on a tap only, shown with its doubt, refused beyond the limit, never sent anywhere',
  async () => {
    const voice: Voice = { language: 'en', units: 'metric' }
    const say = fieldWords(voice)
    const sheet = await openSheet(house, {
      screen: { ...SCREEN, locale: 'en-GB' },
      before: () => {
        const device = navigator.geolocation
        const real = device.watchPosition.bind(device)
        const page = window as unknown as { asked: number }
        page.asked = 0
        device.watchPosition = (...sent) => {
          page.asked++
          return real(...sent)
        }
      },
    })
    const { page, context } = sheet
    const asked = (): Promise<number> => page.evaluate(() => (window as unknown as { asked: number }).asked)
    const panel = await goOut(page, voice)
    const plan = readPlan(await planText(page))
    const [lon, lat] = plan.lines[0]!.path[0]!
    const away = stepOnEarth([lon, lat], [lon - 0.0005, lat - 0.0005])
    const distance_m = Math.hypot(away.east_m, away.north_m)
    expect(await asked()).toBe(0)

    await context.setGeolocation({ longitude: lon - 0.0005, latitude: lat - 0.0005, accuracy: 6 })
    await panel.getByRole('button', { name: say.where }).click()
    await panel.getByText(say.accuracy('6 m')).waitFor()
    expect(await asked()).toBe(1)
    // The first stake stands at the line's first vertex; its place is known to some centimetres.
    expect(await panel.locator('.own-glance').textContent()).toBe(
      say.walk(`${Math.round(distance_m)} m`, String(Math.round((Math.atan2(-away.east_m, -away.north_m) * 180) / Math.PI)), 'northeast'),
    )
    await panel.getByText(say.more).click()
    await panel.getByText(/off by about/).waitFor()

    await context.setGeolocation({ longitude: lon - 0.0005, latitude: lat - 0.0005, accuracy: 25 })
    await panel.getByText(say.tooRough('25 m', '10 m')).waitFor()
    expect(await panel.locator('.own-glance').count()).toBe(0)

    await context.setGeolocation({ longitude: lon, latitude: lat, accuracy: 5 })
    await panel.getByText(say.here('5 m')).waitFor()

    await panel.getByRole('button', { name: say.stopWhere }).click()
    await panel.getByRole('button', { name: say.where }).waitFor()
    expect(JSON.stringify(readPlan(await planText(page)))).toBe(JSON.stringify(plan))

    await context.clearPermissions()
    await panel.getByRole('button', { name: say.where }).click()
    await panel.getByText(say.position.denied).waitFor()
    await sheet.calm()
  },
  8 * PATIENCE_MS,
)

test(
  'in Spanish with feet, in the sun: readings by big keys say how much to dig, are kept in the plan, and a reload comes back to the same stake',
  async () => {
    const voice: Voice = { language: 'es', units: 'us' }
    const [say, work] = [fieldWords(voice), onSiteWords(voice)]
    const first = await openSheet(house, {
      screen: { ...SCREEN, locale: 'es-ES' },
      before: () => localStorage.setItem('soakline-theme', 'sunlight'),
    })
    const { page, context } = first
    await page.getByRole('button', { name: sheetWords(voice).bar.more, exact: true }).click()
    await page.getByRole('radio', { name: sheetWords(voice).bar.unitNames.us }).check()
    await page.keyboard.press('Escape')
    const panel = await goOut(page, voice)
    expect(await page.locator('html').getAttribute('data-theme')).toBe('sunlight')

    // The laser: 4.00 feet on stake 1; then the staff must read so much that the bed is reached.
    await keyIn(panel, '4,00')
    await panel.getByRole('button', { name: say.take }).click()
    const must = panel.locator('.field-number')
    await must.waitFor()
    const wanted = Number((await must.textContent())!.replace(' pies', '').replace(',', '.'))
    expect(wanted).toBeGreaterThan(4)
    // One foot higher on the staff's scale: one foot too low.
    await keyIn(panel, (wanted + 1).toFixed(2).replace('.', ','))
    await expect.poll(() => must.textContent()).toMatch(new RegExp(`^${say.work.fill} (11,9|12|12,0)\\d? pulg$`))
    await panel.locator('.field-entry input').fill('')
    await keyIn(panel, wanted.toFixed(2).replace('.', ','))
    await expect.poll(() => must.textContent()).toContain(say.work.keep)
    await panel.getByRole('button', { name: say.take }).click()
    await panel.getByText(/^Guardado aquí: fondo/).waitFor()

    // The water level at the next stake starts from the bed that was read.
    await panel.locator('.field-keep').getByRole('button', { name: say.next }).click()
    await panel.getByLabel(say.tool).selectOption('water')
    await panel.getByText(say.fromRead).waitFor()
    await keyIn(panel, '3')
    await panel.getByRole('button', { name: say.take }).click()
    await panel
      .getByText(new RegExp(say.there('1')))
      .first()
      .waitFor()
    await keyIn(panel, '3,5')
    await panel.getByRole('button', { name: say.take }).click()
    await panel.getByText(/^Guardado aquí: fondo/).waitFor()
    await panel.getByLabel(say.tool).selectOption('frame')
    const steps = panel.locator('.field-count')
    await panel.getByRole('button', { name: say.step, exact: true }).click()
    expect(await steps.textContent()).toContain('1 de ')

    // Nothing is smaller than a thumb here, nothing stands beside the page, axe finds nothing.
    expect(await smallTargets(page, '.field-panel', 44)).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0)
    expect(await axeFindings(page, 'at the stake', '.margin')).toEqual([])
    const kept = readPlan(await planText(page)).built!.readings
    expect(kept.map(r => r.what)).toEqual(['bed', 'bed'])

    // The phone sleeps, the page is gone; it comes back at stake 2 with both readings and the laser's backsight.
    await page
      .getByText(/Guardado en este navegador/)
      .first()
      .waitFor({ state: 'attached' })
    await page.close()
    const second = await openTab(context, house.url)
    const again = second.page.locator('.field-panel')
    await again.waitFor({ timeout: 4 * PATIENCE_MS })
    await again.getByRole('heading', { name: /^Estaca 2 de/ }).waitFor()
    expect(await again.getByLabel(say.tool).inputValue()).toBe('frame')
    await again.getByLabel(say.tool).selectOption('staff')
    await again.getByText(`${say.backsight}: 4,00 pies`).waitFor()
    expect(readPlan(await planText(second.page)).built!.readings).toEqual(kept)
    await again.getByRole('button', { name: say.close }).click()
    await second.page.getByText(work.lead).waitFor()
    await second.calm()
  },
  8 * PATIENCE_MS,
)
