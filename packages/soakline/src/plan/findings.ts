import { SPREADER_LENGTHS_m } from '../earthworks/index.js'
import { type Finding, graver, type Verdict, type Warning } from '../foundation/index.js'
import { type Catchment, FEWEST_TESTS, type RainTable, soilVerdict } from '../hydrology/index.js'
import { errorBesideHouse_m } from '../raster/index.js'
import {
  type BreachAnswer,
  type BreachStake,
  type BuildingNear,
  FLOW_DEPTH_m,
  HEIGHT_MATTERS_m,
  type NoGoStretch,
  type Overflow,
  type OverflowJudgement,
  type SpillChoice,
  verticalIntervals,
} from '../siting/index.js'
import type { Assessment, StormAnswer } from './assessment.js'
import { bareAbove } from './ground-cover.js'
import type { LineDitch } from './line-ditch.js'
import { OFF_LEVEL } from './off-level.js'
import { MAY_I, type Settings } from './settings.js'
import type { Soaking } from './soaking.js'
import type { Spillway } from './spillway.js'
import type { NoStorm, StormWater } from './storm-water.js'

type Parts = Partial<Omit<Finding, 'check' | 'verdict' | 'because'>>

function finding(check: Finding['check'], verdict: Verdict, because: string, parts: Parts = {}): Finding {
  return { check, verdict, measured: null, limit: null, unit: null, chainage_m: null, because, source: 'judgement', details: {}, ...parts }
}

/** Is one cell small enough against the ditch? A feature narrower than three cells is not seen by a raster. */
export function groundFit(
  cell_m: number,
  settings: Settings,
  about: { readonly warnings?: readonly Warning[]; readonly slope_ratio?: number; readonly berm_m?: number } = {},
): Finding {
  const { bedWidth_m, elevationError_m } = settings
  const parts: Parts = {
    measured: cell_m,
    limit: bedWidth_m / 3,
    unit: 'm',
    source: 'judgement: a feature must be three cells wide to show',
    details: { bedWidth_m, elevationError_m },
  }
  if (cell_m > 5 * Math.max(bedWidth_m, 1))
    return finding('ground-fit', 'fails', 'ground/too-coarse', { ...parts, limit: 5 * Math.max(bedWidth_m, 1) })
  const { warnings = [], slope_ratio = 0, berm_m = 0 } = about
  if (warnings.some(warning => warning.code === 'grid/looks-like-surface-model'))
    return finding('ground-fit', 'watch', 'ground/surface-model', { ...parts, measured: null, limit: null, unit: null })
  const said_m = (code: string, key: string): number => Number(warnings.find(warning => warning.code === code)?.details[key] ?? 0)
  // Heights that were packed with an error come in steps of twice the error.
  const quantum_m = Math.max(said_m('grid/quantised', 'quantum_m'), 2 * said_m('grid/packed-with-error', 'error_m'))
  if (berm_m > 0 && quantum_m >= berm_m / 4)
    return finding('ground-fit', 'watch', 'ground/steps-too-large', {
      ...parts,
      measured: quantum_m,
      limit: berm_m / 4,
      source: 'judgement: heights in steps of a quarter of the berm cannot show it',
    })
  // A level line shifts by the error over the slope: by more than half the spacing of lines the raster does not tell one from the next.
  if (elevationError_m !== null && slope_ratio > 0 && slope_ratio <= 1) {
    const spacing_m = verticalIntervals(slope_ratio).low_m
    if (elevationError_m / slope_ratio > spacing_m / 2)
      return finding('ground-fit', 'watch', 'ground/slope-too-gentle', {
        ...parts,
        measured: elevationError_m / slope_ratio,
        limit: spacing_m / 2,
        source: 'published spacings of contour works, the closest of them',
        details: { ...parts.details, slope_ratio },
      })
  }
  if (cell_m > bedWidth_m / 3) return finding('ground-fit', 'watch', 'ground/coarse', parts)
  if (elevationError_m === null) return finding('ground-fit', 'unknown', 'ground/error-unknown', parts)
  return finding('ground-fit', 'holds', 'ground/fine-enough', parts)
}

/** The questions of "May I?": all answered, one refused, or some still open. */
export function permissionsAsked(settings: Settings): Finding {
  const check = 'permissions-asked'
  const source = 'answered by the user'
  const refused = MAY_I.filter(key => settings[key] === 'refused')
  if (refused.length > 0) return finding(check, 'fails', 'permissions/refused', { source, details: { questions: refused.join(',') } })
  const open = MAY_I.filter(key => settings[key] === null)
  if (settings.permissionsAsked || open.length === 0) return finding(check, 'holds', 'permissions/answered', { source })
  return finding(check, 'unknown', 'permissions/not-answered', { source, details: { questions: open.join(',') } })
}

