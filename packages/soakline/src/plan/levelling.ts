import { InputError, type Known } from '../foundation/index.js'
import type { Stake } from './stakes.js'

/** An A-frame: two legs, a crossbar, a plumb line. Defaults: legs 2 m apart, plumb line 1.2 m from its nail to the crossbar. */
export interface AFrame {
  readonly legSpan_m: number
  readonly plumb_m: number
}

/** Legs about 2 m apart. Source: field guides of Hesperian and of RADA (read). */
export const A_FRAME: AFrame = { legSpan_m: 2, plumb_m: 1.2 }

/** What an A-frame must show for a fall, at each step. */
export interface AFrameFall {
  readonly dropPerStep_m: number
  /** Off the level mark, towards the lower leg. */
  readonly markOffset_m: number
}

/** The drop of each step and the mark on the crossbar for a fall along the line. Throws `levelling/bad-size`. Source: similar triangles. */
export function aFrameFall(fall_ratio: number, { legSpan_m, plumb_m }: AFrame = A_FRAME): AFrameFall {
  sizes({ legSpan_m, plumb_m }, true)
  sizes({ fall_ratio })
  return { dropPerStep_m: legSpan_m * fall_ratio, markOffset_m: plumb_m * fall_ratio }
}

/**
 * The level mark of a frame that stood on the same two points both ways round.
 *
 * Units   both readings along the crossbar from the same end of it.
 * Laws    the mark does not depend on how level the two points are; swapping the readings keeps it.
 * Throws  `levelling/bad-size`.
 * Source  calibration by reversal: the level mark lies half-way; the points' own difference is what is left.
 */
export function calibratedAFrame(
  first_m: number,
  turned_m: number,
  { legSpan_m, plumb_m }: AFrame = A_FRAME,
): { readonly levelMark_m: number; readonly pointsDiffer_m: number } {
  sizes({ legSpan_m, plumb_m }, true)
  sizes({ first_m, turned_m })
  return { levelMark_m: (first_m + turned_m) / 2, pointsDiffer_m: (legSpan_m * (first_m - turned_m)) / (2 * plumb_m) }
}

/** How far a line strays from its level when each reading errs. */
export interface AFrameError {
  readonly perStep_m: number
  /** Errors to either side: they grow with the root of the steps. */
  readonly byChance_m: number
  /** The same error each time, as of a wrong mark with one leg always ahead: it grows with the steps. Turned end for end it cancels. */
  readonly byBias_m: number
  readonly grade_ratio: number
}

/** Error of a walk of steps. Throws `levelling/bad-size`. Source: √n and n, derived. */
export function aFrameError(steps: number, readingError_m: number, { legSpan_m, plumb_m }: AFrame = A_FRAME): AFrameError {
  sizes({ legSpan_m, plumb_m }, true)
  sizes({ steps, readingError_m })
  const grade_ratio = readingError_m / plumb_m
  const perStep_m = grade_ratio * legSpan_m
  return { perStep_m, byChance_m: perStep_m * Math.sqrt(steps), byBias_m: perStep_m * steps, grade_ratio }
}

/** One line of the tally: the steps of the frame from the last stake to this one. */
export interface TallyRow {
  readonly stake: number
  /** Whole steps, and the rest that is paced with a tape. */
  readonly steps: number
  readonly rest_m: number
  readonly stepsSoFar: number
  /** How far the bed lies lower than at the first stake. */
  readonly bedDropSoFar_m: number
}

/** The tally of an A-frame along the stakes. Throws `levelling/bad-size`. */
export function aFrameTally(stakes: readonly Pick<Stake, 'number' | 'chainage_m' | 'bed_m'>[], frame: AFrame = A_FRAME): TallyRow[] {
  sizes({ legSpan_m: frame.legSpan_m }, true)
  let stepsSoFar = 0
  return stakes.map((stake, k) => {
    const stretch_m = k === 0 ? 0 : stake.chainage_m - stakes[k - 1]!.chainage_m
    const steps = Math.floor(stretch_m / frame.legSpan_m + 1e-9)
    stepsSoFar += steps
    return {
      stake: stake.number,
      steps,
      rest_m: Math.max(0, stretch_m - steps * frame.legSpan_m),
      stepsSoFar,
      bedDropSoFar_m: stakes[0]!.bed_m - stake.bed_m,
    }
  })
}

/** Water level: a hose with a staff at each end. */
export interface WaterLevelSheet {
  readonly setUps: number
  /** By chance, over all set-ups: the root of their number. */
  readonly error_m: number
  readonly rows: readonly {
    readonly from: number
    readonly to: number
    readonly distance_m: number
    /** The hose does not reach: put a stake between. */
    readonly tooFar: boolean
    /** By how much the staff's reading at `to` is higher than that at `from`, with both staffs on the ground, on the bed. */
    readonly ground_m: number
    readonly bed_m: number
  }[]
}

