import { basename, dirname, extname, relative, resolve } from 'node:path'
import {
  type DrawingSetInput,
  drawingSetHtml,
  onSiteWords,
  PAPER_NAMES,
  partText,
  reportHtml,
  sayBuilt,
  sayConsequence,
  sayFinding,
  sayGroundWork,
  sayWarning,
  summaryText,
  type Voice,
} from '@soakline/drawing'
import {
  answersKept,
  featureInPlan,
  groundInside,
  optionsKept,
  type Projection,
  placeInPlan,
  placeOnEarth,
  placeOnGround,
  type Reading,
  type ReadOptions,
  readAsBuilt,
  readDailyRain,
  readMeasuredStorm,
  readPlanFeatures,
  readRainTable,
  readSoilRecord,
  stakesCsv,
  withGroundInside,
  withoutGroundInside,
  writeCsv,
  writeGeoJson,
} from '@soakline/io'
import { InputError, METRES_PER } from 'soakline/foundation'
import {
  type DailyRain,
  EMPTY_SOIL_RECORD,
  type HollowChoice,
  type Hyetograph,
  placedSoilRecord,
  type RainTable,
  type SoilRecord,
} from 'soakline/hydrology'
import {
  type Assessment,
  assessFully,
  type BuiltRecord,
  builtAgainstPlan,
  cascadeOf,
  dailyRainOf,
  fieldPapers,
  GRID_NAMES,
  groundAnswers,
  groundWork,
  type LaidLine,
  laidLine,
  measuredStormOf,
  type Place,
  type Plan,
  plantingRows,
  readPlan,
  type Settings,
  type Site,
  screeningOnly,
  settingsAsBuilt,
  settingsFrom,
  siteOf,
  verdictsChanged,
  writePlan,
} from 'soakline/plan'
import { type Point, polygonsOf, stations, surfaceValue } from 'soakline/raster'
import { noGoRings, type SiteFeature } from 'soakline/siting'
import { contourInterval_m, contourLines, gradient } from 'soakline/terrain'
import type { Command } from '../command.js'
import { jsonText, type OutputFile, readBytes, readJson, readText } from '../files.js'
import { gridFiles, gridsOption } from '../grid-files.js'
import { groundFrom, LINE_OPTIONS, lineFrom, openGround, outOption, rasterOperand, readOptions, type Talk } from '../ground.js'
import { featureText } from '../layer-file.js'
import { onTheGround, STUDY_OPTIONS, studyOf } from '../study.js'
import { type Arguments, GROUND_OPTIONS, type OptionTable, UsageError, wordOption } from '../usage.js'
import { VERSION } from '../version.js'

/** Distance between stakes of a line on which no ditch can be laid out. */
const STAKE_M = 5

/** What names a line with all that is known about it: the same for every command that answers about one. */
export const ASK_USAGE =
  '(DEM --line FILE [--features FILE] [--soil FILE] [--hollows FILE] [--rain FILE] [--daily-rain FILE] [--storm FILE] [--settings FILE] | --plan FILE.soakline.json)'
export const ASK_OPTIONS: OptionTable = {
  ...GROUND_OPTIONS,
  ...STUDY_OPTIONS,
  ...LINE_OPTIONS,
  rain: 'FILE',
  'daily-rain': 'FILE',
  storm: 'FILE',
  soil: 'FILE',
  settings: 'FILE',
  plan: 'FILE',
  holding: 'NAME',
}

/** What was asked, with the whole answer about it and the ditch as it is laid out. */
export interface Answered {
  readonly asked: Asked
  readonly site: Site
  readonly answer: Assessment
  /** Null where no ditch can be dug as it is set. */
  readonly laid: LaidLine | null
}

/** Reads what `ASK_OPTIONS` name and answers it. Throws UsageError, and what the files throw. */
export async function answeredFrom(args: Arguments, talk: Talk): Promise<Answered> {
  const asked = args.options.has('plan') ? await fromPlan(args, talk) : await fromFiles(args, talk)
  const { reading, line, soil, dailyRain, measuredStorm, features, hollows, rain, settings } = asked
  const { grid, report } = reading
  const study = await studyOf(reading, { features, hollows }, talk, settings)
  const site = siteOf(study, gradient(grid), features, settings, { sha256: report.sha256, warnings: report.warnings }, { soil })
  const answer = assessFully(site, line, settings, rain, { asDug: true, dailyRain, measuredStorm })
  if (dailyRain && answer.soaking.infiltration_mmh === null) talk.warn({ code: 'balance/intake-unknown', details: {} })
  return { asked, site, answer, laid: laidLine(grid, answer, settings) }
}

