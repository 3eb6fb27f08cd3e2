// Joining the trees of basins that the first round leaves: the lowest pass between each two of them, then Borůvka's further rounds.
import {
  BEST_EDGE,
  CHOSEN,
  CHOSEN_COUNT,
  EDGE_COUNT,
  EDGES,
  FIRST_LINK,
  JOINED,
  LABEL,
  NEXT_LINK,
  ROWS,
  STACK,
  STRIDE,
  TABLE,
  TABLE_COUNT,
  TABLE_SIZE,
  TREE,
  TREES,
  Z,
} from '../src/kernels/fields'
import { address, field, offset, own, ownAddress, rowStart, setField, setOwn } from './memory'
import { basinBeyond, comesBefore, offer, turnTree } from './passes'

/** The trees of a row's cells, padding included, into one of three rows of memory. */
function treesOf(row: i32, to: usize): void {
  const tree = address(TREE)
  const from = address(LABEL) + ((<usize>(rowStart(row) - 4)) << 2)
  for (let at: usize = 0, end = (<usize>field(STRIDE) + 8) << 2; at < end; at += 4) {
    const basin = load<i32>(from + at)
    store<i32>(to + at, basin < 0 ? -1 : load<i32>(tree + ((<usize>basin) << 2)))
  }
}

/**
 * Collects the lowest pass between each two trees, as far as these rows have it.
 *
 * @returns the row at which to go on: `endRow`, or an earlier one where the table is too full
 */
export function passesBetweenTrees(member: i32, firstRow: i32, endRow: i32): i32 {
  const z = address(Z)
  const stride = field(STRIDE)
  const span = (<usize>stride + 8) << 2
  let above = ownAddress(member, ROWS)
  let here = above + span
  let below = here + span
  treesOf(firstRow - 1, above)
  treesOf(firstRow, here)
  for (let row = firstRow; row < endRow; row++) {
    treesOf(row + 1, below)
    const first = rowStart(row)
    for (let column = 0; column < stride; column += 4) {
      const at = (<usize>(column + 4)) << 2
      const mine = v128.load(here + at)
      const e = v128.load(here + at + 4)
      const se = v128.load(below + at + 4)
      const s = v128.load(below + at)
      const sw = v128.load(below + at - 4)
      const lost = v128.or(
        v128.or(v128.or(v128.load(above + at - 4), v128.load(above + at)), v128.or(v128.load(above + at + 4), v128.load(here + at - 4))),
        v128.or(v128.or(e, se), v128.or(s, sw)),
      )
      const differ = v128.or(v128.or(i32x4.ne(mine, e), i32x4.ne(mine, se)), v128.or(i32x4.ne(mine, s), i32x4.ne(mine, sw)))
      let lanes = i32x4.bitmask(v128.and(v128.or(differ, lost), i32x4.ge_s(mine, i32x4.splat(0))))
      for (; lanes !== 0; lanes &= lanes - 1) {
        const lane = <i32>ctz(lanes)
        const cell = first + column + lane
        const tree = at + ((<usize>lane) << 2)
        const mineHere = load<i32>(here + tree)
        const height = load<f32>(z + ((<usize>cell) << 2))
        if (mineHere > 0 && byGap(above + tree, here + tree, below + tree)) offerBetween(member, 0, mineHere, height, (<u32>cell) << 3)
        across(member, mineHere, load<i32>(here + tree + 4), height, cell, 2)
        across(member, mineHere, load<i32>(below + tree + 4), height, cell, 3)
        across(member, mineHere, load<i32>(below + tree), height, cell, 4)
        across(member, mineHere, load<i32>(below + tree - 4), height, cell, 5)
      }
      if (2 * own(member, TABLE_COUNT) > own(member, TABLE_SIZE)) return row
    }
    const oldest = above
    above = here
    here = below
    below = oldest
  }
  return endRow
}

