import { InputError } from '../foundation/index.js'
import { exponential, naturalLog } from './logarithm.js'

/** One depth of rain. */
export interface RainRow {
  readonly duration_h: number
  /** Chance, in each year, that this depth is reached or passed within the duration: above 0, up to 1. */
  readonly chancePerYear: number
  readonly depth_mm: number
}

/** Depths of rain by duration and chance for one place, as the user brings them; rows in any order, the grid of them need not be full. */
export interface RainTable {
  readonly rows: readonly RainRow[]
}

/**
 * Depth of the storm of a duration and a chance. A row of the table is returned as it stands. Between rows: first, at each duration,
 * depth on a straight line over ln(chance) between the next rarer and the next likelier row; then, between the next shorter and the next
 * longer duration for which that chance can be had, ln(depth) on a straight line over ln(duration). Nothing is extrapolated.
 *
 * Units   h, chance per year, mm.
 * Laws    a row is given back exactly; between rows the depth lies between its neighbours'; the same bits in every engine.
 * Throws  `rain/outside-table`; what `checkRainTable` throws.
 * Source  Interpolation of durations log–log: common practice. Over ln(chance): judgement, since yearly maxima of the extreme-value kind
 *         are nearly straight over it for small chances.
 */
export const rainDepth_mm = (table: RainTable, duration_h: number, chancePerYear: number): number =>
  depthOfChance(table, chancePerYear)(duration_h)

/** `rainDepth_mm` for many durations of one chance: the table is checked and gone through once. Throws as it does, `rain/outside-table` when asked. */
export function depthOfChance(table: RainTable, chancePerYear: number): (duration_h: number) => number {
  checkRainTable(table)
  const all = durations_h(table)
  const known = all.flatMap(h => {
    const depth_mm = depthAtDuration(table, h, chancePerYear)
    return depth_mm === null ? [] : [{ h, depth_mm }]
  })
  return duration_h => {
    // The nearest durations at which this chance can be had.
    const after = known.findIndex(({ h }) => h >= duration_h)
    const longer = known[after]
    if (longer?.h === duration_h && chancePerYear > 0) return longer.depth_mm
    const shorter = known[after - 1]
    if (!(duration_h > 0 && chancePerYear > 0 && shorter && longer)) throw outside(duration_h)
    if (shorter.depth_mm === longer.depth_mm) return shorter.depth_mm
    const along = naturalLog(duration_h / shorter.h) / naturalLog(longer.h / shorter.h)
    return clamp(shorter.depth_mm * exponential(along * naturalLog(longer.depth_mm / shorter.depth_mm)), shorter.depth_mm, longer.depth_mm)
  }

  function outside(duration_h: number): InputError {
    const likely = chances(table)
    return new InputError(
      'rain/outside-table',
      `The rain table has no depth for ${duration_h} h at a chance of ${chancePerYear} each year (it covers ${all[0]} to ${all.at(-1)} h and chances of ${likely.at(-1)} to ${likely[0]}), and none is extrapolated; bring a table that covers it, or choose a storm within.`,
      { duration_h, chancePerYear, shortest_h: all[0], longest_h: all.at(-1), rarest: likely.at(-1), likeliest: likely[0] },
    )
  }
}

/** The durations of the table, each once, shortest first. Units: h. */
export const durations_h = (table: RainTable): readonly number[] => [...new Set(table.rows.map(r => r.duration_h))].sort((a, b) => a - b)

/**
 * The shortest duration of the table, or the shortest for which one chance can be had: where it exceeds 15 min, peaks of flow stay unknown.
 *
 * Units   h; chance per year.
 * Throws  `rain/empty-table`; `rain/outside-table` where no duration has the chance.
 */
export function shortestDuration_h(table: RainTable, chancePerYear?: number): number {
  if (table.rows.length === 0) throw emptyTable()
  const having = durations_h(table).filter(h => chancePerYear === undefined || depthAtDuration(table, h, chancePerYear) !== null)
  const shortest = having[0]
  if (shortest === undefined)
    throw new InputError(
      'rain/outside-table',
      `The rain table has no depth at a chance of ${chancePerYear} each year, and none is extrapolated; bring a table that covers it, or choose a storm within.`,
      { chancePerYear },
    )
  return shortest
}

/**
 * Mean intensity of the storm of a duration and a chance: depth over duration.
 *
 * Units   h, chance per year → mm/h.
 * Throws  what `rainDepth_mm` throws.
 */
