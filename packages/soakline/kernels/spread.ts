// Water gathered along ways that part: no cell passes its water on before all its donors have. Nothing is sorted; each cell counts the donors
// it still waits for, and those that wait for none stand in a queue, filled row by row from the springs, so that the work stays near by.
import {
  AREA,
  CODE,
  DEGREE,
  DONORS,
  EVEN_CODE,
  GIVES,
  LAYER,
  LAYERS,
  MANY_CODE,
  POWERS,
  QUEUE,
  QUEUE_HEAD,
  QUEUE_TAIL,
  SCRIBBLE,
  SHARE,
  SINK_CODE,
  STRIDE,
  VOID_CODE,
} from '../src/kernels/fields'
import { address, field, offset, rowStart, setField } from './memory'
import { partsByFacets } from './spread-by-facets'
import { partsByPower } from './spread-multiple'

/** Who gives to each cell of some rows, and how many they are; voids are waited for by nobody. */
export function countGivers(_member: i32, firstRow: i32, endRow: i32): void {
  const stride = <usize>field(STRIDE)
  const degree = address(DEGREE)
  const code = address(CODE)
  const donors = address(DONORS)
  for (let cell = <usize>rowStart(firstRow), end = <usize>rowStart(endRow); cell < end; cell += 16) {
    const at = address(GIVES) + cell
    let from = looksBack(at - stride, 4, 0)
    from = v128.or(from, looksBack(at - stride + 1, 5, 1))
    from = v128.or(from, looksBack(at + 1, 6, 2))
    from = v128.or(from, looksBack(at + stride + 1, 7, 3))
    from = v128.or(from, looksBack(at + stride, 0, 4))
    from = v128.or(from, looksBack(at + stride - 1, 1, 5))
    from = v128.or(from, looksBack(at - 1, 2, 6))
    from = v128.or(from, looksBack(at - stride - 1, 3, 7))
    const voids = i8x16.eq(v128.load(code + cell), i8x16.splat(<i8>VOID_CODE))
    v128.store(degree + cell, v128.or(i8x16.popcnt(from), voids))
    if (donors !== 0) v128.store(donors + cell, from)
  }
}

/** Bit k for each of sixteen cells that gives in direction `back`. */
function looksBack(at: usize, back: i32, k: i32): v128 {
  const bit = i8x16.splat(<i8>((<i32>1) << back))
  return v128.and(i8x16.eq(v128.and(v128.load(at), bit), bit), i8x16.splat(<i8>((<i32>1) << k)))
}

/** Gives each data cell of some rows its own water, 1; voids a gap. */
export function ownWater(_member: i32, firstRow: i32, endRow: i32): void {
  const code = address(CODE)
  const area = address(AREA)
  for (let cell = <usize>rowStart(firstRow), end = <usize>rowStart(endRow); cell < end; cell++)
    store<f64>(area + (cell << 3), load<u8>(code + cell) === VOID_CODE ? NaN : 1)
}

/** Puts the springs of a row into the queue, which is empty but for them. */
function queueSprings(row: i32, tail: i32): i32 {
  const degree = address(DEGREE)
  const queue = address(QUEUE)
  for (let block = rowStart(row), end = rowStart(row + 1); block < end; block += 16) {
    const springs = i8x16.eq(v128.load(degree + block), i8x16.splat(0))
    for (let bits = i8x16.bitmask(springs); bits !== 0; bits &= bits - 1, tail++)
      store<i32>(queue + ((<usize>tail) << 2), block + <i32>ctz(bits))
    v128.store(degree + block, v128.or(v128.load(degree + block), springs))
  }
  return tail
}

/** Gathers from the springs of some rows, as far down as nothing else is waited for. */
export function gather(member: i32, firstRow: i32, endRow: i32): void {
  for (let row = firstRow; row < endRow; row++) passOn(member, queueSprings(row, 0))
}