/** The whole answer about one line. */
export const assessCommand: Command = {
  name: 'assess',
  usage: `assess ${ASK_USAGE} [--as-built FILE.csv [--fresh]] [--paper A4|A3|Letter] [--ground inside|beside] [--grids NAME,…|all] --out DIR`,
  options: { ...ASK_OPTIONS, 'as-built': 'FILE', fresh: null, paper: 'A4|A3|Letter', ground: 'inside|beside', grids: 'NAME,…|all' },
  async run(args, talk) {
    const folder = outOption(args)
    const paper = wordOption(args, 'paper', PAPER_NAMES) ?? (talk.voice.units === 'us' ? 'Letter' : 'A4')
    if (args.flags.has('fresh') && !args.options.has('as-built'))
      throw new UsageError('--fresh says how the berm was read: it belongs to --as-built FILE.')
    const grids = gridsOption(args, GRID_NAMES)
    const answered = await answeredFrom(args, talk)
    const { asked, site, laid } = answered
    const built = await builtFrom(args, answered)
    const { reading, line, others, features, rain, settings, assumed, file } = asked
    const { grid, projection, report } = reading
    const answer = built?.answer ?? answered.answer
    const plan: Plan = built ? { ...asked.plan, built: built.record } : asked.plan
    const earthly = placeOnEarth(projection, line)
    const onlyLook = screeningOnly(answered.answer) !== null
    if (onlyLook) talk.warn({ code: 'stakes/screening-only', details: {} })
    const work = laid && !onlyLook && groundWork(laid, answered.answer, { ...plan, ...earthly })
    // Whole feet for readers in feet; the lines stand in the report alone.
    const unit_m = talk.voice.units === 'us' ? METRES_PER.ft : 1
    const contours = contourLines(grid, contourInterval_m((report.maximum_m - report.minimum_m) / unit_m) * unit_m)
    const noGo = noGoRings(site.noGo)
    const cascade = others.length > 0 ? cascadeOf(site, [line, ...others], settings, rain) : undefined
    const main = {
      ...assessmentJson(answer, projection, talk),
      ...(work ? { planting: plantingRows(work.planting.zones) } : {}),
      ...(built ? { asBuilt: built.json(talk.voice) } : {}),
      ...(cascade === undefined ? {} : { cascade }),
    }
    const papers = laid && work ? fieldPapers(laid, work) : null
    const input: DrawingSetInput = {
      holding: plan.holding,
      lineName: asked.lineName,
      paper,
      papers,
      stakePlaces: papers === null || projection.kind === 'local' ? null : papers.stakes.map(({ at }) => placeInPlan(projection, at)),
      dateText: new Date().toISOString().slice(0, 10),
      version: VERSION,
      assessment: answer,
      contours,
      features,
      noGo,
      settings,
      assumed,
      asBuilt: built !== null,
      groundReport: { fileName: file, crsName: report.crsName, elevationUnitFrom: report.elevationUnitFrom },
    }
    const files: OutputFile[] = [
      { name: 'assessment.json', content: jsonText(main) },
      {
        name: 'line.geojson',
        content: writeGeoJson(
          [{ shapes: [{ type: 'line', path: line }], properties: { what: 'line', length_m: answer.line.length_m } }],
          projection,
        ),
      },
      {
        name: 'catchment.geojson',
        content: writeGeoJson(
          [
            {
              shapes: polygonsOf(answer.catchment.rings),
              properties: { what: 'catchment', area_m2: answer.catchment.area_m2, cutByEdge: answer.catchment.cutByEdge },
            },
            ...answer.catchment.ridgeLines.map(path => ({ shapes: [{ type: 'line' as const, path }], properties: { what: 'ridge' } })),
          ],
          projection,
        ),
      },
      { name: 'overflow.geojson', content: overflowJson(answer, projection) },
      ...(answer.worstBreach?.overflow ? [{ name: 'breach.geojson', content: breachJson(answer, projection) }] : []),
      {
        name: 'no-go.geojson',
        content: writeGeoJson(
          noGo.map(({ reason, rings }) => ({ shapes: polygonsOf(rings), properties: { reason } })),
          projection,
        ),
      },
      ...(onlyLook
        ? []
        : [{ name: 'stakes.csv', content: work ? stakesCsv(work.stakes, projection) : bareStakesCsv(answer, reading, settings) }]),
      ...(answer.hydrograph ? [{ name: 'hydrograph.csv', content: hydrographCsv(answer) }] : []),
      { name: 'report.html', content: reportHtml(input, talk.voice) },
      { name: 'drawing-set.html', content: drawingSetHtml(input, talk.voice) },
      ...(await gridFiles(grids, { study: site.study, gradient: site.gradient, noGo: () => site.noGo, answer }, projection)),
      { name: 'plan.soakline.json', content: writePlan(await withItsGround(plan, args, asked, talk)) },
    ]
    return {
      folder,
      main,
      files,
      summary: [...summaryText(answer, talk.voice), ...(built ? ['', ...built.said(talk.voice)] : [])],
      exitCode: answer.findings.some(f => f.verdict === 'fails') ? 4 : 0,
    }
  },
}

