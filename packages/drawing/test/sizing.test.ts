import {
  reportHtml,
  type SaidPart,
  sayDrain,
  sayEarth,
  sayEarthShort,
  sayExits,
  sayRunoff,
  saySoaking,
  saySpillway,
  saySpreaders,
  sayStorms,
  sayWorst,
  sizingWords,
  type Voice,
} from '@soakline/drawing'
import { leadAwayDrain } from 'soakline/earthworks'
import type { Assessment } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US, hillside } from './hillside.js'

const { assessment, settings } = hillside()
const NASTY = `<script>alert(1)</script>"'&\u001b[31m<img src=x onerror=1>`
const leadAway: NonNullable<Assessment['soaking']['leadAway']> = {
  flow_m3s: 0.19,
  ...leadAwayDrain(0.19, 'loam', 0.01),
}
const all = (a: Assessment, voice: Voice): SaidPart[] => [
  sayStorms(a, voice),
  sayWorst(a, voice),
  saySpillway(a, voice),
  saySpreaders(a, voice),
  sayExits(a, voice),
  saySoaking(a, voice, settings),
  sayEarth(a, voice),
  sayRunoff(a, voice),
  ...[sayDrain(a, voice)].filter(p => p !== null),
]
const textsOf = (p: SaidPart): string[] => [
  p.title,
  p.lead ?? '',
  ...p.lines.flat(),
  ...p.tables.flatMap(t => [t.caption, ...t.head, ...t.rows.flat()]),
  ...p.notes,
]
const row = (p: SaidPart, name: string): readonly string[] => p.tables[0]!.rows.find(r => r[0] === name)!.slice(1)

/** Nothing of the ditch could be worked out. */
const bare: Assessment = {
  ...assessment,
  storage: null,
  section: null,
  spillway: null,
  earth: null,
  hydrograph: null,
  soaking: {
    infiltration_mmh: null,
    infiltrationSource: null,
    because: 'intake/unknown',
    emptyAfter_h: null,
    leadAway: null,
    record: null,
  },
  storms: assessment.storms.map(s => ({
    ...s,
    runoffLeast_mm: null,
    runoffMost_mm: null,
    peakInflow_m3s: null,
    rationalPeak_m3s: null,
    highestWater_m: null,
    freeboard_m: null,
    spillStarts_h: null,
    spilled_m3: null,
    peakSpill_m3s: null,
    soaked_m3: null,
    standing_m3: null,
    kept_m3: null,
    worst: null,
    levels: null,
  })),
}

describe('storm by storm', () => {
  const storms = sayStorms(assessment, EN)

  test('every storm has a column, the judged one is marked', () => {
    expect(storms.tables[0]!.head.slice(1)).toEqual(['1 in 2', '1 in 10', '1 in 25', '1 in 100'])
    expect(storms.tables[0]!.marked).toEqual({ column: 3 })
    expect(sayStorms(assessment, ES).tables[0]!.head.slice(1)).toEqual(['1 entre 2', '1 entre 10', '1 entre 25', '1 entre 100'])
  })

  test('numbers stand with their units, a span with its unit once', () => {
    expect(row(storms, 'Rain')[2]).toBe('118 mm')
    expect(row(storms, '– may be')[2]).toBe('38–90 mm')
    expect(row(storms, 'Inflow at its most')[2]).toBe('130 liters/s')
    expect(row(storms, 'Highest water')[2]).toBe('1,252.05 m')
    expect(row(sayStorms(assessment, ES_US), '– puede ser')[2]).toBe('1,5–3,5 pulg')
  })

  test('unknown is written out, never 0', () => {
    for (const [voice, unknown] of [
      [EN, 'unknown'],
      [ES, 'no se sabe'],
    ] as const) {
      const p = sayStorms(bare, voice)
      const { storms: say } = sizingWords(voice)
      for (const name of [say.peak, say.kept, say.soaked, say.standing, say.spilled, say.starts, say.peakSpill, say.highest, say.freeboard])
        expect(new Set(row(p, name))).toEqual(new Set([unknown]))
      expect(new Set(sayWorst(bare, voice).tables[0]!.rows.flatMap(r => r.slice(1)))).toEqual(new Set([unknown]))
      expect(p.notes.join(' ')).toContain(say.unknownNote)
    }
  })

  test('soil that nobody knows soaks an unknown amount, not none', () => {
    const p = sayStorms({ ...assessment, soaking: bare.soaking }, EN)
    expect(new Set(row(p, '– soaked in'))).toEqual(new Set(['unknown']))
    expect(p.notes.join(' ')).toContain('nothing was counted as soaking in')
  })

  test('a storm that is kept whole does not spill', () => {
    const kept = { ...assessment, storms: assessment.storms.map(s => ({ ...s, spilled_m3: 0, spillStarts_h: null })) }
    expect(row(sayStorms(kept, EN), 'First spills after')[0]).toBe('does not spill')
  })

  test('what comes from a catchment that is cut is at least so much', () => {
    const cut = sayStorms(hillside({ cut: true }).assessment, EN)
    expect(row(cut, 'Sent to the ditch')[2]).toBe('≥ 670 m³')
    expect(row(cut, 'Inflow at its most')[2]).toBe('≥ 130 liters/s')
    expect(cut.notes).toContain('The height data ends before the ridge: real volumes are larger than these.')
  })
})

