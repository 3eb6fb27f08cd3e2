import { type Steps, within } from '../foundation/index.js'
import { allotExits } from './basin-graph.js'
import type { Benches } from './benches.js'
import { CODE, DEGREE, LABEL, LINK, VOID_CODE } from './fields.js'
import type { Workbench } from './workbench.js'

/** Counts the cells that drain through each cell, by the codes that lie on the bench: into the place of the labels. */
export function* countOnBench(bench: Workbench): Steps<void> {
  bench.giveBack(bench.get(LINK))
  bench.set(DEGREE, bench.allot(bench.cells))
  allotExits(bench, 0)
  yield* within(0, 0.1, bench.run('countDonors'))
  yield* within(0.1, 1, bench.run('accumulate'))
  for (let member = 0; member < bench.members; member++) bench.alone('accumulateAcross', member)
}

/** How many cells drain through each cell by given directions, itself included; 0 in voids. `count` is told of each row. */
export function* countUpslope(
  benches: Benches,
  direction: Uint8Array,
  { width, height }: { readonly width: number; readonly height: number },
  count: (row: number, cells: Uint32Array) => void,
): Steps<void> {
  const bench = benches.take({ width, height })
  try {
    bench.begin(width, height)
    const { cells } = bench
    bench.set(LABEL, bench.allot(4 * cells))
    bench.set(CODE, bench.allot(cells))
    bench.set(LINK, bench.allot(0))
    bench.bytes(bench.get(CODE), cells).fill(VOID_CODE)
    for (let row = 0; row < height; row++)
      bench.bytes(bench.get(CODE) + bench.rowStart(row), width).set(direction.subarray(row * width, (row + 1) * width))
    yield* within(0.05, 0.95, countOnBench(bench))
    for (let row = 0; row < height; row++) count(row, new Uint32Array(bench.words(bench.get(LABEL) + 4 * bench.rowStart(row), width)))
  } finally {
    benches.give(bench)
  }
}
