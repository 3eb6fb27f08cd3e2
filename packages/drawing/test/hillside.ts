import type { ReportInput, Voice } from '@soakline/drawing'
import { crossSection, exitChecks, spreaderLengths } from 'soakline/earthworks'
import type { Finding } from 'soakline/foundation'
import { type Assessment, defaultSettings, type Settings } from 'soakline/plan'
import { elevationGrid, type Point } from 'soakline/raster'
import type { SiteFeature } from 'soakline/siting'
import { contourLines } from 'soakline/terrain'

/** Height of an invented hillside: it rises to the north, with a spur in the middle and a small valley to the east. */
const heightAt = (x: number, y: number): number =>
  1240 +
  0.12 * y +
  6 * Math.exp(-(((x - 110) / 55) ** 2)) * (y / 200) -
  5 * Math.exp(-(((x - 205) / 30) ** 2)) +
  0.35 * Math.sin(x / 17) * Math.cos(y / 23)

const WIDTH = 260
const HEIGHT = 240

const ground = elevationGrid(
  Array.from({ length: HEIGHT / 2 }, (_, row) =>
    Array.from({ length: WIDTH / 2 }, (_, column) => heightAt(2 * column + 1, HEIGHT - 2 * row - 1)),
  ),
  2,
)

/** A line of one height across the hillside, worked out column by column. */
function level(z: number, from: number, to: number): Point[] {
  const path: Point[] = []
  for (let x = from; x <= to; x += 2) {
    let low = 0
    let high = HEIGHT
    for (let k = 0; k < 40; k++) {
      const middle = (low + high) / 2
      if (heightAt(x, middle) < z) low = middle
      else high = middle
    }
    path.push([x, low])
  }
  return path
}

/** The way down from a place in short steps. */
function downhill(from: Point, steps: number): Point[] {
  const path: Point[] = [from]
  let [x, y] = from
  for (let k = 0; k < steps; k++) {
    const dx = (heightAt(x + 0.5, y) - heightAt(x - 0.5, y)) / 1
    const dy = (heightAt(x, y + 0.5) - heightAt(x, y - 0.5)) / 1
    const length = Math.hypot(dx, dy)
    x -= (2 * dx) / length
    y -= (2 * dy) / length
    path.push([x, y])
  }
  return path
}

const lengthOf = (path: readonly Point[]): number =>
  path.slice(1).reduce((sum, p, k) => sum + Math.hypot(p[0] - path[k]![0], p[1] - path[k]![1]), 0)

/** A band that widens along a path. */
function bandAround(path: readonly Point[]): Point[] {
  const left: Point[] = []
  const right: Point[] = []
  for (let k = 1; k < path.length; k++) {
    const [a, b] = [path[k - 1]!, path[k]!]
    const length = Math.hypot(b[0] - a[0], b[1] - a[1])
    const wide = 1.5 + k * 0.11
    left.push([b[0] - ((b[1] - a[1]) / length) * wide, b[1] + ((b[0] - a[0]) / length) * wide])
    right.unshift([b[0] + ((b[1] - a[1]) / length) * wide, b[1] - ((b[0] - a[0]) / length) * wide])
  }
  return [...left, ...right]
}

const box = (west: number, south: number, width: number, height: number): Point[] => [
  [west, south],
  [west + width, south],
  [west + width, south + height],
  [west, south + height],
]

const finding = (check: Finding['check'], verdict: Finding['verdict'], because: string, more: Partial<Finding> = {}): Finding => ({
  check,
  verdict,
  measured: null,
  limit: null,
  unit: null,
  chainage_m: null,
  because,
  source: 'judgement',
  details: {},
  ...more,
})

/** A finding with every value that any sentence asks for. */
export const fullFinding = (because: string): Finding =>
  finding('ground-fit', 'watch', because, {
    measured: 7.5,
    limit: 10,
    unit: 'm',
    chainage_m: 84,
    details: {
      cell_m: 0.5,
      bedWidth_m: 1,
      reasons: 'forest,too-steep',
      length_m: 12,
      from_m: 20,
      to_m: 32,
      area_m2: 18_000,
      polygonArea_m2: 19_500,
      chancePerYear: 0.04,
      duration_h: 24,
      rain_mm: 118,
      runoff_m3: 610,
      kept_m3: 38,
      groundRange_m: 0.7,
      depth_m: 0.3,
      name: 'the barn',
      distance_m: 41,
      heightBelowFloor_m: 0.4,
      clearance_m: 10,
      unit: 'm',
      file: 'ft',
      given: 'm',
      from: 'EPSG:4326',
      to: 'EPSG:32618',
      quantum_m: 0.1,
      steepShare: 0.2,
      cells: 40,
      width: 2,
      height: 2,
      elevation_m: 1240,
      images: 2,
      text: 'none',
      value: -9999,
      stretch_ratio: 1.002,
    },
  })

