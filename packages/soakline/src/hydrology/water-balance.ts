import { InputError } from '../foundation/index.js'
import { stormRunoff_mm } from './curve-number.js'
import { meanReciprocal } from './log-shortfall.js'
import { exponential } from './logarithm.js'
import { refuseNegative, refuseUnlessPositive } from './method-limits.js'

/** What stands in a swale at a level. Between rows, volume and soaking area are taken on straight lines over the level. */
export interface StorageRow {
  readonly level_m: number
  readonly volume_m3: number
  /** Ground through which water is counted to soak: the bed alone, by the rule of `creditedIntake`. */
  readonly soaking_m2: number
}

/**
 * The storage that may be counted on once silt has taken its share: every volume less that share.
 *
 * Units   `share_ratio` 0 up to under 1; default 0.15, of 0.10–0.20 (judgement).
 * Throws  `balance/bad-share`.
 */
export function afterSediment(storage: readonly StorageRow[], share_ratio = 0.15): StorageRow[] {
  if (!(share_ratio >= 0 && share_ratio < 1))
    throw new InputError('balance/bad-share', `The share for sediment is ${share_ratio}; it lies from 0 up to under 1 (15 % is 0.15).`, {
      share_ratio,
    })
  return storage.map(row => ({ ...row, volume_m3: row.volume_m3 * (1 - share_ratio) }))
}

/** One day of the balance. Inflow = spilled + soaked + change of what stands. */
export interface DayOfWater {
  readonly inflow_m3: number
  readonly spilled_m3: number
  readonly soaked_m3: number
  /** Standing at the end of the day. */
  readonly standing_m3: number
  readonly deepest_m: number
  /** Hours of the day with more than a millimetre of water. */
  readonly wet_h: number
  /** More than a millimetre still stands at midnight. */
  readonly wetAtEnd: boolean
}

/** What a swale does over years of days. */
export interface WaterBalance {
  readonly days: readonly DayOfWater[]
  readonly inflow_m3: number
  readonly spilled_m3: number
  readonly soaked_m3: number
  /** Standing after the last day. */
  readonly standing_m3: number
  /** Of the inflow; null without any. */
  readonly soaked_ratio: number | null
  readonly daysWithInflow: number
  readonly daysSpilling: number
  /** Days of spilling in an average year; null for less than a year of days. */
  readonly daysSpillingPerYear: number | null
  readonly wet_h: number
  /** The longest that water stood without a break. */
  readonly longestWet_h: number
}

/** Water shallower than this no longer stands: it lies in the grass. Units: m. Source: judgement. */
export const STANDS_ABOVE_m = 0.001

/**
 * What a swale soaks, keeps and spills over a series of days. Each day's inflow comes at once in the morning onto what still stands, what is
 * over the brim spills, and the rest soaks for 24 hours. That spills more than rain spread over the day, but less than storms close together
 * on both sides of a midnight. No evaporation is credited.
 *
 * Shapes  `storage` from level 0 with no water up to the sill, rising; one inflow for each day, in order, without gaps.
 * Units   m³ a day; mm/h.
 * Laws    what stood + inflow = spilled + soaked + standing at the end (to 1e-9 of it); more intake never spills more.
 * Throws  `balance/bad-storage`, `balance/bad-day`, `balance/no-days`, `soak/bad-intake`.
 * Cost    days × rows of storage.
 * Source  dV/dt = −f × soaking area, exact between rows, derived. The order within a day: judgement.
 *
 * @param stood_m3 what stands before the first day; default nothing. More than the ditch holds counts as full.
 */
