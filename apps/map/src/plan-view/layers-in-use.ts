import type { FeatureCollection } from 'geojson'
import type { LayerSpecification } from 'maplibre-gl'

/** What lies on the plan: the sources in which anything lies, and the kinds of drawn features as `features/kind`. */
export type Held = ReadonlySet<string>

/** What a source holds: its name and its kinds; nothing where it is empty. */
export function heldIn(source: string, { features }: FeatureCollection): readonly string[] {
  if (features.length === 0) return []
  if (source !== 'features') return [source]
  return [source, ...new Set(features.map(({ properties }) => `${source}/${properties?.kind}`))].sort()
}

/**
 * A layer as it is while these things lie on the plan: without anything to show it is put away. A layer without anything costs time all the same: for each change
 * of source from layer to layer the map marks in every frame which part of the screen belongs to which of the source's tiles.
 *
 * Laws   a layer is put away only when no feature can be its own; the same properties stand in it whatever lies on the plan.
 */
export function asInUse(layer: LayerSpecification, held: Held): LayerSpecification {
  if (!('source' in layer) || typeof layer.source !== 'string' || layer.type === 'raster') return layer
  const { source } = layer
  const kinds = 'filter' in layer ? kindsAsked(layer.filter) : null
  const inUse = held.has(source) && (kinds === null || kinds.some(kind => held.has(`${source}/${kind}`)))
  const { visibility = 'visible' } = (layer.layout ?? {}) as { readonly visibility?: 'visible' | 'none' }
  return { ...layer, layout: { ...layer.layout, visibility: inUse ? visibility : 'none' } } as LayerSpecification
}

/** The kinds without one of which a filter lets nothing through; null where it asks for none. */
function kindsAsked(filter: unknown): readonly string[] | null {
  if (!Array.isArray(filter)) return null
  const [operator, ...rest] = filter as readonly unknown[]
  if (operator === 'in' && JSON.stringify(rest[0]) === '["get","kind"]') return (rest[1] as readonly [string, string[]])[1]
  if (operator !== 'all') return null
  return rest.map(kindsAsked).find(kinds => kinds !== null) ?? null
}
