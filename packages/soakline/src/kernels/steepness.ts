import { inBands, type Steps, within } from '../foundation/index.js'
import type { Benches } from './benches.js'
import { FIELDS, LABEL, RUN } from './fields.js'
import { layHeights, rowsOf } from './raster-on-bench.js'

/** Horn's gradient as `gradient` defines it: the same bits. */
export function* steepness(
  benches: Benches,
  data: Float32Array,
  { width, height, cell_m }: { readonly width: number; readonly height: number; readonly cell_m: number },
): Steps<Float32Array> {
  const bench = benches.take()
  try {
    yield* within(0, 0.3, layHeights(bench, width, height, rowsOf(data, width)))
    const run = 8 * cell_m
    // Where the run is a power of two, multiplying by its reciprocal gives the bits of dividing.
    const exact = Math.log2(run) % 1 === 0
    new Float64Array(bench.memory.buffer, FIELDS + 4 * RUN, 2).set([run, exact ? 1 / run : 0])
    yield* within(0.3, 0.7, bench.run('gradient'))
    const out = new Float32Array(width * height)
    yield* within(
      0.7,
      1,
      inBands(height, width, (firstRow, endRow) => {
        for (let row = firstRow; row < endRow; row++) out.set(bench.floats(bench.get(LABEL) + 4 * bench.rowStart(row), width), row * width)
      }),
    )
    return out
  } finally {
    benches.give(bench)
  }
}
