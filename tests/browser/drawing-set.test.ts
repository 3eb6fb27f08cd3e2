import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import {
  type DrawingSetInput,
  drawingSetHtml,
  PAPERS,
  type SaidPart,
  sayEarth,
  sayExits,
  sayFinding,
  sayRunoff,
  saySoaking,
  saySpillway,
  saySpreaders,
  sayValue,
  sayVerdict,
  sizingWords,
  type ValueFormat,
  type Voice,
} from '@soakline/drawing'
import { lonLatExtent, placeOnEarth, readElevation, readFeatures, readLine, readRainTable } from '@soakline/io'
import type { Browser } from 'playwright-core'
import { studyWater } from 'soakline/hydrology'
import { type Assessment, assessFully, fieldPapers, groundWork, laidLine, settingsFrom, siteOf } from 'soakline/plan'
import { noGoRings } from 'soakline/siting'
import { contourLines, gradient } from 'soakline/terrain'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US, hillside } from '../../packages/drawing/test/hillside.js'
import { openChromium } from '../helpers/chromium.js'
import { newFolder, type Ran, soakline } from '../helpers/command-line.js'
import { length_mm, pdfPages } from '../helpers/pdf-paths.js'
import { repositoryRoot } from '../helpers/repository.js'

// The printed set of the demo holding: to scale, whole, nothing cut off, every number that of the answer.

const demo = (name: string): string => join(repositoryRoot, 'fixtures/demo', name)
const text = (name: string): string => readFileSync(demo(name), 'utf8')
/** Where `SOAKLINE_PAGES` names a folder, a picture of every page is left there to be looked at. */
const pictures = process.env.SOAKLINE_PAGES

async function demoSet(): Promise<Omit<DrawingSetInput, 'paper'>> {
  const bytes = readFileSync(demo('ground.tif'))
  const { grid, projection, report } = await readElevation(
    bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer,
  )
  const extent = lonLatExtent(grid.geometry, projection)
  const options = extent ? { extent } : {}
  const { settings, assumed } = settingsFrom({ ...JSON.parse(text('settings.json')), triedTerrains: 0 })
  const { features } = readFeatures(text('features.geojson'), projection, options)
  const { path } = readLine(text('line-spur.geojson'), projection, options)
  const { rows } = readRainTable(text('rain.csv'))
  const site = siteOf(studyWater(grid), gradient(grid), features, settings, { sha256: report.sha256, warnings: report.warnings })
  const assessment = assessFully(site, path, settings, { rows }, { asDug: true })
  const laid = laidLine(grid, assessment, settings)
  if (laid === null) throw new Error('the demo’s line has no ditch')
  const papers = fieldPapers(laid, groundWork(laid, assessment, placeOnEarth(projection, path)))
  return {
    holding: 'Quinta del Filo',
    lineName: 'line-spur',
    dateText: '2026-11-28',
    version: '0.0.0',
    assessment,
    contours: contourLines(grid, 2),
    features,
    noGo: noGoRings(site.noGo),
    settings,
    assumed,
    groundReport: { fileName: 'ground.tif', crsName: report.crsName, elevationUnitFrom: report.elevationUnitFrom },
    papers,
    stakePlaces: papers.stakes.map(({ at }) => projection.toLonLat(at[0], at[1])),
  }
}

interface Printed {
  readonly sections: number
  readonly sheets: readonly string[]
  readonly cut: readonly string[]
  readonly counts: readonly string[]
  readonly values: readonly { readonly of: string; readonly as: string; readonly text: string }[]
  readonly text: string
  readonly verdicts: readonly string[]
  readonly pdf: Uint8Array
}

let browser: Browser
let base: Omit<DrawingSetInput, 'paper'>
let ran: Ran
beforeAll(async () => {
  browser = await openChromium()
  base = await demoSet()
  const settings = join(newFolder(), 'settings.json')
  writeFileSync(settings, JSON.stringify(base.settings))
  ran = await soakline(
    'assess',
    demo('ground.tif'),
    ...['--line', demo('line-spur.geojson'), '--features', demo('features.geojson'), '--rain', demo('rain.csv')],
    ...['--settings', settings, '--language', 'es', '--units', 'us', '--paper', 'A3'],
  )
}, 300_000)
afterAll(() => browser?.close())

