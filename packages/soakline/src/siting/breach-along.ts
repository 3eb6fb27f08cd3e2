import { suddenBreach } from '../earthworks/index.js'
import { finish, InputError, type Steps } from '../foundation/index.js'
import { distanceToShape_m, nearestOnPath, type Point, pathLength_m, shapeBounds } from '../raster/index.js'
import { belowBerm, type DugGround, dugHeight_m, sectionNear } from './dug-ground.js'
import type { FeatureKind, SiteFeature } from './feature.js'
import { flowBeside } from './flow-beside.js'
import { HEIGHT_MATTERS_m } from './near-building.js'
import { cutAt, type Overflow, outline, overflowAlong, type PathEnd, streamCells, wholeWay } from './overflow.js'
import { flowGround } from './overflow-in-full.js'
import { type DugScratch, type DugSpread, type DugWay, dugScratch, spreadAsDug, wayAsDug } from './way-as-dug.js'

/** What lies below a place where the berm could give way, the gravest first. `not-known`: nothing is met, but the way leaves the raster. */
export const BREACH_BELOW = ['building', 'septic', 'well', 'track', 'boundary', 'utility', 'not-known', 'nothing'] as const
/** One of `BREACH_BELOW`. */
export type BreachBelow = (typeof BREACH_BELOW)[number]

/** The water that a ditch lets go when its berm gives way. */
export interface BreachWater {
  /** All that it holds, or what it holds up to a level over its bed. */
  readonly stored_m3: number | ((level_z_m: number) => number)
  /** Depth over the bed of the water that stands behind the berm; default up to the crest, the unfavourable end. */
  readonly stood_m?: number
}

/** What would happen if the berm gave way at one stake. */
export interface BreachStake {
  readonly chainage_m: number
  /** Where the water comes down on old ground; null where there is none below the berm: then nothing is known. */
  readonly from: Point | null
  /** Whether way or band come within a cell of a building, or the peak between its banks stands as far aside as one. */
  readonly reachesBuilding: boolean
  /** From way or band; null where no building is drawn. */
  readonly nearestBuilding_m: number | null
  readonly nearestBuilding: string | null
  /** Of the floor over the ground where the flow passes nearest; to be set against `depth_m` and twice the heights' error. */
  readonly heightBelowFloor_m: number | null
  /** Of the peak where it passes the nearest building: an upper bound, since the store lasts a short time only. Null without a building. */
  readonly depth_m: number | null
  readonly endsIn: PathEnd | null
  /** Kinds that way or band meet, to where they are followed. */
  readonly passes: readonly FeatureKind[]
  readonly below: BreachBelow
  /** Sudden outflow through the gaps and the storm still coming: an upper bound. */
  readonly peak_m3s: number
  /** The stores of all ditches that fall, and what is still to come of the storm where that was given. */
  readonly volume_m3: number
  /** Lines whose berms fall too, since the water runs into their ditches; in order. */
  readonly alsoFall: readonly number[]
  readonly points: readonly Point[]
}

/** All stakes of a line. */
export interface BreachAnswer {
  readonly stakes: readonly BreachStake[]
  /** The stake with the gravest thing below: index into `stakes`. */
  readonly worst: number
  /** Way and band of the worst stake, for drawing. */
  readonly worstOverflow: Overflow | null
}

/** What `breachesAlong` may be told besides. */
export interface BreachOptions {
  /** Between stakes. Default 2 m. */
  readonly spacing_m?: number
  /** Width of a gap. Default 2 m (judgement, as `routeCascade`). */
  readonly gapWidth_m?: number
  /** Of the storm still coming, to be told with the stores. Default 0. */
  readonly stormVolume_m3?: number
  /** Made once for many by `dugScratch`, with the streams in it. */
  readonly scratch?: DugScratch
}

const DEFAULT_SPACING_m = 2

const DEFAULT_GAP_m = 2

/**
 * Where the water runs and what it hits if the berm gives way, stake by stake. What runs out is the store and the storm still coming from the whole
 * catchment; a lower ditch that it runs into falls too, at the place where it is hit.
 *
 * Shapes  `waters` one for each line of the ground as dug.
 * Units   `stormFlow_m3s` m³/s.
 * Laws    more store or more storm never sends less; mirrored ground gives mirrored stakes; nothing is ever said to be safe.
 * Throws  `breach/bad-water`, `breach/no-such-line`, `breach/bad-depth`.
 * Cost    for each stake some steps for each cell passed; 50 stakes on 500 × 500 cells well under a second, once `dugGround` is made.
 * Source  peak: Ritter (1892) through the gap, an upper bound; way and band as `overflowAsDug`.
 */
export function breachesAlong(
  dug: DugGround,
  lineIndex: number,
  features: readonly SiteFeature[],
  waters: readonly BreachWater[],
  stormFlow_m3s: number,
  options: BreachOptions = {},
): BreachAnswer {
  return finish(breachesAlongSteps(dug, lineIndex, features, waters, stormFlow_m3s, options))
}

