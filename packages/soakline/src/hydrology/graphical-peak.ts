import { M2_PER_ACRE, M3_PER_CUBIC_FOOT, MM_PER_INCH } from '../foundation/index.js'
import { LEAST_CURVE_NUMBER, retention_mm, stormRunoff_mm } from './curve-number.js'
import { LONGEST_BURST_h } from './hyetograph.js'
import { naturalLog } from './logarithm.js'
import { type Limited, outsideRange, refuseNegative, refuseUnlessPositive, withinLimits } from './method-limits.js'
import { power } from './power.js'
import type { ScsType } from './scs-storm.js'

/** Coefficients of log₁₀ qu = c0 + c1 log₁₀ Tc + c2 (log₁₀ Tc)², with qu in cubic feet per second, square mile and inch. */
export interface GraphicalRow {
  /** Initial abstraction over rain. */
  readonly abstraction_ratio: number
  readonly c0: number
  readonly c1: number
  readonly c2: number
}

const rows = (all: readonly (readonly [abstraction_ratio: number, c0: number, c1: number, c2: number])[]): readonly GraphicalRow[] =>
  all.map(([abstraction_ratio, c0, c1, c2]) => ({ abstraction_ratio, c0, c1, c2 }))

/** The coefficients by storm type. Source: USDA TR-55 (1986) App. F, Table F-1; the same in FHWA HEC-22, 3rd ed. (2009), Table 3-7. */
export const GRAPHICAL_ROWS: Readonly<Record<ScsType, readonly GraphicalRow[]>> = {
  I: rows([
    [0.1, 2.3055, -0.51429, -0.1175],
    [0.2, 2.23537, -0.50387, -0.08929],
    [0.25, 2.18219, -0.48488, -0.06589],
    [0.3, 2.10624, -0.45695, -0.02835],
    [0.35, 2.00303, -0.40769, 0.01983],
    [0.4, 1.87733, -0.32274, 0.05754],
    [0.45, 1.76312, -0.15644, 0.00453],
    [0.5, 1.67889, -0.0693, 0],
  ]),
  IA: rows([
    [0.1, 2.0325, -0.31583, -0.13748],
    [0.2, 1.91978, -0.28215, -0.0702],
    [0.25, 1.83842, -0.25543, -0.02597],
    [0.3, 1.72657, -0.19826, 0.02633],
    [0.5, 1.63417, -0.091, 0],
  ]),
  II: rows([
    [0.1, 2.55323, -0.61512, -0.16403],
    [0.3, 2.46532, -0.62257, -0.11657],
    [0.35, 2.41896, -0.61594, -0.0882],
    [0.4, 2.36409, -0.59857, -0.05621],
    [0.45, 2.29238, -0.57005, -0.02281],
    [0.5, 2.20282, -0.51599, -0.01259],
  ]),
  III: rows([
    [0.1, 2.47317, -0.51848, -0.17083],
    [0.3, 2.39628, -0.51202, -0.13245],
    [0.35, 2.35477, -0.49735, -0.11985],
    [0.4, 2.30726, -0.46541, -0.11094],
    [0.45, 2.24876, -0.41314, -0.11508],
    [0.5, 2.17772, -0.36803, -0.09525],
  ]),
}

/** From cubic feet per second, square mile and inch to m³/s per km² and mm. */
export const PER_KM2_MM = M3_PER_CUBIC_FOOT / ((640 * M2_PER_ACRE) / 1e6) / MM_PER_INCH

/** Share of a catchment that is pond and swamp, and what it leaves of the peak. Source: USDA TR-55 (1986) Table 4-2. */
export const POND_FACTORS: readonly (readonly [pond_ratio: number, factor: number])[] = [
  [0, 1],
  [0.002, 0.97],
  [0.01, 0.87],
  [0.03, 0.75],
  [0.05, 0.72],
]

/** What ponds and swamps spread through the catchment leave of the peak; between the table's rows on a straight line (ours). NaN over 5 %. */
export function pondFactor(pond_ratio: number): number {
  refuseNegative('peak/bad-measure', { pond_ratio }, 'Five per cent is 0.05.')
  const after = POND_FACTORS.findIndex(([share]) => share >= pond_ratio)
  if (after < 0) return NaN
  const [share1, factor1] = POND_FACTORS[after]!
  if (after === 0) return factor1
  const [share0, factor0] = POND_FACTORS[after - 1]!
  return factor0 + ((pond_ratio - share0) / (share1 - share0)) * (factor1 - factor0)
}

