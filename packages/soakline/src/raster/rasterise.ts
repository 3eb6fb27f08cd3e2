import { cellCentre, type GridGeometry, type Point } from './grid.js'
import { distance_m, distanceToSegment, insideRings } from './polyline.js'
import type { Shape } from './shape.js'

/** Pieces of a shape's outline, rings closed. */
function pieces(shape: Shape): [Point, Point][] {
  if (shape.type === 'point') return [[shape.at, shape.at]]
  if (shape.type === 'line') return shape.path.slice(1).map((b, k) => [shape.path[k]!, b])
  return shape.rings.flatMap(ring => ring.map((a, k): [Point, Point] => [a, ring[(k + 1) % ring.length]!]))
}

/** Horizontal distance from a place to a shape; 0 inside a polygon. */
export function distanceToShape_m(place: Point, shape: Shape): number {
  if (shape.type === 'point') return distance_m(place, shape.at)
  if (shape.type === 'polygon' && insideRings(place, shape.rings)) return 0
  let least = Number.POSITIVE_INFINITY
  for (const [a, b] of pieces(shape)) least = Math.min(least, distanceToSegment(place, a, b).distance_m)
  return least
}

/** West, south, east, north of a shape. */
export function shapeBounds(shape: Shape): [number, number, number, number] {
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity]
  for (const [a, b] of pieces(shape))
    for (const [x, y] of [a, b]) {
      box[0] = Math.min(box[0], x)
      box[1] = Math.min(box[1], y)
      box[2] = Math.max(box[2], x)
      box[3] = Math.max(box[3], y)
    }
  return box
}

/**
 * Cells whose centre lies within a distance of a shape (inside a polygon counts as 0), and with `touching` the cells that the outline passes too,
 * so that a shape smaller than a cell is never lost.
 */
export function cellsNear(g: GridGeometry, shape: Shape, within_m: number, { touching = true } = {}): number[] {
  // Row by row, each once: as they are asked for.
  if (shape.type === 'polygon' && !touching && within_m <= 0) return cellsInside(g, shape.rings)
  const cells = new Set<number>()
  if (shape.type === 'polygon') for (const cell of cellsInside(g, shape.rings)) cells.add(cell)
  for (const [a, b] of pieces(shape)) {
    if (touching) for (const cell of cellsAlong(g, a, b)) cells.add(cell)
    if (within_m <= 0) continue
    const columns = columnsBetween(g, Math.min(a[0], b[0]) - within_m, Math.max(a[0], b[0]) + within_m)
    const rows = rowsBetween(g, Math.max(a[1], b[1]) + within_m, Math.min(a[1], b[1]) - within_m)
    for (let row = rows[0]; row <= rows[1]; row++)
      for (let column = columns[0]; column <= columns[1]; column++) {
        const cell = row * g.width + column
        if (!cells.has(cell) && distanceToSegment(cellCentre(g, cell), a, b).distance_m <= within_m) cells.add(cell)
      }
  }
  return [...cells].sort((a, b) => a - b)
}

/** First and last column whose centres lie from one easting to another. */
const columnsBetween = (g: GridGeometry, west: number, east: number): [number, number] => [
  Math.max(0, Math.ceil((west - g.west_m) / g.cell_m - 0.5)),
  Math.min(g.width - 1, Math.floor((east - g.west_m) / g.cell_m - 0.5)),
]

/** First and last row whose centres lie from one northing down to another. */
const rowsBetween = (g: GridGeometry, north: number, south: number): [number, number] => [
  Math.max(0, Math.ceil((g.north_m - north) / g.cell_m - 0.5)),
  Math.min(g.height - 1, Math.floor((g.north_m - south) / g.cell_m - 0.5)),
]

