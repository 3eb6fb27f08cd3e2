import { exponential, naturalLog } from './logarithm.js'

/**
 * A positive number to a power, the same bits in every engine.
 *
 * Laws    1 to any power is 1 exactly; within 1e-14 of the engine's own for the sizes of this trade.
 * No data NaN for a negative base; 0 to a positive power is 0.
 */
export const power = (base: number, exponent: number): number => exponential(exponent * naturalLog(base))
