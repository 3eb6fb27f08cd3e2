import { InputError } from '../foundation/index.js'
import { type Ditch, waterIn } from './ditch-water.js'
import type { PoolLevel } from './pool.js'
import { averageEndArea_m3 } from './volumes.js'

/** How the water of a line soaks. Rates at which it goes on soaking, after any safety factor. */
export interface LineIntake {
  readonly bed_mmh: number
  /** Default 0: the bed alone is counted. */
  readonly sides_mmh?: number
}

/** What `linePool` may be told besides. */
export interface LinePoolOptions {
  /** Height between levels. Default 0.01 m, at which straight lines between them err by less than 0.1 % of what a ditch 0.1 m deep holds. */
  readonly step_m?: number
  /** How much higher the bed lies at each stake than at the lowest, for a bed that falls. Default level. */
  readonly bedRises_m?: readonly number[]
  /** Only the rows by which the pool is known at these levels are worked out, the first and the last besides. Default: all rows. */
  readonly onlyAt_m?: readonly number[]
}

/**
 * Storage and soaking of a line at every level from its lowest bed to its lowest crest, for routing. The water is level; the bed may fall.
 *
 * Shapes  sections at stakes; `spacing_m` one number, or one for each stretch. Levels stand above the lowest bed.
 * Throws  `line/too-few-stakes`, `line/bad-spacing`, `line/bad-intake`, `line/bad-step`, `line/bad-levels` for rises that are not one a stake.
 * Cost    levels × stakes.
 * Source  average end area between stakes.
 */
export function linePool(
  sections: readonly Ditch[],
  spacing_m: number | readonly number[],
  { bed_mmh, sides_mmh = 0 }: LineIntake,
  { step_m = 0.01, bedRises_m, onlyAt_m }: LinePoolOptions = {},
): PoolLevel[] {
  if (!(bed_mmh >= 0 && sides_mmh >= 0 && bed_mmh + sides_mmh < Infinity))
    throw new InputError('line/bad-intake', `Intake of ${bed_mmh} and ${sides_mmh} mm/h; give 0 or more.`, { bed_mmh, sides_mmh })
  if (!(step_m > 0)) throw new InputError('line/bad-step', `Levels ${step_m} m apart; give a height above 0.`, { step_m })
  if (bedRises_m && (bedRises_m.length !== sections.length || !bedRises_m.every(rise => rise >= 0 && rise < Infinity)))
    throw new InputError(
      'line/bad-levels',
      `${bedRises_m.length} bed levels for ${sections.length} stakes; give one of 0 or more for each.`,
      {
        levels: bedRises_m.length,
        stakes: sections.length,
      },
    )
  const rise = (k: number): number => bedRises_m?.[k] ?? 0
  const top = Math.min(...sections.map((s, k) => s.crest_z_m + rise(k)))
  const steps = Math.max(1, Math.ceil(top / step_m - 1e-9))
  const along = (each: readonly number[]): number => averageEndArea_m3(each, spacing_m)
  const ditches = sections.map(waterIn)
  const areas_m2 = sections.map(() => 0)
  const soaks = sections.map(() => 0)
  const row = (step: number): PoolLevel => {
    const level_m = (top * step) / steps
    for (let k = 0; k < sections.length; k++) {
      const section = sections[k]!
      const above_m = level_m - rise(k)
      const { area_m2, perimeter_m, bed_m } = ditches[k]!(above_m)
      // Where ground uphill is so gentle that no more is counted, the water over the bed itself still stands higher.
      areas_m2[k] = area_m2 + bed_m * Math.max(0, above_m - section.holds_z_m)
      // Where a falling bed lies above the water nothing soaks.
      soaks[k] = rise(k) > 0 && above_m <= 0 ? 0 : (bed_m * bed_mmh + Math.max(0, perimeter_m - bed_m) * sides_mmh) / 3_600_000
    }
    return { level_m, storage_m3: along(areas_m2), soak_m3s: along(soaks) }
  }
  const all = Array.from({ length: steps + 1 }, (_, step) => step)
  if (!onlyAt_m) return all.map(row)
  // A row more to each side than the two between which the level lies, for roundings.
  const near = onlyAt_m.map(level_m => Math.floor((level_m / top) * steps))
  return all.filter(step => step === 0 || step >= steps - 1 || near.some(at => step >= at - 1 && step <= at + 2)).map(row)
}