/** Cells whose centre lies inside rings by the even–odd rule, row by row between the rings' crossings: as `insideRings` of each centre. */
function cellsInside(g: GridGeometry, rings: readonly (readonly Point[])[]): number[] {
  const cells: number[] = []
  const ys = rings.flat().map(p => p[1])
  const [top, bottom] = rowsBetween(
    g,
    ys.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY),
    ys.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY),
  )
  for (let row = top; row <= bottom; row++) {
    const y = cellCentre(g, row * g.width)[1]
    const crossings: number[] = []
    for (const ring of rings)
      for (let k = 0, j = ring.length - 1; k < ring.length; j = k++) {
        const a = ring[k]!
        const b = ring[j]!
        if (a[1] > y !== b[1] > y) crossings.push(((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]) + a[0])
      }
    crossings.sort((p, q) => p - q)
    for (let k = 0; k + 1 < crossings.length; k += 2) {
      const [first, end] = columnsBetween(g, crossings[k]!, crossings[k + 1]!)
      // A centre exactly on the eastern crossing is outside, as by `insideRings`.
      let last = end
      while (last >= first && !(cellCentre(g, last)[0] < crossings[k + 1]!)) last--
      for (let column = first; column <= last; column++) cells.push(row * g.width + column)
    }
  }
  return cells
}

/** In cells: a piece that misses a corner by less passes through it, and a part shorter than this is none. */
const HAIR = 1e-9

/**
 * Cells that a straight piece passes through, in order, both ends' among them. Where it passes a corner, both cells beside the corner too; where
 * it ends on one, all four round it.
 *
 * Options `corners`, default true: false leaves out the cells that the piece only touches at a corner; what is left may be joined by corners.
 * Shapes  cells off the raster are left out; a cell may come twice, never twice running.
 * Laws    joined by sides: no diagonal step passes between them, nor between the cells of pieces that share an end. So a wall of them is tight.
 */
export function cellsAlong(g: GridGeometry, a: Point, b: Point, { corners = true } = {}): number[] {
  // In columns and rows, where grid lines are whole numbers.
  const ax = (a[0] - g.west_m) / g.cell_m
  const ay = (g.north_m - a[1]) / g.cell_m
  const bx = (b[0] - g.west_m) / g.cell_m
  const by = (g.north_m - b[1]) / g.cell_m
  const cells: number[] = []
  const add = (column: number, row: number): void => {
    if (column < 0 || row < 0 || column >= g.width || row >= g.height) return
    const cell = row * g.width + column
    if (cells[cells.length - 1] !== cell) cells.push(cell)
  }
  let lastColumn = Number.NaN
  let lastRow = Number.NaN
  const pass = (x: number, y: number): void => {
    const column = Math.floor(x)
    const row = Math.floor(y)
    // A diagonal step: the piece has passed a corner.
    if (corners && Math.abs(column - lastColumn) === 1 && Math.abs(row - lastRow) === 1) {
      add(column, lastRow)
      add(lastColumn, row)
    }
    add(column, row)
    lastColumn = column
    lastRow = row
  }
  const end = (x: number, y: number): void => {
    const column = Math.round(x)
    const row = Math.round(y)
    if (!corners || Math.abs(x - column) > HAIR || Math.abs(y - row) > HAIR) return
    add(column - 1, row - 1)
    add(column, row - 1)
    add(column, row)
    add(column - 1, row)
  }
  // The piece is cut at each grid line that it meets; the middle of every part names its cell.
  const cuts = [0, 1]
  for (const [from, to, lines] of [
    [ax, bx, g.width],
    [ay, by, g.height],
  ] as const) {
    const low = Math.max(0, Math.ceil(Math.min(from, to)))
    const high = Math.min(lines, Math.floor(Math.max(from, to)))
    if (from !== to) for (let line = low; line <= high; line++) cuts.push((line - from) / (to - from))
  }
  cuts.sort((s, t) => s - t)
  const dx = bx - ax
  const dy = by - ay
  const hair = HAIR / Math.max(Math.abs(dx), Math.abs(dy))
  end(ax, ay)
  pass(ax, ay)
  for (let k = 1; k < cuts.length; k++) {
    if (!(cuts[k]! - cuts[k - 1]! > hair)) continue
    const t = (cuts[k - 1]! + cuts[k]!) / 2
    pass(ax + t * dx, ay + t * dy)
  }
  pass(bx, by)
  end(bx, by)
  return cells
}
