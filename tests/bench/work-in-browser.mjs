// The demo in the built sheet: when its shaded ground is first drawn, in five fresh browsers without a trace, which slows; then, in a
// traced one, when its first answer and the picture of it stand; the busiest task of the page's main thread, by the processor's
// time, while it is opened, while whole answers and possible lines are worked out, and while the report is made; the longest stretch for which the
// worker hears nothing; and how soon a whole answer that is called off is left. Printed by run.mjs; also runs alone.
import { fileURLToPath } from 'node:url'
import { serve } from '../../.ci/serve.mjs'
import { busiestTask, openBrowser } from './drag-in-browser.mjs'

const CATEGORIES = ['devtools.timeline', 'toplevel']
const ANSWERED = '.answers[aria-busy=false] .answer'

export async function workInBrowser() {
  const server = await serve({ port: 0 })
  const ground = []
  for (let k = 0; k < 5; k++) ground.push(await firstGround_ms(server.url))
  const browser = await openBrowser()
  try {
    const page = await browser.newPage({ viewport: { width: 1000, height: 640 }, reducedMotion: 'reduce', locale: 'en-GB' })
    await page.addInitScript(listen)
    const traced = async act => {
      await browser.startTracing(page, { categories: CATEGORIES })
      await act()
      const { traceEvents } = JSON.parse(String(await browser.stopTracing()))
      return { ...busiestTask(traceEvents), worker_longestTurn_cpu_ms: longestTurn(traceEvents) }
    }
    const since = () => page.evaluate(() => performance.now())
    const whole = () => page.waitForFunction(() => !document.querySelector('.whole-progress progress'), undefined, { timeout: 120_000 })

    let [firstAnswer_ms, firstPicture_ms] = [0, 0]
    const opened = await traced(async () => {
      await page.goto(server.url)
      await page.waitForSelector(ANSWERED, { state: 'attached', timeout: 120_000 })
      firstAnswer_ms = await since()
      await page.waitForSelector('[data-ready][data-shows=answer]', { timeout: 120_000 })
      firstPicture_ms = await since()
      await whole()
    })
    const line = page.getByRole('button', { name: /On the bench|On the spur/ })
    const worked = await traced(async () => {
      await line.last().click()
      await page.waitForSelector('.whole-progress progress', { state: 'attached', timeout: 60_000 })
      await whole()
    })
    await line.first().click()
    await page.waitForSelector('.whole-progress progress', { state: 'attached', timeout: 60_000 })
    await page.waitForTimeout(300)
    await page.locator('.whole-progress button').click()
    await page.waitForFunction(() => window.calledOff.length > 0, undefined, { timeout: 60_000 })
    const calledOff_ms = await page.evaluate(() => window.calledOff[0])
    const reported = await traced(async () => {
      await page.getByRole('button', { name: 'Report' }).first().click()
      await page.frameLocator('iframe').locator('h1').first().waitFor({ timeout: 120_000 })
    })
    return {
      firstGround_ms: ground[0],
      firstGround_median_ms: [...ground].sort((a, b) => a - b)[2],
      firstGround_worst_ms: Math.max(...ground),
      firstAnswer_ms,
      firstPicture_ms,
      calledOff_ms,
      ...named('opening', opened),
      ...named('whole', worked),
      ...named('report', reported),
    }
  } finally {
    await browser.close()
    await server.close()
  }
}

/** From the start of the load to the picture of the ground. */
async function firstGround_ms(url) {
  const browser = await openBrowser()
  try {
    const page = await browser.newPage({ viewport: { width: 1000, height: 640 }, reducedMotion: 'reduce', locale: 'en-GB' })
    await page.addInitScript(() => {
      new MutationObserver((_, observer) => {
        if (!document.querySelector('[data-pictured]')) return
        observer.disconnect()
        window.drawnAt = performance.now()
      }).observe(document, { subtree: true, childList: true, attributes: true, attributeFilter: ['data-pictured'] })
    })
    await page.goto(url)
    await page.waitForFunction(() => window.drawnAt, undefined, { timeout: 60_000 })
    return await page.evaluate(() => window.drawnAt)
  } finally {
    await browser.close()
  }
}

const named = (stage, values) => Object.fromEntries(Object.entries(values).map(([name, value]) => [`${stage}_${name}`, value]))

/** The most processor time of one task on a worker's thread: so long it hears nothing. */
function longestTurn(events) {
  const of = event => `${event.pid} ${event.tid}`
  const workers = new Set(events.filter(event => event.name === 'thread_name' && /DedicatedWorker/.test(event.args?.name ?? '')).map(of))
  return (
    events
      .filter(event => workers.has(of(event)) && /RunTask$/.test(event.name) && event.tdur > 0)
      .reduce((most, { tdur }) => Math.max(most, tdur), 0) / 1000
  )
}

/** In the page: how long after it was taken back a running question was left. */
function listen() {
  const withdrawn = new Map()
  window.calledOff = []
  const RealWorker = window.Worker
  window.Worker = class extends RealWorker {
    constructor(...given) {
      super(...given)
      this.addEventListener('message', ({ data }) => {
        const at = withdrawn.get(data?.id)
        if (at === undefined || data.ok !== false) return
        withdrawn.delete(data.id)
        window.calledOff.push(performance.now() - at)
      })
    }
    postMessage(letter, ...rest) {
      if (letter?.withdraw !== undefined) withdrawn.set(letter.withdraw, performance.now())
      return super.postMessage(letter, ...rest)
    }
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) console.log(JSON.stringify(await workInBrowser()))
