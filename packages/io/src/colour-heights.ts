import { InputError } from 'soakline/foundation'
import { SEMI_MAJOR_m } from './earth-size.js'
import { readPng } from './png.js'
import type { ColourHeights, ReadOptions, StoredRaster, TileAddress } from './stored-raster.js'
import { DEFAULT_MAX_CELLS, saidNodata } from './stored-raster.js'
import { maskVoids } from './void-values.js'

/** The name of the format. */
export const COLOUR_TILE = 'map tile of heights in colours'

/** The ways of packing heights that have a name. Source: the published descriptions of terrain tiles; from memory, terrarium checked by a real tile. */
export const COLOUR_CODES: Readonly<Record<'terrarium' | 'terrain-rgb', ColourHeights>> = {
  terrarium: { base_m: -32768, step_m: 1 / 256 },
  'terrain-rgb': { base_m: -10000, step_m: 0.1 },
}

/** Half the side of the pseudo-Mercator square: π times the WGS 84 semi-major axis. */
const HALF_m = Math.PI * SEMI_MAJOR_m
/** No map is cut finer: at zoom 25 a tile is a metre wide. Judgement. */
const DEEPEST_ZOOM = 25

/**
 * Heights that are packed into the colours of a map tile.
 *
 * Units    metres, by the base and the step that the user gives; place by the address that the user gives.
 * No data  pixels that are not solid; black ones are asked about where they stand far from all others.
 * Throws   InputError `colours/unknown-code` and `tile/unknown-place`, which are questions; `colours/bad-code`, `tile/bad-place`, `tile/not-square`, those of
 *          `readPng` and `maskVoids`.
 */
export async function readStoredColourTile(bytes: ArrayBuffer, options: ReadOptions = {}): Promise<StoredRaster> {
  const picture = await readPng(new Uint8Array(bytes), options.maxCells ?? DEFAULT_MAX_CELLS, options.signal)
  const { width, height, samples, data } = picture
  if (options.colours === undefined)
    throw new InputError(
      'colours/unknown-code',
      'The file is a picture. If heights are packed into its colours, it does not say how. Give --colours terrarium, --colours terrain-rgb, or the base and the step in metres, such as --colours=-10000,0.1.',
      {},
    )
  if (options.tile === undefined)
    throw new InputError(
      'tile/unknown-place',
      'The picture does not say where it lies. Give the address that it was fetched by: --tile ZOOM/X/Y.',
      {},
    )
  if (width !== height)
    throw new InputError(
      'tile/not-square',
      `The picture has ${width} × ${height} pixels, and a map tile is a square. Give the tile as it was fetched.`,
      {
        width,
        height,
      },
    )
  const heights = coloursToHeights(width * height, options.colours, (k, band) => (band < samples ? data[k * samples + band]! : 255))
  const asked = saidNodata(options)
  const warnings = maskVoids(heights, { kind: 'float', bits: 64 }, null, asked, [options.colours.base_m])
  return {
    format: COLOUR_TILE,
    width,
    height,
    data: heights,
    affine: tileAffine(options.tile, width),
    crs: 'EPSG:3857',
    crsName: null,
    crsFound: 'a map tile',
    verticalUnit: 'm',
    verticalUnitText: null,
    verticalDatum: null,
    ellipsoidal: false,
    warnings,
  }
}

/**
 * Heights out of 24-bit colours, before anything is drawn anew: a mean of colours is no height.
 *
 * Throws  InputError `colours/bad-code`.
 *
 * @param band value of a pixel's red (0), green (1), blue (2) and how solid it is (3), 255 where the picture does not say
 */
export function coloursToHeights(
  pixels: number,
  { base_m, step_m }: ColourHeights,
  band: (pixel: number, band: number) => number,
): Float64Array {
  if (!(Math.abs(base_m) <= 1e6) || !(step_m > 0 && step_m <= 1000))
    throw new InputError(
      'colours/bad-code',
      `A base of ${base_m} m and a step of ${step_m} m are no way of writing heights. Look the two numbers up at the publisher.`,
      {
        base_m,
        step_m,
      },
    )
  const heights = new Float64Array(pixels)
  for (let k = 0; k < pixels; k++)
    heights[k] = band(k, 3) === 255 ? base_m + step_m * (band(k, 0) * 65536 + band(k, 1) * 256 + band(k, 2)) : Number.NaN
  return heights
}

/** From pixels of a tile to metres of the pseudo-Mercator map, by the outer corners. Throws InputError `tile/bad-place`. */
export function tileAffine({ z, x, y }: TileAddress, pixels: number): StoredRaster['affine'] {
  const across = 2 ** z
  const inside = (value: number): boolean => Number.isInteger(value) && value >= 0 && value < across
  if (!Number.isInteger(z) || z < 0 || z > DEEPEST_ZOOM || !inside(x) || !inside(y))
    throw new InputError('tile/bad-place', `There is no map tile ${z}/${x}/${y}: at zoom ${z} both numbers run from 0 to ${across - 1}.`, {
      z,
      x,
      y,
    })
  const side = (2 * HALF_m) / across
  return [side / pixels, 0, -HALF_m + x * side, 0, -side / pixels, HALF_m - y * side]
}
