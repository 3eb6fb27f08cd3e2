import type { FeatureKind } from 'soakline/siting'

export type DrawnShape = 'point' | 'line' | 'polygon'

/** How a kind is drawn unless the user says otherwise. */
export const USUAL_SHAPE: Readonly<Record<FeatureKind, DrawnShape>> = {
  building: 'polygon',
  forest: 'polygon',
  wet: 'polygon',
  spring: 'point',
  septic: 'polygon',
  well: 'point',
  boundary: 'polygon',
  track: 'line',
  stream: 'line',
  utility: 'line',
  culvert: 'line',
  wall: 'line',
  slip: 'polygon',
  pit: 'point',
}
