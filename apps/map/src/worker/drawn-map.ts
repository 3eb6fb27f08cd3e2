import type { Feature, FeatureCollection, Geometry } from 'geojson'
import { InputError } from 'soakline/foundation'
import type { Assessment, GroundWork, LaidLine } from 'soakline/plan'
import {
  distanceToShape_m,
  type GridGeometry,
  type Point,
  polygonsOf,
  ringsAbove,
  type Shape,
  shapeBounds,
  stations,
  thinned,
} from 'soakline/raster'
import type { noGoRings } from 'soakline/siting'
import { lineThrough } from 'soakline/terrain'
import { bermStrokes } from './berm-strokes.js'
import { fallLines } from './fall-lines.js'
import type { Ground } from './open-ground.js'
import type { WorkAnswer } from './protocol.js'

// What an answer looks like on the plan: features in map degrees, and the answer itself with no more vertices than a picture needs.

export const collection = (features: readonly Feature[]): FeatureCollection => ({ type: 'FeatureCollection', features: [...features] })

export function feature(
  ground: Ground,
  shapes: readonly Shape[],
  properties: Readonly<Record<string, string | number | boolean | null>>,
): Feature {
  const path = (points: readonly Point[]): number[][] => points.map(ground.onMap)
  const ring = (points: readonly Point[]): number[][] => {
    const places = path(points)
    places.push(ground.onMap(points[0]!))
    return places
  }
  const geometry = (shape: Shape): Geometry =>
    shape.type === 'point'
      ? { type: 'Point', coordinates: ground.onMap(shape.at) }
      : shape.type === 'line'
        ? { type: 'LineString', coordinates: path(shape.path) }
        : { type: 'Polygon', coordinates: shape.rings.map(ring) }
  const all = shapes.map(geometry)
  const polygons = all.flatMap(g => (g.type === 'Polygon' ? [g.coordinates] : []))
  return {
    type: 'Feature',
    properties: { ...properties },
    geometry:
      all.length === 1
        ? all[0]!
        : polygons.length === all.length
          ? { type: 'MultiPolygon', coordinates: polygons }
          : { type: 'GeometryCollection', geometries: all },
  }
}

/** Cells across the clearance from which its outline is drawn: a picture, not an answer. Judgement. */
const HALO_CELLS = 10
/** An outline that would take more cells is left out, so that the page does not wait for a picture. Judgement. */
const MOST_HALO_CELLS = 250_000

/** The line at a distance round shapes. */
export function halo(shapes: readonly Shape[], distance_m: number): Shape[] {
  if (!(distance_m > 0)) return []
  const boxes = shapes.map(shapeBounds)
  const cell_m = distance_m / HALO_CELLS
  const west_m = Math.min(...boxes.map(b => b[0])) - distance_m - 2 * cell_m
  const north_m = Math.max(...boxes.map(b => b[3])) + distance_m + 2 * cell_m
  const width = Math.ceil((Math.max(...boxes.map(b => b[2])) + distance_m + 2 * cell_m - west_m) / cell_m)
  const height = Math.ceil((north_m - Math.min(...boxes.map(b => b[1])) + distance_m + 2 * cell_m) / cell_m)
  if (width * height > MOST_HALO_CELLS) return []
  const g: GridGeometry = { width, height, cell_m, west_m, north_m, crs: 'local' }
  const nearness = new Float64Array(width * height)
  for (let row = 0, k = 0; row < height; row++)
    for (let column = 0; column < width; column++, k++) {
      const at: Point = [west_m + (column + 0.5) * cell_m, north_m - (row + 0.5) * cell_m]
      nearness[k] = 2 * distance_m - Math.min(...shapes.map(shape => distanceToShape_m(at, shape)))
    }
  return polygonsOf(ringsAbove(g, nearness, distance_m))
}

export const drawnNoGo = (here: Ground, noGo: ReturnType<typeof noGoRings>): FeatureCollection =>
  collection(noGo.map(({ reason, rings }) => feature(here, polygonsOf(rings), { what: 'no-go', reason })))

/** How far the line's level is shown beyond the line, both ways together. Judgement. */
const LEVEL_BEYOND_M = 400

/** The level that the line lies on, followed beyond its ends; empty where the ground is too flat or the line is not level. */
function levelBeyond(ground: Ground, { path, length_m, groundRange_m }: Assessment['line']): readonly Point[] {
  if (groundRange_m > ground.card.contourInterval_m.metric / 2) return []
  try {
    return lineThrough(ground.reading.grid, path[Math.floor(path.length / 2)]!, length_m + LEVEL_BEYOND_M).path
  } catch (error) {
    if (error instanceof InputError) return []
    throw error
  }
}

/** How far what is drawn may lie beside what was found, in cells. Judgement. */
const THINNED_CELLS = 0.2

/** An answer whose outlines and paths have no more vertices than a picture needs: they cross to the page with every step of a drag. */
export function forThePage(assessment: Assessment): Assessment {
  const tolerance_m = THINNED_CELLS * assessment.ground.cell_m
  const thin = (paths: readonly (readonly Point[])[]): Point[][] => paths.map(path => thinned(path, tolerance_m))
  const { catchment, spills, spillChoice, worstBreach } = assessment
  return {
    ...assessment,
    catchment: { ...catchment, rings: thin(catchment.rings), ridgeLines: thin(catchment.ridgeLines) },
    spills: spills.map(spill => ({
      ...spill,
      band: thin(spill.band),
      ...(spill.tried ? { tried: spill.tried.map(one => ({ ...one, rings: thin(one.rings) })) } : {}),
      path: { ...spill.path, points: thinned(spill.path.points, tolerance_m), beyond: thinned(spill.path.beyond, tolerance_m) },
    })),
    // The ways of all places tried stay with the worker: their reasons are what the page says.
    ...(spillChoice ? { spillChoice: { ...spillChoice, places: spillChoice.places.map(place => ({ ...place, overflow: null })) } } : {}),
    ...(worstBreach?.overflow
      ? {
          worstBreach: {
            ...worstBreach,
            overflow: { ...worstBreach.overflow, band: [], points: thinned(worstBreach.overflow.points, tolerance_m) },
          },
        }
      : {}),
  }
}

