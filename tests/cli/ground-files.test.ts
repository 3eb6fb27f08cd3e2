import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { answersKept, bytesSource, cutGround, readElevation, readStoredGeoTiff, withGroundInside } from '@soakline/io'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { GRID_NAMES, GROUND_GRIDS, type Plan, readPlan, stakesSchema, writePlan } from 'soakline/plan'
import { NO_GO_REASONS } from 'soakline/siting'
import { beforeAll, describe, expect, test } from 'vitest'
import { newFolder, type Ran, soakline } from '../helpers/command-line.js'
import { repositoryRoot } from '../helpers/repository.js'

// Files out and in again on the command line: drawings, routes and maps of ours as the line, rasters, the ground within the plan, a level book.

const demo = (name: string): string => join(repositoryRoot, 'fixtures/demo', name)
function file(name: string, content: string | Uint8Array): string {
  const path = join(newFolder(), name)
  writeFileSync(path, content)
  return path
}
const settings = file('settings.json', JSON.stringify({ ...JSON.parse(readFileSync(demo('settings.json'), 'utf8')), triedTerrains: 0 }))
const ASKED = [
  demo('ground.tif'),
  ...['--line', demo('line-spur.geojson'), '--features', demo('features.geojson'), '--rain', demo('rain.csv'), '--settings', settings],
]
const raster = async (ran: Ran, name: string) => {
  const bytes = readFileSync(join(ran.folder, `${name}.tif`))
  return readStoredGeoTiff(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer)
}
const written = (ran: Ran, name: string): boolean => existsSync(join(ran.folder, `${name}.tif`))

/** A worked example of a levelling book. */
const BOOK = `punto;atrás_m;entre_m;adelante_m;nivel_m
BM;1,525;;;100
A;;1,870;;
B;;2,145;;
C;1,640;;0,985;
D;;1,220;;
E;;;2,310;99,875
`

let assessed: Ran
let staked: Ran
beforeAll(async () => {
  assessed = await soakline('assess', ...ASKED, '--ground', 'inside', '--grids', 'all')
  staked = await soakline('stakes', ...ASKED, '--level-book', file('book.csv', BOOK))
}, 120_000)

describe('our own files come back as the line', () => {
  let before: number
  const caught = async (...line: string[]): Promise<Ran> => soakline('catchment', demo('ground.tif'), '--line', ...line)
  beforeAll(async () => {
    before = (await caught(demo('line-spur.geojson'))).json('catchment.json').area_m2 as unknown as number
  })
  test.each(['plan.dxf', 'plan.kml', 'stakes.gpx', 'plan.geojson'])(
    '%s: overflow and stakes are not taken for it, nothing is asked',
    async name => {
      const ran = await caught(join(staked.folder, name))
      expect([ran.code, ran.error.match(/line\/others-ignored/g)?.length]).toEqual([0, 1])
      // Nine decimals of a degree, or four of a metre: cells that are cut in two by a hair fall to one side or the other.
      expect(Math.abs((ran.json('catchment.json').area_m2 as unknown as number) / before - 1)).toBeLessThan(0.01)
    },
  )
  test('a drawing of another program: unit and system are asked, then it is the line and is features', async () => {
    const bare = staked.text('plan.dxf').replace(/^999\r\n.*\r\n/gm, '')
    const drawing = file('other.dxf', bare)
    const code = async (...more: string[]): Promise<string> => {
      const ran = await caught(drawing, ...more)
      return ran.code === 0 ? '' : `${ran.code} ${ran.error.split(':')[0]}`
    }
    expect(await code()).toBe('3 vector/unit-unknown')
    expect(await code('--line-unit', 'm')).toBe('3 vector/system-unknown')
    expect(await code('--line-unit', 'm', '--line-crs', 'EPSG:32625')).toBe('3 line/several')
    expect(await code('--line-unit', 'm', '--line-crs', 'EPSG:32625', '--line-name', 'LINE')).toBe('')
    expect(await code('--line-unit', 'yard')).toBe('2 --line-unit must be one of m, ft, ftUS; it is "yard".\nusage')
    const house = file(
      'house.dxf',
      bare.replace(/ENTITIES\r\n[\s\S]*/, `ENTITIES\r\n  0\r\nPOINT\r\n 10\r\n512400\r\n 20\r\n3212300\r\n  0\r\nENDSEC\r\n  0\r\nEOF\r\n`),
    )
    const said = ['--features-unit', 'm', '--features-crs', 'EPSG:32625', '--features-kind', 'building']
    const ran = await caught(demo('line-spur.geojson'), '--features', house, ...said)
    expect(ran.code, ran.error).toBe(0)
  })
})

