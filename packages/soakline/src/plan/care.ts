import { type PoolLevel, storageAt_m3 } from '../earthworks/index.js'
import { InputError } from '../foundation/index.js'
import { curveNumberSpread, stormRunoff_mm } from '../hydrology/index.js'
import { type Point, placeAlong } from '../raster/index.js'
import type { Assessment } from './assessment.js'
import type { LaidLine } from './laid-line.js'
import { ditchPool } from './line-ditch.js'

/** What nobody may do in a storm. */
export const DO_NOT = [
  'stand-on-berm',
  'cross-at-spill',
  'block-spill',
  'cut-berm-elsewhere',
  'let-children-near',
  'go-alone-at-night',
] as const
/** What to do when water rises towards the crest, in order. */
export const IN_STORM = ['clear-sill', 'open-notch', 'warn-below', 'leave'] as const

/** The storm card: facts to print large. Levels in the raster's datum. */
export interface StormCard {
  /** Where the ditch is opened when it must be: at its spill, in undisturbed ground, never through the berm. */
  readonly openAt: { readonly chainage_m: number; readonly at: Point }
  readonly sill_m: number | null
  readonly sillLength_m: number | null
  readonly notch_m: number | null
  readonly lowestCrest_m: number
  readonly lowestCrestAt_m: number
  /** From the sill to the lowest crest: what is left when water runs over the whole sill. */
  readonly sillToCrest_m: number | null
  readonly holds_m3: number
  readonly acceptanceChance: number
  readonly houseBelow: boolean
  readonly doNot: typeof DO_NOT
  readonly inStorm: typeof IN_STORM
  /** The user's own words, unchanged. */
  readonly ring: string
}

/** The facts of a storm card. */
export function stormCard(laid: LaidLine, answer: Pick<Assessment, 'acceptance' | 'storage'>, ring = ''): StormCard {
  const { ditch, sill, length_m } = laid
  const chainage_m = Math.min(Math.max(laid.spillAt_m, 0), length_m)
  const crests = ditch.stakes.map(stake => stake.bed_m + stake.section.crest_z_m)
  const lowestCrest_m = Math.min(...crests)
  return {
    openAt: { chainage_m, at: placeAlong(laid.path, chainage_m).at },
    sill_m: sill?.level_m ?? null,
    sillLength_m: sill ? sill.to_m - sill.from_m : null,
    notch_m: laid.notch_m,
    lowestCrest_m,
    lowestCrestAt_m: ditch.stakes[crests.indexOf(lowestCrest_m)]!.chainage_m,
    sillToCrest_m: sill ? lowestCrest_m - sill.level_m : null,
    holds_m3: answer.storage?.toSill_m3 ?? storageAt_m3(ditchPool(ditch, 0), ditch.spillLevel_m),
    acceptanceChance: answer.acceptance.chancePerYear,
    houseBelow: answer.acceptance.houseBelow,
    doNot: DO_NOT,
    inStorm: IN_STORM,
    ring,
  }
}

/** When something is looked at. */
export const INSPECTION_TIMES = ['after-storm', 'before-wet-season', 'growing-season', 'dry-season', 'first-year', 'each-year'] as const
/** One of `INSPECTION_TIMES`. */
export type InspectionTime = (typeof INSPECTION_TIMES)[number]

/** What is looked at and when; the table of words says how. Source: common practice, no source. */
export const INSPECTION_LIST = [
  { code: 'sill-level-and-clear', when: ['after-storm', 'before-wet-season'] },
  { code: 'ground-below-spill-scoured', when: ['after-storm', 'before-wet-season'] },
  { code: 'berm-low-slumped-cracked', when: ['after-storm', 'first-year', 'dry-season'] },
  { code: 'water-marks-on-berm', when: ['after-storm'] },
  { code: 'seep-below-berm', when: ['after-storm'] },
  { code: 'still-standing-after-days', when: ['after-storm'] },
  { code: 'sediment-a-quarter-full', when: ['after-storm', 'each-year'] },
  { code: 'burrows-filled', when: ['growing-season', 'dry-season'] },
  { code: 'ends-bypassed', when: ['after-storm'] },
  { code: 'levels-after-settling', when: ['first-year', 'each-year'] },
  { code: 'grass-thick', when: ['growing-season'] },
  { code: 'woody-at-spill-pulled', when: ['growing-season', 'each-year'] },
  { code: 'mulch-out-of-bed', when: ['before-wet-season'] },
  { code: 'stock-fenced-off', when: ['growing-season', 'each-year'] },
  { code: 'new-buildings-below', when: ['each-year'] },
] as const satisfies readonly { readonly code: string; readonly when: readonly InspectionTime[] }[]
/** What is looked at. */
export type InspectionCode = (typeof INSPECTION_LIST)[number]['code']

/** Share of the storage at which sediment is cleaned out. Source: a quarter, common practice. */
export const CLEAN_AT_ratio = 0.25