export interface WaterLevelOptions {
  /** How far apart the two staffs can stand. Default 10 m (from memory: hoses of 10–20 m). */
  readonly reach_m?: number
  /** Of one set-up. Default 0.005 m (from memory: 2–5 mm). */
  readonly readingError_m?: number
}

/** What a water level should read from stake to stake. Throws `levelling/bad-size`. Source: the water stands equally high in both staffs. */
export function waterLevelSheet(
  stakes: readonly Stake[],
  { reach_m = 10, readingError_m = 0.005 }: WaterLevelOptions = {},
): WaterLevelSheet {
  sizes({ reach_m }, true)
  sizes({ readingError_m })
  const rows = stakes.slice(1).map((to, k) => {
    const from = stakes[k]!
    const distance_m = to.chainage_m - from.chainage_m
    return {
      from: from.number,
      to: to.number,
      distance_m,
      tooFar: distance_m > reach_m,
      ground_m: from.ground_m - to.ground_m,
      bed_m: from.bed_m - to.bed_m,
    }
  })
  const setUps = rows.reduce((sum, { distance_m }) => sum + Math.max(1, Math.ceil(distance_m / reach_m - 1e-9)), 0)
  return { setUps, error_m: readingError_m * Math.sqrt(setUps), rows }
}

/** Staff readings for one stake from one stand of a laser or an optical level; null where the staff would be too short, or the level stands below. */
export interface StaffReadings {
  readonly stake: number
  readonly ground_m: number | null
  readonly bed_m: number | null
  readonly crestBuilt_m: number | null
  readonly sill_m: number | null
}

/**
 * What the staff must read at each stake, from a backsight on a point of known level.
 *
 * Units   `known_m` in the datum of the stakes: give a fixed point's own level, or that of one chosen stake. `staff_m` length of the staff, default 4 m.
 * Throws  `levelling/bad-size`.
 * Source  height of the line of sight = level + backsight; reading = line of sight − level.
 */
export function staffReadings(
  stakes: readonly Stake[],
  known_m: number,
  backsight_m: number,
  { staff_m = 4 }: { readonly staff_m?: number } = {},
): { readonly sight_m: number; readonly rows: readonly StaffReadings[] } {
  sizes({ backsight_m, staff_m })
  if (!Number.isFinite(known_m)) throw badSize('known_m', known_m)
  const sight_m = known_m + backsight_m
  const reading = (level_m: number | null): number | null => {
    const read_m = level_m === null ? Number.NaN : sight_m - level_m
    return read_m >= -1e-12 && read_m <= staff_m + 1e-12 ? Math.max(0, read_m) : null
  }
  return {
    sight_m,
    rows: stakes.map(({ number, ground_m, bed_m, bermToBuild_m, sill_m }) => ({
      stake: number,
      ground_m: reading(ground_m),
      bed_m: reading(bed_m),
      crestBuilt_m: reading(bermToBuild_m === null ? null : ground_m + bermToBuild_m),
      sill_m: reading(sill_m),
    })),
  }
}

/** One line of a level book as written down: a reading back to a known point, between, and forward to the last point of the stand. */
export interface BookReading {
  readonly point: string
  readonly backsight_m?: number | null
  readonly intermediate_m?: number | null
  readonly foresight_m?: number | null
}

/** The same worked out. */
export interface BookRow extends BookReading {
  readonly rise_m: number | null
  readonly fall_m: number | null
  readonly level_m: number
}

/** A level book by rise and fall, with its arithmetic check. */
export interface LevelBook {
  readonly rows: readonly BookRow[]
  readonly backsights_m: number
  readonly foresights_m: number
  readonly rises_m: number
  readonly falls_m: number
  readonly stands: number
  /** Three ways to the same number: back less fore, rises less falls, last level less first. */
  readonly check: { readonly sights_m: number; readonly steps_m: number; readonly levels_m: number; readonly agrees: boolean }
  /** Last level less its known one; null where it does not close on a known point. */
  readonly misclosure_m: number | null
  readonly allowed_m: number | null
}

/** Published limits of how far a book may miss the point that it closes on. */
export const MISCLOSURE = {
  /** 5 mm × √stands. */
  'per-stand': { mm: 5, of: 'stands', source: 'field tolerance of levelling handbooks, 5√n mm for n set-ups', known: 'published' },
  'first-order': { mm: 4, of: 'km', source: 'geodetic levelling, first order, 4√K mm over K km', known: 'published' },
  'third-order': { mm: 12, of: 'km', source: 'geodetic levelling, third order, 12√K mm over K km, from memory', known: 'from-memory' },
} as const satisfies Readonly<Record<string, { mm: number; of: 'stands' | 'km'; source: string; known: Known }>>

