import { InputError, type LengthUnit, type Warning } from 'soakline/foundation'
import { coloursToHeights } from './colour-heights.js'
import { readGeoKeys } from './geokeys.js'
import { type Reading, toGround } from './ground.js'
import { type ColourHeights, DEFAULT_MAX_CELLS, type ReadOptions, type StoredRaster } from './stored-raster.js'
import { malformed, openTiff, type TiffDirectory, type TiffFile } from './tiff-directory.js'
import { type ImageLayout, imageLayout, readBand } from './tiff-pixels.js'
import { maskVoids } from './void-values.js'

/**
 * Elevations of a GeoTIFF (classic or Big, striped or tiled), ready for work: metres, north-up, square cells, a metric system.
 *
 * Throws  InputError, with a code of `grid/…`, `crs/…` or `elevation-unit/…`; everything that the file leaves open is asked, nothing is guessed.
 * Source  TIFF 6.0 (1992); OGC GeoTIFF 1.1, OGC 19-008r4 (2019).
 */
export async function readGeoTiff(bytes: ArrayBuffer, options: ReadOptions = {}): Promise<Reading> {
  return toGround(await readStoredGeoTiff(bytes, options), options)
}

/** The raster as the file stores it: numbers with voids as NaN, its own rows and its own coordinates. Throws as `readGeoTiff`. */
export async function readStoredGeoTiff(bytes: ArrayBuffer, options: ReadOptions = {}): Promise<StoredRaster> {
  const file = openTiff(new Uint8Array(bytes))
  const warnings: Warning[] = []
  // Bit 0 of the subfile type: a smaller copy (overview); bit 2: a mask. Work is done on the first full-size image only.
  const subfile = (directory: TiffDirectory): number => directory.numbers(254)[0] ?? (directory.numbers(255)[0] === 2 ? 1 : 0)
  const full = file.directories.filter(directory => (subfile(directory) & 5) === 0)
  const image = full[0]
  if (!image) throw malformed('only overviews or masks, no full-size image')
  if (full.length > 1) warnings.push({ code: 'grid/other-images-ignored', details: { images: full.length - 1 } })
  if (file.directories.some(directory => (subfile(directory) & 4) !== 0)) warnings.push({ code: 'grid/mask-ignored', details: {} })

  const layout = imageLayout(file, image, options.maxCells ?? DEFAULT_MAX_CELLS)
  const packed = options.colours !== undefined && (image.numbers(262)[0] ?? 1) === 2 && layout.samples >= 3
  const band = packed ? 0 : chooseBand(image, layout.samples, options.band)
  const reference = await readGeoKeys(image, { crs: options.crs !== undefined, elevationUnit: options.elevationUnit !== undefined })
  const affine = affineOf(image, reference.pixelIsPoint)
  const metadata = bandMetadata(image.text(42112) ?? '', band)
  const data = packed ? await readColours(file, layout, options.colours!, options) : await readBand(file, layout, band, options)
  const asked = options.nodata === undefined ? null : typeof options.nodata === 'number' ? [options.nodata] : options.nodata
  // A value for "no data" in a picture is one of its colours, not a height.
  warnings.push(
    ...(packed
      ? maskVoids(data, { kind: 'float', bits: 64 }, null, asked, [options.colours!.base_m])
      : maskVoids(data, layout.pixel, image.text(42113), asked)),
  )

  if (metadata.scale !== 1 || metadata.offset !== 0) {
    for (let i = 0; i < data.length; i++) data[i] = data[i]! * metadata.scale + metadata.offset
    warnings.push({ code: 'grid/scaled', details: { scale: metadata.scale, offset: metadata.offset } })
  }
  // The third pixel size is the height of one step of the stored number, where a vertical system is stated.
  const step = image.numbers(33550)[2] ?? 0
  if (reference.hasVerticalSystem && step !== 0 && step !== 1) {
    throw new InputError(
      'grid/vertical-scale',
      `The file says that one step of its numbers is ${step} units of height; files differ in what they mean by it. Write it again with plain heights.`,
      {
        step,
      },
    )
  }
  const named = lengthUnitOf(metadata.unit)
  if (
    named !== null &&
    named !== 'other' &&
    reference.verticalUnit !== null &&
    named !== reference.verticalUnit &&
    options.elevationUnit === undefined
  ) {
    throw new InputError(
      'elevation-unit/conflict',
      `The band says that its heights are in ${named}, the vertical system says ${reference.verticalUnit}. Say which with --elevation-unit m, ft or ftUS.`,
      { band: named, system: reference.verticalUnit },
    )
  }
  return {
    format: 'GeoTIFF',
    width: layout.width,
    height: layout.height,
    data,
    affine,
    crs: reference.crs,
    crsName: reference.crsName,
    crsFound: reference.found,
    verticalUnit: packed ? 'm' : (named ?? reference.verticalUnit),
    verticalUnitText: metadata.unit || null,
    verticalDatum: reference.verticalDatum,
    ellipsoidal: reference.ellipsoidal,
    warnings,
  }
}

