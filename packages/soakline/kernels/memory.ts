// Access to the memory that kernels share with the library. Cells are counted with their padding.
import { FIELDS, GUARD, MEMBER, MEMBER_BYTES, OFFSETS, STRIDE } from '../src/kernels/fields'

/** A number held in a field. */
export function field(name: i32): i32 {
  return load<i32>(FIELDS + 4 * name)
}

/** Puts a number into a field. */
export function setField(name: i32, value: i32): void {
  store<i32>(FIELDS + 4 * name, value)
}

/** An address or a size held in a field. */
export function address(name: i32): usize {
  return <usize>load<u32>(FIELDS + 4 * name)
}

/** A number held in a field of a member. */
export function own(member: i32, name: i32): i32 {
  return load<i32>(MEMBER + MEMBER_BYTES * member + 4 * name)
}

/** Puts a number into a field of a member. */
export function setOwn(member: i32, name: i32, value: i32): void {
  store<i32>(MEMBER + MEMBER_BYTES * member + 4 * name, value)
}

/** An address held in a field of a member. */
export function ownAddress(member: i32, name: i32): usize {
  return <usize>load<u32>(MEMBER + MEMBER_BYTES * member + 4 * name)
}

/** The offset in cells to the neighbour in direction k, clockwise from north. */
export function offset(k: u32): i32 {
  return load<i32>(FIELDS + 4 * OFFSETS + (k << 2))
}

/** The first cell of a row. */
export function rowStart(row: i32): i32 {
  return GUARD + (row + 1) * field(STRIDE)
}
