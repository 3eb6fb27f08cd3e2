import type { GridGeometry, Point } from './grid.js'
import { insideTester } from './inside-rings.js'
import { type Box, boxOfPath, ringArea_m2 } from './polyline.js'
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
  const [top, bottom] = box ? [box.firstRow - 1, box.lastRow + 1] : [-1, height]
  const [west, east] = box ? [box.firstColumn - 1, box.lastColumn + 1] : [-1, width]
  if (bottom < top) return []
  // Which corners of a row are high, 32 to a word, the padding too: most patches lie wholly on one side, and that is told for 32 at once.
  const columns = east - west + 1
  const words = Math.ceil(columns / 32)
  const beyond = 0 >= level
  const firstCorner = Math.max(west, 0) - west
  const lastCorner = Math.min(east, width - 1) - west
  const tell = (row: number, high: Int32Array): void => {
    high.fill(beyond ? -1 : 0)
    if (row < 0 || row >= height) return
    for (let corner = firstCorner, cell = row * width + west + firstCorner; corner <= lastCorner; corner++, cell++) {
      const v = value[cell]!
      if (v >= level) high[corner >> 5]! |= 1 << (corner & 31)
      else if (beyond && !Number.isNaN(v)) high[corner >> 5]! &= ~(1 << (corner & 31))
    }
  }
  // The rings' pieces, one for each run of high corners in a patch: the edge of the lattice where it begins, and the piece that goes on from its end.
  const beginsOn: number[] = []
  const goesOnIn: number[] = []
  // The piece that the patch before left on an edge: above by column, and on the left.
  const above = new Int32Array(columns)
  let left = 0
  const span = width + 3
  // Corners and edges are counted clockwise from the north-west; edge k lies between corner k and corner k + 1.
  const edgeOf = (column: number, row: number, k: number): number =>
    ((row + (k === 2 ? 2 : 1)) * span + column + (k === 1 ? 2 : 1)) * 2 + (k & 1)
  const addPieces = (column: number, row: number, corners: number): void => {
    const isSaddle = corners === 0b0101 || corners === 0b1010
    // Two high corners across from each other make one run where the middle is high.
    const joined = isSaddle && (at(column, row) + at(column + 1, row) + at(column, row + 1) + at(column + 1, row + 1)) / 4 >= level
    const [onTop, onLeft] = [above[column - west]!, left]
    // A ring keeps the high ground on its left: within a patch it runs from where a run of high corners begins (clockwise) to where it ends.
    for (let to = 0; to < 4; to++) {
      if (((corners >> to) & 1) === 0 || ((corners >> ((to + 1) & 3)) & 1) === 1) continue
      let from = joined ? (to + 1) & 3 : (to + 3) & 3
      while (!joined && ((corners >> from) & 1) === 1) from = (from + 3) & 3
      const piece = beginsOn.push(edgeOf(column, row, from)) - 1
      goesOnIn.push(to === 0 ? onTop : to === 3 ? onLeft : -1)
      if (from === 0) goesOnIn[onTop] = piece
      else if (from === 3) goesOnIn[onLeft] = piece
      if (from === 1 || to === 1) left = piece
      if (from === 2 || to === 2) above[column - west] = piece
    }
  }
  let north = new Int32Array(words)
  let south = new Int32Array(words)
  tell(top, south)
  for (let row = top; row < bottom; row++) {
    const free = north
    north = south
    south = free
    tell(row + 1, south)
    for (let word = 0; word < words; word++) {
      const nw = north[word]!
      const sw = south[word]!
      // The corners to the east of them: each the next bit, the last of a word the first of the next.
      const ne = (nw >>> 1) | ((word + 1 < words ? north[word + 1]! : nw >> 31) << 31)
      const se = (sw >>> 1) | ((word + 1 < words ? south[word + 1]! : sw >> 31) << 31)
      for (let mixed = (nw ^ sw) | (nw ^ ne) | (sw ^ se); mixed !== 0; mixed &= mixed - 1) {
        const bit = 31 - Math.clz32(mixed & -mixed)
        const column = west + 32 * word + bit
        // Bits beyond the last column are of no patch.
        if (column >= east) break
        addPieces(column, row, ((nw >>> bit) & 1) | (((ne >>> bit) & 1) << 1) | (((se >>> bit) & 1) << 2) | (((sw >>> bit) & 1) << 3))
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
  const isDone = new Uint8Array(beginsOn.length)
  for (let start = 0; start < beginsOn.length; start++) {
    // Counted first: lists that grow are made several times over.
    let vertices = 0
    for (let piece = start; isDone[piece] === 0; piece = goesOnIn[piece]!) {
      isDone[piece] = 1
      vertices++
    }
    if (vertices < 3) continue
    const ring = new Array<Point>(vertices)
    for (let k = 0, piece = start; k < vertices; k++, piece = goesOnIn[piece]!) ring[k] = point(beginsOn[piece]!)
    rings.push(ring)
  }
  return rings
}

/** Polygons from rings as `ringsAbove` gives them: each hole goes to the smallest outer ring round it. */
export function polygonsOf(rings: readonly (readonly Point[])[]): Shape[] {
  const measured = rings.map(ring => ({ ring, area: ringArea_m2(ring) }))
  const outers = measured
    .filter(({ area }) => area > 0)
    .map(({ ring, area }) => ({ rings: [ring], area, box: boxOfPath(ring), inside: null as ReturnType<typeof insideTester> | null }))
  outers.sort((a, b) => a.area - b.area)
  for (const { ring: hole, area } of measured) {
    if (area >= 0) continue
    const place = hole[0]!
    // A band has hundreds of rings: most are told off by their box, before their vertices are gone round.
    const round = outers.find(
      outer => outer.area > -area && isIn(place, outer.box) && (outer.inside ??= insideTester([outer.rings[0]!]))(place),
    )
    round?.rings.push(hole)
  }
  return outers.map(({ rings: parts }) => ({ type: 'polygon', rings: parts }))
}

/** A box is taken for a hair wider, for the rounding of where a ring's sides pass a place. */
const HAIR_m = 1e-6

const isIn = ([x, y]: Point, [west, south, east, north]: Box): boolean =>
  x >= west - HAIR_m && x <= east + HAIR_m && y >= south - HAIR_m && y <= north + HAIR_m
