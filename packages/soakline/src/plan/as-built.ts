import { averageEndArea_m3, constructionHeight_m, keptDespiteFall_ratio, LIP_TOLERANCE_m } from '../earthworks/index.js'
import { InputError } from '../foundation/index.js'
import { bermArea_m2, type DitchBuilt } from './ditch-built.js'
import { type LaidLine, laidAt } from './laid-line.js'

/** What was read on site, and where. Levels in the raster's datum: carry one known level to the site, such as that of the base stake. */
export interface BuiltReading {
  readonly what: 'bed' | 'crest' | 'sill'
  readonly chainage_m: number
  readonly level_m: number
}

/** A reading beside the plan. */
export interface ReadingAgainstPlan extends BuiltReading {
  readonly planned_m: number
  /** Built less planned. */
  readonly off_m: number
  readonly withinTolerance: boolean
}

/** A place where the berm lies lower than planned. */
export interface LowSpot {
  readonly from_m: number
  readonly to_m: number
  readonly length_m: number
  /** Where it is lowest, how far under the plan, and how far under the level that the freeboard counts from (0 where it is not). */
  readonly lowestAt_m: number
  readonly depth_m: number
  readonly underNeeded_m: number
  /** From the highest water of the acceptance storm up to here; null while that is not known. Below 0 the water runs over. */
  readonly freeboard_m: number | null
  /** Earth in the raised berm once settled, as it is heaped so that it settles to that, and as it lies in the ground where it is dug. */
  readonly soilSettled_m3: number
  readonly soilHeaped_m3: number
  readonly soilDug_m3: number
  readonly raiseBy_m: number
}

/** What was built, against the plan. */
export interface AsBuilt {
  readonly readings: readonly ReadingAgainstPlan[]
  /** Null without readings of the bed. */
  readonly bed: {
    readonly highest_m: number
    readonly lowest_m: number
    /** From the highest to the lowest bed, each against its plan. */
    readonly unevenness_m: number
    readonly waterDepth_m: number
    /** Of the depth of water; up to a tenth costs about a tenth of the storage. */
    readonly unevenness_ratio: number
    readonly withinTolerance: boolean
    /** Share of storage lost if it fell so much from end to end: pointed ditch (the published rule), and with this ditch's bed and sides. */
    readonly lost_ratio: number
    readonly lostHere_ratio: number
  } | null
  readonly lowSpots: readonly LowSpot[]
  /** Null without readings of the sill. */
  readonly sill: {
    readonly lowest_m: number
    readonly highest_m: number
    readonly planned_m: number | null
    readonly withinTolerance: boolean
  } | null
  /** The lowest settled crest that was read; null without readings of the crest. */
  readonly lowestCrest_m: number | null
  readonly remarks: readonly AsBuiltRemark[]
  /** For the assessment that is run again. */
  readonly built: DitchBuilt
}

/** What readings on the dug ditch show, with the numbers that a sentence needs. */
export interface AsBuiltRemark {
  readonly code:
    | 'as-built/berm-below-sill'
    | 'as-built/water-over-berm'
    | 'as-built/sill-higher'
    | 'as-built/sill-lower'
    | 'as-built/sill-not-level'
    | 'as-built/gap'
    | 'as-built/no-crest'
    | 'as-built/no-sill'
    | 'as-built/fresh-berm'
  readonly chainage_m: number | null
  readonly value_m: number | null
}

/** What `asBuilt` may be told besides. */
export interface AsBuiltOptions {
  /** How far any reading of the bed may lie off. Default half of `unevennessShare_ratio` of the depth of water, to either side. */
  readonly bedTolerance_m?: number
  /** Total unevenness of the bed in parts of the depth of water. Default 0.1, which costs about as large a part of the storage: derived. */
  readonly unevennessShare_ratio?: number
  /** How far a crest may lie under the plan. Default 0.02 m (judgement: what a rake leaves). */
  readonly crestTolerance_m?: number
  /** To either side. Default 6.35 mm: NC 15A NCAC 02H .1059. */
  readonly sillTolerance_m?: number
  /** Berm read as heaped, before it settled? Its readings are then taken down to where it will settle. Default false. */
  readonly fresh?: boolean
  /** Level of the acceptance storm's highest water, all along or at each place; for the freeboard left. */
  readonly water_m?: number | readonly { readonly chainage_m: number; readonly level_m: number }[] | null
  /** Readings further apart than this leave the berm between them unknown. Default 5 m (judgement). */
  readonly gap_m?: number
}

