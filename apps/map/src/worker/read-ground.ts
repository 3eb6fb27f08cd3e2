import { blobSource, bytesSource, type GroundReport, openProjection, type Reading, type ReadOptions, readElevationFrom } from '@soakline/io'
import { STUDY_BYTES_PER_CELL } from 'soakline/hydrology'
import type { ElevationGrid } from 'soakline/raster'

/** What a page may be asked to hold: some 2 GB, the study of the water and all that is worked out on it. Source: judgement, tabs end near 4 GB. */
const MOST_CELLS = Math.floor(2e9 / (STUDY_BYTES_PER_CELL + 44))

/** A file of heights and what was said about it. */
export interface GroundFile {
  readonly name: string
  /** Bytes, or a file of which only what is needed is read. */
  readonly bytes: ArrayBuffer | Blob
  readonly options: ReadOptions
}

/** Ground as it goes from one thread to another: a projection is made of functions, which cannot go along. */
export interface ReadGround {
  readonly grid: ElevationGrid
  readonly report: GroundReport
}

/** Reads a file of heights. Throws InputError as `readElevationFrom`. */
export const readGround = ({ name, bytes, options }: GroundFile): Promise<Reading> =>
  readElevationFrom(bytes instanceof Blob ? blobSource(bytes, name) : bytesSource(bytes, name), { maxCells: MOST_CELLS, ...options })

/** The ground with its projection, on this side of the thread. */
export async function withProjection({ grid, report }: ReadGround): Promise<Reading> {
  return { grid, report, projection: { ...(await openProjection(report.crs)), name: report.crsName } }
}
