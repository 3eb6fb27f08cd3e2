import { releasedWater, SINK, spreadFromCells, type WalkScratch, type WaterPath, type WaterStudy, walkScratch } from '../hydrology/index.js'
import { cellAt, cellCentre, type Point } from '../raster/index.js'
import { type DugGround, type DugWindow, windowAt } from './dug-ground.js'
import { BAND_SHARE } from './overflow.js'

/** A way over the ground as dug. */
export interface DugWay extends Pick<WaterPath, 'points' | 'end'> {
  /** The lines whose ditches it comes to, each where it first does (index into `points`), in order. */
  readonly ditches: readonly { readonly line: number; readonly at: number }[]
}

/** A way that goes in and out of the works more often is left to the base study. Source: judgement; it always ends. */
const MOST_TURNS = 60

/**
 * Where water released at a place runs on the ground as dug: on the fine windows where works are near, elsewhere by the base study.
 *
 * Laws    away from the works it is the way of `releasedWater`; it crosses no berm but at its lowest place; it always ends.
 * Cost    some steps for each fine cell passed.
 * @returns null where there is no ground at the place.
 */
export function wayAsDug(dug: DugGround, from: Point): DugWay | null {
  const { study, near } = dug
  const g = study.ground.geometry
  const points: Point[] = [from]
  let at = from
  let end: WaterPath['end'] | null = null
  for (let turn = 0; ; turn++) {
    const found = turn < MOST_TURNS ? windowAt(dug, at) : null
    if (found) {
      const { ground, filled, drained } = found.window
      const way = releasedWater(ground, filled, drained, at)
      if (way) {
        points.push(...way.points.slice(1))
        end = way.end
        if (way.end === 'hollow') break
        at = points[points.length - 1]!
      }
    }
    const way = releasedWater(study.ground, study.filled, study.drained, at)
    if (!way) break
    end = way.end
    const first = near[cellAt(g, at[0], at[1])]
    // Back to a window where it comes near works; but a way that starts near them has just been there.
    let away = !first
    const back =
      turn < MOST_TURNS
        ? way.points.findIndex(place => {
            const mark = near[cellAt(g, place[0], place[1])] ?? 0
            away ||= mark === 0
            return away && mark > 0
          })
        : -1
    if (back <= 0) {
      points.push(...way.points.slice(1))
      break
    }
    points.push(...way.points.slice(1, back + 1))
    at = way.points[back]!
  }
  return end === null ? null : { points, end, ditches: ditchesOn(dug, points) }
}

function ditchesOn(dug: DugGround, points: readonly Point[]): { line: number; at: number }[] {
  const met: { line: number; at: number }[] = []
  for (let k = 0; k < points.length; k++) {
    const found = windowAt(dug, points[k]!)
    if (!found) continue
    const mark = found.window.cut[cellAt(found.window.ground.geometry, ...points[k]!)]!
    if (mark > 0 && !met.some(({ line }) => line === mark - 1)) met.push({ line: mark - 1, at: k })
  }
  return met
}

/** Where water may spread to on the ground as dug: where the share of it that passes is not below a least one. */
export interface DugSpread {
  /** Cells of the base raster, in no order, each once. */
  readonly cells: readonly number[]
  /** Centres of cells, of fine cells where there are windows. */
  readonly places: readonly Point[]
}

/** Memory and masks of walks over one ground as dug, made once for many. It is empty between two walks. */
export interface DugScratch {
  readonly base: WalkScratch
  readonly baseTaken: Uint8Array
  readonly baseSum: Float64Array
  readonly windows: readonly { readonly walk: WalkScratch; readonly taken: Uint8Array; readonly sum: Float64Array }[]
}

/**
 * Working memory for `spreadAsDug`. 41 bytes a cell.
 *
 * @param streams  1 where a stream keeps what comes to it, see `streamCells`
 */
export function dugScratch({ study, windows, near }: DugGround, streams?: Uint8Array): DugScratch {
  const baseTaken = new Uint8Array(near.length)
  for (let cell = 0; cell < near.length; cell++) if (near[cell] || streams?.[cell]) baseTaken[cell] = 1
  return {
    base: walkScratch(near.length),
    baseTaken,
    baseSum: new Float64Array(near.length),
    windows: windows.map(window => {
      const { width, height } = window.ground.geometry
      const taken = new Uint8Array(width * height)
      for (let row = 0, cell = 0; row < height; row++)
        for (let column = 0; column < width; column++, cell++)
          if (inFrame(window, column, row) || streams?.[baseCell(study, window, column, row)]) taken[cell] = 1
      return { walk: walkScratch(taken.length), taken, sum: new Float64Array(taken.length) }
    }),
  }
}

/** Rounds in and out of the works; what is still on its way after them is under the least share. */
const MOST_ROUNDS = 12
const LEAST_HANDED = 1e-4

/** Water at cells, with its shares. */
type Seeds = [cell: number, share_ratio: number][]

/**
 * Where water released at places may spread to on the ground as dug, each place with an equal part of it: the dispersive networks of the windows and
 * of the base, water handed from one to the other.
 *
 * Laws    away from the works it is the spread of `spreadFrom`.
 * Cost    some steps for each cell passed.
 */
