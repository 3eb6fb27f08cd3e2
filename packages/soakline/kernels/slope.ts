// The steepest lower neighbour of each cell, sixteen cells at a time.
import {
  CODE,
  FLAT,
  HIGHEST,
  LEAST,
  LEAVES_CODE,
  MEMBER,
  MEMBER_BYTES,
  OPEN_CODE,
  SINK_CODE,
  STRIDE,
  VOID_CODE,
  Z,
} from '../src/kernels/fields'
import { address, field, offset, own, rowStart, setOwn } from './memory'

/**
 * Codes of whole rows. Of the straight neighbours the lowest is the steepest, of the slant ones too; only these two are divided by their
 * distance and compared, in float64 as everywhere. That the lowest is the steepest holds while differences of heights are exact in float64;
 * the rows' largest and least heights are kept, so that the library can tell and ask `slopeExactly` instead.
 */
export function slope(member: i32, firstRow: i32, endRow: i32): void {
  const stride = <usize>field(STRIDE)
  const z = address(Z)
  const code = address(CODE)
  let highest = f32x4.splat(load<f32>(MEMBER + MEMBER_BYTES * member + 4 * HIGHEST))
  let least = f32x4.splat(load<f32>(MEMBER + MEMBER_BYTES * member + 4 * LEAST))
  let flat = own(member, FLAT)
  for (let row = firstRow; row < endRow; row++) {
    let cell = <usize>rowStart(row)
    for (const end = cell + stride; cell < end; cell += 16) {
      for (let part: usize = 0; part < 16; part += 4) {
        const size = f32x4.abs(v128.load(z + ((cell + part) << 2)))
        highest = f32x4.pmax(highest, size)
        least = f32x4.pmin(least, v128.bitselect(f32x4.splat(f32.MAX_VALUE), size, f32x4.eq(size, f32x4.splat(0))))
      }
      const at = z + (cell << 2)
      const codes = i8x16.narrow_i16x8_u(
        i16x8.narrow_i32x4_s(fourSlopes(at, stride << 2), fourSlopes(at + 16, stride << 2)),
        i16x8.narrow_i32x4_s(fourSlopes(at + 32, stride << 2), fourSlopes(at + 48, stride << 2)),
      )
      v128.store(code + cell, codes)
      flat |= i32(v128.any_true(i8x16.eq(codes, i8x16.splat(<i8>OPEN_CODE))))
    }
  }
  setOwn(member, FLAT, flat)
  store<f32>(
    MEMBER + MEMBER_BYTES * member + 4 * HIGHEST,
    max(
      max(f32x4.extract_lane(highest, 0), f32x4.extract_lane(highest, 1)),
      max(f32x4.extract_lane(highest, 2), f32x4.extract_lane(highest, 3)),
    ),
  )
  store<f32>(
    MEMBER + MEMBER_BYTES * member + 4 * LEAST,
    min(min(f32x4.extract_lane(least, 0), f32x4.extract_lane(least, 1)), min(f32x4.extract_lane(least, 2), f32x4.extract_lane(least, 3))),
  )
}

