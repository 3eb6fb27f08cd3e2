import {
  averageEndArea_m3,
  BARROW_m3h,
  benchCut,
  constructionHeight_m,
  crossSection,
  EXCAVATOR_m3h,
  earthVolumes,
  gradedStorage_m3,
  ILO_NORM_m3d,
  INDIA_NORM_m3d,
  keptDespiteFall_ratio,
  PIT_BY_HAND_m3h,
  prismoidal_m3,
  sectionStorage_m2,
  TRENCH_BY_HAND_m3h,
  taperingPrism,
  wedgeDepth_m,
  wedgeStorage_m2,
  wedgeWidth_m,
} from 'soakline/earthworks'
import { type ReferenceValue, reference } from './reference-value.js'

const wedges = (
  [
    [5, 0.99],
    [10, 0.54],
    [20, 0.315],
  ] as const
).map(([percent, expected]) =>
  reference(
    {
      id: `CH-WEDGE-${percent}`,
      quantity: `water 0.3 m deep behind a berm, inner face 2:1, on ground of ${percent} %`,
      inputs: { depth_m: 0.3, slope_ratio: percent / 100, innerSlope_ratio: 2 },
      expected,
      unit: 'm2',
      tolerance: { abs: 0.0005 },
      source: 'h²/2 (1/s + z): triangle',
      known: 'derived',
    },
    i => wedgeStorage_m2(i.depth_m, i.slope_ratio, i.innerSlope_ratio),
  ),
)

const graded = (
  [
    ['TRI', 0, 3, 0.01, { '0': 75, '0.2': 49, '0.5': 25, '1': 12.5 }],
    ['TRAP', 1, 2, 0.002, { '0': 100, '0.2': 72.667, '0.5': 41.667, '1': 20.833 }],
  ] as const
).flatMap(([form, bedWidth_m, sideSlope_ratio, abs, byFall]) =>
  Object.entries(byFall).map(([percent, expected]) =>
    reference(
      {
        id: `CH-GRADED-${form}-${percent}pct`,
        quantity: `water in a closed ditch of 100 m, bed ${bedWidth_m} m, sides ${sideSlope_ratio}:1, 0.5 m deep at its low end, falling ${percent} %`,
        inputs: { bedWidth_m, sideSlope_ratio, depthAtSill_m: 0.5, length_m: 100, fall_ratio: Number(percent) / 100 },
        expected,
        unit: 'm3',
        tolerance: { abs },
        source: '∫ A(d₀ − g x) dx over the wet length',
        known: 'derived',
      },
      gradedStorage_m3,
    ),
  ),
)

