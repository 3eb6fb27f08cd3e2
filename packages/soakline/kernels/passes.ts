// Passes: places at which water can go from one basin to another, or off the raster. Their order is total: the lower first, of equals the one
// with the steeper drop, of those the first in the raster. So which passes form the tree of lowest ways does not depend on who looks for them.
import { BASINS, LABEL, LEVEL, OWN_PASS, PARENT, PASS, STACK, STRIDE, TREE, TREES, Z } from '../src/kernels/fields'
import { address, field, offset, own, ownAddress, rowStart, setField } from './memory'

/** The place of a pass: 8 × its first cell + the direction of the second (2 to 5), or + 0 where it leads off the raster. */
const NOWHERE: u32 = 0xffffffff

/** Drop along a pass: of water from the higher to the lower cell. 0 off the raster. */
export function dropOf(place: u32): f64 {
  const k = place & 7
  if (k === 0) return 0
  const z = address(Z)
  const cell = place >> 3
  const one = <f64>load<f32>(z + ((<usize>cell) << 2))
  const other = <f64>load<f32>(z + ((<usize>(cell + offset(k))) << 2))
  return abs(one - other) / (k & 1 ? Math.SQRT2 : 1)
}

/** Whether of two passes of one height the first comes before. */
export function comesBefore(place: u32, other: u32): bool {
  if (place === other) return false
  const drop = dropOf(place)
  const otherDrop = dropOf(other)
  return drop > otherDrop || (drop === otherDrop && place < other)
}

/** Puts a pass in the place of a kept one where it comes before that. */
export function offer(kept: usize, height: f32, place: u32): void {
  const known = load<f32>(kept)
  if (height > known || (height === known && !comesBefore(place, load<u32>(kept, 4)))) return
  store<f32>(kept, height)
  store<u32>(kept, place, 4)
}

/** Before any pass is seen. */
export function noPasses(member: i32, _firstRow: i32, _endRow: i32): void {
  const passes = ownAddress(member, OWN_PASS)
  for (let at = passes, end = passes + ((<usize>field(BASINS)) << 3); at < end; at += 8) {
    store<f32>(at, Infinity)
    store<u32>(at, NOWHERE, 4)
  }
}

/** The lowest pass of each basin, as far as these rows have it. Four cells at a time are seen to have none that is lower than what is known. */
export function lowestPasses(member: i32, firstRow: i32, endRow: i32): void {
  const labels = address(LABEL)
  const z = address(Z)
  const passes = ownAddress(member, OWN_PASS)
  const row = (<usize>field(STRIDE)) << 2
  for (let at = (<usize>rowStart(firstRow)) << 2, end = (<usize>rowStart(endRow)) << 2; at < end; at += 16) {
    const mine = v128.load(labels + at)
    let other: v128
    let lowest = f32x4.splat(Infinity)
    let lost: v128
    other = v128.load(labels + at - row)
    lost = other
    lowest = f32x4.pmin(lowest, beyond(mine, other, z + at - row))
    other = v128.load(labels + at - row + 4)
    lost = v128.or(lost, other)
    lowest = f32x4.pmin(lowest, beyond(mine, other, z + at - row + 4))
    other = v128.load(labels + at + 4)
    lost = v128.or(lost, other)
    lowest = f32x4.pmin(lowest, beyond(mine, other, z + at + 4))
    other = v128.load(labels + at + row + 4)
    lost = v128.or(lost, other)
    lowest = f32x4.pmin(lowest, beyond(mine, other, z + at + row + 4))
    other = v128.load(labels + at + row)
    lost = v128.or(lost, other)
    lowest = f32x4.pmin(lowest, beyond(mine, other, z + at + row))
    other = v128.load(labels + at + row - 4)
    lost = v128.or(lost, other)
    lowest = f32x4.pmin(lowest, beyond(mine, other, z + at + row - 4))
    other = v128.load(labels + at - 4)
    lost = v128.or(lost, other)
    lowest = f32x4.pmin(lowest, beyond(mine, other, z + at - 4))
    other = v128.load(labels + at - row - 4)
    lost = v128.or(lost, other)
    lowest = f32x4.pmin(lowest, beyond(mine, other, z + at - row - 4))
    // Beside a gap or the border water runs off at the cell's own height.
    lowest = v128.bitselect(f32x4.splat(-Infinity), lowest, i32x4.lt_s(lost, i32x4.splat(0)))
    const height = f32x4.pmax(v128.load(z + at), lowest)
    const has = v128.and(f32x4.lt(lowest, f32x4.splat(Infinity)), i32x4.gt_s(mine, i32x4.splat(0)))
    if (!v128.any_true(has)) continue
    consider(passes, i32x4.extract_lane(mine, 0), f32x4.extract_lane(height, 0), i32x4.extract_lane(has, 0), at)
    consider(passes, i32x4.extract_lane(mine, 1), f32x4.extract_lane(height, 1), i32x4.extract_lane(has, 1), at + 4)
    consider(passes, i32x4.extract_lane(mine, 2), f32x4.extract_lane(height, 2), i32x4.extract_lane(has, 2), at + 8)
    consider(passes, i32x4.extract_lane(mine, 3), f32x4.extract_lane(height, 3), i32x4.extract_lane(has, 3), at + 12)
  }
}

/** Heights of four neighbours where they lie in another basin, else no numbers, which lose any comparison, as gaps do. */
function beyond(mine: v128, other: v128, heights: usize): v128 {
  return v128.or(v128.load(heights), i32x4.eq(mine, other))
}

