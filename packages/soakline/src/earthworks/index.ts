export {
  crossSection,
  type Section,
  type SectionOptions,
  type SectionShape,
  sectionStorage_m2,
  waterWidth_m,
  wedgeDepth_m,
  wedgeStorage_m2,
  wedgeWidth_m,
} from './section.js'
export {
  type GradedDitch,
  gradedStorage_m3,
  keptDespiteFall_ratio,
  type LineStorage,
  type LineStorageOptions,
  lineStorage,
  lineStorage_m3,
} from './storage.js'
export {
  averageEndArea_m3,
  benchCut,
  constructionHeight_m,
  type EarthVolumes,
  earthVolumes,
  prismoidal_m3,
  SETTLEMENT,
  type SettlementConvention,
  SOIL_VOLUMES,
  type SourcedRange,
  taperingPrism,
} from './volumes.js'
