import {
  distance_m,
  distanceToSegment,
  type ElevationGrid,
  insideRings,
  type Point,
  pathLength_m,
  type Shape,
  shapeBounds,
  stations,
} from '../raster/index.js'
import type { FeatureKind, SiteFeature } from './feature.js'
import { depthAtChainage_m, type FlowStation } from './flow-along.js'
import { HEIGHT_MATTERS_m } from './near-building.js'
import { cutAt, floorOf_m, outline } from './overflow.js'

/** What counts as passed by a flow, besides what it runs to. */
export const PASSED_KINDS = [
  'building',
  'septic',
  'well',
  'track',
  'boundary',
  'utility',
  'stream',
  'forest',
  'wet',
  'spring',
  'slip',
] as const satisfies readonly FeatureKind[]
/** One of `PASSED_KINDS`. */
export type PassedKind = (typeof PASSED_KINDS)[number]

/** A thing that a flow passes. */
export interface PassedBy {
  readonly kind: PassedKind
  readonly id: string
  readonly name: string | null
  /** Along the way, where it first meets the thing, or comes nearest to it. */
  readonly chainage_m: number
  /** From the way, horizontal; 0 where it runs over it. */
  readonly distance_m: number
  /** From the band. */
  readonly bandDistance_m: number
  /** A building's floor, or the ground at the thing, over the flow's surface where it passes nearest; below 0 when the flow stands above it. */
  readonly heightAboveFlow_m: number | null
  /** What `heightAboveFlow_m` must exceed: twice the error of the heights. Null where that is not known. */
  readonly neededHeight_m: number | null
  /** Whether the way itself runs over it. */
  readonly meets: boolean
}

/** What `passedBy` looks at. */
export interface Passing {
  /** The whole way, to where it is followed. */
  readonly path: readonly Point[]
  readonly bandPlaces: readonly Point[]
  readonly stations: readonly FlowStation[]
  readonly surveyed: ElevationGrid
  /** Standard error of the heights, m. */
  readonly elevationError_m: number | null
  height_m(place: Point): number
}

/** Distance between the places of the way that are looked at. */
const LOOK_m = 0.5

/**
 * Everything that a flow passes, in the order of its way, with the horizontal distance and the height over the flow.
 *
 * Units   `within_m`: things farther than this from way and band are left out, buildings never. Default 30 m, as far as heights matter.
 * Laws    buildings are all listed; the order of features changes nothing but the order of equals.
 * No data heights null where the ground is not known.
 * Cost    things × (places of the band + half metres of the way).
 */
export function passedBy(features: readonly SiteFeature[], passing: Passing, within_m = HEIGHT_MATTERS_m): PassedBy[] {
  const looks = passing.path.length > 1 ? stations(passing.path, LOOK_m) : []
  const found: PassedBy[] = []
  for (const feature of features) {
    const kind = PASSED_KINDS.find(k => k === feature.kind)
    if (!kind) continue
    const shapes = kind === 'boundary' ? feature.shapes.map(outline) : feature.shapes
    const near = nearestOf(shapes, looks)
    if (!near) continue
    const band = nearestOf(
      shapes,
      passing.bandPlaces.map(at => ({ chainage_m: 0, at })),
    )
    const bandDistance_m = Math.min(near.distance_m, band?.distance_m ?? Number.POSITIVE_INFINITY)
    if (kind !== 'building' && bandDistance_m > within_m) continue
    const cut = cutAt(passing.path, shapes)
    const meets = cut !== null
    const chainage_m = cut ? pathLength_m(cut) : near.chainage_m
    const onIt = cut !== null && feature.shapes.some(shape => shape.type !== 'point')
    const distance_m = onIt ? 0 : near.distance_m
    found.push({
      kind,
      id: feature.id,
      name: feature.name,
      chainage_m,
      distance_m,
      bandDistance_m: Math.min(bandDistance_m, distance_m),
      heightAboveFlow_m: heightOver(feature, kind, near, passing),
      neededHeight_m: passing.elevationError_m === null ? null : 2 * passing.elevationError_m,
      meets,
    })
  }
  return found.sort((a, b) => a.chainage_m - b.chainage_m || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0))
}

function heightOver(feature: SiteFeature, kind: PassedKind, near: Near, { height_m, surveyed, stations: flow }: Passing): number | null {
  const level_m = height_m(near.from) + depthAtChainage_m(flow, near.chainage_m)
  const height = (kind === 'building' ? floorOf_m(feature, surveyed) : height_m(near.on)) - level_m
  return Number.isNaN(height) ? null : height
}

interface Near {
  readonly distance_m: number
  readonly chainage_m: number
  readonly from: Point
  readonly on: Point
}

/** The place of several nearest to the shapes, the first of equals. */
function nearestOf(shapes: readonly Shape[], places: readonly { readonly chainage_m: number; readonly at: Point }[]): Near | null {
  let best: Near | null = null
  for (const shape of shapes) {
    const [west, south, east, north] = shapeBounds(shape)
    for (const { chainage_m, at } of places) {
      const outside = Math.max(west - at[0], at[0] - east, south - at[1], at[1] - north)
      if (best && outside >= best.distance_m) continue
      const on = nearestOn(shape, at)
      if (!best || on.distance_m < best.distance_m) best = { distance_m: on.distance_m, chainage_m, from: at, on: on.at }
    }
  }
  return best
}

/** The place of a shape nearest to a place: the place itself inside a polygon. */
function nearestOn(shape: Shape, place: Point): { readonly distance_m: number; readonly at: Point } {
  if (shape.type === 'point') return { distance_m: distance_m(place, shape.at), at: shape.at }
  if (shape.type === 'polygon' && insideRings(place, shape.rings)) return { distance_m: 0, at: place }
  const paths = shape.type === 'line' ? [shape.path] : shape.rings.map(ring => [...ring, ring[0]!])
  let best: { distance_m: number; at: Point } | null = null
  for (const path of paths)
    for (let k = 1; k < path.length; k++) {
      const [a, b] = [path[k - 1]!, path[k]!]
      const { distance_m: away, t } = distanceToSegment(place, a, b)
      if (!best || away < best.distance_m) best = { distance_m: away, at: [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])] }
    }
  return best ?? { distance_m: distance_m(place, paths[0]![0]!), at: paths[0]![0]! }
}
