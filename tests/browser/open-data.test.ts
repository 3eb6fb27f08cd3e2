import type { Locator, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest'
import { type OpenDataServer, openDataServer } from '../helpers/open-data-server.js'
import { demoFile, drop, fileFrom, fileLine, houseForTests, openSheet, PATIENCE_MS } from '../helpers/open-sheet.js'
import { virtualRaster } from '../helpers/virtual-raster.js'

// Open heights and the open map on the sheet: nobody is asked before a yes, nobody after it was taken back; what came stays without a network.

const SQUARE = virtualRaster({
  width: 1200,
  height: 1200,
  tile: 128,
  big: false,
  degrees: [-94, 47, 1 / 1200],
  height_m: (column, row) => 300 + 0.5 * column + 0.31 * row + 0.013 * ((column * 7 + row) % 11),
})
const MAP = {
  elements: [
    {
      type: 'way',
      id: 1,
      tags: { building: 'yes', name: 'Old mill' },
      geometry: [
        [-93.401, 46.3],
        [-93.4008, 46.3],
        [-93.4008, 46.3001],
        [-93.401, 46.3001],
        [-93.401, 46.3],
      ].map(([lon, lat]) => ({ lon, lat })),
    },
    {
      type: 'way',
      id: 2,
      tags: { waterway: 'stream' },
      geometry: [
        { lat: 46.302, lon: -93.402 },
        { lat: 46.303, lon: -93.401 },
      ],
    },
  ],
}

const house = houseForTests()
let server: OpenDataServer
beforeAll(async () => {
  server = await openDataServer(path => (path === '/dem/N46W094.tif' ? SQUARE : null))
})
afterEach(() => {
  server.behaviour = 'well'
  server.asked.length = 0
})
afterAll(() => server?.close())

/** Adds the test's own source and types the area. */
async function chooseArea(page: Page): Promise<Locator> {
  await page.getByRole('tab', { name: 'Ground' }).click()
  const part = page.locator('.open-data')
  await part.locator('> summary').click()
  await part.getByText('Add a source').click()
  await part.getByLabel('Address of a GeoTIFF').fill(`${server.url}dem/{NS:south}{south:2}{EW:west}{west:3}.tif`)
  await part.getByLabel('Name', { exact: true }).fill('Test Survey 90')
  await part.getByLabel('Whom it is owed to').fill('© Test Survey')
  await part.getByRole('button', { name: 'Add', exact: true }).click()
  await part.getByLabel('Latitude, longitude').fill('46.3, -93.4')
  await part.getByRole('button', { name: 'Set' }).click()
  await part.getByText('46.300000, -93.400000').waitFor()
  await part.getByLabel('Its side').selectOption('4000')
  return part
}

// One sheet for all of it: to open it costs more than what is done on it.
test('open heights and the open map: asked for a yes, brought, credited, kept, taken back', { timeout: 12 * PATIENCE_MS }, async () => {
  const sheet = await openSheet(house)
  const { page, context } = sheet
  // The whole answer about the demo's line is worked out meanwhile.
  context.setDefaultTimeout(3 * PATIENCE_MS)
  const part = await chooseArea(page)
  const yes = part.getByRole('button', { name: `Say yes to ${server.host} and bring` })

  // With files of this device alone, and an area and a source chosen, nobody else is asked for anything.
  await drop(page, fileFrom(demoFile('ground.tif'), 'farm.tif'))
  await fileLine(page, 'farm.tif')
  await part.getByText('None: no server of others is asked for anything.').waitFor()
  await part.getByText(`${server.host} will be asked for the parts`).waitFor()
  expect(server.asked).toEqual([])
  await sheet.calm()

  // Servers that misbehave are explained in a sentence, and the ground stays as it was.
  const card = await page.locator('.ground-card').textContent()
  const told = (sentence: RegExp): Promise<void> => part.locator('[role=alert]', { hasText: sentence }).waitFor()
  server.behaviour = 'no-cors'
  await yes.click()
  await told(/No answer that can be read came back/)
  const bring = part.getByRole('button', { name: 'Bring', exact: true }).first()
  for (const [behaviour, sentence] of [
    ['not-found', /has no heights for this place/],
    ['busy', /too busy now/],
    ['wrong-range', /sent another part of the file/],
  ] as const) {
    server.behaviour = behaviour
    await bring.click()
    await told(sentence)
  }
  expect(await page.locator('.ground-card').textContent()).toBe(card)

  // Brought: the credit stands on the plan and on the card.
  server.behaviour = 'well'
  server.asked.length = 0
  await bring.click()
  await page.locator('.credit-line', { hasText: 'Data: © Test Survey' }).waitFor()
  expect(await page.locator('.ground-card').textContent()).toContain('The heights are by others: © Test Survey.')
  await picture(page, 'brought')
  // What the worker asks is seen here: this host alone, and only by ranges.
  expect(new Set(sheet.strangers.map(address => new URL(address).host))).toEqual(new Set([server.host]))
  expect(server.asked.length).toBeGreaterThan(0)
  expect(server.asked.every(({ range }) => range !== null)).toBe(true)

  // The same place again: from what is kept in this browser.
  server.behaviour = 'error'
  const before = server.asked.length
  await bring.click()
  await part.getByText('Test Survey 90 was brought').waitFor()
  expect(server.asked).toHaveLength(before)

  // The yes is taken back: the button asks for it again.
  await part.getByRole('button', { name: `Take the yes to ${server.host} back` }).click()
  await yes.waitFor()
  expect(server.asked).toHaveLength(before)

  // The open map, whose host stands on this machine for the test.
  await context.route('https://overpass-api.de/**', route =>
    route.fulfill({
      status: 200,
      headers: { 'access-control-allow-origin': '*' },
      contentType: 'application/json',
      body: JSON.stringify(MAP),
    }),
  )
  await part.getByRole('button', { name: 'Say yes to overpass-api.de and bring' }).click()
  await part.getByText('Brought from OpenStreetMap: 1 building(s), 0 road(s) and track(s), 1 stream(s)').waitFor()
  await part.getByText(/What is not on it may stand there all the same/).waitFor()
  await page.locator('.credit-line', { hasText: '© OpenStreetMap contributors' }).waitFor()
  await picture(page, 'map')
  await page.getByRole('tab', { name: 'Drawn' }).click()
  await page.getByText('Old mill').first().waitFor()

  // The page itself may still reach no host but its own.
  expect(await page.evaluate(() => window.breaches)).toEqual([])
  const reached = await page.evaluate(
    url =>
      fetch(url).then(
        () => 'reached',
        () => 'refused',
      ),
    `${server.url}dem/N46W094.tif`,
  )
  expect(reached).toBe('refused')
})

/** Leaves a picture for eyes where `SOAKLINE_PICTURES` names a folder. */
async function picture(page: Page, name: string): Promise<void> {
  const folder = process.env.SOAKLINE_PICTURES
  if (folder) await page.screenshot({ path: `${folder}/${name}.png` })
}
