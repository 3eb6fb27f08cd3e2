import {
  type BermCover,
  bermCover,
  constructionHeight_m,
  type DigSoil,
  type EarthBalance,
  earthBalance,
  earthVolumes,
  type LabourDays,
  machineHours,
  personDays,
} from '../earthworks/index.js'
import { InputError } from '../foundation/index.js'
import type { LineDitch } from './line-ditch.js'
import type { Settings } from './settings.js'

/** The earth of a line and the work in it. */
export interface Earth {
  readonly cut_m3: number
  /** The same by the prismoidal rule, with sections half-way between the stakes. */
  readonly cutPrismoidal_m3: number
  readonly bermLoose_m3: number
  readonly bermSettled_m3: number
  readonly balance: EarthBalance
  /** By the published outputs, the middle of them unless set otherwise; null where the ditch is deeper than they go. */
  readonly personDays: number | null
  readonly personDaysRange: LabourDays | null
  readonly machineHours: { readonly low_h: number; readonly high_h: number; readonly source: string }
  /** Height of the fresh berm over the lip, and what it settles to. */
  readonly bermBuilt_m: number
  readonly bermSettled_m: number
  readonly mulch_m3: number
}

/** What is dug and laid along the line. */
export function earthOf(ditch: LineDitch, settings: Settings): Earth {
  const { cut_m3, cutPrismoidal_m3, berm_m3, stakes, mean } = ditch
  const days = daysByHand(cut_m3, settings.digSoil, Math.max(...stakes.map(s => s.ground_m - s.bed_m)), settings.hoursPerDay_h)
  const bermSettled_m = mean.crest_z_m - mean.lip_z_m
  return {
    cut_m3,
    cutPrismoidal_m3,
    bermLoose_m3: earthVolumes(cut_m3, settings.swell_ratio, settings.bermPerCut_ratio).loose_m3,
    bermSettled_m3: berm_m3,
    balance: earthBalance(cut_m3, berm_m3, settings.bermPerCut_ratio),
    personDays: days && { fast: days.low_days, middle: (days.low_days + days.high_days) / 2, slow: days.high_days }[settings.digOutput],
    personDaysRange: days,
    machineHours: hoursByMachine(cut_m3, settings.digSoil),
    bermBuilt_m: constructionHeight_m(bermSettled_m, settings.settlement_ratio, settings.settlementConvention),
    bermSettled_m,
    mulch_m3: coverOf(ditch, settings).mulch_m3,
  }
}

/** What the berm is covered with along the whole line. */
export const coverOf = ({ stakes, spacing_m }: LineDitch, { mulchDepth_m }: Settings): BermCover =>
  bermCover(
    stakes.map(s => s.section),
    spacing_m,
    mulchDepth_m,
  )

/** Hours of the smallest machine of the outputs; they know soil and clay only. */
export const hoursByMachine = (cut_m3: number, soil: DigSoil): ReturnType<typeof machineHours> =>
  machineHours(cut_m3, '0.3', soil === 'loose' || soil === 'firm' ? 'soil' : 'clay')

/** Days by hand; null where the ditch is deeper than the outputs go. */
export function daysByHand(cut_m3: number, soil: DigSoil, depth_m: number, hoursPerDay_h: number): LabourDays | null {
  try {
    return personDays(cut_m3, soil, depth_m, { hoursPerDay_h })
  } catch (error) {
    if (error instanceof InputError && error.code === 'labour/too-deep') return null
    throw error
  }
}
