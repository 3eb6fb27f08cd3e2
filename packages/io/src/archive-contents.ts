import { groundMembers } from './archived-ground.js'
import { isNamedAsGround } from './ground-marks.js'
import { openZip, type ZipMember } from './zip.js'

/** Files that are a layer by themselves. */
const LAYER = /\.(shp|kml|gpx|geojson|json|csv|dxf|gpkg)$/i

/** The layers of an archive, best told by the endings of their files. */
export const layerMembers = (members: readonly ZipMember[]): ZipMember[] => members.filter(({ name }) => LAYER.test(name))

/**
 * What an archive is likely meant as, by the names in it: a layer where it holds one and no raster beside it, else ground.
 *
 * Throws  InputError `archive/…`.
 */
export function archiveHolds(archive: ArrayBuffer): 'ground' | 'features' {
  const members = openZip(new Uint8Array(archive))
  const rasters = groundMembers(members).filter(({ name }) => isNamedAsGround(name))
  return rasters.length === 0 && layerMembers(members).some(({ name }) => !/\.csv$/i.test(name)) ? 'features' : 'ground'
}
