import { ASCII_GRID, looksLikeAsciiGrid } from './ascii-grid.js'
import { COLOUR_TILE } from './colour-heights.js'
import { looksLikePng } from './png.js'
import { HEIGHT_TILE, looksLikeHeightTile } from './srtm-tile.js'
import { looksLikeSurvey, SURVEY_FORMAT } from './survey-ground.js'
import { looksLikeTiff } from './tiff-directory.js'
import { looksLikeZip } from './zip.js'

/** How files of one format of ground are known. */
export interface GroundMark {
  readonly name: string
  /** What such a file holds: cells, measured points, or other files. */
  readonly holds: 'cells' | 'points' | 'files'
  /** Endings of such files, without the dot. */
  readonly endings: readonly string[]
  /** Whether files with these endings are seldom anything else, so that the ending alone tells ground. */
  readonly endingTells: boolean
  /** Whether the first bytes are those of the format; the name of the file is for formats that have none of their own. */
  recognises(bytes: Uint8Array, fileName?: string): boolean
}

/** The formats of ground that are read, in the order in which a file is tried. */
export const GROUND_MARKS = [
  { name: 'GeoTIFF', holds: 'cells', endings: ['tif', 'tiff'], endingTells: true, recognises: looksLikeTiff },
  { name: ASCII_GRID, holds: 'cells', endings: ['asc', 'grd'], endingTells: true, recognises: looksLikeAsciiGrid },
  { name: COLOUR_TILE, holds: 'cells', endings: ['png'], endingTells: false, recognises: looksLikePng },
  { name: 'ZIP archive of one of these', holds: 'files', endings: ['zip'], endingTells: false, recognises: looksLikeZip },
  { name: HEIGHT_TILE, holds: 'cells', endings: ['hgt'], endingTells: true, recognises: looksLikeHeightTile },
  { name: SURVEY_FORMAT, holds: 'points', endings: ['csv', 'txt', 'xyz'], endingTells: false, recognises: looksLikeSurvey },
] as const satisfies readonly GroundMark[]

export type GroundFormatName = (typeof GROUND_MARKS)[number]['name']

/** Endings of ground that is not read here: its reader refuses it by the name of its format, which says more than that the file is unknown. */
const NOT_READ = ['dem', 'img', 'vrt', 'adf', 'nc', 'jp2', 'las', 'laz']

const endingsOf = (marks: readonly GroundMark[]): readonly string[] => marks.flatMap(({ endings }) => endings)
const hasEnding = (name: string, endings: readonly string[]): boolean => endings.includes(/\.([^.]*)$/.exec(name)?.[1]?.toLowerCase() ?? '')

/** Whether a file may be ground that is read here, by its ending; archives are looked into instead. */
export const mayBeGround = (name: string): boolean => hasEnding(name, endingsOf(GROUND_MARKS.filter(({ holds }) => holds !== 'files')))

/** Whether a file is ground by its ending alone. */
export const isNamedAsGround = (name: string): boolean => hasEnding(name, endingsOf(GROUND_MARKS.filter(({ endingTells }) => endingTells)))

/** Whether a file calls itself ground: also an archive, and what is not read here. */
export const claimsGround = (name: string): boolean =>
  isNamedAsGround(name) || hasEnding(name, [...NOT_READ, ...endingsOf(GROUND_MARKS.filter(({ holds }) => holds === 'files'))])

/** Whether the first bytes say that a file is a raster of ground, or its name where the format has none of its own. */
export const looksLikeRaster = (head: Uint8Array, name: string): boolean =>
  GROUND_MARKS.some(({ holds, recognises }) => holds === 'cells' && recognises(head, name))

/** Whether the first bytes are those of an archive. */
export const looksLikeArchive = (head: Uint8Array): boolean =>
  GROUND_MARKS.some(({ holds, recognises }) => holds === 'files' && recognises(head))
