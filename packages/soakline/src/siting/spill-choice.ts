import { type ExitCheck, type ExitOptions, exitChecks, type SpreaderRuleName, spreaderLengths } from '../earthworks/index.js'
import { finish, InputError, type Steps } from '../foundation/index.js'
import { cellAt, chainages_m, type Point, pathLength_m, placeAlong } from '../raster/index.js'
import { belowBerm, beyondEnd, type DugGround, sectionNear, windowAt } from './dug-ground.js'
import type { SiteFeature } from './feature.js'
import { flowBeside } from './flow-beside.js'
import { streamCells, wholeWay } from './overflow.js'
import { type DugOverflow, overflowAsDug } from './overflow-as-dug.js'
import { flowGround, LEAST_SILL_m } from './overflow-in-full.js'
import { type SpillLimits, type SpillReason, spillReasonsOf, spillWeight } from './spill-reasons.js'
import { type DugScratch, dugScratch, wayAsDug } from './way-as-dug.js'

/** A place where a ditch could spill. */
export interface SpillPlace {
  readonly chainage_m: number
  readonly where: 'start' | 'between' | 'end'
  /** Where the water comes down on old ground; null where there is none. */
  readonly from: Point | null
  readonly overflow: DugOverflow | null
  readonly exit: readonly ExitCheck[] | null
  readonly reasons: readonly SpillReason[]
  /** Nothing forbids it. It may still be a poor place. */
  readonly acceptable: boolean
  /** From 1, the best first; those that something forbids come last. */
  readonly rank: number
  /** Fall of the bed that leads water here, descending with the chainage where above 0; 0 for a place between the ends. */
  readonly bedFall_ratio: number
}

/** Every place tried, and what follows. */
export interface SpillChoice {
  /** In order along the line. */
  readonly places: readonly SpillPlace[]
  /** Index of the best acceptable place; null when nowhere is acceptable: then the reasons of each place say why. */
  readonly best: number | null
  /** Another acceptable place, at least a sill's length from the best, for the large storms; null when there is none: both stages go to one place. */
  readonly secondStage: number | null
  /** Length of sill that the chosen rule asks, or that was given. */
  readonly sill_m: number
  readonly bedFall_ratio: number | null
}

/** What `spillChoice` may be told besides. */
export interface SpillChoiceOptions extends SpillLimits {
  /** Between places tried. Default 5 m. */
  readonly spacing_m?: number
  /** Height of the sill over the bed. Up to the lip it lies in old ground, above it on fill. Default: on fill everywhere but round the ends. */
  readonly sill_z_m?: number
  /** Whether a sill on fill will be armoured, with a cut-off. Default false. */
  readonly armoured?: boolean
  readonly sill_m?: number
  readonly spreaderRule?: SpreaderRuleName
  readonly exit?: ExitOptions
  /** Fall of the bed toward an end that spills. Default 0.005 (judgement; common practice: at most 0.01). */
  readonly bedFall_ratio?: number
  readonly scratch?: DugScratch
}

const DEFAULT_SPACING_m = 5
const DEFAULT_FALL_ratio = 0.005

/**
 * Every place along a line where it could spill, ranked, with the reasons for and against each: the receiving ground, the clearance from buildings
 * in plan and in height, slope and speed at the exit bare and grassed, the sill's length.
 *
 * The line may be dug already (`lineIndex`), or only drawn (null): then the undisturbed ground counts and places between the ends are taken to be on fill.
 * Units   `flow_m3s` m³/s: what the spill must pass.
 * Laws    a place that anything forbids never ranks before one that nothing does; the order of the features changes nothing; a mirrored line gives
 *         mirrored places.
 * Throws  `spill/bad-spacing`, `weir/bad-flow`.
 * Cost    an overflow a place.
 */
export function spillChoice(
  dug: DugGround,
  line: readonly Point[],
  lineIndex: number | null,
  features: readonly SiteFeature[],
  flow_m3s: number,
  options: SpillChoiceOptions = {},
): SpillChoice {
  return finish(spillChoiceSteps(dug, line, lineIndex, features, flow_m3s, options))
}

