import { InputError, type Sourced } from '../foundation/index.js'
import { powerByRoots, threeHalvesPower, twoThirdsPower } from './roots.js'
import { GRAVITY_ms2 } from './uniform-flow.js'

/** A level place over which water leaves: a notch or a sill. */
export interface Weir {
  /** Height of its crest, in the same datum as the water's level (above the bed). */
  readonly crest_m: number
  readonly length_m: number
  /** C of Q = C L H^1.5, √m/s. */
  readonly coefficient: number
  /** Side slopes of a trapezoidal opening, horizontal : vertical. Default 0. */
  readonly sideSlope_ratio?: number
}

/** Coefficient of a broad crest without losses, √m/s: 1.705. Source: critical flow, (2/3)^1.5 √g. */
export const BROAD_CREST_IDEAL = (2 / 3) * Math.sqrt(2 / 3) * Math.sqrt(GRAVITY_ms2)

/** Coefficient of a triangular broad crest, side 1:1 each way, √m/s: 1.268, times z H^2.5. Source: critical flow, (4/5)^2.5 √(g/2). */
export const TRIANGULAR_CREST_IDEAL = 0.64 * Math.sqrt(0.8) * Math.sqrt(GRAVITY_ms2 / 2)

/** Coefficient of a long level sill of earth and grass at low head. */
export const GRASS_SILL: Sourced<'√m/s'> = {
  value: 1.45,
  unit: '√m/s',
  source: 'judgement within FHWA HEC-22 3rd ed. (2009) Table 8-1, 1.4–1.5',
  known: 'judgement',
}

const BREADTHS_m = [0.15, 0.3, 0.5, 1, 1.5, 3, 4] as const
const BY_HEAD: readonly (readonly [head_m: number, coefficients: readonly number[]])[] = [
  [0.1, [1.59, 1.5, 1.45, 1.39, 1.35, 1.4, 1.45]],
  [0.2, [1.73, 1.54, 1.46, 1.48, 1.49, 1.49, 1.48]],
]

/**
 * Coefficient of a broad crest by head and breadth (along the flow), on straight lines between the table's values; null outside 0.1–0.2 m of head
 * or 0.15–4 m of breadth.
 *
 * Source  FHWA HEC-22 3rd ed. (2009) Table 8-1 (SI), rows 0.10 and 0.20 m.
 */
export function broadCrestCoefficient(head_m: number, breadth_m: number): number | null {
  const after = BREADTHS_m.findIndex(b => b >= breadth_m)
  if (!(head_m >= 0.1 && head_m <= 0.2 && breadth_m >= 0.15) || after < 0) return null
  const before = Math.max(0, after - 1)
  const span = BREADTHS_m[after]! - BREADTHS_m[before]!
  const across = span > 0 ? (breadth_m - BREADTHS_m[before]!) / span : 0
  const [low, high] = BY_HEAD.map(([, row]) => row[before]! + across * (row[after]! - row[before]!)) as [number, number]
  return low + ((head_m - 0.1) / 0.1) * (high - low)
}

/**
 * Flow over a weir with the water at a level; below a drowning tailwater the flow is cut down.
 *
 * Units   levels m in one datum; m³/s. `tail_m` level of the water below, default far below.
 * Laws    0 up to the crest; never falls as the level rises or as the tailwater sinks; 0 where both stand alike.
 * Throws  `weir/bad-weir`.
 * Source  Q = C L H^1.5 + C (1.268/1.705) z H^2.5 (rectangle and triangle); submergence (1 − (H₂/H₁)^1.5)^0.385, Villemonte (1947), as FHWA HEC-22
 *         3rd ed. (2009) eq. 8-21.
 */
export function weirFlow_m3s(weir: Weir, level_m: number, tail_m = Number.NEGATIVE_INFINITY): number {
  checkWeir(weir)
  const head_m = level_m - weir.crest_m
  if (!(head_m > 0)) return 0
  const free = freeFlow_m3s(weir, head_m)
  const tailHead_m = tail_m - weir.crest_m
  return tailHead_m > 0 ? free * submergence_ratio(head_m, tailHead_m) : free
}

/** Share of the free flow that a drowned weir passes: 1 for a tailwater at the crest, 0 for one as high as the head. Units: heads over the crest, m. */
export function submergence_ratio(head_m: number, tailHead_m: number): number {
  if (tailHead_m <= 0) return 1
  if (tailHead_m >= head_m) return 0
  return powerByRoots(1 - threeHalvesPower(tailHead_m / head_m), 0.385)
}

/** Flow over several weirs side by side: each from its own crest. Throws `weir/bad-weir`. */
export const weirsFlow_m3s = (weirs: readonly Weir[], level_m: number, tail_m?: number): number =>
  weirs.reduce((sum, weir) => sum + weirFlow_m3s(weir, level_m, tail_m), 0)

/**
 * Level at which several weirs together pass a flow.
 *
 * Laws    `weirsFlow_m3s` undone; no flow stands at the lowest crest.
 * Throws  `weir/bad-weir`, `weir/none`, `weir/bad-flow`.
 */
