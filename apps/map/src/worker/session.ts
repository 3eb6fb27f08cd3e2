import { drawingSetHtml, levellingPaper, reportHtml, type SaidOutlet, sayFieldFiles, type UnitSystem } from '@soakline/drawing'
import {
  fieldDrawing,
  fieldGeoJson,
  placeOnEarth,
  readPlanFeatures,
  stakesCsv,
  systemsNear,
  systemsThrough,
  writeDxf,
  writeGeoTiff,
  writeGpx,
  writeKml,
} from '@soakline/io'
import { InputError, inTurns, type Steps, type TurnOptions, within } from 'soakline/foundation'
import { EMPTY_SOIL_RECORD, placedSoilRecord, type RainRow, type RainTable, type SoilRecord, type WaterStudy } from 'soakline/hydrology'
import type { Kernels } from 'soakline/kernels'
import {
  type Assessment,
  assess,
  assessFullySteps,
  type BookReading,
  builtAgainstPlan,
  calibratedAFrame,
  cascadeOf,
  compareDesigns,
  dailyRainOf,
  dugView,
  fieldPapers,
  type GroundWork,
  gridNamed,
  groundFit,
  groundWork,
  type LaidLine,
  laidLine,
  levelBook,
  measuredStormOf,
  refuseScreeningOnly,
  SETTINGS,
  type Settings,
  type Site,
  screeningOnly,
  sectionAt,
  settingsAsBuilt,
  settingsFrom,
  siteOf,
  staffReadings,
  stagesOf,
  statedStorm,
  verdictsChanged,
  whatMattersSteps,
} from 'soakline/plan'
import { cellAt, chainages_m, type Point, pathLength_m, surfaceValue, thinned } from 'soakline/raster'
import {
  ASSUMED_STORM,
  type CandidateSearch,
  candidateLinesSteps,
  linesBelow,
  NO_GO_LIMITS,
  type NoGoGround,
  noGoChange,
  noGoGround,
  noGoRings,
  type OutletPlace,
  type OutletSearch,
  outletPlacesSteps,
  reasonsOf,
  type SiteFeature,
  type StatedStorm,
  usualDrop_m,
} from 'soakline/siting'
import { levelLineAlong, levelLineBetween, lineThrough, measuredWay } from 'soakline/terrain'
import { fromDisplay } from '../display.js'
import { collection, drawnAnswer, drawnNoGo, drawnWork, feature, forThePage, halo, withoutOutlines } from './drawn-map.js'
import { type Network, NO_NETWORK, openDataAnswers } from './open-data.js'
import { type Drawable, drawable, type Ground, hollowCards, madeHere, planPlace, study, treated, working } from './open-ground.js'
import type {
  Answered,
  DesignInput,
  FieldFile,
  GroundPicture,
  LineAnswer,
  Sent,
  SessionQuestion,
  TracedLine,
  Tried,
  WorkAnswer,
  WorkAsked,
  WorkRecords,
} from './protocol.js'
import { readGround, withProjection } from './read-ground.js'
import { type Picture, shadeTile } from './shade-tile.js'

/** How a long question is watched and called off. */
export interface SessionTurns extends TurnOptions {
  /** Told what can be drawn of a ground before its water is known. */
  readonly onPicture?: (picture: GroundPicture) => void
}

/** What answers each question that is not about a file. */
export type Session = { readonly [K in SessionQuestion]: (sent: Sent<K>, turns?: SessionTurns) => Answered<K> | Promise<Answered<K>> }

/** What a session does besides that nobody asks for. */
export interface Rehearsing {
  /** Works out an answer as under a finger, and forgets it: the engine then has its code ready for this ground when a person takes hold of the line. */
  rehearse(sent: Sent<'answer'>): void
}

/** What a session leaves to the place where it runs. */
export interface SessionTools {
  toBitmap(picture: Picture): Promise<ImageBitmap>
  /** Version printed in the report. */
  readonly version?: string
  /** Compiled kernels for a ground of so many cells: its study then takes less time. */
  kernelsFor?(cells: number): Promise<Kernels | null>
  /** Default: no host is reached. */
  readonly network?: Network
}

