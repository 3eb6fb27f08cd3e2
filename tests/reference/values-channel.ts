import {
  arcRadius_m,
  bareVelocity,
  bowlPerimeterShort_m,
  channelFreeboard_m,
  fallingStorage_m3,
  GRASS_VELOCITY_fts,
  type GrassRule,
  grassRoughness,
  grassVelocity,
  NON_SCOUR_fts,
  nonScourVelocity,
  normalDepth_m,
  RETARDANCE_INDEX,
  type RetardanceClass,
  ROUGHNESS,
  retardanceClass,
  type ScourMaterial,
  sheetFlow,
  steepestForSheet_ratio,
  suddenBreach,
  uniformFlow,
  wetted,
} from 'soakline/earthworks'
import { type Expected, type ReferenceValue, reference } from './reference-value.js'

const FOOT = 0.3048
const HEC22 = 'FHWA HEC-22 3rd ed. (FHWA-NHI-10-009, 2009)'
const HDS2 = 'FHWA HDS-2 2nd ed. (FHWA-NHI-02-001, 2002)'

/** Permissible velocities of one rule, as they are printed; −1 where the cover is not used. */
function grassTable<R extends GrassRule>(rule: R): Expected {
  return Object.fromEntries(
    Object.keys(GRASS_VELOCITY_fts[rule]).map(cover => [
      cover,
      (['resistant', 'erodible'] as const).map(soil =>
        [0.05, 0.1, 0.2].map(slope => {
          const limit = grassVelocity(rule, cover as never, soil, slope)
          return limit ? limit.value / FOOT : -1
        }),
      ),
    ]),
  )
}

