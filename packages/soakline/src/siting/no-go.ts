import { finish, type Steps, within } from '../foundation/index.js'
import { contributingAreaSteps, type WaterStudy } from '../hydrology/index.js'
import type { Grid, GridGeometry } from '../raster/index.js'
import type { FeatureKind, SiteFeature } from './feature.js'
import { aboveCells, aboveSlipCells, boundaryCells, higherNear, nearCells, seepageCells } from './feature-reasons.js'
import type { GroundLayers } from './ground-layers.js'
import {
  bankCells,
  canopyCells,
  coverCells,
  type GroundRead,
  realHollowCells,
  slideProneCells,
  steeperCells,
  steepWeakCells,
  wetCells,
} from './ground-reasons.js'
import { type GroundLimits, groundLimits, type NoGoLimits } from './no-go-limits.js'
import { type NoGoReason, reasonBit } from './no-go-reasons.js'

/** No-go ground: each cell knows all its reasons. */
export interface NoGoGround {
  readonly geometry: GridGeometry
  /** Bit k is set where reason k of `NO_GO_REASONS` holds. */
  readonly reasons: Uint32Array
}

/** What may be handed in besides features and limits. */
export interface NoGoOptions {
  readonly layers?: GroundLayers
  /** What an earlier call worked out, see `NoGoMemory`. */
  readonly memory?: NoGoMemory
}

/**
 * What no-go ground is made of, part by part, so that a changed feature or limit works out its own parts alone. A shell keeps one for each ground
 * and hands it in; for another study or other layers it begins anew by itself.
 */
export interface NoGoMemory {
  ground: GroundRead | null
  area: Grid<'contributing-area_m2', Float64Array> | null
  readonly parts: Map<string, { readonly key: string; readonly cells: Uint32Array }>
}

/** New memory, empty. */
export const noGoMemory = (): NoGoMemory => ({ ground: null, area: null, parts: new Map() })

/** One ground for one reason. */
interface Part {
  readonly name: string
  readonly reason: NoGoReason
  /** The limits and the kinds of features that it hangs on, besides the ground. */
  readonly limits: readonly (keyof NoGoLimits)[]
  readonly kinds: readonly FeatureKind[]
  readonly cells: (at: Inputs) => readonly number[]
}

interface Inputs {
  readonly read: GroundRead
  readonly study: WaterStudy
  readonly of: (...kinds: FeatureKind[]) => SiteFeature[]
  readonly limits: NoGoLimits & GroundLimits
  readonly area: Grid<'contributing-area_m2', Float64Array>
}

const near = (kind: FeatureKind, reason: NoGoReason, limit: keyof NoGoLimits | null): Part => ({
  name: `near ${kind}`,
  reason,
  limits: limit ? [limit] : [],
  kinds: [kind],
  cells: ({ study, of, limits }) => nearCells(study, of(kind), limit ? (limits[limit] as number) : 0),
})

const above = (kind: FeatureKind, reason: NoGoReason, margin: keyof NoGoLimits | null): Part => ({
  name: `above ${kind}`,
  reason,
  limits: margin ? ['aboveShare_ratio', margin] : ['aboveShare_ratio'],
  kinds: [kind],
  cells: ({ study, of, limits }) => aboveCells(study, of(kind), margin ? (limits[margin] as number) : 0, limits.aboveShare_ratio),
})

const SLIDE_LIMITS = [
  'slideCohesion_kPa',
  'slideFriction_deg',
  'slideWeight_kNm3',
  'slideDepth_m',
  'slideWetShare_ratio',
  'slideFactor_ratio',
] as const