export const rainIntensity_mmh = (table: RainTable, duration_h: number, chancePerYear: number): number =>
  rainDepth_mm(table, duration_h, chancePerYear) / duration_h

/** The chances of the table, each once, the likeliest first. */
export const chances = (table: RainTable): readonly number[] => [...new Set(table.rows.map(r => r.chancePerYear))].sort((a, b) => b - a)

/**
 * Refuses a table that cannot be one of rain depths. Called by `rainDepth_mm`; call it at the door to refuse early.
 *
 * Throws  `rain/empty-table`; `rain/bad-row` (a duration or depth that is not above 0, a chance outside 0–1);
 *         `rain/duplicate-row`; `rain/not-monotone` where a longer or a rarer storm is less deep: intensities taken for depths, or a slipped column.
 */
export function checkRainTable(table: RainTable): void {
  if (table.rows.length === 0) throw emptyTable()
  for (const r of table.rows) {
    if (
      !(
        r.duration_h > 0 &&
        r.duration_h < Infinity &&
        r.chancePerYear > 0 &&
        r.chancePerYear <= 1 &&
        r.depth_mm > 0 &&
        r.depth_mm < Infinity
      )
    )
      throw new InputError(
        'rain/bad-row',
        `Rain of ${r.depth_mm} mm in ${r.duration_h} h at a chance of ${r.chancePerYear}: depth and duration lie above 0, the chance above 0 and up to 1; mend that row.`,
        { ...r },
      )
  }
  const byChance = [...table.rows].sort((a, b) => a.chancePerYear - b.chancePerYear || a.duration_h - b.duration_h)
  for (let k = 1; k < byChance.length; k++) {
    const a = byChance[k - 1]!
    const b = byChance[k]!
    if (a.chancePerYear !== b.chancePerYear) continue
    if (a.duration_h === b.duration_h)
      throw new InputError(
        'rain/duplicate-row',
        `The rain table gives ${a.duration_h} h at a chance of ${a.chancePerYear} twice (${a.depth_mm} and ${b.depth_mm} mm); keep one.`,
        { ...a, other_mm: b.depth_mm },
      )
    if (b.depth_mm < a.depth_mm) throw notMonotone(a, b, 'a longer storm of the same chance')
  }
  const byDuration = [...table.rows].sort((a, b) => a.duration_h - b.duration_h || b.chancePerYear - a.chancePerYear)
  for (let k = 1; k < byDuration.length; k++) {
    const a = byDuration[k - 1]!
    const b = byDuration[k]!
    if (a.duration_h === b.duration_h && b.depth_mm < a.depth_mm) throw notMonotone(a, b, 'a rarer storm of the same duration')
  }
}

/** Depth of a chance at a duration of the table; null where that duration has no rows on both sides of the chance. */
function depthAtDuration(table: RainTable, duration_h: number, chancePerYear: number): number | null {
  let rarer: RainRow | null = null
  let likelier: RainRow | null = null
  for (const r of table.rows) {
    if (r.duration_h !== duration_h) continue
    if (r.chancePerYear === chancePerYear) return r.depth_mm
    if (r.chancePerYear < chancePerYear) {
      if (rarer === null || r.chancePerYear > rarer.chancePerYear) rarer = r
    } else if (likelier === null || r.chancePerYear < likelier.chancePerYear) likelier = r
  }
  if (rarer === null || likelier === null) return null
  const along = naturalLog(chancePerYear / likelier.chancePerYear) / naturalLog(rarer.chancePerYear / likelier.chancePerYear)
  return clamp(likelier.depth_mm + along * (rarer.depth_mm - likelier.depth_mm), likelier.depth_mm, rarer.depth_mm)
}

/** Keeps a rounding error from leaving the two rows. */
const clamp = (value: number, low: number, high: number): number => Math.min(Math.max(value, low), high)

const emptyTable = (): InputError =>
  new InputError('rain/empty-table', 'The rain table has no rows; bring depths by duration and chance for this place.', {})

const notMonotone = (a: RainRow, b: RainRow, what: string): InputError =>
  new InputError(
    'rain/not-monotone',
    `The rain table gives ${what} less rain: ${a.depth_mm} mm in ${a.duration_h} h at ${a.chancePerYear}, ${b.depth_mm} mm in ${b.duration_h} h at ${b.chancePerYear}. Are these intensities, or columns in another order?`,
    {
      first_h: a.duration_h,
      firstChance: a.chancePerYear,
      first_mm: a.depth_mm,
      second_h: b.duration_h,
      secondChance: b.chancePerYear,
      second_mm: b.depth_mm,
    },
  )
