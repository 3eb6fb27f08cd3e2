import type { StormCard } from './care.js'
import type { DigPlan } from './digging.js'
import type { GroundWork } from './ground-work.js'
import type { LaidLine } from './laid-line.js'
import { type AFrame, type AFrameError, type AFrameFall, allowedMisclosure_m, type TallyRow, type WaterLevelSheet } from './levelling.js'
import type { DitchStake, LineSection } from './line-ditch.js'
import type { PlantZone } from './planting.js'
import type { Stake } from './stakes.js'

/** A section of the ditch that is worth a drawing of its own, and why. */
export interface NotableSection {
  readonly why: 'steepest' | 'flattest'
  readonly chainage_m: number
  readonly section: LineSection
}

/** What the printed drawing set shows of the work on the ground. Heights in the raster's datum. */
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
  /** Where each plant of the user's list goes, or of the general types while there is none. */
  readonly plants: Pick<GroundWork['planting'], 'plants' | 'starter' | 'matches'>
  readonly card: StormCard
  /** Depth of sediment at which the ditch is cleaned. */
  readonly cleanAt_m: number
}

/** The work on a laid line as the drawing set takes it: the very same stakes, levels and counts as every other paper. */
export function fieldPapers(laid: LaidLine, { stakes, levelling, digging, planting, care }: GroundWork): FieldPapers {
  const { aFrame, waterLevel } = levelling
  return {
    stakes,
    sections: notableSections(laid.ditch.stakes),
    aFrame,
    aFrameFall: aFrame,
    aFrameError: { ...aFrame.error, readingError_m: aFrame.readingError_m, steps: aFrame.steps },
    tally: aFrame.tally,
    waterLevel,
    misclosure: { oneStand_m: allowedMisclosure_m('per-stand', 1), fourStands_m: allowedMisclosure_m('per-stand', 4) },
    dig: digging,
    zones: planting.zones,
    plants: { plants: planting.plants, starter: planting.starter, matches: planting.matches },
    card: care.card,
    cleanAt_m: care.cleanAt_m,
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
