import {
  carePaper,
  diggingPaper,
  levellingPaper,
  nameGroundWork,
  onSiteWords,
  plantingPaper,
  sayFieldFiles,
  sayGroundWork,
  sayPlantName,
  sayStakeKinds,
  sayStakeNote,
} from '@soakline/drawing'
import {
  fieldDrawing,
  fieldGeoJson,
  type Projection,
  placeInPlan,
  placeOnEarth,
  readLevelBook,
  stakesCsv,
  type WrittenBook,
  writeCsv,
  writeDxf,
  writeGpx,
  writeKml,
} from '@soakline/io'
import { InputError } from 'soakline/foundation'
import {
  type BookRecord,
  CROSSERS,
  type Crosser,
  type GroundWork,
  groundWork,
  type LevelBook,
  levelBook,
  plantsFrom,
  type Rates,
  refuseScreeningOnly,
  stormLogFrom,
  type WantedCrossing,
} from 'soakline/plan'
import { type Answered, ASK_OPTIONS, ASK_USAGE, answeredFrom } from '../asked.js'
import type { Command } from '../command.js'
import { jsonText, type OutputFile, readJson, readText } from '../files.js'
import { outOption, type Talk } from '../ground.js'
import { type Arguments, type OptionTable, UsageError } from '../usage.js'

// The work on the ground that follows from an answer: each command gives out one of its papers.

/** What of the work one command gives out. */
interface Paper {
  readonly name: string
  readonly usage: string
  readonly options: OptionTable
  readonly document: (work: GroundWork, answered: Answered, talk: Talk, book: LevelBook | null) => Record<string, unknown>
  readonly files: (work: GroundWork, answered: Answered, talk: Talk, book: LevelBook | null) => readonly OutputFile[]
  readonly text: (work: GroundWork, talk: Talk, book: LevelBook | null) => string
}

const command = ({ name, usage, options, document, files, text }: Paper): Command => ({
  name,
  usage: `${name} ${ASK_USAGE} ${usage}--out DIR`,
  options: { ...ASK_OPTIONS, ...options },
  async run(args, talk) {
    const folder = outOption(args)
    const records = await recordsOf(args)
    const bookFile = args.options.get('level-book')
    const written = bookFile === undefined ? null : readLevelBook(await readText(bookFile))
    const answered = await answeredFrom(args, talk)
    const { asked, laid, answer } = answered
    if (laid === null)
      throw new InputError(
        'stakes/no-ditch',
        'No ditch can be laid out on this line as it is set, so there is nothing to carry to the ground. Change the line or the settings; `assess` says what is wrong.',
      )
    refuseScreeningOnly(answer)
    const work = groundWork(laid, answer, { ...asked.plan, ...records, ...placeOnEarth(asked.reading.projection, asked.line) })
    const book = bookOf(written, asked.plan.levelBook, work, talk)
    const main = { format: `soakline-${name}/1`, ...document(work, answered, talk, book) }
    const said = text(work, talk, book)
    return {
      folder,
      main,
      files: [{ name: `${name}.json`, content: jsonText(main) }, ...files(work, answered, talk, book)],
      summary: said.trimEnd().split('\n'),
      exitCode: answer.findings.some(f => f.verdict === 'fails') ? 4 : 0,
    }
  },
})

/** Stakes with their levels, files for receivers, maps and drawing programs, and the levelling sheets. */
export const stakes = command({
  name: 'stakes',
  usage: '[--level-book FILE.csv] ',
  options: { 'level-book': 'FILE' },
  document: (work, { asked: { reading } }, { voice }, book) => ({
    line: { length_m: work.length_m, downhill: work.downhill, spill_m: work.spillAt_m, sill: work.sill, notch_m: work.notch_m },
    stakes: work.stakes.map(({ at, ...stake }) => ({
      ...stake,
      place: placeInPlan(reading.projection, at),
      x_m: at[0],
      y_m: at[1],
      text: [sayStakeKinds(stake, voice), sayStakeNote({ at, ...stake }, voice)].filter(part => part !== '').join('. '),
    })),
    levelling: work.levelling,
    ...(book === null ? {} : { levelBook: book }),
  }),
  files: (work, answered, talk, book) => [
    { name: 'stakes.csv', content: stakesCsv(work.stakes, answered.asked.reading.projection) },
    { name: 'levelling.txt', content: levellingPaper(work, talk.voice, book) },
    ...(book === null ? [] : [{ name: 'level-book.csv', content: levelBookCsv(book) }]),
    ...fieldFiles(work, answered, talk),
  ],
  text: (work, { voice }, book) => levellingPaper(work, voice, book),
})