interface Drawn {
  readonly site: Site
  /** Rings of no-go ground by reason, worked out once for the plan and the report. */
  readonly noGo: ReturnType<typeof noGoRings>
  readonly settings: Settings
  readonly assumed: readonly (keyof Settings)[]
}

/** One session: the grids live here between questions. An `openGround` that is refused changes nothing. */
export function createSession({
  toBitmap,
  version = '',
  kernelsFor = async () => null,
  network = NO_NETWORK,
}: SessionTools): Session & Rehearsing {
  let ground: Ground | null = null
  let drawn: Drawn | null = null
  let answered: Assessment | null = null
  /** The settings that the last answer was given by: a finger may be trying others than the site's. */
  let answeredBy: Settings | null = null
  let grounds = 0
  /** The ground that is being opened: its tiles are given before its water is known. */
  let coming: Drawable | null = null

  const open = (): Ground => {
    if (!ground) throw new InputError('ground/none', 'No raster is open. Open one, then ask again.')
    return ground
  }
  /** The ditch of the last answer, laid out; null where there is none. */
  const laidOut = (): LaidLine | null => answered && laidLine(open().reading.grid, answered, site().settings)
  const site = (): Drawn => (drawn ??= draw(open(), open().study, [], settingsFrom({}), EMPTY_SOIL_RECORD))

  /** What the report and the drawing set are made of. Throws InputError `line/none`. */
  function reportOf(units: UnitSystem, { holding, dateText }: { readonly holding: string; readonly dateText: string }) {
    const here = open()
    const { site: at, noGo, settings, assumed } = site()
    if (!answered) throw new InputError('line/none', 'No line has been answered yet, so there is nothing to report. Draw one.')
    const { report } = here.reading
    return {
      holding,
      dateText,
      version,
      assessment: answered,
      contours: here.contours(units),
      features: at.features,
      noGo,
      settings,
      assumed,
      groundReport: { fileName: here.name, crsName: report.crsName, elevationUnitFrom: report.elevationUnitFrom },
    }
  }

  /** An answer, and what the page is shown of it. */
  function worked({ line, rain, storm, dailyRain, live = false, trying = {} }: Sent<'answer'>) {
    const here = open()
    const { site: at, settings: set } = site()
    const settings = { ...set, ...trying }
    const table: RainTable | null = rain.length > 0 ? { rows: rain } : null
    const noGo = noGoTried(here, at, settings, trying)
    const found = assess(
      noGo === null ? at : { ...at, noGo },
      line.path.map(p => working(here, p)),
      settings,
      table,
      { scratch: here.scratch, live, measuredStorm: measuredStormOf(storm), dailyRain: dailyRainOf(dailyRain) },
    )
    const shown = forThePage(found)
    return {
      found,
      settings,
      assessment: live ? withoutOutlines(shown) : shown,
      drawn: drawnAnswer(here, shown),
      ...(noGo === null ? {} : { noGo: drawnNoGo(here, noGoRings(noGo)) }),
    }
  }

  return {
    ...openDataAnswers(network),

    async openGround(sent, turns = {}) {
      const reading = madeHere('read' in sent ? await withProjection(sent.read) : await readGround(sent))
      const shown = drawable(reading, ++grounds)
      coming = shown
      turns.onPicture?.(shown.picture)
      try {
        const next = await study(sent.name, shown, await kernelsFor(reading.grid.data.length), turns)
        ground = next
        drawn = null
        answered = null
        return next.card
      } finally {
        if (coming === shown) coming = null
      }
    },

    async tile({ groundNumber, z, x, y, night, ramp }) {
      const here = [coming, ground].find(one => one?.picture.groundNumber === groundNumber)
      if (!here) return null
      const picture = shadeTile(
        here.reading.grid,
        here.look,
        { z, x, y },
        (longitude, latitude) => working(here, fromDisplay([longitude, latitude], here.localCentre)),
        night,
        ramp,
      )
      return picture && toBitmap(picture)
    },

    contours({ units }) {
      const here = open()
      return collection(
        here.contours(units).map(({ elevation_m, path }) =>
          feature(here, [{ type: 'line', path }], {
            what: 'contour',
            elevation_m,
            heavy: Math.round(elevation_m / here.card.contourInterval_m[units]) % 5 === 0,
          }),
        ),
      )
    },

    setSite({ features: planned, settings: given, hollows, soil = EMPTY_SOIL_RECORD }) {
      const here = open()
      const { features, warnings } = readPlanFeatures(planned, here.reading.projection)
      const said = settingsFrom(given)
      const study = treated(here, features, hollows, said.settings)
      const dug = placedSoilRecord(soil, at => working(here, [at[0], at[1]]))
      drawn = draw(here, study, features, said, dug)
      answered = null
      return {
        noGo: drawnNoGo(here, drawn.noGo),
        halos: collection(
          features
            .filter(({ kind }) => kind === 'building')
            .map(building => feature(here, halo(building.shapes, drawn!.settings.buildingClearance_m), { what: 'halo', id: building.id })),
        ),
        warnings,
        hollows: hollowCards(here, study),
        fit: groundFit(here.reading.grid.geometry.cell_m, drawn.settings),
      }
    },

    traceLine({ through, length_m, fall_ratio }) {
      const here = open()
      const line = lineThrough(here.reading.grid, working(here, through), length_m, fall_ratio)
      return { path: line.path.map(at => planPlace(here, at)), length_m: pathLength_m(line.path), elevation_m: line.ground_m[0]! }
    },

    answer(sent) {
      const begun = performance.now()
      const { found, settings, ...shown } = worked(sent)
      answered = found
      answeredBy = settings
      return { revision: sent.revision, ...shown, took_ms: performance.now() - begun } satisfies LineAnswer
    },

    rehearse: sent => void worked({ ...sent, live: true }),

    async whole({ revision, line, rain, storm, dailyRain }, turns = {}) {
      const begun = performance.now()
      const here = open()
      const now = site()
      const assessment = await inTurns(
        assessFullySteps(
          now.site,
          line.path.map(p => working(here, p)),
          now.settings,
          rain.length > 0 ? { rows: rain } : null,
          { measuredStorm: measuredStormOf(storm), dailyRain: dailyRainOf(dailyRain) },
        ),
        turns,
      )
      // Another raster or site may have come meanwhile: then nobody asks for this any more, and sections and report rest on the newer one.
      if (ground === here && drawn === now) {
        answered = assessment
        answeredBy = now.settings
      }
      const shown = forThePage(assessment)
      return { revision, assessment: shown, drawn: drawnAnswer(here, shown), took_ms: performance.now() - begun } satisfies LineAnswer
    },

    async candidates({ rain }, turns = {}) {
      const here = open()
      const { site: at, settings } = site()
      // With a working memory of its own: answers are given meanwhile.
      const { outlets, search } = await inTurns(foundSteps(at, settings, rankingStorm(rain, settings)), turns)
      const thin = search.candidates.map(({ rank, reasons, path }) => ({
        rank,
        reasons,
        path: thinned(path, FOUND_CELLS * here.reading.grid.geometry.cell_m),
      }))
      return {
        lines: thin.map(line => ({ ...line, path: line.path.map(p => planPlace(here, p)) })),
        outlets: { places: outlets.places.map(saidOutlet), leftOut: outlets.leftOut },
        remarks: search.remarks,
        ruledOut: search.ruledOut,
        drawn: collection([
          ...outlets.places.map(({ at: place, rank }) =>
            feature(here, [{ type: 'point', at: place }], { what: 'outlet', rank, label: rank <= NAMED_OUTLETS ? String(rank) : '' }),
          ),
          ...thin.map(({ rank, path }) => feature(here, [{ type: 'line', path }], { what: 'candidate', rank, label: String(rank) })),
        ]),
      }
    },

    sectionAt({ chainage_m }) {
      const { site: at, settings } = site()
      return answered && sectionAt(at, answered, answeredBy ?? settings, chainage_m)
    },

    walkLine({ from, toward }) {
      const here = open()
      const piece = levelLineBetween(here.reading.grid, working(here, from), working(here, toward))
      return piece && tracedLine(here, piece.path)
    },

    fitLine({ path }) {
      const here = open()
      const piece = levelLineAlong(
        here.reading.grid,
        path.map(at => working(here, at)),
      )
      return piece && tracedLine(here, piece.path)
    },

    linesBelow({ path, count, drop_m }) {
      const here = open()
      const points = path.map(at => working(here, at))
      const drop = drop_m ?? usualDrop_m(here.reading.grid, points)
      return { lines: linesBelow(here.reading.grid, points, count, drop).map(({ path: copy }) => tracedLine(here, copy)), drop_m: drop }
    },

    stages() {
      const { site: at, settings } = site()
      return answered && stagesOf(at, answered, answeredBy ?? settings)
    },

    dugView() {
      const { site: at, settings } = site()
      return answered && dugView(at, answered, answeredBy ?? settings)
    },

    matters({ path, rain }, turns = {}) {
      const here = open()
      const { site: at, settings } = site()
      return inTurns(
        whatMattersSteps(
          at,
          path.map(p => working(here, p)),
          settings,
          rain.length > 0 ? { rows: rain } : null,
        ),
        turns,
      )
    },

    compare({ a, b, rain }) {
      const here = open()
      const now = site()
      const table: RainTable | null = rain.length > 0 ? { rows: rain } : null
      const answerOf = ({ path, settings: given }: DesignInput): Assessment => {
        const said = settingsFrom(given)
        const { site: at } = draw(here, now.site.study, now.site.features, said, now.site.soil)
        return assess(
          at,
          path.map(p => working(here, p)),
          said.settings,
          table,
        )
      }
      const first = answerOf(a)
      return {
        compared: compareDesigns(first, answerOf(b)),
        drawn: collection([feature(here, [{ type: 'line', path: first.line.path }], { what: 'design-a', label: 'A' })]),
      }
    },

    cascade({ lines, rain }) {
      const here = open()
      const { site: at, settings } = site()
      const result = cascadeOf(
        at,
        lines.map(({ path }) => path.map(p => working(here, p))),
        settings,
        rain.length > 0 ? { rows: rain } : null,
        { scratch: here.scratch },
      )
      if (result === null) return null
      const ways = result.ditches.filter(({ way }) => way.length > 1)
      return {
        result,
        drawn: collection(ways.map(({ way, line }) => feature(here, [{ type: 'line', path: way }], { what: 'other-way', line }))),
      }
    },

    limitChange({ name }) {
      const here = open()
      const { site: at, settings } = site()
      const usual = { ...settings, [name]: SETTINGS[name].default } as Settings
      return noGoChange(at.study, at.gradient, at.features, usual, { [name]: settings[name] }, { memory: here.limitMemory })
    },

    readPlace({ place }) {
      const here = open()
      let at: Point
      try {
        at = working(here, place)
      } catch {
        return null
      }
      const { geometry } = here.reading.grid
      const cell = cellAt(geometry, at[0], at[1])
      if (cell < 0) return null
      const known = (value: number): number | null => (Number.isNaN(value) ? null : value)
      return {
        place,
        x_m: at[0],
        y_m: at[1],
        elevation_m: known(surfaceValue(here.reading.grid, at)),
        slope_ratio: known(here.gradient.data[cell]!),
        noGo: drawn ? reasonsOf(drawn.site.noGo.reasons[cell]!) : [],
      }
    },

    measure({ places }) {
      const here = open()
      try {
        return measuredWay(
          here.reading.grid,
          places.map(place => working(here, place)),
        )
      } catch {
        return null
      }
    },

    findSystems: ({ unit_m, ...asked }) =>
      'points' in asked ? systemsThrough(asked.points, { unit_m }) : systemsNear(asked.near.bounds, asked.near.place, { unit_m }),

    groundWork(asked) {
      const here = open()
      const laid = laidOut()
      if (laid === null || answered === null) return null
      refuseScreeningOnly(answered)
      const planned = answered
      const { readings = [] } = asked.records.built ?? {}
      const work = workOf(here, laid, planned, asked.records)
      const built: WorkAnswer['built'] = readings.length === 0 ? null : tried(() => asBuiltOf(here, laid, planned, asked, site()))
      return {
        work,
        ...instruments(work, asked),
        built,
        drawn: drawnWork(here, laid, work, built),
        onEarth: here.card.localCentre === null,
      }
    },

    fieldFile({ file, records, holding, language, units }) {
      const here = open()
      const laid = laidOut()
      if (laid === null || answered === null)
        throw new InputError('stakes/no-ditch', 'No ditch can be laid out on this line as it is set. Change the line or the settings.')
      refuseScreeningOnly(answered)
      const work = workOf(here, laid, answered, records)
      const voice = { language, units }
      const plan = {
        name: holding || 'Soakline',
        answer: answered,
        stakes: work.stakes,
        zones: work.planting.zones,
        words: sayFieldFiles(voice),
      }
      const { projection } = here.reading
      const make: Readonly<Record<FieldFile, () => string>> = {
        csv: () => stakesCsv(work.stakes, projection),
        gpx: () => writeGpx(fieldDrawing(plan), projection),
        kml: () => writeKml(fieldDrawing(plan), projection),
        dxf: () => writeDxf(fieldDrawing(plan), { crs: projection.crs }),
        geojson: () => fieldGeoJson(plan, projection),
        levels: () => levellingPaper(work, voice),
      }
      return make[file]()
    },

    gridFile({ grid }) {
      const here = open()
      const { study, gradient: steep, noGo } = site().site
      const { geometry, data, nodata, unit } = gridNamed(grid, { study, gradient: steep, noGo: () => noGo, answer: answered })
      const { crs } = here.reading.projection
      return writeGeoTiff({ geometry, data }, { nodata, crs, ...(unit === '' ? {} : { unit }) })
    },

    drawingSet({ records, lineName, paper, language, units, ...words }) {
      const here = open()
      const laid = laidOut()
      const input = reportOf(units, words)
      const papers =
        laid === null || screeningOnly(input.assessment) !== null ? null : fieldPapers(laid, workOf(here, laid, input.assessment, records))
      return drawingSetHtml(
        {
          ...input,
          lineName,
          paper,
          papers,
          stakePlaces: papers === null || here.card.localCentre !== null ? null : papers.stakes.map(({ at }) => planPlace(here, at)),
        },
        { language, units },
      )
    },

    report({ language, units, ...words }) {
      return reportHtml(reportOf(units, words), { language, units })
    },
  }
}