/** All parts; those of one reason are joined. */
const PARTS: readonly Part[] = [
  above('building', 'above-building', 'buildingMargin_m'),
  above('septic', 'septic', null),
  above('well', 'well', null),
  near('building', 'near-building', 'setbackBuilding_m'),
  near('forest', 'forest', null),
  near('wet', 'wet-ground', null),
  near('slip', 'slip', null),
  near('spring', 'spring', 'setbackSpring_m'),
  near('septic', 'septic', 'setbackSeptic_m'),
  near('well', 'well', 'setbackWell_m'),
  near('track', 'track', 'setbackTrack_m'),
  near('stream', 'stream', 'setbackStream_m'),
  near('utility', 'utility', 'setbackUtility_m'),
  {
    name: 'boundary',
    reason: 'boundary',
    limits: ['setbackBoundary_m'],
    kinds: ['boundary'],
    cells: ({ study, of, limits }) => boundaryCells(study, of('boundary'), limits.setbackBoundary_m),
  },
  {
    name: 'seepage',
    reason: 'seepage',
    limits: ['seepage_m', 'seepageDepths_ratio', 'depth_m'],
    kinds: ['building', 'septic', 'well'],
    cells: ({ study, of, limits }) =>
      seepageCells(study, of('building', 'septic', 'well'), Math.max(limits.seepage_m, limits.seepageDepths_ratio * limits.depth_m)),
  },
  {
    name: 'above bank',
    reason: 'above-bank',
    limits: ['bankSlope_ratio', 'bankDistance_m'],
    kinds: [],
    cells: ({ read, study, limits }) => higherNear(study, bankCells(read, limits.bankSlope_ratio), [], limits.bankDistance_m),
  },
  {
    name: 'above track',
    reason: 'above-bank',
    limits: ['bankDistance_m'],
    kinds: ['track', 'wall'],
    cells: ({ study, of, limits }) => higherNear(study, [], of('track', 'wall'), limits.bankDistance_m),
  },
  {
    name: 'above slip',
    reason: 'above-slip',
    limits: ['slipHead_m'],
    kinds: ['slip'],
    cells: ({ study, of, limits }) => aboveSlipCells(study, of('slip'), limits.slipHead_m),
  },
  {
    name: 'hollow',
    reason: 'hollow',
    limits: ['hollowDepth_m', 'hollowVolume_m3'],
    kinds: [],
    cells: ({ read, limits }) => realHollowCells(read, limits),
  },
  {
    name: 'too steep',
    reason: 'too-steep',
    limits: ['steepSlope_ratio'],
    kinds: [],
    cells: ({ read, limits }) => steeperCells(read, limits.steepSlope_ratio),
  },
  {
    name: 'slide-prone',
    reason: 'slide-prone',
    limits: SLIDE_LIMITS,
    kinds: [],
    cells: ({ read, limits }) => slideProneCells(read, limits),
  },
  {
    name: 'steep weak soil',
    reason: 'steep-weak-soil',
    limits: ['weakSoil', 'weakSlope_ratio'],
    kinds: [],
    cells: ({ read, limits }) => steepWeakCells(read, limits),
  },
  {
    name: 'high wetness',
    reason: 'high-wetness',
    limits: ['wetnessIndex_ln'],
    kinds: [],
    cells: ({ read, limits, area }) => wetCells(read, area, limits.wetnessIndex_ln),
  },
  {
    name: 'canopy',
    reason: 'forest',
    limits: ['canopyHeight_m'],
    kinds: [],
    cells: ({ read, limits }) => canopyCells(read, limits.canopyHeight_m),
  },
  { name: 'forest cover', reason: 'forest', limits: [], kinds: [], cells: ({ read }) => coverCells(read, 'forest') },
  { name: 'wet cover', reason: 'wet-ground', limits: [], kinds: [], cells: ({ read }) => coverCells(read, 'wet') },
]

/**
 * Where no swale goes, with all the reasons for each place. Some reasons are `CAUTIONS`: there a professional is asked, or the place is looked at, first.
 * Ground without a reason is not cleared: what was not drawn or measured was not looked at.
 *
 * Laws    the order of the features changes nothing; drawing more of them never frees a cell (but that the ground inside a second boundary belongs to
 *         the holding too), nor does enlarging a setback; the raster turned or mirrored with its features gives the ground turned or mirrored;
 *         with a memory the same as without.
 * Throws  InputError `slope/bad-soil`.
 * Cost    some passes over the raster; with a memory only the parts whose features or limits changed.
 */
export function noGoGround(
  study: WaterStudy,
  gradient: Grid<'gradient_ratio'>,
  features: readonly SiteFeature[],
  limits: NoGoLimits,
  options: NoGoOptions = {},
): NoGoGround {
  return finish(noGoGroundSteps(study, gradient, features, limits, options))
}

/** `noGoGround` in steps, one for each part. */
export function* noGoGroundSteps(
  study: WaterStudy,
  gradient: Grid<'gradient_ratio'>,
  features: readonly SiteFeature[],
  limits: NoGoLimits,
  { layers = {}, memory = noGoMemory() }: NoGoOptions = {},
): Steps<NoGoGround> {
  const before = memory.ground
  if (!before || before.study !== study || before.gradient !== gradient || !sameLayers(before.layers, layers)) {
    memory.parts.clear()
    memory.area = null
    memory.ground = { study, gradient, layers }
  }
  memory.area ??= yield* within(0, 0.6, contributingAreaSteps(study.net))
  const { area } = memory
  const all: NoGoLimits & GroundLimits = { ...limits, ...groundLimits(limits) }
  const inputs: Inputs = {
    read: memory.ground!,
    study,
    of: (...kinds) => features.filter(f => kinds.includes(f.kind)),
    limits: all,
    area,
  }
  const reasons = new Uint32Array(study.ground.data.length)
  let done = 0
  for (const part of PARTS) {
    const key = JSON.stringify([part.limits.map(k => all[k]), inputs.of(...part.kinds).map(f => [f.kind, f.floor_m, f.shapes])])
    let kept = memory.parts.get(part.name)
    if (kept?.key !== key) {
      kept = { key, cells: Uint32Array.from(part.cells(inputs)) }
      memory.parts.set(part.name, kept)
    }
    const bit = reasonBit(part.reason)
    for (const cell of kept.cells) reasons[cell]! |= bit
    yield 0.6 + (0.4 * ++done) / PARTS.length
  }
  return { geometry: study.ground.geometry, reasons }
}

const sameLayers = (a: GroundLayers, b: GroundLayers): boolean =>
  a.surface === b.surface && a.landCover === b.landCover && a.soil === b.soil
