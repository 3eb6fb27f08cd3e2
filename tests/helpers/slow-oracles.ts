import { type ElevationGrid, rimCells } from 'soakline/raster'

/** Neighbours of a cell that have data, with the distance to them in cells. No index tricks: columns and rows throughout. */
export function neighboursOf(
  { geometry: { width, height }, data }: ElevationGrid,
  cell: number,
): { cell: number; away: number; direction: number }[] {
  const column = cell % width
  const row = Math.floor(cell / width)
  const found = []
  const names = ['0,-1', '1,-1', '1,0', '1,1', '0,1', '-1,1', '-1,0', '-1,-1']
  for (let dr = -1; dr <= 1; dr++)
    for (let dc = -1; dc <= 1; dc++) {
      const c = column + dc
      const r = row + dr
      if ((dc === 0 && dr === 0) || c < 0 || r < 0 || c >= width || r >= height || Number.isNaN(data[r * width + c]!)) continue
      found.push({ cell: r * width + c, away: Math.hypot(dc, dr), direction: names.indexOf(`${dc},${dr}`) })
    }
  return found
}

/** Cells whose water can leave: on the border or beside (8 neighbours) a void. */
export function outletsOf(ground: ElevationGrid): number[] {
  const { width, height } = ground.geometry
  return [...ground.data.keys()].filter(cell => {
    if (Number.isNaN(ground.data[cell]!)) return false
    const column = cell % width
    const row = Math.floor(cell / width)
    return column === 0 || row === 0 || column === width - 1 || row === height - 1 || neighboursOf(ground, cell).length < 8
  })
}

/** Depression filling by its definition: the least over all paths to an outlet of the highest ground on the path. Relaxed until nothing changes. */
export function fillByRelaxation(ground: ElevationGrid, kept: Iterable<number> = []): Float32Array {
  const filled = ground.data.map(z => (Number.isNaN(z) ? z : Number.POSITIVE_INFINITY))
  for (const cell of [...outletsOf(ground), ...kept]) filled[cell] = ground.data[cell]!
  const around = [...filled.keys()].map(cell => neighboursOf(ground, cell))
  for (let changed = true; changed; ) {
    changed = false
    for (let cell = 0; cell < filled.length; cell++)
      for (const to of around[cell]!) {
        const level = Math.max(ground.data[cell]!, filled[to.cell]!)
        if (level < filled[cell]!) {
          filled[cell] = level
          changed = true
        }
      }
  }
  return filled
}

/** The only steepest way down from each cell: a direction, 'leaves' for a rim cell with nothing lower, null where it is a tie, a pit or a flat. */
export function steepestByHand(ground: ElevationGrid): (number | 'leaves' | null)[] {
  const { width, height } = ground.geometry
  const rim = rimCells(ground.data, width, height)
  return [...ground.data.keys()].map(cell => {
    const here = ground.data[cell]!
    if (Number.isNaN(here)) return null
    const falls = neighboursOf(ground, cell).map(n => ({ ...n, fall: (here - ground.data[n.cell]!) / n.away }))
    const steepest = Math.max(0, ...falls.map(f => f.fall))
    if (steepest === 0) return rim[cell] ? 'leaves' : null
    // Within rounding of one another they count as equal.
    const best = falls.filter(f => f.fall > steepest * (1 - 1e-9))
    return best.length === 1 ? best[0]!.direction : null
  })
}
