import type { Steps } from '../foundation/index.js'
import { drainageSteps, flowNetworkSteps, lineCatchment } from '../hydrology/index.js'
import { cellAt, type Point } from '../raster/index.js'
import type { Site } from './assess.js'

/** A hollow within which this much of a catchment lies is one that counts. */
const PART_OF_IT = 1e-3

/**
 * What drains into a line where every hollow above it holds its water for good: the other end of what much filled ground may do.
 *
 * Units   m².
 * Cost    another drainage of the whole ground.
 */
export function* heldArea_m2({ study }: Site, line: readonly Point[]): Steps<number> {
  const { ground, net, rim, hollows } = study
  const { share } = lineCatchment(net, ground, line, rim)
  const keep = hollows.map(({ deepest }) => deepest).filter(cell => share.data[cell]! > PART_OF_IT)
  const on = new Set(line.map(([x, y]) => cellAt(ground.geometry, x, y)))
  const drained = yield* drainageSteps(ground, { keep: keep.filter(cell => !on.has(cell)) })
  return lineCatchment(yield* flowNetworkSteps(ground, drained), ground, line, rim).area_m2
}
