import { finish, type Steps } from '../foundation/index.js'
import { cellAt, type ElevationGrid, eachNeighbour, type Grid, type Point } from '../raster/index.js'
import { type Carving, type Cut, type CutLimits, carving, type NoCut } from './carving.js'
import { SINK } from './direction-codes.js'
import { type Drainage, drainage, filledSurface } from './drainage.js'
import { type Hollow, hollowCells } from './hollows.js'

/**
 * What to do with a hollow: `fill` lets its water pass on as if it were full (what is done where nobody chose), `carve` cuts a trench through its
 * lip, `keep` leaves it to hold whatever comes.
 */
export const HOLLOW_TREATMENTS = ['fill', 'carve', 'keep'] as const
/** One of `HOLLOW_TREATMENTS`. */
export type HollowTreatment = (typeof HOLLOW_TREATMENTS)[number]

/** A choice for the outermost hollow that holds a place. */
export interface HollowChoice {
  readonly at: Point
  readonly treatment: HollowTreatment
}

/** What became of a choice. */
export interface HollowOutcome {
  readonly choice: HollowChoice
  /** Index in the inventory that was handed in; −1 where no hollow holds the place. */
  readonly hollow: number
  /** What was done with the hollow; null where there is none. */
  readonly done: HollowTreatment | null
  /** Why it is not what was chosen: `choice/no-hollow`, `choice/overruled` by another for the same hollow, or why it could not be cut. */
  readonly because: 'choice/no-hollow' | 'choice/overruled' | NoCut | null
  /** One from each pit, in the order they were made; empty unless carved. */
  readonly cuts: readonly Cut[]
}

/** Besides the choices: how far a hollow may be carved, cells whose hollows are kept anyway, cells that no cut enters (walls). */
export type TreatOptions = CutLimits & { readonly keep?: readonly number[]; readonly uncut?: Iterable<number> }

/** A ground treated as chosen. */
export interface TreatedGround {
  /** The ground with its cuts: the very same where nothing was carved. */
  readonly ground: ElevationGrid
  /** Pits that hold their water, for `drainage`. */
  readonly keep: readonly number[]
  /** One for each choice, in their order. */
  readonly outcomes: readonly HollowOutcome[]
}

/**
 * Treats hollows as chosen. The ground's drainage and filled surface must be those without kept sinks, the inventory the one made from them.
 *
 * Where several choices name one hollow, the one that changes the ground least wins: keep before fill before carve. A kept hollow holds its water at
 * its lowest pit (at all of them where several are equally low); no cut within it or beside it goes below its rim, so none opens its lip. A hollow is carved from every pit
 * in it, lowest first, or not at all; hollows are carved in the order of their lowest pits, of equally low ones first the one whose pit comes first
 * in the raster. A cut may run through a hollow of no choice, and lower its lip.
 *
 * `keep` names cells whose hollows are kept besides, `uncut` cells that no cut enters (walls).
 * Laws    as of `carving`; a kept hollow stays as deep as it was; the order of the choices does not matter, nor which cell of a hollow they name.
 */
export function treatHollows(
  ground: ElevationGrid,
  filled: Grid<'filled_m'>,
  drained: Drainage,
  inventory: readonly Hollow[],
  choices: readonly HollowChoice[],
  options: TreatOptions = {},
): TreatedGround {
  return finish(treatHollowsSteps(ground, filled, drained, inventory, choices, options))
}

