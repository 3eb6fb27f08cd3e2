import type { Catchment } from '../hydrology/index.js'
import type { Mask } from '../raster/index.js'

/** Sides of the raster across which more water may come, as eighths of the compass: 0 north, 2 east, 4 south, 6 west; `gap` for voids inside. */
export type CutSide = 0 | 2 | 4 | 6 | 'gap'

/** Where more ground is wanted: the sides at which cells of the catchment lie on the rim by which water may come in. Most water first. */
export function cutSides({ share, box }: Catchment, rim: Mask): CutSide[] {
  const { width, height } = share.geometry
  const [rims, shares] = [rim.data, share.data]
  const found = new Map<CutSide, number>()
  for (let row = box.firstRow; row <= box.lastRow; row++)
    for (let column = box.firstColumn; column <= box.lastColumn; column++) {
      const cell = row * width + column
      if (rims[cell] === 0 || !(shares[cell]! > 0)) continue
      const sides: CutSide[] = []
      if (row === 0) sides.push(0)
      if (column === width - 1) sides.push(2)
      if (row === height - 1) sides.push(4)
      if (column === 0) sides.push(6)
      for (const side of sides.length > 0 ? sides : (['gap'] as const)) found.set(side, (found.get(side) ?? 0) + shares[cell]!)
    }
  return [...found].sort((a, b) => b[1] - a[1]).map(([side]) => side)
}
