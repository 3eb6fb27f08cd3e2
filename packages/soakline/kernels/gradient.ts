// Horn's gradient, in float32 as the definition has it, four columns at a time. The answer stands in the labels' place.
import { FIELDS, LABEL, RUN, STRIDE, WIDTH, Z } from '../src/kernels/fields'
import { address, field, rowStart } from './memory'

/**
 * Steepness of some rows. A gap among the nine cells makes it a gap, and the padding round the raster is one. Worked down the columns: of three
 * rows two are at hand already. Most columns have no gap: only where one is met are the four worked again with an eye on gaps, and those after
 * them likewise until no gap is left.
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
  let careful = true
  for (let column: usize = 0; column < width; column += 16) {
    const from = z + column
    const to = out + column
    if (!careful) careful = multiplies ? down<Yes, No>(from, to, rows, stride, scale) : down<No, No>(from, to, rows, stride, scale)
    if (careful) careful = multiplies ? down<Yes, Yes>(from, to, rows, stride, scale) : down<No, Yes>(from, to, rows, stride, scale)
  }
}

/** Answers that are known when the code is made: a function has a form for each. */
type Yes = u8
type No = u16
function is<Answer>(): bool {
  return sizeof<Answer>() === sizeof<Yes>()
}

/** Four columns downwards; tells whether a gap was among their cells or beside them. */
function down<Multiplies, Careful>(from: usize, out: usize, rows: usize, stride: usize, scale: v128): bool {
  let below = from
  // The row above: west, middle, east and their difference across; then the row itself.
  let a = v128.load(below - stride - 4)
  let b = v128.load(below - stride)
  let c = v128.load(below - stride + 4)
  let acrossAbove = f32x4.sub(c, a)
  let d = v128.load(below - 4)
  let e = v128.load(below)
  let f = v128.load(below + 4)
  let across = f32x4.sub(f, d)
  // No number once a gap is met: a gap of the first row tells itself, any other in the row above it.
  let sum = f32x4.sub(e, e)
  let to = out
  for (const end = to + rows; to < end; to += stride) {
    below += stride
    const g = v128.load(below - 4)
    const h = v128.load(below)
    const i = v128.load(below + 4)
    const acrossBelow = f32x4.sub(i, g)
    const along = f32x4.sub(b, h)
    let east = f32x4.add(f32x4.add(acrossAbove, acrossBelow), f32x4.add(across, across))
    let north = f32x4.add(f32x4.add(f32x4.sub(a, g), f32x4.sub(c, i)), f32x4.add(along, along))
    east = is<Multiplies>() ? f32x4.mul(east, scale) : f32x4.div(east, scale)
    north = is<Multiplies>() ? f32x4.mul(north, scale) : f32x4.div(north, scale)
    const both = f32x4.sqrt(f32x4.add(f32x4.mul(east, east), f32x4.mul(north, north)))
    sum = f32x4.add(sum, both)
    if (is<Careful>()) {
      // The middle cell has no part in the differences, but where it is a gap the answer is one; and gaps have one pattern of bits.
      v128.store(to, v128.bitselect(f32x4.splat(NaN), both, v128.or(f32x4.ne(both, both), f32x4.ne(e, e))))
    } else v128.store(to, both)
    a = d
    b = e
    c = f
    acrossAbove = across
    d = g
    e = h
    f = i
    across = acrossBelow
  }
  return v128.any_true(f32x4.ne(sum, sum))
}
