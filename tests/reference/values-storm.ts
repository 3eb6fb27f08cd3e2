import { readPrecipitationFrequency } from '@soakline/io'
import {
  alternatingBlockStorm,
  arrangedBlocks,
  chanceOverYears,
  curveNumberRunoff,
  depthIncrements_mm,
  formulaIntensity_mmh,
  measuredHyetograph,
  type RainTable,
  rainDepth_mm,
  rainIntensity_mmh,
  rainSoFar_mm,
  SCS_TYPES,
  scsFallen_ratio,
  scsStorm,
} from 'soakline/hydrology'
import { type ReferenceValue, reference } from './reference-value.js'

const INCH = 25.4
const HDS2 = 'FHWA HDS-2, 2nd ed. (FHWA-NHI-02-001, 2002)'

const halfHours = Array.from({ length: 49 }, (_, k) => k / 2)
const numbers = (words: string): number[] => words.trim().split(/\s+/).map(Number)

/**
 * Thousandths of the 24-hour depth at half hours. Types IA, II and III as in HDS-2 (III with 216.5 at 10.5 h, its mirror is 783.5; HDS-2 prints 212).
 * Type I as in HDS-2 to 11.5 h, from 12 h on as in the version of USDA, of which the library's ordinates are.
 */
const HALF_HOURLY = {
  I: numbers(`0 8 17 26 35 45 55 65 76 87 99 112 126 140 156 174 194 219 254 303 515 583 624 655
    684 709.25 732 752.25 770 786.25 802 817.25 832 846.25 860 873.25 886 898.25 910 921.25 932 942.25 952 961.25 970 978.25 986 993.25 1000`),
  IA: numbers(`0 10 20 35 50 67 82 98 116 135 156 180 206 237 268 310 425 480 520 550 577 601 624 645
    664 683 701 719 736 753 769 785 800 815 830 844 858 871 884 896 908 920 932 944 956 967 978 989 1000`),
  II: numbers(`0 5 11 16 22 28 35 41 48 56 63 71 80 89 98 109 120 133 147 162 181 204 235 283
    663 735 772 799 820 838 854 868 880 891 902 912 921 929 937 945 952 959 965 972 978 984 989 995 1000`),
  III: numbers(`0 5 10 15 20 25 31 37 43 50 57 64 72 81 91 102 114 128 146 166 189 216.5 250 298
    500 702 750 784 811 834 854 872 886 898 910 920 928 936 943 950 957 963 969 975 981 986 991 996 1000`),
}

const BALTIMORE = { depths_mm: [76.2, 89, 99, 106.8, 113, 117.6], chancePerYear: 0.02 }
const baltimore: RainTable = {
  rows: BALTIMORE.depths_mm.map((depth_mm, k) => ({ duration_h: k + 1, chancePerYear: BALTIMORE.chancePerYear, depth_mm })),
}
const soFar = (depths_mm: readonly number[]): readonly number[] => rainSoFar_mm(measuredHyetograph(1, depths_mm, 'blocks'))

