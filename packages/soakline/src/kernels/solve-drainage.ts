import { type Steps, within } from '../foundation/index.js'
import { solveBasins, solvePasses, solveSlopes } from './basin-graph.js'
import { basinsOff, codesOff, type SolvedBasins } from './basins-off-bench.js'
import type { Benches } from './benches.js'
import { layHeights, rowsOf } from './raster-on-bench.js'

/** A drainage as the kernels give it. */
export interface SolvedDrainage {
  readonly slope: Uint8Array
  readonly direction: Uint8Array
  readonly basins: SolvedBasins
}

/** The drainage of a raster of heights, as `drainage` defines it. Null where only the definition itself holds: for infinite heights. */
export function* solveDrainage(
  benches: Benches,
  data: Float32Array,
  { width, height }: { readonly width: number; readonly height: number },
  keep: readonly number[],
): Steps<SolvedDrainage | null> {
  const bench = benches.take({ width, height })
  try {
    yield* within(0, 0.05, layHeights(bench, width, height, rowsOf(data, width)))
    if (!(yield* within(0.05, 0.25, solveSlopes(bench)))) return null
    const slope = yield* within(0.25, 0.3, codesOff(bench, width, height))
    yield* within(0.3, 0.5, solveBasins(bench))
    const padded = keep.map(cell => bench.rowStart(Math.floor(cell / width)) + (cell % width))
    yield* within(0.5, 0.8, solvePasses(bench, padded))
    bench.alone('turnRound')
    const direction = yield* within(0.8, 0.85, codesOff(bench, width, height))
    const basins = yield* within(0.85, 1, basinsOff(bench, width, height))
    return { slope, direction, basins }
  } finally {
    benches.give(bench)
  }
}
