import { InputError } from 'soakline/foundation'
import { readGeoTiff } from './geotiff.js'
import type { Reading } from './ground.js'
import type { ReadOptions } from './stored-raster.js'
import { looksLikeSurvey, readSurveyGround, SURVEY_FORMAT } from './survey-ground.js'
import { EXPECTED_COLUMNS } from './survey-table.js'
import { looksLikeTiff } from './tiff-directory.js'

/** A format of elevations, as a value: how to know it by its first bytes, and how to read it. */
export interface ElevationFormat {
  readonly name: string
  recognises(bytes: Uint8Array): boolean
  read(bytes: ArrayBuffer, options: ReadOptions): Promise<Reading>
}

/** The formats that are read, tried in this order. */
export const ELEVATION_FORMATS: readonly ElevationFormat[] = [
  { name: 'GeoTIFF', recognises: looksLikeTiff, read: readGeoTiff },
  { name: SURVEY_FORMAT, recognises: looksLikeSurvey, read: readSurveyGround },
]

/**
 * Elevations of a file whose format is known by its first bytes, never by its name.
 *
 * Throws  InputError `grid/empty-file`, `grid/unknown-format`, and those of the format.
 */
export async function readElevation(bytes: ArrayBuffer, options: ReadOptions = {}): Promise<Reading> {
  const head = new Uint8Array(bytes)
  if (head.length === 0)
    throw new InputError('grid/empty-file', 'The file is empty. Give an elevation raster as GeoTIFF, or a table of survey points.')
  const format = ELEVATION_FORMATS.find(candidate => candidate.recognises(head))
  if (!format) {
    throw new InputError(
      'grid/unknown-format',
      `This file is no ground that can be read (${ELEVATION_FORMATS.map(candidate => candidate.name).join(', ')}). Export the ground as GeoTIFF, or as a table of points that begins with the line ${EXPECTED_COLUMNS}.`,
      { firstBytes: Array.from(head.slice(0, 8)) },
    )
  }
  return format.read(bytes, options)
}