/** The coefficients at an initial abstraction, on straight lines between the rows; outside 0.1–0.5 those of the nearer end, as TR-55 says to do. */
export function graphicalCoefficients(type: ScsType, abstraction_ratio: number): GraphicalRow {
  const table = GRAPHICAL_ROWS[type]
  const after = table.findIndex(r => r.abstraction_ratio >= abstraction_ratio)
  if (after <= 0) return table.at(after === 0 ? 0 : -1)!
  const a = table[after - 1]!
  const b = table[after]!
  const along = (abstraction_ratio - a.abstraction_ratio) / (b.abstraction_ratio - a.abstraction_ratio)
  const between = (from: number, to: number): number => from + along * (to - from)
  return { abstraction_ratio, c0: between(a.c0, b.c0), c1: between(a.c1, b.c1), c2: between(a.c2, b.c2) }
}

/** Unit peak by a row of coefficients. Units: h → cubic feet per second, square mile and inch. */
export function unitPeak_csmIn({ c0, c1, c2 }: Omit<GraphicalRow, 'abstraction_ratio'>, timeOfConcentration_h: number): number {
  const log = naturalLog(timeOfConcentration_h) / Math.LN10
  return power(10, c0 + (c1 + c2 * log) * log)
}

/** A catchment and its 24-hour storm. */
export interface GraphicalStorm {
  readonly type: ScsType
  readonly area_m2: number
  readonly curveNumber: number
  readonly rain24h_mm: number
  readonly timeOfConcentration_h: number
  /** Shortest duration of the place's rain table at this chance: over 15 min the peak stays unknown. */
  readonly shortestDuration_h: number
  /** Share of the catchment that is pond and swamp, off the way of the water. */
  readonly pond_ratio: number
}

/**
 * Peak by the graphical method. It draws the peak from a 24-hour depth and a national pattern: a second opinion on the hydrograph, not its stand-in.
 *
 * Units   m³/s.
 * Throws  `peak/bad-measure`, what `stormRunoff_mm` throws.
 * Source  qp = qu A Q Fp: USDA TR-55 (1986) ch. 4 and App. F. Limits: curve number from 40, time of concentration 0.1 to 10 h, ponds up to 5 %.
 *         Initial abstraction outside 0.1–0.5 of the rain takes the nearer end and loses accuracy, with a remark.
 */
export function graphicalPeak(storm: GraphicalStorm): Limited<'m3/s'> {
  const { type, area_m2, curveNumber, rain24h_mm, timeOfConcentration_h, shortestDuration_h, pond_ratio } = storm
  refuseUnlessPositive('peak/bad-measure', { area_m2, rain24h_mm, timeOfConcentration_h, shortestDuration_h }, 'Give m², mm and h.')
  const runoff_mm = stormRunoff_mm(rain24h_mm, curveNumber)
  const abstraction_ratio = (0.2 * retention_mm(curveNumber)) / rain24h_mm
  const factor = pondFactor(pond_ratio)
  const limits = [
    outsideRange('peak/no-short-burst', 'shortestDuration_h', shortestDuration_h, 0, LONGEST_BURST_h),
    outsideRange('peak/curve-number-outside-graphical', 'curveNumber', curveNumber, LEAST_CURVE_NUMBER, 100),
    outsideRange('peak/time-outside-graphical', 'timeOfConcentration_h', timeOfConcentration_h, 0.1, 10),
    outsideRange('peak/ponds-outside-graphical', 'pond_ratio', pond_ratio, 0, 0.05),
  ]
  const peak = (): number =>
    unitPeak_csmIn(graphicalCoefficients(type, abstraction_ratio), timeOfConcentration_h) * PER_KM2_MM * area_m2 * 1e-6 * runoff_mm * factor
  return withinLimits('m3/s', limits, peak, [outsideRange('peak/abstraction-clamped', 'abstraction_ratio', abstraction_ratio, 0.1, 0.5)])
}
