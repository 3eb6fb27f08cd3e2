import { boxOf, releasedWater, spreadFrom, type WalkScratch, type WaterPath, type WaterStudy } from '../hydrology/index.js'
import {
  type Box,
  boxOfPath,
  type CellBox,
  cellsNear,
  crosses,
  crossingAt,
  distance_m,
  distanceToShape_m,
  type ElevationGrid,
  type GridGeometry,
  insideRings,
  type Mask,
  type Point,
  pathLength_m,
  ringsAbove,
  type Shape,
  shapeBounds,
  surfaceValue,
} from '../raster/index.js'
import type { FeatureKind, SiteFeature } from './feature.js'

/** Where the way of an overflow ends: at the raster's edge, a void, a kept hollow, or the first stream, forest or boundary that it meets. */
export type PathEnd = 'edge' | 'void' | 'hollow' | 'stream' | 'forest' | 'boundary'

/** How near the way of an overflow comes to a building. */
export interface BuildingNear {
  readonly id: string
  readonly name: string | null
  /** Horizontal, from the path or the band, whichever is nearer. */
  readonly distance_m: number
  /** How far the flow passes below the building's floor, at the place where it passes nearest; negative when it passes above. */
  readonly heightBelowFloor_m: number | null
}

/** The way of an overflow over the ground. */
export interface Overflow {
  readonly from: Point
  /** From the spill to where it ends. */
  readonly points: readonly Point[]
  readonly length_m: number
  readonly endsIn: PathEnd
  /** Its further way through forest or beyond the boundary, down to a stream or the raster's edge: buildings along it count as well. */
  readonly beyond: readonly Point[]
  /** Rings of the ground where it may spread to. */
  readonly band: readonly (readonly Point[])[]
  /** Every building, nearest first. */
  readonly buildings: readonly BuildingNear[]
  readonly crosses: readonly FeatureKind[]
  /** Fall of the first 10 m. */
  readonly exitSlope_ratio: number
}

/** The way of an overflow to where it is followed: beyond where it ends as well. */
export const wholeWay = ({ points, beyond }: Pick<Overflow, 'points' | 'beyond'>): readonly Point[] => [...points, ...beyond.slice(1)]

/** A cell belongs to the band when at least this part of the water may pass it. Source: judgement. */
export const BAND_SHARE = 0.01

/**
 * Where water spilled at a place runs, what it passes and how near it comes to buildings.
 *
 * The path is the line of steepest descent on the surface; the band is where a dispersive method sends at least 1 % of the water. Neither is
 * a chance. Both are followed through forest and beyond the boundary to a stream or the raster's edge.
 * @param streams  what `streamCells` gives, to save working it out for each place
 * @param scratch  working memory, see `WalkScratch`
 * @returns null where there is no ground at the place.
 */
export function overflowFrom(
  study: WaterStudy,
  features: readonly SiteFeature[],
  from: Point,
  streams = streamCells(study, features),
  scratch?: WalkScratch,
): Overflow | null {
  const { ground, filled, drained, net } = study
  const way = releasedWater(ground, filled, drained, from)
  if (!way) return null
  const band = spreadFrom(net, from, streams, scratch, BAND_SHARE)!.cells
  return overflowAlong(study, features, from, way, band, { height_m: place => surfaceValue(ground, place) })
}

/** What `overflowAlong` needs besides the way itself. */
export interface WayGround {
  /** Places of the band, for distances. Default the centres of its cells. */
  readonly bandPlaces?: readonly Point[]
  /** Of the ground that water runs on. */
  height_m(place: Point): number
}

