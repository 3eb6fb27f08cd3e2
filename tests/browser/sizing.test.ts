import { formatChance, sayJobStep, sayWarning, sheetWords, sizingWords, type Voice, wordsOf } from '@soakline/drawing'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { EVERY_READER } from '../helpers/every-reader.js'
import { answers, answerTo, drop, fileLine, houseForTests, openSheet, otherAnswers, PATIENCE_MS, planText } from '../helpers/open-sheet.js'

// The sizing is to be seen: the storm's picture, its water in the long section, and a sill that follows its settings.

const house = houseForTests()

/** What is lettered in a drawing. */
const lettered = (page: Page, drawing: string): Promise<string[]> =>
  page.locator(`${drawing} svg text`).evaluateAll(all => all.map(text => text.textContent ?? ''))

const numberIn = (text: string, mark: string): number =>
  Number(
    /[\d.,]+/
      .exec(text)![0]
      .replace(mark === ',' ? /\./g : /,/g, '')
      .replace(mark, '.'),
  )

const READERS: readonly { readonly locale: string; readonly voice: Voice; readonly mark: string; readonly outside: string }[] = [
  { locale: 'en-GB', voice: { language: 'en', units: 'metric' }, mark: '.', outside: 'Outside the method’s limits.' },
  { locale: 'es-ES', voice: { language: 'es', units: 'metric' }, mark: ',', outside: 'Fuera de los límites del método.' },
]

for (const { locale, voice, mark } of EVERY_READER ? READERS : READERS.slice(0, 1))
  test(`the storm, its water and the sill are shown, and the sill grows shorter under a higher head: ${locale}`, async () => {
    const sheet = await openSheet(house, { screen: { viewport: { width: 1280, height: 800 }, locale } })
    const { page } = sheet
    const [say, words, sizing] = [sheetWords(voice), wordsOf(voice), sizingWords(voice)]
    const before = await answers(page)
    const sillTitle = words.check['spill-carries-peak']
    const length_m = numberIn(answerTo(before, sillTitle).text.replace(/^\D+/, ''), mark)
    expect(length_m).toBeGreaterThan(1)

    // The picture of the storm is drawn when it is asked for.
    expect(await page.locator('.hydrograph').count()).toBe(0)
    const storm = page.locator('.answer', { hasText: words.check['storage-holds-storm'] })
    await storm.locator('summary').click()
    await storm.locator('.hydrograph svg').waitFor()
    const inPicture = await lettered(page, '.hydrograph')
    for (const text of [sizing.hydrograph.usual, sizing.hydrograph.wet, sizing.hydrograph.hours]) expect(inPicture).toContain(text)
    expect(inPicture.filter(text => /^[\d.,]+ (liters|litros)\/s$/.test(text)).length).toBeGreaterThanOrEqual(2)
    expect(await storm.locator('.hydrograph figcaption').textContent()).toContain(formatChance(0.04, voice))
    const table = storm.locator('.said-table')
    expect(await table.locator('thead th').nth(1).textContent()).toBe(sizing.storms.chance('25'))
    // Nobody has felt the soil of the demo: what soaks is unknown, not 0.
    expect(await table.locator('tr', { hasText: sizing.storms.soaked }).locator('td').first().textContent()).toBe(sizing.unknown)

    // The storm's water stands in the long section over the sill; the freeboard is marked.
    const long = await lettered(page, '.long-section')
    // A level stands below its name, or beside it where the picture is low.
    const level = (name: string): number => {
      const k = long.findIndex(text => text.startsWith(name))
      expect(k).toBeGreaterThan(-1)
      return numberIn(long[k] === name ? long[k + 1]! : long[k]!.slice(name.length), mark)
    }
    expect(level(sizing.section.storm)).toBeGreaterThan(level(sizing.section.sill))
    expect(level(sizing.section.sill)).toBeGreaterThan(level(sizing.section.notch))
    expect(await lettered(page, '.cross-section')).toContain(sizing.section.storm)

    // Digging has its own place after the answers.
    const digging = page.locator('.answer-more', { hasText: sayJobStep({ step: 'digging', because: '', values: {} }, voice).title })
    await digging.locator('summary').click()
    await digging.locator('dl').waitFor()

    await page.getByRole('tab', { name: say.leaf.settings }).click()
    await page.locator('.setting-group > summary').getByRole('heading', { name: say.settings.groups.spill, exact: true }).click()
    const head = page.getByLabel(new RegExp(`^${words.setting.spillHead_m}`))
    expect(await head.inputValue()).toBe(`0${mark}1`)
    const workedOut = page.locator('.setting', { hasText: words.setting.sillLength_m }).locator('.field p')
    // The whole answer comes after the quick one, and may ask for a little more.
    expect(Math.abs(numberIn((await workedOut.textContent())!, mark) - length_m)).toBeLessThan(0.1 * length_m)
    await head.fill(`0${mark}2`)
    await head.press('Enter')
    await expect.poll(async () => numberIn((await workedOut.textContent())!, mark), { timeout: PATIENCE_MS }).toBeLessThan(0.5 * length_m)

    await page.getByRole('tab', { name: say.leaf.answers }).click()
    const after = await otherAnswers(page, before)
    // Q = C L H^1.5: twice the head asks for 2^-1.5 of the length, to the 0.1 m that a sill is built to.
    expect(Math.abs(numberIn(answerTo(after, sillTitle).text.replace(/^\D+/, ''), mark) - length_m * 2 ** -1.5)).toBeLessThan(0.2)
    await sheet.calm()
  })

