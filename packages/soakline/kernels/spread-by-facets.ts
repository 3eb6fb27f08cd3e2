// How cells share their water down the steepest triangular facet (Tarboton 1997): four cells at a time where one facet or side is clearly the
// steepest, else a cell by itself, as the definition has it.
import { CODE, GIVES, MANY_CODE, SCRIBBLE, SHARE, STRIDE, Z } from '../src/kernels/fields'
import { address, field, offset, rowStart } from './memory'
import { gaveEvenly, high2, joined, low2, narrowed, rounded, steepestOf } from './spread-by-vector'
import { waysOf } from './spread-ways'

const UNIT: f64 = 16777216
const ALONE: i32 = 12
const SQRT2: f64 = 1.4142135623730951
/** Squares of steepness that differ by less than this part of the larger are told apart as the definition does it. */
const NEAR: f64 = 1e-9
const PI_4: f64 = 0.7853981633974483

/** Codes and shares of some rows, by slopes. */
export function byFacets(member: i32, firstRow: i32, endRow: i32): void {
  ways = SCRIBBLE + 256 * member
  shares = ways + 64
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
      one(<i32>cell + <i32>ctz(lanes))
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
  let lowest = f32x4.pmin(here, n)
  lowest = f32x4.pmin(lowest, ne)
  lowest = f32x4.pmin(lowest, e)
  lowest = f32x4.pmin(lowest, se)
  lowest = f32x4.pmin(lowest, s)
  lowest = f32x4.pmin(lowest, sw)
  lowest = f32x4.pmin(lowest, w)
  lowest = f32x4.pmin(lowest, nw)
  const falls = f32x4.lt(lowest, here)
  const sum = f32x4.add(f32x4.add(f32x4.add(n, ne), f32x4.add(e, se)), f32x4.add(f32x4.add(s, sw), f32x4.add(w, nw)))
  const gap = f32x4.ne(sum, sum)
  // Codes and shares of two cells, packed: code + share, both exact in float64. A code of 12 where nothing is clear.
  const low = two(low2(here), low2(n), low2(ne), low2(e), low2(se), low2(s), low2(sw), low2(w), low2(nw))
  const high = two(high2(here), high2(n), high2(ne), high2(e), high2(se), high2(s), high2(sw), high2(w), high2(nw))
  const firstLow = f64x2.floor(low)
  const firstHigh = f64x2.floor(high)
  const first = v128.shuffle<i64>(i32x4.trunc_sat_f64x2_s_zero(firstLow), i32x4.trunc_sat_f64x2_s_zero(firstHigh), 0, 2)
  const toNext = joined(f32x4.demote_f64x2_zero(f64x2.sub(low, firstLow)), f32x4.demote_f64x2_zero(f64x2.sub(high, firstHigh)))
  const alone = v128.or(gap, i32x4.eq(first, i32x4.splat(ALONE)))
  v128.store(address(SHARE) + (cell << 2), v128.and(toNext, v128.andnot(falls, alone)))
  return v128.bitselect(v128.bitselect(i32x4.splat(ALONE), first, alone), codes, falls)
}

/** The steepest so far of two cells: its square, the next largest square, its direction, and the facet's two falls where it is a facet. */
let best: v128 = f64x2.splat(0)
let second: v128 = f64x2.splat(0)
let way: v128 = f64x2.splat(0)
let outward: v128 = f64x2.splat(0)
let sideways: v128 = f64x2.splat(0)

