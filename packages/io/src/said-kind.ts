import { InputError } from 'soakline/foundation'
import { parseJson } from './json-text.js'

/** The same GeoJSON with a kind said for each feature that has none. Throws InputError `vector/not-json`, `vector/too-deep`. */
export function withKind(geojson: string, kind: string): string {
  const root = parseJson(
    geojson,
    why => new InputError('vector/not-json', `The vector file is not JSON (${why}). Export it as GeoJSON.`),
  ) as { features?: unknown; type?: unknown }
  const features = (
    Array.isArray(root.features)
      ? root.features
      : root.type === 'Feature'
        ? [root]
        : [{ type: 'Feature', properties: null, geometry: root }]
  ) as {
    properties?: Record<string, unknown> | null
  }[]
  return JSON.stringify({
    type: 'FeatureCollection',
    features: features.map(f => ({ ...f, properties: { ...f.properties, kind: f.properties?.kind ?? kind } })),
  })
}
