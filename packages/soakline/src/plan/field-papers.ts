import type { ElevationGrid } from '../raster/index.js'
import type { Assessment } from './assessment.js'
import { cleanAt_m, type StormCard, stormCard } from './care.js'
import { type DigOptions, type DigPlan, digPlan } from './digging.js'
import { laidLine } from './laid-line.js'
import {
  A_FRAME,
  type AFrame,
  type AFrameError,
  type AFrameFall,
  aFrameError,
  aFrameFall,
  aFrameTally,
  allowedMisclosure_m,
  type TallyRow,
  type WaterLevelSheet,
  waterLevelSheet,
} from './levelling.js'
import type { DitchStake, LineSection } from './line-ditch.js'
import { type PlantOptions, type PlantZone, plantZones } from './planting.js'
import type { Settings } from './settings.js'
import { type Stake, stakesOf } from './stakes.js'

/** A section of the ditch that is worth a drawing of its own, and why. */
export interface NotableSection {
  readonly why: 'steepest' | 'flattest'
  readonly chainage_m: number
  readonly section: LineSection
}

/** Everything that is carried to the hillside, worked out once from an answer. Heights in the raster's datum. */
export interface FieldPapers {
  readonly stakes: readonly Stake[]
  /** Where the ground across the ditch is steepest and flattest: berm and storage differ most there. */
  readonly sections: readonly NotableSection[]
  readonly aFrame: AFrame
  readonly aFrameFall: AFrameFall
  /** Of the whole walk, when each reading errs by `readingError_m`. */
  readonly aFrameError: AFrameError & { readonly readingError_m: number; readonly steps: number }
  readonly tally: readonly TallyRow[]
  readonly waterLevel: WaterLevelSheet
  /** How far a level book may miss by after one stand of the instrument, and after four. */
  readonly misclosure: { readonly oneStand_m: number; readonly fourStands_m: number }
  readonly dig: DigPlan
  readonly zones: readonly PlantZone[]
  readonly card: StormCard
  /** Depth of sediment at which the ditch is cleaned. */
  readonly cleanAt_m: number
}

export interface FieldPapersOptions {
  /** Between stakes. Default as `stakesOf`. */
  readonly every_m?: number
  /** Length on the ground per length in the working system. Default 1. */
  readonly groundPerGrid_ratio?: number
  readonly digging?: Omit<DigOptions, 'stakes'>
  /** Latitude for the sun, spacings and so on; the intake is the answer's unless it is given. */
  readonly planting?: PlantOptions
  readonly aFrame?: AFrame
  /** Whom to ring in a storm: the user's own words. Default none. */
  readonly ring?: string
}

/** Of a plumb line against its mark. Source: CAUTION 24: a bias of 2 mm makes 167 mm in 100 m. */
const PLUMB_ERROR_m = 0.002

/**
 * The papers of an answer; null where it has no ditch.
 *
 * Throws  what `laidLine`, `stakesOf`, `digPlan` and `plantZones` throw.
 */
export function fieldPapers(
  surveyed: ElevationGrid,
  answer: Assessment,
  settings: Settings,
  { every_m, groundPerGrid_ratio, digging = {}, planting = {}, aFrame = A_FRAME, ring = '' }: FieldPapersOptions = {},
): FieldPapers | null {
  const laid = laidLine(surveyed, answer, settings)
  if (laid === null) return null
  const stakes = stakesOf(laid, {
    ...(every_m === undefined ? {} : { every_m }),
    ...(groundPerGrid_ratio === undefined ? {} : { groundPerGrid_ratio }),
  })
  const tally = aFrameTally(stakes, aFrame)
  const steps = tally[tally.length - 1]?.stepsSoFar ?? 0
  return {
    stakes,
    sections: notableSections(laid.ditch.stakes),
    aFrame,
    aFrameFall: aFrameFall(Math.abs(settings.bedFall_ratio), aFrame),
    aFrameError: { ...aFrameError(steps, PLUMB_ERROR_m, aFrame), readingError_m: PLUMB_ERROR_m, steps },
    tally,
    waterLevel: waterLevelSheet(stakes),
    misclosure: { oneStand_m: allowedMisclosure_m('per-stand', 1), fourStands_m: allowedMisclosure_m('per-stand', 4) },
    dig: digPlan(laid, { ...digging, stakes: stakes.length }),
    zones: plantZones(laid, { intake_mmh: answer.soaking.infiltration_mmh, ...planting }),
    card: stormCard(laid, answer, ring),
    cleanAt_m: cleanAt_m(laid),
  }
}

/** The stakes of the ditch on the steepest and on the flattest ground; one alone where they are the same. */
function notableSections(stakes: readonly DitchStake[]): NotableSection[] {
  const slope = ({ section }: DitchStake): number => section.groundSlope_ratio
  const steepest = stakes.reduce((a, b) => (slope(b) > slope(a) ? b : a))
  const flattest = stakes.reduce((a, b) => (slope(b) < slope(a) ? b : a))
  const as = (why: NotableSection['why'], { chainage_m, section }: DitchStake): NotableSection => ({ why, chainage_m, section })
  return slope(steepest) === slope(flattest) ? [as('steepest', steepest)] : [as('steepest', steepest), as('flattest', flattest)]
}
