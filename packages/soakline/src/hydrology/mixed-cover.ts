import { InputError } from '../foundation/index.js'
import { checkCurveNumber, stormRunoff_mm } from './curve-number.js'

/** A share of a catchment. Areas may be in any unit, the same one throughout. */
export interface CoverPart {
  readonly area_m2: number
  readonly curveNumber: number
}

/**
 * Curve number of several covers, weighted by area. It gives too little runoff in small storms where the covers are unlike:
 * `weightedRunoff_mm` does not.
 *
 * Throws  `curve-number/no-area`, `curve-number/out-of-range`.
 * Source  USDA TR-55 (1986) ch. 2, Example 2-1.
 */
export function compositeCurveNumber(parts: readonly CoverPart[]): number {
  return areaMean(parts, part => {
    checkCurveNumber(part.curveNumber)
    return part.curveNumber
  })
}

/**
 * Runoff of several covers together: each by its own curve number, then weighted by area.
 *
 * Throws  what `stormRunoff_mm` throws; `curve-number/no-area`.
 * Source  USDA-NRCS National Engineering Handbook, Part 630, ch. 10 (2004), Example 10-3.
 */
export function weightedRunoff_mm(rain_mm: number, parts: readonly CoverPart[], initialAbstractionRatio = 0.2): number {
  return areaMean(parts, part => stormRunoff_mm(rain_mm, part.curveNumber, initialAbstractionRatio))
}

/** Curve number of roofs, paving and open water. Source: USDA TR-55 (1986) Table 2-2a. */
const IMPERVIOUS_CURVE_NUMBER = 98

/**
 * Curve number of ground of which a share is sealed and drains straight into the drainage.
 *
 * Units   `impervious_ratio` 0–1 of the whole area.
 * Throws  `curve-number/out-of-range`, `curve-number/share-out-of-range`.
 * Source  USDA TR-55 (1986) fig. 2-3.
 */
export function connectedImperviousCurveNumber(perviousCurveNumber: number, impervious_ratio: number): number {
  checkCurveNumber(perviousCurveNumber)
  checkShare(impervious_ratio, 'impervious_ratio')
  return perviousCurveNumber + impervious_ratio * (IMPERVIOUS_CURVE_NUMBER - perviousCurveNumber)
}

/**
 * Curve number of ground of which a share is sealed, part of it shedding onto open ground first.
 *
 * Units   `impervious_ratio` 0–0.3 of the whole area; `unconnected_ratio` 0–1 of the sealed area.
 * Throws  `curve-number/too-much-impervious` from 30 % sealed on (the open ground then no longer helps: use the connected rule);
 *         `curve-number/out-of-range`, `curve-number/share-out-of-range`.
 * Source  USDA TR-55 (1986) fig. 2-4.
 */
export function unconnectedImperviousCurveNumber(perviousCurveNumber: number, impervious_ratio: number, unconnected_ratio: number): number {
  checkCurveNumber(perviousCurveNumber)
  checkShare(impervious_ratio, 'impervious_ratio')
  checkShare(unconnected_ratio, 'unconnected_ratio')
  if (impervious_ratio >= 0.3)
    throw new InputError(
      'curve-number/too-much-impervious',
      `A share of ${impervious_ratio} is sealed; the rule for roofs that shed onto open ground holds below 0.3. Count them as connected.`,
      { impervious_ratio },
    )
  return perviousCurveNumber + impervious_ratio * (IMPERVIOUS_CURVE_NUMBER - perviousCurveNumber) * (1 - 0.5 * unconnected_ratio)
}

function areaMean(parts: readonly CoverPart[], value: (part: CoverPart) => number): number {
  let area = 0
  let sum = 0
  for (const part of parts) {
    if (!(part.area_m2 >= 0 && part.area_m2 < Infinity))
      throw new InputError('curve-number/no-area', `A cover has the area ${part.area_m2}; give each a number from 0 up.`, {
        area_m2: part.area_m2,
      })
    area += part.area_m2
    sum += part.area_m2 * value(part)
  }
  if (area === 0) throw new InputError('curve-number/no-area', 'The covers have no area together, so nothing can be weighted by it.', {})
  return sum / area
}

function checkShare(share: number, name: string): void {
  if (!(share >= 0 && share <= 1))
    throw new InputError('curve-number/share-out-of-range', `${name} is ${share}; a share lies between 0 and 1 (30 % is 0.3).`, {
      name,
      share,
    })
}