async function print(html: string, name: string): Promise<Printed> {
  const file = join(newFolder(), 'set.html')
  writeFileSync(file, html)
  const page = await browser.newPage({ viewport: { width: 1700, height: 1200 } })
  const refused: string[] = []
  page.on('console', message => refused.push(message.text()))
  page.on('pageerror', error => refused.push(String(error)))
  await page.goto(pathToFileURL(file).href)
  await page.emulateMedia({ media: 'print' })
  const seen = await page.evaluate(() => {
    const all = (within: ParentNode, css: string): HTMLElement[] => [...within.querySelectorAll<HTMLElement>(css)]
    const pages = all(document, '.page')
    const isCut = (e: HTMLElement): boolean => e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1
    const boxes = (section: HTMLElement): HTMLElement[] => [
      section,
      ...all(section, '.head, .body, .block, .block > div, h2'),
      // Table cells grow downwards; across they must hold their words.
      ...all(section, 'td, th, .facts dd').filter(cell => cell.scrollWidth > cell.clientWidth + 1),
    ]
    // Drawings end within their page too.
    const beyond = (section: HTMLElement): boolean => {
      const room = section.querySelector('.body')!.getBoundingClientRect()
      return [...section.querySelectorAll('figure > svg, table, p, h3')].some(e => {
        const box = e.getBoundingClientRect()
        return box.right > room.right + 1 || box.bottom > room.bottom + 1 || box.left < room.left - 1
      })
    }
    return {
      sections: pages.length,
      sheets: pages.map(section => section.dataset.sheet ?? ''),
      cut: pages.flatMap((section, k) => [
        ...boxes(section)
          .filter(isCut)
          .map(e => `page ${k + 1}: ${e.className || e.tagName} “${(e.textContent ?? '').slice(0, 60)}”`),
        ...(beyond(section) ? [`page ${k + 1}: something stands beyond its room`] : []),
      ]),
      counts: pages.map(section => section.querySelector('.count')?.textContent ?? ''),
      values: all(document, '[data-of]').map(e => ({ of: e.dataset.of ?? '', as: e.dataset.as ?? '', text: e.textContent ?? '' })),
      text: pages.map(p => p.textContent ?? '').join('\n'),
      verdicts: all(document, '[data-sheet="findings"] td b').map(e => e.textContent ?? ''),
    }
  })
  if (pictures) {
    mkdirSync(join(pictures, name), { recursive: true })
    for (const [k, section] of (await page.$$('.page')).entries())
      await section.screenshot({ path: join(pictures, name, `page-${String(k + 1).padStart(2, '0')}.png`) })
  }
  const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true })
  if (pictures) writeFileSync(join(pictures, name, 'set.pdf'), pdf)
  await page.close()
  expect(refused).toEqual([])
  return { ...seen, pdf }
}

/** The value at a path such as `storms.0.rain_mm`. */
const at = (root: unknown, path: string): unknown =>
  path.split('.').reduce<unknown>((value, key) => (value as Record<string, unknown> | null | undefined)?.[key], root)

const spaces = (said: string): string => said.replace(/\u00a0/g, ' ')

const PRINTS: readonly { readonly name: string; readonly voice: Voice; readonly paper: DrawingSetInput['paper'] }[] = [
  { name: 'en-metric-A4', voice: EN, paper: 'A4' },
  { name: 'es-metric-A4', voice: ES, paper: 'A4' },
  { name: 'en-us-Letter', voice: EN_US, paper: 'Letter' },
  { name: 'es-us-Letter', voice: ES_US, paper: 'Letter' },
  { name: 'en-metric-A3', voice: EN, paper: 'A3' },
]

describe.each(PRINTS)('the demo holding’s set, $name', ({ name, voice, paper }) => {
  let printed: Printed
  beforeAll(async () => {
    printed = await print(drawingSetHtml({ ...base, paper }, voice), name)
  }, 300_000)

  test('failure 89: as many PDF pages as sections, each of the paper’s size, numbered', () => {
    const pages = pdfPages(printed.pdf)
    expect(pages.length).toBe(printed.sections)
    expect(printed.sections).toBeGreaterThan(15)
    for (const { width, height } of pages) {
      expect(Math.abs((width * 25.4) / 72 - PAPERS[paper].width_mm)).toBeLessThan(0.3)
      expect(Math.abs((height * 25.4) / 72 - PAPERS[paper].height_mm)).toBeLessThan(0.3)
    }
    const count =
      voice.language === 'es' ? (k: number) => `página ${k} de ${printed.sections}` : (k: number) => `page ${k} of ${printed.sections}`
    expect(printed.counts).toEqual(printed.counts.map((_, k) => count(k + 1)))
  })

  test('no text is cut off', () => {
    expect(printed.cut).toEqual([])
  })

  test('every marked number is that of assessment.json or of the field papers', () => {
    const json = ran.json('assessment.json')
    const wrong = printed.values.flatMap(({ of, as, text: shown }) => {
      if (as === 'text') {
        const k = Number(of.split('.')[1])
        const wanted = sayFinding((json.findings as unknown as Assessment['findings'])[k]!, voice)
        return spaces(shown) === wanted ? [] : [`${of}: ${shown} | ${wanted}`]
      }
      const value = of.startsWith('papers.') || of.startsWith('stakePlaces.') ? at(base, of) : at(json, of)
      if (value === undefined) return [`${of}: there is no such value`]
      const wanted = sayValue(as as ValueFormat, value as number | null, voice)
      return shown === wanted ? [] : [`${of}: ${shown} | ${wanted}`]
    })
    expect(wrong).toEqual([])
    expect(printed.values.filter(v => v.of.startsWith('storms.')).length).toBeGreaterThan(60)
    expect(printed.values.filter(v => v.of.startsWith('papers.stakes.')).length).toBeGreaterThan(300)
    expect(printed.values.filter(v => v.of.startsWith('findings.')).length).toBe(base.assessment.findings.length)
  })

  test('what the report’s tables say of assessment.json stands on the pages', () => {
    const json = ran.json('assessment.json') as unknown as Assessment
    // The water at every stake is not in assessment.json; all else of the spill is.
    const answer = { ...json, spillway: json.spillway && { ...json.spillway, water: [], least: null } } as Assessment
    const parts: readonly SaidPart[] = [
      sayRunoff(answer, voice),
      saySpillway(answer, voice),
      saySpreaders(answer, voice),
      sayExits(answer, voice),
      saySoaking(answer, voice, base.settings),
      sayEarth(answer, voice),
    ]
    const shown = spaces(printed.text)
    const said = parts.flatMap(part => [...part.lines.map(([, value]) => value), ...part.tables.flatMap(t => t.rows.flat())])
    expect(said.filter(one => one !== sizingWords(voice).unknown && !shown.includes(spaces(one)))).toEqual([])
    expect(said.length).toBeGreaterThan(40)
  })

  test('each verdict stands as a word beside its mark, so that a grey print loses nothing', () => {
    expect(printed.verdicts).toEqual(base.assessment.findings.map(f => sayVerdict(f.verdict, voice)))
  })
})