/** Flow in channels: sections, Manning's formula, what beds and covers bear. */
export const CHANNEL_VALUES: readonly ReferenceValue[] = [
  reference(
    {
      id: 'CH-HEC22-5-1',
      quantity: 'capacity of a trapezoid by Manning’s formula, unrounded',
      inputs: { bedWidth_m: 0.8, sideSlope_ratio: 3, depth_m: 0.5, roughness: 0.03, fall_ratio: 0.01 },
      expected: { area_m2: 1.15, perimeter_m: 3.96228, radius_m: 0.29024, flow_m3s: 1.6804, velocity_ms: 1.46121 },
      unit: 'm; m2; m3/s; m/s',
      tolerance: { rel: 1e-4 },
      source: `${HEC22} Example 5-1, which prints 3.96, 0.29, 1.67, 1.45`,
      known: 'published',
    },
    i => {
      const f = uniformFlow({ shape: { form: 'trapezoid', ...i }, ...i }, i.depth_m)
      return {
        area_m2: f.area_m2,
        perimeter_m: f.perimeter_m,
        radius_m: f.hydraulicRadius_m,
        flow_m3s: f.flow_m3s,
        velocity_ms: f.velocity_ms,
      }
    },
  ),
  reference(
    {
      id: 'CH-HEC22-5-2',
      quantity: 'normal depth of 0.8 m³/s and its greatest bed shear, unrounded',
      inputs: { bedWidth_m: 0.9, sideSlope_ratio: 3, roughness: 0.03, fall_ratio: 0.01, flow_m3s: 0.8 },
      expected: { depth_m: 0.34447, shear_Pa: 33.792 },
      unit: 'm; Pa',
      tolerance: { rel: 1e-4 },
      source: `${HEC22} Example 5-2, which prints 0.34 and 33.4`,
      known: 'published',
    },
    i => {
      const channel = { shape: { form: 'trapezoid', ...i }, ...i } as const
      const depth_m = normalDepth_m(channel, i.flow_m3s)
      return { depth_m, shear_Pa: uniformFlow(channel, depth_m).bedShear_Pa }
    },
  ),
  reference(
    {
      id: 'CH-HDS2-2-3',
      quantity: 'velocity in a channel, unrounded',
      inputs: { bedWidth_m: 0.3, sideSlope_ratio: 2, depth_m: 0.7, roughness: 0.04, fall_ratio: 0.012 },
      expected: { radius_m: 0.34689, velocity_ms: 1.35204 },
      unit: 'm; m/s',
      tolerance: { rel: 1e-4 },
      source: `${HDS2} Example 2.3, which prints 0.35 and 1.36`,
      known: 'published',
    },
    i => {
      const f = uniformFlow({ shape: { form: 'trapezoid', ...i }, ...i }, i.depth_m)
      return { radius_m: f.hydraulicRadius_m, velocity_ms: f.velocity_ms }
    },
  ),
  reference(
    {
      id: 'CH-PARAB',
      quantity: 'parabolic bowl 3 m wide, 0.5 m deep',
      inputs: { topWidth_m: 3, depth_m: 0.5, roughness: 0.045, fall_ratio: 0.002 },
      expected: { area_m2: 1, perimeter_m: 3.20935, radius_m: 0.31159, flow_m3s: 0.45676 },
      unit: 'm2; m; m3/s',
      tolerance: { abs: 1e-4 },
      source: '⅔ T d; arc length of the parabola with x = 4 d/T',
      known: 'derived',
    },
    i => {
      const f = uniformFlow({ shape: { form: 'bowl', ...i }, ...i }, i.depth_m)
      return { area_m2: f.area_m2, perimeter_m: f.perimeter_m, radius_m: f.hydraulicRadius_m, flow_m3s: f.flow_m3s }
    },
  ),
  reference(
    {
      id: 'CH-PARAB-APPROX',
      quantity: 'the perimeter of the same bowl as handbooks shorten it',
      inputs: { topWidth_m: 3, depth_m: 0.5 },
      expected: 3.2222,
      unit: 'm',
      tolerance: { abs: 1e-4 },
      source: 'T + 8 d²/(3 T), for 4 d/T up to 1',
      known: 'derived',
    },
    i => bowlPerimeterShort_m(i.topWidth_m, i.depth_m) ?? -1,
  ),
  reference(
    {
      id: 'CH-FREEBOARD',
      quantity: 'freeboard of a roadside channel 0.4 m deep, tranquil and steep',
      inputs: { depth_m: 0.4 },
      expected: { tranquil: 0.15, steep: 0.4 },
      unit: 'm',
      tolerance: { abs: 0 },
      source: 'FHWA HEC-22 3rd ed. (2009) section 5.2.4: about 0.15 m; as the water is deep where it is steep',
      known: 'published',
    },
    i => ({ tranquil: channelFreeboard_m(i.depth_m, 0.5), steep: channelFreeboard_m(i.depth_m, 1.5) }),
  ),
  reference(
    {
      id: 'CH-TRI',
      quantity: 'triangle with sides 4:1, 0.4 m deep',
      inputs: { sideSlope_ratio: 4, depth_m: 0.4, roughness: 0.035, fall_ratio: 0.003 },
      expected: { area_m2: 0.64, perimeter_m: 3.29848, flow_m3s: 0.33567 },
      unit: 'm2; m; m3/s',
      tolerance: { abs: 1e-4 },
      source: 'z y², 2 y √(1 + z²)',
      known: 'derived',
    },
    i => {
      const f = uniformFlow({ shape: { form: 'trapezoid', bedWidth_m: 0, ...i }, ...i }, i.depth_m)
      return { area_m2: f.area_m2, perimeter_m: f.perimeter_m, flow_m3s: f.flow_m3s }
    },
  ),
  reference(
    {
      id: 'CH-SEGMENT',
      quantity: 'bowl made of a piece of circle, 2 m wide, 0.4 m deep',
      inputs: { topWidth_m: 2, depth_m: 0.4 },
      expected: { radius_m: 1.45, area_m2: 0.55003, perimeter_m: 2.20694 },
      unit: 'm; m2',
      tolerance: { abs: 1e-4 },
      source: 'r²/2 (θ − sin θ)',
      known: 'derived',
    },
    i => {
      const w = wetted({ form: 'arc', ...i }, i.depth_m)
      return { radius_m: arcRadius_m(i), area_m2: w.area_m2, perimeter_m: w.perimeter_m }
    },
  ),
  reference(
    {
      id: 'CH-COMPOUND',
      quantity: 'compound bowl: bed 0.6 m, sides 2:1 to 0.3 m, a shelf of 1 m, then 3:1, water 0.5 m deep',
      // The shelf is split between both sides.
      inputs: {
        points: [
          [-2.4, 0.6],
          [-1.5, 0.3],
          [-0.9 - 0.1, 0.3],
          [-0.3 - 0.1, 0],
          [0.2, 0],
          [0.8, 0.3],
          [1.3, 0.3],
          [2.2, 0.6],
        ] as const,
        depth_m: 0.5,
      },
      expected: 1.04,
      unit: 'm2',
      tolerance: { abs: 0.0005 },
      source: 'A₁ + (T₁ + b) Δ + z Δ²',
      known: 'derived',
    },
    i => wetted({ form: 'drawn', points: i.points }, i.depth_m).area_m2,
  ),
  reference(
    {
      id: 'CH-GRADED-TRAP/any-section',
      quantity: 'the falling trapezoid of CH-GRADED-TRAP by the rule for any section, 0, 0.2, 0.5 and 1 %',
      inputs: { falls: [0, 0.002, 0.005, 0.01] },
      expected: [100, 72.667, 41.667, 20.833],
      unit: 'm3',
      tolerance: { abs: 0.002 },
      source: '∫ A(d₀ − g x) dx over the wet length',
      known: 'derived',
    },
    i =>
      i.falls.map(fall_ratio =>
        fallingStorage_m3({
          shape: { form: 'trapezoid', bedWidth_m: 1, sideSlope_ratio: 2 },
          depthAtSill_m: 0.5,
          length_m: 100,
          fall_ratio,
        }),
      ),
  ),
  reference(
    {
      id: 'CH-VPERM-GRASS',
      quantity: 'permissible velocity on grass: resistant and erodible soil, slopes 0–5, 5–10, over 10 %; −1 not used',
      inputs: { rule: 'tp-61' as const },
      expected: {
        bermudagrass: [
          [8, 7, 6],
          [6, 5, 4],
        ],
        'bluegrass-brome-grama': [
          [7, 6, 5],
          [5, 4, 3],
        ],
        'grass-mixture-canarygrass': [
          [5, 4, -1],
          [4, 3, -1],
        ],
        'lespedeza-lovegrass-alfalfa': [
          [3.5, -1, -1],
          [2.5, -1, -1],
        ],
      },
      unit: 'ft/s',
      tolerance: { abs: 1e-12 },
      source: 'USDA SCS-TP-61 as reproduced in a municipal drainage code',
      known: 'published',
    },
    i => grassTable(i.rule),
  ),
  reference(
    {
      id: 'CH-VPERM-SPILLWAY',
      quantity: 'permissible velocity in vegetated spillways: resistant and erodible soil, slopes 0–5, 5–10, over 10 %; −1 not used',
      inputs: { rule: 'kansas-5-40-56' as const },
      expected: {
        'bermuda-bahia': [
          [8, 7, -1],
          [6, 5, -1],
        ],
        'sod-grasses-canarygrass': [
          [7, 6, -1],
          [5, 4, -1],
        ],
        'sod-mixtures': [
          [5, 4, -1],
          [4, 3, -1],
        ],
        'native-bunch': [
          [3.5, 3.5, -1],
          [2.5, 2.5, -1],
        ],
      },
      unit: 'ft/s',
      tolerance: { abs: 1e-12 },
      source: 'Kansas Admin. Regs 5-40-56',
      known: 'published',
    },
    i => grassTable(i.rule),
  ),
  reference(
    {
      id: 'CH-NONSCOUR',
      quantity: 'velocity that does not scour at depths of 1.3, 3.3, 6.6 and 9.8 ft',
      inputs: { depths_ft: [1.3, 3.3, 6.6, 9.8] },
      expected: {
        'fine-sand': [0.98, 1.3, 1.6, 1.8],
        'medium-sand': [1.2, 1.5, 1.8, 2],
        'coarse-sand': [1.5, 1.8, 2.1, 2.3],
        'fine-gravel': [2.6, 3, 3.3, 3.8],
        'coarse-gravel': [4.1, 4.7, 5.4, 6.1],
        'sandy-loam-light': [3.1, 3.9, 4.6, 4.9],
        'sandy-loam-heavy': [3.3, 3.9, 4.6, 4.9],
        'loess-settled': [2.6, 3.3, 3.9, 4.3],
      },
      unit: 'ft/s',
      tolerance: { abs: 1e-9 },
      source: 'US Army CHL FACT manual Table 3.5 (after Keown et al. 1977)',
      known: 'published',
    },
    i =>
      Object.fromEntries(
        (Object.keys(NON_SCOUR_fts) as ScourMaterial[]).map(material => [
          material,
          i.depths_ft.map(feet => (nonScourVelocity(material, feet * FOOT)?.value ?? -1) / FOOT),
        ]),
      ),
  ),
  reference(
    {
      id: 'CH-FORTIER-SCOBEY',
      quantity:
        'velocity that bare soil bears, clear water and water with silt: fine sand, sandy loam, silt loam, firm loam, stiff clay, silt, fine gravel',
      inputs: {},
      expected: [
        [1.5, 2.5],
        [1.75, 2.5],
        [2, 3],
        [2.5, 3.5],
        [3.75, 5],
        [2, 3.5],
        [2.5, 5],
      ],
      unit: 'ft/s',
      tolerance: { abs: 1e-9 },
      source: 'Fortier & Scobey (1926)',
      known: 'from-memory',
    },
    () =>
      (['fine-sand', 'sandy-loam', 'silt-loam', 'firm-loam', 'stiff-clay', 'alluvial-silt', 'fine-gravel'] as const).map(soil => [
        bareVelocity(soil).value / FOOT,
        bareVelocity(soil, 'silty').value / FOOT,
      ]),
  ),
  reference(
    {
      id: 'CH-RETARD-N',
      quantity: 'Manning’s n of grass of classes A to E where velocity × radius is 1 ft²/s',
      inputs: { product_m2s: FOOT * FOOT },
      expected: { A: 0.304, B: 0.151, C: 0.082, D: 0.058, E: 0.037 },
      unit: '1',
      tolerance: { abs: 0.001 },
      source: 'USDA AH-667 (Temple et al. 1987) form',
      known: 'from-memory',
    },
    i =>
      Object.fromEntries((Object.keys(RETARDANCE_INDEX) as RetardanceClass[]).map(grass => [grass, grassRoughness(i.product_m2s, grass)])),
  ),
  reference(
    {
      id: 'CH-RETARD-CLASS',
      quantity: 'retardance class (A 0 to E 4) of grass 31, 20, 8, 4 and 1 in long: good and fair stand',
      inputs: { lengths_in: [31, 20, 8, 4, 1] },
      expected: { good: [0, 1, 2, 3, 4], fair: [1, 2, 3, 3, 4] },
      unit: 'class',
      tolerance: { abs: 0 },
      source: 'SCS guide reproduced in a Colorado permit file',
      known: 'published',
    },
    i => ({
      good: i.lengths_in.map(inches => 'ABCDE'.indexOf(retardanceClass(inches * 0.0254, 'good'))),
      fair: i.lengths_in.map(inches => 'ABCDE'.indexOf(retardanceClass(inches * 0.0254, 'fair'))),
    }),
  ),
  reference(
    {
      id: 'CH-N-TYPES',
      quantity: 'Manning’s n: least, usual, most',
      inputs: {},
      expected: {
        'earth-new': [0.016, 0.018, 0.02],
        'earth-weathered': [0.018, 0.022, 0.025],
        'earth-short-grass': [0.022, 0.027, 0.033],
        'weeds-to-flow-depth': [0.05, 0.08, 0.12],
        'bare-soil': [0.016, 0.02, 0.025],
      },
      unit: 's/m^(1/3)',
      tolerance: { abs: 0 },
      source: 'Chow (1959) Table 5-6; HEC-22 Table 5-1',
      known: 'published',
    },
    () =>
      Object.fromEntries(
        (['earth-new', 'earth-weathered', 'earth-short-grass', 'weeds-to-flow-depth', 'bare-soil'] as const).map(surface => {
          const { low, usual, high } = ROUGHNESS[surface]
          return [surface, [low, usual, high]]
        }),
      ),
  ),
  reference(
    {
      id: 'CH-WIDE',
      quantity: 'sheet of 0.05 m²/s over the exit slope, 5, 10 and 20 %: depth, velocity, shear',
      inputs: { flow_m2s: 0.05, roughness: 0.04, slopes: [0.05, 0.1, 0.2] },
      expected: { depth_m: [0.059, 0.0479, 0.0389], velocity_ms: [0.847, 1.043, 1.284], shear_Pa: [28.9, 47, 76.4] },
      unit: 'm; m/s; Pa',
      tolerance: { rel: 0.002 },
      source: 'Manning’s formula with the depth for the radius',
      known: 'derived',
    },
    i => {
      const sheets = i.slopes.map(slope => sheetFlow(i.flow_m2s, slope, i.roughness))
      return { depth_m: sheets.map(s => s.depth_m), velocity_ms: sheets.map(s => s.velocity_ms), shear_Pa: sheets.map(s => s.bedShear_Pa) }
    },
  ),
  reference(
    {
      id: 'CH-WIDE-MAXS',
      quantity: 'steepest slope on which a sheet of 0.02, 0.05 and 0.1 m²/s stays at 1.2 m/s',
      inputs: { velocity_ms: 1.2, roughness: 0.04, flows_m2s: [0.02, 0.05, 0.1] },
      expected: [0.5412, 0.1595, 0.0633],
      unit: '1',
      tolerance: { abs: 0.0002 },
      source: '(V n / y^(2/3))², y = q/V',
      known: 'derived',
    },
    i => i.flows_m2s.map(flow => steepestForSheet_ratio(flow, i.velocity_ms, i.roughness)),
  ),
  reference(
    {
      id: 'SW-KINPLANE/depth',
      quantity: 'depth of a plane of 30 m under 50 mm/h once it runs evenly',
      inputs: { flow_m2s: (0.05 / 3600) * 30, roughness: 0.15, slope_ratio: 0.05 },
      expected: 7.3763,
      unit: 'mm',
      tolerance: { rel: 0.0002 },
      source: '(n q / √S)^0.6',
      known: 'derived',
    },
    i => sheetFlow(i.flow_m2s, i.slope_ratio, i.roughness).depth_m * 1000,
  ),
  reference(
    {
      id: 'SW-RITTER',
      quantity: 'water 1 m deep let go onto dry ground: depth, velocity and flow at the opening, speed of the front',
      inputs: { stood_m: 1 },
      expected: { depth_m: 0.44444, velocity_ms: 2.08806, flow_m2s: 0.92803, front_ms: 6.26418 },
      unit: 'm; m/s; m2/s',
      tolerance: { abs: 2e-5 },
      source: 'Ritter (1892)',
      known: 'derived',
    },
    i => ({ ...suddenBreach(i.stood_m) }),
  ),
  reference(
    {
      id: 'SW-BREACH-RITTER',
      quantity: 'most that a metre of gap lets through behind 0.6 m of water',
      inputs: { stood_m: 0.6 },
      expected: 0.4313,
      unit: 'm2/s',
      tolerance: { abs: 0.0002 },
      source: 'Ritter (1892): 8/27 √g h^1.5',
      known: 'derived',
    },
    i => suddenBreach(i.stood_m).flow_m2s,
  ),
]
