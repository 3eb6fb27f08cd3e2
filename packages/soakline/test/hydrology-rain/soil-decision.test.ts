import { InputError, seededRandom } from 'soakline/foundation'
import {
  CRUMB_TESTS,
  EMPTY_SOIL_RECORD,
  placedSoilRecord,
  publishedIntake,
  SIGHTING_KINDS,
  type SoilPit,
  type SoilPlan,
  type SoilRecord,
  soilDecision,
  soilRecordFrom,
  soilRecordSchema,
  soilVerdict,
  TEXTURES,
} from 'soakline/hydrology'
import { describe, expect, test } from 'vitest'

/** A bed 0.4 m under the ground, upright sides, so that emptying is depth over intake. */
const plan: SoilPlan = { bedDepth_m: 0.4, lineLength_m: 80, pondedDepth_m: 0.3, bedWidth_m: 1, sideSlope_ratio: 0 }

const rate = (rate_mmh: number, depth_m: number | null = 0.4) =>
  ({ depth_m, reading: { method: 'rate', rate_mmh, measuredIn: 'ring' } }) as const

/** A good pit: sandy loam, nothing met, crumbs whole, three fast tests. */
const pit = (id: string, chainage_m: number, changes: Partial<SoilPit> = {}): SoilPit => ({
  id,
  at: null,
  chainage_m,
  depth_m: 1.5,
  layers: [{ from_m: 0, to_m: 1.5, texture: 'sandy-loam', roots: 'many', mottled: false }],
  mottlingDepth_m: 'none',
  waterDepth_m: 'none',
  rockDepth_m: 'none',
  crumbTest: 'none',
  cracks: false,
  tests: [rate(40), rate(30), rate(50)],
  ...changes,
})

const good: SoilRecord = { pits: [pit('a', 20), pit('b', 60)], sightings: [] }
const changed = (changes: Partial<SoilPit>): SoilRecord => ({ pits: [pit('a', 20), pit('b', 60, changes)], sightings: [] })
const codes = (record: SoilRecord, of: SoilPlan = plan): string[] => soilDecision(record, of).reasons.map(r => `${r.weighs} ${r.code}`)
const answer = (record: SoilRecord, of: SoilPlan = plan): string => soilDecision(record, of).answer

describe('what is not recorded is unknown', () => {
  test('no pits', () => {
    const d = soilDecision(EMPTY_SOIL_RECORD, plan)
    expect(d).toMatchObject({ answer: 'unknown', emptying_h: null, ponding: 'unknown', earthSill: 'unknown' })
    expect(d.reasons.map(r => r.code)).toEqual(['soil/no-pits', 'intake/unknown'])
    expect(soilVerdict(d)).toBe('unknown')
  })

  test('too few pits, a shallow pit, and each thing that nobody noted', () => {
    expect(codes({ ...good, pits: [pit('a', 20)] })).toContain('unknown soil/few-pits')
    expect(codes(changed({ depth_m: 1.2, layers: [{ from_m: 0, to_m: 1.2, texture: 'loam', roots: null, mottled: false }] }))).toContain(
      'unknown soil/pit-too-shallow',
    )
    for (const [changes, code] of [
      [{ waterDepth_m: null }, 'soil/water-not-noted'],
      [{ mottlingDepth_m: null }, 'soil/mottling-not-noted'],
      [{ rockDepth_m: null }, 'soil/rock-not-noted'],
      [{ crumbTest: null }, 'soil/crumbs-not-tested'],
      [{ layers: [] }, 'soil/texture-not-noted'],
      [{ crumbTest: 'slight-halo' }, 'soil/slightly-dispersive'],
    ] as const) {
      expect(codes(changed(changes))).toContain(`unknown ${code}`)
      expect(answer(changed(changes))).toBe('unknown')
    }
  })

  test('sand needs no crumb test', () => {
    const sand = changed({ layers: [{ from_m: 0, to_m: 1.5, texture: 'sand', roots: null, mottled: false }], crumbTest: null })
    expect(answer(sand)).toBe('soak')
  })
})

