export {
  BREACH_BELOW,
  type BreachAnswer,
  type BreachBelow,
  type BreachOptions,
  type BreachStake,
  type BreachWater,
  breachesAlong,
  breachesAlongSteps,
} from './breach-along.js'
export {
  ASSUMED_STORM,
  CANDIDATE_REASONS,
  type Candidate,
  type CandidateReason,
  type CandidateReasonCode,
  type StatedStorm,
  type WorkedLine,
} from './candidate.js'
export type { CandidateDitch } from './candidate-ditch.js'
export { CANDIDATE_LIMITS, type CandidateLimits, candidateLimits } from './candidate-limits.js'
export type { RuledOutBy } from './candidate-runs.js'
export { HEADINGS, type Heading, type LineSpill } from './candidate-spill.js'
export { type CandidateSearch, type CandidateSite, candidateLines, candidateLinesSteps, type DroppedBy } from './candidates.js'
export { type AreaDoubt, areaDoubt, type BuildingDoubt, buildingDoubts, joinedRuns, visitedRings } from './doubt-answer.js'
export { upperBound_ratio } from './doubt-bound.js'
export type { BuildingRuns, Clearance } from './doubt-building.js'
export { type ErrorModel, errorField, MOST_CORRELATED_CELLS } from './doubt-error-field.js'
export { type DoubtWindow, MOST_WINDOW_CELLS, windowRound } from './doubt-extent.js'
export {
  type DoubtOptions,
  type DoubtQuestion,
  type DoubtRuns,
  doubtRuns,
  doubtRunsSteps,
  type SpillRuns,
} from './doubt-runs.js'
export {
  atTwiceTheError,
  OVERFLOW_LIMITS,
  OVERFLOW_REASONS,
  type OverflowJudgement,
  type OverflowLimits,
  type OverflowReason,
  overflowVerdict,
} from './doubt-verdict.js'
export { drawnWorks } from './drawn-works.js'
export {
  belowBerm,
  beyondEnd,
  type DugGround,
  type DugGroundOptions,
  type DugWindow,
  dugGround,
  dugGroundSteps,
  dugHeight_m,
} from './dug-ground.js'
export { FEATURE_KINDS, type FeatureKind, type SiteFeature } from './feature.js'
export { depthAtChainage_m, type FlowGround, type FlowOptions, type FlowOver, type FlowStation, flowAlong } from './flow-along.js'
export type { FlowBeside } from './flow-beside.js'
export type { GroundLayers } from './ground-layers.js'
export type { GroundRead } from './ground-reasons.js'
export { infiniteSlopeFactor, type SlopeSoil, steepestStable_ratio } from './infinite-slope.js'
export { type LineBelow, linesBelow, usualDrop_m } from './lines-below.js'
export { FLOW_DEPTH_m, HEIGHT_MATTERS_m } from './near-building.js'
export { type NoGoGround, type NoGoMemory, type NoGoOptions, noGoGround, noGoGroundSteps, noGoMemory } from './no-go.js'
export { cautionsAlong, type NoGoChange, type NoGoStretch, noGoAlong, noGoChange, noGoRings } from './no-go-along.js'
export {
  GROUND_LIMITS,
  type GroundLimits,
  groundLimits,
  type LimitEntry,
  NO_GO_LIMITS,
  type NoGoLimits,
  type SetbackLimits,
} from './no-go-limits.js'
export { CAUTION_BITS, CAUTIONS, NO_GO_REASONS, type NoGoReason, reasonsOf } from './no-go-reasons.js'
export {
  OUTLET_REFUSALS,
  type OutletOptions,
  type OutletPlace,
  type OutletRefusal,
  type OutletSearch,
  outletPlaces,
  outletPlacesSteps,
} from './outlet-places.js'
export { type BuildingNear, type Overflow, overflowFrom, type PathEnd, streamCells } from './overflow.js'
export { type DugOverflow, type DugOverflowOptions, overflowAsDug } from './overflow-as-dug.js'
export { flowGround, forestRun_m, type OverflowInFull, type OverflowInFullOptions, overflowInFull } from './overflow-in-full.js'
export { PASSED_KINDS, type PassedBy, type PassedKind, type Passing, passedBy } from './passed-by.js'
export { type SpillChoice, type SpillChoiceOptions, type SpillPlace, spillChoice, spillChoiceSteps } from './spill-choice.js'
export {
  SPILL_REASONS,
  type SpillFacts,
  type SpillLimits,
  type SpillReason,
  type SpillReasonCode,
  type SpillReasonEntry,
  spillReasonsOf,
  spillWeight,
} from './spill-reasons.js'
export {
  type RuleSpacing,
  SPACING_RULES,
  type SpacingRuleName,
  storageSpacing_m,
  type VerticalIntervals,
  verticalIntervals,
} from './vertical-interval.js'
export { type DugScratch, type DugSpread, type DugWay, dugScratch, spreadAsDug, wayAsDug } from './way-as-dug.js'
