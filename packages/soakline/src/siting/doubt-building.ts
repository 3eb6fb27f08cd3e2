import { cellCentre, cellsNear, type GridGeometry, insideRings, type Point, type Shape, shapeBounds } from '../raster/index.js'
import type { SiteFeature } from './feature.js'

/** When water counts as having come to a building: both must be undercut at the same place. */
export interface Clearance {
  /** In plan, from the footprint. */
  readonly plan_m: number
  /** Rise from the water to the floor. */
  readonly height_m: number
}

/** What the runs say of one building below one spill. */
export interface BuildingRuns {
  readonly id: string
  readonly name: string | null
  /** Runs in which water came within a cell of the footprint, within the clearance in height. */
  readonly touched: number
  /** Runs in which it came within the clearance, in plan and height at the same place. */
  readonly reached: number
  /** Runs in which it came within twice the clearance, in plan and height. */
  readonly near: number
  /** Nearest approach in plan of all runs; null where none came within the distance looked at. */
  readonly nearest_m: number | null
  /** Least rise from the water to the floor within the clearance in plan, of all runs; negative where water stood higher; null where none came so near. */
  readonly leastRise_m: number | null
}

/** A building as the runs look at it. */
export interface Target {
  readonly id: string
  readonly name: string | null
  readonly floor_m: number | null
  readonly footprint: readonly number[]
  readonly bounds: readonly (readonly [west: number, south: number, east: number, north: number])[]
  /** Cells within the distance looked at, and how far each lies from the footprint. */
  readonly zone: readonly number[]
  readonly away_m: readonly number[]
  distanceTo(place: Point): number
}

/** A building laid out for the runs: its footprint and its surroundings, once for all of them. */
export function targetOf(geometry: GridGeometry, building: SiteFeature, look_m: number): Target {
  const distanceTo = distanceFrom(building.shapes)
  const near = (within_m: number): number[] => [...new Set(building.shapes.flatMap(shape => cellsNear(geometry, shape, within_m)))]
  const zone = near(look_m + geometry.cell_m)
  return {
    id: building.id,
    name: building.name,
    floor_m: building.floor_m,
    footprint: near(0),
    bounds: building.shapes.map(shapeBounds),
    zone,
    away_m: zone.map(cell => distanceTo(cellCentre(geometry, cell))),
    distanceTo,
  }
}

/** Distance to the nearest of some shapes, 0 inside, as `distanceToShape_m`: their outlines are laid out once, since it is asked for each step of water. */
function distanceFrom(shapes: readonly Shape[]): (place: Point) => number {
  const areas = shapes.flatMap(shape => (shape.type === 'polygon' ? [shape.rings] : []))
  const pieces = Float64Array.from(
    shapes.flatMap(shape => {
      if (shape.type === 'point') return [...shape.at, ...shape.at]
      if (shape.type === 'line') return shape.path.slice(1).flatMap((b, k) => [...shape.path[k]!, ...b])
      return shape.rings.flatMap(ring => ring.flatMap((a, k) => [...a, ...ring[(k + 1) % ring.length]!]))
    }),
  )
  return place => {
    for (const rings of areas) if (insideRings(place, rings)) return 0
    let least = Number.POSITIVE_INFINITY
    for (let k = 0; k < pieces.length; k += 4) {
      const dx = pieces[k + 2]! - pieces[k]!
      const dy = pieces[k + 3]! - pieces[k + 1]!
      const px = place[0] - pieces[k]!
      const py = place[1] - pieces[k + 1]!
      const square = dx * dx + dy * dy
      const t = square > 0 ? Math.min(1, Math.max(0, (px * dx + py * dy) / square)) : 0
      least = Math.min(least, (px - t * dx) * (px - t * dx) + (py - t * dy) * (py - t * dy))
    }
    return Math.sqrt(least)
  }
}

/** The floor of a building in one run: as measured, else the lowest ground at the footprint, the unfavourable end; NaN where there is none. */
export function floorIn({ floor_m, footprint }: Target, z: Float32Array): number {
  if (floor_m !== null) return floor_m
  let low = Number.NaN
  for (const cell of footprint) if (!(z[cell]! >= low)) low = !Number.isNaN(z[cell]!) ? z[cell]! : low
  return low
}

/** Counts over runs how near water came to one building. */
export class Tally {
  private touched = 0
  private reached = 0
  private near = 0
  private nearest_m = Number.POSITIVE_INFINITY
  private leastRise_m = Number.POSITIVE_INFINITY
  private closest = Number.POSITIVE_INFINITY
  private touches = false

  constructor(
    private readonly target: Target,
    private readonly clearance: Clearance,
    private readonly touch_m: number,
  ) {}

  /** Water at a distance, the floor that much above it. A rise that is not known counts as none. */
  meet(away_m: number, rise_m: number): void {
    const { plan_m, height_m } = this.clearance
    const rise = Number.isNaN(rise_m) ? Number.NEGATIVE_INFINITY : rise_m
    this.closest = Math.min(this.closest, Math.max(away_m / plan_m, rise / height_m))
    if (away_m <= this.touch_m && rise <= height_m) this.touches = true
    if (away_m < this.nearest_m) this.nearest_m = away_m
    if (away_m <= plan_m && rise_m < this.leastRise_m) this.leastRise_m = rise_m
  }

  /** Ends a run. */
  end(): void {
    if (this.touches) this.touched++
    if (this.closest <= 1) this.reached++
    if (this.closest <= 2) this.near++
    this.touches = false
    this.closest = Number.POSITIVE_INFINITY
  }

  said(): BuildingRuns {
    const { touched, reached, near } = this
    const known = (value: number): number | null => (value < Number.POSITIVE_INFINITY ? value : null)
    return {
      id: this.target.id,
      name: this.target.name,
      touched,
      reached,
      near,
      nearest_m: known(this.nearest_m),
      leastRise_m: known(this.leastRise_m),
    }
  }
}