describe('soak, lead away, do not dig', () => {
  test('good pits soak, within limits', () => {
    const d = soilDecision(good, plan)
    expect(d.answer).toBe('soak')
    expect(soilVerdict(d)).toBe('holds')
    expect(d.credited.intake?.value).toBe(15)
    expect(d.emptying_h).toBeCloseTo(20, 9)
    expect(d.pits).toEqual({ dug: 2, wantedFewest: 2, wantedBest: 3, longestWithout_m: 40 })
    expect(d.clearance.water).toEqual({ measured_m: 1.1, atLeast: true })
  })

  test('emptying 0.3 m in 48 h needs 6.3 mm/h, 12.5 mm/h measured (0.3 m / 48 h, safety factor 2)', () => {
    const d = soilDecision(good, plan)
    expect(d.neededIntake_mmh).toBeCloseTo(6.25, 9)
    expect(d.neededTest_mmh).toBeCloseTo(12.5, 9)
    const tested = (slowest: number): SoilRecord => changed({ tests: [rate(slowest)] })
    expect(answer(tested(12.5))).toBe('soak')
    expect(answer(tested(12.4))).toBe('lead-away')
    expect(codes(tested(12.4))[0]).toBe('lead-away soak/too-slow')
  })

  test('sloping sides hold more water over the same bed: by hand (1 + 0.3)·0.3/1 over 6.25 mm/h', () => {
    const d = soilDecision(changed({ tests: [rate(12.5)] }), { ...plan, sideSlope_ratio: 1 })
    expect(d.emptying_h).toBeCloseTo((1.3 * 300) / 6.25, 6)
    expect(d.answer).toBe('lead-away')
  })

  test('water, mottling and rock against 0.9 m below the bed', () => {
    for (const [key, thing] of [
      ['waterDepth_m', 'water'],
      ['mottlingDepth_m', 'mottling'],
      ['rockDepth_m', 'rock'],
    ] as const) {
      expect(answer(changed({ [key]: 1.3 }))).toBe('soak')
      expect(codes(changed({ [key]: 1.29 }))[0]).toBe(`lead-away soil/${thing}-near`)
    }
    expect(codes(changed({ waterDepth_m: 0.4 }))[0]).toBe('do-not-dig soil/water-above-bed')
    expect(codes(changed({ rockDepth_m: 0.3 }))[0]).toBe('do-not-dig soil/rock-above-bed')
    expect(codes(changed({ mottlingDepth_m: 0.3 }))[0]).toBe('lead-away soil/mottling-near')
    // A mottled layer counts even where the depth was not written down.
    const mottled = changed({
      mottlingDepth_m: null,
      layers: [
        { from_m: 0, to_m: 0.8, texture: 'sandy-loam', roots: null, mottled: false },
        { from_m: 0.8, to_m: 1.5, texture: 'sandy-loam', roots: null, mottled: true },
      ],
    })
    expect(soilDecision(mottled, plan).clearance.mottling.measured_m).toBeCloseTo(0.4, 12)
    expect(answer(mottled)).toBe('lead-away')
  })

  test('a halo: no ponding and no earth sill', () => {
    const d = soilDecision(changed({ crumbTest: 'halo' }), plan)
    expect(d).toMatchObject({ answer: 'lead-away', ponding: 'fails', earthSill: 'fails' })
    expect(soilDecision(changed({ crumbTest: 'slaking' }), plan)).toMatchObject({ answer: 'soak', ponding: 'watch' })
  })

  test('movement, seeps and tunnels: do not dig; an old pipe: unknown; water from roofs and tracks: watch', () => {
    const seen = (kind: (typeof SIGHTING_KINDS)[number]) => soilDecision({ ...good, sightings: [{ kind, at: null }] }, plan)
    for (const kind of ['slip', 'ground-crack', 'hummocks', 'leaning-trees', 'seep', 'tunnel-hole'] as const)
      expect(seen(kind).answer).toBe('do-not-dig')
    expect(seen('pipe').answer).toBe('unknown')
    for (const kind of ['cracked-clay', 'stock-path', 'roof-water', 'track-water'] as const) {
      expect(seen(kind).answer).toBe('soak')
      expect(soilVerdict(seen(kind))).toBe('watch')
    }
  })

  test('clay steeper than 15° is not soaked', () => {
    const clay = changed({ layers: [{ from_m: 0, to_m: 1.5, texture: 'clay', roots: null, mottled: false }] })
    expect(answer(clay, { ...plan, groundSlope_ratio: 0.27 })).toBe('do-not-dig')
    expect(answer(clay, { ...plan, groundSlope_ratio: 0.26 })).toBe('soak')
    expect(answer(good, { ...plan, groundSlope_ratio: 0.3 })).toBe('soak')
  })

  test('clay below a sandy bed is told: water perches on it', () => {
    const pan = changed({
      layers: [
        { from_m: 0, to_m: 0.9, texture: 'sandy-loam', roots: null, mottled: false },
        { from_m: 0.9, to_m: 1.5, texture: 'clay', roots: null, mottled: false },
      ],
    })
    expect(codes(pan)).toContain('watch soil/clay-below-bed')
  })
})

