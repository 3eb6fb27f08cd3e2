import type { WaterStudy } from '../hydrology/index.js'
import { cellArea_m2, cellAt, type Grid, type Point, ringsAbove, stations } from '../raster/index.js'
import type { SiteFeature } from './feature.js'
import { type NoGoGround, type NoGoOptions, noGoGround, noGoMemory } from './no-go.js'
import type { NoGoLimits } from './no-go-limits.js'
import { CAUTION_BITS, NO_GO_REASONS, type NoGoReason, reasonBit, reasonsOf } from './no-go-reasons.js'

/** A stretch of a line with the reasons against it. */
export interface NoGoStretch {
  readonly from_m: number
  readonly to_m: number
  readonly reasons: readonly NoGoReason[]
}

/** The stretches of a line that lie on no-go ground, looked at every half cell; cautions are left to `cautionsAlong`. */
export const noGoAlong = (noGo: NoGoGround, line: readonly Point[]): NoGoStretch[] => stretchesAlong(noGo, line, ~CAUTION_BITS)

/** The stretches of a line where a caution holds: to be looked at, or a professional asked. */
export const cautionsAlong = (noGo: NoGoGround, line: readonly Point[]): NoGoStretch[] => stretchesAlong(noGo, line, CAUTION_BITS)

function stretchesAlong(noGo: NoGoGround, line: readonly Point[], bits: number): NoGoStretch[] {
  const stretches: { from_m: number; to_m: number; word: number }[] = []
  for (const { chainage_m, at } of stations(line, noGo.geometry.cell_m / 2)) {
    const cell = cellAt(noGo.geometry, at[0], at[1])
    const word = cell < 0 ? 0 : noGo.reasons[cell]! & bits
    const last = stretches[stretches.length - 1]
    if (last && last.word === word) last.to_m = chainage_m
    else stretches.push({ from_m: chainage_m, to_m: chainage_m, word })
  }
  return stretches.filter(s => s.word !== 0).map(({ from_m, to_m, word }) => ({ from_m, to_m, reasons: reasonsOf(word) }))
}

/** No-go ground as rings, one set for each reason that occurs, cautions too. */
export function noGoRings(noGo: NoGoGround): { readonly reason: NoGoReason; readonly rings: Point[][] }[] {
  const mask = new Uint8Array(noGo.reasons.length)
  return NO_GO_REASONS.flatMap(reason => {
    const wanted = reasonBit(reason)
    let found = false
    for (let cell = 0; cell < mask.length; cell++) {
      mask[cell] = noGo.reasons[cell]! & wanted ? 1 : 0
      found ||= mask[cell] === 1
    }
    return found ? [{ reason, rings: ringsAbove(noGo.geometry, mask, 0.5) }] : []
  })
}

/** What another limit would do to no-go ground. */
export interface NoGoChange {
  /** Ground that would have no reason left, cautions counted as reasons. */
  readonly freed_m2: number
  /** Ground that has no reason now and would have one. */
  readonly taken_m2: number
  /** For each reason whose ground changes, how much it loses and gains. */
  readonly byReason: readonly { readonly reason: NoGoReason; readonly lost_m2: number; readonly gained_m2: number }[]
}

/**
 * How no-go ground changes if some limits change.
 *
 * Laws    the same limits change nothing; undoing the change gives back what it took.
 * Cost    with a memory only the parts that hang on the changed limits; it then holds the changed ones, so a shell hands in one kept for this question.
 */
export function noGoChange(
  study: WaterStudy,
  gradient: Grid<'gradient_ratio'>,
  features: readonly SiteFeature[],
  limits: NoGoLimits,
  changed: Partial<NoGoLimits>,
  { layers = {}, memory = noGoMemory() }: NoGoOptions = {},
): NoGoChange {
  const before = noGoGround(study, gradient, features, limits, { layers, memory })
  const after = noGoGround(study, gradient, features, { ...limits, ...changed }, { layers, memory })
  const area_m2 = cellArea_m2(before.geometry)
  let freed = 0
  let taken = 0
  const lost = new Float64Array(NO_GO_REASONS.length)
  const gained = new Float64Array(NO_GO_REASONS.length)
  for (let cell = 0; cell < before.reasons.length; cell++) {
    const [was, is] = [before.reasons[cell]!, after.reasons[cell]!]
    if (was === is) continue
    if (is === 0) freed++
    if (was === 0) taken++
    for (let k = 0; k < NO_GO_REASONS.length; k++) {
      if (was & ~is & (1 << k)) lost[k]!++
      if (is & ~was & (1 << k)) gained[k]!++
    }
  }
  return {
    freed_m2: freed * area_m2,
    taken_m2: taken * area_m2,
    byReason: NO_GO_REASONS.flatMap((reason, k) =>
      lost[k]! + gained[k]! > 0 ? [{ reason, lost_m2: lost[k]! * area_m2, gained_m2: gained[k]! * area_m2 }] : [],
    ),
  }
}
