import { InputError, type Warning } from '../foundation/index.js'
import { dateOfDay, dayOfDate, yearOfDay } from './calendar-day.js'
import { type DailyRain, rainGaps } from './daily-rain.js'
import { refuseUnlessPositive } from './method-limits.js'
import { type DayOfWater, dailyInflows_m3, type StorageRow, waterBalance } from './water-balance.js'

/**
 * Standing longer than this, water breeds mosquitoes. Some kinds need a week, some less.
 *
 * Source  University of California, Managing Mosquitoes in Stormwater Treatment Devices (2004): 72 h at most (read).
 */
export const MOSQUITO_LIMIT_h = 72
/** Standing longer than this in the growing season, water drowns the roots of most fruit trees; of stone fruit sooner. Source: from memory, unchecked (24–48 h). */
export const ROOT_LIMIT_h = 48
/** Fewest days from which anything is said of a year. */
export const FEWEST_DAYS = 365

/** What a swale is, as far as its year is asked. */
export interface WaterYearPlan {
  readonly curveNumber: number
  readonly catchment_m2: number
  /** From level 0 up to the sill, its silt taken off (`afterSediment`). */
  readonly storage: readonly StorageRow[]
  /** Credited, over the soaking area of the storage. */
  readonly intake_mmh: number
}

/** A stretch of time in which water stood without a break. */
export interface WetSpell {
  /** Day on which it began. */
  readonly from: string
  readonly hours: number
}

/** One calendar year of the record. */
export interface YearOfWater {
  readonly year: number
  readonly days: number
  /** Every day of the calendar year is known. */
  readonly complete: boolean
  readonly rain_mm: number
  readonly inflow_m3: number
  readonly spilled_m3: number
  readonly soaked_m3: number
  readonly daysSpilling: number
  readonly wet_h: number
}

/** How often it spills, how long it stands, how much it soaks. */
export interface YearsOfWater {
  /** Days with a reading; the numbers per year are of these. */
  readonly days: number
  readonly missingDays: number
  readonly rain_mm: number
  readonly inflow_m3: number
  readonly spilled_m3: number
  readonly soaked_m3: number
  /** Standing after the last day. */
  readonly standing_m3: number
  /** Of the inflow; null without any. */
  readonly soaked_ratio: number | null
  /** Spills: days of spilling that follow each other are one. */
  readonly spills: number
  readonly spillsPerYear: number
  readonly daysSpillingPerYear: number
  readonly largestSpill: { readonly day: string; readonly spilled_m3: number } | null
  readonly wet_h: number
  readonly longestWet: WetSpell | null
  /** Spells longer than each limit, in an average year. */
  readonly mosquitoSpellsPerYear: number
  readonly rootSpellsPerYear: number
  readonly byYear: readonly YearOfWater[]
  /** The complete calendar year with the most rain; null without a complete one. */
  readonly rainiest: YearOfWater | null
  readonly remarks: readonly Warning[]
}

/**
 * The years of a rain record through a swale. Over days that nobody measured the water stays as it is: nothing runs in, nothing soaks; a spell of
 * standing water ends there, so that spells are at least as long as said.
 *
 * Units   mm, m², mm/h → m³, h.
 * Laws    inflow = spilled + soaked + standing at the end, to 1e-9; the calendar years add up to the whole; more intake never spills more.
 * Throws  `balance/short-record` under 365 days with a reading; `balance/bad-day` for a depth below 0; what `waterBalance` and `dailyInflows_m3` throw.
 * Cost    days × rows of storage.
 * Source  `waterBalance`, `dailyInflows_m3`, with their limits: each day runs off for itself.
 */
