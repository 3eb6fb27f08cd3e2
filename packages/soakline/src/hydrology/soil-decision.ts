import type { Verdict } from '../foundation/index.js'
import { nearestOnPath, type Point } from '../raster/index.js'
import { type CreditedIntake, creditedIntake, FEWEST_TESTS, TEST_SAFETY_FACTOR } from './credited-intake.js'
import { ditchLevels, EMPTYING_TARGET_h, emptyingTime_h, intakeToEmpty_mmh } from './drain-down.js'
import type { Texture } from './green-ampt.js'
import { refuseNegative, refuseUnlessPositive } from './method-limits.js'
import { MINNESOTA_RATES, publishedIntake } from './published-intake.js'
import {
  type DepthMet,
  firstMottling_m,
  readIntake_mmh,
  type Sighting,
  type SightingKind,
  type SoilPit,
  type SoilRecord,
} from './soil-record.js'

/** Least depth from the bed down to water, mottling or rock. Source: Minnesota Stormwater Manual, infiltration practices: 3 ft to saturated soil or bedrock. */
export const CLEARANCE_BELOW_BED_m = 0.9
/** How far below the bed a pit should reach. Source: common practice. */
export const PIT_BELOW_BED_m = 1
/** Longest and shortest usual distance between pits along a line. Source: common practice. */
export const PIT_SPACING_m = { most: 50, best: 30 } as const
/** Pits further than this from the line tell of other ground. Source: judgement, half of 50 m. */
export const PIT_NEAR_LINE_m = 25
/** Things seen within this distance of the line decide; further ones are told. Source: judgement. */
export const SIGHTING_REACH_m = 50
/** Tests may lie this much above the bed's depth and still count for it. Source: judgement. */
export const TEST_ABOVE_BED_m = 0.15
/** Slope above which water is not soaked into clay. Source: judgement, 15°; its tangent. */
export const STEEP_CLAY_ratio = 0.2679

/** What the line is to be, as far as the soil is asked. */
export interface SoilPlan {
  /** Depth of the bed below the ground, where the ditch is deepest. */
  readonly bedDepth_m: number
  readonly lineLength_m: number
  /** Deepest that water is to stand over the bed. */
  readonly pondedDepth_m: number
  readonly bedWidth_m: number
  /** Of both sides of the ditch, horizontal : vertical. */
  readonly sideSlope_ratio: number
  /** Where the line runs: with it pits and sightings far away do not decide, and the longest stretch without a pit is known. */
  readonly line?: readonly Point[]
  /** Of the hillside; null when not known. */
  readonly groundSlope_ratio?: number | null
  /** Time in which the ditch is to be empty. Default 48 h. */
  readonly emptyWithin_h?: number
}

/** What is to be done with the water, as far as the soil says. */
export type SoilAnswer = 'soak' | 'lead-away' | 'do-not-dig' | 'unknown'

/** One reason: what it weighs for, the numbers that a sentence about it needs, and where it was found. */
export interface SoilReason {
  readonly code: string
  /** `watch` and `holds` do not change the answer. */
  readonly weighs: Exclude<SoilAnswer, 'soak'> | 'watch' | 'holds'
  readonly values: Readonly<Record<string, number | string | boolean | null>>
  readonly pit: string | null
  readonly at: Point | null
  readonly source: string
}

/** How far below the bed something lies. */
export interface Clearance {
  /** Least over the pits that count; null where none tells. Negative above the bed. */
  readonly measured_m: number | null
  /** Nothing was met down to the pits' floors: it is this much or more. */
  readonly atLeast: boolean
}

/** Whether this soil takes the water. */
export interface SoilDecision {
  readonly answer: SoilAnswer
  /** The weightiest first. */
  readonly reasons: readonly SoilReason[]
  readonly credited: CreditedIntake
  /** Time to empty the ponded depth through the bed at the credited intake; null when unknown, Infinity when never. */
  readonly emptying_h: number | null
  readonly emptyWithin_h: number
  /** Credited intake that empties it in time, and what a test must show for that. */
  readonly neededIntake_mmh: number
  readonly neededTest_mmh: number
  readonly pits: {
    /** Pits that count for this line. */
    readonly dug: number
    readonly wantedFewest: number
    readonly wantedBest: number
    /** Longest stretch of the line without a pit, its ends taken as such; null without the line. */
    readonly longestWithout_m: number | null
  }
  readonly clearance: { readonly water: Clearance; readonly mottling: Clearance; readonly rock: Clearance; readonly limit_m: number }
  /** Whether the crumb test lets water stand here, and lets a sill be made of this earth. */
  readonly ponding: Verdict
  readonly earthSill: Verdict
  /** Whether the soil cracks; unknown until it was looked at in every pit. */
  readonly cracking: Verdict
}

