import { InputError, type Known } from '../foundation/index.js'
import { COVERS, type CoverCondition, type HydrologicSoilGroup } from '../hydrology/index.js'

/** Everything a steward may set besides the line and the features. `SETTINGS` says unit, default and source of each. */
export interface Settings {
  readonly bedWidth_m: number
  readonly depth_m: number
  readonly cutSideSlope_ratio: number
  readonly bermInnerSlope_ratio: number
  readonly bermOuterSlope_ratio: number
  readonly crestWidth_m: number
  readonly bermPerCut_ratio: number
  readonly freeboard_m: number
  readonly sedimentShare_ratio: number
  readonly swell_ratio: number
  readonly cover: string
  readonly coverCondition: CoverCondition | null
  readonly soilGroup: HydrologicSoilGroup
  readonly curveNumber: number | null
  readonly acceptanceChance: number
  readonly stormDuration_h: number
  readonly elevationError_m: number | null
  readonly buildingClearance_m: number
  readonly buildingMargin_m: number
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
  readonly hollowDepth_m: number
  readonly hollowVolume_m3: number
  readonly wallHeight_m: number
  readonly allBuildingsDrawn: boolean
  readonly permissionsAsked: boolean
}

/** What the schema says of one setting. */
export interface SettingEntry {
  readonly unit: string
  readonly default: number | string | boolean | null
  /** Smallest and largest value that is taken. */
  readonly range?: readonly [number, number]
  readonly values?: readonly (string | null)[]
  readonly nullable?: true
  readonly meaning: string
  readonly source: string
  readonly known: Known
}

const number = (
  unit: string,
  value: number,
  range: readonly [number, number],
  meaning: string,
  source: string,
  known: Known,
): SettingEntry => ({
  unit,
  default: value,
  range,
  meaning,
  source,
  known,
})

const PRACTICE = 'common practice, no source'
const JUDGEMENT = 'judgement'
const MINNESOTA = 'Minnesota Stormwater Manual, setbacks of infiltration practices'

