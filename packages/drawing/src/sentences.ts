import { type Finding, type Verdict, type Warning, worstVerdict } from 'soakline/foundation'
import type { SoilReason } from 'soakline/hydrology'
import type { Assessment, CutSide } from 'soakline/plan'
import { distance_m, distanceToSegment, type Point } from 'soakline/raster'
import { type OutletRefusal, SPILL_REASONS, type SpillReason, type SpillReasonCode } from 'soakline/siting'
import { english, type Words } from './english.js'
import { plainText } from './escape-text.js'
import { factsIn, factsOfDetails, factsOfFinding } from './facts.js'
import { formatHeight, formatLength, measuresOf } from './measures.js'
import { spanish } from './spanish.js'
import { type Say, type Sentence, saying } from './templates.js'
import { inLanguage, type Voice } from './voice.js'
import { OUTLET_REFUSAL_WORDS, SPILL_REASON_WORDS } from './words-of-siting.js'

/** The dictionary of a voice. */
export const wordsOf = (voice: Voice): Words => inLanguage(voice, { en: english, es: spanish })

/** A word of a table by its code; a code that the table does not know shows itself, never nothing. */
function look(table: Readonly<Record<string, string>>, code: string): string {
  return Object.hasOwn(table, code) ? table[code]! : plainText(code)
}

/** A source as the library gives it, with its few standing phrases in the reader's language. */
export function saySource(source: string, voice: Voice): string {
  let said = plainText(source)
  for (const [phrase, word] of Object.entries(wordsOf(voice).sourceWord)) said = said.replaceAll(phrase, word)
  return said
}

const sayOf = (table: Readonly<Record<string, Say>>, code: string): Say | null => (Object.hasOwn(table, code) ? table[code]! : null)
const sentenceOf = (table: Readonly<Record<string, Sentence>>, code: string): Sentence | null =>
  Object.hasOwn(table, code) ? table[code]! : null

/** One of the four verdicts, in words. */
export const sayVerdict = (verdict: Verdict, voice: Voice): string => wordsOf(voice).verdict[verdict]
/** The question that a check answers. */
export const sayCheck = (check: string, voice: Voice): string => look(wordsOf(voice).check, check)
/** Why no swale should go somewhere, or what speaks for or against a place to spill: a reason of a finding. */
export const sayReason = (reason: string, voice: Voice): string => {
  const words = wordsOf(voice)
  return look(Object.hasOwn(words.reason, reason) ? words.reason : words.spillReason, reason)
}
/** What speaks for or against a place to spill. */
export const saySpillReason = (reason: string, voice: Voice): string => look(wordsOf(voice).spillReason, reason)
/** The same with the number behind it. */
export function sayMeasuredSpillReason(
  reason: Pick<SpillReason, 'measured' | 'limit' | 'unit'> & { readonly code: string },
  voice: Voice,
): string {
  const sentence = sentenceOf(SPILL_REASON_WORDS, reason.code)
  return sentence ? saying(sentence, voice.language)(factsIn({}, reason), measuresOf(voice)) : saySpillReason(reason.code, voice)
}
/** Why ground was left out where an outlet was looked for. */
export const sayOutletRefusal = (code: OutletRefusal, voice: Voice): string => OUTLET_REFUSAL_WORDS[code][voice.language]
/** How the way of the water ends, as the end of a sentence. */
export const sayPathEnd = (end: string, voice: Voice): string => look(wordsOf(voice).pathEnd, end)
/** The sentence of one reason that pits, tests and walk give. */
export function saySoilReason({ code, values, pit }: Pick<SoilReason, 'code' | 'values' | 'pit'>, voice: Voice): string {
  const words = wordsOf(voice)
  const say = sayOf(words.because, code)
  return say ? say(factsOfDetails({ ...values, pit }), measuresOf(voice)) : words.codeUnknown(plainText(code))
}
/** What a kind of feature is called. */
export const sayFeature = (kind: string, voice: Voice): string => look(wordsOf(voice).feature, kind)

/** The sentence of a finding. Reasons in its details (codes joined by commas) are said too. */
export function sayFinding(finding: Finding, voice: Voice): string {
  const words = wordsOf(voice)
  const say = sayOf(words.because, finding.because)
  if (say === null) return words.codeUnknown(plainText(finding.because))
  return say(factsOfFinding(withReasonsSaid(finding, voice)), measuresOf(voice))
}

/** What to do next about a finding. */
export function sayNext(finding: Finding, voice: Voice): string {
  const words = wordsOf(voice)
  const say = sayOf(words.next, finding.because)
  return say === null ? words.nextUnknown : say(factsOfFinding(finding), measuresOf(voice))
}

/** The sentence of a remark on an input; a code without a sentence is shown with its values. */
export function sayWarning(warning: Warning, voice: Voice): string {
  const words = wordsOf(voice)
  const say = sayOf(words.warning, warning.code)
  if (say !== null) return say(factsOfDetails(warning.details), measuresOf(voice))
  const details = Object.entries(warning.details).map(([key, value]) => `${key} = ${value}`)
  return words.warningUnknown(plainText(warning.code), plainText(details.join(', ')))
}

