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