describe('what may be credited', () => {
  const untested = (texture: (typeof TEXTURES)[number], tests = [] as readonly ReturnType<typeof rate>[]): SoilRecord => ({
    pits: good.pits.map(p => ({ ...p, tests, layers: [{ from_m: 0, to_m: 1.5, texture, roots: null, mottled: false }] })),
    sightings: [],
  })

  test('without tests the lowest published of the least permeable layer below the bed; the source is named', () => {
    const d = soilDecision(untested('sandy-loam'), plan)
    expect(d.credited.intake?.value).toBe(publishedIntake('sandy-loam').low_mmh)
    expect(d.credited.intake?.source).toContain('lowest published')
    const layered = {
      ...good,
      pits: good.pits.map(p => ({
        ...p,
        tests: [],
        layers: [
          { from_m: 0, to_m: 0.4, texture: 'clay', roots: null, mottled: false },
          { from_m: 0.4, to_m: 1.2, texture: 'sandy-loam', roots: null, mottled: false },
          { from_m: 1.2, to_m: 1.5, texture: 'loam', roots: null, mottled: false },
        ],
      })),
    } as SoilRecord
    expect(soilDecision(layered, plan).credited.intake?.value).toBe(publishedIntake('loam').low_mmh)
  })

  test('loam: what is published disagrees, so tests decide; clay: no test that fits it can help', () => {
    expect(codes(untested('loam'))[0]).toBe('unknown soak/tests-decide')
    expect(codes(untested('clay'))[0]).toBe('lead-away soak/too-slow')
    // One test that is too slow already decides: more tests can only lower it.
    const slow = untested('loam', [rate(8)])
    expect(codes({ ...slow, pits: [slow.pits[0]!, { ...slow.pits[1]!, tests: [] }] })[0]).toBe('lead-away soak/too-slow')
  })

  test('tests above the bed are told and not counted', () => {
    const top = untested('sandy-loam', [rate(200, 0), rate(200, null)])
    expect(soilDecision(top, plan).credited.because).toBe('intake/lowest-published')
    expect(codes(top)).toContain('watch intake/test-not-at-bed')
  })
})

