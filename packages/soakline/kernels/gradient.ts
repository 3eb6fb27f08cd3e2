// Horn's gradient, in float32 as the definition has it, four cells at a time. The answer stands in the labels' place.
import { FIELDS, LABEL, RUN, STRIDE, WIDTH, Z } from '../src/kernels/fields'
import { address, field, rowStart } from './memory'

/** Steepness of some rows. A gap among the nine cells makes it a gap, and the padding round the raster is one. */
export function gradient(_member: i32, firstRow: i32, endRow: i32): void {
  const stride = (<usize>field(STRIDE)) << 2
  const z = address(Z)
  const out = address(LABEL)
  const run = f32x4.splat(<f32>load<f64>(FIELDS + 4 * RUN))
  for (let row = firstRow; row < endRow; row++) {
    let at = z + ((<usize>rowStart(row)) << 2)
    let to = out + ((<usize>rowStart(row)) << 2)
    for (const end = at + ((<usize>field(WIDTH)) << 2); at < end; at += 16, to += 16) {
      const a = v128.load(at - stride - 4)
      const b = v128.load(at - stride)
      const c = v128.load(at - stride + 4)
      const here = v128.load(at)
      const g = v128.load(at + stride - 4)
      const h = v128.load(at + stride)
      const i = v128.load(at + stride + 4)
      const across = f32x4.sub(v128.load(at + 4), v128.load(at - 4))
      const along = f32x4.sub(b, h)
      const east = f32x4.div(f32x4.add(f32x4.add(f32x4.sub(c, a), f32x4.sub(i, g)), f32x4.add(across, across)), run)
      const north = f32x4.div(f32x4.add(f32x4.add(f32x4.sub(a, g), f32x4.sub(c, i)), f32x4.add(along, along)), run)
      const both = f32x4.sqrt(f32x4.add(f32x4.mul(east, east), f32x4.mul(north, north)))
      // The middle cell has no part in the differences, but where it is a gap the answer is one; and gaps have one pattern of bits.
      const gap = v128.or(f32x4.ne(both, both), f32x4.ne(here, here))
      v128.store(to, v128.bitselect(f32x4.splat(NaN), both, gap))
    }
  }
}
