import { InputError, type Known, METRES_PER, type Sourced } from '../foundation/index.js'

const FOOT_m = METRES_PER.ft
/** A pound-force on a square foot, 4.4482216 N over 0.09290304 m². */
const LB_PER_FT2_Pa = 47.88026

/** How well the soil under a stand of grass resists. */
export type SoilResistance = 'resistant' | 'erodible'

/** Feet per second on slopes of 0–5 %, 5–10 % and over 10 %; null where the cover is not used. */
type BySlopeRow = readonly [flat: number | null, middle: number | null, steep: number | null]
interface GrassRow {
  readonly resistant: BySlopeRow
  readonly erodible: BySlopeRow
}

/** Permissible velocity on grass by published rule, ft/s. The two disagree about reed canarygrass. */
export const GRASS_VELOCITY_fts = {
  'tp-61': {
    bermudagrass: { resistant: [8, 7, 6], erodible: [6, 5, 4] },
    'bluegrass-brome-grama': { resistant: [7, 6, 5], erodible: [5, 4, 3] },
    'grass-mixture-canarygrass': { resistant: [5, 4, null], erodible: [4, 3, null] },
    'lespedeza-lovegrass-alfalfa': { resistant: [3.5, null, null], erodible: [2.5, null, null] },
  },
  'kansas-5-40-56': {
    'bermuda-bahia': { resistant: [8, 7, null], erodible: [6, 5, null] },
    'sod-grasses-canarygrass': { resistant: [7, 6, null], erodible: [5, 4, null] },
    'sod-mixtures': { resistant: [5, 4, null], erodible: [4, 3, null] },
    'native-bunch': { resistant: [3.5, 3.5, null], erodible: [2.5, 2.5, null] },
  },
} as const satisfies Readonly<Record<string, Readonly<Record<string, GrassRow>>>>
/** A published rule for the speed that grass stands. */
export type GrassRule = keyof typeof GRASS_VELOCITY_fts
/** A stand of grass that a rule knows. */
export type GrassCover<R extends GrassRule = GrassRule> = R extends GrassRule ? keyof (typeof GRASS_VELOCITY_fts)[R] & string : never

const GRASS_SOURCE: Readonly<Record<GrassRule, string>> = {
  'tp-61': 'USDA SCS-TP-61, as reproduced in a municipal drainage code',
  'kansas-5-40-56': 'Kansas Admin. Regs 5-40-56, vegetated spillways',
}

/**
 * Greatest velocity that a stand of grass bears, once it stands; null where the rule does not use it on such a slope.
 *
 * Throws  `channel/unknown-cover`, `channel/bad-fall`.
 * Source  the rule's own, in the answer.
 */
export function grassVelocity<R extends GrassRule>(
  rule: R,
  cover: GrassCover<R>,
  soil: SoilResistance,
  slope_ratio: number,
): Sourced<'m/s'> | null {
  const rows: Readonly<Record<string, GrassRow>> = GRASS_VELOCITY_fts[rule]
  const row = rows[cover]
  if (!row)
    throw new InputError('channel/unknown-cover', `The rule ${rule} has no cover "${cover}"; it has ${Object.keys(rows).join(', ')}.`, {
      rule,
      cover,
    })
  if (!(slope_ratio >= 0 && slope_ratio < Infinity))
    throw new InputError('channel/bad-fall', `The slope is ${slope_ratio}; give rise over run of 0 or more.`, { slope_ratio })
  const fts = row[soil][slope_ratio <= 0.05 ? 0 : slope_ratio <= 0.1 ? 1 : 2]
  return fts === null || fts === undefined ? null : { value: fts * FOOT_m, unit: 'm/s', source: GRASS_SOURCE[rule], known: 'published' }
}

/** Velocity that bare soil bears, ft/s: clear water, and water that carries silt. */
const FORTIER_SCOBEY_fts = {
  'fine-sand': [1.5, 2.5],
  'sandy-loam': [1.75, 2.5],
  'silt-loam': [2, 3],
  'firm-loam': [2.5, 3.5],
  'stiff-clay': [3.75, 5],
  'alluvial-silt': [2, 3.5],
  'fine-gravel': [2.5, 5],
} as const satisfies Readonly<Record<string, readonly [clear: number, silty: number]>>
/** A soil of `BARE_SOILS`. */
export type BareSoil = keyof typeof FORTIER_SCOBEY_fts

/** The bare soils of `bareVelocity`. */
export const BARE_SOILS: readonly BareSoil[] = Object.keys(FORTIER_SCOBEY_fts) as BareSoil[]

/** Greatest velocity that bare soil bears. Default: clear water, the lower. Source: Fortier & Scobey (1926), from memory, unchecked. */
export function bareVelocity(soil: BareSoil, water: 'clear' | 'silty' = 'clear'): Sourced<'m/s'> {
  return {
    value: FORTIER_SCOBEY_fts[soil][water === 'clear' ? 0 : 1] * FOOT_m,
    unit: 'm/s',
    source: 'Fortier & Scobey (1926), from memory, unchecked',
    known: 'from-memory',
  }
}

