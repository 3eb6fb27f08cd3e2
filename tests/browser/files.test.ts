import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, expect, test } from 'vitest'
import {
  answers,
  demoFile,
  drop,
  fileFrom,
  fileLine,
  houseForTests,
  openSheet,
  openTab,
  otherAnswers,
  PATIENCE_MS,
  planText,
  SAVED,
  sameAnswers,
  savingSays,
} from '../helpers/open-sheet.js'
import { sharedData } from '../helpers/repository.js'

// Files brought by dropping them on the page; the answers stay where a file is refused.

const house = houseForTests()
beforeAll(() => {
  if (sharedData === null) console.info('The folder of real rasters is absent: only the demo ground is dropped.')
})

const ground = demoFile('ground.tif')

test('a dropped elevation GeoTIFF opens with one readable card', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  await drop(page, fileFrom(ground, 'farm.tif'))
  const line = await fileLine(page, 'farm.tif')
  expect(await line.textContent()).toContain('as the ground')
  await page.getByRole('tab', { name: 'Ground' }).click()
  const card = await page.locator('.ground-card').textContent()
  expect(card).toMatch(/farm\.tif/)
  expect(card).toMatch(/cells of 1 m/)
  expect(card).toMatch(/EPSG:326\d\d/)
  expect(card).toMatch(/\d+ m × \d+ m/)
  await page.getByRole('tab', { name: 'Answers' }).click()
  await page.getByRole('heading', { name: 'No line yet.' }).waitFor()
  await page.waitForSelector('[data-ready]', { timeout: 2 * PATIENCE_MS })
  await sheet.calm()
})

for (const [name, cell, columns] of sharedData
  ? ([
      ['moraine_1m', '1 m', /cells of 1 m/],
      ['lake_2m', '2 m', /cells of 2 m/],
    ] as const)
  : [])
  test(`real ground dropped (${name}): size, cell and coordinate system on the card; a unit that was only assumed is asked about`, async () => {
    const sheet = await openSheet(house)
    const { page } = sheet
    await drop(page, fileFrom(join(sharedData!, name, 'dem.tif'), `${name}.tif`))
    await fileLine(page, `${name}.tif`)
    await page.getByRole('tab', { name: 'Ground' }).click()
    const card = page.locator('.ground-card')
    expect(await card.textContent(), cell).toMatch(columns)
    expect(await card.textContent()).toMatch(/EPSG:\d+/)
    expect(await card.textContent()).toContain('assumed, the file does not say')
    await page.getByRole('group', { name: /Are they meters\?/ }).waitFor()
    const heights = await card.getByText(/ to /).first().textContent()
    await page.getByRole('button', { name: 'Yes, meters' }).click()
    await page.getByRole('group', { name: /Are they meters\?/ }).waitFor({ state: 'detached' })
    expect(await card.textContent()).toContain('as you said')
    expect(await card.getByText(/ to /).first().textContent()).toBe(heights)
    await page.waitForSelector('[data-ready]', { timeout: 2 * PATIENCE_MS })
    await sheet.calm()
  })

test('a raster without a coordinate system asks one question; "plain meters" opens it, and a line can be pointed at', async () => {
  if (sharedData === null) return
  const sheet = await openSheet(house)
  const { page } = sheet
  const before = await answers(page)
  await drop(page, fileFrom(join(sharedData, 'forest_5m/dem.tif'), 'forest.tif'))
  await page.getByRole('heading', { name: 'One question before this file can be read' }).waitFor()
  await sameAnswers(page, before)
  await page.getByText('None: its coordinates are plain meters on the ground').click()
  await page.getByRole('button', { name: 'Read it so' }).click()
  await fileLine(page, 'forest.tif')
  await page.waitForSelector('[data-ready="2"]', { timeout: 2 * PATIENCE_MS })
  await page.getByRole('tab', { name: 'Ground' }).click()
  expect(await page.locator('.ground-card').textContent()).toMatch(/no place on Earth/)
  await page.getByRole('tab', { name: 'Answers' }).click()
  await page.getByRole('heading', { name: 'No line yet.' }).waitFor()
  const canvas = (await page.locator('canvas.maplibregl-canvas').boundingBox())!
  await page.mouse.click(canvas.x + canvas.width / 2 + 30, canvas.y + canvas.height / 2 + 20)
  expect(await answers(page)).not.toHaveLength(0)
  await sheet.calm()
})

test('failure 63: broken files give their sentence, and the sheet stays as it was', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  const before = await answers(page)
  const saved = await planText(page)
  const whole = readFileSync(ground)
  const broken = [
    { name: 'cut.tif', bytes: whole.subarray(0, Math.floor(whole.length / 2)), says: /cut off|ends too early|damaged/ },
    { name: 'head-only.tif', bytes: whole.subarray(0, 6), says: /cut off|ends too early|damaged|contradicts/ },
    { name: 'words.tif', bytes: 'this is no raster at all', says: /no ground that can be read/ },
    { name: 'empty.tif', bytes: '', says: /empty/ },
    { name: 'cut.geojson', bytes: '{"type":"FeatureCollection","features":[{', says: /not JSON|cut off/ },
    { name: 'swapped.csv', bytes: 'duration_h,chance_per_year,depth_mm\n24,0.5,60\n1,0.5,90\n', says: /contradicts itself/ },
    {
      name: 'hostile.soakline.json',
      bytes: '{"format":"soakline-plan/1","__proto__":{"polluted":1}}',
      says: /not opened|cannot be used|key/,
    },
    { name: 'song.mp3', bytes: 'ID3 no file for this page', says: /not read here/ },
  ]
  for (const { name, bytes, says } of broken) {
    await drop(page, { name, bytes })
    const line = await fileLine(page, name)
    expect(await line.textContent(), name).toMatch(says)
    expect(await line.textContent(), name).toContain('Not taken')
    expect(await line.isVisible()).toBe(true)
  }
  await sameAnswers(page, before)
  expect(await planText(page)).toBe(saved)
  await sheet.calm()
})

