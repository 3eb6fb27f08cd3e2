export { eachNeighbour } from './each-neighbour.js'
export { elevationErrorOr_m, errorBesideHouse_m, UNKNOWN_ERROR } from './elevation-error.js'
export {
  cellArea_m2,
  cellAt,
  cellCentre,
  cellCount,
  type ElevationGrid,
  elevationGrid,
  type Grid,
  type GridGeometry,
  type Mask,
  type Point,
} from './grid.js'
export { type Bounds, type Ground, groundHeight_m, groundWindow, plainGround } from './ground.js'
export { insideTester } from './inside-rings.js'
export { COLUMN_STEP, neighbourOffsets, opposite, ROW_STEP, rimCells, STEP_LENGTH } from './neighbours.js'
export {
  type Box,
  boxOfPath,
  chainages_m,
  crosses,
  crossesXY,
  crossingAt,
  distance_m,
  distanceToSegment,
  insideRings,
  isLeftOf,
  nearestOnPath,
  type PathPlace,
  pathLength_m,
  pieceAlong,
  placeAlong,
  ringArea_m2,
  stations,
  thinned,
} from './polyline.js'
export { cellsAlong, cellsNear, distanceToShape_m, shapeBounds } from './rasterise.js'
export { type CellBox, polygonsOf, ringsAbove } from './rings.js'
export type { Shape } from './shape.js'
export { fromLattice, heightOn, type LatticePoint, type Patch, patchAt, patchOf, riseOn, surfaceValue, toLattice } from './surface.js'
