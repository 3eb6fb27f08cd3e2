import { DEEPEST_BY_HAND_m, personDays } from '../earthworks/index.js'
import { finish, InputError, type Steps, volume_m3, type Warning, within } from '../foundation/index.js'
import { contributingAreaSteps, lineCatchment, type WalkScratch, type WaterStudy, walkScratch } from '../hydrology/index.js'
import { cellAt, chainages_m, distance_m, type Point, stations, thinned } from '../raster/index.js'
import { lineThrough, type SmoothedLine, smoothLine } from '../terrain/index.js'
import { ASSUMED_STORM, type Candidate, reasonsFor, type StatedStorm, type WorkedLine } from './candidate.js'
import { type CandidateDitch, ditchAlong, FIXED_days, roughValue } from './candidate-ditch.js'
import { type CandidateLimits, candidateLimits } from './candidate-limits.js'
import { candidateRunsSteps, type RuledOutBy, type Run } from './candidate-runs.js'
import { judgedSpill, type LineSpill } from './candidate-spill.js'
import { liesNear } from './candidates-apart.js'
import type { SiteFeature } from './feature.js'
import type { NoGoGround } from './no-go.js'
import { cautionsAlong, noGoAlong } from './no-go-along.js'
import { overflowFrom, streamCells } from './overflow.js'
import { storageSpacing_m, verticalIntervals } from './vertical-interval.js'

/** The holding as the search for lines sees it; an assessment's site is one. */
export interface CandidateSite {
  readonly study: WaterStudy
  readonly features: readonly SiteFeature[]
  readonly noGo: NoGoGround
  /** What `streamCells` gives. */
  readonly streams?: Uint8Array
  /** Standard error of the heights; null or absent counts as 0.5 m (judgement). */
  readonly elevationError_m?: number | null
}

/** Why a line that lay well was dropped when it was worked out. */
export type DroppedBy = 'bends' | 'section' | 'catchment' | 'spill' | 'too-near-another'

/** What the search found. */
export interface CandidateSearch {
  /** Best first. */
  readonly candidates: readonly Candidate[]
  readonly storm: StatedStorm
  /** `ground/too-coarse`, `candidates/…`: what the answer rests on, or why it is empty. */
  readonly remarks: readonly Warning[]
  /** Contour that was looked at, and the length that each reason left out, longest first. */
  readonly looked_m: number
  readonly ruledOut: readonly { readonly by: RuledOutBy; readonly length_m: number }[]
  /** Lines that were worked out in full, and how many of them fell to what. */
  readonly tried: number
  readonly dropped: Readonly<Record<DroppedBy, number>>
}

/** Lines worked out in full at most. Source: judgement, for an answer within seconds. */
const MOST_TRIES = 160
/** What is left of a line's worth when its closed end must not overflow, and when the edge cuts its catchment. Source: judgement. */
const OTHER_END_FORBIDDEN = 0.7
const CUT_BY_EDGE = 0.8

/**
 * Possible lines over the whole holding, ranked by what they catch and keep for each day of digging and by how easily they spill. They are places to
 * look at on site, each worked out on its own: where one lies below another it says so.
 *
 * The lines lie on contours of the smoothed ground, or fall from them by the set ratio, and are made fit to dig.
 * Laws    the ground along a line stays within `mostOffLevel_m` of its level; no line lies on no-go ground; none lies nearer to another than the
 *         closest spacing rule; none spills where a building lies nearer than the clearance, over the boundary, a septic field or a well; a catchment
 *         that the edge cuts is flagged; no line at all where the cells are too coarse for a ditch.
 * Cost    some passes over the raster, then a catchment and two overflows for each of up to 160 lines.
 * @param scratch  working memory, see `WalkScratch`
 */
export function candidateLines(
  site: CandidateSite,
  ditch: CandidateDitch,
  storm: StatedStorm = ASSUMED_STORM,
  given: Partial<CandidateLimits> = {},
  scratch?: WalkScratch,
): CandidateSearch {
  return finish(candidateLinesSteps(site, ditch, storm, given, scratch))
}