export function yearsOfWater(rain: DailyRain, { curveNumber, catchment_m2, storage, intake_mmh }: WaterYearPlan): YearsOfWater {
  refuseUnlessPositive('balance/bad-area', { catchment_m2 }, 'Give m².')
  const { depths_mm } = rain
  const known = depths_mm.filter(depth => !Number.isNaN(depth)).length
  if (known < FEWEST_DAYS)
    throw new InputError(
      'balance/short-record',
      `The record holds ${known} days of rain; a year is asked for, better ten. Bring a longer record.`,
      {
        days: known,
        least: FEWEST_DAYS,
      },
    )
  const first = dayOfDate(rain.firstDay)
  const days: { readonly day: number; readonly rain_mm: number; readonly water: DayOfWater; readonly beforeGap: boolean }[] = []
  let standing_m3 = 0
  for (let k = 0; k < depths_mm.length; ) {
    if (Number.isNaN(depths_mm[k])) {
      k++
      continue
    }
    const begin = k
    while (k < depths_mm.length && !Number.isNaN(depths_mm[k])) k++
    const stretch = depths_mm.slice(begin, k)
    const balance = waterBalance(storage, dailyInflows_m3(stretch, curveNumber, catchment_m2), intake_mmh, standing_m3)
    standing_m3 = balance.standing_m3
    for (const [n, water] of balance.days.entries())
      days.push({ day: first + begin + n, rain_mm: stretch[n]!, water, beforeGap: n === stretch.length - 1 && k < depths_mm.length })
  }
  const years = days.length / 365.25
  const sum = (of: (water: DayOfWater) => number): number => days.reduce((total, { water }) => total + of(water), 0)
  const spells = wetSpells(days)
  const longestWet = spells.reduce<WetSpell | null>((long, spell) => (long === null || spell.hours > long.hours ? spell : long), null)
  const over = (limit_h: number): number => spells.filter(({ hours }) => hours > limit_h).length / years
  const spilling = days.filter(({ water }) => water.spilled_m3 > 0)
  const spills = spilling.filter(({ day }, k) => spilling[k - 1]?.day !== day - 1).length
  const largest = spilling.reduce<(typeof spilling)[number] | null>(
    (most, d) => (most === null || d.water.spilled_m3 > most.water.spilled_m3 ? d : most),
    null,
  )
  const byYear = calendarYears(days)
  const inflow_m3 = sum(d => d.inflow_m3)
  const soaked_m3 = sum(d => d.soaked_m3)
  const [mosquitoSpellsPerYear, rootSpellsPerYear] = [over(MOSQUITO_LIMIT_h), over(ROOT_LIMIT_h)]
  const longest_h = longestWet?.hours ?? 0
  const gaps = rainGaps(rain)
  const remarks: Warning[] = []
  if (gaps.length > 0)
    remarks.push({
      code: 'balance/days-missing',
      details: { days: depths_mm.length - known, gaps: gaps.length, longest: Math.max(...gaps.map(g => g.days)) },
    })
  if (longest_h > MOSQUITO_LIMIT_h)
    remarks.push({ code: 'balance/mosquitoes', details: { longest_h, limit_h: MOSQUITO_LIMIT_h, spellsPerYear: mosquitoSpellsPerYear } })
  if (longest_h > ROOT_LIMIT_h)
    remarks.push({ code: 'balance/roots-under-water', details: { longest_h, limit_h: ROOT_LIMIT_h, spellsPerYear: rootSpellsPerYear } })
  return {
    days: days.length,
    missingDays: depths_mm.length - known,
    rain_mm: days.reduce((total, { rain_mm }) => total + rain_mm, 0),
    inflow_m3,
    spilled_m3: sum(d => d.spilled_m3),
    soaked_m3,
    standing_m3,
    soaked_ratio: inflow_m3 > 0 ? soaked_m3 / inflow_m3 : null,
    spills,
    spillsPerYear: spills / years,
    daysSpillingPerYear: spilling.length / years,
    largestSpill: largest && { day: dateOfDay(largest.day), spilled_m3: largest.water.spilled_m3 },
    wet_h: sum(d => d.wet_h),
    longestWet,
    mosquitoSpellsPerYear,
    rootSpellsPerYear,
    byYear,
    rainiest: byYear
      .filter(({ complete }) => complete)
      .reduce<YearOfWater | null>((most, year) => (most === null || year.rain_mm > most.rain_mm ? year : most), null),
    remarks,
  }
}

type Day = { readonly day: number; readonly rain_mm: number; readonly water: DayOfWater; readonly beforeGap: boolean }

function wetSpells(days: readonly Day[]): WetSpell[] {
  const spells: WetSpell[] = []
  let from: number | null = null
  let hours = 0
  for (const [k, { day, water, beforeGap }] of days.entries()) {
    if (water.wet_h > 0) {
      from ??= day
      hours += water.wet_h
    }
    if (from !== null && (!water.wetAtEnd || beforeGap || k === days.length - 1)) {
      spells.push({ from: dateOfDay(from), hours })
      from = null
      hours = 0
    }
  }
  return spells
}

function calendarYears(days: readonly Day[]): YearOfWater[] {
  const years = new Map<number, Day[]>()
  for (const day of days) {
    const year = yearOfDay(day.day)
    const list = years.get(year)
    if (list) list.push(day)
    else years.set(year, [day])
  }
  return [...years].map(([year, list]): YearOfWater => {
    const sum = (of: (day: Day) => number): number => list.reduce((total, day) => total + of(day), 0)
    const whole = dayOfDate(`${String(year + 1).padStart(4, '0')}-01-01`) - dayOfDate(`${String(year).padStart(4, '0')}-01-01`)
    return {
      year,
      days: list.length,
      complete: list.length === whole,
      rain_mm: sum(d => d.rain_mm),
      inflow_m3: sum(d => d.water.inflow_m3),
      spilled_m3: sum(d => d.water.spilled_m3),
      soaked_m3: sum(d => d.water.soaked_m3),
      daysSpilling: list.filter(d => d.water.spilled_m3 > 0).length,
      wet_h: sum(d => d.water.wet_h),
    }
  })
}
