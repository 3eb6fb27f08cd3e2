import { cellArea_m2, cellAt, type ElevationGrid, type Point } from '../raster/index.js'

/** Water that a ground holds. */
export interface HeldOnGround {
  readonly volume_m3: number
  readonly area_m2: number
  /** The water reaches the raster's rim or a gap in it: more is held, or it runs out. */
  readonly reachesRim: boolean
}

/**
 * Water standing at a level over the places given and all ground joined to them under that level.
 *
 * Units   level in the raster's datum.
 * Laws    never less at a higher level; 0 over dry places.
 * Cost    wet cells.
 * Source  cells joined by their sides; each holds level less height times its area.
 */
export function heldOnGround(ground: ElevationGrid, over: readonly Point[], level_m: number): HeldOnGround {
  const { geometry, data } = ground
  const { width, height } = geometry
  const seen = new Uint8Array(data.length)
  const open: number[] = []
  const visit = (cell: number): void => {
    if (seen[cell] || !(data[cell]! < level_m)) return
    seen[cell] = 1
    open.push(cell)
  }
  for (const [x, y] of over) {
    const cell = cellAt(geometry, x, y)
    if (cell >= 0) visit(cell)
  }
  let depths = 0
  let cells = 0
  let reachesRim = false
  for (let cell = open.pop(); cell !== undefined; cell = open.pop()) {
    depths += level_m - data[cell]!
    cells++
    const column = cell % width
    const row = (cell - column) / width
    const beside = [
      column > 0 ? cell - 1 : -1,
      column < width - 1 ? cell + 1 : -1,
      row > 0 ? cell - width : -1,
      row < height - 1 ? cell + width : -1,
    ]
    for (const next of beside)
      if (next < 0 || Number.isNaN(data[next]!)) reachesRim = true
      else visit(next)
  }
  const area = cellArea_m2(geometry)
  return { volume_m3: depths * area, area_m2: cells * area, reachesRim }
}
