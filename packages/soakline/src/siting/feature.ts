import type { Shape } from '../raster/index.js'

/** What a drawn feature is. */
export const FEATURE_KINDS = [
  'building',
  'forest',
  'wet',
  'spring',
  'septic',
  'well',
  'boundary',
  'track',
  'stream',
  'utility',
  'culvert',
  'wall',
  'slip',
  'pit',
] as const
/** One of `FEATURE_KINDS`. */
export type FeatureKind = (typeof FEATURE_KINDS)[number]

/** A thing on the holding that matters to a swale. */
export interface SiteFeature {
  /** Stable within a plan. */
  readonly id: string
  readonly kind: FeatureKind
  readonly name: string | null
  readonly shapes: readonly Shape[]
  /** Height of a building's floor in the raster's datum; null when not measured (then the lowest ground at the footprint stands in). */
  readonly floor_m: number | null
  /** Height of a wall over the ground; absent when not given. */
  readonly height_m?: number
  /** Whom its drawing is owed to, where it was brought from open map data; absent when drawn here. */
  readonly source?: string
}
