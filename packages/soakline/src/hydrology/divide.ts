import {
  cellAt,
  type ElevationGrid,
  type GridGeometry,
  type Point,
  pathLength_m,
  ringsAbove,
  stations,
  surfaceValue,
  thinned,
} from '../raster/index.js'
import type { Catchment } from './catchment.js'

/** The outline of a catchment and the ridge that bounds it. */
export interface CatchmentOutline {
  /** Rings round the ground of which half the water or more arrives: outer rings counter-clockwise, holes clockwise. */
  readonly rings: readonly (readonly Point[])[]
  /** Stretches of the outline that are a divide: just beyond them the ground falls away. Drawn without the stairs of the cells. */
  readonly ridges: readonly (readonly Point[])[]
  /** The highest place of the outline, the line and the outermost cells beside the border and voids left out; null where nothing is left. */
  readonly highPoint: { readonly at: Point; readonly elevation_m: number } | null
  readonly ridgeLength_m: number
}

/** How far beyond the outline the ground is looked at, in cells. */
const BEYOND = 3

/** A side of the catchment runs down the slope: there the ground beyond is as high. A divide falls off by at least this part of the local slope. */
const FALLS_OFF = 0.3

/** The outline of cells is a stair: its ridges are drawn as straight as they can be within this many cells, or they would come out too long. */
const STAIR = 0.75

/**
 * The outline of a catchment, and which parts of it are a ridge. The line itself, the raster's edge and the sides that merely follow the
 * fall of the slope are no ridge; nor is a crest so blunt that it falls along itself much faster than to its sides (a wide saddle's).
 *
 * Cost    one pass over the raster and some looks at the ground for each vertex.
 */
export function catchmentOutline(
  ground: ElevationGrid,
  catchment: Pick<Catchment, 'share' | 'box'>,
  line: readonly Point[],
): CatchmentOutline {
  const g = ground.geometry
  const rings = ringsAbove(g, catchment.share.data, 0.5, catchment.box)
  const beside = cellsBeside(g, line)
  const reach = BEYOND * g.cell_m
  const ridges: Point[][] = []
  let highPoint = null as CatchmentOutline['highPoint']
  for (const ring of rings) {
    const runs: Point[][] = []
    let run: Point[] = []
    const close = (): void => {
      if (run.length > 1) runs.push(run)
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
      // One cell further out there must be ground: what ends at the border or a void is cut off, not divided.
      const isCut = Number.isNaN(surfaceValue(ground, [here[0] + (g.cell_m * ty) / t, here[1] - (g.cell_m * tx) / t]))
      if (Number.isNaN(at) || isCut || beside.has(cellAt(g, here[0], here[1]))) {
        close()
        continue
      }
      if (at > (highPoint?.elevation_m ?? Number.NEGATIVE_INFINITY)) highPoint = { at: here, elevation_m: at }
      if (drop > FALLS_OFF * Math.max(along, Math.abs(at - inn) / reach)) run.push(here)
      else close()
    }
    close()
    // The ring begins anywhere: a ridge that passes its first vertex is one.
    const last = runs[runs.length - 1]
    if (runs.length > 1 && last![last!.length - 1] === runs[0]![0]) runs[0] = [...runs.pop()!, ...runs[0]!.slice(1)]
    for (const stair of runs) ridges.push(thinned(stair, STAIR * g.cell_m))
  }
  return { rings, ridges, highPoint, ridgeLength_m: ridges.reduce((sum, run) => sum + pathLength_m(run), 0) }
}

/** The cells that a line passes and two more to every side. */
function cellsBeside(g: GridGeometry, line: readonly Point[]): Set<number> {
  const beside = new Set<number>()
  for (const { at } of line.length > 1 ? stations(line, g.cell_m / 2) : [{ at: line[0]! }])
    for (let dy = -2; dy <= 2; dy++) for (let dx = -2; dx <= 2; dx++) beside.add(cellAt(g, at[0] + dx * g.cell_m, at[1] + dy * g.cell_m))
  return beside
}