/** What the page draws of them is in `drawn`: under the finger they do not cross to it a second time. */
export const withoutOutlines = (shown: Assessment): Assessment => ({
  ...shown,
  catchment: { ...shown.catchment, rings: [], ridgeLines: [] },
  spills: shown.spills.map(spill => ({ ...spill, band: [] })),
})

/** The line cut into stretches, each with what lies below if the berm gives way there. They overlap a little, so that no gap shows between them. */
function breachStakes(
  { path, length_m }: Assessment['line'],
  breaches: NonNullable<Assessment['breaches']>,
): { path: Point[]; below: string }[] {
  if (breaches.length < 2) return []
  const spacing_m = length_m / (breaches.length - 1)
  const every = stations(path, Math.max(0.25, spacing_m / 4))
  return breaches.map(({ chainage_m, below }) => ({
    below,
    path: every.filter(s => Math.abs(s.chainage_m - chainage_m) <= 0.55 * spacing_m).map(s => s.at),
  }))
}

export function drawnAnswer(ground: Ground, { line, catchment, section, spills, breaches, worstBreach }: Assessment): FeatureCollection {
  const tolerance_m = THINNED_CELLS * ground.reading.grid.geometry.cell_m
  const one = (shape: Shape, properties: Parameters<typeof feature>[2]): Feature => feature(ground, [shape], properties)
  const path = (points: readonly Point[], properties: Parameters<typeof feature>[2]): Feature[] =>
    points.length > 1 ? [one({ type: 'line', path: points }, properties)] : []
  const strokes = bermStrokes(ground.reading.grid, stations(line.path, ground.reading.grid.geometry.cell_m * 2), section)
  return collection([
    ...path(thinned(levelBeyond(ground, line), tolerance_m), { what: 'level-line' }),
    ...(catchment.rings.length > 0
      ? [feature(ground, polygonsOf(catchment.rings), { what: 'catchment', cutByEdge: catchment.cutByEdge })]
      : []),
    ...fallLines(ground.reading.grid, catchment.rings).flatMap(points => path(thinned(points, tolerance_m), { what: 'fall-line' })),
    ...catchment.ridgeLines.flatMap(points => path(points, { what: 'ridge' })),
    ...(catchment.ridge
      ? [one({ type: 'point', at: catchment.ridge.highPoint }, { what: 'high-point', elevation_m: catchment.ridge.elevation_m })]
      : []),
    ...spills.flatMap(({ chainage_m, rank, path: way, band }) => [
      ...(band.length > 0 ? [feature(ground, polygonsOf(band), { what: 'band', chainage_m, rank })] : []),
      ...path(way.points, { what: 'path', chainage_m, rank, reachesBuilding: way.reachesBuilding }),
      ...path(way.beyond, { what: 'beyond', chainage_m, rank }),
      one({ type: 'point', at: way.points[way.points.length - 1]! }, { what: 'path-end', chainage_m, rank, endsIn: way.endsIn }),
    ]),
    ...spills.flatMap(({ chainage_m, rank, tried = [] }) =>
      tried.flatMap(({ share_ratio, rings }) =>
        rings.length > 0 ? [feature(ground, polygonsOf(rings), { what: 'tried', chainage_m, rank, share_ratio })] : [],
      ),
    ),
    ...(worstBreach?.overflow ? path([...worstBreach.overflow.points, ...worstBreach.overflow.beyond.slice(1)], { what: 'breach' }) : []),
    ...breachStakes(line, breaches ?? []).flatMap(({ path: piece, below }) => path(piece, { what: 'breach-stake', below })),
    ...strokes.map(stroke => one({ type: 'line', path: stroke }, { what: 'berm-stroke' })),
    ...path(line.path, { what: 'line', bedElevation_m: line.bedElevation_m }),
  ])
}

/** Stakes, places to plant, and where the berm was found low. */
export function drawnWork(ground: Ground, { path }: LaidLine, work: GroundWork, built: WorkAnswer['built']): FeatureCollection {
  const lows = built && 'value' in built ? built.value.asBuilt.lowSpots : []
  const along = lows.length > 0 ? stations(path, 0.5) : []
  return collection([
    ...work.planting.zones.flatMap(({ zone, parts }) =>
      parts.map(({ ring }) => feature(ground, [{ type: 'polygon', rings: [ring] }], { what: 'plant-zone', zone })),
    ),
    ...lows.flatMap(({ from_m, to_m }) => {
      const piece = along.filter(s => s.chainage_m >= from_m && s.chainage_m <= to_m).map(s => s.at)
      return piece.length > 1 ? [feature(ground, [{ type: 'line', path: piece }], { what: 'low-spot' })] : []
    }),
    ...work.stakes.map(({ at, number, kinds }) =>
      feature(ground, [{ type: 'point', at }], { what: 'stake', label: String(number), named: kinds.some(kind => kind !== 'step') }),
    ),
  ])
}