const workOf = ({ reading }: Ground, laid: LaidLine, answer: Assessment, records: WorkRecords): GroundWork =>
  groundWork(laid, answer, { ...records, ...placeOnEarth(reading.projection, laid.path) })

/** What was worked out, or the refusal in its place: one slip of a reading does not take the whole sheet away. */
function tried<T>(work: () => T): Tried<T> {
  try {
    return { value: work() }
  } catch (error) {
    if (error instanceof InputError) return { refusal: error.toJSON() }
    throw error
  }
}

const hasReading = ({ backsight_m, intermediate_m, foresight_m }: BookReading): boolean =>
  [backsight_m, intermediate_m, foresight_m].some(value => typeof value === 'number')

/** What frame, instrument and book say of what was read with them. */
function instruments(
  { stakes, levelling }: GroundWork,
  { frame, backsight_m, records: { levelBook: book } }: WorkAsked,
): Pick<WorkAnswer, 'frame' | 'staff' | 'book'> {
  const [first] = stakes
  return {
    frame: frame && tried(() => calibratedAFrame(frame.first_m, frame.turned_m, levelling.aFrame)),
    staff: backsight_m === null || !first ? null : tried(() => staffReadings(stakes, first.ground_m, backsight_m).rows),
    book: book?.readings.some(hasReading) ? tried(() => levelBook(book.readings, book.start_m, book.closesOn_m)) : null,
  }
}

