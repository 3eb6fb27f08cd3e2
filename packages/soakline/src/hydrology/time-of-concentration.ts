import { InputError, M2_PER_ACRE, METRES_PER, MM_PER_INCH, type Warning } from '../foundation/index.js'
import { retention_mm } from './curve-number.js'
import { type Limited, outsideRange, refuseUnlessPositive, withinLimits } from './method-limits.js'
import { power } from './power.js'
import { type FlowStretch, stretchTime } from './travel-time.js'

/** Shortest time of concentration that is used: 0.1 h. Nearly every hillside of a farm comes out under 0.25 h. Source: USDA TR-55 (1986) ch. 3. */
export const LEAST_TIME_h = 0.1

/** A time not under the least that is used. Units: h. Throws `travel/bad-measure`. Source: USDA TR-55 (1986) ch. 3. */
export function atLeastTime_h(time_h: number): number {
  refuseUnlessPositive('travel/bad-measure', { time_h }, 'Give hours.')
  return Math.max(time_h, LEAST_TIME_h)
}

const raised = (time_h: number): Warning | null =>
  time_h < LEAST_TIME_h ? { code: 'travel/raised-to-least', details: { worked_h: time_h, least_h: LEAST_TIME_h } } : null

/** A method's time with the least put in where it came out shorter, and that said. */
function notUnderLeast({ value, unit, outsideLimits, remarks }: Limited<'h'>): Limited<'h'> {
  const raise = value === null ? null : raised(value)
  return raise === null
    ? { value, unit, outsideLimits, remarks }
    : { value: LEAST_TIME_h, unit, outsideLimits, remarks: [...remarks, raise] }
}

/** Time of concentration by stretches, with the time of each. */
export interface TimeByStretches extends Limited<'h'> {
  readonly stretches: readonly Limited<'h'>[]
}

/**
 * Time of concentration by the velocity method: the times along the longest way of water, sheet, shallow, course, added up.
 *
 * Units   h.
 * Laws    the sum of the stretches, raised to 0.1 h; unknown where any stretch leaves its limits.
 * Throws  `travel/no-stretches`, `travel/bad-measure`.
 * Source  USDA TR-55 (1986) ch. 3; USDA-NRCS NEH Part 630, ch. 15 (2010).
 */
export function timeByStretches(path: readonly FlowStretch[]): TimeByStretches {
  if (path.length === 0)
    throw new InputError('travel/no-stretches', 'The way of water has no stretches; give at least one, from the ridge to the line.', {})
  const stretches = path.map(stretchTime)
  const sum = stretches.reduce((hours, stretch) => hours + (stretch.value ?? 0), 0)
  const outside = stretches.flatMap(stretch => stretch.outsideLimits)
  return { ...notUnderLeast(withinLimits('h', outside, () => sum)), stretches }
}

/** A small basin as Kirpich's formula sees it. */
export interface KirpichBasin {
  /** Length of the course from the farthest point. */
  readonly length_m: number
  readonly slope_ratio: number
  /** Null when not known: its limits then go unchecked, and the remark says so. */
  readonly area_m2: number | null
}

/**
 * Time of concentration by Kirpich, for small farm basins with courses.
 *
 * Units   h.
 * Throws  `travel/bad-measure`.
 * Source  t = 0.0195 L^0.77 s^−0.385 minutes: Kirpich (1940), as usually quoted. Limits, the basins in Tennessee that it was fitted to: 1.25 to 112 acres,
 *         slopes of 3 to 10 %. All from memory, unchecked.
 */
export function kirpichTime({ length_m, slope_ratio, area_m2 }: KirpichBasin): Limited<'h'> {
  refuseUnlessPositive(
    'travel/bad-measure',
    area_m2 === null ? { length_m, slope_ratio } : { length_m, slope_ratio, area_m2 },
    'Give m and m².',
  )
  return notUnderLeast(
    withinLimits(
      'h',
      [
        outsideRange('travel/slope-outside-kirpich', 'slope_ratio', slope_ratio, 0.03, 0.1),
        area_m2 === null ? null : outsideRange('travel/area-outside-kirpich', 'area_m2', area_m2, 1.25 * M2_PER_ACRE, 112 * M2_PER_ACRE),
      ],
      () => kirpich_min(length_m, slope_ratio) / 60,
      [area_m2 === null ? { code: 'travel/area-not-checked', details: {} } : null],
    ),
  )
}

/** The formula alone, without limits or least time. Units: m, rise over run → min. Source: Kirpich (1940), as usually quoted, from memory. */
export const kirpich_min = (length_m: number, slope_ratio: number): number => 0.0195 * power(length_m, 0.77) * power(slope_ratio, -0.385)

/** A basin as the lag equation sees it. */
export interface LagBasin {
  /** Longest way of water. */
  readonly length_m: number
  readonly curveNumber: number
  /** Mean slope of the land, not of the course. */
  readonly landSlope_ratio: number
  /** Null when not known: its limits then go unchecked, and the remark says so. */
  readonly area_m2: number | null
}

/**
 * Time of concentration by the lag equation; the lag is 0.6 of it.
 *
 * Units   h.
 * Throws  `travel/bad-measure`, `curve-number/out-of-range`.
 * Source  Tc = ℓ^0.8 (S + 1)^0.7 / (1140 Y^0.5), ft, inches, per cent: USDA-NRCS NEH Part 630, ch. 15 (2010). Limits: curve number 50–95; basins of
 *         1.3 acres to 9.2 square miles, those it was fitted to.
 */
export function lagEquationTime({ length_m, curveNumber, landSlope_ratio, area_m2 }: LagBasin): Limited<'h'> {
  refuseUnlessPositive(
    'travel/bad-measure',
    area_m2 === null ? { length_m, landSlope_ratio } : { length_m, landSlope_ratio, area_m2 },
    'Give m, rise over run, and m².',
  )
  const retention_in = retention_mm(curveNumber) / MM_PER_INCH
  return notUnderLeast(
    withinLimits(
      'h',
      [
        outsideRange('travel/curve-number-outside-lag', 'curveNumber', curveNumber, 50, 95),
        area_m2 === null ? null : outsideRange('travel/area-outside-lag', 'area_m2', area_m2, 1.3 * M2_PER_ACRE, 9.2 * 640 * M2_PER_ACRE),
      ],
      () => (power(length_m / METRES_PER.ft, 0.8) * power(retention_in + 1, 0.7)) / (1140 * Math.sqrt(100 * landSlope_ratio)),
      [area_m2 === null ? { code: 'travel/area-not-checked', details: {} } : null],
    ),
  )
}

/** Lag, from the middle of the runoff to the peak, of a time of concentration. Units: h. Source: USDA-NRCS NEH Part 630, ch. 15 (2010). */
export const lag_h = (timeOfConcentration_h: number): number => 0.6 * timeOfConcentration_h
