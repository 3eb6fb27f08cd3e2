import {
  COLUMN_STEP,
  cellCentre,
  cellsAlong,
  crossesXY,
  crossingAt,
  eachNeighbour,
  type Grid,
  type GridGeometry,
  neighbourOffsets,
  opposite,
  type Point,
  ROW_STEP,
  STEP_LENGTH,
} from '../raster/index.js'
import { type Drainage, VOID } from './drainage.js'

/** The longest way of water to a place, along the single directions. */
export interface LongestFlow {
  /** Horizontal; from cell centre to cell centre. */
  readonly length_m: number
  /** The cell from which it comes. */
  readonly from: number
  /** Centres of the cells on the way, down to the outlet's own or to the crossing of the line. */
  readonly path: readonly Point[]
}

/** Length from whole straight and slanting steps: the same bits for the same steps, in whatever order they were taken. */
const lengthOf = (straight: number, slant: number, last = 0): number => straight + slant * Math.SQRT2 + last

/**
 * The longest way of water down to each cell, along the single directions; hollows are passed as if they were full.
 *
 * Units   horizontal metres between cell centres, a slanting step √2 cells; 0 where nothing drains in.
 * Laws    more by a step than that of each cell which drains in; a turned raster gives the same bits off ties.
 * No data NaN in voids.
 * Cost    one pass over the raster.
 */
export function flowLengths({ geometry, direction }: Drainage): Grid<'flow-length_m', Float64Array> {
  const offsets = neighbourOffsets(geometry.width)
  const straight = new Int32Array(direction.length)
  const slant = new Int32Array(direction.length)
  const donors = new Uint8Array(direction.length)
  direction.forEach((code, cell) => {
    if (code <= 7) donors[cell + offsets[code]!]!++
  })
  for (const start of direction.keys()) {
    if (direction[start] === VOID) continue
    // Walk down from each spring, on as long as every donor of the next cell is done.
    for (let cell = start; donors[cell] === 0; ) {
      donors[cell] = 255
      const code = direction[cell]!
      if (code > 7) break
      const to = cell + offsets[code]!
      const s = straight[cell]! + (code % 2 === 0 ? 1 : 0)
      const d = slant[cell]! + (code % 2 === 0 ? 0 : 1)
      if (lengthOf(s, d) > lengthOf(straight[to]!, slant[to]!)) {
        straight[to] = s
        slant[to] = d
      }
      if (--donors[to]! > 0) break
      cell = to
    }
  }
  const data = Float64Array.from(direction, (code, cell) =>
    code === VOID ? Number.NaN : lengthOf(straight[cell]!, slant[cell]!) * geometry.cell_m,
  )
  return { quantity: 'flow-length_m', geometry, data }
}

/**
 * The longest way of water to a cell, along the single directions.
 *
 * Laws    its length is that of `flowLengths` at the cell.
 * Cost    some steps for each cell that drains there.
 * @returns null in a void
 */
export function longestFlowToCell(drained: Drainage, outlet: number): LongestFlow | null {
  if (!(outlet >= 0 && outlet < drained.direction.length) || drained.direction[outlet] === VOID) return null
  return longestFlow(drained, new Map([[outlet, 0]]), giversOf(drained))
}

/** Who gives each cell its water along the single directions: bit k for the neighbour in direction k. */
export function giversOf({ geometry: { width }, direction }: Drainage): Uint8Array {
  const offsets = neighbourOffsets(width)
  const from = new Uint8Array(direction.length)
  for (let cell = 0; cell < direction.length; cell++) {
    const code = direction[cell]!
    if (code <= 7) from[cell + offsets[code]!]! |= 1 << opposite(code)
  }
  return from
}

/**
 * The longest way of water to where it first crosses a line, along the single directions and with the line crossed as a vector.
 *
 * Laws    moving or turning the raster with the line moves or turns the answer, off ties.
 * Cost    some steps for each cell that drains to the line.
 * @param from what `giversOf` gives, to save working it out for each line
 * @returns null where no water crosses the line
 */
