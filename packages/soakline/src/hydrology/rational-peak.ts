import { InputError } from '../foundation/index.js'
import { LONGEST_BURST_h } from './hyetograph.js'
import { type Limited, outsideRange, refuseUnlessPositive, withinLimits } from './method-limits.js'
import { type RainTable, rainDepth_mm, shortestDuration_h } from './rainfall.js'

/** How the ground lies: flat 0–5 %, rolling 5–10 %, hilly 10–30 %. */
export type Relief = 'flat' | 'rolling' | 'hilly'
/** How heavy the soil is. */
export type SoilWeight = 'sandy-loam' | 'clay-or-silt-loam' | 'tight-clay'

/** Runoff coefficients of one cover on one relief. */
export interface RationalRow {
  readonly cover: 'woodland' | 'pasture' | 'cultivated'
  readonly relief: Relief
  readonly coefficients: Readonly<Record<SoilWeight, number>>
}

const row = (cover: RationalRow['cover'], relief: Relief, sandy: number, loam: number, clay: number): RationalRow => ({
  cover,
  relief,
  coefficients: { 'sandy-loam': sandy, 'clay-or-silt-loam': loam, 'tight-clay': clay },
})

/** Rural runoff coefficients. Source: USDA-NRCS Hydrology Training Series, Module 206D. */
export const RATIONAL_ROWS: readonly RationalRow[] = [
  row('woodland', 'flat', 0.1, 0.3, 0.4),
  row('woodland', 'rolling', 0.25, 0.35, 0.5),
  row('woodland', 'hilly', 0.3, 0.5, 0.6),
  row('pasture', 'flat', 0.1, 0.3, 0.4),
  row('pasture', 'rolling', 0.16, 0.36, 0.55),
  row('pasture', 'hilly', 0.22, 0.42, 0.6),
  row('cultivated', 'flat', 0.3, 0.5, 0.6),
  row('cultivated', 'rolling', 0.4, 0.6, 0.7),
  row('cultivated', 'hilly', 0.52, 0.72, 0.82),
]

/** Largest catchment of the rational method: 80 ha. Source: FHWA HEC-22, 3rd ed. (2009), §3.2.2. */
export const LARGEST_RATIONAL_m2 = 800_000

/**
 * Peak by the rational formula: a quick look. It gives no volume, and none may be made of it: storage sized by it is misuse.
 *
 * Units   `coefficient` 0–1 of `RATIONAL_ROWS`; mm/h for a duration equal to the time of concentration; m² → m³/s.
 * Throws  `peak/bad-measure`, `peak/bad-coefficient`.
 * Source  Q = C i A / 360 (mm/h, ha): FHWA HEC-22, 3rd ed. (2009), eq. 3-1; limit `LARGEST_RATIONAL_m2`.
 */
export function rationalPeak(coefficient: number, intensity_mmh: number, area_m2: number): Limited<'m3/s'> {
  refuseUnlessPositive('peak/bad-measure', { intensity_mmh, area_m2 }, 'Give mm/h and m².')
  if (!(coefficient >= 0 && coefficient <= 1))
    throw new InputError('peak/bad-coefficient', `A runoff coefficient of ${coefficient}; it lies between 0 and 1.`, { coefficient })
  return withinLimits(
    'm3/s',
    [outsideRange('peak/area-outside-rational', 'area_m2', area_m2, 0, LARGEST_RATIONAL_m2)],
    () => (coefficient * intensity_mmh * area_m2) / 3.6e6,
  )
}

/**
 * The same with the intensity of the place's own rain table for the time of concentration, but not for less than the table's shortest duration.
 *
 * Units   h, chance per year, m² → m³/s.
 * Laws    unknown, whatever the catchment, where the table has no burst of 15 min or less for that chance.
 * Throws  `peak/bad-measure`, `peak/bad-coefficient`; what `rainDepth_mm` throws.
 */
export function rationalPeakOfTable(
  table: RainTable,
  chancePerYear: number,
  timeOfConcentration_h: number,
  coefficient: number,
  area_m2: number,
): Limited<'m3/s'> {
  refuseUnlessPositive('peak/bad-measure', { timeOfConcentration_h }, 'Give h.')
  const shortest_h = shortestDuration_h(table, chancePerYear)
  const duration_h = Math.max(timeOfConcentration_h, shortest_h)
  const { value, unit, outsideLimits, remarks } = rationalPeak(
    coefficient,
    rainDepth_mm(table, duration_h, chancePerYear) / duration_h,
    area_m2,
  )
  const burst = outsideRange('peak/no-short-burst', 'shortestDuration_h', shortest_h, 0, LONGEST_BURST_h)
  return {
    value: burst === null ? value : null,
    unit,
    outsideLimits: burst === null ? outsideLimits : [...outsideLimits, burst],
    remarks:
      duration_h > timeOfConcentration_h
        ? [...remarks, { code: 'peak/shortest-duration-taken', details: { timeOfConcentration_h, duration_h } }]
        : remarks,
  }
}
