import type { Point } from '../raster/index.js'
import type { SiteFeature } from './feature.js'
import { FLOW_DEPTH_m } from './near-building.js'
import type { Overflow } from './overflow.js'
import { SPILL_REASONS, type SpillFacts, type SpillReasonCode, spillReasonsOf } from './spill-reasons.js'

/** Points of the compass by which an end of a line is told. */
export const HEADINGS = ['north', 'north-east', 'east', 'south-east', 'south', 'south-west', 'west', 'north-west'] as const
/** One of `HEADINGS`. */
export type Heading = (typeof HEADINGS)[number]

/** How the water of a line would leave it at one end. */
export interface LineSpill {
  readonly at: Point
  /** Which end it is, seen from the other one. */
  readonly heading: Heading
  readonly endsIn: Overflow['endsIn']
  readonly way_m: number
  readonly nearestBuilding_m: number | null
  readonly exitSlope_ratio: number
  readonly reasons: readonly SpillReasonCode[]
  /** False where something forbids to spill there. */
  readonly offered: boolean
  /** 1 where nothing speaks against it, less for each thing that does. */
  readonly ease_ratio: number
}

/**
 * Judges the overflow from one end of a line by what is known before anything is dug: `spillReasonsOf` without flow, sill and berm.
 *
 * A way that passes a building nearer than the clearance is not offered either. The ease is 100 / (100 + the weights of all that speaks against it).
 * @param from  the line's other end
 */
export function judgedSpill(
  overflow: Overflow,
  features: readonly SiteFeature[],
  from: Point,
  limits: { readonly clearance_m: number; readonly elevationError_m: number | null; readonly cell_m: number },
): LineSpill {
  const facts: SpillFacts = {
    overflow,
    sill: 'undisturbed',
    flowBeside: () => ({ chainage_m: 0, fromWay_m: 0, depth_m: FLOW_DEPTH_m, wetsIt: false }),
    exit: null,
    spreader: { rule: 'hathaway-hunt-grass', length_m: 0, longerThanPublished: false, chosen: true, source: 'not reckoned yet' },
    runsBack: false,
    lowerDitches: 0,
    fillReceives: false,
  }
  const { clearance_m, elevationError_m, cell_m } = limits
  // Whether the ground at the sill is undisturbed nobody has looked at yet.
  const reasons = spillReasonsOf(facts, features, cell_m, { buildingClearance_m: clearance_m, elevationError_m }).filter(
    ({ code }) => code !== 'undisturbed-ground',
  )
  const against = reasons.reduce((sum, { code, side }) => (side === 'against' ? sum + SPILL_REASONS[code].weight : sum), 0)
  return {
    at: overflow.from,
    heading: headingOf(from, overflow.from),
    endsIn: overflow.endsIn,
    way_m: overflow.length_m,
    nearestBuilding_m: overflow.buildings[0]?.distance_m ?? null,
    exitSlope_ratio: overflow.exitSlope_ratio,
    reasons: reasons.map(({ code }) => code),
    offered: !reasons.some(({ code, side }) => side === 'forbids' || code === 'passes-near-building'),
    ease_ratio: 100 / (100 + against),
  }
}

/** The point of the compass in which a place lies from another. */
function headingOf([x0, y0]: Point, [x1, y1]: Point): Heading {
  const [east, north] = [x1 - x0, y1 - y0]
  const [e, n] = [Math.abs(east), Math.abs(north)]
  const eighth = Math.SQRT2 - 1
  if (e < eighth * n) return north > 0 ? 'north' : 'south'
  if (n < eighth * e) return east > 0 ? 'east' : 'west'
  return north > 0 ? (east > 0 ? 'north-east' : 'north-west') : east > 0 ? 'south-east' : 'south-west'
}
