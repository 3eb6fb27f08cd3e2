import type { LineStorage } from '../earthworks/index.js'
import type { Finding, Verdict } from '../foundation/index.js'
import type { Catchment, RainTable } from '../hydrology/index.js'
import type { BuildingNear, NoGoStretch, Overflow } from '../siting/index.js'
import type { Assessment } from './assessment.js'
import type { Settings } from './settings.js'

type Parts = Partial<Omit<Finding, 'check' | 'verdict' | 'because'>>

function finding(check: Finding['check'], verdict: Verdict, because: string, parts: Parts = {}): Finding {
  return { check, verdict, measured: null, limit: null, unit: null, chainage_m: null, because, source: 'judgement', details: {}, ...parts }
}

/** Is one cell small enough against the ditch? A feature narrower than three cells is not seen by a raster. */
export function groundFit(cell_m: number, { bedWidth_m, elevationError_m }: Settings): Finding {
  const parts: Parts = {
    measured: cell_m,
    limit: bedWidth_m / 3,
    unit: 'm',
    source: 'judgement: a feature must be three cells wide to show',
    details: { bedWidth_m, elevationError_m },
  }
  if (cell_m > 5 * Math.max(bedWidth_m, 1))
    return finding('ground-fit', 'fails', 'ground/too-coarse', { ...parts, limit: 5 * Math.max(bedWidth_m, 1) })
  if (cell_m > bedWidth_m / 3) return finding('ground-fit', 'watch', 'ground/coarse', parts)
  if (elevationError_m === null) return finding('ground-fit', 'unknown', 'ground/error-unknown', parts)
  return finding('ground-fit', 'holds', 'ground/fine-enough', parts)
}

export const permissionsAsked = ({ permissionsAsked: asked }: Settings): Finding =>
  asked
    ? finding('permissions-asked', 'holds', 'permissions/answered', { source: 'answered by the user' })
    : finding('permissions-asked', 'unknown', 'permissions/not-answered', { source: 'answered by the user' })

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

/** No pit has been recorded yet: whether the soil takes the water is not known. */
export const soilSoaks = (): Finding =>
  finding('soil-soaks', 'unknown', 'soil/no-pits', { source: 'the pits and intake tests of the user' })

/** The area as the sum of shares and the area of its outline may differ by this much. */
const OUTLINE_LIMIT = 0.05

export function catchmentComplete(catchment: Catchment, polygonArea_m2: number): Finding {
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
  return finding('catchment-complete', 'holds', 'catchment/complete', {
    measured: edgeShare_ratio,
    limit: 0.005,
    unit: '1',
    source: 'inflow across the raster’s rim, counted by share',
    details,
  })
}

export function storageHoldsStorm(
  storms: Assessment['storms'],
  rain: RainTable | null,
  settings: Settings,
  catchment: Catchment,
  storage: LineStorage | null,
  groundRange_m: number,
): Finding {
  const check = 'storage-holds-storm'
  if (!rain) return finding(check, 'unknown', 'storage/no-rain-table', { source: 'the rain table of the place' })
  if (groundRange_m > 0.5 * settings.depth_m)
    return finding(check, 'unknown', 'storage/line-not-level', {
      measured: groundRange_m,
      limit: 0.5 * settings.depth_m,
      unit: 'm',
      details: { depth_m: settings.depth_m },
    })
  if (!storage) return finding(check, 'unknown', 'storage/cannot-be-dug')
  const storm = storms.find(s => s.chancePerYear === settings.acceptanceChance)
  if (!storm)
    return finding(check, 'unknown', 'storage/storm-outside-table', {
      source: 'the rain table of the place',
      details: { chancePerYear: settings.acceptanceChance, duration_h: settings.stormDuration_h },
    })
  const parts: Parts = {
    measured: storage.toSillAfterSediment_m3,
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
  return storage.toSillAfterSediment_m3 >= storm.runoff_m3
    ? finding(check, 'holds', 'storage/holds', parts)
    : finding(check, 'watch', 'storage/passes-through', parts)
}

/** Depth of water against loose fill: watch over 0.3 m, fails over 0.6 m. */
const AGAINST_FILL_M = [0.3, 0.6] as const

export function waterAgainstFill(storage: LineStorage | null, stakeSpacing_m: number): Finding {
  if (!storage) return finding('water-against-fill', 'unknown', 'fill/not-known')
  const depth_m = storage.waterAgainstFill_m
  const parts: Parts = {
    measured: depth_m,
    limit: AGAINST_FILL_M[0],
    unit: 'm',
    chainage_m: storage.waterAgainstFillStake * stakeSpacing_m,
    source: 'judgement; one standard counts 3 ft of water against fill as a pond (MD-378)',
  }
  if (depth_m > AGAINST_FILL_M[1]) return finding('water-against-fill', 'fails', 'fill/too-deep', { ...parts, limit: AGAINST_FILL_M[1] })
  if (depth_m > AGAINST_FILL_M[0]) return finding('water-against-fill', 'watch', 'fill/deep', parts)
  return finding('water-against-fill', 'holds', 'fill/shallow', parts)
}

/** Depth that a thin flow may have where it passes a building, and how much height the raster's error takes. Source: judgement. */
const FLOW_DEPTH_M = 0.15

/** How far from a building its height above the flow still matters. */
const HEIGHT_MATTERS_M = 30

/** True when the path or the band comes within a cell of a building's footprint. */
export const reaches = (overflow: Overflow, cell_m: number): boolean =>
  (overflow.buildings[0]?.distance_m ?? Number.POSITIVE_INFINITY) <= cell_m

const isLow = (building: BuildingNear, { elevationError_m }: Settings): boolean =>
  building.distance_m <= HEIGHT_MATTERS_M &&
  building.heightBelowFloor_m !== null &&
  building.heightBelowFloor_m < FLOW_DEPTH_M + 2 * (elevationError_m ?? 0.5)

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
    const low = overflow.buildings.find(b => isLow(b, settings))
    if (low)
      return finding(check, 'watch', 'overflow/not-high-enough', {
        ...parts,
        measured: low.heightBelowFloor_m,
        limit: FLOW_DEPTH_M + 2 * (settings.elevationError_m ?? 0.5),
        details: { ...parts.details, name: low.name ?? low.id, heightBelowFloor_m: low.heightBelowFloor_m, distance_m: low.distance_m },
      })
    if (!settings.allBuildingsDrawn) return finding(check, 'unknown', 'overflow/buildings-not-confirmed', parts)
    return buildingsDrawn ? finding(check, 'holds', 'overflow/misses', parts) : finding(check, 'holds', 'overflow/no-building-drawn', parts)
  })
  const order: readonly Verdict[] = ['fails', 'watch', 'unknown', 'holds']
  each.sort(
    (a, b) =>
      order.indexOf(a.verdict) - order.indexOf(b.verdict) ||
      (a.measured ?? Number.POSITIVE_INFINITY) - (b.measured ?? Number.POSITIVE_INFINITY),
  )
  return each[0] ?? finding(check, 'unknown', 'overflow/no-ground', { source })
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
