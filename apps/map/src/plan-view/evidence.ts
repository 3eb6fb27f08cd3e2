import type { Feature, FeatureCollection, Geometry } from 'geojson'
import type { Evidence, SourceName } from './layers.js'

const EVIDENCE: Readonly<Record<Evidence, readonly string[]>> = {
  ridge: ['catchment', 'ridge', 'high-point', 'line'],
  building: ['path', 'beyond', 'band', 'line'],
  spill: ['path', 'line'],
}

/** What is drawn of the evidence of a question. */
export function evidenceOf(which: Evidence, { answer, features }: Readonly<Record<SourceName, FeatureCollection>>): Feature[] {
  const shown = answer.features.filter(({ properties }) => EVIDENCE[which].includes(String(properties?.what)))
  return which === 'building' ? [...shown, ...features.features.filter(({ properties }) => properties?.kind === 'building')] : shown
}

/** West, south, east and north of features; null when there are none. */
export function boundsOf(features: readonly Feature[]): [number, number, number, number] | null {
  const bounds: [number, number, number, number] = [180, 90, -180, -90]
  const take = (coordinates: unknown): void => {
    if (!Array.isArray(coordinates)) return
    const [x, y] = coordinates as unknown[]
    if (typeof x === 'number' && typeof y === 'number') {
      bounds[0] = Math.min(bounds[0], x)
      bounds[1] = Math.min(bounds[1], y)
      bounds[2] = Math.max(bounds[2], x)
      bounds[3] = Math.max(bounds[3], y)
    } else for (const inner of coordinates) take(inner)
  }
  const geometries = (geometry: Geometry): void => {
    if (geometry.type === 'GeometryCollection') for (const inner of geometry.geometries) geometries(inner)
    else take(geometry.coordinates)
  }
  for (const { geometry } of features) geometries(geometry)
  return bounds[0] <= bounds[2] ? bounds : null
}