/** Is the bank under the size from which local rules ask for an engineer? Unknown until somebody has looked them up. */
export function localLimits(
  height_m: number | null,
  stored_m3: number | null,
  { regulatedHeight_m, regulatedVolume_m3 }: Settings,
): Finding {
  const check = 'local-limits'
  const source = 'the local authority; as an example MD-378 counts 3 ft of water against fill as a pond'
  if (height_m === null || stored_m3 === null) return finding(check, 'unknown', 'limits/no-ditch', { source })
  const details = { height_m, stored_m3, regulatedHeight_m, regulatedVolume_m3 }
  if (regulatedHeight_m !== null && height_m >= regulatedHeight_m)
    return finding(check, 'fails', 'limits/too-high', { measured: height_m, limit: regulatedHeight_m, unit: 'm', source, details })
  if (regulatedVolume_m3 !== null && stored_m3 >= regulatedVolume_m3)
    return finding(check, 'fails', 'limits/too-much', { measured: stored_m3, limit: regulatedVolume_m3, unit: 'm3', source, details })
  return regulatedHeight_m === null || regulatedVolume_m3 === null
    ? finding(check, 'unknown', 'limits/not-looked-up', { source, details })
    : finding(check, 'holds', 'limits/under', { measured: height_m, limit: regulatedHeight_m, unit: 'm', source, details })
}

/** Whether the line keeps off no-go ground: any stretch on it fails; without a drawn feature nobody can tell. */
export function lineOffNoGo(stretches: readonly NoGoStretch[], lineLength_m: number, features: number): Finding {
  const first = stretches[0]
  if (first) {
    const length_m = stretches.reduce((sum, s) => sum + s.to_m - s.from_m, 0)
    const reasons = [...new Set(stretches.flatMap(s => s.reasons))].join(',')
    return finding('line-off-no-go', 'fails', 'no-go/on-line', {
      measured: length_m,
      limit: 0,
      unit: 'm',
      chainage_m: first.from_m,
      source: 'the limits in the settings',
      details: { reasons, length_m, from_m: first.from_m, to_m: stretches[stretches.length - 1]!.to_m, line_m: lineLength_m },
    })
  }
  const parts: Parts = { measured: 0, limit: 0, unit: 'm', source: 'the limits in the settings' }
  return features === 0
    ? finding('line-off-no-go', 'unknown', 'no-go/features-missing', { ...parts, measured: null })
    : finding('line-off-no-go', 'holds', 'no-go/none-found', parts)
}

/** Ground where a professional is to be asked, or the place looked at, before anything is dug. Nothing is ever cleared by the lack of a reason. */
export function cautionsOnLine(stretches: readonly NoGoStretch[], { weakSoil }: Settings): Finding {
  const check = 'cautions-on-line'
  const source = 'infinite slope on the wet case, and signs that ask for a professional; judgement'
  const first = stretches[0]
  if (first) {
    const length_m = stretches.reduce((sum, s) => sum + s.to_m - s.from_m, 0)
    return finding(check, 'watch', 'ground/ask-professional', {
      measured: length_m,
      limit: 0,
      unit: 'm',
      chainage_m: first.from_m,
      source,
      details: {
        reasons: [...new Set(stretches.flatMap(s => s.reasons))].join(','),
        length_m,
        from_m: first.from_m,
        to_m: stretches[stretches.length - 1]!.to_m,
      },
    })
  }
  return weakSoil === null
    ? finding(check, 'unknown', 'ground/soil-not-looked-at', { source })
    : finding(check, 'holds', 'ground/no-caution-found', { source })
}

/** A line across a hollow where water gathers is a dam in a gully. */
export function lineAcrossFlow(
  most: { readonly chainage_m: number; readonly share_ratio: number; readonly area_m2: number } | null,
  { concentratedFlow_ratio }: Settings,
): Finding {
  const check = 'line-across-flow'
  if (most === null) return finding(check, 'unknown', 'flow/no-water', { limit: concentratedFlow_ratio, unit: '1' })
  const parts: Parts = {
    measured: most.share_ratio,
    limit: concentratedFlow_ratio,
    unit: '1',
    chainage_m: most.chainage_m,
    details: { area_m2: most.area_m2 },
  }
  return most.share_ratio > concentratedFlow_ratio
    ? finding(check, 'watch', 'flow/concentrated', parts)
    : finding(check, 'holds', 'flow/spread-out', parts)
}

