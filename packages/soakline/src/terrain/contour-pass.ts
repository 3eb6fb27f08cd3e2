import { inBands, type Steps, within } from '../foundation/index.js'
import { fromLattice, type Grid } from '../raster/index.js'
import { joinedEdges } from './isoline.js'

/** Lines of several levels, packed: line k runs over the vertices `start[k]` to `start[k + 1]`, whose places stand in `xy` two by two. */
export interface PackedContours {
  readonly xy: Float64Array
  readonly start: Uint32Array
  /** Which of the levels a line has. Lines of a lower level come first. */
  readonly level: Uint16Array
  /** 1 for closed lines, whose first place is repeated at their end. */
  readonly closed: Uint8Array
}

/** No vertex. */
const NONE = -1

/**
 * Lines of all levels in one pass over the raster: every crossing of a level with a side of the lattice is a vertex, every patch joins its
 * vertices two by two, and the joined ones are followed.
 *
 * How many of the rising `levels` lie at a height or below tells of two ends of a side which levels cross between them.
 * Cost  some 20 ns a cell and 150 ns a vertex; at most 60 bytes a vertex, what is handed back included.
 */
export function* contourPass(grid: Grid, levels: Float64Array): Steps<PackedContours> {
  const { width, height } = grid.geometry
  if (width < 2 || height < 2)
    return { xy: new Float64Array(0), start: new Uint32Array(1), level: new Uint16Array(0), closed: new Uint8Array(0) }
  const reader = countReader(grid, levels)
  let vertices = 0
  yield* within(
    0,
    0.2,
    inBands(height, width, (firstRow, endRow) => {
      let here = reader(firstRow, 0)
      for (let row = firstRow; row < endRow; row++) {
        const below = reader(row + 1, (row + 1 - firstRow) & 1)
        for (let column = 0; column < width; column++) {
          const count = here[column]!
          if (count < 0) continue
          if (column + 1 < width && here[column + 1]! >= 0) vertices += Math.abs(here[column + 1]! - count)
          if (below[column]! >= 0) vertices += Math.abs(below[column]! - count)
        }
        here = below
      }
    }),
  )
  const pieces = joiner(grid, levels, vertices)
  yield* within(0.2, 0.7, pieces.join(reader))
  return yield* within(0.7, 1, pieces.follow())
}

type Counts = Int32Array

/** Reads how many levels lie at each height of a row or below, −1 in voids and beyond the raster, into one of two rows of memory. */
function countReader({ geometry: { width, height }, data }: Grid, levels: Float64Array): (row: number, into: number) => Counts {
  const rows = [new Int32Array(width), new Int32Array(width)]
  // The levels between two numbers that compare with none.
  const bounds = new Float64Array(levels.length + 2).fill(Number.NaN)
  bounds.set(levels, 1)
  // Neighbours lie close: from the one to the next the count moves over the levels that cross between them.
  let count = 0
  return (row, into) => {
    const counts = rows[into]!
    if (row >= height) return counts.fill(-1)
    for (let column = 0, at = row * width; column < width; column++, at++) {
      const z = data[at]!
      if (Number.isNaN(z)) {
        counts[column] = -1
        continue
      }
      while (bounds[count + 1]! <= z) count++
      while (bounds[count]! > z) count--
      counts[column] = count
    }
    return counts
  }
}

