import { graver, type Verdict } from '../foundation/index.js'
import { type AsBuilt, asBuilt } from './as-built.js'
import type { Assessment } from './assessment.js'
import { cleanAt_m, compareStorm, INSPECTION_LIST, type LoggedStorm, type StormCard, type StormCompared, stormCard } from './care.js'
import { type DigPlan, digPlan } from './digging.js'
import type { LaidLine } from './laid-line.js'
import {
  type AFrame,
  type AFrameError,
  type AFrameFall,
  aFrameError,
  aFrameFall,
  aFrameTally,
  LEVEL_TOOLS,
  type TallyRow,
  type WaterLevelSheet,
  waterLevelSheet,
} from './levelling.js'
import { matchPlants, type Plant, type PlantMatch, STARTER_PLANTS } from './plant-list.js'
import { type PlantZone, plantZones } from './planting.js'
import type { Settings } from './settings.js'
import type { BuiltRecord, SiteRecords } from './site-records.js'
import { type Stake, stakesOf } from './stakes.js'

/** What a plan and its place add to a laid line. */
export interface GroundWorkInput extends Pick<SiteRecords, 'crossings' | 'rates' | 'ring'> {
  readonly plants?: readonly Plant[]
  readonly stormLog?: readonly LoggedStorm[]
  /** Of the holding, north positive; null leaves the sun out. Default null. */
  readonly latitude_deg?: number | null
  /** Length on the ground per length in the working system. Default 1. */
  readonly groundPerGrid_ratio?: number
}

/** How the levels are set with the tools that people have. */
export interface Levelling {
  /** Of the bed along the line; 0 where it is level. */
  readonly fall_ratio: number
  readonly aFrame: AFrame &
    AFrameFall & {
      readonly steps: number
      /** If each reading errs by `readingError_m` on the crossbar. */
      readonly readingError_m: number
      readonly error: AFrameError
      readonly tally: readonly TallyRow[]
    }
  readonly waterLevel: WaterLevelSheet & { readonly reach_m: number }
  readonly tools: typeof LEVEL_TOOLS
}

/** A storm of the log beside what the plan says of its rain. */
export interface StormRow extends StormCompared {
  readonly storm: LoggedStorm
}

/** Everything that is carried from an answer to the hillside. */
export interface GroundWork {
  readonly length_m: number
  readonly downhill: LaidLine['downhill']
  readonly spillAt_m: number
  readonly sill: LaidLine['sill']
  readonly notch_m: number | null
  readonly stakes: readonly Stake[]
  readonly levelling: Levelling
  readonly digging: DigPlan
  readonly planting: {
    readonly zones: readonly PlantZone[]
    readonly plants: readonly Plant[]
    /** True while the user keeps no list of his own: then these are general types. */
    readonly starter: boolean
    readonly matches: readonly PlantMatch[]
  }
  readonly care: {
    readonly card: StormCard
    readonly inspections: typeof INSPECTION_LIST
    /** Depth of sediment on the bed at which it is cleaned. */
    readonly cleanAt_m: number
    readonly log: readonly StormRow[]
  }
}

/** Two millimetres on the crossbar. Judgement: a pencil mark and a swinging string. */
const CROSSBAR_m = 0.002

/**
 * The work on the ground that follows from an answer, by its settings.
 *
 * Laws    stakes, stretches, zones and card are those of the laid line; nothing is counted twice.
 * Throws  what `stakesOf`, `digPlan`, `plantZones` throw.
 */
