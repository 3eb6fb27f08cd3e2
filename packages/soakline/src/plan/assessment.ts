import type { Finding, Warning } from '../foundation/index.js'
import type { YearsOfWater } from '../hydrology/index.js'
import type { Point } from '../raster/index.js'
import type { BreachStake, NoGoReason, Overflow, PassedBy, PathEnd, SpillChoice } from '../siting/index.js'
import type { CutSide } from './cut-sides.js'
import type { Earth } from './earth.js'
import type { GatheringTime } from './gathering-time.js'
import type { CatchmentCover } from './ground-cover.js'
import type { LineSection } from './line-ditch.js'
import type { Soaking } from './soaking.js'
import type { Spillway } from './spillway.js'

/** One storm and what the ditch does with it. */
export interface StormAnswer {
  readonly chancePerYear: number
  readonly duration_h: number
  readonly rain_mm: number
  readonly runoff_mm: number
  readonly runoff_m3: number
  /** With a curve number 5 lower or on dry ground, and 5 higher or on wet ground; null by another method. */
  readonly runoffLeast_mm: number | null
  readonly runoffMost_mm: number | null
  /** Null where the rain table knows no burst of 15 min or less: peaks are then unknown, and what rests on them. */
  readonly peakInflow_m3s: number | null
  readonly rationalPeak_m3s: number | null
  /** From here to `kept_m3`: routed from an empty ditch on soil as it usually is, notch open, a day beyond the last inflow. Null without a ditch. */
  readonly highestWater_m: number | null
  readonly freeboard_m: number | null
  readonly spillStarts_h: number | null
  readonly spilled_m3: number | null
  readonly peakSpill_m3s: number | null
  readonly soaked_m3: number | null
  /** Still standing at the end. */
  readonly standing_m3: number | null
  readonly kept_m3: number | null
  /** The same storm on wet soil into the ditch in its worst state: full, nothing soaking, the notch blocked. */
  readonly worst: {
    readonly runoff_m3: number
    readonly peakInflow_m3s: number
    readonly highestWater_m: number
    readonly freeboard_m: number
    readonly peakSpill_m3s: number
  } | null
  /** Step by step: level of the water in the raster's datum, what runs in, what leaves over notch and sill, and what has come, spilled and stands. */
  readonly levels: {
    readonly step_h: number
    readonly levels_m: readonly number[]
    readonly spills_m3s: readonly number[]
    readonly inflows_m3s: readonly number[]
    readonly came_m3: readonly number[]
    readonly spilled_m3: readonly number[]
    readonly standing_m3: readonly number[]
  } | null
}

/** A storm that was measured, as the ditch would have taken it. */
export interface MeasuredStorm extends Omit<StormAnswer, 'chancePerYear' | 'rationalPeak_m3s'> {
  readonly source: string
}

