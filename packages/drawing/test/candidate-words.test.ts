import { candidatesText, sayCandidate, sayCandidateRemark, sayLineSpillReason, sayRuledOut, type Voice } from '@soakline/drawing'
import { CANDIDATE_REASONS, type CandidateReason, type CandidateSearch, HEADINGS, NO_GO_REASONS } from 'soakline/siting'
import { expect, test } from 'vitest'

const VOICES: readonly Voice[] = [
  { language: 'en', units: 'metric' },
  { language: 'es', units: 'metric' },
  { language: 'en', units: 'us' },
  { language: 'es', units: 'us' },
]
const EN = VOICES[0]!

const DETAILS: CandidateReason['details'] = {
  catchment_m2: 3400,
  runoff_mm: 40,
  runoff_m3: 136,
  kept_m3: 48,
  length_m: 79,
  cut_m3: 40,
  low_days: 16.2,
  high_days: 36.9,
  heading: 'north-east',
  endsIn: 'forest',
  nearestBuilding_m: 80,
  reasons: 'ends-in-forest,flat-firm-ground',
  edgeShare_ratio: 0.4,
  ranks: '1,3',
  bends: 2,
}
const say = (details: object, code: CandidateReason['code'], voice = EN): string =>
  sayCandidate({ reasons: [{ code, details: { ...DETAILS, ...details } }] }, voice)[0]!

test('every reason has its sentence in both languages, with nothing left open', () => {
  for (const voice of VOICES)
    for (const code of CANDIDATE_REASONS) {
      const details = code === 'line/on-caution' ? { reasons: 'slide-prone' } : {}
      const text = say(details, code, voice)
      expect(text).toMatch(/\.$/)
      expect(text).not.toMatch(/undefined|null|NaN|not known|sin dato|slide-prone|ends-in/)
      expect(text).not.toMatch(/\bsafe\b|\bproven\b|\bseguro\b/i)
      if (voice.language === 'es') expect(text).not.toBe(say(details, code, EN))
    }
})

test('two sentences say what a line keeps and where it spills', () => {
  expect(say({}, 'line/catches-and-keeps')).toBe(
    '79 m long, with 3,400 m² draining in, it keeps about 48 m³ of the 140 m³ that 40 mm of runoff send, for 16 to 37 days of digging by one person.',
  )
  expect(say({ kept_m3: 136 }, 'line/catches-and-keeps')).toContain('it keeps nearly all of the 140 m³ that')
  expect(say({}, 'line/spills')).toBe(
    'The overflow at its northeast end was traced: it ends in forest and the ground below the spill is flat.',
  )
  expect(say({ ranks: '2' }, 'line/below-another')).toContain('below line 2')
  expect(say({}, 'line/below-another')).toContain('below lines 1, 3')
})

test('headings, spill reasons, what was left out and remarks are said in both languages', () => {
  for (const voice of VOICES.slice(0, 2)) {
    expect(new Set(HEADINGS.map(heading => say({ heading }, 'line/spills', voice))).size).toBe(8)
    for (const reason of ['reaches-well', 'not-high-enough', 'track-receives', 'crosses-boundary'])
      expect(sayLineSpillReason(reason, voice)).not.toBe(reason)
    for (const by of [...NO_GO_REASONS, 'too-gentle', 'too-steep-for-ditch', 'foot-of-slope', 'off-level', 'too-short'])
      expect(sayRuledOut(by, voice)).not.toBe(by)
    for (const code of [
      'ground/too-coarse',
      'candidates/storm-assumed',
      'candidates/no-building-drawn',
      'candidates/no-boundary-drawn',
    ] as const) {
      const text = sayCandidateRemark({ code, details: { cell_m: 80, bedWidth_m: 1, runoff_mm: 25 } }, voice)!
      expect(text).not.toMatch(/undefined|null|not known|sin dato/)
    }
    const none = sayCandidateRemark(
      { code: 'candidates/none-found', details: { looked_m: 900, runs: 0, reasons: 'forest,too-gentle' } },
      voice,
    )!
    expect(none).not.toMatch(/forest,|too-gentle/)
    expect(sayCandidateRemark({ code: 'other/code', details: {} }, voice)).toBe(null)
  }
})

test('a search that found nothing says only why', () => {
  const search: CandidateSearch = {
    candidates: [],
    storm: { runoff_mm: 25, rain_mm: null, assumed: true },
    remarks: [{ code: 'ground/too-coarse', details: { cell_m: 80, bedWidth_m: 1 } }],
    looked_m: 0,
    ruledOut: [],
    tried: 0,
    dropped: { bends: 0, section: 0, catchment: 0, spill: 0, 'too-near-another': 0 },
  }
  expect(candidatesText(search, EN)).toHaveLength(1)
  expect(candidatesText(search, EN)[0]).toContain('no line is offered')
})
