import type { Basins } from './basin-passes.js'

/**
 * How hollows lie within hollows. Node k below the number of basins is the hollow round pit k alone; each later node is a hollow that several fill
 * together once the bars between them are drowned.
 */
export interface HollowTree {
  /** Height to which a node fills before its water joins another's or runs on; −Infinity for basin 0 and kept sinks. */
  readonly level_m: Float64Array
  /** The node that it becomes a part of; −1 for the outermost. A parent's number is always the greater. */
  readonly parent: Int32Array
}

/** No node. */
const NONE = -1

/** Basin 0 and kept sinks: what reaches them is away. */
const AWAY = -1

/**
 * The tree of a ground's hollows, from its basins and their passes alone.
 *
 * Laws    a parent's level is above its parts'; the outermost node of a pit fills to its basin's own level; the tree does not depend on which of
 *         several equally high passes the basins were joined by, nor on how the raster is turned.
 * Cost    n log n in the number of basins.
 * Source  depression hierarchy: Barnes, Callaghan & Wickert (2020), Earth Surf. Dynam. 8, 431–445 (from memory, unchecked); here from the spanning
 *         tree of lowest passes that the drainage holds, with hollows that meet at one height joined at once. Own construction.
 */
export function hollowTree({ passInside, pass_m, next }: Basins): HollowTree {
  const basins = next.length
  const level: number[] = new Array<number>(basins).fill(Number.NEGATIVE_INFINITY)
  const parent: number[] = new Array<number>(basins).fill(NONE)
  // Sets of basins joined so far, and the node that stands for each.
  const joined = Int32Array.from({ length: basins }, (_, b) => b)
  const nodeOf = Int32Array.from({ length: basins }, (_, b) => (passInside[b]! < 0 ? AWAY : b))
  const setOf = (b: number): number => {
    let set = b
    while (joined[set] !== set) set = joined[set] = joined[joined[set]!]!
    return set
  }
  const byHeight = nodeOf.filter(b => b !== AWAY).sort((a, b) => pass_m[a]! - pass_m[b]!)
  for (let from = 0, to = 0; from < byHeight.length; from = to) {
    const height = pass_m[byHeight[from]!]!
    while (pass_m[byHeight[to]!] === height) to++
    // The sets that meet at this height, and the nodes that stood for them until now.
    const sets = new Map<number, number>()
    for (let k = from; k < to; k++)
      for (const b of [byHeight[k]!, next[byHeight[k]!]!]) {
        const set = setOf(b)
        const node = nodeOf[set]!
        sets.set(set, node)
        if (node !== AWAY) level[node] = height
      }
    for (let k = from; k < to; k++) joined[setOf(byHeight[k]!)] = setOf(next[byHeight[k]!]!)
    // Whatever has met something away runs away too; the rest become parts of a new node each.
    for (const [set, node] of sets) if (node === AWAY) nodeOf[setOf(set)] = AWAY
    const whole = new Map<number, number>()
    for (const [set, node] of sets) {
      const now = setOf(set)
      if (nodeOf[now] === AWAY) continue
      let made = whole.get(now)
      if (made === undefined) {
        made = level.length
        whole.set(now, made)
        level.push(Number.NEGATIVE_INFINITY)
        parent.push(NONE)
      }
      parent[node] = made
    }
    for (const [set, made] of whole) nodeOf[set] = made
  }
  return { level_m: Float64Array.from(level), parent: Int32Array.from(parent) }
}

/**
 * Finds the innermost hollow that holds water over a place: of a basin and what it is part of, the first that fills above a height.
 *
 * Cost    the logarithm of the nesting: each node knows its parent and one forefather further up (jump pointers, Myers 1983).
 */
export function innermostHolding({ level_m, parent }: HollowTree, tolerance_m: number): (basin: number, z_m: number) => number {
  const depth = new Int32Array(parent.length)
  const jump = new Int32Array(parent.length).fill(NONE)
  for (const node of [...parent.keys()].reverse()) {
    const up = parent[node]!
    if (up === NONE) continue
    depth[node] = depth[up]! + 1
    // Beyond the outermost there is no depth, which equals nothing.
    const far = jump[up]!
    const further = jump[far]!
    jump[node] = depth[up]! - depth[far]! === depth[far]! - depth[further]! ? further : up
  }
  return (basin, z_m) => {
    let node = basin
    while (!(level_m[node]! - z_m > tolerance_m)) {
      if (parent[node] === NONE) return NONE
      const far = jump[node]!
      node = level_m[far]! - z_m <= tolerance_m ? far : parent[node]!
    }
    return node
  }
}