/** The ditch as it was read, and the answer about that. */
function asBuiltOf(here: Ground, laid: LaidLine, planned: Assessment, { records, rain, storm }: WorkAsked, now: Drawn) {
  const asBuilt = builtAgainstPlan(laid, planned, records.built!)
  const built = assess(now.site, laid.path, settingsAsBuilt(laid), rain.length > 0 ? { rows: rain } : null, {
    scratch: here.scratch,
    measuredStorm: measuredStormOf(storm),
    built: asBuilt.built,
  })
  const held = ({ storage, spillway }: Assessment) => ({ storage, spillway })
  return { asBuilt, planned: held(planned), built: held(built), verdicts: verdictsChanged(planned, built) }
}

/** How far a found line as the plan takes it may lie beside that which was worked out, in cells. Judgement. */
const FOUND_CELLS = 0.05

/** The storm that lines are judged by; the assumed one without a rain table, or where the table does not reach. */
function rankingStorm(rows: readonly RainRow[], settings: Settings): StatedStorm {
  if (rows.length === 0) return ASSUMED_STORM
  try {
    return statedStorm({ rows }, settings)
  } catch (error) {
    if (error instanceof InputError) return ASSUMED_STORM
    throw error
  }
}

function draw(
  { gradient: steep, reading, noGoMemory: memory }: Ground,
  water: WaterStudy,
  features: readonly SiteFeature[],
  { settings, assumed }: ReturnType<typeof settingsFrom>,
  soil: SoilRecord,
): Drawn {
  const site = siteOf(
    water,
    steep,
    features,
    settings,
    { sha256: reading.report.sha256, warnings: reading.report.warnings },
    { memory, soil },
  )
  return { site, noGo: noGoRings(site.noGo), settings, assumed }
}