test('assess writes the set beside the report, on the paper that is asked for, and the planting of its sheet into assessment.json', async () => {
  const html = ran.text('drawing-set.html')
  const printed = await print(html, 'command-line')
  expect(printed.cut).toEqual([])
  const [first] = pdfPages(printed.pdf)
  expect(Math.abs((first!.width * 25.4) / 72 - PAPERS.A3.width_mm)).toBeLessThan(0.3)
  expect(html).toContain('<html lang="es">')
  const planting = ran.json('assessment.json').planting as unknown as { zone: string; count: number | null }[]
  expect(planting.map(row => row.zone)).toContain('erosion-strip')
  for (const { of, text: shown } of printed.values.filter(v => /^papers\.zones\.\d+\.count$/.test(v.of))) {
    const zone = at(base, of.replace(/count$/, 'zone'))
    expect(shown).toBe(sayValue('count', planting.find(row => row.zone === zone)!.count, ES_US))
  }
  // The same words as assessment.json carries in the run's own language.
  const findings = ran.json('assessment.json').findings as unknown as { text: string }[]
  expect(printed.values.filter(v => v.as === 'text').map(v => spaces(v.text))).toEqual(findings.map(f => f.text))
}, 120_000)

test('long names, a house below and a full card stay within their boxes', async () => {
  const papers = base.papers!
  const long = 'La finca de arriba de la quebrada, junto al camino viejo '.repeat(12)
  const html = drawingSetHtml(
    {
      ...base,
      paper: 'Letter',
      holding: long,
      lineName: 'x'.repeat(300),
      version: '1.2.3-'.repeat(30),
      groundReport: { fileName: `${'n'.repeat(200)}.tif`, crsName: long, elevationUnitFrom: 'user' },
      papers: { ...papers, card: { ...papers.card, houseBelow: true, ring: long } },
    },
    ES_US,
  )
  const printed = await print(html, 'long-names')
  expect(printed.cut).toEqual([])
  expect(pdfPages(printed.pdf).length).toBe(printed.sections)
}, 120_000)

test('a line of 100 m on a page of 1:500 measures 200.0 ± 0.3 mm in the PDF, and the bar on the page 100', async () => {
  const input = hillside()
  const line = {
    ...input.assessment.line,
    length_m: 100,
    path: [
      [60, 100],
      [160, 100],
    ] as [number, number][],
  }
  const html = drawingSetHtml(
    {
      ...input,
      assessment: { ...input.assessment, line },
      extent: { west_m: 50, east_m: 170, south_m: 70, north_m: 130 },
      lineName: '',
      papers: null,
      stakePlaces: null,
      planScale: 500,
      paper: 'A3',
    },
    EN,
  )
  const printed = await print(html, 'scale')
  const pages = pdfPages(printed.pdf)
  expect(pages.length).toBe(printed.sections)
  // The ditch's ink, DESIGN's #174A63.
  const ditch = [0x17 / 255, 0x4a / 255, 0x63 / 255]
  const plan = pages[printed.sheets.indexOf('plan')]!
  const inDitchInk = plan.paths.filter(({ ink }) => ink.every((part, k) => Math.abs(part - ditch[k]!) < 0.01))
  const straight = inDitchInk.flatMap(({ pieces }) => pieces.filter(piece => piece.length === 2).map(length_mm))
  expect(straight.filter(mm => Math.abs(mm - 200) <= 0.3).length).toBeGreaterThanOrEqual(1)
  expect(Math.max(...straight)).toBeLessThan(200.3)
  const bars = plan.paths.flatMap(({ pieces }) => pieces.map(length_mm)).filter(mm => Math.abs(mm - 100) <= 0.3)
  expect(bars.length).toBeGreaterThanOrEqual(1)
}, 120_000)
