import { InputError } from '../foundation/index.js'
import { exponential, naturalLog } from './logarithm.js'
import { refuseUnlessPositive } from './method-limits.js'

/** The form of a unit hydrograph without sizes: flow over peak flow against time over time to peak. */
export interface UnitForm {
  /** Flow over peak flow at a time over the time to peak: 1 at 1, 0 outside 0 to `ends_ratio`. */
  readonly flow_ratio: (time_ratio: number) => number
  readonly ends_ratio: number
  readonly source: string
}

/**
 * Peak rate factor of a form whose area, in its own units, is 1: 645.33, that is 5280²/43200. In use are 484 where nothing is known,
 * about 300 on flat land, about 600 on steep (from memory).
 */
export const PEAK_RATE_OF_UNIT_AREA = (5280 * 5280) / 43_200

// Time over time to peak, flow over peak. Source: USDA-NRCS NEH Part 630, ch. 16, Table 16-1.
const CURVE: readonly (readonly [time_ratio: number, flow_ratio: number])[] = [
  [0, 0],
  [0.1, 0.03],
  [0.2, 0.1],
  [0.3, 0.19],
  [0.4, 0.31],
  [0.5, 0.47],
  [0.6, 0.66],
  [0.7, 0.82],
  [0.8, 0.93],
  [0.9, 0.99],
  [1, 1],
  [1.1, 0.99],
  [1.2, 0.93],
  [1.3, 0.86],
  [1.4, 0.78],
  [1.5, 0.68],
  [1.6, 0.56],
  [1.7, 0.46],
  [1.8, 0.39],
  [1.9, 0.33],
  [2, 0.28],
  [2.2, 0.207],
  [2.4, 0.147],
  [2.6, 0.107],
  [2.8, 0.077],
  [3, 0.055],
  [3.2, 0.04],
  [3.4, 0.029],
  [3.6, 0.021],
  [3.8, 0.015],
  [4, 0.011],
  [4.5, 0.005],
  [5, 0],
]

/**
 * The curved form of the handbook, on straight lines between its ordinates. Its own area gives a peak rate factor of 483.05, not the 484 of the text.
 *
 * Source  USDA-NRCS NEH Part 630, ch. 16, Table 16-1.
 */
export const CURVED_FORM: UnitForm = {
  flow_ratio: time => {
    const after = CURVE.findIndex(([t]) => t >= time)
    if (time < 0 || after < 0) return 0
    const [t1, q1] = CURVE[after]!
    if (after === 0 || t1 === time) return q1
    const [t0, q0] = CURVE[after - 1]!
    return q0 + ((time - t0) / (t1 - t0)) * (q1 - q0)
  },
  ends_ratio: 5,
  source: 'USDA-NRCS NEH Part 630, ch. 16, Table 16-1',
}

/**
 * The triangle of a peak rate factor: 484 ends at 8/3 of the time to peak.
 *
 * Throws  `hydrograph/bad-peak-rate` outside 100–600: a triangle over 645 would end before its peak.
 * Source  USDA-NRCS NEH Part 630, ch. 16 (area of a triangle); the range from memory, unchecked.
 */
export function triangularForm(peakRateFactor = 484): UnitForm {
  checkPeakRate(peakRateFactor)
  const ends_ratio = (2 * PEAK_RATE_OF_UNIT_AREA) / peakRateFactor
  return {
    flow_ratio: time => (time <= 0 || time >= ends_ratio ? 0 : time <= 1 ? time : (ends_ratio - time) / (ends_ratio - 1)),
    ends_ratio,
    source: `triangle, peak rate factor ${peakRateFactor} (USDA-NRCS NEH Part 630, ch. 16)`,
  }
}

/**
 * The curved form of any peak rate factor: (t e^(1−t))^m, with m found from the factor.
 *
 * Throws  `hydrograph/bad-peak-rate` outside 100–600.
 * Source  USDA-NRCS NEH Part 630, ch. 16 (gamma form; the range from memory, unchecked). Cut where less than a ten-thousandth of the peak flows: judgement.
 */