/** The plan with its raster inside or beside it, as `--ground` says; without a word as the plan was, and beside a new one. */
async function withItsGround(plan: Plan, args: Arguments, { file, read }: Asked, { warn }: Talk): Promise<Plan> {
  const where = wordOption(args, 'ground', ['inside', 'beside'])
  if (where === 'beside') return withoutGroundInside(plan)
  if (where === undefined || plan.ground.inside) return plan
  const inside = await withGroundInside(plan, new Uint8Array(await readBytes(file)), read)
  warn({ code: 'plan/ground-inside', details: { size_MB: Math.ceil(inside.ground.inside!.base64.length / 1e5) / 10 } })
  return inside
}

/** What was read on the dug ditch, and the answer about it. */
interface Built {
  readonly record: BuiltRecord
  readonly answer: Assessment
  readonly json: (voice: Voice) => Record<string, unknown>
  readonly said: (voice: Voice) => readonly string[]
}

/** The readings that `--as-built` names, or that the plan keeps, with the whole answer on what was built; null without any. */
async function builtFrom(args: Arguments, { asked, site, answer: planned, laid }: Answered): Promise<Built | null> {
  const file = args.options.get('as-built')
  if (file === undefined && (asked.plan.built?.readings ?? []).length === 0) return null
  if (laid === null)
    throw new InputError(
      'stakes/no-ditch',
      'No ditch can be laid out on this line as it is set, so there is nothing to hold the readings against. Change the line or the settings.',
    )
  const { stakes } = groundWork(laid, planned)
  const record: BuiltRecord =
    file === undefined
      ? asked.plan.built!
      : {
          readings: readAsBuilt(await readText(file), { stakes }).map(({ what, chainage_m, level_m }) => ({ what, chainage_m, level_m })),
          fresh: args.flags.has('fresh'),
        }
  const built = builtAgainstPlan(laid, planned, record)
  const { line, rain, dailyRain, measuredStorm } = asked
  const answer = assessFully(site, line, settingsAsBuilt(laid), rain, { asDug: true, dailyRain, measuredStorm, built: built.built })
  const verdicts = verdictsChanged(planned, answer)
  return {
    record,
    answer,
    said: voice => [
      onSiteWords(voice).built.consequence.toUpperCase(),
      '',
      ...sayConsequence(built, { planned, built: answer, verdicts }, voice),
      '',
      // Every single reading stands in the JSON.
      ...sayBuilt(built, voice).slice(0, 2).flatMap(partText),
    ],
    json: voice => ({
      fresh: record.fresh,
      readings: built.readings,
      bed: built.bed,
      sill: built.sill,
      lowestCrest_m: built.lowestCrest_m,
      lowSpots: built.lowSpots,
      remarks: built.remarks.map(({ code, ...values }) => ({ code, ...values, text: sayGroundWork(code, values, voice) })),
      verdicts,
      planned: { storage: planned.storage, findings: planned.findings.map(({ check, verdict }) => ({ check, verdict })) },
    }),
  }
}