export function waterBalance(
  storage: readonly StorageRow[],
  inflows_m3: readonly number[],
  intake_mmh: number,
  stood_m3 = 0,
): WaterBalance {
  checkStorage(storage)
  refuseNegative('soak/bad-intake', { intake_mmh }, 'Give mm/h.')
  refuseNegative('balance/bad-day', { stood_m3 }, 'Give what stands before the first day, m³.')
  if (inflows_m3.length === 0) throw new InputError('balance/no-days', 'The series holds no day; give the inflow of each.', {})
  const full_m3 = storage.at(-1)!.volume_m3
  const days: DayOfWater[] = []
  let standing = Math.min(stood_m3, full_m3)
  let wetRun_h = 0
  let longestWet_h = 0
  for (const [day, inflow_m3] of inflows_m3.entries()) {
    if (!(inflow_m3 >= 0 && inflow_m3 < Infinity))
      throw new InputError(
        'balance/bad-day',
        `Day ${day + 1} has an inflow of ${inflow_m3} m³; each day needs a number of 0 or more. A gap in a record is no dry day: fill it or cut there.`,
        { day: day + 1, inflow_m3 },
      )
    const morning = Math.min(full_m3, standing + inflow_m3)
    const spilled_m3 = standing + inflow_m3 - morning
    const { left_m3, wet_h, stillWet } = soakFor(storage, morning, intake_mmh, 24)
    days.push({
      inflow_m3,
      spilled_m3,
      soaked_m3: morning - left_m3,
      standing_m3: left_m3,
      deepest_m: levelOf(storage, morning),
      wet_h,
      wetAtEnd: stillWet,
    })
    standing = left_m3
    wetRun_h += wet_h
    longestWet_h = Math.max(longestWet_h, wetRun_h)
    if (!stillWet) wetRun_h = 0
  }
  const sum = (of: (day: DayOfWater) => number): number => days.reduce((total, day) => total + of(day), 0)
  const inflow_m3 = sum(d => d.inflow_m3)
  const soaked_m3 = sum(d => d.soaked_m3)
  const daysSpilling = days.filter(d => d.spilled_m3 > 0).length
  return {
    days,
    inflow_m3,
    spilled_m3: sum(d => d.spilled_m3),
    soaked_m3,
    standing_m3: standing,
    soaked_ratio: inflow_m3 > 0 ? soaked_m3 / inflow_m3 : null,
    daysWithInflow: days.filter(d => d.inflow_m3 > 0).length,
    daysSpilling,
    daysSpillingPerYear: days.length >= 365 ? (daysSpilling * 365.25) / days.length : null,
    wet_h: sum(d => d.wet_h),
    longestWet_h,
  }
}

/**
 * Inflow of each day from its rain by curve number, each day for itself. A day cut in two by midnight, and rain on ground wet from days before, run
 * off more than this: try the curve number of wet ground as well.
 *
 * Units   mm a day, m² → m³ a day.
 * Throws  `balance/bad-day` for a day without a depth; `curve-number/out-of-range`, `balance/bad-area`.
 * Source  `stormRunoff_mm`, on daily depths: common practice.
 */
export function dailyInflows_m3(dailyRain_mm: readonly number[], curveNumber: number, catchment_m2: number): number[] {
  refuseUnlessPositive('balance/bad-area', { catchment_m2 }, 'Give m².')
  return dailyRain_mm.map((rain_mm, day) => {
    if (!(rain_mm >= 0 && rain_mm < Infinity))
      throw new InputError(
        'balance/bad-day',
        `Day ${day + 1} has the rain ${rain_mm} mm; each day needs a depth of 0 or more. A gap in a record is no dry day: fill it or cut there.`,
        { day: day + 1, rain_mm },
      )
    return (stormRunoff_mm(rain_mm, curveNumber) * catchment_m2) / 1000
  })
}

/** Lets water soak for a time: what is left, how long more than a millimetre stood, and whether it still does. */
function soakFor(
  storage: readonly StorageRow[],
  from_m3: number,
  intake_mmh: number,
  time_h: number,
): { left_m3: number; wet_h: number; stillWet: boolean } {
  const shallow_m3 = volumeAt(storage, Math.min(STANDS_ABOVE_m, storage.at(-1)!.level_m))
  let volume = from_m3
  let left_h = time_h
  let wet_h = 0
  for (let k = storage.length - 1; k >= 1; k--) {
    const low = storage[k - 1]!
    // The millimetre that counts as standing is one more stop on the way down.
    for (const stop of shallow_m3 > low.volume_m3 ? [shallow_m3, low.volume_m3] : [low.volume_m3]) {
      if (volume <= stop || left_h <= 0) continue
      const wet = volume > shallow_m3
      const { left_m3, took_h } = soakWithin(low, storage[k]!, volume, stop, intake_mmh / 1000, left_h)
      volume = left_m3
      left_h -= took_h
      if (wet) wet_h += took_h
    }
  }
  return { left_m3: volume, wet_h, stillWet: volume > shallow_m3 }
}

