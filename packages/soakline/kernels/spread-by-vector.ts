// How cells share their water by the vector of central differences: sixteen cells at a time, in float64 as the definition has it.
import { AREA, CODE, GIVES, SHARE, STRIDE, Z } from '../src/kernels/fields'
import { high2, joined, low2, narrowed, rounded } from './lanes'
import { address, field, offset, rowStart } from './memory'
import { ALONE, gaveEvenly, steepestOf, UNIT, waysOf } from './spread-ways'

/** Largest difference of scatter over two cells for which the ground counts as smooth. */
const SMOOTH: f64 = 0.1

/** How much each cell of some rows scatters, into the place of the gathered water. Gaps round a cell make it a gap. */
export function scatter(_member: i32, firstRow: i32, endRow: i32): void {
  const row = (<usize>field(STRIDE)) << 2
  const z = address(Z)
  const to = address(AREA)
  for (let at = (<usize>rowStart(firstRow)) << 2, end = (<usize>rowStart(endRow)) << 2; at < end; at += 16) {
    const n = v128.load(z + at - row)
    const e = v128.load(z + at + 4)
    const s = v128.load(z + at + row)
    const w = v128.load(z + at - 4)
    const low = twoScatters(low2(n), low2(e), low2(s), low2(w))
    const high = twoScatters(high2(n), high2(e), high2(s), high2(w))
    v128.store(to + at, joined(f32x4.demote_f64x2_zero(low), f32x4.demote_f64x2_zero(high)))
  }
}

function twoScatters(n: v128, e: v128, s: v128, w: v128): v128 {
  const across = f64x2.abs(f64x2.sub(e, w))
  const along = f64x2.abs(f64x2.sub(s, n))
  const t = f64x2.div(f64x2.min(across, along), f64x2.max(across, along))
  const one = f64x2.splat(1)
  return f64x2.div(f64x2.mul(t, f64x2.sub(one, t)), f64x2.sqrt(f64x2.add(one, f64x2.mul(t, t))))
}

/** Codes and shares of some rows, by slopes and scatter. */
export function byVector(_member: i32, firstRow: i32, endRow: i32): void {
  const code = address(CODE)
  const share = address(SHARE)
  const gives = address(GIVES)
  for (let cell = <usize>rowStart(firstRow), end = <usize>rowStart(endRow); cell < end; cell += 16) {
    const was = v128.load(code + cell)
    const low = i16x8.extend_low_i8x16_u(was)
    const high = i16x8.extend_high_i8x16_u(was)
    const codes = i8x16.narrow_i16x8_u(
      i16x8.narrow_i32x4_s(four(cell, i32x4.extend_low_i16x8_u(low)), four(cell + 4, i32x4.extend_high_i16x8_u(low))),
      i16x8.narrow_i32x4_s(four(cell + 8, i32x4.extend_low_i16x8_u(high)), four(cell + 12, i32x4.extend_high_i16x8_u(high))),
    )
    v128.store(code + cell, codes)
    v128.store(gives + cell, waysOf(codes, share + (cell << 2)))
    for (let lanes = i8x16.bitmask(i8x16.eq(codes, i8x16.splat(<i8>ALONE))); lanes !== 0; lanes &= lanes - 1)
      byItself(<i32>cell + <i32>ctz(lanes))
  }
}

