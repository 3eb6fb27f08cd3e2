// How cells share their water down the steepest triangular facet (Tarboton 1997): four cells at a time where one facet or side is clearly the
// steepest, else a cell by itself, as the definition has it.
import { CODE, GIVES, MANY_CODE, SCRIBBLE, SHARE, STRIDE, Z } from '../src/kernels/fields'
import { high2, joined, low2, rounded } from './lanes'
import { address, field, offset, rowStart } from './memory'
import { ALONE, gaveEvenly, steepestOf, UNIT, waysOf } from './spread-ways'

/** Squares of steepness that differ by less than this part of the larger are told apart as the definition does it: float32 errs by a tenth of it. */
const NEAR: f32 = 4e-6
/** Smaller squares have lost digits. */
const LEAST: f32 = 1e-30

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
      byItself(<i32>cell + <i32>ctz(lanes))
  }
}

/**
 * Codes of four cells, whose shares are stored. Which side or facet is the steepest is told by squares in float32; only where one stands out
 * is it taken, and its share worked out in float64 from the heights themselves.
 */
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
  const toN = f32x4.sub(here, n)
  const toE = f32x4.sub(here, e)
  const toS = f32x4.sub(here, s)
  const toW = f32x4.sub(here, w)
  const side0 = falling(toN)
  const side1 = f32x4.mul(falling(f32x4.sub(here, ne)), f32x4.splat(0.5))
  const side2 = falling(toE)
  const side3 = f32x4.mul(falling(f32x4.sub(here, se)), f32x4.splat(0.5))
  const side4 = falling(toS)
  const side5 = f32x4.mul(falling(f32x4.sub(here, sw)), f32x4.splat(0.5))
  const side6 = falling(toW)
  const side7 = f32x4.mul(falling(f32x4.sub(here, nw)), f32x4.splat(0.5))
  const facet0 = between(toN, f32x4.sub(n, ne))
  const facet1 = between(toE, f32x4.sub(e, ne))
  const facet2 = between(toE, f32x4.sub(e, se))
  const facet3 = between(toS, f32x4.sub(s, se))
  const facet4 = between(toS, f32x4.sub(s, sw))
  const facet5 = between(toW, f32x4.sub(w, sw))
  const facet6 = between(toW, f32x4.sub(w, nw))
  const facet7 = between(toN, f32x4.sub(n, nw))
  const steepestSide = f32x4.pmax(largest(side0, side1, side2, side3), largest(side4, side5, side6, side7))
  const steepestFacet = f32x4.pmax(largest(facet0, facet1, facet2, facet3), largest(facet4, facet5, facet6, facet7))
  const best = f32x4.pmax(steepestSide, steepestFacet)
  const near = f32x4.mul(best, f32x4.splat(1 - NEAR))
  const is0 = f32x4.ge(facet0, near)
  const is1 = f32x4.ge(facet1, near)
  const is2 = f32x4.ge(facet2, near)
  const is3 = f32x4.ge(facet3, near)
  const is4 = f32x4.ge(facet4, near)
  const is5 = f32x4.ge(facet5, near)
  const is6 = f32x4.ge(facet6, near)
  const is7 = f32x4.ge(facet7, near)
  const along1 = f32x4.ge(side1, near)
  const along2 = f32x4.ge(side2, near)
  const along3 = f32x4.ge(side3, near)
  const along4 = f32x4.ge(side4, near)
  const along5 = f32x4.ge(side5, near)
  const along6 = f32x4.ge(side6, near)
  const along7 = f32x4.ge(side7, near)
  // True is −1: clear where one of the sixteen is near the best, itself.
  const facets = i32x4.add(sumOf(is0, is1, is2, is3), sumOf(is4, is5, is6, is7))
  const sides = i32x4.add(sumOf(f32x4.ge(side0, near), along1, along2, along3), sumOf(along4, along5, along6, along7))
  const clear = v128.and(i32x4.eq(i32x4.add(facets, sides), i32x4.splat(-1)), f32x4.gt(best, f32x4.splat(LEAST)))
  const first = v128.or(
    v128.or(
      v128.or(v128.and(v128.or(is1, along1), i32x4.splat(1)), v128.and(v128.or(is2, along2), i32x4.splat(2))),
      v128.or(v128.and(v128.or(is3, along3), i32x4.splat(3)), v128.and(v128.or(is4, along4), i32x4.splat(4))),
    ),
    v128.or(
      v128.or(v128.and(v128.or(is5, along5), i32x4.splat(5)), v128.and(v128.or(is6, along6), i32x4.splat(6))),
      v128.and(v128.or(is7, along7), i32x4.splat(7)),
    ),
  )
  const straight = v128.or(
    v128.or(v128.and(v128.or(is0, is7), n), v128.and(v128.or(is1, is2), e)),
    v128.or(v128.and(v128.or(is3, is4), s), v128.and(v128.or(is5, is6), w)),
  )
  const slant = v128.or(
    v128.or(v128.and(v128.or(is0, is1), ne), v128.and(v128.or(is2, is3), se)),
    v128.or(v128.and(v128.or(is4, is5), sw), v128.and(v128.or(is6, is7), nw)),
  )
  const toSlant = joined(
    f32x4.demote_f64x2_zero(sharesToSlant(low2(here), low2(straight), low2(slant))),
    f32x4.demote_f64x2_zero(sharesToSlant(high2(here), high2(straight), high2(slant))),
  )
  // Facets alternate: from the straight neighbour clockwise to the slant one, and from the slant one to the next straight one.
  const odd = v128.or(v128.or(is1, is3), v128.or(is5, is7))
  const one = f32x4.splat(1)
  const inside = v128.and(f32x4.gt(toSlant, f32x4.splat(0)), f32x4.lt(toSlant, one))
  const isFacet = i32x4.ne(facets, i32x4.splat(0))
  const toNext = v128.and(v128.bitselect(f32x4.sub(one, toSlant), toSlant, odd), isFacet)
  const sum = f32x4.add(f32x4.add(f32x4.add(n, ne), f32x4.add(e, se)), f32x4.add(f32x4.add(s, sw), f32x4.add(w, nw)))
  // Gaps, near equals, and facets whose share comes out as nothing or all: the cell by itself.
  const alone = v128.or(v128.or(f32x4.ne(sum, sum), v128.not(clear)), v128.andnot(isFacet, inside))
  let lowest = f32x4.pmin(here, n)
  lowest = f32x4.pmin(lowest, ne)
  lowest = f32x4.pmin(lowest, e)
  lowest = f32x4.pmin(lowest, se)
  lowest = f32x4.pmin(lowest, s)
  lowest = f32x4.pmin(lowest, sw)
  lowest = f32x4.pmin(lowest, w)
  lowest = f32x4.pmin(lowest, nw)
  const falls = f32x4.lt(lowest, here)
  v128.store(address(SHARE) + (cell << 2), v128.and(toNext, v128.andnot(falls, alone)))
  return v128.bitselect(v128.bitselect(i32x4.splat(ALONE), first, alone), codes, falls)
}