test('the published spreader rules are all there, the chosen one marked', () => {
  const p = saySpreaders(assessment, EN)
  expect(p.tables[0]!.rows).toHaveLength(assessment.spillway!.spreaders.length)
  expect(p.tables[0]!.rows[p.tables[0]!.marked!.row!]![0]).toContain('(chosen)')
  expect(p.tables[0]!.rows.filter(r => r[0]!.includes('(chosen)'))).toHaveLength(1)
  expect(p.tables[0]!.rows.some(r => r[1]!.includes('longer than any that is published'))).toBe(true)
})

test('each cover below the spill has its speed, what it bears and its source; where no rule reaches, that is said', () => {
  // By Manning's formula, 45 liters a second per meter, n 0.02, on 12 %: 0.045^0.4 × (√0.12 / 0.02)^0.6 = 1.60 m/s, 28 mm deep.
  const [bareSoil, grass, stone] = sayExits(assessment, EN).tables[0]!.rows
  expect(bareSoil!.slice(0, 5)).toEqual(['bare soil', '0.03 m', '1.6 m/s', '0.76 m/s', 'does not bear it'])
  expect(grass![3]).toBe('no rule for such a slope')
  expect(stone![3]).toMatch(/pull of the water \d+ Pa, stone bears \d+ Pa/)
  expect(sayExits(assessment, ES_US).tables[0]!.rows[2]![3]).toMatch(/lb\/pie²/)
})

test('soaking says what is counted and why, and the drain instead', () => {
  expect(saySoaking(assessment, EN, settings)).toMatchObject({
    lead: expect.stringContaining('The lowest that is published'),
    lines: [
      ['Intake that is counted', '3.4 mm/h'],
      ['Soaks empty from full in', '71 hours'],
      ['Asked', 'within 48 hours'],
    ],
  })
  expect(saySoaking(assessment, ES_US).lines[0]).toEqual(['Infiltración que se cuenta', '0,13 pulg/h'])
  expect(saySoaking(bare, EN).lines[1]).toEqual(['Soaks empty from full in', 'unknown'])
  const none = { ...bare, soaking: { ...bare.soaking, infiltration_mmh: 0 } }
  expect(saySoaking(none, EN).lines[1]![1]).toBe('never by the numbers')
  expect(sayDrain(assessment, EN)).toBeNull()
  const drain = sayDrain({ ...assessment, soaking: { ...assessment.soaking, leadAway } }, EN)!
  expect(leadAway.because).toBe('drain/found')
  expect(drain.lines.map(([name]) => name)).toEqual([
    'Carries',
    'Fall',
    'Width of its bed',
    'Water in it, growth tall',
    'To dig from bed to lip',
    'Speed over its bare bed',
    'A bare bed bears',
  ])
  expect(drain.lines[0]![1]).toBe('190 liters/s')
  for (const because of ['drain/no-fall', 'drain/too-fast', 'drain/too-deep'] as const) {
    const none = { ...leadAway, because, design: null, drain: null }
    expect(sayDrain({ ...assessment, soaking: { ...assessment.soaking, leadAway: none } }, EN)!.lead).toMatch(/^None was found: /)
    expect(sayDrain({ ...assessment, soaking: { ...assessment.soaking, leadAway: none } }, ES)!.lead).toMatch(/^No se halló ninguna: /)
  }
})

