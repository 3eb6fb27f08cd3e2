import { InputError } from '../foundation/index.js'
import type { SourcedRange } from './earth-volumes.js'

/** Ground as a digger meets it. */
export const DIG_SOILS = ['loose', 'firm', 'clay', 'boulder-clay', 'rock'] as const
/** One of `DIG_SOILS`. */
export type DigSoil = (typeof DIG_SOILS)[number]

const HAND_TABLES = 'planningplanet.com ground excavation, by hand'
const MACHINE_TABLES = 'planningplanet.com ground excavation, hydraulic excavator, small or deep dig'

/** Where the hand outputs end: the sides of a deeper trench must be held up. Source: planningplanet.com ground excavation, by hand. */
export const DEEPEST_BY_HAND_m = 1.5

/** Bank volume that one person digs in an hour: trenches down to `DEEPEST_BY_HAND_m`; null where the table has none. Units: m³/h. Source: planningplanet.com ground excavation, by hand. */
export const TRENCH_BY_HAND_m3h: Readonly<Record<DigSoil, number | null>> = {
  loose: 0.66,
  firm: 0.57,
  clay: 0.46,
  'boulder-clay': 0.38,
  rock: null,
}

/** The same for small pits. Units: m³/h. Source: planningplanet.com ground excavation, by hand. */
export const PIT_BY_HAND_m3h: Readonly<Record<DigSoil, number | null>> = {
  loose: 0.5,
  firm: 0.43,
  clay: 0.35,
  'boulder-clay': 0.28,
  rock: null,
}

/** What one person carries away by barrow in an hour, by distance. Units: m, m³/h. Source: planningplanet.com ground excavation. */
export const BARROW_m3h: readonly { readonly upTo_m: number; readonly rate_m3h: number }[] = [
  { upTo_m: 10, rate_m3h: 6.25 },
  { upTo_m: 20, rate_m3h: 3.23 },
  { upTo_m: 50, rate_m3h: 2.13 },
]

/** Bank volume in a person-day of ordinary soil. Source: Indian schedule of rates for rural works. */
export const INDIA_NORM_m3d: SourcedRange = {
  low: 1.5,
  high: 2.5,
  source: 'Indian schedule of rates for rural works, ordinary soil',
  known: 'published',
}

/** Bank volume in a worker-day by ground. Source: ILO/ASIST Technical Brief 2 (1998), from memory: its tables could not be read. */
export const ILO_NORM_m3d = { soft: 5, medium: 3.5, hard: 3, 'very-hard': 2, rock: 0.8 } as const

/** The ILO classes that stand nearest to each soil. Source: judgement. */
const ILO_OF: Readonly<Record<DigSoil, keyof typeof ILO_NORM_m3d>> = {
  loose: 'soft',
  firm: 'medium',
  clay: 'hard',
  'boulder-clay': 'very-hard',
  rock: 'rock',
}

/** Days of work as a range, with what it rests on. */
export interface LabourDays {
  readonly low_days: number
  readonly high_days: number
  readonly sources: readonly string[]
}

/** What `personDays` may be told besides. */
export interface LabourOptions {
  /** Hours dug in a day: the hourly tables count them. Default 6 (judgement: eight hours on site). */
  readonly hoursPerDay_h?: number
  /** How far the earth is carried, up to 50 m. Default 0: thrown straight onto the berm. */
  readonly carry_m?: number
}

/**
 * Person-days to dig a volume by hand: a range, since the published outputs differ by more than two times.
 *
 * Units   bank volume; greatest depth of the ditch below the ground.
 * Limits  up to 1.5 m deep, where the tables end and the sides of a trench must be held up: refused beyond. The tables fall by depth only there.
 * Throws  `labour/bad-volume`, `labour/too-deep`, `labour/too-far` beyond 50 m.
 * Source  the outputs above; rock from the ILO brief alone.
 */
export function personDays(
  bank_m3: number,
  soil: DigSoil,
  depth_m: number,
  { hoursPerDay_h = 6, carry_m = 0 }: LabourOptions = {},
): LabourDays {
  for (const [name, size] of Object.entries({ bank_m3, depth_m, carry_m, hoursPerDay_h }))
    if (!(size >= 0 && size < Infinity) || hoursPerDay_h === 0)
      throw new InputError('labour/bad-volume', `${name} is ${size}; give a number of 0 or more, and hours above 0.`, { name, size })
  if (depth_m > DEEPEST_BY_HAND_m)
    throw new InputError(
      'labour/too-deep',
      `A ditch ${depth_m} m deep: the hand outputs end at ${DEEPEST_BY_HAND_m} m, and deeper sides must be held up. Dig shallower, or ask a professional.`,
      { depth_m },
    )
  const perDay: { readonly rate_m3d: number; readonly source: string }[] = [
    { rate_m3d: ILO_NORM_m3d[ILO_OF[soil]], source: 'ILO/ASIST Technical Brief 2 (1998), from memory' },
  ]
  for (const hourly of [TRENCH_BY_HAND_m3h[soil], PIT_BY_HAND_m3h[soil]])
    if (hourly !== null) perDay.push({ rate_m3d: hourly * hoursPerDay_h, source: HAND_TABLES })
  const india = (rate_m3d: number): void => void perDay.push({ rate_m3d, source: INDIA_NORM_m3d.source })
  if (soil !== 'rock') india(INDIA_NORM_m3d.low) // made for ordinary soil: heavier soil is not dug faster
  if (soil === 'loose' || soil === 'firm') india(INDIA_NORM_m3d.high)
  const carrying_days = carry_m > 0 ? bank_m3 / (barrowRate_m3h(carry_m) * hoursPerDay_h) : 0
  const rates = perDay.map(({ rate_m3d }) => rate_m3d)
  return {
    low_days: bank_m3 / Math.max(...rates) + carrying_days,
    high_days: bank_m3 / Math.min(...rates) + carrying_days,
    sources: [...new Set(perDay.map(({ source }) => source))],
  }
}

function barrowRate_m3h(carry_m: number): number {
  const row = BARROW_m3h.find(({ upTo_m }) => carry_m <= upTo_m)
  if (!row)
    throw new InputError('labour/too-far', `Earth carried ${carry_m} m by barrow: the outputs end at 50 m. Place it nearer.`, { carry_m })
  return row.rate_m3h
}

/** Bank volume that a small excavator digs in an hour, by the size of its bucket in m³: slow, average, fast. Units: m³/h. Source: planningplanet.com ground excavation, hydraulic excavator. */
export const EXCAVATOR_m3h = {
  '0.3': { soil: [6.7, 8.4, 9.9], clay: [3.3, 4.1, 5.2] },
  '0.4': { soil: [8.2, 10, 11.7], clay: [6.5, 8.3, 9.4] },
  '0.5': { soil: [12.2, 13.3, 15.4], clay: [9.7, 10.5, 12.1] },
} as const

/** Bucket of a small excavator, m³. */
export type Bucket = keyof typeof EXCAVATOR_m3h

/** Hours of a small excavator for a volume, as a range. Units: bank m³ → h. Throws `labour/bad-volume`. */
export function machineHours(bank_m3: number, bucket: Bucket, ground: 'soil' | 'clay'): { low_h: number; high_h: number; source: string } {
  if (!(bank_m3 >= 0 && bank_m3 < Infinity))
    throw new InputError('labour/bad-volume', `The volume is ${bank_m3} m³; give 0 or more.`, { bank_m3 })
  const [slow, , fast] = EXCAVATOR_m3h[bucket][ground]
  return { low_h: bank_m3 / fast, high_h: bank_m3 / slow, source: MACHINE_TABLES }
}
