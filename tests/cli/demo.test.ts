import { spawnSync } from 'node:child_process'
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { newFolder, noTerrainsTried, type Ran, soakline } from '../helpers/command-line.js'
import { repositoryRoot } from '../helpers/repository.js'

// The demo holding tells its story through the command line.

const demo = (name: string): string => join(repositoryRoot, 'fixtures/demo', name)
const words = (line: string, settings: string, ...more: string[]): string[] => [
  'assess',
  demo('ground.tif'),
  '--line',
  demo(`line-${line}.geojson`),
  '--features',
  demo('features.geojson'),
  '--rain',
  demo('rain.csv'),
  '--settings',
  settings,
  ...more,
]

/** The demo's settings, but no terrains are tried: for answers that are only set against each other. */
function quickSettings(): string {
  const file = join(newFolder(), 'settings.json')
  writeFileSync(file, JSON.stringify({ ...JSON.parse(readFileSync(demo('settings.json'), 'utf8')), triedTerrains: 0 }))
  return file
}

interface Answer {
  readonly catchment: {
    readonly area_m2: number
    readonly polygonArea_m2: number
    readonly cutByEdge: boolean
    readonly ridge: { readonly highPoint: number[]; readonly elevation_m: number }
  }
  readonly storms: { readonly chancePerYear: number; readonly runoff_mm: number; readonly runoff_m3: number; readonly rain_mm: number }[]
  readonly storage: { readonly toSill_m3: number; readonly toCrest_m3: number }
  readonly spills: {
    readonly rank: number
    readonly chainage_m: number
    readonly path: { readonly endsIn: string; readonly reachesBuilding: boolean; readonly nearestBuilding_m: number }
  }[]
  readonly findings: {
    readonly check: string
    readonly verdict: string
    readonly text: string
    readonly because: string
    readonly measured: number | null
  }[]
}
const answer = (ran: Ran): Answer => ran.json('assessment.json') as unknown as Answer
const verdict = (ran: Ran, check: string): string | undefined => answer(ran).findings.find(f => f.check === check)?.verdict

let bench: Ran
let spur: Ran
let quickBench: Ran
beforeAll(async () => {
  bench = await soakline(...words('bench', demo('settings.json')))
  spur = await soakline(...words('spur', demo('settings.json')))
  quickBench = await soakline(...words('bench', quickSettings()))
})

test('the obvious bench is wrong: its overflow runs to the cabin, it lies above the cabin and the septic field; exit code 4', () => {
  expect(bench.code).toBe(4)
  expect(verdict(bench, 'overflow-misses-buildings')).toBe('fails')
  expect(verdict(bench, 'line-off-no-go')).toBe('fails')
  expect(answer(bench).spills.find(s => s.chainage_m === 0)?.path.reachesBuilding).toBe(true)
  expect(answer(bench).findings.find(f => f.check === 'overflow-misses-buildings')?.text).toContain('Cabin')
})

test('the spur line is right: nothing fails, it spills into the wood, and what is not known stays unknown; exit code 0', () => {
  expect(spur.code).toBe(0)
  expect(verdict(spur, 'overflow-misses-buildings')).toBe('holds')
  expect(verdict(spur, 'line-off-no-go')).toBe('holds')
  expect(verdict(spur, 'soil-soaks')).toBe('unknown')
  expect(answer(spur).spills.find(s => s.rank === 1)?.path.endsIn).toBe('forest')
  expect(answer(spur).findings.some(f => f.verdict === 'fails')).toBe(false)
})

test('both catchments are complete, and the areas agree with fall lines traced on a 2 m grid when the holding was made', () => {
  for (const [ran, traced_m2] of [
    [bench, 11_460],
    [spur, 5_990],
  ] as const) {
    expect(answer(ran).catchment.cutByEdge).toBe(false)
    expect(Math.abs(answer(ran).catchment.area_m2 / traced_m2 - 1)).toBeLessThan(0.025)
    expect(Math.abs(answer(ran).catchment.polygonArea_m2 / answer(ran).catchment.area_m2 - 1)).toBeLessThan(0.05)
    expect(answer(ran).catchment.ridge.elevation_m).toBeGreaterThan(165)
  }
})

