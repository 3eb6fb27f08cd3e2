import { InputError, type Warning } from 'soakline/foundation'
import { type AddressOptions, addressSource, fetchWhole } from './address-source.js'
import { readStoredColourTile } from './colour-heights.js'
import { openProjection } from './crs.js'
import { readGeoTiffFrom } from './geotiff.js'
import { degreeAddress, type GroundSource, tiling } from './ground-sources.js'
import { type Box, cutOut, refuseBadBox } from './ground-window.js'
import { joinRasters } from './join-rasters.js'
import { hostOf } from './network.js'
import type { StoredRaster } from './stored-raster.js'
import { type Provenance, writeStoredRaster } from './write-stored-raster.js'

/** What bringing open data may be told besides. */
export interface BringOptions extends AddressOptions {
  /** Most cells that are brought. Default 16 million; judgement: a square of 4 km in cells of 1 m. */
  readonly maxCells?: number
  readonly onProgress?: (done: number) => void
  /** The day, as it is to be noted in the file. */
  readonly dateText: string
}

/** Elevation brought for a place. */
export interface BroughtGround {
  /** A GeoTIFF of the heights as their source gives them, cut out to the box, with its credit in it: it needs no network any more. */
  readonly file: Uint8Array<ArrayBuffer>
  readonly fileName: string
  readonly width: number
  readonly height: number
  readonly warnings: readonly Warning[]
}

/** See `BringOptions.maxCells`. */
const MOST_CELLS = 16e6
/** Square degrees that are brought at once. Judgement: a place lies in one, at a corner in four. */
const MOST_FILES = 4
/** Map tiles that are brought at once. Judgement: 9 by 9 of them are some 8 km across at the finest zoom. */
const MOST_TILES = 81
/** Bytes of one map tile. Judgement: 256² colours that are not packed have 0.2 MB, 512² four times that. */
const MOST_TILE_BYTES = 4e6

/** The hosts that a source is brought from: what is asked for a yes. */
export const hostOfSource = ({ address }: Pick<GroundSource, 'address'>): string => hostOf(address.replace(/\{[^}]*\}/g, '0'))

/**
 * Brings elevation for a box from a source: only the needed stretches of its files, at their full resolution.
 *
 * Throws  InputError `window/bad-box`, `window/too-large`, `ground/nothing-there`, `ground/not-covered`, `address/…`, `network/not-allowed`, and those of the formats.
 */
export async function bringGround(source: GroundSource, box: Box, options: BringOptions): Promise<BroughtGround> {
  refuseBadBox(box, 'lonlat')
  const [west, south, east, north] = source.covers
  if (box[0] < west || box[1] < south || box[2] > east || box[3] > north)
    throw new InputError(
      'ground/not-covered',
      `${source.name} does not reach over all of this place (it covers ${source.covers.join(', ')}: west, south, east, north). Choose another source.`,
      { source: source.name },
    )
  const maxCells = options.maxCells ?? MOST_CELLS
  const parts =
    tiling(source) === 'map-tiles' ? await tilesOf(source, box, maxCells, options) : await filesOf(source, box, maxCells, options)
  const joined = parts.found.length === 1 ? parts.found[0]! : joinRasters(parts.found, { maxCells })
  const cut = tiling(source) === 'map-tiles' ? cutOut(joined, { in: 'lonlat', box }, await openProjection('EPSG:3857')) : joined
  const stored: StoredRaster = {
    ...cut,
    // What a file leaves open its publisher says elsewhere.
    verticalUnit: cut.verticalUnit ?? source.heightUnit,
    verticalDatum: cut.verticalDatum ?? source.verticalDatum,
  }
  if (!stored.data.some(z => !Number.isNaN(z))) throw nothingThere(source)
  const provenance: Provenance = {
    format: 'soakline-source/1',
    name: source.name,
    host: hostOfSource(source),
    licence: source.licence,
    credit: source.credit,
    cell_m: source.cell_m,
    heightError_m: source.heightError_m,
    shows: source.shows,
    trust: source.trust,
    brought: options.dateText,
  }
  const place = [(box[1] + box[3]) / 2, (box[0] + box[2]) / 2].map(value => value.toFixed(3)).join('_')
  const word = source.name.replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '')
  return {
    file: await writeStoredRaster(stored, provenance),
    fileName: `${word}_${place}.tif`,
    width: stored.width,
    height: stored.height,
    warnings: [
      ...stored.warnings.filter(({ code }) => code !== 'ground/cut-out'),
      ...(parts.missing > 0 ? [{ code: 'ground/no-file-there', details: { files: parts.missing } } as const] : []),
    ],
  }
}