/** Does the soil take the water before the next storm? */
export function soilSoaks(soaks: Soaking, { emptyWithin_h, intakeTests, slowestTest_mmh }: Settings): Finding {
  const check = 'soil-soaks'
  const { infiltration_mmh, emptyAfter_h, infiltrationSource, record } = soaks
  const gravest = record?.reasons[0]
  if (record && gravest && record.pits.dug > 0) {
    const verdict = soilVerdict(record)
    // What holds is told with its hours; anything else with its gravest reason.
    if (verdict !== 'holds')
      return finding(check, verdict, gravest.code, {
        measured: emptyAfter_h,
        limit: emptyWithin_h,
        unit: 'h',
        source: gravest.source,
        details: {
          ...gravest.values,
          answer: record.answer,
          pit: gravest.pit,
          drainFall_ratio: soaks.leadAway?.design?.fall_ratio ?? null,
        },
      })
  }
  if (infiltration_mmh === null) return finding(check, 'unknown', 'soil/no-pits', { source: 'the pits and intake tests of the user' })
  const tests = record && record.pits.dug > 0 ? FEWEST_TESTS : slowestTest_mmh === null ? 0 : intakeTests
  const parts: Parts = {
    measured: emptyAfter_h,
    limit: emptyWithin_h,
    unit: 'h',
    source: infiltrationSource ?? 'the pits and intake tests of the user',
    details: { infiltration_mmh, tests, fewestTests: FEWEST_TESTS, drainFall_ratio: soaks.leadAway?.design?.fall_ratio ?? null },
  }
  if (infiltration_mmh === 0) return finding(check, 'fails', 'soil/takes-no-water', parts)
  if (emptyAfter_h === null) return finding(check, 'unknown', 'soil/no-ditch', parts)
  if (emptyAfter_h > emptyWithin_h) return finding(check, 'fails', 'soil/too-slow', parts)
  return tests >= FEWEST_TESTS ? finding(check, 'holds', 'soil/soaks', parts) : finding(check, 'watch', 'soil/by-texture-only', parts)
}

/** The area as the sum of shares and the area of its outline may differ by this much. */
const OUTLINE_LIMIT = 0.05

/** Filled hollows and flats over this part of the catchment leave its ways to the filling. Source: judgement. */
const FLAT_LIMIT = 0.1

/** Whether the whole catchment lies on the raster, and is told the same by its cells and by its outline. */
export function catchmentComplete(catchment: Catchment, polygonArea_m2: number, flat_ratio = 0): Finding {
  const { area_m2, edgeShare_ratio, cutByEdge } = catchment
  const details = { area_m2, polygonArea_m2, edgeShare_ratio }
  if (cutByEdge)
    return finding('catchment-complete', 'unknown', 'catchment/cut-by-edge', {
      measured: edgeShare_ratio,
      limit: 0.005,
      unit: '1',
      source: 'inflow across the raster’s rim, counted by share',
      details,
    })
  const difference = area_m2 > 0 ? Math.abs(polygonArea_m2 - area_m2) / area_m2 : 0
  const parts: Parts = { measured: difference, limit: OUTLINE_LIMIT, unit: '1', details }
  if (catchment.drowned.length > 0) return finding('catchment-complete', 'watch', 'catchment/in-hollow', parts)
  if (difference > OUTLINE_LIMIT) return finding('catchment-complete', 'watch', 'catchment/uncertain-outline', parts)
  if (flat_ratio > FLAT_LIMIT)
    return finding('catchment-complete', 'watch', 'catchment/much-filled', { ...parts, measured: flat_ratio, limit: FLAT_LIMIT })
  return finding('catchment-complete', 'holds', 'catchment/complete', {
    measured: edgeShare_ratio,
    limit: 0.005,
    unit: '1',
    source: 'inflow across the raster’s rim, counted by share',
    details,
  })
}

/** Where the tried terrains leave the area open by more than two times, the range is the answer. */
export function catchmentInDoubt(plain: Finding, low_m2: number, high_m2: number): Finding {
  const wide = low_m2 > 0 ? high_m2 / low_m2 : Number.POSITIVE_INFINITY
  if (!(wide > WIDE_RANGE) || plain.verdict === 'fails' || plain.verdict === 'unknown') return plain
  return {
    ...plain,
    verdict: 'watch',
    because: 'catchment/wide-range',
    measured: wide,
    limit: WIDE_RANGE,
    unit: '1',
    details: { ...plain.details, low_m2, high_m2 },
  }
}

/** Much filled ground is told with both ends: its hollows run over, or hold their water. */
export const catchmentIfHeld = (plain: Finding, heldArea_m2: number): Finding => ({ ...plain, details: { ...plain.details, heldArea_m2 } })

/** A catchment whose unfavourable end is this many times its favourable one asks to watch. Source: judgement. */
const WIDE_RANGE = 2

/**
 * Whether the ditch, less its share for sediment, holds the runoff of the acceptance storm; if not, the rest passes over the spill, which is to be
 * watched. Unknown on ground that leaves its level by more than `OFF_LEVEL.most_ratio`: one level of water does not stand on it.
 */
