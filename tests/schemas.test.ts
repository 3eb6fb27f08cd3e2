import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { sha256Hex } from '@soakline/io'
import { Ajv2020 } from 'ajv/dist/2020.js'
import {
  careSchema,
  defaultSettings,
  diggingSchema,
  emptyPlan,
  planSchema,
  plantingSchema,
  readPlan,
  SETTINGS,
  STARTER_PLANTS,
  settingsFrom,
  settingsSchema,
  stakesSchema,
  writePlan,
} from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { repositoryRoot } from './helpers/repository.js'

const compile = (schema: object) => new Ajv2020({ strict: false }).compile(schema)

describe.each([
  ['settings.schema.json', settingsSchema],
  ['plan.schema.json', planSchema],
  ['stakes.schema.json', stakesSchema],
  ['digging.schema.json', diggingSchema],
  ['planting.schema.json', plantingSchema],
  ['care.schema.json', careSchema],
] as const)('%s', (name, make) => {
  const file = join(repositoryRoot, 'packages/soakline/schema', name)
  const text = `${JSON.stringify(make(), null, 2)}\n`
  if (process.env.UPDATE_SCHEMAS) writeFileSync(file, text)

  test('the published schema is the one that the code makes', () => expect(readFileSync(file, 'utf8')).toBe(text))
  test('it is a valid JSON Schema', () => expect(() => compile(make())).not.toThrow())
})

test('every setting has a unit, a default in its own range, a meaning and a source', () => {
  for (const [key, entry] of Object.entries(SETTINGS)) {
    expect(entry.unit, key).not.toBe('')
    expect(entry.meaning, key).not.toBe('')
    expect(entry.source, key).not.toBe('')
    if (entry.range && typeof entry.default === 'number') {
      expect(entry.default, key).toBeGreaterThanOrEqual(entry.range[0])
      expect(entry.default, key).toBeLessThanOrEqual(entry.range[1])
    }
  }
})

test('where published guidance disagrees there is a setting that names the sources', () => {
  const disagreements: Readonly<Record<string, readonly string[]>> = {
    'soil group from a rate': ['soilGroupRule'],
    'length of a sheet of water': ['sheetLengthRule'],
    'initial abstraction; wet and dry ground': ['initialAbstraction_ratio', 'wetnessRule'],
    'velocity that grass bears': ['exitGrass', 'exitSoilResistance'],
    'length of a level spreader': ['spreaderRule'],
    'grade of a contour ditch': ['bedFall_ratio'],
    'steepest slope': ['steepSlope_ratio'],
    setbacks: ['setbackSeptic_m', 'setbackWell_m', 'setbackBuilding_m'],
    'intake of a texture': ['textureIntake'],
    'output of digging, settlement': ['digOutput', 'settlement_ratio', 'settlementConvention'],
    'form of the unit hydrograph': ['unitForm'],
  }
  for (const keys of Object.values(disagreements))
    for (const key of keys) {
      expect(Object.hasOwn(SETTINGS, key), key).toBe(true)
      expect(SETTINGS[key as keyof typeof SETTINGS].source.length, key).toBeGreaterThan(5)
    }
})

test('the defaults satisfy the schema, and so do the demo’s settings', () => {
  const validate = compile(settingsSchema())
  expect(validate(defaultSettings())).toBe(true)
  expect(validate(JSON.parse(readFileSync(join(repositoryRoot, 'fixtures/demo/settings.json'), 'utf8')))).toBe(true)
})

test('trade facts, common practice, no source: a bed about 1 m wide, never filled to the top of the berm', () => {
  expect(defaultSettings().bedWidth_m).toBeCloseTo(1, 1)
  expect(defaultSettings().freeboard_m).toBeGreaterThan(0)
})

test.each([
  [[], 'settings/not-an-object'],
  [{ bedwidth: 1 }, 'settings/unknown-key'],
  [{ bedWidth_m: '1' }, 'settings/bad-value'],
  [{ bedWidth_m: -1 }, 'settings/bad-value'],
  [{ soilGroup: 'E' }, 'settings/bad-value'],
  [{ allBuildingsDrawn: 'yes' }, 'settings/bad-value'],
])('settings %j are refused with %s', (value, code) => {
  expect(() => settingsFrom(value)).toThrow(expect.objectContaining({ code }))
})

