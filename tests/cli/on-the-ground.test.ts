import { execFileSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { openProjection, readGpx, readKml, writeGpx } from '@soakline/io'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { careSchema, diggingSchema, plantingSchema, readPlan, stakesSchema } from 'soakline/plan'
import { beforeAll, describe, expect, test } from 'vitest'
import { newFolder, type Ran, soakline } from '../helpers/command-line.js'
import { repositoryRoot } from '../helpers/repository.js'

// From answer to ground on the command line, on the demo's spur line.

const demo = (name: string): string => join(repositoryRoot, 'fixtures/demo', name)
const settings: Record<string, unknown> = JSON.parse(readFileSync(demo('settings.json'), 'utf8'))
function file(name: string, content: unknown): string {
  const path = join(newFolder(), name)
  writeFileSync(path, typeof content === 'string' ? content : JSON.stringify(content))
  return path
}
/** The demo's line; no terrains are tried, for nothing here asks about buildings. */
const about = (command: string, given: Record<string, unknown> = {}): string[] => [
  command,
  demo('ground.tif'),
  '--line',
  demo('line-spur.geojson'),
  '--features',
  demo('features.geojson'),
  '--rain',
  demo('rain.csv'),
  '--settings',
  file('settings.json', { ...settings, triedTerrains: 0, ...given }),
]
const compile = (schema: object) => new Ajv2020({ strict: false }).compile(schema)

interface StakeRow {
  readonly number: number
  readonly kinds: readonly string[]
  readonly chainage_m: number
  readonly x_m: number
  readonly y_m: number
  readonly bed_m: number
  readonly crest_m: number | null
  readonly sill_m: number | null
  readonly text: string
}
const rowsOf = (ran: Ran): StakeRow[] => (ran.json('stakes.json') as unknown as { stakes: StakeRow[] }).stakes

let staked: Ran
let assessed: Ran
beforeAll(async () => {
  assessed = await soakline(...about('assess'))
  staked = await soakline(...about('stakes'), '--holding', '=2+5 <Ridge> & "día"', '--json')
})

describe('stakes', () => {
  test('the document keeps to its published schema, and standard output is it with --json', () => {
    const validate = compile(stakesSchema())
    expect(validate(staked.json('stakes.json')), JSON.stringify(validate.errors)).toBe(true)
    expect(staked.code).toBe(0)
    expect(JSON.parse(staked.out)).toEqual(staked.json('stakes.json'))
  })

  test('stakes.csv, from both commands, has the same stakes in the same places', async () => {
    expect(assessed.text('stakes.csv')).toBe(staked.text('stakes.csv'))
    const lines = staked.text('stakes.csv').trim().split('\r\n')
    expect(lines.length).toBe(rowsOf(staked).length + 1)
    const { planting } = assessed.json('assessment.json') as unknown as { planting: { zone: string; count: number | null }[] }
    const zones = (await soakline(...about('planting'))).json('planting.json') as unknown as {
      zones: { zone: string; count: number | null }[]
    }
    for (const { zone, count } of planting) expect(count).toBe(zones.zones.find(z => z.zone === zone)!.count)
  })

  test('GPX and KML come back with every stake within 1 mm, whatever the holding is called', async () => {
    const utm = await openProjection('EPSG:32625')
    for (const back of [readGpx(staked.text('stakes.gpx'), utm), readKml(staked.text('plan.kml'), utm)]) {
      const stakes = rowsOf(staked)
      expect(back.points.length).toBe(stakes.length)
      for (const [k, { at }] of back.points.entries())
        expect(Math.hypot(at[0] - stakes[k]!.x_m, at[1] - stakes[k]!.y_m)).toBeLessThan(0.001)
    }
    expect(readGpx(staked.text('stakes.gpx'), utm).lines[0]!.name).toBe('=2+5 <Ridge> & "día"')
  })

  test('DXF is read by GDAL with every stake within 1 mm, where it is installed', () => {
    const points = readByGdal(join(staked.folder, 'plan.dxf'))
    if (points === null) return console.info('plan.dxf was not read by GDAL: ogrinfo is not installed here.')
    for (const { x_m, y_m } of rowsOf(staked))
      expect(Math.min(...points.map(([x, y]) => Math.hypot(x! - x_m, y! - y_m)))).toBeLessThan(0.001)
  })

  test('plan.geojson is RFC 7946: degrees, nine decimals, outer rings counter-clockwise', () => {
    const { features } = JSON.parse(staked.text('plan.geojson')) as {
      features: { properties: { what: string; zone?: string }; geometry: { type: string; coordinates: number[][][] } }[]
    }
    expect(features.filter(f => f.properties.what === 'stake').length).toBe(rowsOf(staked).length)
    const zones = features.filter(f => f.properties.what === 'planting')
    expect(zones.map(f => f.properties.zone)).toContain('erosion-strip')
    for (const { geometry } of zones) {
      const outer =
        geometry.type === 'MultiPolygon' ? (geometry.coordinates as unknown as number[][][][]).map(p => p[0]!) : [geometry.coordinates[0]!]
      for (const ring of outer) {
        const area = ring
          .slice(1)
          .reduce(
            (sum, [x, y], k) =>
              sum + (x! - ring[0]![0]!) * (ring[k]![1]! - ring[0]![1]!) * -1 + (ring[k]![0]! - ring[0]![0]!) * (y! - ring[0]![1]!),
            0,
          )
        expect(area).toBeGreaterThan(0)
        expect(ring[ring.length - 1]).toEqual(ring[0])
      }
    }
  })

  test('language and units change the text alone', async () => {
    const other = await soakline(...about('stakes'), '--language', 'es', '--units', 'us')
    expect(other.text('levelling.txt')).toMatch(/ESTACAS/)
    expect(other.text('levelling.txt')).toMatch(/ pies/)
    expect(staked.text('levelling.txt')).toMatch(/mark from this plan, set the level with an instrument/i)
    const bare = (ran: Ran) => rowsOf(ran).map(({ text: _, ...stake }) => stake)
    expect(bare(other)).toEqual(bare(staked))
  })

  test('a falling bed has check banks among its stakes, and an A-frame that is marked for the fall', async () => {
    const path = JSON.parse(readFileSync(demo('line-spur.geojson'), 'utf8')).features[0].geometry.coordinates as number[][]
    const place = path[Math.floor(path.length / 2)]!.slice(0, 2).join(',')
    const traced = await soakline('level', demo('ground.tif'), '--at', place, '--fall', '0.008', '--length', '100')
    const words = about('stakes', { bedFall_ratio: 0.008, checkBanks: true })
    words[words.indexOf('--line') + 1] = join(traced.folder, 'line.geojson')
    const ran = await soakline(...words)
    expect(rowsOf(ran).some(stake => stake.kinds.includes('check-bank'))).toBe(true)
    const { aFrame } = (ran.json('stakes.json') as unknown as { levelling: { aFrame: Record<string, number> } }).levelling
    // Similar triangles: 0.8 % of the span, and of the plumb line.
    expect(aFrame['dropPerStep_m']).toBeCloseTo(0.016, 9)
    expect(aFrame['markOffset_m']).toBeCloseTo(0.0096, 9)
  })

  test('a line on which no ditch can be dug is refused, with nothing on standard output', async () => {
    const ran = await soakline(...about('stakes', { depth_m: 0.05, crestWidth_m: 3, freeboard_m: 1 }))
    expect(ran.code).toBe(3)
    expect(ran.error).toMatch(/^stakes\/no-ditch: [^\n]*\n$/)
    expect(ran.out).toBe('')
  })
})

interface BuiltAnswer {
  readonly asBuilt: {
    readonly lowSpots: { lowestAt_m: number; depth_m: number; length_m: number; soilHeaped_m3: number; freeboard_m: number }[]
    readonly verdicts: { check: string; planned: string; built: string }[]
    readonly remarks: { code: string; text: string }[]
  }
  readonly findings: { check: string; verdict: string; text: string }[]
  readonly storage: { toSill_m3: number; crestElevation_m: number }
}

describe('as built', () => {
  /** Readings at every stake, as the plan has them but for the change. */
  const readings = (change: (row: StakeRow) => number): string =>
    [
      'stake,bed_m,crest_m',
      ...rowsOf(staked).map(r => `${r.number},${r.bed_m},${r.crest_m === null ? '' : (r.crest_m + change(r)).toFixed(4)}`),
    ].join('\n')
  /** Between the ends, where the crest is lowest: there the freeboard is judged. */
  const low = (): StakeRow =>
    rowsOf(staked)
      .slice(1, -2)
      .reduce((least, row) => (row.crest_m! < least.crest_m! ? row : least))

  test('a low spot of 6 cm in the berm’s readings is found, sized, and its consequence told', async () => {
    const ran = await soakline(
      ...about('assess'),
      '--as-built',
      file(
        'read.csv',
        readings(r => (r.number === low().number ? -0.06 : 0)),
      ),
    )
    const { asBuilt, findings } = ran.json('assessment.json') as unknown as BuiltAnswer
    expect(asBuilt.lowSpots.length).toBe(1)
    const [spot] = asBuilt.lowSpots
    expect(spot!.lowestAt_m).toBe(low().chainage_m)
    expect(spot!.depth_m).toBeCloseTo(0.06, 3)
    // From the stake before to the one after, 5 m either way.
    expect(spot!.length_m).toBeGreaterThan(9.5)
    expect(spot!.length_m).toBeLessThan(10.5)
    expect(spot!.soilHeaped_m3).toBeGreaterThan(0.2)
    expect(spot!.soilHeaped_m3).toBeLessThan(2)
    expect(asBuilt.verdicts).toContainEqual({ check: 'freeboard', planned: 'watch', built: 'fails' })
    expect(findings.find(f => f.check === 'freeboard')!.verdict).toBe('fails')
    expect(ran.code).toBe(4)
    expect(ran.out).toMatch(/LOW SPOTS OF THE BERM/)
    expect(ran.out).toMatch(/6 cm/)
    expect(readPlan(ran.text('plan.soakline.json')).built!.readings.length).toBeGreaterThan(20)
  })

  test('built as planned, the answer is the plan’s; assessed from its plan file it is the same', async () => {
    const planned = assessed.json('assessment.json') as unknown as BuiltAnswer
    const ran = await soakline(
      ...about('assess'),
      '--as-built',
      file(
        'read.csv',
        readings(() => 0),
      ),
    )
    const built = ran.json('assessment.json') as unknown as BuiltAnswer
    expect(built.asBuilt.lowSpots).toEqual([])
    expect(built.asBuilt.verdicts).toEqual([])
    expect(built.storage.toSill_m3).toBeCloseTo(planned.storage.toSill_m3, 1)
    const again = await soakline('assess', '--plan', join(ran.folder, 'plan.soakline.json'))
    expect((again.json('assessment.json') as unknown as BuiltAnswer).asBuilt).toEqual(built.asBuilt)
  })

  test('a berm lower than the sill is said in words, in the reader’s language', async () => {
    const name = file(
      'read.csv',
      readings(r => (r.number === low().number ? -0.3 : 0)),
    )
    const ran = await soakline(...about('assess'), '--as-built', name, '--language', 'es')
    expect(ran.out).toMatch(/más bajo que el lugar donde debe rebalsar/)
    expect(ran.code).toBe(4)
  })

  test('a table that names no stake of this line is refused by its row', async () => {
    const ran = await soakline(...about('assess'), '--as-built', file('read.csv', 'stake,crest_m\n1,160.2\n=cmd,160.2\n'))
    expect(ran.code).toBe(3)
    expect(ran.error).toMatch(/^as-built\/unknown-stake: .*[Rr]ow 3/)
    expect(ran.out).toBe('')
  })

  test('--fresh without readings is a wrong use', async () => {
    expect((await soakline(...about('assess'), '--fresh')).code).toBe(2)
  })
})

test('digging: the document keeps to its schema; stretches sum to the whole, crossings and prices are taken', async () => {
  const ran = await soakline(...about('digging'), '--crossings', 'barrow@30,stock@107', '--rates', 'personDay=100,mulch_m3=20')
  const validate = compile(diggingSchema())
  expect(validate(ran.json('digging.json')), JSON.stringify(validate.errors)).toBe(true)
  const plan = ran.json('digging.json') as unknown as {
    stretches: { cut_m3: number }[]
    cut_m3: number
    personDays: { low_days: number; high_days: number }
    mulch_m3: number
    crossings: { refused: string | null; text?: string }[]
    phases: { code: string }[]
    cost: { byHand: { low: number; high: number }; byMachine: null; mulch: number }
  }
  expect(plan.stretches.reduce((sum, s) => sum + s.cut_m3, 0)).toBeCloseTo(plan.cut_m3, 9)
  expect(plan.cost).toEqual({
    byHand: { low: 100 * plan.personDays.low_days, high: 100 * plan.personDays.high_days },
    byMachine: null,
    mulch: 20 * plan.mulch_m3,
  })
  expect(plan.crossings.map(c => c.refused)).toEqual([null, 'crossing/at-spill'])
  expect(plan.crossings[1]!.text).toMatch(/sill/)
  // Spill first (common practice).
  expect(plan.phases.map(p => p.code).slice(0, 3)).toEqual(['ask-and-mark', 'make-spill', 'strip-turf'])
  expect(ran.out).toMatch(/Order of the work/i)
})

test.each([
  [['--crossings', 'train@3']],
  [['--crossings', 'barrow@']],
  [['--crossings', 'barrow@1@2']],
  [['--rates', 'personDay=-1']],
  [['--rates', 'personDay']],
  [['--rates', 'beer=3']],
])('digging %j is a wrong use, told before the ground is read', async words => {
  const ran = await soakline(...about('digging'), ...words)
  expect(ran.code).toBe(2)
  expect(ran.out).toBe('')
})

test('planting: the document keeps to its schema; the user’s own plants are matched, whatever they are called', async () => {
  const needs = { wetFeet_h: 12, drainedDepth_m: 1.5, sun: 'full', spread_m: 5, woody: true, deepDrainage: true }
  const name = '=HYPERLINK("x");<b>Apfel</b>'
  const ran = await soakline(...about('planting'), '--plants', file('plants.json', [{ name, needs }]))
  const validate = compile(plantingSchema())
  expect(validate(ran.json('planting.json')), JSON.stringify(validate.errors)).toBe(true)
  const { plants, matches, starterList } = ran.json('planting.json') as unknown as {
    plants: { name: string }[]
    matches: { zone: string; verdict: string; reasons: string[] }[]
    starterList: boolean
  }
  expect(starterList).toBe(false)
  expect(plants[0]!.name).toBe(name)
  // Trees that want deep drained soil never go on the berm (common practice, no source).
  for (const zone of ['wet-edge', 'crest', 'dry-edge']) expect(matches.find(m => m.zone === zone)!.verdict).toBe('fails')
  expect(matches.find(m => m.zone === 'spill')!.reasons).toContain('plant/woody-at-spill')
  const refused = await soakline(...about('planting'), '--plants', file('plants.json', [{ name: '' }]))
  expect([refused.code, refused.error]).toEqual([3, expect.stringMatching(/^plants\/bad-plant/)])
})

test('care: the document keeps to its schema; a storm that was seen is set against what its rain was bound to do', async () => {
  const log = [{ date: '2026-03-31', rain_mm: 4, highestWater_m: 0.4, spilled: true, seen: 'over the sill', photos: [] }]
  const ran = await soakline(...about('care'), '--storm-log', file('log.json', log), '--ring', 'Ana, 555')
  const validate = compile(careSchema())
  expect(validate(ran.json('care.json')), JSON.stringify(validate.errors)).toBe(true)
  const { card, log: compared } = ran.json('care.json') as unknown as { card: { ring: string }; log: { because: string; text: string }[] }
  expect(card.ring).toBe('Ana, 555')
  expect(compared[0]!.because).toBe('log/spilled-unexpectedly')
  expect(ran.text('care.txt')).toMatch(/Do not stand on the berm/)
  const bad = await soakline(...about('care'), '--storm-log', file('log.json', [{ date: 'last week' }]))
  expect([bad.code, bad.error]).toEqual([3, expect.stringMatching(/^log\/bad-entry/)])
})

test('the line comes from GPX as well: the same line, the same answer', async () => {
  const utm = await openProjection('EPSG:32625')
  const coordinates = JSON.parse(readFileSync(demo('line-spur.geojson'), 'utf8')).features[0].geometry.coordinates as [number, number][]
  const lines = [{ name: 'swale', path: coordinates.map(([longitude, latitude]) => utm.fromLonLat(longitude, latitude)) }]
  const words = about('catchment')
    .slice(0, -2)
    .filter((word, k, all) => word !== '--rain' && all[k - 1] !== '--rain')
  const asGpx = [...words]
  asGpx[asGpx.indexOf('--line') + 1] = file('line.gpx', writeGpx({ name: 'x', lines }, utm))
  const area = (ran: Ran) => (ran.json('catchment.json') as unknown as { area_m2: number }).area_m2
  const [geojson, gpx] = [await soakline(...words), await soakline(...asGpx)]
  expect(gpx.code).toBe(0)
  expect(Math.abs(area(gpx) / area(geojson) - 1)).toBeLessThan(1e-4)
})

test('the commands stand in the help', async () => {
  const { out } = await soakline('help')
  for (const name of ['stakes', 'digging', 'planting', 'care']) expect(out).toMatch(new RegExp(`^ {2}${name} `, 'm'))
  expect((await soakline('stakes', '--help')).out).toMatch(/--line FILE/)
})

/** Points of a drawing by GDAL; null where it is not installed. */
function readByGdal(path: string): number[][] | null {
  try {
    execFileSync('ogrinfo', ['--version'], { stdio: 'pipe' })
  } catch {
    return null
  }
  const text = execFileSync('ogrinfo', ['-ro', '-al', path], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'], maxBuffer: 1e8 })
  return [...text.matchAll(/POINT[^(]*\((\S+) (\S+)/g)].map(m => [Number(m[1]), Number(m[2])])
}