export function storageHoldsStorm(
  storm: StormAnswer | null,
  rain: RainTable | null,
  asked: StormWater | NoStorm | null,
  acceptanceChance: number,
  settings: Settings,
  catchment: Catchment,
  storage: Assessment['storage'],
  groundRange_m: number,
): Finding {
  const check = 'storage-holds-storm'
  if (!rain) return finding(check, 'unknown', 'storage/no-rain-table', { source: 'the rain table of the place' })
  const mostOff_m = OFF_LEVEL.most_ratio * settings.depth_m
  if (groundRange_m > mostOff_m)
    return finding(check, 'unknown', 'storage/line-not-level', {
      measured: groundRange_m,
      limit: mostOff_m,
      unit: 'm',
      details: { depth_m: settings.depth_m },
    })
  if (!storage) return finding(check, 'unknown', 'storage/cannot-be-dug')
  if (!storm) return noStorm(check, asked, acceptanceChance, settings)
  const parts: Parts = {
    measured: storage.afterSediment_m3,
    limit: storm.runoff_m3,
    unit: 'm3',
    source: 'runoff by curve number, USDA TR-55 (1986) ch. 2; storage by average end area',
    details: {
      chancePerYear: storm.chancePerYear,
      duration_h: storm.duration_h,
      rain_mm: storm.rain_mm,
      runoff_mm: storm.runoff_mm,
      kept_m3: storm.kept_m3,
    },
  }
  if (catchment.cutByEdge) return finding(check, 'unknown', 'storage/catchment-cut', parts)
  return storage.afterSediment_m3 >= storm.runoff_m3
    ? finding(check, 'holds', 'storage/holds', parts)
    : finding(check, 'watch', 'storage/passes-through', parts)
}

/** Bare or burned ground above sends soil, which fills the ditch and lies down before the sill; asked about whatever the storm. */
export const bareAboveLine = (settings: Settings): Finding[] =>
  bareAbove(settings) ? [finding('storage-holds-storm', 'watch', 'storage/bare-above', { details: { burned: settings.burnedAbove } })] : []

/** Where snow or frost sends the water, what was worked out from rain is not known; what fails in rain fails all the same. */
export const inSnow = (found: Finding, { snowOrFrost }: Settings): Finding =>
  snowOrFrost && FROM_RAIN.includes(found.check) && found.verdict !== 'fails'
    ? finding(found.check, 'unknown', 'storm/snow-or-frost', { source: 'USDA TR-55 (1986) ch. 2: not for snowmelt or frozen ground' })
    : found

/** Checks that rest on what a storm sends. */
const FROM_RAIN: readonly Finding['check'][] = [
  'storage-holds-storm',
  'spill-carries-peak',
  'freeboard',
  'exit-holds',
  'water-against-fill',
]

/** A finding about a storm that could not be worked out. */
const noStorm = (
  check: Finding['check'],
  asked: StormWater | NoStorm | null,
  chancePerYear: number,
  { stormDuration_h }: Settings,
): Finding =>
  finding(check, 'unknown', asked === 'storm/no-texture' ? 'storage/no-texture' : 'storage/storm-outside-table', {
    source: 'the rain table of the place',
    details: { chancePerYear, duration_h: stormDuration_h },
  })

/** Can the acceptance storm leave over the sill, with the ditch full, nothing soaking and the notch blocked? */
export function spillCarriesPeak(
  spill: Spillway | null,
  acceptance: StormWater | null,
  asked: StormWater | NoStorm | null,
  rain: RainTable | null,
  acceptanceChance: number,
  catchment: Catchment,
  settings: Settings,
  lineLength_m: number,
): Finding {
  const check = 'spill-carries-peak'
  if (!rain) return finding(check, 'unknown', 'storage/no-rain-table', { source: 'the rain table of the place' })
  if (!acceptance) return noStorm(check, asked, acceptanceChance, settings)
  const shortest_min = acceptance.wet.hydrograph.shortestBurst_h * 60
  if (acceptance.wet.hydrograph.peak_m3s === null)
    return finding(check, 'unknown', 'spill/no-short-bursts', {
      measured: shortest_min,
      limit: 15,
      unit: 'min',
      source: 'the rain table of the place; peaks rest on bursts of 15 min or less (judgement)',
    })
  if (!spill) return finding(check, 'unknown', 'storage/cannot-be-dug')
  const parts: Parts = {
    measured: spill.length_m,
    limit: spill.neededLength_m,
    unit: 'm',
    chainage_m: spill.chainage_m,
    source: 'broad-crested weir, Q = C L H^1.5 (FHWA HEC-22, 2009); the ditch full, nothing soaking, the notch blocked, wet soil',
    details: {
      chancePerYear: acceptance.chancePerYear,
      peak_m3s: spill.peakInflow_m3s,
      head_m: settings.spillHead_m,
      given: settings.sillLength_m !== null,
      longest_m: SPREADER_LENGTHS_m.most,
    },
  }
  if (catchment.cutByEdge) return finding(check, 'unknown', 'spill/catchment-cut', parts)
  if (spill.length_m < spill.neededLength_m * (1 - 1e-9)) return finding(check, 'fails', 'spill/too-short', parts)
  if (spill.length_m > Math.min(SPREADER_LENGTHS_m.most, lineLength_m / 2)) return finding(check, 'watch', 'spill/very-long', parts)
  return finding(check, 'holds', 'spill/long-enough', parts)
}