/** Most that a book may miss by. Units: number of stands, or km. Throws `levelling/bad-size`. */
export function allowedMisclosure_m(rule: keyof typeof MISCLOSURE, standsOrKm: number): number {
  sizes({ standsOrKm })
  return (MISCLOSURE[rule].mm * Math.sqrt(standsOrKm)) / 1000
}

/**
 * A level book worked out by rise and fall.
 *
 * Shapes  the first line a backsight alone, the last a foresight alone, each change of stand a foresight and a backsight on one line; else one
 *         intermediate reading.
 * Laws    the three checks agree to rounding whatever is read: they find slips of arithmetic on paper, not slips of reading.
 * Throws  `levelling/too-short`, `levelling/book-shape` with the line, `levelling/bad-size`.
 * Source  rise and fall method, any textbook of surveying; its arithmetic check, derived.
 */
export function levelBook(readings: readonly BookReading[], start_m: number, closesOn_m: number | null = null): LevelBook {
  if (readings.length < 2)
    throw new InputError('levelling/too-short', `A level book needs two lines or more; there are ${readings.length}.`, {
      lines: readings.length,
    })
  if (!Number.isFinite(start_m)) throw badSize('start_m', start_m)
  const rows: BookRow[] = []
  let before_m = Number.NaN
  let level_m = start_m
  let [backsights_m, foresights_m, rises_m, falls_m, stands] = [0, 0, 0, 0, 0]
  for (const [k, reading] of readings.entries()) {
    const back = reading.backsight_m ?? null
    const between = reading.intermediate_m ?? null
    const fore = reading.foresight_m ?? null
    for (const value of [back, between, fore]) if (value !== null && !Number.isFinite(value)) throw badSize('reading', value)
    const [first, last] = [k === 0, k === readings.length - 1]
    const fits = first
      ? back !== null && between === null && fore === null
      : last
        ? back === null && between === null && fore !== null
        : between === null
          ? back !== null && fore !== null
          : back === null && fore === null
    if (!fits)
      throw new InputError(
        'levelling/book-shape',
        `Line ${k + 1} of the level book (${reading.point.slice(0, 40)}) does not fit: the first line has a backsight, the last a foresight, a change of stand both, any other line one intermediate reading.`,
        { line: k + 1 },
      )
    const read_m = between ?? fore
    const change_m = read_m === null ? 0 : before_m - read_m
    level_m += change_m
    rows.push({
      ...reading,
      rise_m: read_m !== null && change_m >= 0 ? change_m : null,
      fall_m: read_m !== null && change_m < 0 ? -change_m : null,
      level_m,
    })
    rises_m += Math.max(0, change_m)
    falls_m += Math.max(0, -change_m)
    backsights_m += back ?? 0
    foresights_m += fore ?? 0
    if (back !== null) stands++
    before_m = back ?? read_m!
  }
  const check = { sights_m: backsights_m - foresights_m, steps_m: rises_m - falls_m, levels_m: level_m - start_m }
  return {
    rows,
    backsights_m,
    foresights_m,
    rises_m,
    falls_m,
    stands,
    check: { ...check, agrees: Math.abs(check.sights_m - check.steps_m) < 5e-7 && Math.abs(check.sights_m - check.levels_m) < 5e-7 },
    misclosure_m: closesOn_m === null ? null : level_m - closesOn_m,
    allowed_m: closesOn_m === null ? null : allowedMisclosure_m('per-stand', stands),
  }
}

/** What can go wrong with each tool, and how well it sets a level. Mostly from memory, unchecked. */
export const LEVEL_TOOLS = [
  { tool: 'a-frame', error_m: 0.0033, per: 'step of 2 m', sillFit: false, known: 'derived' },
  { tool: 'water-level', error_m: 0.005, per: 'set-up of 10 m', sillFit: true, known: 'from-memory' },
  { tool: 'rotating-laser', error_m: 0.003, per: '30 m', sillFit: true, known: 'from-memory' },
  { tool: 'optical-level', error_m: 0.003, per: '30 m', sillFit: true, known: 'from-memory' },
  { tool: 'string-level', error_m: 0.03, per: '10 m', sillFit: false, known: 'from-memory' },
  { tool: 'phone', error_m: 0.035, per: '10 m', sillFit: false, known: 'from-memory' },
] as const satisfies readonly { tool: string; error_m: number; per: string; sillFit: boolean; known: Known }[]

function sizes(named: Readonly<Record<string, number>>, above0 = false): void {
  for (const [name, size] of Object.entries(named)) if (!(size >= 0 && size < Infinity) || (above0 && size === 0)) throw badSize(name, size)
}

const badSize = (name: string, size: number): InputError =>
  new InputError('levelling/bad-size', `${name} is ${size}; give a plain number, 0 or more (lengths of tools above 0).`, { name, size })
