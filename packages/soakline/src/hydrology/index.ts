export { type AlternatingBlockOptions, alternatingBlockStorm, arrangedBlocks, depthIncrements_mm } from './alternating-block.js'
export { areaCatchment } from './area-catchment.js'
export type { Basins } from './basin-passes.js'
export { byFacets } from './by-facets.js'
export { type DayNumber, dateOfDay, dayNumber, dayOfDate, yearOfDay } from './calendar-day.js'
export { type Carving, type Cut, type CutLimits, carving, type NoCut } from './carving.js'
export { type Catchment, dependenceOn, lineCatchment, pointCatchment } from './catchment.js'
export { chanceOfInterval, chanceOverYears, type RainSeries } from './chance.js'
export {
  type AreaOptions,
  type CellWeights,
  contributingArea,
  contributingAreaBy,
  contributingAreaBySteps,
  contributingAreaSingle,
  contributingAreaSteps,
} from './contributing-area.js'
export { COVER_ROWS, COVERS, type CoverCondition, type CoverRow, curveNumber } from './cover-curve-number.js'
export {
  type CreditedIntake,
  creditedIntake,
  FEWEST_TESTS,
  type KnownSoil,
  TEST_SAFETY_FACTOR,
} from './credited-intake.js'
export { type CulvertPlace, culvertPlaces } from './culvert-places.js'
export {
  curveNumberAtRatio005,
  curveNumberOfRetention,
  LEAST_CURVE_NUMBER,
  LEAST_RUNOFF_mm,
  retention_mm,
  retentionFromStorm_mm,
  runoffLimits,
  stormRunoff_mm,
} from './curve-number.js'
export {
  type CurveNumberSpread,
  curveNumberSpread,
  type RunoffSpread,
  runoffSpread,
  type WetnessClass,
  wetnessCurveNumber,
  wetnessCurveNumberByFormula,
} from './curve-number-spread.js'
export { type DailyRain, type DailySumOptions, dailySums, type RainGap, rainGaps, type TimedRain } from './daily-rain.js'
export { LEAVES, SINK, VOID } from './direction-codes.js'
export { type CatchmentOutline, catchmentOutline } from './divide.js'
export { ditchLevels, EMPTYING_TARGET_h, emptyingTime_h, intakeToEmpty_mmh, type SoakLevel } from './drain-down.js'
export { type Drainage, type DrainageOptions, drainage, drainageSteps, filledSurface } from './drainage.js'

