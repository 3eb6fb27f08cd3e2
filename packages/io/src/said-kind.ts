/** The same GeoJSON with a kind said for each feature that has none. */
export function withKind(geojson: string, kind: string): string {
  const root = JSON.parse(geojson.replace(/^\uFEFF/, '')) as { features?: unknown; type?: unknown }
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
