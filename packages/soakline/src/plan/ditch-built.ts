import { averageEndArea_m3 } from '../earthworks/index.js'
import { InputError } from '../foundation/index.js'
import { type LineDitch, type LineSection, lineSection } from './line-ditch.js'
import type { Settings } from './settings.js'

/** How a ditch was built, as differences from the plan where it was read (built less planned, crests settled), and the level of its sill. */
export interface DitchBuilt {
  readonly bedOff: readonly { readonly chainage_m: number; readonly off_m: number }[]
  readonly crestOff: readonly { readonly chainage_m: number; readonly off_m: number }[]
  /** In the raster's datum; null: as planned. */
  readonly sill_m: number | null
}

/**
 * The planned ditch with its bed, crest and sill where they were built: what the assessment takes instead of the planned one.
 *
 * Between readings levels run straight, beyond them they stay. A crest is never taken higher than any reading within half a stake's distance, so
 * that no low spot is lost between stakes.
 *
 * Laws    no differences give the same levels and stores, to rounding.
 * Throws  `as-built/cannot-hold` where bed, crest and ground leave no ditch at a stake.
 */
export function ditchBuilt(ditch: LineDitch, built: DitchBuilt, settings: Settings): LineDitch {
  const half_m = ditch.spacing_m / 2
  const bedOffs = ditch.stakes.map(({ chainage_m }) => between(built.bedOff, chainage_m))
  const crestOffs = ditch.stakes.map(({ chainage_m }) =>
    Math.min(
      between(built.crestOff, chainage_m),
      ...built.crestOff.filter(c => Math.abs(c.chainage_m - chainage_m) <= half_m + 1e-9).map(c => c.off_m),
    ),
  )
  const over_m = ditch.rises_m.map((rise_m, k) => rise_m + bedOffs[k]!)
  const base_m = Math.min(...over_m)
  const bed_m = ditch.bed_m + base_m
  const rises_m = over_m.map(rise_m => rise_m - base_m)
  const sill_m = built.sill_m ?? ditch.bed_m + ditch.sillLevel_m
  const notchUnder_m = ditch.notch ? ditch.sillLevel_m - ditch.notch.crest_m : 0
  const sillLevel_m = sill_m - bed_m
  const stakes = ditch.stakes.map((stake, k) => {
    const bedBuilt_m = stake.bed_m + bedOffs[k]!
    const crestBuilt_m = stake.bed_m + stake.section.crest_z_m + crestOffs[k]!
    return {
      chainage_m: stake.chainage_m,
      ground_m: stake.ground_m,
      bed_m: bedBuilt_m,
      section: sectionBuilt(stake.section, stake.ground_m - bedBuilt_m, crestBuilt_m - stake.ground_m, settings, stake.chainage_m),
    }
  })
  const crestLevel_m = Math.min(...stakes.map(({ section }, k) => section.crest_z_m + rises_m[k]!))
  const firstOut_m = sillLevel_m - notchUnder_m
  if (!(Math.min(firstOut_m, crestLevel_m) > 0)) throw cannotHold(stakes[0]!.chainage_m, 'the sill lies in or under the bed')
  const cut_m3 = averageEndArea_m3(
    stakes.map(s => s.section.cut_m2),
    ditch.spacing_m,
  )
  return {
    ...ditch,
    stakes,
    bed_m,
    rises_m,
    // Where the berm is lower than the sill, that is where the water leaves.
    spillLevel_m: Math.min(firstOut_m, crestLevel_m),
    crestLevel_m,
    notch: ditch.notch && { ...ditch.notch, crest_m: Math.min(firstOut_m, crestLevel_m) },
    // A sill above the lowest crest carries nothing: water is led over the crest instead, and the freeboard that is left says so.
    sillLevel_m: Math.min(sillLevel_m, crestLevel_m),
    cut_m3,
    cutPrismoidal_m3: (ditch.cutPrismoidal_m3 * cut_m3) / ditch.cut_m3,
    berm_m3: averageEndArea_m3(
      stakes.map(s => s.section.berm_m2),
      ditch.spacing_m,
    ),
  }
}

/** Area of the berm on the section's ground when its crest stands so high over the lip: crest and faces as they are set. Source: geometry, as `crossSection`. */
export function bermArea_m2({ shape, groundSlope_ratio: s }: Pick<LineSection, 'shape' | 'groundSlope_ratio'>, height_m: number): number {
  const { crestWidth_m, bermInnerSlope_ratio: inner, bermOuterSlope_ratio: outer } = shape
  const k = 1 + s * inner
  const run = outer / (1 - s * outer)
  const drop = s * crestWidth_m
  return (
    (0.5 * inner * k + 0.5 * run * k * k) * height_m * height_m +
    (crestWidth_m * k + run * k * drop) * height_m +
    0.5 * crestWidth_m * drop +
    0.5 * run * drop * drop
  )
}

/** The section whose bed and crest lie as built: the planned shape with as much earth in its berm as that crest holds. */
function sectionBuilt(planned: LineSection, depth_m: number, height_m: number, settings: Settings, chainage_m: number): LineSection {
  if (!(depth_m > 0)) throw cannotHold(chainage_m, 'the bed lies at or over the ground')
  const slope_ratio = planned.groundSlope_ratio
  try {
    const trial = lineSection({ ...settings, bermPerCut_ratio: 1 }, slope_ratio, depth_m, 0.001)
    const earth_ratio = bermArea_m2(planned, Math.max(LOWEST_BERM_m, height_m)) / trial.cut_m2
    return lineSection({ ...settings, bermPerCut_ratio: earth_ratio }, slope_ratio, depth_m, 0.001)
  } catch (error) {
    if (error instanceof InputError && error.code.startsWith('section/')) throw cannotHold(chainage_m, error.message)
    throw error
  }
}

/** A berm that is gone still has a crest at the lip. */
const LOWEST_BERM_m = 0.001

/** Straight between places, level beyond them; 0 without any. */
function between(places: DitchBuilt['bedOff'], chainage_m: number): number {
  if (places.length === 0) return 0
  const after = places.findIndex(place => place.chainage_m >= chainage_m)
  if (after < 0) return places[places.length - 1]!.off_m
  if (after === 0) return places[0]!.off_m
  const [a, b] = [places[after - 1]!, places[after]!]
  return b.chainage_m === a.chainage_m
    ? b.off_m
    : a.off_m + ((b.off_m - a.off_m) * (chainage_m - a.chainage_m)) / (b.chainage_m - a.chainage_m)
}

const cannotHold = (chainage_m: number, why: string): InputError =>
  new InputError(
    'as-built/cannot-hold',
    `As built the ditch holds nothing at ${chainage_m.toFixed(1)} m: ${why}. Look at the readings there, or dig it as planned.`,
    { chainage_m },
  )
