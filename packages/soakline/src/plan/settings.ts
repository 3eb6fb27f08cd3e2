import {
  BARE_SOILS,
  type BareSoil,
  DEEPEST_MULCH_m,
  DIG_SOILS,
  type DigSoil,
  GRASS_VELOCITY_fts,
  type GrassCover,
  type GrassRule,
  type SettlementConvention,
  type SoilResistance,
  SPREADER_RULES,
  type SpreaderRuleName,
} from '../earthworks/index.js'
import { InputError, type Known } from '../foundation/index.js'
import {
  COVERS,
  type CoverCondition,
  type HydrologicSoilGroup,
  SCS_TYPES,
  type ScsType,
  SHALLOW_SURFACES,
  SHEET_SURFACES,
  TEXTURES,
  type Texture,
} from '../hydrology/index.js'
import type { Point } from '../raster/index.js'
import { GROUND_LIMITS, type GroundLimits, type SetbackLimits } from '../siting/index.js'

/** Everything a steward may set besides the line and the features. `SETTINGS` says unit, default and source of each. */
export interface Settings extends Omit<GroundLimits, 'depth_m'>, SetbackLimits {
  readonly triedTerrains: number
  readonly correlatedError_ratio: number
  readonly errorCorrelation_m: number
  readonly sillArmoured: boolean
  readonly burnedAbove: boolean
  readonly snowOrFrost: boolean

  readonly bedWidth_m: number
  readonly depth_m: number
  readonly cutSideSlope_ratio: number
  readonly bermInnerSlope_ratio: number
  readonly bermOuterSlope_ratio: number
  readonly crestWidth_m: number
  readonly bermPerCut_ratio: number
  readonly sectionForm: 'trapezoid' | 'bowl' | 'drawn'
  /** From uphill to the lip at [0, 0]: x downhill, z upward. */
  readonly drawnCut_m: readonly Point[] | null
  readonly bedFall_ratio: number
  readonly checkBanks: boolean
  readonly freeboard_m: number
  readonly freeboardAboveHouse_m: number
  readonly spillHead_m: number
  readonly sillLength_m: number | null
  readonly spillChainage_m: number | null
  readonly notchDepth_m: number
  readonly notchWidth_m: number
  readonly weirCoefficient: number
  readonly ditchRoughness: number
  readonly exitSoil: BareSoil
  readonly exitSoilResistance: SoilResistance
  readonly exitGrass: { [R in GrassRule]: `${R}/${GrassCover<R>}` }[GrassRule]
  readonly exitStone_m: number
  readonly spreaderRule: SpreaderRuleName
  readonly sedimentShare_ratio: number
  readonly swell_ratio: number
  readonly cover: string
  readonly coverCondition: CoverCondition | null
  readonly soilGroup: HydrologicSoilGroup
  readonly soilGroupRule: 'asked' | 'transmission-rate' | 'tightest-layer'
  readonly curveNumber: number | null
  readonly coverWeighting: 'runoff' | 'area'
  readonly initialAbstraction_ratio: 0.2 | 0.05
  readonly wetnessRule: 'table' | 'formula'
  readonly runoffMethod: 'curve-number' | 'green-ampt'
  readonly soilSaturation_ratio: number
  readonly acceptanceChance: number
  readonly acceptanceChanceAboveHouse: number
  readonly stormDuration_h: number
  readonly stormPattern: 'alternating-block' | ScsType
  readonly stormPeakPlace_ratio: number
  readonly rainUplift_ratio: number
  readonly unitForm: 'curved' | 'triangle'
  readonly timeMethod: 'velocity' | 'kirpich' | 'lag'
  readonly sheetLengthRule: 'neh-15-2010' | 'tr-55-1986'
  readonly sheetSurface: string
  readonly shallowSurface: string
  readonly texture: Texture | null
  readonly textureIntake: 'lowest' | 'middle'
  readonly slowestTest_mmh: number | null
  readonly intakeTests: number
  readonly emptyWithin_h: number
  readonly digSoil: DigSoil
  readonly digOutput: 'fast' | 'middle' | 'slow'
  readonly hoursPerDay_h: number
  readonly settlement_ratio: number
  readonly settlementConvention: SettlementConvention
  readonly mulchDepth_m: number
  readonly stakesEvery_m: number
  readonly stakesBend_deg: number
  readonly baseStake: number
  readonly doubtCap_m: number
  readonly aFrameSpan_m: number
  readonly aFramePlumb_m: number
  readonly waterLevelReach_m: number
  readonly unevennessShare_ratio: number
  readonly crestTolerance_mm: number
  readonly sillTolerance_mm: number
  readonly positionLimit_m: number
  readonly digStretch_m: number
  readonly stripDepth_m: number
  readonly soakWidth_m: number
  readonly besideSill_m: number
  readonly bermPlants: 'none' | 'small' | 'trees'
  readonly concentratedFlow_ratio: number
  readonly elevationError_m: number | null
  readonly buildingClearance_m: number
  readonly wallHeight_m: number
  readonly allBuildingsDrawn: boolean
  readonly permissionsAsked: boolean
  readonly mayWatercourse: Permission | null
  readonly mayWetland: Permission | null
  readonly mayEarthworks: Permission | null
  readonly mayBuriedLines: Permission | null
  readonly mayNeighbour: Permission | null
  readonly regulatedHeight_m: number | null
  readonly regulatedVolume_m3: number | null
}

