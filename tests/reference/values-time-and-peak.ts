import { M2_PER_ACRE, M3_PER_CUBIC_FOOT, METRES_PER } from 'soakline/foundation'
import {
  atLeastTime_h,
  CURVED_FORM,
  courseSpeed_ms,
  curveNumberRunoff,
  dividedHyetograph,
  type FlowStretch,
  GRAPHICAL_ROWS,
  graphicalCoefficients,
  graphicalPeak,
  kinematicSheetTime,
  type Limited,
  lag_h,
  lagEquationTime,
  measuredHyetograph,
  pondFactor,
  RATIONAL_ROWS,
  rationalPeak,
  retention_mm,
  runoffHydrograph,
  SHALLOW_SURFACES,
  SHEET_SURFACES,
  shallowFlowSpeed,
  sheetFlowTime,
  stormRunoff_mm,
  timeByStretches,
  timeToPeak_h,
  totalRunoff_mm,
  triangularForm,
  unitPeak_csmIn,
  unitPeak_m3s,
} from 'soakline/hydrology'
import { PER_KM2_MM } from '../../packages/soakline/src/hydrology/graphical-peak.js'
import { kirpich_min } from '../../packages/soakline/src/hydrology/time-of-concentration.js'
import { formArea, PEAK_RATE_OF_UNIT_AREA, peakRateOfGamma } from '../../packages/soakline/src/hydrology/unit-hydrograph.js'
import { type ReferenceValue, reference } from './reference-value.js'

const INCH = 25.4
const FOOT = METRES_PER.ft
const KM2 = 1e6
const MILE2 = 640 * M2_PER_ACRE
const TR55 = 'USDA TR-55 (1986)'
const NEH15 = 'USDA-NRCS National Engineering Handbook, Part 630, ch. 15 (2010)'
const NEH16 = 'USDA-NRCS National Engineering Handbook, Part 630, ch. 16'
const HEC22 = 'FHWA HEC-22, 3rd ed. (FHWA-NHI-10-009, 2009)'
const HDS2 = 'FHWA HDS-2, 2nd ed. (FHWA-NHI-02-001, 2002)'

/** The number of an answer within limits; NaN, which never passes, outside them. */
const within = ({ value }: Limited): number => value ?? Number.NaN

/** The way of water of TR-55 Example 3-1. */
const SHEET = { kind: 'sheet', length_m: 100 * FOOT, slope_ratio: 0.01, roughness: 0.24, rain2yr24h_mm: 3.6 * INCH } as const
const SHALLOW = { kind: 'shallow', length_m: 1400 * FOOT, slope_ratio: 0.01, speed_ms: SHALLOW_SURFACES[1]!.speed_ms } as const
const COURSE = {
  kind: 'course',
  length_m: 7300 * FOOT,
  slope_ratio: 0.005,
  area_m2: 27 * FOOT * FOOT,
  wettedPerimeter_m: 28.2 * FOOT,
  roughness: 0.05,
} as const
const example31 = (
  [
    ['TC-TR55-SHEET', [SHEET], 0.3, 'sheet flow over 100 ft of dense grass'],
    ['TC-TR55-SHALLOW-T', [SHALLOW], 0.24, 'shallow flow over 1400 ft, unpaved'],
    ['TC-TR55-CHANNEL', [COURSE], 0.99, 'course of 7300 ft'],
    ['TC-TR55-TOTAL', [SHEET, SHALLOW, COURSE], 1.53, 'time of concentration of the three'],
  ] as const
).map(([id, path, expected, quantity]) =>
  reference(
    {
      id,
      quantity,
      inputs: path as readonly FlowStretch[],
      expected,
      unit: 'h',
      tolerance: { abs: 0.006 },
      source: `${TR55} Example 3-1`,
      known: 'published',
    },
    stretches => within(timeByStretches(stretches)),
  ),
)