/** Soaks within one pair of rows down to a stop or for a time, whichever comes first. */
function soakWithin(
  low: StorageRow,
  high: StorageRow,
  from_m3: number,
  stop_m3: number,
  intake_mh: number,
  time_h: number,
): { left_m3: number; took_h: number } {
  // Soaking area over volume: a straight line, since both are straight over the level.
  const widening = (high.soaking_m2 - low.soaking_m2) / (high.volume_m3 - low.volume_m3)
  const soaking = (volume: number): number =>
    volume === high.volume_m3 ? high.soaking_m2 : Math.max(0, low.soaking_m2 + widening * (volume - low.volume_m3))
  const here = soaking(from_m3)
  const atStop = soaking(stop_m3)
  if (intake_mh === 0 || here === 0) return { left_m3: from_m3, took_h: time_h }
  const gain = (here - atStop) / atStop // Infinity or NaN where the ground at the stop takes nothing: it is never reached
  const toStop_h = gain < Infinity ? ((from_m3 - stop_m3) / (atStop * intake_mh)) * meanReciprocal(gain) : Infinity
  if (toStop_h <= time_h) return { left_m3: stop_m3, took_h: toStop_h }
  const soaked = here * intake_mh * time_h * meanDecay(widening * intake_mh * time_h)
  return { left_m3: Math.max(stop_m3, from_m3 - soaked), took_h: time_h }
}

/** (1 − e^(−z))/z, 1 at 0. */
const meanDecay = (z: number): number => (Math.abs(z) < 1e-4 ? 1 - z / 2 + (z * z) / 6 : (1 - exponential(-z)) / z)

/** The upper of the two rows to go between: of what lies over all rows, by a rounding, the last. */
const rowOver = (found: number, storage: readonly StorageRow[]): number => (found < 0 ? storage.length - 1 : Math.max(1, found))

function volumeAt(storage: readonly StorageRow[], level_m: number): number {
  const k = rowOver(
    storage.findIndex(row => row.level_m >= level_m),
    storage,
  )
  const low = storage[k - 1]!
  const high = storage[k]!
  return low.volume_m3 + ((level_m - low.level_m) / (high.level_m - low.level_m)) * (high.volume_m3 - low.volume_m3)
}

function levelOf(storage: readonly StorageRow[], volume_m3: number): number {
  const k = rowOver(
    storage.findIndex(row => row.volume_m3 >= volume_m3),
    storage,
  )
  const low = storage[k - 1]!
  const high = storage[k]!
  return low.level_m + ((volume_m3 - low.volume_m3) / (high.volume_m3 - low.volume_m3)) * (high.level_m - low.level_m)
}

function checkStorage(storage: readonly StorageRow[]): void {
  if (storage.length < 2 || storage[0]!.level_m !== 0 || storage[0]!.volume_m3 !== 0)
    throw new InputError(
      'balance/bad-storage',
      'The storage table begins with level 0 holding nothing and needs at least one row above it.',
      {
        rows: storage.length,
      },
    )
  for (const [k, { level_m, volume_m3, soaking_m2 }] of storage.entries()) {
    refuseNegative('balance/bad-storage', { level_m, volume_m3, soaking_m2 }, 'Give m, m³ and m².')
    if (k > 0 && !(level_m > storage[k - 1]!.level_m && volume_m3 > storage[k - 1]!.volume_m3))
      throw new InputError(
        'balance/bad-storage',
        `Level ${level_m} m with ${volume_m3} m³ does not lie above the row before; give levels and volumes in rising order.`,
        { level_m, volume_m3 },
      )
  }
}