/** From the highest water of the acceptance storm up to the settled crest, at every stake against the water's own level there. */
export function freeboardLeft(
  spill: Spillway | null,
  acceptance: StormWater | null,
  freeboard_m: number,
  houseBelow: boolean,
  catchment: Catchment,
): Finding {
  const check = 'freeboard'
  const source = 'water surface by standard step (Chow 1959); judgement: 0.15 m, 0.3 m above a house'
  if (!spill || !acceptance)
    return finding(check, 'unknown', 'freeboard/peak-unknown', { limit: freeboard_m, unit: 'm', source, details: { houseBelow } })
  if (spill.least === null)
    return finding(check, 'fails', 'freeboard/over-berm', {
      limit: freeboard_m,
      unit: 'm',
      source,
      details: { houseBelow, chancePerYear: acceptance.chancePerYear },
    })
  const { chainage_m, freeboard_m: least_m } = spill.water[spill.least]!
  const parts: Parts = {
    measured: least_m,
    limit: freeboard_m,
    unit: 'm',
    chainage_m,
    source,
    details: { houseBelow, chancePerYear: acceptance.chancePerYear },
  }
  if (least_m < 0) return finding(check, 'fails', 'freeboard/over-berm', parts)
  if (catchment.cutByEdge) return finding(check, 'unknown', 'spill/catchment-cut', parts)
  return least_m >= freeboard_m - 1e-9
    ? finding(check, 'holds', 'freeboard/enough', parts)
    : finding(check, least_m < freeboard_m / 2 ? 'fails' : 'watch', 'freeboard/too-little', parts)
}

/** Does the slope below the sill bear the water? Bare in the first year, grassed later, stone where neither does. */
export function exitHolds(spill: Spillway | null): Finding {
  const check = 'exit-holds'
  if (!spill) return finding(check, 'unknown', 'exit/peak-unknown')
  const [bare, grass, stone] = spill.exits as [Spillway['exits'][number], Spillway['exits'][number], Spillway['exits'][number]]
  const parts = (one: Spillway['exits'][number]): Parts => ({
    measured: one.measured,
    limit: one.limit,
    unit: one.unit,
    chainage_m: spill.chainage_m,
    source: one.source,
    details: {
      slope_ratio: spill.exitSlope_ratio,
      depth_m: one.depth_m,
      bare_ms: bare.velocity_ms,
      bareLimit_ms: bare.limit,
      grass_ms: grass.velocity_ms,
      grassLimit_ms: grass.limit,
    },
  })
  if (bare.holds) return finding(check, 'holds', 'exit/bare-holds', parts(bare))
  if (grass.holds) return finding(check, 'watch', 'exit/grass-first', parts(grass))
  return stone.holds ? finding(check, 'watch', 'exit/stone', parts(stone)) : finding(check, 'fails', 'exit/too-fast', parts(stone))
}

/** Depth of water against loose fill: watch over 0.3 m, fails over 0.6 m. */
const AGAINST_FILL_m = [0.3, 0.6] as const

/** The deepest that water stands over the old ground at the berm's inner toe: in the acceptance storm, or at the sill while that is not known. */
export function waterAgainstFill(ditch: LineDitch | null, spill: Spillway | null): Finding {
  if (!ditch) return finding('water-against-fill', 'unknown', 'fill/not-known')
  const each = spill
    ? spill.water.map(({ chainage_m, againstFill_m }) => ({ chainage_m, depth_m: againstFill_m }))
    : ditch.stakes.map(({ chainage_m, section }, k) => ({
        chainage_m,
        depth_m: Math.max(0, ditch.spillLevel_m - ditch.rises_m[k]! - section.lip_z_m),
      }))
  const most = each.reduce((a, b) => (b.depth_m > a.depth_m ? b : a))
  const parts: Parts = {
    measured: most.depth_m,
    limit: AGAINST_FILL_m[0],
    unit: 'm',
    chainage_m: most.chainage_m,
    source: 'judgement; one standard counts 3 ft of water against fill as a pond (MD-378)',
    details: { inStorm: spill !== null },
  }
  if (most.depth_m > AGAINST_FILL_m[1])
    return finding('water-against-fill', 'fails', 'fill/too-deep', { ...parts, limit: AGAINST_FILL_m[1] })
  if (most.depth_m > AGAINST_FILL_m[0]) return finding('water-against-fill', 'watch', 'fill/deep', parts)
  return finding('water-against-fill', 'holds', 'fill/shallow', parts)
}

