import { type Check, type Finding, finish, type Steps, worstVerdict } from '../foundation/index.js'
import type { RainTable } from '../hydrology/index.js'
import type { Point } from '../raster/index.js'
import { type AssessOptions, assess, type Site } from './assess.js'
import type { Assessment } from './assessment.js'
import { SETTINGS, type Settings } from './settings.js'

/** What is changed to see what an answer hangs on: first what nobody knows for sure, then what the steward may choose. */
export const CHANGES = [
  'more-rain',
  'less-rain',
  'rarer-storm',
  'more-runoff',
  'less-runoff',
  'more-ground',
  'less-ground',
  'slower-soil',
  'faster-soil',
  'deeper',
  'shallower',
  'wider-bed',
  'other-end',
] as const
/** One thing in which two designs differ. */
export type Change = (typeof CHANGES)[number]

/** What a check says after one change. */
export interface Influence {
  readonly check: Check
  readonly change: Change
  /** The value that was tried: of the setting, or of the area in m². */
  readonly value: number
  readonly unit: string
  readonly before: Finding
  readonly after: Finding
}

interface Tried {
  readonly change: Change
  readonly value: number
  readonly unit: string
  readonly settings?: Partial<Settings>
  readonly areas?: NonNullable<AssessOptions['areas']>
}

// How far each is changed. Source: judgement, within what the published tables leave open: curve number ± 5, a fifth more rain, soil half and twice as fast.
const RAIN_MORE = 1.2
const RAIN_LESS = 0.9
const CURVE_NUMBER_STEP = 5
const AREA_SHARE = 0.15
const DEPTH_STEP_m = 0.1
const BED_STEP_m = 0.3
const RARER = 4

function within(key: 'depth_m' | 'bedWidth_m' | 'rainUplift_ratio', value: number): number {
  const [low, high] = SETTINGS[key].range!
  return Math.min(high, Math.max(low, value))
}

/** The changes that mean something for an answer. */
function changesOf({ runoff, catchment, acceptance, line, spillway }: Assessment, settings: Settings): Tried[] {
  const { area_m2 } = catchment
  const curve = (by: number): number => Math.min(100, Math.max(1, runoff.curveNumber + by))
  const rain = (times: number): number => within('rainUplift_ratio', settings.rainUplift_ratio * times)
  const area = (change: Change, share: number): Tried => {
    const value = area_m2 * share
    return { change, value, unit: 'm2', areas: { low_m2: Math.min(area_m2, value), high_m2: Math.max(area_m2, value) } }
  }
  const set = (change: Change, unit: string, key: keyof Settings, value: number): Tried => ({
    change,
    value,
    unit,
    settings: { [key]: value },
  })
  const { slowestTest_mmh } = settings
  const end_m = spillway === null ? null : spillway.chainage_m > line.length_m / 2 ? 0 : line.length_m
  const rarer = acceptance.chancePerYear / RARER
  return [
    set('more-rain', '1', 'rainUplift_ratio', rain(RAIN_MORE)),
    set('less-rain', '1', 'rainUplift_ratio', rain(RAIN_LESS)),
    {
      change: 'rarer-storm',
      value: rarer,
      unit: 'chance',
      settings: { acceptanceChance: rarer, acceptanceChanceAboveHouse: Math.min(rarer, settings.acceptanceChanceAboveHouse) },
    },
    set('more-runoff', '1', 'curveNumber', curve(CURVE_NUMBER_STEP)),
    set('less-runoff', '1', 'curveNumber', curve(-CURVE_NUMBER_STEP)),
    area('more-ground', 1 + AREA_SHARE),
    area('less-ground', 1 - AREA_SHARE),
    ...(slowestTest_mmh === null
      ? []
      : [
          set('slower-soil', 'mm/h', 'slowestTest_mmh', slowestTest_mmh / 2),
          set('faster-soil', 'mm/h', 'slowestTest_mmh', slowestTest_mmh * 2),
        ]),
    set('deeper', 'm', 'depth_m', within('depth_m', settings.depth_m + DEPTH_STEP_m)),
    set('shallower', 'm', 'depth_m', within('depth_m', settings.depth_m - DEPTH_STEP_m)),
    set('wider-bed', 'm', 'bedWidth_m', within('bedWidth_m', settings.bedWidth_m + BED_STEP_m)),
    ...(end_m === null ? [] : [set('other-end', 'm', 'spillChainage_m', end_m)]),
  ]
}

/** Influences of a check that are told: no more than these. */
const TOLD = 3
/** A change of a measure by less than this part of it is none. Source: judgement. */
const LEAST_CHANGE = 0.03

const worstOf = ({ findings }: Assessment, check: Check): Finding | null => {
  const all = findings.filter(f => f.check === check)
  const worst = worstVerdict(all.map(f => f.verdict))
  return all.find(f => f.verdict === worst) ?? null
}

/** How much a finding changed: a verdict counts more than any number. */
function weight(before: Finding, after: Finding): number {
  const turned = before.verdict === after.verdict ? 0 : 10
  if (before.measured === null || after.measured === null || before.because !== after.because) return turned
  const scale = Math.max(Math.abs(before.limit ?? 0), Math.abs(before.measured), 1e-9)
  return turned + Math.min(5, Math.abs(after.measured - before.measured) / scale)
}

/**
 * What would change each check of an answer most: one thing at a time is changed by what may well be, and the whole is worked out again.
 *
 * Shapes  for each check at most three changes, the weightiest first; a changed verdict weighs more than any changed number.
 * Throws  what `assess` throws.
 * Cost    an answer with its routing for each change, a dozen or so.
 * Source  the steps: judgement. One change at a time says nothing about two together.
 */
export function* whatMattersSteps(
  site: Site,
  line: readonly Point[],
  settings: Settings,
  rain: RainTable | null,
  options: AssessOptions = {},
): Steps<readonly Influence[]> {
  const base = assess(site, line, settings, rain, options)
  const tried = changesOf(base, settings)
  const all: { readonly weight: number; readonly influence: Influence }[] = []
  for (const [k, one] of tried.entries()) {
    yield k / tried.length
    const areas = one.areas ?? options.areas
    const after = assess(site, line, { ...settings, ...one.settings }, rain, { ...options, ...(areas ? { areas } : {}) })
    for (const check of new Set(base.findings.map(f => f.check))) {
      const [was, is] = [worstOf(base, check), worstOf(after, check)]
      if (was === null || is === null) continue
      const heavy = weight(was, is)
      if (heavy > LEAST_CHANGE)
        all.push({
          weight: heavy,
          influence: { check, change: one.change, value: one.value, unit: one.unit, before: was, after: is },
        })
    }
  }
  all.sort((a, b) => b.weight - a.weight)
  const told = new Map<Check, number>()
  return all.flatMap(({ influence }) => {
    const before = told.get(influence.check) ?? 0
    told.set(influence.check, before + 1)
    return before < TOLD ? [influence] : []
  })
}

/** `whatMattersSteps` at once. */
export const whatMatters = (...asked: Parameters<typeof whatMattersSteps>): readonly Influence[] => finish(whatMattersSteps(...asked))
