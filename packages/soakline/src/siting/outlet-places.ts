import { finish, type Steps, within } from '../foundation/index.js'
import { dependenceOn, type WalkScratch, type WaterStudy, walkScratch } from '../hydrology/index.js'
import { cellCentre, cellsNear, eachNeighbour, type Grid, neighbourOffsets, type Point, type Shape } from '../raster/index.js'
import type { FeatureKind, SiteFeature } from './feature.js'
import { type Overflow, overflowFrom, streamCells, wholeWay } from './overflow.js'
import { forestRun_m } from './overflow-in-full.js'

/** A place on the holding where a line could let its water go. */
export interface OutletPlace {
  readonly at: Point
  readonly into: 'forest' | 'stream'
  readonly slope_ratio: number
  /** How broad the flat ground along the edge is there: room for a sill. */
  readonly room_m: number
  readonly nearestBuilding_m: number | null
  /** Way inside forest before a stream or the boundary. */
  readonly inForest_m: number
  /** From 1, the best first. */
  readonly rank: number
  readonly overflow: Overflow
}

/** What the search found, and why it found no more. */
export interface OutletSearch {
  readonly places: readonly OutletPlace[]
  /** Cells along forest or streams that were left out, by the first reason that did. `places` empty and all counts 0: no forest or stream is drawn. */
  readonly leftOut: Readonly<Record<OutletRefusal, number>>
}

/** Why ground along a forest or a stream is no outlet. */
export const OUTLET_REFUSALS = ['off-holding', 'building', 'track', 'wet', 'septic', 'slip', 'too-steep', 'water-passes-building'] as const
/** One of `OUTLET_REFUSALS`. */
export type OutletRefusal = (typeof OUTLET_REFUSALS)[number]

/** What `outletPlaces` may be told besides. */
export interface OutletOptions {
  /** Steepest ground that counts as flat. Default 0.1 (judgement). */
  readonly flat_ratio?: number
  /** Default 10 m (judgement), as the setting of that name. */
  readonly buildingClearance_m?: number
  /** Distance from tracks. Default 3 m (judgement), as the setting of that name. */
  readonly setbackTrack_m?: number
  /** Distance between places, and how many at most. Default 15 m and 40. */
  readonly apart_m?: number
  readonly most?: number
}

/** A cell's water may reach a building with no more than this share. Source: judgement, as the band of an overflow. */
const TO_BUILDING = 0.01

/**
 * Places where flat undisturbed ground leads into existing forest or a stream without passing a building, found before there is a line: outlets first.
 *
 * Laws    none lies on a track, on wet ground, off the holding or nearer to a building than the clearance; its water meets no track and no boundary
 *         before the forest or stream.
 * Cost    two passes over the raster and an overflow a place.
 */
export function outletPlaces(
  study: WaterStudy,
  gradient: Grid<'gradient_ratio'>,
  features: readonly SiteFeature[],
  options: OutletOptions = {},
): OutletSearch {
  return finish(outletPlacesSteps(study, gradient, features, options))
}

