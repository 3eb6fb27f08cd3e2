import type { Page } from 'playwright-core'
import type { Plan } from 'soakline/plan'
import { expect, test } from 'vitest'
import { area, blob, buildGeoPackage, line, point } from '../../packages/io/test/geopackage-builder.js'
import { buildZip } from '../../packages/io/test/zip-builder.js'
import { drop, fileLine, houseForTests, openSheet, PATIENCE_MS, PHONE, planText } from '../helpers/open-sheet.js'

// Several layers in one file, and several files at once: told apart in one step, each file with its line.

const house = houseForTests()

/** Near the demo's cabin. */
const [LON, LAT] = [-32.8645, 36.5068]
const ring = (east: number): [number, number][] => [
  [LON + east, LAT],
  [LON + east + 0.0001, LAT],
  [LON + east + 0.0001, LAT + 0.0001],
  [LON + east, LAT],
]
const NAME = 'Shed <b>old</b>'
const farm = () =>
  buildGeoPackage([
    {
      name: 'sheds',
      columns: { name: 'TEXT' },
      rows: [
        [blob(area([ring(0)])), NAME],
        [blob(area([ring(0.0002)])), 'Byre'],
        [blob(point([Number.NaN, Number.NaN])), 'lost'],
      ],
    },
    { name: 'woods', rows: [[blob(area([ring(0.0005)]))]] },
    {
      name: 'fences',
      rows: [
        [
          blob(
            line([
              [LON, LAT],
              [LON + 0.0003, LAT],
            ]),
          ),
        ],
      ],
    },
  ])
const spot = (tag: string, east: number): string => `<${tag} lat="${LAT}" lon="${LON + east}"/>`
const walk = `<gpx>${spot('wpt', 0)}${spot('wpt', 0.0002)}<trk><trkseg>${spot('trkpt', 0)}${spot('trkpt', 0.001)}</trkseg><trkseg>${spot('trkpt', 0)}</trkseg></trk></gpx>`
const kml = (inner: string): string => `<?xml version="1.0"?><kml><Document>${inner}</Document></kml>`
const mark = (east: number): string => `<Placemark><Point><coordinates>${LON + east}, ${LAT}</coordinates></Point></Placemark>`

test('a GeoPackage: each layer to its own kind in one step, without a breach of the policy; empty shapes and what is left out are counted', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  await drop(page, { name: 'farm.gpkg', bytes: new Uint8Array(await farm()) })
  await page.getByRole('heading', { name: 'What do these 3 layers show?' }).waitFor()
  const go = page.getByRole('button', { name: 'Read it so' })
  expect(await go.isDisabled()).toBe(true)
  await page.getByLabel('sheds').selectOption('building')
  await page.getByLabel('woods').selectOption('forest')
  await page.getByLabel('fences').selectOption('leave')
  await go.click()
  const text = await (await fileLine(page, 'farm.gpkg')).textContent()
  expect(text).toMatch(/Taken 3 drawn things\./)
  expect(text).toMatch(/1 layer\(s\) with 1 feature\(s\) were left out, as you said/)
  expect(text).toMatch(/1 drawn feature\(s\) have no shape/)
  await page.getByRole('tab', { name: 'Drawn' }).click()
  await page.getByText(NAME, { exact: true }).first().waitFor()
  await sheet.calm()
})

