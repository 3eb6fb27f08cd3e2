import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Browser, BrowserContext, BrowserContextOptions, Locator, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, expect } from 'vitest'
import { serve } from '../../.ci/serve.mjs'
import { isHarmless, openChromium } from './chromium.js'
import { repositoryRoot } from './repository.js'

/** Small windows: software drawing takes its time by the pixel. */
export const DESKTOP = { viewport: { width: 1000, height: 640 } } satisfies BrowserContextOptions
export const PHONE = { viewport: { width: 375, height: 667 }, hasTouch: true, isMobile: true } satisfies BrowserContextOptions

/** How long something of the sheet may take on a slow machine. Unit: ms. */
export const PATIENCE_MS = 30_000

/** Files of the demo holding. */
export const demoFile = (name: string): string => join(repositoryRoot, 'fixtures/demo', name)

/** A browser and the built sheet's address. */
export interface House {
  readonly browser: Browser
  readonly url: string
  /** Closes whatever a test left open. */
  clear(): Promise<void>
  close(): Promise<void>
}

/** Serves the built sheet and starts a browser. */
async function openHouse(): Promise<House> {
  if (!existsSync(join(repositoryRoot, 'apps/map/dist/index.html'))) throw new Error('The sheet is not built: run "npm run build" first.')
  const server = await serve({ port: 0 })
  const browser = await openChromium()
  return {
    browser,
    url: server.url,
    async clear() {
      for (const context of browser.contexts()) await context.close()
    },
    async close() {
      await browser.close()
      await server.close()
    },
  }
}

/** One house for all tests of a file, open while they run; after each test what it left open is closed. Called once, at the head of the file. */
export function houseForTests(): House {
  let open: House | null = null
  const opened = (): House => {
    if (open === null) throw new Error('The house is open only while tests run.')
    return open
  }
  beforeAll(async () => {
    open = await openHouse()
  })
  afterEach(() => open?.clear())
  afterAll(() => open?.close())
  return {
    get browser() {
      return opened().browser
    },
    get url() {
      return opened().url
    },
    clear: () => opened().clear(),
    close: () => opened().close(),
  }
}

/** One answer as the margin shows it. */
export interface ShownAnswer {
  readonly title: string
  readonly verdict: string
  readonly word: string
  readonly text: string
}

/** An open sheet, with what it complained of and whom else it asked. */
export interface OpenSheet {
  readonly page: Page
  readonly context: BrowserContext
  readonly complaints: readonly string[]
  readonly strangers: readonly string[]
  /** Fails on any complaint, any breach of the page's policy, any request to elsewhere. */
  calm(): Promise<void>
}

/** What the sheet of a test is like. */
export interface SheetOptions {
  readonly screen?: BrowserContextOptions
  /** Runs in the page before its own scripts. */
  readonly before?: () => void
  /** Waits for the plan to be drawn; default true. */
  readonly drawn?: boolean
  /** Leaves the guided look of a first visit standing; default false: as one who has seen it. */
  readonly firstVisit?: boolean
  /** How many terrains the demo's whole answer tries: most of its time goes into them. Default none; null: as many as the demo says. */
  readonly terrains?: number | null
  /** Has the worker ready its engine for a drag after the first answer, as a visitor's does. It serves speed alone and takes seconds of processor time. Default false. */
  readonly warmDrag?: boolean
}

declare global {
  interface Window {
    breaches: string[]
  }
}

/** Opens the sheet in a new context: nothing is kept from another test. Animations are off. */
export async function openSheet(
  { browser, url }: House,
  { screen = DESKTOP, before, drawn = true, firstVisit = false, terrains = 0, warmDrag = false }: SheetOptions = {},
): Promise<OpenSheet> {
  const context = await browser.newContext({ locale: 'en-GB', reducedMotion: 'reduce', ...screen })
  context.setDefaultTimeout(PATIENCE_MS)
  if (!firstVisit)
    await context.addInitScript(() => {
      try {
        localStorage.setItem('soakline-looked', 'yes')
      } catch {
        // Frames of the report keep nothing.
      }
    })
  if (terrains !== null) await context.addInitScript(tryingTerrains, terrains)
  if (!warmDrag) await context.addInitScript(withoutWarmDrag)
  if (before) await context.addInitScript(before)
  const sheet = await openTab(context, url)
  if (drawn) await sheet.page.waitForSelector('[data-ready]', { timeout: 3 * PATIENCE_MS })
  await answers(sheet.page)
  return sheet
}