/** No-go ground by settings that are only tried; null where they leave it as it is. */
function noGoTried({ noGoMemory: memory }: Ground, at: Site, settings: Settings, trying: Partial<Settings>): NoGoGround | null {
  if (!NO_GO_LIMITS.some(limit => limit in trying)) return null
  const noGo = noGoGround(at.study, at.gradient, at.features, settings, { memory })
  return noGo.reasons.every((reasons, cell) => reasons === at.noGo.reasons[cell]) ? null : noGo
}

/** A line traced on the ground as a plan keeps it: through its middle vertex it is traced again. */
function tracedLine(ground: Ground, path: readonly Point[]): TracedLine {
  const half_m = pathLength_m(path) / 2
  const along = chainages_m(path)
  const middle = along.reduce((best, chainage, k) => (Math.abs(chainage - half_m) < Math.abs(along[best]! - half_m) ? k : best), 0)
  return {
    path: path.map(at => planPlace(ground, at)),
    through: planPlace(ground, path[middle]!),
    length_m: Math.max(1, Math.round(2 * half_m)),
  }
}

/** Outlets that are told in the list and numbered on the plan; the others are dots. */
const NAMED_OUTLETS = 5

/** Outlets first, then the lines. */
function* foundSteps(
  site: Site,
  settings: Settings,
  storm: StatedStorm,
): Steps<{ readonly outlets: OutletSearch; readonly search: CandidateSearch }> {
  const outlets = yield* within(0, 0.15, outletPlacesSteps(site.study, site.gradient, site.features, settings))
  const search = yield* within(0.15, 1, candidateLinesSteps({ ...site, elevationError_m: settings.elevationError_m }, settings, storm))
  return { outlets, search }
}

const saidOutlet = ({ at: _at, overflow: _overflow, ...said }: OutletPlace): SaidOutlet => said