describe('rasters', () => {
  test('any of them is written on the working grid, and only those that are asked for', async () => {
    const { width, height, affine } = await raster(assessed, 'ground')
    for (const name of GRID_NAMES) expect(await raster(assessed, name), name).toMatchObject({ width, height, affine, crs: 'EPSG:32625' })
    const some = await soakline('terrain', demo('ground.tif'), '--grids', 'aspect,plan-curvature')
    for (const name of ['aspect', 'plan-curvature', 'filled', 'edge']) expect(written(some, name)).toBe(true)
    for (const name of ['ground', 'no-go', 'profile-curvature']) expect(written(some, name)).toBe(false)
    for (const wrong of ['catchment-share', 'heights', ''])
      expect((await soakline('terrain', demo('ground.tif'), '--grids', wrong)).code).toBe(2)
    expect(GRID_NAMES.filter(name => written(staked, name))).toEqual([])
    expect(GROUND_GRIDS.length).toBeLessThan(GRID_NAMES.length)
  })

  test('they say what the answer says: shares sum to the catchment, hollows to their volume, no-go to its reasons', async () => {
    const answer = assessed.json('assessment.json') as unknown as { catchment: { area_m2: number } }
    const ground = await raster(assessed, 'ground')
    const cell_m2 = ground.affine[0] ** 2
    const sum = (data: ArrayLike<number>): number => Array.from(data).reduce((all, value) => (Number.isNaN(value) ? all : all + value), 0)
    expect((sum((await raster(assessed, 'catchment-share')).data) * cell_m2) / answer.catchment.area_m2).toBeCloseTo(1, 5)
    const [filled, depth] = [await raster(assessed, 'filled'), await raster(assessed, 'hollow-depth')]
    expect(sum(depth.data)).toBeCloseTo(sum(Float64Array.from(filled.data, (full, k) => full - ground.data[k]!)), 1)
    const noGo = (await raster(assessed, 'no-go')).data
    const forest = 2 ** NO_GO_REASONS.indexOf('forest')
    expect(noGo.some(word => Math.floor(word / forest) % 2 === 1)).toBe(true)
    expect(noGo.every(word => Number.isNaN(word) || (Number.isInteger(word) && word < 2 ** NO_GO_REASONS.length))).toBe(true)
    const band = sum((await raster(assessed, 'overflow-band')).data) * cell_m2
    expect(band).toBeGreaterThan(10 * cell_m2)
  })
})

test('the ground within the plan: opened in another folder without the raster it gives the same answer, and can be taken out', async () => {
  const text = assessed.text('plan.soakline.json')
  expect(assessed.error).toMatch(/plan\/ground-inside: .*MB/)
  expect(readPlan(text).ground.inside!.bytes).toBe(readFileSync(demo('ground.tif')).length)
  const moved = JSON.stringify({ ...readPlan(text), ground: { ...readPlan(text).ground, file: 'no/such/ground.tif' } })
  const again = await soakline('assess', '--plan', file('moved.soakline.json', moved), '--ground', 'beside')
  expect(again.code).toBe(assessed.code)
  expect(again.json('assessment.json')).toEqual(assessed.json('assessment.json'))
  const { inside, ...ground } = readPlan(text).ground
  expect(inside).toBeDefined()
  expect(readPlan(again.text('plan.soakline.json'))).toEqual({ ...readPlan(text), ground: { ...ground, file: 'no/such/ground.tif' } })
  // By reference alone the raster is missed in a folder that lies elsewhere.
  const elsewhere = join(newFolder(), 'a', 'b')
  mkdirSync(elsewhere, { recursive: true })
  writeFileSync(join(elsewhere, 'bare.soakline.json'), again.text('plan.soakline.json'))
  const bare = await soakline('stakes', '--plan', join(elsewhere, 'bare.soakline.json'))
  expect([bare.code, bare.error.split(':')[0]]).toEqual([3, 'file/not-found'])
}, 120_000)

