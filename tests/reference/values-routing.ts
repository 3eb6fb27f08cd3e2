import {
  averageEndArea_m3,
  type PoolRouting,
  powerByRoots,
  prismoidal_m3,
  routePool,
  storageIndication,
  storageShare_ratio,
  triangularStorage_m3,
  wedgeStorage_m2,
} from 'soakline/earthworks'
import { curveNumberRunoff, dividedHyetograph, measuredHyetograph, runoffHydrograph } from 'soakline/hydrology'
import { type ReferenceValue, reference } from './reference-value.js'

const HDS2 = 'FHWA HDS-2 2nd ed. (FHWA-NHI-02-001, 2002)'
const HEC22 = 'FHWA HEC-22 3rd ed. (FHWA-NHI-10-009, 2009)'
const TR55 = 'USDA SCS TR-55 (1986)'

const rating = (storage_m3: readonly number[], outflow_m3s: readonly number[]) =>
  storage_m3.map((storage, k) => ({ storage_m3: storage, outflow_m3s: outflow_m3s[k]! }))

const HDS2_INFLOW = [0, 0.3, 0.6, 0.85, 1.1, 1.4, 1.7, 1.4, 1.1, 0.85, 0.6, 0.3, 0]
const HDS2_STORAGE = [0, 200, 500, 900, 1400, 2100, 3400, 4000, 4700, 5400]

const WEIR_POND_INFLOW = [
  0, 0.03, 0.06, 0.08, 0.11, 0.14, 0.17, 0.2, 0.25, 0.4, 0.59, 1.19, 2.41, 3.65, 3.71, 2.55, 1.56, 1.05, 0.76, 0.57, 0.42, 0.37,
]
const weirPond = (
  [
    ['0.5', 0.5, 1.296, 4522],
    ['0.6', 0.6, 1.453, 4317],
  ] as const
).map(([name, length_m, peak_m3s, most_m3]) =>
  reference(
    {
      id: `RT-HDS2-8-11-${name}`,
      quantity: `pond with a weir of ${name} m by storage-indication, rating every 0.15 m`,
      inputs: { inflow: WEIR_POND_INFLOW, step_s: 360, tableStep_m: 0.15, length_m },
      expected: { peak_m3s, most_m3 },
      unit: 'm3/s; m3',
      tolerance: { rel: 0.001 },
      source: `${HDS2} Example 8.11`,
      known: 'published',
    },
    i => {
      const heads = Array.from({ length: 15 }, (_, k) => k * i.tableStep_m)
      const rows = rating(
        heads.map(h => 3256 * powerByRoots(h, 1.027)),
        heads.map(h => 1.705 * 0.94 * i.length_m * h * Math.sqrt(h)),
      )
      const routed = storageIndication(rows, i.inflow, i.step_s)
      return { peak_m3s: Math.max(...routed.outflow_m3s), most_m3: Math.max(...routed.storage_m3) }
    },
  ),
)

/** The hillside of PK-E2E into a level swale of 120 m on 8 %, sill of 6 m at 0.35 m. */
const SWALE = { length_m: 120, slope_ratio: 0.08, innerSlope_ratio: 2, sill_m: 0.35, sillLength_m: 6, coefficient: 1.45, follow_h: 24 }
function swale(i: typeof SWALE, parts: number): PoolRouting {
  const rain = dividedHyetograph(measuredHyetograph(1, [6.2, 10, 76.2, 12.8, 7.8, 4.6], 'blocks'), 10)
  const flow = runoffHydrograph(curveNumberRunoff(rain, 74), 8000, 0.25)
  const levels = Array.from({ length: 241 }, (_, k) => ({
    level_m: k * 0.0025,
    storage_m3: i.length_m * wedgeStorage_m2(k * 0.0025, i.slope_ratio, i.innerSlope_ratio),
    soak_m3s: 0,
  }))
  const outlets = [{ crest_m: i.sill_m, length_m: i.sillLength_m, coefficient: i.coefficient }]
  return routePool(
    { levels, outlets, crest_m: 0.6 },
    { step_s: flow.step_h * 3600, flows_m3s: flow.flows_m3s },
    { partsPerStep: parts, follow_h: i.follow_h },
  )
}