/** The answer to one question of "May I?": it does not apply here, it was asked and allowed, or it was refused. */
export const PERMISSIONS = ['not-here', 'allowed', 'refused'] as const
/** One of `PERMISSIONS`. */
export type Permission = (typeof PERMISSIONS)[number]

/** The questions of "May I?", in the order in which they are asked. */
export const MAY_I = [
  'mayWatercourse',
  'mayWetland',
  'mayEarthworks',
  'mayBuriedLines',
  'mayNeighbour',
] as const satisfies readonly (keyof Settings)[]

/** What the schema says of one setting. */
export interface SettingEntry {
  readonly unit: string
  readonly default: number | string | boolean | null
  /** Smallest and largest value that is taken. */
  readonly range?: readonly [number, number]
  readonly values?: readonly (string | number | boolean | null)[]
  readonly nullable?: true
  /** True where the value is a drawn cut: a list of [x, z]. */
  readonly points?: true
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

const choice = (
  value: string | number | null,
  values: readonly (string | number | null)[],
  meaning: string,
  source: string,
  known: Known,
): SettingEntry => ({
  unit: typeof value === 'number' ? '1' : 'code',
  default: value,
  values,
  ...(values.includes(null) ? { nullable: true as const } : {}),
  meaning,
  source,
  known,
})

const PRACTICE = 'common practice, no source'
const JUDGEMENT = 'judgement'
const MINNESOTA = 'Minnesota Stormwater Manual, setbacks of infiltration practices'

/** The limits of the ground as settings; the depth of the ditch is one of its own. */
function groundEntries(): Record<Exclude<keyof GroundLimits, 'depth_m'>, SettingEntry> {
  const { depth_m: _depth, ...limits } = GROUND_LIMITS
  return Object.fromEntries(
    Object.entries(limits).map(([key, { range, ...entry }]) => [
      key,
      {
        ...entry,
        ...(range ? { range } : { values: [true, false, null] }),
        ...(entry.default === null ? { nullable: true as const } : {}),
      },
    ]),
  ) as unknown as Record<Exclude<keyof GroundLimits, 'depth_m'>, SettingEntry>
}

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
  sectionForm: choice(
    'trapezoid',
    ['trapezoid', 'bowl', 'drawn'],
    'Form of the ditch: flat bed with straight sides, a bowl as wide at the lip, or as it is drawn.',
    PRACTICE,
    'common-practice',
  ),
  drawnCut_m: {
    unit: 'm',
    default: null,
    nullable: true,
    points: true,
    meaning:
      'A drawn cut: points [x downhill, z upward] from uphill to the downhill lip at [0, 0]. It is dug as deep as depth_m: its last side goes on up to there, or ends there.',
    source: 'the user',
    known: 'judgement',
  },
  bedFall_ratio: number(
    'rise/run',
    0,
    [0, 0.02],
    'Fall of the bed towards the spill; 0 is level. At most about 1 %, a bare bed 0.25 %.',
    `${PRACTICE}; published grades of contour ditches run from 0.25 % (Hudson) to 1 % (Peace Corps)`,
    'common-practice',
  ),
  checkBanks: {
    unit: 'yes/no',
    default: false,
    meaning: 'Low banks across a falling bed, so close that the water of each reaches the next.',
    source: JUDGEMENT,
    known: 'judgement',
  },
  freeboard_m: number(
    'm',
    0.15,
    [0.02, 2],
    'Least height from the highest water of the acceptance storm up to the settled crest.',
    `${JUDGEMENT}: 0.15 m; FHWA HEC-22 §5.2.4 asks about as much of roadside channels`,
    'judgement',
  ),
  freeboardAboveHouse_m: number('m', 0.3, [0.02, 2], 'The same where a house lies on the way of the overflow.', JUDGEMENT, 'judgement'),
  spillHead_m: number(
    'm',
    0.1,
    [0.02, 1],
    'How high the acceptance storm may stand over the long sill; the sill’s length follows from it.',
    JUDGEMENT,
    'judgement',
  ),
  sillLength_m: {
    unit: 'm',
    default: null,
    range: [0.1, 1000],
    nullable: true,
    meaning: 'Length of the long sill; null: as long as the acceptance storm asks.',
    source: 'computed',
    known: 'derived',
  },
  spillChainage_m: {
    unit: 'm',
    default: null,
    range: [0, 100_000],
    nullable: true,
    meaning: 'Where the ditch spills, along the line from its first point; null: the better of the places found.',
    source: 'computed',
    known: 'derived',
  },
  notchDepth_m: number('m', 0.05, [0, 1], 'How far the low notch lies under the long sill; 0 for none.', JUDGEMENT, 'judgement'),
  notchWidth_m: number('m', 0.5, [0, 20], 'Width of the low notch for small storms; 0 for none.', JUDGEMENT, 'judgement'),
  weirCoefficient: number(
    '√m/s',
    1.45,
    [1, 2.5],
    'How freely water passes the sill.',
    `${JUDGEMENT} within FHWA HEC-22 3rd ed. (2009) Table 8-1, 1.4–1.5`,
    'judgement',
  ),
  ditchRoughness: number(
    's/m^(1/3)',
    0.08,
    [0.01, 0.4],
    'Roughness (Manning’s n) of the ditch in growth, which raises the water at its far end.',
    'Chow (1959), Open-Channel Hydraulics, Table 5-6, weeds as high as the flow',
    'published',
  ),
  exitSoil: choice('firm-loam', BARE_SOILS, 'Soil of the slope below the spill.', JUDGEMENT, 'judgement'),
  exitSoilResistance: choice(
    'erodible',
    ['erodible', 'resistant'],
    'How well that soil resists under grass.',
    `${JUDGEMENT}; USDA SCS-TP-61 tells the two apart`,
    'judgement',
  ),
  exitGrass: choice(
    'tp-61/grass-mixture-canarygrass',
    Object.entries(GRASS_VELOCITY_fts).flatMap(([rule, covers]) => Object.keys(covers).map(cover => `${rule}/${cover}`)),
    'Stand of grass below the spill, by the published rule that is trusted; the two rules disagree about canarygrass and native mixtures.',
    'USDA SCS-TP-61; Kansas Admin. Regs 5-40-56',
    'published',
  ),
  exitStone_m: number('m', 0.1, [0.01, 1], 'Middle size of the stone laid where neither soil nor grass holds.', JUDGEMENT, 'judgement'),
  spreaderRule: choice(
    'hathaway-hunt-grass',
    Object.keys(SPREADER_RULES),
    'Published rule for the length of a level sill that spreads water over the slope; the rules differ by twenty times.',
    'Hathaway & Hunt; TRCA; NC 15A NCAC 02H .1059: all are shown',
    'published',
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
  soilGroupRule: choice(
    'asked',
    ['asked', 'transmission-rate', 'tightest-layer'],
    'Soil group as given, or from the slowest intake test by one of two published rules; for a sandy loam they may lie two groups apart.',
    'USDA TR-55 (1986) App. A; USDA-NRCS NEH Part 630 ch. 7 (2009)',
    'published',
  ),
  curveNumber: {
    unit: '1',
    default: null,
    range: [1, 100],
    nullable: true,
    meaning: 'Curve number given outright; null takes it from cover, condition and soil group.',
    source: 'USDA TR-55 (1986)',
    known: 'judgement',
  },
  coverWeighting: choice(
    'runoff',
    ['runoff', 'area'],
    'How several covers count together: each by its own runoff, or by one curve number weighted by area (less runoff in small storms).',
    'USDA-NRCS NEH Part 630 ch. 10 (2004) Example 10-3; USDA TR-55 (1986) ch. 2',
    'published',
  ),
  initialAbstraction_ratio: choice(
    0.2,
    [0.2, 0.05],
    'Share of the retention that rain must fill before any runs off.',
    '0.2: USDA TR-55 (1986); 0.05: Woodward et al. (2003)',
    'published',
  ),
  wetnessRule: choice(
    'table',
    ['table', 'formula'],
    'How the curve number of dry and wet ground is taken from that of usual ground.',
    'USDA-NRCS NEH Part 630 ch. 10 (2004) Table 10-1; Mishra & Singh (2003) eq. 3.145, which leaves it by up to 2.5',
    'published',
  ),
  runoffMethod: choice(
    'curve-number',
    ['curve-number', 'green-ampt'],
    'How runoff is worked out: by curve number, or by what the soil’s texture takes in (Green–Ampt).',
    'USDA TR-55 (1986); Chow, Maidment & Mays (1988) §4.4 (from memory)',
    'published',
  ),
  soilSaturation_ratio: number(
    '1',
    0.5,
    [0, 1],
    'How wet the soil is before the storm, for Green–Ampt; spills are checked on soil that is nearly full.',
    JUDGEMENT,
    'judgement',
  ),
  acceptanceChance: number(
    'chance per year',
    0.04,
    [0.0001, 1],
    'Chance each year of the storm that the ditch is judged by.',
    `${JUDGEMENT}: 1 in 25 where nothing lies below, 1 in 100 where a house does`,
    'judgement',
  ),
  acceptanceChanceAboveHouse: number(
    'chance per year',
    0.01,
    [0.0001, 1],
    'The same where a house lies on the way of the overflow or of a breach.',
    `${JUDGEMENT}: 1 in 100`,
    'judgement',
  ),
  stormDuration_h: number('h', 24, [0.05, 240], 'Duration of that storm.', JUDGEMENT, 'judgement'),
  stormPattern: choice(
    'alternating-block',
    ['alternating-block', ...SCS_TYPES],
    'How the storm’s rain is spread over its hours: from the place’s own table, or by one of four national 24-hour patterns, which know no short bursts.',
    'FHWA HDS-2 2nd ed. (2002) Example 6.6; USDA SCS TR-20 and TR-55',
    'published',
  ),
  stormPeakPlace_ratio: number(
    '1',
    0.5,
    [0, 1],
    'Where in the storm its heaviest burst falls.',
    'FHWA HDS-2 2nd ed. (2002) Example 6.6: the middle',
    'published',
  ),
  rainUplift_ratio: number(
    '×',
    1,
    [0.5, 3],
    'Factor on all rain, for a changing climate; none is assumed.',
    'the user, from the climate service of the place',
    'judgement',
  ),
  timeMethod: choice(
    'velocity',
    ['velocity', 'kirpich', 'lag'],
    'How the time is worked out in which water gathers from the whole slope.',
    'USDA TR-55 (1986) ch. 3; Kirpich (1940); USDA-NRCS NEH Part 630 ch. 15 (2010)',
    'published',
  ),
  sheetLengthRule: choice(
    'neh-15-2010',
    ['neh-15-2010', 'tr-55-1986'],
    'How far water runs as a sheet before it gathers: 30.5 m by the newer rule, 91 m by the older one.',
    'USDA-NRCS NEH Part 630 ch. 15 (2010): 100 ft; USDA TR-55 (1986): 300 ft',
    'published',
  ),
  unitForm: choice(
    'curved',
    ['curved', 'triangle'],
    'Form of the flood that one burst makes: the tabled curve, or a triangle of peak rate factor 484.',
    'USDA-NRCS NEH Part 630 ch. 16, Table 16-1',
    'published',
  ),
  sheetSurface: choice(
    'short-grass-prairie',
    SHEET_SURFACES.map(({ surface }) => surface),
    'Ground at the top of the slope, where water runs as a thin sheet.',
    'USDA TR-55 (1986) Table 3-1',
    'judgement',
  ),
  shallowSurface: choice(
    'short-grass-pasture',
    SHALLOW_SURFACES.map(({ surface }) => surface),
    'Ground further down, where it gathers in rills.',
    'USDA-NRCS NEH Part 630 ch. 15 (2010) Table 15-3',
    'judgement',
  ),
  texture: choice(
    null,
    [...TEXTURES, null],
    'Texture of the soil at the bed, as felt in a pit; null: nobody has looked.',
    'the user',
    'judgement',
  ),
  textureIntake: choice(
    'lowest',
    ['lowest', 'middle'],
    'Which published intake of a texture is counted while nobody has tested; they differ tenfold.',
    `${JUDGEMENT}: the lowest`,
    'judgement',
  ),
  slowestTest_mmh: {
    unit: 'mm/h',
    default: null,
    range: [0, 2000],
    nullable: true,
    meaning: 'Slowest intake that was measured at the depth of the bed; half of it is counted.',
    source: 'the user’s tests; safety factor 2: Minnesota Stormwater Manual',
    known: 'judgement',
  },
  intakeTests: number('count', 0, [0, 100], 'How many intake tests were made; three are needed.', 'BRE Digest 365: three', 'published'),
  emptyWithin_h: number(
    'h',
    48,
    [6, 240],
    'Hours within which the full ditch is to soak empty.',
    'state stormwater manuals, 24–72 h (from memory, unchecked)',
    'from-memory',
  ),
  digSoil: choice('firm', DIG_SOILS, 'How the ground digs.', JUDGEMENT, 'judgement'),
  digOutput: choice(
    'middle',
    ['fast', 'middle', 'slow'],
    'Which of the published outputs of digging by hand is taken; they run from 1.5 to 5 m³ a day.',
    'Indian schedule of rates for rural works; ILO/ASIST Technical Brief 2 (1998, from memory)',
    'published',
  ),
  hoursPerDay_h: number('h', 6, [1, 12], 'Hours that one person digs in a day.', JUDGEMENT, 'judgement'),
  settlement_ratio: number(
    '1',
    0.25,
    [0, 0.6],
    'Share of height by which the loose berm settles.',
    'hand-dumped fill, upper end (from memory, unchecked); published allowances run from 5 to 25 %',
    'from-memory',
  ),
  settlementConvention: choice(
    'of-settled',
    ['of-settled', 'of-built'],
    'What that share is counted of: the settled height or the built one. Sources seldom say.',
    JUDGEMENT,
    'judgement',
  ),
  mulchDepth_m: number(
    'm',
    0.1,
    [0, DEEPEST_MULCH_m],
    'Depth of mulch as it is spread on the berm’s crest and outer face.',
    PRACTICE,
    'common-practice',
  ),
  stakesEvery_m: number('m', 5, [0.5, 100], 'Greatest distance between two stakes.', PRACTICE, 'common-practice'),
  stakesBend_deg: number('°', 15, [1, 180], 'Turn of the line that gets a stake of its own.', JUDGEMENT, 'judgement'),
  baseStake: number(
    'count',
    1,
    [1, 1000],
    'Number of the stake from which tape and bearing to the others are given; the last where there are fewer.',
    JUDGEMENT,
    'judgement',
  ),
  doubtCap_m: number('m', 20, [1, 1000], 'The doubt of a stake’s place is cut off here.', JUDGEMENT, 'judgement'),
  aFrameSpan_m: number(
    'm',
    2,
    [0.5, 5],
    'Distance between the legs of the A-frame.',
    'Hesperian, and the Rural Agricultural Development Authority of Jamaica: about 2 m',
    'published',
  ),
  aFramePlumb_m: number(
    'm',
    1.2,
    [0.3, 3],
    'From the nail of the plumb line down to the crossbar of the A-frame.',
    'Hesperian, and the Rural Agricultural Development Authority of Jamaica: about 1.2 m',
    'published',
  ),
  waterLevelReach_m: number(
    'm',
    10,
    [1, 50],
    'How far apart the two staffs of the water level can stand.',
    'hoses of 10 to 20 m (from memory, unchecked)',
    'from-memory',
  ),
  unevennessShare_ratio: number(
    '1',
    0.1,
    [0.01, 0.5],
    'How uneven the bed may be from its highest to its lowest, in parts of the depth of water; about as much of the storage is lost.',
    'geometry of a wedge of water: 1 − (1 − (1 − e)³)/(3e)',
    'published',
  ),
  crestTolerance_mm: number('mm', 20, [0, 200], 'How far the settled crest may lie under the plan.', JUDGEMENT, 'judgement'),
  sillTolerance_mm: number(
    'mm',
    6.35,
    [0, 100],
    'How far the sill may lie off its level, to either side.',
    'North Carolina 15A NCAC 02H .1059',
    'published',
  ),
  positionLimit_m: number(
    'm',
    10,
    [1, 100],
    'A device that is less sure of its own position than this leads to no stake.',
    JUDGEMENT,
    'judgement',
  ),
  digStretch_m: number('m', 10, [1, 100], 'Length of one stretch of the digging plan.', JUDGEMENT, 'judgement'),
  stripDepth_m: number('m', 0.1, [0, 0.5], 'Turf and topsoil taken off where ditch and berm will be.', JUDGEMENT, 'judgement'),
  soakWidth_m: number(
    'm',
    3,
    [0, 20],
    'Width of ground below the berm in which trees reach the water; fruit trees stand 1 to 2 m below its toe.',
    JUDGEMENT,
    'judgement',
  ),
  besideSill_m: number('m', 3, [0, 50], 'Nothing woody grows this near to the sill.', JUDGEMENT, 'judgement'),
  bermPlants: choice(
    'small',
    ['none', 'small', 'trees'],
    'Woody plants on the berm. Practice plants trees on low berms, guidance for dams forbids them.',
    JUDGEMENT,
    'judgement',
  ),
  concentratedFlow_ratio: number(
    '1',
    0.3,
    [0.01, 1],
    'Where this share of the line’s water arrives within one cell, the line crosses concentrated flow.',
    JUDGEMENT,
    'judgement',
  ),
  elevationError_m: {
    unit: 'm',
    default: null,
    range: [0, 50],
    nullable: true,
    meaning:
      'Standard error of the raster’s heights, from its metadata or a check on site; where null, 0.15 m is reckoned with on cells up to 2 m and 0.5 m on coarser ones; against the floor of a building 0.5 m on all.',
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
  triedTerrains: number(
    'count',
    200,
    [0, 2000],
    'How many terrains are tried with the heights as wrong as they may be; 0 tries none.',
    `${JUDGEMENT}: 0 of 200 still allows 1.5 % at 95 % confidence`,
    'judgement',
  ),
  correlatedError_ratio: number(
    '1',
    0.7,
    [0, 1],
    'Part of the heights’ error (of its variance) that neighbouring cells share.',
    `${JUDGEMENT}: error that differs from cell to cell alone cancels over a few metres and is too kind to long ways`,
    'judgement',
  ),
  errorCorrelation_m: number('m', 20, [0, 1000], 'How far the shared part of the error reaches.', JUDGEMENT, 'judgement'),
  sillArmoured: {
    unit: 'yes/no',
    default: false,
    meaning: 'True where a sill on fill will be armoured, with a cut-off: then places between the ends may spill.',
    source: 'the user',
    known: 'judgement',
  },
  burnedAbove: {
    unit: 'yes/no',
    default: false,
    meaning: 'True where the slope above burned and has not grown back: it counts as bare soil.',
    source: 'the user',
    known: 'judgement',
  },
  snowOrFrost: {
    unit: 'yes/no',
    default: false,
    meaning: 'True where the water may come from melting snow or off frozen ground: no method here holds there.',
    source: 'USDA TR-55 (1986) ch. 2: not for snowmelt or frozen ground',
    known: 'published',
  },
  ...groundEntries(),
  allBuildingsDrawn: {
    unit: 'yes/no',
    default: false,
    meaning: 'True once every building down to the stream is drawn, the neighbours’ too.',
    source: 'the user',
    known: 'judgement',
  },
  mayWatercourse: choice(null, [...PERMISSIONS, null], 'Does the work touch a watercourse? Null: not answered.', 'the user', 'judgement'),
  mayWetland: choice(null, [...PERMISSIONS, null], 'Does it touch a wetland or protected ground?', 'the user', 'judgement'),
  mayEarthworks: choice(null, [...PERMISSIONS, null], 'Does the place ask for consent to earthworks?', 'the user', 'judgement'),
  mayBuriedLines: choice(null, [...PERMISSIONS, null], 'Has the utility locator marked the buried lines?', 'the user', 'judgement'),
  mayNeighbour: choice(null, [...PERMISSIONS, null], 'Does water newly run onto a neighbour, and is he content?', 'the user', 'judgement'),
  regulatedHeight_m: {
    unit: 'm',
    default: null,
    range: [0.1, 20],
    nullable: true,
    meaning: 'Height of embankment from which local rules ask for a licensed engineer; null: not looked up.',
    source: 'the local authority',
    known: 'judgement',
  },
  regulatedVolume_m3: {
    unit: 'm3',
    default: null,
    range: [1, 1e7],
    nullable: true,
    meaning: 'Stored volume from which local rules ask for one; null: not looked up.',
    source: 'the local authority',
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
  if (entry.points) return problemWithCut(value)
  if (entry.values)
    return entry.values.includes(value as string | number | boolean)
      ? null
      : `is ${JSON.stringify(value)}; it must be one of ${entry.values.filter(v => v !== null).join(', ')}`
  if (typeof entry.default === 'boolean') return typeof value === 'boolean' ? null : `is ${JSON.stringify(value)}; it must be true or false`
  const [low, high] = entry.range!
  return typeof value === 'number' && value >= low && value <= high
    ? null
    : `is ${JSON.stringify(value)}; it must be a number from ${low} to ${high} ${entry.unit}`
}

/** Points of a drawn cut at most, and how far they may lie from the lip. Source: judgement. */
const CUT = { most: 50, reach_m: 20 }

const POINT_SCHEMA = { type: 'array', items: { type: 'number', minimum: -CUT.reach_m, maximum: CUT.reach_m }, minItems: 2, maxItems: 2 }

function problemWithCut(value: unknown): string | null {
  const isPoint = (p: unknown): p is Point =>
    Array.isArray(p) && p.length === 2 && p.every(v => typeof v === 'number' && Math.abs(v) <= CUT.reach_m)
  if (!Array.isArray(value) || value.length < 3 || value.length > CUT.most || !value.every(isPoint))
    return `must be a list of 3 to ${CUT.most} points [x, z], in metres, none further than ${CUT.reach_m} m from the lip`
  const [lip, inside] = [value[value.length - 1]!, value[value.length - 2]!]
  if (lip[0] !== 0 || lip[1] !== 0) return 'must end at the downhill lip, [0, 0]'
  if (value.some(([x], k) => k > 0 && x < value[k - 1]![0])) return 'runs from uphill to downhill: its x may never turn back'
  if (inside[1] >= 0 || value[0]![1] <= Math.min(...value.map(([, z]) => z))) return 'must rise from its bed to both sides'
  return null
}

/** JSON Schema (2020-12) of a settings file. */
export function settingsSchema(): Record<string, unknown> {
  const properties = Object.fromEntries(
    KEYS.map(key => {
      const { unit, default: value, range, values, points, nullable, meaning, source, known }: SettingEntry = SETTINGS[key]
      const type = points
        ? { type: ['array', 'null'], items: POINT_SCHEMA, minItems: 3, maxItems: CUT.most }
        : values
          ? {}
          : typeof value === 'boolean'
            ? { type: 'boolean' }
            : { type: nullable ? ['number', 'null'] : 'number' }
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
