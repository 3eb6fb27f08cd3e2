import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, expect, test } from 'vitest'
import { serve } from '../../.ci/serve.mjs'
import { houseForTests, openSheet, openTab, PATIENCE_MS, PHONE } from '../helpers/open-sheet.js'
import { repositoryRoot } from '../helpers/repository.js'

const artefacts = join(repositoryRoot, 'tests/artefacts')
const SCREENS = {
  desktop: { viewport: { width: 1100, height: 720 } },
  phone: { ...PHONE, deviceScaleFactor: 2 },
} as const

const house = houseForTests()
beforeAll(() => mkdirSync(artefacts, { recursive: true }))

for (const [name, screen] of Object.entries(SCREENS))
  test(
    `failure 98: the sheet opens on the demo holding: ${name}`,
    async () => {
      const sheet = await openSheet(house, { screen, warmDrag: true })
      await sheet.page.waitForSelector('[data-ready][data-shows="answer"]', { timeout: 3 * PATIENCE_MS })
      await sheet.page.screenshot({ path: join(artefacts, `opens-${name}.png`) })
      await sheet.calm()
    },
    4 * PATIENCE_MS,
  )

test(
  'failure 91: with no network the sheet opens again, demo and all',
  async () => {
    const server = await serve({ port: 0 })
    const context = await house.browser.newContext({ viewport: { width: 700, height: 500 }, locale: 'en-GB' })
    const sheet = await openTab(context, server.url)
    const { page } = sheet
    await page.evaluate(() => navigator.serviceWorker.ready)
    await page.reload()
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null)
    // The server goes as well: whatever the page says of the network, nothing can come from it.
    await context.setOffline(true)
    await server.close()
    await expect(fetch(server.url)).rejects.toThrow()
    await page.reload()
    await page.waitForSelector('[data-ready]', { timeout: 3 * PATIENCE_MS })
    await sheet.calm()
  },
  6 * PATIENCE_MS,
)
