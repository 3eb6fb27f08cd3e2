import { type ElevationGrid, neighbourOffsets, rimCells } from '../raster/index.js'
import { LEAVES } from './direction-codes.js'
import type { Drainage } from './drainage.js'

/**
 * Share of the raster's rim (its border, and cells beside gaps) from which water runs to the ground within, so that more of it may come from beyond.
 *
 * Laws    0 on a knoll; water that runs along the rim, or off it, counts as none.
 */
export function openRim_ratio({ data, geometry: { width, height } }: ElevationGrid, { direction }: Pick<Drainage, 'direction'>): number {
  const rim = rimCells(data, width, height)
  const offsets = neighbourOffsets(width)
  let [all, inward] = [0, 0]
  for (let cell = 0; cell < rim.length; cell++)
    if (rim[cell]) {
      all++
      const code = direction[cell]!
      if (code < LEAVES && !rim[cell + offsets[code]!]) inward++
    }
  return all === 0 ? 0 : inward / all
}
