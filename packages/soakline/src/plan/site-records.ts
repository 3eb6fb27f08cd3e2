import type { BuiltReading } from './as-built.js'
import { stormLogFrom, stormLogSchema } from './care.js'
import { CROSSERS, type Crosser, type Rates } from './digging.js'
import type { BookReading } from './levelling.js'
import { plantsFrom, plantsSchema } from './plant-list.js'

/** Levels read on the dug ditch, as a plan keeps them. */
export interface BuiltRecord {
  readonly readings: readonly BuiltReading[]
  /** True while the berm is as it was heaped, before it settles. */
  readonly fresh: boolean
}

/** A level book as a plan keeps it: what was read, never what follows from it. */
export interface BookRecord {
  /** Level of the point that the first backsight is taken on. */
  readonly start_m: number
  /** Known level of the last point; null where it closes on none. */
  readonly closesOn_m: number | null
  readonly readings: readonly BookReading[]
}

/** Where somebody wants to cross the line. */
export interface WantedCrossing {
  readonly chainage_m: number
  readonly crosser: Crosser
}

/** Keys of a plan that come from the work on the ground. All may be absent: nothing yet. */
export interface SiteRecords {
  readonly built?: BuiltRecord
  readonly levelBook?: BookRecord
  readonly crossings?: readonly WantedCrossing[]
  /** In the user's own money. */
  readonly rates?: Rates
  /** Whom to ring in a storm: the user's own words. */
  readonly ring?: string
}

/** More than any line gives: longer lists and texts are a damaged file. Judgement. */
const MOST_READINGS = 20_000
const MOST_CROSSINGS = 100
const MOST_WORDS = 500
const WHATS: readonly string[] = ['bed', 'crest', 'sill'] satisfies readonly BuiltReading['what'][]
const RATES = ['personDay', 'machineHour', 'mulch_m3'] as const satisfies readonly (keyof Rates)[]

const isNumber = (value: unknown): boolean => typeof value === 'number' && Number.isFinite(value)
const isNumberOrNothing = (value: unknown): boolean => value === undefined || value === null || isNumber(value)
const isListOf = (value: unknown, most: number, is: (item: never) => boolean): boolean =>
  Array.isArray(value) && value.length <= most && value.every(item => typeof item === 'object' && item !== null && is(item as never))

/**
 * What is wrong with the records of a parsed plan; null where nothing is.
 *
 * Throws  what `stormLogFrom` and `plantsFrom` throw.
 */
export function problemWithRecords(plan: Partial<Record<keyof SiteRecords | 'plants' | 'stormLog', unknown>>): string | null {
  if (plan.plants !== undefined) plantsFrom(plan.plants)
  if (plan.stormLog !== undefined) stormLogFrom(plan.stormLog)
  const built = plan.built as Partial<BuiltRecord> | null | undefined
  if (
    built !== undefined &&
    !(
      built !== null &&
      typeof built.fresh === 'boolean' &&
      isListOf(built.readings, MOST_READINGS, (r: BuiltReading) => WHATS.includes(r.what) && isNumber(r.chainage_m) && isNumber(r.level_m))
    )
  )
    return '"built" must hold fresh (true or false) and readings of what (bed, crest or sill), chainage_m and level_m'
  const book = plan.levelBook as Partial<BookRecord> | null | undefined
  if (
    book !== undefined &&
    !(
      book !== null &&
      isNumber(book.start_m) &&
      isNumberOrNothing(book.closesOn_m) &&
      isListOf(
        book.readings,
        MOST_READINGS,
        (r: BookReading) =>
          typeof r.point === 'string' &&
          r.point.length <= MOST_WORDS &&
          [r.backsight_m, r.intermediate_m, r.foresight_m].every(isNumberOrNothing),
      )
    )
  )
    return '"levelBook" must hold start_m, closesOn_m and readings with a point'
  if (
    plan.crossings !== undefined &&
    !isListOf(plan.crossings, MOST_CROSSINGS, (c: WantedCrossing) => isNumber(c.chainage_m) && CROSSERS.includes(c.crosser))
  )
    return '"crossings" must hold a chainage_m and who crosses (barrow, stock or machine)'
  const rates = plan.rates as Rates | null | undefined
  if (
    rates !== undefined &&
    !(
      typeof rates === 'object' &&
      rates !== null &&
      RATES.every(key => rates[key] === undefined || (isNumber(rates[key]) && rates[key]! >= 0))
    )
  )
    return '"rates" must hold prices of 0 or more'
  if (plan.ring !== undefined && !(typeof plan.ring === 'string' && plan.ring.length <= MOST_WORDS))
    return `"ring" must be a text of at most ${MOST_WORDS} letters`
  return null
}

/** JSON Schemas (2020-12) of the records, by their keys in a plan. */
export function recordSchemas(): Record<string, unknown> {
  const number = { type: 'number' }
  const numberOrNull = { type: ['number', 'null'] }
  return {
    plants: plantsSchema(),
    stormLog: stormLogSchema(),
    built: {
      type: 'object',
      required: ['readings', 'fresh'],
      properties: {
        fresh: { type: 'boolean' },
        readings: {
          type: 'array',
          maxItems: MOST_READINGS,
          items: {
            type: 'object',
            required: ['what', 'chainage_m', 'level_m'],
            properties: { what: { enum: [...WHATS] }, chainage_m: number, level_m: number },
          },
        },
      },
    },
    levelBook: {
      type: 'object',
      required: ['start_m', 'closesOn_m', 'readings'],
      properties: {
        start_m: number,
        closesOn_m: numberOrNull,
        readings: {
          type: 'array',
          maxItems: MOST_READINGS,
          items: {
            type: 'object',
            required: ['point'],
            properties: {
              point: { type: 'string', maxLength: MOST_WORDS },
              backsight_m: numberOrNull,
              intermediate_m: numberOrNull,
              foresight_m: numberOrNull,
            },
          },
        },
      },
    },
    crossings: {
      type: 'array',
      maxItems: MOST_CROSSINGS,
      items: {
        type: 'object',
        required: ['chainage_m', 'crosser'],
        properties: { chainage_m: number, crosser: { enum: [...CROSSERS] } },
      },
    },
    rates: { type: 'object', properties: Object.fromEntries(RATES.map(key => [key, { type: 'number', minimum: 0 }])) },
    ring: { type: 'string', maxLength: MOST_WORDS },
  }
}
