import { InputError } from '../foundation/index.js'
import { checkCurveNumber, stormRunoff_mm } from './curve-number.js'

/** Wetness before a storm: I dry, III wet; average (II) is what the tables give. A band of scatter, not a forecast of soil moisture. */
export type WetnessClass = 'I' | 'III'

// Curve numbers 30 to 98 at average wetness, one a place. Source: National Engineering Handbook, Part 630, ch. 10 (2004), Table 10-1.
const TABLE_FIRST = 30
const DRY = [
  15, 16, 16, 17, 18, 18, 19, 20, 21, 21, 22, 23, 24, 25, 25, 26, 27, 28, 29, 30, 31, 31, 32, 33, 34, 35, 36, 37, 38, 39, 40, 41, 42, 43,
  44, 45, 46, 47, 48, 50, 51, 52, 53, 54, 55, 57, 58, 59, 60, 62, 63, 64, 66, 67, 68, 70, 72, 73, 75, 76, 78, 80, 81, 83, 85, 87, 89, 91,
  94,
]
const WET = [
  50, 51, 52, 53, 54, 55, 56, 57, 58, 59, 60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70, 70, 71, 72, 73, 74, 75, 75, 76, 77, 78, 78, 79, 80,
  81, 82, 82, 83, 84, 84, 85, 86, 86, 87, 88, 88, 89, 89, 90, 91, 91, 92, 92, 93, 93, 94, 94, 95, 95, 96, 96, 97, 97, 98, 98, 98, 99, 99,
  99,
]

/**
 * Curve number on dry (I) or wet (III) ground from that of average wetness, by the published table; between its whole numbers on a straight line.
 *
 * Throws  `curve-number/outside-table` below 30 or above 98; `curve-number/out-of-range`.
 * Source  USDA-NRCS National Engineering Handbook, Part 630, ch. 10 (2004), Table 10-1; the straight line is ours.
 */
export function wetnessCurveNumber(curveNumber: number, wetness: WetnessClass): number {
  checkCurveNumber(curveNumber)
  const table = wetness === 'I' ? DRY : WET
  const place = curveNumber - TABLE_FIRST
  if (place < 0 || place > table.length - 1)
    throw new InputError(
      'curve-number/outside-table',
      `Curve number ${curveNumber} lies outside the wetness table (30 to 98); use the formula, and say so, or a number within.`,
      { curveNumber },
    )
  const lower = Math.floor(place)
  const upper = Math.min(lower + 1, table.length - 1)
  return table[lower]! + (place - lower) * (table[upper]! - table[lower]!)
}

/**
 * The same by formula; it leaves the table by up to 2.45 (curve number 92, dry).
 *
 * Throws  `curve-number/out-of-range`.
 * Source  CN_I = CN / (2.281 − 0.01281 CN), CN_III = CN / (0.427 + 0.00573 CN): Mishra & Singh (2003) eq. 3.145, as quoted by USGS.
 */
export function wetnessCurveNumberByFormula(curveNumber: number, wetness: WetnessClass): number {
  checkCurveNumber(curveNumber)
  return wetness === 'I' ? curveNumber / (2.281 - 0.01281 * curveNumber) : curveNumber / (0.427 + 0.00573 * curveNumber)
}

/** The curve numbers that one ground may have when it is not known better than it is. */
export interface CurveNumberSpread {
  readonly expected: number
  /** 5 lower, not under 1, and 5 higher, at most 100: as far as two people differ who look at the same field. */
  readonly fiveLower: number
  readonly fiveHigher: number
  /** On dry and on wet ground; null where the wetness table does not reach. */
  readonly dry: number | null
  readonly wet: number | null
}

/**
 * The spread of a curve number: ± 5, and dry and wet ground. For a hydrograph, run it on each.
 *
 * Throws  `curve-number/out-of-range`.
 * Source  dry and wet: `wetnessCurveNumber`; ± 5: judgement.
 */
export function curveNumberSpread(curveNumber: number): CurveNumberSpread {
  checkCurveNumber(curveNumber)
  const reached = curveNumber >= TABLE_FIRST && curveNumber <= TABLE_FIRST + DRY.length - 1
  return {
    expected: curveNumber,
    fiveLower: Math.min(curveNumber, Math.max(1, curveNumber - 5)),
    fiveHigher: Math.min(100, curveNumber + 5),
    dry: reached ? wetnessCurveNumber(curveNumber, 'I') : null,
    wet: reached ? wetnessCurveNumber(curveNumber, 'III') : null,
  }
}

/** What one rain may run off, by the spread of its curve number. */
export interface RunoffSpread {
  readonly expected_mm: number
  readonly fiveLower_mm: number
  readonly fiveHigher_mm: number
  /** Null where the wetness table does not reach. */
  readonly dry_mm: number | null
  readonly wet_mm: number | null
  /** The least and the most of all of these. Spills are sized on the most. */
  readonly least_mm: number
  readonly most_mm: number
}

/**
 * The runoff of a rain with the spread of its curve number.
 *
 * Units   mm.
 * Laws    least ≤ expected ≤ most.
 * Throws  what `stormRunoff_mm` throws.
 * Source  `curveNumberSpread`.
 */
export function runoffSpread(rain_mm: number, curveNumber: number): RunoffSpread {
  const numbers = curveNumberSpread(curveNumber)
  const runoff = (number: number): number => stormRunoff_mm(rain_mm, number)
  const fiveLower_mm = runoff(numbers.fiveLower)
  const fiveHigher_mm = runoff(numbers.fiveHigher)
  const dry_mm = numbers.dry === null ? null : runoff(numbers.dry)
  const wet_mm = numbers.wet === null ? null : runoff(numbers.wet)
  return {
    expected_mm: runoff(curveNumber),
    fiveLower_mm,
    fiveHigher_mm,
    dry_mm,
    wet_mm,
    least_mm: Math.min(fiveLower_mm, dry_mm ?? fiveLower_mm),
    most_mm: Math.max(fiveHigher_mm, wet_mm ?? fiveHigher_mm),
  }
}
