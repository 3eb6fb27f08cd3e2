import { type Steps, within } from '../foundation/index.js'
import { cellAt, chainages_m, type ElevationGrid, type Grid, type Point, stations, surfaceValue } from '../raster/index.js'
import { contourLinesSteps, gradientSteps } from '../terrain/index.js'
import type { CandidateLimits } from './candidate-limits.js'
import type { NoGoGround } from './no-go.js'
import { CAUTION_BITS, type NoGoReason, reasonsOf } from './no-go-reasons.js'
import { smoothedGround } from './smoothed-ground.js'

/** A stretch of a contour on which nothing was found against a ditch. */
export interface Run {
  readonly elevation_m: number
  readonly path: readonly Point[]
  readonly length_m: number
  readonly slope_ratio: number
  /** Area that drains into it by a quick count, without following the water. */
  readonly roughArea_m2: number
}

/** Why stretches of contour were left out: a reason of no-go ground, or the line itself. */
export type RuledOutBy = NoGoReason | 'too-gentle' | 'too-steep-for-ditch' | 'foot-of-slope' | 'off-level' | 'too-short'

/** All runs, and the length of contour that each reason left out. */
export interface Runs {
  readonly runs: readonly Run[]
  readonly looked_m: number
  readonly ruledOut_m: ReadonlyMap<RuledOutBy, number>
}

/**
 * The stretches of the contours of the smoothed ground where a ditch may run: off no-go ground, on slopes that can be dug, the ground no farther
 * from the level than a ditch can take.
 *
 * Cost    one pass for each level, one step for each half cell of contour.
 */
export function* candidateRunsSteps(
  ground: ElevationGrid,
  noGo: NoGoGround,
  area: Grid<'contributing-area_m2', Float64Array>,
  limits: CandidateLimits,
): Steps<Runs> {
  const g = ground.geometry
  const smooth = smoothedGround(ground, limits.searchSmoothing_m)
  yield 0.1
  const slope = yield* within(0.1, 0.2, gradientSteps(smooth))
  const lines = yield* within(0.2, 0.7, contourLinesSteps(smooth, limits.searchInterval_m))
  const avoided = limits.avoidCautions ? ~0 : ~CAUTION_BITS
  const ruledOut = new Map<RuledOutBy, number>()
  const ruleOut = (why: RuledOutBy, length_m: number): unknown => ruledOut.set(why, (ruledOut.get(why) ?? 0) + length_m)
  const runs: Run[] = []
  let looked_m = 0
  for (const [k, line] of lines.entries()) {
    const along = stations(line.path, g.cell_m / 2)
    const step_m = along.length > 1 ? along[1]!.chainage_m : 0
    looked_m += step_m * (along.length - 1)
    const good = along.map(({ at, heading }) => {
      const cell = cellAt(g, at[0], at[1])
      const word = noGo.reasons[cell]! & avoided
      const s = slope.data[cell]!
      if (word) for (const reason of reasonsOf(word)) ruleOut(reason, step_m)
      else if (!(s >= limits.leastSlope_ratio)) ruleOut('too-gentle', step_m)
      else if (!(s <= limits.mostSlope_ratio)) ruleOut('too-steep-for-ditch', step_m)
      else if (isAtFoot(smooth, at, heading, line.elevation_m, limits)) ruleOut('foot-of-slope', step_m)
      else if (!(Math.abs(surfaceValue(ground, at) - line.elevation_m) <= limits.mostOffLevel_m)) ruleOut('off-level', step_m)
      else return true
      return false
    })
    // A closed contour begins where nothing can be dug, so that no stretch is cut in two by chance.
    const firstBad = line.closed ? good.indexOf(false) : -1
    const order = firstBad > 0 ? [...along.slice(firstBad), ...along.slice(1, firstBad + 1)] : along
    const isGood = firstBad > 0 ? [...good.slice(firstBad), ...good.slice(1, firstBad + 1)] : good
    for (let from = 0; from < order.length; from++) {
      if (!isGood[from]) continue
      let to = from
      while (to + 1 < order.length && isGood[to + 1]) to++
      for (const path of parted(
        order.slice(from, to + 1).map(s => s.at),
        limits,
      )) {
        const length_m = chainages_m(path).at(-1)!
        if (length_m < limits.leastLength_m) {
          ruleOut('too-short', length_m)
          continue
        }
        const cells = path.map(at => cellAt(g, at[0], at[1]))
        const sum = (values: ArrayLike<number>): number => cells.reduce((total, cell) => total + values[cell]!, 0)
        runs.push({
          elevation_m: line.elevation_m,
          path,
          length_m,
          slope_ratio: sum(slope.data) / cells.length,
          roughArea_m2: (sum(area.data) / cells.length / g.cell_m) * length_m,
        })
      }
      from = to
    }
    if (k % 16 === 15) yield 0.7 + (0.3 * (k + 1)) / lines.length
  }
  return { runs, looked_m, ruledOut_m: ruledOut }
}

/**
 * Whether flat ground begins soon below a place: a lake, a wet meadow, a valley floor. A ditch there has little to spill down, and water near its bed.
 * Where the ground below is not known it is not held against the place.
 */
function isAtFoot(
  smooth: ElevationGrid,
  at: Point,
  heading: Point,
  level_m: number,
  { leastSlope_ratio, footReach_m }: CandidateLimits,
): boolean {
  // Positive to the right of the line.
  const beside = (away_m: number): number => surfaceValue(smooth, [at[0] + heading[1] * away_m, at[1] - heading[0] * away_m])
  const near_m = smooth.geometry.cell_m
  const downhill = beside(near_m) < beside(-near_m) ? 1 : -1
  const below = [1 / 3, 2 / 3, 1].map(part => beside(downhill * part * footReach_m)).filter(z => !Number.isNaN(z))
  return below.length > 0 && level_m - Math.min(...below) < 0.99 * leastSlope_ratio * footReach_m
}

/** A long stretch in equal parts with a gap between them. */
function parted(path: readonly Point[], { mostLength_m, lineGap_m }: CandidateLimits): Point[][] {
  const along = chainages_m(path)
  const length_m = along[along.length - 1] ?? 0
  if (length_m <= mostLength_m) return [[...path]]
  const parts = Math.ceil((length_m + lineGap_m) / (mostLength_m + lineGap_m))
  const each_m = (length_m - (parts - 1) * lineGap_m) / parts
  return Array.from({ length: parts }, (_, k) => {
    const from_m = k * (each_m + lineGap_m)
    return path.filter((_at, n) => along[n]! >= from_m - 1e-9 && along[n]! <= from_m + each_m + 1e-9)
  }).filter(part => part.length > 1)
}
