import type { Assessment, SpillAnswer } from 'soakline/plan'
import { type BreachBelow, SPILL_REASONS, type SpillPlace, type SpillReasonCode } from 'soakline/siting'
import { plainText } from './escape-text.js'
import { formatArea, formatCount, formatFlow, formatHeight, formatLength, formatSlope, formatSpeed, formatVolume } from './measures.js'
import { ranked, sayFeature, sayMeasuredSpillReason, sayPlace } from './sentences.js'
import { sitingSheetWords } from './siting-sheet-words.js'
import type { Voice } from './voice.js'

type Breaches = NonNullable<Assessment['breaches']>

/** Stakes next to each other with the same thing below. */
export interface BreachStretch {
  readonly from_m: number
  readonly to_m: number
  readonly below: BreachBelow
  readonly name: string | null
}

/** The stakes grouped into stretches. Laws: they follow each other along the line, and each stake lies in one. */
export function breachStretches(breaches: Breaches): readonly BreachStretch[] {
  const stretches: BreachStretch[] = []
  for (const { chainage_m, below, nearestBuilding } of breaches) {
    const name = below === 'building' ? nearestBuilding : null
    const last = stretches[stretches.length - 1]
    if (last?.below === below && last.name === name) stretches[stretches.length - 1] = { ...last, to_m: chainage_m }
    else stretches.push({ from_m: chainage_m, to_m: chainage_m, below, name })
  }
  return stretches
}

/** One place tried as a spill, said. */
export interface SaidSpillPlace {
  readonly chainage_m: number
  readonly rank: number
  readonly place: string
  readonly forbids: readonly string[]
  readonly against: readonly string[]
  readonly inFavor: readonly string[]
  /** Whether it is the best place, or one for a second sill. */
  readonly note: string | null
}

/** All places tried as a spill, best first; null while they have not been tried. */
export function saySpillPlaces(assessment: Assessment, voice: Voice): readonly SaidSpillPlace[] | null {
  const choice = assessment.spillChoice
  if (!choice) return null
  const say = sitingSheetWords(voice)
  const said = ({ reasons }: SpillPlace, side: string): string[] =>
    reasons.filter(({ code }) => SPILL_REASONS[code as SpillReasonCode].side === side).map(reason => sayMeasuredSpillReason(reason, voice))
  return choice.places
    .map(
      (place, k): SaidSpillPlace => ({
        chainage_m: place.chainage_m,
        rank: place.rank,
        place: sayPlace(assessment, place.chainage_m, voice),
        forbids: said(place, 'forbids'),
        against: said(place, 'against'),
        inFavor: said(place, 'for'),
        note: k === choice.best ? say.best : k === choice.secondStage ? say.second : null,
      }),
    )
    .sort((a, b) => a.rank - b.rank)
}

/** How far the catchment moves over the tried terrains; null in a quick answer. */
export function sayAreaRange({ catchment }: Assessment, voice: Voice): string | null {
  const { low_m2, middle_m2, high_m2, runs } = catchment
  if (runs === undefined) return null
  const say = sitingSheetWords(voice)
  if (typeof low_m2 !== 'number' || typeof middle_m2 !== 'number' || typeof high_m2 !== 'number') return say.areaNotTried
  return say.area(formatArea(low_m2, voice), formatArea(middle_m2, voice), formatArea(high_m2, voice), formatCount(runs, voice))
}

/** Where the overflow went in the tried terrains, a text for each spill, best first; empty in a quick answer. */
export function sayTriedTerrains(assessment: Assessment, voice: Voice): readonly string[] {
  const say = sitingSheetWords(voice)
  return ranked(assessment).flatMap(({ chainage_m, path }) => {
    const { runs, reachedInRuns = 0, nearInRuns = 0, clearance_m, atMost_ratio, leftWindow = 0 } = path
    if (runs === undefined) return []
    const of = formatCount(runs, voice)
    const near = formatCount(nearInRuns, voice)
    return [
      [
        say.reached(sayPlace(assessment, chainage_m, voice), formatCount(reachedInRuns, voice), of),
        ...(clearance_m === undefined ? [] : [say.near(formatLength(clearance_m, voice), near, of)]),
        ...(typeof atMost_ratio === 'number' ? [say.stillAllows(formatSlope(atMost_ratio, voice), near, of)] : []),
        ...(leftWindow > 0 ? [say.left(formatCount(leftWindow, voice), of)] : []),
      ].join(' '),
    ]
  })
}