/** Every setting: unit, default, range, meaning, source. */
export const SETTINGS: Readonly<Record<keyof Settings, SettingEntry>> = {
  bedWidth_m: number('m', 1, [0, 10], 'Width of the flat bed: about 1 m, so that a wheelbarrow passes.', PRACTICE, 'common-practice'),
  depth_m: number(
    'm',
    0.3,
    [0.05, 3],
    'Depth of the bed below the downhill lip, where the ditch meets the old ground.',
    PRACTICE,
    'common-practice',
  ),
  cutSideSlope_ratio: number(
    'horizontal : vertical',
    1,
    [0, 6],
    'Side slope of the cut.',
    'Chow (1959), firm clay and loam 1–1.5 : 1 (from memory, unchecked)',
    'from-memory',
  ),
  bermInnerSlope_ratio: number('horizontal : vertical', 1.5, [0.5, 8], 'Face of the berm towards the ditch.', JUDGEMENT, 'judgement'),
  bermOuterSlope_ratio: number('horizontal : vertical', 2, [0.5, 8], 'Face of the berm away from the ditch.', JUDGEMENT, 'judgement'),
  crestWidth_m: number('m', 0.5, [0, 5], 'Width of the crest.', JUDGEMENT, 'judgement'),
  bermPerCut_ratio: number(
    '1',
    0.9,
    [0.1, 1.5],
    'Settled volume of the berm for each volume of earth cut.',
    'common earth, placed 0.82–0.95 of the bank volume in published tables',
    'published',
  ),
  freeboard_m: number(
    'm',
    0.15,
    [0.02, 2],
    'From the sill, where the ditch spills, up to the settled crest.',
    `${JUDGEMENT}; FHWA HEC-22 §5.2.4`,
    'judgement',
  ),
  sedimentShare_ratio: number('1', 0.15, [0, 0.9], 'Share of the storage kept for sediment.', `${JUDGEMENT}: 10–20 %`, 'judgement'),
  swell_ratio: number('1', 0.25, [0, 1], 'How much looser earth lies once dug.', 'common earth 20–30 % in published tables', 'published'),
  cover: {
    unit: 'code',
    default: 'pasture',
    values: COVERS,
    meaning: 'Cover of the ground above the line.',
    source: 'USDA TR-55 (1986) Table 2-2',
    known: 'judgement',
  },
  coverCondition: {
    unit: 'code',
    default: 'fair',
    values: ['poor', 'fair', 'good', null],
    nullable: true,
    meaning: 'Condition of the cover; null for covers that have none.',
    source: 'USDA TR-55 (1986) Table 2-2',
    known: 'judgement',
  },
  soilGroup: {
    unit: 'code',
    default: 'C',
    values: ['A', 'B', 'C', 'D'],
    meaning: 'Hydrologic soil group, A (sand) to D (clay).',
    source: JUDGEMENT,
    known: 'judgement',
  },
  curveNumber: {
    unit: '1',
    default: null,
    range: [1, 100],
    nullable: true,
    meaning: 'Curve number given outright; null takes it from cover, condition and soil group.',
    source: 'USDA TR-55 (1986)',
    known: 'judgement',
  },
  acceptanceChance: number(
    'chance per year',
    0.04,
    [0.0001, 1],
    'Chance each year of the storm that the ditch is judged by.',
    `${JUDGEMENT}: 1 in 25 where nothing lies below, 1 in 100 where a house does`,
    'judgement',
  ),
  stormDuration_h: number('h', 24, [0.05, 240], 'Duration of that storm.', JUDGEMENT, 'judgement'),
  elevationError_m: {
    unit: 'm',
    default: null,
    range: [0, 50],
    nullable: true,
    meaning: 'Standard error of the raster’s heights, from its metadata or a check on site.',
    source: 'the raster’s provider',
    known: 'judgement',
  },
  buildingClearance_m: number('m', 10, [0, 1000], 'An overflow nearer than this to a building asks to watch.', JUDGEMENT, 'judgement'),
  buildingMargin_m: number(
    'm',
    3,
    [0, 100],
    'Margin round a building whose uphill ground counts as above it.',
    `${MINNESOTA}: 10 ft from a foundation`,
    'published',
  ),
  aboveShare_ratio: number(
    '1',
    0.05,
    [0.0001, 1],
    'Part of a place’s water that must reach a building for the place to count as above it.',
    JUDGEMENT,
    'judgement',
  ),
  setbackBuilding_m: number('m', 10, [0, 500], 'Setback from buildings.', JUDGEMENT, 'judgement'),
  setbackBoundary_m: number('m', 3, [0, 500], 'Setback from the boundary.', `${MINNESOTA}: 10 ft from a property line`, 'published'),
  setbackTrack_m: number('m', 3, [0, 500], 'Setback from tracks.', JUDGEMENT, 'judgement'),
  setbackStream_m: number('m', 10, [0, 500], 'Setback from streams.', JUDGEMENT, 'judgement'),
  setbackUtility_m: number('m', 3, [0, 500], 'Setback from buried lines.', `${JUDGEMENT}; ask the utility locator`, 'judgement'),
  setbackSeptic_m: number('m', 15, [0, 500], 'Setback from a septic field.', `${MINNESOTA}: 35 ft, 50 ft for planted basins`, 'published'),
  setbackWell_m: number('m', 15, [0, 500], 'Setback from a well.', `${MINNESOTA}: 50 ft from a private well`, 'published'),
  setbackSpring_m: number('m', 10, [0, 500], 'Setback from springs and seeps.', JUDGEMENT, 'judgement'),
  steepSlope_ratio: number(
    'rise/run',
    0.27,
    [0.01, 5],
    'Steeper ground is no-go: 15°.',
    `${JUDGEMENT}; published limits for such ditches run from 5 % to 27 %`,
    'judgement',
  ),
  hollowDepth_m: number('m', 0.3, [0.01, 100], 'A hollow this deep counts as one that holds water.', JUDGEMENT, 'judgement'),
  hollowVolume_m3: number('m3', 5, [0, 1e9], 'A hollow this large counts as one that holds water.', JUDGEMENT, 'judgement'),
  wallHeight_m: number('m', 1, [0.05, 20], 'Height of a drawn wall whose own height is not given.', JUDGEMENT, 'judgement'),
  allBuildingsDrawn: {
    unit: 'yes/no',
    default: false,
    meaning: 'True once every building down to the stream is drawn, the neighbours’ too.',
    source: 'the user',
    known: 'judgement',
  },
  permissionsAsked: {
    unit: 'yes/no',
    default: false,
    meaning: 'True once the list of permissions has been answered.',
    source: 'the user',
    known: 'judgement',
  },
}