function consider(passes: usize, basin: i32, height: f32, has: i32, at: usize): void {
  if (has !== 0 && height <= load<f32>(passes + ((<usize>basin) << 3))) lookRound(passes + ((<usize>basin) << 3), basin, <i32>(at >> 2))
}

/** Offers all passes of one cell. */
function lookRound(kept: usize, basin: i32, cell: i32): void {
  const labels = address(LABEL)
  const z = address(Z)
  const here = load<f32>(z + ((<usize>cell) << 2))
  for (let k = 0; k < 8; k++) {
    const to = cell + offset(k)
    const other = load<i32>(labels + ((<usize>to) << 2))
    if (other === basin) continue
    if (other < 0) offer(kept, here, (<u32>cell) << 3)
    else offer(kept, max(here, load<f32>(z + ((<usize>to) << 2))), k >= 2 && k < 6 ? ((<u32>cell) << 3) | k : ((<u32>to) << 3) | (k ^ 4))
  }
}

/** Takes over what another member has seen. */
export function gatherPasses(member: i32, _firstRow: i32, _endRow: i32): void {
  const from = ownAddress(member, OWN_PASS)
  const to = address(PASS)
  for (let at: usize = 0, end = (<usize>field(BASINS)) << 3; at < end; at += 8)
    if (load<f32>(from + at) < Infinity) offer(to + at, load<f32>(from + at), load<u32>(from + at, 4))
}

/** The basin on the other side of a pass. */
export function basinBeyond(place: u32, basin: i32): i32 {
  const k = place & 7
  if (k === 0) return 0
  const labels = address(LABEL)
  const one = load<i32>(labels + ((<usize>(place >> 3)) << 2))
  return one !== basin ? one : load<i32>(labels + ((<usize>((place >> 3) + offset(k))) << 2))
}

/** The basin has no way on: it is the outside or keeps its water; or it is the one of its tree from which the way on is not known yet. */
const ROOT: i32 = -1
const TOP: i32 = -2

/**
 * The first round of Borůvka's: every basin takes its lowest pass, and trees form. Levels of the outside and of kept hollows are −∞ already;
 * together they make tree 0.
 */
export function growTrees(_member: i32, _firstRow: i32, _endRow: i32): void {
  const basins = field(BASINS)
  const passes = address(PASS)
  const parent = address(PARENT)
  const tree = address(TREE)
  const level = address(LEVEL)
  for (let b = 0; b < basins; b++) {
    const root = load<f32>(level + ((<usize>b) << 2)) === -Infinity
    store<i32>(parent + ((<usize>b) << 2), root ? ROOT : basinBeyond(load<u32>(passes + ((<usize>b) << 3), 4), b))
    store<i32>(tree + ((<usize>b) << 2), root ? 0 : -1)
  }
  // Two basins that take the same pass are the top of a tree: one of them gives it up.
  let trees = 1
  for (let b = 1; b < basins; b++) {
    const to = load<i32>(parent + ((<usize>b) << 2))
    if (
      to < b ||
      load<i32>(parent + ((<usize>to) << 2)) !== b ||
      load<u32>(passes + ((<usize>b) << 3), 4) !== load<u32>(passes + ((<usize>to) << 3), 4)
    )
      continue
    store<i32>(parent + ((<usize>b) << 2), TOP)
    store<i32>(tree + ((<usize>b) << 2), trees++)
  }
  for (let b = 1; b < basins; b++) {
    let top = b
    while (load<i32>(tree + ((<usize>top) << 2)) < 0) top = load<i32>(parent + ((<usize>top) << 2))
    const name = load<i32>(tree + ((<usize>top) << 2))
    for (top = b; load<i32>(tree + ((<usize>top) << 2)) < 0; top = load<i32>(parent + ((<usize>top) << 2)))
      store<i32>(tree + ((<usize>top) << 2), name)
  }
  setField(TREES, trees)
}

/** Hands a basin a new way on, and turns round the way from it to the top of its tree. */
export function turnTree(basin: i32, to: i32, height: f32, place: u32): void {
  const passes = address(PASS)
  const parent = address(PARENT)
  for (;;) {
    const next = load<i32>(parent + ((<usize>basin) << 2))
    const nextHeight = load<f32>(passes + ((<usize>basin) << 3))
    const nextPlace = load<u32>(passes + ((<usize>basin) << 3), 4)
    store<i32>(parent + ((<usize>basin) << 2), to)
    store<f32>(passes + ((<usize>basin) << 3), height)
    store<u32>(passes + ((<usize>basin) << 3), place, 4)
    if (next < 0) return
    to = basin
    basin = next
    height = nextHeight
    place = nextPlace
  }
}

/** The height to which each basin fills: of all passes on its way off the raster the highest. */
export function levels(_member: i32, _firstRow: i32, _endRow: i32): void {
  const basins = field(BASINS)
  const passes = address(PASS)
  const parent = address(PARENT)
  const level = address(LEVEL)
  const stack = address(STACK)
  for (let b = 1; b < basins; b++) {
    let depth: usize = 0
    let at = b
    while (isNaN(load<f32>(level + ((<usize>at) << 2)))) {
      store<i32>(stack + (depth++ << 2), at)
      at = load<i32>(parent + ((<usize>at) << 2))
    }
    let height = load<f32>(level + ((<usize>at) << 2))
    while (depth > 0) {
      at = load<i32>(stack + (--depth << 2))
      height = max(height, load<f32>(passes + ((<usize>at) << 3)))
      store<f32>(level + ((<usize>at) << 2), height)
    }
  }
}