/** In the page: the demo's settings say another number of terrains. */
function tryingTerrains(triedTerrains: number): void {
  const real = window.fetch
  window.fetch = async (...asked) => {
    const got = await real(...asked)
    return String(asked[0]).endsWith('demo/settings.json') ? Response.json({ ...(await got.json()), triedTerrains }) : got
  }
}

/** In the page: the worker is not told to ready its engine for a drag. */
function withoutWarmDrag(): void {
  const real = Worker.prototype.postMessage
  Worker.prototype.postMessage = function (this: Worker, ...said: [unknown, Transferable[]]) {
    const [message] = said
    if (typeof message !== 'object' || message === null || !('warmUp' in message)) Reflect.apply(real, this, said)
  } as typeof real
}

/** For `before`: without a picture of the plan the page opens sooner. */
export const noPicture = () => {
  const real = HTMLCanvasElement.prototype.getContext
  HTMLCanvasElement.prototype.getContext = function (this: HTMLCanvasElement, ...asked: unknown[]) {
    return /webgl/.test(String(asked[0])) ? null : Reflect.apply(real, this, asked)
  } as typeof real
}

/** Opens the sheet in one more tab of a context, and waits for nothing. */
export async function openTab(context: BrowserContext, url: string): Promise<OpenSheet> {
  const page = await context.newPage()
  const complaints: string[] = []
  const strangers: string[] = []
  page.on('console', message => {
    if (['error', 'warning'].includes(message.type()) && !isHarmless(message.text())) complaints.push(message.text())
  })
  page.on('pageerror', error => complaints.push(String(error)))
  page.on('request', request => {
    const { origin, protocol } = new URL(request.url())
    if (`${origin}/` !== url && !['blob:', 'data:'].includes(protocol)) strangers.push(request.url())
  })
  await page.addInitScript(() => {
    window.breaches = []
    document.addEventListener('securitypolicyviolation', event =>
      window.breaches.push(`${event.violatedDirective} ${event.blockedURI} ${event.sourceFile}:${event.lineNumber}`),
    )
  })
  await page.goto(url)
  return {
    page,
    context,
    complaints,
    strangers,
    async calm() {
      expect(await page.evaluate(() => window.breaches)).toEqual([])
      expect(strangers).toEqual([])
      expect(complaints).toEqual([])
    },
  }
}

/** The answers in the margin once they are up to date. */
export async function answers(page: Page): Promise<ShownAnswer[]> {
  const leaf = page.getByRole('tab').first()
  if ((await leaf.getAttribute('aria-selected')) !== 'true') await leaf.click()
  await page.waitForSelector('.answers[aria-busy=false] .answer', { state: 'attached' })
  return shown(page)
}

/** The answers in the margin once the whole answer is among them: every spill place, berm stretch and terrain tried. */
export async function wholeAnswers(page: Page): Promise<ShownAnswer[]> {
  await answers(page)
  await page.waitForFunction(
    () => document.querySelector('.answers[aria-busy=false] .answer') && !document.querySelector('.whole-progress'),
    undefined,
    { timeout: 4 * PATIENCE_MS },
  )
  return shown(page)
}

/** The answers that the margin shows now, without waiting. */
export const shown = (page: Page): Promise<ShownAnswer[]> =>
  page.locator('.answer').evaluateAll(items =>
    items.map(item => ({
      title: item.querySelector('h2 > span:nth-last-child(2)')?.textContent?.trim() ?? '',
      verdict: /answer-(holds|watch|fails|unknown)/.exec(item.className)?.[1] ?? '',
      word: item.querySelector('.verdict-word')?.textContent?.trim() ?? '',
      text: item.querySelector('.answer-text')?.textContent?.trim() ?? '',
    })),
  )

/** Waits until the margin says something else than before. */
export async function otherAnswers(page: Page, before: readonly ShownAnswer[]): Promise<ShownAnswer[]> {
  await expect
    .poll(async () => JSON.stringify(textsOf(await shown(page))), { timeout: PATIENCE_MS })
    .not.toBe(JSON.stringify(textsOf(before)))
  return shown(page)
}

