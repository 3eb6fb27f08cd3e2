import { existsSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import type { Browser, BrowserContextOptions, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { serve } from '../../.ci/serve.mjs'
import { isHarmless, openChromium } from '../helpers/chromium.js'
import { repositoryRoot } from '../helpers/repository.js'

const artefacts = join(repositoryRoot, 'tests/artefacts')
/** Small windows: software drawing takes its time by the pixel. */
const SCREENS: Readonly<Record<string, BrowserContextOptions>> = {
  desktop: { viewport: { width: 1100, height: 720 } },
  phone: { viewport: { width: 375, height: 667 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 },
}

let browser: Browser
let server: Awaited<ReturnType<typeof serve>>

beforeAll(async () => {
  if (!existsSync(join(repositoryRoot, 'apps/map/dist/index.html'))) throw new Error('The sheet is not built: run "npm run build" first.')
  mkdirSync(artefacts, { recursive: true })
  server = await serve({ port: 0 })
  browser = await openChromium()
})
afterAll(async () => {
  await browser?.close()
  await server?.close()
})

/** What the page complained of, and which other hosts it asked. */
function watch(page: Page): { readonly complaints: string[]; readonly strangers: string[] } {
  const complaints: string[] = []
  const strangers: string[] = []
  page.on('console', message => {
    if (['error', 'warning'].includes(message.type()) && !isHarmless(message.text())) complaints.push(message.text())
  })
  page.on('pageerror', error => complaints.push(String(error)))
  page.on('request', request => {
    const { origin, protocol } = new URL(request.url())
    if (`${origin}/` !== server.url && !['blob:', 'data:'].includes(protocol)) strangers.push(request.url())
  })
  return { complaints, strangers }
}

for (const [name, screen] of Object.entries(SCREENS))
  test(`the sheet opens on the demo holding: ${name}`, async () => {
    const context = await browser.newContext({ ...screen, locale: 'en-GB' })
    const page = await context.newPage()
    const { complaints, strangers } = watch(page)
    await page.goto(server.url)
    await page.waitForSelector('[data-ready][data-shows="answer"]', { timeout: 90_000 })
    await page.screenshot({ path: join(artefacts, `opens-${name}.png`) })
    expect(strangers).toEqual([])
    expect(complaints).toEqual([])
    await context.close()
  }, 120_000)

test('with no network the sheet opens again, demo and all', async () => {
  const context = await browser.newContext({ viewport: { width: 700, height: 500 } })
  const page = await context.newPage()
  await page.goto(server.url)
  await page.evaluate(() => navigator.serviceWorker.ready)
  await page.reload()
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null)
  await context.setOffline(true)
  await page.reload()
  await page.waitForSelector('[data-ready]', { timeout: 90_000 })
  await context.close()
}, 180_000)
