import { InputError } from 'soakline/foundation'
import { DEFAULT_MAX_CELLS, type ReadOptions, type StoredRaster, saidNodata } from './stored-raster.js'
import { maskVoids } from './void-values.js'

/** The name of the format. */
export const HEIGHT_TILE = 'height tile of one degree'

/** Samples along a side by the bytes of a tile: one and three arc seconds. */
const SIDES: ReadonlyMap<number, number> = new Map([1201, 3601].map(side => [side * side * 2, side]))
const NAME = /(?:^|[\\/])([NS])(\d{2})([EW])(\d{3})[^\\/]*$/i
/** Where the radar saw nothing. */
const VOID = -32768

/** Whether a file is such a tile: it has no first bytes of its own, so by its ending, or by a name of a corner and the size that goes with it. */
export const looksLikeHeightTile = (bytes: Uint8Array, name = ''): boolean =>
  /\.hgt$/i.test(name) || (SIDES.has(bytes.length) && NAME.test(name))

/**
 * Heights of a square degree, as the shuttle radar mission published them.
 *
 * Shapes   1201² or 3601² whole numbers of 16 bits, the high byte first, rows from the north; the outer ones lie on the lines of whole degrees, so
 *          that neighbours share them.
 * Units    metres over the EGM96 geoid; the name says the south-west corner.
 * No data  −32768.
 * Throws   InputError `height-tile/name`, `height-tile/size`, `grid/too-large`, and those of `maskVoids`.
 * Source   USGS, "SRTM Topography" (documentation of version 2.1, 2009), sections 2.1 and 3.1, from memory.
 */
export async function readStoredHeightTile(bytes: ArrayBuffer, options: ReadOptions = {}): Promise<StoredRaster> {
  const side = SIDES.get(bytes.byteLength)
  if (side === undefined)
    throw new InputError(
      'height-tile/size',
      `A height tile has ${[...SIDES.keys()].join(' or ')} bytes, this file has ${bytes.byteLength}. It was cut off on its way, or it is of another kind; fetch it again.`,
      { bytes: bytes.byteLength },
    )
  const [longitude, latitude] = cornerOf(options.fileName ?? '')
  const maxCells = options.maxCells ?? DEFAULT_MAX_CELLS
  if (side * side > maxCells)
    throw new InputError(
      'grid/too-large',
      `The tile has ${side} × ${side} cells, more than the ${maxCells} that can be held. Cut out the holding and the ground that drains to it.`,
      { width: side, height: side, maxCells },
    )
  const view = new DataView(bytes)
  const data = new Float32Array(side * side)
  for (let k = 0; k < data.length; k++) data[k] = view.getInt16(2 * k)
  const asked = saidNodata(options)
  const warnings = maskVoids(data, { kind: 'signed', bits: 16 }, String(VOID), asked)
  const cell = 1 / (side - 1)
  return {
    format: HEIGHT_TILE,
    width: side,
    height: side,
    data,
    // Samples lie on the lines: the outer corner of the first cell is half a cell beyond.
    affine: [cell, 0, longitude - cell / 2, 0, -cell, latitude + 1 + cell / 2],
    crs: 'EPSG:4326',
    crsName: null,
    crsFound: 'a height tile',
    verticalUnit: 'm',
    verticalUnitText: null,
    verticalDatum: 'EGM96 geoid',
    ellipsoidal: false,
    warnings,
  }
}

/** Longitude and latitude of the south-west corner, by the name. */
function cornerOf(name: string): [number, number] {
  const parts = NAME.exec(name)
  const [latitude, longitude] = [
    (parts?.[1]?.toUpperCase() === 'S' ? -1 : 1) * Number(parts?.[2] ?? Number.NaN),
    (parts?.[3]?.toUpperCase() === 'W' ? -1 : 1) * Number(parts?.[4] ?? Number.NaN),
  ]
  if (!(latitude >= -90 && latitude < 90 && longitude >= -180 && longitude < 180))
    throw new InputError(
      'height-tile/name',
      `A height tile says where it lies by its name alone, such as N36W081.hgt for the square degree north and east of 36° N 81° W; this one is called "${name.slice(-60)}". Give it its own name again.`,
      { name: name.slice(-60) },
    )
  return [longitude, latitude]
}
