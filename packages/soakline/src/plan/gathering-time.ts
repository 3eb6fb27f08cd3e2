import { InputError, type Warning } from '../foundation/index.js'
import {
  type FlowStretch,
  kirpichTime,
  LEAST_TIME_h,
  type Limited,
  LONGEST_SHEET_1986_m,
  LONGEST_SHEET_m,
  lagEquationTime,
  longestFlowToLine,
  type RainTable,
  rainDepth_mm,
  SHALLOW_SURFACES,
  SHEET_SURFACES,
  timeByStretches,
  type WalkScratch,
  type WaterStudy,
} from '../hydrology/index.js'
import { distance_m, type Point, pathLength_m, surfaceValue } from '../raster/index.js'
import type { Settings } from './settings.js'

/** The time in which water gathers from the whole slope, and how it came about. */
export interface GatheringTime {
  readonly time_h: number
  /** `time/least-taken` where the method does not reach: the shortest time makes the highest peak. */
  readonly because: 'time/by-method' | 'time/least-taken'
  readonly method: Settings['timeMethod']
  readonly flowLength_m: number
  readonly flowFall_m: number
  /** Limits that were left, and what the method says against its own number. */
  readonly remarks: readonly Warning[]
}

/**
 * Time of concentration along the real longest way of water to the line.
 *
 * Units   h.
 * Source  velocity method: USDA TR-55 (1986) ch. 3; a sheet of at most 30.5 m (USDA-NRCS NEH Part 630 ch. 15, 2010), then shallow flow.
 */
export function gatheringTime(
  { drained, givers, filled }: WaterStudy,
  line: readonly Point[],
  area_m2: number,
  curveNumber: number,
  landSlope_ratio: number,
  rain: RainTable | null,
  settings: Settings,
  scratch?: WalkScratch,
): GatheringTime {
  const method = settings.timeMethod
  const path = longestFlowToLine(drained, line, givers, scratch)?.path ?? []
  const length_m = path.length > 1 ? pathLength_m(path) : 0
  const fall_m = path.length > 1 ? surfaceValue(filled, path[0]!) - surfaceValue(filled, path[path.length - 1]!) : 0
  const least = (remarks: readonly Warning[]): GatheringTime => ({
    time_h: LEAST_TIME_h,
    because: 'time/least-taken',
    method,
    flowLength_m: length_m,
    flowFall_m: fall_m,
    remarks,
  })
  if (!(length_m > 0 && fall_m > 0)) return least([])
  const slope_ratio = fall_m / length_m
  const rain2yr24h_mm = method === 'velocity' ? depthOrNull(rain, 24, 0.5) : null
  const answer: Limited<'h'> | null =
    method === 'kirpich'
      ? kirpichTime({ length_m, slope_ratio, area_m2: Math.max(area_m2, 1e-6) })
      : method === 'lag'
        ? lagEquationTime({ length_m, curveNumber, landSlope_ratio: Math.max(landSlope_ratio, 1e-4), area_m2: Math.max(area_m2, 1e-6) })
        : rain2yr24h_mm === null
          ? null
          : timeByStretches(stretches(path, z => surfaceValue(filled, z), rain2yr24h_mm, settings))
  if (answer === null) return least([{ code: 'travel/no-two-year-rain', details: {} }])
  if (answer.value === null) return least(answer.outsideLimits)
  return { time_h: answer.value, because: 'time/by-method', method, flowLength_m: length_m, flowFall_m: fall_m, remarks: answer.remarks }
}

/** Flattest slope that a stretch is worked out with: a filled hollow on the way is passed at once. Source: judgement. */
const FLATTEST = 0.001

function stretches(
  path: readonly Point[],
  height: (at: Point) => number,
  rain2yr24h_mm: number,
  { sheetSurface, shallowSurface, sheetLengthRule }: Settings,
): FlowStretch[] {
  const longest_m = sheetLengthRule === 'tr-55-1986' ? LONGEST_SHEET_1986_m : LONGEST_SHEET_m
  let sheet_m = 0
  let k = 1
  while (k < path.length && sheet_m + distance_m(path[k - 1]!, path[k]!) <= longest_m) {
    sheet_m += distance_m(path[k - 1]!, path[k]!)
    k++
  }
  const slope = (from: Point, to: Point, length_m: number): number => Math.max(FLATTEST, (height(from) - height(to)) / length_m)
  const turn = path[k - 1]!
  const rest_m = pathLength_m(path.slice(k - 1))
  return [
    ...(sheet_m > 0
      ? [
          {
            kind: 'sheet' as const,
            length_m: sheet_m,
            slope_ratio: slope(path[0]!, turn, sheet_m),
            roughness: SHEET_SURFACES.find(s => s.surface === sheetSurface)!.roughness,
            rain2yr24h_mm,
            longest_m,
          },
        ]
      : []),
    ...(rest_m > 0
      ? [
          {
            kind: 'shallow' as const,
            length_m: rest_m,
            slope_ratio: slope(turn, path[path.length - 1]!, rest_m),
            speed_ms: SHALLOW_SURFACES.find(s => s.surface === shallowSurface)!.speed_ms,
          },
        ]
      : []),
  ]
}

function depthOrNull(rain: RainTable | null, duration_h: number, chancePerYear: number): number | null {
  if (rain === null) return null
  try {
    return rainDepth_mm(rain, duration_h, chancePerYear)
  } catch (error) {
    if (error instanceof InputError && error.code === 'rain/outside-table') return null
    throw error
  }
}