export interface Asked {
  readonly reading: Reading
  readonly lineName: string
  readonly line: readonly Point[]
  /** Further lines of a plan: ditches above or below. */
  readonly others: readonly (readonly Point[])[]
  readonly features: readonly SiteFeature[]
  readonly hollows: readonly HollowChoice[]
  readonly rain: RainTable | null
  readonly soil: SoilRecord
  readonly dailyRain: DailyRain | null
  readonly measuredStorm: Hyetograph | null
  readonly settings: Settings
  readonly assumed: readonly (keyof Settings)[]
  readonly plan: Plan
  /** The raster's file (its name alone where it came out of the plan), and what was said of it. */
  readonly file: string
  readonly read: ReadOptions
}

async function fromFiles(args: Arguments, talk: Talk): Promise<Asked> {
  const file = rasterOperand(args)
  const lineFile = args.options.get('line')
  if (lineFile === undefined) throw new UsageError('Say which line: --line FILE.')
  const options = readOptions(args)
  const reading = await openGround(file, options, talk)
  const line = await lineFrom(lineFile, args, reading, talk)
  const { features, hollows } = await onTheGround(args, reading, talk)
  const rainFile = args.options.get('rain')
  const rain = rainFile === undefined ? null : rainFrom(await readText(rainFile), talk)
  const soil = await soilFrom(args, reading, talk)
  const dailyFile = args.options.get('daily-rain')
  const dailyRain = dailyFile === undefined ? null : dailyFrom(await readText(dailyFile), dailyFile, talk)
  const stormFile = args.options.get('storm')
  const measuredStorm = stormFile === undefined ? null : readMeasuredStorm(await readText(stormFile), { source: stormFile })
  const settingsFile = args.options.get('settings')
  const given = settingsFile === undefined ? {} : await readJson(settingsFile)
  const { settings, assumed } = settingsFrom(given)
  const { clues, ...asked } = options
  // What the clues led to is kept as if it had been said.
  const answers = answersKept({ ...asked, ...(clues ? { crs: reading.report.fileCrs } : {}) })
  const plan: Plan = {
    format: 'soakline-plan/1',
    holding: args.options.get('holding') ?? '',
    ground: {
      file: relative(resolve(outOption(args)), resolve(file)),
      sha256: reading.report.sha256,
      crs: reading.projection.crs,
      elevationUnit: reading.report.elevationUnitFrom === 'user' ? reading.report.elevationUnit : null,
      nodata: typeof options.nodata === 'number' && Number.isFinite(options.nodata) ? options.nodata : null,
      ...(answers === undefined ? {} : { answers }),
    },
    lines: [{ id: 'line-1', path: line.map(at => placeInPlan(reading.projection, at)) }],
    features: features.map(feature => featureInPlan(feature, reading.projection)),
    rain: rain?.rows ?? [],
    ...(soil.pits.length + soil.sightings.length > 0 ? { soil: placedSoilRecord(soil, at => placeInPlan(reading.projection, at)) } : {}),
    ...(measuredStorm
      ? { measuredStorm: { step_h: measuredStorm.step_h, depths_mm: measuredStorm.depths_mm, source: measuredStorm.source } }
      : {}),
    ...(dailyRain
      ? { dailyRain: { ...dailyRain, depths_mm: dailyRain.depths_mm.map(depth => (Number.isNaN(depth) ? null : depth)) } }
      : {}),
    ...(hollows.length > 0
      ? { hollows: hollows.map(({ at, treatment }) => ({ at: placeInPlan(reading.projection, at), treatment })) }
      : {}),
    settings: given as Partial<Settings>,
  }
  const lineName = basename(lineFile, extname(lineFile))
  return {
    reading,
    lineName,
    line,
    others: [],
    soil,
    dailyRain,
    measuredStorm,
    features,
    hollows,
    rain,
    settings,
    assumed,
    plan,
    file,
    read: asked,
  }
}

