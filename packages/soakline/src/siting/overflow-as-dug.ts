import type { Point } from '../raster/index.js'
import { type DugGround, dugHeight_m } from './dug-ground.js'
import type { SiteFeature } from './feature.js'
import { type Overflow, overflowAlong, streamCells } from './overflow.js'
import { type DugScratch, type DugWay, dugScratch, spreadAsDug, wayAsDug } from './way-as-dug.js'

/** An overflow on the ground as dug. */
export interface DugOverflow extends Overflow {
  /** Lines whose ditches it runs into, in order: their sills must carry it too. */
  readonly ditches: readonly number[]
}

/** What `overflowAsDug` may be told. */
export interface DugOverflowOptions {
  /** Further places where the water comes down, as the two ends of a long sill: they widen the band. */
  readonly also?: readonly Point[]
  /** Made once for many overflows by `dugScratch`, with the streams in it. */
  readonly scratch?: DugScratch
  /** The way where it is known already. */
  readonly way?: DugWay
}

/**
 * `overflowFrom` on the ground as dug: the berm itself turns the water, a lower ditch takes it and spills it where its sill is.
 *
 * The place is where water comes down on old ground: see `belowBerm` and `beyondEnd`. Far from the works it is the answer of `overflowFrom`.
 * Cost    some steps for each cell passed, besides `dugGround` itself.
 * @returns null where there is no ground at the place.
 */
export function overflowAsDug(
  dug: DugGround,
  features: readonly SiteFeature[],
  from: Point,
  { also = [], scratch = dugScratch(dug, streamCells(dug.study, features)), way }: DugOverflowOptions = {},
): DugOverflow | null {
  const over = way ?? wayAsDug(dug, from)
  if (!over) return null
  const spread = spreadAsDug(dug, [from, ...also], scratch)
  const overflow = overflowAlong(dug.study, features, from, over, spread.cells, {
    bandPlaces: spread.places,
    height_m: place => dugHeight_m(dug, place),
  })
  const reached = overflow.points.length + overflow.beyond.length
  return { ...overflow, ditches: over.ditches.filter(({ at }) => at < reached).map(({ line }) => line) }
}