test('a plan on a part of a raster: the same part is cut out again, and a part within the plan is read by itself', async () => {
  const bytes = readFileSync(demo('ground.tif'))
  const whole = (): ArrayBuffer => new Uint8Array(bytes).buffer
  const { width, height, affine } = await readStoredGeoTiff(whole())
  const [cell, , west, , , north] = affine
  const box = [west + 15 * cell, north - (height - 15) * cell, west + (width - 15) * cell, north - 15 * cell] as const
  const said = { window: { in: 'own', box } } as const
  const { report } = await readElevation(whole(), said)
  const { inside: _, ...ground } = readPlan(assessed.text('plan.soakline.json')).ground
  const plan: Plan = {
    ...readPlan(assessed.text('plan.soakline.json')),
    ground: { ...ground, file: demo('ground.tif'), sha256: report.sha256, answers: answersKept(said)! },
  }
  const cut = await soakline('stakes', '--plan', file('part.soakline.json', writePlan(plan)))
  expect([0, 4], cut.error).toContain(cut.code)
  expect(cut.error).toContain('ground/cut-out: Only a part was read')
  const held = await withGroundInside(
    { ...plan, ground: { ...plan.ground, file: 'no/such.tif' } },
    await cutGround(bytesSource(whole()), said),
    {},
  )
  const again = await soakline('stakes', '--plan', file('held.soakline.json', writePlan(held)))
  expect(again.json('stakes.json')).toEqual(cut.json('stakes.json'))
  // By the whole raster the plan would lie on other ground: nothing is guessed.
  const bare = { ...plan, ground: { ...plan.ground, answers: {} } }
  expect((await soakline('stakes', '--plan', file('bare.soakline.json', writePlan(bare)))).error).toContain('plan/other-ground')
}, 120_000)

describe('a level book that was filled in', () => {
  test('is worked out by rise and fall, with its check; worked by hand', () => {
    const validate = new Ajv2020({ strict: false }).compile(stakesSchema())
    expect(validate(staked.json('stakes.json')), JSON.stringify(validate.errors)).toBe(true)
    const { levelBook } = staked.json('stakes.json') as unknown as {
      levelBook: { rows: { level_m: number }[]; check: Record<string, unknown>; misclosure_m: number; allowed_m: number }
    }
    for (const [k, level] of [100, 99.655, 99.38, 100.54, 100.96, 99.87].entries()) expect(levelBook.rows[k]!.level_m).toBeCloseTo(level, 9)
    expect(levelBook.check).toMatchObject({ sights_m: expect.closeTo(-0.13, 9), steps_m: expect.closeTo(-0.13, 9), agrees: true })
    // It misses its second known point by 5 mm; after two stands 7.1 mm are allowed.
    expect([levelBook.misclosure_m, levelBook.allowed_m]).toEqual([expect.closeTo(-0.005, 9), expect.closeTo(0.005 * Math.SQRT2, 9)])
  })
  test('stands on the sheet and in a table of its own', () => {
    const rows = staked.text('level-book.csv').trim().split('\r\n')
    expect(rows[0]).toBe('point,backsight_m,intermediate_m,foresight_m,rise_m,fall_m,level_m')
    expect(rows[4]).toBe('C,1.64,,0.985,1.16,,100.54')
    expect(staked.text('levelling.txt')).toMatch(/^C +1\.64 +0\.985 +1\.16 +100\.54$/m)
    expect(staked.text('levelling.txt')).toMatch(/The sums agree/)
  })
  test('what is no level book is refused by its row', async () => {
    const ran = await soakline('stakes', ...ASKED, '--level-book', file('book.csv', 'point,backsight,foresight\nA,one,\nB,,1\n'))
    expect([ran.code, ran.error.split(':')[0], ran.out]).toEqual([3, 'level-book/number', ''])
  })
})
