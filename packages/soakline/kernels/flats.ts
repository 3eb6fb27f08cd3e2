// Ways over flats: over cells of equal height, the shortest to one that drains (5 for a straight step, 7 for a slant one); flats without such a
// cell get a pit. A distance is kept less whole sixteens in the cell's code: neighbours on a flat differ by 7 at most, so that is enough.
import {
  CODE, FAR, FLAT_PIT, HEAD_5, HEAD_7, LABEL, LINK, OPEN_CODE, SHARED_CODE, SINK_CODE, STRIDE, TAIL_5, TAIL_7, Z, FIRST_ROW, END_ROW, HEIGHT, WIDTH, DISTANCE, VOID_CODE,
} from '../src/kernels/fields'
import { address, field, offset, own, rowStart, setOwn } from './memory'

/** No cell. */
const NONE: i32 = 0

function heightAt(z: usize, cell: i32): f32 {
  return load<f32>(z + (<usize>cell << 2))
}

/** Whether any of sixteen cells is a flat one still without its way. */
function anyFlat(at: usize): bool {
  return v128.any_true(i8x16.lt_u(i8x16.sub(v128.load(at), i8x16.splat(<i8>FAR)), i8x16.splat(<i8>(VOID_CODE - FAR))))
}

/** Two queues: one of cells reached by a straight step, one by a slant step. Each is in order of distance by itself, as steps are equally long. */
function push(member: i32, straight: bool, cell: i32): void {
  const links = straight ? address(LABEL) : address(LINK)
  const head = straight ? HEAD_5 : HEAD_7
  const tail = straight ? TAIL_5 : TAIL_7
  store<i32>(links + (<usize>cell << 2), NONE)
  if (own(member, head) == NONE) setOwn(member, head, cell)
  else store<i32>(links + (<usize>own(member, tail) << 2), cell)
  setOwn(member, tail, cell)
}

function takeFrom(member: i32, straight: bool, cell: i32): void {
  const links = straight ? address(LABEL) : address(LINK)
  setOwn(member, straight ? HEAD_5 : HEAD_7, load<i32>(links + (<usize>cell << 2)))
}

