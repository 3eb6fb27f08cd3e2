import { M2_PER_ACRE, M3_PER_CUBIC_FOOT, METRES_PER } from 'soakline/foundation'
import { type ReferenceValue, reference } from './reference-value.js'

/** Conversions. */
export const UNIT_VALUES: readonly ReferenceValue[] = [
  reference(
    {
      id: 'LG-UNITS',
      quantity: 'acre-foot, cubic foot per second, acre',
      inputs: { acreFeet: 1, cubicFeet: 1, acres: 1 },
      expected: { acreFoot_m3: 1233.482, cubicFoot_m3: 0.028316847, acre_m2: 4046.856 },
      unit: 'm3; m3; m2',
      tolerance: { rel: 1e-6 },
      source: 'international foot of 1959',
      known: 'derived',
    },
    i => ({
      acreFoot_m3: i.acreFeet * M2_PER_ACRE * METRES_PER.ft,
      cubicFoot_m3: i.cubicFeet * M3_PER_CUBIC_FOOT,
      acre_m2: i.acres * M2_PER_ACRE,
    }),
  ),
]