function byGap(above: usize, here: usize, below: usize): bool {
  return (
    (load<i32>(above - 4) |
      load<i32>(above) |
      load<i32>(above + 4) |
      load<i32>(here - 4) |
      load<i32>(here + 4) |
      load<i32>(below - 4) |
      load<i32>(below) |
      load<i32>(below + 4)) <
    0
  )
}

function across(member: i32, mine: i32, other: i32, height: f32, cell: i32, k: u32): void {
  if (other < 0 || other === mine) return
  const there = load<f32>(address(Z) + ((<usize>(cell + offset(k))) << 2))
  offerBetween(member, min(mine, other), max(mine, other), max(height, there), ((<u32>cell) << 3) | k)
}

/** Keeps a pass between two trees where it comes before the one that is known. */
function offerBetween(member: i32, low: i32, high: i32, height: f32, place: u32): void {
  const size = own(member, TABLE_SIZE)
  const entry = entryOf(ownAddress(member, TABLE), size, low, high)
  if (load<i32>(entry, 4) === 0) {
    store<i32>(entry, low)
    store<i32>(entry, high, 4)
    store<f32>(entry, height, 8)
    store<u32>(entry, place, 12)
    setOwn(member, TABLE_COUNT, own(member, TABLE_COUNT) + 1)
  } else offer(entry + 8, height, place)
}

/** The place of a pair in a table: its own, or the free one where it belongs. The higher of a pair is never 0, which marks free places. */
function entryOf(table: usize, size: i32, low: i32, high: i32): usize {
  let at = <u32>(low * 0x9e3779b1 + high * 0x85ebca6b)
  at = (at ^ (at >> 15)) & (size - 1)
  let entry = table + ((<usize>at) << 4)
  while (load<i32>(entry, 4) !== 0 && (load<i32>(entry, 4) !== high || load<i32>(entry) !== low)) {
    at = (at + 1) & (size - 1)
    entry = table + ((<usize>at) << 4)
  }
  return entry
}

/** Takes the entries of the table at `from` over into the member's table, which is larger. */
export function moveTable(member: i32, from: usize, size: i32): void {
  for (let entry = from, end = from + ((<usize>size) << 4); entry < end; entry += 16) {
    if (load<i32>(entry, 4) === 0) continue
    const to = entryOf(ownAddress(member, TABLE), own(member, TABLE_SIZE), load<i32>(entry), load<i32>(entry, 4))
    memory.copy(to, entry, 16)
  }
}

/** Adds a member's table to the list of passes between trees. */
export function gatherEdges(member: i32, _firstRow: i32, _endRow: i32): void {
  const table = ownAddress(member, TABLE)
  const edges = address(EDGES)
  let count = field(EDGE_COUNT)
  for (let entry = table, end = table + ((<usize>own(member, TABLE_SIZE)) << 4); entry < end; entry += 16)
    if (load<i32>(entry, 4) !== 0) {
      memory.copy(edges + ((<usize>count) << 4), entry, 16)
      count++
    }
  setField(EDGE_COUNT, count)
}

/** The tree that a tree has been joined to. Shortens the way on the way. */
function find(tree: i32): i32 {
  const joined = address(JOINED)
  let to = load<i32>(joined + ((<usize>tree) << 2))
  while (to !== tree) {
    const further = load<i32>(joined + ((<usize>to) << 2))
    store<i32>(joined + ((<usize>tree) << 2), further)
    tree = further
    to = load<i32>(joined + ((<usize>tree) << 2))
  }
  return tree
}

