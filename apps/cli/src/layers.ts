import { readElevation } from '@soakline/io'
import { InputError } from 'soakline/foundation'
import type { Grid } from 'soakline/raster'
import type { GroundLayers } from 'soakline/siting'
import { readBytes } from './files.js'
import { type Arguments, type OptionTable, UsageError } from './usage.js'

/** Options that name rasters besides the ground. */
export const LAYER_OPTIONS: OptionTable = {
  'land-cover': 'FILE',
  'forest-classes': 'N,N,…',
  'wet-classes': 'N,N,…',
  surface: 'FILE',
}

/** What `LAYER_OPTIONS` name. Throws UsageError, InputError `layer/other-crs`, `layer/not-classes`, and those of the file. */
export async function groundLayers(args: Arguments, crs: string): Promise<GroundLayers> {
  const [coverFile, surfaceFile] = [args.options.get('land-cover'), args.options.get('surface')]
  const forest = classesOption(args, 'forest-classes')
  const wet = classesOption(args, 'wet-classes')
  if (coverFile === undefined && forest.length + wet.length > 0) throw new UsageError('Classes belong to a raster: --land-cover FILE.')
  if (coverFile !== undefined && forest.length + wet.length === 0)
    throw new UsageError('Say which classes are forest or wet ground: --forest-classes N,N --wet-classes N,N.')
  const surface = surfaceFile === undefined ? undefined : await layerFrom(surfaceFile, crs)
  const classes = coverFile === undefined ? undefined : await layerFrom(coverFile, crs)
  if (classes && coverFile !== undefined && classes.data.some(value => !Number.isNaN(value) && !Number.isInteger(value)))
    throw new InputError(
      'layer/not-classes',
      `${coverFile} holds values that are no whole numbers, or had to be redrawn, so it cannot be told which class a place has. Give land cover as classes in the system of the ground.`,
      { file: coverFile },
    )
  return { ...(surface ? { surface } : {}), ...(classes ? { landCover: { classes, forest, wet } } : {}) }
}

async function layerFrom(file: string, crs: string): Promise<Grid> {
  const { grid, projection } = await readElevation(await readBytes(file), { elevationUnit: 'm', ...(crs === 'local' ? { crs } : {}) })
  if (projection.crs !== crs)
    throw new InputError(
      'layer/other-crs',
      `${file} lies in ${projection.crs}, the ground in ${crs}: their cells cannot be set side by side. Warp it to ${crs}.`,
      { file, crs: projection.crs, ground: crs },
    )
  return grid
}

function classesOption(args: Arguments, name: string): number[] {
  const text = args.options.get(name)
  if (text === undefined) return []
  const values = text.split(',').map(part => (part.trim() === '' ? Number.NaN : Number(part)))
  if (!values.every(Number.isInteger)) throw new UsageError(`--${name} needs whole numbers with commas between them; it is "${text}".`)
  return values
}
