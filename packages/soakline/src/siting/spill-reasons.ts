import { type ExitCheck, SPREADER_LENGTHS_m, type SpreaderLength } from '../earthworks/index.js'
import { errorBesideHouse_m, type Point, stations } from '../raster/index.js'
import type { SiteFeature } from './feature.js'
import type { FlowBeside } from './flow-beside.js'
import { HEIGHT_MATTERS_m } from './near-building.js'
import { type BuildingNear, cutAt, nearestPlace, type Overflow, outline, wholeWay } from './overflow.js'
import { forestRun_m } from './overflow-in-full.js'

/** How a reason counts: it forbids the place, or speaks against or for it with a weight. All weights: judgement. */
export interface SpillReasonEntry {
  readonly side: 'forbids' | 'against' | 'for'
  readonly weight: number
}

const forbids: SpillReasonEntry = { side: 'forbids', weight: 0 }
const against = (weight: number): SpillReasonEntry => ({ side: 'against', weight })
const speaks = (weight: number): SpillReasonEntry => ({ side: 'for', weight })

/** What speaks for and against spilling at a place, the gravest first. */
export const SPILL_REASONS = {
  'no-ground': forbids,
  'reaches-building': forbids,
  'reaches-septic': forbids,
  'reaches-well': forbids,
  'crosses-boundary': forbids,
  'runs-in-track': forbids,
  'track-receives': forbids,
  'fill-receives': forbids,
  'slip-receives': forbids,
  'sill-on-fill': forbids,
  'runs-back': forbids,
  'passes-near-building': against(300),
  'not-high-enough': against(250),
  'crosses-track': against(80),
  'short-forest-run': against(60),
  'leaves-raster': against(60),
  'too-fast-grassed': against(60),
  'ends-in-hollow': against(30),
  'longer-than-published': against(30),
  'sill-armoured': against(30),
  'crosses-wet-ground': against(25),
  'steep-exit': against(20),
  'crosses-utility': against(20),
  'into-lower-ditch': against(15),
  'too-fast-bare': against(10),
  'ends-in-forest': speaks(40),
  'ends-in-stream': speaks(30),
  'flat-firm-ground': speaks(20),
  'undisturbed-ground': speaks(10),
  'speed-within-bare': speaks(10),
  'speed-within-grassed': speaks(5),
  'far-from-buildings': speaks(5),
} as const satisfies Readonly<Record<string, SpillReasonEntry>>
/** A reason of `SPILL_REASONS`. */
export type SpillReasonCode = keyof typeof SPILL_REASONS

/** A reason at a place, with the number behind it where there is one. */
export interface SpillReason {
  readonly code: SpillReasonCode
  readonly side: SpillReasonEntry['side']
  readonly measured: number | null
  readonly limit: number | null
  readonly unit: string | null
}

/** What is known of a spill at a place. */
export interface SpillFacts {
  readonly overflow: Overflow
  readonly sill: 'undisturbed' | 'armoured' | 'fill'
  /** The flow where it passes the building. */
  flowBeside(building: BuildingNear): FlowBeside | null
  readonly exit: readonly ExitCheck[] | null
  readonly spreader: SpreaderLength
  /** Whether the water comes back into its own ditch, and into which others it runs. */
  readonly runsBack: boolean
  readonly lowerDitches: number
  /** Whether loose fill lies in the receiving ground. */
  readonly fillReceives: boolean
}

/** Limits that reasons for and against a spill keep. */
export interface SpillLimits {
  /** Default 10 m (judgement), as the setting of that name. */
  readonly buildingClearance_m?: number
  /** Standard error of the heights; null counts as by `errorBesideHouse_m`. */
  readonly elevationError_m?: number | null
  /** How much of the way below the sill is its receiving ground. Default 15 m (judgement). */
  readonly receiving_m?: number
  /** A way through forest to the boundary shorter than this hardly spreads or soaks. Default 20 m (judgement). */
  readonly forestRun_m?: number
  /** Up to this fall ground counts as flat, from the other on as steep. Default 0.05 and 0.2 (judgement). */
  readonly flat_ratio?: number
  readonly steep_ratio?: number
}

/** A way within this of a track's line is on it, and in it when it stays for so long: longer than a slanting crossing. Source: judgement. */
const TRACK_HALF_m = 2
const TRACK_RUN_m = 8
const LOOK_m = 0.5

