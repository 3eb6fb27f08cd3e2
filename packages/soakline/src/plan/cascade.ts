import { type CascadeDitch, type CascadeRouting, routeCascade } from '../earthworks/index.js'
import { InputError } from '../foundation/index.js'
import { lineCatchment, type RainTable } from '../hydrology/index.js'
import { cellArea_m2, crosses, crossingAt, type Point } from '../raster/index.js'
import { type AssessOptions, assess, type Site } from './assess.js'
import type { Assessment, StormAnswer } from './assessment.js'
import { ditchPool, lineDitch, lineGround } from './line-ditch.js'
import type { Settings } from './settings.js'
import { spillInUse } from './spill-place.js'
import { openings, STORM_FOLLOWED_h } from './spillway.js'
import { levelsOf } from './storm-hours.js'

/** One ditch among several. */
export interface DitchOfCascade {
  /** Index of its line as handed in. */
  readonly line: number
  /** Index of the line that its overflow meets first; null where it runs past them all. */
  readonly spillsInto: number | null
  readonly catchment_m2: number
  /** What drains here without passing a ditch further up. */
  readonly ownArea_m2: number
  /** In the acceptance storm on wet soil, all ditches full, nothing soaking, notches blocked; what the ditches above spill comes besides. */
  readonly highestWater_m: number
  readonly freeboard_m: number
  readonly peakSpill_m3s: number
  readonly spilled_m3: number
  readonly bedElevation_m: number
  /** Where the first water leaves. */
  readonly sillElevation_m: number
  /** The way of its overflow, to where it meets the next ditch or ends. */
  readonly way: readonly Point[]
  /** The same storm on the soil as it usually is, step by step from empty ditches, with what the ditches above spill. */
  readonly levels: NonNullable<StormAnswer['levels']>
}

/** Several ditches on one slope, each spilling into the next or past it. */
export interface Cascade {
  readonly chancePerYear: number
  readonly ditches: readonly DitchOfCascade[]
  /** What happens below when the berm of one gives way while its water stands highest. */
  readonly whenFails: readonly {
    readonly line: number
    /** Lines whose berms give way as well, run over by it. */
    readonly alsoFall: readonly number[]
    readonly peak_m3s: number
    readonly leaves_m3: number
  }[]
}

/**
 * The ditches of several lines together; null where the acceptance storm's peak or a ditch is not known.
 *
 * Laws    a single line gives its own worst case; own areas never sum to more than the catchment of the lowest lines that they run into.
 * Throws  what `assess` throws; `cascade/one-line` for fewer than two lines.
 * Source  `routeCascade`; a gap 2 m wide down to the bed (judgement).
 */
export function cascadeOf(
  site: Site,
  lines: readonly (readonly Point[])[],
  settings: Settings,
  rain: RainTable | null,
  options: AssessOptions = {},
): Cascade | null {
  if (lines.length < 2) throw new InputError('cascade/one-line', 'Ditches below one another are two or more; draw another line.', {})
  const answers = lines.map(line => assess(site, line, settings, rain, options))
  const chancePerYear = Math.min(...answers.map(a => a.acceptance.chancePerYear))
  const again = answers.map((answer, k) =>
    answer.acceptance.chancePerYear === chancePerYear
      ? answer
      : assess(site, lines[k]!, { ...settings, acceptanceChance: chancePerYear }, rain, options),
  )
  // From the top down: water never runs to a higher bed.
  const order = [...again.keys()].sort((a, b) => again[b]!.line.bedElevation_m - again[a]!.line.bedElevation_m || a - b)
  const own = ownAreas_m2(site, lines, order)
  const ditches: CascadeDitch[] = []
  const filling: CascadeDitch[] = []
  const laid: Pick<DitchOfCascade, 'way' | 'bedElevation_m' | 'sillElevation_m'>[] = []
  for (const line of order) {
    const answer = again[line]!
    const ground = lineGround(site.study.surveyed, lines[line]!)
    const ditch = answer.spillway && lineDitch(ground, settings, answer.spillway.chainage_m, answer.acceptance.freeboard_m)
    if (!ditch || !answer.spillway || !answer.hydrograph) return null
    const share = answer.catchment.area_m2 > 0 ? own[line]! / answer.catchment.area_m2 : 0
    const { into, way } = overflowOf(answer, lines, order, line)
    const spillsTo = into === null ? null : order.indexOf(into)
    const { notch, sill } = openings(ditch, answer.spillway.length_m, settings)
    const { step_h, wet_m3s, expected_m3s } = answer.hydrograph
    ditches.push({
      pool: { levels: ditchPool(ditch, 0), outlets: [sill], crest_m: ditch.crestLevel_m },
      inflow: { step_s: STEP_s, flows_m3s: resampled(step_h, wet_m3s, share) },
      spillsTo,
      start_m: ditch.sillLevel_m,
    })
    filling.push({
      pool: {
        levels: ditchPool(ditch, answer.soaking.infiltration_mmh ?? 0),
        outlets: notch ? [notch, sill] : [sill],
        crest_m: ditch.crestLevel_m,
      },
      inflow: { step_s: STEP_s, flows_m3s: resampled(step_h, expected_m3s, share) },
      spillsTo,
    })
    laid.push({ way, bedElevation_m: ditch.bed_m, sillElevation_m: ditch.bed_m + ditch.spillLevel_m })
  }
  const whole = routeCascade(ditches, { follow_h: 1 })
  const filled = routeCascade(filling, { follow_h: STORM_FOLLOWED_h })
  return {
    chancePerYear,
    ditches: order.map((line, k): DitchOfCascade => {
      const routed = whole.ditches[k]!
      return {
        line,
        spillsInto: ditches[k]!.spillsTo === null ? null : order[ditches[k]!.spillsTo!]!,
        catchment_m2: again[line]!.catchment.area_m2,
        ownArea_m2: own[line]!,
        highestWater_m: again[line]!.line.bedElevation_m + routed.highest_m,
        freeboard_m: routed.freeboard_m,
        peakSpill_m3s: routed.peakSpill_m3s,
        spilled_m3: routed.spilled_m3,
        ...laid[k]!,
        levels: levelsOf(
          filled.ditches[k]!,
          laid[k]!.bedElevation_m,
          filling[k]!.pool.levels,
          filling[k]!.inflow.flows_m3s,
          filled.ditches.filter((_, j) => filling[j]!.spillsTo === k),
        ),
      }
    }),
    whenFails: order.map((line, k) => {
      const routed = routeCascade(ditches, { follow_h: 1, fails: { ditch: k, when: 'highest' } })
      return {
        line,
        alsoFall: routed.fallen.filter(j => j !== k).map(j => order[j]!),
        peak_m3s: peakBelow(routed, k, ditches),
        leaves_m3: routed.leaves_m3,
      }
    }),
  }
}

