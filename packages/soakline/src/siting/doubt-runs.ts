import { finish, InputError, type Steps } from '../foundation/index.js'
import {
  boxOf,
  type Drainage,
  lineCatchment,
  releasedWater,
  SINK,
  spreadFrom,
  type WalkScratch,
  type WaterStudy,
  walkScratch,
} from '../hydrology/index.js'
import { type CellBox, cellAt, type Grid, type GridGeometry, type Mask, type Point, surfaceValue } from '../raster/index.js'
import { type BuildingRuns, type Clearance, floorIn, Tally, type Target, targetOf } from './doubt-building.js'
import { lineArea_m2, lineLinks, shareScratch } from './doubt-catchment.js'
import { type DrainScratch, drainRun, drainScratch } from './doubt-drainage.js'
import { addErrors, type ErrorModel, type FieldPlace, fieldScratch } from './doubt-error-field.js'
import { windowOf, windowRound } from './doubt-extent.js'
import type { SiteFeature } from './feature.js'
import { HEIGHT_MATTERS_m } from './near-building.js'
import { streamCells } from './overflow.js'

/** What is asked of the tried terrains. */
export interface DoubtQuestion {
  readonly line: readonly Point[]
  /** Each spill by one or more places along its sill, from which water is let go. */
  readonly spills: readonly (readonly Point[])[]
  readonly error: ErrorModel
  readonly clearance: Clearance
  readonly seed: number
  readonly runs: number
  /** Number of the first run, default 0: a run's terrain hangs on the seed and its own number alone. */
  readonly firstRun?: number
}

/** What the runs say of one spill. */
export interface SpillRuns {
  readonly buildings: readonly BuildingRuns[]
  /** For each cell of the window the runs whose water passed it. */
  readonly visits: Uint16Array
  /** Runs whose water left the window where the raster goes on, or began where there is no ground: what it does there is not known. */
  readonly leftWindow: number
}

/** The tried terrains, added up; see `joinedRuns` for parts of them. */
export interface DoubtRuns {
  /** Of the window of the raster that was tried. */
  readonly geometry: GridGeometry
  readonly seed: number
  readonly firstRun: number
  readonly runs: number
  /** True when the window could not hold catchment and overflow. */
  readonly clipped: boolean
  /** Catchment area of the line in each run. */
  readonly areas_m2: readonly number[]
  /** Runs whose catchment was cut by the window's rim. */
  readonly catchmentCut: number
  readonly spills: readonly SpillRuns[]
  /** The same, by the same means, on the ground without error. */
  readonly withoutError: { readonly area_m2: number; readonly spills: readonly SpillRuns[] }
}

/** What `doubtRuns` may be told besides. */
export interface DoubtOptions {
  /** Round line, catchment and overflow; default a tenth of their extent and ten cells. */
  readonly marginCells?: number
  readonly mostCells?: number
  /** What `streamCells` gives. */
  readonly streams?: Uint8Array
  readonly scratch?: WalkScratch
}

/** Part of a catchment's water that may come from beyond before it counts as cut; as in `lineCatchment`. */
const EDGE_LIMIT = 0.005
/** Cells of the overflow's spread with less of the water than this do not widen the window (source: judgement). */
const WINDOW_SHARE = 0.001
/** As many as the counts can hold. */
const MOST_RUNS = 65_535

/**
 * How the answer about a line and its spills spreads when the heights are as wrong as they are said to be: a number of tried terrains, each the
 * ground with one drawn field of error, drained anew.
 *
 * In each run: the catchment area of the line; the way of released water from each place of each spill, through hollows filled to where they
 * spill on, until a stream, the rim, a gap or a kept hollow; and how near it comes to each building. A hollow that the water fills counts as far
 * as it stands. A floor that was not measured is the lowest ground at the footprint in that same run.
 * Not tried: water wider or deeper than a thread, an error of the line or the sill, culverts that block, ruts narrower than a cell.
 * Laws    the same seed gives the same bits; runs 0–99 and 100–199 joined are runs 0–199; with σ 0 every run is the ground as it is.
 * Throws  `doubt/bad-runs`, `doubt/bad-clearance`, `doubt/bad-error-model`, `doubt/off-raster`.
 * Cost    some 150–200 ns a cell and run.
 * Source  drawn error fields: Fisher (1991), Comput. Geosci. 17; Oksanen & Sarjakoski (2005), Comput. Geosci. 31 (both from memory, unchecked).
 */
export function doubtRuns(
  study: WaterStudy,
  features: readonly SiteFeature[],
  question: DoubtQuestion,
  options: DoubtOptions = {},
): DoubtRuns {
  return finish(doubtRunsSteps(study, features, question, options))
}

