// Multiple flow: who is lower, sixteen cells at a time, and what each lower neighbour gets of a cell's water.
import { BINOMIALS, CODE, CONTOUR, GIVES, MANTISSAS, MANY_CODE, POWERS, RECIPROCALS, SHARE, STRIDE, Z } from '../src/kernels/fields'
import { address, field, rowStart } from './memory'
import { bitsOf } from './spread-ways'

const PER_SQRT2: f64 = 0.7071067811865475

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

/** Parts below this of the steepest way's are dropped: 2⁻²⁵. */
const LEAST: f64 = 2.9802322387695312e-8
/** No ratio of two differences of float32 is less: 2⁻⁴⁰⁰. */
const LEAST_RATIO: f64 = 3.872591914849318e-121

/**
 * What each lower neighbour of a cell gets of its water, in parts of the sum given back, at `parts`: eight float64, 0 for the others.
 *
 * A ratio x = 2⁻ⁿ m is raised to a power p by tables of 2⁻ⁿᵖ and of cᵖ, c being the middle of a part of the mantissa's range, and the binomial
 * series of (m/c)ᵖ: within 10⁻⁹. All eight are worked, two by two, the straight way and the slant one clockwise from it: to tell which are asked for
 * would take longer.
 */
export function partsByPower(cell: i32, parts: usize): f64 {
  const row = (<usize>field(STRIDE)) << 2
  const at = address(Z) + ((<usize>cell) << 2)
  const here = f64x2.splat(<f64>load<f32>(at))
  const southWest = v128.load64_zero(at + row - 4)
  const north = fallsTo(here, v128.load64_zero(at - row))
  const east = fallsTo(here, v128.load_lane<f32>(at + row + 4, v128.load32_zero(at + 4), 1))
  const south = fallsTo(here, v128.shuffle<i32>(southWest, southWest, 1, 0, 2, 3))
  const west = fallsTo(here, v128.load_lane<f32>(at - row - 4, v128.load32_zero(at - 4), 1))
  const steepest = f64x2.pmax(f64x2.pmax(north, east), f64x2.pmax(south, west))
  const perSteepest = f64x2.splat(1 / max(f64x2.extract_lane(steepest, 0), f64x2.extract_lane(steepest, 1)))
  const sums = f64x2.add(
    f64x2.add(partsOf(north, perSteepest, parts), partsOf(east, perSteepest, parts + 16)),
    f64x2.add(partsOf(south, perSteepest, parts + 32), partsOf(west, perSteepest, parts + 48)),
  )
  return f64x2.extract_lane(sums, 0) + f64x2.extract_lane(sums, 1)
}

/** Falls a cell's width from a height to those of a straight and a slant neighbour (float32); 0 to one that is no lower. */
function fallsTo(here: v128, heights: v128): v128 {
  const falls = f64x2.mul(f64x2.sub(here, f64x2.promote_low_f32x4(heights)), f64x2(1, PER_SQRT2))
  return v128.and(falls, f64x2.gt(falls, f64x2.splat(0)))
}

/** Parts of the water that go along two falls, put into their place. */
function partsOf(falls: v128, perSteepest: v128, to: usize): v128 {
  const table = address(POWERS)
  const ratios = f64x2.pmax(f64x2.splat(LEAST_RATIO), f64x2.pmin(f64x2.splat(1), f64x2.mul(falls, perSteepest)))
  const x0 = i64x2.extract_lane(ratios, 0)
  const x1 = i64x2.extract_lane(ratios, 1)
  const at0 = table + 8 * RECIPROCALS + ((<usize>(x0 >> 44) & (MANTISSAS - 1)) << 3)
  const at1 = table + 8 * RECIPROCALS + ((<usize>(x1 >> 44) & (MANTISSAS - 1)) << 3)
  const reciprocals = v128.load_lane<f64>(at1, v128.load64_zero(at0), 1)
  const powers = v128.load_lane<f64>(at1, v128.load64_zero(at0, 8 * MANTISSAS), 1, 8 * MANTISSAS)
  const halvings0 = table + 8 * RECIPROCALS + ((<usize>(1023 - (x0 >> 52))) << 3)
  const halvings1 = table + 8 * RECIPROCALS + ((<usize>(1023 - (x1 >> 52))) << 3)
  const halved = v128.load_lane<f64>(halvings1, v128.load64_zero(halvings0, 16 * MANTISSAS), 1, 16 * MANTISSAS)
  const m = v128.or(v128.and(ratios, i64x2.splat(0xfffffffffffff)), i64x2.splat(0x3ff0000000000000))
  const d = f64x2.sub(f64x2.mul(m, reciprocals), f64x2.splat(1))
  let series = v128.load64_splat(table, 8 * BINOMIALS + 24)
  series = f64x2.add(v128.load64_splat(table, 8 * BINOMIALS + 16), f64x2.mul(d, series))
  series = f64x2.add(v128.load64_splat(table, 8 * BINOMIALS + 8), f64x2.mul(d, series))
  series = f64x2.add(v128.load64_splat(table, 8 * BINOMIALS), f64x2.mul(d, series))
  series = f64x2.add(f64x2.splat(1), f64x2.mul(d, series))
  const exact = f64x2.mul(f64x2.mul(f64x2.mul(powers, halved), series), v128.load(table, 8 * CONTOUR))
  const kept = v128.and(f64x2.ge(exact, f64x2.splat(LEAST)), f64x2.gt(falls, f64x2.splat(0)))
  const found = v128.and(f64x2.promote_low_f32x4(f32x4.demote_f64x2_zero(exact)), kept)
  v128.store(to, found)
  return found
}
