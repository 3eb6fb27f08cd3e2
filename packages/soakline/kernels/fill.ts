// What the tree of passes gives: the filled surface, and directions by which every hollow's water goes on.
import { BASINS, CODE, LABEL, LEAVES_CODE, LEVEL, PARENT, PASS, SINK_CODE, Z } from '../src/kernels/fields'
import { address, field, offset, rowStart } from './memory'

/** Raises the heights of some rows to the level of their basins. */
export function fill(_member: i32, firstRow: i32, endRow: i32): void {
  const z = address(Z)
  const labels = address(LABEL)
  const level = address(LEVEL)
  for (let at = (<usize>rowStart(firstRow)) << 2, end = (<usize>rowStart(endRow)) << 2; at < end; at += 4) {
    const basin = load<i32>(labels + at)
    if (basin <= 0) continue
    const to = load<f32>(level + ((<usize>basin) << 2))
    if (load<f32>(z + at) < to) store<f32>(z + at, to)
  }
}

/** Turns the directions round from each pit to its pass. Basins do not meet: each is turned by itself. */
export function turnRound(_member: i32, _firstRow: i32, _endRow: i32): void {
  const code = address(CODE)
  const labels = address(LABEL)
  const passes = address(PASS)
  const parent = address(PARENT)
  const basins = field(BASINS)
  for (let basin = 1; basin < basins; basin++) {
    if (load<i32>(parent + ((<usize>basin) << 2)) < 0) continue
    const place = load<u32>(passes + ((<usize>basin) << 3), 4)
    const k = place & 7
    let cell = <i32>(place >> 3)
    let turned = k === 0 ? <u32>LEAVES_CODE : k
    if (k !== 0 && load<i32>(labels + ((<usize>cell) << 2)) !== basin) {
      cell += offset(k)
      turned = k ^ 4
    }
    for (;;) {
      const was = <u32>load<u8>(code + cell)
      store<u8>(code + cell, <u8>turned)
      if (was === SINK_CODE) break
      turned = was ^ 4
      cell += offset(was)
    }
  }
}