test('several files at once: each is asked in its turn or refused, and each has its visible line; what was cut off says so', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  const whole = new Uint8Array(await farm())
  await drop(
    page,
    { name: 'cut.gpkg', bytes: whole.subarray(0, whole.length - 4096) },
    { name: 'walk.gpx', bytes: walk },
    { name: 'farm.kml', bytes: kml(`<Folder><name>Wells</name>${mark(0)}</Folder><Folder><name>Springs</name>${mark(0.0002)}</Folder>`) },
    { name: 'song.mp3', bytes: 'ID3' },
  )
  await page.getByRole('heading', { name: 'What do these 2 layers show?' }).waitFor()
  expect(await page.locator('.question').textContent()).toContain('walk.gpx')
  expect(await page.getByText('After this: farm.kml, song.mp3.').count()).toBe(1)
  await page.getByLabel('waypoints').selectOption('well')
  await page.getByLabel('tracks').selectOption('track')
  await page.getByRole('button', { name: 'Read it so' }).click()
  await page.getByLabel('Wells').selectOption('well')
  await page.getByLabel('Springs').selectOption('spring')
  await page.getByRole('button', { name: 'Read it so' }).click()
  await fileLine(page, 'song.mp3')
  const lines = await page.locator('.notices .files li').allTextContents()
  expect(lines.length).toBe(4)
  const about = (name: string) => lines.find(said => said.includes(name)) ?? ''
  expect(about('cut.gpkg')).toMatch(/Not taken.*ends too early/)
  expect(about('walk.gpx')).toMatch(/Taken 3 drawn things.*1 drawn feature\(s\) have no shape/)
  expect(about('farm.kml')).toMatch(/Taken 2 drawn things/)
  expect(about('song.mp3')).toMatch(/Not taken/)
  await sheet.calm()
})

test('on a telephone in Spanish: an archive of layers, one of them cut off, in one step; left open it says so', async () => {
  const sheet = await openSheet(house, { screen: { ...PHONE, locale: 'es-ES' } })
  const { page } = sheet
  const archive = buildZip([
    {
      name: 'casas.geojson',
      content: JSON.stringify({
        type: 'FeatureCollection',
        features: [{ type: 'Feature', properties: {}, geometry: { type: 'Point', coordinates: [LON, LAT] } }],
      }),
    },
    { name: 'pozos.kml', content: kml(mark(0.0002)) },
    { name: 'roto.shp', content: 'no shapefile' },
  ])
  await drop(page, { name: 'finca.zip', bytes: new Uint8Array(archive) })
  await page.getByRole('heading', { name: '¿Qué muestran estas 3 capas?' }).waitFor()
  expect(await page.locator('.question').textContent()).toMatch(/roto\.shp: .*no empieza como un shapefile/)
  const width = await page.locator('.question').evaluate(form => form.scrollWidth - form.clientWidth)
  expect(width).toBeLessThanOrEqual(0)
  await page.getByLabel('casas.geojson').selectOption('building')
  await page.getByLabel('pozos.kml').selectOption('well')
  await page.getByRole('button', { name: 'Leerlo así' }).click()
  expect(await (await fileLine(page, 'finca.zip')).textContent()).toMatch(
    /Tomado 2 cosas dibujadas.*1 capa\(s\) del archivo no se pudieron leer/,
  )
  await drop(page, { name: 'solo.kml', bytes: kml(mark(0)) })
  await page.getByRole('button', { name: 'Dejarlo' }).click({ timeout: PATIENCE_MS })
  expect(await (await fileLine(page, 'solo.kml')).textContent()).toMatch(/No tomado.*quedó sin respuesta/)
  await sheet.calm()
})

test('a raster without a system: found by two known points, by a place, and what is chosen opens it', async () => {
  const sheet = await openSheet(house)
  const { page } = sheet
  const rows = Array.from({ length: 20 }, (_, row) => Array.from({ length: 20 }, (_, k) => 100 - row - k / 4).join(' ')).join('\n')
  await drop(page, { name: 'bare.asc', bytes: `ncols 20\nnrows 20\nxllcorner 500000\nyllcorner 5200000\ncellsize 2\n${rows}\n` })
  const go = page.getByRole('button', { name: 'Read it so' })
  await page.getByText('I know roughly where it lies').click()
  await page.getByLabel('A place near it').fill('46.9, 9')
  await page.getByRole('button', { name: 'Look for systems that fit' }).click()
  await page.getByRole('group', { name: 'Which of these is it?' }).waitFor({ timeout: 2 * PATIENCE_MS })
  expect(await go.isDisabled()).toBe(true)
  expect(await page.getByRole('group', { name: 'Which of these is it?' }).textContent()).toContain('WGS 84 / UTM zone 32N (EPSG:32632)')
  await page.getByText('I know two of its points on Earth').click()
  expect(await page.getByText('The file runs from 500000, 5200000 to 500040, 5200040.').count()).toBe(1)
  // The two corners by gdaltransform of GDAL 3.6.2 (PROJ 9.1.1), EPSG:32632 to EPSG:4326.
  await page.getByLabel('Where that is on Earth').nth(0).fill('46.95352920, 9.00000000')
  await page.getByLabel('Where that is on Earth').nth(1).fill('46.95388915, 9.00052569')
  await page.getByRole('button', { name: 'Look for systems that fit' }).click()
  await page.getByText('WGS 84 / UTM zone 32N (EPSG:32632)').first().click()
  await go.click()
  await fileLine(page, 'bare.asc')
  await page.getByRole('tab', { name: 'Ground' }).click()
  expect(await page.locator('.ground-card').textContent()).toContain('EPSG:32632')
  await sheet.calm()
})

