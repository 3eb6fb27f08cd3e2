import { finish, type Steps, within } from '../foundation/index.js'
import type { Kernels } from '../kernels/index.js'
import type { ElevationGrid, Grid, Mask } from '../raster/index.js'
import type { CutLimits } from './carving.js'
import type { CulvertPlace } from './culvert-places.js'
import { type Drainage, drainageSteps, filledSurface } from './drainage.js'
import { type Culvert, type DrawnChange, type Wall, withDrawnWorks } from './drawn-works.js'
import { inflowRimSteps } from './edge.js'
import { byVector, type FlowNetwork, flowNetworkSteps } from './flow-network.js'
import { type HollowChoice, type HollowOutcome, treatHollowsSteps } from './hollow-choices.js'
import { type Hollow, hollowInventorySteps } from './hollows.js'
import { giversOf } from './longest-flow.js'

/** Everything about the water of a ground that is worked out once, and asked again with every line. */
export interface WaterStudy {
  /** The ground that water runs on: as surveyed, with culverts and walls, carved as chosen. */
  readonly ground: ElevationGrid
  /** The ground as it was handed in; the very same as `ground` where nothing was drawn or carved. */
  readonly surveyed: ElevationGrid
  readonly drained: Drainage
  /** Who gives each cell its water along the single directions, see `giversOf`. */
  readonly givers: Uint8Array
  /** Hollows filled to where their water passes on; kept ones stay open. */
  readonly filled: Grid<'filled_m'>
  /** Every hollow full, kept ones too: the very same as `filled` where none is kept. */
  readonly brimful: Grid<'filled_m'>
  readonly net: FlowNetwork
  /** Cells where water may come in from beyond. */
  readonly rim: Mask
  /** Every hollow of `ground`, kept ones too. */
  readonly hollows: readonly Hollow[]
  /** Banks that may have a culvert under them; `hollow` is an index in `hollows`. */
  readonly culvertPlaces: readonly CulvertPlace[]
  /** What culverts and walls did to the ground. */
  readonly drawn: readonly DrawnChange[]
  /** The hollows before any was carved, in which `outcomes` index; the very same as `hollows` where none was. */
  readonly hollowsBefore: readonly Hollow[]
  /** What became of the choices, in their order. */
  readonly outcomes: readonly HollowOutcome[]
}

/** Memory that a study takes at its largest, besides the ground it is given: known before it is begun, so that a shell can refuse in time. */
export const STUDY_BYTES_PER_CELL = 64

/** What a study may be told about the ground. */
export interface StudyOptions {
  /** Cells whose hollows hold their water, besides those kept by choice. */
  readonly keep?: readonly number[]
  readonly hollows?: readonly HollowChoice[]
  readonly culverts?: readonly Culvert[]
  readonly walls?: readonly Wall[]
  /** How far a hollow may be carved. */
  readonly cuts?: CutLimits
  /** Standard error of the heights, m, for the guesses about hollows (see `HollowOptions`). */
  readonly elevationError_m?: number | null
  /** Compiled kernels for the drainage and the network: the same study without them takes longer. */
  readonly kernels?: Kernels | null
}

/**
 * Studies a ground: first what is drawn goes into it, then its hollows are treated as chosen, then water runs.
 *
 * Laws    without options the ground is the very one that was handed in; the order of choices, culverts and walls does not matter.
 * Throws  as `withDrawnWorks`.
 * Cost    some passes over the raster, under a second for a million cells; with cuts, and with kept hollows, some passes more.
 */
export function studyWater(surveyed: ElevationGrid, options: StudyOptions = {}): WaterStudy {
  return finish(studyWaterSteps(surveyed, options))
}

/** `studyWater` in steps. */
export function* studyWaterSteps(surveyed: ElevationGrid, options: StudyOptions = {}): Steps<WaterStudy> {
  const { keep = [], hollows: choices = [], cuts = {}, kernels = null } = options
  const drawn = withDrawnWorks(surveyed, options)
  const before = yield* within(0, 0.4, read(drawn.ground))
  const treated = yield* within(
    0.4,
    0.5,
    treatHollowsSteps(drawn.ground, before.brimful, before.drained, before.hollows, choices, { ...cuts, keep, uncut: drawn.walled }),
  )
  const { ground } = treated
  const now = ground === drawn.ground ? before : yield* within(0.5, 0.6, read(ground))
  const holding = treated.keep.length > 0
  const drained = holding ? yield* within(0.6, 0.65, drainageSteps(ground, { keep: treated.keep, kernels })) : now.drained
  const net = yield* within(0.65, 0.85, flowNetworkSteps(ground, drained, byVector, kernels))
  const rim = yield* within(0.85, 1, inflowRimSteps(ground, drained))
  return {
    ground,
    surveyed,
    drained,
    givers: giversOf(drained),
    filled: holding ? filledSurface(ground, drained) : now.brimful,
    brimful: now.brimful,
    net,
    rim,
    hollows: now.hollows,
    culvertPlaces: now.culvertPlaces,
    drawn: drawn.changes,
    hollowsBefore: before.hollows,
    outcomes: treated.outcomes,
  }

  function* read(on: ElevationGrid) {
    const drainedBrimful = yield* within(0, 0.7, drainageSteps(on, { kernels }))
    const brimful = filledSurface(on, drainedBrimful)
    const inventory = yield* within(0.75, 1, hollowInventorySteps(on, brimful, drainedBrimful, options))
    return { drained: drainedBrimful, brimful, ...inventory }
  }
}
