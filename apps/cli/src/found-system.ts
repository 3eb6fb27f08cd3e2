import { type FileBounds, type KnownPoint, standsOut, systemsNear, systemsThrough } from '@soakline/io'
import { InputError } from 'soakline/foundation'
import { type Arguments, pairOption, UsageError } from './usage.js'

/** How the coordinate system of a raster is said that names none, where nobody knows its number. */
export interface SystemClues {
  /** Roughly where it lies. */
  readonly near?: readonly [longitude: number, latitude: number]
  readonly points?: readonly KnownPoint[]
}

/** The clues of `--crs-near` and `--crs-points`. Throws UsageError. */
export function systemClues(args: Arguments): SystemClues | null {
  const near = pairOption(args, 'crs-near')
  const points = args.options.get('crs-points')
  if ([near, points, args.options.get('crs')].filter(said => said !== undefined).length > 1)
    throw new UsageError('Give one of --crs, --crs-near and --crs-points.')
  if (points !== undefined) return { points: knownPoints(points) }
  return near ? { near } : null
}

function knownPoints(text: string): KnownPoint[] {
  const number = '\\s*(-?\\d+(?:\\.\\d+)?)\\s*'
  const shape = new RegExp(`^${number},${number}=${number},${number}$`)
  return text.split(';').map(part => {
    const [x, y, longitude, latitude] = shape.exec(part)?.slice(1).map(Number) ?? []
    if (x === undefined || y === undefined || longitude === undefined || latitude === undefined)
      throw new UsageError(`--crs-points needs X,Y=LON,LAT for two points, with ; between them; "${part.trim()}" is none.`)
    return { x, y, longitude, latitude }
  })
}

/**
 * The coordinate system that the clues lead to; null where they lead nowhere before the raster's own numbers are known.
 *
 * Throws  InputError `crs/none-fits`, `crs/several-fit`, `crs/known-points`.
 *
 * @param bounds west, south, east, north of the raster in its own numbers; null before it was read
 */
export async function foundSystem({ near, points }: SystemClues, bounds: FileBounds | null): Promise<string | null> {
  const systems = points ? await systemsThrough(points) : near && bounds ? await systemsNear(bounds, near) : null
  if (systems === null) return null
  if (systems.length === 0)
    throw new InputError(
      'crs/none-fits',
      'No coordinate system of the table puts the raster where you say it lies. Look the numbers over (longitude comes before latitude), ask its publisher for its EPSG number, or give --crs local for plain metres.',
      {},
    )
  const only = standsOut(systems)
  if (only !== null) return only.crs
  throw new InputError(
    'crs/several-fit',
    `${systems.length} coordinate systems put the raster there: ${systems
      .slice(0, 12)
      .map(({ crs, name, off_m }) => `${crs} (${name}, ${off_m < 100 ? off_m.toFixed(1) : Math.round(off_m)} m off)`)
      .join(', ')}. Give one with --crs; two exactly known points (--crs-points) tell most of them apart.`,
    { systems: systems.slice(0, 12).map(({ crs }) => crs) },
  )
}
