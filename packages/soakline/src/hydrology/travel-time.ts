import { METRES_PER, MM_PER_INCH, type Warning } from '../foundation/index.js'
import { type Limited, outsideRange, refuseUnlessPositive, withinLimits } from './method-limits.js'
import { power } from './power.js'

/** Roughness of ground to a thin sheet of water, far above that of a channel. */
export interface SheetSurface {
  readonly surface: string
  readonly roughness: number
}

/** Manning's n for sheet flow only. Source: USDA TR-55 (1986) Table 3-1. */
export const SHEET_SURFACES: readonly SheetSurface[] = [
  { surface: 'smooth', roughness: 0.011 },
  { surface: 'fallow-no-residue', roughness: 0.05 },
  { surface: 'cultivated-residue-up-to-20-percent', roughness: 0.06 },
  { surface: 'cultivated-residue-over-20-percent', roughness: 0.17 },
  { surface: 'short-grass-prairie', roughness: 0.15 },
  { surface: 'dense-grass', roughness: 0.24 },
  { surface: 'bermudagrass', roughness: 0.41 },
  { surface: 'range', roughness: 0.13 },
  { surface: 'woods-light-underbrush', roughness: 0.4 },
  { surface: 'woods-dense-underbrush', roughness: 0.8 },
]

/** Ground over which runoff has gathered into rills and shallow courses, and the constant of its speed. */
export interface ShallowSurface {
  readonly surface: string
  readonly speed_ms: number
}

const feet = (speed_fts: number): number => speed_fts * METRES_PER.ft

/** Speed of shallow concentrated flow on a slope of 1 (speed = constant × √slope). Source: USDA-NRCS NEH Part 630, ch. 15 (2010), Table 15-3. */
export const SHALLOW_SURFACES: readonly ShallowSurface[] = [
  { surface: 'paved-or-upland-gully', speed_ms: feet(20.328) },
  { surface: 'grassed-waterway-or-unpaved', speed_ms: feet(16.135) },
  { surface: 'nearly-bare', speed_ms: feet(9.965) },
  { surface: 'row-crop-straight', speed_ms: feet(8.762) },
  { surface: 'short-grass-pasture', speed_ms: feet(6.962) },
  { surface: 'minimum-tillage-contour-or-woodland', speed_ms: feet(5.032) },
  { surface: 'forest-litter-or-hay-meadow', speed_ms: feet(2.516) },
]

/** Longest sheet of water before it gathers: 100 ft. Source: USDA-NRCS NEH Part 630, ch. 15 (2010). */
export const LONGEST_SHEET_m = 100 * METRES_PER.ft
/** What the older rule allowed: 300 ft. Source: USDA TR-55 (1986) ch. 3. */
export const LONGEST_SHEET_1986_m = 300 * METRES_PER.ft
/** Steepest slope that the chart of shallow flow shows. Source: USDA TR-55 (1986) fig. 3-1 (from memory, unchecked). */
export const STEEPEST_SHALLOW_ratio = 0.5

/** Water running as a thin sheet at the top of the slope. */
export interface SheetFlow {
  readonly length_m: number
  readonly slope_ratio: number
  /** Of `SHEET_SURFACES`. */
  readonly roughness: number
  /** Rain of 24 h with a chance of one in two each year. */
  readonly rain2yr24h_mm: number
  /** Longest sheet that is taken. Default `LONGEST_SHEET_m`. */
  readonly longest_m?: number
}

/**
 * Time of sheet flow.
 *
 * Units   h.
 * Laws    longer or rougher never faster; outside limits over 30.5 m: what is beyond runs as shallow concentrated flow.
 * Throws  `travel/bad-measure`.
 * Source  T = 0.007 (n L)^0.8 / (P₂^0.5 s^0.4), ft and inches: USDA TR-55 (1986) eq. 3-3; limit `LONGEST_SHEET_m`.
 */
export function sheetFlowTime({ length_m, slope_ratio, roughness, rain2yr24h_mm, longest_m = LONGEST_SHEET_m }: SheetFlow): Limited<'h'> {
  refuseUnlessPositive('travel/bad-measure', { length_m, slope_ratio, roughness, rain2yr24h_mm }, 'Give m, rise over run, and mm.')
  return withinLimits(
    'h',
    // The foot as a float is not 0.3048 exactly: a length of 100 ft must not miss its own limit.
    [outsideRange('travel/sheet-too-long', 'length_m', length_m, 0, longest_m * (1 + 1e-12))],
    () => (0.007 * power((roughness * length_m) / METRES_PER.ft, 0.8)) / (Math.sqrt(rain2yr24h_mm / MM_PER_INCH) * power(slope_ratio, 0.4)),
  )
}