/** Readings this near to each other along the line are of one place. Source: judgement. */
export const NEAR_m = 0.05

/**
 * Readings of bed, crest and sill against the plan: what is off, where the berm is low and how much earth it wants, what that does to the water.
 *
 * Laws    readings that equal the plan give no low spot, no loss and the planned ditch.
 * Throws  `as-built/no-readings`, `as-built/off-line`, `as-built/bad-level`, `as-built/twice`, `as-built/far-from-plan` (over 2 m: another datum).
 * Source  tolerance of the bed and loss of storage: 1 − (1 − (1 − e)³)/(3e), derived; lip: NC 15A NCAC 02H .1059; earth: geometry of the section.
 */
export function asBuilt(laid: LaidLine, given: readonly BuiltReading[], options: AsBuiltOptions = {}): AsBuilt {
  const { ditch, settings, sill } = laid
  const { crestTolerance_m = 0.02, sillTolerance_m = LIP_TOLERANCE_m, unevennessShare_ratio = 0.1, fresh = false, gap_m = 5 } = options
  const waterDepth_m = ditch.spillLevel_m
  const bedTolerance_m = options.bedTolerance_m ?? (unevennessShare_ratio * waterDepth_m) / 2
  check(laid, given)
  const readings = [...given]
    .sort((a, b) => a.chainage_m - b.chainage_m)
    .map((reading): ReadingAgainstPlan => {
      const { section, bed_m, ground_m } = laidAt(laid, reading.chainage_m)
      const planned_m =
        reading.what === 'bed' ? bed_m : reading.what === 'crest' ? bed_m + section.crest_z_m : (sill?.level_m ?? reading.level_m)
      const level_m =
        reading.what === 'crest' && fresh
          ? ground_m + Math.max(0, reading.level_m - ground_m) / heapedPerSettled(settings)
          : reading.level_m
      const off_m = level_m - planned_m
      const withinTolerance =
        reading.what === 'bed'
          ? Math.abs(off_m) <= bedTolerance_m + 1e-9
          : reading.what === 'crest'
            ? off_m >= -crestTolerance_m - 1e-9
            : Math.abs(off_m) <= sillTolerance_m + 1e-9
      if (Math.abs(off_m) > FAR_m)
        throw new InputError(
          'as-built/far-from-plan',
          `The ${reading.what} at ${reading.chainage_m} m is read as ${reading.level_m} m, the plan has ${planned_m.toFixed(3)} m. More than ${FAR_m} m apart they are not of one datum: add the known level of the base stake to the readings.`,
          { chainage_m: reading.chainage_m, level_m: reading.level_m, planned_m },
        )
      return { ...reading, level_m, planned_m, off_m, withinTolerance }
    })
  const of = (what: BuiltReading['what']): ReadingAgainstPlan[] => readings.filter(reading => reading.what === what)
  const [beds, crests, sills] = [of('bed'), of('crest'), of('sill')]
  const lowSpots = lowSpotsOf(laid, crests, crestTolerance_m, waterAt(options.water_m ?? null))
  const sillBuilt_m = sills.length > 0 ? Math.min(...sills.map(s => s.level_m)) : null
  const lowestCrest = crests.length > 0 ? crests.reduce((low, one) => (one.level_m < low.level_m ? one : low)) : null
  const remarks: AsBuiltRemark[] = []
  const remark = (code: AsBuiltRemark['code'], chainage_m: number | null, value_m: number | null): void =>
    void remarks.push({ code, chainage_m, value_m })
  const spills_m = sillBuilt_m ?? sill?.level_m ?? ditch.bed_m + ditch.sillLevel_m
  if (lowestCrest && lowestCrest.level_m <= spills_m)
    remark('as-built/berm-below-sill', lowestCrest.chainage_m, spills_m - lowestCrest.level_m)
  for (const spot of lowSpots)
    if (spot.freeboard_m !== null && spot.freeboard_m <= 0) remark('as-built/water-over-berm', spot.lowestAt_m, -spot.freeboard_m)
  if (sillBuilt_m !== null && sill) {
    if (sillBuilt_m > sill.level_m + sillTolerance_m) remark('as-built/sill-higher', laid.spillAt_m, sillBuilt_m - sill.level_m)
    if (sillBuilt_m < sill.level_m - sillTolerance_m) remark('as-built/sill-lower', laid.spillAt_m, sill.level_m - sillBuilt_m)
  }
  const sillSpread_m = sills.length > 0 ? Math.max(...sills.map(s => s.level_m)) - sillBuilt_m! : 0
  if (sillSpread_m > 2 * sillTolerance_m + 1e-9) remark('as-built/sill-not-level', laid.spillAt_m, sillSpread_m)
  if (crests.length === 0) remark('as-built/no-crest', null, null)
  else for (const gap of gaps(laid, crests, gap_m)) remark('as-built/gap', gap.from_m, gap.length_m)
  if (sills.length === 0) remark('as-built/no-sill', null, null)
  if (fresh) remark('as-built/fresh-berm', null, null)
  return {
    readings,
    bed: beds.length > 0 ? bedOf(laid, beds, waterDepth_m, unevennessShare_ratio) : null,
    lowSpots,
    sill:
      sillBuilt_m === null
        ? null
        : {
            lowest_m: sillBuilt_m,
            highest_m: sillBuilt_m + sillSpread_m,
            planned_m: sill?.level_m ?? null,
            withinTolerance: sills.every(s => s.withinTolerance),
          },
    lowestCrest_m: lowestCrest?.level_m ?? null,
    remarks,
    built: {
      bedOff: beds.map(({ chainage_m, off_m }) => ({ chainage_m, off_m })),
      crestOff: crests.map(({ chainage_m, off_m }) => ({ chainage_m, off_m })),
      sill_m: sillBuilt_m,
    },
  }
}

