import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sayCheck, sayVerdict, type Voice, wordsOf } from '@soakline/drawing'
import type { Finding } from 'soakline/foundation'
import { expect, test, vi } from 'vitest'
import { soakline } from '../helpers/command-line.js'
import {
  answers,
  answerTo,
  demoFile,
  houseForTests,
  openSheet,
  otherAnswers,
  PATIENCE_MS,
  type ShownAnswer,
  wholeAnswers,
} from '../helpers/open-sheet.js'

// The page and the command line are two mouths of one library: on the same files they say the same.

const house = houseForTests()

const ENGLISH: Voice = { language: 'en', units: 'metric', locale: 'en-GB' }
const SPANISH_FEET: Voice = { language: 'es', units: 'us' }

/** The demo's settings, with no terrains tried. */
function withoutTerrains(): string {
  const file = join(mkdtempSync(join(tmpdir(), 'soakline-')), 'settings.json')
  writeFileSync(file, JSON.stringify({ ...JSON.parse(readFileSync(demoFile('settings.json'), 'utf8')), triedTerrains: 0 }))
  return file
}

/** What the command line says about a line of the demo: the three answers as it prints them, and its other findings in words. */
async function saidByCommandLine(
  line: 'spur' | 'bench',
  voice: Voice,
  settings = demoFile('settings.json'),
): Promise<{ readonly three: string; readonly others: ShownAnswer[] }> {
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
    settings,
    '--language',
    voice.language,
    '--units',
    voice.units,
  )
  const { findings } = ran.json('assessment.json') as unknown as { readonly findings: readonly (Finding & { readonly text: string })[] }
  const told = ['catchment-complete', 'overflow-misses-buildings']
  return {
    three: flat(ran.out),
    others: findings
      .filter(f => !told.includes(f.check))
      .map(f => ({ title: sayCheck(f.check, voice), verdict: f.verdict, word: sayVerdict(f.verdict, voice), text: f.text })),
  }
}

const flat = (text: string): string => text.replace(/\s+/g, ' ')

/** The margin says what the command line says: each of the three answers with its verdict, and every other finding. */
function expectSame(shown: readonly ShownAnswer[], { three, others }: Awaited<ReturnType<typeof saidByCommandLine>>, voice: Voice): void {
  const questions = Object.values(wordsOf(voice).question)
  const asked = shown.filter(a => questions.includes(a.title))
  expect(asked).toHaveLength(3)
  for (const { title, word, text } of asked) expect(three).toContain(flat(`${title} [${word}] ${text}`))
  expect(sorted(shown.filter(a => !questions.includes(a.title)))).toEqual(sorted(others))
}

const sorted = (list: readonly ShownAnswer[]): ShownAnswer[] => [...list].sort((a, b) => (a.title + a.text < b.title + b.text ? -1 : 1))

test(
  'on the demo the page says word for word what the command line finds; spur and bench are one tap apart',
  async () => {
    // Both work at the same time.
    const [sheet, saidOfBench] = await Promise.all([
      openSheet(house, { terrains: null, warmDrag: true }).then(async opened => {
        const first = await answers(opened.page)
        await opened.page.getByRole('button', { name: /On the bench/ }).click()
        await otherAnswers(opened.page, first)
        return opened
      }),
      saidByCommandLine('bench', ENGLISH),
    ])
    const { page } = sheet
    const bench = await wholeAnswers(page)
    expectSame(bench, saidOfBench, ENGLISH)
    const building = answerTo(bench, wordsOf(ENGLISH).question.building)
    expect(building.verdict).toBe('fails')
    expect(building.text).toContain('Cabin')

    await page.getByRole('button', { name: /On the spur/ }).click()
    await otherAnswers(page, bench)
    const [spur, saidOfSpur] = await Promise.all([wholeAnswers(page), saidByCommandLine('spur', ENGLISH)])
    expectSame(spur, saidOfSpur, ENGLISH)
    expect(answerTo(spur, wordsOf(ENGLISH).question.building).verdict).toBe('holds')
    await sheet.calm()
  },
  8 * PATIENCE_MS,
)

test(
  'in Spanish and feet the page says word for word what the command line finds, where no terrains are tried',
  async () => {
    const [sheet, said] = await Promise.all([openSheet(house), saidByCommandLine('spur', SPANISH_FEET, withoutTerrains())])
    const { page } = sheet
    const english = await wholeAnswers(page)
    await page.getByRole('radio', { name: 'Español' }).check()
    await page.getByRole('radio', { name: 'pies' }).check()
    await otherAnswers(page, english)
    // The page gives the demo's things their Spanish names; the command line reads the English ones from the file.
    const names: Readonly<Record<string, string>> = { Cabaña: 'Cabin', Granero: 'Barn', 'Casa del vecino': "Neighbour's house" }
    const renamed = (text: string): string => Object.entries(names).reduce((all, [es, en]) => all.replaceAll(es, en), text)
    // With other names the whole answer is worked out once more.
    await vi.waitFor(
      async () => {
        const shown = await wholeAnswers(page)
        expectSame(
          shown.map(a => ({ ...a, text: renamed(a.text) })),
          said,
          SPANISH_FEET,
        )
      },
      { timeout: 4 * PATIENCE_MS },
    )
    await sheet.calm()
  },
  8 * PATIENCE_MS,
)

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
  expect(flat((await report.locator('body').textContent()) ?? '')).toContain(flat(ridge!.text))
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
