import { bareVelocity, type GradedDrain, gradedDrain, ROUGHNESS } from '../earthworks/index.js'
import { InputError } from '../foundation/index.js'
import { type CreditedIntake, creditedIntake, emptyingTime_h, publishedIntake } from '../hydrology/index.js'
import { type LineDitch, lineSoakLevels } from './line-ditch.js'
import type { Settings } from './settings.js'

/** What the soil under the bed may be counted on for. */
export interface Soaking {
  /** Null where nobody has tested or felt the soil: then all that rests on soaking is unknown. */
  readonly infiltration_mmh: number | null
  readonly infiltrationSource: string | null
  readonly because: CreditedIntake['because']
  /** From full to the sill until empty, through the bed alone; null where the intake is unknown or the soil takes no water. */
  readonly emptyAfter_h: number | null
  /** The same ditch as a drain that leads the water away; null where it soaks, or the peak is not known. */
  readonly leadAway: (GradedDrain & { readonly fall_ratio: number; readonly flow_m3s: number }) | null
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

/** Fall of a drain where the ditch is set level: what a bare bed of firm loam bears. Source: judgement. */
const DRAIN_FALL = 0.0025

/** How long the full ditch stands, and what to dig instead where that is too long. */
export function soaking(ditch: LineDitch | null, intake: CreditedIntake, peak_m3s: number | null, settings: Settings): Soaking {
  const rate_mmh = intake.intake?.value ?? null
  const hours = ditch && rate_mmh !== null ? emptyingTime_h(lineSoakLevels(ditch, ditch.spillLevel_m), rate_mmh) : null
  const emptyAfter_h = hours !== null && hours < Infinity ? hours : null
  const tooSlow = rate_mmh !== null && (emptyAfter_h === null || emptyAfter_h > settings.emptyWithin_h)
  return {
    infiltration_mmh: rate_mmh,
    infiltrationSource: intake.intake?.source ?? null,
    because: intake.because,
    emptyAfter_h,
    leadAway: tooSlow && peak_m3s !== null && peak_m3s > 0 ? drain(peak_m3s, settings) : null,
  }
}

function drain(flow_m3s: number, settings: Settings): Soaking['leadAway'] {
  const fall_ratio = settings.bedFall_ratio > 0 ? settings.bedFall_ratio : DRAIN_FALL
  try {
    return {
      fall_ratio,
      flow_m3s,
      ...gradedDrain({
        flow_m3s,
        bedWidth_m: settings.bedWidth_m,
        sideSlope_ratio: settings.cutSideSlope_ratio,
        fall_ratio,
        roughnessTall: Math.max(settings.ditchRoughness, ROUGHNESS['bare-soil'].usual),
        roughnessBare: ROUGHNESS['bare-soil'].usual,
        permissible_ms: bareVelocity(settings.exitSoil).value,
        freeboard_m: settings.freeboard_m,
      }),
    }
  } catch (error) {
    if (error instanceof InputError) return null
    throw error
  }
}
