import { InputError } from 'soakline/foundation'
import { unpackGround } from './archived-ground.js'
import { ASCII_GRID, readStoredAsciiGrid } from './ascii-grid.js'
import { type ByteSource, bytesSource, wholeOf } from './byte-source.js'
import { COLOUR_TILE, readStoredColourTile } from './colour-heights.js'
import { readGeoTiffFrom, readStoredGeoTiff } from './geotiff.js'
import { type Reading, sourceProjection, toGround } from './ground.js'
import { GROUND_MARKS, type GroundFormatName, type GroundMark } from './ground-marks.js'
import { cutOut } from './ground-window.js'
import { joinRasters } from './join-rasters.js'
import { refuseOtherFormat } from './other-formats.js'
import { HEIGHT_TILE, readStoredHeightTile } from './srtm-tile.js'
import type { ReadOptions, StoredRaster } from './stored-raster.js'
import { readSurveyGround, SURVEY_FORMAT } from './survey-ground.js'
import { EXPECTED_COLUMNS } from './survey-table.js'
import { looksLikeTiff } from './tiff-directory.js'

/** A format of elevations, as a value: how to know it, and how to read it. */
export interface ElevationFormat extends GroundMark {
  read(bytes: ArrayBuffer, options: ReadOptions): Promise<Reading>
  /** The raster as its file stores it; absent where the ground is made from points. */
  readonly stored?: (bytes: ArrayBuffer, options: ReadOptions) => Promise<StoredRaster>
}

type Reader = Pick<ElevationFormat, 'read' | 'stored'>

/** The reader of a format whose cells stand in the file. */
const raster = (stored: NonNullable<Reader['stored']>): Reader => ({
  stored,
  read: async (bytes, options) => toGround(await part(await stored(bytes, options), options), options),
})

/** What the window leaves of a raster that was read whole. A GeoTIFF has cut it out itself. */
async function part(stored: StoredRaster, options: ReadOptions): Promise<StoredRaster> {
  if (options.window === undefined || stored.warnings.some(({ code }) => code === 'ground/cut-out')) return stored
  return cutOut(stored, options.window, options.window.in === 'own' ? null : await sourceProjection(stored, options, []))
}

/** Who reads each format. */
const READERS: Readonly<Record<GroundFormatName, Reader>> = {
  GeoTIFF: raster(readStoredGeoTiff),
  [ASCII_GRID]: raster(readStoredAsciiGrid),
  [COLOUR_TILE]: raster(readStoredColourTile),
  'ZIP archive of one of these': { read: readArchivedGround },
  [HEIGHT_TILE]: raster(readStoredHeightTile),
  [SURVEY_FORMAT]: { read: readSurveyGround },
}

/** The formats that are read, tried in this order. */
export const ELEVATION_FORMATS: readonly ElevationFormat[] = GROUND_MARKS.map(mark => ({ ...mark, ...READERS[mark.name] }))

/**
 * Elevations of a file whose format is known by its first bytes; by its name only where a format has none.
 *
 * Throws  InputError `grid/empty-file`, `grid/unknown-format`, `grid/other-format`, and those of the format.
 */
export const readElevation = async (bytes: ArrayBuffer, options: ReadOptions = {}): Promise<Reading> =>
  readElevationFrom(bytesSource(bytes, options.fileName), options)

/** Files of other formats than GeoTIFF are held whole while they are read; larger ones are refused. Judgement. */
const MOST_WHOLE_BYTES = 1 << 30

/**
 * The same from a source that may be much larger than memory: of a GeoTIFF only the needed bytes are read, all else is read whole.
 *
 * Throws  as `readElevation`; InputError `grid/too-large`, `window/…`, and what the source throws.
 */
export async function readElevationFrom(source: ByteSource, options: ReadOptions = {}): Promise<Reading> {
  const named: ReadOptions = source.name === '' ? options : { fileName: source.name, ...options }
  const first = source.held ?? (await source.read(0, Math.min(16, source.size), options.signal))
  if (looksLikeTiff(first)) return toGround(await readGeoTiffFrom(source, named), named)
  if (source.size > MOST_WHOLE_BYTES)
    throw new InputError(
      'grid/too-large',
      `The file has ${source.size} bytes and is of a kind that can only be read whole. Export the holding and the ground that drains to it as GeoTIFF.`,
      { bytes: source.size },
    )
  const bytes = await wholeOf(source, options.signal)
  return formatOf(bytes, named.fileName).read(bytes, named)
}

function formatOf(bytes: ArrayBuffer, fileName: string | undefined): ElevationFormat {
  const head = new Uint8Array(bytes)
  if (head.length === 0)
    throw new InputError('grid/empty-file', 'The file is empty. Give an elevation raster as GeoTIFF, or a table of survey points.')
  const format = ELEVATION_FORMATS.find(candidate => candidate.recognises(head, fileName))
  if (format) return format
  refuseOtherFormat(head)
  throw new InputError(
    'grid/unknown-format',
    `This file is no ground that can be read (${ELEVATION_FORMATS.map(candidate => candidate.name).join(', ')}). Export the ground as GeoTIFF, or as a table of points that begins with the line ${EXPECTED_COLUMNS}.`,
    { firstBytes: Array.from(head.slice(0, 8)) },
  )
}

/**
 * The ground of an archive: its one raster or table, the one that is named, or several rasters joined.
 *
 * Throws  InputError `archive/nested`, `tiles/not-rasters`, those of `unpackGround`, `joinRasters` and the formats.
 */
async function readArchivedGround(archive: ArrayBuffer, options: ReadOptions): Promise<Reading> {
  // Tiles are joined before a part is cut out: it may reach over several.
  const { window: _, ...whole } = options
  const files = await unpackGround(archive, options)
  const inside = files.map(({ fileName, bytes, prj }) => {
    const format = formatOf(bytes, fileName)
    if (format.read === readArchivedGround)
      throw new InputError('archive/nested', 'The archive holds another archive. Unpack it once and give the inner one.', {
        file: fileName.slice(-60),
      })
    return { format, bytes, prj, options: { ...whole, fileName } }
  })
  const [only] = inside
  if (inside.length === 1 && only!.format.stored === undefined) return only!.format.read(only!.bytes, only!.options)
  const rasters: StoredRaster[] = []
  for (const { format, bytes, prj, options: own } of inside) {
    if (format.stored === undefined)
      throw new InputError(
        'tiles/not-rasters',
        `Only rasters can be joined, and a file of the archive is ${format.name}. Say which file is meant with --member NAME.`,
        {
          format: format.name,
        },
      )
    const read = await format.stored(bytes, own)
    rasters.push(read.crs === null && prj !== null ? { ...read, crs: prj, crsFound: 'a .prj file' } : read)
  }
  return toGround(await part(rasters.length === 1 ? rasters[0]! : joinRasters(rasters, options), options), options)
}
