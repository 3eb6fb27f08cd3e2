import { InputError } from 'soakline/foundation'
import { cellCentre, type ElevationGrid, type Point } from 'soakline/raster'

/** Cells without a height that touch by their sides. */
export interface Void {
  readonly cells: number
  readonly area_m2: number
  /** Centre of one of its cells, the one nearest to the middle of all. */
  readonly at: Point
  /** Whether it reaches the raster's edge: then it is outside of what was measured, and cannot be filled from round about. */
  readonly touchesEdge: boolean
}

/** Voids that are listed one by one; the others are in the sums. Judgement. */
const MOST_LISTED = 40

/** Every void of a raster. */
export interface VoidList {
  /** The largest ones, the largest first; of equals the one that comes first by rows. */
  readonly voids: readonly Void[]
  readonly count: number
  /** How many of them, and of how many cells, do not touch the edge. */
  readonly inner: number
  readonly innerCells: number
}

/** Number of the void that each cell belongs to, counted from 1; 0 on ground. */
function numbered(data: Float32Array, width: number): { of: Int32Array; count: number } {
  const of = new Int32Array(data.length)
  const stack: number[] = []
  let count = 0
  for (let start = 0; start < data.length; start++) {
    if (of[start] !== 0 || !Number.isNaN(data[start])) continue
    of[start] = ++count
    stack.push(start)
    for (let cell = stack.pop(); cell !== undefined; cell = stack.pop()) {
      const column = cell % width
      for (const next of [cell - width, cell + width, column > 0 ? cell - 1 : -1, column < width - 1 ? cell + 1 : -1]) {
        if (next < 0 || next >= data.length || of[next] !== 0 || !Number.isNaN(data[next])) continue
        of[next] = count
        stack.push(next)
      }
    }
  }
  return { of, count }
}

/**
 * The voids of a raster, each with its area and a place in it.
 *
 * Laws  their cells are all cells without a height, each counted once.
 * Cost  two passes and one number for each cell; nothing where there is no void.
 */
export function voidsOf({ data, geometry }: ElevationGrid): VoidList {
  if (!data.some(Number.isNaN)) return { voids: [], count: 0, inner: 0, innerCells: 0 }
  const { width, height, cell_m } = geometry
  const { of, count } = numbered(data, width)
  const [cells, sumX, sumY] = [new Float64Array(count + 1), new Float64Array(count + 1), new Float64Array(count + 1)]
  const edge = new Uint8Array(count + 1)
  for (let k = 0; k < of.length; k++) {
    const number = of[k]!
    if (number === 0) continue
    const [column, row] = [k % width, Math.floor(k / width)]
    cells[number]!++
    sumX[number]! += column
    sumY[number]! += row
    if (column === 0 || row === 0 || column === width - 1 || row === height - 1) edge[number] = 1
  }
  const nearest = new Float64Array(count + 1).fill(Number.POSITIVE_INFINITY)
  const place = new Int32Array(count + 1)
  for (let k = 0; k < of.length; k++) {
    const number = of[k]!
    if (number === 0) continue
    const away = ((k % width) - sumX[number]! / cells[number]!) ** 2 + (Math.floor(k / width) - sumY[number]! / cells[number]!) ** 2
    if (away >= nearest[number]!) continue
    nearest[number] = away
    place[number] = k
  }
  const all = Array.from({ length: count }, (_, k) => k + 1)
  const inside = all.filter(number => edge[number] === 0)
  return {
    voids: all
      .sort((a, b) => cells[b]! - cells[a]! || a - b)
      .slice(0, MOST_LISTED)
      .map(number => ({
        cells: cells[number]!,
        area_m2: cells[number]! * cell_m * cell_m,
        at: cellCentre(geometry, place[number]!),
        touchesEdge: edge[number] === 1,
      })),
    count,
    inner: inside.length,
    innerCells: inside.reduce((sum, number) => sum + cells[number]!, 0),
  }
}

interface Box {
  cells: number
  left: number
  right: number
  top: number
  bottom: number
}

