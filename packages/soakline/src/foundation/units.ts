/** Exact lengths in metres. International foot: 1959 agreement. US survey foot: 1200/3937 m, kept apart since 2 ppm miss a stake. */
export const METRES_PER = { m: 1, ft: 0.3048, ftUS: 1200 / 3937 } as const
/** A unit of length that `METRES_PER` converts. */
export type LengthUnit = keyof typeof METRES_PER

/** The international acre: 43 560 square feet of 0.3048 m, exact. */
export const M2_PER_ACRE = 4046.8564224
/** Exact. */
export const M2_PER_HECTARE = 10_000
/** Exact. */
export const MM_PER_INCH = 25.4
/** 231 cubic inches, exact. */
export const M3_PER_US_GALLON = 0.003785411784
/** 0.3048³, exact. */
export const M3_PER_CUBIC_FOOT = 0.3048 ** 3

/** Runoff volume of a depth of water over an area. Units: mm, m² → m³. */
export const volume_m3 = (depth_mm: number, area_m2: number): number => (depth_mm * area_m2) / 1000
