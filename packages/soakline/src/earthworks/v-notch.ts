import { InputError, type Sourced } from '../foundation/index.js'

/** Coefficient of a sharp notch whose sides rise 1:1 (90° between them), √m/s, times H^2.5. */
export const V_NOTCH_90: Sourced<'√m/s'> = {
  value: 1.38,
  unit: '√m/s',
  source: 'FHWA HEC-22 3rd ed. (FHWA-NHI-10-009, 2009) eq. 8-23',
  known: 'published',
}

/**
 * Flow through a sharp-edged V-notch: the plate that a small flow is measured with.
 *
 * Units   head over the point of the V, m; side horizontal : vertical, 1 for a notch of 90° → m³/s.
 * Laws    twice the side slope, twice the flow; never falls with the head.
 * Throws  `weir/bad-weir`.
 * Source  1.38 tan(θ/2) H^2.5: `V_NOTCH_90`.
 */
export function vNotchFlow_m3s(head_m: number, sideSlope_ratio = 1): number {
  if (!(head_m >= 0 && head_m < Infinity && sideSlope_ratio > 0 && sideSlope_ratio < Infinity))
    throw new InputError(
      'weir/bad-weir',
      `A V-notch with sides of ${sideSlope_ratio}:1 under ${head_m} m; give a head of 0 or more and a slope above 0.`,
      {
        head_m,
        sideSlope_ratio,
      },
    )
  return V_NOTCH_90.value * sideSlope_ratio * head_m * head_m * Math.sqrt(head_m)
}
