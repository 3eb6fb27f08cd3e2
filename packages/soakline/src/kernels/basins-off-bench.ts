import { inBands, type Steps, within } from '../foundation/index.js'
import { BASINS, CODE, GUARD, LABEL, LEVEL, PARENT, PASS, PIT, RANKED, TREE } from './fields.js'
import type { Workbench } from './workbench.js'

/** Codes of all cells, as a raster without padding. */
export function* codesOff(bench: Workbench, width: number, height: number): Steps<Uint8Array> {
  const out = new Uint8Array(width * height)
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let row = firstRow; row < endRow; row++) out.set(bench.bytes(bench.get(CODE) + bench.rowStart(row), width), row * width)
  })
  return out
}

/** Basins and their passes as the drainage has them: cells counted without padding, basins numbered as the raster's rows meet them. */
export interface SolvedBasins {
  readonly basin: Int32Array
  readonly pit: Int32Array
  readonly level_m: Float64Array
  readonly passInside: Int32Array
  readonly passOutside: Int32Array
  readonly pass_m: Float64Array
  readonly next: Int32Array
}

/** Basins and passes as the drainage has them, taken off the bench. The labels on the bench are numbered anew. */
export function* basinsOff(bench: Workbench, width: number, height: number): Steps<SolvedBasins> {
  const count = bench.get(BASINS)
  const { stride } = bench
  // The basins at the passes have to be asked before all are numbered anew.
  const places = new Uint32Array(bench.words(bench.get(PASS), 2 * count))
  const heights = bench.floats(bench.get(PASS), 2 * count).slice()
  const inside = new Int32Array(count).fill(-1)
  const outside = new Int32Array(count).fill(-1)
  const labels = bench.words(bench.get(LABEL), bench.cells)
  const parent = bench.words(bench.get(PARENT), count).slice()
  const offsets = [0, 0, 1, stride + 1, stride, stride - 1]
  for (let b = 1; b < count; b++) {
    if (parent[b]! < 0) continue
    const place = places[2 * b + 1]!
    const [cell, k] = [place >>> 3, place & 7]
    const ours = k === 0 || labels[cell] === b
    inside[b] = ours ? cell : cell + offsets[k]!
    if (k !== 0) outside[b] = ours ? cell + offsets[k]! : cell
  }
  const unpadded = (cell: number): number => {
    if (cell < 0) return -1
    const row = Math.floor((cell - GUARD) / stride)
    return (row - 1) * width + (cell - GUARD - row * stride)
  }
  bench.words(bench.get(TREE), count).fill(0)
  bench.set(RANKED, 1)
  const basin = new Int32Array(width * height)
  yield* within(
    0,
    0.9,
    inBands(height, width, (firstRow, endRow) => {
      bench.alone('rank', 0, firstRow, endRow)
      for (let row = firstRow; row < endRow; row++) basin.set(bench.words(bench.get(LABEL) + 4 * bench.rowStart(row), width), row * width)
    }),
  )
  const ranks = bench.words(bench.get(TREE), count)
  const pits = bench.words(bench.get(PIT), count)
  const levels = bench.floats(bench.get(LEVEL), count)
  const solved = {
    basin,
    pit: new Int32Array(count),
    level_m: new Float64Array(count),
    passInside: new Int32Array(count).fill(-1),
    passOutside: new Int32Array(count).fill(-1),
    pass_m: new Float64Array(count).fill(Number.NaN),
    next: new Int32Array(count).fill(-1),
  }
  for (let b = 0; b < count; b++) {
    const at = ranks[b]!
    solved.pit[at] = b === 0 ? -1 : unpadded(pits[b]!)
    solved.level_m[at] = levels[b]!
    if (parent[b]! < 0) continue
    solved.passInside[at] = unpadded(inside[b]!)
    solved.passOutside[at] = unpadded(outside[b]!)
    solved.pass_m[at] = heights[2 * b]!
    solved.next[at] = ranks[parent[b]!]!
  }
  return solved
}