test('failure 93: features, rain, settings and a plan dropped end in one visible line each; text from a file stays text', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  const before = await answers(page)
  const hostile = '<img src=x onerror="document.body.dataset.hacked=1">'
  const features = {
    type: 'FeatureCollection',
    features: [
      {
        type: 'Feature',
        properties: { kind: 'building', name: hostile },
        geometry: {
          type: 'Polygon',
          coordinates: [
            [
              [-32.8625, 36.507],
              [-32.8624, 36.507],
              [-32.8624, 36.5071],
              [-32.8625, 36.5071],
              [-32.8625, 36.507],
            ],
          ],
        },
      },
    ],
  }
  await drop(page, { name: 'shed.geojson', bytes: JSON.stringify(features) })
  expect(await (await fileLine(page, 'shed.geojson')).textContent()).toMatch(/Taken 1 drawn thing\./)
  await page.getByRole('tab', { name: 'Drawn' }).click()
  await page.getByText(hostile, { exact: true }).first().waitFor()
  expect(await page.locator('img[src="x"]').count()).toBe(0)

  await drop(page, { name: 'wet.csv', bytes: 'duration_h,chance_per_year,depth_mm\n24,0.5,60\n24,0.04,250\n' })
  expect(await (await fileLine(page, 'wet.csv')).textContent()).toMatch(/as the rain table, 2 rows/)
  await drop(page, { name: 'soil.json', bytes: '{"soilGroup":"D"}' })
  expect(await (await fileLine(page, 'soil.json')).textContent()).toMatch(/Taken 1 setting\./)
  const wetter = await answers(page)
  expect(wetter).not.toEqual(before)
  const saved = await planText(page)

  await page.getByRole('button', { name: /On the bench/ }).click()
  await otherAnswers(page, wetter)
  await drop(page, { name: 'saved.soakline.json', bytes: saved })
  expect(await (await fileLine(page, 'saved.soakline.json')).textContent()).toContain('as the plan')
  await sameAnswers(page, wetter)
  expect(await planText(page)).toBe(saved)

  await drop(page, { name: 'line.geojson', bytes: readFileSync(demoFile('line-bench.geojson')) })
  expect(await (await fileLine(page, 'line.geojson')).textContent()).toMatch(/as the line, \d+ points/)
  await otherAnswers(page, wetter)

  await drop(page, { name: 'kindless.geojson', bytes: JSON.stringify({ type: 'Point', coordinates: [-32.8632, 36.5068] }) })
  await page.getByRole('heading', { name: 'One question about this file' }).waitFor()
  await page.getByRole('combobox', { name: /kindless\.geojson/ }).selectOption('well')
  await page.getByRole('button', { name: 'Read it so' }).click()
  expect(await (await fileLine(page, 'kindless.geojson')).textContent()).toMatch(/Taken 1 drawn thing/)
  expect(await page.evaluate(() => document.body.dataset.hacked ?? null)).toBeNull()

  await page.getByRole('button', { name: 'Report' }).click()
  await page.getByRole('dialog').frameLocator('iframe').locator('figure.plan svg').first().waitFor()
  expect(await page.evaluate(() => document.body.dataset.hacked ?? null)).toBeNull()
  await sheet.calm()
})

test('failure 85: a second visit opens the work of the first; another ground sets it aside, and one can go back', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  const before = await answers(page)
  await page.getByRole('button', { name: /On the bench/ }).click()
  await otherAnswers(page, before)
  const bench = await answers(page)
  await savingSays(page, SAVED)
  const saved = await planText(page)
  await page.reload()
  await page.getByText('Your work from last time is open again.').waitFor()
  await sameAnswers(page, bench)
  expect(await planText(page)).toBe(saved)

  await drop(page, fileFrom(ground, 'other.tif'))
  await fileLine(page, 'other.tif')
  await page.getByRole('tab', { name: 'Ground' }).click()
  await page.getByRole('button', { name: 'Back to the work before' }).click()
  await page.getByRole('tab', { name: 'Answers' }).click()
  await sameAnswers(page, bench)
  expect(await planText(page)).toBe(saved)
  await sheet.calm()
})

test('failure 84: a second tab looks but does not change anything', async () => {
  const first = await openSheet(house, { drawn: false })
  const second = await openTab(first.context, house.url)
  await second.page.getByText(/The sheet is open in another tab/).waitFor()
  const before = await answers(second.page)
  await second.page.getByRole('button', { name: /On the bench/ }).click()
  await expect.poll(() => second.page.locator('.undo-redo button').first().isEnabled()).toBe(false)
  await sameAnswers(second.page, before)
  await second.page.getByRole('button', { name: /Work here all the same/ }).click()
  await second.page.getByRole('button', { name: /On the bench/ }).click()
  await otherAnswers(second.page, before)
})
