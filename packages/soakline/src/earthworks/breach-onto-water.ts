import { InputError } from '../foundation/index.js'
import { GRAVITY_ms2 } from './uniform-flow.js'

/** Water let go at once onto water that stands below, per metre of opening. */
export interface BreachOntoWater {
  /** Of the water behind the front. */
  readonly depth_m: number
  readonly velocity_ms: number
  /** How fast the step of water runs ahead. */
  readonly front_ms: number
}

/**
 * The wave of a sudden opening above ground that is under water already, as a full ditch below is: a steep step that runs ahead over it.
 *
 * Units   m, m/s; both depths over one level bed.
 * Laws    the depth lies between the two; water and momentum are kept across the step; less water below, a faster run and a lower step.
 * Throws  `breach/bad-depth` unless 0 < below < stood; onto dry ground it is `suddenBreach`.
 * Source  Stoker, Water Waves (1957) (from memory; derived again): 2 (√(g h) − √(g m)) = (m − b) √(g (m + b)/(2 m b)), by bisection.
 */
export function breachOntoWater(stood_m: number, below_m: number): BreachOntoWater {
  if (!(below_m > 0 && stood_m > below_m && stood_m < Infinity))
    throw new InputError(
      'breach/bad-depth',
      `Water ${stood_m} m deep let go onto ${below_m} m; the upper has to be the deeper, the lower above 0. Onto dry ground there is no step.`,
      { stood_m, below_m },
    )
  const behind = (m: number): number => 2 * (Math.sqrt(GRAVITY_ms2 * stood_m) - Math.sqrt(GRAVITY_ms2 * m))
  const step = (m: number): number => (m - below_m) * Math.sqrt((GRAVITY_ms2 * (m + below_m)) / (2 * m * below_m))
  let low = below_m
  let high = stood_m
  for (let k = 0; k < 100; k++) {
    const middle = (low + high) / 2
    if (step(middle) < behind(middle)) low = middle
    else high = middle
  }
  const velocity_ms = behind(high)
  return { depth_m: high, velocity_ms, front_ms: (high * velocity_ms) / (high - below_m) }
}
