import { type Reading, readVectorFile, type VectorFileOptions, withKind } from '@soakline/io'
import type { LengthUnit } from 'soakline/foundation'
import { FEATURE_KINDS } from 'soakline/siting'
import { readBytes } from './files.js'
import type { Talk } from './ground.js'
import { type Arguments, wordOption } from './usage.js'

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

/** What `--features` names, with the kind of `--features-kind` where a feature has none; undefined where it is not given. Throws UsageError, InputError. */
export async function featureText(args: Arguments, reading: Reading, talk: Talk): Promise<string | undefined> {
  const path = args.options.get('features')
  if (path === undefined) return undefined
  const kind = wordOption(args, 'features-kind', FEATURE_KINDS)
  const [crs, unit] = [args.options.get('features-crs'), wordOption(args, 'features-unit', LENGTH_UNITS)]
  const text = await layerText(path, reading, talk, { ...(crs === undefined ? {} : { crs }), ...(unit === undefined ? {} : { unit }) })
  return kind === undefined ? text : withKind(text, kind)
}
