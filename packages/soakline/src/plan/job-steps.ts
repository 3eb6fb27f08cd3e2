import { type Verdict, worstVerdict } from '../foundation/index.js'
import type { AsBuilt } from './as-built.js'
import type { Assessment } from './assessment.js'
import type { GroundWork } from './ground-work.js'
import { OFF_LEVEL } from './off-level.js'
import { screeningOnly } from './screening-only.js'

/** Steps of the job that no check of the assessment judges by itself, in the order of the job. */
export const JOB_STEPS = ['line', 'section', 'stakes', 'digging', 'planting', 'as-built', 'care'] as const
/** A step of the job, in its order. */
export type JobStep = (typeof JOB_STEPS)[number]

/** How a step stands. */
export interface StepStanding {
  readonly step: JobStep
  readonly verdict: Verdict
  /** Code of the reason. */
  readonly because: string
  /** Numbers and codes that its sentence needs; keys carry their unit. */
  readonly values: Readonly<Record<string, number | string | null>>
}

/** A berm that wants this much more earth than the cut gives asks to watch. Source: judgement. */
const SHORT_OF_EARTH_ratio = 0.1

/**
 * How the steps of the job stand that no check judges: whether the line is level, whether the cut makes the berm, whether stakes may be set from this
 * ground, whether anything speaks against digging yet, and what is planted, built and kept up.
 *
 * Shapes  `work` is null while it is not worked out, or where nothing may be staked; `built` is null without readings.
 */
export function jobSteps(
  answer: Assessment,
  depth_m: number,
  work: GroundWork | null,
  built: Pick<AsBuilt, 'lowSpots' | 'readings'> | null,
): readonly StepStanding[] {
  return [
    lineStep(answer, depth_m),
    sectionStep(answer),
    stakesStep(answer, work),
    diggingStep(answer),
    plantingStep(answer, work),
    builtStep(built),
    careStep(work),
  ]
}

function lineStep({ line }: Assessment, depth_m: number): StepStanding {
  const { length_m, bedElevation_m, groundRange_m, meanGroundSlope_ratio, bedFall_ratio } = line
  const off = groundRange_m > OFF_LEVEL.watched_ratio * depth_m
  const tooFar = groundRange_m > OFF_LEVEL.most_ratio * depth_m
  return {
    step: 'line',
    verdict: tooFar ? 'fails' : off ? 'watch' : 'holds',
    because: tooFar ? 'line/too-far-off-level' : off ? 'line/off-level' : 'line/level',
    values: { length_m, bedElevation_m, groundRange_m, meanGroundSlope_ratio, bedFall_ratio },
  }
}

function sectionStep({ section, storage, earth }: Assessment): StepStanding {
  if (section === null || storage === null || earth === null)
    return { step: 'section', verdict: 'unknown', because: 'section/none', values: {} }
  const { over_m3, needed_m3 } = earth.balance
  const short = over_m3 < -SHORT_OF_EARTH_ratio * needed_m3
  return {
    step: 'section',
    verdict: short ? 'watch' : 'holds',
    because: short ? 'section/short-of-earth' : 'section/balanced',
    values: {
      bedWidth_m: section.shape.bedWidth_m,
      topWidth_m: section.topWidth_m,
      depth_m: section.shape.depth_m,
      toSill_m3: storage.toSill_m3,
      bermSettled_m: earth.bermSettled_m,
      bermBuilt_m: earth.bermBuilt_m,
      short_m3: Math.max(0, -over_m3),
    },
  }
}

function stakesStep(answer: Assessment, work: GroundWork | null): StepStanding {
  const screening = screeningOnly(answer)
  if (screening !== null) return { step: 'stakes', verdict: 'fails', because: 'stakes/screening-only', values: {} }
  if (work === null) return { step: 'stakes', verdict: 'unknown', because: 'stakes/not-yet', values: {} }
  const fit = worstVerdict(answer.findings.filter(f => f.check === 'ground-fit').map(f => f.verdict))
  return {
    step: 'stakes',
    verdict: fit === 'holds' ? 'holds' : 'watch',
    because: fit === 'holds' ? 'stakes/ready' : 'stakes/set-levels-on-site',
    values: { count: work.stakes.length, length_m: work.length_m },
  }
}

function diggingStep({ earth, findings }: Assessment): StepStanding {
  const open = (verdict: Verdict): number => new Set(findings.filter(f => f.verdict === verdict).map(f => f.check)).size
  const [fails, unknown] = [open('fails'), open('unknown')]
  const values = { fails, unknown: unknown === 0 ? null : unknown }
  if (earth === null) return { step: 'digging', verdict: 'unknown', because: 'digging/no-ditch', values }
  if (fails > 0) return { step: 'digging', verdict: 'fails', because: 'digging/checks-fail', values }
  if (unknown > 0) return { step: 'digging', verdict: 'unknown', because: 'digging/checks-unknown', values }
  return { step: 'digging', verdict: open('watch') > 0 ? 'watch' : 'holds', because: 'digging/ready', values }
}

function plantingStep({ soaking }: Assessment, work: GroundWork | null): StepStanding {
  if (work === null) return { step: 'planting', verdict: 'unknown', because: 'planting/not-yet', values: {} }
  const zones = work.planting.zones.filter(zone => zone.length_m > 0)
  const known = soaking.infiltration_mmh !== null
  return {
    step: 'planting',
    verdict: known ? 'holds' : 'unknown',
    because: known ? 'planting/ready' : 'planting/soil-unknown',
    values: { zones: zones.length, count: zones.reduce((sum, { count }) => sum + (count ?? 0), 0) },
  }
}

function builtStep(built: Pick<AsBuilt, 'lowSpots' | 'readings'> | null): StepStanding {
  if (built === null || built.readings.length === 0)
    return { step: 'as-built', verdict: 'unknown', because: 'built/no-readings', values: {} }
  const low = built.lowSpots.length
  return {
    step: 'as-built',
    verdict: low > 0 ? 'fails' : 'holds',
    because: low > 0 ? 'built/low-spots' : 'built/within-tolerance',
    values: { readings: built.readings.length, low, soilHeaped_m3: built.lowSpots.reduce((sum, spot) => sum + spot.soilHeaped_m3, 0) },
  }
}

/** What a logged storm says against the plan. */
const WORSE_THAN_PLANNED: readonly string[] = ['log/more-water-than-predicted', 'log/spilled-unexpectedly']

function careStep(work: GroundWork | null): StepStanding {
  if (work === null) return { step: 'care', verdict: 'unknown', because: 'care/not-yet', values: {} }
  const { log, cleanAt_m } = work.care
  if (log.length === 0) return { step: 'care', verdict: 'unknown', because: 'care/no-storm', values: { cleanAt_m } }
  const worse = log.filter(row => WORSE_THAN_PLANNED.includes(row.because)).length
  return {
    step: 'care',
    verdict: worse > 0 ? 'watch' : 'holds',
    because: worse > 0 ? 'care/more-than-planned' : 'care/as-planned',
    values: { cleanAt_m, storms: log.length, worse },
  }
}