function withReasonsSaid(finding: Finding, voice: Voice): Finding {
  const codes = finding.details.reasons
  if (typeof codes !== 'string') return finding
  const reasons = codes
    .split(',')
    .map(code => code.trim())
    .filter(code => code !== '')
  const said = wordsOf(voice).list(reasons.map(code => sayReason(code, voice)))
  return { ...finding, details: { ...finding.details, reasons: said, ...saySides(reasons, voice) } }
}

/** Reasons of a place to spill, what speaks against it and what speaks for it, each joined. */
function saySides(codes: readonly string[], voice: Voice): { readonly against: string; readonly inFavor: string } {
  const isFor = (code: string): boolean =>
    code === 'gentle-exit' || (Object.hasOwn(SPILL_REASONS, code) && SPILL_REASONS[code as SpillReasonCode].side === 'for')
  const joined = (some: readonly string[]): string => some.map(code => sayReason(code, voice)).join('; ')
  return { against: joined(codes.filter(code => !isFor(code))), inFavor: joined(codes.filter(isFor)) }
}

/** The three questions that every page answers. */
export const QUESTIONS = ['ridge', 'spill', 'building'] as const
/** A question of `QUESTIONS`. */
export type Question = (typeof QUESTIONS)[number]

/** One of the three questions, answered. */
export interface Answer {
  readonly question: Question
  /** The question in words. */
  readonly title: string
  readonly verdict: Verdict
  /** One to five sentences. */
  readonly text: string
}

/** The three answers: which ridge drains here, where should it spill, will the overflow reach a building. */
export function sayAnswers(assessment: Assessment, voice: Voice): readonly Answer[] {
  const answer = (question: Question, verdict: Verdict, text: string): Answer => ({
    question,
    title: wordsOf(voice).question[question],
    verdict,
    text,
  })
  return [
    answer('ridge', verdictOf(assessment, 'catchment-complete'), ridgeText(assessment, voice)),
    answer('spill', spillVerdict(assessment), spillText(assessment, voice)),
    answer('building', verdictOf(assessment, 'overflow-misses-buildings'), buildingText(assessment, voice)),
  ]
}

/** The worst verdict of the findings of a check; unknown when the check was not made. */
function verdictOf(assessment: Assessment, check: string): Verdict {
  const found = assessment.findings.filter(f => f.check === check).map(f => f.verdict)
  return found.length === 0 ? 'unknown' : worstVerdict(found)
}

function ridgeText(assessment: Assessment, voice: Voice): string {
  const { answer, toward } = wordsOf(voice)
  const m = measuresOf(voice)
  const { area_m2, cutByEdge, cutSides, ridge } = assessment.catchment
  const parts = [answer.area(m.area(area_m2), cutByEdge)]
  const { path, bedElevation_m } = assessment.line
  if (ridge !== null && path.length > 0) {
    const near = nearestOn(path, ridge.highPoint)
    parts.push(
      answer.ridge(m.length(ridge.elevation_m - bedElevation_m), m.length(near.distance_m), toward[eighth(near.at, ridge.highPoint)]!),
    )
  } else if (!cutByEdge) parts.push(answer.noRidge)
  if (cutByEdge) parts.push(answer.ridgeAtEdge(saidSides(cutSides, voice), cutSides.includes('gap')))
  // A catchment that is whole, or cut off, is said already; any other doubt in it is not.
  const said = ['catchment/complete', 'catchment/cut-by-edge']
  for (const finding of assessment.findings)
    if (finding.check === 'catchment-complete' && !said.includes(finding.because)) parts.push(sayFinding(finding, voice))
  return parts.join(' ')
}

const saidSides = (sides: readonly CutSide[], voice: Voice): string | null => {
  const { toward, list } = wordsOf(voice)
  const said = sides.flatMap(side => (side === 'gap' ? [] : [toward[side]!]))
  return said.length === 0 ? null : list(said)
}

/** Whether a reason forbids to spill at a place. */
const forbids = (reason: string): boolean =>
  reason === 'near-septic' || (Object.hasOwn(SPILL_REASONS, reason) && SPILL_REASONS[reason as SpillReasonCode].side === 'forbids')

/** Reasons that ask for a look on site though they do not forbid. */
const ASK_TO_WATCH = ['passes-near-building', 'not-high-enough', 'crosses-track', 'short-forest-run', 'too-fast-grassed']

/** Beyond this a building is only named with its distance: how high it stands says nothing any more. Source: judgement. */
const FAR_M = 60