test(
  'a layer without a system: that of the ground is offered by its name, and by two points or a place as for a raster',
  async () => {
    const sheet = await openSheet(house)
    const { page } = sheet
    const rows = Array.from({ length: 40 }, (_, row) => Array.from({ length: 40 }, (_, k) => 100 - row / 4 - k / 8).join(' ')).join('\n')
    const go = page.getByRole('button', { name: 'Read it so' })
    await drop(page, { name: 'bare.asc', bytes: `ncols 40\nnrows 40\nxllcorner 500000\nyllcorner 5200000\ncellsize 2\n${rows}\n` })
    await page.getByLabel('EPSG number').last().fill('32632')
    await go.click()
    await fileLine(page, 'bare.asc')
    const wells = (name: string) => ({ name, bytes: 'x,y,name\n500010,5200012,A\n500060,5200040,B\n' })
    const question = page.locator('form.question')
    const takenAs = async (name: string): Promise<void> => {
      await question.getByLabel(/What does .* show/).selectOption('well')
      await go.click()
      expect(await (await fileLine(page, name)).textContent()).toMatch(/Taken 2 drawn things/)
    }

    // Nothing is chosen before somebody says it, and plain metres are no answer on ground that has a place.
    await drop(page, wells('same.csv'))
    const own = question.getByLabel('The same as the ground: WGS 84 / UTM zone 32N (EPSG:32632)')
    await own.waitFor()
    expect(await question.getByRole('radio', { checked: true }).count()).toBe(0)
    expect(await go.isDisabled()).toBe(true)
    expect(await question.getByText('None: its coordinates').count()).toBe(0)
    await picture(page, 'layer-system')
    await own.check()
    await go.click()
    await takenAs('same.csv')
    const first = await planText(page)

    // The place that is looked near is at first that of the ground.
    await drop(page, wells('near.csv'))
    await question.getByText('I know roughly where it lies').click()
    expect(await question.getByLabel('A place near it').inputValue()).toMatch(/^46\.95\d*, 9\.000/)
    await page.getByRole('button', { name: 'Look for systems that fit' }).click()
    await page.getByText(/^WGS 84 \/ UTM zone 32N \(EPSG:32632\), /).waitFor({ timeout: 2 * PATIENCE_MS })
    await picture(page, 'layer-near')
    expect(await go.isDisabled()).toBe(true)
    await page.getByText(/^WGS 84 \/ UTM zone 32N \(EPSG:32632\), /).click()
    await go.click()
    await takenAs('near.csv')
    await question.waitFor({ state: 'detached' })
    const places = (text: string): string[] => (JSON.parse(text) as Plan).features.map(({ geometry }) => JSON.stringify(geometry))
    const all = places(await planText(page))
    expect(all.slice(2)).toEqual(all.slice(0, 2))
    expect(places(first)).toEqual(all.slice(0, 2))
    await sheet.calm()
  },
  6 * PATIENCE_MS,
)

/** The question as it is seen; left where `SOAKLINE_SHOTS` says. */
async function picture(page: Page, name: string): Promise<void> {
  const { SOAKLINE_SHOTS } = process.env
  if (SOAKLINE_SHOTS !== undefined) await page.screenshot({ path: `${SOAKLINE_SHOTS}/${name}.png` })
}
