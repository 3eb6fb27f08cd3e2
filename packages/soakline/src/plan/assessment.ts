import type { Section } from '../earthworks/index.js'
import type { Finding, Warning } from '../foundation/index.js'
import type { Point } from '../raster/index.js'
import type { NoGoReason, PathEnd } from '../siting/index.js'

/** The whole answer about one line, as data. Elevations in metres of the raster's own datum, areas and lengths horizontal. */
export interface Assessment {
  readonly ground: {
    readonly cell_m: number
    readonly crs: string
    readonly width: number
    readonly height: number
    readonly voidCells: number
    readonly sha256: string
    readonly elevationError_m: number | null
    readonly warnings: readonly Warning[]
  }
  readonly line: {
    readonly path: readonly Point[]
    readonly length_m: number
    readonly bedElevation_m: number
    /** Fall of the ground along the line, from its first vertex to its last, per metre. */
    readonly fall_ratio: number
    readonly meanGroundSlope_ratio: number
    /** Largest height of the ground along the line less its smallest: how far off level it is drawn. */
    readonly groundRange_m: number
    /** Stretches on no-go ground. */
    readonly noGo: readonly { readonly from_m: number; readonly to_m: number; readonly reasons: readonly NoGoReason[] }[]
  }
  readonly catchment: {
    readonly area_m2: number
    readonly polygonArea_m2: number
    readonly cutByEdge: boolean
    /** Share of the line's water that could have come in across a border or a void, counted as `lineCatchment` says. */
    readonly edgeShare_ratio: number
    readonly longestFlow_m: number
    readonly ridge: { readonly highPoint: Point; readonly elevation_m: number; readonly length_m: number } | null
    readonly rings: readonly (readonly Point[])[]
    readonly ridgeLines: readonly (readonly Point[])[]
  }
  readonly runoff: { readonly curveNumber: number; readonly curveNumberSource: string }
  /** One for each chance of the rain table at the storm duration; empty without a rain table. */
  readonly storms: readonly {
    readonly chancePerYear: number
    readonly duration_h: number
    readonly rain_mm: number
    readonly runoff_mm: number
    readonly runoff_m3: number
    /** Part of the runoff that the ditch keeps, filled from empty to the sill less the sediment's share; null where the storage is not known. */
    readonly kept_m3: number | null
  }[]
  /** Null when the ditch cannot be dug as it is set, or the line is too far off level for one water level. */
  readonly storage: { readonly toSill_m3: number; readonly toCrest_m3: number; readonly afterSediment_m3: number } | null
  /** The ditch on the line's mean slope; null as for `storage`. */
  readonly section: Section | null
  /** The two ends of the line compared; rank 1 is the better place to spill. */
  readonly spills: readonly {
    readonly chainage_m: number
    readonly rank: number
    /** Codes of what speaks for and against. */
    readonly reasons: readonly string[]
    readonly path: {
      readonly points: readonly Point[]
      /** The further way through wood or beyond the boundary. */
      readonly beyond: readonly Point[]
      readonly length_m: number
      readonly endsIn: PathEnd
      readonly nearestBuilding_m: number | null
      readonly nearestBuildingName: string | null
      readonly heightBelowFloor_m: number | null
      readonly reachesBuilding: boolean
    }
    /** Where the water may spread to: rings of the band. */
    readonly band: readonly (readonly Point[])[]
  }[]
  readonly earth: { readonly cut_m3: number; readonly bermLoose_m3: number } | null
  readonly profile: readonly { readonly chainage_m: number; readonly ground_m: number }[]
  readonly findings: readonly Finding[]
}