/** Levels further from the plan than this are of another datum. Source: judgement. */
const FAR_m = 2

const heapedPerSettled = ({ settlement_ratio, settlementConvention }: LaidLine['settings']): number =>
  constructionHeight_m(1, settlement_ratio, settlementConvention)

function bedOf(
  laid: LaidLine,
  beds: readonly ReadingAgainstPlan[],
  waterDepth_m: number,
  share_ratio: number,
): NonNullable<AsBuilt['bed']> {
  const offs = beds.map(b => b.off_m)
  const unevenness_m = Math.max(...offs) - Math.min(...offs)
  const { bedWidth_m, cutSideSlope_ratio } = laid.settings
  const lost = (bed_m: number, side_ratio: number): number =>
    1 -
    keptDespiteFall_ratio(
      { bedWidth_m: bed_m, sideSlope_ratio: side_ratio, depthAtSill_m: waterDepth_m, length_m: laid.length_m },
      unevenness_m,
    )
  return {
    highest_m: Math.max(...beds.map(b => b.level_m)),
    lowest_m: Math.min(...beds.map(b => b.level_m)),
    unevenness_m,
    waterDepth_m,
    unevenness_ratio: unevenness_m / waterDepth_m,
    withinTolerance: unevenness_m <= share_ratio * waterDepth_m + 1e-9,
    lost_ratio: lost(0, 1),
    lostHere_ratio: bedWidth_m + cutSideSlope_ratio > 0 ? lost(bedWidth_m, cutSideSlope_ratio) : lost(0, 1),
  }
}

/** A staff is read to a millimetre: what lies no further under the plan is not under it. */
const READ_m = 0.001

