import { readFile } from 'node:fs/promises'
import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { extname, join, normalize } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import * as hydrology from 'soakline/hydrology'
import * as plan from 'soakline/plan'
import type { ElevationGrid } from 'soakline/raster'
import * as terrains from 'soakline/terrain'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { openChromium } from '../helpers/chromium.js'
import { repositoryRoot } from '../helpers/repository.js'
import { type Terrain, terrain } from '../helpers/surfaces.js'
import { fingerprints } from './fingerprints.mjs'

// Given the same bits of a ground, rasters, lines and verdicts are the same bits in Node and in the browser; other numbers agree as printed.
// The library is served as it was built, without the sheet: plain modules, no bundler between.

const PLACES: Readonly<Record<string, string>> = { '/soakline/': 'packages/soakline/dist', '/tests/': 'tests/browser' }

let server: Server
let browser: Browser
let page: Page
beforeAll(async () => {
  server = createServer((request, response) => {
    const path = normalize(decodeURIComponent(new URL(request.url ?? '/', 'http://here').pathname))
    const [under, folder] = Object.entries(PLACES).find(([start]) => path.startsWith(start)) ?? []
    const type = { '.js': 'text/javascript', '.mjs': 'text/javascript' }[extname(path)]
    if (!under || !folder || !type) return void response.writeHead(200, { 'content-type': 'text/html' }).end('<!doctype html>')
    readFile(join(repositoryRoot, folder, path.slice(under.length))).then(
      text => response.writeHead(200, { 'content-type': type }).end(text),
      () => response.writeHead(404).end(),
    )
  })
  await new Promise<void>(done => server.listen(0, '127.0.0.1', done))
  browser = await openChromium()
  page = await browser.newPage()
  await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`)
})
afterAll(async () => {
  await browser?.close()
  server?.closeAllConnections()
  server?.close()
})

/** The same fingerprints, taken in the page. As text: the page shall load the modules itself. */
async function inThePage({ geometry, data }: ElevationGrid, withKernels = false): Promise<Record<string, string>> {
  const cells = Buffer.from(data.buffer, data.byteOffset, data.byteLength).toString('base64')
  const script = `(async ([geometry, cells, withKernels]) => {
    const rooms = {}
    for (const room of ['hydrology', 'plan', 'raster', 'terrain']) rooms[room] = await import('/soakline/' + room + '/index.js')
    const { fingerprints } = await import('/tests/fingerprints.mjs')
    const data = new Float32Array(Uint8Array.from(atob(cells), c => c.charCodeAt(0)).buffer)
    const kernels = withKernels ? await (await import('/soakline/kernels/index.js')).openKernels() : null
    if (withKernels && !kernels) throw new Error('the page opens no kernels')
    return fingerprints(rooms, { quantity: 'elevation_m', geometry, data }, kernels)
  })(${JSON.stringify([geometry, cells, withKernels])})`
  return page.evaluate(script) as Promise<Record<string, string>>
}

const GROUNDS: readonly (readonly [Terrain, number])[] = [
  ['smooth', 11],
  ['rough', 12],
  ['lakes', 13],
  ['decimetres', 14],
  ['metres with gaps', 15],
]

describe('the same bits in Node and in the browser', () => {
  test.each(GROUNDS)('failure 81: %s ground, seed %d', async (kind, seed) => {
    const ground = terrain(kind, seed, 90, 70, 2)
    const here = await fingerprints({ hydrology, plan, terrain: terrains }, ground)
    expect(Object.keys(here).length).toBeGreaterThan(14)
    expect(await inThePage(ground)).toEqual(here)
  })

  test.each(GROUNDS)('%s ground, seed %d, by the compiled kernels in the page', async (kind, seed) => {
    const ground = terrain(kind, seed, 90, 70, 2)
    expect(await inThePage(ground, true)).toEqual(await fingerprints({ hydrology, plan, terrain: terrains }, ground))
  })

  test('the hash tells a last bit', async () => {
    const ground = terrain('smooth', 11, 90, 70, 2)
    const before = await inThePage(ground)
    ground.data[3000] = ground.data[3000]! * (1 + 2 ** -22)
    const after = await inThePage(ground)
    expect(after.gradient).not.toBe(before.gradient)
    expect(after.toNext).not.toBe(before.toNext)
  })
})
