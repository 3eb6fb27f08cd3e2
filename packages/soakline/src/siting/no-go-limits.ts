import type { Known } from '../foundation/index.js'

/** Limits that the settings of a plan have carried from the first; each stands in the settings' schema with its source. */
export interface SetbackLimits {
  readonly buildingMargin_m: number
  /** Part of a cell's water that must reach a building, septic field or well for the cell to count as above it. */
  readonly aboveShare_ratio: number
  readonly setbackBuilding_m: number
  readonly setbackBoundary_m: number
  readonly setbackTrack_m: number
  readonly setbackStream_m: number
  readonly setbackUtility_m: number
  readonly setbackSeptic_m: number
  readonly setbackWell_m: number
  readonly setbackSpring_m: number
  readonly steepSlope_ratio: number
  /** A hollow this deep and this large counts as one that holds water. */
  readonly hollowDepth_m: number
  readonly hollowVolume_m3: number
}

/** Limits of seepage, slides, wet ground and canopy: `GROUND_LIMITS` says meaning, default and source of each. */
export interface GroundLimits {
  readonly depth_m: number
  readonly seepage_m: number
  readonly seepageDepths_ratio: number
  readonly slideCohesion_kPa: number
  readonly slideFriction_deg: number
  readonly slideWeight_kNm3: number
  readonly slideDepth_m: number
  readonly slideWetShare_ratio: number
  readonly slideFactor_ratio: number
  /** True where the soil is clay or colluvium, false where it was looked at and is neither; null when nobody has looked. */
  readonly weakSoil: boolean | null
  readonly weakSlope_ratio: number
  readonly bankSlope_ratio: number
  readonly bankDistance_m: number
  readonly slipHead_m: number
  readonly wetnessIndex_ln: number
  readonly canopyHeight_m: number
}

/** Limits that decide what is no-go ground. Those of the ground have defaults. */
export type NoGoLimits = SetbackLimits & { readonly [K in keyof GroundLimits]?: GroundLimits[K] | undefined }

/** What is known of one limit. */
export interface LimitEntry<Value = number | boolean | null> {
  readonly unit: string
  readonly default: Value
  readonly range: readonly [number, number] | null
  readonly meaning: string
  readonly source: string
  readonly known: Known
}

const SLOPE_EXAMPLE =
  'infinite-slope form; the weakest worked row at hand (c′ 2 kPa, φ′ 26°, γ 19, z 1.5 m, wet): judgement, no soil was tested'

