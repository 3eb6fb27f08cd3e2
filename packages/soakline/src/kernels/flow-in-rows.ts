import { type Steps, within } from '../foundation/index.js'
import { solveBasins, solvePasses, solveSlopes } from './basin-graph.js'
import type { Benches } from './benches.js'
import { countOnBench } from './count-upslope.js'
import { CODE, LABEL, Z } from './fields.js'
import { layHeights } from './raster-on-bench.js'

/** What comes out of the flow kernels, row by row: copies, as no view on their memory leaves them. Good until the bench is given back. */
export interface FlowRows {
  /** Hollows filled to where their water can go on; NaN in voids. */
  filled_m(row: number): Float32Array
  /** 0–7 clockwise from north, or the drainage's `LEAVES`, `SINK`, `VOID`. */
  direction(row: number): Uint8Array
  /** Cells that drain through each cell, itself included; 0 in voids. */
  cells(row: number): Uint32Array
  /** Gives the memory back. */
  close(): void
}

/**
 * Filling, single direction and accumulation in the least memory: 13 to 15 bytes a cell, the heights included, which are handed in row by row.
 *
 * Null where heights are infinite. The same bits as `drainage`, `filledSurface` and `contributingAreaSingle` give.
 */
export function* flowInRows(
  benches: Benches,
  { width, height }: { readonly width: number; readonly height: number },
  heightsOfRow: (row: number) => Float32Array,
): Steps<FlowRows | null> {
  const bench = benches.take({ width, height })
  let kept = false
  try {
    yield* within(0, 0.05, layHeights(bench, width, height, heightsOfRow))
    if (!(yield* within(0.05, 0.2, solveSlopes(bench)))) return null
    yield* within(0.2, 0.4, solveBasins(bench))
    yield* within(0.4, 0.7, solvePasses(bench, []))
    yield* within(0.7, 0.75, bench.run('fill'))
    bench.alone('turnRound')
    yield* within(0.75, 1, countOnBench(bench))
    kept = true
    return {
      filled_m: row => bench.floats(bench.get(Z) + 4 * bench.rowStart(row), width).slice(),
      direction: row => bench.bytes(bench.get(CODE) + bench.rowStart(row), width).slice(),
      cells: row => new Uint32Array(bench.words(bench.get(LABEL) + 4 * bench.rowStart(row), width)),
      close: () => benches.give(bench),
    }
  } finally {
    if (!kept) benches.give(bench)
  }
}
