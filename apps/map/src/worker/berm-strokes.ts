import type { LineSection } from 'soakline/plan'
import { type ElevationGrid, type Point, surfaceValue } from 'soakline/raster'

/** Strokes shorter than this would not be seen on a plan. Judgement. */
const SHORTEST_M = 2.5

/**
 * The bank sign of a berm: short strokes from its crest down the fall, every other one half as long.
 * A berm that cannot be made out (no section) still gets strokes of the shortest length.
 */
export function bermStrokes(
  ground: ElevationGrid,
  places: readonly { readonly at: Point; readonly heading: Point }[],
  section: LineSection | null,
): Point[][] {
  const { cell_m } = ground.geometry
  const crest_m = section ? Math.max(0, (section.crest_z_m - section.lip_z_m) * section.shape.bermInnerSlope_ratio) : 0
  const toe_m = Math.max(section ? section.outerToe_x_m - section.lip_x_m : 0, crest_m + SHORTEST_M)
  return places.map(({ at, heading }, k) => {
    const right: Point = [heading[1], -heading[0]]
    const beside = (side: number): number => surfaceValue(ground, [at[0] + side * right[0] * cell_m, at[1] + side * right[1] * cell_m])
    // The line may run either way round the hill: the lower side is the berm's.
    const side = beside(1) > beside(-1) ? -1 : 1
    const from = side * crest_m
    const to = side * (k % 2 === 0 ? toe_m : (crest_m + toe_m) / 2)
    return [
      [at[0] + from * right[0], at[1] + from * right[1]],
      [at[0] + to * right[0], at[1] + to * right[1]],
    ]
  })
}
