import {
  byFacets,
  contributingArea,
  contributingAreaSingle,
  type Drainage,
  drainage,
  eachReceiver,
  type FlowMethod,
  flowNetwork,
  inflowRim,
  lineCatchment,
  multiple,
  QUINN_CONTOUR_CELLS,
  wetnessIndex,
} from 'soakline/hydrology'
import { type ElevationGrid, elevationGrid, neighbourOffsets } from 'soakline/raster'
import { aspect, gradient } from 'soakline/terrain'
import { arc, cone, gridOf, hollowCone, plane, roof, type Surface } from '../helpers/surfaces.js'
import { type Expected, type ReferenceValue, reference } from './reference-value.js'

/** Compass names of the eight directions, clockwise from north. */
const COMPASS = ['N', 'NE', 'E', 'SE', 'S', 'SW', 'W', 'NW'] as const

const WINDOW = [
  [101, 100.2, 99.8],
  [100.6, 100, 99.2],
  [100.1, 99.5, 99],
] as const

const VALLEY = [
  [31, 29.5, 28, 29, 30.5],
  [29, 27, 25.5, 26.5, 28.5],
  [27.5, 25, 23, 24.2, 26],
  [26, 23.8, 21, 22.4, 24],
  [25, 22.5, 19, 20.6, 22.8],
] as const

/** Slopes that lean on both sides of a channel: a|column − 2| + b(4 − row). */
const vShape = (a: number, b: number): number[][] =>
  Array.from({ length: 5 }, (_, row) => Array.from({ length: 5 }, (_, column) => a * Math.abs(column - 2) + b * (4 - row)))

/** The shares that a cell gives, by compass names, clockwise from north. */
function sharesAt(ground: ElevationGrid, method: FlowMethod, cell: number): Record<string, number> {
  const offsets = neighbourOffsets(ground.geometry.width)
  const found: [direction: number, share: number][] = []
  eachReceiver(flowNetwork(ground, drainage(ground), method), cell, (to, share) => found.push([offsets.indexOf(to - cell), share]))
  return Object.fromEntries(found.sort((a, b) => a[0] - b[0]).map(([k, share]) => [COMPASS[k], share]))
}

/** A raster within a wall of high cells, so that what would leave over its sides stays in; its lowest cell keeps all. */
function walled(rows: readonly (readonly number[])[]): { drained: Drainage; ground: ElevationGrid; inner: number[]; width: number } {
  const width = rows[0]!.length
  const high = 1000
  const wall = Array.from({ length: width + 2 }, () => high)
  const ground = elevationGrid([wall, ...rows.map(row => [high, ...row, high]), wall])
  const inner = rows.flatMap((row, r) => row.map((_, c) => (r + 1) * (width + 2) + c + 1))
  const lowest = inner.reduce((best, cell) => (ground.data[cell]! < ground.data[best]! ? cell : best))
  return { drained: drainage(ground, { keep: [lowest] }), ground, inner, width }
}

const inRows = (values: readonly number[], width: number): number[][] =>
  Array.from({ length: values.length / width }, (_, row) => values.slice(row * width, (row + 1) * width))

/** Cells that drain through each cell of a walled raster, the wall's own left out by their weight. */
function accumulated(rows: readonly (readonly number[])[], method: FlowMethod | 'single'): number[][] {
  const { drained, ground, inner, width } = walled(rows)
  const weights = { quantity: 'weight_ratio', geometry: ground.geometry, data: new Float64Array(ground.data.length) }
  for (const cell of inner) weights.data[cell] = 1
  const { data } =
    method === 'single' ? contributingAreaSingle(drained, weights) : contributingArea(flowNetwork(ground, drained, method), weights)
  return inRows(
    inner.map(cell => data[cell]!),
    width,
  )
}

