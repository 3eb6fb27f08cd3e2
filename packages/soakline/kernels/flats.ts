// Ways over flats: over cells of equal height, the shortest to one that drains (5 for a straight step, 7 for a slant one); flats without such a
// cell get a pit. Flat by flat, so that its cells are at hand. A distance is kept less whole sixteens in the cell's code: neighbours on a flat
// differ by 7 at most, so that is enough.
import {
  CODE,
  END_ROW,
  FIRST_ROW,
  FLAT_PIT,
  HEAD_5,
  HEAD_7,
  HEIGHT,
  LABEL,
  LINK,
  OPEN_CODE,
  SEEN,
  SETTLED,
  SHARED_CODE,
  SINK_CODE,
  STRIDE,
  TAIL_5,
  TAIL_7,
  WAITING,
  WIDTH,
  Z,
} from '../src/kernels/fields'
import { address, field, offset, own, rowStart, setOwn } from './memory'

/** No cell. */
const NONE: i32 = 0

function heightAt(z: usize, cell: i32): f32 {
  return load<f32>(z + ((<usize>cell) << 2))
}

/** Two queues: one of cells reached by a straight step, one by a slant step. Each is in order of distance by itself, as its steps are equally long. */
function push(member: i32, straight: bool, cell: i32): void {
  const links = straight ? address(LABEL) : address(LINK)
  const head = straight ? HEAD_5 : HEAD_7
  const tail = straight ? TAIL_5 : TAIL_7
  store<i32>(links + ((<usize>cell) << 2), NONE)
  if (own(member, head) === NONE) setOwn(member, head, cell)
  else store<i32>(links + ((<usize>own(member, tail)) << 2), cell)
  setOwn(member, tail, cell)
}

function takeFrom(member: i32, straight: bool, cell: i32): void {
  const links = straight ? address(LABEL) : address(LINK)
  setOwn(member, straight ? HEAD_5 : HEAD_7, load<i32>(links + ((<usize>cell) << 2)))
}

/** The distance in a code, less whole sixteens; −1 where it holds none. */
function distanceIn(code: i32): i32 {
  if (code >= WAITING && code < FLAT_PIT) return code - WAITING
  if (code >= SETTLED && code < WAITING) return (code - SETTLED) >> 3
  return code === FLAT_PIT ? 0 : -1
}

/** Goes through the queues in order of distance. A cell that is taken has its distance for good; its way is the first clockwise from which that comes. */
function settle(member: i32, from: i32): void {
  const z = address(Z)
  const code = address(CODE)
  let far = from
  while (true) {
    const five = own(member, HEAD_5)
    const seven = own(member, HEAD_7)
    if (five === NONE && seven === NONE) return
    const waitsFive = five === NONE ? -1 : <i32>load<u8>(code + five) - WAITING
    const waitsSeven = seven === NONE ? -1 : <i32>load<u8>(code + seven) - WAITING
    // How much further than the last one; whoever was reached on a shorter way before does not wait any more.
    const onFive = waitsFive < 0 ? 16 : (waitsFive - far) & 15
    const onSeven = waitsSeven < 0 ? 16 : (waitsSeven - far) & 15
    const straight = five !== NONE && (waitsFive < 0 || seven === NONE || (waitsSeven >= 0 && onFive <= onSeven))
    const cell = straight ? five : seven
    takeFrom(member, straight, cell)
    if ((straight ? waitsFive : waitsSeven) < 0) continue
    far = (far + (straight ? onFive : onSeven)) & 15
    const here = heightAt(z, cell)
    let way = -1
    for (let k = 0; k < 8; k++) {
      const to = cell + offset(k)
      const was = <i32>load<u8>(code + to)
      if (was === SEEN) {
        if (heightAt(z, to) === here) reach(member, to, far, k)
      } else if (was < VOID_LEAST && heightAt(z, to) === here) {
        const step = k & 1 ? 7 : 5
        const there = distanceIn(was)
        // A cell that drains by itself lies at 0, and then this one's distance is whole.
        if (way < 0 && (there < 0 ? far === step : ((there + step - far) & 15) === 0)) way = k
        // A slant step is never the shorter way to a cell that has been reached; a straight one by 1 or 2.
        else if (step === 5 && was >= WAITING && was < FLAT_PIT && ((there - far - step - 1) & 15) <= 1) reach(member, to, far, k)
      }
    }
    store<u8>(code + cell, <u8>(SETTLED + (far << 3) + way))
  }
}

/** Codes from here on are cells without a height, or flats that lie across strips: not of this flat. */
const VOID_LEAST: i32 = 253

function reach(member: i32, cell: i32, far: i32, k: i32): void {
  const step = k & 1 ? 7 : 5
  store<u8>(address(CODE) + cell, <u8>(WAITING + ((far + step) & 15)))
  push(member, step === 5, cell)
}

/** Marks the flats that reach from this member's strip into a neighbour's: they are left for one member to work out alone. */
export function flatsAcross(member: i32, firstRow: i32, endRow: i32): void {
  if (firstRow > 0) markAcross(member, firstRow, -1)
  if (endRow < field(HEIGHT)) markAcross(member, endRow - 1, 1)
}

