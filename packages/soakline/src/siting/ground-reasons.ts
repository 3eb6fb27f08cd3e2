import { hollowCells, type WaterStudy } from '../hydrology/index.js'
import type { Grid } from '../raster/index.js'
import { type GroundLayers, valuesAt } from './ground-layers.js'
import { infiniteSlopeFactor } from './infinite-slope.js'
import type { GroundLimits, SetbackLimits } from './no-go-limits.js'

/** The ground and what is known of it besides drawings. */
export interface GroundRead {
  readonly study: WaterStudy
  readonly gradient: Grid<'gradient_ratio'>
  readonly layers: GroundLayers
}

/** The cells that pass a test. */
export function cellsWhere(count: number, test: (cell: number) => boolean): number[] {
  const cells: number[] = []
  for (let cell = 0; cell < count; cell++) if (test(cell)) cells.push(cell)
  return cells
}

/** Cells of hollows deep and large enough to hold water. */
export function realHollowCells({ study }: GroundRead, limits: Pick<SetbackLimits, 'hollowDepth_m' | 'hollowVolume_m3'>): number[] {
  return study.hollows
    .filter(h => h.depth_m >= limits.hollowDepth_m && h.volume_m3 >= limits.hollowVolume_m3)
    .flatMap(h => [...hollowCells(study.ground, study.brimful, h.deepest)])
}

/** Cells steeper than a limit. */
export const steeperCells = ({ gradient }: GroundRead, limit_ratio: number): number[] =>
  cellsWhere(gradient.data.length, cell => gradient.data[cell]! > limit_ratio)

/**
 * Cells over a wetness index ln(a / tan β), tan β at least 0.001.
 *
 * Source  Beven & Kirkby (1979), Hydrol. Sci. Bull. 24(1), 43–69.
 */
export function wetCells({ gradient }: GroundRead, area: Grid<'contributing-area_m2', Float64Array>, index_ln: number): number[] {
  const ratio_m = exponential(index_ln) * area.geometry.cell_m
  return cellsWhere(gradient.data.length, cell => area.data[cell]! > ratio_m * Math.max(gradient.data[cell]!, 0.001))
}

/** e to a small power by its series: the last bits of `Math.exp` differ between engines. */
function exponential(x: number): number {
  let sum = 1
  for (let k = 24; k >= 1; k--) sum = 1 + (x / 64 / k) * sum
  for (let k = 0; k < 6; k++) sum *= sum
  return sum
}

/** Cells whose infinite-slope factor of the set soil lies below the target. */
export function slideProneCells({ gradient }: GroundRead, limits: GroundLimits): number[] {
  const soil = {
    cohesion_kPa: limits.slideCohesion_kPa,
    friction_deg: limits.slideFriction_deg,
    weight_kNm3: limits.slideWeight_kNm3,
    depth_m: limits.slideDepth_m,
    wetShare_ratio: limits.slideWetShare_ratio,
  }
  infiniteSlopeFactor(1, soil)
  return cellsWhere(
    gradient.data.length,
    cell => gradient.data[cell]! > 0 && infiniteSlopeFactor(gradient.data[cell]!, soil) < limits.slideFactor_ratio,
  )
}

/** Cells over the slope at which clay and colluvium ask for a professional; soil that nobody has looked at counts as such. */
export function steepWeakCells({ study, gradient, layers }: GroundRead, limits: GroundLimits): number[] {
  const soil = layers.soil && valuesAt(study.ground.geometry, layers.soil.classes)
  const weak = new Set(layers.soil?.weak)
  return cellsWhere(gradient.data.length, cell => {
    if (!(gradient.data[cell]! > limits.weakSlope_ratio)) return false
    const known = soil !== undefined && !Number.isNaN(soil[cell]!)
    return known ? weak.has(soil[cell]!) : limits.weakSoil !== false
  })
}

/** Cells of banks that the heights show: steep ones with gentler ground beside them. */
export function bankCells({ study, gradient }: GroundRead, slope_ratio: number): number[] {
  const { width } = study.ground.geometry
  const steep = (cell: number): boolean => gradient.data[cell]! >= slope_ratio
  const gentle = (cell: number): boolean => gradient.data[cell]! < slope_ratio
  return cellsWhere(
    gradient.data.length,
    cell => steep(cell) && [-width - 1, -width, -width + 1, -1, 1, width - 1, width, width + 1].some(step => gentle(cell + step)),
  )
}

/** Cells under a canopy: where the surface stands high over the ground. */
export function canopyCells({ study, layers }: GroundRead, height_m: number): number[] {
  if (!layers.surface) return []
  const { data, geometry } = study.surveyed
  const top = valuesAt(geometry, layers.surface)
  return cellsWhere(data.length, cell => top[cell]! - data[cell]! > height_m)
}

/** Cells of land-cover classes. */
export function coverCells({ study, layers }: GroundRead, which: 'forest' | 'wet'): number[] {
  if (!layers.landCover) return []
  const values = valuesAt(study.ground.geometry, layers.landCover.classes)
  const classes = new Set(layers.landCover[which])
  return cellsWhere(values.length, cell => classes.has(values[cell]!))
}
