import { releasedWater, spreadFromCells, type WalkScratch, type WaterPath, type WaterStudy, walkScratch } from '../hydrology/index.js'
import { cellAt, cellCentre, type Point } from '../raster/index.js'
import { type DugGround, type DugWindow, windowAt } from './dug-ground.js'

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

/** Where water may spread to on the ground as dug, in cells of the base raster. */
export interface DugSpread {
  /** The share of the water that passes each base cell. */
  readonly share_ratio: ReadonlyMap<number, number>
  /** Places that a share passes, the fine cells' centres where there are windows. */
  places(leastShare_ratio: number): Point[]
}

/** Memory and masks of walks over one ground as dug, made once for many. */
export interface DugScratch {
  readonly base: WalkScratch
  readonly baseTaken: Uint8Array
  readonly windows: readonly { readonly walk: WalkScratch; readonly taken: Uint8Array }[]
}

/**
 * Working memory for `spreadAsDug`.
 *
 * @param streams  1 where a stream keeps what comes to it, see `streamCells`
 */
export function dugScratch({ study, windows, near }: DugGround, streams?: Uint8Array): DugScratch {
  const baseTaken = near.map((mark, cell) => (mark > 0 || streams?.[cell] ? 1 : 0))
  return {
    base: walkScratch(near.length),
    baseTaken,
    windows: windows.map(window => {
      const { width, height } = window.ground.geometry
      const taken = new Uint8Array(width * height)
      for (let row = 0, cell = 0; row < height; row++)
        for (let column = 0; column < width; column++, cell++) {
          const frame = column < window.parts || row < window.parts || column >= width - window.parts || row >= height - window.parts
          if (frame || streams?.[baseCell(study, window, cell)]) taken[cell] = 1
        }
      return { walk: walkScratch(taken.length), taken }
    }),
  }
}

/** Rounds in and out of the works; what is still on its way after them is under the least share. */
const MOST_ROUNDS = 12
const LEAST_HANDED = 1e-4

/**
 * Where water released at places may spread to on the ground as dug, each place with an equal part of it: the dispersive networks of the windows and
 * of the base, water handed from one to the other.
 *
 * Laws    away from the works it is the spread of `spreadFrom`.
 * Cost    some steps for each cell passed.
 */
export function spreadAsDug(dug: DugGround, from: readonly Point[], scratch: DugScratch): DugSpread {
  const { study, windows } = dug
  const g = study.ground.geometry
  const base = new Map<number, number>()
  const fine = windows.map(() => new Map<number, number>())
  let baseSeeds = new Map<number, number>()
  let fineSeeds = windows.map(() => new Map<number, number>())
  for (const place of from) {
    const found = windowAt(dug, place)
    if (found) add(fineSeeds[found.index]!, cellAt(found.window.ground.geometry, ...place), 1 / from.length)
    else if (cellAt(g, ...place) >= 0) add(baseSeeds, cellAt(g, ...place), 1 / from.length)
  }
  for (let round = 0; round < MOST_ROUNDS; round++) {
    for (const [index, window] of windows.entries()) {
      const seeds = fineSeeds[index]!
      if (seeds.size === 0) continue
      const { taken, walk } = scratch.windows[index]!
      const { cells, share_ratio } = spreadFromCells(window.net, seeds, taken, walk)
      const { width, height } = window.ground.geometry
      for (const [k, cell] of cells.entries()) {
        const share = share_ratio[k]!
        add(fine[index]!, cell, share)
        const column = cell % width
        const row = (cell - column) / width
        const frame = column < window.parts || row < window.parts || column >= width - window.parts || row >= height - window.parts
        if (frame) add(baseSeeds, baseCell(study, window, cell), share)
        else if (!taken[cell]) {
          // A hollow that spills over the window's rim.
          const basin = window.drained.basin[cell]!
          if (window.net.jump[basin] === -1 && window.drained.basins.pit[basin] === cell)
            add(baseSeeds, baseCell(study, window, window.drained.basins.passInside[basin]!), share)
        }
      }
    }
    fineSeeds = windows.map(() => new Map())
    const seeds = [...baseSeeds].filter(([, share]) => share >= LEAST_HANDED)
    baseSeeds = new Map()
    if (seeds.length === 0) break
    const last = round === MOST_ROUNDS - 1
    const { cells, share_ratio } = spreadFromCells(study.net, seeds, last ? undefined : scratch.baseTaken, scratch.base)
    for (const [k, cell] of cells.entries()) {
      add(base, cell, share_ratio[k]!)
      const mark = dug.near[cell]!
      if (mark === 0 || share_ratio[k]! < LEAST_HANDED) continue
      const centre = cellCentre(g, cell)
      add(fineSeeds[mark - 1]!, cellAt(windows[mark - 1]!.ground.geometry, ...centre), share_ratio[k]!)
    }
    if (fineSeeds.every(map => map.size === 0)) break
  }
  // A way through a base cell passes as many fine cells as lie to its side.
  const share_ratio = new Map(base)
  for (const [index, window] of windows.entries()) {
    const inCell = new Map<number, number>()
    for (const [cell, share] of fine[index]!) add(inCell, baseCell(study, window, cell), share / window.parts)
    for (const [cell, share] of inCell) share_ratio.set(cell, Math.max(share_ratio.get(cell) ?? 0, share))
  }
  return {
    share_ratio,
    places: least => [
      ...[...base].filter(([, share]) => share >= least).map(([cell]) => cellCentre(g, cell)),
      ...windows.flatMap((window, index) =>
        [...fine[index]!].filter(([, share]) => share * window.parts >= least).map(([cell]) => cellCentre(window.ground.geometry, cell)),
      ),
    ],
  }
}

const add = (to: Map<number, number>, cell: number, share: number): unknown => to.set(cell, (to.get(cell) ?? 0) + share)

/** The base cell that holds a fine cell. */
function baseCell({ ground }: WaterStudy, { ground: fine, box, parts }: DugWindow, cell: number): number {
  const column = cell % fine.geometry.width
  const row = (cell - column) / fine.geometry.width
  return (box.firstRow + Math.floor(row / parts)) * ground.geometry.width + box.firstColumn + Math.floor(column / parts)
}
