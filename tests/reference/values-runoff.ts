import {
  type CoverCondition,
  compositeCurveNumber,
  connectedImperviousCurveNumber,
  curveNumber,
  curveNumberAtRatio005,
  curveNumberOfRetention,
  retention_mm,
  retentionFromStorm_mm,
  stormRunoff_mm,
  unconnectedImperviousCurveNumber,
  weightedRunoff_mm,
  wetnessCurveNumber,
  wetnessCurveNumberByFormula,
} from '../../packages/soakline/src/hydrology/index.js'
import { type ReferenceValue, reference } from './reference-value.js'

const INCH = 25.4
const runoff_in = (rain_in: number, curveNumber: number, ratio?: number): number =>
  stormRunoff_mm(rain_in * INCH, curveNumber, ratio) / INCH
const retention_in = (curveNumber: number, ratio?: number): number => retention_mm(curveNumber, ratio) / INCH

const TR55 = 'USDA TR-55 (1986)'
const NEH10 = 'USDA-NRCS National Engineering Handbook, Part 630, ch. 10 (2004)'
const EQUATION = 'runoff equation of TR-55 in mm'

/** One storm on one curve number, inches: [id, rain, curve number, runoff, source]. */
const singleStorms = (
  [
    ['CN-TR55-2-1', 6, 70, 2.81, `${TR55} Example 2-1`],
    ['CN-TR55-2-2', 6, 75, 3.28, `${TR55} Example 2-2`],
    ['CN-TR55-2-3', 6, 77, 3.48, `${TR55} Example 2-3`],
    ['CN-TR55-2-4', 6, 74, 3.19, `${TR55} Example 2-4`],
    ['CN-NEH10-ARC-II', 4.3, 74, 1.82, `${NEH10} Examples 10-1 and 10-2`],
    ['CN-NEH10-ARC-I', 4.3, 55, 0.65, `${NEH10} Examples 10-1 and 10-2`],
    ['CN-NEH10-ARC-III', 4.3, 88, 3.01, `${NEH10} Examples 10-1 and 10-2`],
    ['CN-NEH10-4a', 5.1, 73, 2.36, `${NEH10} Example 10-4`],
    ['CN-NEH10-4b', 5.1, 72.8, 2.34, `${NEH10} Example 10-4`],
    ['CN-STORM80', 5, 80, 2.89, `${NEH10} Table 10-2, last row`],
  ] as const
).map(([id, rain_in, curveNumber, expected, source]) =>
  reference(
    {
      id,
      quantity: `runoff of ${rain_in} in of rain on curve number ${curveNumber}`,
      inputs: { rain_in, curveNumber },
      expected,
      unit: 'in',
      tolerance: { abs: 0.006 },
      source,
      known: 'published',
    },
    i => runoff_in(i.rain_in, i.curveNumber),
  ),
)

/** Five storms in mm on one curve number. */
const metricStorms = (
  [
    [61, [0, 1.71, 8.82, 19.83, 49.34]],
    [74, [0.53, 8.52, 22.31, 39.38, 78.88]],
    [80, [2, 13.8, 30.85, 50.54, 93.88]],
    [86, [4.82, 20.96, 41.2, 63.23, 109.72]],
  ] as const
).map(([curveNumber, expected]) =>
  reference(
    {
      id: `CN-SI-${curveNumber}`,
      quantity: `runoff of 25 to 150 mm of rain on curve number ${curveNumber}`,
      inputs: [25, 50, 75, 100, 150],
      expected,
      unit: 'mm',
      tolerance: { abs: 0.006 },
      source: EQUATION,
      known: 'derived',
    },
    rains => rains.map(rain => stormRunoff_mm(rain, curveNumber)),
  ),
)

/** Columns of TR-55 Table 2-1. */
const TABLE_2_1_NUMBERS = [40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 98]