/** Where a way ends because nobody knows the ground beyond. */
const BEYOND_SIGHT: readonly Overflow['endsIn'][] = ['edge', 'void']

/** True when the path or the band comes within a cell of a building's footprint. */
export const reaches = (overflow: Overflow, cell_m: number): boolean =>
  (overflow.buildings[0]?.distance_m ?? Number.POSITIVE_INFINITY) <= cell_m

/** Height that a floor must have over a flow. Source: the depth of the flow and twice the error of the heights. */
const heightWanted_m = (depth_m: number, { elevationError_m }: Settings): number =>
  Math.max(FLOW_DEPTH_m, depth_m) + 2 * errorBesideHouse_m(elevationError_m)

const isLow = (building: BuildingNear, wanted_m: number): boolean =>
  building.distance_m <= HEIGHT_MATTERS_m && building.heightBelowFloor_m !== null && building.heightBelowFloor_m < wanted_m

/**
 * Does the overflow miss every building? Both ends of the line are judged and the worse one counts: a ditch that is level spills where its
 * berm happens to be lowest until a sill is built.
 */
export function overflowMissesBuildings(
  spills: readonly { readonly chainage_m: number; readonly overflow: Overflow }[],
  buildingsDrawn: boolean,
  settings: Settings,
  cell_m: number,
): Finding {
  const check = 'overflow-misses-buildings'
  const source = 'line of steepest descent on the surface and 1 % band of a dispersive network; clearance in the settings'
  const each = spills.map(({ chainage_m, overflow }): Finding => {
    const building = overflow.buildings[0]
    const parts: Parts = {
      measured: building?.distance_m ?? null,
      limit: settings.buildingClearance_m,
      unit: 'm',
      chainage_m,
      source,
      details: {
        name: building ? (building.name ?? building.id) : null,
        heightBelowFloor_m: building?.heightBelowFloor_m ?? null,
        endsIn: overflow.endsIn,
      },
    }
    if (reaches(overflow, cell_m)) return finding(check, 'fails', 'overflow/reaches-building', parts)
    if (building && building.distance_m < settings.buildingClearance_m) return finding(check, 'watch', 'overflow/near-building', parts)
    const wanted_m = heightWanted_m(0, settings)
    const low = overflow.buildings.find(b => isLow(b, wanted_m))
    if (low)
      return finding(check, 'watch', 'overflow/not-high-enough', {
        ...parts,
        measured: low.heightBelowFloor_m,
        limit: wanted_m,
        details: { ...parts.details, name: low.name ?? low.id, heightBelowFloor_m: low.heightBelowFloor_m, distance_m: low.distance_m },
      })
    if (!settings.allBuildingsDrawn) return finding(check, 'unknown', 'overflow/buildings-not-confirmed', parts)
    if (BEYOND_SIGHT.includes(overflow.endsIn)) return finding(check, 'unknown', 'overflow/leaves-raster', parts)
    return buildingsDrawn ? finding(check, 'holds', 'overflow/misses', parts) : finding(check, 'holds', 'overflow/no-building-drawn', parts)
  })
  each.sort((a, b) => graver(b.verdict, a.verdict) || (a.measured ?? Number.POSITIVE_INFINITY) - (b.measured ?? Number.POSITIVE_INFINITY))
  return each[0] ?? finding(check, 'unknown', 'overflow/no-ground', { source })
}

/** The same with the tried terrains: the unfavourable of both counts. */
export function overflowInDoubt(
  plain: Finding,
  judged: readonly { readonly chainage_m: number; readonly judgement: OverflowJudgement }[],
  { buildingClearance_m }: Settings,
): Finding {
  const tried = judged.map(({ chainage_m, judgement }): Finding => {
    const { verdict, because, building, runs } = judgement
    return finding('overflow-misses-buildings', verdict, because, {
      measured: building?.nearest_m ?? null,
      limit: buildingClearance_m,
      unit: 'm',
      chainage_m,
      source: 'tried terrains with drawn errors of the heights, seeded; exact upper bound at 95 % (Clopper & Pearson 1934)',
      details: {
        name: building ? (building.name ?? building.id) : null,
        reached: building?.reached ?? 0,
        runs,
        atMost_ratio: building?.reachedAtMost_ratio ?? null,
        distance_m: building?.nearest_m ?? null,
        clearance_m: buildingClearance_m,
      },
    })
  })
  const worst = tried.reduce<Finding | null>((bad, one) => (bad === null || graver(one.verdict, bad.verdict) > 0 ? one : bad), null)
  if (worst === null) return plain
  const more = graver(worst.verdict, plain.verdict)
  // Where both hold the tried terrains say more; of an equal doubt the ground as it is says it.
  return more > 0 || (more === 0 && plain.verdict === 'holds') ? worst : plain
}