/** The overflow in full on its way, and what it passes; null where its flow is not known. */
export function sayOverflowWay(assessment: Assessment, voice: Voice): { readonly text: string; readonly passes: readonly string[] } | null {
  const flow = ranked(assessment).find(spill => spill.flow)?.flow
  if (!flow) return null
  const say = sitingSheetWords(voice)
  const known = (value: number | null, format: (value: number, voice: Voice) => string): string | null =>
    value === null ? null : format(value, voice)
  const text = [
    say.flow(formatFlow(flow.flow_m3s, voice), known(flow.deepest_m, formatHeight), known(flow.fastest_ms, formatSpeed)),
    ...(flow.inForest_m > 0 ? [say.inForest(formatLength(flow.inForest_m, voice))] : []),
  ].join(' ')
  return { text, passes: flow.passes.map(passed => sayPassed(passed, voice)) }
}

type Passed = NonNullable<SpillAnswer['flow']>['passes'][number]

/** A thing that the overflow passes, with its distance and how high it stands over the water. */
function sayPassed({ kind, name, chainage_m, distance_m, meets, heightAboveFlow_m, neededHeight_m }: Passed, voice: Voice): string {
  const say = sitingSheetWords(voice)
  const feature = sayFeature(kind, voice)
  const what = name === null ? feature : `${plainText(name)} (${feature})`
  const after = formatLength(chainage_m, voice)
  const parts = [meets ? say.runsOver(what, after) : say.passing(what, formatLength(distance_m, voice), after)]
  if (!meets && heightAboveFlow_m !== null) {
    parts.push((heightAboveFlow_m < 0 ? say.below : say.above)(formatHeight(Math.abs(heightAboveFlow_m), voice)))
    if (kind === 'building' && neededHeight_m !== null) parts.push(say.needed(formatHeight(neededHeight_m, voice)))
  }
  return parts.join('; ')
}

/** What lies below a broken berm: the stretches and the worst place; null while it has not been worked out. */
export function sayBreach(
  assessment: Assessment,
  voice: Voice,
): { readonly stretches: readonly string[]; readonly worst: readonly string[] } | null {
  const { breaches, worstBreach } = assessment
  if (breaches === undefined) return null
  const say = sitingSheetWords(voice)
  if (breaches === null) return { stretches: [], worst: [say.noBerm] }
  const lies = (below: BreachBelow, name: string | null): string => (name === null ? say.lies[below] : plainText(name))
  const stretches = breachStretches(breaches).map(({ from_m, to_m, below, name }) =>
    to_m > from_m
      ? say.stretch(formatLength(from_m, voice), formatLength(to_m, voice), lies(below, name))
      : say.stake(formatLength(from_m, voice), lies(below, name)),
  )
  const stake = worstBreach ? breaches[worstBreach.stake] : undefined
  if (stake === undefined) return { stretches, worst: [] }
  const { below, nearestBuilding, nearestBuilding_m, depth_m } = stake
  const worst = [
    say.worst(sayPlace(assessment, stake.chainage_m, voice), lies(below, below === 'building' ? nearestBuilding : null)),
    say.behind(formatVolume(stake.volume_m3, voice), formatFlow(stake.peak_m3s, voice)),
  ]
  if (nearestBuilding !== null && nearestBuilding_m !== null) {
    worst.push(say.distance(formatLength(nearestBuilding_m, voice), plainText(nearestBuilding)))
    if (depth_m !== null) worst.push(say.depthThere(formatHeight(depth_m, voice)))
  }
  return { stretches, worst }
}