/** `doubtRuns` in steps, one for each run. */
export function* doubtRunsSteps(
  study: WaterStudy,
  features: readonly SiteFeature[],
  question: DoubtQuestion,
  options: DoubtOptions = {},
): Steps<DoubtRuns> {
  const { line, spills, error, clearance, seed, runs, firstRun = 0 } = question
  check(question)
  const { streams = streamCells(study, features), scratch = walkScratch(study.ground.data.length) } = options
  const g = study.ground.geometry
  const { box, clipped } = windowRound(g, boxesOf(study, line, spills, streams, scratch), options)
  const ground = windowOf(study.ground, box)
  const { geometry } = ground
  const place: FieldPlace = { ...geometry, firstColumn: box.firstColumn, firstRow: box.firstRow }
  const drain = drainScratch(geometry, ground.data, keptPits(study, box))
  const cells = drain.z.length
  const links = lineLinks(geometry, line)
  const shares = shareScratch(cells, links.cells.length)
  const fields = fieldScratch()
  const openRim = rimWithin(g, box)
  const look_m = Math.max(HEIGHT_MATTERS_m, 2 * clearance.plan_m)
  const targets = features.filter(f => f.kind === 'building').map(f => targetOf(geometry, f, look_m))
  const walk = walker(drain, targets, look_m, cropped(streams, g, box), openRim.mask)
  const newCount = (): SpillCount[] =>
    spills.map(() => ({
      tallies: targets.map(target => new Tally(target, clearance, geometry.cell_m)),
      visits: new Uint16Array(cells),
      leftWindow: 0,
    }))
  const oneRun = (count: readonly SpillCount[]): { area_m2: number; cut: boolean } => {
    const drained = drainRun(drain)
    const { area_m2, rimShares } = lineArea_m2(drain.z, drained, links, openRim.cells, shares)
    const floors = targets.map(target => floorIn(target, drain.z))
    for (const [k, places] of spills.entries()) walk(drained, floors, places, count[k]!)
    return { area_m2, cut: rimShares / (1 + rimShares) > EDGE_LIMIT }
  }

  const plainCount = newCount()
  drain.z.set(ground.data)
  const plain = oneRun(plainCount)
  yield 1 / (runs + 1)
  const count = newCount()
  const areas_m2: number[] = []
  let catchmentCut = 0
  for (let run = 0; run < runs; run++) {
    addErrors(drain.z, ground.data, place, error, seed, firstRun + run, fields)
    const { area_m2, cut } = oneRun(count)
    areas_m2.push(area_m2)
    if (cut) catchmentCut++
    yield (run + 2) / (runs + 1)
  }
  return {
    geometry,
    seed,
    firstRun,
    runs,
    clipped,
    areas_m2,
    catchmentCut,
    spills: count.map(saidOf),
    withoutError: { area_m2: plain.area_m2, spills: plainCount.map(saidOf) },
  }
}

function check({ runs, firstRun = 0, clearance }: DoubtQuestion): void {
  if (!(Number.isInteger(runs) && runs > 0 && Number.isInteger(firstRun) && firstRun >= 0 && firstRun + runs <= MOST_RUNS))
    throw new InputError(
      'doubt/bad-runs',
      `${runs} runs from number ${firstRun} on cannot be tried: give whole numbers, up to ${MOST_RUNS} in all.`,
      { runs, firstRun },
    )
  if (!(clearance.plan_m > 0 && clearance.height_m > 0))
    throw new InputError(
      'doubt/bad-clearance',
      'The clearance from buildings must be above 0, in plan and in height. Correct the settings.',
      {
        ...clearance,
      },
    )
}

/** The blocks of cells that the window must hold, the line's own first. */
function boxesOf(
  { ground, net, rim, filled, drained }: WaterStudy,
  line: readonly Point[],
  spills: readonly (readonly Point[])[],
  streams: Uint8Array,
  scratch: WalkScratch,
): CellBox[] {
  const g = ground.geometry
  const boxes = [
    boxOf(
      g.width,
      line.map(([x, y]) => cellAt(g, x, y)).filter(cell => cell >= 0),
    ),
  ]
  boxes.push(lineCatchment(net, ground, line, rim, scratch).box)
  for (const at of spills.flat()) {
    const spread = spreadFrom(net, at, streams, scratch)
    if (spread)
      boxes.push(
        boxOf(
          g.width,
          spread.cells.filter((_, k) => spread.share_ratio[k]! >= WINDOW_SHARE),
        ),
      )
    const way: number[] = []
    for (const [x, y] of releasedWater(ground, filled, drained, at)?.points ?? []) {
      const cell = cellAt(g, x, y)
      if (cell < 0) continue
      way.push(cell)
      if (streams[cell]) break
    }
    boxes.push(boxOf(g.width, way))
  }
  return boxes
}

/** The pits in a window that keep their water, as cells of the window. */
function keptPits({ ground, drained }: WaterStudy, box: CellBox): number[] {
  const { width } = ground.geometry
  const wide = box.lastColumn - box.firstColumn + 1
  const kept: number[] = []
  for (const pit of drained.basins.pit) {
    if (pit < 0 || drained.direction[pit] !== SINK) continue
    const column = pit % width
    const row = (pit - column) / width
    if (column < box.firstColumn || column > box.lastColumn || row < box.firstRow || row > box.lastRow) continue
    kept.push((row - box.firstRow) * wide + column - box.firstColumn)
  }
  return kept
}

