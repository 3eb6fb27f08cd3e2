import type { Point } from '../raster/index.js'
import type { Overflow } from './overflow.js'

/** Points of the compass by which an end of a line is told. */
export const HEADINGS = ['north', 'north-east', 'east', 'south-east', 'south', 'south-west', 'west', 'north-west'] as const
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
  readonly reasons: readonly string[]
  /** False where something forbids to spill there. */
  readonly offered: boolean
  /** 1 where nothing speaks against it, less for each thing that does. */
  readonly ease_ratio: number
}

/** What forbids a spill. */
const FORBIDS: readonly string[] = ['reaches-building', 'passes-near-building', 'near-septic', 'near-well', 'crosses-boundary']

/** What each thing leaves of the ease. Source: judgement. */
const EASE: Readonly<Record<string, number>> = {
  'ends-in-stream': 0.9,
  'leaves-raster': 0.8,
  'crosses-wet-ground': 0.8,
  'crosses-track': 0.7,
  'ends-in-hollow': 0.6,
  'steep-exit': 0.6,
  'high-beside-building': 0.5,
}

/** Steeper ground at the exit scours. Source: judgement, as in the assessment. */
const STEEP_EXIT_ratio = 0.2
/** Within this distance height counts as well: flow of 0.15 m and twice a height error of 0.5 m below the floor. Source: judgement. */
const HEIGHT_MATTERS_m = 50
const LEAST_DROP_m = 1.15

/**
 * Judges the overflow from one end of a line.
 *
 * @param from  the line's other end
 */
export function judgedSpill(overflow: Overflow, from: Point, clearance_m: number, cell_m: number): LineSpill {
  const { buildings, crosses, endsIn, exitSlope_ratio } = overflow
  const nearest = buildings[0]
  const reasons: string[] = []
  if (nearest && nearest.distance_m <= cell_m) reasons.push('reaches-building')
  else if (nearest && nearest.distance_m < clearance_m) reasons.push('passes-near-building')
  else if (nearest) reasons.push('far-from-buildings')
  const isHigh = buildings.some(
    b => b.distance_m <= HEIGHT_MATTERS_m && b.heightBelowFloor_m !== null && b.heightBelowFloor_m < LEAST_DROP_m,
  )
  if (isHigh && !FORBIDS.includes(reasons[0]!)) reasons.push('high-beside-building')
  if (endsIn === 'boundary' || crosses.includes('boundary')) reasons.push('crosses-boundary')
  if (crosses.includes('septic')) reasons.push('near-septic')
  if (crosses.includes('well')) reasons.push('near-well')
  if (endsIn === 'forest' || endsIn === 'stream' || endsIn === 'hollow') reasons.push(`ends-in-${endsIn}`)
  if (endsIn === 'edge' || endsIn === 'void') reasons.push('leaves-raster')
  if (crosses.includes('track')) reasons.push('crosses-track')
  if (crosses.includes('wet')) reasons.push('crosses-wet-ground')
  reasons.push(exitSlope_ratio > STEEP_EXIT_ratio ? 'steep-exit' : 'gentle-exit')
  return {
    at: overflow.from,
    heading: headingOf(from, overflow.from),
    endsIn,
    way_m: overflow.length_m,
    nearestBuilding_m: nearest?.distance_m ?? null,
    exitSlope_ratio,
    reasons,
    offered: !reasons.some(reason => FORBIDS.includes(reason)),
    ease_ratio: reasons.reduce((ease, reason) => ease * (EASE[reason] ?? 1), 1),
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
