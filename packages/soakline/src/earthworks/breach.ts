import { InputError } from '../foundation/index.js'
import { GRAVITY_ms2 } from './uniform-flow.js'

/** Water let go at once through an opening down to dry ground, per metre of opening, at the opening. */
export interface SuddenBreach {
  readonly depth_m: number
  readonly velocity_ms: number
  readonly flow_m2s: number
  /** How fast the first water runs ahead on smooth level ground: an upper bound. */
  readonly front_ms: number
}

/**
 * The first rush through an opening that is there at once: no real gap opens faster.
 *
 * Units   `stood_m` depth of the water behind it.
 * Throws  `breach/bad-depth`.
 * Source  Ritter (1892): depth 4/9 h, velocity ⅔ √(g h), flow 8/27 √g h^1.5, front 2 √(g h).
 */
export function suddenBreach(stood_m: number): SuddenBreach {
  if (!(stood_m >= 0 && stood_m < Infinity))
    throw new InputError('breach/bad-depth', `Water ${stood_m} m deep; give a depth of 0 or more.`, { stood_m })
  const wave_ms = Math.sqrt(GRAVITY_ms2 * stood_m)
  return {
    depth_m: (4 / 9) * stood_m,
    velocity_ms: (2 / 3) * wave_ms,
    flow_m2s: (8 / 27) * wave_ms * stood_m,
    front_ms: 2 * wave_ms,
  }
}
