import { InputError } from '../foundation/index.js'
import { type Section, sectionStorage_m2 } from './section.js'
import { averageEndArea_m3 } from './volumes.js'

/** What a ditch with a level bed holds from end to end. Levels are above the bed. */
export interface LineStorage {
  readonly length_m: number
  /** The lowest sill and the lowest crest of the stakes: still water has one level, and the lowest place decides it. */
  readonly sill_z_m: number
  readonly crest_z_m: number
  readonly toSill_m3: number
  readonly toCrest_m3: number
  /** Part of `toSill_m3` that silt may take before it is cleaned out. */
  readonly sedimentReserve_m3: number
  /** What may be claimed: `toSill_m3` less the reserve. */
  readonly toSillAfterSediment_m3: number
  /** Greatest depth against fill at the sill's level, and the stake where it stands (first of equals). */
  readonly waterAgainstFill_m: number
  readonly waterAgainstFillStake: number
  /** Stakes whose ground uphill is not trusted to hold water up to the sill: they are counted to their own lower level, and want a look. */
  readonly heldBackStakes: readonly number[]
}

/** What `lineStorage` may be told besides. */
export interface LineStorageOptions {
  /** Share of the storage to the sill kept for sediment. Default 0.15, of 0.10–0.20 (judgement). */
  readonly sedimentShare_ratio?: number
}

/**
 * What a level swale holds, from its sections at stakes: each on the slope of its own ground and of its own depth below it, all with the bed at one
 * level, the ends upright.
 *
 * Shapes  `spacing_m` one number for all stretches, or one for each (one fewer than sections).
 * Laws    storage to the crest is at least that to the sill; a line of equal sections holds section × length.
 * Throws  `line/too-few-stakes`, `line/bad-spacing`, `line/bad-sediment-share`.
 * Source  average end area between stakes, derived.
 */
export function lineStorage(
  sections: readonly Section[],
  spacing_m: number | readonly number[],
  { sedimentShare_ratio = 0.15 }: LineStorageOptions = {},
): LineStorage {
  if (!(sedimentShare_ratio >= 0 && sedimentShare_ratio <= 1))
    throw new InputError(
      'line/bad-sediment-share',
      `The share for sediment is ${sedimentShare_ratio}; it lies between 0 and 1 (15 % is 0.15).`,
      {
        sedimentShare_ratio,
      },
    )
  if (sections.length < 2) throw tooFewStakes(sections.length)
  const sill_z_m = Math.min(...sections.map(s => s.sill_z_m))
  const crest_z_m = Math.min(...sections.map(s => s.crest_z_m))
  const toSill_m3 = lineStorage_m3(sections, spacing_m, sill_z_m)
  const toCrest_m3 = lineStorage_m3(sections, spacing_m, crest_z_m)
  const against = sections.map(s => Math.max(0, sill_z_m - s.lip_z_m))
  const waterAgainstFill_m = Math.max(...against)
  return {
    length_m: averageEndArea_m3(
      sections.map(() => 1),
      spacing_m,
    ),
    sill_z_m,
    crest_z_m,
    toSill_m3,
    toCrest_m3,
    sedimentReserve_m3: toSill_m3 * sedimentShare_ratio,
    toSillAfterSediment_m3: toSill_m3 * (1 - sedimentShare_ratio),
    waterAgainstFill_m,
    waterAgainstFillStake: against.indexOf(waterAgainstFill_m),
    heldBackStakes: [...sections.keys()].filter(k => sections[k]!.holds_z_m < sill_z_m),
  }
}

/**
 * Water held along the stakes at a level, by average end area.
 *
 * Shapes  `level_z_m` above the bed: one for all stakes (a level bed), or one for each (a bed that falls: the same water stands higher above
 *         its lower end). At or below 0 the stake is dry. `spacing_m` as in `lineStorage`.
 * Throws  `line/too-few-stakes`, `line/bad-spacing`, `line/bad-levels`, `section/level-over-crest`.
 * Source  average end area, derived. On a falling bed it counts a little too much: section storage is convex in the depth.
 */
export function lineStorage_m3(
  sections: readonly Section[],
  spacing_m: number | readonly number[],
  level_z_m: number | readonly number[],
): number {
  if (sections.length < 2) throw tooFewStakes(sections.length)
  if (typeof level_z_m !== 'number' && level_z_m.length !== sections.length)
    throw new InputError('line/bad-levels', `${level_z_m.length} levels for ${sections.length} stakes; give one for all or one for each.`, {
      levels: level_z_m.length,
      stakes: sections.length,
    })
  const areas = sections.map((section, k) => sectionStorage_m2(section, typeof level_z_m === 'number' ? level_z_m : level_z_m[k]!))
  return averageEndArea_m3(areas, spacing_m)
}

const tooFewStakes = (stakes: number): InputError =>
  new InputError('line/too-few-stakes', `A line's storage needs sections at two stakes or more; there are ${stakes}.`, { stakes })
