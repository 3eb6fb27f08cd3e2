import {
  type ExitCheck,
  type ExitOptions,
  exitChecks,
  type SpreaderLength,
  type SpreaderRuleName,
  spreaderLengths,
} from '../earthworks/index.js'
import { insideRings, type Point, pathLength_m, type Shape, stations, surfaceValue } from '../raster/index.js'
import { type DugGround, dugHeight_m, windowAt } from './dug-ground.js'
import type { SiteFeature } from './feature.js'
import { type FlowGround, type FlowOptions, type FlowStation, flowAlong } from './flow-along.js'
import { cutAt, outline, streamCells, wholeWay } from './overflow.js'
import { type DugOverflow, overflowAsDug } from './overflow-as-dug.js'
import { type PassedBy, passedBy } from './passed-by.js'
import { type DugScratch, dugScratch, spreadAsDug } from './way-as-dug.js'

/** An overflow with its water in it. */
export interface OverflowInFull {
  readonly overflow: DugOverflow
  readonly flow_m3s: number
  /** Depth, width and speed along the way and beyond, to where it is followed. */
  readonly stations: readonly FlowStation[]
  /** Everything passed, in order along the way. */
  readonly passes: readonly PassedBy[]
  /** Way inside forest before a stream or the boundary; 0 where it meets none. */
  readonly inForest_m: number
  /** Exit below the sill, bare, grassed and of stone; null where the ground there is level. */
  readonly exit: readonly ExitCheck[] | null
  /** What the published rules ask of the sill's length. */
  readonly spreader: readonly SpreaderLength[]
  /** The deepest, and the fastest on bare ground. */
  readonly deepest: FlowStation | null
  readonly fastest: FlowStation | null
}

/** What `overflowInFull` may be told besides. */
export interface OverflowInFullOptions extends FlowOptions {
  /** Length of the sill over which it comes out; default what the chosen spreader rule asks, at least 1 m. */
  readonly sill_m?: number
  readonly spreaderRule?: SpreaderRuleName
  readonly exit?: ExitOptions
  readonly elevationError_m?: number | null
  /** Ends of the sill's far side, where water comes down too. */
  readonly also?: readonly Point[]
  readonly scratch?: DugScratch
}

/** The published rules ask for any length above 0; a sill is a metre long at least. Source: common practice, no source. */
export const LEAST_SILL_m = 1

/**
 * An overflow on the ground as dug, with a flow in it: how deep, wide and fast it runs, and everything it passes.
 *
 * Units   `flow_m3s` m³/s.
 * Throws  `flow/bad-flow`, `weir/bad-flow`.
 * Cost    that of `overflowAsDug`, and some 100 sections for each 2 m.
 * @returns null where there is no ground at the place.
 */
export function overflowInFull(
  dug: DugGround,
  features: readonly SiteFeature[],
  from: Point,
  flow_m3s: number,
  options: OverflowInFullOptions = {},
): OverflowInFull | null {
  const { also = [], scratch = dugScratch(dug, streamCells(dug.study, features)), elevationError_m = null } = options
  const overflow = overflowAsDug(dug, features, from, { also, scratch })
  if (!overflow) return null
  const spreader = spreaderLengths(flow_m3s, options.spreaderRule)
  const sill_m = options.sill_m ?? Math.max(LEAST_SILL_m, spreader.find(({ chosen }) => chosen)!.length_m)
  const path = wholeWay(overflow)
  const along = flowAlong(flowGround(dug), path, flow_m3s, sill_m, options)
  const slope = overflow.exitSlope_ratio
  return {
    overflow,
    flow_m3s,
    stations: along,
    passes: passedBy(features, {
      path,
      bandPlaces: [...spreadAsDug(dug, [from, ...also], scratch).places, ...wettedEdges(along, path)],
      stations: along,
      surveyed: dug.study.surveyed,
      elevationError_m,
      height_m: place => dugHeight_m(dug, place),
    }),
    inForest_m: forestRun_m(path, features),
    exit: slope > 0 && flow_m3s > 0 ? exitChecks(flow_m3s / sill_m, Math.min(1, slope), options.exit) : null,
    spreader,
    deepest: most(along, s => Math.max(s.bare.depth_m, s.grassed.depth_m)),
    fastest: most(along, s => s.bare.velocity_ms),
  }
}

/** The ground as dug as a flow takes it. */
export function flowGround(dug: DugGround): FlowGround {
  const { ground, filled } = dug.study
  return {
    cell_m: ground.geometry.cell_m,
    height_m: place => dugHeight_m(dug, place),
    brim_m: place => {
      const found = windowAt(dug, place)
      const fine_m = found ? surfaceValue(found.inset.filled, place) : Number.NaN
      return Number.isNaN(fine_m) ? surfaceValue(filled, place) : fine_m
    },
  }
}

/** Places to both sides of the way where banks hold the flow: as far as its water reaches. */
function wettedEdges(along: readonly FlowStation[], path: readonly Point[]): Point[] {
  return along.flatMap(({ at, form, bare, grassed }, k) => {
    if (form !== 'banked') return []
    const half = Math.max(bare.width_m ?? 0, grassed.width_m ?? 0) / 2
    const [ax, ay] = along[Math.max(0, k - 1)]!.at
    const [bx, by] = along[Math.min(along.length - 1, k + 1)]?.at ?? path[path.length - 1]!
    const long = Math.sqrt((bx - ax) * (bx - ax) + (by - ay) * (by - ay))
    if (long === 0) return []
    const [ex, ey] = [(-(by - ay) / long) * half, ((bx - ax) / long) * half]
    return [
      [at[0] + ex, at[1] + ey],
      [at[0] - ex, at[1] - ey],
    ] as Point[]
  })
}

/** Distance between the places of a way that are asked whether they lie in forest. */
const COUNT_m = 0.25

/** Way inside forest, up to a stream (where the way ends already) or the boundary. */
export function forestRun_m(path: readonly Point[], features: readonly SiteFeature[]): number {
  const forests = features.filter(f => f.kind === 'forest').flatMap(f => f.shapes)
  if (forests.length === 0) return 0
  const bounds = features.filter(f => f.kind === 'boundary').flatMap(f => f.shapes.map(outline))
  const counted = cutAt(path, bounds) ?? path
  if (counted.length < 2) return 0
  const inside = (place: Point): boolean => forests.some((shape: Shape) => shape.type === 'polygon' && insideRings(place, shape.rings))
  const looks = stations(counted, COUNT_m)
  return (looks.filter(({ at }) => inside(at)).length / looks.length) * pathLength_m(counted)
}

const most = (along: readonly FlowStation[], of: (station: FlowStation) => number): FlowStation | null =>
  along.reduce<FlowStation | null>((best, station) => (!best || of(station) > of(best) ? station : best), null)
