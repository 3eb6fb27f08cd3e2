import { InputError, type Known, METRES_PER, MM_PER_INCH } from '../foundation/index.js'
import { inverseSinh } from './arcs.js'
import { powerByRoots } from './roots.js'

/** Manning's n of a surface: least, usual, most; units s/m^(1/3). */
export interface Roughness {
  readonly low: number
  readonly usual: number
  readonly high: number
  readonly source: string
  readonly known: Known
}

const chow = (low: number, usual: number, high: number): Roughness => ({
  low,
  usual,
  high,
  source: 'Chow (1959), Open-Channel Hydraulics, Table 5-6',
  known: 'published',
})
const hec22 = (low: number, usual: number, high: number): Roughness => ({
  low,
  usual,
  high,
  source: 'FHWA HEC-22 3rd ed. (2009) Table 5-1',
  known: 'published',
})
const denver = (deep: number, shallow: number): Roughness => ({
  low: deep,
  usual: shallow,
  high: shallow,
  source: 'Urban Drainage and Flood Control District (1990) Table 2-4: usual at 0.2–0.45 m of water, low over 0.9 m',
  known: 'published',
})

/** Manning's n by surface. Choose the highest for how much a ditch carries, the lowest for how fast it runs. */
export const ROUGHNESS = {
  'earth-new': chow(0.016, 0.018, 0.02),
  'earth-weathered': chow(0.018, 0.022, 0.025),
  'earth-short-grass': chow(0.022, 0.027, 0.033),
  'earth-winding-grass': chow(0.025, 0.03, 0.033),
  'weeds-to-flow-depth': chow(0.05, 0.08, 0.12),
  'bare-soil': hec22(0.016, 0.02, 0.025),
  'erosion-blanket': hec22(0.028, 0.035, 0.045),
  'grass-5cm': denver(0.03, 0.035),
  'grass-10-15cm': denver(0.03, 0.04),
  'grass-30cm': denver(0.035, 0.07),
  'grass-60cm': denver(0.035, 0.1),
} as const satisfies Readonly<Record<string, Roughness>>
/** A surface of `ROUGHNESS`. */
export type RoughSurface = keyof typeof ROUGHNESS

/** How strongly a stand of plants holds water back, from A (tall and dense) to E (mown short). */
export type RetardanceClass = 'A' | 'B' | 'C' | 'D' | 'E'

/** Retardance curve index of each class. Source: USDA AH-667 (Temple et al. 1987), from memory, unchecked. */
export const RETARDANCE_INDEX: Readonly<Record<RetardanceClass, number>> = { A: 10, B: 7.64, C: 5.6, D: 4.44, E: 2.88 }

/**
 * Retardance class of a stand of grass by its length. The published rows leave gaps at 10–11 and 24–30 inches: there the longer class is taken,
 * which asks for the larger ditch.
 *
 * Units   m.
 * Throws  `channel/bad-grass` for a length that is not above 0.
 * Source  SCS guide for grassed waterways, as reproduced in local permits.
 */
export function retardanceClass(length_m: number, stand: 'good' | 'fair'): RetardanceClass {
  if (!(length_m > 0)) throw new InputError('channel/bad-grass', `The grass is ${length_m} m long; give a length above 0.`, { length_m })
  const inches = length_m / (MM_PER_INCH / 1000)
  const row = inches > 24 ? 0 : inches > 10 ? 1 : inches >= 6 ? 2 : inches >= 2 ? 3 : 4
  return (stand === 'good' ? (['A', 'B', 'C', 'D', 'E'] as const) : (['B', 'C', 'D', 'D', 'E'] as const))[row]!
}

/**
 * Manning's n of a stand of grass at a velocity and hydraulic radius.
 *
 * Units   `velocityTimesRadius_m2s` m²/s.
 * Limits  product 0.0093–1.86 m²/s (0.1–20 ft²/s), beyond which the curves are not drawn (from memory): refused outside.
 * Throws  `channel/retardance-outside`.
 * Source  n = exp(C_I (0.0133 ln² q − 0.0954 ln q + 0.297) − 4.16), q in ft²/s: USDA AH-667 (Temple et al. 1987), from memory, unchecked.
 */
export function grassRoughness(velocityTimesRadius_m2s: number, grass: RetardanceClass): number {
  const q = velocityTimesRadius_m2s / (METRES_PER.ft * METRES_PER.ft)
  if (!(q >= 0.1 && q <= 20))
    throw new InputError(
      'channel/retardance-outside',
      `Velocity × radius is ${velocityTimesRadius_m2s} m²/s; the retardance curves are drawn from 0.0093 to 1.86 m²/s. Take n from a table of surfaces.`,
      { velocityTimesRadius_m2s },
    )
  const log = 2 * inverseSinh((q - 1) / (2 * Math.sqrt(q)))
  const exponent = RETARDANCE_INDEX[grass] * ((0.0133 * log - 0.0954) * log + 0.297) - 4.16
  return exponent < 0 ? 1 / powerByRoots(Math.E, -exponent) : powerByRoots(Math.E, exponent)
}
