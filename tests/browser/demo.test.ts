import { sayAnswers, sayCheck, sayFinding, sayVerdict, type Voice, wordsOf } from '@soakline/drawing'
import type { Finding } from 'soakline/foundation'
import type { Assessment } from 'soakline/plan'
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest'
import { soakline } from '../helpers/command-line.js'
import { answers, answerTo, demoFile, type House, openHouse, openSheet, otherAnswers, type ShownAnswer } from '../helpers/open-sheet.js'

// The page and the command line are two mouths of one library: on the same files they say the same.

let house: House
beforeAll(async () => {
  house = await openHouse()
})
afterEach(() => house?.clear())
afterAll(() => house?.close())

const ENGLISH: Voice = { language: 'en', units: 'metric', locale: 'en-GB' }
const SPANISH_FEET: Voice = { language: 'es', units: 'us' }

/** What the command line found about a line of the demo, put into words: title, verdict and sentences. */
async function saidByCommandLine(line: 'spur' | 'bench', voice: Voice): Promise<ShownAnswer[]> {
  const ran = await soakline(
    'assess',
    demoFile('ground.tif'),
    '--line',
    demoFile(`line-${line}.geojson`),
    '--features',
    demoFile('features.geojson'),
    '--rain',
    demoFile('rain.csv'),
    '--settings',
    demoFile('settings.json'),
  )
  const assessment = ran.json('assessment.json') as unknown as Assessment
  const said = (title: string, verdict: Finding['verdict'], text: string): ShownAnswer => ({
    title,
    verdict,
    word: sayVerdict(verdict, voice),
    text,
  })
  const told = ['catchment-complete', 'overflow-misses-buildings']
  return [
    ...sayAnswers(assessment, voice).map(a => said(a.title, a.verdict, a.text)),
    ...assessment.findings.filter(f => !told.includes(f.check)).map(f => said(sayCheck(f.check, voice), f.verdict, sayFinding(f, voice))),
  ]
}

const sorted = (list: readonly ShownAnswer[]): ShownAnswer[] => [...list].sort((a, b) => (a.title + a.text < b.title + b.text ? -1 : 1))

test('on the demo the page says word for word what the command line finds; spur and bench are one tap apart', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  const spur = await answers(page)
  expect(sorted(spur)).toEqual(sorted(await saidByCommandLine('spur', ENGLISH)))
  expect(answerTo(spur, wordsOf(ENGLISH).question.building).verdict).toBe('holds')

  await page.getByRole('button', { name: /On the bench/ }).click()
  await otherAnswers(page, spur)
  const bench = await answers(page)
  expect(sorted(bench)).toEqual(sorted(await saidByCommandLine('bench', ENGLISH)))
  const building = answerTo(bench, wordsOf(ENGLISH).question.building)
  expect(building.verdict).toBe('fails')
  expect(building.text).toContain('Cabin')

  await page.getByRole('button', { name: /On the spur/ }).click()
  await otherAnswers(page, bench)
  expect(await answers(page)).toEqual(spur)
  await sheet.calm()
})

test('in Spanish and feet the page says word for word what the command line finds', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  const english = await answers(page)
  await page.getByText('Español', { exact: true }).click()
  await page.getByText('pies', { exact: true }).click()
  await otherAnswers(page, english)
  // The demo's names are those of the language; the command line's file has the English ones.
  const names: Readonly<Record<string, string>> = { Cabaña: 'Cabin', Granero: 'Barn', 'Casa del vecino': "Neighbour's house" }
  const plain = (list: readonly ShownAnswer[]): ShownAnswer[] =>
    list.map(a => ({ ...a, text: Object.entries(names).reduce((text, [es, en]) => text.replaceAll(es, en), a.text) }))
  await expect
    .poll(async () => sorted(plain(await answers(page))), { timeout: 20_000 })
    .toEqual(sorted(plain(await saidByCommandLine('spur', SPANISH_FEET))))
  await sheet.calm()
})

test('a question asked zooms to its evidence and opens its answer; "why?" gives what to do next and the source', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  const questions = page.getByRole('navigation', { name: 'The three questions' })
  for (const question of ['Which ridge drains here?', 'Will the overflow reach a building?', 'Where should it spill?']) {
    const button = questions.getByRole('button', { name: question })
    await button.click()
    await expect.poll(() => button.getAttribute('aria-pressed')).toBe('true')
    const answer = page.locator('.answer-focused', { hasText: question })
    await answer.waitFor()
    await answer.locator('.why').waitFor()
    expect(await answer.locator('.why').textContent()).toMatch(
      question.startsWith('Where') ? /Place 1/ : /What to do next[\s\S]*Method and source/,
    )
    await button.click()
    await expect.poll(() => button.getAttribute('aria-pressed')).toBe('false')
  }
  await sheet.calm()
})

test('the report opens in the page with plan and answers, and can be saved as one file', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  const [ridge] = await answers(page).then(list => list.filter(a => a.title === 'Which ridge drains here?'))
  await page.getByRole('button', { name: 'Report' }).click()
  const report = page.getByRole('dialog').frameLocator('iframe')
  const plan = report.locator('figure.plan svg').first()
  await plan.waitFor()
  const box = await plan.boundingBox()
  expect(box!.width).toBeGreaterThan(200)
  expect(box!.height).toBeGreaterThan(200)
  expect(await report.locator('body').textContent()).toContain(ridge!.text)
  // Its own style sheet is let in by the page's policy.
  expect(await report.locator('body').evaluate(body => body.ownerDocument.styleSheets.length)).toBeGreaterThan(0)
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('dialog').getByRole('button', { name: 'Save as a file' }).click(),
  ])
  expect(download.suggestedFilename()).toBe('demo-holding-invented.html')
  await page.keyboard.press('Escape')
  await page.getByRole('dialog').waitFor({ state: 'detached' })
  await sheet.calm()
})