export function levelForFlow_m(weirs: readonly Weir[], flow_m3s: number): number {
  checkFlow(flow_m3s)
  if (weirs.every(weir => weir.length_m + (weir.sideSlope_ratio ?? 0) === 0))
    throw new InputError('weir/none', 'There is no opening for the water; give at least one weir.', { weirs: weirs.length })
  let low = Math.min(...weirs.map(weir => weir.crest_m))
  if (flow_m3s === 0) return low
  let reach = 0.125
  while (weirsFlow_m3s(weirs, low + reach) < flow_m3s) reach *= 2
  let high = low + reach
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2
    if (weirsFlow_m3s(weirs, middle) < flow_m3s) low = middle
    else high = middle
  }
  return high
}

/** Length of a sill that passes a flow at a head. Throws `weir/bad-flow`. Source: Q = C L H^1.5. */
export function sillLength_m(flow_m3s: number, head_m: number, coefficient = GRASS_SILL.value): number {
  checkFlow(flow_m3s)
  if (!(head_m > 0 && coefficient > 0))
    throw new InputError(
      'weir/bad-flow',
      `A sill's length needs a head above 0; it is ${head_m} m. Allow the water to rise over the sill.`,
      {
        head_m,
        coefficient,
      },
    )
  return flow_m3s / (coefficient * threeHalvesPower(head_m))
}

/** Head of a flow over a level sill. Throws `weir/bad-flow`. Source: (Q / C L)^(2/3). */
export function sillHead_m(flow_m3s: number, length_m: number, coefficient = GRASS_SILL.value): number {
  checkFlow(flow_m3s)
  if (!(length_m > 0 && coefficient > 0))
    throw new InputError('weir/bad-flow', `A head needs a sill with a length above 0; it is ${length_m} m.`, { length_m, coefficient })
  return twoThirdsPower(flow_m3s / (coefficient * length_m))
}

/** A low notch and a long sill above it. */
export interface TwoStageLengths {
  readonly notch: number
  /** What the notch passes at the higher head. */
  readonly notchFlow: number
  readonly sill: number
}

/**
 * Lengths of a notch that passes a small flow and of a sill that passes the rest of a large one.
 *
 * Units   any one system: flow, head and length as the coefficient has them.
 * Throws  `weir/bad-flow` where a head is not above 0, or the notch alone passes more than the large flow.
 * Source  USDA SCS TR-55 (1986), ch. 6.
 */
export function twoStageLengths(
  small: { readonly flow: number; readonly head: number },
  large: { readonly flow: number; readonly head: number; readonly sillHead: number },
  coefficient: number,
): TwoStageLengths {
  const notch = sillLength_m(small.flow, small.head, coefficient)
  const notchFlow = coefficient * notch * threeHalvesPower(large.head)
  if (notchFlow > large.flow)
    throw new InputError(
      'weir/bad-flow',
      `The notch alone passes ${notchFlow} at the higher head, more than ${large.flow}; no sill is needed.`,
      {
        notchFlow,
        flow: large.flow,
      },
    )
  return { notch, notchFlow, sill: sillLength_m(large.flow - notchFlow, large.sillHead, coefficient) }
}

/** Ratio of the flows per metre at the low and the high end of a lip that lies out of level by ± `tilt_m`. Throws `weir/bad-flow` where the high end is dry. */
export function tiltedLip_ratio(head_m: number, tilt_m: number): number {
  if (!(tilt_m >= 0 && head_m > tilt_m))
    throw new InputError('weir/bad-flow', `A lip out of level by ±${tilt_m} m under ${head_m} m of water leaves its high end dry.`, {
      head_m,
      tilt_m,
    })
  return threeHalvesPower((head_m + tilt_m) / (head_m - tilt_m))
}

function freeFlow_m3s({ length_m, coefficient, sideSlope_ratio = 0 }: Weir, head_m: number): number {
  const headPower = threeHalvesPower(head_m)
  return coefficient * headPower * (length_m + (TRIANGULAR_CREST_IDEAL / BROAD_CREST_IDEAL) * sideSlope_ratio * head_m)
}

function checkFlow(flow_m3s: number): void {
  if (!(flow_m3s >= 0 && flow_m3s < Infinity))
    throw new InputError('weir/bad-flow', `The flow is ${flow_m3s}; give 0 or more.`, { flow_m3s })
}

function checkWeir({ crest_m, length_m, coefficient, sideSlope_ratio = 0 }: Weir): void {
  if (!(length_m >= 0 && length_m < Infinity && sideSlope_ratio >= 0 && sideSlope_ratio < Infinity && Number.isFinite(crest_m)))
    throw new InputError(
      'weir/bad-weir',
      `A weir ${length_m} m long with its crest at ${crest_m} m; give lengths of 0 or more and a height.`,
      {
        length_m,
        crest_m,
        sideSlope_ratio,
      },
    )
  // From a rough, broad bank to a sharp edge: beyond them the number is not a weir's.
  if (!(coefficient >= 1 && coefficient <= 2.5))
    throw new InputError(
      'weir/bad-weir',
      `A weir coefficient of ${coefficient} √m/s; published ones run from 1.3 to 1.9 in metres. Take one of them.`,
      {
        coefficient,
      },
    )
}
