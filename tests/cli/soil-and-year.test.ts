import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { seededRandom } from 'soakline/foundation'
import { expect, test } from 'vitest'
import { newFolder, type Ran, soakline } from '../helpers/command-line.js'
import { repositoryRoot } from '../helpers/repository.js'

// Pits, a walk and a record of daily rain through the command line, on the demo's spur line. Invented soil and rain.

const demo = (name: string): string => join(repositoryRoot, 'fixtures/demo', name)
const line = JSON.parse(readFileSync(demo('line-spur.geojson'), 'utf8')).features[0].geometry.coordinates as number[][]
const at = (share: number): number[] => line[Math.round(share * (line.length - 1))]!.slice(0, 2)

function file(name: string, text: string): string {
  const path = join(newFolder(), name)
  writeFileSync(path, text)
  return path
}
const collection = (features: readonly { at: number[]; properties: Record<string, unknown> }[]): string =>
  JSON.stringify({
    type: 'FeatureCollection',
    features: features.map(({ at: coordinates, properties }) => ({
      type: 'Feature',
      properties,
      geometry: { type: 'Point', coordinates },
    })),
  })
const pit = (share: number, more: Record<string, unknown>) => ({
  at: at(share),
  properties: {
    kind: 'pit',
    depth_m: 1.7,
    mottling_m: 'none',
    water_m: 'none',
    rock_m: 'none',
    cracks: false,
    crumb_test: 'none',
    test_depth_m: 0.4,
    ...more,
  },
})
/** The demo's settings; no terrains are tried, for nothing here asks about buildings. */
const plain = file('settings.json', JSON.stringify({ ...JSON.parse(readFileSync(demo('settings.json'), 'utf8')), triedTerrains: 0 }))
const words = (...more: string[]): string[] => [
  'assess',
  demo('ground.tif'),
  '--line',
  demo('line-spur.geojson'),
  '--rain',
  demo('rain.csv'),
  '--settings',
  plain,
  ...more,
]
interface Answer {
  readonly soaking: {
    infiltration_mmh: number | null
    emptyAfter_h: number | null
    record: { answer: string; pits: { dug: number }; reasons: { code: string }[] } | null
  }
  readonly year?: { days: number; spillsPerYear: number; inflow_m3: number; spilled_m3: number; soaked_m3: number; standing_m3: number }
  readonly findings: { check: string; verdict: string; because: string; text: string }[]
}
const answer = (ran: Ran): Answer => ran.json('assessment.json') as unknown as Answer
const soil = (ran: Ran) => answer(ran).findings.find(f => f.check === 'soil-soaks')!

/** Two years of days: a wet season and a dry one, seeded. */
function dailyRain(): string {
  const random = seededRandom(7)
  const rows = Array.from({ length: 731 }, (_, k) => {
    const wetSeason = Math.floor(k / 182) % 2 === 0
    const date = new Date(Date.UTC(2023, 0, 1 + k)).toISOString().slice(0, 10)
    return `${date},${random.uniform() < (wetSeason ? 0.3 : 0.03) ? (150 * random.uniform() * random.uniform()).toFixed(1) : 0}`
  })
  return `date,depth_mm\n${rows.join('\n')}\n`
}

test('good pits with three quick tests: half of the slowest counts, and the year is told with its water conserved', async () => {
  const pits = file(
    'soil.geojson',
    collection([0.1, 0.5, 0.9].map((share, k) => pit(share, { texture: 'loamy-sand', tests_mmh: [80, 60, 90][k] }))),
  )
  const ran = await soakline(...words('--soil', pits, '--daily-rain', file('days.csv', dailyRain())))
  expect(ran.code).not.toBe(3)
  const { soaking, year } = answer(ran)
  expect(soaking.record!.pits.dug).toBe(3)
  expect(soaking.infiltration_mmh).toBe(30)
  expect(soaking.emptyAfter_h!).toBeLessThan(48)
  expect(['holds', 'watch']).toContain(soil(ran).verdict)
  expect(year!.days).toBe(731)
  expect(year!.spillsPerYear).toBeGreaterThan(0)
  expect(Math.abs(year!.spilled_m3 + year!.soaked_m3 + year!.standing_m3 - year!.inflow_m3)).toBeLessThan(1e-9 * year!.inflow_m3)
})

