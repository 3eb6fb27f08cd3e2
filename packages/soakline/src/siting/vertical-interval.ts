import { InputError, type Known, METRES_PER } from '../foundation/index.js'

/** Rules that space lines of earthworks down a slope. */
export const SPACING_RULES = [
  'usda',
  'ramser',
  'high-rain-bunds',
  'southern-africa',
  'taiwan',
  'hedges',
  'barriers',
  'stone-lines',
] as const
/** One of `SPACING_RULES`. */
export type SpacingRuleName = (typeof SPACING_RULES)[number]

/** What one rule says at a slope: the fall from line to line, and the same along the level. Low and high differ where the rule leaves a choice. */
export interface RuleSpacing {
  readonly rule: SpacingRuleName
  readonly vertical_m: readonly [low: number, high: number]
  readonly horizontal_m: readonly [low: number, high: number]
  /** True for rules made for ditches, bunds and terraces; hedges, barriers and stone lines hold no water. */
  readonly holdsWater: boolean
  readonly source: string
  readonly known: Known
}

/** What the rules say of the spacing on a slope. They disagree, so the answer is a range. */
export interface VerticalIntervals {
  readonly slope_ratio: number
  readonly rules: readonly RuleSpacing[]
  /** Horizontal, from the closest to the widest of the rules for works that hold water. */
  readonly low_m: number
  readonly high_m: number
}

const MEMORY = 'from memory, unchecked'

/**
 * Spacing of contour works by the published rules.
 *
 * Units   `slope_ratio` rise over run, above 0 up to 1.
 * Laws    vertical = horizontal × slope, for each rule.
 * Throws  InputError `spacing/bad-slope`.
 * Source  beside each rule; at 10 % they run from 14 to 46 m for works that hold water.
 */
export function verticalIntervals(slope_ratio: number): VerticalIntervals {
  if (!(slope_ratio > 0 && slope_ratio <= 1))
    throw new InputError(
      'spacing/bad-slope',
      `Lines cannot be spaced on a slope of ${slope_ratio}: the rules want a rise over run above 0, up to 1. Choose ground that slopes.`,
      { slope_ratio },
    )
  const percent = 100 * slope_ratio
  const ft = METRES_PER.ft
  const rules: RuleSpacing[] = []
  const fall = (rule: SpacingRuleName, low: number, high: number, holdsWater: boolean, source: string, known: Known): void => {
    rules.push({ rule, vertical_m: [low, high], horizontal_m: [low / slope_ratio, high / slope_ratio], holdsWater, source, known })
  }
  const run = (rule: SpacingRuleName, low: number, high: number, source: string): void => {
    rules.push({
      rule,
      vertical_m: [low * slope_ratio, high * slope_ratio],
      horizontal_m: [low, high],
      holdsWater: false,
      source,
      known: 'published',
    })
  }
  fall(
    'usda',
    (0.4 * percent + 1) * ft,
    (0.8 * percent + 4) * ft,
    true,
    `USDA terraces, VI ft = x S% + y, x 0.4–0.8, y 1–4 (${MEMORY})`,
    'from-memory',
  )
  const ramser = 0.3 * (percent / 3 + 2)
  fall('ramser', ramser, ramser, true, 'Ramser, VI m = 0.3 (S%/3 + 2)', 'published')
  const bunds = (10 * percent + 60) / 100
  fall('high-rain-bunds', bunds, bunds, true, 'bunds in high rain, VI cm = 10 S% + 60', 'published')
  fall(
    'southern-africa',
    ((percent + 3) / 2) * ft,
    ((percent + 6) / 2) * ft,
    true,
    `southern Africa, VI ft = (S% + f)/2, f 3–6 (${MEMORY})`,
    'from-memory',
  )
  const taiwan = (percent + 4) / 10
  fall('taiwan', taiwan, taiwan, true, `Taiwan hillside ditches, VI m = (S% + 4)/10 (${MEMORY})`, 'from-memory')
  fall('hedges', 2, 2, false, 'vetiver hedges, VI 2 m', 'published')
  run('barriers', 10, 20, 'Hesperian, barriers 10 m on steep to 20 m on easy ground')
  if (percent <= 2) run('stone-lines', percent < 1 ? 20 : 15, percent < 1 ? 20 : 15, 'FAO stone lines, 20 m under 1 %, 15 m from 1 to 2 %')
  const holding = rules.filter(r => r.holdsWater)
  return {
    slope_ratio,
    rules,
    low_m: Math.min(...holding.map(r => r.horizontal_m[0])),
    high_m: Math.max(...holding.map(r => r.horizontal_m[1])),
  }
}

/**
 * Distance between ditches at which one holds all the runoff of the ground above it, rain on its own water counted.
 *
 * Units   `storage_m2` per metre of ditch; runoff and rain in mm; `width_m` of the water.
 * Laws    more storage, wider; more runoff, closer; never below the water's own width; infinite without runoff.
 * Throws  InputError `spacing/bad-storage`.
 * Source  A = Q (HI − W) + P W, derived.
 */
export function storageSpacing_m(storage_m2: number, runoff_mm: number, { rain_mm = 0, width_m = 0 } = {}): number {
  for (const [name, size] of Object.entries({ storage_m2, runoff_mm, rain_mm, width_m }))
    if (!(size >= 0 && size < Number.POSITIVE_INFINITY))
      throw new InputError('spacing/bad-storage', `${name} is ${size}; give a number of 0 or more.`, { name, size })
  const spare_m2 = Math.max(0, storage_m2 - (rain_mm / 1000) * width_m)
  return spare_m2 === 0 ? width_m : spare_m2 / (runoff_mm / 1000) + width_m
}
