import {
  handsWords,
  JOB_STEP_REASONS,
  mattersWords,
  sayCascade,
  sayComparison,
  sayInfluence,
  sayJobStep,
  sayNotFollowed,
  sayOtherSwale,
  sayStage,
  sayStormHour,
} from '@soakline/drawing'
import type { Finding } from 'soakline/foundation'
import { type Cascade, CHANGES, compareDesigns, type Influence, stormAt } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US, hillside } from './hillside.js'

// What the sheet says of work by hand: every code in both languages and units, no gap left open.

const { assessment } = hillside()
const VOICES = [EN, EN_US, ES, ES_US]
const whole = (text: string): void => expect(text).not.toMatch(/[{}[\]]|undefined|NaN|not known\.? of|^$/)

test('every step of the job and every reason has its words', () => {
  const values = {
    length_m: 110,
    bedElevation_m: 159.5,
    groundRange_m: 0.08,
    meanGroundSlope_ratio: 0.12,
    bedWidth_m: 1,
    depth_m: 0.4,
    topWidth_m: 2.1,
    bermBuilt_m: 0.46,
    bermSettled_m: 0.37,
    toSill_m3: 71,
    short_m3: 4,
    count: 38,
    fails: 2,
    unknown: 1,
    zones: 6,
    readings: 9,
    low: 2,
    soilHeaped_m3: 0.4,
    cleanAt_m: 0.1,
    storms: 3,
    worse: 1,
  }
  for (const voice of VOICES)
    for (const because of JOB_STEP_REASONS) {
      const said = sayJobStep({ step: 'line', because, values }, voice)
      for (const text of [said.title, said.text, said.next]) whole(text)
      expect(said.text).not.toContain(because)
    }
  expect(sayJobStep({ step: 'stakes', because: 'stakes/ready', values }, EN).text).toBe('38 stakes stand along 110 m, each with its level.')
  expect(sayJobStep({ step: 'digging', because: 'digging/checks-fail', values: { fails: 2, unknown: null } }, EN).text).toBe(
    'Not yet: 2 of the checks above fail.',
  )
})

test('water at a level and in a storm at an hour, in the reader’s units', () => {
  const stage = { level_m: 160.1, depth_m: 0.6, held_m3: 42, leaves_m3s: 0.012, againstFill_m: 0.08, crestOver_m: 0.2 }
  expect(sayStage(stage, EN)).toBe(
    'With the water at 160.10 m, 0.6 m over the bed, the ditch holds 42 m³. 12 liters/s leave over the spill. It stands 0.08 m against the berm.',
  )
  expect(sayStage({ ...stage, leaves_m3s: 0, againstFill_m: 0 }, ES)).toMatch(/160,10 m.*No sale nada\.$/)
  expect(sayStage({ ...stage, leaves_m3s: null, crestOver_m: 0 }, EN)).toMatch(/How much leaves is not known\..*top of the settled berm\.$/)
  const at = stormAt(assessment.storms[0]!.levels!, 13)
  for (const voice of VOICES) whole(sayStormHour(at, true, voice))
  expect(sayStormHour(at, false, EN)).toMatch(/What soaks in is unknown, so none is counted\.$/)
  expect(sayStormHour(at, true, EN)).toMatch(/^Hour 13: 110 liters\/s run in, 100 liters\/s run out/)
})

describe('two designs', () => {
  const b = {
    ...assessment,
    catchment: { ...assessment.catchment, area_m2: assessment.catchment.area_m2 / 2 },
    findings: assessment.findings.map((f): Finding => (f.verdict === 'holds' ? { ...f, verdict: 'fails' } : f)),
  }
  test('what differs is told as more and less, alike is told as alike', () => {
    const said = sayComparison(compareDesigns(assessment, b), EN)
    expect(said.sentences).toHaveLength(1)
    expect(said.sentences[0]).toMatch(/^Less ground drains into B: .* against .*\.$/)
    expect(said.turned[0]).toMatch(/A within limits, B fails\.$/)
    expect(said.table.head).toEqual(['By', 'A', 'B'])
    expect(sayComparison(compareDesigns(b, assessment), ES).sentences[0]).toMatch(/^Hacia B escurre más terreno/)
    expect(sayComparison(compareDesigns(assessment, assessment), EN).sentences).toEqual(['The two are alike in all that is compared.'])
  })
  test('what is not known is said so', () => {
    const none = { ...b, storage: null, earth: null, spillway: null }
    for (const voice of VOICES) for (const text of sayComparison(compareDesigns(assessment, none), voice).sentences) whole(text)
  })
})

