import { InputError } from '../foundation/index.js'
import {
  alternatingBlockStorm,
  CURVED_FORM,
  curveNumberRunoff,
  curveNumberSpread,
  dividedHyetograph,
  greenAmptRunoff,
  greenAmptSoil,
  type Hydrograph,
  type Hyetograph,
  RATIONAL_ROWS,
  type RainTable,
  type RunoffSeries,
  rainDepth_mm,
  rationalPeakOfTable,
  runoffHydrograph,
  SCS_DISTRIBUTIONS,
  scsStorm,
  shortestDuration_h,
  totalRain_mm,
  totalRunoff_mm,
  triangularForm,
  upliftedHyetograph,
  wetnessCurveNumberByFormula,
} from '../hydrology/index.js'
import { type CatchmentCover, meanCurveNumber, soilGroupOf } from './ground-cover.js'
import type { Settings } from './settings.js'

/** A storm and the water that it sends to the line. */
export interface StormWater {
  readonly chancePerYear: number
  readonly duration_h: number
  readonly rain_mm: number
  readonly rain: Hyetograph
  /** On the soil as it usually is: what is kept and soaked is judged by this. */
  readonly expected: Runoff
  /** On wet soil: spills are judged by this. */
  readonly wet: Runoff
  /** Runoff with a curve number 5 lower and 5 higher, and on dry and wet ground; null by another method. */
  readonly spread: { readonly least_mm: number; readonly most_mm: number } | null
  /** Peak by the rational formula, a quick look beside the hydrograph's; null where it does not apply. */
  readonly rationalPeak_m3s: number | null
}

/** What one soil lets run off, and its flow at the line. */
export interface Runoff {
  readonly runoff_mm: number
  readonly runoff_m3: number
  readonly hydrograph: Hydrograph
}

/** Why a storm could not be worked out. */
export type NoStorm = 'storm/outside-table' | 'storm/no-texture'

/**
 * A storm of the place's rain table, spread over its hours, run off and gathered at the line; a code where it cannot be.
 *
 * Units   `area_m2` of the catchment, `largestArea_m2` its unfavourable end, for the wet soil.
 * Source  each number's in its own function.
 */
export function stormWater(
  table: RainTable,
  chancePerYear: number,
  covers: readonly CatchmentCover[],
  area_m2: number,
  largestArea_m2: number,
  timeOfConcentration_h: number,
  meanSlope_ratio: number,
  settings: Settings,
): StormWater | NoStorm {
  if (settings.runoffMethod === 'green-ampt' && settings.texture === null) return 'storm/no-texture'
  const designed = designStorm(table, chancePerYear, settings)
  if (designed === null) return 'storm/outside-table'
  const { storm, depth_mm } = designed
  return {
    ...waterOf(storm, covers, area_m2, largestArea_m2, timeOfConcentration_h, settings),
    chancePerYear,
    rain_mm: depth_mm,
    rationalPeak_m3s: quickPeak(table, chancePerYear, timeOfConcentration_h, area_m2, meanSlope_ratio, settings),
  }
}

/** A storm as it was measured, run off and gathered at the line; a code where it cannot be. No climate uplift: it has fallen. */
export const measuredWater = (storm: Hyetograph, ...rest: GatheredBy): GatheredWater | NoStorm => {
  const settings = rest[4]
  return settings.runoffMethod === 'green-ampt' && settings.texture === null ? 'storm/no-texture' : waterOf(storm, ...rest)
}

/** Water of a storm without what only a rain table knows. */
export type GatheredWater = Omit<StormWater, 'chancePerYear' | 'rationalPeak_m3s'>

type GatheredBy = [
  covers: readonly CatchmentCover[],
  area_m2: number,
  largestArea_m2: number,
  timeOfConcentration_h: number,
  settings: Settings,
]

function waterOf(storm: Hyetograph, ...[covers, area_m2, largestArea_m2, timeOfConcentration_h, settings]: GatheredBy): GatheredWater {
  // The rise of the hydrograph needs two steps at least: 0.4 of the time of concentration.
  const rain = dividedHyetograph(storm, Math.max(1, Math.ceil(storm.step_h / (0.4 * timeOfConcentration_h) - 1e-9)))
  const flow = (runoff: RunoffSeries, whole_m2: number): Runoff => {
    const runoff_mm = totalRunoff_mm(runoff)
    return {
      runoff_mm,
      runoff_m3: (runoff_mm * whole_m2) / 1000,
      hydrograph: runoffHydrograph(runoff, Math.max(whole_m2, 1e-6), timeOfConcentration_h, {
        form: settings.unitForm === 'triangle' ? triangularForm() : CURVED_FORM,
      }),
    }
  }
  const least = covers.map(({ curveNumber }) => lowEnd(curveNumber, settings))
  const most = covers.map(({ curveNumber }) => wetNumber(curveNumber, settings))
  return {
    duration_h: storm.step_h * storm.depths_mm.length,
    rain_mm: totalRain_mm(storm),
    rain: storm,
    expected: flow(runoffOf(rain, covers, 'expected', settings), area_m2),
    wet: flow(runoffOf(rain, covers, 'wet', settings), largestArea_m2),
    spread:
      settings.runoffMethod === 'curve-number'
        ? {
            least_mm: totalRunoff_mm(runoffByCovers(storm, covers, least, settings)),
            most_mm: totalRunoff_mm(runoffByCovers(storm, covers, most, settings)),
          }
        : null,
  }
}