export { type Culvert, type DrawnChange, type DrawnGround, type Wall, withDrawnWorks } from './drawn-works.js'
export { edgeReach, inflowRim, inflowRimSteps } from './edge.js'
export {
  byVector,
  EVEN,
  eachDonor,
  eachReceiver,
  type FlowMethod,
  type FlowNetwork,
  flowNetwork,
  flowNetworkSteps,
  MANY,
  type ManyShares,
  single,
} from './flow-network.js'
export {
  GRAPHICAL_ROWS,
  type GraphicalRow,
  type GraphicalStorm,
  graphicalCoefficients,
  graphicalPeak,
  pondFactor,
  unitPeak_csmIn,
} from './graphical-peak.js'
export {
  GREEN_AMPT,
  type GreenAmptRow,
  type GreenAmptSoil,
  greenAmptRunoff,
  greenAmptSoil,
  type Ponding,
  pondedSoak_mm,
  ponding,
  soakCapacity_mmh,
  TEXTURES,
  type Texture,
} from './green-ampt.js'
export {
  HOLLOW_TREATMENTS,
  type HollowChoice,
  type HollowOutcome,
  type HollowTreatment,
  type TreatedGround,
  type TreatOptions,
  treatHollows,
  treatHollowsSteps,
} from './hollow-choices.js'
export { guessHollow, type HollowGuess } from './hollow-guess.js'
export { type HollowTree, hollowTree, innermostHolding } from './hollow-tree.js'
export {
  type Hollow,
  type HollowInventory,
  type HollowOptions,
  type HollowSize,
  hollowCells,
  hollowInventory,
  hollowInventorySteps,
  hollows,
  type InnerHollow,
} from './hollows.js'
export {
  dividedHyetograph,
  type Hyetograph,
  knowsPeaks,
  LONGEST_BURST_h,
  measuredHyetograph,
  rainSoFar_mm,
  totalRain_mm,
  upliftedHyetograph,
} from './hyetograph.js'
export { type AugerReading, augerIntake_mmh, type PitReading, pitIntake_mmh, type RingReading, ringIntake_mmh } from './intake-test.js'
export { formulaIntensity_mmh, formulaRows, type IntensityFormula } from './intensity-formula.js'
export { type WalkScratch, walkScratch } from './layer-queue.js'
export { flowLengths, giversOf, type LongestFlow, longestFlowToCell, longestFlowToLine } from './longest-flow.js'
export type { Limited } from './method-limits.js'
export {
  type CoverPart,
  compositeCurveNumber,
  connectedImperviousCurveNumber,
  unconnectedImperviousCurveNumber,
  weightedRunoff_mm,
} from './mixed-cover.js'
export { type MultipleFlow, multiple, QUINN_CONTOUR_CELLS } from './multiple-flow.js'
export { openRim_ratio } from './open-rim.js'
export { type PastEnds, pastEnds } from './past-ends.js'
export {
  FAO_BASIC_INTAKE,
  type IntakeSpread,
  MINNESOTA_RATES,
  type MinnesotaRate,
  PUBLISHED_INTAKE,
  type PublishedIntake,
  publishedIntake,
} from './published-intake.js'
export {
  chances,
  checkRainTable,
  durations_h,
  type RainRow,
  type RainTable,
  rainDepth_mm,
  rainIntensity_mmh,
  shortestDuration_h,
} from './rainfall.js'
export { RATIONAL_ROWS, type RationalRow, type Relief, rationalPeak, rationalPeakOfTable, type SoilWeight } from './rational-peak.js'
export { releasedWater, type WaterPath } from './released-water.js'
export { type Hydrograph, type HydrographOptions, runoffHydrograph } from './runoff-hydrograph.js'
export { SCS_DISTRIBUTIONS, SCS_TYPES, type ScsDistribution, type ScsType, scsFallen_ratio, scsStorm } from './scs-storm.js'
export {
  CLEARANCE_BELOW_BED_m,
  type Clearance,
  PIT_BELOW_BED_m,
  PIT_NEAR_LINE_m,
  PIT_SPACING_m,
  SIGHTING_REACH_m,
  type SoilAnswer,
  type SoilDecision,
  type SoilPlan,
  type SoilReason,
  STEEP_CLAY_ratio,
  soilDecision,
  soilVerdict,
  TEST_ABOVE_BED_m,
} from './soil-decision.js'
export { type HydrologicSoilGroup, SOIL_GROUP_RULES, type SoilGroupRule, soilGroupOfRate } from './soil-group.js'
export {
  CRUMB_TESTS,
  type CrumbTest,
  type DepthMet,
  EMPTY_SOIL_RECORD,
  type FieldTest,
  firstMottling_m,
  type IntakeReading,
  MEASURED_IN,
  type MeasuredIn,
  placedSoilRecord,
  ROOTS,
  type Roots,
  readIntake_mmh,
  SIGHTING_KINDS,
  type Sighting,
  type SightingKind,
  type SoilLayer,
  type SoilPit,
  type SoilRecord,
  soilRecordFrom,
  soilRecordSchema,
} from './soil-record.js'
export { boxOf, type Spread, spreadFrom, spreadFromCells } from './spread.js'
export { curveNumberRunoff, type RunoffSeries, totalRunoff_mm } from './storm-runoff.js'
export { tieDependence, tieDependenceSteps } from './tie-dependence.js'
export {
  atLeastTime_h,
  type KirpichBasin,
  kirpichTime,
  type LagBasin,
  LEAST_TIME_h,
  lag_h,
  lagEquationTime,
  type TimeByStretches,
  timeByStretches,
} from './time-of-concentration.js'
export {
  type CourseFlow,
  courseSpeed_ms,
  type FlowStretch,
  kinematicSheetTime,
  LONGEST_SHEET_1986_m,
  LONGEST_SHEET_m,
  SHALLOW_SURFACES,
  SHEET_SURFACES,
  type ShallowFlow,
  type ShallowSurface,
  type SheetFlow,
  type SheetSurface,
  shallowFlowSpeed,
  sheetFlowTime,
  stretchTime,
} from './travel-time.js'
export { CURVED_FORM, gammaForm, timeToPeak_h, triangularForm, type UnitForm, unitPeak_m3s } from './unit-hydrograph.js'
export {
  afterSediment,
  type DayOfWater,
  dailyInflows_m3,
  type StorageRow,
  type WaterBalance,
  waterBalance,
} from './water-balance.js'
export { STUDY_BYTES_PER_CELL, type StudyOptions, studyWater, studyWaterSteps, type WaterStudy } from './water-study.js'
export { wetnessIndex } from './wetness-index.js'
export {
  FEWEST_DAYS,
  MOSQUITO_LIMIT_h,
  ROOT_LIMIT_h,
  type WaterYearPlan,
  type WetSpell,
  type YearOfWater,
  type YearsOfWater,
  yearsOfWater,
} from './years-of-water.js'
