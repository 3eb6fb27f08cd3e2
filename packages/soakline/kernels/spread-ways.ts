// To which neighbours cells give: bit k for direction k.
import { CODE, EVEN_CODE, GIVES, SHARE, Z } from '../src/kernels/fields'
import { address, offset } from './memory'

/** Shares are whole numbers of 1 / this, 2⁻²⁴: so they and their rests to 1 are exact in float32. */
export const UNIT: f64 = 16777216
/** Stands for a code until the cell has been looked at by itself. */
export const ALONE: i32 = 12

/** Of sixteen cells by their codes and the shares of the clockwise neighbours, which stand at an address. Other codes than 0–7 give nothing here. */
export function waysOf(codes: v128, shares: usize): v128 {
  const a = v128.load(shares)
  const b = v128.load(shares, 16)
  const c = v128.load(shares, 32)
  const d = v128.load(shares, 48)
  const whole = f32x4.splat(1)
  const none = f32x4.splat(0)
  const first = masks(f32x4.lt(a, whole), f32x4.lt(b, whole), f32x4.lt(c, whole), f32x4.lt(d, whole))
  const next = masks(f32x4.gt(a, none), f32x4.gt(b, none), f32x4.gt(c, none), f32x4.gt(d, none))
  return v128.or(v128.and(first, bitsOf(codes)), v128.and(next, nextBitsOf(codes)))
}

/** Bit k for each code k below 8, none for others. */
export function bitsOf(codes: v128): v128 {
  return i8x16.swizzle(i8x16(1, 2, 4, 8, 16, 32, 64, -128, 0, 0, 0, 0, 0, 0, 0, 0), codes)
}

/** The bit of the direction clockwise from each. */
function nextBitsOf(codes: v128): v128 {
  return i8x16.swizzle(i8x16(2, 4, 8, 16, 32, 64, -128, 1, 0, 0, 0, 0, 0, 0, 0, 0), codes)
}

/** Sixteen masks of a byte out of four times four. */
export function masks(a: v128, b: v128, c: v128, d: v128): v128 {
  return i8x16.narrow_i16x8_s(i16x8.narrow_i32x4_s(a, b), i16x8.narrow_i32x4_s(c, d))
}

/** The steepest neighbours, as bits. */
export function steepestOf(cell: i32): u32 {
  const z = address(Z)
  const here = <f64>load<f32>(z + ((<usize>cell) << 2))
  let steepest: f64 = 0
  let found: u32 = 0
  for (let k: u32 = 0; k < 8; k++) {
    const drop = (here - <f64>load<f32>(z + ((<usize>(cell + offset(k))) << 2))) / (k & 1 ? Math.SQRT2 : 1)
    if (drop > steepest) {
      steepest = drop
      found = 1 << k
    } else if (drop === steepest && drop > 0) found |= 1 << k
  }
  return found
}

/** Notes that a cell shares evenly among the neighbours told by bits; all to one where it is one. */
export function gaveEvenly(cell: i32, to: u32): void {
  store<u8>(address(GIVES) + cell, <u8>to)
  store<u8>(address(CODE) + cell, popcnt(to) === 1 ? <u8>ctz(to) : <u8>EVEN_CODE)
  store<f32>(address(SHARE) + ((<usize>cell) << 2), 0)
}
