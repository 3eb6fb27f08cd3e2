import { InputError, type Warning } from 'soakline/foundation'
import { parseJson } from './json-text.js'
import { readVectorLayers, type VectorFileOptions } from './vector-layers.js'

/** A layer as GeoJSON text, which all further reading starts from. */
export interface VectorFile {
  readonly format: string
  readonly geojson: string
  readonly warnings: readonly Warning[]
}

/**
 * The one layer of a file: folders of a KML and kinds of a GPX together; of an archive or a GeoPackage the only file or table, or the one that is named.
 *
 * Throws   InputError `archive/several-files` (a question), and those of `readVectorLayers`.
 */
export async function readVectorFile(bytes: ArrayBuffer, options: VectorFileOptions = {}): Promise<VectorFile> {
  const { format, layers, warnings } = await readVectorLayers(bytes, options)
  const sources = [...new Set(layers.map(({ source }) => source))]
  if (sources.length > 1)
    throw new InputError(
      'archive/several-files',
      `The file holds ${sources.length} layers (${sources.slice(0, 5).join(', ').slice(0, 200)}${sources.length > 5 ? ' and more' : ''}). Say of each what it shows with --features-kind LAYER=KIND,LAYER=KIND, or pack the one that is meant.`,
      { members: sources.slice(0, 40), files: sources.length },
    )
  return { format, geojson: joinedLayers(layers), warnings: [...warnings, ...layers.flatMap(layer => layer.warnings)] }
}

/**
 * Several layers as one GeoJSON text. One alone goes through as it is.
 *
 * Throws   the refusal of a layer that could not be read; InputError `vector/not-json`, `vector/too-deep`.
 */
export function joinedLayers(layers: readonly { readonly geojson: string; readonly problem: unknown }[]): string {
  for (const { problem } of layers) if (problem !== null) throw problem
  const [only] = layers
  if (layers.length === 1) return only!.geojson
  const features = layers.flatMap(({ geojson }) => {
    const root = parseJson(geojson, why => new InputError('vector/not-json', `A layer is not JSON (${why}). Export it as GeoJSON.`)) as {
      features?: unknown
      type?: unknown
    } | null
    if (Array.isArray(root?.features)) return root.features as unknown[]
    return [root?.type === 'Feature' ? root : { type: 'Feature', properties: null, geometry: root }]
  })
  return JSON.stringify({ type: 'FeatureCollection', features })
}