const JUDGEMENT = 'judgement'
const PRACTICE = 'common practice, no source'
const CRUMB = 'crumb test, grades of ASTM D6572 (wording of the grades read, the standard not)'
const MINNESOTA = 'Minnesota Stormwater Manual, infiltration practices'

const SEEN: Readonly<Record<SightingKind, { readonly weighs: SoilReason['weighs']; readonly source: string }>> = {
  // Movement and water in a slope: someone who can judge slopes has to look first.
  slip: { weighs: 'do-not-dig', source: JUDGEMENT },
  'ground-crack': { weighs: 'do-not-dig', source: JUDGEMENT },
  hummocks: { weighs: 'do-not-dig', source: JUDGEMENT },
  'leaning-trees': { weighs: 'do-not-dig', source: JUDGEMENT },
  seep: { weighs: 'do-not-dig', source: JUDGEMENT },
  'tunnel-hole': { weighs: 'do-not-dig', source: JUDGEMENT },
  // Until it is traced, it may carry the water anywhere.
  pipe: { weighs: 'unknown', source: JUDGEMENT },
  'cracked-clay': { weighs: 'watch', source: JUDGEMENT },
  // Water that the raster does not know.
  'stock-path': { weighs: 'watch', source: PRACTICE },
  'roof-water': { weighs: 'watch', source: PRACTICE },
  'track-water': { weighs: 'watch', source: PRACTICE },
}

/**
 * Soak, lead away, or do not dig: what the pits, the tests and the walk say of a line. One reason not to dig outweighs all others, then one to lead
 * the water away, then one thing that is unknown; only without any of them it may soak.
 *
 * Units   m below the ground, mm/h, h.
 * Laws    no pits, no `soak`; a thing seen or a worse pit never makes the answer milder; credit as `creditedIntake`: bed only, half the slowest of three
 *         tests, else the lowest published of the least permeable layer down to the clearance.
 * Throws  `soil/bad-plan`; `soil/bad-test`; what `ditchLevels` throws.
 * Source  the limits above, each with its own; emptying `emptyingTime_h` through the bed alone.
 */
