import { answersKept, optionsKept, type ReadOptions, readElevation } from '@soakline/io'
import * as fc from 'fast-check'
import { emptyPlan, type GroundAnswers, groundAnswers, planSchema, readPlan, writePlan } from 'soakline/plan'
import { expect, test } from 'vitest'
import { buildZip } from './zip-builder.js'

fc.configureGlobal({ seed: 1 })

// What was said about a raster goes into the plan's text and comes out of it as the same reading.

const number = fc.double({ noNaN: true, noDefaultInfinity: true }).map(value => value + 0)
const anyAnswers: fc.Arbitrary<GroundAnswers> = fc.record(
  {
    crs: fc.constantFrom('EPSG:32632', 'local', '+proj=utm +zone=32'),
    elevationUnit: fc.constantFrom('m' as const, 'ft' as const, 'ftUS' as const),
    nodata: fc.array(number, { maxLength: 4 }),
    band: fc.integer({ min: 1, max: 65535 }),
    member: fc.string({ minLength: 1 }),
    join: fc.boolean(),
    colours: fc.record({ base_m: number, step_m: number }),
    tile: fc.record({ z: fc.nat(22), x: fc.nat(1e6), y: fc.nat(1e6) }),
    fillVoids_m2: fc.nat(1e6),
    window: fc.record({ box: fc.tuple(number, number, number, number), in: fc.constantFrom('lonlat' as const, 'own' as const) }),
  },
  { requiredKeys: [] },
)
const GROUND = { file: 'dem.zip', sha256: 'ab', crs: 'EPSG:32632', elevationUnit: null, nodata: null } as const

test('law: answers kept in a plan are the same answers when it is opened again', () =>
  fc.assert(
    fc.property(anyAnswers, answers => {
      const some = Object.keys(answers).length > 0
      const opened = readPlan(writePlan(emptyPlan('Farm', { ...GROUND, ...(some ? { answers } : {}) })))
      const options = optionsKept(groundAnswers(opened.ground))
      expect(answersKept(options) ?? {}).toEqual(answers)
      expect(Number.isNaN(options.nodata)).toBe(answers.nodata?.length === 0)
    }),
  ))

test('a plan from before answers were kept: what it kept of them still holds', () => {
  const old = readPlan(writePlan(emptyPlan('Old', { ...GROUND, crs: 'local', elevationUnit: 'ft', nodata: -9999 })))
  expect(groundAnswers(old.ground)).toEqual({ crs: 'local', elevationUnit: 'ft', nodata: [-9999] })
  expect(groundAnswers(emptyPlan('Old', GROUND).ground)).toEqual({})
  expect(answersKept({})).toBeUndefined()
})

test.each<[string, unknown]>([
  ['no object', 'EPSG:4326'],
  ['a list', []],
  ['a system of no words', { crs: '' }],
  ['a unit that is none', { elevationUnit: 'yard' }],
  ['a value of words', { nodata: ['none'] }],
  ['too many values', { nodata: Array(17).fill(0) }],
  ['band 0', { band: 0 }],
  ['half a band', { band: 1.5 }],
  ['a member that is a number', { member: 3 }],
  ['a base without a step', { colours: { base_m: 1 } }],
  ['a part without its system', { window: { box: [1, 2, 3, 4] } }],
  ['a tile without a place', { tile: { z: 3, x: -1, y: 2 } }],
])('answers with %s are refused', (_, answers) => {
  expect(() => readPlan(writePlan({ ...emptyPlan('Bad', GROUND), ground: { ...GROUND, answers } } as never))).toThrow(
    expect.objectContaining({ code: 'plan/bad-value' }),
  )
})

test('the published schema knows them, and leaves keys of a newer version alone', () => {
  const ground = (
    planSchema().properties as { ground: { properties: { answers: { properties: object; additionalProperties?: boolean } } } }
  ).ground
  expect(Object.keys(ground.properties.answers.properties).sort()).toEqual(
    ['band', 'colours', 'crs', 'elevationUnit', 'fillVoids_m2', 'join', 'member', 'nodata', 'tile', 'window'].sort(),
  )
  expect(ground.properties.answers.additionalProperties).toBeUndefined()
  const newer = { ...emptyPlan('New', GROUND), ground: { ...GROUND, answers: { later: [1, 2] } } }
  expect(readPlan(writePlan(newer as never))).toEqual(newer)
})

test('tiles of an archive, a system, a value for gaps: read again by what the plan kept, it is the same ground by its hash', async () => {
  const tile = (west: number, gap: number): string =>
    `ncols 4\nnrows 5\nxllcorner ${500_000 + west * 2}\nyllcorner 5200000\ncellsize 2\n${Array.from({ length: 5 }, (_, row) =>
      Array.from({ length: 4 }, (_, k) => (row === 2 && k === 1 ? gap : 100 + row + (west + k) / 8)).join(' '),
    ).join('\n')}\n`
  const archive = (): ArrayBuffer =>
    buildZip([
      { name: 'w.asc', content: tile(0, -32768) },
      { name: 'e.asc', content: tile(4, -32768) },
      { name: 'old.asc', content: tile(0, 99) },
    ])
  const said: readonly ReadOptions[] = [
    { join: true, crs: 'EPSG:32632', nodata: -32768, elevationUnit: 'ft' },
    { member: 'e.asc', crs: 'local', nodata: [-32768, -9999] },
    { member: 'old.asc', crs: 'EPSG:32633', nodata: Number.NaN },
  ]
  const hashes = new Set<string>()
  for (const options of said) {
    const first = await readElevation(archive(), options)
    const plan = emptyPlan('Farm', { ...GROUND, sha256: first.report.sha256, answers: answersKept(options)! })
    const again = await readElevation(archive(), optionsKept(groundAnswers(readPlan(writePlan(plan)).ground)))
    expect(again.report.sha256).toBe(first.report.sha256)
    hashes.add(first.report.sha256)
  }
  expect(hashes.size).toBe(said.length)
})