/** Vertices and what joins them, for as many vertices as were counted. */
function joiner(grid: Grid, levels: Float64Array, count: number) {
  const { geometry, data } = grid
  const { width, height } = geometry
  const xy = new Float64Array(2 * count)
  const levelOf = new Uint16Array(count)
  const links = new Int32Array(2 * count).fill(NONE)
  // Pieces in the order in which the patches are looked at, as twice the one vertex and which of its links the other is: lines begin with their
  // first one.
  const pieces = new Int32Array(count)
  let vertices = 0
  let joined = 0
  const xs = Float64Array.from({ length: width }, (_, column) => fromLattice(geometry, column, 0)[0])
  const ys = Float64Array.from({ length: height }, (_, row) => fromLattice(geometry, 0, row)[1])

  /** Adds the vertices of a side between two cells; the first one's number. */
  const side = (from: number, to: number, low: number, high: number): number => {
    const first = vertices
    if (low === high) return first
    // From the lower end, so that every window of the raster gives the same bits.
    const [one, other] = low < high ? [from, to] : [to, from]
    const [c0, c1] = [one % width, other % width]
    const [x0, y0, x1, y1] = [xs[c0]!, ys[(one - c0) / width]!, xs[c1]!, ys[(other - c1) / width]!]
    const [z0, z1] = [data[one]!, data[other]!]
    for (let k = Math.min(low, high); k < Math.max(low, high); k++) {
      const level = levels[k]!
      const t = (level - z0) / (z1 - z0)
      // On a cell centre all its sides must agree to the bit.
      xy[2 * vertices] = z1 === level ? x1 : x0 + t * (x1 - x0)
      xy[2 * vertices + 1] = z1 === level ? y1 : y0 + t * (y1 - y0)
      levelOf[vertices] = k
      vertices++
    }
    return first
  }
  const link = (a: number, b: number): void => {
    const place = 2 * a + (links[2 * a] === NONE ? 0 : 1)
    links[place] = b
    links[2 * b + (links[2 * b] === NONE ? 0 : 1)] = a
    pieces[joined++] = place
  }

  function* join(reader: (row: number, into: number) => Counts): Steps<void> {
    let here = reader(0, 0)
    let top = sidesOfRow(0, here, new Int32Array(width))
    let bottom = new Int32Array(width)
    yield* inBands(Math.max(0, height - 1), width, (firstRow, endRow) => {
      for (let row = firstRow; row < endRow; row++) {
        const below = reader(row + 1, (row + 1) & 1)
        bottom = sidesOfRow(row + 1, below, bottom)
        joinRow(row, here, below, top, bottom)
        here = below
        const spare = top
        top = bottom
        bottom = spare
      }
    })
  }

  /** Vertices on the sides between the cells of a row: the first of each. */
  function sidesOfRow(row: number, counts: Counts, first: Int32Array): Int32Array<ArrayBuffer> {
    for (let column = 0, cell = row * width; column + 1 < width; column++, cell++) {
      const [a, b] = [counts[column]!, counts[column + 1]!]
      first[column] = vertices
      if (a !== b && a >= 0 && b >= 0) side(cell, cell + 1, a, b)
    }
    return first as Int32Array<ArrayBuffer>
  }

  /** Joins the vertices of a row of patches: side 0 on top, then clockwise. */
  function joinRow(row: number, here: Counts, below: Counts, top: Int32Array, bottom: Int32Array): void {
    const upright = (column: number): number => {
      const [a, b] = [here[column]!, below[column]!]
      return a !== b && a >= 0 && b >= 0 ? side(row * width + column, (row + 1) * width + column, a, b) : vertices
    }
    let left = upright(0)
    for (let column = 0; column + 1 < width; column++) {
      const right = upright(column + 1)
      const [nw, ne, se, sw] = [here[column]!, here[column + 1]!, below[column + 1]!, below[column]!]
      if ((nw !== ne || ne !== se || se !== sw) && (nw | ne | se | sw) >= 0) {
        const end = Math.max(nw, ne, se, sw)
        for (let k = Math.min(nw, ne, se, sw); k < end; k++) {
          const cut = +(nw > k !== ne > k) | (+(ne > k !== se > k) << 1) | (+(se > k !== sw > k) << 2) | (+(sw > k !== nw > k) << 3)
          const onTop = top[column]! + k - Math.min(nw, ne)
          const onRight = right + k - Math.min(ne, se)
          const onBottom = bottom[column]! + k - Math.min(sw, se)
          const onLeft = left + k - Math.min(nw, sw)
          if (cut === 15) {
            if (saddleJoins(row, column, levels[k]!) === 1) {
              link(onTop, onRight)
              link(onBottom, onLeft)
            } else {
              link(onTop, onLeft)
              link(onRight, onBottom)
            }
          } else {
            const first = cut & 1 ? onTop : cut & 2 ? onRight : onBottom
            link(first, cut & 8 ? onLeft : cut & 4 ? onBottom : onRight)
          }
        }
      }
      left = right
    }
  }

  /** The side that the top one is joined to in a saddle. */
  function saddleJoins(row: number, column: number, level: number): number {
    const at = row * width + column
    return joinedEdges({ column, row, nw: data[at]!, ne: data[at + 1]!, sw: data[at + width]!, se: data[at + width + 1]! }, level)[0]
  }

  /** Follows the joined vertices from the first piece of each line, both ways, and packs the lines level by level. */
  function* follow(): Steps<PackedContours> {
    const seen = new Uint8Array(count)
    // Lines of each level as they are found: the vertex to begin with, and the one to come from.
    const begins: [from: number, first: number, closed: boolean][][] = Array.from(levels, () => [])
    yield* inBands(joined, 1, (firstPiece, endPiece) => {
      for (let piece = firstPiece; piece < endPiece; piece++) {
        const [a, b] = [pieces[piece]! >> 1, links[pieces[piece]!]!]
        if (seen[b]) continue
        let [from, at] = [a, b]
        for (; at !== NONE && !seen[at]; [from, at] = [at, onward(at, from)]) seen[at] = 1
        if (at !== NONE) begins[levelOf[b]!]!.push([a, b, true])
        else {
          // An open line: it is told from the end that lies behind its first piece.
          for ([from, at] = [b, a]; at !== NONE; [from, at] = [at, onward(at, from)]) seen[at] = 1
          begins[levelOf[b]!]!.push([NONE, from, false])
        }
      }
    })
    return pack(begins)
  }

  /** The vertex beyond one, coming from another. */
  function onward(at: number, from: number): number {
    return links[2 * at] === from ? links[2 * at + 1]! : links[2 * at]!
  }

  function pack(begins: readonly (readonly [from: number, first: number, closed: boolean])[][]): PackedContours {
    const lines = begins.reduce((sum, ofLevel) => sum + ofLevel.length, 0)
    const packed = {
      xy: new Float64Array(2 * (vertices + lines)),
      start: new Uint32Array(lines + 1),
      level: new Uint16Array(lines),
      closed: new Uint8Array(lines),
    }
    let [line, end] = [0, 0]
    begins.forEach((ofLevel, k) => {
      for (const [before, first, closed] of ofLevel) {
        const start = end
        for (let from = before, at = first; at !== NONE; ) {
          const [x, y] = [xy[2 * at]!, xy[2 * at + 1]!]
          if (end === start || x !== packed.xy[2 * end - 2] || y !== packed.xy[2 * end - 1]) {
            packed.xy[2 * end] = x
            packed.xy[2 * end + 1] = y
            end++
          }
          const next = onward(at, from)
          from = at
          at = next === first ? NONE : next
        }
        if (closed) end = closeLine(packed.xy, start, end)
        if (end - start <= (closed ? 2 : 1)) {
          end = start
          continue
        }
        packed.level[line] = k
        packed.closed[line] = closed ? 1 : 0
        packed.start[++line] = end
      }
    })
    return {
      xy: packed.xy.subarray(0, 2 * end),
      start: packed.start.subarray(0, line + 1),
      level: packed.level.subarray(0, line),
      closed: packed.closed.subarray(0, line),
    }
  }

  return { join, follow }
}

/** Repeats the first place at the end, unless it stands there already. */
function closeLine(xy: Float64Array, start: number, end: number): number {
  if (end - start > 1 && xy[2 * end - 2] === xy[2 * start] && xy[2 * end - 1] === xy[2 * start + 1]) end--
  xy[2 * end] = xy[2 * start]!
  xy[2 * end + 1] = xy[2 * start + 1]!
  return end + 1
}
