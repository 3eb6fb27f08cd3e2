import { InputError } from '../foundation/index.js'
import { naturalLog } from './logarithm.js'
import { refuseUnlessPositive } from './method-limits.js'

/** A reading of a ring pressed into the ground. */
export interface RingReading {
  readonly water_mL: number
  readonly time_min: number
  /** Of the inner ring, commonly 30 cm within one of 60 cm. */
  readonly innerDiameter_mm: number
}

/**
 * Intake from a double ring, read once it has become steady: the inner ring's water over its area and the time.
 *
 * Units   mL, min, mm → mm/h.
 * Throws  `soil/bad-test`.
 * Source  V/(A t); rings of ASTM D3385.
 */
export function ringIntake_mmh({ water_mL, time_min, innerDiameter_mm }: RingReading): number {
  refuseUnlessPositive('soil/bad-test', { water_mL, time_min, innerDiameter_mm }, 'Give mL, minutes and mm.')
  return (water_mL * 1000) / ((Math.PI * innerDiameter_mm * innerDiameter_mm) / 4) / (time_min / 60)
}

/** A pit filled, soaked before, and timed from three quarters to one quarter of its water depth. */
export interface PitReading {
  readonly length_m: number
  readonly width_m: number
  /** Depth of water when full: below the inlet, not of the hole. */
  readonly waterDepth_m: number
  readonly from75To25_min: number
}

/**
 * Intake from a pit: its middle half of water over the area that was wet half-way down (bed and walls) and the time. Make it three times and
 * use the slowest.
 *
 * Units   m, min → mm/h over bed and walls.
 * Throws  `soil/bad-test`.
 * Source  V₇₅₋₂₅ / (a₅₀ t₇₅₋₂₅): the form of BRE Digest 365.
 */
export function pitIntake_mmh({ length_m, width_m, waterDepth_m, from75To25_min }: PitReading): number {
  refuseUnlessPositive('soil/bad-test', { length_m, width_m, waterDepth_m, from75To25_min }, 'Give m and minutes.')
  const water_m3 = (length_m * width_m * waterDepth_m) / 2
  const wetted_m2 = length_m * width_m + 2 * (length_m + width_m) * (waterDepth_m / 2)
  return ((water_m3 / wetted_m2) * 1000) / (from75To25_min / 60)
}

/** An auger hole above the water table, timed between two depths of water. */
export interface AugerReading {
  readonly radius_mm: number
  readonly from_mm: number
  readonly to_mm: number
  readonly time_min: number
}

/**
 * Intake from an auger hole.
 *
 * Units   mm, min → mm/h.
 * Throws  `soil/bad-test`, also where the water did not fall.
 * Source  (r/2) ln((h₀ + r/2)/(h₁ + r/2))/t: Porchet, the inverse auger hole (from memory; its usual 1.15 r log₁₀ is the same rounded).
 */
export function augerIntake_mmh({ radius_mm, from_mm, to_mm, time_min }: AugerReading): number {
  refuseUnlessPositive('soil/bad-test', { radius_mm, from_mm, to_mm, time_min }, 'Give mm and minutes.')
  if (to_mm >= from_mm)
    throw new InputError(
      'soil/bad-test',
      `The water went from ${from_mm} to ${to_mm} mm deep; it has to fall for intake to be worked out.`,
      {
        from_mm,
        to_mm,
      },
    )
  return ((radius_mm / 2) * naturalLog((from_mm + radius_mm / 2) / (to_mm + radius_mm / 2))) / (time_min / 60)
}
