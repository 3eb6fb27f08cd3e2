// Multiple flow: who is lower, sixteen cells at a time, and what each lower neighbour gets of a cell's water.
import { CODE, FIELDS, GIVES, MANY_CODE, POWER, SHARE, STRIDE, Z } from '../src/kernels/fields'
import { address, field, offset, rowStart } from './memory'
import { bitsOf, masks } from './spread-ways'

const UNIT: f64 = 16777216
const LN2: f64 = 0.6931471805599453
const LOG2E: f64 = 1.4426950408889634
const SQRT2: f64 = 1.4142135623730951

/** Ways of some rows, by heights and slopes: all lower neighbours, else the slope's own way. */
export function toAllLower(_member: i32, firstRow: i32, endRow: i32): void {
  const code = address(CODE)
  const gives = address(GIVES)
  const share = address(SHARE)
  for (let cell = <usize>rowStart(firstRow), end = <usize>rowStart(endRow); cell < end; cell += 16) {
    const codes = v128.load(code + cell)
    const lower = i8x16.narrow_i16x8_u(
      i16x8.narrow_i32x4_s(lowerOf(cell), lowerOf(cell + 4)),
      i16x8.narrow_i32x4_s(lowerOf(cell + 8), lowerOf(cell + 12)),
    )
    const none = i8x16.eq(lower, i8x16.splat(0))
    v128.store(gives + cell, v128.bitselect(bitsOf(codes), lower, none))
    const many = i8x16.gt_u(i8x16.popcnt(lower), i8x16.splat(1))
    v128.store(code + cell, v128.bitselect(i8x16.splat(<i8>MANY_CODE), codes, many))
    // Whoever has one way only gives nothing to the next.
    for (let part: usize = 0; part < 64; part += 16) v128.store(share + (cell << 2) + part, i32x4.splat(0))
  }
}

/** Which neighbours of four cells are lower, as bits. */
function lowerOf(cell: usize): v128 {
  const row = (<usize>field(STRIDE)) << 2
  const at = address(Z) + (cell << 2)
  const here = v128.load(at)
  let bits = v128.and(f32x4.lt(v128.load(at - row), here), i32x4.splat(1))
  bits = v128.or(bits, v128.and(f32x4.lt(v128.load(at - row + 4), here), i32x4.splat(2)))
  bits = v128.or(bits, v128.and(f32x4.lt(v128.load(at + 4), here), i32x4.splat(4)))
  bits = v128.or(bits, v128.and(f32x4.lt(v128.load(at + row + 4), here), i32x4.splat(8)))
  bits = v128.or(bits, v128.and(f32x4.lt(v128.load(at + row), here), i32x4.splat(16)))
  bits = v128.or(bits, v128.and(f32x4.lt(v128.load(at + row - 4), here), i32x4.splat(32)))
  bits = v128.or(bits, v128.and(f32x4.lt(v128.load(at - 4), here), i32x4.splat(64)))
  return v128.or(bits, v128.and(f32x4.lt(v128.load(at - row - 4), here), i32x4.splat(128)))
}

