import { type DailyRain, type Hyetograph, measuredHyetograph } from '../hydrology/index.js'
import type { Plan } from './plan-file.js'

/** A plan's record of daily rain, as it is reckoned with: NaN for a day that nobody measured. Null without a record. */
export const dailyRainOf = (record: Plan['dailyRain']): DailyRain | null =>
  record ? { firstDay: record.firstDay, depths_mm: record.depths_mm.map(depth => depth ?? Number.NaN), source: record.source ?? '' } : null

/** A plan's measured storm, as it is routed; null without one. Throws as `measuredHyetograph`. */
export const measuredStormOf = (storm: Plan['measuredStorm']): Hyetograph | null =>
  storm ? measuredHyetograph(storm.step_h, storm.depths_mm, storm.source ?? '') : null
