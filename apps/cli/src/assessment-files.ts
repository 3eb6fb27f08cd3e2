import { sayFinding, sayWarning } from '@soakline/drawing'
import { type Projection, placeInPlan, type Reading, writeCsv, writeGeoJson } from '@soakline/io'
import type { Assessment, Settings } from 'soakline/plan'
import { polygonsOf, stations, surfaceValue } from 'soakline/raster'
import type { Talk } from './ground.js'

/** Distance between stakes of a line on which no ditch can be laid out. */
const STAKE_M = 5

/** The answer under the stable names of `soakline-assessment/1`. What is not computed is left out. */
export function assessmentJson(a: Assessment, projection: Projection, { voice }: Talk): Record<string, unknown> {
  const { path: _path, noGo, ...line } = a.line
  const { rings: _rings, ridgeLines: _ridges, ridge, ...catchment } = a.catchment
  return {
    format: 'soakline-assessment/1',
    ground: { ...a.ground, warnings: a.ground.warnings.map(w => ({ ...w, text: sayWarning(w, voice) })) },
    line: { ...line, noGo },
    catchment: { ...catchment, ridge: ridge && { ...ridge, highPoint: placeInPlan(projection, ridge.highPoint) } },
    runoff: a.runoff,
    acceptance: a.acceptance,
    storms: a.storms.map(({ levels: _levels, ...storm }) => storm),
    storage: a.storage ?? { toSill_m3: null, toCrest_m3: null },
    spillway: a.spillway && { ...a.spillway, water: undefined },
    soaking: a.soaking,
    ...(a.measuredStorm ? { measuredStorm: { ...a.measuredStorm, levels: undefined } } : {}),
    ...(a.year ? { year: a.year } : {}),
    spills: a.spills.map(({ path: { points: _points, beyond: _beyond, ...path }, band: _band, tried: _tried, flow, ...spill }) => ({
      ...spill,
      path,
      ...(flow === undefined ? {} : { flow: flow && { ...flow, passes: flow.passes.map(passed => ({ ...passed })) } }),
    })),
    ...(a.spillChoice ? { spillChoice: choiceJson(a.spillChoice) } : {}),
    ...(a.breaches === undefined
      ? {}
      : {
          breaches: (a.breaches ?? []).map(({ from, ...stake }) => ({ ...stake, from: from && placeInPlan(projection, from) })),
          worstBreach_m: a.worstBreach && a.breaches ? a.breaches[a.worstBreach.stake]!.chainage_m : null,
        }),
    earth: a.earth ?? { cut_m3: null, bermLoose_m3: null, personDays: null },
    findings: a.findings.map(f => ({ ...f, text: sayFinding(f, voice) })),
  }
}

/** The places tried along the line, best first, without their ways. */
const choiceJson = ({ places, best, secondStage, sill_m, bedFall_ratio }: NonNullable<Assessment['spillChoice']>) => ({
  best_m: best === null ? null : places[best]!.chainage_m,
  secondStage_m: secondStage === null ? null : places[secondStage]!.chainage_m,
  sill_m,
  bedFall_ratio,
  places: [...places]
    .sort((p, q) => p.rank - q.rank)
    .map(({ chainage_m, where, rank, acceptable, reasons }) => ({ chainage_m, where, rank, acceptable, reasons })),
})

export function overflowJson(a: Assessment, projection: Projection): string {
  return writeGeoJson(
    a.spills.flatMap(({ chainage_m, rank, path, band, tried }) => [
      {
        shapes: [{ type: 'line' as const, path: path.points }],
        properties: {
          what: 'path',
          chainage_m,
          rank,
          endsIn: path.endsIn,
          nearestBuilding_m: path.nearestBuilding_m,
          reachesBuilding: path.reachesBuilding,
        },
      },
      ...(path.beyond.length > 1
        ? [{ shapes: [{ type: 'line' as const, path: path.beyond }], properties: { what: 'beyond', chainage_m, rank } }]
        : []),
      ...(band.length > 0 ? [{ shapes: polygonsOf(band), properties: { what: 'band', chainage_m, rank } }] : []),
      ...(tried ?? []).flatMap(({ share_ratio, rings }) =>
        rings.length > 0 ? [{ shapes: polygonsOf(rings), properties: { what: 'tried', chainage_m, rank, share_ratio } }] : [],
      ),
    ]),
    projection,
  )
}

