import { reportHtml, saySoil, sayYear, summaryText } from '@soakline/drawing'
import { SIGHTING_KINDS, soilDecision, soilRecordFrom, yearsOfWater } from 'soakline/hydrology'
import { expect, test } from 'vitest'
import { EN, EN_US, ES, ES_US, hillside } from './hillside.js'

const layer = (from_m: number, to_m: number, texture: string | null) => ({ from_m, to_m, texture, mottled: false })
const bare = {
  at: null,
  layers: [],
  mottlingDepth_m: null,
  waterDepth_m: null,
  rockDepth_m: null,
  crumbTest: null,
  cracks: null,
  tests: [],
}
/** Pits and sightings that bring about as many reasons as one record can. */
const record = soilRecordFrom({
  pits: [
    { ...bare, id: 'oak', chainage_m: 10, depth_m: 0.8 },
    {
      ...bare,
      id: 'gate',
      chainage_m: 40,
      depth_m: 1.6,
      waterDepth_m: 0.2,
      rockDepth_m: 0.9,
      mottlingDepth_m: 0.5,
      crumbTest: 'halo',
      cracks: true,
    },
    {
      ...bare,
      id: 'wall',
      chainage_m: 90,
      depth_m: 1.6,
      layers: [layer(0, 0.6, 'loam'), layer(0.6, 1.6, 'clay')],
      waterDepth_m: 'none',
      rockDepth_m: 'none',
      mottlingDepth_m: 'none',
      crumbTest: 'slaking',
    },
  ],
  sightings: SIGHTING_KINDS.map(kind => ({ kind, at: null })),
})
const decision = soilDecision(record, {
  bedDepth_m: 0.3,
  lineLength_m: 100,
  pondedDepth_m: 0.3,
  bedWidth_m: 1,
  sideSlope_ratio: 1,
  groundSlope_ratio: 0.35,
})
/** Two years of which every tenth day is wet. */
const year = yearsOfWater(
  {
    firstDay: '2023-01-01',
    depths_mm: Array.from({ length: 731 }, (_, day) => (day === 40 ? Number.NaN : day % 10 === 0 ? 90 : 0)),
    source: 'invented',
  },
  {
    curveNumber: 80,
    catchment_m2: 6000,
    intake_mmh: 0.5,
    storage: [
      { level_m: 0, volume_m3: 0, soaking_m2: 100 },
      { level_m: 0.4, volume_m3: 60, soaking_m2: 100 },
    ],
  },
)
const { assessment } = hillside()
const told = { ...assessment, soaking: { ...assessment.soaking, record: decision }, year }

test('every reason of the soil stands in words beside its pit', () => {
  for (const voice of [EN, EN_US, ES, ES_US]) {
    const { lead, tables } = saySoil(told, voice)!
    const said = tables[0]!.rows.map(row => row.join(' ')).join('\n')
    expect(tables[0]!.rows).toHaveLength(decision.reasons.length)
    expect(decision.reasons.length).toBeGreaterThan(20)
    expect(said).not.toMatch(/[{}[\]]|undefined|NaN|not known|sin dato|without a sentence|sin frase/)
    expect(said).toContain('gate')
    expect(lead).toMatch(voice.language === 'en' ? /do not dig here/ : /no cave aquí/)
  }
  expect(saySoil(assessment, EN)).toBe(null)
})

test('the year says how often it spills and how long it stands, with its remarks', () => {
  expect(year.remarks.map(remark => remark.code)).toEqual(['balance/days-missing', 'balance/mosquitoes', 'balance/roots-under-water'])
  for (const voice of [EN, ES_US]) {
    const { lines, notes } = sayYear(told, voice)!
    expect(lines.length).toBeGreaterThanOrEqual(7)
    expect([...lines.flat(), ...notes].join('\n')).not.toMatch(/[{}[\]]|undefined|NaN|not known|sin dato/)
    expect(notes).toHaveLength(3)
  }
  expect(sayYear(assessment, EN)).toBe(null)
})

test('the report tells both, the terminal the year', () => {
  const html = reportHtml({ ...hillside(), assessment: told }, EN)
  expect(html).toContain('What pits, tests and the walk say')
  expect(html).toContain('Mosquitoes can breed in it.')
  const terminal = summaryText(told, EN).join('\n')
  expect(terminal).toMatch(/Over the 730 days of the rain record it spills \d+ time\(s\) in an average year; [\d.]+% of the water/)
  expect(terminal).toContain('Mosquitoes can breed in it.')
})