function markAcross(member: i32, row: i32, towards: i32): void {
  const z = address(Z)
  const code = address(CODE)
  const first = rowStart(row)
  for (let cell = first; cell < first + field(WIDTH); cell++) {
    if (load<u8>(code + cell) !== OPEN_CODE) continue
    const over = cell + towards * field(STRIDE)
    for (let to = over - 1; to <= over + 1; to++)
      if (<i32>load<u8>(code + to) >= SHARED_CODE && heightAt(z, to) === heightAt(z, cell)) {
        markAll(member, cell)
        break
      }
  }
}

/** Marks the whole flat of a cell, as far as it lies in the strip. */
function markAll(member: i32, start: i32): void {
  const z = address(Z)
  const code = address(CODE)
  const links = address(LINK)
  const low = rowStart(own(member, FIRST_ROW))
  const high = rowStart(own(member, END_ROW))
  store<u8>(code + start, SHARED_CODE)
  store<i32>(links + ((<usize>start) << 2), NONE)
  for (let top = start; top !== NONE; ) {
    const cell = top
    top = load<i32>(links + ((<usize>cell) << 2))
    for (let k = 0; k < 8; k++) {
      const to = cell + offset(k)
      if (to < low || to >= high || load<u8>(code + to) !== OPEN_CODE || heightAt(z, to) !== heightAt(z, cell)) continue
      store<u8>(code + to, SHARED_CODE)
      store<i32>(links + ((<usize>to) << 2), top)
      top = to
    }
  }
}

/** Takes up the flats that lie across strips. */
export function takeShared(_member: i32, firstRow: i32, endRow: i32): void {
  const code = address(CODE)
  for (let at = code + rowStart(firstRow), end = code + rowStart(endRow); at < end; at += 16) {
    const codes = v128.load(at)
    const shared = i8x16.eq(codes, i8x16.splat(<i8>SHARED_CODE))
    if (v128.any_true(shared)) v128.store(at, v128.bitselect(i8x16.splat(<i8>OPEN_CODE), codes, shared))
  }
}

/** Works out the flats whose first cell lies in these rows, one after the other. */
export function flats(member: i32, firstRow: i32, endRow: i32): void {
  const code = address(CODE)
  for (let block = rowStart(firstRow), end = rowStart(endRow); block < end; block += 16)
    for (let open = i8x16.bitmask(i8x16.eq(v128.load(code + block), i8x16.splat(<i8>OPEN_CODE))); open !== 0; open &= open - 1) {
      const cell = block + <i32>ctz(open)
      if (load<u8>(code + cell) === OPEN_CODE) solveFlat(member, cell)
    }
}

/** Distances and ways of one flat, from its first cell. */
function solveFlat(member: i32, first: i32): void {
  const code = address(CODE)
  if (seeFlat(member, first)) {
    settle(member, 5)
    return
  }
  store<u8>(code + first, FLAT_PIT)
  const z = address(Z)
  for (let k = 0; k < 8; k++) {
    const to = first + offset(k)
    if (load<u8>(code + to) === SEEN && heightAt(z, to) === heightAt(z, first)) reach(member, to, 0, k)
  }
  settle(member, 5)
}

/** Sees all cells of a flat, and queues those beside a cell of equal height that drains. Whether there are any. */
function seeFlat(member: i32, first: i32): bool {
  const z = address(Z)
  const code = address(CODE)
  const links = address(LINK)
  const here = heightAt(z, first)
  let drains = false
  store<u8>(code + first, SEEN)
  store<i32>(links + ((<usize>first) << 2), NONE)
  for (let top = first; top !== NONE; ) {
    const cell = top
    top = load<i32>(links + ((<usize>cell) << 2))
    let least = 8
    for (let k = 0; k < 8; k++) {
      const to = cell + offset(k)
      const was = <i32>load<u8>(code + to)
      if ((was > SINK_CODE && was !== OPEN_CODE) || heightAt(z, to) !== here) continue
      if (was === OPEN_CODE) {
        store<u8>(code + to, SEEN)
        store<i32>(links + ((<usize>to) << 2), top)
        top = to
      } else least = min(least, k & 1 ? 7 : 5)
    }
    if (least === 8) continue
    drains = true
    store<u8>(code + cell, <u8>(WAITING + least))
    // Stack and queue share a link for each cell; this one has left the stack.
    push(member, least === 5, cell)
  }
  return drains
}

/** Puts the ways of flat cells into the codes. */
export function flatsDone(_member: i32, firstRow: i32, endRow: i32): void {
  const code = address(CODE)
  for (let at = code + rowStart(firstRow), end = code + rowStart(endRow); at < end; at += 16) {
    const codes = v128.load(at)
    const from = i8x16.sub(codes, i8x16.splat(<i8>SETTLED))
    const settled = i8x16.lt_u(from, i8x16.splat(<i8>(WAITING - SETTLED)))
    const ways = v128.bitselect(v128.and(from, i8x16.splat(7)), codes, settled)
    v128.store(at, v128.bitselect(i8x16.splat(<i8>SINK_CODE), ways, i8x16.eq(codes, i8x16.splat(<i8>FLAT_PIT))))
  }
}