/** Volumes and days by stretch, phases, crossings, tools and, with rates, cost. */
export const digging = command({
  name: 'digging',
  usage: '[--crossings barrow@M,stock@M,machine@M] [--rates personDay=N,machineHour=N,mulch_m3=N] ',
  options: { crossings: 'barrow@M,…', rates: 'personDay=N,…' },
  document: ({ digging: plan }, _answered, { voice }) => ({
    ...plan,
    phases: plan.phases.map(phase => ({
      ...phase,
      text: nameGroundWork('phase', phase.code, voice),
      rainText: nameGroundWork('rain', phase.rain, voice),
    })),
    crossings: plan.crossings.map(crossing => ({
      ...crossing,
      ...(crossing.refused === null ? {} : { text: sayGroundWork(crossing.refused, {}, voice) }),
    })),
    tools: plan.tools.map(tool => ({ tool, text: onSiteWords(voice).dig.tool[tool] })),
  }),
  files: (work, _answered, { voice }) => [{ name: 'digging.txt', content: diggingPaper(work, voice) }],
  text: (work, { voice }) => diggingPaper(work, voice),
})

/** Zones with lengths, counts and conditions, and where each plant of the list goes. */
export const planting = command({
  name: 'planting',
  usage: '[--plants FILE.json] ',
  options: { plants: 'FILE' },
  document: ({ planting: { zones, plants, matches, starter } }, _answered, { voice }) => ({
    zones: zones.map(({ parts, ...zone }) => ({
      ...zone,
      parts: parts.map(({ from_m, to_m }) => ({ from_m, to_m })),
      text: nameGroundWork('zone', zone.zone, voice),
    })),
    starterList: starter,
    plants: plants.map(plant => ({ ...plant, text: sayPlantName(plant.name, voice) })),
    matches: matches.map(match => ({ ...match, text: match.reasons.map(reason => sayGroundWork(reason, {}, voice)).join('; ') })),
  }),
  files: (work, answered, talk) => [
    { name: 'planting.txt', content: plantingPaper(work, talk.voice) },
    { name: 'planting.geojson', content: geoJson(work, answered, talk) },
  ],
  text: (work, { voice }) => plantingPaper(work, voice),
})

/** The storm card, what is looked at and when, and storms seen beside what was expected. */
export const care = command({
  name: 'care',
  usage: '[--storm-log FILE.json] [--ring TEXT] ',
  options: { 'storm-log': 'FILE', ring: 'TEXT' },
  document: ({ care: { card, inspections, cleanAt_m, log } }, { asked: { reading } }, { voice }) => ({
    card: {
      ...card,
      openAt: { chainage_m: card.openAt.chainage_m, place: placeInPlan(reading.projection, card.openAt.at) },
      doNot: card.doNot.map(code => ({ code, text: nameGroundWork('doNot', code, voice) })),
      inStorm: card.inStorm.map(code => ({ code, text: nameGroundWork('inStorm', code, voice) })),
    },
    inspections: inspections.map(item => ({ ...item, text: nameGroundWork('inspection', item.code, voice) })),
    cleanAt_m,
    log: log.map(row => ({ ...row, text: sayGroundWork(row.because, { waterOff_m: row.waterOff_m }, voice) })),
  }),
  files: (work, _answered, { voice }) => [{ name: 'care.txt', content: carePaper(work, voice) }],
  text: (work, { voice }) => carePaper(work, voice),
})

/** Name of the line in the files that are taken along. */
const nameOf = ({ asked: { plan } }: Answered): string => plan.holding || 'Soakline'

const fieldPlan = (work: GroundWork, answered: Answered, { voice }: Talk) => ({
  name: nameOf(answered),
  answer: answered.answer,
  stakes: work.stakes,
  zones: work.planting.zones,
  words: sayFieldFiles(voice),
})