/** Puts an overflow together from its way and the base cells of its band. */
export function overflowAlong(
  { ground: { geometry: g }, surveyed }: WaterStudy,
  features: readonly SiteFeature[],
  from: Point,
  way: Pick<WaterPath, 'points' | 'end'>,
  band: readonly number[],
  { bandPlaces, height_m }: WayGround,
): Overflow {
  const shapesOf = (kind: FeatureKind): Shape[] => features.filter(f => f.kind === kind).flatMap(f => f.shapes)
  const toStream = cutAt(way.points, shapesOf('stream'))
  const whole = toStream ?? way.points
  const stops: [PathEnd, Point[] | null][] = [
    ['forest', cutAt(whole, shapesOf('forest'))],
    ['boundary', cutAt(whole, shapesOf('boundary').map(outline))],
  ]
  let endsIn: PathEnd = toStream ? 'stream' : way.end
  let points: readonly Point[] = whole
  for (const [end, cut] of stops)
    if (cut && pathLength_m(cut) < pathLength_m(points)) {
      endsIn = end
      points = cut
    }
  const cells = bandCells(g, band)
  const places = placesOf(g, whole, bandPlaces ?? cells)
  const buildings = features
    .filter(f => f.kind === 'building')
    .map(f => nearest(f, places, surveyed, height_m))
    .sort((a, b) => a.distance_m - b.distance_m)
  const passed = (['track', 'boundary', 'septic', 'well', 'wet', 'utility', 'forest', 'stream'] as const).filter(kind =>
    shapesOf(kind).some(shape => cutAt(points, [kind === 'boundary' ? outline(shape) : shape]) !== null),
  )
  const block = band.length > 0 ? maskOf(g, cells) : null
  return {
    from,
    points,
    length_m: pathLength_m(points),
    endsIn,
    beyond: whole.slice(points.length - 1),
    band: block ? ringsAbove(block.geometry, block.data, 0.5) : [],
    buildings,
    crosses: passed,
    exitSlope_ratio: exitSlope(height_m, whole),
  }
}

/** Cells by column and row, and the block that holds them all. */
interface BandCells {
  readonly columns: Int32Array
  readonly rows: Int32Array
  readonly box: CellBox
}

function bandCells(g: GridGeometry, cells: readonly number[]): BandCells {
  const columns = new Int32Array(cells.length)
  const rows = new Int32Array(cells.length)
  for (let k = 0; k < cells.length; k++) {
    rows[k] = Math.floor(cells[k]! / g.width)
    columns[k] = cells[k]! - rows[k]! * g.width
  }
  return { columns, rows, box: boxOf(g.width, cells) }
}

/** The cells as a mask of their own block. */
function maskOf(g: GridGeometry, { columns, rows, box }: BandCells): Mask {
  const width = box.lastColumn - box.firstColumn + 1
  const height = box.lastRow - box.firstRow + 1
  const data = new Uint8Array(width * height)
  for (let k = 0; k < columns.length; k++) data[(rows[k]! - box.firstRow) * width + columns[k]! - box.firstColumn] = 1
  const geometry = { ...g, width, height, west_m: g.west_m + box.firstColumn * g.cell_m, north_m: g.north_m - box.firstRow * g.cell_m }
  return { geometry, data }
}

/** 1 on the cells of streams: an overflow that reaches one is not followed beyond. */
export function streamCells({ ground }: WaterStudy, features: readonly SiteFeature[]): Uint8Array {
  const taken = new Uint8Array(ground.data.length)
  for (const feature of features)
    if (feature.kind === 'stream')
      for (const shape of feature.shapes) for (const cell of cellsNear(ground.geometry, shape, 0)) taken[cell] = 1
  return taken
}

/** A boundary as the line to cross. */
export const outline = (shape: Shape): Shape =>
  shape.type === 'polygon' ? { type: 'line', path: [...shape.rings[0]!, shape.rings[0]![0]!] } : shape

