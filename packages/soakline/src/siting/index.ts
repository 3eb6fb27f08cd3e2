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
export { drawnWorks } from './drawn-works.js'
export { FEATURE_KINDS, type FeatureKind, type SiteFeature } from './feature.js'
export type { GroundLayers } from './ground-layers.js'
export { infiniteSlopeFactor, type SlopeSoil, steepestStable_ratio } from './infinite-slope.js'
export { type NoGoGround, type NoGoMemory, type NoGoOptions, noGoGround, noGoGroundSteps, noGoMemory } from './no-go.js'
export { cautionsAlong, type NoGoChange, type NoGoStretch, noGoAlong, noGoChange, noGoRings } from './no-go-along.js'
export { GROUND_LIMITS, type GroundLimits, groundLimits, type LimitEntry, type NoGoLimits, type SetbackLimits } from './no-go-limits.js'
export { CAUTION_BITS, CAUTIONS, NO_GO_REASONS, type NoGoReason, reasonsOf } from './no-go-reasons.js'
export { type BuildingNear, type Overflow, overflowFrom, type PathEnd, streamCells } from './overflow.js'
export {
  type RuleSpacing,
  SPACING_RULES,
  type SpacingRuleName,
  storageSpacing_m,
  type VerticalIntervals,
  verticalIntervals,
} from './vertical-interval.js'
