import type { ElevationGrid } from 'soakline/raster'

/** A raster that writes down which of its cells are read. */
export interface WatchedGrid {
  readonly grid: ElevationGrid
  /** The lowest and the highest cell read since it was last asked; null when none was. */
  taken(): readonly [first: number, last: number] | null
}

/** The same raster with its readings watched. */
export function watched(grid: ElevationGrid): WatchedGrid {
  let [first, last] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  const data = new Proxy(grid.data, {
    get(target, key) {
      const cell = typeof key === 'string' ? Number(key) : Number.NaN
      if (!Number.isNaN(cell)) {
        if (cell < first) first = cell
        if (cell > last) last = cell
      }
      const value: unknown = Reflect.get(target, key, target)
      return typeof value === 'function' ? value.bind(target) : value
    },
  })
  return {
    grid: { ...grid, data },
    taken() {
      const read = first <= last ? ([first, last] as const) : null
      first = Number.POSITIVE_INFINITY
      last = Number.NEGATIVE_INFINITY
      return read
    },
  }
}