/** The path up to where it first meets any of the shapes; null when it meets none. Points count as discs of 2 m. */
export function cutAt(path: readonly Point[], shapes: readonly Shape[]): Point[] | null {
  if (shapes.length === 0) return null
  // What lies off the whole path is told first, and off each step without a product.
  const all = boxOfPath(path)
  const near = shapes.map(shape => ({ shape, box: shapeBounds(shape) })).filter(({ box }) => !apart(box, all))
  const pieces = near.flatMap(({ shape }) => piecesOf(shape)).map(([a, b]) => ({ a, b, box: boxOfPath([a, b]) }))
  if (near.length === 0) return null
  for (let k = 0; k < path.length; k++) {
    const here = path[k]!
    if (k > 0) {
      const before = path[k - 1]!
      const west = Math.min(before[0], here[0]) - HAIR_m
      const east = Math.max(before[0], here[0]) + HAIR_m
      const south = Math.min(before[1], here[1]) - HAIR_m
      const north = Math.max(before[1], here[1]) + HAIR_m
      let first = Number.POSITIVE_INFINITY
      for (const { a, b, box } of pieces) {
        if (box[0] > east || box[2] < west || box[1] > north || box[3] < south) continue
        if (crosses(before, here, a, b)) first = Math.min(first, crossingAt(before, here, a, b))
      }
      if (first <= 1) {
        const at: Point = [before[0] + first * (here[0] - before[0]), before[1] + first * (here[1] - before[1])]
        return [...path.slice(0, k), at]
      }
    }
    for (const { shape, box } of near) {
      if (here[0] < box[0] - POINT_m || here[0] > box[2] + POINT_m || here[1] < box[1] - POINT_m || here[1] > box[3] + POINT_m) continue
      if (isOn(here, shape)) return path.slice(0, k + 1)
    }
  }
  return null
}

/** A point counts as a disc of this radius. */
const POINT_m = 2
/** Wider than a rounding. */
const HAIR_m = 1e-6

/** Whether two boxes lie farther apart than a point's disc. */
const apart = (a: Box, b: Box): boolean => a[0] > b[2] + POINT_m || a[2] < b[0] - POINT_m || a[1] > b[3] + POINT_m || a[3] < b[1] - POINT_m

const isOn = (place: Point, shape: Shape): boolean =>
  shape.type === 'polygon' ? insideRings(place, shape.rings) : shape.type === 'point' ? distance_m(place, shape.at) <= POINT_m : false

function piecesOf(shape: Shape): [Point, Point][] {
  if (shape.type === 'point') return []
  if (shape.type === 'line') return shape.path.slice(1).map((b, k) => [shape.path[k]!, b])
  return shape.rings.flatMap(ring => ring.map((a, k): [Point, Point] => [a, ring[(k + 1) % ring.length]!]))
}

function nearest(feature: SiteFeature, places: Places, surveyed: ElevationGrid, height_m: (place: Point) => number): BuildingNear {
  const { index, distance_m } = nearestOf(feature.shapes, places)
  const height = floorOf_m(feature, surveyed) - (index >= 0 ? height_m([places.x_m[index]!, places.y_m[index]!]) : Number.NaN)
  return { id: feature.id, name: feature.name, distance_m, heightBelowFloor_m: !Number.isNaN(height) ? height : null }
}

/** Places side by side: thousands of them are made for each place of a dragged line. */
interface Places {
  readonly x_m: Float64Array
  readonly y_m: Float64Array
  /** The box round each `RUN` of them, in their order. */
  readonly boxes: readonly Box[]
}

/** Places that follow each other lie near each other as a rule: a run of them far from a building is passed over at once. Source: judgement. */
const RUN = 128

/** A way's points, and after them more points or the centres of cells. */
function placesOf(g: GridGeometry, way: readonly Point[], more: readonly Point[] | BandCells): Places {
  const x_m = new Float64Array(way.length + ('columns' in more ? more.columns.length : more.length))
  const y_m = new Float64Array(x_m.length)
  const put = (first: number, points: readonly Point[]): void => {
    for (let k = 0; k < points.length; k++) {
      x_m[first + k] = points[k]![0]
      y_m[first + k] = points[k]![1]
    }
  }
  put(0, way)
  if ('columns' in more)
    for (let k = 0; k < more.columns.length; k++) {
      x_m[way.length + k] = g.west_m + (more.columns[k]! + 0.5) * g.cell_m
      y_m[way.length + k] = g.north_m - (more.rows[k]! + 0.5) * g.cell_m
    }
  else put(way.length, more)
  return inRuns(x_m, y_m)
}

function inRuns(x_m: Float64Array, y_m: Float64Array): Places {
  const boxes: Box[] = []
  for (let k = 0; k < x_m.length; ) {
    let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity]
    for (const end = Math.min(k + RUN, x_m.length); k < end; k++) {
      const x = x_m[k]!
      const y = y_m[k]!
      if (x < west) west = x
      if (x > east) east = x
      if (y < south) south = y
      if (y > north) north = y
    }
    boxes.push([west, south, east, north])
  }
  return { x_m, y_m, boxes }
}

