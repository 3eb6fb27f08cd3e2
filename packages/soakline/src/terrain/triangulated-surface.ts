import { finish, InputError, inBands, type Steps } from '../foundation/index.js'
import { distance_m, type ElevationGrid, type GridGeometry } from '../raster/index.js'
import { pointSpacing } from './point-spacing.js'
import type { SurveyPoint } from './survey-points.js'

/**
 * Ground heights from measured points and the triangles between them, straight within each triangle.
 *
 * Shapes   `triangles` holds three indices of `points` each, in either turning; they do not overlap.
 * Units    `longestEdge_m`: triangles with a longer edge are left void, since nobody measured what they bridge; default the one that `pointSpacing`
 *          suggests, 4 times the median edge (judgement); `Infinity` keeps all.
 * No data  NaN outside the triangles.
 * Laws     planes come out as they are; a centre on a point has that point's height, one on an edge the value between its two points, whichever
 *          triangle is asked; no height is above or below those of its triangle; neither the order of triangles nor of points changes a bit.
 * Throws   InputError `survey/triangles` when the indices are not three by three or name no point.
 * Cost     the triangles and the cells in their bounding boxes.
 * Source   barycentric coordinates (A. F. Möbius, 1827).
 */
export function surfaceFromTriangles(
  points: readonly SurveyPoint[],
  triangles: ArrayLike<number>,
  geometry: GridGeometry,
  limits: { readonly longestEdge_m?: number } = {},
): ElevationGrid {
  return finish(surfaceFromTrianglesSteps(points, triangles, geometry, limits))
}

/** `surfaceFromTriangles` in steps. */
export function* surfaceFromTrianglesSteps(
  points: readonly SurveyPoint[],
  triangles: ArrayLike<number>,
  geometry: GridGeometry,
  limits: { readonly longestEdge_m?: number } = {},
): Steps<ElevationGrid> {
  const { width, height, cell_m, west_m, north_m } = geometry
  const data = new Float32Array(width * height).fill(Number.NaN)
  if (triangles.length % 3 !== 0) throw badTriangles(triangles.length)
  for (let k = 0; k < triangles.length; k++) if (!points[triangles[k]!]) throw badTriangles(triangles[k]!)
  const longestEdge_m = limits.longestEdge_m ?? pointSpacing(points, triangles).suggestedLongestEdge_m
  const fill = (first: number, end: number): void => {
    for (let k = 3 * first; k < 3 * end; k += 3) {
      const corners = [points[triangles[k]!]!, points[triangles[k + 1]!]!, points[triangles[k + 2]!]!]
      // One order for each triangle and each edge, by value before place: the answer cannot depend on who comes first, and turns with the points.
      corners.sort(inOrder)
      const [a, b, c] = corners as [SurveyPoint, SurveyPoint, SurveyPoint]
      if (distance_m(a.at, b.at) > longestEdge_m || distance_m(b.at, c.at) > longestEdge_m || distance_m(a.at, c.at) > longestEdge_m)
        continue
      const xs = corners.map(p => p.at[0])
      const ys = corners.map(p => p.at[1])
      const firstColumn = Math.max(0, Math.ceil((Math.min(...xs) - west_m) / cell_m - 0.5 - 1e-9))
      const lastColumn = Math.min(width - 1, Math.floor((Math.max(...xs) - west_m) / cell_m - 0.5 + 1e-9))
      const firstRow = Math.max(0, Math.ceil((north_m - Math.max(...ys)) / cell_m - 0.5 - 1e-9))
      const lastRow = Math.min(height - 1, Math.floor((north_m - Math.min(...ys)) / cell_m - 0.5 + 1e-9))
      for (let row = firstRow; row <= lastRow; row++)
        for (let column = firstColumn; column <= lastColumn; column++) {
          const z = heightIn(a, b, c, west_m + (column + 0.5) * cell_m, north_m - (row + 0.5) * cell_m)
          if (z !== null) data[row * width + column] = z + 0
        }
    }
  }
  const count = triangles.length / 3
  // As many triangles in a step as hold a step's cells.
  yield* inBands(count, Math.max(1, Math.ceil((width * height) / Math.max(1, count))), fill)
  return { quantity: 'elevation_m', geometry, data }
}

function badTriangles(index: number): InputError {
  return new InputError('survey/triangles', `The triangles do not fit the points (${index}). Triangulate the points anew.`, { index })
}

/** Lower points first; of two equally high ones the more westerly, then the more southerly. */
const inOrder = (p: SurveyPoint, q: SurveyPoint): number => p.elevation_m - q.elevation_m || p.at[0] - q.at[0] || p.at[1] - q.at[1]

/** Twice the area of the triangle between an edge and a place. Triangles that share the edge ask with its ends in the same order: no place falls between them. */
const beside = (p: SurveyPoint, q: SurveyPoint, x: number, y: number): number =>
  (q.at[0] - p.at[0]) * (y - p.at[1]) - (q.at[1] - p.at[1]) * (x - p.at[0])

/** Height at a place of a triangle whose corners come in order; null outside it. */
function heightIn(a: SurveyPoint, b: SurveyPoint, c: SurveyPoint, x: number, y: number): number | null {
  const whole = beside(a, b, c.at[0], c.at[1])
  if (whole === 0) return null
  const ab = beside(a, b, x, y)
  const bc = beside(b, c, x, y)
  const ac = beside(a, c, x, y)
  // Seen along a→b, b→c and a→c the inside lies on the side of the third corner; a→c is walked the other way round.
  const sign = whole > 0 ? 1 : -1
  if (sign * ab < 0 || sign * bc < 0 || sign * ac > 0) return null
  if (ab === 0) return onEdge(a, b, x, y)
  if (bc === 0) return onEdge(b, c, x, y)
  if (ac === 0) return onEdge(a, c, x, y)
  const z = a.elevation_m + (-ac / whole) * (b.elevation_m - a.elevation_m) + (ab / whole) * (c.elevation_m - a.elevation_m)
  return Math.min(c.elevation_m, Math.max(a.elevation_m, z))
}

/** Height at a place on an edge whose ends come in order: by the longer of its two extents, and null beyond its ends. */
function onEdge(p: SurveyPoint, q: SurveyPoint, x: number, y: number): number | null {
  const [dx, dy] = [q.at[0] - p.at[0], q.at[1] - p.at[1]]
  const t = Math.abs(dx) >= Math.abs(dy) ? (x - p.at[0]) / dx : (y - p.at[1]) / dy
  if (!(t >= 0 && t <= 1)) return null
  return t === 1 ? q.elevation_m : p.elevation_m + t * (q.elevation_m - p.elevation_m)
}