/** An invented but plausible answer about one line. */
export function hillside({
  buildingName = 'Barn',
  cut = false,
}: {
  readonly buildingName?: string
  readonly cut?: boolean
} = {}): ReportInput {
  const line = level(1252, 60, 158)
  const length_m = lengthOf(line)
  const ends = [line[0]!, line[line.length - 1]!] as const
  const ways = ends.map((end, k) => downhill(end, k === 0 ? 24 : 32))
  const settings: Settings = { ...defaultSettings(), elevationError_m: 0.1, bedWidth_m: 1.2 }
  const section = crossSection(settings, 0.12)
  const catchment: Point[] = [...line, [160, 130], [150, 170], [128, 205], [110, 214], [88, 200], [66, 168], [56, 130]]
  const toSill_m3 = section.storageToSill_m2 * length_m
  const kept_m3 = 0.85 * toSill_m3
  const area_m2 = 10_400
  const storm = (chancePerYear: number, rain_mm: number, runoff_mm: number): Assessment['storms'][number] => ({
    chancePerYear,
    duration_h: 24,
    rain_mm,
    runoff_mm,
    runoff_m3: (runoff_mm * area_m2) / 1000,
    kept_m3: Math.min(kept_m3, (runoff_mm * area_m2) / 1000),
    runoffLeast_mm: 0.6 * runoff_mm,
    runoffMost_mm: 1.4 * runoff_mm,
    peakInflow_m3s: runoff_mm * 0.002,
    rationalPeak_m3s: runoff_mm * 0.0018,
    highestWater_m: 1252.05,
    freeboard_m: 0.22,
    spillStarts_h: 11.6,
    spilled_m3: Math.max(0, (runoff_mm * area_m2) / 1000 - kept_m3),
    peakSpill_m3s: runoff_mm * 0.0018,
    soaked_m3: 6,
    standing_m3: Math.max(0, kept_m3 - 6),
    worst: {
      runoff_m3: (1.3 * runoff_mm * area_m2) / 1000,
      peakInflow_m3s: runoff_mm * 0.0028,
      highestWater_m: 1252.1,
      freeboard_m: 0.16,
      peakSpill_m3s: runoff_mm * 0.0027,
    },
    levels: {
      step_h: 0.5,
      levels_m: Array.from({ length: 60 }, (_, k) => 1251.7 + Math.max(0, 0.35 - Math.abs(k - 26) * 0.012)),
      spills_m3s: Array.from({ length: 60 }, (_, k) => Math.max(0, 0.1 - Math.abs(k - 26) * 0.01)),
      inflows_m3s: Array.from({ length: 60 }, (_, k) => Math.max(0, 0.12 - Math.abs(k - 25) * 0.012)),
      came_m3: Array.from({ length: 60 }, (_, k) => 8 * k),
      spilled_m3: Array.from({ length: 60 }, (_, k) => 6 * k),
      standing_m3: Array.from({ length: 60 }, (_, k) => 1.5 * k),
    },
  })
  const peaked = (peak_m3s: number): number[] => Array.from({ length: 60 }, (_, k) => Math.max(0, peak_m3s * (1 - Math.abs(k - 25) / 8)))
  const assessment: Assessment = {
    ground: {
      cell_m: 0.5,
      crs: 'EPSG:32618',
      width: 520,
      height: 480,
      voidCells: 12,
      sha256: '9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08',
      elevationError_m: 0.1,
      warnings: [
        { code: 'elevation-unit/assumed', details: { unit: 'm' } },
        { code: 'grid/quantised', details: { quantum_m: 0.01 } },
        { code: 'strange/new-code', details: { size: 3 } },
      ],
    },
    line: {
      path: line,
      length_m,
      bedElevation_m: 1251.7,
      bedFall_ratio: 0,
      fall_ratio: 0,
      meanGroundSlope_ratio: 0.12,
      groundRange_m: 0.06,
      noGo: [{ from_m: 92, to_m: length_m, reasons: ['track'] }],
    },
    catchment: {
      area_m2,
      polygonArea_m2: 10_150,
      cutByEdge: cut,
      cutSides: cut ? [0, 'gap'] : [],
      edgeShare_ratio: cut ? 0.03 : 0.001,
      longestFlow_m: 148,
      ridge: { highPoint: [110, 214], elevation_m: heightAt(110, 214), length_m: 240 },
      rings: [catchment],
      ridgeLines: [[...catchment.slice(line.length - 1), line[0]!]],
    },
    runoff: {
      curveNumber: 79,
      curveNumberSource: 'USDA TR-55 (1986) Table 2-2c: pasture, fair, soil group C',
      covers: [
        {
          cover: 'pasture',
          condition: 'fair',
          area_m2,
          curveNumber: 79,
          source: 'USDA TR-55 (1986) Table 2-2c: pasture, fair, soil group C',
        },
      ],
      gatheringTime: { time_h: 0.12, because: 'time/by-method', method: 'velocity', flowLength_m: 148, flowFall_m: 18, remarks: [] },
    },
    acceptance: { chancePerYear: 0.04, houseBelow: false, freeboard_m: 0.15 },
    hydrograph: {
      chancePerYear: 0.04,
      step_h: 0.5,
      expected_m3s: peaked(0.12),
      wet_m3s: peaked(0.19),
      rain: { step_h: 0.5, depths_mm: Array.from({ length: 48 }, (_, k) => (k === 24 ? 40 : 78 / 47)) },
      peakKnown: true,
      source: 'alternating blocks from the rain table',
    },
    spillway: {
      chainage_m: 0,
      length_m: 4.2,
      neededLength_m: 4.13,
      sillElevation_m: 1252.1,
      notchElevation_m: 1252.05,
      peakInflow_m3s: 0.19,
      peakSpill_m3s: 0.188,
      highestWater_m: 1252.23,
      water: Array.from({ length: 51 }, (_, k) => ({
        chainage_m: (length_m * k) / 50,
        level_m: 1252.2 + 0.0006 * k,
        freeboard_m: 0.18 - 0.0006 * k,
        againstFill_m: 0.2,
      })),
      least: 50,
      exitSlope_ratio: 0.12,
      exits: exitChecks(0.045, 0.12),
      spreaders: spreaderLengths(0.188),
    },
    soaking: {
      infiltration_mmh: 3.4,
      infiltrationSource: 'lowest published for loam',
      because: 'intake/lowest-published',
      emptyAfter_h: 71,
      leadAway: null,
      record: null,
    },
    measuredStorm: null,
    year: null,
    storms: [storm(0.5, 58, 17.6), storm(0.1, 92, 42), storm(0.04, 118, 64), storm(0.01, 160, 101)],
    storage: {
      toSill_m3,
      toCrest_m3: section.storageToCrest_m2 * length_m,
      afterSediment_m3: kept_m3,
      sillElevation_m: 1252.05,
      crestElevation_m: 1252.4,
    },
    section,
    spills: [
      {
        chainage_m: 0,
        rank: 1,
        reasons: ['far-from-buildings', 'ends-in-forest', 'gentle-exit'],
        path: {
          points: ways[0]!,
          beyond: downhill(ways[0]![ways[0]!.length - 1]!, 14),
          length_m: lengthOf(ways[0]!),
          endsIn: 'forest',
          nearestBuilding_m: 41,
          nearestBuildingName: buildingName,
          heightBelowFloor_m: 3.1,
          reachesBuilding: false,
        },
        band: [bandAround(ways[0]!)],
      },
      {
        chainage_m: length_m,
        rank: 2,
        reasons: ['passes-near-building', 'ends-in-stream', 'crosses-track', 'gentle-exit'],
        path: {
          points: ways[1]!,
          beyond: [],
          length_m: lengthOf(ways[1]!),
          endsIn: 'stream',
          nearestBuilding_m: 7.5,
          nearestBuildingName: buildingName,
          heightBelowFloor_m: 0.4,
          reachesBuilding: false,
        },
        band: [bandAround(ways[1]!)],
      },
    ],
    earth: {
      cut_m3: section.cut_m2 * length_m,
      cutPrismoidal_m3: section.cut_m2 * length_m,
      bermLoose_m3: section.cut_m2 * length_m * 1.25,
      bermSettled_m3: section.berm_m2 * length_m,
      balance: { made_m3: section.berm_m2 * length_m, needed_m3: section.berm_m2 * length_m, over_m3: 0 },
      personDays: 22,
      personDaysRange: { low_days: 14, high_days: 30, sources: ['ILO/ASIST Technical Brief 2 (1998), from memory'] },
      machineHours: { low_h: 6, high_h: 9, source: 'planningplanet.com' },
      bermBuilt_m: 0.4,
      bermSettled_m: 0.32,
      mulch_m3: 18,
    },
    profile: Array.from({ length: 51 }, (_, k) => ({
      chainage_m: (length_m * k) / 50,
      ground_m: 1252 + 0.03 * Math.sin(k / 4),
      bed_m: 1251.7,
      crest_m: 1252.4,
      water_m: 1252.2 + 0.0006 * k,
    })),
    findings: [
      finding('ground-fit', 'watch', 'ground/coarse', {
        measured: 0.5,
        limit: 0.4,
        unit: 'm',
        details: { bedWidth_m: 1.2 },
        source: 'judgement: a feature must be three cells wide to show',
      }),
      finding('permissions-asked', 'unknown', 'permissions/not-answered', { source: 'answered by the user' }),
      finding('line-off-no-go', 'fails', 'no-go/on-line', {
        measured: length_m - 92,
        limit: 0,
        unit: 'm',
        chainage_m: 92,
        details: { reasons: 'track,near-building', length_m: length_m - 92, from_m: 92, to_m: length_m },
        source: 'the limits in the settings',
      }),
      finding('soil-soaks', 'unknown', 'soil/no-pits', { source: 'the pits and intake tests of the user' }),
      finding('catchment-complete', cut ? 'unknown' : 'holds', cut ? 'catchment/cut-by-edge' : 'catchment/complete', {
        details: { area_m2, polygonArea_m2: 10_150 },
      }),
      finding('storage-holds-storm', 'watch', 'storage/passes-through', {
        measured: kept_m3,
        limit: 0.064 * area_m2,
        unit: 'm3',
        details: { chancePerYear: 0.04, duration_h: 24, rain_mm: 118, kept_m3 },
        source: 'runoff by curve number, USDA TR-55 (1986) ch. 2; storage by average end area',
      }),
      finding('water-against-fill', 'holds', 'fill/shallow', { measured: 0.12, limit: 0.3, unit: 'm', chainage_m: 40 }),
      finding('overflow-misses-buildings', 'watch', 'overflow/near-building', {
        measured: 7.5,
        limit: 10,
        unit: 'm',
        chainage_m: length_m,
        details: { name: buildingName, heightBelowFloor_m: 0.4 },
        source: 'line of steepest descent on the surface and 1 % band of a dispersive network; clearance in the settings',
      }),
    ],
  }
  const end = ways[1]![20]!
  const features: SiteFeature[] = [
    {
      id: 'b1',
      kind: 'building',
      name: buildingName,
      shapes: [{ type: 'polygon', rings: [box(end[0] - 22, end[1] - 6, 12, 8)] }],
      floor_m: null,
    },
    { id: 'b2', kind: 'building', name: null, shapes: [{ type: 'polygon', rings: [box(104, 22, 9, 11)] }], floor_m: null },
    { id: 'f', kind: 'forest', name: 'Oak wood', shapes: [{ type: 'polygon', rings: [box(4, 18, 74, 36)] }], floor_m: null },
    {
      id: 's',
      kind: 'stream',
      name: 'Creek',
      shapes: [
        {
          type: 'line',
          path: [
            [230, 230],
            [208, 150],
            [205, 80],
            [190, 30],
            [186, 0],
          ],
        },
      ],
      floor_m: null,
    },
    {
      id: 't',
      kind: 'track',
      name: null,
      shapes: [
        {
          type: 'line',
          path: [
            [166, 235],
            [163, 150],
            [166, 80],
            [140, 0],
          ],
        },
      ],
      floor_m: null,
    },
    { id: 'w', kind: 'well', name: 'Well', shapes: [{ type: 'point', at: [124, 44] }], floor_m: null },
    { id: 'p', kind: 'pit', name: 'Pit 1', shapes: [{ type: 'point', at: [96, 108] }], floor_m: null },
  ]
  return {
    holding: 'Loma Alta',
    dateText: '25 November 2026',
    version: '0.1.0',
    assessment,
    contours: contourLines(ground, 1),
    features,
    noGo: [
      { reason: 'above-building', rings: [box(100, 33, 16, 48)] },
      { reason: 'track', rings: [box(160, 60, 9, 120)] },
      { reason: 'forest', rings: [box(4, 18, 74, 36)] },
      { reason: 'too-steep', rings: [box(170, 100, 24, 34)] },
      { reason: 'wet-ground', rings: [box(196, 40, 20, 30)] },
    ],
    settings,
    assumed: (Object.keys(settings) as (keyof Settings)[]).filter(key => key !== 'bedWidth_m' && key !== 'elevationError_m'),
    groundReport: { fileName: 'lidar-2023.tif', crsName: 'WGS 84 / UTM zone 18N', elevationUnitFrom: 'assumed' },
  }
}

export const EN: Voice = { language: 'en', units: 'metric' }
export const ES: Voice = { language: 'es', units: 'metric' }
export const EN_US: Voice = { language: 'en', units: 'us' }
export const ES_US: Voice = { language: 'es', units: 'us' }