/** Area above an arc of a metre's cells, over its length: area per unit of contour. */
function aboveArc(surface: Surface, radius_m: number, side_m: number): number {
  const centre = [side_m / 2, side_m / 2] as const
  const ground = gridOf(side_m, side_m, 1, surface)
  const drained = drainage(ground)
  const length_m = radius_m
  const line = arc(20, centre, radius_m, length_m)
  return lineCatchment(flowNetwork(ground, drained), ground, line, inflowRim(ground, drained)).area_m2 / length_m
}

/** Degrees clockwise from north to degrees counter-clockwise from east. */
const fromEast = (azimuth_deg: number): number => (450 - azimuth_deg) % 360

const splits = (
  [
    ['MFD-P1', 'slopes to the power 1', { exponent: 1 }, { E: 0.37235, SE: 0.32911, S: 0.23272, NE: 0.06582 }, 'definition, own grid'],
    [
      'MFD-QUINN',
      'slopes times contour lengths of 0.5 and 0.354 cells',
      { exponent: 1, contour_cells: QUINN_CONTOUR_CELLS },
      { E: 0.42088, SE: 0.26339, S: 0.26305, NE: 0.05268 },
      'Quinn et al. 1991, own grid',
    ],
    [
      'MFD-FREEMAN',
      'slopes to the power 1.1',
      { exponent: 1.1 },
      { E: 0.38197, SE: 0.33348, S: 0.22777, NE: 0.05678 },
      'Freeman 1991, own grid',
    ],
    [
      'MFD-HOLMGREN4',
      'slopes to the power 4',
      { exponent: 4 },
      { E: 0.56692, SE: 0.34602, S: 0.08651, NE: 0.00055 },
      'Holmgren 1994, own grid',
    ],
    [
      'MFD-HOLMGREN5',
      'slopes to the power 5',
      { exponent: 5 },
      { E: 0.61161, SE: 0.32995, S: 0.05833, NE: 0.00011 },
      'definition, own grid',
    ],
  ] as const
).map(([id, rule, options, expected, source]) =>
  reference(
    {
      id: `TI-3X3-${id}`,
      quantity: `multiple flow of the centre cell, ${rule}`,
      inputs: { rows: WINDOW, options },
      // In the order of the compass.
      expected: { NE: expected.NE, E: expected.E, SE: expected.SE, S: expected.S },
      unit: 'share',
      tolerance: { abs: 1e-5 },
      source,
      known: 'derived',
    },
    i => sharesAt(elevationGrid(i.rows, 10), multiple(i.options), 4),
  ),
)

const accumulations = (
  [
    [
      'TI-5X5-D8ACC',
      'single directions',
      VALLEY,
      'single',
      [
        [1, 1, 1, 1, 1],
        [1, 2, 3, 3, 1],
        [1, 2, 9, 2, 1],
        [1, 2, 14, 2, 1],
        [1, 3, 25, 3, 1],
      ],
      0,
      'O’Callaghan & Mark 1984, own grid; reproduced with SAGA 8.5.0 (grid walled with zero-weight high cells)',
    ],
    [
      'TI-5X5-DINFACC',
      'triangular facets',
      VALLEY,
      byFacets,
      [
        [1, 1, 1, 1, 1],
        [1, 2.3119, 3.1726, 2.5155, 1],
        [1, 2.4302, 8.0247, 2.7698, 1.2055],
        [1, 1.8903, 14.1836, 2.4742, 1.1698],
        [1, 2.6795, 25, 3.3549, 1],
      ],
      1e-4,
      'Tarboton 1997, own grid; two separate implementations agree',
    ],
    [
      'TI-5X5-MFDACC',
      'multiple flow, power 1.1',
      VALLEY,
      multiple({ exponent: 1.1 }),
      [
        [1, 1.2282, 1.4287, 1.2282, 1],
        [1.3636, 2.5924, 3.8581, 2.6502, 1.371],
        [1.3112, 3.3543, 8.067, 3.9045, 1.5829],
        [1.2731, 2.8586, 13.9002, 4.7994, 1.5752],
        [1.188, 2.853, 25, 5.949, 1.3485],
      ],
      1e-4,
      'Freeman 1991, own grid; reproduced with SAGA 8.5.0, exponent 1.1 (grid walled with zero-weight high cells)',
    ],
    [
      'TI-VVALLEY-STEEP',
      'single directions, V-valley 4|x| with a fall of 1',
      vShape(4, 1),
      'single',
      [
        [1, 2, 5, 2, 1],
        [1, 2, 10, 2, 1],
        [1, 2, 15, 2, 1],
        [1, 2, 20, 2, 1],
        [1, 2, 25, 2, 1],
      ],
      0,
      'own construction: sides drain straight in only if the fall is under (√2 − 1) of their slope; reproduced with SAGA 8.5.0',
    ],
    [
      'TI-VVALLEY-GENTLE',
      'single directions, V-valley 2|x| with a fall of 1',
      vShape(2, 1),
      'single',
      [
        [1, 1, 1, 1, 1],
        [1, 2, 4, 2, 1],
        [1, 2, 9, 2, 1],
        [1, 2, 14, 2, 1],
        [1, 3, 25, 3, 1],
      ],
      0,
      'own construction; reproduced with SAGA 8.5.0',
    ],
  ] as const
).map(([id, rule, rows, method, expected, abs, source]) =>
  reference(
    {
      id,
      quantity: `cells draining through each, ${rule}`,
      inputs: { rows, method },
      expected,
      unit: 'cells',
      tolerance: { abs },
      source,
      known: 'derived',
    },
    i => accumulated(i.rows, i.method),
  ),
)

