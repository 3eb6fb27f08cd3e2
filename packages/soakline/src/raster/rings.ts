import type { GridGeometry, Point } from './grid.js'
import { insideRings, ringArea_m2 } from './polyline.js'
import type { Shape } from './shape.js'
import { fromLattice } from './surface.js'

/** A block of cells, first and last of each included. */
export interface CellBox {
  readonly firstColumn: number
  readonly lastColumn: number
  readonly firstRow: number
  readonly lastRow: number
}

/**
 * Rings round the ground where a value is at least `level`: outer rings counter-clockwise, holes clockwise.
 * Marching squares on cell centres, linear between them; beyond the raster and where there is no data the value counts as 0.
 *
 * Laws    the signed areas of all rings add up to the enclosed area.
 * Cost    one pass over the raster, or over `box` where it is given: nothing outside it may reach the level.
 */
export function ringsAbove(g: GridGeometry, value: ArrayLike<number>, level: number, box?: CellBox): Point[][] {
  const { width, height } = g
  const at = (column: number, row: number): number => {
    if (column < 0 || row < 0 || column >= width || row >= height) return 0
    const v = value[row * width + column]!
    return !Number.isNaN(v) ? v : 0
  }
  // Edges of the lattice, padded by one: an id for each, and for each the edge on which the ring goes on.
  const span = width + 3
  const horizontal = (column: number, row: number): number => ((row + 1) * span + column + 1) * 2
  const vertical = (column: number, row: number): number => horizontal(column, row) + 1
  const next = new Map<number, number>()
  const [top, bottom] = box ? [box.firstRow - 1, box.lastRow + 1] : [-1, height]
  const [west, east] = box ? [box.firstColumn - 1, box.lastColumn + 1] : [-1, width]
  if (bottom < top) return []
  // Which corners are high, the padding too: most patches lie wholly on one side, and that is told from here.
  const columns = east - west + 1
  const beyond = 0 >= level
  const high = new Uint8Array(columns * (bottom - top + 1)).fill(beyond ? 1 : 0)
  const lastColumn = Math.min(east, width - 1)
  for (let row = Math.max(top, 0); row <= Math.min(bottom, height - 1); row++) {
    let corner = (row - top) * columns + Math.max(west, 0) - west
    for (let cell = row * width + Math.max(west, 0); cell <= row * width + lastColumn; cell++, corner++) {
      const v = value[cell]!
      high[corner] = v >= level || (beyond && Number.isNaN(v)) ? 1 : 0
    }
  }
  for (let row = top; row < bottom; row++) {
    let patch = (row - top) * columns
    let onLeft = high[patch]! + high[patch + columns]!
    for (let column = west; column < east; column++, patch++) {
      const onRight = high[patch + 1]! + high[patch + 1 + columns]!
      const highCorners = onLeft + onRight
      onLeft = onRight
      if (highCorners === 0 || highCorners === 4) continue
      const nw = high[patch] === 1
      const ne = high[patch + 1] === 1
      const sw = high[patch + columns] === 1
      const se = high[patch + columns + 1] === 1
      // A ring keeps the high ground on its left: within a patch it runs from where a run of high corners begins (clockwise) to where it ends.
      const corners = [nw, ne, se, sw]
      const edges = [horizontal(column, row), vertical(column + 1, row), horizontal(column, row + 1), vertical(column, row)] // edge k lies between corner k and corner k + 1, clockwise
      const middle = (at(column, row) + at(column + 1, row) + at(column, row + 1) + at(column + 1, row + 1)) / 4 >= level
      for (let k = 0; k < 4; k++) {
        if (!(corners[k] && !corners[(k + 1) % 4])) continue
        let first = k
        while (corners[(first + 3) % 4] && first > k - 3) first--
        const joined = middle && corners[(k + 2) % 4] && !corners[(k + 3) % 4] // two high corners, one run through the middle
        next.set(edges[joined ? (k + 1) % 4 : (first + 3) % 4]!, edges[k]!)
      }
    }
  }
  const point = (edge: number): Point => {
    const upright = edge % 2 === 1
    const index = (edge - (upright ? 1 : 0)) / 2
    const column = (index % span) - 1
    const row = Math.floor(index / span) - 1
    const a = at(column, row)
    const b = upright ? at(column, row + 1) : at(column + 1, row)
    const t = (level - a) / (b - a)
    return fromLattice(g, upright ? column : column + t, upright ? row + t : row)
  }
  const rings: Point[][] = []
  for (const start of [...next.keys()]) {
    if (!next.has(start)) continue
    const ring: Point[] = []
    for (let edge: number | undefined = start; edge !== undefined; ) {
      const to: number | undefined = next.get(edge)
      next.delete(edge)
      if (to !== undefined) ring.push(point(edge))
      edge = to
    }
    if (ring.length > 2) rings.push(ring)
  }
  return rings
}

/** Polygons from rings as `ringsAbove` gives them: each hole goes to the smallest outer ring round it. */
export function polygonsOf(rings: readonly (readonly Point[])[]): Shape[] {
  const outers = rings.filter(ring => ringArea_m2(ring) > 0).map(ring => ({ rings: [ring], area: ringArea_m2(ring) }))
  outers.sort((a, b) => a.area - b.area)
  for (const hole of rings) {
    if (ringArea_m2(hole) >= 0) continue
    outers.find(outer => outer.area > -ringArea_m2(hole) && insideRings(hole[0]!, [outer.rings[0]!]))?.rings.push(hole)
  }
  return outers.map(({ rings: parts }) => ({ type: 'polygon', rings: parts }))
}