/** `outletPlaces` in steps. */
export function* outletPlacesSteps(
  study: WaterStudy,
  gradient: Grid<'gradient_ratio'>,
  features: readonly SiteFeature[],
  { flat_ratio = 0.1, buildingClearance_m = 10, setbackTrack_m = 3, apart_m = 15, most = 40 }: OutletOptions = {},
): Steps<OutletSearch> {
  const g = study.ground.geometry
  const count = g.width * g.height
  const shapesOf = (kind: FeatureKind): Shape[] => features.filter(f => f.kind === kind).flatMap(f => f.shapes)
  const near = (kind: FeatureKind, within_m: number): Uint8Array => {
    const mask = new Uint8Array(count)
    for (const shape of shapesOf(kind)) for (const cell of cellsNear(g, shape, within_m)) mask[cell] = 1
    return mask
  }
  const forest = near('forest', 0)
  const stream = streamCells(study, features)
  const edge = edgeCells()
  yield 0.1
  const leftOut = Object.fromEntries(OUTLET_REFUSALS.map(reason => [reason, 0])) as Record<OutletRefusal, number>
  const holding = shapesOf('boundary').filter(shape => shape.type === 'polygon')
  const inside = new Uint8Array(count).fill(holding.length > 0 ? 0 : 1)
  for (const shape of holding) for (const cell of cellsNear(g, shape, 0, { touching: false })) inside[cell] = 1
  const building = near('building', 0)
  const masks: readonly (readonly [OutletRefusal, (cell: number) => boolean])[] = [
    ['off-holding', keepOut(inside, true)],
    ['building', keepOut(near('building', buildingClearance_m))],
    ['track', keepOut(near('track', setbackTrack_m))],
    ['wet', keepOut(near('wet', 0))],
    ['septic', keepOut(near('septic', 0))],
    ['slip', keepOut(near('slip', 0))],
    ['too-steep', cell => !(gradient.data[cell]! <= flat_ratio)],
  ]
  yield 0.3
  const toBuilding = building.includes(1) ? dependenceOn(study.net, building).data : null
  yield 0.5
  const good: number[] = []
  for (const cell of edge) {
    const refusal =
      masks.find(([, refuses]) => refuses(cell))?.[0] ?? ((toBuilding?.[cell] ?? 0) > TO_BUILDING ? 'water-passes-building' : null)
    if (refusal) leftOut[refusal]++
    else good.push(cell)
  }
  const rooms = roomOf(good)
  const places = yield* within(0.5, 1, followed())
  return { places, leftOut }

  /** Cells outside forest and stream whose water goes straight into one. */
  function edgeCells(): number[] {
    const offsets = neighbourOffsets(g.width)
    const cells = []
    for (let cell = 0; cell < count; cell++) {
      const k = study.drained.direction[cell]!
      if (k > 7 || forest[cell] || stream[cell]) continue
      const to = cell + offsets[k]!
      if (forest[to] || stream[to]) cells.push(cell)
    }
    return cells
  }

  function roomOf(cells: readonly number[]): Map<number, number> {
    const open = new Set(cells)
    const room = new Map<number, number>()
    for (const start of cells) {
      if (!open.delete(start)) continue
      const run = [start]
      for (let k = 0; k < run.length; k++) eachNeighbour(g.width, g.height, run[k]!, to => open.delete(to) && run.push(to))
      for (const cell of run) room.set(cell, run.length * g.cell_m)
    }
    return room
  }

  function* followed(): Steps<OutletPlace[]> {
    // The flattest first; each keeps the others at a distance.
    const order = [...good].sort((a, b) => gradient.data[a]! - gradient.data[b]! || a - b)
    const taken: Omit<OutletPlace, 'rank'>[] = []
    const scratch: WalkScratch = walkScratch(count)
    for (const cell of order) {
      if (taken.length >= most) break
      const at = cellCentre(g, cell)
      if (taken.some(({ at: [x, y] }) => (x - at[0]) * (x - at[0]) + (y - at[1]) * (y - at[1]) < apart_m * apart_m)) continue
      const overflow = overflowFrom(study, features, at, stream, scratch)
      if (!overflow || (overflow.endsIn !== 'forest' && overflow.endsIn !== 'stream') || overflow.crosses.includes('track')) continue
      const building_m = overflow.buildings[0]?.distance_m ?? null
      if (building_m !== null && building_m < buildingClearance_m) {
        leftOut['water-passes-building']++
        continue
      }
      taken.push({
        at,
        into: overflow.endsIn,
        slope_ratio: gradient.data[cell]!,
        room_m: rooms.get(cell)!,
        nearestBuilding_m: building_m,
        inForest_m: forestRun_m(wholeWay(overflow), features),
        overflow,
      })
      yield Math.min(0.99, taken.length / most)
    }
    // Into forest before into a stream, then the broader, then the flatter.
    taken.sort((a, b) => Number(a.into === 'stream') - Number(b.into === 'stream') || b.room_m - a.room_m || a.slope_ratio - b.slope_ratio)
    return taken.map((place, k) => ({ ...place, rank: k + 1 }))
  }
}

const keepOut =
  (mask: Uint8Array, where = false) =>
  (cell: number): boolean =>
    where ? !mask[cell] : mask[cell] === 1
