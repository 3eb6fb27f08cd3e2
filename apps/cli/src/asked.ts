import { basename, dirname, extname, relative, resolve } from 'node:path'
import {
  answersKept,
  featureInPlan,
  groundInside,
  optionsKept,
  placeInPlan,
  placeOnGround,
  type Reading,
  type ReadOptions,
  readDailyRain,
  readMeasuredStorm,
  readPlanFeatures,
  readRainTable,
  readSoilRecord,
} from '@soakline/io'
import { InputError } from 'soakline/foundation'
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
  dailyRainOf,
  groundAnswers,
  type LaidLine,
  laidLine,
  measuredStormOf,
  type Place,
  type Plan,
  readPlan,
  type Settings,
  type Site,
  settingsFrom,
  siteOf,
} from 'soakline/plan'
import type { Point } from 'soakline/raster'
import type { SiteFeature } from 'soakline/siting'
import { gradient } from 'soakline/terrain'
import { readJson, readText } from './files.js'
import { groundFrom, LINE_OPTIONS, lineFrom, openGround, outOption, rasterOperand, readOptions, type Talk } from './ground.js'
import { featureText } from './layer-file.js'
import { onTheGround, STUDY_OPTIONS, studyOf } from './study.js'
import { type Arguments, GROUND_OPTIONS, type OptionTable, UsageError } from './usage.js'

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
