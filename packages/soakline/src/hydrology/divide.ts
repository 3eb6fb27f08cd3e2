import { distanceToSegment, distance_m, type ElevationGrid, type Point, pathLength_m, ringsAbove, surfaceValue } from '../raster/index.js'
import type { Catchment } from './catchment.js'

/** The outline of a catchment and the ridge that bounds it. */
export interface CatchmentOutline {
  /** Rings round the ground of which half the water or more arrives: outer rings counter-clockwise, holes clockwise. */
  readonly rings: readonly (readonly Point[])[]
  /** Stretches of the outline that are a divide: just beyond them the ground falls away. */
  readonly ridges: readonly (readonly Point[])[]
  /** The highest place of the outline, the line and the raster's edge left out; null where nothing is left. */
  readonly highPoint: { readonly at: Point; readonly elevation_m: number } | null
  readonly ridgeLength_m: number
}

/** How far beyond the outline the ground is looked at, in cells. */
const BEYOND = 3

/** A side of the catchment runs down the slope: there the ground beyond is as high. A divide falls off by at least this part of the local slope. */
const FALLS_OFF = 0.3

/**
 * The outline of a catchment, and which parts of it are a ridge. The line itself, the raster's edge and the sides that merely follow the
 * fall of the slope are no ridge.
 *
 * Cost    one pass over the raster and some looks at the ground for each vertex.
 */
export function catchmentOutline(ground: ElevationGrid, catchment: Pick<Catchment, 'share'>, line: readonly Point[]): CatchmentOutline {
  const g = ground.geometry
  const rings = ringsAbove(g, catchment.share.data, 0.5)
  const reach = BEYOND * g.cell_m
  const ridges: Point[][] = []
  let highPoint = null as CatchmentOutline['highPoint']
  for (const ring of rings) {
    let run: Point[] = []
    const close = (): void => {
      if (run.length > 1) ridges.push(run)
      run = []
    }
    for (let k = 0; k <= ring.length; k++) {
      const here = ring[k % ring.length]!
      const before = ring[(k + ring.length - 4) % ring.length]!
      const after = ring[(k + 4) % ring.length]!
      // Outwards is to the right of a counter-clockwise ring.
      const tx = after[0] - before[0]
      const ty = after[1] - before[1]
      const t = Math.sqrt(tx * tx + ty * ty) || 1
      const out = surfaceValue(ground, [here[0] + (reach * ty) / t, here[1] - (reach * tx) / t])
      const inn = surfaceValue(ground, [here[0] - (reach * ty) / t, here[1] + (reach * tx) / t])
      const at = surfaceValue(ground, here)
      const along = Math.abs(surfaceValue(ground, after) - surfaceValue(ground, before)) / t
      const drop = (at - out) / reach
      if (!(at === at) || isNear(here, line, 2 * g.cell_m)) {
        close()
        continue
      }
      if (at > (highPoint?.elevation_m ?? Number.NEGATIVE_INFINITY)) highPoint = { at: here, elevation_m: at }
      if (drop > 0 && drop > FALLS_OFF * Math.max(along, Math.abs(at - inn) / reach)) run.push(here)
      else close()
    }
    close()
  }
  return { rings, ridges, highPoint, ridgeLength_m: ridges.reduce((sum, run) => sum + pathLength_m(run), 0) }
}

function isNear(place: Point, line: readonly Point[], within_m: number): boolean {
  if (line.length === 1) return distance_m(place, line[0]!) <= within_m
  for (let k = 1; k < line.length; k++) if (distanceToSegment(place, line[k - 1]!, line[k]!).distance_m <= within_m) return true
  return false
}
