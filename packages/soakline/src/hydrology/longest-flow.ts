import {
  COLUMN_STEP,
  cellCentre,
  crossesXY,
  crossingAt,
  type Grid,
  type GridGeometry,
  neighbourOffsets,
  opposite,
  type Point,
  ROW_STEP,
  STEP_LENGTH,
} from '../raster/index.js'
import { VOID } from './direction-codes.js'
import type { Drainage } from './drainage.js'
import { type WalkScratch, walkScratch } from './layer-queue.js'

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
 * @param scratch working memory
 * @returns null where no water crosses the line
 */
export function longestFlowToLine(
  drained: Drainage,
  line: readonly Point[],
  from = giversOf(drained),
  scratch?: WalkScratch,
): LongestFlow | null {
  return longestFlow(drained, crossingLinks(drained, line), from, scratch)
}

/** The cells whose water crosses the line on its way to the next cell, and how far along that way (0–1). */
function crossingLinks({ geometry: g, direction }: Drainage, line: readonly Point[]): Map<number, number> {
  const crossing = new Map<number, number>()
  const { width, height, cell_m } = g
  for (let piece = 1; piece < line.length; piece++) {
    const a = line[piece - 1]!
    const b = line[piece]!
    // Cells whose steps can reach the piece: its box widened by a cell.
    const first = Math.max(0, Math.floor((Math.min(a[0], b[0]) - g.west_m) / cell_m - 1.5))
    const last = Math.min(width - 1, Math.ceil((Math.max(a[0], b[0]) - g.west_m) / cell_m + 0.5))
    const top = Math.max(0, Math.floor((g.north_m - Math.max(a[1], b[1])) / cell_m - 1.5))
    const bottom = Math.min(height - 1, Math.ceil((g.north_m - Math.min(a[1], b[1])) / cell_m + 0.5))
    for (let row = top; row <= bottom; row++) {
      const y = g.north_m - (row + 0.5) * cell_m
      for (let column = first; column <= last; column++) {
        const cell = row * width + column
        const k = direction[cell]!
        if (k > 7) continue
        const x = g.west_m + (column + 0.5) * cell_m
        const toX = x + COLUMN_STEP[k]! * cell_m
        const toY = y - ROW_STEP[k]! * cell_m
        if (!crossesXY(x, y, toX, toY, a[0], a[1], b[0], b[1])) continue
        const along = Math.min(1, Math.max(0, crossingAt([x, y], [toX, toY], a, b)))
        crossing.set(cell, Math.min(along, crossing.get(cell) ?? along))
      }
    }
  }
  return crossing
}

/** The longest way to any of some cells and a part of a step beyond them; water that meets one is not followed further. */
function longestFlow(
  { geometry: g, direction }: Drainage,
  ends: ReadonlyMap<number, number>,
  from: Uint8Array,
  { rows: isEnd, links: open, amounts: away } = walkScratch(direction.length),
): LongestFlow | null {
  // Side by side a pile of cells to go on from, and the way of each in cells.
  let piled = 0
  let highest = 0
  for (const [cell, along] of ends) {
    isEnd[cell] = 1
    open[piled] = cell
    away[piled++] = lastStep(direction[cell]!, along)
  }
  const offsets = neighbourOffsets(g.width)
  let farthest = -1
  let longest = -1
  while (piled > 0) {
    highest = Math.max(highest, piled)
    const cell = open[--piled]!
    const here = away[piled]!
    if (here > longest || (here === longest && cell < farthest)) {
      longest = here
      farthest = cell
    }
    for (let bits = from[cell]!; bits !== 0; bits &= bits - 1) {
      const k = 31 - Math.clz32(bits & -bits)
      const donor = cell + offsets[k]!
      if (isEnd[donor] !== 0) continue
      open[piled] = donor
      away[piled++] = here + STEP_LENGTH[k]!
    }
  }
  if (farthest < 0) return null
  const cells = [farthest]
  for (let cell = farthest; isEnd[cell] === 0; cells.push(cell)) cell += offsets[direction[cell]!]!
  for (const cell of ends.keys()) isEnd[cell] = 0
  open.fill(0, 0, highest)
  away.fill(0, 0, highest)
  return alongPath(g, direction, ends, cells)
}

const lastStep = (code: number, along: number): number => along * (STEP_LENGTH[code] ?? 0)

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
