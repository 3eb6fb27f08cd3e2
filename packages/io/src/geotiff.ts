import { InputError, type LengthUnit, type Warning } from 'soakline/foundation'
import { type ByteSource, bytesSource } from './byte-source.js'
import { coloursToHeights } from './colour-heights.js'
import { type GeoReference, readGeoKeys } from './geokeys.js'
import { type Reading, sourceProjection, toGround } from './ground.js'
import { boxOf, cellsOf, cutWarning, movedTo } from './ground-window.js'
import { heldBytes } from './held-pages.js'
import { type ColourHeights, DEFAULT_MAX_CELLS, type ReadOptions, type StoredRaster, saidNodata } from './stored-raster.js'
import { malformed, openTiff, type TiffDirectory, type TiffFile, type TiffView } from './tiff-directory.js'
import { applyMask, maskBeside, maskLayout, mostWithMask, type TiffMask } from './tiff-mask.js'
import { type CellWindow, type ImageLayout, type ImageShape, imageLayout, imageShape, readBand, refuseTooMany } from './tiff-pixels.js'
import { maskVoids } from './void-values.js'
import { provenanceIn } from './write-stored-raster.js'

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
export const readStoredGeoTiff = (bytes: ArrayBuffer, options: ReadOptions = {}): Promise<StoredRaster> =>
  readGeoTiffFrom(bytesSource(bytes), options)

/** Everything about an image that stands before its cells. */
interface Head {
  readonly file: TiffFile
  readonly image: TiffDirectory
  readonly mask: TiffMask | null
  readonly stored: ImageShape
  readonly packed: boolean
  readonly band: number
  readonly reference: GeoReference
  readonly affine: StoredRaster['affine']
  readonly warnings: readonly Warning[]
}

/** Reads the directories of the first full-size image and settles which of its bands is meant. */
async function headOf(view: TiffView, options: ReadOptions, whole: boolean): Promise<Head> {
  const file = openTiff(view)
  const warnings: Warning[] = []
  // Bit 0 of the subfile type: a smaller copy (overview); bit 2: a mask. Work is done on the first full-size image only.
  const subfile = (directory: TiffDirectory): number => directory.numbers(254)[0] ?? (directory.numbers(255)[0] === 2 ? 1 : 0)
  const full = file.directories.filter(directory => (subfile(directory) & 5) === 0)
  const image = full[0]
  if (!image) throw malformed('only overviews or masks, no full-size image')
  if (full.length > 1) warnings.push({ code: 'grid/other-images-ignored', details: { images: full.length - 1 } })
  const stored = imageShape(image)
  const masks = file.directories.filter(directory => (subfile(directory) & 5) === 4)
  const mask = masks.map(directory => maskBeside(directory, stored)).find(one => one !== null) ?? null
  if (mask === null && masks.length > 0) warnings.push({ code: 'grid/mask-ignored', details: {} })
  const packed = options.colours !== undefined && (image.numbers(262)[0] ?? 1) === 2 && stored.samples >= 3
  if (whole) {
    refuseTooMany(stored, mostWithMask(options.maxCells ?? DEFAULT_MAX_CELLS, mask))
    imageLayout(file, image, stored, 0)
  }
  const band = packed ? 0 : chooseBand(image, stored.samples, options.band)
  const reference = await readGeoKeys(image, { crs: options.crs !== undefined, elevationUnit: options.elevationUnit !== undefined })
  return { file, image, mask, stored, packed, band, reference, affine: affineOf(image, reference.pixelIsPoint), warnings }
}

/** What a raster promises before any of its heights is read. */
export interface RasterOutline {
  readonly width: number
  readonly height: number
  /** Bytes of the file; null where nobody says. */
  readonly fileBytes: number | null
  /** Where it lies in degrees; null where it does not say. */
  readonly box: readonly [west: number, south: number, east: number, north: number] | null
  /** Sides of a cell in the file's own unit. */
  readonly cell: readonly [number, number]
  readonly crs: string | null
}

/** Size and place of a GeoTIFF by its directories alone. Throws as `readGeoTiff`, but never for its size. */
export async function outlineOfGeoTiff(source: ByteSource, options: ReadOptions = {}): Promise<RasterOutline> {
  const held = heldBytes(source, options.signal)
  const { stored, affine, reference } = await held.ask(() => headOf(held.view, { band: 1, ...options }, false))
  const { width, height } = stored
  const projection = await sourceProjection({ ...reference, affine, crsFound: reference.found }, options, []).catch(() => null)
  const [a, b, , d, e] = affine
  return {
    width,
    height,
    fileBytes: source.size === Number.MAX_SAFE_INTEGER ? null : source.size,
    box: boxOf({ width, height, affine }, projection),
    cell: [Math.hypot(a, d), Math.hypot(b, e)],
    crs: projection?.crs ?? null,
  }
}