export function longestFlowToLine(drained: Drainage, line: readonly Point[], from = giversOf(drained)): LongestFlow | null {
  return longestFlow(drained, crossingLinks(drained, line), from)
}

/** The cells whose water crosses the line on its way to the next cell, and how far along that way (0–1). */
function crossingLinks({ geometry: g, direction }: Drainage, line: readonly Point[]): Map<number, number> {
  const crossing = new Map<number, number>()
  for (let piece = 1; piece < line.length; piece++) {
    const a = line[piece - 1]!
    const b = line[piece]!
    const beside = new Set<number>()
    for (const cell of cellsAlong(g, a, b)) {
      beside.add(cell)
      eachNeighbour(g.width, g.height, cell, to => beside.add(to))
    }
    for (const cell of beside) {
      const k = direction[cell]!
      if (k > 7) continue
      const here = cellCentre(g, cell)
      const next: Point = [here[0] + COLUMN_STEP[k]! * g.cell_m, here[1] - ROW_STEP[k]! * g.cell_m]
      if (!crossesXY(here[0], here[1], next[0], next[1], a[0], a[1], b[0], b[1])) continue
      const along = Math.min(1, Math.max(0, crossingAt(here, next, a, b)))
      crossing.set(cell, Math.min(along, crossing.get(cell) ?? along))
    }
  }
  return crossing
}

/** The longest way to any of some cells and a part of a step beyond them; water that meets one is not followed further. */
function longestFlow({ geometry: g, direction }: Drainage, ends: ReadonlyMap<number, number>, from: Uint8Array): LongestFlow | null {
  const isEnd = new Uint8Array(direction.length)
  // Side by side: each cell found, which entry lies below it, and its way in cells.
  const found: number[] = []
  const below: number[] = []
  const away: number[] = []
  for (const [cell, along] of ends) {
    isEnd[cell] = 1
    found.push(cell)
    below.push(-1)
    away.push(lastStep(direction[cell]!, along))
  }
  const offsets = neighbourOffsets(g.width)
  let longest = 0
  for (let at = 0; at < found.length; at++) {
    const cell = found[at]!
    const here = away[at]!
    if (here > away[longest]! || (here === away[longest] && cell < found[longest]!)) longest = at
    for (let bits = from[cell]!; bits !== 0; bits &= bits - 1) {
      const k = 31 - Math.clz32(bits & -bits)
      const donor = cell + offsets[k]!
      if (isEnd[donor]) continue
      found.push(donor)
      below.push(at)
      away.push(here + STEP_LENGTH[k]!)
    }
  }
  if (found.length === 0) return null
  return alongPath(g, direction, ends, backwards(found, below, longest))
}

const lastStep = (code: number, along: number): number => along * (STEP_LENGTH[code] ?? 0)

/** The cells from an entry down to its end. */
function backwards(found: readonly number[], below: readonly number[], from: number): number[] {
  const cells: number[] = []
  for (let at = from; at >= 0; at = below[at]!) cells.push(found[at]!)
  return cells
}

/** Centres and length of a way over cells, and of the part of a step beyond its end. */
function alongPath(g: GridGeometry, direction: Uint8Array, ends: ReadonlyMap<number, number>, cells: readonly number[]): LongestFlow {
  const path: Point[] = cells.map(cell => cellCentre(g, cell))
  let slant = 0
  for (let k = 0; k < cells.length - 1; k++) if (direction[cells[k]!]! % 2 === 1) slant++
  const end = cells[cells.length - 1]!
  const code = direction[end]!
  const along = ends.get(end)!
  if (along > 0) {
    const [x, y] = path[path.length - 1]!
    path.push([x + along * COLUMN_STEP[code]! * g.cell_m, y - along * ROW_STEP[code]! * g.cell_m])
  }
  return { length_m: lengthOf(cells.length - 1 - slant, slant, lastStep(code, along)) * g.cell_m, from: cells[0]!, path }
}