/** Codes of four cells from the address of the first's height. `pmin` keeps its first operand unless the second is lower, so gaps (NaN) never win. */
function fourSlopes(at: usize, row: usize): v128 {
  const here = v128.load(at)
  const n = v128.load(at - row)
  const ne = v128.load(at - row + 4)
  const e = v128.load(at + 4)
  const se = v128.load(at + row + 4)
  const s = v128.load(at + row)
  const sw = v128.load(at + row - 4)
  const w = v128.load(at - 4)
  const nw = v128.load(at - row - 4)
  const none = f32x4.splat(Infinity)
  let straight = f32x4.pmin(none, n)
  let toStraight = v128.bitselect(i32x4.splat(2), i32x4.splat(0), f32x4.lt(e, straight))
  straight = f32x4.pmin(straight, e)
  toStraight = v128.bitselect(i32x4.splat(4), toStraight, f32x4.lt(s, straight))
  straight = f32x4.pmin(straight, s)
  toStraight = v128.bitselect(i32x4.splat(6), toStraight, f32x4.lt(w, straight))
  straight = f32x4.pmin(straight, w)
  let slant = f32x4.pmin(none, ne)
  let toSlant = v128.bitselect(i32x4.splat(3), i32x4.splat(1), f32x4.lt(se, slant))
  slant = f32x4.pmin(slant, se)
  toSlant = v128.bitselect(i32x4.splat(5), toSlant, f32x4.lt(sw, slant))
  slant = f32x4.pmin(slant, sw)
  toSlant = v128.bitselect(i32x4.splat(7), toSlant, f32x4.lt(nw, slant))
  slant = f32x4.pmin(slant, nw)
  // The two drops, in float64.
  const hereLow = f64x2.promote_low_f32x4(here)
  const hereHigh = f64x2.promote_low_f32x4(upper(here))
  const dropLow = f64x2.sub(hereLow, f64x2.promote_low_f32x4(straight))
  const dropHigh = f64x2.sub(hereHigh, f64x2.promote_low_f32x4(upper(straight)))
  const slantLow = f64x2.div(f64x2.sub(hereLow, f64x2.promote_low_f32x4(slant)), f64x2.splat(Math.SQRT2))
  const slantHigh = f64x2.div(f64x2.sub(hereHigh, f64x2.promote_low_f32x4(upper(slant))), f64x2.splat(Math.SQRT2))
  const steeper = v128.shuffle<i32>(f64x2.gt(slantLow, dropLow), f64x2.gt(slantHigh, dropHigh), 0, 2, 4, 6)
  const equal = v128.shuffle<i32>(f64x2.eq(slantLow, dropLow), f64x2.eq(slantHigh, dropHigh), 0, 2, 4, 6)
  const takesSlant = v128.or(steeper, v128.and(equal, i32x4.lt_s(toSlant, toStraight)))
  const lowest = f32x4.pmin(straight, slant)
  // Any gap makes the sum a gap: such cells, and those on the border, whose padding is a gap, let water off the raster.
  const sum = f32x4.add(f32x4.add(f32x4.add(n, ne), f32x4.add(e, se)), f32x4.add(f32x4.add(s, sw), f32x4.add(w, nw)))
  const undrained = v128.bitselect(
    i32x4.splat(LEAVES_CODE),
    v128.bitselect(i32x4.splat(OPEN_CODE), i32x4.splat(SINK_CODE), f32x4.eq(lowest, here)),
    f32x4.ne(sum, sum),
  )
  const found = v128.bitselect(v128.bitselect(toSlant, toStraight, takesSlant), undrained, f32x4.lt(lowest, here))
  return v128.bitselect(i32x4.splat(VOID_CODE), found, f32x4.ne(here, here))
}

/** The upper two of four numbers, where the lower two are looked for. */
function upper(four: v128): v128 {
  return v128.shuffle<i32>(four, four, 2, 3, 2, 3)
}

/** As `slope`, cell by cell, for heights of any size. */
export function slopeExactly(member: i32, firstRow: i32, endRow: i32): void {
  const stride = field(STRIDE)
  const z = address(Z)
  const code = address(CODE)
  let flat = own(member, FLAT)
  for (let row = firstRow; row < endRow; row++) {
    let cell = rowStart(row)
    for (const end = cell + stride; cell < end; cell++) {
      const here = load<f32>(z + ((<usize>cell) << 2))
      let best = SINK_CODE
      let steepest: f64 = 0
      let rim = false
      let level = false
      for (let k = 0; k < 8; k++) {
        const there = load<f32>(z + ((<usize>(cell + offset(k))) << 2))
        if (isNaN(there)) rim = true
        if (there === here) level = true
        const drop = (<f64>here - <f64>there) / (k & 1 ? Math.SQRT2 : 1)
        if (drop > steepest) {
          steepest = drop
          best = k
        }
      }
      if (best === SINK_CODE) best = rim ? LEAVES_CODE : level ? OPEN_CODE : SINK_CODE
      if (isNaN(here)) best = VOID_CODE
      if (best === OPEN_CODE) flat = 1
      store<u8>(code + cell, <u8>best)
    }
  }
  setOwn(member, FLAT, flat)
}