test('the storm is the curve number’s (USDA TR-55 eq. 2-3): 126 mm on CN 69 gives 49.0 mm; the house below makes the 1-in-100 storm the judge', () => {
  const storm = answer(bench).storms.find(s => s.chancePerYear === 0.04)!
  expect(bench.json('assessment.json').acceptance).toMatchObject({ chancePerYear: 0.01, houseBelow: true })
  expect(spur.json('assessment.json').acceptance).toMatchObject({ chancePerYear: 0.04, houseBelow: false })
  const s_mm = 25400 / 69 - 254
  expect(storm.rain_mm).toBe(126)
  expect(storm.runoff_mm).toBeCloseTo((126 - 0.2 * s_mm) ** 2 / (126 + 0.8 * s_mm), 9)
  expect(storm.runoff_m3).toBeCloseTo((storm.runoff_mm * answer(bench).catchment.area_m2) / 1000, 6)
})

test('without rain there are no storms and nothing about capacity holds', async () => {
  const dry = await soakline('assess', demo('ground.tif'), '--line', demo('line-spur.geojson'), ...noTerrainsTried())
  expect(answer(dry).storms).toEqual([])
  expect(verdict(dry, 'storage-holds-storm')).toBe('unknown')
  expect(verdict(dry, 'overflow-misses-buildings')).toBe('unknown')
  expect(verdict(dry, 'line-off-no-go')).toBe('unknown')
  expect(verdict(dry, 'permissions-asked')).toBe('unknown')
})

test('what was not asked for is absent, never invented', () => {
  const text = spur.text('assessment.json')
  for (const key of ['asBuilt', 'year', 'measuredStorm', 'cascade']) expect(text).not.toContain(`"${key}`)
})

test('planting stands under its stable names: a zone, its length, and how many plants at which spacing, null where it is sown', () => {
  const rows = spur.json('assessment.json').planting as unknown as Record<string, unknown>[]
  expect(rows.map(row => row.zone)).toEqual(['erosion-strip', 'bed', 'wet-edge', 'crest', 'dry-edge', 'soak-zone', 'spill'])
  for (const row of rows) {
    expect(Object.keys(row)).toEqual(['zone', 'length_m', 'spacing_m', 'count'])
    expect(row.length_m).toBeGreaterThan(0)
    expect(row.count === null).toBe(row.spacing_m === null)
  }
  // One row of clumps 0.15 m apart along the strip: floor(L/s) + 1 (derived).
  const strip = rows[0]! as { length_m: number; spacing_m: number; count: number }
  expect(strip.count).toBe(Math.floor(strip.length_m / strip.spacing_m + 1e-9) + 1)
})

test('storms, storage, soaking and earth stand under their stable names; soil that nobody looked at is null, never 0', () => {
  const a = spur.json('assessment.json') as unknown as {
    storms: Record<string, number | null>[]
    storage: Record<string, number>
    soaking: Record<string, number | null>
    earth: Record<string, number>
  }
  for (const storm of a.storms)
    for (const name of [
      'chancePerYear',
      'duration_h',
      'rain_mm',
      'runoff_mm',
      'runoff_m3',
      'peakInflow_m3s',
      'highestWater_m',
      'freeboard_m',
      'spilled_m3',
      'peakSpill_m3s',
      'soaked_m3',
    ])
      expect(typeof storm[name], name).toBe('number')
  expect(a.storms.map(s => s.chancePerYear)).toEqual([0.5, 0.2, 0.1, 0.04, 0.02, 0.01])
  expect(a.storage.toCrest_m3!).toBeGreaterThan(a.storage.toSill_m3!)
  expect(Math.abs(a.storage.asDug_m3! / a.storage.toSill_m3! - 1)).toBeLessThan(0.02)
  expect([a.soaking.emptyAfter_h, a.soaking.infiltration_mmh]).toEqual([null, null])
  for (const name of ['cut_m3', 'bermLoose_m3', 'personDays']) expect(a.earth[name], name).toBeGreaterThan(0)
})

