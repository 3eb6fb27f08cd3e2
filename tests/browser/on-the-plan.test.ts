import { AxeBuilder } from '@axe-core/playwright'
import { layerWords, linkWords, measureWords, oneFileWords, placeWords, sheetWords, type Voice } from '@soakline/drawing'
import type { Page } from 'playwright-core'
import { stepOnEarth } from 'soakline/plan'
import { expect, test } from 'vitest'
import { answers, DESKTOP, handle, houseForTests, middleOf, openSheet, PATIENCE_MS, planText } from '../helpers/open-sheet.js'

// What a reader does with the plan besides drawing: measure, read and copy a place, choose layers, come back to a view, save into one file.

const house = houseForTests()

const VOICE: Voice = { language: 'en', units: 'metric' }
const [measure, place, layers] = [measureWords(VOICE), placeWords(VOICE), layerWords(VOICE)]
const SCREEN = { ...DESKTOP, permissions: ['clipboard-read', 'clipboard-write'] }

/** A picker of files that keeps what is written in the page, as the browser's own would on the disk. */
const fakePicker = () => {
  const page = window as unknown as { written: string[]; showSaveFilePicker: unknown }
  page.written = []
  page.showSaveFilePicker = async () => ({
    name: 'hill.soakline.json',
    createWritable: async () => ({ write: async (text: string) => void page.written.push(text), close: async () => undefined }),
  })
}

/** The place under the pointer as the plan tells it, once it comes there from beside the plan. */
async function placeUnder(page: Page, x: number, y: number): Promise<[number, number]> {
  await page.mouse.move(5, 5)
  await page.locator('.reading').waitFor({ state: 'detached' })
  await page.mouse.move(x, y)
  const text = (await page.locator('.reading').textContent())!
  const [latitude, longitude] = /(-?\d+\.\d+), (-?\d+\.\d+)/.exec(text)!.slice(1).map(Number)
  return [longitude!, latitude!]
}

