export { backwater, type DitchPlace, type DitchWater, evenDitch } from './backwater.js'
export { type BermCover, bermCover, DEEPEST_MULCH_m } from './berm-cover.js'
export { bowlPerimeterShort_m } from './bowl-perimeter.js'
export { type SuddenBreach, suddenBreach } from './breach.js'
export { type BreachOntoWater, breachOntoWater } from './breach-onto-water.js'
export { type CascadeDitch, type CascadeOptions, type CascadeRouting, routeCascade } from './cascade.js'
export { arcRadius_m, bankDepth_m, type ChannelShape, type Wetted, wetted } from './channel-shape.js'
export { checkSpacing_m, type FallingDitch, fallingStorage_m3, storageWithChecks_m3 } from './check-banks.js'
export { DESIGN_RECURRENCES, type DesignRecurrence } from './design-recurrence.js'
export { type Ditch, type DitchWaterLevel, ditchChannel, ditchWater, soakLevels } from './ditch-water.js'
export { type BermShape, type CutShape, type DugSection, drawnToDepth, dugSection } from './dug-section.js'
export { type EarthAlong, type EarthBalance, earthAlong, earthBalance } from './earth-along.js'
export { type EarthVolumes, earthVolumes, SOIL_VOLUMES, type SourcedRange } from './earth-volumes.js'
export {
  criticalSlope_ratio,
  criticalVelocity_ms,
  EXIT_COVERS,
  type ExitCheck,
  type ExitCover,
  type ExitOptions,
  exitChecks,
} from './exit-slope.js'
export { channelFreeboard_m, PUBLISHED_FREEBOARDS } from './freeboard.js'
export { type GradedDrain, type GradedDrainDesign, gradedDrain } from './graded-drain.js'
export { type GradedDitch, gradedStorage_m3, keptDespiteFall_ratio } from './graded-storage.js'
export { type DugLine, type DugOptions, type DugProfile, type DugStake, groundAsDug } from './ground-as-dug.js'
export { type HeldOnGround, heldOnGround } from './held-on-ground.js'
export {
  BARROW_m3h,
  type Bucket,
  DEEPEST_BY_HAND_m,
  DIG_SOILS,
  type DigSoil,
  EXCAVATOR_m3h,
  ILO_NORM_m3d,
  INDIA_NORM_m3d,
  type LabourDays,
  type LabourOptions,
  machineHours,
  PIT_BY_HAND_m3h,
  personDays,
  TRENCH_BY_HAND_m3h,
} from './labour.js'
export { BARE_SOIL_OF, LEAST_DRAIN_FALL_ratio, type LeadAwayDrain, type LeadAwayOptions, leadAwayDrain } from './lead-away.js'
export {
  LIP_TOLERANCE_m,
  SPREADER_LENGTHS_m,
  SPREADER_RULES,
  type SpreaderLength,
  type SpreaderRule,
  type SpreaderRuleName,
  spreaderLengths,
} from './level-spreader.js'
export { type LineIntake, type LinePoolOptions, linePool } from './line-pool.js'
export {
  BARE_SOILS,
  type BareSoil,
  bareVelocity,
  GRASS_VELOCITY_fts,
  type GrassCover,
  type GrassRule,
  grassShear,
  grassVelocity,
  NON_SCOUR_fts,
  nonScourVelocity,
  overtoppedBermVelocity,
  type ScourMaterial,
  type SoilResistance,
  stoneShear,
} from './permissible.js'
export {
  type Gap,
  type Inflow,
  type Pool,
  type PoolLevel,
  type PoolOptions,
  type PoolRouting,
  routeFull,
  routePool,
  storageAt_m3,
} from './pool.js'
export { cubeRoot, fifthRoot, powerByRoots, threeHalvesPower, twoThirdsPower } from './roots.js'
export {
  grassRoughness,
  RETARDANCE_INDEX,
  type RetardanceClass,
  ROUGHNESS,
  type Roughness,
  type RoughSurface,
  retardanceClass,
} from './roughness.js'
export {
  crossSection,
  cutArea_m2,
  type Section,
  type SectionOptions,
  type SectionShape,
  sectionStorage_m2,
  waterWidth_m,
  wedgeDepth_m,
  wedgeStorage_m2,
  wedgeWidth_m,
} from './section.js'
export { constructionHeight_m, SETTLEMENT, type SettlementConvention } from './settlement.js'
export {
  type LineStorage,
  type LineStorageOptions,
  lineStorage,
  lineStorage_m3,
} from './storage.js'
export { storageShare_ratio, triangularStorage_m3 } from './storage-estimate.js'
export { type RatingRow, storageIndication } from './storage-indication.js'
export {
  type Channel,
  criticalDepth_m,
  froude,
  GRAVITY_ms2,
  normalDepth_m,
  type SheetFlow,
  sheetFlow,
  steepestForSheet_ratio,
  type UniformFlow,
  uniformFlow,
  WATER_Nm3,
} from './uniform-flow.js'
export { V_NOTCH_90, vNotchFlow_m3s } from './v-notch.js'
export { averageEndArea_m3, benchCut, prismoidal_m3, taperingPrism } from './volumes.js'
export { type StakeWater, type WaterAtStakes, waterAtStakes } from './water-at-stakes.js'
export {
  BROAD_CREST_IDEAL,
  broadCrestCoefficient,
  GRASS_SILL,
  levelForFlow_m,
  sillHead_m,
  sillLength_m,
  submergence_ratio,
  TRIANGULAR_CREST_IDEAL,
  type TwoStageLengths,
  tiltedLip_ratio,
  twoStageLengths,
  type Weir,
  weirFlow_m3s,
  weirsFlow_m3s,
} from './weir.js'
