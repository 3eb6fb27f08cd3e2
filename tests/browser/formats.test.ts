import { openProjection, writeKml } from '@soakline/io'
import type { Point } from 'soakline/raster'
import { expect, test } from 'vitest'
import { drop, fileLine, houseForTests, openSheet, PATIENCE_MS } from '../helpers/open-sheet.js'

// Other formats than GeoTIFF and GeoJSON, brought as people bring them: two tiles of a grid at once, and a layer out of another map.

const house = houseForTests()

const [WEST, SOUTH, SIDE] = [500_000, 5_200_000, 80]

/** Columns of a plane that falls to the south-east, as an ASCII grid. */
function grid(from: number, to: number): string {
  const rows = Array.from({ length: SIDE }, (_, row) =>
    Array.from({ length: to - from }, (_, k) => (100 - 0.2 * row - 0.05 * (from + k)).toFixed(3)).join(' '),
  )
  return `ncols ${to - from}\nnrows ${SIDE}\nxllcorner ${WEST + from * 2}\nyllcorner ${SOUTH}\ncellsize 2\n${rows.join('\n')}\n`
}

test('two tiles dropped together are asked about, joined and placed; a KML layer is asked for its kind, and its text stays text', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  await drop(page, { name: 'west.asc', bytes: grid(0, 30) }, { name: 'east.asc', bytes: grid(30, SIDE) })
  await page
    .getByLabel('The archive holds several files. Which one is the ground?')
    .selectOption({ label: 'All of them, joined: they are tiles of one raster' })
  await page.getByRole('button', { name: 'Read it so' }).click()
  await page.getByRole('textbox', { name: 'EPSG number' }).fill('32632')
  await page.getByRole('button', { name: 'Read it so' }).click()
  await fileLine(page, 'east.asc + 1')
  await page.waitForSelector('[data-ready="2"]', { timeout: 2 * PATIENCE_MS })
  await page.getByRole('tab', { name: 'Ground' }).click()
  const card = await page.locator('.ground-card').textContent()
  expect(card).toMatch(/160 m × 160 m/)
  expect(card).toMatch(/2 tiles were joined/)

  const hostile = '<img src=x onerror="document.body.dataset.hacked=1">'
  const ring: Point[] = [
    [WEST + 60, SOUTH + 60],
    [WEST + 70, SOUTH + 60],
    [WEST + 70, SOUTH + 70],
  ]
  const kml = writeKml({ name: 'Farm', areas: [{ name: hostile, rings: [ring] }] }, await openProjection('EPSG:32632'))
  await drop(page, { name: 'byre.kml', bytes: kml })
  await page.getByLabel('What does byre.kml show?').selectOption('building')
  await page.getByRole('button', { name: 'Read it so' }).click()
  expect(await (await fileLine(page, 'byre.kml')).textContent()).toMatch(/Taken 1 drawn thing\./)
  await page.getByRole('tab', { name: 'Drawn' }).click()
  await page.getByText(hostile, { exact: true }).first().waitFor()
  expect(await page.locator('img[src="x"]').count()).toBe(0)

  // An archive that was cut off says so, and the sheet stays as it was.
  await drop(page, { name: 'cut.zip', bytes: 'PK\u0003\u0004and no more' })
  expect(await (await fileLine(page, 'cut.zip')).textContent()).toMatch(/The archive is damaged or was cut off/)
  await sheet.calm()
})