function cropped(mask: Uint8Array, { width }: GridGeometry, box: CellBox): Uint8Array {
  const wide = box.lastColumn - box.firstColumn + 1
  const part = new Uint8Array(wide * (box.lastRow - box.firstRow + 1))
  for (let row = box.firstRow; row <= box.lastRow; row++) {
    const from = row * width + box.firstColumn
    part.set(mask.subarray(from, from + wide), (row - box.firstRow) * wide)
  }
  return part
}

/** The cells on a window's rim beyond which the raster goes on. */
function rimWithin({ width, height }: GridGeometry, box: CellBox): { cells: Int32Array; mask: Uint8Array } {
  const wide = box.lastColumn - box.firstColumn + 1
  const high = box.lastRow - box.firstRow + 1
  const mask = new Uint8Array(wide * high)
  for (let column = 0; column < wide; column++) {
    if (box.firstRow > 0) mask[column] = 1
    if (box.lastRow < height - 1) mask[(high - 1) * wide + column] = 1
  }
  for (let row = 0; row < high; row++) {
    if (box.firstColumn > 0) mask[row * wide] = 1
    if (box.lastColumn < width - 1) mask[row * wide + wide - 1] = 1
  }
  const cells: number[] = []
  mask.forEach((open, cell) => {
    if (open) cells.push(cell)
  })
  return { cells: Int32Array.from(cells), mask }
}

interface SpillCount {
  readonly tallies: readonly Tally[]
  readonly visits: Uint16Array
  leftWindow: number
}

const saidOf = ({ tallies, visits, leftWindow }: SpillCount): SpillRuns => ({
  buildings: tallies.map(tally => tally.said()),
  visits,
  leftWindow,
})

/** Lets water go from the places of a spill on a drained surface, and counts where it comes. */
function walker(
  { geometry, z, filled }: DrainScratch,
  targets: readonly Target[],
  look_m: number,
  streams: Uint8Array,
  openRim: Mask['data'],
): (drained: Drainage, floors: readonly number[], places: readonly Point[], count: SpillCount) => void {
  const water: Grid<'elevation_m'> = { quantity: 'elevation_m', geometry, data: z }
  const brim: Grid<'filled_m'> = { quantity: 'filled_m', geometry, data: filled }
  const nearSome = new Uint8Array(z.length)
  for (const target of targets) for (const cell of target.zone) nearSome[cell] = 1
  const stamp = new Int32Array(z.length)
  let walks = 0

  return (drained, floors, places, count) => {
    walks++
    const levels = new Set<number>()
    let left = false
    for (const at of places) {
      const way = releasedWater(water, brim, drained, at)
      // A place without ground, or beyond the window: what its water does is not known.
      if (!way) {
        left = true
        continue
      }
      let last = -1
      for (const point of way.points) {
        const cell = cellAt(geometry, point[0], point[1])
        if (cell < 0) continue
        last = cell
        if (stamp[cell] !== walks) {
          stamp[cell] = walks
          count.visits[cell]!++
          if (filled[cell]! > z[cell]!) levels.add(filled[cell]!)
        }
        if (nearSome[cell]) passBy(point, cell, floors, count.tallies)
        if (streams[cell]) break
      }
      if (way.end === 'edge' && last >= 0 && openRim[last] && !streams[last]) left = true
    }
    if (levels.size > 0) stand(levels, floors, count.tallies)
    for (const tally of count.tallies) tally.end()
    if (left) count.leftWindow++
  }

  /** The thread of water at a place; in a hollow it stands at the hollow's level. */
  function passBy(point: Point, cell: number, floors: readonly number[], tallies: readonly Tally[]): void {
    let flow = Number.NaN
    targets.forEach((target, n) => {
      if (
        target.bounds.every(
          ([west, south, east, north]) => Math.max(west - point[0], point[0] - east, south - point[1], point[1] - north) > look_m,
        )
      )
        return
      const away = target.distanceTo(point)
      if (away > look_m) return
      if (Number.isNaN(flow)) {
        flow = surfaceValue(water, point)
        if (Number.isNaN(flow) || filled[cell]! > z[cell]!) flow = Math.max(filled[cell]!, Number.isNaN(flow) ? filled[cell]! : flow)
      }
      tallies[n]!.meet(away, floors[n]! - flow)
    })
  }

  /** The hollows that the water fills, as far as they stand. */
  function stand(levels: ReadonlySet<number>, floors: readonly number[], tallies: readonly Tally[]): void {
    targets.forEach((target, n) => {
      for (let k = 0; k < target.zone.length; k++) {
        const cell = target.zone[k]!
        const level = filled[cell]!
        if (level > z[cell]! && levels.has(level)) tallies[n]!.meet(target.away_m[k]!, floors[n]! - level)
      }
    })
  }
}
