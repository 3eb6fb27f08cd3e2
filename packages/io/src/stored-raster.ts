import type { LengthUnit, Warning } from 'soakline/foundation'
import type { GroundWindow } from './ground-window.js'
import type { NativeInflate } from './inflate.js'
import type { Provenance } from './write-stored-raster.js'

/** Base and step of heights that are packed into colours. */
export interface ColourHeights {
  readonly base_m: number
  readonly step_m: number
}

/** A square of the pseudo-Mercator map: at zoom z it is 2^z by 2^z tiles, x counted from 180° W, y from the north. */
export interface TileAddress {
  readonly z: number
  readonly x: number
  readonly y: number
}

/** What the user answers when a file leaves something open. */
export interface ReadOptions {
  /** `EPSG:n`, a PROJ or WKT definition, or `local`; default: what the file says. */
  readonly crs?: string
  /** Unit of the heights; default: what the file says, else metres on a metric system, else a refusal. */
  readonly elevationUnit?: LengthUnit
  /** Values that mean "no data", instead of the file's own; NaN says that none does. Default: what the file says. */
  readonly nodata?: number | readonly number[]
  /** Which band holds the heights, from 1. Default: the only one, else a refusal. */
  readonly band?: number
  /** The file's name, for formats that keep something in it: where a height tile lies. Never used to tell the format of a file that says it itself. */
  readonly fileName?: string
  /** Which file of an archive holds the heights, by its path in it. Default: the only one, else a refusal. */
  readonly member?: string
  /** Joins all rasters of an archive to one. Default false: several are a question. */
  readonly join?: boolean
  /** How heights are packed into the 24 bits of colours: height = base + step × (red × 65536 + green × 256 + blue). Default: a refusal. */
  readonly colours?: ColourHeights
  /** Place of a map tile that does not say it itself. Default: a refusal. */
  readonly tile?: TileAddress
  /** Gaps up to this area that do not reach the raster's edge are filled with a smooth skin. Unit: m². Default 0: gaps stay gaps. */
  readonly fillVoids_m2?: number
  /** Most cells that are taken. Default 400 million (1.6 GB as float32); judgement. */
  readonly maxCells?: number
  /** The part that is read. Default: all of it. */
  readonly window?: GroundWindow
  readonly signal?: AbortSignal
  /** The platform's own way to inflate a block at once, where it has one (Node). Default: its stream. */
  readonly inflate?: NativeInflate
  /** Told how much of the cells is read, 0–1. */
  readonly onProgress?: (done: number) => void
}

/** Most cells that are taken where nobody says otherwise. Judgement. */
export const DEFAULT_MAX_CELLS = 400_000_000

/** The values that the user says mean "no data"; null where the user says nothing. */
export const saidNodata = ({ nodata }: ReadOptions): readonly number[] | null =>
  nodata === undefined ? null : typeof nodata === 'number' ? [nodata] : nodata

/** A raster as its file stores it: numbers and words before any unit, coordinate system or direction is settled. */
export interface StoredRaster {
  readonly format: string
  readonly width: number
  readonly height: number
  /** Row-major in the file's own order of rows. NaN is no data; scale and offset are applied, the unit is not. */
  readonly data: Float32Array | Float64Array
  /** x = a·column + b·row + c, y = d·column + e·row + f, for the outer corners of cells, in the unit of the file's system. */
  readonly affine: readonly [a: number, b: number, c: number, d: number, e: number, f: number]
  readonly crs: string | null
  /** The file's own name for a system without a code; null when it has none. */
  readonly crsName: string | null
  /** What was found instead of a usable coordinate system, for the refusal. */
  readonly crsFound: string
  readonly verticalUnit: LengthUnit | 'other' | null
  /** The unit's own words when it is `other`. */
  readonly verticalUnitText: string | null
  readonly verticalDatum: string | null
  readonly ellipsoidal: boolean
  /** The most by which heights may differ from those that were packed, in the unit of the heights; absent where they were kept as they were. */
  readonly packingError?: number
  /** When the file says that it was written: `YYYY-MM-DD`; absent where it does not. Seldom the day of the survey. */
  readonly written?: string
  /** Whom it is owed to and what it is a part of, where the file says so; absent else. */
  readonly provenance?: Provenance
  readonly warnings: readonly Warning[]
}