async function fromPlan(args: Arguments, talk: Talk): Promise<Asked> {
  const planFile = args.options.get('plan')!
  for (const other of [
    'line',
    'line-name',
    'line-crs',
    'line-unit',
    'features',
    'soil',
    'hollows',
    'rain',
    'daily-rain',
    'storm',
    'settings',
  ])
    if (args.options.has(other)) throw new UsageError(`--plan brings its own ${other}; leave --${other} out.`)
  const opened = readPlan(await readText(planFile))
  const inside = args.operands.length === 0 ? await groundInside(opened) : null
  const file = inside?.name ?? args.operands[0] ?? resolve(dirname(planFile), opened.ground.file)
  const { clues: _, ...said } = readOptions(args)
  // A part that was cut out of a larger raster and stands in the plan itself is read by its own answers.
  const read: ReadOptions = { ...(inside?.options ?? optionsKept(groundAnswers(opened.ground))), ...said }
  const answers = { ...groundAnswers(opened.ground), ...answersKept(said) }
  const plan: Plan = Object.keys(answers).length === 0 ? opened : { ...opened, ground: { ...opened.ground, answers } }
  const reading = inside ? await groundFrom(inside.bytes, inside.name, read, talk) : await openGround(file, read, talk)
  if (reading.report.sha256 !== plan.ground.sha256)
    throw new InputError(
      'plan/other-ground',
      `The elevation in ${file} is not the one that the plan was drawn on. Open the plan with that one, or assess the line anew on this one.`,
      {
        expected: plan.ground.sha256,
        found: reading.report.sha256,
      },
    )
  const first = plan.lines[0]
  if (!first) throw new InputError('line/none', 'The plan holds no line yet. Draw one.')
  const { features, warnings } = readPlanFeatures(plan.features, reading.projection)
  for (const warning of warnings) talk.warn(warning)
  const place = (at: Place): Point => placeOnGround(reading.projection, at)
  const line = first.path.map(place)
  const others = plan.lines.slice(1).map(({ path }) => path.map(place))
  const hollows = (plan.hollows ?? []).map(({ at, treatment }) => ({ at: place(at), treatment }))
  const { settings, assumed } = settingsFrom(plan.settings)
  const soil = placedSoilRecord(plan.soil ?? EMPTY_SOIL_RECORD, at => place([at[0], at[1]]))
  return {
    reading,
    lineName: first.id,
    line,
    others,
    soil,
    dailyRain: dailyRainOf(plan.dailyRain),
    measuredStorm: measuredStormOf(plan.measuredStorm),
    features,
    hollows,
    rain: plan.rain.length > 0 ? { rows: plan.rain } : null,
    settings,
    assumed,
    plan,
    file,
    read,
  }
}

/** Pits and sightings: of `--soil`, or else the pits among the features that say what was found in them. */
async function soilFrom(args: Arguments, reading: Reading, talk: Talk): Promise<SoilRecord> {
  const { projection } = reading
  const soilFile = args.options.get('soil')
  // What was left out of the features is told where they are read for the site.
  const features = soilFile === undefined ? await featureText(args, reading, { ...talk, warn: () => undefined }) : undefined
  const text = soilFile !== undefined ? await readText(soilFile) : features !== undefined ? recordsAmong(features) : null
  if (text === null) return EMPTY_SOIL_RECORD
  const { record, warnings } = readSoilRecord(text, projection)
  for (const warning of warnings) talk.warn(warning)
  return record
}

/** The pits of a file of features that carry a depth, as a file of their own; null without any. */
function recordsAmong(text: string): string | null {
  const { features } = JSON.parse(text) as { features?: { properties?: Record<string, unknown> | null }[] }
  const pits = (features ?? []).filter(
    ({ properties }) => properties?.kind === 'pit' && (properties.depth_m !== undefined || properties.depth_ft !== undefined),
  )
  return pits.length > 0 ? JSON.stringify({ type: 'FeatureCollection', features: pits }) : null
}

function dailyFrom(text: string, file: string, { warn }: Talk): DailyRain {
  const { rain, warnings } = readDailyRain(text, { source: file })
  for (const warning of warnings) warn(warning)
  return rain
}

function rainFrom(text: string, { warn }: Talk): RainTable {
  const { rows, warnings } = readRainTable(text)
  for (const warning of warnings) warn(warning)
  return { rows }
}

/** The answer under the stable names of `soakline-assessment/1`. What is not computed is left out. */
function assessmentJson(a: Assessment, projection: Projection, { voice }: Talk): Record<string, unknown> {
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

function overflowJson(a: Assessment, projection: Projection): string {
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
function breachJson({ worstBreach, breaches }: Assessment, projection: Projection): string {
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
function hydrographCsv({ hydrograph, storms, acceptance }: Assessment): string {
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
function bareStakesCsv(a: Assessment, { grid, projection }: Reading, settings: Settings): string {
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