/** Borůvka's rounds: each group of trees takes its lowest pass, until all are one. The passes taken are the chosen ones. */
export function chooseEdges(_member: i32, _firstRow: i32, _endRow: i32): void {
  const trees = field(TREES)
  const joined = address(JOINED)
  const best = address(BEST_EDGE)
  const edges = address(EDGES)
  for (let t = 0; t < trees; t++) store<i32>(joined + ((<usize>t) << 2), t)
  let count = field(EDGE_COUNT)
  let chosen: usize = 0
  while (count > 0) {
    for (let t = 0; t < trees; t++) store<i32>(best + ((<usize>t) << 2), -1)
    let left = 0
    for (let e = 0; e < count; e++) {
      const from = edges + ((<usize>e) << 4)
      const one = find(load<i32>(from))
      const other = find(load<i32>(from, 4))
      if (one === other) continue
      memory.copy(edges + ((<usize>left) << 4), from, 16)
      considerEdge(best + ((<usize>one) << 2), left)
      considerEdge(best + ((<usize>other) << 2), left)
      left++
    }
    count = left
    for (let t = 0; t < trees; t++) {
      const e = load<i32>(best + ((<usize>t) << 2))
      if (e < 0) continue
      const edge = edges + ((<usize>e) << 4)
      const one = find(load<i32>(edge))
      const other = find(load<i32>(edge, 4))
      if (one === other) continue
      store<i32>(joined + ((<usize>max(one, other)) << 2), min(one, other))
      memory.copy(address(CHOSEN) + (chosen << 4), edge, 16)
      chosen++
    }
  }
  setField(CHOSEN_COUNT, <i32>chosen)
}

function considerEdge(best: usize, e: i32): void {
  const known = load<i32>(best)
  const edges = address(EDGES)
  const edge = edges + ((<usize>e) << 4)
  if (known >= 0) {
    const other = edges + ((<usize>known) << 4)
    const height = load<f32>(edge, 8)
    const otherHeight = load<f32>(other, 8)
    if (height > otherHeight || (height === otherHeight && !comesBefore(load<u32>(edge, 12), load<u32>(other, 12)))) return
  }
  store<i32>(best, e)
}

/** From the outside inwards: each tree gets its way on over its chosen pass. */
export function joinTrees(_member: i32, _firstRow: i32, _endRow: i32): void {
  const trees = field(TREES)
  const first = address(FIRST_LINK)
  const next = address(NEXT_LINK)
  const chosen = address(CHOSEN)
  const stack = address(STACK)
  const joined = address(JOINED)
  const NONE: i32 = -1
  for (let t = 0; t < trees; t++) store<i32>(first + ((<usize>t) << 2), NONE)
  for (let link = 0; link < 2 * field(CHOSEN_COUNT); link++) {
    const end = first + ((<usize>load<i32>(chosen + ((<usize>(link >> 1)) << 4) + (link & 1 ? 4 : 0))) << 2)
    store<i32>(next + ((<usize>link) << 2), load<i32>(end))
    store<i32>(end, link)
  }
  // Trees that have their way on are marked as joined to none.
  store<i32>(joined, NONE)
  store<i32>(stack, 0)
  for (let depth: usize = 1; depth > 0; ) {
    const tree = load<i32>(stack + (--depth << 2))
    for (let link = load<i32>(first + ((<usize>tree) << 2)); link !== NONE; link = load<i32>(next + ((<usize>link) << 2))) {
      const edge = chosen + ((<usize>(link >> 1)) << 4)
      const other = link & 1 ? load<i32>(edge) : load<i32>(edge, 4)
      if (load<i32>(joined + ((<usize>other) << 2)) === NONE) continue
      store<i32>(joined + ((<usize>other) << 2), NONE)
      store<i32>(stack + (depth++ << 2), other)
      const place = load<u32>(edge, 12)
      const inside = basinInTree(place, other)
      turnTree(inside, basinBeyond(place, inside), load<f32>(edge, 8), place)
    }
  }
}

/** The basin at a pass that belongs to a tree. */
function basinInTree(place: u32, tree: i32): i32 {
  const labels = address(LABEL)
  const one = load<i32>(labels + ((<usize>(place >> 3)) << 2))
  if ((place & 7) === 0 || load<i32>(address(TREE) + ((<usize>one) << 2)) === tree) return one
  return load<i32>(labels + ((<usize>((place >> 3) + offset(place & 7))) << 2))
}