function spillVerdict(assessment: Assessment): Verdict {
  const best = ranked(assessment)[0]
  if (best === undefined) return 'fails'
  // Water newly led over the boundary is a neighbour's to allow, however gently it runs.
  if (best.path.reachesBuilding || best.path.endsIn === 'boundary' || best.reasons.some(forbids)) return 'fails'
  if (best.path.endsIn === 'hollow' || best.reasons.some(reason => ASK_TO_WATCH.includes(reason))) return 'watch'
  if (best.path.endsIn === 'edge' || best.path.endsIn === 'void') return 'unknown'
  // Where it ends well, the doubt about buildings remains its doubt.
  return verdictOf(assessment, 'overflow-misses-buildings') === 'holds' ? 'holds' : 'watch'
}

function spillText(assessment: Assessment, voice: Voice): string {
  const { answer } = wordsOf(voice)
  const [best, ...others] = ranked(assessment)
  if (best === undefined) return answer.noSpill
  const bad = spillVerdict(assessment) === 'fails'
  // The quick answer looks at the two ends; the whole one at every place along the line.
  const say = others.length > 1 ? (bad ? answer.spillAllBad : answer.spillAtBest) : bad ? answer.spillBad : answer.spillAt
  const parts = [
    say(sayPlace(assessment, best.chainage_m, voice), formatLength(best.path.length_m, voice), sayPathEnd(best.path.endsIn, voice)),
  ]
  const sides = saySides(best.reasons, voice)
  if (best.reasons.length > 0) parts.push(answer.spillWhy(sides.against, sides.inFavor))
  for (const other of others) {
    const { against, inFavor } = saySides(other.reasons, voice)
    if (other.reasons.length > 0) parts.push(answer.spillOther(sayPlace(assessment, other.chainage_m, voice), against, inFavor))
  }
  return parts.join(' ')
}

function buildingText(assessment: Assessment, voice: Voice): string {
  const { answer } = wordsOf(voice)
  const parts: string[] = []
  for (const { chainage_m, path } of ranked(assessment)) {
    parts.push(answer.flow(sayPlace(assessment, chainage_m, voice), formatLength(path.length_m, voice), sayPathEnd(path.endsIn, voice)))
    parts.push(sayPassing(path, voice))
  }
  if (parts.length === 0) parts.push(answer.noSpill)
  // What is not known, or is wrong for another reason, is said after the traced ways; the ways themselves are said already.
  const said = ['overflow/reaches-building', 'overflow/near-building', 'overflow/misses']
  for (const finding of assessment.findings)
    if (finding.check === 'overflow-misses-buildings' && (!said.includes(finding.because) || Object.hasOwn(finding.details, 'runs')))
      parts.push(sayFinding(finding, voice))
  return [...new Set(parts)].join(' ')
}

type SpillPath = Assessment['spills'][number]['path']

/** How near the way of the overflow comes to a building, or that it reaches one. */
export function sayPassing(path: SpillPath, voice: Voice): string {
  const { answer } = wordsOf(voice)
  const name = path.nearestBuildingName === null ? answer.aBuilding : plainText(path.nearestBuildingName)
  if (path.reachesBuilding) return answer.reaches(name)
  if (path.nearestBuilding_m === null) return answer.meetsNone
  if (path.nearestBuilding_m > FAR_M) return answer.far(name, formatLength(path.nearestBuilding_m, voice))
  const height = path.heightBelowFloor_m
  return answer.passes(
    name,
    formatLength(path.nearestBuilding_m, voice),
    height === null ? null : formatHeight(Math.abs(height), voice),
    (height ?? 0) >= 0,
  )
}

/** The spills, best first. */
export const ranked = (assessment: Assessment): Assessment['spills'][number][] => [...assessment.spills].sort((a, b) => a.rank - b.rank)

/** A place along the line in words: "the east end" when it is one. */
export function sayPlace(assessment: Assessment, chainage_m: number, voice: Voice): string {
  const words = wordsOf(voice)
  const { path, length_m } = assessment.line
  const first = path[0]
  const last = path[path.length - 1]
  const near = Math.max(0.5, 0.02 * length_m)
  if (first === undefined || last === undefined || distance_m(first, last) < near) return words.placeAlong(formatLength(chainage_m, voice))
  if (chainage_m <= near) return words.endOf[eighth(last, first)]!
  if (chainage_m >= length_m - near) return words.endOf[eighth(first, last)]!
  return words.placeAlong(formatLength(chainage_m, voice))
}

/** Eighths of a turn from north, clockwise, from one place to another. */
function eighth(a: Point, b: Point): number {
  const turn = Math.atan2(b[0] - a[0], b[1] - a[1]) / (2 * Math.PI)
  return ((Math.round(turn * 8) % 8) + 8) % 8
}

function nearestOn(path: readonly Point[], place: Point): { readonly distance_m: number; readonly at: Point } {
  let best = { distance_m: distance_m(path[0]!, place), at: path[0]! }
  for (let k = 1; k < path.length; k++) {
    const a = path[k - 1]!
    const b = path[k]!
    const { distance_m: d, t } = distanceToSegment(place, a, b)
    if (d < best.distance_m) best = { distance_m: d, at: [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])] }
  }
  return best
}