export function spreadAsDug(dug: DugGround, from: readonly Point[], scratch: DugScratch, leastShare_ratio = BAND_SHARE): DugSpread {
  const { study, windows, near } = dug
  const g = study.ground.geometry
  const base = new Sums(scratch.baseSum)
  const fine = windows.map((_, index) => new Sums(scratch.windows[index]!.sum))
  let baseSeeds: Seeds = []
  let fineSeeds: Seeds[] = windows.map(() => [])
  for (const place of from) {
    const found = windowAt(dug, place)
    if (found) fineSeeds[found.index]!.push([cellAt(found.window.ground.geometry, ...place), 1 / from.length])
    else if (cellAt(g, ...place) >= 0) baseSeeds.push([cellAt(g, ...place), 1 / from.length])
  }
  for (let round = 0; round < MOST_ROUNDS; round++) {
    for (const [index, window] of windows.entries())
      if (fineSeeds[index]!.length > 0) throughWindow(window, fineSeeds[index]!, scratch.windows[index]!, fine[index]!)
    fineSeeds = windows.map(() => [])
    if (baseSeeds.length === 0) break
    // In the last round nothing is handed back.
    const taken = round === MOST_ROUNDS - 1 ? undefined : scratch.baseTaken
    const { cells, share_ratio } = spreadFromCells(study.net, baseSeeds, taken, scratch.base)
    baseSeeds = []
    for (let k = 0; k < cells.length; k++) {
      const cell = cells[k]!
      const share = share_ratio[k]!
      base.add(cell, share)
      const mark = near[cell]!
      if (mark > 0 && share >= LEAST_HANDED) {
        const centre = cellCentre(g, cell)
        fineSeeds[mark - 1]!.push([cellAt(windows[mark - 1]!.ground.geometry, ...centre), share])
      }
    }
    if (fineSeeds.every(seeds => seeds.length === 0)) break
  }
  return spreadOf()

  /** Through a window: what comes to its rim goes on in the base. */
  function throughWindow(window: DugWindow, seeds: Seeds, { walk, taken }: DugScratch['windows'][number], sums: Sums): void {
    const { cells, share_ratio } = spreadFromCells(window.net, seeds, taken, walk)
    const { width } = window.ground.geometry
    for (let k = 0; k < cells.length; k++) {
      const cell = cells[k]!
      const share = share_ratio[k]!
      sums.add(cell, share)
      if (share < LEAST_HANDED) continue
      const column = cell % width
      const row = (cell - column) / width
      if (inFrame(window, column, row)) baseSeeds.push([baseCell(study, window, column, row), share])
      else if (window.net.facet[cell] === SINK && !taken[cell]) {
        // A hollow that spills over the window's rim.
        const basin = window.drained.basin[cell]!
        const pass = window.drained.basins.passInside[basin]!
        if (window.net.jump[basin] === -1 && pass >= 0)
          baseSeeds.push([baseCell(study, window, pass % width, Math.floor(pass / width)), share])
      }
    }
  }

  function spreadOf(): DugSpread {
    const cells = new Set<number>()
    const places: Point[] = []
    base.clear((cell, share) => {
      if (share < leastShare_ratio) return
      cells.add(cell)
      places.push(cellCentre(g, cell))
    })
    for (const [index, window] of windows.entries()) {
      const { geometry } = window.ground
      const inCell = new Map<number, number>()
      fine[index]!.clear((cell, share) => {
        // A way through a base cell passes as many fine cells as lie to its side.
        const of = baseCell(study, window, cell % geometry.width, Math.floor(cell / geometry.width))
        inCell.set(of, (inCell.get(of) ?? 0) + share / window.parts)
        if (share * window.parts >= leastShare_ratio) places.push(cellCentre(geometry, cell))
      })
      for (const [cell, share] of inCell) if (share >= leastShare_ratio) cells.add(cell)
    }
    return { cells: [...cells], places }
  }
}

/** Sums for cells in an array that is empty before and after. */
class Sums {
  private readonly touched: number[] = []

  constructor(private readonly sum: Float64Array) {}

  add(cell: number, share: number): void {
    if (this.sum[cell] === 0) this.touched.push(cell)
    this.sum[cell]! += share
  }

  /** Tells the cells with their sums; the array is empty again. */
  clear(tell: (cell: number, share: number) => void): void {
    for (const cell of this.touched) {
      tell(cell, this.sum[cell]!)
      this.sum[cell] = 0
    }
  }
}

/** The outermost base cell of a window: water that comes there is handed over. */
function inFrame({ ground: { geometry }, parts }: DugWindow, column: number, row: number): boolean {
  return column < parts || row < parts || column >= geometry.width - parts || row >= geometry.height - parts
}

/** The base cell that holds a fine cell. */
const baseCell = ({ ground }: WaterStudy, { box, parts }: DugWindow, column: number, row: number): number =>
  (box.firstRow + Math.floor(row / parts)) * ground.geometry.width + box.firstColumn + Math.floor(column / parts)