test('the plan file keeps pits and days, and gives the same answer again', async () => {
  const pits = file('soil.geojson', collection([0.1, 0.5, 0.9].map(share => pit(share, { texture: 'clay' }))))
  const first = await soakline(...words('--soil', pits, '--daily-rain', file('days.csv', dailyRain())))
  const again = await soakline('assess', '--plan', join(first.folder, 'plan.soakline.json'))
  expect(answer(again).soaking).toEqual(answer(first).soaking)
  expect(answer(again).year!.days).toBe(731)
  expect(soil(again)).toEqual(soil(first))
})

test('days of rain over a soil that nobody has felt: the years are unknown, and that is said', async () => {
  const ran = await soakline(...words('--daily-rain', file('days.csv', dailyRain()), '--language', 'es'))
  expect(answer(ran).year).toBeUndefined()
  expect(ran.error).toContain('No se sabe: cómo le va a la zanja por los años')
})

test('a measured storm is told beside the others; the plan file keeps it; a storm with a gap is refused', async () => {
  const storm = 'time_min,depth_mm\n0,2\n15,6\n30,30\n45,9\n60,3\n'
  const first = await soakline(...words('--storm', file('storm.csv', storm)))
  const { measuredStorm } = first.json('assessment.json') as unknown as {
    measuredStorm: { rain_mm: number; kept_m3: number; spilled_m3: number }
  }
  expect(measuredStorm.rain_mm).toBe(50)
  expect(measuredStorm.kept_m3).toBeGreaterThan(0)
  expect(first.out).toMatch(/The measured storm of 50 mm would have sent about/)
  expect(first.text('report.html')).toContain('The storm that was measured')
  const again = await soakline('assess', '--plan', join(first.folder, 'plan.soakline.json'))
  expect((again.json('assessment.json') as unknown as { measuredStorm: object }).measuredStorm).toMatchObject({ ...measuredStorm })
  const gap = await soakline(...words('--storm', file('storm.csv', storm.replace('30,30\n', ''))))
  expect([gap.code, gap.error.includes('rain-record/')]).toEqual([3, true])
  const both = await soakline('assess', '--plan', join(first.folder, 'plan.soakline.json'), '--storm', file('storm.csv', storm))
  expect(both.code).toBe(2)
})

test('water near the bed, or a milky halo, is a reason not to soak; the sentence says which', async () => {
  const wet = await soakline(
    ...words(
      '--soil',
      file('soil.geojson', collection([0.1, 0.5, 0.9].map(share => pit(share, { texture: 'loam', water_m: 0.9, tests_mmh: 60 })))),
    ),
  )
  expect(soil(wet).verdict).not.toBe('holds')
  expect(
    answer(wet)
      .soaking.record!.reasons.map(r => r.code)
      .join(' '),
  ).toMatch(/water/)
  const halo = await soakline(
    ...words('--soil', file('soil.geojson', collection([0.1, 0.5, 0.9].map(share => pit(share, { texture: 'clay', crumb_test: 'halo' }))))),
  )
  expect(soil(halo).verdict).toBe('fails')
  expect(soil(halo).text).not.toMatch(/without a sentence/)
})

test('pits drawn among the features count when they say what was found; a pit without a depth is only a place', async () => {
  const found = file('features.geojson', collection([pit(0.5, { texture: 'loam', tests_mmh: 60 })]))
  expect(answer(await soakline(...words('--features', found))).soaking.record!.pits.dug).toBe(1)
  const bare = file('features.geojson', collection([{ at: at(0.5), properties: { kind: 'pit' } }]))
  const ran = await soakline(...words('--features', bare))
  expect(answer(ran).soaking.record).toBeNull()
  expect(soil(ran).because).toBe('soil/no-pits')
})

test('a bad record is refused with the feature and the next step, and nothing is written', async () => {
  const ran = await soakline(...words('--soil', file('soil.geojson', collection([pit(0.5, { texture: 'mud' })]))))
  expect(ran.code).toBe(3)
  expect(ran.error).toMatch(/soil\/bad-record.*texture/)
  expect(ran.out).toBe('')
  const short = await soakline(...words('--daily-rain', file('days.csv', 'date,depth_mm\n2024-01-01,3\n')))
  expect(short.code).toBe(3)
  expect(short.error).toMatch(/rain-record\/short-record/)
})
