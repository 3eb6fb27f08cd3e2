import {
  type DrawingSetInput,
  drawingSetHtml,
  formatNumber,
  nameGroundWork,
  onSiteWords,
  PAPER_NAMES,
  sayGroundWork,
  sayValue,
  type Voice,
} from '@soakline/drawing'
import { fieldPapers, groundWork } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { laidOn, SLOPE, STRAIGHT } from '../../soakline/test/plan/laid-on.js'
import { intoColumns, table, title } from '../src/drawing-set/blocks.js'
import { linesIn } from '../src/drawing-set/text-size.js'
import { DAY } from '../src/inks.js'
import { VERDICT_INKS } from '../src/marks.js'
import { EN, EN_US, ES, ES_US, hillside } from './hillside.js'

const VOICES: readonly Voice[] = [EN, ES, EN_US, ES_US]

/** The invented hillside, without papers: nothing was laid out on it. */
const bare = (): DrawingSetInput => ({ ...hillside(), paper: 'A4', lineName: 'upper', papers: null, stakePlaces: null })

/** A straight slope with its papers, stakes as close as is wanted. */
function laidOut(every_m: number): DrawingSetInput {
  const { answer, settings, laid } = laidOn(SLOPE, STRAIGHT, { stakesEvery_m: every_m })
  return {
    ...hillside(),
    assessment: answer,
    features: [],
    contours: [],
    noGo: [],
    settings,
    paper: 'A4',
    lineName: 'upper',
    papers: fieldPapers(laid, groundWork(laid, answer)),
    stakePlaces: null,
  }
}

const sections = (html: string): string[] => html.split('<section class="page"').slice(1)
const sheetsOf = (html: string): string[] => sections(html).map(section => /data-sheet="(\w+)"/.exec(section)![1]!)

