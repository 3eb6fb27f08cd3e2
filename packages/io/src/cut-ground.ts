import type { ByteSource } from './byte-source.js'
import { readGeoTiffFrom } from './geotiff.js'
import type { ReadOptions } from './stored-raster.js'
import { writeStoredRaster } from './write-stored-raster.js'

/**
 * The part of a GeoTIFF that a window touches, as a GeoTIFF of its own: small enough to be kept, where the whole is not. What the options answer is
 * settled in it: band, gaps, unit of height, and system where it has an EPSG number.
 *
 * Throws  as `readGeoTiffFrom` and `writeStoredRaster`.
 */
export async function cutGround(source: ByteSource, options: ReadOptions): Promise<Uint8Array<ArrayBuffer>> {
  const stored = await readGeoTiffFrom(source, options)
  const cut = stored.warnings.find(({ code }) => code === 'ground/cut-out')
  const settled = {
    ...stored,
    crs: options.crs ?? stored.crs,
    verticalUnit: options.elevationUnit ?? stored.verticalUnit,
    verticalUnitText: options.elevationUnit === undefined ? stored.verticalUnitText : null,
  }
  return writeStoredRaster(settled, {
    format: 'soakline-source/1',
    ...(stored.provenance ?? {}),
    ...(cut === undefined ? {} : { cutFrom: [Number(cut.details.ofWidth), Number(cut.details.ofHeight)] as const }),
  })
}