/** The way and the band of the worst breach. */
export function breachJson({ worstBreach, breaches }: Assessment, projection: Projection): string {
  const { overflow, stake } = worstBreach!
  const { chainage_m, reachesBuilding, below } = breaches![stake]!
  const properties = { chainage_m, reachesBuilding, below }
  return writeGeoJson(
    [
      {
        shapes: [{ type: 'line' as const, path: [...overflow!.points, ...overflow!.beyond.slice(1)] }],
        properties: { what: 'breach', ...properties },
      },
      ...(overflow!.band.length > 0 ? [{ shapes: polygonsOf(overflow!.band), properties: { what: 'breach-band', ...properties } }] : []),
    ],
    projection,
  )
}

/** Rain, inflow and the ditch's level over the acceptance storm. */
export function hydrographCsv({ hydrograph, storms, acceptance }: Assessment): string {
  const { step_h, expected_m3s, wet_m3s, rain } = hydrograph!
  const levels = storms.find(storm => storm.chancePerYear === acceptance.chancePerYear)?.levels?.levels_m ?? []
  const round = (v: number | undefined, digits: number): number | null => (v === undefined ? null : Number(v.toFixed(digits)))
  return writeCsv(
    ['time_h', 'rain_mmh', 'inflow_m3s', 'inflow_wet_soil_m3s', 'water_level_m'],
    wet_m3s.map((wet, k) => {
      const burst = rain.depths_mm[Math.floor((k * step_h) / rain.step_h + 1e-9)]
      return [
        round(k * step_h, 4),
        round(burst === undefined ? 0 : burst / rain.step_h, 3),
        round(expected_m3s[k] ?? 0, 6),
        round(wet, 6),
        round(levels[k], 4),
      ]
    }),
  )
}

/** Stakes of a line on which no ditch can be laid out: where it runs and how its ground lies. */
export function bareStakesCsv(a: Assessment, { grid, projection }: Reading, settings: Settings): string {
  const local = projection.kind === 'local'
  const round = (v: number): number => Math.round(v * 1000) / 1000
  const rounded = (v: number | null): number | null => (v === null ? null : round(v))
  const last = a.profile.length - 1
  /** Of the assessed stakes, on straight lines between them. */
  const level = (chainage_m: number, of: (p: Assessment['profile'][number]) => number | null): number | null => {
    const place = Math.min(last, (chainage_m / a.line.length_m) * last)
    const k = Math.min(last - 1, Math.floor(place))
    const [from, to] = [of(a.profile[k]!), of(a.profile[k + 1]!)]
    return from === null || to === null ? null : from + (place - k) * (to - from)
  }
  return writeCsv(
    [
      'stake',
      'chainage_m',
      'x_m',
      'y_m',
      ...(local ? [] : ['longitude', 'latitude']),
      'ground_m',
      'bed_m',
      'cut_m',
      'crest_m',
      'sill_m',
      'elevation_error_m',
    ],
    stations(a.line.path, STAKE_M).map(({ chainage_m, at }, k) => {
      const ground_m = surfaceValue(grid, at)
      return [
        k + 1,
        round(chainage_m),
        round(at[0]),
        round(at[1]),
        ...(local ? [] : placeInPlan(projection, at)),
        round(ground_m),
        round(level(chainage_m, p => p.bed_m)!),
        round(ground_m - level(chainage_m, p => p.bed_m)!),
        rounded(level(chainage_m, p => p.crest_m)),
        rounded(a.storage?.sillElevation_m ?? null),
        settings.elevationError_m,
      ]
    }),
  )
}
