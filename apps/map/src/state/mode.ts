import type { SightingKind } from 'soakline/hydrology'
import type { Place } from 'soakline/plan'
import type { FeatureKind } from 'soakline/siting'

/** What the hand on the plan is doing. */
export type Mode =
  | { readonly kind: 'look' }
  /** The next tap gives the level line through the place. */
  | { readonly kind: 'point-line' }
  /** A level line is walked: its first end, once that is set; the next tap is its other end. */
  | { readonly kind: 'walk-line'; readonly from: Place | null }
  /** A line is being drawn freely, place by place. */
  | { readonly kind: 'draw-line'; readonly places: readonly Place[] }
  /** A feature is being drawn. */
  | {
      readonly kind: 'draw-feature'
      readonly feature: FeatureKind
      readonly shape: 'point' | 'line' | 'polygon'
      readonly places: readonly Place[]
    }
  /** The next tap is the place of a test pit, or of a thing seen on the walk. */
  | { readonly kind: 'place-soil'; readonly seen: SightingKind | null }
  /** The next tap is the middle of the area that open data is brought for. */
  | { readonly kind: 'choose-area' }
  /** Distances are measured along places; none of them goes into the plan. */
  | { readonly kind: 'measure'; readonly places: readonly Place[] }
  /** A place is read: null before one is set, and every tap sets another. */
  | { readonly kind: 'read-place'; readonly at: Place | null }
  /** A drawn feature is chosen, to move its vertices, name or remove it. */
  | { readonly kind: 'chosen-feature'; readonly id: string }

/** A handle on the plan that can be dragged, or moved by the arrow keys. */
export type Handle =
  | { readonly what: 'line-through' }
  | { readonly what: 'line-end'; readonly end: 'first' | 'last' }
  /** The spill, which stays on the line. */
  | { readonly what: 'spill' }
  /** A vertex of a free line by its number among those that can be taken hold of, counted from the first end, which is 0. */
  | { readonly what: 'line-vertex'; readonly number: number }
  | { readonly what: 'feature-vertex'; readonly id: string; readonly ring: number; readonly index: number }
