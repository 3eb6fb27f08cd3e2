import { dependenceOn, type WaterStudy } from '../hydrology/index.js'
import { cellAt, cellsNear, type Point, type Shape, stations } from '../raster/index.js'
import type { SiteFeature } from './feature.js'
import { outline } from './overflow.js'

/** Cells of shapes and those near them. */
export const nearCells = ({ ground }: WaterStudy, features: readonly SiteFeature[], within_m: number): number[] =>
  shapesOf(features).flatMap(shape => cellsNear(ground.geometry, shape, within_m))

/** All shapes of some features. */
export const shapesOf = (features: readonly SiteFeature[]): Shape[] => features.flatMap(f => f.shapes)

/** Cells of whose water at least a part runs to the shapes or a margin round them. */
export function aboveCells(study: WaterStudy, features: readonly SiteFeature[], margin_m: number, share_ratio: number): number[] {
  const targets = new Uint8Array(study.ground.data.length)
  for (const cell of nearCells(study, features, margin_m)) targets[cell] = 1
  if (!targets.includes(1)) return []
  const share = dependenceOn(study.net, targets).data
  const cells: number[] = []
  for (let cell = 0; cell < share.length; cell++) if (share[cell]! >= share_ratio) cells.push(cell)
  return cells
}

/** Cells near the boundary, and all beyond it where it is drawn as an area. */
export function boundaryCells(study: WaterStudy, features: readonly SiteFeature[], within_m: number): number[] {
  const g = study.ground.geometry
  const cells: number[] = []
  const push = (more: readonly number[]): void => {
    for (const cell of more) cells.push(cell)
  }
  for (const shape of shapesOf(features)) push(cellsNear(g, outline(shape), within_m))
  const holdings = shapesOf(features).filter(s => s.type === 'polygon')
  if (holdings.length === 0) return cells
  const inside = new Uint8Array(study.ground.data.length)
  for (const shape of holdings) for (const cell of cellsNear(g, shape, 0, { touching: false })) inside[cell] = 1
  for (let cell = 0; cell < inside.length; cell++) if (!inside[cell]) cells.push(cell)
  return cells
}

const closed = (ring: readonly Point[]): Point[] => [...ring, ring[0]!]

/**
 * Cells near buildings, septic fields or wells that lie higher: what soaks in there may come out below.
 *
 * A building's level is its floor or the lowest ground at its footprint, whichever is lower; where neither is known, all the ground near it counts.
 */
export function seepageCells({ surveyed }: WaterStudy, features: readonly SiteFeature[], within_m: number): number[] {
  const g = surveyed.geometry
  return features.flatMap(feature => {
    const footprint = feature.shapes.flatMap(shape => cellsNear(g, shape, 0))
    const heights = footprint.map(cell => surveyed.data[cell]!).filter(z => !Number.isNaN(z))
    const level = [...heights, feature.floor_m ?? Number.POSITIVE_INFINITY].reduce((a, b) => Math.min(a, b))
    const known = level < Number.POSITIVE_INFINITY
    return feature.shapes
      .flatMap(shape => cellsNear(g, shape, within_m))
      .filter(cell => (known ? surveyed.data[cell]! > level : !Number.isNaN(surveyed.data[cell]!)))
  })
}

/** Cells within a distance of any of the given places that lie higher than the ground at that place. */
export function higherNear(
  { surveyed }: WaterStudy,
  banks: readonly number[],
  features: readonly SiteFeature[],
  within_m: number,
): number[] {
  const g = surveyed.geometry
  const found = new Uint8Array(surveyed.data.length)
  const reach = Math.floor(within_m / g.cell_m)
  const round = (from: number): void => {
    const z = surveyed.data[from]!
    if (Number.isNaN(z)) return
    const column = from % g.width
    const row = (from - column) / g.width
    for (let dr = -Math.min(reach, row); dr <= reach && row + dr < g.height; dr++)
      for (let dc = -Math.min(reach, column); dc <= reach && column + dc < g.width; dc++) {
        const to = from + dr * g.width + dc
        if (found[to] || !(surveyed.data[to]! > z)) continue
        if ((dc * dc + dr * dr) * g.cell_m * g.cell_m <= within_m * within_m) found[to] = 1
      }
  }
  for (const cell of banks) round(cell)
  for (const cell of new Set(shapesOf(features).flatMap(shape => cellsUnder(shape, surveyed)))) round(cell)
  const cells: number[] = []
  for (let cell = 0; cell < found.length; cell++) if (found[cell]) cells.push(cell)
  return cells
}

/** Cells along a shape's outline, or its place. */
function cellsUnder(shape: Shape, { geometry: g }: WaterStudy['surveyed']): number[] {
  const paths =
    shape.type === 'point' ? [[shape.at, shape.at]] : shape.type === 'line' ? [shape.path] : shape.rings.map(ring => closed(ring))
  return paths.flatMap(path => stations(path, g.cell_m / 2).map(({ at }) => cellAt(g, at[0], at[1]))).filter(cell => cell >= 0)
}

/** Cells near a slip that lie higher than the middle of its height: above its head, or beside it. */
export function aboveSlipCells({ surveyed }: WaterStudy, features: readonly SiteFeature[], within_m: number): number[] {
  const g = surveyed.geometry
  return features.flatMap(feature => {
    let low = Number.POSITIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    for (const shape of feature.shapes)
      for (const cell of cellsNear(g, shape, 0)) {
        const z = surveyed.data[cell]!
        if (z < low) low = z
        if (z > high) high = z
      }
    const middle = low <= high ? (low + high) / 2 : Number.NEGATIVE_INFINITY
    return feature.shapes.flatMap(shape => cellsNear(g, shape, within_m)).filter(cell => surveyed.data[cell]! >= middle)
  })
}
