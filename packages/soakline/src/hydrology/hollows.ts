import { cellArea_m2, type ElevationGrid, type Grid, neighbourOffsets } from '../raster/index.js'
import type { Drainage } from './drainage.js'

/** Ground that holds water before it can flow on. */
export interface Hollow {
  /** Its deepest cell. */
  readonly deepest: number
  readonly cells: number
  readonly area_m2: number
  readonly volume_m3: number
  readonly depth_m: number
  /** Height at which it spills. */
  readonly rim_m: number
  /** The cell of the hollow's basin at its pass: where it spills. */
  readonly spillCell: number
}

/** Heights closer than this are one. */
const TOLERANCE_M = 1e-6

/**
 * Every hollow of a ground: parts, connected by side or corner, that filling raises by more than a micrometre; deepest volume first.
 *
 * Units   m, m², m³.
 */
export function hollows(ground: ElevationGrid, filled: Grid<'filled_m'>, { basin, basins }: Drainage): Hollow[] {
  const { width, height } = ground.geometry
  const offsets = neighbourOffsets(width)
  const area = cellArea_m2(ground.geometry)
  const seen = new Uint8Array(ground.data.length)
  const found: Hollow[] = []
  const stack: number[] = []
  const depthAt = (cell: number): number => filled.data[cell]! - ground.data[cell]!
  for (let start = 0; start < seen.length; start++) {
    if (seen[start] || !(depthAt(start) > TOLERANCE_M)) continue
    seen[start] = 1
    stack.push(start)
    let cells = 0
    let volume = 0
    let deepest = start
    while (stack.length > 0) {
      const cell = stack.pop()!
      cells++
      volume += depthAt(cell)
      if (depthAt(cell) > depthAt(deepest)) deepest = cell
      const column = cell % width
      const row = (cell - column) / width
      for (let k = 0; k < 8; k++) {
        const to = cell + offsets[k]!
        if (to < 0 || to >= width * height || Math.abs((to % width) - column) > 1 || Math.abs(Math.floor(to / width) - row) > 1) continue
        if (seen[to] || !(depthAt(to) > TOLERANCE_M)) continue
        seen[to] = 1
        stack.push(to)
      }
    }
    found.push({
      deepest,
      cells,
      area_m2: cells * area,
      volume_m3: volume * area,
      depth_m: depthAt(deepest),
      rim_m: filled.data[deepest]!,
      spillCell: spillOf(basin[deepest]!),
    })
  }
  return found.sort((a, b) => b.volume_m3 - a.volume_m3 || a.deepest - b.deepest)

  /** The pass at which the hollow's water leaves: pits within one hollow pass it on until the pass is as high as the level. */
  function spillOf(start: number): number {
    let b = start
    while (basins.pass_m[b]! < basins.level_m[b]! && basins.next[b]! > 0) b = basins.next[b]!
    return basins.passInside[b]!
  }
}
