import { type Projection, writeGeoTiff } from '@soakline/io'
import { type GridName, type GridSource, gridNamed } from 'soakline/plan'
import type { OutputFile } from './files.js'
import { type Arguments, UsageError } from './usage.js'

/** The rasters that `--grids` names, out of those that a command can write; `all` names them all. Throws UsageError. */
export function gridsOption<N extends GridName>(args: Arguments, names: readonly N[]): readonly N[] {
  const text = args.options.get('grids')
  if (text === undefined) return []
  if (text === 'all') return names
  return text.split(',').map(part => {
    const found = names.find(name => name === part.trim())
    if (found === undefined)
      throw new UsageError(`--grids needs names out of ${names.join(', ')}, with commas between them, or all; it holds "${part}".`)
    return found
  })
}

/** Each raster as a GeoTIFF of its name, once. Throws what `gridNamed` throws. */
export async function gridFiles(names: readonly GridName[], source: GridSource, projection: Projection): Promise<OutputFile[]> {
  const files: OutputFile[] = []
  for (const name of new Set(names)) {
    const { geometry, data, nodata, unit } = gridNamed(name, source)
    const content = await writeGeoTiff({ geometry, data }, { nodata, crs: projection.crs, ...(unit === '' ? {} : { unit }) })
    files.push({ name: `${name}.tif`, content })
  }
  return files
}
