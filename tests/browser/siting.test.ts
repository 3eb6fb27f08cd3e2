import { AxeBuilder } from '@axe-core/playwright'
import { sayCheck, type Voice, wordsOf } from '@soakline/drawing'
import { expect, test } from 'vitest'
import { answers, houseForTests, type OpenSheet, openSheet, otherAnswers, PATIENCE_MS } from '../helpers/open-sheet.js'

// What comes behind the quick answer, possible lines, and the soil record, on the demo holding.

const house = houseForTests()

const ENGLISH: Voice = { language: 'en', units: 'metric' }
const SPANISH: Voice = { language: 'es', units: 'metric' }
const breachTitle = (voice: Voice): string => sayCheck('breach-misses-buildings', voice)

/** Waits until the whole answer is in the margin. */
async function wholeAnswer({ page }: OpenSheet, voice = ENGLISH): Promise<void> {
  await page.locator('.answer:not(.answer-before) h2', { hasText: breachTitle(voice) }).waitFor({ timeout: 2 * PATIENCE_MS })
  await page.locator('.whole-progress progress').waitFor({ state: 'detached', timeout: 2 * PATIENCE_MS })
}

/** Opens the reasons of an answer, and gives their text. */
async function why({ page }: OpenSheet, title: string): Promise<string> {
  const answer = page
    .locator('.answer')
    .filter({ has: page.locator('h2', { hasText: title }) })
    .first()
  await answer.locator('summary').click()
  return (await answer.locator('.why').textContent()) ?? ''
}

test(
  'the whole answer comes behind the quick one and says places, stretches and tried terrains; an edit keeps it in sight',
  async () => {
    const sheet = await openSheet(house)
    const { page } = sheet
    await wholeAnswer(sheet)
    expect(await why(sheet, wordsOf(ENGLISH).question.spill)).toMatch(/All \d+ places tried, the best first[\s\S]*Place 1: [\s\S]*For: /)
    expect(await why(sheet, wordsOf(ENGLISH).question.ridge)).toMatch(/In \d+ tried terrains the draining area was/)
    expect(await why(sheet, wordsOf(ENGLISH).question.building)).toMatch(
      /reached a building in \d+ of \d+ tried terrains[\s\S]*What it passes/,
    )
    expect(await why(sheet, breachTitle(ENGLISH))).toMatch(/(From .* to .*|At .*): [\s\S]*Worst place: /)
    await page.getByText('Key', { exact: true }).click()
    expect(await page.locator('.plan-key').textContent()).toMatch(/Berm above a building[\s\S]*half of them/)

    await page.getByRole('radio', { name: 'Español' }).check()
    const spill = page.locator('.answer').filter({ has: page.locator('h2', { hasText: wordsOf(SPANISH).question.spill }) })
    await expect.poll(() => spill.locator('.why').textContent()).toMatch(/Los \d+ lugares ensayados[\s\S]*A favor: /)
    await page.getByRole('radio', { name: 'English' }).check()
    // The demo's things take their English names again, so the whole answer is worked out anew.
    await wholeAnswer(sheet)

    // The other line: what only the whole answer has stays, said to be of before, and a stop takes it away.
    const before = await answers(page)
    await page.getByRole('button', { name: /On the bench/ }).click()
    await otherAnswers(page, before)
    await page.locator('.answer-before').first().waitFor()
    await page.locator('.whole-progress').getByRole('button', { name: 'Stop' }).click()
    await page.locator('.answer-before').first().waitFor({ state: 'detached' })
    await page.locator('.whole-progress').getByRole('button', { name: 'Work it out' }).waitFor()
    await sheet.calm()
  },
  3 * PATIENCE_MS,
)

test('possible lines are found, one is taken, and undone', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  const before = await answers(page)
  await page.getByRole('tab', { name: 'Drawn' }).click()
  await page.getByRole('button', { name: 'Find possible lines' }).click()
  const lines = page.locator('.found-lines > li')
  await lines.first().waitFor({ timeout: 2 * PATIENCE_MS })
  expect(await lines.first().textContent()).toMatch(/Line 1.*draining in.*overflow at its .* end was traced/)
  const { violations } = await new AxeBuilder({ page }).include('.margin').analyze()
  expect(violations.map(v => `${v.id} ${v.nodes[0]?.target.join(' ')}`)).toEqual([])
  await lines.first().hover()
  expect(await lines.first().getAttribute('class')).toBe('found-shown')
  const outlets = page.locator('.outlets')
  await outlets.getByText('Places where water could be let go').click()
  expect(await outlets.locator('li').first().textContent()).toMatch(/Place 1: into the (forest|stream), over ground that falls/)
  const take = page.getByRole('button', { name: 'Take this line: Line 1', exact: true })
  await take.click()
  await expect.poll(() => take.getAttribute('aria-pressed')).toBe('true')
  await page.getByRole('tab', { name: 'Answers' }).click()
  await otherAnswers(page, before)
  await page.keyboard.press('Control+z')
  await page.getByRole('tab', { name: 'Drawn' }).click()
  await expect.poll(() => take.getAttribute('aria-pressed')).toBe('false')
  await sheet.calm()
})

test('a limit is argued with: what it frees or takes is said beside it', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  await answers(page)
  await page.getByRole('tab', { name: 'Settings' }).click()
  await page.locator('.setting-group > summary').getByRole('heading', { name: 'Distances and limits' }).click()
  const track = page.locator('.setting', { hasText: wordsOf({ language: 'en', units: 'metric' }).setting.setbackTrack_m })
  expect(await track.locator('.limit-change').count()).toBe(0)
  await track.locator('input').fill('12')
  await track.locator('input').press('Enter')
  await expect
    .poll(() => track.locator('.limit-change').textContent(), { timeout: PATIENCE_MS })
    .toMatch(/^Against the usual limit [\d,.]+ (m²|ha) more ground is ruled out: .*track \+/)
  await track.locator('input').fill('1')
  await track.locator('input').press('Enter')
  await expect
    .poll(() => track.locator('.limit-change').textContent(), { timeout: PATIENCE_MS })
    .toMatch(/limit [1-9][\d,.]* m² of ground is freed: .*track −/)
  await sheet.calm()
})

test('a test pit changes the soil answer, and can be undone; in Spanish', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  await page.getByRole('radio', { name: 'Español' }).check()
  await page.getByRole('tab', { name: 'Respuestas' }).waitFor()
  const before = await answers(page)
  await page.getByRole('tab').nth(3).click()
  await page.getByRole('button', { name: 'Agregar una calicata' }).click()
  await page.getByText('Toque el lugar de la calicata.').waitFor()
  await page.locator('.drawing-panel').getByRole('button').first().click()
  const pit = page.locator('.soil-record > ol > li')
  await pit.locator('summary').click()
  const { violations } = await new AxeBuilder({ page }).include('.margin').analyze()
  expect(violations.map(v => `${v.id} ${v.nodes[0]?.target.join(' ')}`)).toEqual([])
  await pit.getByLabel('Agua', { exact: true }).selectOption('none')
  await page.getByRole('tab').first().click()
  await otherAnswers(page, before)
  await page.getByRole('tab').nth(3).click()
  expect(await pit.count()).toBe(1)
  await page.keyboard.press('Control+z')
  await page.keyboard.press('Control+z')
  await expect.poll(() => pit.count()).toBe(0)
  await sheet.calm()
})