/** Rain over time. */
export const STORM_VALUES: readonly ReferenceValue[] = [
  reference(
    {
      id: 'ST-SCS24',
      quantity: 'shares of the 24-hour depth fallen at half hours',
      inputs: halfHours,
      expected: Object.fromEntries(SCS_TYPES.map(type => [type, HALF_HOURLY[type].map(thousandths => thousandths / 1000)])),
      unit: '1',
      tolerance: { abs: 0.0013 },
      source: `${HDS2} Table 6.5; Type I from 12 h by USDA`,
      known: 'published',
    },
    hours => Object.fromEntries(SCS_TYPES.map(type => [type, hours.map(t => scsFallen_ratio(type, t))])),
  ),
  reference(
    {
      id: 'ST-MAX30',
      quantity: 'largest half hour of types I, IA, II and III',
      inputs: SCS_TYPES,
      expected: [0.212, 0.115, 0.38, 0.202],
      unit: '1',
      tolerance: { abs: 0.001 },
      source: `${HDS2} Table 6.5, differenced`,
      known: 'derived',
    },
    types => types.map(type => Math.max(...scsStorm(type, 1, 0.5).depths_mm)),
  ),
  reference(
    {
      id: 'ST-MAX60',
      quantity: 'largest hour, beginning at any half hour',
      inputs: SCS_TYPES,
      expected: [0.28, 0.17, 0.452, 0.404],
      unit: '1',
      tolerance: { abs: 0.001 },
      source: `${HDS2} Table 6.5, differenced`,
      known: 'derived',
    },
    types =>
      types.map(type => {
        const { depths_mm } = scsStorm(type, 1, 0.5)
        return Math.max(...depths_mm.slice(1).map((depth, k) => depth + depths_mm[k]!))
      }),
  ),
  reference(
    {
      id: 'ST-AB-INC',
      quantity: 'hourly increments of a depth–duration curve',
      inputs: BALTIMORE.depths_mm,
      expected: [76.2, 12.8, 10, 7.8, 6.2, 4.6],
      unit: 'mm',
      tolerance: { abs: 0.01 },
      source: `${HDS2} Example 6.6`,
      known: 'published',
    },
    depthIncrements_mm,
  ),
  reference(
    {
      id: 'ST-AB-ORDER',
      quantity: 'six blocks set around the heaviest',
      inputs: [76.2, 12.8, 10, 7.8, 6.2, 4.6],
      expected: [6.2, 10, 76.2, 12.8, 7.8, 4.6],
      unit: 'mm',
      tolerance: { abs: 0.01 },
      source: `${HDS2} Table 6.6`,
      known: 'published',
    },
    blocks => arrangedBlocks(blocks),
  ),
  reference(
    {
      id: 'ST-AB-CUM',
      quantity: 'the storm of those blocks, so far, straight from the rain table',
      inputs: baltimore,
      expected: [6.2, 16.2, 92.4, 105.2, 113, 117.6],
      unit: 'mm',
      tolerance: { abs: 0.01 },
      source: `${HDS2} Table 6.6`,
      known: 'published',
    },
    table => rainSoFar_mm(alternatingBlockStorm(table, BALTIMORE.chancePerYear, 6, 1)),
  ),
  reference(
    {
      id: 'ST-INTENSITY',
      quantity: 'intensity of 0.553 in within 5 minutes',
      inputs: { rows: [{ duration_h: 5 / 60, chancePerYear: 1, depth_mm: 0.553 * INCH }] },
      expected: { in_per_h: 6.636, mm_per_h: 168.55 },
      unit: 'in/h; mm/h',
      tolerance: { abs: 0.02 },
      source: 'depth over duration',
      known: 'derived',
    },
    table => {
      const intensity = rainIntensity_mmh(table, 5 / 60, 1)
      return { in_per_h: intensity / INCH, mm_per_h: intensity }
    },
  ),
  reference(
    {
      id: 'ST-IDF-POWER',
      quantity: 'intensity by a fitted formula at 10, 30, 60 and 120 minutes',
      inputs: { formula: { a: 1200, b_min: 10, n: 0.85 }, minutes: [10, 30, 60, 120] },
      expected: [94.04, 52.17, 32.42, 19.16],
      unit: 'mm/h',
      tolerance: { abs: 0.01 },
      source: 'i = a/(t + b)^n, own constants',
      known: 'derived',
    },
    i => i.minutes.map(t => formulaIntensity_mmh(i.formula, t)),
  ),
  reference(
    {
      id: 'ST-DDF-LOGLOG',
      quantity: 'depth of 45 minutes between 40 mm in 30 and 52 mm in 60',
      inputs: {
        rows: [
          { duration_h: 0.5, chancePerYear: 0.1, depth_mm: 40 },
          { duration_h: 1, chancePerYear: 0.1, depth_mm: 52 },
        ],
      },
      expected: 46.64,
      unit: 'mm',
      tolerance: { abs: 0.01 },
      source: 'straight line over the logarithms, own numbers',
      known: 'derived',
    },
    table => rainDepth_mm(table, 0.75, 0.1),
  ),
  reference(
    {
      id: 'ST-DERIVED-CUMQ',
      quantity: 'runoff so far of six hourly blocks on curve number 74',
      inputs: [6.2, 10, 76.2, 12.8, 7.8, 4.6],
      expected: [0, 0, 33.932, 43.208, 49.1, 52.649],
      unit: 'mm',
      tolerance: { abs: 0.002 },
      source: 'runoff equation of TR-55 on the rain so far',
      known: 'derived',
    },
    blocks => soFar(curveNumberRunoff(measuredHyetograph(1, blocks, 'blocks'), 74).depths_mm),
  ),
  reference(
    {
      id: 'PK-UH-CUMQ',
      quantity: 'runoff so far of six two-hourly blocks on curve number 80',
      inputs: [8, 14, 28, 24, 12, 6],
      expected: [0, 1.2, 13.8, 30.1, 39.3, 44],
      unit: 'mm',
      tolerance: { abs: 0.06 },
      source: `${HDS2} Example 6.11, Table 6.12`,
      known: 'published',
    },
    blocks => soFar(curveNumberRunoff(measuredHyetograph(2, blocks, 'blocks'), 80).depths_mm),
  ),
  reference(
    {
      id: 'LG-RISK',
      quantity: 'chance of at least one 10-year storm in 10 years, 25 in 10, 100 in 10, 100 in 30',
      inputs: [
        [10, 10],
        [25, 10],
        [100, 10],
        [100, 30],
      ] as const,
      expected: [0.6513, 0.3352, 0.0956, 0.2603],
      unit: '1',
      tolerance: { abs: 0.0001 },
      source: '1 − (1 − 1/T)ⁿ',
      known: 'derived',
    },
    pairs => pairs.map(([interval, years]) => chanceOverYears(1 / interval, years)),
  ),
  reference(
    {
      id: 'ST-ATLAS14',
      quantity: 'depths of 24 h at a point, read from its file, and the chance of a 10-year interval among all large storms',
      inputs: {
        text: `Point precipitation frequency estimates (inches)
NOAA Atlas 14 Volume 9 Version 2
Data type: Precipitation depth
Time series type: Partial duration

PRECIPITATION FREQUENCY ESTIMATES
by duration for ARI (years):, 1,2,5,10,25,50,100,200,500,1000
24-hr:, 4.01,4.76,6.09,7.28,9.05,10.5,12.1,13.7,16.1,18.0
`,
      },
      expected: { depths_in: [4.01, 4.76, 6.09, 7.28, 9.05, 10.5, 12.1, 13.7, 16.1, 18], tenYears: 0.0951626 },
      unit: 'in; 1',
      tolerance: { abs: 1e-7 },
      source: 'NOAA Atlas 14, Volume 9, 26.6 N 81.9 W, point file; 1 − e^(−1/T)',
      known: 'published',
    },
    i => {
      const { rows } = readPrecipitationFrequency(i.text)
      return { depths_in: rows.map(row => row.depth_mm / INCH), tenYears: rows[3]!.chancePerYear }
    },
  ),
]