/** Rows of TR-55 Table 2-1, inches of rain then of runoff. The cell 7.0 in, curve number 50 holds 1.67, not the 1.68 that is printed. */
const TABLE_2_1: readonly (readonly [rain_in: number, runoff_in: readonly number[]])[] = [
  [1, [0, 0, 0, 0, 0, 0, 0, 0.03, 0.08, 0.17, 0.32, 0.56, 0.79]],
  [1.2, [0, 0, 0, 0, 0, 0, 0.03, 0.07, 0.15, 0.27, 0.46, 0.74, 0.99]],
  [1.4, [0, 0, 0, 0, 0, 0.02, 0.06, 0.13, 0.24, 0.39, 0.61, 0.92, 1.18]],
  [1.6, [0, 0, 0, 0, 0.01, 0.05, 0.11, 0.2, 0.34, 0.52, 0.76, 1.11, 1.38]],
  [1.8, [0, 0, 0, 0, 0.03, 0.09, 0.17, 0.29, 0.44, 0.65, 0.93, 1.29, 1.58]],
  [2, [0, 0, 0, 0.02, 0.06, 0.14, 0.24, 0.38, 0.56, 0.8, 1.09, 1.48, 1.77]],
  [2.5, [0, 0, 0.02, 0.08, 0.17, 0.3, 0.46, 0.65, 0.89, 1.18, 1.53, 1.96, 2.27]],
  [3, [0, 0.02, 0.09, 0.19, 0.33, 0.51, 0.71, 0.96, 1.25, 1.59, 1.98, 2.45, 2.77]],
  [3.5, [0.02, 0.08, 0.2, 0.35, 0.53, 0.75, 1.01, 1.3, 1.64, 2.02, 2.45, 2.94, 3.27]],
  [4, [0.06, 0.18, 0.33, 0.53, 0.76, 1.03, 1.33, 1.67, 2.04, 2.46, 2.92, 3.43, 3.77]],
  [4.5, [0.14, 0.3, 0.5, 0.74, 1.02, 1.33, 1.67, 2.05, 2.46, 2.91, 3.4, 3.92, 4.26]],
  [5, [0.24, 0.44, 0.69, 0.98, 1.3, 1.65, 2.04, 2.45, 2.89, 3.37, 3.88, 4.42, 4.76]],
  [6, [0.5, 0.8, 1.14, 1.52, 1.92, 2.35, 2.81, 3.28, 3.78, 4.3, 4.85, 5.41, 5.76]],
  [7, [0.84, 1.24, 1.67, 2.12, 2.6, 3.1, 3.62, 4.15, 4.69, 5.25, 5.82, 6.41, 6.76]],
  [8, [1.25, 1.74, 2.25, 2.78, 3.33, 3.89, 4.46, 5.04, 5.63, 6.21, 6.81, 7.4, 7.76]],
  [9, [1.71, 2.29, 2.88, 3.49, 4.1, 4.72, 5.33, 5.95, 6.57, 7.18, 7.79, 8.4, 8.76]],
  [10, [2.23, 2.89, 3.56, 4.23, 4.9, 5.56, 6.22, 6.88, 7.52, 8.16, 8.78, 9.4, 9.76]],
  [11, [2.78, 3.52, 4.26, 5, 5.72, 6.43, 7.13, 7.81, 8.48, 9.13, 9.77, 10.39, 10.76]],
  [12, [3.38, 4.19, 5, 5.79, 6.56, 7.32, 8.05, 8.76, 9.45, 10.11, 10.76, 11.39, 11.76]],
  [13, [4, 4.89, 5.76, 6.61, 7.42, 8.21, 8.98, 9.71, 10.42, 11.1, 11.76, 12.39, 12.76]],
  [14, [4.65, 5.62, 6.55, 7.44, 8.3, 9.12, 9.91, 10.67, 11.39, 12.08, 12.75, 13.39, 13.76]],
  [15, [5.33, 6.36, 7.35, 8.29, 9.19, 10.04, 10.85, 11.63, 12.37, 13.07, 13.74, 14.39, 14.76]],
]

/** Dry, average and wet by NEH Table 10-1, ten average numbers a row from 30 to 98. Written apart from the library's own copy. */
const ARC_BY_TENS: readonly (readonly [first: number, dry: string, wet: string])[] = [
  [30, '15 16 16 17 18 18 19 20 21 21', '50 51 52 53 54 55 56 57 58 59'],
  [40, '22 23 24 25 25 26 27 28 29 30', '60 61 62 63 64 65 66 67 68 69'],
  [50, '31 31 32 33 34 35 36 37 38 39', '70 70 71 72 73 74 75 75 76 77'],
  [60, '40 41 42 43 44 45 46 47 48 50', '78 78 79 80 81 82 82 83 84 84'],
  [70, '51 52 53 54 55 57 58 59 60 62', '85 86 86 87 88 88 89 89 90 91'],
  [80, '63 64 66 67 68 70 72 73 75 76', '91 92 92 93 93 94 94 95 95 96'],
  [90, '78 80 81 83 85 87 89 91 94', '96 97 97 98 98 98 99 99 99'],
]
const numbers = (words: string): number[] => words.split(' ').map(Number)