/** Stretches under the plan, from where the berm sinks below it to where it rises again; only those with a reading beyond the tolerance. */
function lowSpotsOf(
  laid: LaidLine,
  crests: readonly ReadingAgainstPlan[],
  tolerance_m: number,
  water: (chainage_m: number) => number | null,
): LowSpot[] {
  const spots: LowSpot[] = []
  const needed_m = laid.ditch.bed_m + laid.ditch.crestLevel_m
  for (let first = 0; first < crests.length; ) {
    if (crests[first]!.off_m >= -READ_m) {
      first++
      continue
    }
    let last = first
    while (last + 1 < crests.length && crests[last + 1]!.off_m < -READ_m) last++
    const low = crests.slice(first, last + 1)
    const lowest = low.reduce((a, b) => (b.off_m < a.off_m ? b : a))
    if (lowest.off_m < -tolerance_m - 1e-9) {
      // Straight from reading to reading; beyond the outermost ones to the line's ends.
      const from_m = first > 0 ? zeroBetween(crests[first - 1]!, crests[first]!) : 0
      const to_m = last + 1 < crests.length ? zeroBetween(crests[last]!, crests[last + 1]!) : laid.length_m
      const places = [
        { chainage_m: from_m, off_m: first > 0 ? 0 : low[0]!.off_m },
        ...low,
        { chainage_m: to_m, off_m: last + 1 < crests.length ? 0 : low[low.length - 1]!.off_m },
      ]
      const areas = places.map(({ chainage_m, off_m }) => lacking_m2(laid, chainage_m, -off_m))
      const soilSettled_m3 = averageEndArea_m3(
        areas,
        places.slice(1).map((place, k) => Math.max(0, place.chainage_m - places[k]!.chainage_m)),
      )
      const level_m = water(lowest.chainage_m)
      const heaped = heapedPerSettled(laid.settings)
      spots.push({
        from_m,
        to_m,
        length_m: to_m - from_m,
        lowestAt_m: lowest.chainage_m,
        depth_m: -lowest.off_m,
        underNeeded_m: Math.max(0, needed_m - Math.min(...low.map(one => one.level_m))),
        freeboard_m: level_m === null ? null : lowest.level_m - level_m,
        soilSettled_m3,
        soilHeaped_m3: soilSettled_m3 * heaped,
        soilDug_m3: soilSettled_m3 / laid.settings.bermPerCut_ratio,
        raiseBy_m: -lowest.off_m * heaped,
      })
    }
    first = last + 1
  }
  return spots
}

/** Where the berm crosses its plan between two readings, of which one is under it. */
function zeroBetween(a: ReadingAgainstPlan, b: ReadingAgainstPlan): number {
  const [from_m, to_m] = a.off_m < b.off_m ? [a.off_m, Math.max(0, b.off_m)] : [Math.max(0, a.off_m), b.off_m]
  return a.chainage_m + ((b.chainage_m - a.chainage_m) * from_m) / (from_m - to_m)
}

/** Earth that the berm lacks per metre where its crest lies so far under the plan. */
function lacking_m2(laid: LaidLine, chainage_m: number, under_m: number): number {
  const { section } = laidAt(laid, chainage_m)
  const height_m = section.crest_z_m - section.lip_z_m
  return bermArea_m2(section, height_m) - bermArea_m2(section, Math.max(0, height_m - under_m))
}

function waterAt(water: AsBuiltOptions['water_m'] | null): (chainage_m: number) => number | null {
  if (water === null || water === undefined) return () => null
  if (typeof water === 'number') return () => water
  return chainage_m =>
    water.length === 0
      ? null
      : water.reduce((best, one) => (Math.abs(one.chainage_m - chainage_m) < Math.abs(best.chainage_m - chainage_m) ? one : best)).level_m
}

/** Stretches of the berm in which nothing was read; the sill has none. */
function gaps(laid: LaidLine, crests: readonly ReadingAgainstPlan[], gap_m: number): { from_m: number; length_m: number }[] {
  const { sill } = laid
  const places = [0, ...crests.map(c => c.chainage_m), laid.length_m]
  return places.slice(1).flatMap((to_m, k) => {
    const from_m = places[k]!
    const inSill = sill ? Math.max(0, Math.min(to_m, sill.to_m) - Math.max(from_m, sill.from_m)) : 0
    return to_m - from_m - inSill > gap_m + 1e-9 ? [{ from_m, length_m: to_m - from_m }] : []
  })
}

function check({ length_m }: LaidLine, readings: readonly BuiltReading[]): void {
  if (readings.length === 0)
    throw new InputError('as-built/no-readings', 'There are no readings. Give at least one level of bed, crest or sill.')
  for (const { what, chainage_m, level_m } of readings) {
    if (!Number.isFinite(level_m))
      throw new InputError('as-built/bad-level', `The ${what} at ${chainage_m} m has no level; give a number in metres.`, {
        what,
        chainage_m,
      })
    if (!(chainage_m >= -0.5 && chainage_m <= length_m + 0.5))
      throw new InputError(
        'as-built/off-line',
        `A reading of the ${what} at ${chainage_m} m lies beyond the line, which is ${length_m.toFixed(1)} m long. Measure along it from its first stake.`,
        { what, chainage_m, length_m },
      )
    if (readings.filter(other => other.what === what && Math.abs(other.chainage_m - chainage_m) < NEAR_m).length > 1)
      throw new InputError('as-built/twice', `The ${what} at ${chainage_m} m is read twice. Keep the reading that holds.`, {
        what,
        chainage_m,
      })
  }
}