/**
 * Depth of sediment on the bed at which the ditch is cleaned: where a quarter of what it holds is gone.
 *
 * Laws    between 0 and the depth to the spill.
 */
export function cleanAt_m({ ditch }: Pick<LaidLine, 'ditch'>, share_ratio = CLEAN_AT_ratio): number {
  const pool = ditchPool(ditch, 0)
  return levelHolding_m(pool, share_ratio * storageAt_m3(pool, ditch.spillLevel_m), ditch.spillLevel_m)
}

/** The level at which a pool holds a volume, not above `top_m`; by halving, to the last bits. */
function levelHolding_m(pool: readonly PoolLevel[], volume_m3: number, top_m: number): number {
  let [low, high] = [0, top_m]
  for (let k = 0; k < 50; k++) {
    const middle = (low + high) / 2
    if (storageAt_m3(pool, middle) < volume_m3) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** A storm as it was seen. Absent values were not seen; they are never guessed. */
export interface LoggedStorm {
  /** YYYY-MM-DD. */
  readonly date: string
  /** Of the line that it is about; absent: of the only one. */
  readonly line?: string
  readonly rain_mm: number | null
  /** Depth of the highest water over the bed at the spill. */
  readonly highestWater_m: number | null
  readonly spilled: boolean | null
  /** What was seen: the user's words. */
  readonly seen: string
  /** Names of photographs; the pictures stay where they are. */
  readonly photos: readonly string[]
}

/** More storms than anybody logs. Judgement. */
const MOST_ENTRIES = 10_000

/**
 * A storm log from a parsed JSON value, as a plan file keeps it.
 *
 * Throws  `log/not-a-list`, `log/bad-entry` with its number.
 */
export function stormLogFrom(value: unknown): LoggedStorm[] {
  if (!Array.isArray(value) || value.length > MOST_ENTRIES)
    throw new InputError('log/not-a-list', `The storm log is not a list of at most ${MOST_ENTRIES} storms. Correct the file.`)
  return value.map((item: unknown, k): LoggedStorm => {
    const bad = (what: string): InputError =>
      new InputError('log/bad-entry', `Storm ${k + 1} of the log: ${what}. Correct it.`, { entry: k + 1 })
    if (typeof item !== 'object' || item === null || Array.isArray(item)) throw bad('it is not an entry')
    const entry = item as Partial<Record<keyof LoggedStorm, unknown>>
    if (typeof entry.date !== 'string' || !isDay(entry.date))
      throw bad(`its date ${JSON.stringify(entry.date)?.slice(0, 40)} is not a day as 2026-03-31`)
    const measure = (key: 'rain_mm' | 'highestWater_m', most: number): number | null => {
      const given = entry[key] ?? null
      if (given === null) return null
      if (!(typeof given === 'number' && given >= 0 && given <= most)) throw bad(`${key} is not a number from 0 to ${most}`)
      return given
    }
    const spilled = entry.spilled ?? null
    if (spilled !== null && typeof spilled !== 'boolean') throw bad('spilled is not yes, no or empty')
    const seen = entry.seen ?? ''
    if (typeof seen !== 'string' || seen.length > 10_000) throw bad('what was seen is not a text, or a very long one')
    const photos = entry.photos ?? []
    if (!Array.isArray(photos) || photos.length > 200 || !photos.every(name => typeof name === 'string' && name.length <= 300))
      throw bad('its photos are not a list of names')
    if (entry.line !== undefined && typeof entry.line !== 'string') throw bad('its line is not an id')
    return {
      date: entry.date,
      ...(entry.line === undefined ? {} : { line: entry.line as string }),
      rain_mm: measure('rain_mm', 30_000),
      highestWater_m: measure('highestWater_m', 20),
      spilled,
      seen,
      photos: photos as string[],
    }
  })
}

/** JSON Schema (2020-12) of a plan's storm log. */
export function stormLogSchema(): Record<string, unknown> {
  return {
    type: 'array',
    maxItems: MOST_ENTRIES,
    items: {
      type: 'object',
      required: ['date', 'rain_mm', 'highestWater_m', 'spilled', 'seen', 'photos'],
      properties: {
        date: { type: 'string', pattern: '^\\d{4}-\\d{2}-\\d{2}$' },
        line: { type: 'string' },
        rain_mm: { type: ['number', 'null'], minimum: 0, maximum: 30_000 },
        highestWater_m: { type: ['number', 'null'], minimum: 0, maximum: 20 },
        spilled: { type: ['boolean', 'null'] },
        seen: { type: 'string', maxLength: 10_000 },
        photos: { type: 'array', maxItems: 200, items: { type: 'string', maxLength: 300 } },
      },
    },
  }
}

const DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] as const

function isDay(text: string): boolean {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text)
  if (!parts) return false
  const [year, month, day] = [Number(parts[1]), Number(parts[2]), Number(parts[3])]
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0)
  return month >= 1 && month <= 12 && day >= 1 && day <= DAYS[month - 1]! + (month === 2 && leap ? 1 : 0)
}

