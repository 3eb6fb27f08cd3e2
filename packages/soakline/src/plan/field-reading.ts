import { InputError } from '../foundation/index.js'
import { type BuiltReading, NEAR_m } from './as-built.js'
import { A_FRAME, type AFrame } from './levelling.js'
import type { Settings } from './settings.js'
import type { Stake } from './stakes.js'

/** What is read while standing at a stake, and with which tool. Levels in the raster's datum. */
export type FieldReading =
  /** Laser or optical level: the staff stood on a point of known level, and stands here. */
  | { readonly tool: 'staff'; readonly known_m: number; readonly backsight_m: number; readonly read_m: number }
  /** Water level: one staff on a point of known level, one here. */
  | { readonly tool: 'water'; readonly known_m: number; readonly there_m: number; readonly read_m: number }
  /** A-frame: one leg on a point of known level, the other here; how far the string hangs off the level mark toward the leg here. */
  | { readonly tool: 'frame'; readonly known_m: number; readonly offset_m: number; readonly frame?: AFrame }

/** The tools that a level is read with out at the stakes. */
export const FIELD_TOOLS = ['staff', 'water', 'frame'] as const satisfies readonly FieldReading['tool'][]

/**
 * The level of the place that was read.
 *
 * Laws    as much more on the staff is as much lower.
 * Throws  `levelling/bad-size`.
 * Source  height of the line of sight = level + backsight; the water stands equally high in both staffs; similar triangles of the frame.
 */
export function levelRead_m(reading: FieldReading): number {
  const { known_m } = reading
  if (reading.tool === 'frame') {
    const { legSpan_m, plumb_m } = reading.frame ?? A_FRAME
    return finite('offset_m', known_m - (legSpan_m * reading.offset_m) / plumb_m)
  }
  return finite('read_m', known_m + (reading.tool === 'staff' ? reading.backsight_m : reading.there_m) - reading.read_m)
}

/** What the tool must show where the wanted level is reached: the staff's reading here, or the string's place off the level mark. */
export function readingFor_m(reading: FieldReading, wanted_m: number): number {
  if (reading.tool === 'frame') {
    const { legSpan_m, plumb_m } = reading.frame ?? A_FRAME
    return finite('offset_m', ((reading.known_m - wanted_m) * plumb_m) / legSpan_m)
  }
  return finite('read_m', reading.known_m + (reading.tool === 'staff' ? reading.backsight_m : reading.there_m) - wanted_m)
}

function finite(name: string, value: number): number {
  if (Number.isFinite(value)) return value
  throw new InputError('levelling/bad-size', `${name} is no plain number.`, { name })
}

/** The planned level of what is read at a stake; null where there is none, as a crest within the sill. A fresh berm is heaped above its crest. */
export function plannedLevel_m(what: BuiltReading['what'], stake: Stake, fresh: boolean): number | null {
  if (what === 'bed') return stake.bed_m
  if (what === 'sill') return stake.sill_m
  return fresh && stake.bermToBuild_m !== null ? stake.ground_m + stake.bermToBuild_m : stake.crest_m
}

/** What a reading asks for. */
export interface ReadAtStake {
  readonly level_m: number
  readonly planned_m: number
  /** Read less planned. */
  readonly off_m: number
  /** `keep`: within tolerance. */
  readonly work: 'dig' | 'fill' | 'keep'
}

/**
 * A reading at a stake against the plan, by the tolerances that readings of what was built are judged by (`asBuilt`).
 *
 * Units   `waterDepth_m` of the full ditch; null while it is not known: then no bed is within tolerance unless it is at its level to the millimetre.
 */
export function readAtStake(
  what: BuiltReading['what'],
  level_m: number,
  planned_m: number,
  waterDepth_m: number | null,
  { unevennessShare_ratio, crestTolerance_mm, sillTolerance_mm }: Settings,
): ReadAtStake {
  const off_m = level_m - planned_m
  const below_m =
    what === 'bed' ? ((waterDepth_m ?? 0) * unevennessShare_ratio) / 2 : (what === 'crest' ? crestTolerance_mm : sillTolerance_mm) / 1000
  const low = off_m < -below_m - SLIP_m
  // A crest may stand higher than planned: it is only ever too low.
  const high = what !== 'crest' && off_m > below_m + SLIP_m
  return { level_m, planned_m, off_m, work: low ? 'fill' : high ? 'dig' : 'keep' }
}

/** What two readings of a millimetre may differ by from rounding. */
const SLIP_m = 0.0005

/** Depth of water of the full ditch, from the stake at the spill; null while the sill is not known. */
export function fullDepth_m(stakes: readonly Stake[]): number | null {
  const spill = stakes.find(stake => stake.kinds.includes('spill'))
  return spill === undefined || spill.sill_m === null ? null : spill.sill_m - spill.bed_m
}

/** What was read of a thing at a place; null where it was not. */
export const readingAt = (readings: readonly BuiltReading[], what: BuiltReading['what'], chainage_m: number): BuiltReading | null =>
  readings.find(one => one.what === what && Math.abs(one.chainage_m - chainage_m) <= NEAR_m) ?? null

/** The level of the bed at a stake that another reading starts from: as it was read there, or as planned. */
export function knownBed_m(stake: Stake, readings: readonly BuiltReading[]): { readonly level_m: number; readonly from: 'read' | 'plan' } {
  const read = readingAt(readings, 'bed', stake.chainage_m)
  return read ? { level_m: read.level_m, from: 'read' } : { level_m: stake.bed_m, from: 'plan' }
}

/**
 * The level of the leg behind at the frame's last step before a stake, when the bed was walked step by step from the stake before on the mark of its fall.
 * Units   `known_m` level of the bed at the stake before, as read or as planned.
 */
export function behindFrame_m(before: Stake, stake: Stake, known_m: number, { legSpan_m }: AFrame = A_FRAME): number {
  const apart_m = stake.chainage_m - before.chainage_m
  const perStep_m = apart_m > 0 ? ((before.bed_m - stake.bed_m) * Math.min(legSpan_m, apart_m)) / apart_m : 0
  return stake.bed_m + (known_m - before.bed_m) + perStep_m
}

/** Readings with one more; an earlier one of the same thing at the same place gives way. */
export const withReading = (readings: readonly BuiltReading[], added: BuiltReading): readonly BuiltReading[] => [
  ...readings.filter(one => one.what !== added.what || Math.abs(one.chainage_m - added.chainage_m) > NEAR_m),
  added,
]
