import { deflateSync } from 'node:zlib'
import { expect, test } from 'vitest'
import { buildDem, type DemOptions } from '../../packages/io/test/tiff-builder.js'
import {
  answers,
  demoFile,
  drop,
  fileFrom,
  fileLine,
  houseForTests,
  openSheet,
  PATIENCE_MS,
  planText,
  sameAnswers,
} from '../helpers/open-sheet.js'

// Files are read in a worker that the page can end: what happens when it must.

const house = houseForTests()

/** The page without its offline copy, so that the test can put another reader in place of the built one. */
const BARE = { screen: { viewport: { width: 1000, height: 640 }, serviceWorkers: 'block' }, drawn: false } as const

test(
  'a decoder that spins is ended: at once when the user stops it, after a minute by itself; the answers stay, and the next file is read',
  async () => {
    const sheet = await openSheet(house, BARE)
    const { page, context } = sheet
    const before = await answers(page)
    const saved = await planText(page)
    // With the headers of the server: the page takes no worker without them.
    await context.route(/\/reader-[^/]*\.js$/, async route =>
      route.fulfill({ response: await route.fetch(), body: 'onmessage = () => { for (;;); }' }),
    )
    await drop(page, fileFrom(demoFile('ground.tif'), 'spins.tif'))
    await page.getByRole('status').getByRole('button', { name: 'Cancel' }).click()
    await page.locator('.notices progress').waitFor({ state: 'detached' })
    await sameAnswers(page, before)

    await page.clock.install()
    await drop(page, fileFrom(demoFile('ground.tif'), 'spins.tif'))
    await page.locator('.notices progress').waitFor()
    await page.clock.fastForward(61_000)
    expect(await (await fileLine(page, 'spins.tif')).textContent()).toMatch(/Not taken.*did not come to an end.*file\/reader-stuck/)
    await page.clock.resume()
    await sameAnswers(page, before)
    expect(await planText(page)).toBe(saved)

    await context.unroute(/\/reader-[^/]*\.js$/)
    await drop(page, fileFrom(demoFile('ground.tif'), 'whole.tif'))
    expect(await (await fileLine(page, 'whole.tif')).textContent()).toContain('as the ground')
    expect(await page.evaluate(() => window.breaches)).toEqual([])
    expect(sheet.complaints.filter(text => !text.startsWith('Service Worker registration blocked'))).toEqual([])
  },
  4 * PATIENCE_MS,
)

test(
  'a layer, a table and a plan whose reader spins are called off at once, with a line; the answers stay, and the next one is read',
  async () => {
    const sheet = await openSheet(house, BARE)
    const { page, context } = sheet
    const before = await answers(page)
    const saved = await planText(page)
    await context.route(/\/reader-[^/]*\.js$/, async route =>
      route.fulfill({ response: await route.fetch(), body: 'onmessage = () => { for (;;); }' }),
    )
    const rain = 'duration_h,chance_per_year,depth_mm\n1,0.1,40\n24,0.1,90\n'
    for (const [name, bytes] of [
      ['spins.kml', '<kml><Placemark><Point><coordinates>-32.8645, 36.5068</coordinates></Point></Placemark></kml>'],
      ['rain.csv', rain],
      ['spins.soakline.json', saved],
    ] as const) {
      await drop(page, { name, bytes })
      await page.locator('.notices', { hasText: `Reading ${name}` }).waitFor()
      // From the click to the sentence, in the page itself.
      const took_ms = await page.evaluate(
        file =>
          new Promise<number>(done => {
            const since = performance.now()
            const look = (): void => {
              const lines = [...document.querySelectorAll('.notices .files li')]
              if (lines.some(line => line.textContent?.includes(file) && line.textContent.includes('was stopped')))
                done(performance.now() - since)
              else setTimeout(look, 5)
            }
            const stop = [...document.querySelectorAll<HTMLButtonElement>('.notices button')].find(
              button => button.textContent === 'Cancel',
            )
            stop?.click()
            look()
          }),
        name,
      )
      expect(took_ms).toBeLessThan(200)
      await page.locator('.notices progress').waitFor({ state: 'detached' })
    }
    await sameAnswers(page, before)
    expect(await planText(page)).toBe(saved)
    await context.unroute(/\/reader-[^/]*\.js$/)
    await drop(page, { name: 'rain.csv', bytes: rain })
    expect(await (await fileLine(page, 'rain.csv')).textContent()).toMatch(/Taken/)
  },
  4 * PATIENCE_MS,
)

test('failure 50: a part of the page that cannot be fetched is told, not waited for', async () => {
  const sheet = await openSheet(house, BARE)
  const { page, context } = sheet
  const before = await answers(page)
  await context.route(/\/reader-[^/]*\.js$/, route => route.fulfill({ status: 404, contentType: 'text/plain', body: 'gone' }))
  await drop(page, fileFrom(demoFile('ground.tif'), 'farm.tif'))
  expect(await (await fileLine(page, 'farm.tif')).textContent()).toMatch(/Not taken.*Reload the page/)
  await sameAnswers(page, before)
})

test(
  'heights in the colours of a raster are asked for their way of packing, and read by the answer',
  async () => {
    const side = 40
    const colours = new Uint8Array(side * side * 3)
    for (let k = 0; k < side * side; k++) {
      // 300 m falling by 5 % to the east, in steps of a tenth of a metre over −10,000 m.
      const code = Math.round((300 - 0.1 * (k % side) - 0.03 * Math.floor(k / side) + 10_000) * 10)
      colours.set([code >> 16, (code >> 8) & 255, code & 255], 3 * k)
    }
    const short = (tag: number, ...values: number[]): NonNullable<DemOptions['tags']>[number] => ({ tag, type: 'short', values })
    const file = buildDem({
      width: side,
      height: side,
      cells: new Uint8Array(0),
      scale: [2, 2, 0],
      tags: [short(258, 8, 8, 8), short(259, 8), short(262, 2), short(277, 3), short(339, 1, 1, 1)],
      blocks: [new Uint8Array(deflateSync(colours))],
    })
    const sheet = await openSheet(house)
    const { page } = sheet
    await drop(page, { name: 'packed.tif', bytes: new Uint8Array(file) })
    await page.getByRole('heading', { name: 'One question before this file can be read' }).waitFor()
    await page.getByText('terrain-RGB').click()
    await page.getByRole('button', { name: 'Read it so' }).click()
    await fileLine(page, 'packed.tif')
    await page.waitForSelector('[data-ready="2"]', { timeout: 2 * PATIENCE_MS })
    await page.getByRole('tab', { name: 'Ground' }).click()
    expect(await page.locator('.ground-card').textContent()).toMatch(/294\.9 m to 300 m/)
    await sheet.calm()
  },
  4 * PATIENCE_MS,
)
