import type { Point } from 'soakline/raster'

/** What a shape of a plan is, the same in every language and file: so that a file of ours tells what in it is the line when it comes back. */
export type FieldWhat = 'line' | 'stake' | 'overflow' | 'catchment' | 'planting'

/** A point with a name, for files that people carry: stakes, places. In the working system, metres. */
export interface NamedPoint {
  readonly name: string
  readonly at: Point
  readonly height_m: number | null
  readonly note?: string
  /** Layer or folder that it belongs to. */
  readonly group?: string
  readonly what?: FieldWhat
}

/** A line with a name; heights one for each vertex, or none. */
export interface NamedLine {
  readonly name: string
  readonly path: readonly Point[]
  readonly heights_m?: readonly (number | null)[]
  readonly note?: string
  readonly group?: string
  readonly what?: FieldWhat
}

/** A polygon with a name: outer ring first. */
export interface NamedArea {
  readonly name: string
  readonly rings: readonly (readonly Point[])[]
  readonly note?: string
  readonly group?: string
  readonly what?: FieldWhat
}

/** What goes into one file. */
export interface FieldDrawing {
  readonly name: string
  readonly note?: string
  readonly points?: readonly NamedPoint[]
  readonly lines?: readonly NamedLine[]
  readonly areas?: readonly NamedArea[]
}

/** What came out of one. */
export interface FieldReading {
  readonly points: readonly NamedPoint[]
  readonly lines: readonly NamedLine[]
}
