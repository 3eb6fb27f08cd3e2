export { assess, type Site, sectionAt, siteOf } from './assess.js'
export type { Assessment } from './assessment.js'
export { groundFit } from './findings.js'
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
