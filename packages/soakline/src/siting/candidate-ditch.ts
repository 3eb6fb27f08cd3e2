import {
  averageEndArea_m3,
  crossSection,
  DEEPEST_BY_HAND_m,
  type DigSoil,
  lineStorage,
  personDays,
  type SectionShape,
  waterWidth_m,
} from '../earthworks/index.js'
import { InputError, volume_m3 } from '../foundation/index.js'
import type { ElevationGrid, Point } from '../raster/index.js'
import { profileAlong } from '../terrain/index.js'
import type { StatedStorm } from './candidate.js'
import type { Run } from './candidate-runs.js'

/** The ditch to be dug. */
export interface CandidateDitch extends SectionShape {
  readonly sedimentShare_ratio: number
  /** Default firm. */
  readonly soil?: DigSoil
}

/** A ditch along a line, in numbers. */
export interface DitchAlong {
  readonly length_m: number
  readonly slope_ratio: number
  /** To the sill, less what is kept for sediment. */
  readonly storage_m3: number
  readonly cut_m3: number
  /** Of the uphill face, where it is deepest. */
  readonly deepest_m: number
  readonly waterWidth_m: number
}

/** Distance between the stakes at which the section is taken, as in the assessment. */
const STAKE_m = 2
/** Setting out, the sill and the ends of a line take about this long, however short it is. Source: judgement. */
export const FIXED_days = 1

/** The ditch along a line, on the slope of each stake, its bed level or falling as the line does; null where it cannot be dug as it is set. */
export function ditchAlong(ground: ElevationGrid, path: readonly Point[], ditch: CandidateDitch, fall_ratio: number): DitchAlong | null {
  const profile = profileAlong(ground, path, STAKE_m)
  const length_m = profile[profile.length - 1]!.chainage_m
  const slopes = profile.map(p => Math.abs(p.crossSlope_ratio)).filter(s => !Number.isNaN(s))
  if (slopes.length === 0 || profile.some(p => Number.isNaN(p.ground_m))) return null
  const slope_ratio = slopes.reduce((a, b) => a + b, 0) / slopes.length
  if (!(slope_ratio > 0 && slope_ratio <= 1)) return null
  const above = profile.map(p => p.ground_m + fall_ratio * p.chainage_m)
  const bed_m = Math.min(...above) - ditch.depth_m
  const depths = above.map(z => z - bed_m)
  try {
    const sections = profile.map((p, k) =>
      crossSection({ ...ditch, depth_m: depths[k]! }, Number.isNaN(p.crossSlope_ratio) ? slope_ratio : Math.abs(p.crossSlope_ratio)),
    )
    const spacing_m = length_m / (profile.length - 1)
    const stored = lineStorage(sections, spacing_m, ditch)
    const mean = crossSection(ditch, slope_ratio)
    // Still water lies level: a bed that falls loses the wedge over its upper end.
    const lost = fall_ratio > 0 ? Math.min(1, (fall_ratio * length_m) / mean.sill_z_m) : 0
    return {
      length_m,
      slope_ratio,
      storage_m3: stored.toSillAfterSediment_m3 * (1 - lost),
      cut_m3: averageEndArea_m3(
        sections.map(s => s.cut_m2),
        spacing_m,
      ),
      deepest_m: Math.max(...sections.map(s => s.uphillEdge_z_m)),
      waterWidth_m: waterWidth_m(mean, mean.sill_z_m),
    }
  } catch (error) {
    if (error instanceof InputError && error.code.startsWith('section/')) return null
    throw error
  }
}

/** What a run would keep per day on its mean slope; null where the ditch cannot be dug there. */
export function roughValue(run: Run, ditch: CandidateDitch, storm: StatedStorm): { perDay_m3: number; kept_m3: number } | null {
  try {
    const section = crossSection(ditch, run.slope_ratio)
    const room = section.storageToSill_m2 * run.length_m * (1 - ditch.sedimentShare_ratio)
    const kept = Math.min(volume_m3(storm.runoff_mm, run.roughArea_m2), room)
    const { high_days } = personDays(section.cut_m2 * run.length_m, ditch.soil ?? 'firm', Math.min(DEEPEST_BY_HAND_m, ditch.depth_m))
    return { perDay_m3: kept / (high_days + FIXED_days), kept_m3: kept }
  } catch (error) {
    if (error instanceof InputError && error.code.startsWith('section/')) return null
    throw error
  }
}