/** The swale's section, what it holds, and the earth it moves. */
export const EARTHWORKS_VALUES: readonly ReferenceValue[] = [
  reference(
    {
      id: 'CH-SECTION-CUTFILL',
      quantity: 'whole section on ground z = 0.38 − 0.1 x: cut, balanced berm, storage',
      // The bed is 0 ≤ x ≤ 0.6 at z = 0. Its downhill side, 1:1, meets the ground where z = 0.38 − 0.1 (0.6 + z): the lip lies 0.32/1.1 above the bed.
      inputs: {
        shape: {
          bedWidth_m: 0.6,
          depth_m: 0.32 / 1.1,
          cutSideSlope_ratio: 1,
          bermInnerSlope_ratio: 1.5,
          bermOuterSlope_ratio: 2,
          crestWidth_m: 0.5,
          bermPerCut_ratio: 0.9,
          freeboard_m: 0.15,
        },
        groundSlope_ratio: 0.1,
      },
      expected: {
        cut_m2: 0.33677,
        crest_z_m: 0.51504,
        crestAboveLip_m: 0.22413,
        outerToe_x_m: 2.49648,
        storage15below_m2: 0.35365,
        storage30below_m2: 0.17527,
      },
      unit: 'm; m2',
      tolerance: { abs: 1e-4 },
      source: 'polygons by the surveyor’s formula, worked by hand',
      known: 'derived',
    },
    i => {
      const s = crossSection(i.shape, i.groundSlope_ratio)
      return {
        cut_m2: s.cut_m2,
        crest_z_m: s.crest_z_m,
        crestAboveLip_m: s.crest_z_m - s.lip_z_m,
        outerToe_x_m: s.outerToe_x_m,
        storage15below_m2: s.storageToSill_m2,
        storage30below_m2: sectionStorage_m2(s, s.crest_z_m - 0.3),
      }
    },
  ),
  ...wedges,
  reference(
    {
      id: 'CH-WEDGE-INV',
      quantity: 'depth behind a berm for 0.5 m² of water',
      inputs: { storage_m2: 0.5, slope_ratio: 0.12, innerSlope_ratio: 1.5 },
      expected: 0.3189,
      unit: 'm',
      tolerance: { abs: 0.0005 },
      source: '√(2A / (1/s + z))',
      known: 'derived',
    },
    i => wedgeDepth_m(i.storage_m2, i.slope_ratio, i.innerSlope_ratio),
  ),
  reference(
    {
      id: 'SC-BUND-WEDGE',
      quantity: 'height of a bund that holds 5.04 m³ per metre on ground of 3 %, inner face 1.5:1',
      inputs: { storage_m2: 60 * 0.12 * 0.7, slope_ratio: 0.03, innerSlope_ratio: 1.5 },
      expected: { storage_m2: 5.04, height_m: 0.54 },
      unit: 'm2; m',
      tolerance: { abs: 0.006 },
      source: 'published worked example: 17.42 h² = 5.04',
      known: 'published',
    },
    i => ({ storage_m2: i.storage_m2, height_m: wedgeDepth_m(i.storage_m2, i.slope_ratio, i.innerSlope_ratio) }),
  ),
  reference(
    {
      id: 'SC-BUND-DESIGN/height',
      quantity: 'height of an upright bund for 2.5 m³ per metre on 4 %, and with 20 % for settlement',
      inputs: { storage_m2: 2.5, slope_ratio: 0.04, settlement_ratio: 0.2 },
      expected: { height_m: 0.4472, built_m: 0.5367 },
      unit: 'm',
      tolerance: { rel: 0.001 },
      source: 'published lecture example',
      known: 'published',
    },
    i => {
      const height_m = wedgeDepth_m(i.storage_m2, i.slope_ratio, 0)
      return { height_m, built_m: constructionHeight_m(height_m, i.settlement_ratio, 'of-settled') }
    },
  ),
  reference(
    {
      id: 'SC-STORE-HI-DIRECT/pond-width',
      quantity: 'width of the wedge of water 0.3 m deep on 5 %, inner face 2:1',
      inputs: { depth_m: 0.3, slope_ratio: 0.05, innerSlope_ratio: 2 },
      expected: 6.6,
      unit: 'm',
      tolerance: { abs: 1e-9 },
      source: 'h (1/s + z)',
      known: 'derived',
    },
    i => wedgeWidth_m(i.depth_m, i.slope_ratio, i.innerSlope_ratio),
  ),
  ...graded,
  reference(
    {
      id: 'CH-LEVEL-ERROR',
      quantity: 'share of its storage that a triangular ditch 0.5 m deep keeps with 0.1, 0.2 and 0.5 m of unwanted fall',
      inputs: { ditch: { bedWidth_m: 0, sideSlope_ratio: 3, depthAtSill_m: 0.5, length_m: 100 }, falls_m: [0.1, 0.2, 0.5] },
      expected: [0.8133, 0.6533, 0.3333],
      unit: '1',
      tolerance: { abs: 0.0002 },
      source: '(1 − (1 − e)³)/(3e), e = fall/depth',
      known: 'derived',
    },
    i => i.falls_m.map(fall => keptDespiteFall_ratio(i.ditch, fall)),
  ),
  reference(
    {
      id: 'EW-PRISM',
      quantity: 'bank 2:1 tapering from 1.0 to 0.5 m over 20 m: exact, by average end area, excess',
      inputs: { sideSlope_ratio: 2, first_m: 1, last_m: 0.5, length_m: 20 },
      expected: { exact_m3: 23.333, averageEndArea_m3: 25, excess_m3: 1.6667 },
      unit: 'm3',
      tolerance: { abs: 0.001 },
      source: 'z L (h₁² + h₁h₂ + h₂²)/3',
      known: 'derived',
    },
    i => ({ ...taperingPrism(i.sideSlope_ratio, i.first_m, i.last_m, i.length_m) }),
  ),
  reference(
    {
      id: 'EW-PRISMOIDAL',
      quantity: 'the same bank by the prismoidal rule',
      inputs: { first_m2: 2, middle_m2: 1.125, last_m2: 0.5, length_m: 20 },
      expected: 23.333,
      unit: 'm3',
      tolerance: { abs: 0.001 },
      source: 'L/6 (A₁ + 4Aₘ + A₂)',
      known: 'derived',
    },
    i => prismoidal_m3(i.first_m2, i.middle_m2, i.last_m2, i.length_m),
  ),
  reference(
    {
      id: 'EW-STATIONS',
      quantity: 'volume along stations 10 m apart by average end area',
      inputs: { areas_m2: [0, 0.42, 0.55, 0.61, 0.38, 0], spacing_m: 10 },
      expected: 19.6,
      unit: 'm3',
      tolerance: { abs: 0.001 },
      source: 'trapezium rule',
      known: 'derived',
    },
    i => averageEndArea_m3(i.areas_m2, i.spacing_m),
  ),
  reference(
    {
      id: 'EW-BENCHCUT',
      quantity: 'cut half of a bench, half-width 1.5 m on 10 %, face 1:1',
      inputs: { halfWidth_m: 1.5, groundSlope_ratio: 0.1, faceSlope_ratio: 1 },
      expected: { area_m2: 0.125, faceHeight_m: 0.16667 },
      unit: 'm2; m',
      tolerance: { abs: 1e-4 },
      source: 'w² s / (2 (1 − z s)): triangle',
      known: 'derived',
    },
    i => ({ ...benchCut(i.halfWidth_m, i.groundSlope_ratio, i.faceSlope_ratio) }),
  ),
  reference(
    {
      id: 'EW-SWELL',
      quantity: '10 m³ in the bank, swell 25 %, compacted to 85 %',
      inputs: { bank_m3: 10, swell_ratio: 0.25, compactedPerBank_ratio: 0.85 },
      expected: { bank_m3: 10, loose_m3: 12.5, compacted_m3: 8.5, load_ratio: 0.8 },
      unit: 'm3; 1',
      tolerance: { abs: 0.001 },
      source: 'definitions',
      known: 'derived',
    },
    i => ({ ...earthVolumes(i.bank_m3, i.swell_ratio, i.compactedPerBank_ratio) }),
  ),
  reference(
    {
      id: 'EW-SETTLE',
      quantity: 'height to build for 0.50 m settled, 10 % by either convention',
      inputs: { settled_m: 0.5, settlement_ratio: 0.1 },
      expected: { ofSettled_m: 0.55, ofBuilt_m: 0.5556 },
      unit: 'm',
      tolerance: { abs: 1e-4 },
      source: 'H (1 + s) and H / (1 − s)',
      known: 'derived',
    },
    i => ({
      ofSettled_m: constructionHeight_m(i.settled_m, i.settlement_ratio, 'of-settled'),
      ofBuilt_m: constructionHeight_m(i.settled_m, i.settlement_ratio, 'of-built'),
    }),
  ),
  reference(
    {
      id: 'EW-DIG',
      quantity:
        'output by hand: person-day of ordinary soil; trench and small pit by the hour in loose, firm, clay, boulder clay; barrow to 10, 20, 50 m',
      inputs: { soils: ['loose', 'firm', 'clay', 'boulder-clay'] as const },
      expected: {
        day_m3: [1.5, 2.5],
        trench_m3h: [0.66, 0.57, 0.46, 0.38],
        pit_m3h: [0.5, 0.43, 0.35, 0.28],
        barrow_m3h: [6.25, 3.23, 2.13],
      },
      unit: 'm3; m3/h',
      tolerance: { abs: 0 },
      source: 'planningplanet.com ground excavation; Indian schedule of rates',
      known: 'published',
    },
    i => ({
      day_m3: [INDIA_NORM_m3d.low, INDIA_NORM_m3d.high],
      trench_m3h: i.soils.map(soil => TRENCH_BY_HAND_m3h[soil] ?? -1),
      pit_m3h: i.soils.map(soil => PIT_BY_HAND_m3h[soil] ?? -1),
      barrow_m3h: BARROW_m3h.map(row => row.rate_m3h),
    }),
  ),
  reference(
    {
      id: 'EW-DIG-ILO',
      quantity: 'output of a worker-day in soft, medium, hard, very hard ground and rock',
      inputs: {},
      expected: [5, 3.5, 3, 2, 0.8],
      unit: 'm3',
      tolerance: { abs: 0 },
      source: 'ILO/ASIST Technical Brief 2 (1998)',
      known: 'from-memory',
    },
    () => (['soft', 'medium', 'hard', 'very-hard', 'rock'] as const).map(ground => ILO_NORM_m3d[ground]),
  ),
  reference(
    {
      id: 'EW-EXCAVATOR',
      quantity: 'output of small excavators of 0.3, 0.4 and 0.5 m³: slow, average, fast',
      inputs: { buckets: ['0.3', '0.4', '0.5'] as const },
      expected: {
        soil: [
          [6.7, 8.4, 9.9],
          [8.2, 10, 11.7],
          [12.2, 13.3, 15.4],
        ],
        clay: [
          [3.3, 4.1, 5.2],
          [6.5, 8.3, 9.4],
          [9.7, 10.5, 12.1],
        ],
      },
      unit: 'm3/h',
      tolerance: { abs: 0 },
      source: 'planningplanet.com ground excavation',
      known: 'published',
    },
    i => ({ soil: i.buckets.map(b => EXCAVATOR_m3h[b].soil), clay: i.buckets.map(b => EXCAVATOR_m3h[b].clay) }),
  ),
]
