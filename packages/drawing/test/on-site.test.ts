import {
  carePaper,
  diggingPaper,
  levellingPaper,
  onSiteWords,
  partText,
  plantingPaper,
  sayBookCheck,
  sayBuilt,
  sayConsequence,
  sayFieldFiles,
  sayPlants,
  sayStakes,
  sayStormRow,
  tableText,
  type Voice,
} from '@soakline/drawing'
import { builtAgainstPlan, DIG_TOOLS, groundWork, levelBook, STARTER_PLANTS } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { laidOn, SLOPE, STRAIGHT } from '../../soakline/test/plan/laid-on.js'

// The papers of the work on the ground, in every voice.

const VOICES: readonly Voice[] = (['en', 'es'] as const).flatMap(language =>
  (['metric', 'us'] as const).map(units => ({ language, units })),
)
const { laid, answer } = laidOn(SLOPE, STRAIGHT, { spillChainage_m: 0 })
const work = groundWork(laid, answer, {
  crossings: [
    { chainage_m: 20, crosser: 'barrow' },
    { chainage_m: 0, crosser: 'stock' },
  ],
  rates: { personDay: 100, machineHour: 60, mulch_m3: 10 },
  ring: 'Ana <555>',
  latitude_deg: 36,
  stormLog: [
    { date: '2026-03-31', rain_mm: 40, highestWater_m: 0.2, spilled: false, seen: 'x', photos: [] },
    { date: '2026-04-01', rain_mm: null, highestWater_m: null, spilled: null, seen: '', photos: [] },
  ],
})
const built = builtAgainstPlan(laid, answer, {
  fresh: true,
  readings: work.stakes.flatMap(s =>
    s.crest_m === null ? [] : [{ what: 'crest' as const, chainage_m: s.chainage_m, level_m: s.crest_m }],
  ),
})

describe.each(VOICES)('$language, $units', voice => {
  const papers = [levellingPaper, diggingPaper, plantingPaper, carePaper].map(paper => paper(work, voice))

  test('no paper has a hole in it', () => {
    for (const paper of [...papers, ...sayConsequence(built, null, voice), ...sayBuilt(built, voice).flatMap(partText)])
      expect(paper).not.toMatch(/undefined|NaN|\[object|null/)
  })

  test('units are those of the reader, and no others', () => {
    const text = papers
      .join('\n')
      .replaceAll(onSiteWords(voice).levels.per['30 m']!, '')
      .replaceAll(onSiteWords(voice).levels.per['10 m']!, '')
    if (voice.units === 'us') expect(text).not.toMatch(/\d (m|cm|m²|m³)\b/)
    else expect(text).not.toMatch(/\d (ft|in|pies|pulg|cubic yards|yardas³)(?! \d|\p{L})/u)
  })

  test('every stake, zone, phase and plant stands in its paper', () => {
    expect(sayStakes(work, voice).tables[0]!.rows.length).toBe(work.stakes.length)
    expect(sayPlants(work, voice).length).toBe(STARTER_PLANTS.length)
    for (let order = 1; order <= work.digging.phases.length; order++) expect(papers[1]).toContain(`\n${order}. `)
    for (const tool of DIG_TOOLS) expect(onSiteWords(voice).dig.tool[tool]).not.toBe('')
    for (const { name } of STARTER_PLANTS) expect(onSiteWords(voice).plant.type[name]).toBeDefined()
  })

  test('a level book that closes badly is said to', () => {
    const book = levelBook(
      [
        { point: 'A', backsight_m: 1.2 },
        { point: 'B', foresight_m: 0.9 },
      ],
      100,
      100.25,
    )
    expect(sayBookCheck(book, voice).length).toBe(2)
  })
})

test('names for receivers are short: a stake has its number, a special one what it stands for', () => {
  const { stake, group } = sayFieldFiles(VOICES[0]!)
  expect(stake(work.stakes[0]!)).toMatch(/^1 start of the line/)
  expect(stake(work.stakes.find(s => s.kinds.join() === 'step')!)).toMatch(/^\d+$/)
  expect(group('stakes')).toBe('stakes')
})

test('a storm of which nothing was seen says so, and has no numbers', () => {
  const row = sayStormRow(work.care.log[1]!, VOICES[0]!)
  expect(row.said).toMatch(/^Unknown/)
  expect(row.cells.slice(1, 3)).toEqual(['–', '–'])
})

test('a table as text: every cell under its head', () => {
  const lines = tableText({
    caption: 'c',
    head: ['a', 'long head'],
    rows: [
      ['1', '2'],
      ['longer', '3'],
    ],
  })
  expect(lines[0]).toBe('c')
  expect(lines[1]!.indexOf('long head')).toBe(lines[3]!.indexOf('2'))
  expect(lines[4]).toBe('longer  3')
})
