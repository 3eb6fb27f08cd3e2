// The basin of each cell: the pit that its way down the slope leads to.
import {
  CODE,
  END_ROW,
  EXIT_COUNT,
  EXITS,
  FIRST_EXIT,
  FIRST_PIT,
  FIRST_ROW,
  LABEL,
  LEAVES_CODE,
  PIT,
  PITS,
  RANKED,
  SINK_CODE,
  STRIDE,
  TREE,
  VOID_CODE,
} from '../src/kernels/fields'
import { address, field, offset, own, rowStart, setField, setOwn } from './memory'

/** Labels below this one mean: not yet known. Void is −1, the ground that runs off the raster 0. */
const VOID: i32 = -1

/** Forgets the labels of some rows. */
export function unlabel(_member: i32, firstRow: i32, endRow: i32): void {
  memory.fill(address(LABEL) + ((<usize>rowStart(firstRow)) << 2), 0x80, (endRow - firstRow) * (field(STRIDE) << 2))
}

/** Counts the pits of some rows, sixteen cells at a time. */
export function countPits(member: i32, firstRow: i32, endRow: i32): void {
  const code = address(CODE)
  let pits = own(member, PITS)
  for (let at = code + rowStart(firstRow), end = code + rowStart(endRow); at < end; at += 16)
    pits += popcnt(i8x16.bitmask(i8x16.eq(v128.load(at), i8x16.splat(<i8>SINK_CODE))))
  setOwn(member, PITS, pits)
}

/**
 * Walks down from each cell to one whose label is known, and back with it. A walk that leaves the member's strip ends there, with a label that
 * stands for the cell beyond.
 */
export function label(member: i32, firstRow: i32, endRow: i32): void {
  const labels = address(LABEL)
  const code = address(CODE)
  const low = rowStart(own(member, FIRST_ROW))
  const high = rowStart(own(member, END_ROW))
  for (let start = rowStart(firstRow), end = rowStart(endRow); start < end; start++) {
    if (load<i32>(labels + ((<usize>start) << 2)) >= VOID) continue
    let name: i32
    for (let cell = start; ; ) {
      const way = <u32>load<u8>(code + cell)
      if (way > 7) {
        name = way === VOID_CODE ? VOID : way === LEAVES_CODE ? 0 : newPit(member, cell)
        break
      }
      cell += offset(way)
      if (cell < low || cell >= high) {
        name = newExit(member, cell)
        break
      }
      name = load<i32>(labels + ((<usize>cell) << 2))
      if (name >= VOID) break
    }
    for (let cell = start; cell >= low && cell < high; ) {
      const at = labels + ((<usize>cell) << 2)
      if (load<i32>(at) >= VOID) break
      store<i32>(at, name)
      const way = <u32>load<u8>(code + cell)
      if (way > 7) break
      cell += offset(way)
    }
  }
}

function newPit(member: i32, cell: i32): i32 {
  const name = own(member, FIRST_PIT) + own(member, PITS)
  setOwn(member, PITS, own(member, PITS) + 1)
  store<i32>(address(PIT) + ((<usize>name) << 2), cell)
  return name
}

/** Where the label of an exit keeps what it stands for. */
function exitOf(name: i32): usize {
  return address(EXITS) + ((<usize>(name - own(0, FIRST_EXIT))) << 3)
}

function newExit(member: i32, beyond: i32): i32 {
  const name = own(member, FIRST_EXIT) + own(member, EXIT_COUNT)
  setOwn(member, EXIT_COUNT, own(member, EXIT_COUNT) + 1)
  store<i32>(exitOf(name), beyond)
  return name
}

/** The basins that a member's exits lead to, by way of other members' exits where need be. After all strips are labelled. */
export function resolveExits(member: i32, _firstRow: i32, _endRow: i32): void {
  const labels = address(LABEL)
  const first = own(0, FIRST_EXIT)
  for (let k = 0; k < own(member, EXIT_COUNT); k++) {
    let name = own(member, FIRST_EXIT) + k
    while (name >= first) name = load<i32>(labels + ((<usize>load<i32>(exitOf(name))) << 2))
    store<i32>(exitOf(own(member, FIRST_EXIT) + k), name, 4)
  }
}

/** Puts those basins in the place of the exits' labels. */
export function relabelExits(member: i32, firstRow: i32, endRow: i32): void {
  const first = own(0, FIRST_EXIT)
  for (
    let at = address(LABEL) + ((<usize>rowStart(firstRow)) << 2), end = address(LABEL) + ((<usize>rowStart(endRow)) << 2);
    at < end;
    at += 16
  ) {
    if (!v128.any_true(i32x4.ge_s(v128.load(at), i32x4.splat(first)))) continue
    for (let one = at; one < at + 16; one += 4) if (load<i32>(one) >= first) store<i32>(one, load<i32>(exitOf(load<i32>(one)), 4))
  }
}

/** Numbers the basins anew, in the order in which the raster's rows meet them. The new numbers of basins stand in the trees' place. Alone. */
export function rank(_member: i32, firstRow: i32, endRow: i32): void {
  const ranks = address(TREE)
  let ranked = field(RANKED)
  for (
    let at = address(LABEL) + ((<usize>rowStart(firstRow)) << 2), end = address(LABEL) + ((<usize>rowStart(endRow)) << 2);
    at < end;
    at += 4
  ) {
    const name = load<i32>(at)
    if (name <= 0) continue
    const kept = ranks + ((<usize>name) << 2)
    if (load<i32>(kept) === 0) store<i32>(kept, ranked++)
    store<i32>(at, load<i32>(kept))
  }
  setField(RANKED, ranked)
}