export function groundWork(
  laid: LaidLine,
  answer: Pick<Assessment, 'acceptance' | 'storage' | 'catchment' | 'runoff' | 'soaking'>,
  { plants = [], stormLog = [], crossings = [], rates, ring = '', latitude_deg = null, groundPerGrid_ratio = 1 }: GroundWorkInput = {},
): GroundWork {
  const { settings } = laid
  const spaced = {
    every_m: settings.stakesEvery_m,
    bend_deg: settings.stakesBend_deg,
    doubtCap_m: settings.doubtCap_m,
    groundPerGrid_ratio,
  }
  const fromFirst = stakesOf(laid, spaced)
  const base = Math.min(Math.round(settings.baseStake), fromFirst.length)
  const stakes = base === 1 ? fromFirst : stakesOf(laid, { ...spaced, base })
  const zones = plantZones(laid, {
    soakWidth_m: settings.soakWidth_m,
    besideSill_m: settings.besideSill_m,
    onBerm: settings.bermPlants,
    intake_mmh: answer.soaking.infiltration_mmh,
    latitude_deg,
  })
  const kept = plants.length > 0 ? plants : STARTER_PLANTS
  return {
    length_m: laid.length_m,
    downhill: laid.downhill,
    spillAt_m: laid.spillAt_m,
    sill: laid.sill,
    notch_m: laid.notch_m,
    stakes,
    levelling: levellingOf(laid, stakes),
    digging: digPlan(laid, {
      stretch_m: settings.digStretch_m,
      stripDepth_m: settings.stripDepth_m,
      crossings,
      rates: rates ?? null,
      stakes: stakes.length,
    }),
    planting: { zones, plants: kept, starter: plants.length === 0, matches: matchPlants(kept, zones) },
    care: {
      card: stormCard(laid, answer, ring),
      inspections: INSPECTION_LIST,
      cleanAt_m: cleanAt_m(laid),
      log: stormLog.map(storm => ({ storm, ...compareStorm(laid, answer, storm) })),
    },
  }
}

function levellingOf({ settings, length_m }: LaidLine, stakes: readonly Stake[]): Levelling {
  const frame: AFrame = { legSpan_m: settings.aFrameSpan_m, plumb_m: settings.aFramePlumb_m }
  const fall_ratio = Math.abs(settings.bedFall_ratio)
  const steps = Math.floor(length_m / frame.legSpan_m + 1e-9)
  return {
    fall_ratio,
    aFrame: {
      ...frame,
      ...aFrameFall(fall_ratio, frame),
      steps,
      readingError_m: CROSSBAR_m,
      error: aFrameError(steps, CROSSBAR_m, frame),
      tally: aFrameTally(stakes, frame),
    },
    waterLevel: { reach_m: settings.waterLevelReach_m, ...waterLevelSheet(stakes, { reach_m: settings.waterLevelReach_m }) },
    tools: LEVEL_TOOLS,
  }
}

/** Readings of what was built against the laid line, with the tolerances of the settings. Throws what `asBuilt` throws. */
export function builtAgainstPlan(laid: LaidLine, { spillway }: Pick<Assessment, 'spillway'>, { readings, fresh }: BuiltRecord): AsBuilt {
  const { unevennessShare_ratio, crestTolerance_mm, sillTolerance_mm, stakesEvery_m } = laid.settings
  return asBuilt(laid, readings, {
    unevennessShare_ratio,
    crestTolerance_m: crestTolerance_mm / 1000,
    sillTolerance_m: sillTolerance_mm / 1000,
    gap_m: stakesEvery_m,
    fresh,
    water_m: spillway?.water ?? null,
  })
}

/** The settings by which a ditch is assessed as it was built: it spills where it was laid out to, over the sill that was laid out. */
export const settingsAsBuilt = ({ settings, spillAt_m, sill }: Pick<LaidLine, 'settings' | 'spillAt_m' | 'sill'>): Settings => ({
  ...settings,
  spillChainage_m: spillAt_m,
  ...(sill ? { sillLength_m: sill.to_m - sill.from_m } : {}),
})

/** A check before and after the ditch was read as built. */
export interface VerdictChanged {
  readonly check: string
  readonly planned: Verdict
  readonly built: Verdict
}

/**
 * The checks whose verdict is another one on what was built; those that got worse first.
 *
 * Limits   of several findings of one check the worst counts.
 */
export function verdictsChanged(planned: Pick<Assessment, 'findings'>, built: Pick<Assessment, 'findings'>): VerdictChanged[] {
  const worst = ({ findings }: Pick<Assessment, 'findings'>): Map<string, Verdict> => {
    const all = new Map<string, Verdict>()
    for (const { check, verdict } of findings) {
      const before = all.get(check)
      if (before === undefined || graver(verdict, before) > 0) all.set(check, verdict)
    }
    return all
  }
  const now = worst(built)
  return [...worst(planned)]
    .flatMap(([check, verdict]) => {
      const after = now.get(check)
      return after === undefined || after === verdict ? [] : [{ check, planned: verdict, built: after }]
    })
    .sort((a, b) => graver(b.built, b.planned) - graver(a.built, a.planned))
}