test(
  'measured by mouse and by keys, a place read and copied in three forms, layers put away, a view linked, one file saved into again',
  async () => {
    const sheet = await openSheet(house, { screen: SCREEN, before: fakePicker })
    const { page } = sheet
    const before = await planText(page)
    const middle = await middleOf(handle(page, 'line-through'))
    const panel = page.locator('.measure-panel')

    // The scale bar is as long as the ground under it, and up is north.
    const bar = (await page.locator('.plan-scale-line').boundingBox())!
    const told_m = Number(/^([\d,]+) m$/.exec((await page.locator('.plan-scale-text').textContent())!)![1]!.replace(',', ''))
    const canvas = (await page.locator('canvas.maplibregl-canvas').boundingBox())!
    const y = canvas.y + canvas.height / 2
    const from = await placeUnder(page, canvas.x + 300, y)
    const to = await placeUnder(page, canvas.x + 300 + bar.width, y)
    const above = await placeUnder(page, canvas.x + 300, y - 50)
    const [along, up] = [stepOnEarth(from, to), stepOnEarth(from, above)]
    expect(Math.hypot(along.east_m, along.north_m) / told_m).toBeCloseTo(1, 1.7)
    expect(up.north_m).toBeGreaterThan(5)
    expect(Math.abs(up.east_m)).toBeLessThan(0.5)

    // By mouse: two places as far apart as the scale bar is long; the pointer is told ahead of the tap.
    await page.getByRole('button', { name: measure.tool, exact: true }).click()
    await panel.getByText(measure.panel).waitFor()
    await page.mouse.click(canvas.x + 300, y)
    await panel.getByText(measure.one).waitFor()
    await page.mouse.move(canvas.x + 300 + bar.width, y)
    await expect.poll(() => page.locator('.reading strong').textContent()).toMatch(/^[\d.]+ m, (climbs|falls|the same height)/)
    await page.mouse.click(canvas.x + 300 + bar.width, y)
    await expect.poll(() => panel.textContent()).toMatch(/[\d.]+ m level distance\. The last place lies/)
    const measured_m = Number(/([\d.]+) m level distance/.exec((await panel.textContent())!)![1])
    expect(measured_m / told_m).toBeCloseTo(1, 1.7)
    // By keys: one more place under the crosshair, taken back, and all put away; the plan is as it was.
    await page.locator('canvas.maplibregl-canvas').focus()
    await page.keyboard.press('Shift+ArrowDown')
    await page.keyboard.press('Enter')
    await expect.poll(() => panel.locator('.measured-legs li').count()).toBe(2)
    await expect.poll(() => panel.textContent()).toMatch(/Closed from the last to the first: [\d,.]+ (m²|ha) of level area/)
    await page.keyboard.press('Backspace')
    await expect.poll(() => panel.locator('.measured-legs li').count()).toBe(0)
    await page.keyboard.press('Escape')
    await panel.waitFor({ state: 'detached' })

    // A place: held with the other button, told in three forms, each of which can be copied.
    await page.mouse.click(middle.x, middle.y - 60, { button: 'right' })
    const here = page.locator('.place-panel')
    await here.getByText(`${place.title}.`).waitFor()
    await here.locator('.place-form').nth(2).waitFor()
    const forms = await here.locator('.place-form').allTextContents()
    expect(forms).toEqual([
      expect.stringMatching(/^36\.\d{6}, -32\.\d{6}$/),
      expect.stringMatching(/^36° \d\d\.\d{4}′ N, 32° \d\d\.\d{4}′ W$/),
      expect.stringMatching(/^E \d{6}\.\d, N \d{7}\.\d$/),
    ])
    expect(await here.locator('p').first().textContent()).toMatch(/height [\d.]+ m; slope/)
    for (const [k, text] of forms.entries()) {
      await here.getByRole('button', { name: place.copy }).nth(k).click()
      await expect.poll(() => page.evaluate(() => navigator.clipboard.readText())).toBe(text)
    }
    const { violations } = await new AxeBuilder({ page }).include('.place-panel').analyze()
    expect(violations.map(v => v.id)).toEqual([])
    await here.getByRole('button', { name: place.measure }).click()
    await panel.getByText(measure.one).waitFor()
    await page.keyboard.press('Escape')
    expect(await planText(page)).toBe(before)

    // Layers: one put away, one made faint, another tint; kept in the browser; the legend has its unit.
    const list = page.locator('.layer-list')
    await list.locator('summary').click()
    await list.getByRole('checkbox', { name: layers.group.contours }).uncheck()
    await list.locator('summary', { hasText: layers.hidden('1') }).waitFor()
    await list.getByRole('slider', { name: layers.strength(layers.group['no-go']) }).fill('0.5')
    await list.getByRole('combobox', { name: layers.ramp }).selectOption('dusk')
    expect(await list.locator('.tint-legend').textContent()).toMatch(/^\d+ m\d+ m$/)
    const kept = await page.evaluate(() => [localStorage.getItem('soakline-layers'), localStorage.getItem('soakline-ramp')])
    expect([JSON.parse(kept[0]!).contours, JSON.parse(kept[0]!)['no-go'], kept[1]]).toEqual([0, 0.5, 'dusk'])
    await page.waitForSelector('[data-ready]')
    const axe = await new AxeBuilder({ page }).include('.layer-list').analyze()
    expect(axe.violations.map(v => `${v.id} ${v.nodes[0]?.target.join(' ')}`)).toEqual([])
    await list.getByRole('button', { name: layers.all }).click()
    await list.locator('summary').click()

    // A view by hand and a question stand in the address, as parts of the ground; no coordinate does.
    await page.keyboard.press('1')
    await expect.poll(() => new URL(page.url()).hash).toBe('#demo/-/-/-/ridge')
    await page.getByRole('button', { name: sheetWords(VOICE).tool.zoomIn }).click()
    await expect.poll(() => new URL(page.url()).hash, { timeout: PATIENCE_MS }).toMatch(/^#demo\/0\.\d{5}\/0\.\d{5}\/\d+\.\d\d\/ridge$/)
    const { hash } = new URL(page.url())
    expect(hash).not.toMatch(/36\.5|32\.8/)
    const scale = await page.locator('.plan-scale-text').textContent()
    await page.getByRole('button', { name: sheetWords(VOICE).bar.more }).click()
    await page.getByRole('button', { name: linkWords(VOICE).copy }).click()
    await expect.poll(() => page.evaluate(() => navigator.clipboard.readText())).toBe(page.url())

    // Into one file: chosen once, written again by saving, without another question.
    await page.getByRole('button', { name: sheetWords(VOICE).bar.more }).click()
    await page.getByRole('button', { name: oneFileWords(VOICE).choose }).click()
    const written = () => page.evaluate(() => (window as unknown as { written: string[] }).written)
    await expect.poll(async () => (await written()).length).toBe(1)
    await page.locator('.title-holding input').fill('One file hill')
    await page.locator('.title-holding input').press('Tab')
    await page.keyboard.press('Control+s')
    await expect.poll(async () => (await written()).length).toBe(2)
    expect((JSON.parse((await written())[1]!) as { holding: string }).holding).toBe('One file hill')
    await expect.poll(() => page.locator('.bar .saving').textContent()).toMatch(/in a file|in the file/)

    // Help stands in the same place whatever is looked at; the name typed once stands in the report and in the file's name.
    const help = page.getByRole('button', { name: sheetWords(VOICE).bar.help, exact: true })
    const box = await help.boundingBox()
    for (const leaf of Object.values(sheetWords(VOICE).leaf)) {
      await page.getByRole('tab', { name: leaf, exact: true }).click()
      expect(await help.boundingBox()).toEqual(box)
    }
    await page.getByRole('tab', { name: sheetWords(VOICE).leaf.answers }).click()
    await page.getByRole('button', { name: sheetWords(VOICE).bar.print, exact: true }).click()
    await page.frameLocator('.report-dialog iframe').getByRole('heading', { name: 'One file hill' }).waitFor()
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: sheetWords(VOICE).report.keep }).click(),
    ])
    expect(download.suggestedFilename()).toBe('one-file-hill.html')
    await page.keyboard.press('Escape')
    await help.click()
    await page.getByText(sheetWords(VOICE).help.words).click()
    await page.locator('.glossary dt', { hasText: /^berm$/ }).waitFor()
    const keys = (await page.getByRole('dialog').textContent())!.toLowerCase()
    for (const tool of [sheetWords(VOICE).tool.point, sheetWords(VOICE).tool.draw, measure.tool]) expect(keys).toContain(tool.toLowerCase())
    await page.keyboard.press('Escape')

    // The same address opened again comes back to the view and the question, of a demo that was worked on meanwhile.
    await page.reload()
    await page.waitForSelector('[data-ready]', { timeout: 3 * PATIENCE_MS })
    await answers(page)
    await page.locator('.questions button[aria-pressed=true]').waitFor()
    await expect.poll(() => page.locator('.plan-scale-text').textContent(), { timeout: PATIENCE_MS }).toBe(scale)
    expect(new URL(page.url()).hash).toBe(hash)
    expect(await page.locator('.title-holding input').inputValue()).toBe('One file hill')
    await sheet.calm()
  },
  8 * PATIENCE_MS,
)