const geoJson = (work: GroundWork, answered: Answered, talk: Talk): string =>
  fieldGeoJson(fieldPlan(work, answered, talk), answered.asked.reading.projection)

/** The drawing always; what needs a place on Earth only where the raster has one. */
function fieldFiles(work: GroundWork, answered: Answered, talk: Talk): OutputFile[] {
  const { projection }: { projection: Projection } = answered.asked.reading
  const drawing = fieldDrawing(fieldPlan(work, answered, talk))
  return [
    { name: 'plan.dxf', content: writeDxf(drawing, { crs: projection.crs }) },
    { name: 'plan.geojson', content: geoJson(work, answered, talk) },
    ...(projection.kind === 'local'
      ? []
      : [
          { name: 'stakes.gpx', content: writeGpx(drawing, projection) },
          { name: 'plan.kml', content: writeKml(drawing, projection) },
        ]),
  ]
}

/** What the options say besides the plan; each takes the place of the plan's own. Throws UsageError and what the lists throw. */
async function recordsOf(args: Arguments) {
  const [plants, log] = [args.options.get('plants'), args.options.get('storm-log')]
  const [crossings, rates, ring] = [args.options.get('crossings'), args.options.get('rates'), args.options.get('ring')]
  return {
    ...(plants === undefined ? {} : { plants: plantsFrom(await readJson(plants)) }),
    ...(log === undefined ? {} : { stormLog: stormLogFrom(await readJson(log)) }),
    ...(crossings === undefined ? {} : { crossings: crossings.split(',').map(crossingOf) }),
    ...(rates === undefined ? {} : { rates: ratesOf(rates) }),
    ...(ring === undefined ? {} : { ring }),
  }
}

/** The level book of `--level-book`, or the plan's own, worked out; null without readings. Throws what `levelBook` throws. */
function bookOf(written: WrittenBook | null, kept: BookRecord | undefined, { stakes }: GroundWork, { warn }: Talk): LevelBook | null {
  if (written === null) return kept && kept.readings.length > 0 ? levelBook(kept.readings, kept.start_m, kept.closesOn_m) : null
  const base = stakes.find(({ fromBase }) => fromBase.distance_m === 0) ?? stakes[0]!
  if (written.start_m === null) warn({ code: 'level-book/start-assumed', details: { level_m: base.ground_m } })
  return levelBook(written.readings, written.start_m ?? base.ground_m, written.closesOn_m)
}

const levelBookCsv = ({ rows }: LevelBook): string =>
  writeCsv(
    ['point', 'backsight_m', 'intermediate_m', 'foresight_m', 'rise_m', 'fall_m', 'level_m'],
    rows.map(row => [
      row.point,
      ...[row.backsight_m, row.intermediate_m, row.foresight_m, row.rise_m, row.fall_m, row.level_m].map(value =>
        value === null || value === undefined ? null : Number(value.toFixed(4)),
      ),
    ]),
  )

function crossingOf(text: string): WantedCrossing {
  const [crosser, place, ...more] = text.split('@')
  const chainage_m = place === undefined || place.trim() === '' ? Number.NaN : Number(place)
  if (!CROSSERS.includes(crosser as Crosser) || !Number.isFinite(chainage_m) || more.length > 0)
    throw new UsageError(`--crossings needs who crosses and where in metres, such as barrow@12.5,stock@40; it holds "${text}".`)
  return { crosser: crosser as Crosser, chainage_m }
}

const RATES = ['personDay', 'machineHour', 'mulch_m3'] as const satisfies readonly (keyof Rates)[]

function ratesOf(text: string): Rates {
  return Object.fromEntries(
    text.split(',').map(part => {
      const [name, value, ...more] = part.split('=')
      const rate = value === undefined || value.trim() === '' ? Number.NaN : Number(value)
      if (!RATES.includes(name as (typeof RATES)[number]) || !(rate >= 0 && rate < Infinity) || more.length > 0)
        throw new UsageError(`--rates needs prices of 0 or more, such as personDay=120,machineHour=65,mulch_m3=20; it holds "${part}".`)
      return [name, rate]
    }),
  )
}