/** What each neighbour of a cell gets of its water, at `parts`: eight float64, clockwise from north. */
export function partsByPower(cell: i32, parts: usize): void {
  const stride = field(STRIDE)
  const z = address(Z) + ((<usize>cell) << 2)
  const row = (<usize>stride) << 2
  const here = f64x2.splat(<f64>load<f32>(z))
  const fall = f64x2(1, 1 / SQRT2)
  // Pairs of a straight and the slant neighbour clockwise from it.
  const a = drops(here, load<f32>(z - row), load<f32>(z - row + 4), fall)
  const b = drops(here, load<f32>(z + 4), load<f32>(z + row + 4), fall)
  const c = drops(here, load<f32>(z + row), load<f32>(z + row - 4), fall)
  const d = drops(here, load<f32>(z - 4), load<f32>(z - row - 4), fall)
  const most = f64x2.pmax(f64x2.pmax(a, b), f64x2.pmax(c, d))
  const steepest = f64x2.splat(max(f64x2.extract_lane(most, 0), f64x2.extract_lane(most, 1)))
  const power = f64x2.splat(load<f64>(FIELDS + 4 * POWER))
  const contour = v128.load(FIELDS + 4 * POWER + 8)
  const pa = weights(f64x2.div(a, steepest), power, contour)
  const pb = weights(f64x2.div(b, steepest), power, contour)
  const pc = weights(f64x2.div(c, steepest), power, contour)
  const pd = weights(f64x2.div(d, steepest), power, contour)
  const sums = f64x2.add(f64x2.add(pa, pb), f64x2.add(pc, pd))
  const perSum = f64x2.splat(1 / (f64x2.extract_lane(sums, 0) + f64x2.extract_lane(sums, 1)))
  v128.store(parts, f64x2.mul(pa, perSum))
  v128.store(parts, f64x2.mul(pb, perSum), 16)
  v128.store(parts, f64x2.mul(pc, perSum), 32)
  v128.store(parts, f64x2.mul(pd, perSum), 48)
}

/** Slopes down to a straight and a slant neighbour; 0 where it is not lower or a gap. */
function drops(here: v128, straight: f32, slant: f32, fall: v128): v128 {
  const there = f64x2(<f64>straight, <f64>slant)
  return f64x2.pmax(f64x2.splat(0), f64x2.mul(f64x2.sub(here, there), fall))
}

/** Powers of two ratios (0–1) times the contour lengths, in whole 2⁻²⁴; 0 stays 0. Within 10⁻¹⁰. */
function weights(ratio: v128, exponent: v128, contour: v128): v128 {
  const one = f64x2.splat(1)
  let power = ratio
  if (f64x2.extract_lane(exponent, 0) !== 1) {
    // ln x = e ln 2 + 2 artanh((m − 1)/(m + 1)), m in [√½, √2): the exponent is taken from the bits of x √2.
    const bits = i64x2.add(ratio, i64x2.splat(0x95f619980c433))
    const e = f64x2.sub(f64x2.convert_low_i32x4_s(v128.shuffle<i32>(i64x2.shr_u(bits, 52), i64x2.splat(0), 0, 2, 1, 1)), f64x2.splat(1023))
    const m = i64x2.sub(ratio, i64x2.shl(i64x2.sub(i64x2.shr_u(bits, 52), i64x2.splat(1023)), 52))
    const t = f64x2.div(f64x2.sub(m, one), f64x2.add(m, one))
    const t2 = f64x2.mul(t, t)
    let series = f64x2.splat(1.0 / 13)
    for (let n = 11; n >= 1; n -= 2) series = f64x2.add(f64x2.splat(1 / <f64>n), f64x2.mul(t2, series))
    const log = f64x2.add(f64x2.mul(e, f64x2.splat(LN2)), f64x2.mul(f64x2.mul(f64x2.splat(2), t), series))
    // e^y = 2^k e^r, |r| ≤ ½ ln 2. Below 2⁻⁶⁰ it counts for nothing.
    const y = f64x2.pmax(f64x2.splat(-41), f64x2.mul(exponent, log))
    const k = f64x2.nearest(f64x2.mul(y, f64x2.splat(LOG2E)))
    const r = f64x2.sub(y, f64x2.mul(k, f64x2.splat(LN2)))
    let exp = one
    for (let n = 10; n >= 1; n--) exp = f64x2.add(one, f64x2.mul(f64x2.mul(r, f64x2.splat(1 / <f64>n)), exp))
    const twos = i64x2.shl(i64x2.extend_low_i32x4_s(i32x4.trunc_sat_f64x2_s_zero(k)), 52)
    power = v128.and(i64x2.add(exp, twos), f64x2.gt(ratio, f64x2.splat(0)))
  }
  const units = f64x2.floor(f64x2.add(f64x2.mul(f64x2.mul(power, contour), f64x2.splat(UNIT)), f64x2.splat(0.5)))
  return f64x2.mul(units, f64x2.splat(1 / UNIT))
}