/** Cover, condition, curve numbers of soil groups A to D by TR-55 Table 2-2. Written apart from the library's own copy. */
const COVERS_BY_LINE = `
  pasture poor 68 79 86 89
  pasture fair 49 69 79 84
  pasture good 39 61 74 80
  meadow - 30 58 71 78
  brush poor 48 67 77 83
  brush fair 35 56 70 77
  brush good 30 48 65 73
  woods-grass poor 57 73 82 86
  woods-grass fair 43 65 76 82
  woods-grass good 32 58 72 79
  woods poor 45 66 77 83
  woods fair 36 60 73 79
  woods good 30 55 70 77
  farmstead - 59 74 82 86
  fallow-bare - 77 86 91 94
  newly-graded - 77 86 91 94
  row-crop-straight poor 72 81 88 91
  row-crop-straight good 67 78 85 89
  row-crop-contoured poor 70 79 84 88
  row-crop-contoured good 65 75 82 86
  row-crop-contoured-terraced poor 66 74 80 82
  row-crop-contoured-terraced good 62 71 78 81
  small-grain-straight poor 65 76 84 88
  small-grain-straight good 63 75 83 87
  small-grain-contoured poor 63 74 82 85
  small-grain-contoured good 61 73 81 84
  rotation-meadow-straight poor 66 77 85 89
  rotation-meadow-straight good 58 72 81 85
  rotation-meadow-contoured poor 64 75 83 85
  rotation-meadow-contoured good 55 69 78 83
  lawn poor 68 79 86 89
  lawn fair 49 69 79 84
  lawn good 39 61 74 80
  gravel-road - 76 85 89 91
  dirt-road - 72 82 87 89
  impervious - 98 98 98 98
`
  .trim()
  .split('\n')
  .map(line => line.trim().split(' '))

