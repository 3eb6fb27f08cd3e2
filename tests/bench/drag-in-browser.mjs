// Time of an answer while the middle of a line is dragged in the built sheet, on 1000 × 1000 cells at 1 m: in the worker, and from the
// finger to the sentence; and the longest task of the page's main thread meanwhile, by the clock and by the processor's time (on a machine that
// draws by software on the same cores, much of a task by the clock is waiting for the drawing). Printed by run.mjs; also runs alone.
import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { chromium } from 'playwright-core'
import { serve } from '../../.ci/serve.mjs'
import { writeGeoTiff } from '../../packages/io/dist/index.js'
import { hillside } from './drag.mjs'

const PLACES = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome']

/** Side of a building, in degrees. */
const HOUSE_DEG = 0.0001

export async function dragInBrowser(side = 1000, moves = 40) {
  const server = await serve({ port: 0 })
  const browser = await openBrowser()
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 }, reducedMotion: 'reduce', locale: 'en-GB' })
    await page.addInitScript(listen)
    await page.goto(server.url)
    await page.waitForSelector('.answers[aria-busy=false] .answer', { timeout: 120_000 })

    const { geometry, data } = hillside(side)
    // In UTM zone 30 north, so that drawn things can be laid on it in degrees.
    const ground = { geometry: { ...geometry, crs: 'EPSG:32630', west_m: 500_000, north_m: 4_000_000 + side }, data }
    await drop(page, 'hillside.tif', await writeGeoTiff(ground, { unit: 'm' }))
    await page.locator('.notices .files li', { hasText: 'hillside.tif' }).waitFor({ timeout: 120_000 })
    await drop(page, 'houses.geojson', JSON.stringify(houses()))
    await page.locator('.notices .files li', { hasText: 'houses.geojson' }).waitFor({ timeout: 60_000 })
    await page.waitForSelector('[data-ready]', { timeout: 120_000 })

    const canvas = await page.locator('canvas.maplibregl-canvas').boundingBox()
    const tab = page.getByRole('tab').first()
    await tab.click()
    await page.mouse.click(canvas.x + canvas.width / 2 + 40, canvas.y + canvas.height / 2)
    await page.waitForSelector('.answers[aria-busy=false] .answer', { timeout: 60_000 })
    await page.waitForSelector('[data-ready]', { timeout: 120_000 })

    const handle = await page.locator('.plan-handle-line-through').boundingBox()
    const [x, y] = [handle.x + handle.width / 2, handle.y + handle.height / 2]
    await page.mouse.move(x, y)
    await page.mouse.down()
    const drag = async steps => {
      await page.evaluate(() => window.bench.start())
      for (const k of steps) {
        const before = await page.evaluate(() => window.bench.answered())
        await page.mouse.move(x + k, y - 0.7 * k)
        await page.waitForFunction(count => window.bench.answered() > count, before, { timeout: 5000 }).catch(() => undefined)
      }
      return page.evaluate(() => window.bench.stop())
    }
    const steps = Array.from({ length: moves }, (_, k) => k + 1)
    const { answers } = await drag(steps)
    // The way back is for the page's main thread: what is noted of its tasks takes time from the worker, on two cores.
    await browser.startTracing(page, { categories: ['devtools.timeline', 'toplevel'] })
    const { tasks } = await drag([...steps].reverse().slice(1))
    const busiest = busiestTask(JSON.parse(String(await browser.stopTracing())).traceEvents)
    await page.mouse.up()
    const worker = answers.map(a => a.took_ms)
    const round = answers.map(a => a.round_ms)
    return {
      side,
      moves,
      answers: answers.length,
      worker_median_ms: median(worker),
      worker_p95_ms: [...worker].sort((a, b) => a - b)[Math.ceil(0.95 * worker.length) - 1] ?? Number.NaN,
      worker_worst_ms: Math.max(...worker),
      round_median_ms: median(round),
      round_worst_ms: Math.max(...round),
      ...tasks,
      ...busiest,
    }
  } finally {
    await browser.close()
    await server.close()
  }
}

/** A Chromium that draws by software. */
export function openBrowser() {
  const executablePath = process.env.CHROMIUM_PATH ?? PLACES.find(path => existsSync(path))
  if (!executablePath) throw new Error('No Chromium was found. Name one in CHROMIUM_PATH, and run the benchmark again.')
  return chromium.launch({ executablePath, args: ['--use-angle=swiftshader', '--enable-unsafe-swiftshader'] })
}

const median = list => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)] ?? Number.NaN