test('a cascade: where each spills, who is run over; no word of safety', () => {
  const levels = { step_h: 0.1, levels_m: [], spills_m3s: [], inflows_m3s: [], came_m3: [], spilled_m3: [], standing_m3: [] }
  const levelled = { bedElevation_m: 99, sillElevation_m: 99.6, way: [], levels }
  const ditch = { ...levelled, catchment_m2: 8000, ownArea_m2: 3000, highestWater_m: 100, peakSpill_m3s: 0.1, spilled_m3: 200 }
  const cascade: Cascade = {
    chancePerYear: 0.04,
    ditches: [
      { ...ditch, line: 1, spillsInto: 0, freeboard_m: 0.3 },
      { ...ditch, line: 0, spillsInto: null, freeboard_m: -0.05 },
    ],
    whenFails: [
      { line: 1, alsoFall: [0], peak_m3s: 1.2, leaves_m3: 300 },
      { line: 0, alsoFall: [], peak_m3s: 0.8, leaves_m3: 200 },
    ],
  }
  const name = (line: number): string => `Swale ${line + 1}`
  const said = sayCascade(cascade, 0.15, name, EN)
  expect(said.verdict).toBe('fails')
  expect(said.ditches.map(d => d.verdict)).toEqual(['watch', 'fails'])
  expect(said.ditches[0]!.sentences.join(' ')).toMatch(/Swale 2 spills into Swale 1\..*runs over Swale 1, which then give way too/)
  expect(said.ditches[1]!.sentences.join(' ')).toMatch(/spills past the others.*runs over its berm/)
  expect(sayCascade(null, 0.15, name, ES)).toEqual({ verdict: 'unknown', lead: expect.stringMatching(/^Sin dato/), ditches: [] })
})

test('another swale at an hour of the storm: its water, or that it is empty; why it is not followed', () => {
  const at = { hour_h: 3, inflow_m3s: 0.02, spill_m3s: 0.01, level_m: 99.3, came_m3: 200, spilled_m3: 20, soaked_m3: 0, standing_m3: 180 }
  expect(sayOtherSwale('Swale 2', at, 99, EN)).toBe('Swale 2: 180 m³ in it, 10 liters/s out.')
  expect(sayOtherSwale('Zanja 2', { ...at, level_m: 99, standing_m3: 0 }, 99, ES)).toBe('Zanja 2: todavía vacía.')
  expect(sayOtherSwale('Zanja 2', { ...at, spill_m3s: 0 }, 99, ES)).toBe('Zanja 2: 180 m³ adentro.')
  for (const voice of VOICES) for (const because of ['waiting', 'unknown'] as const) whole(sayNotFollowed(because, voice))
})

test('every change that is tried has its words; a verdict that turns is named', () => {
  const [before] = assessment.findings
  for (const voice of VOICES)
    for (const change of CHANGES) {
      const one: Influence = {
        check: before!.check,
        change,
        value: 0.5,
        unit: change === 'rarer-storm' ? 'chance' : 'm',
        before: before!,
        after: before!,
      }
      whole(sayInfluence(one, voice))
    }
  const turned: Influence = {
    check: before!.check,
    change: 'deeper',
    value: 0.5,
    unit: 'm',
    before: { ...before!, verdict: 'holds' },
    after: { ...before!, verdict: 'fails' },
  }
  expect(sayInfluence(turned, EN)).toMatch(/^With a ditch 0\.5 m deep \(fails\): /)
})

test('the labels differ between the languages, and none is missing', () => {
  const flat = (of: object): string[] =>
    Object.values(of).flatMap(v => (typeof v === 'string' ? [v] : typeof v === 'object' ? flat(v as object) : []))
  const [en, es] = [flat(handsWords(EN)), flat(handsWords(ES))]
  expect(en.length).toBe(es.length)
  expect(en.filter((text, k) => text === es[k])).toEqual([])
  expect(Object.keys(mattersWords(EN))).toEqual(Object.keys(mattersWords(ES)))
})