/** Goes through the queues in order of distance, from flat cells to flat cells of the same height, `most` of them at a time. */
function spread(member: i32, most: i32): void {
  const z = address(Z)
  const code = address(CODE)
  let far = own(member, DISTANCE)
  for (let taken = 0; taken < most; taken++) {
    const five = own(member, HEAD_5)
    const seven = own(member, HEAD_7)
    if (five == NONE && seven == NONE) break
    // How much further than the last one; 8 and more was reached on a shorter way before.
    const onFive = five == NONE ? 16 : (<i32>load<u8>(code + five) - FAR - far) & 15
    const onSeven = seven == NONE ? 16 : (<i32>load<u8>(code + seven) - FAR - far) & 15
    const straight = five != NONE && (seven == NONE || (onSeven < 8 && onFive <= onSeven) || onFive >= 8)
    const cell = straight ? five : seven
    const on = straight ? onFive : onSeven
    takeFrom(member, straight, cell)
    if (on >= 8) continue
    far = (far + on) & 15
    const here = heightAt(z, cell)
    for (let k = 0; k < 8; k++) {
      const to = cell + offset(k)
      const was = <i32>load<u8>(code + to)
      if (was != OPEN_CODE && (was < FAR || was >= FLAT_PIT)) continue
      if (heightAt(z, to) != here) continue
      const step = k & 1 ? 7 : 5
      // A slant step is never the shorter way to a cell that has been reached; a straight one by 1 or 2.
      if (was != OPEN_CODE && (step == 7 || ((was - FAR - far - step - 1) & 15) > 1)) continue
      store<u8>(code + to, <u8>(FAR + ((far + step) & 15)))
      push(member, step == 5, to)
    }
  }
  setOwn(member, DISTANCE, far)
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
    if (load<u8>(code + cell) != OPEN_CODE) continue
    const over = cell + towards * field(STRIDE)
    for (let to = over - 1; to <= over + 1; to++)
      if (<i32>load<u8>(code + to) >= SHARED_CODE && heightAt(z, to) == heightAt(z, cell)) {
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
  store<i32>(links + (<usize>start << 2), NONE)
  for (let top = start; top != NONE; ) {
    const cell = top
    top = load<i32>(links + (<usize>cell << 2))
    for (let k = 0; k < 8; k++) {
      const to = cell + offset(k)
      if (to < low || to >= high || load<u8>(code + to) != OPEN_CODE || heightAt(z, to) != heightAt(z, cell)) continue
      store<u8>(code + to, SHARED_CODE)
      store<i32>(links + (<usize>to << 2), top)
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

/** Flat cells beside one of equal height that drains. */
export function flatsBegin(member: i32, firstRow: i32, endRow: i32): void {
  const z = address(Z)
  const code = address(CODE)
  for (let block = rowStart(firstRow), end = rowStart(endRow); block < end; block += 16) {
    if (!anyFlat(code + block)) continue
    for (let cell = block; cell < block + 16; cell++) {
      if (load<u8>(code + cell) != OPEN_CODE) continue
      const here = heightAt(z, cell)
      let least = 8
      for (let k = 0; k < 8; k++) {
        const to = cell + offset(k)
        if (<i32>load<u8>(code + to) <= SINK_CODE && heightAt(z, to) == here) least = min(least, k & 1 ? 7 : 5)
      }
      if (least == 8) continue
      store<u8>(code + cell, <u8>(FAR + least))
      push(member, least == 5, cell)
    }
  }
}

/** From those over their flats: a part with each call, the rest with the last one. */
export function flatsSpread(member: i32, firstRow: i32, endRow: i32): void {
  if (firstRow == own(member, FIRST_ROW)) setOwn(member, DISTANCE, 5)
  spread(member, endRow == own(member, END_ROW) ? i32.MAX_VALUE : 65536)
}

/** Flats that nothing drains: each gets its first cell as pit, and distances from it. */
export function flatPits(member: i32, firstRow: i32, endRow: i32): void {
  const code = address(CODE)
  for (let block = rowStart(firstRow), end = rowStart(endRow); block < end; block += 16) {
    if (!anyFlat(code + block)) continue
    for (let cell = block; cell < block + 16; cell++) {
      if (load<u8>(code + cell) != OPEN_CODE) continue
      store<u8>(code + cell, FAR)
      push(member, true, cell)
      setOwn(member, DISTANCE, 0)
      spread(member, i32.MAX_VALUE)
      store<u8>(code + cell, FLAT_PIT)
    }
  }
}

/** The way of each flat cell that has been reached: to the first neighbour clockwise from which its distance came. Kept aside until all are known. */
export function flatWays(_member: i32, firstRow: i32, endRow: i32): void {
  const z = address(Z)
  const code = address(CODE)
  const ways = address(LABEL)
  for (let block = rowStart(firstRow), end = rowStart(endRow); block < end; block += 16) {
    if (!anyFlat(code + block)) continue
    for (let cell = block; cell < block + 16; cell++) {
      const far = <i32>load<u8>(code + cell) - FAR
      if (far < 0 || far >= 16) continue
      const here = heightAt(z, cell)
      for (let k = 0; k < 8; k++) {
        const to = cell + offset(k)
        if (heightAt(z, to) != here) continue
        const there = <i32>load<u8>(code + to)
        const step = k & 1 ? 7 : 5
        const comes = there <= SINK_CODE || there == FLAT_PIT ? far == step : there >= FAR && there < FLAT_PIT && ((there - FAR + step - far) & 15) == 0
        if (!comes) continue
        store<i32>(ways + (<usize>cell << 2), k)
        break
      }
    }
  }
}

/** Puts those ways into the codes. */
export function flatsDone(_member: i32, firstRow: i32, endRow: i32): void {
  const code = address(CODE)
  const ways = address(LABEL)
  for (let block = rowStart(firstRow), end = rowStart(endRow); block < end; block += 16) {
    if (!anyFlat(code + block)) continue
    for (let cell = block; cell < block + 16; cell++) {
      const was = <i32>load<u8>(code + cell)
      if (was == FLAT_PIT) store<u8>(code + cell, SINK_CODE)
      else if (was >= FAR && was < FLAT_PIT) store<u8>(code + cell, load<u8>(ways + (<usize>cell << 2)))
    }
  }
}