/** For the rounding of squares. */
const HAIR_MORE = 1 + 1e-12

/** Of several places the one nearest to shapes, the first of equals; −1 for none. */
export const nearestPlace = (shapes: readonly Shape[], places: readonly Point[]): { readonly index: number; readonly distance_m: number } =>
  nearestOf(
    shapes,
    inRuns(
      Float64Array.from(places, p => p[0]),
      Float64Array.from(places, p => p[1]),
    ),
  )

function nearestOf(shapes: readonly Shape[], { x_m, y_m, boxes }: Places): { readonly index: number; readonly distance_m: number } {
  let least = Number.POSITIVE_INFINITY
  let index = -1
  for (const shape of shapes) {
    const box = shapeBounds(shape)
    const [west, south, east, north] = box
    // The box first: a place farther from it than the shape is from the place nearest to it is passed over.
    let first = -1
    let leastToBox2 = Number.POSITIVE_INFINITY
    for (let run = 0; run < boxes.length; run++) {
      if (between2(boxes[run]!, box) >= leastToBox2) continue
      for (let k = run * RUN, end = Math.min(k + RUN, x_m.length); k < end; k++) {
        const x = x_m[k]!
        const y = y_m[k]!
        const dx = x < west ? west - x : x > east ? x - east : 0
        const dy = y < south ? south - y : y > north ? y - north : 0
        const away2 = dx * dx + dy * dy
        if (away2 >= leastToBox2) continue
        leastToBox2 = away2
        first = k
      }
    }
    if (first < 0) continue
    const enough = Math.min(least, distanceToShape_m([x_m[first]!, y_m[first]!], shape))
    const enough2 = enough * enough * HAIR_MORE
    for (let run = 0; run < boxes.length; run++) {
      if (between2(boxes[run]!, box) > enough2) continue
      for (let k = run * RUN, end = Math.min(k + RUN, x_m.length); k < end; k++) {
        const x = x_m[k]!
        const y = y_m[k]!
        const dx = x < west ? west - x : x > east ? x - east : 0
        const dy = y < south ? south - y : y > north ? y - north : 0
        if (dx * dx + dy * dy > enough2) continue
        const away = distanceToShape_m([x, y], shape)
        if (away < least) {
          least = away
          index = k
        }
      }
    }
  }
  return { index, distance_m: least }
}

/** Square of the distance between two boxes, never more than from a place in the one to the other; 0 where they meet. */
function between2(a: Box, b: Box): number {
  const dx = a[2] < b[0] ? b[0] - a[2] : a[0] > b[2] ? a[0] - b[2] : 0
  const dy = a[3] < b[1] ? b[1] - a[3] : a[1] > b[3] ? a[1] - b[3] : 0
  return dx * dx + dy * dy
}

/** A building's floor. No data NaN where neither it nor the ground is known. */
export const floorOf_m = (feature: SiteFeature, surveyed: ElevationGrid): number => feature.floor_m ?? lowestGround(feature, surveyed)

/** The lowest ground at a footprint stands in for a floor that was not measured: the unfavourable end. */
function lowestGround(feature: SiteFeature, ground: ElevationGrid): number {
  let low = Number.NaN
  for (const shape of feature.shapes)
    for (const cell of cellsNear(ground.geometry, shape, 0)) {
      const z = ground.data[cell]!
      if (!(z >= low)) low = !Number.isNaN(z) ? z : low
    }
  return low
}

/** Length of a way over which its exit slope is taken. Source: judgement. */
const EXIT_m = 10

function exitSlope(height_m: (place: Point) => number, path: readonly Point[]): number {
  let length = 0
  for (let k = 1; k < path.length; k++) {
    length += distance_m(path[k - 1]!, path[k]!)
    if (length >= EXIT_m || k === path.length - 1) return length > 0 ? Math.max(0, (height_m(path[0]!) - height_m(path[k]!)) / length) : 0
  }
  return 0
}