/** The reasons for and against a spill, in the order of `SPILL_REASONS`. */
export function spillReasonsOf(
  facts: SpillFacts,
  features: readonly SiteFeature[],
  cell_m: number,
  {
    buildingClearance_m = 10,
    elevationError_m = null,
    receiving_m = 15,
    forestRun_m: leastForest_m = 20,
    flat_ratio = 0.05,
    steep_ratio = 0.2,
  }: SpillLimits = {},
): SpillReason[] {
  const { overflow, exit, spreader } = facts
  const found = new Map<SpillReasonCode, [measured: number | null, limit: number | null, unit: string | null]>()
  const say = (code: SpillReasonCode, measured: number | null = null, limit: number | null = null, unit: string | null = null): void => {
    found.set(code, [measured, limit, unit])
  }
  const whole = wholeWay(overflow)
  const crosses = new Set(overflow.crosses)

  // Buildings: first how near, then how high.
  const close = overflow.buildings.filter(({ distance_m }) => distance_m <= HEIGHT_MATTERS_m)
  const flows = close.map(building => facts.flowBeside(building))
  const nearest = overflow.buildings[0]
  const wet = close.find((_, k) => flows[k]?.wetsIt)
  if (wet || (nearest && nearest.distance_m <= cell_m)) say('reaches-building', wet ? 0 : nearest!.distance_m, cell_m, 'm')
  else if (nearest && nearest.distance_m < buildingClearance_m) say('passes-near-building', nearest.distance_m, buildingClearance_m, 'm')
  else if (nearest) say('far-from-buildings', nearest.distance_m, buildingClearance_m, 'm')
  const error_m = errorBesideHouse_m(elevationError_m)
  for (const [k, building] of close.entries()) {
    if (building.heightBelowFloor_m === null) continue
    const needed_m = (flows[k]?.depth_m ?? 0) + 2 * error_m
    if (building.heightBelowFloor_m < needed_m) {
      say('not-high-enough', building.heightBelowFloor_m, needed_m, 'm')
      break
    }
  }

  // What lies on the way.
  if (crosses.has('septic')) say('reaches-septic')
  if (crosses.has('well')) say('reaches-well')
  if (crosses.has('utility')) say('crosses-utility')
  if (crosses.has('wet')) say('crosses-wet-ground')
  const receiving = overflow.points.filter((_, k) => k === 0 || chainageTo(overflow.points, k) <= receiving_m)
  const shapesOf = (kind: SiteFeature['kind']) => features.filter(f => f.kind === kind).flatMap(f => f.shapes)
  const track = shapesOf('track')
  if (track.length > 0) {
    const run_m = longestRunNear_m(whole, track)
    if (run_m >= TRACK_RUN_m) say('runs-in-track', run_m, TRACK_RUN_m, 'm')
    const { index, distance_m } = nearestPlace(track, receiving)
    if (index >= 0 && distance_m <= TRACK_HALF_m) say('track-receives', chainageTo(overflow.points, index), receiving_m, 'm')
    else if (crosses.has('track')) say('crosses-track')
  }
  if (nearestPlace(shapesOf('slip'), receiving).distance_m <= cell_m) say('slip-receives')
  if (facts.fillReceives) say('fill-receives')
  if (facts.runsBack) say('runs-back')
  if (facts.lowerDitches > 0) say('into-lower-ditch', facts.lowerDitches)

  // Where it ends.
  if (overflow.endsIn === 'boundary' || crosses.has('boundary')) say('crosses-boundary')
  if (overflow.endsIn === 'forest') say('ends-in-forest', overflow.length_m, null, 'm')
  if (overflow.endsIn === 'forest' && cutAt(whole, shapesOf('boundary').map(outline)) !== null) {
    const run_m = forestRun_m(whole, features)
    if (run_m < leastForest_m) say('short-forest-run', run_m, leastForest_m, 'm')
  }
  if (overflow.endsIn === 'stream') say('ends-in-stream', overflow.length_m, null, 'm')
  if (overflow.endsIn === 'hollow') say('ends-in-hollow')
  if (overflow.endsIn === 'edge' || overflow.endsIn === 'void') say('leaves-raster')

  // The exit.
  const slope = overflow.exitSlope_ratio
  if (slope > steep_ratio) say('steep-exit', slope, steep_ratio, 'rise/run')
  else if (slope <= flat_ratio && !crosses.has('wet')) say('flat-firm-ground', slope, flat_ratio, 'rise/run')
  for (const [cover, within, over] of [
    ['bare', 'speed-within-bare', 'too-fast-bare'],
    ['grass', 'speed-within-grassed', 'too-fast-grassed'],
  ] as const) {
    const check = exit?.find(c => c.cover === cover)
    if (check) say(check.holds ? within : over, check.measured, check.limit, check.unit)
  }
  if (spreader.longerThanPublished) say('longer-than-published', spreader.length_m, SPREADER_LENGTHS_m.most, 'm')
  if (facts.sill === 'fill') say('sill-on-fill')
  else if (facts.sill === 'armoured') say('sill-armoured')
  else say('undisturbed-ground')
  return (Object.keys(SPILL_REASONS) as SpillReasonCode[]).flatMap(code => {
    const numbers = found.get(code)
    return numbers ? [{ code, side: SPILL_REASONS[code].side, measured: numbers[0], limit: numbers[1], unit: numbers[2] }] : []
  })
}

/** The weight of all that speaks against less that of all that speaks for; what forbids is not in it. */
export const spillWeight = (reasons: readonly SpillReason[]): number =>
  reasons.reduce((sum, { code, side }) => sum + (side === 'for' ? -1 : 1) * SPILL_REASONS[code].weight, 0)

function chainageTo(path: readonly Point[], index: number): number {
  let sum = 0
  for (let k = 1; k <= index; k++) {
    const dx = path[k]![0] - path[k - 1]![0]
    const dy = path[k]![1] - path[k - 1]![1]
    sum += Math.sqrt(dx * dx + dy * dy)
  }
  return sum
}

/** The longest stretch of a way that stays on tracks. */
function longestRunNear_m(path: readonly Point[], track: Parameters<typeof nearestPlace>[0]): number {
  if (path.length < 2) return 0
  let longest = 0
  let from: number | null = null
  for (const { chainage_m, at } of stations(path, LOOK_m)) {
    if (nearestPlace(track, [at]).distance_m > TRACK_HALF_m) from = null
    else {
      from ??= chainage_m
      longest = Math.max(longest, chainage_m - from)
    }
  }
  return longest
}
