import { candidatesText, outletsText, sayCandidate, sayCandidateRemark, sayLimitChange, sayRuledOut, wordsOf } from '@soakline/drawing'
import { placeInPlan, type Reading, readRainTable, writeGeoJson } from '@soakline/io'
import { SETTINGS, type Settings, settingsFrom, statedStorm } from 'soakline/plan'
import {
  ASSUMED_STORM,
  type Candidate,
  type CandidateSearch,
  candidateLines,
  type LineSpill,
  NO_GO_LIMITS,
  type NoGoChange,
  noGoChange,
  noGoGround,
  noGoMemory,
  type OutletSearch,
  outletPlaces,
  type StatedStorm,
} from 'soakline/siting'
import { gradient } from 'soakline/terrain'
import type { Command } from '../command.js'
import { jsonText, readJson, readText } from '../files.js'
import { openGround, outOption, rasterOperand, readOptions, type Talk } from '../ground.js'
import { groundLayers, LAYER_OPTIONS } from '../layers.js'
import { onTheGround, STUDY_OPTIONS, studyOf } from '../study.js'
import { type Arguments, GROUND_OPTIONS } from '../usage.js'

/** Possible lines over the whole raster, ranked, with their reasons. */
export const suggest: Command = {
  name: 'suggest',
  usage:
    'suggest DEM [--features FILE] [--hollows FILE] [--rain FILE] [--settings FILE] [--land-cover FILE --forest-classes N,N --wet-classes N,N] [--surface FILE] --out DIR',
  options: { ...GROUND_OPTIONS, ...STUDY_OPTIONS, ...LAYER_OPTIONS, rain: 'FILE', settings: 'FILE' },
  async run(args, talk) {
    const folder = outOption(args)
    const reading = await openGround(rasterOperand(args), readOptions(args), talk)
    const drawn = await onTheGround(args, reading, talk)
    const settings = await settingsOf(args)
    const layers = await groundLayers(args, reading.projection.crs)
    const study = await studyOf(reading, drawn, talk, settings)
    const slope = gradient(study.surveyed)
    const noGo = noGoGround(study, slope, drawn.features, settings, { layers })
    const limits = limitsChanged(settings, change =>
      noGoChange(study, slope, drawn.features, { ...settings, ...change.usual }, change.set, { layers, memory: noGoMemory() }),
    )
    const outlets = outletPlaces(study, slope, drawn.features, settings)
    const storm = await stormOf(args, settings, talk)
    const search = candidateLines({ study, features: drawn.features, noGo, elevationError_m: settings.elevationError_m }, settings, storm)
    const main = { ...searchJson(search, outlets, reading, talk), limits }
    return {
      folder,
      main,
      files: [
        { name: 'candidates.geojson', content: linesJson(search.candidates, reading, talk) },
        { name: 'candidates.json', content: jsonText(main) },
        { name: 'outlets.geojson', content: outletsJson(outlets, reading) },
      ],
      summary: [
        ...limits.map(({ name, change }) => `${wordsOf(talk.voice).setting[name]}: ${sayLimitChange(change, talk.voice)}`),
        ...outletsText(outlets, talk.voice),
        '',
        ...candidatesText(search, talk.voice),
      ],
      exitCode: 0,
    }
  },
}

/** What each limit that was given other than usual does to no-go ground. */
function limitsChanged(
  settings: Settings,
  ask: (change: { readonly usual: Partial<Settings>; readonly set: Partial<Settings> }) => NoGoChange,
): { readonly name: keyof Settings; readonly value: unknown; readonly usual: unknown; readonly change: NoGoChange }[] {
  return (NO_GO_LIMITS as readonly (keyof Settings)[])
    .filter(name => settings[name] !== SETTINGS[name].default)
    .map(name => {
      const [value, usual] = [settings[name], SETTINGS[name].default]
      return { name, value, usual, change: ask({ usual: { [name]: usual }, set: { [name]: value } }) }
    })
}

async function settingsOf(args: Arguments): Promise<Settings> {
  const file = args.options.get('settings')
  if (file === undefined) return settingsFrom({}).settings
  return settingsFrom(await readJson(file)).settings
}