describe('where pits and sightings lie', () => {
  const line = [
    [0, 0],
    [80, 0],
  ] as const
  test('a pit far from the line does not count; a slip far away is told', () => {
    const at = (x: number, y: number) => ({ chainage_m: null, at: [x, y] as const })
    const near: SoilRecord = { pits: [pit('a', 0, at(20, 5)), pit('b', 0, at(60, -5))], sightings: [{ kind: 'slip', at: [40, 60] }] }
    const d = soilDecision(near, { ...plan, line })
    expect(d.answer).toBe('soak')
    expect(d.reasons.find(r => r.code === 'soil/seen-slip')).toMatchObject({ weighs: 'watch', values: { distance_m: 60, far: true } })
    expect(d.pits.longestWithout_m).toBe(40)
    expect(answer({ ...near, sightings: [{ kind: 'slip', at: [40, 40] }] }, { ...plan, line })).toBe('do-not-dig')
    const far: SoilRecord = { ...near, pits: [near.pits[0]!, pit('b', 0, at(60, 30))], sightings: [] }
    expect(codes(far, { ...plan, line })).toContain('unknown soil/few-pits')
    expect(codes(far, { ...plan, line })).toContain('watch soil/pit-off-line')
    const crowded: SoilRecord = { pits: [pit('a', 0, at(5, 0)), pit('b', 0, at(10, 0))], sightings: [] }
    expect(codes(crowded, { ...plan, line })).toContain('watch soil/long-stretch-without-pit')
  })
})

const RANK = ['soak', 'unknown', 'lead-away', 'do-not-dig']

test('law: something worse in a pit, or something seen, never makes the answer milder', () => {
  const random = seededRandom(11)
  const pick = <T>(from: readonly T[]): T => from[Math.floor(random.uniform() * from.length)]!
  const met = (): number | 'none' | null => pick([0.2, 0.7, 1.25, 1.4, 'none', 'none', null] as const)
  const any = (): SoilPit =>
    pit(`p${random.uniform()}`, 80 * random.uniform(), {
      depth_m: pick([1.4, 1.5, 2]),
      waterDepth_m: met(),
      mottlingDepth_m: met(),
      rockDepth_m: met(),
      crumbTest: pick([...CRUMB_TESTS, null]),
      layers: [{ from_m: 0, to_m: 1.4, texture: pick([...TEXTURES, null]), roots: null, mottled: pick([true, false, false]) }],
      tests: Array.from({ length: Math.floor(3 * random.uniform()) }, () => rate(40 * random.uniform(), pick([0, 0.4, 1]))),
    })
  const rank = (record: SoilRecord): number => RANK.indexOf(answer(record))
  for (let k = 0; k < 400; k++) {
    const record: SoilRecord = { pits: Array.from({ length: 1 + Math.floor(3 * random.uniform()) }, any), sightings: [] }
    const before = rank(record)
    expect(rank({ ...record, sightings: [{ kind: pick(SIGHTING_KINDS), at: null }] })).toBeGreaterThanOrEqual(before)
    const [first, ...rest] = record.pits as [SoilPit, ...SoilPit[]]
    const wet = typeof first.waterDepth_m === 'number' ? first.waterDepth_m : first.depth_m
    expect(rank({ ...record, pits: [{ ...first, waterDepth_m: wet / 2 }, ...rest] })).toBeGreaterThanOrEqual(
      first.waterDepth_m === null ? 0 : before,
    )
    expect(rank({ ...record, pits: [{ ...first, crumbTest: 'halo' }, ...rest] })).toBeGreaterThanOrEqual(Math.min(before, 2))
    expect(rank({ ...record, pits: [{ ...first, tests: [...first.tests, rate(0)] }, ...rest] })).toBeGreaterThanOrEqual(before)
  }
})

