import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { answers, DESKTOP, demoFile, drop, fileFrom, fileLine, houseForTests, openTab, PATIENCE_MS } from '../helpers/open-sheet.js'

// Text from files is text everywhere: in names, keys, descriptions, links and notes. Cases 93, 94 and 96 of tests/failures.test.ts.

const house = houseForTests()
/** Everything that would leave the machine comes here: a proxy that writes down who was asked for and refuses. */
let proxy: Server
const left: string[] = []
beforeAll(async () => {
  proxy = createServer((request, response) => {
    left.push(String(request.url))
    response.writeHead(403).end()
  })
  proxy.on('connect', (request, socket) => {
    left.push(String(request.url))
    socket.end('HTTP/1.1 403 Forbidden\r\n\r\n')
  })
  await new Promise<void>(resolve => proxy.listen(0, '127.0.0.1', resolve))
})
afterAll(() => {
  proxy?.closeAllConnections()
  proxy?.close()
})

/** Each tells the page when it runs, and asks a stranger for something when it is loaded. */
const hostile = (where: string): string =>
  `<img src="http://stranger.invalid/${where}" onerror="struck('${where}')"><svg onload="struck('${where}')"></svg><script>struck('${where}')</script><a href="javascript:struck('${where}')">${where}</a>`

const xml = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;')

const building = (name: string, more: object) => ({
  type: 'Feature',
  properties: { kind: 'building', name, ...more },
  geometry: { type: 'Point', coordinates: [0, 0] },
})

test(
  'failures 93, 94: script in names, keys, descriptions, links and notes of files never runs, and nothing leaves the machine',
  async () => {
    const { port } = proxy.address() as AddressInfo
    const context = await house.browser.newContext({
      ...DESKTOP,
      locale: 'en-GB',
      reducedMotion: 'reduce',
      proxy: { server: `http://127.0.0.1:${port}`, bypass: '127.0.0.1' },
    })
    // The proxy does see what is asked of strangers, by a page as well as by a worker.
    const probe = await context.newPage()
    await probe.goto('http://stranger.invalid/probe').catch(() => undefined)
    expect(left.splice(0)).not.toEqual([])
    await probe.close()

    await context.addInitScript(() => {
      const struck: string[] = []
      Object.assign(window, { struck: (where: string) => struck.push(where), struckSoFar: () => struck })
    })
    const sheet = await openTab(context, house.url)
    const { page } = sheet
    page.on('dialog', dialog => {
      left.push(`dialog ${dialog.message()}`)
      void dialog.dismiss()
    })
    await answers(page)
    const [lon, lat] = await page.evaluate(async () => {
      const { features } = (await (await fetch('demo/features.geojson')).json()) as { features: { geometry: { coordinates: unknown } }[] }
      const first = (value: unknown): number[] =>
        Array.isArray(value) && typeof value[0] === 'number' ? value : first((value as unknown[])[0])
      return first(features[0]!.geometry.coordinates)
    })
    const at = { geometry: { type: 'Point', coordinates: [lon, lat] } }

    await drop(page, {
      name: `a<img src=x onerror=struck('file')>.geojson`,
      bytes: JSON.stringify({
        type: 'FeatureCollection',
        [hostile('collection-key')]: hostile('collection-value'),
        features: [
          { ...building(hostile('name'), { [hostile('key')]: hostile('value'), description: hostile('description') }), ...at },
          { ...building('javascript:struck("bare")', {}), ...at },
        ],
      }),
    })
    await fileLine(page, 'onerror')
    await drop(page, {
      name: 'b.kml',
      bytes: `<?xml version="1.0"?><kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>${xml(hostile('document'))}</name>
        <Style id="s"><IconStyle><Icon><href>javascript:struck('icon')</href></Icon></IconStyle></Style>
        <NetworkLink><Link><href>http://stranger.invalid/link.kml</href></Link></NetworkLink>
        <Placemark><name>${xml(hostile('placemark'))}</name><styleUrl>http://stranger.invalid/style#s</styleUrl>
        <description><![CDATA[${hostile('balloon')}]]></description><Point><coordinates>${lon},${lat}</coordinates></Point></Placemark></Document></kml>`,
    })
    await page.getByRole('tab', { name: 'Answers' }).click()
    const asked = page.locator('form.question')
    await asked.getByRole('combobox').selectOption('building')
    await asked.getByRole('button').first().click()
    await fileLine(page, 'b.kml')

    // Every name stands there, letter by letter.
    await page.getByRole('tab', { name: 'Drawn' }).click()
    for (const name of ['name', 'placemark']) {
      const written = page.locator('.leaf').getByText(`struck('${name}')`)
      const typed = page.locator(`.leaf input[value*="struck('${name}')"]`)
      await expect.poll(async () => (await written.count()) + (await typed.count()), { timeout: PATIENCE_MS }).toBeGreaterThan(0)
    }
    const plan = JSON.stringify({
      format: 'soakline-plan/1',
      holding: hostile('holding'),
      ground: { file: hostile('ground'), sha256: '', crs: 'EPSG:32625', elevationUnit: null, nodata: null },
      lines: [],
      features: [{ id: hostile('id'), name: hostile('plan-name'), kind: 'building', floor_m: null, ...at }],
      rain: [],
      ring: hostile('ring'),
      measuredStorm: { step_h: 0.5, depths_mm: [1, 2], source: hostile('source') },
      settings: {},
      attribution: hostile('attribution'),
    })
    await drop(page, { name: 'c.soakline.json', bytes: plan })
    await fileLine(page, 'c.soakline.json')
    await expect.poll(() => page.locator('.title-holding input').inputValue(), { timeout: PATIENCE_MS }).toContain("struck('holding')")
    await drop(page, fileFrom(demoFile('line-bench.geojson')))
    await answers(page)
    for (const tab of ['Drawn', 'Settings', 'Ground', 'Build', 'Answers']) {
      await page.getByRole('tab', { name: tab }).click()
      await page.waitForTimeout(300)
      for (const summary of await page.locator('.leaf summary').all())
        await summary.evaluate(element => (element as HTMLElement).click()).catch(() => undefined)
    }
    // The printed report is a document of its own.
    await page.getByRole('button', { name: 'Report' }).first().click()
    const report = page.frameLocator('iframe')
    await report.getByText("struck('holding')").first().waitFor()
    expect(await report.locator('script, img[src^="http"], a[href^="javascript"]').count()).toBe(0)

    expect(await page.evaluate(() => (window as unknown as { struckSoFar(): string[] }).struckSoFar())).toEqual([])
    expect(await page.locator('#sheet script, #sheet img, #sheet a[href^="javascript"], #sheet [onload], #sheet [onerror]').count()).toBe(0)
    // The browser asks its maker about form fields by itself, whatever page has them: no page can hinder that.
    expect(left.filter(asked => !/^[\w.-]+\.(googleapis|google|gvt1)\.com:443$/.test(asked))).toEqual([])
    await sheet.calm()
  },
  8 * PATIENCE_MS,
)

