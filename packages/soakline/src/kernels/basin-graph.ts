import { type Steps, within } from '../foundation/index.js'
import {
  BASINS,
  BEST_EDGE,
  CHOSEN,
  CHOSEN_COUNT,
  EDGE_COUNT,
  EDGES,
  EXIT_COUNT,
  EXITS,
  FIRST_EXIT,
  FIRST_LINK,
  FIRST_PIT,
  FLAT,
  HIGHEST,
  JOINED,
  LABEL,
  LEAST,
  LEVEL,
  LINK,
  MEMBER,
  MEMBER_BYTES,
  NEXT_LINK,
  OWN_PASS,
  PARENT,
  PASS,
  PIT,
  PITS,
  ROWS,
  STACK,
  TABLE,
  TABLE_COUNT,
  TABLE_SIZE,
  TREE,
  TREES,
} from './fields.js'
import type { Workbench } from './workbench.js'

/** Largest ratio of heights up to which their differences, and √2 of them, stay apart in float64. See `slope` in the kernels. */
const WIDEST_RANGE = 2 ** 25

/** Codes of all cells: where the slope leads, over flats too. False where heights are infinite: then only the plain definition holds. */
export function* solveSlopes(bench: Workbench): Steps<boolean> {
  const reset = (): void => {
    for (let member = 0; member < bench.members; member++) {
      bench.own(member)[FLAT] = 0
      range(bench, member).set([0, 3.4028234663852886e38])
    }
  }
  reset()
  yield* within(0, 0.5, bench.run('slope'))
  let [highest, least] = [0, Number.POSITIVE_INFINITY]
  for (let member = 0; member < bench.members; member++) {
    const [high, low] = range(bench, member)
    highest = Math.max(highest, high!)
    least = Math.min(least, low!)
  }
  if (highest === Number.POSITIVE_INFINITY) return false
  if (highest > WIDEST_RANGE * least || highest > 1e30) {
    reset()
    yield* within(0.5, 0.7, bench.run('slopeExactly'))
  }
  let flat = 0
  for (let member = 0; member < bench.members; member++) flat |= bench.own(member)[FLAT]!
  if (flat) yield* within(0.7, 1, solveFlats(bench))
  return true
}

const range = (bench: Workbench, member: number): Float32Array =>
  bench.floats(MEMBER + MEMBER_BYTES * member + 4 * HIGHEST, LEAST - HIGHEST + 1)

/** Ways over flats: each strip by itself, then those that lie across strips as one. */
function* solveFlats(bench: Workbench): Steps<void> {
  const { members } = bench
  if (members > 1) yield* within(0, 0.2, bench.run('flatsAcross'))
  yield* within(0.2, 0.6, bench.run('flats'))
  if (members > 1) {
    yield* within(0.6, 0.7, bench.run('takeShared'))
    yield* within(
      0.7,
      0.9,
      bench.asOne(() => bench.run('flats')),
    )
  }
  yield* within(0.9, 1, bench.run('flatsDone'))
}

/** The basin of each cell. Basins are numbered as the members meet their pits: see `rank` in the kernels for the raster's own order. */
export function* solveBasins(bench: Workbench): Steps<void> {
  const { members } = bench
  for (let member = 0; member < members; member++) bench.own(member)[PITS] = 0
  yield* within(0, 0.1, bench.run('countPits'))
  let basins = 1
  for (let member = 0; member < members; member++) {
    const own = bench.own(member)
    own[FIRST_PIT] = basins
    basins += own[PITS]!
    own[PITS] = 0
  }
  bench.set(BASINS, basins)
  // The graph lies where the flats had their second queue.
  bench.giveBack(bench.get(LINK))
  for (const name of [PIT, PARENT, LEVEL, TREE, STACK]) bench.set(name, bench.allot(4 * basins))
  for (let member = 0; member < members; member++) {
    const passes = bench.allot(8 * basins)
    bench.own(member)[OWN_PASS] = passes
    if (member === 0) bench.set(PASS, passes)
  }
  allotExits(bench, basins)
  yield* within(0.1, 0.2, bench.run('unlabel'))
  yield* within(0.2, 0.9, bench.run('label'))
  if (members > 1) {
    for (let member = 0; member < members; member++) bench.alone('resolveExits', member)
    yield* within(0.9, 1, bench.run('relabelExits'))
  }
  bench.words(bench.get(PIT), 1)[0] = -1
}