/** `spillChoice` in steps. */
export function* spillChoiceSteps(
  dug: DugGround,
  line: readonly Point[],
  lineIndex: number | null,
  features: readonly SiteFeature[],
  flow_m3s: number,
  options: SpillChoiceOptions = {},
): Steps<SpillChoice> {
  const { spacing_m = DEFAULT_SPACING_m, bedFall_ratio = DEFAULT_FALL_ratio, armoured = false } = options
  if (!(spacing_m > 0 && bedFall_ratio >= 0 && bedFall_ratio <= 0.05))
    throw new InputError(
      'spill/bad-spacing',
      `Places every ${spacing_m} m, a bed that falls ${bedFall_ratio}; give a spacing above 0 and a fall from 0 to 0.05.`,
      { spacing_m, bedFall_ratio },
    )
  const scratch = options.scratch ?? dugScratch(dug, streamCells(dug.study, features))
  const cell_m = dug.study.ground.geometry.cell_m
  const ground = flowGround(dug)
  const spreader = spreaderLengths(flow_m3s, options.spreaderRule).find(({ chosen }) => chosen)!
  const sill_m = options.sill_m ?? Math.max(LEAST_SILL_m, spreader.length_m)
  const length_m = pathLength_m(line)
  const steps = Math.max(1, Math.ceil(length_m / spacing_m - 1e-9))
  const tried: Omit<SpillPlace, 'rank'>[] = []
  for (let k = 0; k <= steps; k++) {
    tried.push(tryAt((length_m * k) / steps, k === 0 ? 'start' : k === steps ? 'end' : 'between'))
    yield (k + 1) / (steps + 1)
  }
  const order = tried.map((_, k) => k).sort((a, b) => compare(tried[a]!, tried[b]!))
  const places = tried.map((place, k): SpillPlace => ({ ...place, rank: order.indexOf(k) + 1 }))
  const acceptable = order.filter(k => places[k]!.acceptable)
  const best = acceptable[0] ?? null
  const second = acceptable.find(
    k => best !== null && k !== best && Math.abs(places[k]!.chainage_m - places[best]!.chainage_m) >= Math.max(sill_m, spacing_m),
  )
  return { places, best, secondStage: second ?? null, sill_m, bedFall_ratio: best === null ? null : places[best]!.bedFall_ratio }

  function tryAt(chainage_m: number, where: SpillPlace['where']): Omit<SpillPlace, 'rank'> {
    const from = releaseAt(chainage_m, where)
    const way = from && wayAsDug(dug, from)
    const also = where === 'between' ? [-0.5, 0.5].flatMap(side => sideOfSill(chainage_m + side * sill_m)) : []
    const overflow = from && way ? overflowAsDug(dug, features, from, { also, scratch, way }) : null
    const fall = where === 'start' ? -bedFall_ratio : where === 'end' ? bedFall_ratio : 0
    if (!from || !way || !overflow)
      return {
        chainage_m,
        where,
        from: null,
        overflow: null,
        exit: null,
        reasons: [{ code: 'no-ground', side: 'forbids', measured: null, limit: null, unit: null }],
        acceptable: false,
        bedFall_ratio: fall,
      }
    const slope = Math.min(1, overflow.exitSlope_ratio)
    const exit = slope > 0 && flow_m3s > 0 ? exitChecks(flow_m3s / sill_m, slope, options.exit) : null
    const whole = wholeWay(overflow)
    const reasons = spillReasonsOf(
      {
        overflow,
        sill: sillOn(chainage_m, where),
        flowBeside: ({ id }) => flowBeside(ground, whole, features.find(f => f.id === id)!.shapes, flow_m3s, sill_m),
        exit,
        spreader: { ...spreader, length_m: sill_m, longerThanPublished: spreader.longerThanPublished },
        runsBack: lineIndex !== null && overflow.ditches.includes(lineIndex),
        lowerDitches: overflow.ditches.filter(other => other !== lineIndex).length,
        fillReceives: fillWithin(overflow.points, options.receiving_m ?? 15),
      },
      features,
      cell_m,
      options,
    )
    return { chainage_m, where, from, overflow, exit, reasons, acceptable: reasons.every(r => r.side !== 'forbids'), bedFall_ratio: fall }
  }

  function releaseAt(chainage_m: number, where: SpillPlace['where']): Point | null {
    if (lineIndex !== null) return where === 'between' ? belowBerm(dug, lineIndex, chainage_m) : beyondEnd(dug, lineIndex, where)
    const { at, heading } = placeAlong(line, chainage_m)
    const on = where === 'start' ? -cell_m : where === 'end' ? cell_m : 0
    return [at[0] + on * heading[0], at[1] + on * heading[1]]
  }

  function sideOfSill(chainage_m: number): Point[] {
    if (chainage_m < 0 || chainage_m > length_m || sill_m < 2 * cell_m) return []
    const place = releaseAt(chainage_m, 'between')
    return place ? [place] : []
  }

  function sillOn(chainage_m: number, where: SpillPlace['where']): 'undisturbed' | 'armoured' | 'fill' {
    if (where !== 'between') return 'undisturbed'
    const { sill_z_m } = options
    if (lineIndex !== null && sill_z_m !== undefined && sill_z_m <= sectionNear(dug.lines[lineIndex]!, chainage_m).lip_z_m + 1e-9)
      return 'undisturbed'
    return armoured ? 'armoured' : 'fill'
  }

  /** Whether the first stretch of a way runs over a berm. */
  function fillWithin(path: readonly Point[], within_m: number): boolean {
    const along = chainages_m(path)
    return path.some((place, k) => {
      if (along[k]! > within_m) return false
      const found = windowAt(dug, place)
      return found !== null && found.inset.laid[cellAt(found.inset.ground.geometry, place[0], place[1])]! > 0
    })
  }
}

/** Acceptable places first, then by weight, then by how far buildings are; ends before the middle, the start before the end. */
function compare(a: Omit<SpillPlace, 'rank'>, b: Omit<SpillPlace, 'rank'>): number {
  // Nothing that forbids comes before one thing, one before two.
  const [fa, fb] = [a, b].map(({ reasons }) => reasons.filter(r => r.side === 'forbids').length)
  const weight = fa! - fb! || spillWeight(a.reasons) - spillWeight(b.reasons)
  if (weight !== 0) return weight
  const [da, db] = [a, b].map(({ overflow }) => Math.min(overflow?.buildings[0]?.distance_m ?? 1000, 1000))
  if (da !== db) return db! - da!
  const [wa, wb] = [a, b].map(({ where }) => ['start', 'end', 'between'].indexOf(where))
  return wa! - wb! || a.chainage_m - b.chainage_m
}
