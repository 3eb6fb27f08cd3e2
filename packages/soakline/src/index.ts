// The whole library in one import; `soakline/hydrology` and the other rooms give the parts.
export { InputError } from './foundation/index.js'
export { lineCatchment, releasedWater, studyWater } from './hydrology/index.js'
export { type Assessment, assess, type Plan, readPlan, settingsFrom, siteOf, writePlan } from './plan/index.js'
export { type ElevationGrid, elevationGrid, type GridGeometry, type Point } from './raster/index.js'
export type { SiteFeature } from './siting/index.js'
export { contourLines, gradient, lineThrough } from './terrain/index.js'