/** Waits until the margin says just this. */
export const sameAnswers = (page: Page, before: readonly ShownAnswer[]): Promise<void> =>
  expect.poll(() => shown(page), { timeout: PATIENCE_MS }).toEqual(before)

const textsOf = (list: readonly ShownAnswer[]): string[] => (list.length === 0 ? ['none'] : list.map(a => a.text))

/** The answer to a question that starts so. */
export function answerTo(list: readonly ShownAnswer[], title: string): ShownAnswer {
  const found = list.find(a => a.title === title)
  if (found === undefined) throw new Error(`No answer titled "${title}" among: ${list.map(a => a.title).join(', ')}`)
  return found
}

/** A file to be dropped. */
export interface Dropped {
  readonly name: string
  readonly bytes: Uint8Array | string
}

export const fileFrom = (path: string, name = path.replace(/^.*\//, '')): Dropped => ({ name, bytes: readFileSync(path) })

/** Drops files on the page as the system's file manager would. */
export async function drop(page: Page, ...files: Dropped[]): Promise<void> {
  const sent = files.map(({ name, bytes }) => ({ name, base64: Buffer.from(bytes).toString('base64') }))
  await page.evaluate(list => {
    const data = new DataTransfer()
    for (const { name, base64 } of list) data.items.add(new File([Uint8Array.from(atob(base64), c => c.charCodeAt(0))], name))
    for (const type of ['dragenter', 'dragover', 'drop'])
      document.body.dispatchEvent(new DragEvent(type, { bubbles: true, cancelable: true, dataTransfer: data }))
  }, sent)
}

/** The visible line about the last file brought. */
export async function fileLine(page: Page, name: string): Promise<Locator> {
  const line = page.locator('.notices .files li', { hasText: name })
  await line.waitFor()
  return line
}

/** Saves the plan to a file and gives its text. */
export async function planText(page: Page): Promise<string> {
  const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Control+s')])
  return readFileSync(await download.path(), 'utf8')
}

/** Waits until the page says this of how the work is kept. */
export const savingSays = (page: Page, what: RegExp, timeout = PATIENCE_MS): Promise<void> =>
  expect.poll(() => page.locator('.bar .saving').textContent(), { timeout }).toMatch(what)

/** What it says once everything is kept. */
export const SAVED = /^Saved (only )?in this browser/

/** Middle of an element, in pixels of the page. */
export async function middleOf(element: Locator): Promise<{ readonly x: number; readonly y: number }> {
  const box = await element.boundingBox()
  if (box === null) throw new Error('The element is not shown.')
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 }
}

/** Waits until an element stands still: the same place in two pictures of the screen that follow each other. */
export const still = (element: Locator): Promise<void> =>
  element.evaluate(async shown => {
    const frame = (): Promise<number> => new Promise(requestAnimationFrame)
    const place = (): string => JSON.stringify(shown.getBoundingClientRect())
    for (let before = ''; before !== place(); await frame()) before = place()
  })

/** Waits until the plan, moved by a hand, has come to rest at another view: it writes the view into the page's address then. */
export const viewChanged = (page: Page, before: string): Promise<void> =>
  expect.poll(() => page.url(), { timeout: PATIENCE_MS }).not.toBe(before)

/** The handles of the line on the plan. */
export const handle = (page: Page, which: 'line-through' | 'line-end' | 'line-vertex' | 'feature-vertex'): Locator =>
  page.locator(`.plan-handle-${which}`)

/** Presses Tab until an element with such a name has the focus. */
export async function tabTo(page: Page, name: RegExp): Promise<void> {
  const passed: string[] = []
  for (let k = 0; k < 120; k++) {
    const now = await page.evaluate(() => {
      const element = document.activeElement
      const label = element?.getAttribute('aria-label') ?? (element as HTMLInputElement | null)?.labels?.[0]?.textContent
      return label ?? element?.textContent?.trim().slice(0, 60) ?? ''
    })
    if (name.test(now)) return
    passed.push(now)
    await page.keyboard.press('Tab')
  }
  throw new Error(`The Tab key does not reach ${name}; it passed: ${passed.join(' | ')}`)
}