const KEYS = Object.keys(SETTINGS) as (keyof Settings)[]

/** The defaults, every one of them assumed until the user touches it. */
export const defaultSettings = (): Settings => Object.fromEntries(KEYS.map(key => [key, SETTINGS[key].default])) as unknown as Settings

/**
 * Settings from a parsed JSON object: what it sets, over the defaults.
 *
 * Throws  `settings/not-an-object`, `settings/unknown-key`, `settings/bad-value`.
 */
export function settingsFrom(value: unknown): { readonly settings: Settings; readonly assumed: readonly (keyof Settings)[] } {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw new InputError('settings/not-an-object', 'The settings are not a JSON object. Write them as {"bedWidth_m": 1, …}.')
  const given = value as Record<string, unknown>
  for (const key of Object.keys(given)) {
    if (!Object.hasOwn(SETTINGS, key))
      throw new InputError('settings/unknown-key', `The setting "${key}" is not known. The known ones are: ${KEYS.join(', ')}.`, { key })
    const problem = problemWith(SETTINGS[key as keyof Settings], given[key])
    if (problem) throw new InputError('settings/bad-value', `The setting "${key}" ${problem}. Correct it and try again.`, { key })
  }
  return { settings: { ...defaultSettings(), ...given } as Settings, assumed: KEYS.filter(key => !Object.hasOwn(given, key)) }
}

function problemWith(entry: SettingEntry, value: unknown): string | null {
  if (value === null) return entry.nullable ? null : 'may not be null'
  if (entry.values)
    return entry.values.includes(value as string)
      ? null
      : `is ${JSON.stringify(value)}; it must be one of ${entry.values.filter(v => v !== null).join(', ')}`
  if (typeof entry.default === 'boolean') return typeof value === 'boolean' ? null : `is ${JSON.stringify(value)}; it must be true or false`
  const [low, high] = entry.range!
  return typeof value === 'number' && value >= low && value <= high
    ? null
    : `is ${JSON.stringify(value)}; it must be a number from ${low} to ${high} ${entry.unit}`
}

/** JSON Schema (2020-12) of a settings file. */
export function settingsSchema(): Record<string, unknown> {
  const properties = Object.fromEntries(
    KEYS.map(key => {
      const { unit, default: value, range, values, nullable, meaning, source, known }: SettingEntry = SETTINGS[key]
      const type = values ? {} : typeof value === 'boolean' ? { type: 'boolean' } : { type: nullable ? ['number', 'null'] : 'number' }
      return [
        key,
        {
          ...type,
          ...(values ? { enum: values } : {}),
          ...(range ? { minimum: range[0], maximum: range[1] } : {}),
          default: value,
          description: meaning,
          'x-unit': unit,
          'x-source': source,
          'x-known': known,
        },
      ]
    }),
  )
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title: 'Soakline settings',
    description: 'Units are those of the keys. A key that is left out takes its default, which is shown as assumed.',
    type: 'object',
    additionalProperties: false,
    properties,
  }
}