/** Codes of four cells, whose shares are stored. */
function four(cell: usize, codes: v128): v128 {
  const row = (<usize>field(STRIDE)) << 2
  const at = address(Z) + (cell << 2)
  const here = v128.load(at)
  const n = v128.load(at - row)
  const ne = v128.load(at - row + 4)
  const e = v128.load(at + 4)
  const se = v128.load(at + row + 4)
  const s = v128.load(at + row)
  const sw = v128.load(at + row - 4)
  const w = v128.load(at - 4)
  const nw = v128.load(at - row - 4)
  // `pmin` keeps its first operand unless the second is lower: gaps never win.
  let lowest = f32x4.pmin(here, n)
  lowest = f32x4.pmin(lowest, ne)
  lowest = f32x4.pmin(lowest, e)
  lowest = f32x4.pmin(lowest, se)
  lowest = f32x4.pmin(lowest, s)
  lowest = f32x4.pmin(lowest, sw)
  lowest = f32x4.pmin(lowest, w)
  lowest = f32x4.pmin(lowest, nw)
  const falls = f32x4.lt(lowest, here)
  // The fall along each axis: central differences, one-sided where an end lacks.
  const hasN = f32x4.eq(n, n)
  const hasE = f32x4.eq(e, e)
  const hasS = f32x4.eq(s, s)
  const hasW = f32x4.eq(w, w)
  const upN = v128.bitselect(n, here, hasN)
  const upE = v128.bitselect(e, here, hasE)
  const upS = v128.bitselect(s, here, hasS)
  const upW = v128.bitselect(w, here, hasW)
  const half = f32x4.splat(0.5)
  const whole = f32x4.splat(1)
  const partEast = v128.bitselect(half, whole, v128.and(hasE, hasW))
  const partSouth = v128.bitselect(half, whole, v128.and(hasN, hasS))
  const isEast = f32x4.gt(upW, upE)
  const isSouth = f32x4.gt(upN, upS)
  const acrossLow = f64x2.abs(f64x2.mul(f64x2.sub(low2(upW), low2(upE)), low2(partEast)))
  const acrossHigh = f64x2.abs(f64x2.mul(f64x2.sub(high2(upW), high2(upE)), high2(partEast)))
  const alongLow = f64x2.abs(f64x2.mul(f64x2.sub(low2(upN), low2(upS)), low2(partSouth)))
  const alongHigh = f64x2.abs(f64x2.mul(f64x2.sub(high2(upN), high2(upS)), high2(partSouth)))
  const liesAcross = narrowed(f64x2.ge(acrossLow, alongLow), f64x2.ge(acrossHigh, alongHigh))
  const equal = narrowed(f64x2.eq(acrossLow, alongLow), f64x2.eq(acrossHigh, alongHigh))
  const mostLow = f64x2.max(acrossLow, alongLow)
  const mostHigh = f64x2.max(acrossHigh, alongHigh)
  const level = narrowed(f64x2.le(mostLow, f64x2.splat(0)), f64x2.le(mostHigh, f64x2.splat(0)))
  // Scatter on either side of the way.
  const there = address(AREA) + (cell << 2)
  const scatterN = v128.load(there - row)
  const scatterE = v128.load(there + 4)
  const scatterS = v128.load(there + row)
  const scatterW = v128.load(there - 4)
  const before = v128.bitselect(v128.bitselect(scatterN, scatterS, isSouth), v128.bitselect(scatterW, scatterE, isEast), liesAcross)
  const after = v128.bitselect(v128.bitselect(scatterS, scatterN, isSouth), v128.bitselect(scatterE, scatterW, isEast), liesAcross)
  const part = joined(
    f32x4.demote_f64x2_zero(leaned(f64x2.min(acrossLow, alongLow), mostLow, f64x2.sub(low2(after), low2(before)))),
    f32x4.demote_f64x2_zero(leaned(f64x2.min(acrossHigh, alongHigh), mostHigh, f64x2.sub(high2(after), high2(before)))),
  )
  const zStraight = v128.bitselect(v128.bitselect(e, w, isEast), v128.bitselect(s, n, isSouth), liesAcross)
  const zSlant = v128.bitselect(v128.bitselect(se, sw, isEast), v128.bitselect(ne, nw, isEast), isSouth)
  const straight = v128.bitselect(
    v128.bitselect(i32x4.splat(2), i32x4.splat(6), isEast),
    v128.bitselect(i32x4.splat(4), i32x4.splat(0), isSouth),
    liesAcross,
  )
  const slant = v128.bitselect(
    v128.bitselect(i32x4.splat(3), i32x4.splat(5), isEast),
    v128.bitselect(i32x4.splat(1), i32x4.splat(7), isEast),
    isSouth,
  )
  const zero = f32x4.splat(0)
  const takesStraight = f32x4.lt(zStraight, here)
  const takesSlant = v128.and(f32x4.gt(part, zero), f32x4.lt(zSlant, here))
  const alone = v128.or(v128.or(level, v128.andnot(equal, takesSlant)), v128.not(v128.or(takesStraight, takesSlant)))
  const toSlant = v128.bitselect(v128.and(part, takesSlant), whole, takesStraight)
  const clockwise = i32x4.eq(v128.and(i32x4.add(straight, i32x4.splat(1)), i32x4.splat(7)), slant)
  const noSlant = f32x4.eq(toSlant, zero)
  const first = v128.bitselect(straight, slant, v128.or(clockwise, noSlant))
  const toNext = v128.andnot(v128.bitselect(toSlant, f32x4.sub(whole, toSlant), clockwise), noSlant)
  v128.store(address(SHARE) + (cell << 2), v128.and(toNext, v128.andnot(falls, alone)))
  return v128.bitselect(v128.bitselect(i32x4.splat(ALONE), first, alone), codes, falls)
}

/** What the slant neighbour gets of two cells: the ratio of the falls, leaned against the drift, in whole 2⁻²⁴. */
function leaned(least: v128, most: v128, difference: v128): v128 {
  const one = f64x2.splat(1)
  const zero = f64x2.splat(0)
  const ratio = f64x2.div(least, most)
  const lean = f64x2.mul(f64x2.mul(f64x2.splat(0.25), f64x2.sqrt(f64x2.add(one, f64x2.mul(ratio, ratio)))), difference)
  const slants = v128.andnot(f64x2.le(f64x2.abs(difference), f64x2.splat(SMOOTH)), v128.or(f64x2.eq(ratio, zero), f64x2.eq(ratio, one)))
  const wanted = f64x2.add(ratio, v128.and(lean, slants))
  const units = f64x2.mul(f64x2.pmin(one, f64x2.pmax(zero, wanted)), f64x2.splat(UNIT))
  return f64x2.mul(rounded(units), f64x2.splat(1 / UNIT))
}

/** A cell by itself, whose fall points nowhere, or at a slant neighbour that is no way down, or at none that is lower. */
function byItself(cell: i32): void {
  const z = address(Z)
  const here = height(z, cell)
  const n = height(z, cell + offset(0))
  const e = height(z, cell + offset(2))
  const s = height(z, cell + offset(4))
  const w = height(z, cell + offset(6))
  const east = fallAlong(w, here, e)
  const south = fallAlong(n, here, s)
  // Only where the slant neighbour is no way down does the fall still tell something: of the two straight ones neither is favoured.
  if (Math.abs(east) === Math.abs(south) && east !== 0) {
    const a: u32 = east > 0 ? 2 : 6
    const b: u32 = south > 0 ? 4 : 0
    const toA = height(z, cell + offset(a)) < here
    const toB = height(z, cell + offset(b)) < here
    if (toA || toB) {
      gaveEvenly(cell, (toA ? 1 << a : 0) | (toB ? 1 << b : 0))
      return
    }
  }
  gaveEvenly(cell, steepestOf(cell))
}

function height(z: usize, cell: i32): f64 {
  return <f64>load<f32>(z + ((<usize>cell) << 2))
}

function fallAlong(before: f64, here: f64, after: f64): f64 {
  if (!isNaN(before)) return isNaN(after) ? before - here : (before - after) / 2
  return isNaN(after) ? 0 : here - after
}