/** Room for ways that cross the borders of strips: each strip has two border rows, and each of their cells one way. */
export function allotExits(bench: Workbench, firstName: number): void {
  const span = 2 * bench.stride
  bench.set(EXITS, bench.allot(bench.members > 1 ? 8 * span * bench.members : 0))
  for (let member = 0; member < bench.members; member++) {
    const own = bench.own(member)
    own[EXIT_COUNT] = 0
    own[FIRST_EXIT] = firstName + member * span
  }
}

/** Every basin's way on: the tree of lowest passes, and the level to which it fills. `keep` are cells whose basins hold their water. */
export function* solvePasses(bench: Workbench, keep: readonly number[]): Steps<void> {
  yield* within(0, 0.05, bench.run('noPasses'))
  yield* within(0.05, 0.45, bench.run('lowestPasses'))
  for (let member = 1; member < bench.members; member++) bench.alone('gatherPasses', member)
  const level = bench.floats(bench.get(LEVEL), bench.get(BASINS))
  level.fill(Number.NaN)
  level[0] = Number.NEGATIVE_INFINITY
  for (const cell of keep) {
    const [basin] = bench.words(bench.get(LABEL) + 4 * cell, 1)
    if (basin! > 0) level[basin!] = Number.NEGATIVE_INFINITY
  }
  bench.alone('growTrees')
  yield 0.5
  if (bench.get(TREES) > 1) yield* within(0.5, 0.95, joinTrees(bench))
  bench.alone('levels')
}

function* joinTrees(bench: Workbench): Steps<void> {
  const trees = bench.get(TREES)
  for (let member = 0; member < bench.members; member++) {
    // About three neighbours to a tree; a table that fills up is made larger.
    const size = 2 ** Math.ceil(Math.log2(Math.max(64, (8 * trees) / bench.members)))
    const [rows, table] = [bench.allot(3 * 4 * (bench.stride + 8)), bench.allot(16 * size)]
    bench.bytes(table, 16 * size).fill(0)
    bench.own(member).set([table, size, 0], TABLE)
    bench.own(member)[ROWS] = rows
  }
  yield* within(0, 0.8, bench.run('passesBetweenTrees'))
  for (;;) {
    let all = true
    for (let member = 0; member < bench.members; member++)
      if (!bench.isThrough(member)) {
        all = false
        enlargeTable(bench, member)
      }
    if (all) break
    yield* within(0.9, 0.9, bench.goOn('passesBetweenTrees'))
  }
  let edges = 0
  for (let member = 0; member < bench.members; member++) edges += bench.own(member)[TABLE_COUNT]!
  bench.set(EDGES, bench.allot(16 * edges))
  bench.set(EDGE_COUNT, 0)
  bench.set(CHOSEN, bench.allot(16 * trees))
  bench.set(CHOSEN_COUNT, 0)
  for (const name of [JOINED, BEST_EDGE, FIRST_LINK]) bench.set(name, bench.allot(4 * trees))
  bench.set(NEXT_LINK, bench.allot(8 * trees))
  for (let member = 0; member < bench.members; member++) bench.alone('gatherEdges', member)
  bench.alone('chooseEdges')
  yield 0.95
  bench.alone('joinTrees')
}

function enlargeTable(bench: Workbench, member: number): void {
  const own = bench.own(member)
  const [was, size] = [own[TABLE]!, own[TABLE_SIZE]!]
  const table = bench.allot(32 * size)
  bench.bytes(table, 32 * size).fill(0)
  bench.own(member).set([table, 2 * size], TABLE)
  bench.alone('moveTable', member, was, size)
}