/** Every limit of the ground: unit, default, range, meaning, source. */
export const GROUND_LIMITS: { readonly [K in keyof GroundLimits]: LimitEntry<GroundLimits[K]> } = {
  depth_m: {
    unit: 'm',
    default: 0.3,
    range: [0.05, 3],
    meaning: 'Depth of the ditch, for the distance of seepage.',
    source: 'common practice, no source',
    known: 'common-practice',
  },
  seepage_m: {
    unit: 'm',
    default: 30,
    range: [0, 500],
    meaning: 'Ground this near uphill of a building, septic field or well may seep into it.',
    source:
      'judgement; stricter rules for foundations name 100 ft (from memory, unchecked); perched water over clay travels tens of metres',
    known: 'judgement',
  },
  seepageDepths_ratio: {
    unit: 'ditch depths',
    default: 10,
    range: [0, 100],
    meaning: 'The same distance in depths of the ditch; the greater counts.',
    source: 'rules for foundations name 10 × the depth (from memory, unchecked)',
    known: 'from-memory',
  },
  slideCohesion_kPa: {
    unit: 'kPa',
    default: 2,
    range: [0, 100],
    meaning: 'Cohesion of the wet soil.',
    source: SLOPE_EXAMPLE,
    known: 'judgement',
  },
  slideFriction_deg: {
    unit: '°',
    default: 26,
    range: [0, 60],
    meaning: 'Friction angle of the wet soil.',
    source: SLOPE_EXAMPLE,
    known: 'judgement',
  },
  slideWeight_kNm3: {
    unit: 'kN/m3',
    default: 19,
    range: [10, 30],
    meaning: 'Weight of the wet soil.',
    source: SLOPE_EXAMPLE,
    known: 'judgement',
  },
  slideDepth_m: {
    unit: 'm',
    default: 1.5,
    range: [0.1, 20],
    meaning: 'Depth at which a shallow slide would start.',
    source: SLOPE_EXAMPLE,
    known: 'judgement',
  },
  slideWetShare_ratio: {
    unit: '1',
    default: 1,
    range: [0, 1],
    meaning: 'Part of that depth that stands under water: 1 is the wet case.',
    source: 'judgement: a ditch that soaks fills the slope with water, the worst case',
    known: 'judgement',
  },
  slideFactor_ratio: {
    unit: '1',
    default: 1.5,
    range: [1, 5],
    meaning: 'Below this factor of safety the ground is marked as prone to slide.',
    source: 'usual long-term target (from memory, unchecked); it never clears ground',
    known: 'from-memory',
  },
  weakSoil: {
    unit: 'yes/no',
    default: null,
    range: null,
    meaning: 'True on clay or colluvium, false where the soil was looked at and is neither; null counts as true.',
    source: 'the user',
    known: 'judgement',
  },
  weakSlope_ratio: {
    unit: 'rise/run',
    default: 0.268,
    range: [0.01, 5],
    meaning: 'On clay or colluvium, steeper ground than this (15°) asks for a professional.',
    source: 'judgement, not a standard',
    known: 'judgement',
  },
  bankSlope_ratio: {
    unit: 'rise/run',
    default: 0.6,
    range: [0.1, 10],
    meaning: 'Ground this steep over three cells counts as a cut bank or a terrace riser.',
    source: 'judgement: a step of 1.2 m in cells of 1 m',
    known: 'judgement',
  },
  bankDistance_m: {
    unit: 'm',
    default: 10,
    range: [0, 200],
    meaning: 'Higher ground this near a cut bank, a wall or a track asks for a professional.',
    source: 'judgement',
    known: 'judgement',
  },
  slipHead_m: {
    unit: 'm',
    default: 20,
    range: [0, 500],
    meaning: 'Ground this near a slip and higher than its middle counts as above its head.',
    source: 'judgement',
    known: 'judgement',
  },
  wetnessIndex_ln: {
    unit: 'ln(m)',
    default: 10,
    range: [3, 25],
    meaning: 'A wetness index over this marks ground where water gathers.',
    source: 'judgement; index of Beven & Kirkby (1979), which grows with the size of the cells',
    known: 'judgement',
  },
  canopyHeight_m: {
    unit: 'm',
    default: 5,
    range: [0.5, 50],
    meaning: 'Where the surface stands this high over the ground, it counts as forest.',
    source: 'FAO Forest Resources Assessment, definition of forest: trees higher than 5 m (from memory, unchecked)',
    known: 'from-memory',
  },
}

const SETBACKS: Readonly<Record<keyof SetbackLimits, true>> = {
  buildingMargin_m: true,
  aboveShare_ratio: true,
  setbackBuilding_m: true,
  setbackBoundary_m: true,
  setbackTrack_m: true,
  setbackStream_m: true,
  setbackUtility_m: true,
  setbackSeptic_m: true,
  setbackWell_m: true,
  setbackSpring_m: true,
  steepSlope_ratio: true,
  hollowDepth_m: true,
  hollowVolume_m3: true,
}

/** Every limit that no-go ground hangs on. */
export const NO_GO_LIMITS = [...Object.keys(SETBACKS), ...Object.keys(GROUND_LIMITS)] as readonly (keyof NoGoLimits)[]

/** The limits of the ground with defaults where nothing is given. */
export function groundLimits(limits: NoGoLimits): GroundLimits {
  const keys = Object.keys(GROUND_LIMITS) as (keyof GroundLimits)[]
  return Object.fromEntries(
    keys.map(key => [key, limits[key] === undefined ? GROUND_LIMITS[key].default : limits[key]]),
  ) as unknown as GroundLimits
}
