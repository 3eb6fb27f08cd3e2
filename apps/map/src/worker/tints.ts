import type { Ramp } from '@soakline/drawing'

/** Red, green and blue, 0–255. */
export type Colour = readonly [red: number, green: number, blue: number]

/** Tints from low to high ground. */
export interface Tints {
  readonly stops: readonly [Colour, Colour, Colour]
  /** Brightness of ground turned from the light, and turned to it. */
  readonly dark: number
  readonly bright: number
}

type Stops = Tints['stops']

/** By day and by night. Higher ground is lighter in each, so that a grey print and eyes that lack a colour keep the order. */
const STOPS: Readonly<Record<Ramp, { readonly day: Stops; readonly night: Stops }>> = {
  // Moss, straw, chalk.
  hill: {
    day: [
      [178, 190, 150],
      [226, 214, 174],
      [247, 243, 231],
    ],
    night: [
      [34, 48, 40],
      [58, 60, 45],
      [92, 90, 78],
    ],
  },
  // Evening sky down to lit sand: blue and yellow, which eyes without red or without green cones tell apart.
  dusk: {
    day: [
      [148, 168, 206],
      [208, 212, 204],
      [252, 241, 204],
    ],
    night: [
      [30, 40, 68],
      [60, 68, 74],
      [104, 98, 66],
    ],
  },
  grey: {
    day: [
      [178, 178, 178],
      [215, 215, 215],
      [248, 248, 248],
    ],
    night: [
      [38, 38, 38],
      [62, 62, 62],
      [94, 94, 94],
    ],
  },
}

/** The tints of a ramp. */
export const tintsOf = (ramp: Ramp, night: boolean): Tints =>
  night ? { stops: STOPS[ramp].night, dark: 0.5, bright: 1.4 } : { stops: STOPS[ramp].day, dark: 0.58, bright: 1.08 }