describe('the plain form', () => {
  const plain = {
    pits: [
      {
        id: 'by the gate',
        at: [-81.9, 26.6],
        depth_m: 1.6,
        layers: [
          { from_m: 0, to_m: 0.3, texture: 'loam', roots: 'many' },
          { from_m: 0.3, to_m: 1.6, texture: 'clay-loam', mottled: true },
        ],
        waterDepth_m: 'none',
        crumbTest: 'slaking',
        tests: [
          { depth_m: 0.4, reading: { method: 'ring', water_mL: 1200, time_min: 15, innerDiameter_mm: 300 } },
          { depth_m: 0.4, reading: { method: 'auger', radius_mm: 40, from_mm: 300, to_mm: 200, time_min: 10 } },
        ],
      },
      { chainage_m: 40, depth_m: 1.5 },
    ],
    sightings: [{ kind: 'roof-water', at: [1, 2] }, { kind: 'seep' }],
  }

  test('what is left out is null, and a record is given back the same', () => {
    const record = soilRecordFrom(plain)
    expect(record.pits[1]).toEqual({
      ...record.pits[1]!,
      id: 'pit-2',
      at: null,
      layers: [],
      waterDepth_m: null,
      crumbTest: null,
      tests: [],
    })
    expect(soilRecordFrom(JSON.parse(JSON.stringify(record)))).toEqual(record)
    expect(soilRecordFrom({})).toEqual(EMPTY_SOIL_RECORD)
    expect(Object.keys(soilRecordSchema().properties as object)).toEqual(['pits', 'sightings'])
  })

  test('places go into another plane; what has none keeps none', () => {
    const moved = placedSoilRecord(soilRecordFrom(plain), ([x, y]) => [x + 1, 2 * y])
    expect([moved.pits[0]!.at, moved.pits[1]!.at, moved.sightings[0]!.at, moved.sightings[1]!.at]).toEqual([
      [-80.9, 53.2],
      null,
      [2, 4],
      null,
    ])
  })

  test('refused with the place and the key', () => {
    const refused = (value: unknown): unknown[] => {
      try {
        soilRecordFrom(value)
      } catch (error) {
        if (error instanceof InputError) return [error.code, error.details.where, error.details.key]
      }
      return ['answered']
    }
    const one = (changes: object) => ({ pits: [{ chainage_m: 1, depth_m: 1, ...changes }] })
    for (const [value, where, key] of [
      [[], 'the record', 'form'],
      [{ pits: {} }, 'the record', 'pits'],
      [one({ depth_m: 150 }), 'pit 1', 'depth_m'],
      [one({ depth_m: 0 }), 'pit 1', 'depth_m'],
      [one({ depth_m: '1' }), 'pit 1', 'depth_m'],
      [one({ at: [1, 2] }), 'pit 1', 'at'],
      [one({ chainage_m: null }), 'pit 1', 'at'],
      [one({ at: [1, '2'], chainage_m: null }), 'pit 1', 'at'],
      [one({ waterDepth_m: 1.2 }), 'pit 1', 'waterDepth_m'],
      [one({ crumbTest: 'milky' }), 'pit 1', 'crumbTest'],
      [one({ cracks: 'no' }), 'pit 1', 'cracks'],
      [one({ layers: [{ from_m: 0.5, to_m: 0.5 }] }), 'pit 1, layer 1', 'to_m'],
      [one({ layers: [{ from_m: 0, to_m: 0.5, texture: 'mud' }] }), 'pit 1, layer 1', 'texture'],
      [
        one({
          layers: [
            { from_m: 0, to_m: 0.5 },
            { from_m: 0.2, to_m: 1 },
          ],
        }),
        'pit 1, layer 2',
        'from_m',
      ],
      [one({ tests: [{ reading: { method: 'guess' } }] }), 'pit 1, test 1', 'method'],
      [one({ tests: [{ reading: { method: 'ring', water_mL: 1 } }] }), 'pit 1, test 1', 'time_min'],
      [{ sightings: [{ kind: 'ghost' }] }, 'sighting 1', 'kind'],
      [
        {
          pits: [
            { id: 'a', chainage_m: 1, depth_m: 1 },
            { id: 'a', chainage_m: 2, depth_m: 1 },
          ],
        },
        'the record',
        'pits',
      ],
    ] as const)
      expect(refused(value)).toEqual(['soil/bad-record', where, key])
    expect(
      refused(one({ tests: [{ depth_m: 0.4, reading: { method: 'auger', radius_mm: 40, from_mm: 200, to_mm: 300, time_min: 10 } }] }))[0],
    ).toBe('soil/bad-test')
  })

  test('a plan that is none is refused', () => {
    for (const changes of [{ lineLength_m: 0 }, { pondedDepth_m: -1 }, { bedDepth_m: Number.NaN }, { emptyWithin_h: 0 }])
      expect(() => soilDecision(good, { ...plan, ...changes })).toThrow(InputError)
  })
})
