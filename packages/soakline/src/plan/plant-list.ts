import { InputError, type Verdict } from '../foundation/index.js'
import type { PlantZone, PlantZoneCode } from './planting.js'

/** What a plant needs, in the user's own list. */
export interface Plant {
  readonly name: string
  readonly needs: PlantNeeds
}

/** What a plant needs and how far it spreads. */
export interface PlantNeeds {
  /** Hours for which its roots stand flooding; 0: none. */
  readonly wetFeet_h: number
  /** Drained soil that it must have over standing water. */
  readonly drainedDepth_m: number
  readonly sun: 'full' | 'part' | 'any'
  /** Width of the grown plant. */
  readonly spread_m: number
  readonly woody: boolean
  /** Roots that stand no water deep down: such trees keep off the berm. */
  readonly deepDrainage: boolean
}

/** Why a plant suits a zone or does not. */
export const MATCH_REASONS = [
  'plant/woody-at-spill',
  'plant/woody-in-bed',
  'plant/trees-kept-off-berm',
  'plant/tree-on-berm',
  'plant/deep-drainage-on-berm',
  'plant/under-water-too-long',
  'plant/water-unknown',
  'plant/too-little-drained',
  'plant/drained-depth-unknown',
  'plant/wider-than-zone',
  'plant/too-shady',
  'plant/hot-face',
  'plant/dry-above-water',
] as const
/** One of `MATCH_REASONS`. */
export type MatchReason = (typeof MATCH_REASONS)[number]

/** How a plant suits a zone. */
export interface PlantMatch {
  readonly plant: string
  readonly zone: PlantZoneCode
  readonly verdict: Verdict
  readonly reasons: readonly MatchReason[]
}

/** A tree needs more drained soil than this: not on the berm. Source: common practice, about 1.2 m (4 ft). */
export const DEEP_DRAINAGE_m = 1.2
/** A woody plant wider than this counts as a tree. Source: judgement. */
export const TREE_SPREAD_m = 3

const BERM: readonly PlantZoneCode[] = ['wet-edge', 'crest', 'dry-edge']
/** Reasons that settle it: the plant does not go there. */
export const SETTLING_REASONS: readonly MatchReason[] = [
  'plant/woody-at-spill',
  'plant/woody-in-bed',
  'plant/trees-kept-off-berm',
  'plant/deep-drainage-on-berm',
  'plant/under-water-too-long',
]
const UNKNOWN: readonly MatchReason[] = ['plant/water-unknown', 'plant/drained-depth-unknown']

/**
 * Every plant of a list in every zone, with the reasons that speak against it.
 *
 * Laws    nothing woody holds at the spill or in the bed; a plant with deep drainage never holds on the berm.
 * Source  common practice, from memory; drained depth 1.2 m: common practice.
 */
export function matchPlants(plants: readonly Plant[], zones: readonly PlantZone[]): PlantMatch[] {
  return plants.flatMap(plant =>
    zones.map(zone => {
      const reasons = reasonsOf(plant, zone)
      const verdict: Verdict = reasons.some(reason => SETTLING_REASONS.includes(reason))
        ? 'fails'
        : reasons.some(reason => !UNKNOWN.includes(reason))
          ? 'watch'
          : reasons.length > 0
            ? 'unknown'
            : 'holds'
      return { plant: plant.name, zone: zone.zone, verdict, reasons }
    }),
  )
}

function reasonsOf({ needs }: Plant, { zone, width_m, conditions }: PlantZone): MatchReason[] {
  const { wetFeet_h, drainedDepth_m, sun, spread_m, woody, deepDrainage } = needs
  const onBerm = BERM.includes(zone)
  const tree = woody && (spread_m > TREE_SPREAD_m || drainedDepth_m > DEEP_DRAINAGE_m || deepDrainage)
  const { underWater_h, drainedDepth_m: drained_m, sun: light } = conditions
  const reasons: MatchReason[] = []
  if (woody && zone === 'spill') reasons.push('plant/woody-at-spill')
  if (woody && (zone === 'bed' || zone === 'erosion-strip')) reasons.push('plant/woody-in-bed')
  if (onBerm && woody && (conditions.woody === 'kept-out' || (conditions.woody === 'small' && tree)))
    reasons.push('plant/trees-kept-off-berm')
  else if (onBerm && tree) reasons.push('plant/tree-on-berm')
  if (onBerm && (deepDrainage || drainedDepth_m > DEEP_DRAINAGE_m)) reasons.push('plant/deep-drainage-on-berm')
  if (underWater_h === null) reasons.push('plant/water-unknown')
  else if (underWater_h > wetFeet_h + 1e-9) reasons.push('plant/under-water-too-long')
  if (drainedDepth_m > 0 && zone === 'soak-zone') reasons.push('plant/drained-depth-unknown')
  else if (drained_m !== null && drained_m < drainedDepth_m) reasons.push('plant/too-little-drained')
  if (woody && onBerm && spread_m > 2 * width_m && !tree) reasons.push('plant/wider-than-zone')
  if (light) {
    if (sun === 'full' && light.year_ratio < SHADY) reasons.push('plant/too-shady')
    if (sun === 'part' && light.afternoon_ratio > HOT) reasons.push('plant/hot-face')
  }
  if (wetFeet_h >= ALWAYS_WET_h && (zone === 'crest' || zone === 'dry-edge' || zone === 'erosion-strip'))
    reasons.push('plant/dry-above-water')
  return reasons
}

