import { InputError } from '../foundation/index.js'

/** Coefficients of 1, r, r², r³ by storm type. */
const TR55 = { 'I-IA': [0.66, -1.76, 1.96, -0.73], 'II-III': [0.682, -1.43, 1.64, -0.804] } as const

/**
 * First estimate of the share of a storm's runoff that must be stored to cut its peak, ± 25 %.
 *
 * Units   `peakRatio` peak out over peak in, 0.1–0.8.
 * Throws  `storage-estimate/outside` beyond those limits, where the curve is not drawn (from memory).
 * Source  USDA SCS TR-55 (1986) Figure 6-1 and Appendix F.
 */
export function storageShare_ratio(peakRatio: number, storms: keyof typeof TR55): number {
  if (!(peakRatio >= 0.1 && peakRatio <= 0.8))
    throw new InputError(
      'storage-estimate/outside',
      `Peak out over peak in is ${peakRatio}; the curve is drawn from 0.1 to 0.8. Route the storm instead.`,
      { peakRatio },
    )
  const [a, b, c, d] = TR55[storms]
  return a + peakRatio * (b + peakRatio * (c + peakRatio * d))
}

/** First estimate of storage from triangles of inflow and outflow. Units: s, m³/s → m³. Throws `storage-estimate/outside`. Source: FHWA HEC-22 3rd ed. (2009) ch. 8. */
export function triangularStorage_m3(base_s: number, peakIn_m3s: number, peakOut_m3s: number): number {
  if (!(base_s >= 0 && peakOut_m3s >= 0 && peakIn_m3s >= peakOut_m3s))
    throw new InputError('storage-estimate/outside', 'The peak out must lie between 0 and the peak in, and the time be 0 or more.', {
      base_s,
      peakIn_m3s,
      peakOut_m3s,
    })
  return 0.5 * base_s * (peakIn_m3s - peakOut_m3s)
}