/** Directions, splits, areas, slope, aspect and wetness. */
export const TERRAIN_VALUES: readonly ReferenceValue[] = [
  reference(
    {
      id: 'TI-3X3-D8',
      quantity: 'steepest neighbour of the centre cell (2: east), and the fall towards it',
      inputs: { rows: WINDOW, cell_m: 10 },
      expected: { direction: 2, slope: 0.08 },
      unit: 'eighths clockwise from north; m/m',
      tolerance: { abs: 1e-5 },
      source: 'O’Callaghan & Mark 1984, own grid',
      known: 'derived',
    },
    i => {
      const direction = drainage(elevationGrid(i.rows, i.cell_m)).slope[4]!
      return { direction, slope: (i.rows[1][1] - i.rows[1][2]) / i.cell_m }
    },
  ),
  reference(
    {
      id: 'TI-3X3-DINF',
      quantity: 'split of the centre cell over the steepest triangular facet, and its angle from east',
      inputs: { rows: WINDOW },
      expected: { E: 0.68809, SE: 0.31191, angle_deg: 345.96376 },
      unit: 'share; °',
      tolerance: { abs: 2e-5 },
      source: 'Tarboton 1997, own grid; facet E–SE',
      known: 'derived',
    },
    i => {
      // Heights above 100 m: float32 would turn the angle by some 10⁻⁴ of a degree.
      const above = i.rows.map(row => row.map(z => z - 100))
      const { E = 0, SE = 0 } = sharesAt(elevationGrid(above, 10), byFacets, 4)
      return { E, SE, angle_deg: fromEast(90 + 45 * SE) }
    },
  ),
  ...splits,
  reference(
    {
      id: 'TI-3X3-HORN',
      quantity: 'slope and aspect of the centre cell',
      inputs: { rows: WINDOW },
      expected: { slope: 0.074603, slope_deg: 4.26654, aspect_deg: 121.29304 },
      unit: 'm/m; °',
      tolerance: { abs: 3e-5 },
      source: 'Horn 1981, own grid; slope and aspect reproduced with GDAL 3.6.2',
      known: 'derived',
    },
    i => {
      const ground = elevationGrid(i.rows, 10)
      const slope = gradient(ground).data[4]!
      return { slope, slope_deg: (Math.atan(slope) * 180) / Math.PI, aspect_deg: aspect(ground).data[4]! }
    },
  ),
  reference(
    {
      id: 'TI-5X5-D8DIR',
      quantity: 'single directions of a valley that drains over one side (4: south; 9: a kept sink)',
      inputs: { rows: VALLEY },
      expected: [
        [3, 3, 4, 4, 5],
        [3, 3, 4, 5, 5],
        [3, 3, 4, 5, 5],
        [3, 3, 4, 5, 5],
        [2, 2, 9, 6, 6],
      ],
      unit: 'eighths clockwise from north',
      tolerance: { abs: 0 },
      source: 'O’Callaghan & Mark 1984, own grid without ties',
      known: 'derived',
    },
    i => {
      const { drained, inner, width } = walled(i.rows)
      return inRows(
        inner.map(cell => drained.direction[cell]!),
        width,
      )
    },
  ),
  ...accumulations,
  reference(
    {
      id: 'TI-ACC-INVARIANTS',
      quantity: 'cells at the one outlet by single directions, facets and multiple flow; whole numbers by single directions',
      inputs: { rows: VALLEY },
      expected: { single: 25, byFacets: 25, multiple: 25, whole: 25 },
      unit: 'cells',
      tolerance: { abs: 1e-9 },
      source: 'conservation of mass',
      known: 'derived',
    },
    i => ({
      single: accumulated(i.rows, 'single')[4]![2]!,
      byFacets: accumulated(i.rows, byFacets)[4]![2]!,
      multiple: accumulated(i.rows, multiple())[4]![2]!,
      whole: accumulated(i.rows, 'single').flat().filter(Number.isInteger).length,
    }),
  ),
  reference(
    {
      id: 'TI-LANDLAB-DINF',
      quantity: 'split over triangular facets on z = x² + y² at (2, 1), where the sides of the facet fall 3 and 1',
      inputs: { surface: (x: number, y: number) => x * x + y * y },
      expected: { SW: 0.40966553, W: 0.59033447 },
      unit: 'share',
      tolerance: { abs: 1e-7 },
      source: 'Landlab, documentation test of FlowDirectorDINF',
      known: 'published',
    },
    // The raster's cell centres lie at whole numbers and a half: shifted, so that the cell in question is (2, 1).
    i =>
      sharesAt(
        gridOf(5, 5, 1, (x, y) => i.surface(x - 0.5, y - 0.5)),
        byFacets,
        3 * 5 + 2,
      ),
  ),
  reference(
    {
      id: 'TI-LANDLAB-MFD',
      quantity: 'multiple flow of power 1 on the plane z = x + y',
      inputs: { surface: (x: number, y: number) => x + y },
      expected: { S: 0.29289322, SW: 0.41421356, W: 0.29289322 },
      unit: 'share',
      tolerance: { abs: 1e-7 },
      source: 'Landlab, documentation test of FlowDirectorMFD',
      known: 'published',
    },
    i => sharesAt(gridOf(5, 5, 1, i.surface), multiple({ exponent: 1 }), 12),
  ),
  reference(
    {
      id: 'TI-DINF-PLANE',
      quantity: 'split over triangular facets on a plane that falls 30° north of east, and its angle and fall',
      inputs: {
        rows: [
          [0.366025404, -0.5, -1.366025404],
          [0.866025404, 0, -0.866025404],
          [1.366025404, 0.5, -0.366025404],
        ],
      },
      expected: { E: 1 / 3, NE: 2 / 3, angle_deg: 30, slope: 1 },
      unit: 'share; °; m/m',
      tolerance: { abs: 1e-5 },
      source: 'Tarboton 1997: exact on planes',
      known: 'derived',
    },
    i => {
      const ground = elevationGrid(i.rows)
      const { E = 0, NE = 0 } = sharesAt(ground, byFacets, 4)
      return { E, NE, angle_deg: fromEast(45 + 45 * E), slope: gradient(ground).data[4]! }
    },
  ),
  reference(
    {
      id: 'TI-PLANE-AREA',
      quantity: 'area per unit of contour 50 m below the divide of a plane of 10 %, wetness index, stream power index',
      inputs: { slope_ratio: 0.1, away_m: 50 },
      expected: { a_m: 50, wetness: 6.2146, power: 5 },
      unit: 'm; –; m',
      tolerance: { abs: 2e-4 },
      source: 'a = x; ln(a / tan β) (Beven & Kirkby 1979); a tan β',
      known: 'derived',
    },
    i => {
      const ground = gridOf(20, 130, 1, roof(0, i.slope_ratio, [10, 65]))
      const area = contributingArea(flowNetwork(ground, drainage(ground)))
      const slopes = gradient(ground)
      // Row 64 is the first north of the divide, and has drained one row.
      const cell = (65 - i.away_m) * 20 + 10
      const a_m = area.data[cell]! / ground.geometry.cell_m
      return { a_m, wetness: wetnessIndex(area, slopes).data[cell]!, power: a_m * slopes.data[cell]! }
    },
  ),
  reference(
    {
      id: 'TI-CONE-OUT',
      quantity: 'area per unit of contour 80 m from the top of a cone, measured above an arc on a raster of 1 m',
      inputs: { r_m: 80, side_m: 200 },
      expected: 40,
      unit: 'm',
      // The value is exact (r/2); a raster is not.
      tolerance: { rel: 0.01 },
      source: 'sector area over arc',
      known: 'derived',
    },
    i => aboveArc(cone(0.1, [i.side_m / 2, i.side_m / 2]), i.r_m, i.side_m),
  ),
  reference(
    {
      id: 'TI-CONE-IN',
      quantity:
        'area per unit of contour 50 m from the middle of a hollow cone within a ridge at 200 m, measured above an arc on a raster of 1 m',
      inputs: { R_m: 200, r_m: 50, side_m: 440 },
      expected: 375,
      unit: 'm',
      tolerance: { rel: 0.01 },
      source: '(R² − r²)/(2r): piece of ring over arc',
      known: 'derived',
    },
    i => aboveArc(hollowCone(0.1, [i.side_m / 2, i.side_m / 2], i.R_m), i.r_m, i.side_m),
  ),
  reference(
    {
      id: 'TI-HORN-CUBIC',
      quantity: 'Horn’s gradient of z = x³ at x = 2 with cells of 0.5 m: 3x² + h²',
      inputs: { x: 2, h: 0.5 },
      expected: 12.25,
      unit: 'm/m',
      tolerance: { abs: 1e-9 },
      source: 'Horn 1981; its error of second order worked out',
      known: 'derived',
    },
    i => {
      const rows = [0, 1, 2].map(() => [-1, 0, 1].map(step => (i.x + step * i.h) ** 3))
      return gradient(elevationGrid(rows, i.h)).data[4]!
    },
  ),
  reference(
    {
      id: 'TI-PLANE-HORN',
      quantity: 'slope and aspect of the plane z = 0.03x − 0.04y',
      inputs: { a: 0.03, b: -0.04 },
      expected: { slope: 0.05, aspect_deg: 323.1301 },
      unit: 'm/m; °',
      tolerance: { abs: 1e-4 },
      source: 'Horn 1981: exact on planes; the fall is (−0.03, 0.04)',
      known: 'derived',
    },
    (i): Expected => {
      const ground = gridOf(3, 3, 1, (x, y) => i.a * (x - 1.5) + i.b * (y - 1.5))
      return { slope: gradient(ground).data[4]!, aspect_deg: aspect(ground).data[4]! }
    },
  ),
  reference(
    {
      id: 'TI-PLANE-HORN/any-azimuth',
      quantity: 'aspect of a plane that falls towards 200.5°',
      inputs: { azimuth_deg: 200.5 },
      expected: 200.5,
      unit: '°',
      tolerance: { abs: 1e-3 },
      source: 'exact on planes',
      known: 'derived',
    },
    i => aspect(gridOf(3, 3, 1, plane(i.azimuth_deg, 0.1, [1.5, 1.5], 0))).data[4]!,
  ),
]
