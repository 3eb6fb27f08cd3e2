export { type Catchment, dependenceOn, lineCatchment, pointCatchment } from './catchment.js'
export { contributingArea, contributingAreaSingle, edgeReach, inflowRim, wetnessIndex } from './contributing-area.js'
export {
  COVER_ROWS,
  COVERS,
  type CoverCondition,
  type CoverPart,
  type CoverRow,
  compositeCurveNumber,
  connectedImperviousCurveNumber,
  curveNumber,
  curveNumberAtRatio005,
  curveNumberOfRetention,
  type HydrologicSoilGroup,
  retention_mm,
  retentionFromStorm_mm,
  runoffLimits,
  stormRunoff_mm,
  unconnectedImperviousCurveNumber,
  type WetnessClass,
  weightedRunoff_mm,
  wetnessCurveNumber,
  wetnessCurveNumberByFormula,
} from './curve-number.js'
export { type CatchmentOutline, catchmentOutline } from './divide.js'
export { type Basins, type Drainage, drainage, filledSurface, LEAVES, SINK, VOID } from './drainage.js'
export { byVector, EVEN, eachDonor, eachReceiver, type FlowMethod, type FlowNetwork, flowNetwork, single } from './flow-network.js'
export { type Hollow, hollows } from './hollows.js'
export { type WalkScratch, walkScratch } from './layer-queue.js'
export { chances, checkRainTable, durations_h, type RainRow, type RainTable, rainDepth_mm, shortestDuration_h } from './rainfall.js'
export { releasedWater, type WaterPath } from './released-water.js'
export { boxOf, type Spread, spreadFrom } from './spread.js'
export { studyWater, type WaterStudy } from './water-study.js'
