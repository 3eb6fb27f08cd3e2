// How many cells drain through each cell, itself included: walks down from the springs, on as long as every donor of the next cell is done.
import { CODE, DEGREE, END_ROW, EXIT_COUNT, EXITS, FIRST_EXIT, FIRST_ROW, LABEL, STRIDE, VOID_CODE } from '../src/kernels/fields'
import { address, field, offset, own, rowStart, setOwn } from './memory'

/** Donors of each cell are counted, sixteen cells at a time; every cell counts itself, voids nothing. Counts stand in the labels' place. */
export function countDonors(_member: i32, firstRow: i32, endRow: i32): void {
  const stride = <usize>field(STRIDE)
  const degree = address(DEGREE)
  const counts = address(LABEL)
  const code = address(CODE)
  for (let cell = <usize>rowStart(firstRow), end = <usize>rowStart(endRow); cell < end; cell += 16) {
    const at = code + cell
    // A neighbour in direction k gives where it looks back: k ± 4. True is −1.
    let donors = i8x16.eq(v128.load(at - stride), i8x16.splat(4))
    donors = i8x16.add(donors, i8x16.eq(v128.load(at - stride + 1), i8x16.splat(5)))
    donors = i8x16.add(donors, i8x16.eq(v128.load(at + 1), i8x16.splat(6)))
    donors = i8x16.add(donors, i8x16.eq(v128.load(at + stride + 1), i8x16.splat(7)))
    donors = i8x16.add(donors, i8x16.eq(v128.load(at + stride), i8x16.splat(0)))
    donors = i8x16.add(donors, i8x16.eq(v128.load(at + stride - 1), i8x16.splat(1)))
    donors = i8x16.add(donors, i8x16.eq(v128.load(at - 1), i8x16.splat(2)))
    donors = i8x16.add(donors, i8x16.eq(v128.load(at - stride - 1), i8x16.splat(3)))
    const voids = i8x16.eq(v128.load(at), i8x16.splat(<i8>VOID_CODE))
    v128.store(degree + cell, v128.or(i8x16.neg(donors), voids))
    const ones = v128.andnot(i8x16.splat(1), voids)
    const low = i16x8.extend_low_i8x16_u(ones)
    const high = i16x8.extend_high_i8x16_u(ones)
    const to = counts + (cell << 2)
    v128.store(to, i32x4.extend_low_i16x8_u(low))
    v128.store(to, i32x4.extend_high_i16x8_u(low), 16)
    v128.store(to, i32x4.extend_low_i16x8_u(high), 32)
    v128.store(to, i32x4.extend_high_i16x8_u(high), 48)
  }
}

/** Walks from the springs of some rows, as far as the member's strip goes; ways across its border are listed. */
export function accumulate(member: i32, firstRow: i32, endRow: i32): void {
  const degree = address(DEGREE)
  const low = rowStart(own(member, FIRST_ROW))
  const high = rowStart(own(member, END_ROW))
  for (let block = rowStart(firstRow), end = rowStart(endRow); block < end; block += 16)
    for (let springs = i8x16.bitmask(i8x16.eq(v128.load(degree + block), i8x16.splat(0))); springs !== 0; springs &= springs - 1)
      walk(member, block + <i32>ctz(springs), low, high)
}

function walk(member: i32, start: i32, low: i32, high: i32): void {
  const degree = address(DEGREE)
  const counts = address(LABEL)
  const code = address(CODE)
  let cell = start
  let count = load<u32>(counts + ((<usize>cell) << 2))
  for (;;) {
    store<u8>(degree + cell, 255)
    const way = <u32>load<u8>(code + cell)
    if (way > 7) return
    const to = cell + offset(way)
    if (to < low || to >= high) {
      store<i32>(address(EXITS) + ((<usize>(own(member, FIRST_EXIT) - own(0, FIRST_EXIT) + own(member, EXIT_COUNT))) << 3), cell)
      setOwn(member, EXIT_COUNT, own(member, EXIT_COUNT) + 1)
      return
    }
    count += load<u32>(counts + ((<usize>to) << 2))
    store<u32>(counts + ((<usize>to) << 2), count)
    const left = load<u8>(degree + to) - 1
    if (left > 0) {
      store<u8>(degree + to, left)
      return
    }
    cell = to
  }
}

/** Goes on with the ways that cross the borders of a member's strip; alone, one member after the other, without a border. */
export function accumulateAcross(member: i32, _firstRow: i32, _endRow: i32): void {
  const degree = address(DEGREE)
  const counts = address(LABEL)
  const code = address(CODE)
  for (let k = 0; k < own(member, EXIT_COUNT); k++) {
    const cell = load<i32>(address(EXITS) + ((<usize>(own(member, FIRST_EXIT) - own(0, FIRST_EXIT) + k)) << 3))
    const to = cell + offset(load<u8>(code + cell))
    store<u32>(counts + ((<usize>to) << 2), load<u32>(counts + ((<usize>to) << 2)) + load<u32>(counts + ((<usize>cell) << 2)))
    const left = load<u8>(degree + to) - 1
    store<u8>(degree + to, left)
    if (left === 0) walk(member, to, 0, i32.MAX_VALUE)
  }
}