interface Parts {
  readonly found: StoredRaster[]
  readonly missing: number
}

/** What the box needs of a source's GeoTIFF files. */
async function filesOf(source: GroundSource, box: Box, maxCells: number, options: BringOptions): Promise<Parts> {
  const corners: [number, number][] = []
  if (tiling(source) === 'one') corners.push([Number.NaN, Number.NaN])
  else
    for (let south = Math.floor(box[1]); south < box[3]; south++)
      for (let west = Math.floor(box[0]); west < box[2]; west++) corners.push([west, south])
  if (corners.length > MOST_FILES) throw tooLarge()
  const found: StoredRaster[] = []
  let missing = 0
  for (const [k, [west, south]] of corners.entries()) {
    try {
      const file = await addressSource(Number.isNaN(west) ? source.address : degreeAddress(source.address, west, south), options)
      found.push(
        await readGeoTiffFrom(file, {
          window: { in: 'lonlat', box },
          maxCells,
          ...(options.signal ? { signal: options.signal } : {}),
          onProgress: done => options.onProgress?.((k + done) / corners.length),
        }),
      )
    } catch (error) {
      if (!isMissing(error)) throw error
      missing++
    }
  }
  if (found.length === 0) throw nothingThere(source)
  return { found, missing }
}

/** What a place has no file for: at sea, or beyond what is covered. Some hosts of files say "forbidden" where there is none. */
const isMissing = (error: unknown): boolean =>
  error instanceof InputError && ['address/not-found', 'address/forbidden', 'window/outside'].includes(error.code)

/** The map tiles that a box needs, at the finest zoom. */
async function tilesOf(source: GroundSource, box: Box, maxCells: number, options: BringOptions): Promise<Parts> {
  const z = source.zoom!
  const [left, top] = tileAt(box[0], box[3], z)
  const [right, bottom] = tileAt(box[2], box[1], z)
  const wanted: { x: number; y: number }[] = []
  if ((right - left + 1) * (bottom - top + 1) > MOST_TILES) throw tooLarge()
  for (let y = top; y <= bottom; y++) for (let x = left; x <= right; x++) wanted.push({ x, y })
  const found: StoredRaster[] = []
  let [missing, cells] = [0, 0]
  for (const [k, { x, y }] of wanted.entries()) {
    const address = source.address.replace('{z}', String(z)).replace('{x}', String(x)).replace('{y}', String(y))
    try {
      const bytes = await fetchWhole(address, MOST_TILE_BYTES, options)
      const tile = await readStoredColourTile(bytes.slice().buffer, {
        colours: source.colours!,
        tile: { z, x, y },
        maxCells,
        ...(options.signal ? { signal: options.signal } : {}),
      })
      cells += tile.width * tile.height
      if (cells > maxCells) throw tooLarge()
      found.push(tile)
    } catch (error) {
      if (!isMissing(error)) throw error
      missing++
    }
    options.onProgress?.((k + 1) / wanted.length)
  }
  if (found.length === 0) throw nothingThere(source)
  return { found, missing }
}

/** The map tile that a place lies in. Source: the pseudo-Mercator square, cut in 2^z by 2^z. */
function tileAt(longitude: number, latitude: number, z: number): [number, number] {
  const across = 2 ** z
  const sine = Math.sin((latitude * Math.PI) / 180)
  const inside = (value: number): number => Math.min(across - 1, Math.max(0, Math.floor(value * across)))
  return [inside((longitude + 180) / 360), inside(0.5 - Math.log((1 + sine) / (1 - sine)) / (4 * Math.PI))]
}

const nothingThere = (source: GroundSource): InputError =>
  new InputError('ground/nothing-there', `${source.name} has no heights for this place. Choose another place or another source.`, {
    source: source.name,
  })

const tooLarge = (): InputError =>
  new InputError(
    'window/too-large',
    'The area is larger than can be brought at once. Choose a smaller one: the holding and the ground that drains to it.',
    {},
  )
