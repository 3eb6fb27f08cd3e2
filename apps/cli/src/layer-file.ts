import {
  joinedLayers,
  type Reading,
  readVectorFile,
  readVectorLayers,
  type VectorFileOptions,
  type VectorLayer,
  type VectorLayers,
  withKind,
} from '@soakline/io'
import type { LengthUnit } from 'soakline/foundation'
import { FEATURE_KINDS, type FeatureKind } from 'soakline/siting'
import { readBytes } from './files.js'
import type { Talk } from './ground.js'
import { type Arguments, UsageError, wordOption } from './usage.js'

/** Units that a drawing's lengths may be in. */
export const LENGTH_UNITS = ['m', 'ft', 'ftUS'] as const satisfies readonly LengthUnit[]

/** Text of a layer as GeoJSON, whatever its format; tells what was left out of it. Throws InputError `file/…`, `vector/…` and those of its format. */
export async function layerText(
  path: string,
  { projection }: Reading,
  { warn }: Talk,
  said: Pick<VectorFileOptions, 'crs' | 'unit'> = {},
): Promise<string> {
  const local = projection.kind === 'local'
  const { geojson, warnings } = await readVectorFile(await readBytes(path), { local, ...said })
  for (const warning of warnings) warn(warning)
  return geojson
}

/** What `--features-kind` says: one kind for all that name none, or one for each layer. */
type SaidKinds = { readonly all: FeatureKind } | { readonly each: ReadonlyMap<string, LayerKind> }
type LayerKind = FeatureKind | 'own' | 'none'
const LAYER_KINDS: readonly string[] = [...FEATURE_KINDS, 'own', 'none']

/** Throws UsageError. */
function saidKinds(args: Arguments): SaidKinds | null {
  const text = args.options.get('features-kind')
  if (text === undefined) return null
  if (!text.includes('=')) return { all: wordOption(args, 'features-kind', FEATURE_KINDS)! }
  const each = new Map<string, LayerKind>()
  for (const part of text.split(',')) {
    const at = part.lastIndexOf('=')
    const [name, kind] = [part.slice(0, at).trim().toLowerCase(), part.slice(at + 1).trim()]
    if (at < 1 || name === '' || !LAYER_KINDS.includes(kind) || each.has(name))
      throw new UsageError(
        `--features-kind needs LAYER=KIND for each layer once, with commas between; a kind is one of ${FEATURE_KINDS.join(', ')}, own (as its features say) or none (left out). "${part.trim()}" is not that.`,
      )
    each.set(name, kind as LayerKind)
  }
  return { each }
}

/** Names that a layer answers to: where it stands in its file, in full or without folder and ending. */
const namesOf = ({ source, part }: Pick<VectorLayer, 'source' | 'part'>): string[] => {
  const stem = source
    .split(/[\\/]/)
    .at(-1)!
    .replace(/\.[^.]*$/, '')
  return [...new Set([[source, part].filter(word => word !== '').join(': '), part, source, stem].map(name => name.toLowerCase()))].filter(
    name => name !== '',
  )
}

/**
 * Layers as one text, each with the kind that was said for it; tells what was left out.
 *
 * Throws  UsageError where a layer is not named and does not say itself what it shows, or a name fits none or several; the refusal of a layer that is wanted.
 */
function toldApart({ layers, warnings }: VectorLayers, each: ReadonlyMap<string, LayerKind>, { warn }: Talk): string {
  const asked = new Map<VectorLayer, LayerKind>()
  for (const [name, kind] of each) {
    const exact = layers.filter(layer => namesOf(layer)[0] === name)
    const meant = exact.length > 0 ? exact : layers.filter(layer => namesOf(layer).includes(name))
    if (meant.length !== 1)
      throw new UsageError(
        `--features-kind names "${name}", which fits ${meant.length} layers. They are: ${layers.map(layer => namesOf(layer)[0] ?? '').join(', ')}.`,
      )
    asked.set(meant[0]!, kind)
  }
  const kindOf = (layer: VectorLayer): LayerKind => {
    const { features, ofKind } = layer.outline
    const kind = asked.get(layer) ?? (features === ofKind && layer.problem === null ? 'own' : null)
    if (kind === null)
      throw new UsageError(
        `--features-kind does not say what the layer ${namesOf(layer)[0] ?? ''} shows: ${namesOf(layer)[0] ?? ''}=KIND, or =none to leave it out.`,
      )
    return kind
  }
  const wanted = layers.flatMap(layer => (kindOf(layer) === 'none' ? [] : [{ ...layer, kind: kindOf(layer) }]))
  for (const warning of [...warnings, ...wanted.flatMap(layer => layer.warnings)]) warn(warning)
  const left = layers.filter(layer => kindOf(layer) === 'none')
  if (left.length > 0)
    warn({
      code: 'vector/layers-left-out',
      details: { layers: left.length, features: left.reduce((sum, { outline }) => sum + outline.features, 0) },
    })
  return joinedLayers(
    wanted.map(({ geojson, kind, problem }) => ({
      geojson: problem === null && kind !== 'own' ? withKind(geojson, kind) : geojson,
      problem,
    })),
  )
}

/** What `--features` names, with the kinds of `--features-kind` where features have none; undefined where it is not given. Throws UsageError, InputError. */
export async function featureText(args: Arguments, reading: Reading, talk: Talk): Promise<string | undefined> {
  const path = args.options.get('features')
  if (path === undefined) return undefined
  const kinds = saidKinds(args)
  const [crs, unit] = [args.options.get('features-crs'), wordOption(args, 'features-unit', LENGTH_UNITS)]
  const said = { ...(crs === undefined ? {} : { crs }), ...(unit === undefined ? {} : { unit }) }
  if (kinds && 'each' in kinds)
    return toldApart(
      await readVectorLayers(await readBytes(path), { local: reading.projection.kind === 'local', ...said }),
      kinds.each,
      talk,
    )
  const text = await layerText(path, reading, talk, said)
  return kinds === null ? text : withKind(text, kinds.all)
}
