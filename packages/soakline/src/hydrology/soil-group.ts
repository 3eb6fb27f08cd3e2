import { MM_PER_INCH } from '../foundation/index.js'
import { refuseNegative } from './method-limits.js'

/** How readily a soil takes water: A most, D least. */
export type HydrologicSoilGroup = 'A' | 'B' | 'C' | 'D'

/** A published rule for the hydrologic soil group: the least rate of A, B and C; below that of C lies D. */
export interface SoilGroupRule {
  readonly least_inh: Readonly<Record<'A' | 'B' | 'C', number>>
  readonly source: string
}

/**
 * Two rules that do not agree: a sandy loam may be A by one and C by the other, since the first asks for a transmission rate and the second for the
 * saturated conductivity of the tightest layer. A group is asked for, not guessed; where one is offered, say by which rule.
 */
export const SOIL_GROUP_RULES = {
  transmissionRate: { least_inh: { A: 0.3, B: 0.15, C: 0.05 }, source: 'USDA TR-55 (1986) App. A, transmission rate' },
  tightestLayer: {
    least_inh: { A: 1.42, B: 0.57, C: 0.06 },
    source:
      'USDA-NRCS NEH Part 630, ch. 7 (2009), saturated conductivity of the least permeable layer, no water table or rock within 1 m (read as an excerpt)',
  },
} as const satisfies Readonly<Record<string, SoilGroupRule>>

/**
 * The hydrologic soil group of a rate by one of the rules.
 *
 * Units   mm/h.
 * Laws    a faster soil is never put in a group of more runoff; on a limit, the group of more runoff.
 * Throws  `soil/bad-test`.
 * Source  `SOIL_GROUP_RULES`.
 */
export function soilGroupOfRate(rate_mmh: number, { least_inh }: SoilGroupRule): HydrologicSoilGroup {
  refuseNegative('soil/bad-test', { rate_mmh }, 'Give mm/h.')
  const found = (['A', 'B', 'C'] as const).find(group => rate_mmh > least_inh[group] * MM_PER_INCH)
  return found ?? 'D'
}
