// Horn's gradient, in float32 as the definition has it, four columns at a time. The answer stands in the labels' place.
import { FIELDS, LABEL, RUN, STRIDE, WIDTH, Z } from '../src/kernels/fields'
import { address, field, rowStart } from './memory'

/**
 * Steepness of some rows. A gap among the nine cells makes it a gap, and the padding round the raster is one. Worked down the columns: of three
 * rows two are at hand already.
 */
export function gradient(_member: i32, firstRow: i32, endRow: i32): void {
  const stride = (<usize>field(STRIDE)) << 2
  const first = (<usize>rowStart(firstRow)) << 2
  const z = address(Z) + first
  const out = address(LABEL) + first
  const width = (<usize>field(WIDTH)) << 2
  const rows = <usize>(endRow - firstRow) * stride
  const run = f32x4.splat(<f32>load<f64>(FIELDS + 4 * RUN))
  for (let column: usize = 0; column < width; column += 16) {
    let below = z + column
    // The row above: west, middle, east and their difference across; then the row itself.
    let a = v128.load(below - stride - 4)
    let b = v128.load(below - stride)
    let c = v128.load(below - stride + 4)
    let acrossAbove = f32x4.sub(c, a)
    let d = v128.load(below - 4)
    let e = v128.load(below)
    let f = v128.load(below + 4)
    let across = f32x4.sub(f, d)
    let to = out + column
    for (const end = to + rows; to < end; to += stride) {
      below += stride
      const g = v128.load(below - 4)
      const h = v128.load(below)
      const i = v128.load(below + 4)
      const acrossBelow = f32x4.sub(i, g)
      const along = f32x4.sub(b, h)
      const east = f32x4.div(f32x4.add(f32x4.add(acrossAbove, acrossBelow), f32x4.add(across, across)), run)
      const north = f32x4.div(f32x4.add(f32x4.add(f32x4.sub(a, g), f32x4.sub(c, i)), f32x4.add(along, along)), run)
      const both = f32x4.sqrt(f32x4.add(f32x4.mul(east, east), f32x4.mul(north, north)))
      // The middle cell has no part in the differences, but where it is a gap the answer is one; and gaps have one pattern of bits.
      const gap = v128.or(f32x4.ne(both, both), f32x4.ne(e, e))
      v128.store(to, v128.bitselect(f32x4.splat(NaN), both, gap))
      a = d
      b = e
      c = f
      acrossAbove = across
      d = g
      e = h
      f = i
      across = acrossBelow
    }
  }
}
