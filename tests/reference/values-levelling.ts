import { aFrameError, aFrameFall, allowedMisclosure_m, levelBook, staffReadings } from 'soakline/plan'
import { type ReferenceValue, reference } from './reference-value.js'

/** Levels set and read on site. */
export const LEVELLING_VALUES: readonly ReferenceValue[] = [
  reference(
    {
      id: 'LV-AFRAME',
      quantity: 'A-frame set to a fall of 1 %: drop of each step, mark beside the level mark',
      inputs: { legSpan_m: 2, plumb_m: 1.2, fall_ratio: 0.01 },
      expected: { dropPerStep_mm: 20, offset_mm: 12 },
      unit: 'mm',
      tolerance: { abs: 0.01 },
      source: 'similar triangles',
      known: 'derived',
    },
    i => {
      const { dropPerStep_m, markOffset_m } = aFrameFall(i.fall_ratio, i)
      return { dropPerStep_mm: dropPerStep_m * 1000, offset_mm: markOffset_m * 1000 }
    },
  ),
  reference(
    {
      id: 'LV-AFRAME-ERR',
      quantity: 'A-frame read 2 mm off on 1.2 m, over 50 steps: by chance and always to one side',
      inputs: { steps: 50, readingError_m: 0.002, legSpan_m: 2, plumb_m: 1.2 },
      expected: { grade_percent: 0.16667, perStep_mm: 3.3333, byChance_mm: 23.57, byBias_mm: 166.67 },
      unit: '%; mm',
      tolerance: { rel: 0.0005 },
      source: '2/1200; √n; n',
      known: 'derived',
    },
    i => {
      const error = aFrameError(i.steps, i.readingError_m, i)
      return {
        grade_percent: error.grade_ratio * 100,
        perStep_mm: error.perStep_m * 1000,
        byChance_mm: error.byChance_m * 1000,
        byBias_mm: error.byBias_m * 1000,
      }
    },
  ),
  reference(
    {
      id: 'LV-RISEFALL',
      quantity: 'level book by rise and fall, from 100.000',
      inputs: {
        start_m: 100,
        book: [
          { point: '1', backsight_m: 1.525 },
          { point: '2', intermediate_m: 1.87 },
          { point: '3', intermediate_m: 2.145 },
          { point: '4', foresight_m: 0.985, backsight_m: 1.64 },
          { point: '5', intermediate_m: 1.22 },
          { point: '6', foresight_m: 2.31 },
        ],
      },
      expected: { levels_m: [100, 99.655, 99.38, 100.54, 100.96, 99.87], sights_m: -0.13, rises_m: 1.58, falls_m: 1.71 },
      unit: 'm',
      tolerance: { abs: 0.0005 },
      source: 'own book; back less fore = rises less falls = last less first',
      known: 'derived',
    },
    i => {
      const book = levelBook(i.book, i.start_m)
      return {
        levels_m: book.rows.map(row => row.level_m),
        sights_m: book.check.sights_m,
        rises_m: book.rises_m,
        falls_m: book.falls_m,
      }
    },
  ),
  reference(
    {
      id: 'LV-MISCLOSE',
      quantity: 'allowed misclosure over 1 km',
      inputs: { km: 1 },
      expected: { firstOrder_mm: 4, thirdOrder_mm: 12 },
      unit: 'mm',
      tolerance: { abs: 1e-9 },
      source: 'first order read; third order from memory',
      known: 'from-memory',
    },
    i => ({
      firstOrder_mm: allowedMisclosure_m('first-order', i.km) * 1000,
      thirdOrder_mm: allowedMisclosure_m('third-order', i.km) * 1000,
    }),
  ),
  reference(
    {
      id: 'LV-STAFF',
      quantity: 'staff on pegs at 50.350 and falling 0.5 % every 5 m, backsight 1.200 on 50.000',
      inputs: { known_m: 50, backsight_m: 1.2, beds_m: [50.35, 50.325, 50.3] },
      expected: [0.85, 0.875, 0.9],
      unit: 'm',
      tolerance: { abs: 0.0005 },
      source: 'a level book worked by hand',
      known: 'derived',
    },
    i =>
      staffReadings(
        i.beds_m.map((bed_m, k) => ({ ...NO_STAKE, number: k + 1, bed_m })),
        i.known_m,
        i.backsight_m,
      ).rows.map(row => row.bed_m ?? Number.NaN),
  ),
]

const NO_STAKE = {
  number: 1,
  kinds: [],
  chainage_m: 0,
  at: [0, 0],
  ground_m: 50,
  bed_m: 50,
  crest_m: null,
  sill_m: null,
  cut_m: 0,
  bermSettled_m: null,
  bermToBuild_m: null,
  topWidth_m: 0,
  outerToe_m: null,
  toNext: null,
  fromBase: { distance_m: 0, tape_m: 0, bearing_deg: null },
  horizontalDoubt_m: null,
  doubtCapped: false,
} as const
