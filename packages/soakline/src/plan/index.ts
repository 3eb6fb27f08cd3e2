export {
  type AsBuilt,
  type AsBuiltOptions,
  type AsBuiltRemark,
  asBuilt,
  type BuiltReading,
  type LowSpot,
  type ReadingAgainstPlan,
} from './as-built.js'
export { type AssessOptions, assess, type Site, type SiteOptions, sectionAt, siteOf } from './assess.js'
export { type AssessFullyOptions, assessFully, assessFullySteps } from './assess-fully.js'
export type { Assessment, MeasuredStorm, SpillAnswer, StormAnswer } from './assessment.js'
export {
  CLEAN_AT_ratio,
  cleanAt_m,
  compareStorm,
  DO_NOT,
  IN_STORM,
  INSPECTION_LIST,
  INSPECTION_TIMES,
  type InspectionCode,
  type InspectionTime,
  type LoggedStorm,
  type StormCard,
  type StormCompared,
  type StormPredicted,
  stormCard,
  stormLogFrom,
  stormLogSchema,
  stormPredicted,
} from './care.js'
export { type Cascade, cascadeOf, type DitchOfCascade } from './cascade.js'
export { COMPARED, type ComparedBy, type ComparedDesigns, type ComparedRow, type ComparedSpill, compareDesigns } from './compare.js'
export type { CutSide } from './cut-sides.js'
export {
  type Cost,
  CROSSERS,
  CROSSING_SIZES,
  type Crosser,
  type Crossing,
  DIG_PHASES,
  DIG_TOOLS,
  type DigOptions,
  type DigPhase,
  type DigPhaseCode,
  type DigPlan,
  type DigStretch,
  type DigTool,
  digPlan,
  RAIN_AFTER_PHASE,
  type RainAfterPhase,
  type Rates,
} from './digging.js'
export { type DitchBuilt, ditchBuilt } from './ditch-built.js'
export { type DugView, dugView } from './dug-view.js'
export type { Earth } from './earth.js'
export { type FieldPapers, fieldPapers, type NotableSection } from './field-papers.js'
export {
  behindFrame_m,
  FIELD_TOOLS,
  type FieldReading,
  fullDepth_m,
  knownBed_m,
  levelRead_m,
  plannedLevel_m,
  type ReadAtStake,
  readAtStake,
  readingAt,
  readingFor_m,
  withReading,
} from './field-reading.js'
export { groundFit } from './findings.js'
export type { GatheringTime } from './gathering-time.js'
export { type GroundAnswers, groundAnswers } from './ground-answers.js'
export type { CatchmentCover } from './ground-cover.js'
export {
  GRID_NAMES,
  GROUND_GRIDS,
  type GridName,
  type GridSource,
  gridNamed,
  LINE_GRIDS,
  type NamedGrid,
} from './ground-grids.js'
export type { GroundInside } from './ground-inside.js'
export {
  builtAgainstPlan,
  type GroundWork,
  type GroundWorkInput,
  groundWork,
  type Levelling,
  type StormRow,
  settingsAsBuilt,
  type VerdictChanged,
  verdictsChanged,
} from './ground-work.js'
export { careSchema, diggingSchema, plantingSchema, stakesSchema } from './ground-work-schemas.js'
export { JOB_STEPS, type JobStep, jobSteps, type StepStanding } from './job-steps.js'
export { beside, type LaidLine, type LaidPlace, laidAt, laidLine } from './laid-line.js'
export {
  A_FRAME,
  type AFrame,
  type AFrameError,
  type AFrameFall,
  aFrameError,
  aFrameFall,
  aFrameTally,
  allowedMisclosure_m,
  type BookReading,
  type BookRow,
  calibratedAFrame,
  LEVEL_TOOLS,
  type LevelBook,
  levelBook,
  MISCLOSURE,
  type StaffReadings,
  staffReadings,
  type TallyRow,
  type WaterLevelOptions,
  type WaterLevelSheet,
  waterLevelSheet,
} from './levelling.js'
export type { DitchStake, LineDitch, LineGround, LineSection } from './line-ditch.js'
export { NOT_LOOKED_AT, type NotLookedAt, notLookedAt } from './not-looked-at.js'
export { type OwnFix, ringOnEarth, stepOnEarth, type WayToStake, wayToStake, windOf } from './own-position.js'
export {
  emptyPlan,
  type Place,
  type Plan,
  type PlanDesign,
  type PlanFeature,
  type PlanHollow,
  type PlanLine,
  planSchema,
  readPlan,
  writePlan,
} from './plan-file.js'
export { dailyRainOf, measuredStormOf } from './plan-rain.js'
export {
  DEEP_DRAINAGE_m,
  MATCH_REASONS,
  type MatchReason,
  matchPlants,
  type Plant,
  type PlantMatch,
  type PlantNeeds,
  plantsFrom,
  plantsSchema,
  SETTLING_REASONS,
  STARTER_PLANTS,
} from './plant-list.js'
export {
  hedgeSpacing,
  PLANT_SPACING_m,
  PLANT_ZONES,
  type PlantingRow,
  type PlantOptions,
  type PlantZone,
  type PlantZoneCode,
  plantDensity_m2,
  plantingRows,
  plantsInRow,
  plantZones,
  rowsIn,
  type ZoneConditions,
} from './planting.js'
export { refuseScreeningOnly, type ScreeningReason, screeningOnly } from './screening-only.js'
export { defaultSettings, MAY_I, SETTINGS, type SettingEntry, type Settings, settingsFrom, settingsSchema } from './settings.js'
export type { BookRecord, BuiltRecord, SiteRecords, WantedCrossing } from './site-records.js'
export type { Soaking } from './soaking.js'
export { spillInUse, spillPlace_m } from './spill-place.js'
export type { Spillway } from './spillway.js'
export { type Stage, stageAt, stagesOf } from './stages.js'
export { STAKE_KINDS, type Stake, type StakeKind, type StakeOptions, stakesOf } from './stakes.js'
export { statedStorm } from './stated-storm.js'
export { busyHours, judgedLevels, type StormHour, soakRates_m3s, stormAt, stormLength_h, stormShares } from './storm-hours.js'
export { type Sunlight, sunlight } from './sunlight.js'
export { CHANGES, type Change, type Influence, whatMatters, whatMattersSteps } from './what-matters.js'