/** Where no terrains were tried, the ground as it is alone does not let it hold. */
export const overflowUntried = (plain: Finding): Finding =>
  plain.verdict === 'holds' ? { ...plain, verdict: 'watch', because: 'overflow/no-terrains-tried' } : plain

/** A bank across the way that may have a pipe under it turns the water where nobody has looked: asked about, whatever else holds. */
export const culvertOnWay = (plain: Finding, chainage_m: number | null): Finding =>
  chainage_m === null || plain.verdict !== 'holds' ? plain : { ...plain, verdict: 'watch', because: 'overflow/culvert-on-way', chainage_m }

/** Is there a place where it may spill? */
export function spillPlace(choice: SpillChoice, { spillChainage_m }: Settings): Finding {
  const check = 'spill-place'
  const source = 'every place along the line tried; what forbids a place and what speaks for it: judgement'
  const chosen =
    spillChainage_m === null
      ? choice.best === null
        ? null
        : choice.places[choice.best]!
      : choice.places.reduce((near, one) =>
          Math.abs(one.chainage_m - spillChainage_m) < Math.abs(near.chainage_m - spillChainage_m) ? one : near,
        )
  const least = [...choice.places].sort((a, b) => a.rank - b.rank)[0] ?? null
  const told = chosen ?? least
  const parts: Parts = {
    chainage_m: told?.chainage_m ?? null,
    source,
    details: {
      chainage_m: told?.chainage_m ?? null,
      tried: choice.places.length,
      slope_ratio: told?.overflow?.exitSlope_ratio ?? null,
      reasons: told?.reasons.map(reason => reason.code).join(',') ?? null,
    },
  }
  if (told === null || chosen === null) return finding(check, 'fails', 'spill/nowhere-acceptable', parts)
  if (!chosen.acceptable) return finding(check, 'fails', 'spill/place-forbidden', parts)
  if (chosen.reasons.some(reason => reason.code === 'crosses-track')) return finding(check, 'fails', 'spill/crosses-track', parts)
  // Where nobody sees the end of the way, nobody can say that the place is good.
  if (chosen.reasons.some(reason => reason.code === 'leaves-raster')) return finding(check, 'unknown', 'spill/leaves-raster', parts)
  const against = chosen.reasons.some(reason => reason.side === 'against' && WEIGHTY.has(reason.code))
  return finding(check, against ? 'watch' : 'holds', against ? 'spill/place-with-doubts' : 'spill/place-found', parts)
}

/** Reasons that ask for a look on site though they do not forbid. */
const WEIGHTY: ReadonlySet<string> = new Set(['passes-near-building', 'not-high-enough', 'short-forest-run', 'too-fast-grassed'])

/** What the water of a break must not meet, the gravest first; a buried line asks to watch. */
const BREACH_MEETS: readonly BreachStake['below'][] = ['well', 'septic', 'track', 'boundary', 'utility']

