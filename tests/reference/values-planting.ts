import { hedgeSpacing, PLANT_SPACING_m, plantDensity_m2, plantsInRow } from 'soakline/plan'
import { type ReferenceValue, reference } from './reference-value.js'

/** Counts and spacings of plants. */
export const PLANTING_VALUES: readonly ReferenceValue[] = [
  reference(
    {
      id: 'PL-SLIPS',
      quantity: 'slips in a row of 60 m, one at each end, every 0.15 and 0.1 m',
      inputs: { length_m: 60, spacings_m: [0.15, 0.1] },
      expected: [401, 601],
      unit: '1',
      tolerance: { abs: 0 },
      source: 'floor(L/s) + 1: count',
      known: 'derived',
    },
    i => i.spacings_m.map(spacing_m => plantsInRow(i.length_m, spacing_m)),
  ),
  reference(
    {
      id: 'PL-SLIPSPACE',
      quantity: 'spacing of slips in a hedge: ours lies within the published 0.10–0.15 m',
      inputs: { least_m: 0.1, most_m: 0.15 },
      expected: 0.15,
      unit: 'm',
      tolerance: { abs: 0 },
      source: 'The Vetiver Network manual pages',
      known: 'published',
    },
    i => {
      const spacing_m = PLANT_SPACING_m['erosion-strip']!
      return spacing_m >= i.least_m && spacing_m <= i.most_m ? spacing_m : Number.NaN
    },
  ),
  reference(
    {
      id: 'PL-HEDGE-VI',
      quantity: 'hedges 2 m apart in height on 5, 10, 20, 25 %: level, and along the slope',
      inputs: { drop_m: 2, slopes_ratio: [0.05, 0.1, 0.2, 0.25] },
      expected: { level_m: [40, 20, 10, 8], alongSlope_m: [40.05, 20.1, 10.198, 8.246] },
      unit: 'm',
      tolerance: { abs: 0.005 },
      source: 'VI/S; VI √(1 + 1/S²); VI 2 m from vetiver guidance',
      known: 'derived',
    },
    i => ({
      level_m: i.slopes_ratio.map(s => hedgeSpacing(i.drop_m, s).level_m),
      alongSlope_m: i.slopes_ratio.map(s => hedgeSpacing(i.drop_m, s).alongSlope_m),
    }),
  ),
  reference(
    {
      id: 'PL-HEDGE-DEG',
      quantity: 'distance along slopes of 1, 10, 20, 30, 45 degrees for a drop of 1 m',
      inputs: { drop_m: 1, slopes_deg: [1, 10, 20, 30, 45] },
      expected: [57.3, 5.76, 2.92, 2, 1.41],
      unit: 'm',
      tolerance: { abs: 0.006 },
      source: 'VI/sin θ: trigonometry',
      known: 'derived',
    },
    i => i.slopes_deg.map(degrees => hedgeSpacing(i.drop_m, Math.tan((degrees * Math.PI) / 180)).alongSlope_m),
  ),
  reference(
    {
      id: 'PL-DENSITY',
      quantity: 'plants on a hectare at 3 m, in triangles and in squares',
      inputs: { spacing_m: 3 },
      expected: { triangular: 1283, square: 1111.1 },
      unit: '1/ha',
      tolerance: { abs: 0.1 },
      source: '1e4/(s² √3/2), 1e4/s²',
      known: 'derived',
    },
    i => ({ triangular: 1e4 * plantDensity_m2(i.spacing_m, 'triangle'), square: 1e4 * plantDensity_m2(i.spacing_m, 'square') }),
  ),
]