/** Heights out of the red, green and blue bands of a picture. */
async function readColours(file: TiffFile, layout: ImageLayout, colours: ColourHeights, options: ReadOptions): Promise<Float64Array> {
  if (layout.pixel.kind !== 'unsigned' || layout.pixel.bits !== 8)
    throw malformed(`heights in colours of ${layout.pixel.bits}-bit ${layout.pixel.kind} cells`)
  const bands: (Float32Array | Float64Array)[] = []
  for (let band = 0; band < Math.min(4, layout.samples); band++) bands.push(await readBand(file, layout, band, options))
  return coloursToHeights(layout.width * layout.height, colours, (k, band) => bands[band]?.[k] ?? 255)
}

function chooseBand(image: TiffDirectory, samples: number, asked: number | undefined): number {
  const photometric = image.numbers(262)[0] ?? 1
  if (photometric === 3 || (photometric !== 0 && photometric !== 1 && asked === undefined)) {
    throw new InputError(
      'grid/colours',
      photometric === 3
        ? 'The raster holds numbers of colours (a palette), not heights. Ask its publisher for the elevation values.'
        : 'The raster is a picture: its bands are colours, not heights. If heights are packed into the colours, their base and step are not in the file: give them with --colours BASE,STEP, name the band with --band, or ask its publisher for plain elevation values.',
      { photometric },
    )
  }
  if (asked === undefined && samples > 1) {
    throw new InputError(
      'grid/several-bands',
      `The raster has ${samples} bands and does not say which holds the heights. Give --band 1 to ${samples}.`,
      { bands: samples },
    )
  }
  const band = asked ?? 1
  if (!Number.isInteger(band) || band < 1 || band > samples) {
    throw new InputError(
      'grid/no-such-band',
      `Band ${band} is asked for, but the raster has ${samples === 1 ? 'one band' : `bands 1 to ${samples}`}.`,
      { band, bands: samples },
    )
  }
  return band - 1
}

/**
 * From cells to coordinates, by the outer corners of cells.
 *
 * Laws    A tie point anywhere in the raster gives the same answer; where cells stand for points, the corner lies half a cell before the tied centre.
 * Source  OGC 19-008r4, sections on the raster-to-model transformation; positive ScaleY means that rows go south.
 */
function affineOf(image: TiffDirectory, pixelIsPoint: boolean): StoredRaster['affine'] {
  const matrix = image.numbers(34264, 64)
  const scale = image.numbers(33550, 64)
  const ties = image.numbers(33922, 6 * 4096)
  let affine: [number, number, number, number, number, number]
  if (scale.length >= 2 && ties.length >= 6) {
    if (ties.length > 6) {
      throw new InputError(
        'grid/not-georeferenced',
        `The raster is tied to the ground by ${ties.length / 6} points instead of one and a cell size. Rectify it to a north-up grid first.`,
        {
          points: ties.length / 6,
        },
      )
    }
    const [column, row, , x, y] = ties as [number, number, number, number, number]
    const [sx, sy] = scale as [number, number]
    affine = [sx, 0, x - column * sx, 0, -sy, y + row * sy]
  } else if (matrix.length >= 8) {
    affine = [matrix[0]!, matrix[1]!, matrix[3]!, matrix[4]!, matrix[5]!, matrix[7]!]
  } else {
    throw new InputError(
      'grid/not-georeferenced',
      'The file does not say where its cells lie or how large they are, so no slope or volume can be worked out. Export it as a GeoTIFF with its georeference.',
    )
  }
  if (pixelIsPoint) {
    affine[2] -= 0.5 * (affine[0] + affine[1])
    affine[5] -= 0.5 * (affine[3] + affine[4])
  }
  if (!affine.every(Number.isFinite)) throw malformed('a georeference that is not a number')
  return affine
}

/** Scale, offset and unit of a band, from the metadata items that GDAL writes into tag 42112. */
function bandMetadata(xml: string, band: number): { scale: number; offset: number; unit: string } {
  let [scale, offset, unit] = [1, 0, '']
  for (const match of xml.matchAll(/<Item\s+([^>]{0,300})>([^<]{0,300})<\/Item>/g)) {
    const attribute = (name: string): string | undefined => new RegExp(`${name}="([^"]*)"`).exec(match[1]!)?.[1]
    if (Number(attribute('sample') ?? Number.NaN) !== band) continue
    const role = attribute('role')
    const text = match[2]!.trim()
    if (role === 'scale') scale = Number(text)
    else if (role === 'offset') offset = Number(text)
    else if (role === 'unittype') unit = text
  }
  if (!Number.isFinite(scale) || !Number.isFinite(offset) || scale === 0)
    throw malformed(`a band scale of ${scale} and an offset of ${offset}`)
  return { scale, offset, unit }
}

/** A unit of height by its name; null for no name. */
function lengthUnitOf(name: string): LengthUnit | 'other' | null {
  const plain = name
    .trim()
    .toLowerCase()
    .replace(/[\s_.-]+/g, ' ')
  if (plain === '') return null
  if (/^(m|metres?|meters?)$/.test(plain)) return 'm'
  if (/^(us survey (foot|feet)|us ft|ftus|us (foot|feet)|survey (foot|feet)|(foot|feet) us|sft)$/.test(plain)) return 'ftUS'
  return /^(ft|foot|feet|international (foot|feet))$/.test(plain) ? 'ft' : 'other'
}
