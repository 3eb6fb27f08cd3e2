export { type AssessOptions, assess, type Site, type SiteOptions, sectionAt, siteOf } from './assess.js'
export { type AssessFullyOptions, assessFully, assessFullySteps } from './assess-fully.js'
export type { Assessment, SpillAnswer, StormAnswer } from './assessment.js'
export { type Cascade, cascadeOf, type DitchOfCascade } from './cascade.js'
export type { Earth } from './earth.js'
export { groundFit } from './findings.js'
export type { GatheringTime } from './gathering-time.js'
export type { CatchmentCover } from './ground-cover.js'
export type { LineSection } from './line-ditch.js'
export {
  emptyPlan,
  type Place,
  type Plan,
  type PlanFeature,
  type PlanHollow,
  type PlanLine,
  planSchema,
  readPlan,
  writePlan,
} from './plan-file.js'
export { defaultSettings, SETTINGS, type SettingEntry, type Settings, settingsFrom, settingsSchema } from './settings.js'
export type { Soaking } from './soaking.js'
export type { Spillway } from './spillway.js'