/** Sweeps over the cells of a void, beside four for each cell across. Judgement, held by the test on planes. */
const SWEEPS = 40
/** A void of more cells is a part of the country that was not measured; nothing round about tells what lies there. Judgement. */
const MOST_FILLED = 250_000

/**
 * Heights in the voids that do not reach the raster's edge and are no larger than is said, as a skin stretched over them: each the mean of its four
 * neighbours. They are made up, and say nothing of what lies there. Voids of more than 250,000 cells stay.
 *
 * Laws     No height that was measured changes; every made-up one lies between the lowest and the highest round its void; a plane is mended to itself within a
 *          thousandth of its fall across the void.
 * Throws   InputError `grid/bad-fill`.
 */
export function filledVoids(grid: ElevationGrid, most_m2: number): { grid: ElevationGrid; filled: number; cells: number } {
  if (!(most_m2 >= 0))
    throw new InputError('grid/bad-fill', `Gaps of up to ${most_m2} m² cannot be filled. Give an area of 0 or more.`, { most_m2 })
  const { data, geometry } = grid
  const { width, height, cell_m } = geometry
  if (!data.some(Number.isNaN)) return { grid, filled: 0, cells: 0 }
  const { of, count } = numbered(data, width)
  const bounds: Box[] = Array.from({ length: count + 1 }, () => ({ cells: 0, left: width, right: -1, top: height, bottom: -1 }))
  for (let k = 0; k < of.length; k++) {
    if (of[k] === 0) continue
    const b = bounds[of[k]!]!
    const [column, row] = [k % width, Math.floor(k / width)]
    b.cells++
    b.left = Math.min(b.left, column)
    b.right = Math.max(b.right, column)
    b.top = Math.min(b.top, row)
    b.bottom = Math.max(b.bottom, row)
  }
  const out = data.slice()
  let [filled, cells] = [0, 0]
  for (let number = 1; number <= count; number++) {
    const b = bounds[number]!
    const touches = b.left === 0 || b.top === 0 || b.right === width - 1 || b.bottom === height - 1
    if (touches || b.cells > MOST_FILLED || b.cells * cell_m * cell_m > most_m2) continue
    stretched(out, of, number, width, b)
    filled++
    cells += b.cells
  }
  return { grid: { ...grid, data: out }, filled, cells }
}

/** A skin over one void: solved on the cells of its box and one round it, from a first guess along rows and columns, by over-relaxed sweeps. */
function stretched(out: Float32Array, of: Int32Array, number: number, width: number, { left, right, top, bottom }: Box): void {
  const across = right - left + 3
  const down = bottom - top + 3
  const z = new Float64Array(across * down)
  const inner: number[] = []
  for (let row = 0; row < down; row++)
    for (let column = 0; column < across; column++) {
      const cell = (top - 1 + row) * width + left - 1 + column
      const here = row * across + column
      z[here] = out[cell]!
      if (of[cell] === number) {
        inner.push(here)
        z[here] = guessed(out, of, number, width, cell)
      }
    }
  const over = 2 / (1 + Math.sin(Math.PI / Math.max(across, down)))
  const sweeps = SWEEPS + 4 * Math.max(across, down)
  for (let sweep = 0; sweep < sweeps; sweep++)
    for (let k = 0; k < inner.length; k++) {
      const at = inner[k]!
      z[at]! += over * ((z[at - 1]! + z[at + 1]! + z[at - across]! + z[at + across]!) / 4 - z[at]!)
    }
  for (const at of inner) out[(top - 1 + Math.floor(at / across)) * width + left - 1 + (at % across)] = z[at]!
}

/** Between the nearest heights to the left and right, and above and below, each weighted by how near it is. */
function guessed(out: Float32Array, of: Int32Array, number: number, width: number, cell: number): number {
  let [sum, weight] = [0, 0]
  for (const step of [-1, 1, -width, width]) {
    let away = 1
    while (of[cell + step * away] === number) away++
    sum += out[cell + step * away]! / away
    weight += 1 / away
  }
  return sum / weight
}