export function soilDecision(record: SoilRecord, plan: SoilPlan): SoilDecision {
  const { bedDepth_m, lineLength_m, pondedDepth_m, bedWidth_m, sideSlope_ratio, emptyWithin_h = EMPTYING_TARGET_h } = plan
  refuseUnlessPositive('soil/bad-plan', { lineLength_m, pondedDepth_m, emptyWithin_h }, 'Give m and hours.')
  refuseNegative('soil/bad-plan', { bedDepth_m, bedWidth_m, sideSlope_ratio }, 'Give m and horizontal : vertical.')
  const reasons: SoilReason[] = []
  const say = (
    code: string,
    weighs: SoilReason['weighs'],
    values: SoilReason['values'],
    source: string,
    pit: SoilPit | null = null,
    at: Point | null = pit?.at ?? null,
  ): void => {
    reasons.push({ code, weighs, values, pit: pit?.id ?? null, at, source })
  }

  const placed = record.pits.map(pit => ({ pit, ...alongLine(pit, plan.line) }))
  for (const { pit, away_m } of placed)
    if (away_m > PIT_NEAR_LINE_m) say('soil/pit-off-line', 'watch', { distance_m: away_m, limit_m: PIT_NEAR_LINE_m }, JUDGEMENT, pit)
  const near = placed.filter(p => p.away_m <= PIT_NEAR_LINE_m)
  const pits = near.map(p => p.pit)
  const counts = pitCounts(near, plan)
  if (pits.length === 0) say('soil/no-pits', 'unknown', { wanted: counts.wantedFewest, lineLength_m }, PRACTICE)
  else if (pits.length < counts.wantedFewest)
    say('soil/few-pits', 'unknown', { dug: pits.length, wanted: counts.wantedFewest, best: counts.wantedBest, lineLength_m }, PRACTICE)
  else if (counts.longestWithout_m !== null && counts.longestWithout_m > PIT_SPACING_m.most)
    say('soil/long-stretch-without-pit', 'watch', { longest_m: counts.longestWithout_m, limit_m: PIT_SPACING_m.most }, PRACTICE)
  else say('soil/pits-enough', 'holds', { dug: pits.length, wanted: counts.wantedFewest, lineLength_m }, PRACTICE)

  const water = clearanceOf(pits, bedDepth_m, pit => pit.waterDepth_m)
  const mottling = clearanceOf(pits, bedDepth_m, firstMottling_m)
  const rock = clearanceOf(pits, bedDepth_m, pit => pit.rockDepth_m)
  for (const pit of pits) sayClearance(say, pit, bedDepth_m)

  const soils = pits.map(pit => layersBelowBed(pit, bedDepth_m))
  for (const [k, pit] of pits.entries()) saySoil(say, pit, soils[k]!, plan)
  const textures = soils.flatMap(layers => layers.flatMap(({ texture }) => (texture === null ? [] : [texture])))
  const worst = textures.reduce<Texture | null>(
    (slow, texture) => (slow === null || publishedIntake(texture).low_mmh < publishedIntake(slow).low_mmh ? texture : slow),
    null,
  )
  const tests_mmh = pits.flatMap(pit => countedTests(pit, bedDepth_m, say))
  const credited = creditedIntake({ tests_mmh, texture: worst })
  const levels = ditchLevels(bedWidth_m, sideSlope_ratio, pondedDepth_m, 'bed')
  const neededIntake_mmh = intakeToEmpty_mmh(levels, emptyWithin_h)
  const emptying_h = credited.intake === null ? null : emptyingTime_h(levels, credited.intake.value)
  saySoak(say, { tests_mmh, worst, credited, emptying_h, emptyWithin_h, neededIntake_mmh })

  const crumbs = pits.map((pit, k) => (crumbsNeeded(soils[k]!) ? pit.crumbTest : (pit.crumbTest ?? 'none')))
  const byCrumbs = crumbVerdict(crumbs)

  for (const { kind, at } of record.sightings) {
    const away_m = at === null || plan.line === undefined ? 0 : nearestOnPath(plan.line, at).distance_m
    const { weighs, source } = SEEN[kind]
    const far = away_m > SIGHTING_REACH_m
    say(
      `soil/seen-${kind}`,
      far ? 'watch' : weighs,
      { distance_m: at === null || plan.line === undefined ? null : away_m, far },
      source,
      null,
      at,
    )
  }

  const order: readonly SoilReason['weighs'][] = ['do-not-dig', 'lead-away', 'unknown', 'watch', 'holds']
  const sorted = order.flatMap(weight => reasons.filter(({ weighs }) => weighs === weight))
  const first = sorted[0]?.weighs
  return {
    answer: first === 'do-not-dig' || first === 'lead-away' || first === 'unknown' ? first : 'soak',
    reasons: sorted,
    credited,
    emptying_h,
    emptyWithin_h,
    neededIntake_mmh,
    neededTest_mmh: neededIntake_mmh * TEST_SAFETY_FACTOR,
    pits: { dug: pits.length, ...counts },
    clearance: { water, mottling, rock, limit_m: CLEARANCE_BELOW_BED_m },
    ponding: byCrumbs,
    earthSill: byCrumbs,
    cracking: crackVerdict(pits, record.sightings),
  }
}

/** The answer as a verdict: `soak` holds, or asks to watch where something was said against it. */
export function soilVerdict({ answer, reasons }: Pick<SoilDecision, 'answer' | 'reasons'>): Verdict {
  if (answer === 'unknown') return 'unknown'
  if (answer !== 'soak') return 'fails'
  return reasons.some(({ weighs }) => weighs === 'watch') ? 'watch' : 'holds'
}

type Say = (code: string, weighs: SoilReason['weighs'], values: SoilReason['values'], source: string, pit?: SoilPit | null) => void

interface Placed {
  readonly pit: SoilPit
  readonly away_m: number
  readonly chainage_m: number | null
}

/** Without a line a pit is taken to lie on it: whoever asks has chosen the pits. */
function alongLine({ at, chainage_m }: SoilPit, line: readonly Point[] | undefined): Omit<Placed, 'pit'> {
  if (at === null || line === undefined) return { away_m: 0, chainage_m }
  const nearest = nearestOnPath(line, at)
  return { away_m: nearest.distance_m, chainage_m: nearest.chainage_m }
}