/** Rain that becomes runoff: curve numbers. */
export const RUNOFF_VALUES: readonly ReferenceValue[] = [
  ...singleStorms,
  ...metricStorms,
  reference(
    {
      id: 'CN-TABLE-2-1',
      quantity: 'runoff of 22 rains on 13 curve numbers',
      inputs: TABLE_2_1,
      expected: TABLE_2_1.map(([, runoff]) => runoff),
      unit: 'in',
      tolerance: { abs: 0.0055 },
      source: `${TR55} Table 2-1`,
      known: 'published',
    },
    rows => rows.map(([rain]) => TABLE_2_1_NUMBERS.map(curveNumber => runoff_in(rain, curveNumber))),
  ),
  reference(
    {
      id: 'CN-TABLE-2-2',
      quantity: 'curve numbers of all covers, conditions and soil groups',
      inputs: COVERS_BY_LINE.map(([cover, condition]) => [cover!, condition === '-' ? null : (condition as CoverCondition)] as const),
      expected: COVERS_BY_LINE.map(words => words.slice(2).map(Number)),
      unit: '1',
      tolerance: { abs: 0 },
      source: `${TR55} Table 2-2a–d`,
      known: 'published',
    },
    rows => rows.map(([cover, condition]) => (['A', 'B', 'C', 'D'] as const).map(group => curveNumber(cover, condition, group).value)),
  ),
  reference(
    {
      id: 'CN-NEH10-3',
      quantity: 'runoff of two covers weighted by area',
      inputs: {
        rain_in: 5.1,
        covers: [
          { area_m2: 400, curveNumber: 75 },
          { area_m2: 230, curveNumber: 69 },
        ],
      },
      expected: 2.35,
      unit: 'in',
      tolerance: { abs: 0.006 },
      source: `${NEH10} Example 10-3`,
      known: 'published',
    },
    i => weightedRunoff_mm(i.rain_in * INCH, i.covers) / INCH,
  ),
  reference(
    {
      id: 'CN-NEH10-5',
      quantity: 'runoff of six rains on the weighted curve number 67',
      inputs: [1, 2, 4, 6, 8, 10],
      expected: [0, 0.17, 1.15, 2.53, 4.12, 5.83],
      unit: 'in',
      tolerance: { abs: 0.006 },
      source: `${NEH10} Example 10-5`,
      known: 'published',
    },
    rains => rains.map(rain => runoff_in(rain, 67)),
  ),
  reference(
    {
      id: 'CN-WEIGHTQ',
      quantity: 'runoff of six rains on four covers weighted by area: more than the weighted curve number gives',
      inputs: {
        rains_in: [1, 2, 4, 6, 8, 10],
        covers: [
          { area_m2: 25.7, curveNumber: 30 },
          { area_m2: 379.6, curveNumber: 58 },
          { area_m2: 440, curveNumber: 75 },
          { area_m2: 56, curveNumber: 86 },
        ],
      },
      expected: [0.027, 0.255, 1.252, 2.618, 4.177, 5.85],
      unit: 'in',
      tolerance: { abs: 0.002 },
      source: `inputs of ${NEH10} Example 10-5`,
      known: 'derived',
    },
    i => i.rains_in.map(rain => weightedRunoff_mm(rain * INCH, i.covers) / INCH),
  ),
  reference(
    {
      id: 'CN-S-RETENTION',
      quantity: 'potential retention in inches',
      inputs: [60, 70, 74, 75, 80, 90],
      expected: [6.6667, 4.2857, 3.5135, 3.3333, 2.5, 1.1111],
      unit: 'in',
      tolerance: { abs: 0.0002 },
      source: `${TR55} eq. 2-4`,
      known: 'derived',
    },
    all => all.map(curveNumber => retention_in(curveNumber)),
  ),
  reference(
    {
      id: 'CN-S-RETENTION-SI',
      quantity: 'potential retention in mm',
      inputs: [60, 70, 74, 75, 80, 90],
      expected: [169.333, 108.857, 89.243, 84.667, 63.5, 28.222],
      unit: 'mm',
      tolerance: { abs: 0.002 },
      source: `${TR55} eq. 2-4, × 25.4`,
      known: 'derived',
    },
    all => all.map(curveNumber => retention_mm(curveNumber)),
  ),
  reference(
    {
      id: 'CN-THRESH',
      quantity: 'no runoff until rain exceeds 0.2 S = 32.479 mm on curve number 61',
      inputs: [10, 25, 32.4, 32.6, 40],
      expected: [0, 0, 0, 9.06e-5, 0.33293],
      unit: 'mm',
      tolerance: { abs: 1e-5 },
      source: EQUATION,
      known: 'derived',
    },
    rains => rains.map(rain => stormRunoff_mm(rain, 61)),
  ),
  reference(
    {
      id: 'CN-IA-ROUND',
      quantity: 'initial abstraction',
      inputs: [60, 70, 75, 80, 90],
      expected: [1.333, 0.857, 0.667, 0.5, 0.222],
      unit: 'in',
      tolerance: { abs: 0.0006 },
      source: `${TR55} Table 4-1`,
      known: 'published',
    },
    all => all.map(curveNumber => 0.2 * retention_in(curveNumber)),
  ),
  reference(
    {
      id: 'CN-ARC-TABLE',
      quantity: 'curve numbers on dry and wet ground, 30 to 98',
      inputs: ARC_BY_TENS,
      expected: { dry: ARC_BY_TENS.flatMap(([, dry]) => numbers(dry)), wet: ARC_BY_TENS.flatMap(([, , wet]) => numbers(wet)) },
      unit: '1',
      tolerance: { abs: 0 },
      source: `${NEH10} Table 10-1`,
      known: 'published',
    },
    rows => {
      const average = rows.flatMap(([first, dry]) => numbers(dry).map((_, k) => first + k))
      return { dry: average.map(n => wetnessCurveNumber(n, 'I')), wet: average.map(n => wetnessCurveNumber(n, 'III')) }
    },
  ),
  reference(
    {
      id: 'CN-ARC-FORMULA',
      quantity: 'curve numbers on dry and wet ground by formula',
      inputs: [60, 74, 90],
      expected: { dry: [39.67, 55.51, 79.77], wet: [77.84, 86.96, 95.47] },
      unit: '1',
      tolerance: { abs: 0.02 },
      source: 'Mishra & Singh (2003) eq. 3.145, as quoted by USGS',
      known: 'published',
    },
    all => ({ dry: all.map(n => wetnessCurveNumberByFormula(n, 'I')), wet: all.map(n => wetnessCurveNumberByFormula(n, 'III')) }),
  ),
  reference(
    {
      id: 'CN-COMP-CONN',
      quantity: 'curve number with 20 % connected roofs on 61 (printed as 68)',
      inputs: { pervious: 61, impervious_ratio: 0.2 },
      expected: 68.4,
      unit: '1',
      tolerance: { abs: 0.05 },
      source: `${TR55} fig. 2-3`,
      known: 'published',
    },
    i => connectedImperviousCurveNumber(i.pervious, i.impervious_ratio),
  ),
  reference(
    {
      id: 'CN-COMP-UNC',
      quantity: 'curve number with 20 % roofs on 61, three quarters of them unconnected (printed as 66)',
      inputs: { pervious: 61, impervious_ratio: 0.2, unconnected_ratio: 0.75 },
      expected: 65.6,
      unit: '1',
      tolerance: { abs: 0.05 },
      source: `${TR55} fig. 2-4`,
      known: 'published',
    },
    i => unconnectedImperviousCurveNumber(i.pervious, i.impervious_ratio, i.unconnected_ratio),
  ),
  reference(
    {
      id: 'CN-WEIGHT-2-1',
      quantity: 'curve number of two covers weighted by area (then rounded to 70)',
      inputs: [
        { area_m2: 30, curveNumber: 61 },
        { area_m2: 70, curveNumber: 74 },
      ],
      expected: 70.1,
      unit: '1',
      tolerance: { abs: 0.01 },
      source: `${TR55} Example 2-1`,
      known: 'published',
    },
    compositeCurveNumber,
  ),
  reference(
    {
      id: 'CN-L05-S',
      quantity: 'retention at an initial abstraction of 0.05 S',
      inputs: [60, 70, 74, 80, 90],
      expected: [11.785, 7.091, 5.642, 3.815, 1.501],
      unit: 'in',
      tolerance: { abs: 0.002 },
      source: 'Woodward et al. (2003) eq. 8, as quoted by USGS',
      known: 'published',
    },
    all => all.map(n => retention_in(n, 0.05)),
  ),
  reference(
    {
      id: 'CN-L05-CN',
      quantity: 'curve number at an initial abstraction of 0.05 S',
      inputs: [60, 70, 74, 75, 80, 85, 90],
      expected: [45.9, 58.51, 63.93, 65.31, 72.39, 79.64, 86.95],
      unit: '1',
      tolerance: { abs: 0.02 },
      source: 'Woodward et al. (2003); Hawkins et al.',
      known: 'published',
    },
    all => all.map(curveNumberAtRatio005),
  ),
  reference(
    {
      id: 'CN-L05-Q',
      quantity: 'runoff on curve number 74 at an initial abstraction of 0.05 S',
      inputs: [1, 2, 4],
      expected: [0.081, 0.401, 1.477],
      unit: 'in',
      tolerance: { abs: 0.001 },
      source: 'Woodward et al. (2003) eq. 8 in the runoff equation',
      known: 'derived',
    },
    rains => rains.map(rain => runoff_in(rain, 74, 0.05)),
  ),
  reference(
    {
      id: 'CN-L05-KCONV',
      quantity: 'constant of that conversion when S is in mm',
      inputs: { curveNumber: 74 },
      expected: 0.8188,
      unit: 'mm^-0.15',
      tolerance: { abs: 0.0005 },
      source: '1.33 × 25.4^(1 − 1.15)',
      known: 'derived',
    },
    i => retention_mm(i.curveNumber, 0.05) / retention_mm(i.curveNumber) ** 1.15,
  ),
  reference(
    {
      id: 'CN-INVERSE',
      quantity: 'retention and curve number from a storm and its runoff',
      inputs: { rain_in: 4.3, runoff_in: 1.82 },
      expected: { retention_in: 3.513, curveNumber: 74 },
      unit: 'in; 1',
      tolerance: { abs: 0.01 },
      source: 'runoff equation solved for S',
      known: 'derived',
    },
    i => {
      const retention = retentionFromStorm_mm(i.rain_in * INCH, i.runoff_in * INCH)
      return { retention_in: retention / INCH, curveNumber: curveNumberOfRetention(retention) }
    },
  ),
]
