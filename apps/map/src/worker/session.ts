import { drawingSetHtml, levellingPaper, reportHtml, type SaidOutlet, sayFieldFiles, type UnitSystem } from '@soakline/drawing'
import {
  fieldDrawing,
  fieldGeoJson,
  lonLatExtent,
  type Projection,
  placeInPlan,
  placeOnEarth,
  placeOnGround,
  type Reading,
  readPlanFeatures,
  stakesCsv,
  systemsNear,
  systemsThrough,
  writeDxf,
  writeGeoTiff,
  writeGpx,
  writeKml,
} from '@soakline/io'
import type { Feature, FeatureCollection, Geometry } from 'geojson'
import { InputError, inTurns, METRES_PER, type Steps, type TurnOptions, within } from 'soakline/foundation'
import {
  EMPTY_SOIL_RECORD,
  openRim_ratio,
  placedSoilRecord,
  type RainRow,
  type RainTable,
  type SoilRecord,
  studyWater,
  studyWaterSteps,
  type WalkScratch,
  type WaterStudy,
  walkScratch,
} from 'soakline/hydrology'
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
  type Place,
  type PlanHollow,
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
import {
  cellAt,
  cellCentre,
  chainages_m,
  distanceToShape_m,
  type Grid,
  type GridGeometry,
  type Point,
  pathLength_m,
  polygonsOf,
  ringsAbove,
  type Shape,
  shapeBounds,
  stations,
  surfaceValue,
  thinned,
} from 'soakline/raster'
import {
  ASSUMED_STORM,
  type CandidateSearch,
  candidateLinesSteps,
  drawnWorks,
  linesBelow,
  NO_GO_LIMITS,
  type NoGoGround,
  type NoGoMemory,
  noGoChange,
  noGoGround,
  noGoMemory,
  noGoRings,
  type OutletPlace,
  type OutletSearch,
  outletPlacesSteps,
  reasonsOf,
  type SiteFeature,
  type StatedStorm,
  usualDrop_m,
} from 'soakline/siting'
import {
  type ContourLine,
  contourInterval_m,
  contourLines,
  gradient,
  levelLineAlong,
  levelLineBetween,
  lineThrough,
  measuredWay,
} from 'soakline/terrain'
import { fromDisplay, toDisplay } from '../display.js'
import { bermStrokes } from './berm-strokes.js'
import { fallLines } from './fall-lines.js'
import { mapPlaces } from './map-places.js'
import { type Network, NO_NETWORK, openDataAnswers } from './open-data.js'
import type {
  Answered,
  DesignInput,
  FieldFile,
  GroundCard,
  GroundPicture,
  HollowCard,
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
import { type GroundLook, groundLook, type Picture, shadeTile } from './shade-tile.js'

/** How a long question is watched and called off. */
export interface SessionTurns extends TurnOptions {
  /** Told what can be drawn of a ground before its water is known. */
  readonly onPicture?: (picture: GroundPicture) => void
}

/** What answers each question that is not about a file. */
export type Session = { readonly [K in SessionQuestion]: (sent: Sent<K>, turns?: SessionTurns) => Answered<K> | Promise<Answered<K>> }

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

/** What a tile of the ground is drawn from. */
interface Drawable {
  readonly reading: Reading
  readonly look: GroundLook
  readonly picture: GroundPicture
  readonly localCentre: GroundCard['localCentre']
}

/** All that is known of the one open raster. */
interface Ground extends Drawable {
  readonly name: string
  readonly kernels: Kernels | null
  readonly study: WaterStudy
  /** The study that answers rest on, remade when culverts, walls or choices about hollows change. */
  treated: { readonly key: string; readonly study: WaterStudy }
  /** Working memory of the answers, kept while the ground is open. */
  readonly scratch: WalkScratch
  readonly gradient: Grid<'gradient_ratio'>
  /** What no-go ground was worked out from, so that one changed feature costs little. */
  readonly noGoMemory: NoGoMemory
  /** The same for what another limit would give. */
  readonly limitMemory: NoGoMemory
  readonly card: GroundCard
  readonly contours: (units: UnitSystem) => readonly ContourLine[]
  /** From the working CRS to map degrees, each time a pair of its own. */
  readonly onMap: ReturnType<typeof mapPlaces>
}

interface Drawn {
  readonly site: Site
  /** Rings of no-go ground by reason, worked out once for the plan and the report. */
  readonly noGo: ReturnType<typeof noGoRings>
  readonly settings: Settings
  readonly assumed: readonly (keyof Settings)[]
}

/** One session: the grids live here between questions. An `openGround` that is refused changes nothing. */
export function createSession({ toBitmap, version = '', kernelsFor = async () => null, network = NO_NETWORK }: SessionTools): Session {
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

    answer({ revision, line, rain, storm, dailyRain, live = false, trying = {} }) {
      const begun = performance.now()
      const here = open()
      const { site: at, settings: set } = site()
      const settings = { ...set, ...trying }
      const table: RainTable | null = rain.length > 0 ? { rows: rain } : null
      const noGo = noGoTried(here, at, settings, trying)
      const assessment = assess(
        noGo === null ? at : { ...at, noGo },
        line.path.map(p => working(here, p)),
        settings,
        table,
        { scratch: here.scratch, live, measuredStorm: measuredStormOf(storm), dailyRain: dailyRainOf(dailyRain) },
      )
      answered = assessment
      answeredBy = settings
      const shown = forThePage(assessment)
      return {
        revision,
        assessment: live ? withoutOutlines(shown) : shown,
        drawn: drawnAnswer(here, shown),
        ...(noGo === null ? {} : { noGo: drawnNoGo(here, noGoRings(noGo)) }),
        took_ms: performance.now() - begun,
      } satisfies LineAnswer
    },

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

/** What is needed to draw the ground, from its heights alone. */
/**
 * The same reading with a grid that is made here, whatever file or thread it comes from: the engine makes its code of an answer for objects made in one
 * place, so that what it has learnt by one ground, or by the invented one of `warmDrag`, holds for the next.
 */
function madeHere(reading: Reading): Reading {
  const { quantity, geometry, data } = reading.grid
  const { width, height, cell_m, west_m, north_m, crs } = geometry
  return { ...reading, grid: { quantity, geometry: { width, height, cell_m, west_m, north_m, crs }, data } }
}

function drawable(reading: Reading, groundNumber: number): Drawable {
  const { geometry } = reading.grid
  const { width, height, cell_m, west_m, north_m } = geometry
  const localCentre =
    reading.projection.kind === 'local' ? ([west_m + (width * cell_m) / 2, north_m - (height * cell_m) / 2] as const) : null
  const bounds = boundsOf(geometry, reading.projection, localCentre)
  return { reading, look: groundLook(reading.grid), localCentre, picture: { groundNumber, bounds, cell_m } }
}

async function study(name: string, shown: Drawable, kernels: Kernels | null, turns: TurnOptions): Promise<Ground> {
  const { reading, look, localCentre, picture } = shown
  const { grid, report } = reading
  const { geometry } = grid
  const water = await inTurns(studyWaterSteps(grid, { kernels }), turns)
  const range_m = report.maximum_m - report.minimum_m
  const interval_m = { metric: contourInterval_m(range_m), us: contourInterval_m(range_m / METRES_PER.ft) * METRES_PER.ft }
  const card: GroundCard = {
    name,
    report,
    bounds: picture.bounds,
    localCentre,
    width_m: geometry.width * geometry.cell_m,
    height_m: geometry.height * geometry.cell_m,
    hollows: water.hollows.length,
    openRim_ratio: openRim_ratio(grid, water.drained),
    contourInterval_m: interval_m,
    fit: groundFit(geometry.cell_m, settingsFrom({}).settings),
    groundNumber: picture.groundNumber,
    tint_m: [look.low_m, look.high_m],
  }
  return {
    ...shown,
    name,
    kernels,
    study: water,
    treated: { key: '', study: water },
    scratch: walkScratch(grid.data.length),
    gradient: gradient(grid, kernels),
    noGoMemory: noGoMemory(),
    limitMemory: noGoMemory(),
    card,
    contours: onceEach(units => contourLines(grid, interval_m[units])),
    onMap: mapPlaces(geometry, at => (localCentre ? toDisplay(at, localCentre) : reading.projection.toLonLat(at[0], at[1]))),
  }
}

/** Works out a value for each system of units when it is first asked for. */
function onceEach<T>(make: (units: UnitSystem) => T): (units: UnitSystem) => T {
  const made = new Map<UnitSystem, T>()
  return units => {
    const value = made.get(units) ?? make(units)
    made.set(units, value)
    return value
  }
}

function boundsOf(g: GridGeometry, projection: Projection, localCentre: readonly [number, number] | null): GroundCard['bounds'] {
  const extent = lonLatExtent(g, projection)
  if (extent) return [extent[0], extent[1], extent[2], extent[3]]
  const south = g.north_m - g.height * g.cell_m
  return [...toDisplay([g.west_m, south], localCentre), ...toDisplay([g.west_m + g.width * g.cell_m, g.north_m], localCentre)]
}

/** The study of the ground with what is drawn and chosen; the plain one, made when the ground was opened, where nothing changes it. */
function treated(here: Ground, features: readonly SiteFeature[], chosen: readonly PlanHollow[], settings: Settings): WaterStudy {
  const works = drawnWorks(features, settings.wallHeight_m)
  const { elevationError_m } = settings
  const plain = works.culverts.length === 0 && works.walls.length === 0 && chosen.length === 0 && elevationError_m === null
  const key = plain ? '' : JSON.stringify([works, chosen, elevationError_m])
  if (here.treated.key !== key)
    here.treated = {
      key,
      study: plain
        ? here.study
        : studyWater(here.reading.grid, {
            kernels: here.kernels,
            ...works,
            hollows: chosen.map(({ at, treatment }) => ({ at: working(here, at), treatment })),
            ...(elevationError_m === null ? {} : { elevationError_m }),
          }),
    }
  return here.treated.study
}

/** Hollows that are asked about: the largest, and none that holds less than a wheelbarrow or two, unless something was chosen for it. Judgement. */
const MOST_HOLLOWS = 12
const LEAST_HOLLOW_M3 = 0.2

function hollowCards(here: Ground, { ground, hollowsBefore, hollows, outcomes, culvertPlaces }: WaterStudy): HollowCard[] {
  const place = (cell: number): Place => planPlace(here, cellCentre(ground.geometry, cell))
  return hollowsBefore.flatMap((hollow, index) => {
    const choices = outcomes.flatMap((outcome, k) => (outcome.hollow === index ? [k] : []))
    const asked = index < MOST_HOLLOWS && hollow.volume_m3 >= LEAST_HOLLOW_M3
    if (!asked && choices.length === 0) return []
    const outcome = outcomes[choices[0] ?? -1]
    const bank = culvertPlaces.find(found => hollows[found.hollow]!.deepest === hollow.deepest)
    return [
      {
        at: place(hollow.deepest),
        depth_m: hollow.depth_m,
        area_m2: hollow.area_m2,
        volume_m3: hollow.volume_m3,
        guess: hollow.guess,
        chosen: outcome?.choice.treatment ?? 'fill',
        done: outcome === undefined || outcome.done === outcome.choice.treatment,
        choices,
        culvert: bank ? { from: place(bank.from), to: place(bank.to), length_m: bank.length_m } : null,
      },
    ]
  })
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

const drawnNoGo = (here: Ground, noGo: Drawn['noGo']): FeatureCollection =>
  collection(noGo.map(({ reason, rings }) => feature(here, polygonsOf(rings), { what: 'no-go', reason })))

/** No-go ground by settings that are only tried; null where they leave it as it is. */
function noGoTried({ noGoMemory: memory }: Ground, at: Site, settings: Settings, trying: Partial<Settings>): NoGoGround | null {
  if (!NO_GO_LIMITS.some(limit => limit in trying)) return null
  const noGo = noGoGround(at.study, at.gradient, at.features, settings, { memory })
  return noGo.reasons.every((reasons, cell) => reasons === at.noGo.reasons[cell]) ? null : noGo
}

// — places

/** A plan's place in the working CRS. */
const working = ({ reading }: Drawable, place: Place): Point => placeOnGround(reading.projection, place)

/** A place of the working CRS as a plan keeps it. */
const planPlace = ({ reading }: Ground, at: Point): Place => placeInPlan(reading.projection, at)

// — the clearance round buildings

/** Cells across the clearance from which its outline is drawn: a picture, not an answer. Judgement. */
const HALO_CELLS = 10
/** An outline that would take more cells is left out, so that the page does not wait for a picture. Judgement. */
const MOST_HALO_CELLS = 250_000

/** The line at a distance round shapes. */
function halo(shapes: readonly Shape[], distance_m: number): Shape[] {
  if (!(distance_m > 0)) return []
  const boxes = shapes.map(shapeBounds)
  const cell_m = distance_m / HALO_CELLS
  const west_m = Math.min(...boxes.map(b => b[0])) - distance_m - 2 * cell_m
  const north_m = Math.max(...boxes.map(b => b[3])) + distance_m + 2 * cell_m
  const width = Math.ceil((Math.max(...boxes.map(b => b[2])) + distance_m + 2 * cell_m - west_m) / cell_m)
  const height = Math.ceil((north_m - Math.min(...boxes.map(b => b[1])) + distance_m + 2 * cell_m) / cell_m)
  if (width * height > MOST_HALO_CELLS) return []
  const g: GridGeometry = { width, height, cell_m, west_m, north_m, crs: 'local' }
  const nearness = new Float64Array(width * height)
  for (let row = 0, k = 0; row < height; row++)
    for (let column = 0; column < width; column++, k++) {
      const at: Point = [west_m + (column + 0.5) * cell_m, north_m - (row + 0.5) * cell_m]
      nearness[k] = 2 * distance_m - Math.min(...shapes.map(shape => distanceToShape_m(at, shape)))
    }
  return polygonsOf(ringsAbove(g, nearness, distance_m))
}

// — what is drawn

const collection = (features: readonly Feature[]): FeatureCollection => ({ type: 'FeatureCollection', features: [...features] })

function feature(
  ground: Ground,
  shapes: readonly Shape[],
  properties: Readonly<Record<string, string | number | boolean | null>>,
): Feature {
  const path = (points: readonly Point[]): number[][] => points.map(ground.onMap)
  const ring = (points: readonly Point[]): number[][] => {
    const places = path(points)
    places.push(ground.onMap(points[0]!))
    return places
  }
  const geometry = (shape: Shape): Geometry =>
    shape.type === 'point'
      ? { type: 'Point', coordinates: ground.onMap(shape.at) }
      : shape.type === 'line'
        ? { type: 'LineString', coordinates: path(shape.path) }
        : { type: 'Polygon', coordinates: shape.rings.map(ring) }
  const all = shapes.map(geometry)
  const polygons = all.flatMap(g => (g.type === 'Polygon' ? [g.coordinates] : []))
  return {
    type: 'Feature',
    properties: { ...properties },
    geometry:
      all.length === 1
        ? all[0]!
        : polygons.length === all.length
          ? { type: 'MultiPolygon', coordinates: polygons }
          : { type: 'GeometryCollection', geometries: all },
  }
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

/** How far the line's level is shown beyond the line, both ways together. Judgement. */
const LEVEL_BEYOND_M = 400

/** The level that the line lies on, followed beyond its ends; empty where the ground is too flat or the line is not level. */
function levelBeyond(ground: Ground, { path, length_m, groundRange_m }: Assessment['line']): readonly Point[] {
  if (groundRange_m > ground.card.contourInterval_m.metric / 2) return []
  try {
    return lineThrough(ground.reading.grid, path[Math.floor(path.length / 2)]!, length_m + LEVEL_BEYOND_M).path
  } catch (error) {
    if (error instanceof InputError) return []
    throw error
  }
}

/** How far what is drawn may lie beside what was found, in cells. Judgement. */
const THINNED_CELLS = 0.2

/** An answer whose outlines and paths have no more vertices than a picture needs: they cross to the page with every step of a drag. */
function forThePage(assessment: Assessment): Assessment {
  const tolerance_m = THINNED_CELLS * assessment.ground.cell_m
  const thin = (paths: readonly (readonly Point[])[]): Point[][] => paths.map(path => thinned(path, tolerance_m))
  const { catchment, spills, spillChoice, worstBreach } = assessment
  return {
    ...assessment,
    catchment: { ...catchment, rings: thin(catchment.rings), ridgeLines: thin(catchment.ridgeLines) },
    spills: spills.map(spill => ({
      ...spill,
      band: thin(spill.band),
      ...(spill.tried ? { tried: spill.tried.map(one => ({ ...one, rings: thin(one.rings) })) } : {}),
      path: { ...spill.path, points: thinned(spill.path.points, tolerance_m), beyond: thinned(spill.path.beyond, tolerance_m) },
    })),
    // The ways of all places tried stay with the worker: their reasons are what the page says.
    ...(spillChoice ? { spillChoice: { ...spillChoice, places: spillChoice.places.map(place => ({ ...place, overflow: null })) } } : {}),
    ...(worstBreach?.overflow
      ? {
          worstBreach: {
            ...worstBreach,
            overflow: { ...worstBreach.overflow, band: [], points: thinned(worstBreach.overflow.points, tolerance_m) },
          },
        }
      : {}),
  }
}

/** What the page draws of them is in `drawn`: under the finger they do not cross to it a second time. */
const withoutOutlines = (shown: Assessment): Assessment => ({
  ...shown,
  catchment: { ...shown.catchment, rings: [], ridgeLines: [] },
  spills: shown.spills.map(spill => ({ ...spill, band: [] })),
})

/** The line cut into stretches, each with what lies below if the berm gives way there. They overlap a little, so that no gap shows between them. */
function breachStakes(
  { path, length_m }: Assessment['line'],
  breaches: NonNullable<Assessment['breaches']>,
): { path: Point[]; below: string }[] {
  if (breaches.length < 2) return []
  const spacing_m = length_m / (breaches.length - 1)
  const every = stations(path, Math.max(0.25, spacing_m / 4))
  return breaches.map(({ chainage_m, below }) => ({
    below,
    path: every.filter(s => Math.abs(s.chainage_m - chainage_m) <= 0.55 * spacing_m).map(s => s.at),
  }))
}

function drawnAnswer(ground: Ground, { line, catchment, section, spills, breaches, worstBreach }: Assessment): FeatureCollection {
  const tolerance_m = THINNED_CELLS * ground.reading.grid.geometry.cell_m
  const one = (shape: Shape, properties: Parameters<typeof feature>[2]): Feature => feature(ground, [shape], properties)
  const path = (points: readonly Point[], properties: Parameters<typeof feature>[2]): Feature[] =>
    points.length > 1 ? [one({ type: 'line', path: points }, properties)] : []
  const strokes = bermStrokes(ground.reading.grid, stations(line.path, ground.reading.grid.geometry.cell_m * 2), section)
  return collection([
    ...path(thinned(levelBeyond(ground, line), tolerance_m), { what: 'level-line' }),
    ...(catchment.rings.length > 0
      ? [feature(ground, polygonsOf(catchment.rings), { what: 'catchment', cutByEdge: catchment.cutByEdge })]
      : []),
    ...fallLines(ground.reading.grid, catchment.rings).flatMap(points => path(thinned(points, tolerance_m), { what: 'fall-line' })),
    ...catchment.ridgeLines.flatMap(points => path(points, { what: 'ridge' })),
    ...(catchment.ridge
      ? [one({ type: 'point', at: catchment.ridge.highPoint }, { what: 'high-point', elevation_m: catchment.ridge.elevation_m })]
      : []),
    ...spills.flatMap(({ chainage_m, rank, path: way, band }) => [
      ...(band.length > 0 ? [feature(ground, polygonsOf(band), { what: 'band', chainage_m, rank })] : []),
      ...path(way.points, { what: 'path', chainage_m, rank, reachesBuilding: way.reachesBuilding }),
      ...path(way.beyond, { what: 'beyond', chainage_m, rank }),
      one({ type: 'point', at: way.points[way.points.length - 1]! }, { what: 'path-end', chainage_m, rank, endsIn: way.endsIn }),
    ]),
    ...spills.flatMap(({ chainage_m, rank, tried = [] }) =>
      tried.flatMap(({ share_ratio, rings }) =>
        rings.length > 0 ? [feature(ground, polygonsOf(rings), { what: 'tried', chainage_m, rank, share_ratio })] : [],
      ),
    ),
    ...(worstBreach?.overflow ? path([...worstBreach.overflow.points, ...worstBreach.overflow.beyond.slice(1)], { what: 'breach' }) : []),
    ...breachStakes(line, breaches ?? []).flatMap(({ path: piece, below }) => path(piece, { what: 'breach-stake', below })),
    ...strokes.map(stroke => one({ type: 'line', path: stroke }, { what: 'berm-stroke' })),
    ...path(line.path, { what: 'line', bedElevation_m: line.bedElevation_m }),
  ])
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

/** Stakes, places to plant, and where the berm was found low. */
function drawnWork(ground: Ground, { path }: LaidLine, work: GroundWork, built: WorkAnswer['built']): FeatureCollection {
  const lows = built && 'value' in built ? built.value.asBuilt.lowSpots : []
  const along = lows.length > 0 ? stations(path, 0.5) : []
  return collection([
    ...work.planting.zones.flatMap(({ zone, parts }) =>
      parts.map(({ ring }) => feature(ground, [{ type: 'polygon', rings: [ring] }], { what: 'plant-zone', zone })),
    ),
    ...lows.flatMap(({ from_m, to_m }) => {
      const piece = along.filter(s => s.chainage_m >= from_m && s.chainage_m <= to_m).map(s => s.at)
      return piece.length > 1 ? [feature(ground, [{ type: 'line', path: piece }], { what: 'low-spot' })] : []
    }),
    ...work.stakes.map(({ at, number, kinds }) =>
      feature(ground, [{ type: 'point', at }], { what: 'stake', label: String(number), named: kinds.some(kind => kind !== 'step') }),
    ),
  ])
}