function two(here: v128, n: v128, ne: v128, e: v128, se: v128, s: v128, sw: v128, w: v128, nw: v128): v128 {
  best = f64x2.splat(0)
  second = f64x2.splat(0)
  way = f64x2.splat(ALONE)
  outward = f64x2.splat(1)
  sideways = f64x2.splat(0)
  side(here, n, 0, 1)
  side(here, ne, 1, 0.5)
  side(here, e, 2, 1)
  side(here, se, 3, 0.5)
  side(here, s, 4, 1)
  side(here, sw, 5, 0.5)
  side(here, w, 6, 1)
  side(here, nw, 7, 0.5)
  facet(here, n, ne, 0)
  facet(here, e, ne, 1)
  facet(here, e, se, 2)
  facet(here, s, se, 3)
  facet(here, s, sw, 4)
  facet(here, w, sw, 5)
  facet(here, w, nw, 6)
  facet(here, n, nw, 7)
  const clear = f64x2.lt(second, f64x2.mul(best, f64x2.splat(1 - NEAR)))
  const toSlant = sharesOfAngles(f64x2.div(sideways, outward))
  // Facets alternate: from the straight neighbour clockwise to the slant one, and from the slant one to the next straight one.
  const odd = f64x2.ne(f64x2.floor(f64x2.mul(way, f64x2.splat(0.5))), f64x2.mul(way, f64x2.splat(0.5)))
  const one = f64x2.splat(1)
  const zero = f64x2.splat(0)
  const inside = v128.and(f64x2.gt(toSlant, zero), f64x2.lt(toSlant, one))
  const isFacet = f64x2.gt(sideways, zero)
  const toNext = v128.and(v128.bitselect(f64x2.sub(one, toSlant), toSlant, odd), v128.and(inside, isFacet))
  // A facet whose share came out as nothing or all: the cell by itself.
  const unclear = v128.or(v128.not(clear), v128.andnot(isFacet, inside))
  return v128.bitselect(f64x2.splat(ALONE), f64x2.add(way, toNext), unclear)
}

/** Straight down to a neighbour. */
function side(here: v128, there: v128, k: f64, part: f64): void {
  const drop = f64x2.pmax(f64x2.splat(0), f64x2.sub(here, there))
  offer(f64x2.mul(f64x2.mul(drop, drop), f64x2.splat(part)), k, f64x2.splat(1), f64x2.splat(0))
}

/** Down the inside of a facet, where its fall lies between its sides. */
function facet(here: v128, straight: v128, slant: v128, k: f64): void {
  const s1 = f64x2.sub(here, straight)
  const s2 = f64x2.sub(straight, slant)
  const inside = v128.and(f64x2.gt(s2, f64x2.splat(0)), f64x2.lt(s2, s1))
  offer(v128.and(f64x2.add(f64x2.mul(s1, s1), f64x2.mul(s2, s2)), inside), k, s1, s2)
}

function offer(square: v128, k: f64, s1: v128, s2: v128): void {
  const wins = f64x2.gt(square, best)
  second = f64x2.pmax(second, f64x2.pmin(square, best))
  best = f64x2.pmax(best, square)
  way = v128.bitselect(f64x2.splat(k), way, wins)
  outward = v128.bitselect(s1, outward, wins)
  sideways = v128.bitselect(s2, sideways, wins)
}

/** The angles whose tangents are given (0–1), as shares of an eighth of a turn, in whole 2⁻²⁴. */
function sharesOfAngles(tangent: v128): v128 {
  const one = f64x2.splat(1)
  let t = tangent
  for (let n = 0; n < 3; n++) t = f64x2.div(t, f64x2.add(one, f64x2.sqrt(f64x2.add(one, f64x2.mul(t, t)))))
  const t2 = f64x2.mul(t, t)
  let series = f64x2.splat(0)
  for (let n = 11; n >= 1; n -= 2) series = f64x2.sub(f64x2.splat(1 / <f64>n), f64x2.mul(t2, series))
  const share = f64x2.div(f64x2.mul(f64x2.mul(f64x2.splat(8), t), series), f64x2.splat(PI_4))
  return f64x2.mul(rounded(f64x2.mul(share, f64x2.splat(UNIT))), f64x2.splat(1 / UNIT))
}

/** Directions and clockwise shares of the steepest facets of the cell at hand, each way once. */
let ways: usize = SCRIBBLE
let shares: usize = SCRIBBLE + 64

