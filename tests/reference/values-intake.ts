import {
  augerIntake_mmh,
  ditchLevels,
  emptyingTime_h,
  FAO_BASIC_INTAKE,
  GREEN_AMPT,
  greenAmptRunoff,
  greenAmptSoil,
  MINNESOTA_RATES,
  measuredHyetograph,
  pitIntake_mmh,
  pondedSoak_mm,
  ponding,
  ringIntake_mmh,
  SOIL_GROUP_RULES,
  soakCapacity_mmh,
  TEXTURES,
  type Texture,
  totalRunoff_mm,
} from 'soakline/hydrology'
import { type ReferenceValue, reference } from './reference-value.js'

const INCH = 25.4
const RAWLS = 'Rawls, Brakensiek & Miller (1983), as in Chow, Maidment & Mays (1988) Table 4.3.1'
const SWMM = 'EPA SWMM User’s Manual Table A.2'
const CMM = 'Chow, Maidment & Mays (1988)'

/** A row of numbers for each texture, in the library's order, from lines of words. */
const byTexture = (lines: string): Record<Texture, number[]> =>
  Object.fromEntries(
    lines
      .trim()
      .split('\n')
      .map((line, k) => [TEXTURES[k]!, line.trim().split(/\s+/).map(Number)]),
  ) as Record<Texture, number[]>

/** Porosity, effective porosity, suction in cm, conductivity in cm/h. Written apart from the library's own copy. */
const RAWLS_ROWS = byTexture(`
  0.437 0.417 4.95 11.78
  0.437 0.401 6.13 2.99
  0.453 0.412 11.01 1.09
  0.463 0.434 8.89 0.34
  0.501 0.486 16.68 0.65
  0.398 0.33 21.85 0.15
  0.464 0.309 20.88 0.1
  0.471 0.432 27.3 0.1
  0.43 0.321 23.9 0.06
  0.479 0.423 29.22 0.05
  0.475 0.385 31.63 0.03`)

/** Conductivity in in/h, suction in inches, porosity. */
const SWMM_ROWS = byTexture(`
  4.74 1.93 0.437
  1.18 2.4 0.437
  0.43 4.33 0.453
  0.13 3.5 0.463
  0.26 6.69 0.501
  0.06 8.66 0.398
  0.04 8.27 0.464
  0.04 10.63 0.471
  0.02 9.45 0.43
  0.02 11.42 0.479
  0.01 12.6 0.475`)

const column = (rows: Record<Texture, number[]>, k: number): Record<Texture, number> =>
  Object.fromEntries(TEXTURES.map(texture => [texture, rows[texture][k]!])) as Record<Texture, number>

const SILT_LOAM = { conductivity_mmh: 6.5, suctionDeficit_mm: 56.8 }

