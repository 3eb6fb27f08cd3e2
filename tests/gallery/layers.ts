import {
  contributingArea,
  contributingAreaSingle,
  edgeReach,
  lineCatchment,
  tieDependence,
  type WaterStudy,
  wetnessIndex,
} from 'soakline/hydrology'
import { type ElevationGrid, fromLattice, type GridGeometry } from 'soakline/raster'
import { aspect, contourLines, curvature, gradient, lineThrough, planCurvature, profileCurvature } from 'soakline/terrain'
import { cone, gridOf, hollowCone, plane, roof, saddle, TERRAINS, terrain } from '../helpers/surfaces.js'

const [SIDE, CELL_M] = [80, 2]
const CENTRE = [(SIDE * CELL_M) / 2 + 0.3, (SIDE * CELL_M) / 2 - 0.4] as const

/** The exact surfaces and the seeded terrains that the tests run on. */
export const GROUNDS: readonly { readonly name: string; readonly make: () => ElevationGrid }[] = [
  { name: 'plane', make: () => gridOf(SIDE, SIDE, CELL_M, plane(157, 0.12, CENTRE)) },
  { name: 'roof', make: () => gridOf(SIDE, SIDE, CELL_M, roof(31, 0.1, CENTRE)) },
  { name: 'cone', make: () => gridOf(SIDE, SIDE, CELL_M, cone(0.1, CENTRE)) },
  { name: 'hollow cone', make: () => gridOf(SIDE, SIDE, CELL_M, hollowCone(0.1, CENTRE, 60)) },
  { name: 'saddle', make: () => gridOf(SIDE, SIDE, CELL_M, saddle(20, 0.002, CENTRE)) },
  ...TERRAINS.map((kind, k) => ({ name: `terrain “${kind}”`, make: () => terrain(kind, 40 + k, SIDE, SIDE, CELL_M) })),
]

/** Values of a layer, a cell each, and how they are spread over the shades. */
export interface Layer {
  readonly values: ArrayLike<number>
  readonly stretch?: (value: number) => number
}

const asNumbers = (mask: Uint8Array, { data }: ElevationGrid): Float32Array =>
  Float32Array.from(mask, (value, cell) => (Number.isNaN(data[cell]!) ? Number.NaN : value))

/** Every raster that the library makes of a ground. */
export const LAYERS: Readonly<Record<string, (study: WaterStudy) => Layer>> = {
  elevation_m: ({ ground }) => ({ values: ground.data }),
  'depth of hollows, m': ({ ground, filled }) => ({ values: filled.data.map((z, cell) => z - ground.data[cell]!) }),
  gradient_ratio: ({ ground }) => ({ values: gradient(ground).data }),
  aspect_deg: ({ ground }) => ({ values: aspect(ground).data }),
  'plan curvature': ({ ground }) => ({ values: curvature(ground, planCurvature).data, stretch: Math.tanh }),
  'profile curvature': ({ ground }) => ({ values: curvature(ground, profileCurvature).data, stretch: Math.tanh }),
  'contributing area, vector': ({ net }) => ({ values: contributingArea(net).data, stretch: Math.log }),
  'contributing area, single': ({ drained }) => ({ values: contributingAreaSingle(drained).data, stretch: Math.log }),
  wetness: ({ net, ground }) => ({ values: wetnessIndex(contributingArea(net), gradient(ground)).data }),
  'inflow rim': ({ rim, ground }) => ({ values: asNumbers(rim.data, ground) }),
  'reach of the edge': ({ net, rim, ground }) => ({ values: asNumbers(edgeReach(net, rim).data, ground) }),
  'owed to ties': ({ ground, drained }) => ({ values: asNumbers(tieDependence(ground, drained).data, ground) }),
  'share of a line': study => ({ values: shareOfLine(study) }),
}

/** Share of each cell's water that a level line through the middle catches; none where no line goes. */
function shareOfLine({ net, ground, rim }: WaterStudy): ArrayLike<number> {
  const path = levelPath(ground)
  const share = path ? lineCatchment(net, ground, path, rim).share.data : new Float64Array(ground.data.length)
  return share.map((part, cell) => (Number.isNaN(ground.data[cell]!) ? Number.NaN : part))
}

function levelPath(ground: ElevationGrid): ReturnType<typeof lineThrough>['path'] | null {
  const g: GridGeometry = ground.geometry
  try {
    return lineThrough(ground, fromLattice(g, 0.55 * g.width, 0.6 * g.height), 60).path
  } catch {
    return null
  }
}

/** Contour lines in the cells of the raster, as the points of polylines. */
export const contoursOf = (ground: ElevationGrid, interval_m: number): readonly (readonly (readonly [number, number])[])[] =>
  contourLines(ground, interval_m).map(({ path }) =>
    path.map(([x, y]) => [(x - ground.geometry.west_m) / CELL_M, (ground.geometry.north_m - y) / CELL_M] as const),
  )