/** If the berm gives way anywhere along the line: what lies below? */
export function breachMissesBuildings(
  breach: BreachAnswer | null,
  peakKnown: boolean,
  buildingsDrawn: boolean,
  settings: Settings,
): Finding {
  const check = 'breach-misses-buildings'
  const source = 'every stake tried with all that the ditch holds and the storm still coming; first rush Ritter (1892), an upper bound'
  if (!breach || breach.stakes.length === 0) return finding(check, 'unknown', 'breach/no-ditch', { source })
  const { stakes } = breach
  const parts = (stake: BreachStake): Parts => ({
    measured: stake.nearestBuilding_m,
    limit: settings.buildingClearance_m,
    unit: 'm',
    chainage_m: stake.chainage_m,
    source,
    details: {
      name: stake.nearestBuilding,
      below: stake.below,
      chainage_m: stake.chainage_m,
      heightBelowFloor_m: stake.heightBelowFloor_m,
      peak_m3s: stake.peak_m3s,
      volume_m3: stake.volume_m3,
      endsIn: stake.endsIn,
      stakes: stakes.length,
    },
  })
  const nearest = (some: readonly BreachStake[]): BreachStake =>
    some.reduce((a, b) => ((b.nearestBuilding_m ?? Infinity) < (a.nearestBuilding_m ?? Infinity) ? b : a))
  const hits = stakes.filter(stake => stake.reachesBuilding)
  if (hits.length > 0) return finding(check, 'fails', 'breach/reaches-building', parts(nearest(hits)))
  const near = stakes.filter(stake => (stake.nearestBuilding_m ?? Infinity) < settings.buildingClearance_m)
  if (near.length > 0) return finding(check, 'watch', 'breach/near-building', parts(nearest(near)))
  const low = stakes.filter(
    stake =>
      (stake.nearestBuilding_m ?? Infinity) <= HEIGHT_MATTERS_m &&
      stake.heightBelowFloor_m !== null &&
      stake.heightBelowFloor_m < heightWanted_m(stake.depth_m ?? 0, settings),
  )
  if (low.length > 0) return finding(check, 'watch', 'breach/not-high-enough', parts(nearest(low)))
  const met = BREACH_MEETS.map(kind => stakes.find(stake => stake.below === kind)).find(stake => stake !== undefined)
  if (met) return finding(check, met.below === 'utility' ? 'watch' : 'fails', 'breach/meets', parts(met))
  if (!settings.allBuildingsDrawn) return finding(check, 'unknown', 'breach/buildings-not-confirmed', parts(nearest(stakes)))
  const lost = stakes.find(stake => stake.below === 'not-known')
  if (lost) return finding(check, 'unknown', 'breach/leaves-raster', parts(lost))
  if (!peakKnown) return finding(check, 'unknown', 'breach/peak-unknown', parts(nearest(stakes)))
  const worst = nearest(stakes)
  return finding(check, 'holds', buildingsDrawn ? 'breach/nothing-below' : 'breach/no-building-drawn', parts(worst))
}

/**
 * Does the overflow stay on the holding? Water newly led over a boundary is the neighbour's to allow. The better of the two ends is judged: that is
 * where the ditch is to spill.
 */
export function overflowStaysOnHolding(
  best: { readonly chainage_m: number; readonly overflow: Overflow } | null,
  boundaryDrawn: boolean,
): Finding {
  const check = 'overflow-stays-on-holding'
  const source = 'where the line of steepest descent crosses the boundary as drawn'
  if (!best) return finding(check, 'unknown', 'overflow/no-ground', { source })
  const parts: Parts = {
    chainage_m: best.chainage_m,
    source,
    measured: best.overflow.length_m,
    unit: 'm',
    details: { endsIn: best.overflow.endsIn },
  }
  if (!boundaryDrawn) return finding(check, 'unknown', 'holding/boundary-not-drawn', parts)
  if (BEYOND_SIGHT.includes(best.overflow.endsIn)) return finding(check, 'unknown', 'holding/leaves-raster', parts)
  return best.overflow.endsIn === 'boundary'
    ? finding(check, 'fails', 'holding/crosses-boundary', parts)
    : finding(check, 'holds', 'holding/stays', parts)
}

/** Codes of what speaks for and against spilling at a place. */
export function spillReasons(overflow: Overflow, settings: Settings, cell_m: number): string[] {
  const reasons: string[] = []
  const nearest = overflow.buildings[0]
  if (nearest && reaches(overflow, cell_m)) reasons.push('reaches-building')
  else if (nearest && nearest.distance_m < settings.buildingClearance_m) reasons.push('passes-near-building')
  else if (nearest) reasons.push('far-from-buildings')
  if (overflow.endsIn === 'forest') reasons.push('ends-in-forest')
  if (overflow.endsIn === 'stream') reasons.push('ends-in-stream')
  if (overflow.endsIn === 'hollow') reasons.push('ends-in-hollow')
  if (overflow.endsIn === 'edge' || overflow.endsIn === 'void') reasons.push('leaves-raster')
  if (overflow.endsIn === 'boundary') reasons.push('crosses-boundary')
  if (overflow.crosses.includes('track')) reasons.push('crosses-track')
  if (overflow.crosses.includes('septic')) reasons.push('near-septic')
  if (overflow.crosses.includes('wet')) reasons.push('crosses-wet-ground')
  reasons.push(overflow.exitSlope_ratio > 0.2 ? 'steep-exit' : 'gentle-exit')
  return reasons
}

const COST: Readonly<Record<string, number>> = {
  'reaches-building': 1000,
  'passes-near-building': 300,
  'near-septic': 200,
  'crosses-boundary': 100,
  'leaves-raster': 60,
  'crosses-track': 40,
  'crosses-wet-ground': 25,
  'ends-in-hollow': 30,
  'steep-exit': 20,
  'ends-in-stream': 10,
}

/** Which of two spills is the better place: the sum of what speaks against it, then how far it stays from buildings. Source: judgement. */
export const spillCost = (reasons: readonly string[], overflow: Overflow): number =>
  reasons.reduce((sum, reason) => sum + (COST[reason] ?? 0), 0) - Math.min(9, (overflow.buildings[0]?.distance_m ?? 100) / 100)
