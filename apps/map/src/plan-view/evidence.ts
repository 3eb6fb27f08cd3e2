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

/** Around the evidence, as a share of its size, where a building counts as beside it. Source: judgement. */
const BESIDE = 0.12

/** What the plan shows first: the line, its catchment, the ways of the overflow, and the buildings beside them. */
export function wholeEvidence(answer: FeatureCollection, features: FeatureCollection): Feature[] {
  const shown = answer.features.filter(({ properties }) => ['line', 'catchment', 'ridge', 'path'].includes(String(properties?.what)))
  const bounds = boundsOf(shown)
  if (bounds === null) return []
  const [west, south, east, north] = bounds
  const [dx, dy] = [(east - west) * BESIDE, (north - south) * BESIDE]
  const beside = features.features.filter(feature => {
    const own = feature.properties?.kind === 'building' ? boundsOf([feature]) : null
    return own !== null && own[2] >= west - dx && own[0] <= east + dx && own[3] >= south - dy && own[1] <= north + dy
  })
  return [...shown, ...beside]
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
