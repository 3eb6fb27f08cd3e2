import type { LabourDays } from '../earthworks/index.js'
import type { Point } from '../raster/index.js'
import type { LineSpill } from './candidate-spill.js'
import type { NoGoStretch } from './no-go-along.js'
import type { VerticalIntervals } from './vertical-interval.js'

/** The storm by which lines are ranked. */
export interface StatedStorm {
  readonly runoff_mm: number
  /** Rain of that storm; null when only the runoff is stated. */
  readonly rain_mm: number | null
  /** True when nobody chose it. */
  readonly assumed: boolean
}

/** The storm that stands in where none is stated. Source: judgement: about an inch of runoff. */
export const ASSUMED_STORM: StatedStorm = { runoff_mm: 25, rain_mm: null, assumed: true }

/** What may be said of a line, in the order in which it is said. */
export const CANDIDATE_REASONS = [
  'line/catches-and-keeps',
  'line/spills',
  'line/catchment-cut-by-edge',
  'line/other-end-forbidden',
  'line/on-caution',
  'line/below-another',
  'line/part-in-hollow',
  'line/tight-bends',
] as const
/** One of `CANDIDATE_REASONS`. */
export type CandidateReasonCode = (typeof CANDIDATE_REASONS)[number]

/** What is said of a line: a code of `CANDIDATE_REASONS` and the values that its sentence needs. */
export interface CandidateReason {
  readonly code: CandidateReasonCode
  readonly details: Readonly<Record<string, number | string | boolean | null>>
}

/** A line worked out in full. It runs from its closed end to its spill. */
export interface WorkedLine {
  readonly path: readonly Point[]
  /** Its level at its first vertex. */
  readonly elevation_m: number
  /** Fall of its level along it, towards the spill. */
  readonly fall_ratio: number
  readonly length_m: number
  readonly slope_ratio: number
  /** "At least" where `cutByEdge`. */
  readonly catchment_m2: number
  readonly cutByEdge: boolean
  readonly edgeShare_ratio: number
  /** True where it lies in a hollow deeper than a ditch, whose overflow it does not catch. */
  readonly partInHollow: boolean
  readonly runoff_m3: number
  readonly storage_m3: number
  readonly kept_m3: number
  readonly cut_m3: number
  readonly labour: LabourDays
  /** What is kept for each person-day: the slow end of the range, and a day for setting out, sill and ends. */
  readonly keptPerDay_m3: number
  /** `keptPerDay_m3` times the ease of the spill: the rank goes by it. */
  readonly score: number
  readonly spill: LineSpill
  readonly otherEnd: LineSpill
  /** How far the ground along it leaves its level at most. */
  readonly offLevel_m: number
  readonly tightBends: number
  /** Distance up and down the slope at which the next line may lie: what the rules say, and where one ditch holds all the runoff between two. */
  readonly spacing: VerticalIntervals
  readonly storageSpacing_m: number
  readonly cautions: readonly NoGoStretch[]
}

/** A possible line. */
export interface Candidate extends WorkedLine {
  /** 1 is the best. */
  readonly rank: number
  readonly reasons: readonly CandidateReason[]
}

/** What is said of a line; `above` are the ranks of lines whose overflow comes to it. */
export function reasonsFor(line: WorkedLine, storm: StatedStorm, above: readonly number[]): CandidateReason[] {
  const list: CandidateReason[] = [
    {
      code: 'line/catches-and-keeps',
      details: {
        catchment_m2: line.catchment_m2,
        runoff_mm: storm.runoff_mm,
        runoff_m3: line.runoff_m3,
        kept_m3: line.kept_m3,
        fills: line.runoff_m3 > line.storage_m3,
        length_m: line.length_m,
        cut_m3: line.cut_m3,
        low_days: line.labour.low_days,
        high_days: line.labour.high_days,
      },
    },
    {
      code: 'line/spills',
      details: {
        heading: line.spill.heading,
        endsIn: line.spill.endsIn,
        nearestBuilding_m: line.spill.nearestBuilding_m,
        reasons: line.spill.reasons.join(','),
      },
    },
  ]
  if (line.cutByEdge) list.push({ code: 'line/catchment-cut-by-edge', details: { edgeShare_ratio: line.edgeShare_ratio } })
  if (!line.otherEnd.offered)
    list.push({
      code: 'line/other-end-forbidden',
      details: { heading: line.otherEnd.heading, reasons: line.otherEnd.reasons.join(',') },
    })
  if (line.cautions.length > 0)
    list.push({
      code: 'line/on-caution',
      details: {
        length_m: line.cautions.reduce((sum, c) => sum + c.to_m - c.from_m, 0),
        reasons: [...new Set(line.cautions.flatMap(c => c.reasons))].join(','),
      },
    })
  if (above.length > 0) list.push({ code: 'line/below-another', details: { ranks: above.join(',') } })
  if (line.partInHollow) list.push({ code: 'line/part-in-hollow', details: {} })
  if (line.tightBends > 0) list.push({ code: 'line/tight-bends', details: { bends: line.tightBends } })
  return list
}
