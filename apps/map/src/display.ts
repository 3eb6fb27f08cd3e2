import type { Place } from 'soakline/plan'
import type { Display } from './worker/protocol.js'

/** Metres of one degree near the equator: good enough to show a raster that has no place on Earth, never used for an answer. */
const METRES_PER_DEGREE = 111_319.49

/** From a plan's place to degrees on the map; the two are one unless the raster has no place on Earth. */
export const toDisplay = (place: Place, localCentre: readonly [number, number] | null): Display =>
  localCentre ? [(place[0] - localCentre[0]) / METRES_PER_DEGREE, (place[1] - localCentre[1]) / METRES_PER_DEGREE] : [place[0], place[1]]

/** From degrees on the map to a plan's place. */
export const fromDisplay = ([lon, lat]: Display, localCentre: readonly [number, number] | null): Place =>
  localCentre ? [lon * METRES_PER_DEGREE + localCentre[0], lat * METRES_PER_DEGREE + localCentre[1]] : [lon, lat]