/** `candidateLines` in steps. */
export function* candidateLinesSteps(
  site: CandidateSite,
  ditch: CandidateDitch,
  storm: StatedStorm = ASSUMED_STORM,
  given: Partial<CandidateLimits> = {},
  scratch: WalkScratch = walkScratch(site.study.ground.data.length),
): Steps<CandidateSearch> {
  const limits = candidateLimits(given)
  const { study, features } = site
  const { cell_m } = study.ground.geometry
  const dropped: Record<DroppedBy, number> = { bends: 0, section: 0, catchment: 0, spill: 0, 'too-near-another': 0 }
  if (cell_m > limits.coarsestCell_ratio * ditch.bedWidth_m) {
    const remarks = [{ code: 'ground/too-coarse' as const, details: { cell_m, bedWidth_m: ditch.bedWidth_m } }]
    return { candidates: [], storm, remarks, looked_m: 0, ruledOut: [], tried: 0, dropped }
  }
  const remarks: Warning[] = []
  if (storm.assumed) remarks.push({ code: 'candidates/storm-assumed', details: { runoff_mm: storm.runoff_mm } })
  for (const kind of ['building', 'boundary'] as const)
    if (!features.some(f => f.kind === kind)) remarks.push({ code: `candidates/no-${kind}-drawn`, details: {} })

  const area = yield* within(0, 0.1, contributingAreaSteps(study.net))
  const { runs, looked_m, ruledOut_m } = yield* within(0.1, 0.4, candidateRunsSteps(study.surveyed, site.noGo, area, limits))
  const worth = runs.flatMap(run => {
    // The quick count may miss some of what drains in.
    const value = run.roughArea_m2 < 0.7 * limits.leastCatchment_m2 ? null : roughValue(run, ditch, storm)
    return value === null ? [] : [{ run, ...value }]
  })
  worth.sort((a, b) => b.perDay_m3 - a.perDay_m3 || b.kept_m3 - a.kept_m3 || firstOf(a.run, b.run))

  const work = workOut(
    { ...site, streams: site.streams ?? streamCells(study, features), elevationError_m: site.elevationError_m ?? null },
    ditch,
    storm,
    limits,
    scratch,
  )
  const found: WorkedLine[] = []
  const crowded = (path: readonly Point[], elevation_m: number, slope_ratio: number): boolean => {
    const { low_m } = verticalIntervals(slope_ratio)
    return found.some(other => liesNear(path, elevation_m, other, Math.min(low_m, other.spacing.low_m), limits.lineGap_m))
  }
  let tried = 0
  for (const { run } of worth) {
    if (tried >= MOST_TRIES || found.length >= 1.5 * limits.mostLines) break
    if (crowded(run.path, run.elevation_m, run.slope_ratio)) {
      dropped['too-near-another']++
      continue
    }
    tried++
    const line = work(run)
    if (typeof line === 'string') dropped[line]++
    else if (crowded(line.path, line.elevation_m, line.slope_ratio)) dropped['too-near-another']++
    else found.push(line)
    yield 0.4 + (0.5 * tried) / Math.min(MOST_TRIES, worth.length)
  }
  found.sort((a, b) => b.score - a.score || b.kept_m3 - a.kept_m3 || firstOf(a, b))
  found.length = Math.min(found.length, limits.mostLines)

  const candidates: Candidate[] = []
  for (const [k, line] of found.entries()) {
    candidates.push({ ...line, rank: k + 1, reasons: reasonsFor(line, storm, ranksAbove(study, line, found, scratch)) })
    yield 0.9 + (0.1 * (k + 1)) / found.length
  }
  const ruledOut = [...ruledOut_m].map(([by, length_m]) => ({ by, length_m })).sort((a, b) => b.length_m - a.length_m)
  if (candidates.length === 0) {
    const reasons = ruledOut.slice(0, 3).map(r => r.by)
    remarks.push({ code: 'candidates/none-found', details: { looked_m, runs: runs.length, reasons: reasons.join(',') } })
  }
  return { candidates, storm, remarks, looked_m, ruledOut, tried, dropped }
}

/** An order of equals that does not hang on the order of looking. */
function firstOf(
  a: { readonly elevation_m: number; readonly path: readonly Point[] },
  b: { readonly elevation_m: number; readonly path: readonly Point[] },
): number {
  const [p, q] = [a.path[0]!, b.path[0]!]
  return a.elevation_m - b.elevation_m || p[0] - q[0] || p[1] - q[1]
}

/** Ranks of the lines whose water, once they are full, comes to this one: a fifth of their length or more lies in its catchment. */
function ranksAbove(study: WaterStudy, line: WorkedLine, all: readonly WorkedLine[], scratch: WalkScratch): number[] {
  const { share } = lineCatchment(study.net, study.ground, line.path, study.rim, scratch)
  return all.flatMap((other, k) => {
    if (other === line) return []
    const cells = stations(other.path, share.geometry.cell_m).map(({ at }) => cellAt(share.geometry, at[0], at[1]))
    return cells.filter(cell => share.data[cell]! >= 0.5).length >= 0.2 * cells.length ? [k + 1] : []
  })
}