/** Water that goes into the ground. */
export const INTAKE_VALUES: readonly ReferenceValue[] = [
  reference(
    {
      id: 'IN-GA-TABLE',
      quantity: 'Green–Ampt parameters of eleven textures',
      inputs: GREEN_AMPT,
      expected: RAWLS_ROWS,
      unit: '1; cm; cm/h',
      tolerance: { abs: 1e-9 },
      source: RAWLS,
      known: 'from-memory',
    },
    rows => Object.fromEntries(rows.map(r => [r.texture, [r.porosity, r.effectivePorosity, r.suction_mm / 10, r.conductivity_mmh / 10]])),
  ),
  reference(
    {
      id: 'IN-GA-TABLE-US/porosity',
      quantity: 'porosity in the inch table',
      inputs: GREEN_AMPT,
      expected: column(SWMM_ROWS, 2),
      unit: '1',
      tolerance: { abs: 0 },
      source: SWMM,
      known: 'published',
    },
    rows => Object.fromEntries(rows.map(r => [r.texture, r.porosity])),
  ),
  reference(
    {
      id: 'IN-GA-TABLE-US/suction',
      quantity: 'suction in the inch table, which is up to 2 % off',
      inputs: GREEN_AMPT,
      expected: column(SWMM_ROWS, 1),
      unit: 'in',
      tolerance: { rel: 0.02 },
      source: SWMM,
      known: 'published',
    },
    rows => Object.fromEntries(rows.map(r => [r.texture, r.suction_mm / INCH])),
  ),
  reference(
    {
      id: 'IN-GA-CROSS',
      quantity: 'conductivity in the inch table; sand is 2.2 % off',
      inputs: GREEN_AMPT,
      expected: column(SWMM_ROWS, 0),
      unit: 'in/h',
      tolerance: { abs: 0.006, rel: 0.025 },
      source: SWMM,
      known: 'published',
    },
    rows => Object.fromEntries(rows.map(r => [r.texture, r.conductivity_mmh / INCH])),
  ),
  reference(
    {
      id: 'IN-GA-CMM-431',
      quantity: 'silt loam ponded for an hour: suction × deficit, soaked, rate',
      inputs: { conductivity_mmh: 6.5, suction_mm: 167, deficit: 0.34, time_h: 1 },
      expected: { suctionDeficit_cm: 5.68, soaked_cm: 3.17, rate_cmh: 1.81 },
      unit: 'cm; cm/h',
      tolerance: { abs: 0.01 },
      source: `${CMM} Example 4.3.1`,
      known: 'from-memory',
    },
    i => {
      const soil = { conductivity_mmh: i.conductivity_mmh, suctionDeficit_mm: i.suction_mm * i.deficit }
      const soaked_mm = pondedSoak_mm(soil, i.time_h)
      return { suctionDeficit_cm: soil.suctionDeficit_mm / 10, soaked_cm: soaked_mm / 10, rate_cmh: soakCapacity_mmh(soil, soaked_mm) / 10 }
    },
  ),
  reference(
    {
      id: 'IN-GA-PONDING',
      quantity: 'when water begins to stand under 1 and 5 cm/h, and what has soaked in by then',
      inputs: [10, 50],
      expected: { after_h: [10.549, 0.1697], soaked_cm: [10.549, 0.8487] },
      unit: 'h; cm',
      tolerance: { abs: 0.0006 },
      source: `${CMM} Example 4.4.1, unrounded`,
      known: 'from-memory',
    },
    rates => {
      const starts = rates.map(rate => ponding(SILT_LOAM, rate)!)
      return { after_h: starts.map(p => p.after_h), soaked_cm: starts.map(p => p.soaked_mm / 10) }
    },
  ),
  reference(
    {
      id: 'IN-GA-CMM-442',
      quantity: 'after an hour of 5 cm/h: soaked and rate',
      inputs: measuredHyetograph(1, [50], 'steady rain'),
      expected: { soaked_cm: 3.02, rate_cmh: 1.87 },
      unit: 'cm; cm/h',
      tolerance: { abs: 0.006 },
      source: `${CMM} Example 4.4.2`,
      known: 'from-memory',
    },
    rain => {
      const soaked_mm = 50 - totalRunoff_mm(greenAmptRunoff(rain, SILT_LOAM))
      return { soaked_cm: soaked_mm / 10, rate_cmh: soakCapacity_mmh(SILT_LOAM, soaked_mm) / 10 }
    },
  ),
  reference(
    {
      id: 'IN-GA-1H',
      quantity: 'soaked in an hour of ponding at half saturation, eleven textures',
      inputs: TEXTURES,
      expected: column(
        byTexture(`
          14.58
          4.98
          3
          1.38
          2.75
          1.14
          0.87
          1.15
          0.72
          0.82
          0.62`),
        0,
      ),
      unit: 'cm',
      tolerance: { abs: 0.006 },
      source: 'Green–Ampt equation on that table',
      known: 'derived',
    },
    textures => Object.fromEntries(textures.map(texture => [texture, pondedSoak_mm(greenAmptSoil(texture, 0.5), 1) / 10])),
  ),
  reference(
    {
      id: 'IN-DRAIN-VERT',
      quantity: '300 mm soaking down through all the ground under the water, at 13 and 25.4 mm/h, in a ditch with sloping sides',
      inputs: [13, 25.4],
      expected: [23.08, 11.81],
      unit: 'h',
      tolerance: { abs: 0.01 },
      source: 'depth over rate, whatever the section',
      known: 'derived',
    },
    rates =>
      rates.map(rate =>
        emptyingTime_h(
          [
            { level_m: 0, surface_m2: 0.6, soaking_m2: 0.6 },
            { level_m: 0.3, surface_m2: 1.9, soaking_m2: 1.9 },
          ],
          rate,
        ),
      ),
  ),
  reference(
    {
      id: 'IN-DRAIN-TRI',
      quantity: 'triangle 0.3 m deep, 3:1, soaking through all its wetted sides',
      inputs: ditchLevels(0, 3, 0.3, 'wetted'),
      expected: 21.89,
      unit: 'h',
      tolerance: { abs: 0.01 },
      source: '(h/f) z/√(1 + z²): exact integral',
      known: 'derived',
    },
    levels => emptyingTime_h(levels, 13),
  ),
  reference(
    {
      id: 'IN-DRAIN-TRAP',
      quantity: 'trapezoid 0.4 m deep, bed 1 m, 3:1, soaking through bed and sides',
      inputs: ditchLevels(1, 3, 0.4, 'wetted'),
      expected: 29.98,
      unit: 'h',
      tolerance: { abs: 0.01 },
      source: '(1/f)[z d/s + (b − b z/s)/(2s) ln(1 + 2 s d/b)], s = √(1 + z²)',
      known: 'derived',
    },
    levels => emptyingTime_h(levels, 13),
  ),
  reference(
    {
      id: 'IN-DRAIN-TRAP/bed',
      quantity: 'the same soaking through its bed alone',
      inputs: ditchLevels(1, 3, 0.4, 'bed'),
      expected: 67.7,
      unit: 'h',
      tolerance: { abs: 0.05 },
      source: 'volume over bed × rate',
      known: 'derived',
    },
    levels => emptyingTime_h(levels, 13),
  ),
  reference(
    {
      id: 'IN-PORCHET',
      quantity: 'auger hole of 4 cm radius, 30 to 20 cm in 10 minutes (44.96 with the exact constant)',
      inputs: { radius_mm: 40, from_mm: 300, to_mm: 200, time_min: 10 },
      expected: 44.9,
      unit: 'mm/h',
      tolerance: { abs: 0.15 },
      source: 'Porchet, as in textbooks',
      known: 'from-memory',
    },
    augerIntake_mmh,
  ),
  reference(
    {
      id: 'IN-PIT',
      quantity: 'pit 1 × 0.5 m, 0.8 m of water, three quarters to one quarter in 90 minutes',
      inputs: { length_m: 1, width_m: 0.5, waterDepth_m: 0.8, from75To25_min: 90 },
      expected: { intake_ms: 2.179e-5, intake_mmh: 78.4 },
      unit: 'm/s; mm/h',
      tolerance: { rel: 0.001 },
      source: 'form of BRE Digest 365',
      known: 'published',
    },
    i => ({ intake_ms: pitIntake_mmh(i) / 3.6e6, intake_mmh: pitIntake_mmh(i) }),
  ),
  reference(
    {
      id: 'IN-RING',
      quantity: '1200 cm³ in 15 minutes into a ring of 30 cm',
      inputs: { water_mL: 1200, time_min: 15, innerDiameter_mm: 300 },
      expected: 67.9,
      unit: 'mm/h',
      tolerance: { abs: 0.05 },
      source: 'V/(A t); rings of ASTM D3385',
      known: 'derived',
    },
    ringIntake_mmh,
  ),
  reference(
    {
      id: 'IN-FAO-BASIC',
      quantity: 'basic infiltration: sand over 30, the others from–to',
      inputs: FAO_BASIC_INTAKE,
      expected: { sand: [30], 'sandy-loam': [20, 30], loam: [10, 20], 'clay-loam': [5, 10], clay: [1, 5] },
      unit: 'mm/h',
      tolerance: { abs: 0 },
      source: 'FAO Irrigation Water Management Training Manual (sand from memory, the rest read)',
      known: 'from-memory',
    },
    rows => Object.fromEntries(rows.map(r => [r.texture, r.high_mmh === null ? [r.low_mmh] : [r.low_mmh, r.high_mmh]])),
  ),
  reference(
    {
      id: 'IN-MN-RATES',
      quantity: 'design infiltration rates, gravel to group D',
      inputs: MINNESOTA_RATES,
      expected: [1.63, 0.8, 0.45, 0.3, 0.2, 0.06],
      unit: 'in/h',
      tolerance: { abs: 0 },
      source: 'Minnesota Stormwater Manual',
      known: 'published',
    },
    rates => rates.map(r => r.rate_inh),
  ),
  reference(
    {
      id: 'IN-HSG-TR55',
      quantity: 'least transmission rate of soil groups A, B and C',
      inputs: SOIL_GROUP_RULES.transmissionRate,
      expected: { A: 0.3, B: 0.15, C: 0.05 },
      unit: 'in/h',
      tolerance: { abs: 0 },
      source: 'USDA TR-55 (1986) App. A',
      known: 'published',
    },
    rule => rule.least_inh,
  ),
]