/** Passes on the water of all cells in the queue, and of those that become ready. */
function passOn(member: i32, end: i32): void {
  const code = address(CODE)
  const share = address(SHARE)
  const area = address(AREA)
  const degree = address(DEGREE)
  const queue = address(QUEUE)
  let tail = (<usize>end) << 2
  for (let head: usize = 0; head < tail; head += 4) {
    const cell = load<i32>(queue + head)
    const way = <u32>load<u8>(code + cell)
    const water = load<f64>(area + ((<usize>cell) << 3))
    if (way < 8) {
      const toNext = load<f32>(share + ((<usize>cell) << 2))
      const first = cell + offset(way)
      const next = cell + offset((way + 1) & 7)
      const part = <f64>toNext
      const toFirst = area + ((<usize>first) << 3)
      store<f64>(toFirst, load<f64>(toFirst) + water * (1 - part))
      // Where all goes to one, the other gets nothing and does not wait for it.
      const takesFirst = <u32>(toNext < 1)
      const leftFirst = <u32>load<u8>(degree + first) - takesFirst
      store<u8>(degree + first, <u8>(leftFirst - <u32>(leftFirst === 0 && takesFirst !== 0)))
      store<i32>(queue + tail, first)
      tail += (<usize>(leftFirst === 0 && takesFirst !== 0)) << 2
      const toSecond = area + ((<usize>next) << 3)
      const takesNext = <u32>(toNext > 0)
      store<f64>(toSecond, load<f64>(toSecond) + water * part)
      const leftNext = <u32>load<u8>(degree + next) - takesNext
      store<u8>(degree + next, <u8>(leftNext - <u32>(leftNext === 0 && takesNext !== 0)))
      store<i32>(queue + tail, next)
      tail += (<usize>(leftNext === 0 && takesNext !== 0)) << 2
    } else tail = passOnOdd(member, cell, way, water, tail)
  }
}

/** Passes on the water of a pit, or of a cell that gives to several neighbours. */
function passOnOdd(member: i32, cell: i32, way: u32, water: f64, end: usize): usize {
  let tail = end
  if (way === SINK_CODE) {
    const to = load<i32>(address(SHARE) + ((<usize>cell) << 2))
    return to < 0 ? tail : give(to, water, tail)
  }
  if (way !== EVEN_CODE && way !== MANY_CODE) return tail
  const gives = <u32>load<u8>(address(GIVES) + cell)
  const parts = <usize>(SCRIBBLE + 256 * member + 128)
  if (way === EVEN_CODE) {
    const part = 1 / <f64>popcnt(gives)
    for (let bits = gives; bits !== 0; bits &= bits - 1) tail = give(cell + offset(ctz(bits)), water * part, tail)
    return tail
  }
  const sum = address(POWERS) !== 0 ? partsByPower(cell, parts) : partsByFacets(cell, parts)
  const perPart = water / sum
  for (let bits = gives; bits !== 0; bits &= bits - 1) {
    const k = <u32>ctz(bits)
    tail = give(cell + offset(k), perPart * load<f64>(parts + ((<usize>k) << 3)), tail)
  }
  return tail
}

function give(to: i32, water: f64, tail: usize): usize {
  const area = address(AREA) + ((<usize>to) << 3)
  store<f64>(area, load<f64>(area) + water)
  return waitLess(to, tail)
}

/** One donor less to wait for; a cell that waits for none goes into the queue. */
function waitLess(to: i32, tail: usize): usize {
  const degree = address(DEGREE)
  const left = <u32>load<u8>(degree + to) - 1
  store<u8>(degree + to, left === 0 ? 255 : <u8>left)
  store<i32>(address(QUEUE) + tail, to)
  return tail + ((<usize>(left === 0)) << 2)
}

/** Lists the cells from the springs of some rows down, and how far down each lies. Nothing is gathered; the queue is the list. */
export function orderDown(_member: i32, firstRow: i32, endRow: i32): void {
  const code = address(CODE)
  const share = address(SHARE)
  const gives = address(GIVES)
  const queue = address(QUEUE)
  const layers = address(LAYER)
  let head = (<usize>field(QUEUE_HEAD)) << 2
  let tail = head
  let most = field(LAYERS)
  for (let row = firstRow; row < endRow; row++) {
    tail = (<usize>queueSprings(row, <i32>(tail >> 2))) << 2
    for (; head < tail; head += 4) {
      const cell = load<i32>(queue + head)
      const below = load<i32>(layers + ((<usize>cell) << 2)) + 1
      most = max(most, below)
      const way = <u32>load<u8>(code + cell)
      if (way < 8) {
        // In the order of the definition: the direction itself, then the one clockwise from it.
        const toNext = load<f32>(share + ((<usize>cell) << 2))
        if (toNext < 1) tail = release(cell + offset(way), below, tail)
        if (toNext > 0) tail = release(cell + offset((way + 1) & 7), below, tail)
      } else if (way === SINK_CODE) {
        const to = load<i32>(share + ((<usize>cell) << 2))
        if (to >= 0) tail = release(to, below, tail)
      } else if (way === EVEN_CODE || way === MANY_CODE)
        for (let bits = <u32>load<u8>(gives + cell); bits !== 0; bits &= bits - 1) tail = release(cell + offset(ctz(bits)), below, tail)
    }
  }
  setField(LAYERS, most)
  setField(QUEUE_HEAD, <i32>(head >> 2))
  setField(QUEUE_TAIL, <i32>(tail >> 2))
}

function release(to: i32, below: i32, tail: usize): usize {
  const layer = address(LAYER) + ((<usize>to) << 2)
  store<i32>(layer, max(load<i32>(layer), below))
  return waitLess(to, tail)
}