/** What a depth of rain was bound to do by the curve number that the plan rests on. */
export interface StormPredicted {
  readonly runoff_mm: number
  readonly runoff_m3: number
  /** On dry ground or with a curve number 5 lower, and on wet ground or 5 higher. */
  readonly least_m3: number
  readonly most_m3: number
  /** Of the storage to the spill; above 1 it spills if nothing soaks meanwhile. */
  readonly filled_ratio: number
  readonly spills: 'yes' | 'no' | 'in-between'
  /** Depth over the bed at the spill, nothing soaked; the spill's own where it spills. */
  readonly water_m: number
  readonly leastWater_m: number
  readonly mostWater_m: number
}

/**
 * What a depth of rain sends to the line and does there, from an empty ditch, nothing soaking.
 *
 * Limits  volume alone: bursts, earlier rain and soaking are not in it. `spills` is `in-between` where dry and wet ground differ about it.
 * Laws    more rain never fills less.
 * Throws  what `stormRunoff_mm` throws.
 * Source  USDA TR-55 (1986) eq. 2-3; spread as `curveNumberSpread`.
 */
export function stormPredicted(
  laid: Pick<LaidLine, 'ditch' | 'settings'>,
  { catchment, runoff }: Pick<Assessment, 'catchment' | 'runoff'>,
  rain_mm: number,
): StormPredicted {
  const { ditch, settings } = laid
  const pool = ditchPool(ditch, 0)
  const toSpill_m3 = storageAt_m3(pool, ditch.spillLevel_m)
  const { dry, wet, fiveLower, fiveHigher } = curveNumberSpread(runoff.curveNumber)
  const volume = (curveNumber: number): number =>
    (stormRunoff_mm(rain_mm, curveNumber, settings.initialAbstraction_ratio) * catchment.area_m2) / 1000
  const runoff_m3 = volume(runoff.curveNumber)
  const least_m3 = volume(Math.min(dry ?? fiveLower, fiveLower))
  const most_m3 = volume(Math.max(wet ?? fiveHigher, fiveHigher))
  const waterOf = (volume_m3: number): number => {
    if (volume_m3 >= toSpill_m3) return ditch.spillLevel_m
    return volume_m3 === 0 ? 0 : levelHolding_m(pool, volume_m3, ditch.spillLevel_m)
  }
  return {
    runoff_mm: (runoff_m3 * 1000) / Math.max(catchment.area_m2, 1e-9),
    runoff_m3,
    least_m3,
    most_m3,
    filled_ratio: runoff_m3 / toSpill_m3,
    spills: least_m3 > toSpill_m3 ? 'yes' : most_m3 <= toSpill_m3 ? 'no' : 'in-between',
    water_m: waterOf(runoff_m3),
    leastWater_m: waterOf(least_m3),
    mostWater_m: waterOf(most_m3),
  }
}

/** How a logged storm compares. */
export interface StormCompared {
  readonly predicted: StormPredicted | null
  readonly because:
    | 'log/no-rain'
    | 'log/nothing-seen'
    | 'log/within-spread'
    | 'log/more-water-than-predicted'
    | 'log/less-water-than-predicted'
    | 'log/spilled-unexpectedly'
    | 'log/did-not-spill'
  /** Seen less predicted; null where the water was not seen. */
  readonly waterOff_m: number | null
}

/** Two centimetres of a mark on a stick. Source: judgement. */
const MARK_m = 0.02

/**
 * A logged storm against what its rain was bound to do.
 *
 * Laws    what was seen within the spread of dry and wet ground is never called a miss; soaking and gentle rain make less water, so only more than the
 *         wet end counts against the plan.
 */
export function compareStorm(
  laid: Pick<LaidLine, 'ditch' | 'settings'>,
  answer: Pick<Assessment, 'catchment' | 'runoff'>,
  storm: LoggedStorm,
): StormCompared {
  if (storm.rain_mm === null) return { predicted: null, because: 'log/no-rain', waterOff_m: null }
  const predicted = stormPredicted(laid, answer, storm.rain_mm)
  const { highestWater_m, spilled } = storm
  const waterOff_m = highestWater_m === null ? null : highestWater_m - predicted.water_m
  const because =
    spilled === null && highestWater_m === null
      ? 'log/nothing-seen'
      : spilled === true && predicted.spills === 'no'
        ? 'log/spilled-unexpectedly'
        : highestWater_m !== null && predicted.spills === 'no' && highestWater_m > predicted.mostWater_m + MARK_m
          ? 'log/more-water-than-predicted'
          : spilled === false && predicted.spills === 'yes'
            ? 'log/did-not-spill'
            : highestWater_m !== null && spilled !== true && highestWater_m < predicted.leastWater_m - MARK_m
              ? 'log/less-water-than-predicted'
              : 'log/within-spread'
  return { predicted, because, waterOff_m }
}