function pitCounts(near: readonly Placed[], { lineLength_m, line }: SoilPlan): Omit<SoilDecision['pits'], 'dug'> {
  const wantedFewest = Math.ceil(lineLength_m / PIT_SPACING_m.most - 1e-9)
  const wantedBest = Math.ceil(lineLength_m / PIT_SPACING_m.best - 1e-9)
  const places = near.map(p => p.chainage_m)
  if (places.includes(null) || (line === undefined && places.length === 0)) return { wantedFewest, wantedBest, longestWithout_m: null }
  const marks = [0, ...(places as number[]).sort((a, b) => a - b), lineLength_m]
  return { wantedFewest, wantedBest, longestWithout_m: Math.max(...marks.slice(1).map((mark, k) => mark - marks[k]!)) }
}

function clearanceOf(pits: readonly SoilPit[], bedDepth_m: number, met: (pit: SoilPit) => DepthMet): Clearance {
  const told = pits.flatMap(pit => {
    const depth = met(pit)
    if (depth === null) return []
    return [{ clearance_m: (depth === 'none' ? pit.depth_m : depth) - bedDepth_m, seen: depth !== 'none' }]
  })
  const least = told.reduce<(typeof told)[number] | null>((low, t) => (low === null || t.clearance_m < low.clearance_m ? t : low), null)
  return { measured_m: least?.clearance_m ?? null, atLeast: least !== null && !least.seen }
}

/** Water, mottling and rock of one pit against the clearance below the bed. */
function sayClearance(say: Say, pit: SoilPit, bedDepth_m: number): void {
  const metThings = { water: pit.waterDepth_m, mottling: firstMottling_m(pit), rock: pit.rockDepth_m }
  const limit_m = CLEARANCE_BELOW_BED_m
  let held = true
  let reached = true
  for (const [thing, met] of Object.entries(metThings)) {
    if (met === null) {
      say(`soil/${thing}-not-noted`, 'unknown', { wanted_m: bedDepth_m + PIT_BELOW_BED_m }, MINNESOTA, pit)
      held = false
    } else if (met !== 'none') {
      const values = { depth_m: met, bedDepth_m, clearance_m: met - bedDepth_m, limit_m }
      if (met - bedDepth_m >= limit_m - 1e-9) continue
      held = false
      // A bed under water or in rock is no ditch; mottled soil is dry for part of the year.
      const above = thing !== 'mottling' && met <= bedDepth_m
      say(`soil/${thing}-${above ? 'above-bed' : 'near'}`, above ? 'do-not-dig' : 'lead-away', values, above ? JUDGEMENT : MINNESOTA, pit)
    } else if (pit.depth_m - bedDepth_m < limit_m - 1e-9) reached = false
  }
  // A pit that rock or water has stopped needs no more depth.
  const stopped = typeof pit.rockDepth_m === 'number' || typeof pit.waterDepth_m === 'number'
  if (!reached && !stopped)
    say('soil/pit-too-shallow', 'unknown', { depth_m: pit.depth_m, wanted_m: bedDepth_m + PIT_BELOW_BED_m }, PRACTICE, pit)
  else if (held && reached) say('soil/clearance-holds', 'holds', { limit_m, bedDepth_m }, MINNESOTA, pit)
}

const CLAYS = MINNESOTA_RATES.find(({ soil }) => soil === 'D')!.textures
const isClay = (texture: Texture | null): boolean => texture !== null && CLAYS.includes(texture)

type Layer = SoilPit['layers'][number]

/** Layers that the water has to pass: from the bed down to the clearance. */
const layersBelowBed = ({ layers }: SoilPit, bedDepth_m: number): readonly Layer[] =>
  layers.filter(({ from_m, to_m }) => to_m > bedDepth_m + 1e-9 && from_m < bedDepth_m + CLEARANCE_BELOW_BED_m - 1e-9)

/** Sand is unfit for the crumb test and cannot disperse for want of clay. */
const crumbsNeeded = (layers: readonly Layer[]): boolean =>
  layers.length === 0 || layers.some(({ texture }) => texture !== 'sand' && texture !== 'loamy-sand')

/** The worst pit decides; without pits, or with one not tested, nobody knows. */
function crumbVerdict(crumbs: readonly SoilPit['crumbTest'][]): Verdict {
  if (crumbs.includes('halo')) return 'fails'
  if (crumbs.length === 0 || crumbs.includes(null) || crumbs.includes('slight-halo')) return 'unknown'
  return crumbs.includes('slaking') ? 'watch' : 'holds'
}

const crackVerdict = (pits: readonly SoilPit[], seen: readonly Sighting[]): Verdict =>
  pits.some(({ cracks }) => cracks === true) || seen.some(({ kind }) => kind === 'cracked-clay')
    ? 'watch'
    : pits.length === 0 || pits.some(({ cracks }) => cracks === null)
      ? 'unknown'
      : 'holds'

