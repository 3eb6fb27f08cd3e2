import type { FileBounds } from './find-system.js'
import type { LooseFeature } from './marked-features.js'

/** The box of all finite places of features in their own numbers; null where there is none. */
export function boundsOfLoose(features: readonly LooseFeature[]): FileBounds | null {
  let [west, south, east, north] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY]
  const take = (value: unknown): void => {
    if (!Array.isArray(value)) return
    const [x, y] = value as readonly unknown[]
    if (typeof x !== 'number' || typeof y !== 'number') {
      for (const part of value) take(part)
      return
    }
    if (!Number.isFinite(x + y)) return
    west = Math.min(west, x)
    east = Math.max(east, x)
    south = Math.min(south, y)
    north = Math.max(north, y)
  }
  const shape = (geometry: LooseFeature['geometry']): void => {
    take(geometry?.coordinates)
    for (const part of geometry?.geometries ?? []) shape(part as LooseFeature['geometry'])
  }
  for (const { geometry } of features) shape(geometry)
  return west <= east ? [west, south, east, north] : null
}
