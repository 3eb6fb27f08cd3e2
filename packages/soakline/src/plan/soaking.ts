import { type LeadAwayDrain, leadAwayDrain } from '../earthworks/index.js'
import {
  type CreditedIntake,
  creditedIntake,
  emptyingTime_h,
  publishedIntake,
  type SoilDecision,
  type SoilRecord,
  soilDecision,
} from '../hydrology/index.js'
import type { Point } from '../raster/index.js'
import { type LineDitch, type LineGround, lineSoakLevels } from './line-ditch.js'
import type { Settings } from './settings.js'

/** What the soil under the bed may be counted on for. */
export interface Soaking {
  /** Null where nobody has tested or felt the soil: then all that rests on soaking is unknown. */
  readonly infiltration_mmh: number | null
  readonly infiltrationSource: string | null
  readonly because: CreditedIntake['because']
  /** From full to the sill until empty, through the bed alone; null where the intake is unknown or the soil takes no water. */
  readonly emptyAfter_h: number | null
  /** A drain that leads the water away instead; null where the soil takes it, or the peak is not known. */
  readonly leadAway: (LeadAwayDrain & { readonly flow_m3s: number }) | null
  /** What pits and walk say; null without any pit. */
  readonly record: SoilDecision | null
}

/** Intake that is counted: half the slowest of three tests, or the lowest published for the texture. Throws what `creditedIntake` throws. */
export function countedIntake({ slowestTest_mmh, intakeTests, texture, textureIntake }: Settings): CreditedIntake {
  const tests_mmh = slowestTest_mmh === null ? [] : Array<number>(Math.max(1, intakeTests)).fill(slowestTest_mmh)
  const counted = creditedIntake({ tests_mmh, texture })
  if (textureIntake === 'lowest' || counted.because !== 'intake/lowest-published' || texture === null || counted.intake === null)
    return counted
  const { middle_mmh } = publishedIntake(texture)
  return { ...counted, intake: { ...counted.intake, value: middle_mmh, source: `middle of what is published for ${texture}` } }
}

/** What the pits and the walk say about the line; null where nothing was dug or seen. Throws what `soilDecision` throws. */
export function decisionOf(
  record: SoilRecord,
  line: readonly Point[],
  ground: LineGround,
  ditch: LineDitch | null,
  settings: Settings,
): SoilDecision | null {
  if (record.pits.length === 0 && record.sightings.length === 0) return null
  const deepest_m = ditch ? Math.max(...ditch.stakes.map(s => s.ground_m - s.bed_m)) : settings.depth_m
  return soilDecision(record, {
    bedDepth_m: deepest_m,
    lineLength_m: ground.length_m,
    pondedDepth_m: ditch?.spillLevel_m ?? settings.depth_m,
    bedWidth_m: settings.bedWidth_m,
    sideSlope_ratio: settings.cutSideSlope_ratio,
    line,
    groundSlope_ratio: ground.meanSlope_ratio,
    emptyWithin_h: settings.emptyWithin_h,
  })
}

/** Most that a ditch falls towards its outlet. Source: common practice, no source: about 1 %. */
const MOST_FALL = 0.01

/** How long the full ditch stands, and what to dig instead where that is too long. */
export function soaking(
  ditch: LineDitch | null,
  intake: CreditedIntake,
  decision: SoilDecision | null,
  peak_m3s: number | null,
  settings: Settings,
): Soaking {
  const rate_mmh = intake.intake?.value ?? null
  const hours = ditch && rate_mmh !== null ? emptyingTime_h(lineSoakLevels(ditch, ditch.spillLevel_m), rate_mmh) : null
  const emptyAfter_h = hours !== null && hours < Infinity ? hours : null
  const tooSlow = rate_mmh !== null && (emptyAfter_h === null || emptyAfter_h > settings.emptyWithin_h)
  const away = tooSlow || decision?.answer === 'lead-away'
  return {
    infiltration_mmh: rate_mmh,
    infiltrationSource: intake.intake?.source ?? null,
    because: intake.because,
    emptyAfter_h,
    leadAway:
      away && peak_m3s !== null && peak_m3s > 0
        ? {
            flow_m3s: peak_m3s,
            ...leadAwayDrain(
              peak_m3s,
              settings.texture ?? settings.exitSoil,
              settings.bedFall_ratio > 0 ? settings.bedFall_ratio : MOST_FALL,
              {
                freeboard_m: settings.freeboard_m,
                roughnessTall: settings.ditchRoughness,
              },
            ),
          }
        : null,
    record: decision,
  }
}
