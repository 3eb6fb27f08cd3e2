import { InputError } from '../foundation/index.js'
import { type GridGeometry, type Point, ringsAbove } from '../raster/index.js'
import { upperBound_ratio } from './doubt-bound.js'
import type { BuildingRuns } from './doubt-building.js'
import type { DoubtRuns, SpillRuns } from './doubt-runs.js'

/**
 * Two parts of the same runs as one, in any order: a second worker may do half of them, or more be tried later.
 *
 * Laws    parts joined are the whole, bit for bit.
 * Throws  `doubt/parts-do-not-fit` where seed or window differ or the second does not begin where the first ends.
 */
export function joinedRuns(one: DoubtRuns, two: DoubtRuns): DoubtRuns {
  const [a, b] = one.firstRun <= two.firstRun ? [one, two] : [two, one]
  const same =
    a.seed === b.seed &&
    a.firstRun + a.runs === b.firstRun &&
    a.spills.length === b.spills.length &&
    (['width', 'height', 'cell_m', 'west_m', 'north_m', 'crs'] as const).every(key => a.geometry[key] === b.geometry[key])
  if (!same)
    throw new InputError(
      'doubt/parts-do-not-fit',
      'These runs are not parts of one trial: seed or window differ, or runs are missing between them.',
      {
        seeds: [a.seed, b.seed],
        firstRuns: [a.firstRun, b.firstRun],
      },
    )
  return {
    ...a,
    runs: a.runs + b.runs,
    areas_m2: [...a.areas_m2, ...b.areas_m2],
    catchmentCut: a.catchmentCut + b.catchmentCut,
    spills: a.spills.map((spill, k) => joinedSpill(spill, b.spills[k]!)),
  }
}

const joinedSpill = (a: SpillRuns, b: SpillRuns): SpillRuns => ({
  buildings: a.buildings.map((building, k) => joinedBuilding(building, b.buildings[k]!)),
  visits: a.visits.map((count, cell) => count + b.visits[cell]!),
  leftWindow: a.leftWindow + b.leftWindow,
})

const joinedBuilding = (a: BuildingRuns, b: BuildingRuns): BuildingRuns => ({
  ...a,
  touched: a.touched + b.touched,
  reached: a.reached + b.reached,
  near: a.near + b.near,
  nearest_m: least(a.nearest_m, b.nearest_m),
  leastRise_m: least(a.leastRise_m, b.leastRise_m),
})

const least = (a: number | null, b: number | null): number | null => (a === null ? b : b === null ? a : Math.min(a, b))

/** The spread of a catchment area over the runs. */
export interface AreaDoubt {
  readonly p10_m2: number
  readonly p50_m2: number
  readonly p90_m2: number
  /** Runs whose catchment was cut by the window's rim: their areas are "at least". */
  readonly cut: number
  readonly runs: number
}

/** P10, P50 and P90 of the catchment area, linear between the runs in order. */
export function areaDoubt({ areas_m2, catchmentCut, runs }: DoubtRuns): AreaDoubt {
  const sorted = [...areas_m2].sort((a, b) => a - b)
  const at = (part: number): number => {
    const place = part * (sorted.length - 1)
    const below = Math.floor(place)
    const above = Math.min(below + 1, sorted.length - 1)
    return sorted[below]! + (place - below) * (sorted[above]! - sorted[below]!)
  }
  return { p10_m2: at(0.1), p50_m2: at(0.5), p90_m2: at(0.9), cut: catchmentCut, runs }
}

/** How often water came to a building, and what that still allows. */
export interface BuildingDoubt extends BuildingRuns {
  readonly runs: number
  /** The share of terrains like these that could reach it all the same, at 95 % confidence: exact upper bound (see `upperBound_ratio`). */
  readonly reachedAtMost_ratio: number
}

/** The buildings below a spill, those reached in most runs first. */
export const buildingDoubts = ({ spills, runs }: DoubtRuns, spill: number): BuildingDoubt[] =>
  spills[spill]!.buildings.map(building => ({ ...building, runs, reachedAtMost_ratio: upperBound_ratio(building.reached, runs) })).sort(
    (a, b) => b.reached - a.reached || b.near - a.near || (a.nearest_m ?? Infinity) - (b.nearest_m ?? Infinity),
  )

/**
 * Rings of the ground that water of a spill passed in at least a share of the runs; a share of 0 means in any of them.
 *
 * Cost    one pass over the window.
 */
export function visitedRings({ geometry, spills, runs }: DoubtRuns, spill: number, share_ratio: number): Point[][] {
  const { visits } = spills[spill]!
  const least = Math.max(1, Math.ceil(share_ratio * runs))
  return ringsAbove(
    geometry satisfies GridGeometry,
    visits.map(count => (count >= least ? 1 : 0)),
    0.5,
  )
}
