import { InputError } from '../foundation/index.js'
import type { Hyetograph } from './hyetograph.js'
import { refuseUnlessPositive } from './method-limits.js'

/** The four 24-hour storms of the United States: I and IA Pacific coast, III Gulf and Atlantic coasts, II between. Elsewhere they have no standing. */
export const SCS_TYPES = ['I', 'IA', 'II', 'III'] as const
/** One of `SCS_TYPES`. */
export type ScsType = (typeof SCS_TYPES)[number]

/** One such storm: shares of the 24-hour depth fallen so far, in even steps from 0 to 24 h. */
export interface ScsDistribution {
  readonly type: ScsType
  /** 0.1 h for I, II and III; 0.5 h for IA, whose burst of 7.5–8 h is therefore blunter than it should be. */
  readonly step_h: number
  /** Ten-thousandths. */
  readonly fallen: readonly number[]
  readonly source: string
}

const TR20 =
  'USDA SCS Technical Release 20, 24-hour storms at 0.1 h (original not seen: from memory, and the same in two public copies); within 0.0013 of FHWA HDS-2, 2nd ed. (2002), Table 6.5'

/**
 * The distributions. Two published versions exist that differ in the third decimal; each type here is of one version throughout: I, II and III
 * of the tables at 0.1 h (I differs from FHWA HDS-2 Table 6.5 by up to 0.006 after noon; III has 0.2165 at 10.5 h, where HDS-2 misprints 0.212),
 * IA of HDS-2.
 */