/** `breachesAlong` in steps. */
export function* breachesAlongSteps(
  dug: DugGround,
  lineIndex: number,
  features: readonly SiteFeature[],
  waters: readonly BreachWater[],
  stormFlow_m3s: number,
  { spacing_m = DEFAULT_SPACING_m, gapWidth_m = DEFAULT_GAP_m, stormVolume_m3 = 0, scratch: given }: BreachOptions = {},
): Steps<BreachAnswer> {
  check(dug, lineIndex, waters, stormFlow_m3s, spacing_m, gapWidth_m)
  const scratch = given ?? dugScratch(dug, streamCells(dug.study, features))
  const cell_m = dug.study.ground.geometry.cell_m
  const ground = flowGround(dug)
  // A lower berm is hit at many places from above: each of its stakes is followed once.
  const known = new Map<string, Release | null>()
  const release = (line: number, chainage_m: number): Release | null => {
    const key = `${line}/${chainage_m}`
    if (!known.has(key)) {
      const from = belowBerm(dug, line, chainage_m)
      const way = from && wayAsDug(dug, from)
      known.set(key, from && way ? { from, way, band: spreadAsDug(dug, [from], scratch) } : null)
    }
    return known.get(key)!
  }
  const chainages = evenly(pathLength_m(dug.lines[lineIndex]!.line), spacing_m)
  const stakes: BreachStake[] = []
  for (const [k, chainage_m] of chainages.entries()) {
    stakes.push(stakeAt(chainage_m))
    yield (k + 1) / chainages.length
  }
  const worst = stakes.reduce((best, stake, k) => (graver(stake, stakes[best]!) ? k : best), 0)
  const fallen = followed(chainages[worst]!)
  return { stakes, worst, worstOverflow: fallen && overflowOf(fallen, true) }

  /** The way from a stake on, through every lower berm that it hits. */
  function followed(chainage_m: number): Fallen | null {
    const first = release(lineIndex, chainage_m)
    if (!first) return null
    const lines = [lineIndex]
    const points: Point[] = []
    const bands: DugSpread[] = []
    for (let at: Release = first; ; ) {
      bands.push(at.band)
      const hit = at.way.ditches.find(({ line }) => !lines.includes(line))
      const next = hit && release(hit.line, nearestStake(hit.line, at.way.points[hit.at]!))
      if (hit) lines.push(hit.line)
      if (!hit || !next) {
        points.push(...at.way.points)
        return { lines, points, end: at.way.end, from: first.from, band: together(bands) }
      }
      points.push(...at.way.points.slice(0, hit.at + 1))
      at = next
    }
  }

  function nearestStake(line: number, place: Point): number {
    const path = dug.lines[line]!.line
    const { chainage_m } = nearestOnPath(path, place)
    const all = evenly(pathLength_m(path), spacing_m)
    return all.reduce((near, stake) => (Math.abs(stake - chainage_m) < Math.abs(near - chainage_m) ? stake : near), all[0]!)
  }

  /** Rings of the band only where it is to be drawn: they take longer than all the rest. */
  function overflowOf({ points, end, band, from }: Fallen, drawn: boolean): Overflow {
    return overflowAlong(dug.study, features, from, { points, end }, drawn ? band.cells : [], {
      bandPlaces: band.places,
      height_m: place => dugHeight_m(dug, place),
    })
  }

  function stakeAt(chainage_m: number): BreachStake {
    const fallen = followed(chainage_m)
    const lines = fallen ? fallen.lines : [lineIndex]
    const peak_m3s =
      stormFlow_m3s + lines.reduce((sum, line) => sum + gapWidth_m * suddenBreach(stoodBehind_m(line, chainage_m)).flow_m2s, 0)
    const volume_m3 = lines.reduce((sum, line) => sum + storedIn_m3(line, stoodBehind_m(line, chainage_m)), stormVolume_m3)
    const common = { chainage_m, peak_m3s, volume_m3, alsoFall: lines.slice(1) }
    if (!fallen)
      return {
        ...common,
        from: null,
        reachesBuilding: false,
        nearestBuilding_m: null,
        nearestBuilding: null,
        heightBelowFloor_m: null,
        depth_m: null,
        endsIn: null,
        passes: [],
        below: 'not-known',
        points: [],
      }
    const overflow = overflowOf(fallen, false)
    const whole = wholeWay(overflow)
    const building = overflow.buildings[0] ?? null
    const close = overflow.buildings.filter(({ distance_m }, k) => k === 0 || distance_m <= HEIGHT_MATTERS_m)
    const flows = close.map(({ id }) => flowBeside(ground, whole, features.find(f => f.id === id)!.shapes, peak_m3s, gapWidth_m))
    const reachesBuilding = building !== null && (building.distance_m <= cell_m || flows.some(flow => flow?.wetsIt))
    const passes = MET_KINDS.filter(kind =>
      kind === 'building' ? reachesBuilding : features.some(f => f.kind === kind && isMet(f, whole, fallen.band.places, cell_m)),
    )
    const worstMet = BREACH_BELOW.find(kind => passes.some(met => met === kind))
    return {
      ...common,
      from: fallen.from,
      reachesBuilding,
      nearestBuilding_m: building?.distance_m ?? null,
      nearestBuilding: building && (building.name ?? building.id),
      heightBelowFloor_m: building?.heightBelowFloor_m ?? null,
      depth_m: flows[0]?.depth_m ?? null,
      endsIn: overflow.endsIn,
      passes,
      below: worstMet ?? (fallen.end === 'hollow' || meetsStream(fallen.points) ? 'nothing' : 'not-known'),
      points: whole,
    }
  }

  function meetsStream(way: readonly Point[]): boolean {
    return (
      cutAt(
        way,
        features.filter(f => f.kind === 'stream').flatMap(f => f.shapes),
      ) !== null
    )
  }

  function storedIn_m3(line: number, level_z_m: number): number {
    const { stored_m3 } = waters[line]!
    const held_m3 = typeof stored_m3 === 'number' ? stored_m3 : stored_m3(level_z_m)
    if (held_m3 >= 0 && held_m3 < Infinity) return held_m3
    throw new InputError('breach/bad-water', `A ditch holds ${held_m3} m³; give 0 or more.`, { line, held_m3 })
  }

  function stoodBehind_m(line: number, chainage_m: number): number {
    const { stakes: sections } = dug.lines[line]!
    if (waters[line]!.stood_m !== undefined) return waters[line]!.stood_m
    return line === lineIndex
      ? sectionNear(dug.lines[line]!, chainage_m).crest_z_m
      : Math.max(...sections.map(({ section }) => section.crest_z_m))
  }
}

