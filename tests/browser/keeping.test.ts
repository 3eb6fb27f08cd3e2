import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import {
  answers,
  demoFile,
  drop,
  fileFrom,
  fileLine,
  houseForTests,
  noPicture,
  openSheet,
  openTab,
  otherAnswers,
  PATIENCE_MS,
  PHONE,
  planText,
  SAVED,
  sameAnswers,
  savingSays,
  wholeAnswers,
} from '../helpers/open-sheet.js'

// The work is kept whatever happens to the page.

const house = houseForTests()

const holding = (page: Page) => page.locator('.title-holding input')

test(
  'a phone that reloads the page in the middle of the work: everything is there again, and can be undone',
  async () => {
    const sheet = await openSheet(house, { screen: PHONE })
    const { page } = sheet
    const before = await wholeAnswers(page)
    await page.getByRole('button', { name: /On the bench/ }).click()
    await otherAnswers(page, before)
    const [bench, saved] = [await wholeAnswers(page), await planText(page)]
    // The system throws a sleeping page away without a word to it.
    const system = await sheet.context.newCDPSession(page)
    await system.send('Page.setWebLifecycleState', { state: 'frozen' })
    await page.goto('about:blank')
    await page.goto(house.url)
    await page.getByText('Your work from last time is open again.').waitFor()
    await sameAnswers(page, bench)
    expect(await planText(page)).toBe(saved)
    await page.locator('.undo-redo button').first().click()
    await sameAnswers(page, before)
    await sheet.calm()
  },
  6 * PATIENCE_MS,
)

test(
  'failure 84: the second tab takes the work over as the first left it; the first is told and can take it back',
  async () => {
    const first = await openSheet(house, { drawn: false, before: noPicture })
    const second = await openTab(first.context, house.url)
    await second.page.getByText(/The sheet is open in another tab/).waitFor()
    await holding(first.page).fill('High hill')
    await holding(first.page).press('Tab')
    await savingSays(first.page, SAVED)
    await second.page.getByRole('button', { name: 'Go on with the work in this tab' }).click()
    await expect.poll(() => holding(second.page).inputValue(), { timeout: PATIENCE_MS }).toBe('High hill')
    await first.page.getByText('Your work goes on in another tab.').waitFor()
    await holding(second.page).fill('Higher hill')
    await holding(second.page).press('Tab')
    await savingSays(second.page, SAVED)
    await first.page.getByRole('button', { name: 'Go on with the work in this tab' }).click()
    await expect.poll(() => holding(first.page).inputValue(), { timeout: PATIENCE_MS }).toBe('Higher hill')
    await second.page.getByText('Your work goes on in another tab.').waitFor()
    await first.calm()
    await second.calm()
  },
  6 * PATIENCE_MS,
)

test(
  'failure 83: a full store is told at once, and the file that is offered holds the work',
  async () => {
    const sheet = await openSheet(house, {
      drawn: false,
      before: () => {
        const full = (): never => {
          throw new DOMException('No room.', 'QuotaExceededError')
        }
        IDBObjectStore.prototype.put = full
        IDBObjectStore.prototype.add = full
      },
    })
    const { page } = sheet
    await holding(page).fill('Full hill')
    await holding(page).press('Tab')
    const notice = page.locator('.notice', { hasText: /Save the plan to a file/ }).first()
    await notice.waitFor()
    const [download] = await Promise.all([page.waitForEvent('download'), notice.getByRole('button', { name: /^Save/ }).click()])
    expect(JSON.parse(readFileSync(await download.path(), 'utf8'))).toMatchObject({ format: 'soakline-plan/1', holding: 'Full hill' })
  },
  6 * PATIENCE_MS,
)

test(
  'a newer page’s store is left as it is, and that is said with the way on',
  async () => {
    const context = await house.browser.newContext({ locale: 'en-GB', viewport: { width: 1000, height: 640 } })
    await context.addInitScript(noPicture)
    const bare = await context.newPage()
    await bare.goto(`${house.url}icon.svg`)
    await bare.evaluate(
      () =>
        new Promise<void>(resolve => {
          const asked = indexedDB.open('soakline-sheet', 7)
          asked.onupgradeneeded = () => asked.result.createObjectStore('kept').put('of tomorrow', 'plan')
          asked.onsuccess = () => {
            asked.result.close()
            resolve()
          }
        }),
    )
    const sheet = await openTab(context, house.url)
    await answers(sheet.page)
    await sheet.page.getByText(/A newer version of this page keeps work in this browser/).waitFor()
    await sheet.page.getByRole('button', { name: 'Load the newest version', exact: true }).waitFor()
    await holding(sheet.page).fill('Today')
    await holding(sheet.page).press('Tab')
    await savingSays(sheet.page, /Not saved in this browser/)
    const still = await bare.evaluate(
      () =>
        new Promise(resolve => {
          const asked = indexedDB.open('soakline-sheet')
          asked.onsuccess = () => {
            const row = asked.result.transaction('kept').objectStore('kept').get('plan')
            row.onsuccess = () => resolve([asked.result.version, row.result])
          }
        }),
    )
    expect(still).toEqual([7, 'of tomorrow'])
    await sheet.calm()
  },
  6 * PATIENCE_MS,
)

test(
  'a plan saved to a file opens in another browser with its raster, to the byte, and its steps are kept there',
  async () => {
    const first = await openSheet(house, { drawn: false, before: noPicture })
    const spur = await wholeAnswers(first.page)
    await first.page.getByRole('button', { name: /On the bench/ }).click()
    await otherAnswers(first.page, spur)
    await holding(first.page).fill('Traveller’s hill')
    await holding(first.page).press('Tab')
    const saved = await planText(first.page)
    await savingSays(first.page, /· in a file/)
    const bench = await wholeAnswers(first.page)
    const second = await openSheet(house, { drawn: false, before: noPicture })
    const { page } = second
    await drop(page, { name: 'plan.soakline.json', bytes: saved }, fileFrom(demoFile('ground.tif')))
    await fileLine(page, 'plan.soakline.json')
    await expect.poll(() => holding(page).inputValue(), { timeout: PATIENCE_MS }).toBe('Traveller’s hill')
    await sameAnswers(page, bench)
    expect(await planText(page)).toBe(saved)
    // Kept, raster and all, before the page is gone.
    await savingSays(page, /^Saved.* · in a file/)
    await page.reload()
    await page.getByText('Your work from last time is open again.').waitFor()
    await savingSays(page, /· in a file/)
    expect(await planText(page)).toBe(saved)
    await second.calm()
  },
  6 * PATIENCE_MS,
)
