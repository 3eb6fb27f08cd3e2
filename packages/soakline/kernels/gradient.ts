// Horn's gradient, in float64 as the definition has it, two cells at a time. The answer stands in the labels' place as float32.
import { FIELDS, HEIGHT, LABEL, RUN, STRIDE, WIDTH, Z } from '../src/kernels/fields'
import { address, field, rowStart } from './memory'

/** Steepness of some rows. A gap among the nine cells makes it a gap, and the padding round the raster is one. */
export function gradient(_member: i32, firstRow: i32, endRow: i32): void {
  const stride = (<usize>field(STRIDE)) << 2
  const z = address(Z)
  const out = address(LABEL)
  const run = f64x2.splat(load<f64>(FIELDS + 4 * RUN))
  const perRun = load<f64>(FIELDS + 4 * RUN, 8)
  for (let row = firstRow; row < endRow; row++) {
    let at = (<usize>rowStart(row)) << 2
    for (const end = at + ((<usize>field(WIDTH)) << 2); at < end; at += 16) {
      const low = twoRises(z + at, stride, run, perRun)
      const high = twoRises(z + at + 8, stride, run, perRun)
      const both = v128.shuffle<i32>(f32x4.demote_f64x2_zero(low), f32x4.demote_f64x2_zero(high), 0, 1, 4, 5)
      // The middle cell has no part in the differences, but where it is a gap the answer is one; and gaps have one pattern of bits.
      const here = v128.load(z + at)
      const gap = v128.or(f32x4.ne(both, both), f32x4.ne(here, here))
      v128.store(out + at, v128.bitselect(f32x4.splat(NaN), both, gap))
    }
  }
}

function two(at: usize): v128 {
  return f64x2.promote_low_f32x4(v128.load64_zero(at))
}

function twoRises(at: usize, row: usize, run: v128, perRun: f64): v128 {
  const a = two(at - row - 4)
  const b = two(at - row)
  const c = two(at - row + 4)
  const d = two(at - 4)
  const f = two(at + 4)
  const g = two(at + row - 4)
  const h = two(at + row)
  const i = two(at + row + 4)
  let east = f64x2.sub(f64x2.add(f64x2.add(c, f64x2.add(f, f)), i), f64x2.add(f64x2.add(a, f64x2.add(d, d)), g))
  let north = f64x2.sub(f64x2.add(f64x2.add(a, f64x2.add(b, b)), c), f64x2.add(f64x2.add(g, f64x2.add(h, h)), i))
  if (perRun !== 0) {
    east = f64x2.mul(east, f64x2.splat(perRun))
    north = f64x2.mul(north, f64x2.splat(perRun))
  } else {
    east = f64x2.div(east, run)
    north = f64x2.div(north, run)
  }
  return f64x2.sqrt(f64x2.add(f64x2.mul(east, east), f64x2.mul(north, north)))
}