/** Water let go below a berm: its way and band. */
interface Release {
  readonly band: DugSpread
  readonly from: Point
  readonly way: DugWay
}

const together = (bands: readonly DugSpread[]): DugSpread =>
  bands.length === 1
    ? bands[0]!
    : { cells: [...new Set(bands.flatMap(({ cells }) => cells))], places: bands.flatMap(({ places }) => places) }

/** A way through all the berms that fall. */
interface Fallen {
  readonly band: DugSpread
  readonly lines: readonly number[]
  readonly points: readonly Point[]
  readonly end: DugWay['end']
  readonly from: Point
}

/** Kinds told in `passes`. */
const MET_KINDS = [
  'building',
  'septic',
  'well',
  'track',
  'boundary',
  'utility',
  'wet',
  'forest',
  'stream',
] as const satisfies readonly FeatureKind[]

/** Whether the way runs over a thing, or the band comes within a distance of it. */
function isMet(feature: SiteFeature, way: readonly Point[], places: readonly Point[], within_m: number): boolean {
  const shapes = feature.kind === 'boundary' ? feature.shapes.map(outline) : feature.shapes
  if (cutAt(way, shapes) !== null) return true
  return shapes.some(shape => {
    const [west, south, east, north] = shapeBounds(shape)
    return places.some(
      ([x, y]) =>
        x >= west - within_m &&
        x <= east + within_m &&
        y >= south - within_m &&
        y <= north + within_m &&
        distanceToShape_m([x, y], shape) <= within_m,
    )
  })
}

/** By what lies below, then by how near a building is, then by the water. Of equals the first stays. */
function graver(a: BreachStake, b: BreachStake): boolean {
  const [ra, rb] = [BREACH_BELOW.indexOf(a.below), BREACH_BELOW.indexOf(b.below)]
  if (ra !== rb) return ra < rb
  const [da, db] = [a.nearestBuilding_m ?? Number.POSITIVE_INFINITY, b.nearestBuilding_m ?? Number.POSITIVE_INFINITY]
  if (da !== db) return da < db
  return a.volume_m3 !== b.volume_m3 ? a.volume_m3 > b.volume_m3 : a.peak_m3s > b.peak_m3s
}

/** Chainages at equal spacing, both ends among them. */
function evenly(length_m: number, spacing_m: number): number[] {
  const steps = Math.max(1, Math.ceil(length_m / spacing_m - 1e-9))
  return Array.from({ length: steps + 1 }, (_, k) => (length_m * k) / steps)
}

function check(
  dug: DugGround,
  lineIndex: number,
  waters: readonly BreachWater[],
  stormFlow_m3s: number,
  spacing_m: number,
  gapWidth_m: number,
): void {
  if (!dug.lines[lineIndex])
    throw new InputError('breach/no-such-line', `Line ${lineIndex + 1} is to give way; ${dug.lines.length} are dug.`, { lineIndex })
  if (waters.length !== dug.lines.length)
    throw new InputError('breach/bad-water', `Water of ${waters.length} ditches for ${dug.lines.length} lines; give one for each.`, {
      waters: waters.length,
      lines: dug.lines.length,
    })
  if (!(stormFlow_m3s >= 0 && stormFlow_m3s < Infinity && spacing_m > 0 && gapWidth_m > 0 && gapWidth_m < Infinity))
    throw new InputError(
      'breach/bad-water',
      `A storm of ${stormFlow_m3s} m³/s, stakes every ${spacing_m} m, a gap of ${gapWidth_m} m; give a flow of 0 or more and sizes above 0.`,
      { stormFlow_m3s, spacing_m, gapWidth_m },
    )
}