/** A place where the line may spill, and the way of its overflow. */
export interface SpillAnswer {
  readonly chainage_m: number
  readonly rank: number
  /** Codes of what speaks for and against. */
  readonly reasons: readonly string[]
  readonly path: {
    readonly points: readonly Point[]
    /** The further way through forest or beyond the boundary. */
    readonly beyond: readonly Point[]
    readonly length_m: number
    readonly endsIn: PathEnd
    readonly nearestBuilding_m: number | null
    readonly nearestBuildingName: string | null
    readonly heightBelowFloor_m: number | null
    readonly reachesBuilding: boolean
    /** Of the tried terrains those in which water came within a cell of a building, low enough to reach it, and those within the clearance. */
    readonly reachedInRuns?: number
    readonly nearInRuns?: number
    readonly runs?: number
    readonly clearance_m?: number
    /** What `nearInRuns` still allows at 95 % confidence; null without a building near. */
    readonly atMost_ratio?: number | null
    /** Runs whose water left the ground looked at. */
    readonly leftWindow?: number
  }
  /** Where the water may spread to: rings of the band. */
  readonly band: readonly (readonly Point[])[]
  /** The design spill on its way; null where it is not the chosen place or the peak is unknown. */
  readonly flow?: {
    readonly flow_m3s: number
    readonly deepest_m: number | null
    readonly fastest_ms: number | null
    readonly inForest_m: number
    readonly passes: readonly PassedBy[]
  } | null
  /** Ground that water passed in any, a tenth, half of the tried terrains. */
  readonly tried?: readonly { readonly share_ratio: number; readonly rings: readonly (readonly Point[])[] }[]
}

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
    /** The bed where it is lowest. */
    readonly bedElevation_m: number
    /** Fall of the bed towards the spill. */
    readonly bedFall_ratio: number
    /** Fall of the ground along the line, from its first vertex to its last, per metre. */
    readonly fall_ratio: number
    readonly meanGroundSlope_ratio: number
    /** Largest height of the ground over the bed's own line less its smallest: how far off level (or off its fall) it is drawn. */
    readonly groundRange_m: number
    /** Stretches on no-go ground. */
    readonly noGo: readonly { readonly from_m: number; readonly to_m: number; readonly reasons: readonly NoGoReason[] }[]
  }
  readonly catchment: {
    readonly area_m2: number
    readonly polygonArea_m2: number
    readonly cutByEdge: boolean
    /** Where more ground is wanted: sides of the raster (0 north, 2 east, 4 south, 6 west) and gaps; empty for a catchment that is whole. */
    readonly cutSides: readonly CutSide[]
    /** Share of the line's water that could have come in across a border or a void, counted as `lineCatchment` says. */
    readonly edgeShare_ratio: number
    readonly longestFlow_m: number
    /** P10, P50 and P90 over the tried terrains, with the error of heights that was tried; absent from a quick answer, null where none was tried. */
    readonly low_m2?: number | null
    readonly middle_m2?: number | null
    readonly high_m2?: number | null
    readonly runs?: number
    readonly errorTried_m?: number | null
    readonly ridge: { readonly highPoint: Point; readonly elevation_m: number; readonly length_m: number } | null
    readonly rings: readonly (readonly Point[])[]
    readonly ridgeLines: readonly (readonly Point[])[]
  }
  readonly runoff: {
    readonly curveNumber: number
    readonly curveNumberSource: string
    readonly covers: readonly CatchmentCover[]
    readonly gatheringTime: GatheringTime
  }
  /** One for each chance of the rain table and for the acceptance storm; empty without a rain table, or where the table does not reach. */
  readonly storms: readonly StormAnswer[]
  /** The storm that the ditch is judged by: rarer, and with more freeboard, where a house lies on the way of the overflow. */
  readonly acceptance: { readonly chancePerYear: number; readonly houseBelow: boolean; readonly freeboard_m: number }
  /** Inflow of the acceptance storm over time; null where it is not known. */
  readonly hydrograph: {
    readonly chancePerYear: number
    readonly step_h: number
    readonly expected_m3s: readonly number[]
    readonly wet_m3s: readonly number[]
    readonly rain: { readonly step_h: number; readonly depths_mm: readonly number[] }
    readonly peakKnown: boolean
    readonly source: string
  } | null
  /** Null when the ditch cannot be dug as it is set, or the line is too far off level for one water level. `toSill_m3`: to where the first water leaves. */
  readonly storage: {
    readonly toSill_m3: number
    readonly toCrest_m3: number
    readonly afterSediment_m3: number
    readonly sillElevation_m: number
    readonly crestElevation_m: number
    /** `toSill_m3` counted again on the ground as dug; absent when not asked for, null where that could not be. */
    readonly asDug_m3?: number | null
  } | null
  /** The ditch on the line's mean slope; null as for `storage`. */
  readonly section: LineSection | null
  /** The spill for the acceptance storm; null without a ditch, or while the peak is not known. */
  readonly spillway: Spillway | null
  readonly soaking: Soaking
  /** A storm that was measured; null without one. */
  readonly measuredStorm: MeasuredStorm | null
  /** The years of a record of daily rain; null without one, without a ditch, or while the intake is not known. */
  readonly year: YearsOfWater | null
  /** The two ends of the line compared; rank 1 is the better place to spill. */
  readonly spills: readonly SpillAnswer[]
  /** Every place along the line tried as a spill; absent from a quick answer, as what follows. */
  readonly spillChoice?: SpillChoice
  /** What would happen if the berm gave way, stake by stake; null without a ditch. */
  readonly breaches?: readonly Omit<BreachStake, 'points'>[] | null
  readonly worstBreach?: { readonly stake: number; readonly overflow: Overflow | null } | null
  readonly earth: Earth | null
  /** At each stake; crest and water null where they are not known. */
  readonly profile: readonly {
    readonly chainage_m: number
    readonly ground_m: number
    readonly bed_m: number
    readonly crest_m: number | null
    readonly water_m: number | null
  }[]
  readonly findings: readonly Finding[]
}