test(
  'failure 96: keys that reach into the page’s own objects are refused or lead nowhere',
  async () => {
    const context = await house.browser.newContext({ ...DESKTOP, locale: 'en-GB', reducedMotion: 'reduce' })
    const { page, calm } = await openTab(context, house.url)
    await answers(page)
    const files = {
      'plan.soakline.json': '{"format":"soakline-plan/1","__proto__":{"polluted":1},"constructor":{"prototype":{"polluted":1}}}',
      'settings.json': '{"bedWidth_m":1,"__proto__":{"polluted":1}}',
      'features.geojson':
        '{"type":"FeatureCollection","__proto__":{"polluted":1},"features":[{"type":"Feature","properties":{"kind":"building","__proto__":{"polluted":1},"constructor":{"prototype":{"polluted":1}}},"geometry":null}]}',
    }
    for (const [name, bytes] of Object.entries(files)) {
      await drop(page, { name, bytes })
      await fileLine(page, name)
    }
    expect(await page.evaluate(() => [({} as { polluted?: unknown }).polluted, ([] as { polluted?: unknown }).polluted])).toEqual([
      undefined,
      undefined,
    ])
    await answers(page)
    await calm()
  },
  4 * PATIENCE_MS,
)

test(
  'failure 97: under the page’s policy text does not become markup, code or a worker',
  async () => {
    const context = await house.browser.newContext({ ...DESKTOP, locale: 'en-GB' })
    const { page } = await openTab(context, house.url)
    await answers(page)
    const refused = await page.evaluate(() => {
      const tries: Record<string, () => unknown> = {
        markup: () => {
          document.createElement('div').innerHTML = '<b>bold</b>'
        },
        worker: () => new Worker('https://stranger.invalid/worker.js'),
        blobWorker: () => new Worker(URL.createObjectURL(new Blob(['1'], { type: 'text/javascript' }))),
        script: () => {
          document.createElement('script').src = 'https://stranger.invalid/a.js'
        },
        scriptText: () => {
          document.createElement('script').text = 'window.polluted = 1'
        },
        policy: () =>
          (window as unknown as { trustedTypes: { createPolicy(name: string, rules: object): unknown } }).trustedTypes.createPolicy(
            'another',
            {},
          ),
      }
      return Object.entries(tries)
        .filter(([, act]) => {
          try {
            act()
            return false
          } catch {
            return true
          }
        })
        .map(([name]) => name)
    })
    expect(refused).toEqual(['markup', 'worker', 'blobWorker', 'script', 'scriptText', 'policy'])
    const policy = await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute('content')
    expect(policy).not.toMatch(/'unsafe-(eval|inline|hashes)'/)
    expect(policy).toContain("require-trusted-types-for 'script'; trusted-types default")
  },
  4 * PATIENCE_MS,
)