const TIME_VALUES: readonly ReferenceValue[] = [
  ...example31,
  reference(
    {
      id: 'TC-TR55-SHALLOW-V',
      quantity: 'speed of shallow flow, unpaved, on 1 %',
      inputs: SHALLOW,
      expected: 1.6,
      unit: 'ft/s',
      tolerance: { abs: 0.02 },
      source: `${TR55} Example 3-1`,
      known: 'published',
    },
    i => within(shallowFlowSpeed(i)) / FOOT,
  ),
  reference(
    {
      id: 'TC-SHEET-SI',
      quantity: 'the sheet flow of that example, unrounded',
      inputs: SHEET,
      expected: 0.296,
      unit: 'h',
      tolerance: { abs: 0.0005 },
      source: `${TR55} eq. 3-3 in metres: 0.0913 (nL)^0.8 / (P^0.5 s^0.4)`,
      known: 'derived',
    },
    i => within(sheetFlowTime(i)),
  ),
  reference(
    {
      id: 'TC-SHEET-ROUGHNESS',
      quantity:
        'roughness to sheet flow: smooth, fallow, residue up to and over 20 %, short and dense grass, bermudagrass, range, woods light and dense',
      inputs: SHEET_SURFACES,
      expected: [0.011, 0.05, 0.06, 0.17, 0.15, 0.24, 0.41, 0.13, 0.4, 0.8],
      unit: 's/m^(1/3)',
      tolerance: { abs: 0 },
      source: `${TR55} Table 3-1`,
      known: 'published',
    },
    surfaces => surfaces.map(s => s.roughness),
  ),
  reference(
    {
      id: 'TC-NEH15-SHEET',
      quantity: 'sheet flow over 100 ft of short grass on 8 %',
      inputs: { length_m: 100 * FOOT, slope_ratio: 0.08, roughness: 0.15, rain2yr24h_mm: 3.6 * INCH },
      expected: 0.09,
      unit: 'h',
      tolerance: { abs: 0.005 },
      source: `${NEH15}, worked reach`,
      known: 'published',
    },
    i => within(sheetFlowTime(i)),
  ),
  reference(
    {
      id: 'TC-NRCS-LAG',
      quantity: 'time of concentration and lag by the lag equation, Mawney Brook',
      inputs: { length_m: 3865 * FOOT, curveNumber: 63, landSlope_ratio: 0.0479, area_m2: null },
      expected: { time_h: 1.14, lag_h: 0.69 },
      unit: 'h',
      tolerance: { abs: 0.006 },
      source: `${NEH15}, worked example of the lag method`,
      known: 'published',
    },
    i => {
      const time_h = within(lagEquationTime(i))
      return { time_h, lag_h: lag_h(time_h) }
    },
  ),
  reference(
    {
      id: 'TC-REACHSUM',
      quantity: 'five stretches added up (the fourth uses a speed read from a chart)',
      inputs: [0.09, 0.11, 0.39, 0.2, 0.21],
      expected: 1,
      unit: 'h',
      tolerance: { abs: 0.005 },
      source: `${NEH15}, worked example of the velocity method, reach 1`,
      known: 'published',
    },
    hours => within(timeByStretches(hours.map(h => ({ kind: 'measured', length_m: h * 3600, measuredSpeed_ms: 1 })))),
  ),
  reference(
    {
      id: 'TC-SHALLOW-COEF-SI',
      quantity: 'speeds of shallow flow on a slope of 1, seven covers',
      inputs: SHALLOW_SURFACES,
      expected: [6.196, 4.918, 3.037, 2.671, 2.122, 1.534, 0.767],
      unit: 'm/s',
      tolerance: { abs: 0.001 },
      source: `${NEH15} Table 15-3, × 0.3048`,
      known: 'derived',
    },
    surfaces => surfaces.map(s => within(shallowFlowSpeed({ slope_ratio: 0.01, speed_ms: s.speed_ms })) / 0.1),
  ),
  reference(
    {
      id: 'TC-HEC22-3-2a',
      quantity: 'speed and time in a grassed waterway of 79 m on 0.6 %, with HEC-22’s own constant 0.457 per √per cent',
      inputs: { length_m: 79, slope_ratio: 0.006, speed_ms: 4.57 },
      expected: { speed_ms: 0.35399, time_min: 3.7195 },
      unit: 'm/s; min',
      tolerance: { rel: 0.0005 },
      source: `${HEC22} Example 3-2 (prints 0.35 and 3.7)`,
      known: 'published',
    },
    i => ({ speed_ms: within(shallowFlowSpeed(i)), time_min: within(timeByStretches([{ kind: 'shallow', ...i }]).stretches[0]!) * 60 }),
  ),
  reference(
    {
      id: 'TC-HDS2-2-1',
      quantity: 'three stretches of known speed',
      inputs: [
        [43, 0.076],
        [79, 0.409],
        [146, 0.27],
      ] as const,
      expected: 1300,
      unit: 's',
      tolerance: { abs: 5 },
      source: `${HDS2} Example 2.1`,
      known: 'published',
    },
    all => within(timeByStretches(all.map(([length_m, measuredSpeed_ms]) => ({ kind: 'measured', length_m, measuredSpeed_ms })))) * 3600,
  ),
  reference(
    {
      id: 'TC-KINWAVE-CONST',
      quantity: 'constant of kinematic sheet flow for minutes, mm/h and metres',
      inputs: { length_m: 1, slope_ratio: 1, roughness: 1 },
      expected: 6.988,
      unit: '1',
      tolerance: { abs: 0.002 },
      source: '(3.6e6)^0.4 / 60',
      known: 'derived',
    },
    i => within(kinematicSheetTime(i, 1)) * 60,
  ),
  reference(
    {
      id: 'SW-KINPLANE/time',
      quantity: 'time to balance of 50 mm/h on 30 m of n 0.15 at 5 %',
      inputs: { length_m: 30, slope_ratio: 0.05, roughness: 0.15 },
      expected: 8.8515,
      unit: 'min',
      tolerance: { rel: 0.0002 },
      source: '(n x/√s)^0.6 i^−0.4: kinematic plane',
      known: 'derived',
    },
    i => within(kinematicSheetTime(i, 50)) * 60,
  ),
  ...(
    [
      ['TC-KIRPICH-1', 500, 0.05, 7.4, 0.02, 'Kirpich (1940) as usually quoted'],
      ['TC-KIRPICH-2', 100, 0.1, 1.64, 0.01, 'Kirpich (1940) as usually quoted'],
      ['TC-KIRPICH-UNITS', 500, 0.05, 7.39, 0.02, '0.0078 L^0.77 s^−0.385 in feet'],
    ] as const
  ).map(([id, length_m, slope_ratio, expected, abs, source]) =>
    reference(
      {
        id,
        quantity: `${length_m} m on ${100 * slope_ratio} % by Kirpich, before the least time`,
        inputs: { length_m, slope_ratio },
        expected,
        unit: 'min',
        tolerance: { abs },
        source,
        known: 'from-memory',
      },
      i => kirpich_min(i.length_m, i.slope_ratio),
    ),
  ),
  reference(
    {
      id: 'TC-MIN',
      quantity: 'the least time of concentration',
      inputs: [0.05, 0.1, 0.25],
      expected: [0.1, 0.1, 0.25],
      unit: 'h',
      tolerance: { abs: 0 },
      source: `${TR55} ch. 3`,
      known: 'published',
    },
    hours => hours.map(atLeastTime_h),
  ),
]