/** The storm of the rain table that lines are judged by; the assumed one without a table. */
async function stormOf(args: Arguments, settings: Settings, { warn }: Talk): Promise<StatedStorm> {
  const file = args.options.get('rain')
  if (file === undefined) return ASSUMED_STORM
  const { rows, warnings } = readRainTable(await readText(file))
  for (const warning of warnings) warn(warning)
  return statedStorm({ rows }, settings)
}

const spillJson = (spill: LineSpill, { projection }: Reading): Record<string, unknown> => ({
  ...spill,
  at: placeInPlan(projection, spill.at),
})

/** A number as JSON can hold it. */
const finite = (value: number): number | null => (Number.isFinite(value) ? value : null)

function candidateJson(candidate: Candidate, reading: Reading, { voice }: Talk): Record<string, unknown> {
  const { path: _path, labour, spill, otherEnd, spacing, storageSpacing_m, ...rest } = candidate
  return {
    ...rest,
    personDays: [labour.low_days, labour.high_days],
    labourSources: labour.sources,
    spill: spillJson(spill, reading),
    otherEnd: spillJson(otherEnd, reading),
    spacing: { low_m: spacing.low_m, high_m: spacing.high_m, storageLimited_m: finite(storageSpacing_m), rules: spacing.rules },
    text: sayCandidate(candidate, voice),
  }
}

function searchJson(search: CandidateSearch, outlets: OutletSearch, reading: Reading, talk: Talk): Record<string, unknown> {
  const { geometry } = reading.grid
  const { voice } = talk
  return {
    format: 'soakline-candidates/1',
    ground: {
      cell_m: geometry.cell_m,
      crs: geometry.crs,
      width: geometry.width,
      height: geometry.height,
      voidCells: reading.report.voidCells,
      sha256: reading.report.sha256,
      warnings: reading.report.warnings,
    },
    storm: search.storm,
    remarks: search.remarks.map(remark => ({ ...remark, text: sayCandidateRemark(remark, voice) })),
    outlets: {
      places: outlets.places.map(({ at, overflow, ...place }) => ({
        ...place,
        at: placeInPlan(reading.projection, at),
        endsIn: overflow.endsIn,
        overflow_m: overflow.length_m,
      })),
      leftOut: outlets.leftOut,
    },
    looked_m: search.looked_m,
    tried: search.tried,
    ruledOut: search.ruledOut.map(part => ({ ...part, text: sayRuledOut(part.by, voice) })),
    dropped: search.dropped,
    candidates: search.candidates.map(candidate => candidateJson(candidate, reading, talk)),
  }
}

function outletsJson({ places }: OutletSearch, reading: Reading): string {
  return writeGeoJson(
    places.map(({ at, overflow: _overflow, ...place }) => ({
      shapes: [{ type: 'point' as const, at }],
      properties: { what: 'outlet', ...place },
    })),
    reading.projection,
  )
}

function linesJson(candidates: readonly Candidate[], reading: Reading, { voice }: Talk): string {
  return writeGeoJson(
    candidates.map(candidate => ({
      shapes: [{ type: 'line' as const, path: candidate.path }],
      properties: {
        what: 'candidate',
        rank: candidate.rank,
        length_m: candidate.length_m,
        elevation_m: candidate.elevation_m,
        fall_ratio: candidate.fall_ratio,
        slope_ratio: candidate.slope_ratio,
        catchment_m2: candidate.catchment_m2,
        cutByEdge: candidate.cutByEdge,
        runoff_m3: candidate.runoff_m3,
        storage_m3: candidate.storage_m3,
        kept_m3: candidate.kept_m3,
        cut_m3: candidate.cut_m3,
        personDays: [candidate.labour.low_days, candidate.labour.high_days],
        keptPerDay_m3: candidate.keptPerDay_m3,
        score: candidate.score,
        spillEnd: candidate.spill.heading,
        spillAt: placeInPlan(reading.projection, candidate.spill.at),
        spillEndsIn: candidate.spill.endsIn,
        nearestBuilding_m: candidate.spill.nearestBuilding_m,
        reasons: candidate.reasons.map(reason => reason.code),
        text: sayCandidate(candidate, voice).join(' '),
      },
    })),
    reading.projection,
  )
}
