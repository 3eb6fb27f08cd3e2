import { stormRunoff_mm } from '../../packages/soakline/src/hydrology/curve-number.js'

/** A number that is printed wrongly in a source, what holds instead, and our own answer. Not to be "mended" to the printed one. */
export interface Misprint {
  readonly where: string
  readonly printed: number
  readonly holds: number
  readonly unit: string
  /** Half the last printed place. */
  readonly within: number
  readonly why: string
  readonly answer: () => number
}

export const MISPRINTS: readonly Misprint[] = [
  {
    where: 'USDA TR-55 (1986) Table 2-1, rain 7.0 in, curve number 50',
    printed: 1.68,
    holds: 1.67,
    unit: 'in',
    within: 0.005,
    why: 'its own equation gives 25/15 = 1.6667',
    answer: () => stormRunoff_mm(7 * 25.4, 50) / 25.4,
  },
]