/** All inflows of a cascade share one step. */
const STEP_s = 60

/** A hydrograph at the cascade's step, its volume kept: each new step takes the mean of the old flow over it. */
function resampled(step_h: number, flows_m3s: readonly number[], share: number): number[] {
  const old_s = step_h * 3600
  const volumeBefore: number[] = [0]
  for (let k = 1; k < flows_m3s.length; k++) volumeBefore.push(volumeBefore[k - 1]! + ((flows_m3s[k - 1]! + flows_m3s[k]!) / 2) * old_s)
  const at = (time_s: number): number => {
    const place = Math.min(flows_m3s.length - 1, Math.max(0, time_s / old_s))
    const k = Math.min(flows_m3s.length - 2, Math.floor(place))
    const part = place - k
    const slope = flows_m3s[k + 1]! - flows_m3s[k]!
    return volumeBefore[k]! + (flows_m3s[k]! * part + (slope * part * part) / 2) * old_s
  }
  const steps = Math.ceil(((flows_m3s.length - 1) * old_s) / STEP_s) + 1
  return Array.from({ length: steps + 1 }, (_, k) => (share * (at((k + 0.5) * STEP_s) - at((k - 0.5) * STEP_s))) / STEP_s)
}

/** For each line the area that reaches it without meeting a higher one. */
function ownAreas_m2(site: Site, lines: readonly (readonly Point[])[], order: readonly number[]): number[] {
  const { study } = site
  const areas = lines.map(() => 0)
  const taken = new Float64Array(study.ground.data.length)
  for (const line of order) {
    const { share, box } = lineCatchment(study.net, study.ground, lines[line]!, study.rim)
    const { width } = share.geometry
    let cells = 0
    for (let row = box.firstRow; row <= box.lastRow; row++)
      for (let cell = row * width + box.firstColumn; cell <= row * width + box.lastColumn; cell++) {
        const here = share.data[cell]!
        if (!(here > 0)) continue
        cells += Math.max(0, here - taken[cell]!)
        taken[cell] = Math.max(taken[cell]!, here)
      }
    areas[line] = cells * cellArea_m2(share.geometry)
  }
  return areas
}

/** The way of a ditch's overflow, and the lower line that it meets first: there it ends. */
function overflowOf(
  answer: Assessment,
  lines: readonly (readonly Point[])[],
  order: readonly number[],
  own: number,
): { readonly into: number | null; readonly way: readonly Point[] } {
  const spill = spillInUse(answer)
  if (!spill) return { into: null, way: [] }
  const way = [...spill.path.points, ...spill.path.beyond.slice(1)]
  const lower = order.slice(order.indexOf(own) + 1)
  for (let k = 1; k < way.length; k++) {
    const [a, b] = [way[k - 1]!, way[k]!]
    let first: { line: number; t: number } | null = null
    for (const line of lower)
      for (let j = 1; j < lines[line]!.length; j++) {
        const [p, q] = [lines[line]![j - 1]!, lines[line]![j]!]
        if (!crosses(a, b, p, q)) continue
        const t = crossingAt(a, b, p, q)
        if (first === null || t < first.t) first = { line, t }
      }
    if (first !== null) {
      const { line, t } = first
      return { into: line, way: [...way.slice(0, k), [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]] }
    }
  }
  return { into: null, way }
}

/** The highest flow that leaves past the last ditch on the way of the one that failed. */
function peakBelow({ ditches: routed }: CascadeRouting, from: number, ditches: readonly CascadeDitch[]): number {
  let at = from
  for (let next = ditches[at]!.spillsTo; next !== null; next = ditches[at]!.spillsTo) at = next
  return routed[at]!.peakSpill_m3s
}