export function gammaForm(peakRateFactor: number): UnitForm {
  checkPeakRate(peakRateFactor)
  let low = 0.1
  let high = 10
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2
    if (peakRateOfGamma(middle) < peakRateFactor) low = middle
    else high = middle
  }
  const m = (low + high) / 2
  const flow = (time: number): number => exponential(m * (naturalLog(time) + 1 - time))
  let ends_ratio = 2
  while (flow(ends_ratio) > 1e-4) ends_ratio += 0.25
  return {
    flow_ratio: time => (time <= 0 || time >= ends_ratio ? 0 : flow(time)),
    ends_ratio,
    source: `gamma form, peak rate factor ${peakRateFactor} (USDA-NRCS NEH Part 630, ch. 16)`,
  }
}

/** Peak rate factor of the gamma form with the power m: 645.33 m^(m+1) e^(−m) / Γ(m + 1). Throws `hydrograph/bad-peak-rate` unless m is above 0. */
export function peakRateOfGamma(m: number): number {
  refuseUnlessPositive('hydrograph/bad-peak-rate', { m }, 'Give the power of the gamma form.')
  return PEAK_RATE_OF_UNIT_AREA * exponential((m + 1) * naturalLog(m) - m - logGamma(m + 1))
}

/** ln Γ(z) for z > 0: Stirling's series after stepping up to 12, where what is left out is under 1e-14. */
function logGamma(z: number): number {
  let below = 0
  let at = z
  for (; at < 12; at++) below += naturalLog(at)
  const i2 = 1 / (at * at)
  const tail = (1 / 12 - i2 * (1 / 360 - i2 * (1 / 1260 - i2 / 1680))) / at
  return (at - 0.5) * naturalLog(at) - at + 0.5 * naturalLog(2 * Math.PI) + tail - below
}

/** Area under a form from its beginning to a time, by trapezia of a hundredth. Units: time over time to peak. */
export function formArea(form: UnitForm, until_ratio = form.ends_ratio): number {
  const parts = Math.max(1, Math.round(until_ratio * 100))
  const step = until_ratio / parts
  let sum = 0
  for (let k = 0; k < parts; k++) sum += ((form.flow_ratio(k * step) + form.flow_ratio((k + 1) * step)) * step) / 2
  return sum
}

/** Time from the beginning of a burst to the peak it makes. Units: h. Source: D/2 + 0.6 Tc: USDA-NRCS NEH Part 630, ch. 16. */
export const timeToPeak_h = (burst_h: number, timeOfConcentration_h: number): number => burst_h / 2 + 0.6 * timeOfConcentration_h

/**
 * Peak that a depth of runoff makes in one burst.
 *
 * Units   m², mm, h → m³/s; `peakRateFactor` default 484.
 * Throws  `hydrograph/bad-measure`.
 * Source  0.2083 A Q / Tp in km² and mm for 484: USDA-NRCS NEH Part 630, ch. 16.
 */
export function unitPeak_m3s(area_m2: number, runoff_mm: number, timeToPeak_h: number, peakRateFactor = 484): number {
  refuseUnlessPositive('hydrograph/bad-measure', { area_m2, runoff_mm, timeToPeak_h, peakRateFactor }, 'Give m², mm and h.')
  return ((peakRateFactor / PEAK_RATE_OF_UNIT_AREA) * (area_m2 * 1e-6) * runoff_mm) / (3.6 * timeToPeak_h)
}

function checkPeakRate(peakRateFactor: number): void {
  if (!(peakRateFactor >= 100 && peakRateFactor <= 600))
    throw new InputError(
      'hydrograph/bad-peak-rate',
      `A peak rate factor of ${peakRateFactor}; those in use go from 100 to 600 (flat land about 300, 484 where nothing is known, steep about 600).`,
      { peakRateFactor },
    )
}
