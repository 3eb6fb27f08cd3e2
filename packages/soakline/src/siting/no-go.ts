import { dependenceOn, hollowCells, type WaterStudy } from '../hydrology/index.js'
import { cellAt, cellsNear, type Grid, type GridGeometry, type Point, ringsAbove, type Shape, stations } from '../raster/index.js'
import type { FeatureKind, SiteFeature } from './feature.js'

/** Why no swale goes there. A cell's reasons are bits in this order. */
export const NO_GO_REASONS = [
  'above-building',
  'near-building',
  'forest',
  'wet-ground',
  'spring',
  'septic',
  'well',
  'boundary',
  'track',
  'stream',
  'utility',
  'slip',
  'hollow',
  'too-steep',
] as const
export type NoGoReason = (typeof NO_GO_REASONS)[number]

/** Limits that decide what is no-go ground; each is a setting with its source in the settings' schema. */
export interface NoGoLimits {
  readonly buildingMargin_m: number
  /** Part of a cell's water that must reach a building, septic field or well for the cell to count as above it. */
  readonly aboveShare_ratio: number
  readonly setbackBuilding_m: number
  readonly setbackBoundary_m: number
  readonly setbackTrack_m: number
  readonly setbackStream_m: number
  readonly setbackUtility_m: number
  readonly setbackSeptic_m: number
  readonly setbackWell_m: number
  readonly setbackSpring_m: number
  readonly steepSlope_ratio: number
  /** A hollow this deep and this large counts as one that holds water. */
  readonly hollowDepth_m: number
  readonly hollowVolume_m3: number
}

/** No-go ground: each cell knows all its reasons. */
export interface NoGoGround {
  readonly geometry: GridGeometry
  /** Bit k is set where reason k of `NO_GO_REASONS` holds. */
  readonly reasons: Uint16Array
}

const bit = (reason: NoGoReason): number => 1 << NO_GO_REASONS.indexOf(reason)

/** The reasons held in a cell's word. */
export const reasonsOf = (word: number): NoGoReason[] => NO_GO_REASONS.filter((_, k) => word & (1 << k))

/**
 * Where no swale goes, with the reasons for each place.
 *
 * Laws    the order of the features changes nothing; drawing more of them never frees a cell.
 */
export function noGoGround(
  study: WaterStudy,
  gradient: Grid<'gradient_ratio'>,
  features: readonly SiteFeature[],
  limits: NoGoLimits,
): NoGoGround {
  const g = study.ground.geometry
  const reasons = new Uint16Array(g.width * g.height)
  const shapesOf = (kind: FeatureKind): Shape[] => features.filter(f => f.kind === kind).flatMap(f => f.shapes)
  const mark = (cells: Iterable<number>, reason: NoGoReason): void => {
    for (const cell of cells) reasons[cell]! |= bit(reason)
  }
  const near = (kind: FeatureKind, within_m: number, reason: NoGoReason): void => {
    for (const shape of shapesOf(kind)) mark(cellsNear(g, shape, within_m), reason)
  }
  const above = (kind: FeatureKind, margin_m: number, reason: NoGoReason): void => {
    const targets = new Uint8Array(reasons.length)
    for (const shape of shapesOf(kind)) for (const cell of cellsNear(g, shape, margin_m)) targets[cell] = 1
    if (!targets.includes(1)) return
    const share = dependenceOn(study.net, targets).data
    for (let cell = 0; cell < reasons.length; cell++) if (share[cell]! >= limits.aboveShare_ratio) reasons[cell]! |= bit(reason)
  }
  above('building', limits.buildingMargin_m, 'above-building')
  above('septic', 0, 'septic')
  above('well', 0, 'well')
  near('building', limits.setbackBuilding_m, 'near-building')
  near('forest', 0, 'forest')
  near('wet', 0, 'wet-ground')
  near('slip', 0, 'slip')
  near('spring', limits.setbackSpring_m, 'spring')
  near('septic', limits.setbackSeptic_m, 'septic')
  near('well', limits.setbackWell_m, 'well')
  near('track', limits.setbackTrack_m, 'track')
  near('stream', limits.setbackStream_m, 'stream')
  near('utility', limits.setbackUtility_m, 'utility')
  for (const shape of shapesOf('boundary')) {
    const ring: Shape = shape.type === 'polygon' ? { type: 'line', path: closed(shape.rings[0]!) } : shape
    mark(cellsNear(g, ring, limits.setbackBoundary_m), 'boundary')
  }
  const holdings = shapesOf('boundary').filter(s => s.type === 'polygon')
  if (holdings.length > 0) {
    const inside = new Uint8Array(reasons.length)
    for (const shape of holdings) for (const cell of cellsNear(g, shape, 0, { touching: false })) inside[cell] = 1
    for (let cell = 0; cell < reasons.length; cell++) if (!inside[cell]) reasons[cell]! |= bit('boundary')
  }
  for (const hollow of study.hollows) {
    if (hollow.depth_m < limits.hollowDepth_m || hollow.volume_m3 < limits.hollowVolume_m3) continue
    mark(hollowCells(study.ground, study.brimful, hollow.deepest), 'hollow')
  }
  for (let cell = 0; cell < reasons.length; cell++) if (gradient.data[cell]! > limits.steepSlope_ratio) reasons[cell]! |= bit('too-steep')
  return { geometry: g, reasons }
}

const closed = (ring: readonly Point[]): Point[] => [...ring, ring[0]!]

/** A stretch of a line with the reasons against it. */
export interface NoGoStretch {
  readonly from_m: number
  readonly to_m: number
  readonly reasons: readonly NoGoReason[]
}

/** The stretches of a line that lie on no-go ground, looked at every half cell. */
export function noGoAlong(noGo: NoGoGround, line: readonly Point[]): NoGoStretch[] {
  const stretches: { from_m: number; to_m: number; word: number }[] = []
  for (const { chainage_m, at } of stations(line, noGo.geometry.cell_m / 2)) {
    const cell = cellAt(noGo.geometry, at[0], at[1])
    const word = cell < 0 ? 0 : noGo.reasons[cell]!
    const last = stretches[stretches.length - 1]
    if (last && last.word === word) last.to_m = chainage_m
    else stretches.push({ from_m: chainage_m, to_m: chainage_m, word })
  }
  return stretches.filter(s => s.word !== 0).map(({ from_m, to_m, word }) => ({ from_m, to_m, reasons: reasonsOf(word) }))
}

/** No-go ground as rings, one set for each reason that occurs. */
export function noGoRings(noGo: NoGoGround): { readonly reason: NoGoReason; readonly rings: Point[][] }[] {
  const mask = new Uint8Array(noGo.reasons.length)
  return NO_GO_REASONS.flatMap(reason => {
    const wanted = bit(reason)
    let found = false
    for (let cell = 0; cell < mask.length; cell++) {
      mask[cell] = noGo.reasons[cell]! & wanted ? 1 : 0
      found ||= mask[cell] === 1
    }
    return found ? [{ reason, rings: ringsAbove(noGo.geometry, mask, 0.5) }] : []
  })
}