/** Curve number on wet ground, or 5 higher where that is more or the wetness table does not reach. */
function wetNumber(curveNumber: number, { wetnessRule }: Settings): number {
  const { wet, fiveHigher } = curveNumberSpread(curveNumber)
  return Math.max(wetnessRule === 'formula' ? wetnessCurveNumberByFormula(curveNumber, 'III') : (wet ?? fiveHigher), fiveHigher)
}

function lowEnd(curveNumber: number, { wetnessRule }: Settings): number {
  const { dry, fiveLower } = curveNumberSpread(curveNumber)
  return Math.min(wetnessRule === 'formula' ? wetnessCurveNumberByFormula(curveNumber, 'I') : (dry ?? fiveLower), fiveLower)
}

/** The storm by the pattern that is set; null where the table has no depth for it. */
function designStorm(
  table: RainTable,
  chancePerYear: number,
  settings: Settings,
): { readonly storm: Hyetograph; readonly depth_mm: number } | null {
  const { stormPattern, stormDuration_h, stormPeakPlace_ratio, rainUplift_ratio } = settings
  try {
    const hours = stormPattern === 'alternating-block' ? stormDuration_h : 24
    const depth_mm = rainDepth_mm(table, hours, chancePerYear)
    const uplifted = (storm: Hyetograph) => ({
      storm: upliftedHyetograph(storm, rainUplift_ratio),
      depth_mm: depth_mm * rainUplift_ratio,
    })
    if (stormPattern !== 'alternating-block') return uplifted(scsStorm(stormPattern, depth_mm, SCS_DISTRIBUTIONS[stormPattern].step_h))
    const steps = Math.max(1, Math.floor(stormDuration_h / shortestDuration_h(table, chancePerYear) + 1e-9))
    const storm = alternatingBlockStorm(table, chancePerYear, stormDuration_h, stormDuration_h / Math.min(steps, MOST_STEPS), {
      peakAt_ratio: stormPeakPlace_ratio,
    })
    return uplifted(storm)
  } catch (error) {
    if (error instanceof InputError && error.code === 'rain/outside-table') return null
    throw error
  }
}

/** Finer storms than this are not needed for any peak: 5 minutes in a day and a half. */
const MOST_STEPS = 432

function runoffOf(rain: Hyetograph, covers: readonly CatchmentCover[], soil: 'expected' | 'wet', settings: Settings): RunoffSeries {
  if (settings.runoffMethod === 'green-ampt' && settings.texture !== null)
    return greenAmptRunoff(rain, greenAmptSoil(settings.texture, soil === 'wet' ? 1 : settings.soilSaturation_ratio))
  const numbers = covers.map(({ curveNumber }) => (soil === 'wet' ? wetNumber(curveNumber, settings) : curveNumber))
  return runoffByCovers(rain, covers, numbers, settings)
}

function runoffByCovers(
  rain: Hyetograph,
  covers: readonly CatchmentCover[],
  numbers: readonly number[],
  { coverWeighting, initialAbstraction_ratio }: Settings,
): RunoffSeries {
  const numbered = covers.map((cover, k) => ({ ...cover, curveNumber: numbers[k]! }))
  if (covers.length === 1 || coverWeighting === 'area') return curveNumberRunoff(rain, meanCurveNumber(numbered), initialAbstraction_ratio)
  const whole_m2 = covers.reduce((sum, { area_m2 }) => sum + area_m2, 0)
  const each = numbered.map(({ curveNumber }) => curveNumberRunoff(rain, curveNumber, initialAbstraction_ratio))
  return {
    ...each[0]!,
    depths_mm: rain.depths_mm.map((_, step) =>
      each.reduce((sum, series, k) => sum + (series.depths_mm[step]! * covers[k]!.area_m2) / whole_m2, 0),
    ),
    source: `${rain.source}; ${covers.length} covers, each by its own curve number, weighted by runoff (USDA-NRCS NEH Part 630 ch. 10, 2004)`,
  }
}

/** Covers of the rational table that stand nearest to those of the curve numbers. Source: judgement. */
function quickPeak(
  table: RainTable,
  chancePerYear: number,
  timeOfConcentration_h: number,
  area_m2: number,
  slope_ratio: number,
  settings: Settings,
): number | null {
  const { cover, rainUplift_ratio } = settings
  const soilGroup = soilGroupOf(settings)
  const nearest = /^woods|brush/.test(cover) ? 'woodland' : /crop|grain|fallow/.test(cover) ? 'cultivated' : 'pasture'
  const relief = slope_ratio < 0.05 ? 'flat' : slope_ratio < 0.1 ? 'rolling' : 'hilly'
  const row = RATIONAL_ROWS.find(r => r.cover === nearest && r.relief === relief)
  if (!row || slope_ratio > 0.3 || area_m2 === 0 || /impervious|road|graded/.test(cover)) return null
  const soil = soilGroup === 'A' ? 'sandy-loam' : soilGroup === 'D' ? 'tight-clay' : 'clay-or-silt-loam'
  try {
    const { value } = rationalPeakOfTable(table, chancePerYear, timeOfConcentration_h, row.coefficients[soil], area_m2)
    return value === null ? null : value * rainUplift_ratio
  } catch (error) {
    if (error instanceof InputError && error.code === 'rain/outside-table') return null
    throw error
  }
}