/** Source of the three: judgement. */
const SHADY = 0.75
const HOT = 0.65
const ALWAYS_WET_h = 72

/** Plant types by need, in general words; the table of words names them. Source: common practice, no source; hours and depths judgement. */
export const STARTER_PLANTS: readonly Plant[] = [
  type('clumping-grass', 48, 0, 'full', 0.4, false),
  type('turf-grass', 24, 0, 'part', 0.3, false),
  type('sedge-or-rush', 240, 0, 'any', 0.5, false),
  type('flower-or-herb', 12, 0.2, 'full', 0.4, false),
  type('ground-cover', 24, 0.1, 'part', 0.8, false),
  type('wet-soil-shrub', 96, 0, 'any', 2, true),
  type('soil-feeding-shrub', 12, 0.3, 'full', 2, true),
  type('berry-shrub', 24, 0.3, 'part', 1.5, true),
  type('fruit-tree-for-moist-soil', 48, 0.6, 'full', 4, true),
  type('fruit-tree-for-drained-soil', 12, 1.3, 'full', 4, true, true),
  type('nut-or-timber-tree', 24, 1.3, 'full', 8, true, true),
]

function type(
  name: string,
  wetFeet_h: number,
  drainedDepth_m: number,
  sun: PlantNeeds['sun'],
  spread_m: number,
  woody: boolean,
  deepDrainage = false,
): Plant {
  return { name: `plant-type/${name}`, needs: { wetFeet_h, drainedDepth_m, sun, spread_m, woody, deepDrainage } }
}

/**
 * A plant list from a parsed JSON value, as a plan file keeps it.
 *
 * Throws  `plants/not-a-list`, `plants/bad-plant` with the row.
 */
export function plantsFrom(value: unknown): Plant[] {
  if (!Array.isArray(value) || value.length > MOST_PLANTS)
    throw new InputError('plants/not-a-list', `The plant list is not a list of at most ${MOST_PLANTS} plants. Correct the file.`)
  return value.map((item: unknown, k): Plant => {
    const bad = (what: string): InputError =>
      new InputError('plants/bad-plant', `Plant ${k + 1}: ${what}. Correct it in the list.`, { plant: k + 1 })
    const plant = item as Partial<Plant> | null
    const needs = plant?.needs as Partial<PlantNeeds> | undefined
    if (typeof plant?.name !== 'string' || plant.name.trim() === '' || plant.name.length > 200)
      throw bad('it has no name, or a very long one')
    if (typeof needs !== 'object' || needs === null) throw bad('it says nothing of its needs')
    for (const key of ['wetFeet_h', 'drainedDepth_m', 'spread_m'] as const)
      if (!(typeof needs[key] === 'number' && needs[key] >= 0 && needs[key] < 1e4)) throw bad(`${key} is not a number of 0 or more`)
    if (needs.sun !== 'full' && needs.sun !== 'part' && needs.sun !== 'any') throw bad('sun is not full, part or any')
    if (typeof needs.woody !== 'boolean' || typeof needs.deepDrainage !== 'boolean') throw bad('woody and deepDrainage are yes or no')
    return {
      name: plant.name,
      needs: {
        wetFeet_h: needs.wetFeet_h!,
        drainedDepth_m: needs.drainedDepth_m!,
        sun: needs.sun,
        spread_m: needs.spread_m!,
        woody: needs.woody,
        deepDrainage: needs.deepDrainage,
      },
    }
  })
}

/** More plants than anybody lists. Judgement. */
const MOST_PLANTS = 1000

/** JSON Schema (2020-12) of a plan's plant list. */
export function plantsSchema(): Record<string, unknown> {
  const number = { type: 'number', minimum: 0 }
  return {
    type: 'array',
    maxItems: MOST_PLANTS,
    items: {
      type: 'object',
      required: ['name', 'needs'],
      properties: {
        name: { type: 'string', minLength: 1, maxLength: 200 },
        needs: {
          type: 'object',
          required: ['wetFeet_h', 'drainedDepth_m', 'sun', 'spread_m', 'woody', 'deepDrainage'],
          properties: {
            wetFeet_h: number,
            drainedDepth_m: number,
            sun: { enum: ['full', 'part', 'any'] },
            spread_m: number,
            woody: { type: 'boolean' },
            deepDrainage: { type: 'boolean' },
          },
        },
      },
    },
  }
}