/**
 * A GeoTIFF of which only the needed bytes are read: its directories, and the blocks of level 0 that the window touches.
 *
 * Throws  as `readGeoTiff`; InputError `window/…`; what the source throws.
 */
export async function readGeoTiffFrom(source: ByteSource, options: ReadOptions = {}): Promise<StoredRaster> {
  const { maxCells = DEFAULT_MAX_CELLS } = options
  const inMemory = source.held !== null
  const held = heldBytes(source, options.signal)
  const head = await held.ask(() => headOf(held.view, options, inMemory && options.window === undefined))
  const { file, image, mask, stored, packed, band, reference } = head
  const warnings = [...head.warnings]
  let affine = head.affine
  let cells: CellWindow | undefined = inMemory ? undefined : { column: 0, row: 0, width: stored.width, height: stored.height }
  if (options.window !== undefined) {
    const { width, height } = stored
    const projection =
      options.window.in === 'own' ? null : await sourceProjection({ ...reference, affine, crsFound: reference.found }, options, [])
    cells = cellsOf(options.window, { width, height, affine }, projection)
    affine = movedTo(affine, cells)
    warnings.push(cutWarning(stored, cells))
  }
  if (!inMemory || cells !== undefined) await refuseTooLarge(cells ?? stored, mostWithMask(maxCells, mask), source, options)
  const layoutOf = (one: number): Promise<ImageLayout> => held.ask(() => imageLayout(file, image, stored, one, cells))
  const metadata = await held.ask(() => bandMetadata(image.text(42112) ?? '', band))
  const nodataText = await held.ask(() => image.text(42113))
  const note = noted(await held.ask(() => [image.text(33432), image.text(270)] as const), stored)
  // A part of a part is a part of the first whole.
  warnings.push(...note.warnings.filter(({ code }) => code !== 'ground/cut-out' || options.window === undefined))
  // The third pixel size is the height of one step of the stored number, where a vertical system is stated.
  const step = (await held.ask(() => image.numbers(33550)))[2] ?? 0
  let loss = 0
  const onLoss = (error: number): void => {
    loss = Math.max(loss, error)
  }
  const read = (one: number, layout: ImageLayout) => readBand(source, file.littleEndian, layout, one, { ...options, onLoss })
  const data = packed ? await readColours(stored, options.colours!, layoutOf, read) : await read(band, await layoutOf(band))
  const asked = saidNodata(options)
  if (loss > 0) mendNodata(data, asked ?? [Number.parseFloat(nodataText ?? '')], loss)
  // What a mask hides is settled: whatever number stands there is no height and no question.
  if (mask !== null) {
    const layout = await held.ask(() => maskLayout(file, mask, cells))
    const all = cells ?? { column: 0, row: 0, width: stored.width, height: stored.height }
    const { onProgress: _, ...quietly } = options
    const bytes = await readBand(source, file.littleEndian, layout, 0, quietly)
    warnings.push({ code: 'grid/mask-applied', details: { cells: applyMask(data, all, mask, bytes, layout.window) } })
  }
  // A value for "no data" in a picture is one of its colours, not a height.
  warnings.push(
    ...(packed
      ? maskVoids(data, { kind: 'float', bits: 64 }, null, asked, [options.colours!.base_m])
      : maskVoids(data, stored.pixel, nodataText, asked)),
  )

  if (metadata.scale !== 1 || metadata.offset !== 0) {
    for (let i = 0; i < data.length; i++) data[i] = data[i]! * metadata.scale + metadata.offset
    warnings.push({ code: 'grid/scaled', details: { scale: metadata.scale, offset: metadata.offset } })
  }
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
  const packingError = Math.max(loss * Math.abs(metadata.scale), note.provenance?.packingError ?? 0)
  return {
    format: 'GeoTIFF',
    ...(packingError > 0 ? { packingError } : {}),
    width: cells?.width ?? stored.width,
    height: cells?.height ?? stored.height,
    data,
    affine,
    crs: reference.crs,
    crsName: reference.crsName,
    crsFound: reference.found,
    verticalUnit: packed ? 'm' : (named ?? reference.verticalUnit),
    verticalUnitText: metadata.unit || null,
    verticalDatum: reference.verticalDatum,
    ellipsoidal: reference.ellipsoidal,
    ...writtenOn(await held.ask(() => image.text(306))),
    ...(note.provenance === null ? {} : { provenance: note.provenance }),
    warnings,
  }
}