function noteWay(count: i32, first: i32, toNext: f64): i32 {
  for (let k = 0; k < count; k++) if (load<i32>(ways + 8 * k) === first && load<f64>(shares + 8 * k) === toNext) return count
  store<i32>(ways + 8 * count, first)
  store<f64>(shares + 8 * count, toNext)
  return count + 1
}

/** How many ways lead down the steepest facets; none where no whole facet falls. */
function steepestWays(cell: i32): i32 {
  const z = address(Z)
  const here = <f64>load<f32>(z + ((<usize>cell) << 2))
  let steepest: f64 = 0
  let count = 0
  for (let m = 0; m < 8; m++) {
    const straight = m & 1 ? (m + 1) & 7 : m
    const slant = m & 1 ? m : m + 1
    const zStraight = <f64>load<f32>(z + ((<usize>(cell + offset(straight))) << 2))
    const zSlant = <f64>load<f32>(z + ((<usize>(cell + offset(slant))) << 2))
    const s1 = here - zStraight
    const s2 = zStraight - zSlant
    if (isNaN(s1) || isNaN(s2)) continue
    const alongStraight = s2 <= 0
    const alongSlant = !alongStraight && s2 >= s1
    const s = alongStraight ? s1 : alongSlant ? (here - zSlant) / SQRT2 : Math.sqrt(s1 * s1 + s2 * s2)
    if (s <= 0 || s < steepest) continue
    const toSlant = alongStraight ? 0 : alongSlant ? 1 : f64x2.extract_lane(sharesOfAngles(f64x2.splat(s2 / s1)), 0)
    if (s > steepest) count = 0
    count =
      toSlant === 0
        ? noteWay(count, straight, 0)
        : toSlant === 1
          ? noteWay(count, slant, 0)
          : noteWay(count, m, slant === m ? 1 - toSlant : toSlant)
    steepest = s
  }
  return count
}

/** A cell by itself: gaps beside it, or facets that are hard to tell apart or equally steep. */
function one(cell: i32): void {
  const count = steepestWays(cell)
  if (count === 0) {
    gaveEvenly(cell, steepestOf(cell))
    return
  }
  let gives = 0
  for (let k = 0; k < count; k++) {
    const first = load<i32>(ways + 8 * k)
    const toNext = load<f64>(shares + 8 * k)
    if (toNext < 1) gives |= 1 << first
    if (toNext > 0) gives |= 1 << ((first + 1) & 7)
  }
  store<u8>(address(GIVES) + cell, <u8>gives)
  store<u8>(address(CODE) + cell, count === 1 ? <u8>load<i32>(ways) : <u8>MANY_CODE)
  store<f32>(address(SHARE) + ((<usize>cell) << 2), count === 1 ? <f32>load<f64>(shares) : 0)
}

/** What each neighbour of a cell with several steepest facets gets of its water: equal parts for each way. At `parts`, eight float64. */
export function partsByFacets(cell: i32, parts: usize): void {
  const count = steepestWays(cell)
  memory.fill(parts, 0, 64)
  for (let k = 0; k < count; k++) {
    const first = <usize>load<i32>(ways + 8 * k)
    const next = (first + 1) & 7
    const toNext = load<f64>(shares + 8 * k)
    store<f64>(parts + (first << 3), load<f64>(parts + (first << 3)) + (1 - toNext) * UNIT)
    store<f64>(parts + (next << 3), load<f64>(parts + (next << 3)) + toNext * UNIT)
  }
  let sum: f64 = 0
  for (let k: usize = 0; k < 64; k += 8) {
    const part = Math.floor(load<f64>(parts + k) / <f64>count + 0.5) / UNIT
    store<f64>(parts + k, part)
    sum += part
  }
  for (let k: usize = 0; k < 64; k += 8) store<f64>(parts + k, load<f64>(parts + k) / sum)
}
