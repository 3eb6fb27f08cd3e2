import { InputError, MM_PER_INCH, type Warning } from '../foundation/index.js'
import { exponential, naturalLog } from './logarithm.js'

/**
 * Potential retention S of a curve number (always of the 0.2 tables), in mm.
 *
 * `initialAbstractionRatio` is λ of Ia = λ S: 0.2, as every table has it, or 0.05, for which S is converted by S₀.₀₅ = 1.33 S₀.₂^1.15 (inches).
 *
 * Throws  `curve-number/out-of-range` outside 0 < CN ≤ 100; `curve-number/ratio-not-published` for any other λ.
 * Source  S = 25400/CN − 254: USDA TR-55 (1986) eq. 2-4. Conversion: Woodward et al. (2003) eq. 8, as quoted by USGS.
 */
export function retention_mm(curveNumber: number, initialAbstractionRatio = 0.2): number {
  checkCurveNumber(curveNumber)
  const tabled_mm = 25400 / curveNumber - 254
  if (initialAbstractionRatio === 0.2) return tabled_mm
  if (initialAbstractionRatio !== 0.05)
    throw new InputError(
      'curve-number/ratio-not-published',
      `Initial abstraction ${initialAbstractionRatio} S: curve numbers are published for 0.2 and can be converted to 0.05 only; use one of these.`,
      { initialAbstractionRatio },
    )
  if (tabled_mm === 0) return 0
  return MM_PER_INCH * 1.33 * exponential(1.15 * naturalLog(tabled_mm / MM_PER_INCH))
}

/**
 * The curve number for which S is the retention at λ = 0.05: 100 / (1.879 (100/CN − 1)^1.15 + 1). To show, never to put back into `stormRunoff_mm`.
 *
 * Throws  `curve-number/out-of-range`.
 * Source  Woodward et al. (2003); Hawkins et al.
 */
export function curveNumberAtRatio005(curveNumber: number): number {
  checkCurveNumber(curveNumber)
  const x = 100 / curveNumber - 1
  return x === 0 ? 100 : 100 / (1.879 * exponential(1.15 * naturalLog(x)) + 1)
}

/**
 * Depth of storm runoff from a depth of rain. It knows nothing of time: for the runoff within a storm apply it to the rain so far, then difference.
 *
 * Units   both depths in mm over the same area; `curveNumber` of the 0.2 tables, 0 < CN ≤ 100; `initialAbstractionRatio` 0.2 (default) or 0.05.
 * Laws    0 ≤ runoff ≤ rain; none until rain exceeds λ S; more rain or a higher curve number never gives less (to the last bit);
 *         rain − runoff ≤ (1 + λ) S; curve number 100 gives all rain back.
 * Throws  `rain/negative-depth`, `rain/not-a-number`, `curve-number/out-of-range`, `curve-number/ratio-not-published`.
 * Source  USDA TR-55 (1986) eq. 2-1 to 2-4; USDA-NRCS National Engineering Handbook, Part 630, ch. 10 (2004). Limits: `runoffLimits`.
 */
export function stormRunoff_mm(rain_mm: number, curveNumber: number, initialAbstractionRatio = 0.2): number {
  checkDepth(rain_mm, 'rain')
  const retention = retention_mm(curveNumber, initialAbstractionRatio)
  const effective = rain_mm - initialAbstractionRatio * retention
  if (effective <= 0) return 0
  return effective * (effective / (effective + retention)) // the quotient is at most 1, so that runoff never exceeds rain
}

/** Runoff below which the method is "less accurate": half an inch. Source: USDA TR-55 (1986) ch. 2, limitations. */
export const LEAST_RUNOFF_mm = 0.5 * MM_PER_INCH
/** Curve number below which another method is to be used. Source: USDA TR-55 (1986) ch. 2, limitations. */
export const LEAST_CURVE_NUMBER = 40

/**
 * What the method says against its own answer, as data; empty within its limits. It is silent on snowmelt, frozen ground and high groundwater,
 * for which it was never made.
 *
 * Units   `runoff_mm` mm.
 * Throws  `curve-number/out-of-range`, `rain/negative-depth`, `rain/not-a-number`.
 * Source  USDA TR-55 (1986) ch. 2, limitations.
 */
export function runoffLimits(curveNumber: number, runoff_mm: number): readonly Warning[] {
  checkCurveNumber(curveNumber)
  checkDepth(runoff_mm, 'runoff')
  const limits: Warning[] = []
  if (runoff_mm < LEAST_RUNOFF_mm) limits.push({ code: 'runoff/small-less-accurate', details: { runoff_mm, limit_mm: LEAST_RUNOFF_mm } })
  if (curveNumber < LEAST_CURVE_NUMBER)
    limits.push({ code: 'runoff/curve-number-low', details: { curveNumber, limitCurveNumber: LEAST_CURVE_NUMBER } })
  return limits
}

/**
 * Retention S that explains a storm and its runoff, initial abstraction 0.2 S.
 *
 * Units   mm.
 * Laws    undoes `stormRunoff_mm` wherever there is runoff.
 * Throws  `runoff/none` for no runoff (any large enough retention explains it); `runoff/exceeds-rain`; `rain/negative-depth`, `rain/not-a-number`.
 * Source  S = 5 (P + 2Q − √(4Q² + 5PQ)): the runoff equation solved for S, derived.
 */
export function retentionFromStorm_mm(rain_mm: number, runoff_mm: number): number {
  checkDepth(rain_mm, 'rain')
  checkDepth(runoff_mm, 'runoff')
  if (runoff_mm > rain_mm)
    throw new InputError(
      'runoff/exceeds-rain',
      `Runoff ${runoff_mm} mm exceeds its rain ${rain_mm} mm; check the gauge and the area of the catchment.`,
      { rain_mm, runoff_mm },
    )
  if (runoff_mm === 0)
    throw new InputError(
      'runoff/none',
      `A storm of ${rain_mm} mm without runoff says only that the retention is large; take one with runoff.`,
      {
        rain_mm,
      },
    )
  return 5 * (rain_mm + 2 * runoff_mm - Math.sqrt(4 * runoff_mm * runoff_mm + 5 * rain_mm * runoff_mm))
}

/** Curve number of a retention: 25400 / (S + 254). Units: mm, at initial abstraction 0.2 S. */
export const curveNumberOfRetention = (retention: number): number => 25400 / (retention + 254)

/** Refuses a number that is no curve number. Throws `curve-number/out-of-range`. */
export function checkCurveNumber(curveNumber: number): void {
  if (!(curveNumber > 0 && curveNumber <= 100))
    throw new InputError(
      'curve-number/out-of-range',
      `Curve number ${curveNumber}: it lies above 0 (all rain kept) and up to 100 (all rain runs off).`,
      { curveNumber },
    )
}

function checkDepth(depth_mm: number, name: 'rain' | 'runoff'): void {
  if (!Number.isFinite(depth_mm))
    throw new InputError('rain/not-a-number', `The depth of ${name} is ${depth_mm}; give a finite depth in mm.`, { name, depth_mm })
  if (depth_mm < 0)
    throw new InputError('rain/negative-depth', `The depth of ${name} is ${depth_mm} mm; a depth of water is 0 or more.`, {
      name,
      depth_mm,
    })
}
