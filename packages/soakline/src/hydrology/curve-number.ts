import { InputError, MM_PER_INCH, type Sourced, type Warning } from '../foundation/index.js'
import { exponential, naturalLog } from './logarithm.js'

/** How readily a soil takes water: A most, D least. */
export type HydrologicSoilGroup = 'A' | 'B' | 'C' | 'D'

/** How well the ground is covered. Pasture: poor under 50 % cover, fair 50–75 %, good over 75 %. Woods: poor litter destroyed, fair grazed, good protected. */
export type CoverCondition = 'poor' | 'fair' | 'good'

/** One line of the table: a cover in one condition, its curve number for each soil group at average wetness, initial abstraction 0.2 S. */
export interface CoverRow {
  readonly cover: string
  /** null where the table knows one condition only. */
  readonly condition: CoverCondition | null
  readonly curveNumbers: Readonly<Record<HydrologicSoilGroup, number>>
  readonly source: string
}

/** A share of a catchment. Areas may be in any unit, the same one throughout. */
export interface CoverPart {
  readonly area_m2: number
  readonly curveNumber: number
}

const row = (table: string, cover: string, condition: CoverCondition | null, A: number, B: number, C: number, D: number): CoverRow => ({
  cover,
  condition,
  curveNumbers: { A, B, C, D },
  source: `USDA TR-55 (1986) Table 2-2${table}`,
})

/**
 * Curve numbers by cover, condition and soil group. The two 30s (brush and woods, good, group A) are the floor that the table keeps:
 * the true number is lower, so the runoff given with them is on the high side.
 *
 * Source  USDA TR-55 (1986) Table 2-2a–d (numbers read; which of the sub-tables a cover stands in is from memory).
 */
export const COVER_ROWS: readonly CoverRow[] = [
  row('c', 'pasture', 'poor', 68, 79, 86, 89),
  row('c', 'pasture', 'fair', 49, 69, 79, 84),
  row('c', 'pasture', 'good', 39, 61, 74, 80),
  row('c', 'meadow', null, 30, 58, 71, 78),
  row('c', 'brush', 'poor', 48, 67, 77, 83),
  row('c', 'brush', 'fair', 35, 56, 70, 77),
  row('c', 'brush', 'good', 30, 48, 65, 73),
  row('c', 'woods-grass', 'poor', 57, 73, 82, 86),
  row('c', 'woods-grass', 'fair', 43, 65, 76, 82),
  row('c', 'woods-grass', 'good', 32, 58, 72, 79),
  row('c', 'woods', 'poor', 45, 66, 77, 83),
  row('c', 'woods', 'fair', 36, 60, 73, 79),
  row('c', 'woods', 'good', 30, 55, 70, 77),
  row('c', 'farmstead', null, 59, 74, 82, 86),
  row('b', 'fallow-bare', null, 77, 86, 91, 94),
  row('a', 'newly-graded', null, 77, 86, 91, 94),
  row('b', 'row-crop-straight', 'poor', 72, 81, 88, 91),
  row('b', 'row-crop-straight', 'good', 67, 78, 85, 89),
  row('b', 'row-crop-contoured', 'poor', 70, 79, 84, 88),
  row('b', 'row-crop-contoured', 'good', 65, 75, 82, 86),
  row('b', 'row-crop-contoured-terraced', 'poor', 66, 74, 80, 82),
  row('b', 'row-crop-contoured-terraced', 'good', 62, 71, 78, 81),
  row('b', 'small-grain-straight', 'poor', 65, 76, 84, 88),
  row('b', 'small-grain-straight', 'good', 63, 75, 83, 87),
  row('b', 'small-grain-contoured', 'poor', 63, 74, 82, 85),
  row('b', 'small-grain-contoured', 'good', 61, 73, 81, 84),
  row('b', 'rotation-meadow-straight', 'poor', 66, 77, 85, 89),
  row('b', 'rotation-meadow-straight', 'good', 58, 72, 81, 85),
  row('b', 'rotation-meadow-contoured', 'poor', 64, 75, 83, 85),
  row('b', 'rotation-meadow-contoured', 'good', 55, 69, 78, 83),
  row('a', 'lawn', 'poor', 68, 79, 86, 89),
  row('a', 'lawn', 'fair', 49, 69, 79, 84),
  row('a', 'lawn', 'good', 39, 61, 74, 80),
  row('a', 'gravel-road', null, 76, 85, 89, 91),
  row('a', 'dirt-road', null, 72, 82, 87, 89),
  row('a', 'impervious', null, 98, 98, 98, 98),
]

/** The cover codes, each once, in the order of the table. */
export const COVERS: readonly string[] = [...new Set(COVER_ROWS.map(r => r.cover))]

/**
 * The curve number of a cover on a soil group, with its source. Where the table knows a cover in one condition only, `condition` is left unread.
 *
 * Throws  `cover/unknown`; `cover/condition-missing` when the cover is tabled by condition and the one given is null or not among them;
 *         `cover/soil-group-unknown`.
 * Source  USDA TR-55 (1986) Table 2-2a–d.
 */
export function curveNumber(cover: string, condition: CoverCondition | null, group: HydrologicSoilGroup): Sourced<'1'> {
  const rows = COVER_ROWS.filter(r => r.cover === cover)
  if (rows.length === 0)
    throw new InputError('cover/unknown', `No curve number is tabled for the cover "${cover}"; take one of ${COVERS.join(', ')}.`, {
      cover,
    })
  const found = rows.find(r => r.condition === null || r.condition === condition)
  if (found === undefined) {
    const conditions = rows.map(r => r.condition).join(', ')
    throw new InputError(
      'cover/condition-missing',
      `The curve number of ${cover} depends on its condition, and "${condition ?? 'none'}" is not tabled; say one of ${conditions}.`,
      { cover, condition, conditions },
    )
  }
  // A code from a file may be anything, whatever the type says.
  if (!Object.hasOwn(found.curveNumbers, group))
    throw new InputError('cover/soil-group-unknown', `The soil group is "${group}"; curve numbers are tabled for A, B, C and D.`, { group })
  const words = found.condition === null ? cover : `${cover}, ${found.condition}`
  return { value: found.curveNumbers[group], unit: '1', source: `${found.source}: ${words}, soil group ${group}`, known: 'published' }
}

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

function checkCurveNumber(curveNumber: number): void {
  if (!(curveNumber > 0 && curveNumber <= 100))
    throw new InputError(
      'curve-number/out-of-range',
      `Curve number ${curveNumber}: it lies above 0 (all rain kept) and up to 100 (all rain runs off).`,
      { curveNumber },
    )
}

function checkShare(share: number, name: string): void {
  if (!(share >= 0 && share <= 1))
    throw new InputError('curve-number/share-out-of-range', `${name} is ${share}; a share lies between 0 and 1 (30 % is 0.3).`, {
      name,
      share,
    })
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