/** A value for "no data" may come out of a packing with limited error beside itself: what lies within the error of it is it. */
function mendNodata(data: Float32Array | Float64Array, values: readonly number[], error: number): void {
  for (const value of values)
    if (Number.isFinite(value)) for (let i = 0; i < data.length; i++) if (Math.abs(data[i]! - value) <= error) data[i] = value
}

/** The day of a TIFF's DateTime, `YYYY:MM:DD HH:MM:SS`. Source: TIFF 6.0 (1992), tag 306. */
function writtenOn(text: string | null): Pick<StoredRaster, 'written'> {
  const parts = /^(\d{4}):(0[1-9]|1[0-2]):(0[1-9]|[12]\d|3[01]) /.exec(text ?? '')
  return parts === null || parts[1] === '0000' ? {} : { written: `${parts[1]}-${parts[2]}-${parts[3]}` }
}

/** Whom the heights are owed to, what their source says of them, and what they are a part of, where the file says it. */
function noted([copyright, description]: readonly [string | null, string | null], { width, height }: ImageShape) {
  const provenance = provenanceIn(utf8(description))
  const credit = provenance?.credit ?? plainCredit(utf8(copyright))
  const { name, licence, brought, cell_m, heightError_m, shows, trust, cutFrom } = provenance ?? {}
  const known = (details: Readonly<Record<string, string | number | null | undefined>>): Warning['details'] =>
    Object.fromEntries(Object.entries(details).filter(([, value]) => value !== undefined)) as Warning['details']
  const warnings: Warning[] = []
  if (credit !== '') warnings.push({ code: 'ground/credit', details: known({ credit, licence, name, brought }) })
  if (trust !== undefined)
    warnings.push({ code: 'ground/open-source', details: known({ name, cell_m, error_m: heightError_m, shows, trust }) })
  if (cutFrom) warnings.push(cutWarning({ width: cutFrom[0], height: cutFrom[1] }, { column: 0, row: 0, width, height }))
  return { warnings, provenance: provenance ?? (credit === '' ? null : ({ format: 'soakline-source/1', credit } as const)) }
}

const plainCredit = (text: string | null): string => (text ?? '').replace(/\s+/g, ' ').trim().slice(0, 300)

/** Text of a tag whose bytes were written as UTF-8, as most are today. */
const utf8 = (text: string | null): string | null =>
  text === null ? null : new TextDecoder().decode(Uint8Array.from(text, character => character.charCodeAt(0)))

/** Refuses more cells than can be held, and says where the raster lies, so that a part of it can be offered. */
async function refuseTooLarge(
  cells: Pick<CellWindow, 'width' | 'height'>,
  maxCells: number,
  source: ByteSource,
  options: ReadOptions,
): Promise<void> {
  try {
    refuseTooMany(cells, maxCells)
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    const { box } = await outlineOfGeoTiff(source, options).catch(() => ({ box: null }))
    throw new InputError(error.code, error.message, {
      ...error.details,
      bytes: 4 * cells.width * cells.height,
      ...(box === null ? {} : { west: box[0], south: box[1], east: box[2], north: box[3] }),
    })
  }
}

/** Heights out of the red, green and blue bands of a picture. */
async function readColours(
  { pixel, samples }: ImageShape,
  colours: ColourHeights,
  layoutOf: (band: number) => Promise<ImageLayout>,
  read: (band: number, layout: ImageLayout) => Promise<Float32Array | Float64Array>,
): Promise<Float64Array> {
  if (pixel.kind !== 'unsigned' || pixel.bits !== 8) throw malformed(`heights in colours of ${pixel.bits}-bit ${pixel.kind} cells`)
  const bands: (Float32Array | Float64Array)[] = []
  for (let band = 0; band < Math.min(4, samples); band++) bands.push(await read(band, await layoutOf(band)))
  return coloursToHeights(bands[0]!.length, colours, (k, band) => bands[band]?.[k] ?? 255)
}

function chooseBand(image: TiffDirectory, samples: number, asked: number | undefined): number {
  const photometric = image.numbers(262)[0] ?? 1
  if (photometric === 3 || (photometric !== 0 && photometric !== 1 && asked === undefined)) {
    throw new InputError(
      'grid/colours',
      photometric === 3
        ? 'The raster holds numbers of colours (a palette), not heights. Ask its publisher for the elevation values.'
        : 'The raster is a picture: its bands are colours, not heights. If heights are packed into the colours, their base and step are not in the file: give them with --colours BASE,STEP, name the band with --band, or ask its publisher for plain elevation values.',
      { photometric, packable: photometric === 2 && samples >= 3 },
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
