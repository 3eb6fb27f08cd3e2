export { candidatesText, sayCandidate, sayCandidateRemark, sayLineSpillReason, sayRuledOut } from './candidate-words.js'
export { type SaidCascade, type SaidDitch, sayCascade } from './cascade-words.js'
export { type SaidComparison, sayComparison } from './compare-words.js'
export { type Credited, creditsOf } from './credits.js'
export { bedAt, crossSectionSvg, type DrawnSection, type SectionWater, sectionWater } from './cross-section.js'
export { type DeviceWords, deviceWords } from './device-words.js'
export { drawingSetHtml } from './drawing-set/drawing-set.js'
export { PAPER_NAMES, PAPERS, type PaperName } from './drawing-set/paper.js'
export type { DrawingSetInput } from './drawing-set/sheet.js'
export { sayValue, type ValueFormat } from './drawing-set/values.js'
export { escapeText, plainText } from './escape-text.js'
export { sayFact } from './fact-words.js'
export { type FieldWords, fieldWords, readingName, sayAtStake, sayFrameMark, sayReadAtStake, sayWay } from './field-words.js'
export { GLOSSARY, glossaryOf } from './glossary.js'
export { gridWords, sayGrid } from './grid-words.js'
export { sayCatchment, sayLevelLine, sayTerrain } from './ground-summaries.js'
export { nameGroundWork, sayGroundWork } from './ground-work-sentences.js'
export { type HandsWords, handsWords } from './hands-words.js'
export { type DrawnStorm, hydrographSvg, judgedStorm, sayNoHydrograph, sayStorm } from './hydrograph.js'
export { gapChoices, gapQuestion, type ImportReport, importReport, type ReportLine, type ReportWords } from './import-report.js'
export { DAY, type Inks, NIGHT } from './inks.js'
export { JOB_STEP_REASONS, type SaidStep, sayJobStep } from './job-words.js'
export { LAYER_GROUPS, type LayerGroup, type LayerWords, layerWords, RAMPS, type Ramp, sayTintEnds } from './layer-words.js'
export { sayLimitChange } from './limit-words.js'
export { type LinkWords, linkWords } from './link-words.js'
export { type LongSectionFrame, longSectionFrame, longSectionSvg, longSectionWaterSvg } from './long-section.js'
export { LOOK_STATIONS, type LookStation, type LookWords, lookWords } from './look-words.js'
export { VERDICT_INKS, verdictMark } from './marks.js'
export { type MattersWords, mattersWords, sayInfluence } from './matters-words.js'
export { type MeasureWords, measureWords, type SaidMeasure, sayLeg, sayMeasured } from './measure-words.js'
export {
  decimalMark,
  formatAlong,
  formatArea,
  formatChance,
  formatCount,
  formatDepth,
  formatDuration,
  formatEarth,
  formatElevation,
  formatFine,
  formatFlow,
  formatHeight,
  formatIntake,
  formatLength,
  formatNumber,
  formatPull,
  formatSignificant,
  formatSlope,
  formatSpeed,
  formatStakeLevel,
  formatVolume,
  formatWeirCoefficient,
  type Maybe,
  type Measures,
  measuresOf,
  unitSign,
} from './measures.js'
export {
  type SaidPlant,
  sayAFrame,
  sayBookCheck,
  sayBuilt,
  sayCalibrated,
  sayCleanAt,
  sayConsequence,
  sayCrossings,
  sayDigging,
  sayDigPhases,
  sayDigStretches,
  sayDigTools,
  sayFieldFiles,
  sayInspections,
  sayLevelTools,
  sayPlanting,
  sayPlantName,
  sayPlants,
  sayStaffReadings,
  sayStakeKinds,
  sayStakeName,
  sayStakeNote,
  sayStakes,
  sayStormCard,
  sayStormRow,
  sayWaterLevel,
} from './on-site.js'
export { carePaper, diggingPaper, levellingPaper, plantingPaper } from './on-site-papers.js'
export { type OnSiteWords, onSiteWords } from './on-site-words.js'
export { type OneFileWords, oneFileWords } from './one-file-words.js'
export { type OpenGroundWords, openGroundWords, type SaidSource, sayGroundSource, sayMegabytes } from './open-ground-words.js'
export { outletsText, type SaidOutlet, type SaidOutlets, sayOutlets } from './outlet-words.js'
export type { Extent } from './page-frame.js'
export { type PlaceForm, type PlaceToWrite, type PlaceWords, placeForms, placeWords } from './place-words.js'
export { fittingScale, type PlanInput, planSvg, planToScaleSvg, type ScaledPage } from './plan.js'
export { sayRefusal } from './refusals.js'
export { type ReportInput, reportHtml } from './report.js'
export { partText, tableText } from './said-text.js'
export type { SectionSize } from './section-picture.js'
export {
  type Answer,
  QUESTIONS,
  type Question,
  sayAnswers,
  sayCheck,
  sayFeature,
  sayFinding,
  sayMeasuredSpillReason,
  sayNext,
  sayOutletRefusal,
  sayPathEnd,
  sayPlace,
  sayReason,
  saySoilReason,
  saySource,
  saySpillReason,
  sayVerdict,
  sayWarning,
  wordsOf,
} from './sentences.js'
export { type SheetWords, sheetWords } from './sheet-words.js'
export {
  type BreachStretch,
  breachStretches,
  type SaidSpillPlace,
  sayAreaRange,
  sayBreach,
  sayOverflowWay,
  saySpillPlaces,
  sayTriedTerrains,
} from './siting-sheet.js'
export { type SitingWords, sitingSheetWords } from './siting-sheet-words.js'
export {
  type SaidPart,
  type SaidTable,
  sayDrain,
  sayEarth,
  sayEarthShort,
  sayExits,
  sayRunoff,
  saySoaking,
  saySpillway,
  saySpreaders,
  sayStorms,
  sayWorst,
} from './sizing.js'
export { type SizingWords, sizingWords } from './sizing-words.js'
export { sayMeasuredStorm, saySoil, sayYear } from './soil-and-year.js'
export { summaryText } from './summary.js'
export { sayTimeLeft } from './time-left-words.js'
export { LANGUAGES, type Language, UNIT_SYSTEMS, type UnitSystem, type Voice } from './voice.js'
export { sayHour, sayNotFollowed, sayOtherSwale, sayStage, sayStormHour } from './water-words.js'
