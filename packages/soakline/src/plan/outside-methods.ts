import type { Finding, Warning } from '../foundation/index.js'
import { LEAST_CURVE_NUMBER, LEAST_RUNOFF_mm, runoffLimits } from '../hydrology/index.js'
import type { GatheringTime } from './gathering-time.js'
import type { Settings } from './settings.js'
import type { StormWater } from './storm-water.js'

/** Where a method's limits stand. */
const SOURCE: Readonly<Record<string, string>> = {
  'travel/sheet-too-long': 'USDA-NRCS NEH Part 630, ch. 15 (2010), or USDA TR-55 (1986) ch. 3, as set',
  'travel/shallow-too-steep': 'USDA TR-55 (1986) fig. 3-1 (from memory)',
  'travel/slope-outside-kirpich': 'Kirpich (1940), the basins it was fitted to (from memory)',
  'travel/area-outside-kirpich': 'Kirpich (1940), the basins it was fitted to (from memory)',
  'travel/curve-number-outside-lag': 'USDA-NRCS NEH Part 630, ch. 15 (2010)',
  'travel/area-outside-lag': 'USDA-NRCS NEH Part 630, ch. 15 (2010)',
}

const UNIT: Readonly<Record<string, string | null>> = { slope_ratio: '1', area_m2: 'm2', length_m: 'm', curveNumber: null }

/**
 * What is found where a method was asked for outside the limits it was published with: the limit that was left, beside the answer.
 *
 * A time outside its limits is replaced by the least, which makes the highest peak: the answer stands at its unfavourable end and asks to watch. A curve number
 * under its limit may tell too little water: what rests on it is unknown.
 */
export function outsideMethods(
  time: GatheringTime,
  curveNumber: number,
  acceptance: StormWater | null,
  { runoffMethod }: Settings,
): Finding[] {
  if (acceptance === null) return []
  const times = time.because === 'time/least-taken' ? time.remarks.flatMap(ofTime) : []
  return runoffMethod === 'curve-number' ? [...times, ...ofRunoff(curveNumber, acceptance.expected.runoff_mm)] : times
}

function ofTime({ code, details }: Warning): Finding[] {
  const { quantity, measured, least, most } = details
  if (!Object.hasOwn(SOURCE, code) || typeof measured !== 'number' || typeof least !== 'number' || typeof most !== 'number') return []
  return [
    {
      check: 'spill-carries-peak',
      verdict: 'watch',
      measured,
      limit: measured < least ? least : most,
      unit: UNIT[String(quantity)] ?? null,
      chainage_m: null,
      because: code,
      source: SOURCE[code]!,
      details: { least, most },
    },
  ]
}

const RUNOFF_SOURCE = 'USDA TR-55 (1986) ch. 2, limitations'

function ofRunoff(curveNumber: number, runoff_mm: number): Finding[] {
  return runoffLimits(curveNumber, runoff_mm).flatMap(({ code }): Finding[] => {
    const low = code === 'runoff/curve-number-low'
    const checks = low ? (['storage-holds-storm', 'spill-carries-peak'] as const) : (['storage-holds-storm'] as const)
    return checks.map(check => ({
      check,
      verdict: low ? 'unknown' : 'watch',
      measured: low ? curveNumber : runoff_mm,
      limit: low ? LEAST_CURVE_NUMBER : LEAST_RUNOFF_mm,
      unit: low ? null : 'mm',
      chainage_m: null,
      because: code,
      source: RUNOFF_SOURCE,
      details: {},
    }))
  })
}