/** Texture, crumbs and cracks of one pit. */
function saySoil(say: Say, pit: SoilPit, layers: readonly Layer[], { bedDepth_m, groundSlope_ratio }: SoilPlan): void {
  const atBed = layers.find(({ from_m }) => from_m <= bedDepth_m + 1e-9)
  if (atBed === undefined || layers.some(({ texture }) => texture === null))
    say('soil/texture-not-noted', 'unknown', { bedDepth_m }, JUDGEMENT, pit)
  const pan = layers.find(({ from_m, texture }) => from_m > bedDepth_m + 1e-9 && isClay(texture))
  if (pan !== undefined && atBed !== undefined && atBed.texture !== null && !isClay(atBed.texture))
    say('soil/clay-below-bed', 'watch', { depth_m: pan.from_m, below_m: pan.from_m - bedDepth_m, texture: pan.texture }, JUDGEMENT, pit)
  const slope = groundSlope_ratio ?? null
  if (slope !== null && slope > STEEP_CLAY_ratio && pit.layers.some(({ texture }) => isClay(texture)))
    say('soil/steep-clay', 'do-not-dig', { slope_ratio: slope, limit_ratio: STEEP_CLAY_ratio }, JUDGEMENT, pit)
  if (pit.crumbTest === 'halo') say('soil/dispersive', 'lead-away', {}, CRUMB, pit)
  else if (pit.crumbTest === 'slight-halo') say('soil/slightly-dispersive', 'unknown', {}, CRUMB, pit)
  else if (pit.crumbTest === null && crumbsNeeded(layers)) say('soil/crumbs-not-tested', 'unknown', {}, CRUMB, pit)
  else if (pit.crumbTest === 'slaking') say('soil/slakes', 'watch', {}, CRUMB, pit)
  if (pit.cracks === true) say('soil/cracks', 'watch', {}, JUDGEMENT, pit)
}

/** Intake of the tests made at the bed or in what lies below it; others are told and left out. */
function countedTests(pit: SoilPit, bedDepth_m: number, say: Say): number[] {
  return pit.tests.flatMap(({ depth_m, reading }) => {
    const intake_mmh = readIntake_mmh(reading)
    if (depth_m !== null && depth_m >= bedDepth_m - TEST_ABOVE_BED_m - 1e-9 && depth_m <= bedDepth_m + CLEARANCE_BELOW_BED_m + 1e-9)
      return [intake_mmh]
    say('intake/test-not-at-bed', 'watch', { depth_m, bedDepth_m, intake_mmh }, JUDGEMENT, pit)
    return []
  })
}

/** Whether the credited intake empties the ditch in time, and whether more tests could change that. */
function saySoak(
  say: Say,
  known: {
    readonly tests_mmh: readonly number[]
    readonly worst: Texture | null
    readonly credited: CreditedIntake
    readonly emptying_h: number | null
    readonly emptyWithin_h: number
    readonly neededIntake_mmh: number
  },
): void {
  const { tests_mmh, worst, credited, emptying_h, emptyWithin_h, neededIntake_mmh } = known
  if (credited.intake === null || emptying_h === null) {
    say('intake/unknown', 'unknown', { tests: tests_mmh.length, wantedTests: FEWEST_TESTS }, JUDGEMENT)
    return
  }
  const values = {
    intake_mmh: credited.intake.value,
    needed_mmh: neededIntake_mmh,
    neededTest_mmh: neededIntake_mmh * TEST_SAFETY_FACTOR,
    emptying_h,
    limit_h: emptyWithin_h,
    tests: tests_mmh.length,
    wantedTests: FEWEST_TESTS,
    because: credited.because,
  }
  const { source } = credited.intake
  if (emptying_h <= emptyWithin_h * (1 + 1e-9)) {
    say('soak/in-time', 'holds', values, source)
    return
  }
  // Three tests stand as they are. With fewer, more of them may show the best that is published, but never more than half the slowest made.
  const best_mmh =
    credited.because === 'intake/half-slowest-test' || worst === null
      ? credited.intake.value
      : Math.min(publishedIntake(worst).high_mmh, ...tests_mmh.map(test => test / TEST_SAFETY_FACTOR))
  if (best_mmh >= neededIntake_mmh) say('soak/tests-decide', 'unknown', { ...values, best_mmh }, source)
  else say('soak/too-slow', 'lead-away', values, source)
}