const NON_SCOUR_DEPTHS_ft = [1.3, 3.3, 6.6, 9.8] as const

/** Velocity in ft/s that does not scour, at depths of 1.3, 3.3, 6.6 and 9.8 ft. Source: US Army CHL FACT manual Table 3.5 (after Keown et al. 1977). */
export const NON_SCOUR_fts = {
  'fine-sand': [0.98, 1.3, 1.6, 1.8],
  'medium-sand': [1.2, 1.5, 1.8, 2],
  'coarse-sand': [1.5, 1.8, 2.1, 2.3],
  'fine-gravel': [2.6, 3, 3.3, 3.8],
  'coarse-gravel': [4.1, 4.7, 5.4, 6.1],
  'sandy-loam-light': [3.1, 3.9, 4.6, 4.9],
  'sandy-loam-heavy': [3.3, 3.9, 4.6, 4.9],
  'loess-settled': [2.6, 3.3, 3.9, 4.3],
} as const satisfies Readonly<Record<string, readonly number[]>>
/** A material whose scour is published. */
export type ScourMaterial = keyof typeof NON_SCOUR_fts

/**
 * Velocity that does not scour a bed under water of a depth, on straight lines between the table's depths; null outside 0.40–2.99 m, where the
 * table says nothing (thin water scours at lower velocities).
 *
 * Source  US Army CHL FACT manual Table 3.5 (after Keown et al. 1977).
 */
export function nonScourVelocity(material: ScourMaterial, depth_m: number): Sourced<'m/s'> | null {
  const feet = depth_m / FOOT_m
  const after = NON_SCOUR_DEPTHS_ft.findIndex(d => d >= feet - 1e-9)
  if (after < 0 || !(feet >= NON_SCOUR_DEPTHS_ft[0] - 1e-9)) return null
  const row = NON_SCOUR_fts[material]
  const before = Math.max(0, after - 1)
  const span = NON_SCOUR_DEPTHS_ft[after]! - NON_SCOUR_DEPTHS_ft[before]!
  const share = span > 0 ? (feet - NON_SCOUR_DEPTHS_ft[before]!) / span : 0
  return {
    value: (row[before]! + share * (row[after]! - row[before]!)) * FOOT_m,
    unit: 'm/s',
    source: 'US Army CHL FACT manual Table 3.5 (after Keown et al. 1977)',
    known: 'published',
  }
}

const OVERTOPPED_fts = {
  'sand-silt': [1.5, 1.5, 2, 3],
  loam: [2, 2.5, 3, 4],
  clay: [2.5, 3, 4, 5],
} as const
const BERM_COVERS = ['bare', 'poor', 'fair', 'good'] as const

/** Velocity that a berm bears where water runs over it. Source: Minnesota guidance for overtopped berms. */
export function overtoppedBermVelocity(soil: keyof typeof OVERTOPPED_fts, cover: (typeof BERM_COVERS)[number]): Sourced<'m/s'> {
  return {
    value: OVERTOPPED_fts[soil][BERM_COVERS.indexOf(cover)]! * FOOT_m,
    unit: 'm/s',
    source: 'Minnesota guidance for overtopped berms',
    known: 'published',
  }
}

/** Greatest bed shear by retardance class of the grass. HEC-22 (2009) says that no such shear holds apart from the soil: use it beside a velocity. */
export function grassShear(grass: 'A' | 'B' | 'C' | 'D' | 'E'): Sourced<'Pa'> {
  const poundsPerFoot2 = { A: 3.7, B: 2.1, C: 1, D: 0.6, E: 0.35 }[grass]
  return { value: poundsPerFoot2 * LB_PER_FT2_Pa, unit: 'Pa', source: 'older FHWA HEC-15, from memory, unchecked', known: 'from-memory' }
}

/** Greatest bed shear on stone of a middle size, 0.02–0.6 m: 4 lb/ft² per foot of size. Throws `channel/bad-stone`. Source: HEC-15, from memory, unchecked. */
export function stoneShear(middleSize_m: number): Sourced<'Pa'> {
  if (!(middleSize_m >= 0.02 && middleSize_m <= 0.6))
    throw new InputError(
      'channel/bad-stone',
      `Stone of ${middleSize_m} m: the rule is for stone of 0.02 to 0.6 m. Choose a size within it.`,
      { middleSize_m },
    )
  const known: Known = 'from-memory'
  return {
    value: 4 * (middleSize_m / FOOT_m) * LB_PER_FT2_Pa,
    unit: 'Pa',
    source: 'FHWA HEC-15, 4 lb/ft² per foot of stone, from memory, unchecked',
    known,
  }
}