const plan = emptyPlan('Hollow Hill', { file: 'ground.tif', sha256: 'ab', crs: 'EPSG:32625', elevationUnit: null, nodata: null })

test('law: saving and opening a plan gives the same plan, unknown keys of a newer version and all', () => {
  const newer = {
    ...plan,
    lines: [
      {
        id: 'a',
        path: [
          [1, 2],
          [3, 4],
        ],
        colour: 'blue',
      },
    ],
    later: { kept: [1, 2] },
  }
  expect(readPlan(writePlan(newer as never))).toEqual(newer)
  expect(compile(planSchema())(newer)).toBe(true)
})

/** Everything that comes from the work on the ground. Invented numbers. */
const records = {
  plants: STARTER_PLANTS,
  stormLog: [{ date: '2026-03-31', rain_mm: 42, highestWater_m: 0.2, spilled: false, seen: '=2+3 "quoted"; água', photos: ['a.jpg'] }],
  built: { fresh: true, readings: [{ what: 'crest' as const, chainage_m: 5, level_m: 160.25 }] },
  levelBook: {
    start_m: 100,
    closesOn_m: null,
    readings: [
      { point: 'A', backsight_m: 1.2 },
      { point: 'B', foresight_m: 0.9 },
    ],
  },
  crossings: [{ chainage_m: 12, crosser: 'barrow' as const }],
  rates: { personDay: 120 },
  ring: 'the neighbour below',
}

test('law: what comes from the work on the ground is kept: opened and saved again, the plan’s file has the same hash', async () => {
  const text = writePlan({ ...plan, ...records })
  const hash = (of: string): Promise<string> => sha256Hex(new TextEncoder().encode(of))
  expect(await hash(writePlan(readPlan(text)))).toBe(await hash(text))
  expect(readPlan(text)).toEqual({ ...plan, ...records })
  expect(compile(planSchema())(JSON.parse(text))).toBe(true)
})

test('a plan from before there were such records opens as it was', () => {
  const before = readPlan(writePlan(plan))
  for (const key of Object.keys(records)) expect(Object.hasOwn(before, key), key).toBe(false)
})

test.each([
  [{ built: { readings: [{ what: 'top', chainage_m: 1, level_m: 2 }], fresh: false } }, 'plan/bad-value'],
  [{ built: { readings: [] } }, 'plan/bad-value'],
  [{ levelBook: { start_m: '100', readings: [] } }, 'plan/bad-value'],
  [{ crossings: [{ chainage_m: 3, crosser: 'train' }] }, 'plan/bad-value'],
  [{ rates: { personDay: -1 } }, 'plan/bad-value'],
  [{ ring: 7 }, 'plan/bad-value'],
  [{ plants: [{ name: '' }] }, 'plants/bad-plant'],
  [{ stormLog: [{ date: 'yesterday' }] }, 'log/bad-entry'],
])('records that no shell wrote are refused: %j', (bad, code) => {
  expect(() => readPlan(JSON.stringify({ ...plan, ...bad }))).toThrow(expect.objectContaining({ code }))
})

test.each([
  ['{', 'plan/not-json'],
  ['null', 'plan/format'],
  ['{"format":"soakline-plan/2"}', 'plan/format'],
  ['{"format":"soakline-plan/1","ground":{}}', 'plan/bad-value'],
  [writePlan(plan).replace('"holding"', '"__proto__"'), 'plan/forbidden-key'],
  [writePlan(plan).replace('"settings": {}', '"settings": {"depth_m": -1}'), 'settings/bad-value'],
  [writePlan(plan).replace('"lines": []', '"lines": [{"id": "a", "path": [[1, 2]]}]'), 'plan/bad-value'],
])('a bad plan is refused: %#', (text, code) => {
  expect(() => readPlan(text)).toThrow(expect.objectContaining({ code }))
})