for (const { locale, voice, outside } of EVERY_READER ? READERS : READERS.slice(1))
  test(`a storm that was measured, a section that was drawn and a rule out of its limits each reach the answers: ${locale}`, async () => {
    const sheet = await openSheet(house, { screen: { viewport: { width: 1280, height: 800 }, locale } })
    const { page } = sheet
    const [say, words] = [sheetWords(voice), wordsOf(voice)]
    const [storageTitle, spillTitle] = [words.check['storage-holds-storm'], words.check['spill-carries-peak']]
    const before = await answers(page)

    // 50 mm in an hour, as a gauge wrote them down.
    await drop(page, { name: 'gauge.csv', bytes: 'time_min,depth_mm\n0,2\n15,6\n30,30\n45,9\n60,3\n' })
    await fileLine(page, 'gauge.csv')
    const storage = page.locator('.answer', { hasText: storageTitle })
    await storage.locator('summary').click()
    const part = storage.locator('.said', { has: page.getByRole('heading', { name: /measured|midió/ }) })
    await part.waitFor()
    expect(await part.textContent()).toContain('50 mm')
    expect(JSON.parse(await planText(page)).measuredStorm).toBeTruthy()

    // Two years of rain, 20 mm on every tenth day: without a test of the soil nobody knows how they went; with its texture they are told.
    const days = Array.from(
      { length: 730 },
      (_, k) => `${new Date(Date.UTC(2023, 0, 1 + k)).toISOString().slice(0, 10)},${k % 10 === 0 ? 20 : 0}`,
    )
    await drop(page, { name: 'years.csv', bytes: `date,depth_mm\n${days.join('\n')}\n` })
    expect(await (await fileLine(page, 'years.csv')).textContent()).toContain('730')
    await storage.getByText(sayWarning({ code: 'balance/intake-unknown', details: {} }, voice)).waitFor()
    await drop(page, { name: 'felt.json', bytes: '{"texture":"loam"}' })
    const years = storage.locator('.said', { has: page.getByRole('heading', { name: /over the years|en los años/ }) })
    await years.waitFor()
    expect(await years.textContent()).toContain('730')

    const openGroup = (name: keyof typeof say.settings.groups) =>
      page.locator('.setting-group > summary').getByRole('heading', { name: say.settings.groups[name], exact: true }).click()

    // Under a curve number of 40 TR-55 asks for another method: what rests on it is unknown.
    await page.getByRole('tab', { name: say.leaf.settings }).click()
    await openGroup('soil')
    const number = page.getByLabel(new RegExp(`^${words.setting.curveNumber}`))
    await number.fill('38')
    await number.press('Enter')
    await page.getByRole('tab', { name: say.leaf.answers }).click()
    await expect.poll(async () => answerTo(await answers(page), spillTitle).text, { timeout: PATIENCE_MS }).toContain(outside)
    expect(answerTo(await answers(page), spillTitle).verdict).toBe('unknown')

    // A narrow notch drawn point by point holds less than the trapezoid did.
    await page.getByRole('tab', { name: say.leaf.settings }).click()
    if (!(await page.getByLabel(words.setting.sectionForm).isVisible())) await openGroup('ditch')
    await page.getByLabel(words.setting.sectionForm).selectOption('drawn')
    const drawn = page.getByLabel(new RegExp(`^${words.setting.drawnCut_m}`))
    await drawn.fill(voice.language === 'es' ? '-1,2 0; -0,8 -0,4; -0,4 -0,4; 0 0' : '-1.2 0; -0.8 -0.4; -0.4 -0.4; 0 0')
    await drawn.press('Enter')
    await page.getByRole('tab', { name: say.leaf.answers }).click()
    const after = await otherAnswers(page, before)
    expect(answerTo(after, storageTitle).text).not.toBe(answerTo(before, storageTitle).text)
    await sheet.calm()
  })