const rational = (
  [
    ['PK-RAT-1', 0.235, 48, 17.55, 0.55, 0.006, `${HEC22} Example 3-3`],
    ['PK-RAT-2', 0.315, 58, 17.55, 0.89, 0.006, `${HEC22} Example 3-3, developed`],
    ['PK-RAT-3', 0.32, 85, 43.7, 3.3, 0.05, `${HDS2} Example 5.5`],
  ] as const
).map(([id, coefficient, intensity_mmh, area_ha, expected, abs, source]) =>
  reference(
    {
      id,
      quantity: `rational peak of ${area_ha} ha`,
      inputs: { coefficient, intensity_mmh, area_m2: area_ha * 1e4 },
      expected,
      unit: 'm3/s',
      tolerance: { abs },
      source,
      known: 'published',
    },
    i => within(rationalPeak(i.coefficient, i.intensity_mmh, i.area_m2)),
  ),
)

/** Unit peak and peak by the graphical method at a given initial abstraction. */
const graphical = (i: { abstraction_ratio: number; time_h: number; area_km2: number; runoff_mm: number }) => {
  const unit = unitPeak_csmIn(graphicalCoefficients('II', i.abstraction_ratio), i.time_h)
  return { unit, peak_m3s: unit * PER_KM2_MM * i.area_km2 * i.runoff_mm }
}

