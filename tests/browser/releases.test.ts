import { cpSync, mkdtempSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, expect, test } from 'vitest'
import { serve } from '../../.ci/serve.mjs'
import { answers, houseForTests, noPicture, openTab, PATIENCE_MS, SAVED, savingSays } from '../helpers/open-sheet.js'
import { repositoryRoot } from '../helpers/repository.js'

// A release takes the place of another while pages are open (case 90 of tests/failures.test.ts).

const built = join(repositoryRoot, 'apps/map/dist')
const folders: string[] = []
const house = houseForTests()
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true })
})

const scripts = (folder: string): string[] => readdirSync(join(folder, 'assets')).filter(name => name.endsWith('.js'))

/** The same page as another release: every script under another name, so that those of the first are gone from the server. */
function nextRelease(mark: string): string {
  const folder = mkdtempSync(join(tmpdir(), 'soakline-release-'))
  folders.push(folder)
  cpSync(built, folder, { recursive: true })
  const names = scripts(folder)
  const renamed = (name: string): string => name.replace(/\.js$/, `${mark}.js`)
  const mend = (path: string): void => {
    let text = readFileSync(path, 'utf8')
    for (const name of names) text = text.replaceAll(name, renamed(name))
    writeFileSync(path, text.replace(/(RELEASE = 'soakline-)/, `$1${mark}`))
  }
  for (const name of names) {
    mend(join(folder, 'assets', name))
    renameSync(join(folder, 'assets', name), join(folder, 'assets', renamed(name)))
  }
  for (const name of ['index.html', 'offline.js']) mend(join(folder, name))
  return folder
}

const entry = (page: Page): Promise<string> =>
  page.evaluate(() => document.querySelector<HTMLScriptElement>('script[type=module]')!.src.replace(/.*\//, ''))
const lookForRelease = (page: Page) => page.evaluate(async () => void (await (await navigator.serviceWorker.ready).update()))
const controlled = (page: Page) => page.waitForFunction(() => navigator.serviceWorker.controller !== null)

test(
  'failure 90: a new release while tabs are open: nothing breaks in them, the reader is told, the work comes along; one bad release can be called back',
  async () => {
    let root = built
    const server = await serve({ port: 0, root: () => root })
    const context = await house.browser.newContext({ viewport: { width: 1000, height: 640 }, locale: 'en-GB' })
    await context.addInitScript(noPicture)
    try {
      const first = await openTab(context, server.url)
      const { page } = first
      await page.evaluate(() => navigator.serviceWorker.ready)
      await page.reload()
      await controlled(page)
      await answers(page)
      const old = await entry(page)
      const lazy = scripts(built).find(name => name.startsWith('lerc-'))!
      const chunk = `assets/${lazy}`
      const fetchesChunk = `import(${JSON.stringify(`${server.url}${chunk}`)}).then(() => 'there')`

      root = nextRelease('-two')
      expect((await fetch(`${server.url}${chunk}`)).status).toBe(404)
      await lookForRelease(page)
      await page.getByText('A newer version of this page is ready.').waitFor()
      // What the open page has not fetched yet comes from its own release.
      expect(await page.evaluate(fetchesChunk)).toBe('there')
      await page.locator('.title-holding input').fill('Release hill')
      await page.locator('.title-holding input').press('Tab')
      await savingSays(page, SAVED)
      // A reload by itself stays with the release that is kept whole.
      await page.reload()
      await page.getByText('Your work from last time is open again.').waitFor()
      expect(await entry(page)).toBe(old)
      const second = await openTab(context, server.url)
      await second.page.getByText(/The sheet is open in another tab/).waitFor()

      await page.getByRole('button', { name: 'Load the newest version' }).click()
      await expect.poll(() => entry(page).catch(() => old), { timeout: PATIENCE_MS }).toBe(old.replace('.js', '-two.js'))
      await page.getByText('Your work from last time is open again.').waitFor()
      expect(await page.locator('.title-holding input').inputValue()).toBe('Release hill')
      // A tab of the release before still has its parts.
      expect(await second.page.evaluate(fetchesChunk)).toBe('there')
      await second.page.close()
      await first.calm()

      // Past everything that is kept, where the network answers; without it what is kept opens.
      root = nextRelease('-three')
      await page.goto(`${server.url}?fresh`)
      await answers(page)
      expect(await entry(page)).toBe(old.replace('.js', '-three.js'))
      expect(page.url()).toBe(server.url)
      await page.evaluate(() => navigator.serviceWorker.ready)

      // The worker that ends the worker: after it the page comes from the server alone.
      const { KILL_SWITCH } = (await import(join(repositoryRoot, 'apps/map/offline-plugin.ts'))) as { KILL_SWITCH: string }
      writeFileSync(join(root, 'offline.js'), KILL_SWITCH)
      await page.reload()
      await controlled(page)
      await Promise.all([page.waitForEvent('load', { timeout: PATIENCE_MS }), lookForRelease(page).catch(() => undefined)])
      await answers(page)
      await expect
        .poll(() => page.evaluate(async () => (await caches.keys()).filter(name => name.startsWith('soakline-'))), { timeout: PATIENCE_MS })
        .toEqual([])
    } finally {
      await context.close()
      await server.close()
    }
  },
  12 * PATIENCE_MS,
)