test('the digging is said with a range of days and its sources', () => {
  expect(sayEarthShort(assessment, EN)).toMatch(/^About \d+ m³ of soil are to be dug: 14 to 30 days of one person’s work by hand\.$/)
  expect(sayEarthShort(assessment, ES)).toMatch(/: de 14 a 30 días de trabajo a mano de una persona\.$/)
  expect(sayEarthShort({ earth: { ...assessment.earth!, personDaysRange: null } }, EN)).toContain('the work is unknown')
  expect(sayEarthShort(bare, EN)).toMatch(/^Unknown: /)
  expect(sayEarth(assessment, EN).lines).toContainEqual(['Build the berm, over its lip', '0.4 m, to settle to 0.32 m'])
  expect(sayEarth(assessment, EN).notes[0]).toContain('ILO/ASIST')
})

test('the time of concentration says when it is only the least', () => {
  const least: Assessment = {
    ...assessment,
    runoff: {
      ...assessment.runoff,
      gatheringTime: {
        ...assessment.runoff.gatheringTime,
        because: 'time/least-taken',
        remarks: [{ code: 'travel/no-two-year-rain', details: {} }],
      },
    },
  }
  expect(sayRunoff(least, EN).notes.join(' ')).toMatch(/shortest time was taken.*24-hour rain/)
})

describe('in every voice', () => {
  for (const voice of [EN, EN_US, ES, ES_US])
    test(`nothing is left out or shown raw: ${voice.language} ${voice.units}`, () => {
      for (const a of [assessment, bare, { ...assessment, soaking: { ...assessment.soaking, leadAway } }])
        for (const p of all(a, voice)) {
          expect(textsOf(p).join('\n')).not.toMatch(/undefined|null|NaN|\[object|Infinity/)
          for (const t of p.tables) expect(new Set(t.rows.map(r => r.length))).toEqual(new Set([t.head.length]))
        }
    })

  test('Spanish with feet has no meters, and its decimals have commas', () => {
    const text = all(assessment, ES_US).flatMap(p => [
      ...p.lines.map(l => l[1]),
      ...p.tables.filter(t => t.numeric).flatMap(t => t.rows.flat()),
    ])
    expect(text.filter(t => /\d\s?(m|m²|m³|mm|litros\/s)(?![\p{L}])/u.test(t))).toEqual([])
    expect(text.filter(t => /\d\.\d\b(?!\d\d)/.test(t))).toEqual([])
  })
})

test('words that the page avoids', () => {
  const texts = (words: unknown): string[] =>
    typeof words === 'string'
      ? [words]
      : typeof words === 'function'
        ? [String((words as (...p: string[]) => string)('1', '2', '3'))]
        : typeof words === 'object' && words !== null
          ? Object.values(words).flatMap(texts)
          : []
  expect(texts(sizingWords(EN)).join('\n')).not.toMatch(
    /\bsafe(ly|ty)?\b|\bvoids?\b|\brouting\b|level-pool|burned-in|\d-year (storm|flood)|\bguarantee|\bprove[sn]?\b|\b(is|are) clear\b/i,
  )
  expect(texts(sizingWords(ES)).join('\n')).not.toMatch(/\bsegur[oa]s?\b|garanti[zc]/i)
  expect(texts(sizingWords(ES)).length).toBe(texts(sizingWords(EN)).length)
})

test('the report has all of it, escaped', () => {
  const nasty: Assessment = {
    ...assessment,
    spillway: { ...assessment.spillway!, spreaders: assessment.spillway!.spreaders.map(s => ({ ...s, source: NASTY })) },
    soaking: { ...assessment.soaking, infiltrationSource: NASTY, because: NASTY as 'intake/unknown', leadAway },
    earth: { ...assessment.earth!, personDaysRange: { low_days: 1, high_days: 2, sources: [NASTY] } },
    runoff: { ...assessment.runoff, covers: [{ ...assessment.runoff.covers[0]!, cover: NASTY, source: NASTY }] },
  }
  for (const voice of [EN, ES]) {
    const html = reportHtml({ ...hillside(), assessment: nasty }, voice)
    const words = sizingWords(voice)
    for (const part of [
      words.worst,
      words.spill,
      words.spreaders,
      words.exits,
      words.soaking,
      words.soaking.drain,
      words.earth,
      words.runoff,
    ])
      expect(html).toContain(`>${part.title}</h`)
    expect(html).toContain(words.hydrograph.hours)
    expect(html).not.toMatch(/<script|<img/i)
    expect(html).not.toContain('\u001b')
    const without = reportHtml({ ...hillside(), assessment: bare }, voice)
    expect(without).toContain(words.hydrograph.noStorm)
    expect(without).not.toMatch(/NaN|undefined|Infinity/)
  }
})
