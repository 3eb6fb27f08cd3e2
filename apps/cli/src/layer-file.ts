import { type Reading, readVectorFile, withKind } from '@soakline/io'
import { FEATURE_KINDS } from 'soakline/siting'
import { readBytes } from './files.js'
import type { Talk } from './ground.js'
import { type Arguments, wordOption } from './usage.js'

/** Text of a layer as GeoJSON, whatever its format; tells what was left out of it. Throws InputError `file/…`, `vector/…` and those of its format. */
export async function layerText(path: string, { projection }: Reading, { warn }: Talk, crs?: string): Promise<string> {
  const local = projection.kind === 'local'
  const { geojson, warnings } = await readVectorFile(await readBytes(path), { local, ...(crs === undefined ? {} : { crs }) })
  for (const warning of warnings) warn(warning)
  return geojson
}

/** What `--features` names, with the kind of `--features-kind` where a feature has none; undefined where it is not given. Throws UsageError, InputError. */
export async function featureText(args: Arguments, reading: Reading, talk: Talk): Promise<string | undefined> {
  const path = args.options.get('features')
  if (path === undefined) return undefined
  const kind = wordOption(args, 'features-kind', FEATURE_KINDS)
  const text = await layerText(path, reading, talk, args.options.get('features-crs'))
  return kind === undefined ? text : withKind(text, kind)
}
