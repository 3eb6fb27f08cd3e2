import { finish, type Steps } from '../foundation/index.js'
import { cellArea_m2, type ElevationGrid, eachNeighbour, elevationErrorOr_m, type Grid, rimCells } from '../raster/index.js'
import { type CulvertPlace, culvertPlaces } from './culvert-places.js'
import { SINK } from './direction-codes.js'
import type { Drainage } from './drainage.js'
import { guessHollow, type HollowGuess } from './hollow-guess.js'
import { hollowTree, innermostHolding } from './hollow-tree.js'

/** How big a hollow is when it is full. */
export interface HollowSize {
  /** Its deepest cell: the lowest pit; of equally low ones the first in the raster. */
  readonly deepest: number
  readonly cells: number
  readonly area_m2: number
  readonly volume_m3: number
  readonly depth_m: number
  /** Height at which it spills. */
  readonly rim_m: number
}

/** A hollow within a hollow: it fills first, then joins its neighbours. Its `rim_m` is the height at which it does. */
export interface InnerHollow extends HollowSize {
  /** Index among the outer hollow's `inner`; −1 where it lies in the outer hollow itself. */
  readonly parent: number
  /** Indices of those that lie in it. */
  readonly children: readonly number[]
}

/** Ground that holds water before it can flow on. */
export interface Hollow extends HollowSize {
  /** The cell of the hollow's basin at its pass: where it spills. */
  readonly spillCell: number
  /** Its lip is the raster's rim (the border, or cells beside a void): beyond it nobody knows, so it may be deeper than it seems. */
  readonly touchesRim: boolean
  /** Cells at exactly its lowest height. */
  readonly floorCells: number
  /** What lies within, parents first; empty where there is one pit. */
  readonly inner: readonly InnerHollow[]
  /** What it seems to be, by rule of thumb: a question to whoever knows the place, never a decision. */
  readonly guess: HollowGuess
}

/** No node, no cell. */
const NONE = -1

/** Heights closer than this are one. */
const TOLERANCE_m = 1e-6

/** What the inventory may be told. */
export interface HollowOptions {
  /** Standard error of the raster's heights, m; where it is not known, as by `UNKNOWN_ERROR`. */
  readonly elevationError_m?: number | null
}

/**
 * Every hollow of a ground: ground that filling raises by more than a micrometre, joined by side or corner; greatest volume first.
 *
 * Units   m, m², m³.
 * Laws    together they hold what filling adds; parts hold no more than the whole; a turned raster gives the same hollows, turned.
 * Cost    two passes over the raster, and a search of some metres round each hollow of some depth.
 */
export function hollows(ground: ElevationGrid, filled: Grid<'filled_m'>, drained: Drainage, options: HollowOptions = {}): Hollow[] {
  return hollowInventory(ground, filled, drained, options).hollows
}

/** The hollows of a ground, and where water may pass under a bank that holds one back. */
export interface HollowInventory {
  readonly hollows: Hollow[]
  readonly culvertPlaces: readonly CulvertPlace[]
}

/** The hollows as by `hollows`, and the places as by `culvertPlaces`, whose answer the guesses rest on. */
export function hollowInventory(
  ground: ElevationGrid,
  filled: Grid<'filled_m'>,
  drained: Drainage,
  options: HollowOptions = {},
): HollowInventory {
  return finish(hollowInventorySteps(ground, filled, drained, options))
}

/** `hollowInventory` in steps. */
export function* hollowInventorySteps(
  ground: ElevationGrid,
  filled: Grid<'filled_m'>,
  drained: Drainage,
  options: HollowOptions = {},
): Steps<HollowInventory> {
  const elevationError_m = elevationErrorOr_m(options.elevationError_m, ground.geometry.cell_m)
  const measured = measureHollows(ground, filled, drained)
  yield 0.6
  const places = culvertPlaces(ground, filled, measured, { tolerance_m: 2 * elevationError_m })
  const banked = new Set(places.map(place => place.hollow))
  return {
    hollows: measured.map((hollow, k) => ({ ...hollow, guess: guessHollow(hollow, { elevationError_m, behindBank: banked.has(k) }) })),
    culvertPlaces: places,
  }
}

/** The cells of the hollow that holds a cell; none where the cell lies in no hollow. The cell itself comes first. */
export function hollowCells(ground: ElevationGrid, filled: Grid<'filled_m'>, cell: number): number[] {
  const { width, height } = ground.geometry
  const holds = (at: number): boolean => filled.data[at]! - ground.data[at]! > TOLERANCE_m
  if (!holds(cell)) return []
  const seen = new Set([cell])
  for (const at of seen) eachNeighbour(width, height, at, to => holds(to) && seen.add(to))
  return [...seen]
}

