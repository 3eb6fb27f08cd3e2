// Horn's gradient, in float32 as the definition has it, four columns at a time. The answer stands in the labels' place.
import { FIELDS, LABEL, RUN, STRIDE, WIDTH, Z } from '../src/kernels/fields'
import { address, field, rowStart } from './memory'

/**
 * Steepness of some rows, threes of them. A gap among the nine cells makes it a gap, and the padding round the raster is one. Most columns have no
 * gap: only where one is met are the four worked again with an eye on gaps, and those after them likewise until no gap is left.
 */
export function gradient(_member: i32, firstRow: i32, endRow: i32): void {
  const stride = (<usize>field(STRIDE)) << 2
  const first = (<usize>rowStart(firstRow)) << 2
  const z = address(Z) + first
  const out = address(LABEL) + first
  const width = (<usize>field(WIDTH)) << 2
  const rows = <usize>(endRow - firstRow) * stride
  const run = <f32>load<f64>(FIELDS + 4 * RUN)
  // Where the run is a power of two, so is its reciprocal, and both give the same bits.
  const multiplies = (reinterpret<u32>(run) & 0x7fffff) === 0
  const scale = f32x4.splat(multiplies ? 1 / run : run)
  for (let column: usize = 0; column < width; ) {
    column = multiplies
      ? strips<Yes, Yes>(column, z, out, width, rows, stride, scale)
      : strips<No, Yes>(column, z, out, width, rows, stride, scale)
    if (column < width)
      column = multiplies
        ? strips<Yes, No>(column, z, out, width, rows, stride, scale)
        : strips<No, No>(column, z, out, width, rows, stride, scale)
  }
}

/** Answers that are known when the code is made: a function has a form for each. */
type Yes = u8
type No = u16
function is<Answer>(): bool {
  return sizeof<Answer>() === sizeof<Yes>()
}

/**
 * Strips of four columns, each worked downwards: of three rows two are at hand already, and the one that is done with makes room for the next.
 * Goes on eastwards while there is no gap among a strip's cells or beside them, or while there is one; gives the column at which to go on otherwise.
 */
function strips<Multiplies, Careful>(column: usize, z: usize, out: usize, width: usize, rows: usize, stride: usize, scale: v128): usize {
  for (; column < width; column += 16) {
    let next = z + column
    // The row above: west, middle, east and their difference across; then the row itself.
    let a = v128.load(next - stride - 4)
    let b = v128.load(next - stride)
    let c = v128.load(next - stride + 4)
    let acrossA = f32x4.sub(c, a)
    let d = v128.load(next - 4)
    let e = v128.load(next)
    let f = v128.load(next + 4)
    let acrossD = f32x4.sub(f, d)
    // No number once a gap is met: of three rows the middle one tells of all, the row before the first and that after the last for themselves.
    let sum = f32x4.sub(acrossA, acrossA)
    let to = out + column
    for (const end = to + rows; to < end; ) {
      next += stride
      const g = v128.load(next - 4)
      const h = v128.load(next)
      const i = v128.load(next + 4)
      const acrossG = f32x4.sub(i, g)
      answer<Multiplies, Careful>(to, a, b, c, e, g, h, i, f32x4.add(acrossA, acrossG), acrossD, scale)
      to += stride
      next += stride
      a = v128.load(next - 4)
      b = v128.load(next)
      c = v128.load(next + 4)
      acrossA = f32x4.sub(c, a)
      sum = f32x4.add(sum, answer<Multiplies, Careful>(to, d, e, f, h, a, b, c, f32x4.add(acrossD, acrossA), acrossG, scale))
      to += stride
      next += stride
      d = v128.load(next - 4)
      e = v128.load(next)
      f = v128.load(next + 4)
      acrossD = f32x4.sub(f, d)
      answer<Multiplies, Careful>(to, g, h, i, b, d, e, f, f32x4.add(acrossG, acrossD), acrossA, scale)
      to += stride
    }
    sum = f32x4.add(sum, f32x4.sub(acrossD, acrossD))
    const gap = v128.any_true(f32x4.ne(sum, sum))
    if (is<Careful>() && !gap) return column + 16
    if (!is<Careful>() && gap) return column
  }
  return column
}

/**
 * Answer of four cells, put into its place: from the rows above (a, b, c) and below (g, h, i) of west, middle and east, the cells themselves, and
 * the differences across, of the two rows together and of the cells' own.
 */
function answer<Multiplies, Careful>(
  to: usize,
  a: v128,
  b: v128,
  c: v128,
  cells: v128,
  g: v128,
  h: v128,
  i: v128,
  acrossBoth: v128,
  across: v128,
  scale: v128,
): v128 {
  let east = f32x4.add(acrossBoth, f32x4.add(across, across))
  const along = f32x4.sub(b, h)
  let north = f32x4.add(f32x4.add(f32x4.sub(a, g), f32x4.sub(c, i)), f32x4.add(along, along))
  east = is<Multiplies>() ? f32x4.mul(east, scale) : f32x4.div(east, scale)
  north = is<Multiplies>() ? f32x4.mul(north, scale) : f32x4.div(north, scale)
  const both = f32x4.sqrt(f32x4.add(f32x4.mul(east, east), f32x4.mul(north, north)))
  // The middle cell has no part in the differences, but where it is a gap the answer is one; and gaps have one pattern of bits.
  const gaps = v128.or(f32x4.ne(both, both), f32x4.ne(cells, cells))
  v128.store(to, is<Careful>() ? v128.bitselect(f32x4.splat(NaN), both, gaps) : both)
  return both
}
