import { METRES_PER } from 'soakline/foundation'
import { openProjection } from './crs.js'
import { toGround } from './ground.js'
import type { StoredRaster } from './stored-raster.js'
import { writeGeoTiff } from './write-geotiff.js'

/** Where heights are from, and what they are a part of: kept in the file itself, so that it goes wherever the file goes. */
export interface Provenance {
  readonly format: 'soakline-source/1'
  readonly name?: string
  readonly host?: string
  readonly licence?: string
  readonly credit?: string
  readonly cell_m?: number | null
  readonly heightError_m?: number | null
  readonly shows?: string
  readonly trust?: string
  /** The day it was brought. */
  readonly brought?: string
  /** Columns and rows of the raster that it was cut out of. */
  readonly cutFrom?: readonly [width: number, height: number]
  /** The most by which its heights may differ from those that were once packed, in the file's own unit. */
  readonly packingError?: number
}

/**
 * A stored raster as a GeoTIFF: its own cells in its own system, with its credit in the tags for copyright and description.
 *
 * Laws    Read back it gives the same numbers, georeference, vertical unit and datum. A system without an EPSG number is drawn on a metric grid first.
 * Throws  as `toGround` and `writeGeoTiff`.
 */
export async function writeStoredRaster(stored: StoredRaster, provenance: Provenance): Promise<Uint8Array<ArrayBuffer>> {
  const notesIn = (unit_m: number) => ({
    ...(provenance.credit ? { copyright: provenance.credit } : {}),
    description: JSON.stringify({
      ...provenance,
      ...(stored.packingError === undefined ? {} : { packingError: stored.packingError * unit_m }),
    }),
  })
  const [a, b, c, d, e, f] = stored.affine
  const plain = /^EPSG:\d+$/i.test(stored.crs ?? '') && b === 0 && d === 0 && a > 0 && e < 0
  if (!plain) {
    const { grid, report } = await toGround(stored)
    return writeGeoTiff(grid, { unit: 'm', onlyIfSmaller: true, ...notesIn(METRES_PER[report.elevationUnit]) })
  }
  const { kind } = await openProjection(stored.crs!)
  return writeGeoTiff(
    {
      geometry: { width: stored.width, height: stored.height, cell_m: a, west_m: c, north_m: f, crs: stored.crs! },
      data: stored.data,
    },
    {
      ...notesIn(1),
      rowHeight: -e,
      onlyIfSmaller: true,
      ownUnit: true,
      geographic: kind === 'geographic',
      ...(stored.verticalUnit === null || stored.verticalUnit === 'other' ? {} : { verticalUnit: stored.verticalUnit }),
      ...(stored.verticalDatum === null ? {} : { verticalDatum: stored.verticalDatum }),
    },
  )
}

/** What a description says of where heights are from; null where it is another one. Everything in it is text of a stranger. */
export function provenanceIn(description: string | null): Provenance | null {
  if (description === null || !description.startsWith('{"format":"soakline-source/1"') || description.length > 4000) return null
  let value: Partial<Record<keyof Provenance, unknown>>
  try {
    value = JSON.parse(description)
  } catch {
    return null
  }
  const text = <K extends keyof Provenance>(key: K) =>
    typeof value[key] === 'string' && value[key] !== '' ? { [key]: (value[key] as string).slice(0, 500) } : {}
  const number = <K extends keyof Provenance>(key: K) =>
    typeof value[key] === 'number' && Number.isFinite(value[key]) ? { [key]: value[key] as number } : {}
  const { cutFrom } = value
  return {
    format: 'soakline-source/1',
    ...text('name'),
    ...text('host'),
    ...text('licence'),
    ...text('credit'),
    ...number('cell_m'),
    ...number('heightError_m'),
    ...text('shows'),
    ...text('trust'),
    ...text('brought'),
    ...number('packingError'),
    ...(Array.isArray(cutFrom) && cutFrom.length === 2 && cutFrom.every(Number.isInteger) ? { cutFrom: [cutFrom[0], cutFrom[1]] } : {}),
  }
}
