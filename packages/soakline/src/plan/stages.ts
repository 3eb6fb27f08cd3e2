import { storageAt_m3, weirsFlow_m3s } from '../earthworks/index.js'
import type { Site } from './assess.js'
import type { Assessment } from './assessment.js'
import { ditchPool, lineDitch, lineGround } from './line-ditch.js'
import type { Settings } from './settings.js'
import { spillOfBed_m } from './spill-place.js'
import { openings } from './spillway.js'

/** The ditch with its water standing at one level. */
export interface Stage {
  readonly level_m: number
  /** Over the lowest bed. */
  readonly depth_m: number
  readonly held_m3: number
  /** Over notch and sill; null while the sill's length is not known and the water stands over it. */
  readonly leaves_m3s: number | null
  /** Deepest over the original ground at the berm's inner toe. */
  readonly againstFill_m: number
  /** Of the settled crest, where it is lowest; below 0 the berm is run over. */
  readonly crestOver_m: number
}

/** Steps from bed to crest. */
const STEPS = 60

/**
 * What the ditch of an answered line holds and lets out with its water at rest at each level from its bed to its crest; null without a ditch.
 *
 * Laws    more water never holds or lets out less; at the level where the first water leaves it holds the answer's `toSill_m3`.
 */
export function stagesOf(
  site: Pick<Site, 'study'>,
  answer: Pick<Assessment, 'line' | 'acceptance' | 'storage' | 'spillway' | 'spills'>,
  settings: Settings,
): readonly Stage[] | null {
  if (answer.storage === null) return null
  const ground = lineGround(site.study.surveyed, answer.line.path)
  const ditch = lineDitch(ground, settings, spillOfBed_m(answer, ground, settings), answer.acceptance.freeboard_m)
  if (ditch === null) return null
  const pool = ditchPool(ditch, 0)
  const length_m = answer.spillway?.length_m ?? null
  const { notch, sill } = openings(ditch, length_m ?? 1, settings)
  return Array.from({ length: STEPS + 1 }, (_, k): Stage => {
    const depth_m = (ditch.crestLevel_m * k) / STEPS
    return {
      level_m: ditch.bed_m + depth_m,
      depth_m,
      held_m3: storageAt_m3(pool, depth_m),
      leaves_m3s: length_m === null && depth_m > sill.crest_m ? null : weirsFlow_m3s(notch ? [notch, sill] : [sill], depth_m),
      againstFill_m: Math.max(0, ...ditch.stakes.map(({ bed_m, section }) => ditch.bed_m + depth_m - bed_m - section.lip_z_m)),
      crestOver_m: ditch.crestLevel_m - depth_m,
    }
  })
}

const between = (a: number, b: number, t: number): number => a + t * (b - a)

/** The stage at a level, straight between those of the table; kept to the table. */
export function stageAt(stages: readonly Stage[], level_m: number): Stage | null {
  const [first, last] = [stages[0], stages[stages.length - 1]]
  if (first === undefined || last === undefined) return null
  if (level_m <= first.level_m) return first
  const k = stages.findIndex(stage => stage.level_m >= level_m)
  if (k < 0) return last
  const [a, b] = [stages[k - 1]!, stages[k]!]
  const t = (level_m - a.level_m) / (b.level_m - a.level_m)
  return {
    level_m,
    depth_m: between(a.depth_m, b.depth_m, t),
    held_m3: between(a.held_m3, b.held_m3, t),
    leaves_m3s: a.leaves_m3s === null || b.leaves_m3s === null ? null : between(a.leaves_m3s, b.leaves_m3s, t),
    againstFill_m: between(a.againstFill_m, b.againstFill_m, t),
    crestOver_m: between(a.crestOver_m, b.crestOver_m, t),
  }
}