export const SCS_DISTRIBUTIONS: Readonly<Record<ScsType, ScsDistribution>> = {
  I: {
    type: 'I',
    step_h: 0.1,
    source: TR20,
    fallen: [
      0, 17, 35, 52, 70, 87, 105, 122, 139, 157, 174, 192, 210, 227, 245, 262, 280, 297, 315, 332, 350, 368, 386, 404, 423, 442, 461, 480,
      500, 520, 540, 561, 582, 603, 625, 647, 669, 691, 714, 737, 760, 784, 807, 831, 855, 878, 902, 926, 951, 975, 1000, 1024, 1049, 1073,
      1098, 1123, 1148, 1174, 1199, 1225, 1250, 1276, 1303, 1332, 1361, 1391, 1423, 1456, 1489, 1524, 1560, 1597, 1633, 1671, 1708, 1746,
      1784, 1823, 1861, 1901, 1940, 1982, 2027, 2077, 2132, 2190, 2252, 2318, 2388, 2462, 2540, 2623, 2714, 2812, 2917, 3030, 3194, 3454,
      3878, 4632, 5150, 5322, 5476, 5612, 5730, 5830, 5919, 6003, 6083, 6159, 6230, 6298, 6365, 6430, 6493, 6555, 6615, 6674, 6731, 6786,
      6840, 6892, 6944, 6995, 7044, 7092, 7140, 7186, 7232, 7276, 7320, 7362, 7404, 7444, 7484, 7523, 7560, 7596, 7632, 7667, 7700, 7733,
      7766, 7798, 7830, 7862, 7894, 7926, 7958, 7989, 8020, 8051, 8082, 8112, 8142, 8173, 8202, 8232, 8262, 8291, 8320, 8349, 8378, 8406,
      8434, 8462, 8490, 8518, 8546, 8573, 8600, 8627, 8654, 8680, 8706, 8733, 8758, 8784, 8810, 8835, 8860, 8885, 8910, 8934, 8958, 8982,
      9006, 9030, 9054, 9077, 9100, 9123, 9146, 9168, 9190, 9212, 9234, 9256, 9278, 9299, 9320, 9341, 9362, 9382, 9402, 9423, 9442, 9462,
      9482, 9501, 9520, 9539, 9558, 9576, 9594, 9613, 9630, 9648, 9666, 9683, 9700, 9717, 9734, 9750, 9766, 9783, 9798, 9814, 9830, 9845,
      9860, 9875, 9890, 9904, 9918, 9933, 9946, 9960, 9974, 9987, 10000,
    ],
  },
  IA: {
    type: 'IA',
    step_h: 0.5,
    source: 'FHWA HDS-2, 2nd ed. (FHWA-NHI-02-001, 2002), Table 6.5',
    fallen: [
      0, 100, 200, 350, 500, 670, 820, 980, 1160, 1350, 1560, 1800, 2060, 2370, 2680, 3100, 4250, 4800, 5200, 5500, 5770, 6010, 6240, 6450,
      6640, 6830, 7010, 7190, 7360, 7530, 7690, 7850, 8000, 8150, 8300, 8440, 8580, 8710, 8840, 8960, 9080, 9200, 9320, 9440, 9560, 9670,
      9780, 9890, 10000,
    ],
  },
  II: {
    type: 'II',
    step_h: 0.1,
    source: TR20,
    fallen: [
      0, 10, 20, 30, 41, 51, 62, 72, 83, 94, 105, 116, 127, 138, 150, 161, 173, 184, 196, 208, 220, 232, 244, 257, 269, 281, 294, 306, 319,
      332, 345, 358, 371, 384, 398, 411, 425, 439, 452, 466, 480, 494, 508, 523, 538, 553, 568, 583, 598, 614, 630, 646, 662, 679, 696, 712,
      730, 747, 764, 782, 800, 818, 836, 855, 874, 892, 912, 931, 950, 970, 990, 1010, 1030, 1051, 1072, 1093, 1114, 1135, 1156, 1178, 1200,
      1222, 1246, 1270, 1296, 1322, 1350, 1379, 1408, 1438, 1470, 1502, 1534, 1566, 1598, 1630, 1663, 1697, 1733, 1771, 1810, 1851, 1895,
      1941, 1989, 2040, 2094, 2152, 2214, 2280, 2350, 2427, 2513, 2609, 2715, 2830, 3068, 3544, 4308, 5679, 6630, 6820, 6986, 7130, 7252,
      7350, 7434, 7514, 7588, 7656, 7720, 7780, 7836, 7890, 7942, 7990, 8036, 8080, 8122, 8162, 8200, 8237, 8273, 8308, 8342, 8376, 8409,
      8442, 8474, 8505, 8535, 8565, 8594, 8622, 8649, 8676, 8702, 8728, 8753, 8777, 8800, 8823, 8845, 8868, 8890, 8912, 8934, 8955, 8976,
      8997, 9018, 9038, 9058, 9078, 9097, 9117, 9136, 9155, 9173, 9192, 9210, 9228, 9245, 9263, 9280, 9297, 9313, 9330, 9346, 9362, 9377,
      9393, 9408, 9423, 9438, 9452, 9466, 9480, 9493, 9507, 9520, 9533, 9546, 9559, 9572, 9584, 9597, 9610, 9622, 9635, 9647, 9660, 9672,
      9685, 9697, 9709, 9722, 9734, 9746, 9758, 9770, 9782, 9794, 9806, 9818, 9829, 9841, 9853, 9864, 9876, 9887, 9899, 9910, 9922, 9933,
      9944, 9956, 9967, 9978, 9989, 10000,
    ],
  },
  III: {
    type: 'III',
    step_h: 0.1,
    source: TR20,
    fallen: [
      0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100, 110, 120, 130, 140, 150, 160, 170, 180, 190, 200, 210, 220, 231, 241, 252, 263, 274, 285,
      296, 308, 319, 331, 343, 355, 367, 379, 392, 404, 417, 430, 443, 456, 470, 483, 497, 511, 525, 539, 553, 567, 582, 597, 612, 627, 642,
      657, 673, 688, 704, 720, 736, 753, 770, 788, 806, 825, 844, 864, 884, 905, 926, 948, 970, 993, 1016, 1040, 1064, 1089, 1114, 1140,
      1167, 1194, 1223, 1253, 1284, 1317, 1350, 1385, 1421, 1458, 1496, 1535, 1575, 1617, 1659, 1703, 1748, 1794, 1842, 1890, 1940, 1993,
      2048, 2105, 2165, 2227, 2292, 2359, 2428, 2500, 2578, 2664, 2760, 2866, 2980, 3143, 3394, 3733, 4166, 5000, 5840, 6267, 6606, 6857,
      7020, 7134, 7240, 7336, 7422, 7500, 7572, 7641, 7708, 7773, 7835, 7895, 7952, 8007, 8060, 8110, 8158, 8206, 8252, 8297, 8341, 8383,
      8425, 8465, 8504, 8543, 8579, 8615, 8650, 8683, 8716, 8747, 8777, 8806, 8833, 8860, 8886, 8911, 8936, 8960, 8984, 9007, 9030, 9052,
      9074, 9095, 9116, 9136, 9156, 9175, 9194, 9212, 9230, 9247, 9264, 9280, 9296, 9312, 9327, 9343, 9358, 9373, 9388, 9403, 9418, 9433,
      9447, 9461, 9475, 9489, 9503, 9517, 9530, 9544, 9557, 9570, 9583, 9596, 9609, 9621, 9634, 9646, 9658, 9670, 9682, 9694, 9706, 9718,
      9729, 9741, 9752, 9764, 9775, 9786, 9797, 9808, 9818, 9829, 9839, 9850, 9860, 9870, 9880, 9890, 9900, 9909, 9919, 9928, 9938, 9947,
      9956, 9965, 9974, 9983, 9991, 10000,
    ],
  },
}