/** Measures the hollows: cell by cell into the innermost hollow that holds water there, then from the inner ones outwards. */
function measureHollows(ground: ElevationGrid, filled: Grid<'filled_m'>, { basin, basins, slope }: Drainage): Omit<Hollow, 'guess'>[] {
  const z = ground.data
  const tree = hollowTree(basins)
  const { level_m, parent } = tree
  const holding = innermostHolding(tree, TOLERANCE_m)
  const nodes = parent.length
  const cells = new Int32Array(nodes)
  const floorCells = new Int32Array(nodes)
  // Heights are summed, not depths: in float64 sums of float32 heights are exact but for huge hollows, so they do not depend on the order.
  const sum_m = new Float64Array(nodes)
  const atRim = new Uint8Array(nodes)
  const deepest = new Int32Array(nodes).fill(NONE)
  const levelWithRim = reachedFromRim(filled)
  for (let cell = 0; cell < z.length; cell++) {
    const b = basin[cell]!
    if (b < 1) continue
    const node = holding(b, z[cell]!)
    if (node === NONE) continue
    cells[node]!++
    sum_m[node]! += z[cell]!
    if (levelWithRim[cell]) atRim[node] = 1
    if (z[cell] === z[basins.pit[b]!]) floorCells[b]!++
    if (slope[cell] === SINK) deepest[b] = cell
  }
  for (const [node, up] of parent.entries()) {
    if (up === NONE || deepest[node] === NONE) continue
    cells[up]! += cells[node]!
    sum_m[up]! += sum_m[node]!
    atRim[up]! |= atRim[node]!
    const [now, other] = [deepest[up]!, deepest[node]!]
    if (now === NONE || z[other]! < z[now]!) {
      floorCells[up] = floorCells[node]!
      deepest[up] = other
    } else if (z[other] === z[now]) {
      floorCells[up]! += floorCells[node]!
      deepest[up] = Math.min(now, other)
    }
  }
  const area = cellArea_m2(ground.geometry)
  const volume_m3 = Float64Array.from(level_m, (level, node) => (level * cells[node]! - sum_m[node]!) * area)
  const outermost = Int32Array.from(parent)
  const parts = new Map<number, number[]>()
  const outer: number[] = []
  // Parents have the greater numbers.
  for (const node of [...parent.keys()].reverse()) {
    if (cells[node]! === 0) continue
    const up = parent[node]!
    outermost[node] = up === NONE ? node : outermost[up]!
    if (up === NONE) {
      outer.push(node)
      continue
    }
    const known = parts.get(outermost[node]!)
    if (known) known.push(node)
    else parts.set(outermost[node]!, [node])
  }
  return outer
    .sort((a, b) => volume_m3[b]! - volume_m3[a]! || deepest[a]! - deepest[b]!)
    .map(node => ({
      deepest: deepest[node]!,
      cells: cells[node]!,
      area_m2: cells[node]! * area,
      volume_m3: volume_m3[node]!,
      depth_m: level_m[node]! - z[deepest[node]!]!,
      rim_m: level_m[node]!,
      spillCell: spillOf(basin[deepest[node]!]!),
      touchesRim: atRim[node] === 1,
      floorCells: floorCells[node]!,
      inner: innerOf(node, parts.get(node) ?? []),
    }))

  /** Parts by falling level, so that parents come first. */
  function innerOf(whole: number, within: readonly number[]): InnerHollow[] {
    const sorted = [...within].sort((a, b) => level_m[b]! - level_m[a]! || volume_m3[b]! - volume_m3[a]! || deepest[a]! - deepest[b]!)
    const indexOf = new Map(sorted.map((node, k) => [node, k]))
    const children = sorted.map((): number[] => [])
    sorted.forEach((node, k) => {
      if (parent[node] !== whole) children[indexOf.get(parent[node]!)!]!.push(k)
    })
    return sorted.map((node, k) => ({
      deepest: deepest[node]!,
      cells: cells[node]!,
      area_m2: cells[node]! * area,
      volume_m3: volume_m3[node]!,
      depth_m: level_m[node]! - z[deepest[node]!]!,
      rim_m: level_m[node]!,
      parent: indexOf.get(parent[node]!) ?? -1,
      children: children[k]!,
    }))
  }

  /** The pass at which the hollow's water leaves: pits within one hollow pass it on until the pass is as high as the level. */
  function spillOf(start: number): number {
    let b = start
    while (basins.pass_m[b]! < basins.level_m[b]!) b = basins.next[b]!
    return basins.passInside[b]!
  }
}

/** 1 where the filled surface leads to the raster's rim without rise or fall. */
function reachedFromRim({ geometry: { width, height }, data }: Grid<'filled_m'>): Uint8Array {
  const reached = rimCells(data, width, height)
  const waiting: number[] = []
  reached.forEach((is, cell) => {
    if (is) waiting.push(cell)
  })
  for (let cell = waiting.pop(); cell !== undefined; cell = waiting.pop()) {
    const level = data[cell]!
    eachNeighbour(width, height, cell, to => {
      if (reached[to] || data[to] !== level) return
      reached[to] = 1
      waiting.push(to)
    })
  }
  return reached
}
