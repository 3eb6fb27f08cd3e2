// First ground in the built sheet out of a cloud-optimised raster of 20,480 × 20,480 cells behind an address: a square of some 1000 × 1000 cells by range
// requests from a server on this machine, from the press of the button that brings it until it is on the plan with its tint, and until all of it is drawn. Printed by run.mjs; also runs alone.
import { createServer } from 'node:http'
import { fileURLToPath } from 'node:url'
import { serve } from '../../.ci/serve.mjs'
import { openBrowser } from './drag-in-browser.mjs'
import { rangeRaster } from './range-read.mjs'

export async function windowInBrowser(times = 3) {
  const { bytes, touchedBytes, middle } = await rangeRaster()
  const read = { bytes: 0, requests: 0 }
  const server = createServer((request, response) => answer(request, response, bytes, read))
  await new Promise(done => server.listen(0, '127.0.0.1', done))
  const host = `127.0.0.1:${server.address().port}`
  const sheet = await serve({ port: 0 })
  const browser = await openBrowser()
  const runs = []
  try {
    for (let k = 0; k < times; k++) {
      const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, reducedMotion: 'reduce', locale: 'en-GB' })
      const page = await context.newPage()
      await page.addInitScript(listen)
      await page.goto(sheet.url)
      await page.waitForSelector('[data-ready][data-shows=answer]', { timeout: 120_000 })
      await page.waitForFunction(() => !document.querySelector('.whole-progress progress'), undefined, { timeout: 120_000 })
      await chooseWindow(page, `http://${host}/large.tif`, middle)
      Object.assign(read, { bytes: 0, requests: 0 })
      runs.push(await page.evaluate(pressAndWait, `Say yes to ${host} and bring`))
      await context.close()
    }
  } finally {
    await browser.close()
    await sheet.close()
    server.close()
    server.closeAllConnections()
  }
  return {
    window: 1000,
    requests: read.requests,
    read_bytes: read.bytes,
    touched_bytes: touchedBytes,
    ratio: read.bytes / touchedBytes,
    ...runs.reduce((best, run) => (run.pictured_ms < best.pictured_ms ? run : best)),
    first_pictured_ms: runs[0].pictured_ms,
    worst_pictured_ms: Math.max(...runs.map(run => run.pictured_ms)),
    worst_drawn_ms: Math.max(...runs.map(run => run.drawn_ms)),
  }
}

/** One part of the raster, as a server with ranges for all origins gives it. */
function answer(request, response, bytes, read) {
  const free = {
    'access-control-allow-origin': '*',
    'access-control-allow-headers': 'range',
    'access-control-expose-headers': 'content-range, content-length',
  }
  const [, from, to] = /bytes=(\d+)-(\d+)/.exec(request.headers.range ?? '') ?? []
  if (from === undefined) return response.writeHead(request.method === 'OPTIONS' ? 204 : 400, free).end()
  const part = bytes.subarray(Number(from), Math.min(bytes.length, Number(to) + 1))
  read.bytes += part.length
  read.requests++
  response.writeHead(206, {
    ...free,
    'content-range': `bytes ${from}-${Number(from) + part.length - 1}/${bytes.length}`,
    'content-length': part.length,
  })
  response.end(part)
}

async function chooseWindow(page, address, [longitude, latitude]) {
  await page.getByRole('tab', { name: 'Ground' }).click()
  const part = page.locator('.open-data')
  await part.locator('> summary').click()
  await part.getByText('Add a source').click()
  await part.getByLabel('Address of a GeoTIFF').fill(address)
  await part.getByLabel('Name', { exact: true }).fill('Large')
  await part.getByLabel('Whom it is owed to').fill('Nobody')
  await part.getByRole('button', { name: 'Add', exact: true }).click()
  await part.getByLabel('Latitude, longitude').fill(`${latitude}, ${longitude}`)
  await part.getByRole('button', { name: 'Set' }).click()
  await part.getByLabel('Its side').selectOption('1000')
}

/** In the page: when the workers last answered each question. */
function listen() {
  const asked = new Map()
  window.answeredAt = {}
  const RealWorker = window.Worker
  window.Worker = class extends RealWorker {
    constructor(...given) {
      super(...given)
      this.addEventListener('message', ({ data }) => {
        if (data?.picture) {
          window.answeredAt.picture = performance.now()
          delete window.answeredAt.tile
        }
        const question = asked.get(data?.id)
        if (question === undefined || !data.ok) return
        // Of the tinted tiles the first on new ground counts.
        if (question !== 'tile') window.answeredAt[question] = performance.now()
        else if (data.value !== null) window.answeredAt.tile ??= performance.now()
      })
    }
    postMessage(letter, ...rest) {
      if (letter?.id !== undefined) asked.set(letter.id, letter.question)
      if (letter?.question !== undefined) window.answeredAt[`${letter.question} asked`] = performance.now()
      return super.postMessage(letter, ...rest)
    }
  }
}

/**
 * In the page: presses the button, and waits for the picture of the ground that comes of it. Gives the milliseconds until the heights were brought, until they
 * were read, until the first tile of it was tinted, until the ground as far as it is in sight was on the plan, until it was studied, and until all of it was drawn,
 * contours too.
 */
function pressAndWait(name) {
  const ready = () => document.querySelector('[data-ready]')?.getAttribute('data-ready') ?? ''
  const before = Number(ready())
  let pictured_ms = null
  const button = [...document.querySelectorAll('button')].find(one => one.textContent === name)
  if (!button || button.disabled) throw new Error(`There is no button "${name}" to be pressed.`)
  const since = performance.now()
  button.click()
  return new Promise((done, fail) => {
    const look = () => {
      const alert = document.querySelector('.open-data [role=alert]')
      if (pictured_ms === null && Number(document.querySelector('[data-pictured]')?.getAttribute('data-pictured')) > before)
        pictured_ms = performance.now() - since
      if (alert) fail(new Error(alert.textContent ?? ''))
      else if (Number(ready()) > before) {
        const at = { brought_ms: 'bringGround', read_ms: 'openGround asked', studied_ms: 'openGround', tinted_ms: 'tile' }
        const stages = Object.entries(at).map(([name, what]) => [name, window.answeredAt[what] - since])
        done({ ...Object.fromEntries(stages), pictured_ms, drawn_ms: performance.now() - since })
      } else if (performance.now() - since > 120_000) fail(new Error('No ground was drawn within two minutes.'))
      else requestAnimationFrame(look)
    }
    look()
  })
}

if (process.argv[1] === fileURLToPath(import.meta.url)) console.log(JSON.stringify(await windowInBrowser()))
