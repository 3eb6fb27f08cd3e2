import { localProjection, readSoilRecord } from '@soakline/io'
import { SIGHTING_KINDS, soilDecision, soilRecordFrom } from 'soakline/hydrology'
import { FEATURE_KINDS } from 'soakline/siting'
import { describe, expect, test } from 'vitest'
import { refusal } from './refusal.js'

const projection = localProjection()
const feature = (properties: object, coordinates: unknown = [10, 20], type = 'Point') => ({
  type: 'Feature',
  properties,
  geometry: { type, coordinates },
})
const file = (...features: object[]): string => JSON.stringify({ type: 'FeatureCollection', features })
const read = (...features: object[]) => readSoilRecord(file(...features), projection)

describe('soil record from GeoJSON', () => {
  test('a pit with layers and tests, a sighting, and what belongs to others', () => {
    const { record, warnings } = read(
      feature({
        kind: 'pit',
        name: 'by the gate',
        depth_m: 1.5,
        water_m: 'none',
        mottling_m: 1.4,
        rock_ft: 'none',
        crumb_test: 'slaking',
        cracks: false,
        layers: '0-0.3 loam many-roots not-mottled; 0.3-1.5 Clay-Loam few-roots mottled',
        tests_mmh: '30 22.5 18',
        tests_with: 'ring',
        test_depth_m: 0.4,
      }),
      feature({ kind: 'sighting', seen: 'roof-water' }, [1, 2]),
      feature({ kind: 'slip' }, [3, 4]),
      feature({ kind: 'building' }),
      feature(
        { kind: 'slip' },
        [
          [
            [0, 0],
            [1, 0],
            [1, 1],
            [0, 0],
          ],
        ],
        'Polygon',
      ),
    )
    const rate = (rate_mmh: number) => ({ depth_m: 0.4, reading: { method: 'rate', rate_mmh, measuredIn: 'ring' } })
    expect(record).toEqual({
      pits: [
        {
          id: 'by the gate',
          at: [10, 20],
          chainage_m: null,
          depth_m: 1.5,
          layers: [
            { from_m: 0, to_m: 0.3, texture: 'loam', roots: 'many', mottled: false },
            { from_m: 0.3, to_m: 1.5, texture: 'clay-loam', roots: 'few', mottled: true },
          ],
          mottlingDepth_m: 1.4,
          waterDepth_m: 'none',
          rockDepth_m: 'none',
          crumbTest: 'slaking',
          cracks: false,
          tests: [rate(30), rate(22.5), rate(18)],
        },
      ],
      sightings: [
        { kind: 'roof-water', at: [1, 2] },
        { kind: 'slip', at: [3, 4] },
      ],
    })
    expect(warnings.filter(w => w.code.startsWith('soil/'))).toEqual([{ code: 'soil/features-left-out', details: { features: 2 } }])
    expect(soilRecordFrom(JSON.parse(JSON.stringify(record)))).toEqual(record)
  })

  test('feet and inches; one texture for the whole pit; a reading; names are made unique', () => {
    const { record } = read(
      feature({ kind: 'pit', name: 'a', depth_ft: 5, water_ft: 4, texture: 'sand', tests_inh: 1, test_depth_ft: 1 }),
      feature({ kind: 'pit', name: 'a', depth_m: 1, test: 'ring', water_mL: 1200, time_min: 15, innerDiameter_mm: 300 }, [0, 0]),
    )
    const [a, b] = record.pits
    expect(a!.depth_m).toBeCloseTo(1.524, 12)
    expect(a!.waterDepth_m).toBeCloseTo(1.2192, 12)
    expect(a!.layers).toEqual([{ from_m: 0, to_m: a!.depth_m, texture: 'sand', roots: null, mottled: null }])
    expect(a!.tests[0]!.reading).toEqual({ method: 'rate', rate_mmh: 25.4, measuredIn: 'other' })
    expect(a!.tests[0]!.depth_m).toBeCloseTo(0.3048, 12)
    expect([b!.id, b!.tests[0]!.reading]).toEqual(['a (2)', { method: 'ring', water_mL: 1200, time_min: 15, innerDiameter_mm: 300 }])
    const plan = { bedDepth_m: 0.3, lineLength_m: 40, pondedDepth_m: 0.3, bedWidth_m: 1, sideSlope_ratio: 0 }
    expect(soilDecision(record, plan).reasons.map(r => r.code)).toContain('soil/rock-not-noted')
  })

  test('every sighting may be a kind of its own', () => {
    const { record } = read(...SIGHTING_KINDS.map((kind, k) => feature({ kind }, [k, 0])))
    expect(record.sightings.map(s => s.kind)).toEqual([...SIGHTING_KINDS])
  })

  test('refused, with the feature', async () => {
    const line = [
      [0, 0],
      [1, 1],
    ]
    for (const [bad, code, key] of [
      [feature({}), 'soil/unknown-kind', undefined],
      [feature({ kind: 'hole' }), 'soil/unknown-kind', undefined],
      [feature({ kind: 'sighting' }), 'soil/unknown-kind', undefined],
      [feature({ kind: 'sighting', seen: 'ghost' }), 'soil/unknown-kind', undefined],
      [feature({ kind: 'pit', depth_m: 1 }, line, 'LineString'), 'soil/not-points', undefined],
      [feature({ kind: 'seep' }, line, 'LineString'), 'soil/not-points', undefined],
      [feature({ kind: 'pit' }), 'soil/bad-record', 'depth_m'],
      [feature({ kind: 'pit', depth_m: 120 }), 'soil/bad-record', 'depth_m'],
      [feature({ kind: 'pit', depth_m: 1, depth_ft: 3 }), 'soil/bad-record', 'depth'],
      [feature({ kind: 'pit', depth_m: 1, water_m: 'dry' }), 'soil/bad-record', 'waterDepth_m'],
      [feature({ kind: 'pit', depth_m: 1, water_m: 2 }), 'soil/bad-record', 'waterDepth_m'],
      [feature({ kind: 'pit', depth_m: 1, crumb_test: 'cloudy' }), 'soil/bad-record', 'crumbTest'],
      [feature({ kind: 'pit', depth_m: 1, texture: 'mud' }), 'soil/bad-record', 'texture'],
      [feature({ kind: 'pit', depth_m: 1, layers: '0-30 loam' }), 'soil/bad-record', 'to_m'],
      [feature({ kind: 'pit', depth_m: 1, layers: 'loam' }), 'soil/bad-record', 'layers'],
      [feature({ kind: 'pit', depth_m: 1, layers: '0-1 loam wet' }), 'soil/bad-record', 'layers'],
      [feature({ kind: 'pit', depth_m: 1, layers: 5 }), 'soil/bad-record', 'layers'],
      [feature({ kind: 'pit', depth_m: 1, layers: '0-1 loam', texture: 'loam' }), 'soil/bad-record', 'texture'],
      [feature({ kind: 'pit', depth_m: 1, tests_mmh: 'fast' }), 'soil/bad-record', 'tests'],
      [feature({ kind: 'pit', depth_m: 1, tests_mmh: '5', tests_with: 'bucket' }), 'soil/bad-record', 'measuredIn'],
      [feature({ kind: 'pit', depth_m: 1, test: 'ring' }), 'soil/bad-record', 'water_mL'],
      [feature({ kind: 'pit', depth_m: 1, test: 'ring', water_mL: 0, time_min: 1, innerDiameter_mm: 1 }), 'soil/bad-test', undefined],
    ] as const) {
      const refused = await refusal(() => read(feature({ kind: 'pit', depth_m: 1 }, [5, 5]), bad))
      expect([refused.code, refused.details.feature, refused.details.key], JSON.stringify(bad)).toEqual([code, 2, key])
    }
  })

  test('the kinds of other features are left to them', () => {
    const others = FEATURE_KINDS.filter(kind => kind !== 'pit' && kind !== 'slip')
    expect(read(...others.map((kind, k) => feature({ kind }, [k, 0]))).record).toEqual({ pits: [], sightings: [] })
  })
})