/** The square of a fall; 0 of a rise. */
function falling(drop: v128): v128 {
  const down = f32x4.pmax(f32x4.splat(0), drop)
  return f32x4.mul(down, down)
}

/** The square of a facet's steepness where its fall lies between its sides, or nearly so; else 0. */
function between(outward: v128, sideways: v128): v128 {
  const inside = v128.and(f32x4.gt(sideways, f32x4.splat(0)), f32x4.lt(sideways, f32x4.mul(outward, f32x4.splat(1 + NEAR))))
  return v128.and(f32x4.add(f32x4.mul(outward, outward), f32x4.mul(sideways, sideways)), inside)
}

function largest(a: v128, b: v128, c: v128, d: v128): v128 {
  return f32x4.pmax(f32x4.pmax(a, b), f32x4.pmax(c, d))
}

function sumOf(a: v128, b: v128, c: v128, d: v128): v128 {
  return i32x4.add(i32x4.add(a, b), i32x4.add(c, d))
}

/** What the slant neighbours of two facets get. */
function sharesToSlant(here: v128, straight: v128, slant: v128): v128 {
  return sharesOfAngles(f64x2.div(f64x2.sub(straight, slant), f64x2.sub(here, straight)))
}

/** The angles whose tangents are given (0–1), as shares of an eighth of a turn, in whole 2⁻²⁴. */
function sharesOfAngles(tangent: v128): v128 {
  const one = f64x2.splat(1)
  let t = tangent
  t = f64x2.div(t, f64x2.add(one, f64x2.sqrt(f64x2.add(one, f64x2.mul(t, t)))))
  t = f64x2.div(t, f64x2.add(one, f64x2.sqrt(f64x2.add(one, f64x2.mul(t, t)))))
  t = f64x2.div(t, f64x2.add(one, f64x2.sqrt(f64x2.add(one, f64x2.mul(t, t)))))
  const t2 = f64x2.mul(t, t)
  let series = f64x2.splat(1.0 / 11)
  series = f64x2.sub(f64x2.splat(1.0 / 9), f64x2.mul(t2, series))
  series = f64x2.sub(f64x2.splat(1.0 / 7), f64x2.mul(t2, series))
  series = f64x2.sub(f64x2.splat(1.0 / 5), f64x2.mul(t2, series))
  series = f64x2.sub(f64x2.splat(1.0 / 3), f64x2.mul(t2, series))
  series = f64x2.sub(one, f64x2.mul(t2, series))
  const share = f64x2.div(f64x2.mul(f64x2.mul(f64x2.splat(8), t), series), f64x2.splat(Math.PI / 4))
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
    const s = alongStraight ? s1 : alongSlant ? (here - zSlant) / Math.SQRT2 : Math.sqrt(s1 * s1 + s2 * s2)
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
function byItself(cell: i32): void {
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

/**
 * What each neighbour of a cell with several steepest facets gets of its water: equal parts for each way, in parts of the sum given back. At
 * `parts`, eight float64.
 */
export function partsByFacets(cell: i32, parts: usize): f64 {
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
  return sum
}