/**
 * Time of sheet flow under rain of a steady intensity, by the kinematic wave. The intensity belongs to the time itself: try again until both agree.
 *
 * Units   mm/h → h.
 * Throws  `travel/bad-measure`.
 * Source  (n L/√s)^0.6 i^−0.4 in SI, derived: 6.988 for minutes and mm/h, which FHWA HEC-22 rounds to 6.92 and HDS-2 to 6.9.
 */
export function kinematicSheetTime(flow: Omit<SheetFlow, 'rain2yr24h_mm'>, intensity_mmh: number): Limited<'h'> {
  const { length_m, slope_ratio, roughness } = flow
  refuseUnlessPositive('travel/bad-measure', { length_m, slope_ratio, roughness, intensity_mmh }, 'Give m, rise over run, and mm/h.')
  return withinLimits(
    'h',
    [outsideRange('travel/sheet-too-long', 'length_m', length_m, 0, LONGEST_SHEET_m * (1 + 1e-12))],
    () => power((roughness * length_m) / Math.sqrt(slope_ratio), 0.6) / power(intensity_mmh / 3.6e6, 0.4) / 3600,
  )
}

/** Water gathered in rills, hollows and shallow courses. */
export interface ShallowFlow {
  readonly length_m: number
  readonly slope_ratio: number
  /** Of `SHALLOW_SURFACES`: the speed on a slope of 1. */
  readonly speed_ms: number
}

/**
 * Speed of shallow concentrated flow.
 *
 * Units   m/s.
 * Throws  `travel/bad-measure`.
 * Source  constant × √slope: USDA TR-55 (1986) App. F; limit `STEEPEST_SHALLOW_ratio`.
 */
export function shallowFlowSpeed({ slope_ratio, speed_ms }: Omit<ShallowFlow, 'length_m'>): Limited<'m/s'> {
  refuseUnlessPositive('travel/bad-measure', { slope_ratio, speed_ms }, 'Give rise over run, and the constant of the surface.')
  return withinLimits(
    'm/s',
    [outsideRange('travel/shallow-too-steep', 'slope_ratio', slope_ratio, 0, STEEPEST_SHALLOW_ratio)],
    () => speed_ms * Math.sqrt(slope_ratio),
  )
}

/** A course that can be seen on the ground, full to its banks. */
export interface CourseFlow {
  readonly length_m: number
  readonly slope_ratio: number
  readonly area_m2: number
  readonly wettedPerimeter_m: number
  readonly roughness: number
}

/**
 * Speed in a course full to its banks.
 *
 * Units   m/s.
 * Throws  `travel/bad-measure`.
 * Source  Manning in SI, as USDA TR-55 (1986) eq. 3-4 (whose 1.49 rounds 1.486).
 */
export function courseSpeed_ms({ slope_ratio, area_m2, wettedPerimeter_m, roughness }: Omit<CourseFlow, 'length_m'>): number {
  refuseUnlessPositive('travel/bad-measure', { slope_ratio, area_m2, wettedPerimeter_m, roughness }, 'Give rise over run, m² and m.')
  return (power(area_m2 / wettedPerimeter_m, 2 / 3) * Math.sqrt(slope_ratio)) / roughness
}

/** A stretch of the way of water from the ridge to the line, of one kind; `measured` where its speed is known from the ground. */
export type FlowStretch =
  | ({ readonly kind: 'sheet' } & SheetFlow)
  | ({ readonly kind: 'shallow' } & ShallowFlow)
  | ({ readonly kind: 'course' } & CourseFlow)
  | { readonly kind: 'measured'; readonly length_m: number; readonly measuredSpeed_ms: number }

/** Time along one stretch. Units: h. Throws `travel/bad-measure`. */
export function stretchTime(stretch: FlowStretch): Limited<'h'> {
  if (stretch.kind === 'sheet') return sheetFlowTime(stretch)
  const { length_m } = stretch
  refuseUnlessPositive('travel/bad-measure', { length_m }, 'Give m.')
  if (stretch.kind === 'shallow') {
    const { value, outsideLimits } = shallowFlowSpeed(stretch)
    return { value: value === null ? null : length_m / value / 3600, unit: 'h', outsideLimits, remarks: NONE }
  }
  if (stretch.kind === 'course') return withinLimits('h', NONE, () => length_m / courseSpeed_ms(stretch) / 3600)
  const { measuredSpeed_ms } = stretch
  refuseUnlessPositive('travel/bad-measure', { measuredSpeed_ms }, 'Give m/s.')
  return withinLimits('h', NONE, () => length_m / measuredSpeed_ms / 3600)
}

const NONE: readonly Warning[] = []
