export {
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
export { FEATURE_KINDS, type FeatureKind, type SiteFeature } from './feature.js'
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
export { type BuildingNear, type Overflow, overflowFrom, type PathEnd, streamCells } from './overflow.js'
