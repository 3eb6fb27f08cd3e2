import { inBands, type Steps } from '../foundation/index.js'
import { CODE, LABEL, LINK, VOID_CODE, Z } from './fields.js'
import type { Workbench } from './workbench.js'

/** Lays a raster of heights on the bench, padded with gaps; `rowOf` gives its rows from the north. Allots 13 bytes a cell. */
export function* layHeights(bench: Workbench, width: number, height: number, rowOf: (row: number) => Float32Array): Steps<void> {
  bench.begin(width, height)
  const { cells, stride } = bench
  bench.set(Z, bench.allot(4 * cells))
  bench.set(LABEL, bench.allot(4 * cells))
  bench.set(CODE, bench.allot(cells))
  bench.set(LINK, bench.allot(4 * cells))
  const [z, label, code] = [bench.get(Z), bench.get(LABEL), bench.get(CODE)]
  for (const [first, end] of [
    [0, bench.rowStart(0)],
    [bench.rowStart(height), cells],
  ] as const) {
    bench.floats(z + 4 * first, end - first).fill(Number.NaN)
    bench.words(label + 4 * first, end - first).fill(-1)
    bench.bytes(code + first, end - first).fill(VOID_CODE)
  }
  yield* inBands(height, width, (firstRow, endRow) => {
    for (let row = firstRow; row < endRow; row++) {
      const to = bench.floats(z + 4 * bench.rowStart(row), stride)
      to.set(rowOf(row))
      to.fill(Number.NaN, width)
    }
  })
}

/** The rows of a whole raster. */
export const rowsOf =
  (data: Float32Array, width: number) =>
  (row: number): Float32Array =>
    data.subarray(row * width, (row + 1) * width)