/** `treatHollows` in steps, one for each hollow that is carved. */
export function* treatHollowsSteps(
  ground: ElevationGrid,
  filled: Grid<'filled_m'>,
  drained: Drainage,
  inventory: readonly Hollow[],
  choices: readonly HollowChoice[],
  { keep = [], uncut = [], ...limits }: TreatOptions = {},
): Steps<TreatedGround> {
  const z = ground.data
  const byDeepest = new Map(inventory.map((hollow, k) => [hollow.deepest, k]))
  const cellsOf = new Map<number, readonly number[]>()
  const holds = new Map<number, number>()
  const named = choices.map(choice => hollowAt(cellAt(ground.geometry, choice.at[0], choice.at[1])))
  const winning = new Map<number, HollowTreatment>()
  choices.forEach(({ treatment }, k) => {
    const hollow = named[k]!
    if (hollow < 0) return
    const rival = winning.get(hollow)
    if (!rival || MILDNESS.indexOf(treatment) < MILDNESS.indexOf(rival)) winning.set(hollow, treatment)
  })
  const keptBesides = new Set(keep.map(hollowAt))
  for (const hollow of keptBesides) if (hollow >= 0) winning.set(hollow, 'keep')
  const kept = [...winning].flatMap(([hollow, treatment]) => (treatment === 'keep' && !keptBesides.has(hollow) ? [hollow] : []))
  const keepPits = [...new Set([...keep, ...kept.flatMap(lowestPits)])].sort((a, b) => a - b)

  const toCarve = [...winning]
    .flatMap(([hollow, treatment]) => (treatment === 'carve' ? [hollow] : []))
    .sort((a, b) => lowest(a) - lowest(b) || inventory[a]!.deepest - inventory[b]!.deepest)
  const carved = new Map<number, readonly Cut[] | NoCut>()
  let data = z
  if (toCarve.length > 0) {
    const runsOn = keepPits.length > 0 ? filledSurface(ground, drainage(ground, { keep: keepPits })) : filled
    const work = carving(ground, runsOn, limits, barred())
    // Of equally low hollows and pits, which is cut first depends on how the raster lies.
    const heights = toCarve.map(lowest)
    for (const [k, hollow] of toCarve.entries()) {
      carved.set(hollow, carveAll(work, pitsOf(hollow), heights[k] === heights[k - 1] || heights[k] === heights[k + 1]))
      yield (k + 1) / toCarve.length
    }
    data = work.data
  }
  return {
    ground: data !== z && data.some((height, cell) => height < z[cell]!) ? { ...ground, data } : ground,
    keep: keepPits,
    outcomes: choices.map((choice, k): HollowOutcome => {
      const hollow = named[k]!
      const treatment = winning.get(hollow)
      if (!treatment) return { choice, hollow, done: null, because: 'choice/no-hollow', cuts: [] }
      const cuts = carved.get(hollow) ?? []
      const refused = typeof cuts === 'string'
      const because = treatment !== choice.treatment ? 'choice/overruled' : refused ? cuts : null
      return { choice, hollow, done: refused ? 'fill' : treatment, because, cuts: refused ? [] : cuts }
    }),
  }

  /** The hollow that holds a cell, or −1. */
  function hollowAt(cell: number): number {
    const known = holds.get(cell)
    if (known !== undefined || cell < 0) return known ?? -1
    const cells = hollowCells(ground, filled, cell)
    const hollow = cells.map(at => byDeepest.get(at)).find(k => k !== undefined)
    if (hollow === undefined) return -1
    cellsOf.set(hollow, cells)
    for (const at of cells) holds.set(at, hollow)
    return hollow
  }

  function lowest(hollow: number): number {
    return z[inventory[hollow]!.deepest]!
  }

  /** A hollow's pits, lowest first. */
  function pitsOf(hollow: number): number[] {
    return cellsOf
      .get(hollow)!
      .filter(cell => drained.slope[cell] === SINK)
      .sort((a, b) => z[a]! - z[b]! || a - b)
  }

  function lowestPits(hollow: number): number[] {
    return pitsOf(hollow).filter(pit => z[pit] === lowest(hollow))
  }

  /** For each cell the height below which it may not be cut: the rim of a kept hollow in it or beside it. */
  function barred(): Float32Array {
    const { width, height } = ground.geometry
    const barred_m = new Float32Array(z.length).fill(Number.NEGATIVE_INFINITY)
    for (const [hollow, treatment] of winning) {
      if (treatment !== 'keep') continue
      const bar = (at: number): void => {
        barred_m[at] = Math.max(barred_m[at]!, inventory[hollow]!.rim_m)
      }
      for (const cell of cellsOf.get(hollow)!) {
        bar(cell)
        eachNeighbour(width, height, cell, bar)
      }
    }
    for (const cell of uncut) barred_m[cell] = Number.POSITIVE_INFINITY
    return barred_m
  }
}

/** Cuts from every pit of a hollow, or, where one of them cannot be cut, none and why. */
function carveAll(work: Carving, pits: readonly number[], tied: boolean): readonly Cut[] | NoCut {
  const heights = pits.map(pit => work.data[pit]!)
  const cuts: Cut[] = []
  for (const [k, pit] of pits.entries()) {
    const cut = work.cutFrom(pit)
    if (typeof cut === 'string') {
      cuts.forEach(work.undo)
      return cut
    }
    cuts.push({ ...cut, tied: cut.tied || tied || heights[k] === heights[k - 1] || heights[k] === heights[k + 1] })
  }
  return cuts
}

/** Treatments in the order in which they win over one another. */
const MILDNESS: readonly HollowTreatment[] = ['keep', 'fill', 'carve']