/** Share of the 24-hour depth fallen by a time; between ordinates on a straight line. Units: h from 0 to 24 → 0–1. Throws `rain/outside-storm`. */
export function scsFallen_ratio(type: ScsType, time_h: number): number {
  if (!(time_h >= 0 && time_h <= 24))
    throw new InputError('rain/outside-storm', `The storm lasts from 0 to 24 h; ${time_h} h lies outside.`, { time_h })
  const { fallen } = SCS_DISTRIBUTIONS[type]
  const place = (time_h * (fallen.length - 1)) / 24
  const lower = Math.min(Math.floor(place), fallen.length - 2)
  return (fallen[lower]! + (place - lower) * (fallen[lower + 1]! - fallen[lower]!)) / 10_000
}

/**
 * A 24-hour depth shared out over time by one of the four national distributions. The shape is national, so the storm knows nothing of the
 * place's short bursts: `shortestBurst_h` is 24 and peaks stay unknown. With a table that has short bursts, take `alternatingBlockStorm`.
 *
 * Units   mm, h.
 * Laws    sums to the depth (to rounding).
 * Throws  `rain/bad-step` unless 24 h are a whole number of steps and the step is no finer than the distribution's own; `rain/negative-depth`.
 * Source  `SCS_DISTRIBUTIONS`.
 */
export function scsStorm(type: ScsType, rain24h_mm: number, step_h: number): Hyetograph {
  refuseUnlessPositive('rain/negative-depth', { rain24h_mm }, 'Give the 24-hour depth in mm.')
  const { step_h: finest_h, source } = SCS_DISTRIBUTIONS[type]
  const steps = Math.round(24 / step_h)
  if (!(step_h >= finest_h * (1 - 1e-9) && steps >= 1 && Math.abs(24 / step_h - steps) <= 1e-9 * steps))
    throw new InputError(
      'rain/bad-step',
      `Steps of ${step_h} h: the storm of type ${type} is known in steps of ${finest_h} h and lasts 24 h; choose a step from there up that divides 24 h.`,
      { type, step_h, finest_h },
    )
  const fallen = Array.from({ length: steps + 1 }, (_, k) => scsFallen_ratio(type, (24 * k) / steps))
  return {
    step_h: 24 / steps,
    depths_mm: fallen.slice(1).map((share, k) => (share - fallen[k]!) * rain24h_mm),
    shortestBurst_h: 24,
    source: `24-hour depth shared out as type ${type} (${source})`,
  }
}