/** Pools: routing by the handbook and by our own way, first estimates of storage. */
export const ROUTING_VALUES: readonly ReferenceValue[] = [
  reference(
    {
      id: 'RT-HDS2-7-2a',
      quantity: 'storage-indication through a pipe of 600 mm',
      inputs: { rows: rating(HDS2_STORAGE, [0, 0.12, 0.36, 0.57, 0.74, 0.88, 0.99, 1.46, 2.33, 3.45]), inflow: HDS2_INFLOW, step_s: 1800 },
      expected: { outflow: [0, 0.11, 0.38, 0.59, 0.76, 0.89, 0.99, 1.44, 1.28, 1.03, 0.95, 0.88, 0.62], most_m3: 3969 },
      unit: 'm3/s; m3',
      tolerance: { abs: 0.011, rel: 0.001 },
      source: `${HDS2} Example 7.2(SI)`,
      known: 'published',
    },
    i => {
      const { outflow_m3s, storage_m3 } = storageIndication(i.rows, i.inflow, i.step_s)
      return { outflow: outflow_m3s, most_m3: Math.max(...storage_m3) }
    },
  ),
  reference(
    {
      id: 'RT-HDS2-7-2b',
      quantity: 'the same through a pipe of 900 mm',
      inputs: { rows: rating(HDS2_STORAGE, [0, 0.17, 0.51, 0.99, 1.42, 1.73, 1.98, 2.45, 3.32, 4.44]), inflow: HDS2_INFLOW, step_s: 1800 },
      expected: { peak_m3s: 1.52, most_m3: 1623 },
      unit: 'm3/s; m3',
      tolerance: { abs: 0.006, rel: 0.001 },
      source: `${HDS2} Example 7.2(SI)`,
      known: 'published',
    },
    i => {
      const { outflow_m3s, storage_m3 } = storageIndication(i.rows, i.inflow, i.step_s)
      return { peak_m3s: Math.max(...outflow_m3s), most_m3: Math.max(...storage_m3) }
    },
  ),
  ...weirPond,
  reference(
    {
      id: 'RT-HEC22-8-9',
      quantity: 'basin with a riser and a spillway',
      inputs: {
        rows: rating(
          [0, 35, 72, 109, 155, 199, 248, 299, 353, 414, 470, 540, 600, 672, 744, 824, 902, 986, 1075, 1160, 1264],
          [
            0, 0.006, 0.011, 0.018, 0.024, 0.028, 0.032, 0.035, 0.038, 0.171, 0.303, 0.378, 0.418, 0.464, 0.503, 0.53, 0.587, 1.15, 1.771,
            2.069, 2.284,
          ],
        ),
        inflow: [
          0, 0.04, 0.07, 0.12, 0.18, 0.33, 0.49, 0.67, 0.81, 0.88, 0.86, 0.79, 0.69, 0.57, 0.48, 0.39, 0.32, 0.26, 0.22, 0.18, 0.15, 0.11,
          0.09, 0.05, 0.03, 0, 0, 0, 0, 0,
        ],
        // 0.057 h.
        step_s: 205.2,
      },
      expected: { peak_m3s: 0.5176, most_m3: 787.2 },
      unit: 'm3/s; m3',
      tolerance: { rel: 0.001 },
      source: `${HEC22} Example 8-9, worked again from its table; it prints 0.52 and 794`,
      known: 'published',
    },
    i => {
      const { outflow_m3s, storage_m3 } = storageIndication(i.rows, i.inflow, i.step_s)
      return { peak_m3s: Math.max(...outflow_m3s), most_m3: Math.max(...storage_m3) }
    },
  ),
  reference(
    {
      id: 'RT-RECESSION',
      quantity: 'level of an upright pond of 200 m² over a weir of 2 m after 60, 600 and 3600 s, from 0.3 m',
      inputs: { start_m: 0.3, area_m2: 200, weir: { crest_m: 0, length_m: 2, coefficient: 1.7 }, times_s: [60, 600, 3600] },
      expected: [0.18329, 0.020848, 0.00095109],
      unit: 'm',
      tolerance: { rel: 0.0005 },
      source: '(h₀^−½ + C L t/(2A))^−2',
      known: 'derived',
    },
    i => {
      const levels = [0, 1].map(level_m => ({ level_m, storage_m3: level_m * i.area_m2, soak_m3s: 0 }))
      const routed = routePool(
        { levels, outlets: [i.weir], crest_m: 1 },
        { step_s: 60, flows_m3s: Array.from({ length: 61 }, () => 0) },
        { start_m: i.start_m, partsPerStep: 30, follow_h: 0 },
      )
      return i.times_s.map(t => routed.levels_m[t / 60]!)
    },
  ),
  reference(
    {
      id: 'RT-LINEAR',
      quantity: 'linear reservoir of 1800 s under a steady inflow of 1 m³/s after 900, 1800 and 3600 s',
      inputs: { delay_s: 1800, step_s: 9, times_s: [900, 1800, 3600] },
      expected: [0.39347, 0.63212, 0.86466],
      unit: 'm3/s',
      tolerance: { abs: 1e-4 },
      source: '1 − e^(−t/K)',
      known: 'derived',
    },
    i => {
      const rows = rating([0, 2 * i.delay_s], [0, 2])
      const routed = storageIndication(
        rows,
        Array.from({ length: 401 }, () => 1),
        i.step_s,
      )
      return i.times_s.map(t => routed.outflow_m3s[t / i.step_s]!)
    },
  ),
  reference(
    {
      id: 'RT-LINEAR-PULS',
      quantity: 'the same by storage-indication in steps of 600 s',
      inputs: { delay_s: 1800, step_s: 600 },
      expected: [0.28571, 0.4898, 0.63557],
      unit: 'm3/s',
      tolerance: { abs: 2e-5 },
      source: 'O₂ = ((2K − Δt) O₁ + Δt (I₁ + I₂))/(2K + Δt)',
      known: 'derived',
    },
    i => storageIndication(rating([0, 2 * i.delay_s], [0, 2]), [1, 1, 1, 1], i.step_s).outflow_m3s.slice(1),
  ),
  reference(
    {
      id: 'RT-VSVR-II',
      quantity: 'share of the runoff to store for a peak cut to 0.5, 0.527 and 0.625, storms II and III',
      inputs: { ratios: [0.5, 0.527, 0.625] },
      expected: [0.2765, 0.2662, 0.2326],
      unit: '1',
      tolerance: { abs: 0.0002 },
      source: `${TR55} Figure 6-1 and Appendix F`,
      known: 'published',
    },
    i => i.ratios.map(r => storageShare_ratio(r, 'II-III')),
  ),
  reference(
    {
      id: 'RT-VSVR-I',
      quantity: 'share of the runoff to store for half the peak, storms I and IA',
      inputs: { ratio: 0.5 },
      expected: 0.17875,
      unit: '1',
      tolerance: { abs: 0.0002 },
      source: `${TR55} Appendix F`,
      known: 'published',
    },
    i => storageShare_ratio(i.ratio, 'I-IA'),
  ),
  reference(
    {
      id: 'RT-TR55-6-1',
      quantity: 'storage for a peak cut to half, 21.2 acre-feet of runoff',
      inputs: { runoff_acft: 21.2, peakRatio: 180 / 360 },
      expected: 5.9,
      unit: 'acre-ft',
      tolerance: { abs: 0.05 },
      source: `${TR55} Example 6-1, which reads 0.28 off the figure`,
      known: 'published',
    },
    i => i.runoff_acft * storageShare_ratio(i.peakRatio, 'II-III'),
  ),
  reference(
    {
      id: 'RT-TRI-STORE',
      quantity: 'storage between triangles of inflow and outflow',
      inputs: { base_s: 5148, in_m3s: 0.88, out_m3s: 0.55 },
      expected: 849,
      unit: 'm3',
      tolerance: { abs: 1 },
      source: `${HEC22} ch. 8`,
      known: 'published',
    },
    i => triangularStorage_m3(i.base_s, i.in_m3s, i.out_m3s),
  ),
  reference(
    {
      id: 'RT-POND-TRAP',
      quantity: 'basin 20 × 10 m, 1.5 m deep, sides 2:1: by the prismoidal rule and by end areas',
      inputs: { length_m: 20, width_m: 10, depth_m: 1.5, z: 2 },
      expected: { exact_m3: 453, averageEndArea_m3: 462 },
      unit: 'm3',
      tolerance: { abs: 0.01 },
      source: `${HEC22} ch. 8: L W D + (L + W) z D² + 4/3 z² D³`,
      known: 'published',
    },
    i => {
      const area = (depth: number): number => (i.length_m + 2 * i.z * depth) * (i.width_m + 2 * i.z * depth)
      return {
        exact_m3: prismoidal_m3(area(0), area(i.depth_m / 2), area(i.depth_m), i.depth_m),
        averageEndArea_m3: averageEndArea_m3([area(0), area(i.depth_m)], i.depth_m),
      }
    },
  ),
  reference(
    {
      id: 'RT-ROUTE-STAGE-AREA',
      quantity: 'storage from the areas of contours 1 m apart',
      inputs: { areas_m2: [0, 490, 1740, 4290, 6880, 10320, 12830, 15500, 19870] },
      expected: 61985,
      unit: 'm3',
      tolerance: { abs: 1 },
      source: `${HDS2} Example 8.9`,
      known: 'published',
    },
    i => averageEndArea_m3(i.areas_m2, 1),
  ),
  reference(
    {
      id: 'RT-E2E',
      quantity: 'from hourly rain on 0.8 ha to the spill of a level swale of 120 m on 8 %, in steps of 360 s',
      inputs: SWALE,
      expected: { capacity_m3: 106.575, peak_m3s: 0.1003, highest_m: 0.401, spilled_m3: 314.6 },
      unit: 'm3; m3/s; m',
      tolerance: { rel: 0.001 },
      source: 'worked by hand; water level solved for exactly',
      known: 'derived',
    },
    i => {
      const routed = swale(i, 1)
      return {
        capacity_m3: i.length_m * wedgeStorage_m2(i.sill_m, i.slope_ratio, i.innerSlope_ratio),
        peak_m3s: Math.max(...routed.spills_m3s),
        highest_m: routed.highest_m,
        spilled_m3: routed.spilled_m3,
      }
    },
  ),
  reference(
    {
      id: 'RT-E2E/fine',
      quantity: 'the same in steps of 36 s',
      inputs: SWALE,
      expected: { peak_m3s: 0.1001, highest_m: 0.401 },
      unit: 'm3/s; m',
      tolerance: { abs: 5e-5 },
      source: 'worked by hand; water level solved for exactly',
      known: 'derived',
    },
    i => {
      const routed = swale(i, 10)
      return { peak_m3s: routed.peakSpill_m3s, highest_m: routed.highest_m }
    },
  ),
  reference(
    {
      id: 'RT-E2E-MASS',
      quantity: 'what the swale keeps once it has drained to its sill',
      inputs: SWALE,
      expected: 106.575,
      unit: 'm3',
      tolerance: { abs: 0.2 },
      source: '421.19 − 314.60',
      known: 'derived',
    },
    i => swale(i, 1).left_m3,
  ),
]