/** The six hourly blocks of the alternating storm, on 0.8 ha of curve number 74. */
const HILLSIDE = { blocks_mm: [6.2, 10, 76.2, 12.8, 7.8, 4.6], curveNumber: 74, area_m2: 8000, time_h: 0.25 }
const hillside = (i: typeof HILLSIDE) => {
  const rain = dividedHyetograph(measuredHyetograph(1, i.blocks_mm, 'blocks'), 10)
  const runoff = curveNumberRunoff(rain, i.curveNumber)
  return { runoff, flow: runoffHydrograph(runoff, i.area_m2, i.time_h) }
}

const PEAK_VALUES: readonly ReferenceValue[] = [
  ...rational,
  reference(
    {
      id: 'PK-RAT-COEF',
      quantity: 'rational coefficients of woodland, pasture and cultivated land on flat, rolling and hilly ground, by weight of soil',
      inputs: RATIONAL_ROWS,
      expected: [
        [0.1, 0.3, 0.4],
        [0.25, 0.35, 0.5],
        [0.3, 0.5, 0.6],
        [0.1, 0.3, 0.4],
        [0.16, 0.36, 0.55],
        [0.22, 0.42, 0.6],
        [0.3, 0.5, 0.6],
        [0.4, 0.6, 0.7],
        [0.52, 0.72, 0.82],
      ],
      unit: '1',
      tolerance: { abs: 0 },
      source: 'USDA-NRCS Hydrology Training Series, Module 206D',
      known: 'published',
    },
    rows => rows.map(r => Object.values(r.coefficients)),
  ),
  reference(
    {
      id: 'PK-RAT-UNIT',
      quantity: 'rational peak of 1 in/h on 1 acre, coefficient 1',
      inputs: { coefficient: 1, intensity_mmh: INCH, area_m2: M2_PER_ACRE },
      expected: 1.0083,
      unit: 'ft3/s',
      tolerance: { abs: 0.0002 },
      source: '43560/12/3600',
      known: 'derived',
    },
    i => within(rationalPeak(i.coefficient, i.intensity_mmh, i.area_m2)) / M3_PER_CUBIC_FOOT,
  ),
  reference(
    {
      id: 'PK-TR55-COEF',
      quantity: 'coefficients of the graphical method, four storm types',
      inputs: GRAPHICAL_ROWS,
      expected: {
        I: [
          [0.1, 2.3055, -0.51429, -0.1175],
          [0.2, 2.23537, -0.50387, -0.08929],
          [0.25, 2.18219, -0.48488, -0.06589],
          [0.3, 2.10624, -0.45695, -0.02835],
          [0.35, 2.00303, -0.40769, 0.01983],
          [0.4, 1.87733, -0.32274, 0.05754],
          [0.45, 1.76312, -0.15644, 0.00453],
          [0.5, 1.67889, -0.0693, 0],
        ],
        IA: [
          [0.1, 2.0325, -0.31583, -0.13748],
          [0.2, 1.91978, -0.28215, -0.0702],
          [0.25, 1.83842, -0.25543, -0.02597],
          [0.3, 1.72657, -0.19826, 0.02633],
          [0.5, 1.63417, -0.091, 0],
        ],
        II: [
          [0.1, 2.55323, -0.61512, -0.16403],
          [0.3, 2.46532, -0.62257, -0.11657],
          [0.35, 2.41896, -0.61594, -0.0882],
          [0.4, 2.36409, -0.59857, -0.05621],
          [0.45, 2.29238, -0.57005, -0.02281],
          [0.5, 2.20282, -0.51599, -0.01259],
        ],
        III: [
          [0.1, 2.47317, -0.51848, -0.17083],
          [0.3, 2.39628, -0.51202, -0.13245],
          [0.35, 2.35477, -0.49735, -0.11985],
          [0.4, 2.30726, -0.46541, -0.11094],
          [0.45, 2.24876, -0.41314, -0.11508],
          [0.5, 2.17772, -0.36803, -0.09525],
        ],
      },
      unit: '1',
      tolerance: { abs: 0 },
      source: `${TR55} App. F Table F-1; ${HEC22} Table 3-7`,
      known: 'published',
    },
    rows => Object.fromEntries(Object.entries(rows).map(([type, all]) => [type, all.map(r => [r.abstraction_ratio, r.c0, r.c1, r.c2])])),
  ),
  reference(
    {
      id: 'PK-TR55-4-1',
      quantity: 'graphical peak of 0.39 square miles, curve number 75, 6 in, 1.53 h',
      inputs: {
        type: 'II' as const,
        area_m2: 0.39 * MILE2,
        curveNumber: 75,
        rain24h_mm: 6 * INCH,
        timeOfConcentration_h: 1.53,
        shortestDuration_h: 5 / 60,
        pond_ratio: 0,
      },
      expected: { abstraction_ratio: 0.111, unit_csmIn: 268.6, peak_cfs: 343.6 },
      unit: '1; csm/in; ft3/s',
      tolerance: { rel: 0.006 },
      source: `${TR55} Example 4-1 (prints 0.11, 270 by the graph, 345)`,
      known: 'published',
    },
    i => {
      const abstraction_ratio = (0.2 * retention_mm(i.curveNumber)) / i.rain24h_mm
      return {
        abstraction_ratio,
        unit_csmIn: unitPeak_csmIn(graphicalCoefficients(i.type, abstraction_ratio), i.timeOfConcentration_h),
        peak_cfs: within(graphicalPeak(i)) / M3_PER_CUBIC_FOOT,
      }
    },
  ),
  reference(
    {
      id: 'PK-HEC22-3-5',
      quantity: 'graphical peak of 6.1 km², curve number 78, 150 mm, 0.8 h: abstraction clamped to 0.1',
      inputs: {
        type: 'II' as const,
        area_m2: 6.1 * KM2,
        curveNumber: 78,
        rain24h_mm: 150,
        timeOfConcentration_h: 0.8,
        shortestDuration_h: 5 / 60,
        pond_ratio: 0,
      },
      expected: { unit_csmIn: 408.6, peak_m3s: 95.26 },
      unit: 'csm/in; m3/s',
      tolerance: { rel: 0.001 },
      source: `${HEC22} Example 3-5, without its roundings (prints 409 and 96)`,
      known: 'published',
    },
    i => ({ unit_csmIn: unitPeak_csmIn(graphicalCoefficients('II', 0.0955), i.timeOfConcentration_h), peak_m3s: within(graphicalPeak(i)) }),
  ),
  reference(
    {
      id: 'PK-HDS2-5-4',
      quantity: 'coefficients between rows, unit peak and peak of 0.176 km², 62 mm of runoff, 0.26 h',
      inputs: { abstraction_ratio: 0.12, time_h: 0.26, area_km2: 0.176, runoff_mm: 62 },
      expected: { c0: 2.544439, c1: -0.615865, c2: -0.159284, unit_csmIn: 708.3, peak_m3s: 3.327 },
      unit: '1; csm/in; m3/s',
      tolerance: { rel: 0.0002 },
      source: `${HDS2} Example 5.4, unrounded (prints 708 and 3.3)`,
      known: 'published',
    },
    i => {
      const { c0, c1, c2 } = graphicalCoefficients('II', i.abstraction_ratio)
      const { unit, peak_m3s } = graphical(i)
      return { c0, c1, c2, unit_csmIn: unit, peak_m3s }
    },
  ),
  reference(
    {
      id: 'PK-CSMIN',
      quantity: 'from cubic feet per second, square mile and inch to m³/s, km² and mm',
      inputs: PER_KM2_MM,
      expected: 0.0004304408,
      unit: '1',
      tolerance: { rel: 1e-5 },
      source: '0.0283168466/2.58998811/25.4',
      known: 'derived',
    },
    factor => factor,
  ),
  reference(
    {
      id: 'PK-FP',
      quantity: 'factor of ponds and swamps',
      inputs: [0, 0.002, 0.01, 0.03, 0.05],
      expected: [1, 0.97, 0.87, 0.75, 0.72],
      unit: '1',
      tolerance: { abs: 0 },
      source: `${TR55} Table 4-2`,
      known: 'published',
    },
    shares => shares.map(pondFactor),
  ),
  reference(
    {
      id: 'PK-HILLSIDE',
      quantity: 'graphical peak and volume of 0.8 ha, curve number 74, 100 mm, 0.25 h',
      inputs: {
        type: 'II' as const,
        area_m2: 8000,
        curveNumber: 74,
        rain24h_mm: 100,
        timeOfConcentration_h: 0.25,
        shortestDuration_h: 0.25,
        pond_ratio: 0,
      },
      expected: { abstraction_ratio: 0.17849, runoff_mm: 39.376, unit_csmIn: 688.84, peak_m3s: 0.0934, volume_m3: 315.01 },
      unit: '1; mm; csm/in; m3/s; m3',
      tolerance: { rel: 0.001 },
      source: `method of ${TR55} ch. 4, own inputs`,
      known: 'derived',
    },
    i => {
      const abstraction_ratio = (0.2 * retention_mm(i.curveNumber)) / i.rain24h_mm
      const runoff_mm = stormRunoff_mm(i.rain24h_mm, i.curveNumber)
      return {
        abstraction_ratio,
        runoff_mm,
        unit_csmIn: unitPeak_csmIn(graphicalCoefficients('II', abstraction_ratio), i.timeOfConcentration_h),
        peak_m3s: within(graphicalPeak(i)),
        volume_m3: (runoff_mm * i.area_m2) / 1000,
      }
    },
  ),
  reference(
    {
      id: 'PK-UH-ORD',
      quantity: 'ordinates of the curved unit hydrograph',
      inputs: numbersOfWords(`0 0.1 0.2 0.3 0.4 0.5 0.6 0.7 0.8 0.9 1 1.1 1.2 1.3 1.4 1.5 1.6 1.7 1.8 1.9 2
        2.2 2.4 2.6 2.8 3 3.2 3.4 3.6 3.8 4 4.5 5`),
      expected: numbersOfWords(`0 0.03 0.1 0.19 0.31 0.47 0.66 0.82 0.93 0.99 1 0.99 0.93 0.86 0.78 0.68 0.56 0.46 0.39 0.33 0.28
        0.207 0.147 0.107 0.077 0.055 0.04 0.029 0.021 0.015 0.011 0.005 0`),
      unit: '1',
      tolerance: { abs: 0 },
      source: `${NEH16} Table 16-1`,
      known: 'published',
    },
    times => times.map(CURVED_FORM.flow_ratio),
  ),
  reference(
    {
      id: 'PK-UH-AREA',
      quantity: 'area under that curve and the peak rate factor that it implies',
      inputs: CURVED_FORM,
      expected: { area: 1.33595, peakRateFactor: 483.05 },
      unit: '1',
      tolerance: { rel: 1e-4 },
      source: 'trapezium rule; 645.33 over the area',
      known: 'derived',
    },
    form => ({ area: formArea(form), peakRateFactor: PEAK_RATE_OF_UNIT_AREA / formArea(form) }),
  ),
  reference(
    {
      id: 'PK-UH-QP',
      quantity: 'peak of 1 mm on 1 km² with 1 h to the peak, factor 484',
      inputs: { area_m2: KM2, runoff_mm: 1, timeToPeak_h: 1 },
      expected: 0.20833,
      unit: 'm3/s',
      tolerance: { abs: 5e-5 },
      source: '¾/3.6: triangle ending at 8/3',
      known: 'derived',
    },
    i => unitPeak_m3s(i.area_m2, i.runoff_mm, i.timeToPeak_h),
  ),
  reference(
    {
      id: 'PK-UH-HDS2',
      quantity: 'time to peak and peak per mm of 1.2 km², 1.34 h, bursts of 0.133 of that',
      inputs: { area_m2: 1.2 * KM2, time_h: 1.34 },
      expected: { peakAt_h: 0.893, peak_m3s: 0.28 },
      unit: 'h; m3/s',
      tolerance: { abs: 0.002 },
      source: `${HDS2} Example 6.10`,
      known: 'published',
    },
    i => {
      const peakAt_h = timeToPeak_h(0.133 * i.time_h, i.time_h)
      return { peakAt_h, peak_m3s: unitPeak_m3s(i.area_m2, 1, peakAt_h) }
    },
  ),
  reference(
    {
      id: 'PK-UH-CUMQ-END',
      quantity: 'runoff of 92 mm on curve number 80',
      inputs: { rain_mm: 92, curveNumber: 80 },
      expected: 44,
      unit: 'mm',
      tolerance: { abs: 0.1 },
      source: `${HDS2} Example 6.11`,
      known: 'published',
    },
    i => stormRunoff_mm(i.rain_mm, i.curveNumber),
  ),
  reference(
    {
      id: 'PK-GAMMA',
      quantity: 'peak rate factors of the gamma form',
      inputs: [0.26, 1, 2, 3, 3.7, 4, 5],
      expected: [101, 238, 349, 433, 484, 504, 566],
      unit: '1',
      tolerance: { abs: 1.5 },
      source: NEH16,
      known: 'published',
    },
    powers => powers.map(peakRateOfGamma),
  ),
  reference(
    {
      id: 'PK-E2E',
      quantity: 'from hourly blocks on 0.8 ha to the hydrograph, in steps of 0.1 h',
      inputs: HILLSIDE,
      expected: { peak_m3s: 0.10653, at_h: 3, volume_m3: 421.19 },
      unit: 'm3/s; h; m3',
      tolerance: { rel: 0.0005 },
      source: 'worked by hand: curve number on the rain so far, sampled curve scaled to one',
      known: 'derived',
    },
    i => {
      const { flow } = hillside(i)
      return { peak_m3s: flow.highest_m3s, at_h: flow.highestAt_h, volume_m3: flow.volume_m3 }
    },
  ),
  reference(
    {
      id: 'PK-E2E-MASS',
      quantity: 'its flow added up over its runoff × area',
      inputs: HILLSIDE,
      expected: 1,
      unit: '1',
      tolerance: { abs: 1e-9 },
      source: 'water is conserved',
      known: 'derived',
    },
    i => {
      const { runoff, flow } = hillside(i)
      return (flow.flows_m3s.reduce((a, b) => a + b, 0) * flow.step_h * 3600) / ((totalRunoff_mm(runoff) * i.area_m2) / 1000)
    },
  ),
  reference(
    {
      id: 'PK-TRI',
      quantity: 'triangular unit hydrograph: peak and end',
      inputs: { area_m2: 8000, runoff_mm: 39.376, timeToPeak_h: 0.2 },
      expected: { peak_m3s: 0.32814, ends_h: 0.5333 },
      unit: 'm3/s; h',
      tolerance: { abs: 0.0005 },
      source: 'area of a triangle',
      known: 'derived',
    },
    i => ({
      peak_m3s: unitPeak_m3s(i.area_m2, i.runoff_mm, i.timeToPeak_h),
      ends_h: triangularForm().ends_ratio * i.timeToPeak_h,
    }),
  ),
  reference(
    {
      id: 'TC-TR55-CHANNEL/speed',
      quantity: 'speed in the course of TR-55 Example 3-1',
      inputs: COURSE,
      expected: 2.05,
      unit: 'ft/s',
      tolerance: { abs: 0.01 },
      source: `${TR55} Example 3-1`,
      known: 'published',
    },
    i => courseSpeed_ms(i) / FOOT,
  ),
]

function numbersOfWords(words: string): number[] {
  return words.trim().split(/\s+/).map(Number)
}

/** How long water takes to gather, and the peak that it makes. */
export const TIME_AND_PEAK_VALUES: readonly ReferenceValue[] = [...TIME_VALUES, ...PEAK_VALUES]