/** Works a run out in full: the line that is dug, its ditch, its catchment, both its ends; or says to what it falls. */
function workOut(
  { study, features, noGo, streams, elevationError_m }: Required<CandidateSite>,
  ditch: CandidateDitch,
  storm: StatedStorm,
  limits: CandidateLimits,
  scratch: WalkScratch,
): (run: Run) => WorkedLine | DroppedBy {
  const judging = { clearance_m: limits.spillClearance_m, elevationError_m, cell_m: study.ground.geometry.cell_m }
  return run => {
    const level = diggable(run.path, [run.elevation_m, run.elevation_m])
    if (level === null) return 'bends'
    const ends = endsOf(level.path)
    if (ends === null || !ends.some(end => end.offered)) return 'spill'
    const [first, last] = ends
    // Towards the better end; of equals towards the last.
    const turned = first.offered && (!last.offered || first.ease_ratio > last.ease_ratio)
    let path = turned ? [...level.path].reverse() : level.path
    let [otherEnd, spill] = turned ? [last, first] : [first, last]
    let line = level
    if (limits.lineFall_ratio > 0) {
      const falling = fallingLine(run, path)
      if (falling === null) return 'bends'
      const again = endsOf(falling.path)
      if (!again?.[1].offered) return 'spill'
      line = falling
      path = falling.path
      ;[otherEnd, spill] = again
    }
    const dug = ditchAlong(study.surveyed, path, ditch, limits.lineFall_ratio)
    if (dug === null) return 'section'
    const caught = lineCatchment(study.net, study.ground, path, study.rim, scratch)
    if (caught.area_m2 < limits.leastCatchment_m2) return 'catchment'
    const runoff_m3 = volume_m3(storm.runoff_mm, caught.area_m2)
    const kept_m3 = Math.min(runoff_m3, dug.storage_m3)
    const labour = personDays(dug.cut_m3, ditch.soil ?? 'firm', Math.min(DEEPEST_BY_HAND_m, dug.deepest_m))
    const keptPerDay_m3 = kept_m3 / (labour.high_days + FIXED_days)
    return {
      path,
      elevation_m: line.level_m[0]!,
      fall_ratio: limits.lineFall_ratio,
      length_m: dug.length_m,
      slope_ratio: dug.slope_ratio,
      catchment_m2: caught.area_m2,
      cutByEdge: caught.cutByEdge,
      edgeShare_ratio: caught.edgeShare_ratio,
      partInHollow: caught.drowned.length > 0,
      runoff_m3,
      storage_m3: dug.storage_m3,
      kept_m3,
      cut_m3: dug.cut_m3,
      labour,
      keptPerDay_m3,
      score: keptPerDay_m3 * spill.ease_ratio * (otherEnd.offered ? 1 : OTHER_END_FORBIDDEN) * (caught.cutByEdge ? CUT_BY_EDGE : 1),
      spill,
      otherEnd,
      offLevel_m: line.largestHeight_m,
      tightBends: line.tightBends.length,
      spacing: verticalIntervals(dug.slope_ratio),
      storageSpacing_m: storageSpacing_m(dug.storage_m3 / dug.length_m, storm.runoff_mm, {
        rain_mm: storm.rain_mm ?? 0,
        width_m: dug.waterWidth_m,
      }),
      cautions: cautionsAlong(noGo, path),
    }
  }

  /** The line smoothed for digging: with wide bends if they keep to good ground, with tighter ones if not. */
  function diggable(path: readonly Point[], levels_m: readonly [number, number]): SmoothedLine | null {
    for (const radius_m of [limits.shortestRadius_m, limits.shortestRadius_m / 2]) {
      const smooth = smoothLine(study.surveyed, thinned(path, 0.02), {
        radius_m,
        spacing_m: Math.min(2, radius_m),
        mostOff_m: limits.mostOffLevel_m,
        levels_m,
      })
      const fits = smooth.largestHeight_m <= limits.mostOffLevel_m && !smooth.ground_m.some(Number.isNaN)
      const isGood = noGoAlong(noGo, smooth.path).length === 0 && (!limits.avoidCautions || cautionsAlong(noGo, smooth.path).length === 0)
      if (fits && isGood) return smooth
    }
    return null
  }

  /** A line through the middle of a level one that falls towards its end. */
  function fallingLine(run: Run, path: readonly Point[]): SmoothedLine | null {
    const end = path[path.length - 1]!
    const drop_m = limits.lineFall_ratio
    try {
      const way = [drop_m, -drop_m]
        .map(fall => lineThrough(study.surveyed, path[path.length >> 1]!, 0.95 * run.length_m, fall))
        .map(({ path: p, ground_m }) => (ground_m[0]! >= ground_m[ground_m.length - 1]! ? p : [...p].reverse()))
        .find(p => distance_m(p[p.length - 1]!, end) < distance_m(p[0]!, end))
      const long_m = way ? chainages_m(way)[way.length - 1]! : 0
      if (!way || long_m < limits.leastLength_m) return null
      return diggable(way, [run.elevation_m + (drop_m * long_m) / 2, run.elevation_m - (drop_m * long_m) / 2])
    } catch (error) {
      if (error instanceof InputError && error.code.startsWith('level/')) return null
      throw error
    }
  }

  /** What would happen at the first and at the last vertex. */
  function endsOf(path: readonly Point[]): [LineSpill, LineSpill] | null {
    const [first, last] = [path[0]!, path[path.length - 1]!]
    const judged = (place: Point, from: Point): LineSpill | null => {
      const overflow = overflowFrom(study, features, place, streams, scratch)
      return overflow && judgedSpill(overflow, features, from, judging)
    }
    const [atFirst, atLast] = [judged(first, last), judged(last, first)]
    return atFirst && atLast && [atFirst, atLast]
  }
}
