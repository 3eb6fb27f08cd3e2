import type { Steps } from '../foundation/index.js'
import type { Benches } from './benches.js'
import { FIELDS, LABEL, RUN, Z } from './fields.js'

/** A raster has so many slabs at least: somebody may be watching. */
const LEAST_SLABS = 4
/** Cells of a slab: heights and answers of so many stay in the processor's own memory on their way through. */
const CELLS_A_SLAB = 1 << 16

/**
 * Horn's gradient as `gradient` defines it: the same bits. Worked in slabs of rows, so that it takes no memory to speak of.
 *
 * @param rowOf  heights of a row, asked for once each, from north to south
 * @param take  told each row's steepness; what it is handed holds until it returns
 */
export function* steepnessInRows(
  benches: Benches,
  { width, height, cell_m }: { readonly width: number; readonly height: number; readonly cell_m: number },
  rowOf: (row: number) => Float32Array,
  take: (found: Float32Array, row: number) => void,
): Steps<void> {
  // The kernel works by threes of rows.
  const rows = 3 * Math.max(1, Math.floor(Math.min(CELLS_A_SLAB / width, height / LEAST_SLABS) / 3))
  const bench = benches.take({ width, height: rows })
  try {
    bench.begin(width, rows)
    const { stride } = bench
    bench.set(Z, bench.allot(4 * bench.cells))
    bench.set(LABEL, bench.allot(4 * bench.cells))
    const [z, answers] = [bench.get(Z), bench.get(LABEL)]
    bench.floats(z, bench.cells).fill(Number.NaN)
    new Float64Array(bench.memory.buffer, FIELDS + 4 * RUN, 1)[0] = 8 * cell_m
    const heights = bench.floats(z + 4 * bench.rowStart(-1), (rows + 2) * stride)
    const found = Array.from({ length: rows }, (_, row) => bench.floats(answers + 4 * bench.rowStart(row), width))
    for (let first = 0; first < height; first += rows) {
      // The rows before and after the slab lie where its padding does; the last two of the slab before are the first two of this one.
      if (first > 0) heights.copyWithin(0, rows * stride, (rows + 2) * stride)
      for (let row = first > 0 ? 2 : 0; row < rows + 2; row++) {
        const from = first + row - 1
        if (from >= 0 && from < height) heights.set(rowOf(from), row * stride)
        else heights.fill(Number.NaN, row * stride, row * stride + width)
      }
      bench.alone('gradient', 0, 0, rows)
      for (let row = 0; row < Math.min(rows, height - first); row++) take(found[row]!, first + row)
      yield Math.min(1, (first + rows) / height)
    }
  } finally {
    benches.give(bench)
  }
}