/** The most processor time of one task on the page's main thread, with and without the frames that draw the plan. */
export function busiestTask(events) {
  const frames = new Map()
  const of = event => `${event.pid} ${event.tid}`
  for (const event of events) if (event.name === 'FireAnimationFrame') frames.set(of(event), (frames.get(of(event)) ?? 0) + 1)
  const [thread] = [...frames].sort((a, b) => b[1] - a[1])[0] ?? []
  const mine = events.filter(event => of(event) === thread && event.ph === 'X' && event.tdur > 0)
  const draws = mine.filter(event => event.name === 'FireAnimationFrame')
  const tasks = mine.filter(event => event.name === 'RunTask' || event.name === 'ThreadControllerImpl::RunTask')
  const drawing = task =>
    draws.filter(({ ts, dur }) => ts >= task.ts && ts + dur <= task.ts + task.dur).reduce((sum, draw) => sum + draw.tdur, 0)
  const most = list => list.reduce((a, b) => Math.max(a, b), 0) / 1000
  return { busiestTask_cpu_ms: most(tasks.map(t => t.tdur)), busiestTaskWithoutDrawing_cpu_ms: most(tasks.map(t => t.tdur - drawing(t))) }
}

/** In the page: listens in on the worker's letters, on long tasks, and on the time that drawing frames takes. */
function listen() {
  const answers = []
  const asked = new Map()
  let on = false
  const RealWorker = window.Worker
  window.Worker = class extends RealWorker {
    constructor(...given) {
      super(...given)
      this.addEventListener('message', ({ data }) => {
        const sentAt = asked.get(data?.id)
        if (sentAt === undefined || typeof data.value?.took_ms !== 'number') return
        asked.delete(data.id)
        if (on) answers.push({ took_ms: data.value.took_ms, round_ms: performance.now() - sentAt })
      })
    }
    postMessage(letter, ...rest) {
      if (letter?.question === 'answer') asked.set(letter.id, performance.now())
      return super.postMessage(letter, ...rest)
    }
  }
  // Frames that draw WebGL are told apart by their callback: only those that call a draw command count as drawing.
  let drew = false
  for (const name of ['drawElements', 'drawArrays']) {
    const real = WebGL2RenderingContext.prototype[name]
    WebGL2RenderingContext.prototype[name] = function (...given) {
      drew = true
      return Reflect.apply(real, this, given)
    }
  }
  const drawn = []
  const realFrame = window.requestAnimationFrame
  window.requestAnimationFrame = act =>
    realFrame.call(window, time => {
      drew = false
      const from = performance.now()
      act(time)
      if (drew && on) drawn.push({ from, to: performance.now() })
    })
  const long = []
  const observer = new PerformanceObserver(list => {
    if (on) long.push(...list.getEntries().map(({ startTime, duration }) => ({ from: startTime, to: startTime + duration })))
  })
  observer.observe({ type: 'longtask' })
  window.bench = {
    answered: () => answers.length,
    start() {
      answers.length = 0
      long.length = 0
      drawn.length = 0
      on = true
    },
    async stop() {
      await new Promise(done => setTimeout(done, 300))
      on = false
      const rest = long.map(task => {
        const drawing = drawn.reduce((sum, d) => sum + Math.max(0, Math.min(d.to, task.to) - Math.max(d.from, task.from)), 0)
        return task.to - task.from - drawing
      })
      const most = list => (list.length === 0 ? 0 : Math.max(...list))
      return {
        answers: [...answers],
        tasks: {
          longTasks: long.length,
          longestTask_ms: most(long.map(t => t.to - t.from)),
          longestTaskWithoutDrawing_ms: most(rest),
          longestDrawing_ms: most(drawn.map(d => d.to - d.from)),
        },
      }
    },
  }
}

async function drop(page, name, bytes) {
  await page.evaluate(
    ({ name, base64 }) => {
      const data = new DataTransfer()
      data.items.add(new File([Uint8Array.from(atob(base64), c => c.charCodeAt(0))], name))
      for (const type of ['dragover', 'drop'])
        document.body.dispatchEvent(new DragEvent(type, { bubbles: true, cancelable: true, dataTransfer: data }))
    },
    { name, base64: Buffer.from(bytes).toString('base64') },
  )
}

/** Two buildings below the middle of the ground, in degrees. */
function houses() {
  const box = (name, x, y) => ({
    type: 'Feature',
    properties: { kind: 'building', name },
    geometry: {
      type: 'Polygon',
      coordinates: [
        [
          [x, y],
          [x + HOUSE_DEG, y],
          [x + HOUSE_DEG, y + HOUSE_DEG],
          [x, y + HOUSE_DEG],
          [x, y],
        ],
      ],
    },
  })
  // Easting 500 450 to 500 600, northing 4 000 150 to 4 000 200.
  return { type: 'FeatureCollection', features: [box('Cabin', -2.995, 36.1437), box('Barn', -2.9933, 36.1432)] }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) console.log(JSON.stringify(await dragInBrowser()))
