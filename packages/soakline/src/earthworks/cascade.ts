import { InputError } from '../foundation/index.js'
import { type Inflow, type Pool, type PoolRouting, routePool } from './pool.js'

/** One ditch of several above one another. */
export interface CascadeDitch {
  readonly pool: Pool
  /** From its own catchment, without what the ditches above spill. */
  readonly inflow: Inflow
  /** Index of the ditch that its spill runs into; null where it runs past them all. */
  readonly spillsTo: number | null
  readonly start_m?: number
}

/** What `routeCascade` may be told besides. */
export interface CascadeOptions {
  /** A ditch whose berm gives way, when its water stands highest or at a time. Default none. */
  readonly fails?: { readonly ditch: number; readonly when: 'highest' | { readonly at_s: number } }
  /** Width of a gap. Default 2 m (judgement). */
  readonly gapWidth_m?: number
  readonly follow_h?: number
}

/** How the ditches do together. */
export interface CascadeRouting {
  readonly ditches: readonly PoolRouting[]
  /** Ditches whose berm gave way: the one asked for, and each below it that was run over. In order from the top. */
  readonly fallen: readonly number[]
  /** What runs past the last ditches. */
  readonly leaves_m3: number
  readonly soaked_m3: number
  readonly left_m3: number
}

/**
 * Routes a storm through ditches that spill into one another. When one fails, its store and the rest of its storm run out through one gap; a
 * ditch below that is run over by it fails too.
 *
 * Shapes  ditches from the top down: each spills to a later one or past them; all inflows have one step.
 * Laws    inflow + what stood = leaves + soaked + left. Water takes no time from one ditch to the next.
 * Throws  `cascade/bad-order`, `cascade/bad-steps`, `cascade/no-such-ditch`, and what `routePool` throws.
 * Cost    one routing a ditch, two for the one that fails.
 */
export function routeCascade(ditches: readonly CascadeDitch[], { fails, gapWidth_m = 2, follow_h }: CascadeOptions = {}): CascadeRouting {
  checkCascade(ditches, fails?.ditch)
  const routed: PoolRouting[] = []
  const struck = new Set<number>()
  for (const [index, { pool, inflow, spillsTo, start_m }] of ditches.entries()) {
    const above = routed.filter((_, k) => ditches[k]!.spillsTo === index)
    const steps = Math.max(inflow.arriving_m3?.length ?? 0, ...above.map(({ spilled_m3BySteps }) => spilled_m3BySteps.length))
    const arriving_m3 = Array.from({ length: steps }, (_, step) =>
      above.reduce((sum, { spilled_m3BySteps }) => sum + (spilled_m3BySteps[step] ?? 0), inflow.arriving_m3?.[step] ?? 0),
    )
    const whole: Inflow = { ...inflow, arriving_m3 }
    const options = { ...(start_m === undefined ? {} : { start_m }), ...(follow_h === undefined ? {} : { follow_h }) }
    let answer: PoolRouting
    if (fails?.ditch === index) {
      const at_s = fails.when === 'highest' ? routePool(pool, whole, options).highestAt_s : fails.when.at_s
      answer = routePool(pool, whole, { ...options, gap: { width_m: gapWidth_m, opens: { at_s } } })
    } else if (struck.has(index)) answer = routePool(pool, whole, { ...options, gap: { width_m: gapWidth_m, opens: 'over-crest' } })
    else answer = routePool(pool, whole, options)
    routed.push(answer)
    if (spillsTo !== null && (answer.gapOpened_s !== null || struck.has(index))) struck.add(spillsTo)
  }
  return {
    ditches: routed,
    fallen: [...routed.keys()].filter(k => routed[k]!.gapOpened_s !== null),
    leaves_m3: routed.reduce((sum, { spilled_m3 }, k) => sum + (ditches[k]!.spillsTo === null ? spilled_m3 : 0), 0),
    soaked_m3: routed.reduce((sum, { soaked_m3 }) => sum + soaked_m3, 0),
    left_m3: routed.reduce((sum, { left_m3 }) => sum + left_m3, 0),
  }
}

function checkCascade(ditches: readonly CascadeDitch[], fails: number | undefined): void {
  for (const [index, { spillsTo, inflow }] of ditches.entries()) {
    if (spillsTo !== null && !(spillsTo > index && spillsTo < ditches.length))
      throw new InputError(
        'cascade/bad-order',
        `Ditch ${index + 1} spills to ditch ${spillsTo + 1}; list the ditches from the top down, each spilling to a later one.`,
        { index, spillsTo },
      )
    if (inflow.step_s !== ditches[0]!.inflow.step_s)
      throw new InputError(
        'cascade/bad-steps',
        `The inflow of ditch ${index + 1} has steps of ${inflow.step_s} s, the first ${ditches[0]!.inflow.step_s} s; give all the same.`,
        {
          index,
          step_s: inflow.step_s,
        },
      )
  }
  if (fails !== undefined && !ditches[fails])
    throw new InputError('cascade/no-such-ditch', `Ditch ${fails + 1} is to fail; there are ${ditches.length}.`, { fails })
}