describe.each(VOICES)('$language, $units', voice => {
  test('every sheet has its page, and each says which of how many', () => {
    const html = drawingSetHtml(laidOut(5), voice)
    expect([...new Set(sheetsOf(html))]).toEqual([
      'overview',
      'plan',
      'linePlan',
      'sections',
      'setOut',
      'levels',
      'aFrame',
      'waterLevel',
      'book',
      'digging',
      'planting',
      'stormCard',
      'care',
      'storms',
      'findings',
      'cautions',
      'assumptions',
      'review',
    ])
    const pages = sections(html)
    const [word, of] = voice.language === 'es' ? ['página', 'de'] : ['page', 'of']
    for (const [k, page] of pages.entries()) {
      expect(page).toContain(`${word} ${k + 1} ${of} ${pages.length}<`)
      expect(page).toContain(voice.language === 'es' ? 'no es un levantamiento' : 'not a survey')
    }
  })

  test('without a ditch the set says so, and has no papers to level or to hang up', () => {
    const html = drawingSetHtml(bare(), voice)
    for (const sheet of ['aFrame', 'waterLevel', 'book', 'stormCard', 'linePlan']) expect(sheetsOf(html)).not.toContain(sheet)
    expect(sheetsOf(html)).toContain('setOut')
    expect(/.{0,40}(\bNaN\b|undefined|\[object).{0,40}/.exec(html)?.[0] ?? '').toBe('')
  })
})

test('names from files cannot become markup, and nothing is fetched or run', () => {
  const evil = '<script>alert(1)</script>"\'&\u202e'
  const { papers, ...input } = laidOut(5)
  const html = drawingSetHtml(
    {
      ...input,
      papers: { ...papers!, card: { ...papers!.card, ring: evil } },
      holding: evil,
      lineName: evil,
      dateText: evil,
      version: evil,
      groundReport: { fileName: evil, crsName: evil, elevationUnitFrom: 'file' },
    },
    EN,
  )
  // Told by one word each: the pages are too long to be shown.
  expect(html.includes('<script')).toBe(false)
  expect(html.includes('\u202e')).toBe(false)
  expect(/\s(?:src|href|on\w+)=/.test(html)).toBe(false)
  expect(/url\((?!#)|@import|<link|<img/.test(html)).toBe(false)
  expect(html.includes("default-src 'none'")).toBe(true)
})

test('a table that is longer than its page goes on with its head', () => {
  const html = drawingSetHtml(laidOut(0.5), EN)
  const pages = sections(html).filter(page => page.includes('data-sheet="levels"'))
  expect(pages.length).toBeGreaterThan(1)
  for (const page of pages) expect(page).toContain('<thead>')
  expect(pages[1]).toContain('(continued)')
  // Every stake stands on exactly one of them.
  const numbers = pages.flatMap(page => [...page.matchAll(/data-of="papers\.stakes\.(\d+)\.number"/g)].map(m => Number(m[1])))
  expect(numbers).toEqual(numbers.map((_, k) => k))
  expect(numbers.length).toBeGreaterThan(70)
})

test('the same input gives the same pages; each paper has its size', () => {
  expect(drawingSetHtml(laidOut(5), EN)).toBe(drawingSetHtml(laidOut(5), EN))
  for (const paper of PAPER_NAMES) {
    const html = drawingSetHtml({ ...laidOut(5), paper }, EN)
    expect(html).toContain({ A4: 'size: 210mm 297mm', A3: 'size: 420mm 297mm', Letter: 'size: 215.9mm 279.4mm' }[paper])
  }
})

test('no id stands twice, so that no drawing borrows the hatch or the frame of another', () => {
  for (const input of [laidOut(5), bare()]) {
    const ids = [...drawingSetHtml(input, EN).matchAll(/\sid="([^"]+)"/g)].map(m => m[1]!)
    expect(ids.filter((id, k) => ids.indexOf(id) !== k)).toEqual([])
  }
})

test('the plan lies at 1:200 to 1:2000, an inch to 20 to 200 feet', () => {
  for (const voice of [EN, EN_US])
    for (const input of [laidOut(5), bare()])
      for (const paper of PAPER_NAMES) {
        const html = drawingSetHtml({ ...input, paper }, voice)
        const scales = sections(html)
          .filter(page => /data-sheet="(plan|linePlan)"/.test(page))
          .map(page => Number(/1:([\d,]+)/.exec(page.slice(page.indexOf('<footer')))![1]!.replace(',', '')))
        expect(scales.length).toBeGreaterThan(0)
        for (const scale of scales) {
          expect(scale).toBeGreaterThanOrEqual(200)
          expect(scale).toBeLessThanOrEqual(voice.units === 'us' ? 2400 : 2000)
        }
      }
})

/** Contrast with white paper. Source: WCAG 2.2, relative luminance. */
function onPaper(ink: string): number {
  const [r, g, b] = [1, 3, 5].map(k => {
    const part = Number.parseInt(ink.slice(k, k + 2), 16) / 255
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4
  })
  return 1.05 / (0.2126 * r! + 0.7152 * g! + 0.0722 * b! + 0.05)
}

test('every ink is dark enough on white paper in a grey print: 3 to 1 at least', () => {
  const { paper: _paper, ...inks } = DAY
  for (const ink of [...Object.values(inks), ...Object.values(VERDICT_INKS)]) expect(onPaper(ink)).toBeGreaterThan(3)
})

describe('setting into columns', () => {
  const row = (k: number): string[] => [`row ${k}`]
  const long = table(
    [{ head: 'name', share: 1 }],
    Array.from({ length: 30 }, (_, k) => row(k)),
    100,
    { row_mm: 6 },
  )

  test('nothing is lost, nothing comes twice, and a heading is never the last of a column', () => {
    const columns = intoColumns([title('one'), long, title('two'), long, title('three'), long], 100)
    const all = columns.join('')
    expect([...all.matchAll(/row \d+</g)].length).toBe(90)
    expect(columns.length).toBeGreaterThan(5)
    for (const column of columns) expect(column).not.toMatch(/<\/h3>$/)
    // 30 rows of 6 mm and a head: no column can hold more than 16 rows.
    for (const column of columns) expect([...column.matchAll(/<tr/g)].length).toBeLessThanOrEqual(19)
  })

  test('lines of a text: none shorter than a word, more in less room', () => {
    expect(linesIn('', 3, 50)).toBe(1)
    expect(linesIn('one two three four five six seven', 3, 20)).toBeGreaterThan(linesIn('one two three four five six seven', 3, 60))
    // A word that is wider than the line is broken within.
    expect(linesIn('x'.repeat(100), 3, 30)).toBeGreaterThanOrEqual(5)
  })
})

test('a level of less than half a hundredth below nothing is nothing; unknown is never 0', () => {
  expect(sayValue('stake', -0.004, EN)).toBe('0.00')
  expect(sayValue('stake', -0.006, EN)).toBe('-0.01')
  expect(sayValue('stake', -0.004, ES)).toBe('0,00')
  expect(sayValue('stake', null, EN)).toBe('not known')
  expect(sayValue('fine', 0.002, EN)).toBe('2 mm')
})

test.each(VOICES)('what the user keeps reaches the set, $language $units: plants by place, crossings, prices, whom to ring', voice => {
  const { answer, laid } = laidOn(SLOPE, STRAIGHT, {})
  const needs = { wetFeet_h: 12, drainedDepth_m: 1.3, sun: 'full', spread_m: 4, woody: true, deepDrainage: true } as const
  const work = groundWork(laid, answer, {
    plants: [
      { name: 'Abuela’s <plum>', needs },
      { name: 'vetch', needs: { ...needs, drainedDepth_m: 0, wetFeet_h: 999, woody: false, deepDrainage: false, spread_m: 0.3 } },
    ],
    crossings: [{ crosser: 'stock', chainage_m: 30 }],
    rates: { personDay: 120 },
    ring: 'Rosa 555',
  })
  const html = drawingSetHtml({ ...laidOut(5), papers: fieldPapers(laid, work) }, voice)
  const of = (sheet: string): string =>
    sections(html)
      .filter(page => page.includes(`data-sheet="${sheet}"`))
      .join('')
  const { plant: say } = onSiteWords(voice)
  expect(of('planting').includes('Abuela’s &lt;plum&gt;')).toBe(true)
  expect(of('planting').includes(say.starter)).toBe(false)
  // Nothing woody at the spill: the tree stands in the last column of its row with the reason.
  const rows = [...of('planting').matchAll(/<tr[^>]*>(.*?)<\/tr>/gs)].map(([, row]) =>
    [...row!.matchAll(/<td[^>]*>(.*?)<\/td>/gs)].map(m => m[1]!),
  )
  const spill = rows.filter(row => row.length === 4).find(row => row[0] === nameGroundWork('zone', 'spill', voice))!
  expect(spill[2]).toContain('vetch')
  expect(spill[3]).toContain(`Abuela’s &lt;plum&gt; (${sayGroundWork('plant/woody-at-spill', {}, voice)})`)
  expect(of('digging').includes(nameGroundWork('crosser', 'stock', voice))).toBe(true)
  expect(of('digging').includes(formatNumber(work.digging.cost!.byHand!.low, voice))).toBe(true)
  expect(of('stormCard').includes('Rosa 555')).toBe(true)
  // Without a list of his own the general types stand there, and that they are such.
  const general = drawingSetHtml(laidOut(5), voice)
  expect(general.includes(say.starter)).toBe(true)
  expect(general.includes(say.type['plant-type/sedge-or-rush']!)).toBe(true)
})

test.each(VOICES)('the title block of each page of sections says the scale of what is on that page: $language, $units', voice => {
  const input = laidOut(5)
  const papers = { ...input.papers!, sections: Array.from({ length: 6 }, () => input.papers!.sections[0]!) }
  const pages = sections(drawingSetHtml({ ...input, papers }, voice)).filter(page => page.includes('data-sheet="sections"'))
  expect(pages.length).toBeGreaterThan(1)
  const scales = (text: string): string[] => text.replaceAll('&nbsp;', ' ').match(/1:[\d.,\u202f ]*\d/g) ?? []
  const blockOf = (page: string): string[] => scales(page.slice(page.indexOf('<footer')))
  expect(blockOf(pages[0]!).length).toBe(2)
  for (const page of pages.slice(1)) {
    const drawn = scales(page.slice(0, page.indexOf('<footer')))
    expect(blockOf(page).length).toBe(1)
    expect(drawn).toContain(blockOf(page)[0])
  }
})
