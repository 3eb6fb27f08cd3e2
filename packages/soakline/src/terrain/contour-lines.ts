import { type ElevationGrid, fromLattice, type Grid, type Patch, type Point, patchOf } from '../raster/index.js'
import { joinedEdges, walkLevel } from './isoline.js'

/** A line of one height. Closed lines repeat their first point; open ones end where the ground ends. */
export interface ContourLine {
  readonly elevation_m: number
  readonly path: readonly Point[]
  readonly closed: boolean
}

/**
 * Contour lines at whole multiples of an interval, on the surface that is bilinear between cell centres.
 *
 * No data  lines are open at voids and at the outermost cell centres; the frame is never part of them.
 * Laws     every vertex interpolates to its level; a plateau at exactly a level gives one line at its foot.
 * Cost     one pass over the raster and one step for each crossing.
 */
export function contourLines(ground: ElevationGrid, interval_m: number): ContourLine[] {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const z of ground.data)
    if (!Number.isNaN(z)) {
      if (z < low) low = z
      if (z > high) high = z
    }
  const lines: ContourLine[] = []
  for (let k = Math.ceil(low / interval_m); k * interval_m <= high; k++) lines.push(...linesAt(ground, k * interval_m))
  return lines
}

/** All lines of one level. */
export function linesAt(grid: Grid, level: number): ContourLine[] {
  const { width, height } = grid.geometry
  // A crossing lies on a rim shared by two patches; it is named by the cell centre at the rim's north-west end and the rim's direction.
  const seen = new Set<number>()
  const name = (column: number, row: number, edge: number): number => {
    if (edge === 1) return (row * width + column + 1) * 2 + 1
    if (edge === 2) return ((row + 1) * width + column) * 2
    return (row * width + column) * 2 + (edge === 3 ? 1 : 0)
  }
  const walk = (patch: Patch, towards: number): { points: Point[]; closed: boolean } => {
    const points: Point[] = []
    const steps = walkLevel(grid, patch, towards, level)
    for (let step = steps.next(); ; step = steps.next()) {
      if (step.done) return { points, closed: step.value === 'closed' }
      const { u, v, patch: at, edge } = step.value
      seen.add(name(at.column, at.row, edge))
      points.push(fromLattice(grid.geometry, u, v))
    }
  }
  const lines: ContourLine[] = []
  const z = grid.data
  for (let row = 0; row < height - 1; row++) {
    for (let column = 0, at = row * width; column < width - 1; column++, at++) {
      const above = z[at]! >= level
      if (above === z[at + 1]! >= level && above === z[at + width]! >= level && above === z[at + width + 1]! >= level) continue
      const patch = patchOf(grid, column, row)
      if (!patch) continue
      const joined = joinedEdges(patch, level)
      for (let edge = 0; edge < 4; edge++) {
        const other = joined[edge]!
        if (other < edge || seen.has(name(column, row, edge)) || seen.has(name(column, row, other))) continue
        const onward = walk(patch, other)
        const points = onward.closed ? onward.points : [...walk(patch, edge).points.reverse(), ...onward.points]
        const path = points.filter((p, k) => k === 0 || p[0] !== points[k - 1]![0] || p[1] !== points[k - 1]![1])
        if (onward.closed) {
          const last = path[path.length - 1]!
          if (path.length > 1 && last[0] === path[0]![0] && last[1] === path[0]![1]) path.pop()
          path.push(path[0]!)
        }
        if (path.length > (onward.closed ? 2 : 1)) lines.push({ elevation_m: level, path, closed: onward.closed })
      }
    }
  }
  return lines
}
