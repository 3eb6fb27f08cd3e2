// Multiple flow: who is lower, sixteen cells at a time, and what each lower neighbour gets of a cell's water.
import { BINOMIALS, CODE, CONTOUR, GIVES, MANTISSAS, MANY_CODE, POWERS, RECIPROCALS, SHARE, STRIDE, Z } from '../src/kernels/fields'
import { address, field, offset, rowStart } from './memory'
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

/**
 * What each neighbour of a cell gets of its water, in parts of the sum given back, at `parts`: eight float64, of which those are written to
 * which the cell gives.
 *
 * A ratio x = 2⁻ⁿ m is raised to a power p by tables of 2⁻ⁿᵖ and of cᵖ, c being the middle of a part of the mantissa's range, and the binomial
 * series of (m/c)ᵖ: within 10⁻⁹.
 */
export function partsByPower(cell: i32, gives: u32, parts: usize): f64 {
  const z = address(Z)
  const table = address(POWERS)
  const here = <f64>load<f32>(z + ((<usize>cell) << 2))
  let steepest: f64 = 0
  for (let bits = gives; bits !== 0; bits &= bits - 1) {
    const k = <u32>ctz(bits)
    const fall = (here - <f64>load<f32>(z + ((<usize>(cell + offset(k))) << 2))) * (k & 1 ? PER_SQRT2 : 1)
    store<f64>(parts + ((<usize>k) << 3), fall)
    steepest = max(steepest, fall)
  }
  const perSteepest = 1 / steepest
  const straight = load<f64>(table + 8 * CONTOUR)
  const slant = load<f64>(table + 8 * CONTOUR, 8)
  const c1 = load<f64>(table + 8 * BINOMIALS)
  const c2 = load<f64>(table + 8 * BINOMIALS, 8)
  const c3 = load<f64>(table + 8 * BINOMIALS, 16)
  const c4 = load<f64>(table + 8 * BINOMIALS, 24)
  const reciprocals = table + 8 * RECIPROCALS
  let sum: f64 = 0
  for (let bits = gives; bits !== 0; bits &= bits - 1) {
    const k = <usize>ctz(bits)
    const x = reinterpret<u64>(min(1, load<f64>(parts + (k << 3)) * perSteepest))
    const halvings = <usize>(1023 - (x >> 52))
    const at = reciprocals + ((<usize>(x >> 44) & (MANTISSAS - 1)) << 3)
    const m = reinterpret<f64>((x & 0xfffffffffffff) | 0x3ff0000000000000)
    const d = m * load<f64>(at) - 1
    const series = 1 + d * (c1 + d * (c2 + d * (c3 + d * c4)))
    const power = load<f64>(at, 8 * MANTISSAS) * load<f64>(reciprocals + (halvings << 3), 16 * MANTISSAS) * series
    const part = power * (k & 1 ? slant : straight)
    const kept = part < LEAST ? 0 : <f64>(<f32>part)
    store<f64>(parts + (k << 3), kept)
    sum += kept
  }
  return sum
}