test('the acceptance storm is written step by step', () => {
  const [head, ...rows] = spur.text('hydrograph.csv').trim().split(/\r?\n/)
  expect(head).toBe('time_h,rain_mmh,inflow_m3s,inflow_wet_soil_m3s,water_level_m')
  const flows = rows.map(row => Number(row.split(',')[2]))
  const volume = flows.reduce((sum, flow) => sum + flow, 0) * Number(rows[1]!.split(',')[0]) * 3600
  expect(volume / answer(spur).storms.find(s => s.chancePerYear === 0.04)!.runoff_m3).toBeCloseTo(1, 2)
})

test('language and units change text only, never a JSON number or name', async () => {
  const spanish = await soakline(...words('bench', quickSettings(), '--language', 'es', '--units', 'us'))
  const strip = (value: unknown): unknown => JSON.parse(JSON.stringify(value, (key, item: unknown) => (key === 'text' ? undefined : item)))
  expect(strip(answer(spanish))).toEqual(strip(answer(quickBench)))
  expect(answer(spanish).findings.map(f => f.text)).not.toEqual(answer(quickBench).findings.map(f => f.text))
  expect(spanish.text('report.html')).toMatch(/<html lang="es"/)
  expect(spanish.out).toMatch(/pies|acres/)
})

test('the plan file gives the same answer again', async () => {
  const again = await soakline('assess', '--plan', join(quickBench.folder, 'plan.soakline.json'))
  expect(again.code).toBe(4)
  const [a, b] = [answer(quickBench), answer(again)]
  expect(b.findings.map(f => [f.check, f.verdict, f.because])).toEqual(a.findings.map(f => [f.check, f.verdict, f.because]))
  // The plan keeps nine decimals of a degree, a tenth of a millimetre.
  expect(Math.abs(b.catchment.area_m2 - a.catchment.area_m2)).toBeLessThan(1)
})

test('a plan on another ground is refused', async () => {
  const file = join(newFolder(), 'plan.soakline.json')
  writeFileSync(file, readFileSync(join(bench.folder, 'plan.soakline.json'), 'utf8').replace(/"sha256": "[0-9a-f]+"/, '"sha256": "00"'))
  const ran = await soakline('assess', demo('ground.tif'), '--plan', file)
  expect(ran.code).toBe(3)
  expect(ran.error).toContain('plan/other-ground')
})

test('the report is one file without scripts or links to elsewhere', () => {
  const html = bench.text('report.html')
  expect(html).not.toMatch(/<script|https?:\/\/(?!www\.w3\.org)/i)
  expect(html).toMatch(/<html lang="en"/)
})

test('input files may lie in the answer’s folder', async () => {
  const folder = newFolder()
  copyFileSync(demo('ground.tif'), join(folder, 'ground.tif'))
  copyFileSync(demo('line-spur.geojson'), join(folder, 'line.geojson'))
  const ran = await soakline(
    'assess',
    join(folder, 'ground.tif'),
    '--line',
    join(folder, 'line.geojson'),
    '--out',
    folder,
    ...noTerrainsTried(),
  )
  expect(ran.code).toBe(0)
})

describe('through npm', () => {
  test('npm run -s soakline prints one JSON document and nothing else', () => {
    const done = spawnSync('npm', ['run', '-s', 'soakline', '--', ...words('spur', quickSettings(), '--out', newFolder(), '--json')], {
      cwd: repositoryRoot,
      encoding: 'utf8',
      shell: process.platform === 'win32',
    })
    expect(done.status).toBe(0)
    expect((JSON.parse(done.stdout) as { format: string }).format).toBe('soakline-assessment/1')
    // It may have to build first.
  }, 300_000)
})
