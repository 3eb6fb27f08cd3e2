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

  type AreaDoubt,
  areaDoubt,
  type BuildingDoubt,
  buildingDoubts,
  joinedRuns,
  visitedRings,
} from './doubt-answer.js'

export { upperBound_ratio } from './doubt-bound.js'
export type { BuildingRuns, Clearance } from './doubt-building.js'
export { type ErrorModel, errorField, MOST_CORRELATED_CELLS } from './doubt-error-field.js'
export {
  type DoubtOptions,
  type DoubtQuestion,
  type DoubtRuns,
  doubtRuns,
  doubtRunsSteps,
  type SpillRuns,
} from './doubt-runs.js'
export {
  OVERFLOW_LIMITS,
  OVERFLOW_REASONS,
  type OverflowJudgement,
  type OverflowLimits,
  type OverflowReason,
  overflowVerdict,
} from './doubt-verdict.js'
export { type DoubtWindow, MOST_WINDOW_CELLS, windowRound } from './doubt-window.js'
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
export {
  NO_GO_REASONS,
  type NoGoGround,
  type NoGoLimits,
  type NoGoReason,
  type NoGoStretch,
  noGoAlong,
  noGoGround,
  noGoRings,
  reasonsOf,
} from './no-go.js'
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
export { type DugScratch, type DugSpread, type DugWay, dugScratch, spreadAsDug, wayAsDug } from './way-as-dug.js'
