import { batch, computed, type Signal, signal } from '@preact/signals'
import type { Question as AskedQuestion, Language, PaperName, UnitSystem } from '@soakline/drawing'
import { type FittingSystem, type ReadOptions, withGroundInside } from '@soakline/io'
import type { SightingKind } from 'soakline/hydrology'
import { emptyPlan, type GridName, type Place, type Plan, type PlanFeature, type PlanLine, type Settings, writePlan } from 'soakline/plan'
import type { FeatureKind, NoGoChange } from 'soakline/siting'
import { fromDisplay, toDisplay } from '../display.js'
import { refusalOf } from '../worker/client.js'
import type { Display, FieldFile, LineAnswer, Refusal, Sent } from '../worker/protocol.js'
import { createDemoHolding } from './demo-holding.js'
import * as edits from './edits.js'
import { createFileLines } from './file-lines.js'
import { createFilesInTurn } from './files-in-turn.js'
import { createFoundLines } from './found-lines.js'
import { createGroundWork } from './ground-work.js'
import { createHand } from './hand.js'
import { type History, startHistory } from './history.js'
import { heldAfter, heldVertices, nudged, roughLength_m } from './hold.js'
import { createInSight } from './in-sight.js'
import { createKeeping } from './keeping.js'
import { createLineAnswers } from './line-answers.js'
import type { Handle } from './mode.js'
import { createNotices } from './notices.js'
import type { OpenGround } from './open-ground.js'
import { createGroundOpening } from './opening-ground.js'
import { createPointedPlace } from './pointed-place.js'
import { cornersOf, positionsOf } from './positions.js'
import { refusalIn } from './refusals.js'
import { spillDraggedTo, spillOnMap } from './spill-handle.js'
import { createSteps } from './steps.js'
import { createFileTaking } from './taking-files.js'
import { createTracing } from './traced-line.js'
import { createTakingUp } from './work-taken-up.js'
import type { World } from './world.js'

/** The leaves of the margin. */
export type Leaf = 'answers' | 'drawn' | 'settings' | 'ground' | 'work'

/** A handle at its place. */
export interface HandlePlace {
  readonly handle: Handle
  readonly place: Place
  /** To which side it stands off, east and south on the screen, as a unit vector; absent: it stands on its place. */
  readonly lean?: readonly [x: number, y: number]
}

/** Depth of a pit of which nobody has said how deep it is: too shallow to tell anything until somebody does. Source: judgement. */
const FIRST_PIT_M = 0.5

/** Side of the area that open data is brought for, at first. Source: judgement. */
const FIRST_SIDE_M = 1000

/** Handles of a chosen feature on the plan. */
const MOST_HANDLES = 40

const NO_GROUND: Plan['ground'] = { file: '', sha256: '', crs: 'local', elevationUnit: null, nodata: null }

/** A square on the ground: its middle in degrees, and its side. */
export interface Area {
  readonly middle: readonly [number, number]
  readonly side_m: number
}

export type { FileLine } from './file-lines.js'
export type { KindQuestion, LayerKind, LayerQuestion, LayerSaid } from './layer-question.js'
export type { Notice } from './notices.js'
export type { GroundQuestion, OpenGround } from './open-ground.js'

export type Sheet = ReturnType<typeof createSheet>

/** The sheet's state and everything that can be done to it. No DOM: the world outside is handed in. */
export function createSheet(world: World) {
  const { notices, tell, silence } = createNotices()
  const history: Signal<History> = signal(startHistory(emptyPlan('', NO_GROUND)))
  const plan = computed(() => history.value.plan)
  const ground = signal<OpenGround | null>(null)
  /** Set while the plan is to be fitted to the evidence of the first answer after this one. */
  const toFit = signal<{ readonly after: LineAnswer | null } | null>(null)
  const focused = signal<AskedQuestion | null>(null)
  const leaf = signal<Leaf>('answers')
  /** The square that open data is to be brought for. */
  const area = signal<Area | null>(null)

  const hand = createHand(plan)
  const { mode, shaping, draftLine, draftFeature, draftSettings, adding, byHand, tracing, line, features, chosen } = hand
  const keeping = createKeeping({ world, plan, ground, notices: { notices, tell, silence }, letGo: hand.letGo })
  const { saving, planInFile, workNumber, readOnly } = keeping
  const lines = createFileLines()
  const { dropSpokenOf } = lines
  const sight = createInSight(world.ask, lines)
  const { opening } = sight
  /** How the raster is read while a plan speaks of its ground so. */
  const readAs = new WeakMap<Plan['ground'], ReadOptions>()

  const localCentre = computed(() => ground.value?.card.localCentre ?? null)

  /** The vertices of a line that was shaped here stay at hand by their numbers; of any other line they are spread evenly. */
  const heldOn = new WeakMap<PlanLine['path'], readonly number[]>()
  const heldOf = (path: PlanLine['path']): readonly number[] => heldOn.get(path) ?? heldVertices(path)

  /** Where the plan can be taken hold of. */
  const handles = computed<readonly HandlePlace[]>(() => {
    const now = mode.value
    if (now.kind === 'chosen-feature') {
      const feature = chosen.value
      if (feature === null) return []
      const all = positionsOf(feature.geometry).flatMap((row, ring) =>
        cornersOf(row).map((place, index) => ({ handle: { what: 'feature-vertex' as const, id: feature.id, ring, index }, place })),
      )
      // A long stream has hundreds of vertices: some of them, evenly spread, can be taken hold of on the plan; the list has all.
      const each = Math.ceil(all.length / MOST_HANDLES)
      return all.filter((_, k) => k % each === 0)
    }
    const path = line.value?.path
    if (now.kind !== 'look' || path === undefined || path.length < 2) return []
    const spill = answer.value === null || readOnly.value ? null : spillOnMap(answer.value, draftSettings.value?.spillChainage_m ?? null)
    const held: HandlePlace[] = [
      { handle: { what: 'line-end', end: 'first' }, place: path[0]! },
      { handle: { what: 'line-end', end: 'last' }, place: path[path.length - 1]! },
    ]
    if (line.value?.traced && !shaping.value) held.push({ handle: { what: 'line-through' }, place: line.value.traced.through })
    else
      for (const [number, index] of heldOf(path).entries())
        if (index > 0 && index < path.length - 1) held.push({ handle: { what: 'line-vertex', number }, place: path[index]! })
    if (spill !== null) held.push({ handle: { what: 'spill' }, place: fromDisplay(spill.at, localCentre.value), lean: spill.lean })
    return held
  })

  const fit = (after: LineAnswer | null): void => {
    toFit.value = { after }
  }
  const steps = createSteps({
    history,
    plan,
    ground,
    readAs,
    hand,
    keeping,
    notices: { tell },
    next: {
      refresh: () => lineAnswers.refresh(),
      askWork: () => groundWork.askWork(),
      readAgain({ file, name, demo }, options) {
        void groundOpening.openGround(file, name, options, { plan: plan.value, demo, keepHistory: true, exact: true })
      },
      rename: () => demo.renameDemo(world.language.value),
    },
  })
  const { record, edit, note } = steps
  const { traceProblem, follow } = createTracing({
    ask: world.ask,
    plan,
    hand,
    localCentre,
    refused: error => groundOpening.afterDeath(error),
  })
  const lineAnswers = createLineAnswers({
    ask: world.ask,
    plan,
    hand,
    isOpen: () => ground.value !== null,
    follow,
    record,
    told: {
      answered: length_m => pointing.keepOnLine(length_m),
      caughtUp: () => pointing.pointAgain(),
      refused: error => groundOpening.afterDeath(error),
    },
  })
  const { answer, settled, answering, refresh, traceLine } = lineAnswers
  const finding = createFoundLines({ ask: world.ask, plan, settled: lineAnswers.idle })
  const pointing = createPointedPlace({
    ask: world.ask,
    answer,
    answering,
    isDrafting: () => draftLine.value !== null || draftFeature.value !== null,
    isOpen: () => ground.value !== null,
  })
  const { pointer, point, readPlace, putPointerAway } = pointing
  const groundWork = createGroundWork({ ask: world.ask, plan, settled, answering, refused: error => groundOpening.afterDeath(error) })
  const { work, records, askWork, putWorkAway } = groundWork
  const groundOpening = createGroundOpening({
    ask: world.ask,
    history,
    plan,
    ground,
    readAs,
    hand,
    keeping,
    lines,
    sight,
    notices: { notices, tell, silence },
    record,
    putAway() {
      lineAnswers.putAnswersAway()
      traceProblem.value = null
      putWorkAway()
      finding.putFoundAway()
      putPointerAway()
      hand.letGo()
      focused.value = null
      toFit.value = null
    },
    fit,
    refresh,
  })
  const { groundQuestion, awaitingGround } = groundOpening
  const taking = createFileTaking({
    ask: world.ask,
    plan,
    ground,
    readAs,
    hand,
    keeping,
    lines,
    sight,
    groundOpening,
    groundWork,
    notices: { tell },
    edit,
    note,
    answered: lineAnswers.idle,
    showWork() {
      leaf.value = 'work'
    },
    dropNow: () => filesInTurn.dropNow(),
  })
  const filesInTurn = createFilesInTurn({ readOnly, lines, sight, groundOpening, taking, notices: { tell }, keep: keeping.keep })
  const demo = createDemoHolding({
    world,
    history,
    plan,
    ground,
    hand,
    keeping,
    lines,
    sight,
    openGround: groundOpening.openGround,
    answer,
    lyingOn: taking.lyingOn,
    edit,
    refresh,
    fit,
  })
  const takingUp = createTakingUp({ world, ground, readAs, keeping, groundOpening, demo, filesInTurn, notices: { tell } })

  const draw = (place: Place): void => {
    const now = mode.value
    if (now.kind === 'point-line') pointAt(place)
    else if (now.kind === 'walk-line') walk(now.from, place)
    else if (now.kind === 'choose-area')
      batch(() => {
        area.value = { middle: [place[0], place[1]], side_m: area.value?.side_m ?? FIRST_SIDE_M }
        mode.value = { kind: 'look' }
      })
    else if (now.kind === 'place-soil') placeSoil(place, now.seen)
    else if (now.kind === 'read-place') mode.value = { kind: 'read-place', at: place }
    else if (now.kind === 'draw-line' || now.kind === 'measure') mode.value = { ...now, places: [...now.places, place] }
    else if (now.kind === 'draw-feature') {
      mode.value = { ...now, places: [...now.places, place] }
      if (now.shape === 'point') finish()
    }
  }

  function placeSoil(at: Place, seen: SightingKind | null): void {
    batch(() => {
      edit(p => (seen === null ? edits.addPit(p, at, FIRST_PIT_M) : edits.addSighting(p, { kind: seen, at })))
      mode.value = { kind: 'look' }
    })
  }

  /** The first end of a walked line, or its other end. */
  function walk(from: Place | null, place: Place) {
    if (readOnly.value) return tell('second-tab')
    byHand.value = null
    if (from === null) {
      mode.value = { kind: 'walk-line', from: place }
      return
    }
    batch(hand.rest)
    traceLine({ kind: 'walk', from, toward: place }, { name: 'walk-line', joins: null })
  }

  /** Settings under the finger: answered while it moves, kept when it lifts. */
  function trySettings(parts: Partial<Settings>): void {
    if (readOnly.value || plan.value.lines.length === 0) return
    draftSettings.value = parts
    refresh()
  }
  function keepSettings(parts: Partial<Settings>, joins: string | null = null): void {
    batch(() => {
      draftSettings.value = null
      edit(p => edits.setSettings(p, parts, joins))
    })
  }

  /** The spill is drawn along the line. */
  function dragSpill(place: Place, phase: 'start' | 'move' | 'end', joins: string | null): void {
    const about = answer.value
    if (about === null) return
    const spillChainage_m = spillDraggedTo(about, toDisplay(place, localCentre.value))
    if (spillChainage_m === null || phase === 'start') return
    if (phase === 'move') trySettings({ spillChainage_m })
    else keepSettings({ spillChainage_m }, joins)
  }

  function pointAt(through: Place) {
    if (readOnly.value) return tell('second-tab')
    batch(hand.rest)
    traceLine({ kind: 'through', through, ...tracing.value }, { name: 'trace-line', joins: null })
  }

  /** Ends drawing: what was drawn becomes part of the plan, if it is enough. */
  function finish(): void {
    const now = mode.value
    if (now.kind === 'draw-line' && now.places.length >= 2) {
      batch(() => {
        mode.value = { kind: 'look' }
        byHand.value = 'drawn'
        const drawn = {
          id: adding.value ? edits.freshId('line', plan.value.lines) : (plan.value.lines[0]?.id ?? 'line-1'),
          path: now.places,
        }
        edit(p => (adding.value ? edits.setLines(p, [drawn, ...p.lines]) : edits.setLine(p, 'draw-line', drawn)))
        adding.value = false
      })
    } else if (now.kind === 'draw-feature') {
      const geometry = geometryOf(now.shape, now.places)
      if (geometry === null) return
      const id = edits.freshId(now.feature, plan.value.features)
      batch(() => {
        edit(p => edits.addFeature(p, { id, kind: now.feature, name: null, floor_m: null, geometry }))
        mode.value = plan.value.features.some(f => f.id === id) ? { kind: 'chosen-feature', id } : { kind: 'look' }
      })
    }
  }

  function dragLine(handle: Handle, place: Place, phase: 'start' | 'move' | 'end', joins: string | null) {
    const held = plan.value.lines[0]
    if (held === undefined) return
    const commit = phase === 'end' ? { name: 'move-line' as const, joins } : null
    if (handle.what === 'line-through') {
      const { length_m, fall_ratio } = held.traced ?? tracing.value
      traceLine({ kind: 'through', through: place, length_m, fall_ratio }, commit)
    } else if (handle.what === 'line-end' && held.traced && !shaping.value) {
      traceLine({ kind: 'end', line: held, end: handle.end, place }, commit)
    } else {
      const spread = heldOf(held.path)
      const number =
        handle.what === 'line-vertex' ? handle.number : handle.what === 'line-end' && handle.end === 'last' ? spread.length - 1 : 0
      const index = spread[number]
      if (index === undefined) return
      const moved = edits.withVertex(held, index, place, spread[number - 1] ?? -1, spread[number + 1] ?? held.path.length)
      heldOn.set(moved.path, heldAfter(spread, number))
      if (phase === 'end') {
        batch(() => {
          draftLine.value = null
          edit(p => edits.setLine(p, 'move-line', moved, joins))
        })
      } else {
        draftLine.value = moved
        refresh()
      }
    }
  }

  /** A handle is dragged, or moved by a key. */
  function drag(handle: Handle, place: Place, phase: 'start' | 'move' | 'end', joins: string | null = null) {
    if (readOnly.value) return tell('second-tab')
    if (phase !== 'end') point(null)
    if (handle.what === 'spill') return dragSpill(place, phase, joins)
    if (handle.what !== 'feature-vertex') return dragLine(handle, place, phase, joins)
    const feature = plan.value.features.find(f => f.id === handle.id)
    if (feature === undefined) return
    const moved = edits.movedFeature(feature, handle.ring, handle.index, place)
    if (phase === 'end') {
      batch(() => {
        draftFeature.value = null
        edit(p => edits.setFeature(p, moved, joins))
      })
    } else {
      draftFeature.value = moved
      refresh()
    }
  }

  return {
    history,
    plan,
    workNumber,
    ground,
    contours: groundOpening.contours,
    site: lineAnswers.site,
    groundQuestion,
    kindQuestion: taking.kindQuestion,
    layerQuestion: taking.layerQuestion,
    waiting: filesInTurn.waiting,
    openFiles: filesInTurn.openFiles,
    answerGround: filesInTurn.answerGround,
    answerKinds: filesInTurn.answerKinds,
    answerLayer: filesInTurn.answerLayer,
    leaveQuestion: filesInTurn.leaveQuestion,
    dropSpokenOf,
    awaitingGround,
    answer,
    settled,
    siteProblem: lineAnswers.siteProblem,
    lineProblem: lineAnswers.lineProblem,
    traceProblem,
    opening,
    coming: groundOpening.coming,
    openingDone: sight.openingDone,
    /** Leaves off reading a raster; what was open stays. */
    stopOpening: () => {
      sight.callOff()
      groundOpening.callOffGround()
    },
    answering,
    wholeDone: lineAnswers.wholeDone,
    wholeStopped: lineAnswers.wholeStopped,
    lastWhole: lineAnswers.lastWhole,
    stopWhole: lineAnswers.stopWhole,
    goOnWhole: lineAnswers.goOnWhole,
    ...finding,
    work,
    workProblem: groundWork.workProblem,
    working: groundWork.working,
    bench: groundWork.bench,
    askWork,
    note,
    /** A file to take along, about the answer in sight. */
    fieldFile: (file: FieldFile, language: Language, units: UnitSystem) =>
      world.ask('fieldFile', { file, records: records.value, holding: plan.value.holding, language, units }),
    /** Makes a possible line the plan's line. */
    takeFound(rank: number): void {
      const line = finding.found.value?.search.lines.find(one => one.rank === rank)
      if (line === undefined) return
      batch(hand.rest)
      edit(p => edits.setLine(p, 'take-line', { id: `found-${rank}`, path: line.path }))
    },
    /** The next place pointed at is that of a test pit, or of a thing seen. */
    placeSoil: (seen: SightingKind | null) => {
      mode.value = { kind: 'place-soil', seen }
    },
    mode,
    shaping,
    draftSettings,
    trySettings,
    keepSettings,
    adding,
    byHand,
    /** Questions that no state of the sheet hangs on. */
    askWorker: world.ask,
    line,
    features,
    handles,
    chosen,
    localCentre,
    tracing,
    focused,
    files: lines.files,
    forgetFile: lines.forgetFile,
    notices,
    reading: pointing.reading,
    saving,
    planInFile,
    readOnly,
    canGoBack: keeping.canGoBack,
    leaf,
    area,
    chooseArea: (next: Area) => {
      area.value = next
    },
    pointArea: () => {
      mode.value = { kind: 'choose-area' }
    },
    pointer,
    sectionHere: pointing.sectionHere,
    toFit,
    point,
    tell,
    edit,
    openDemo: demo.openDemo,
    renameDemo: demo.renameDemo,
    useDemoLine: demo.useDemoLine,
    ...takingUp,
    drawContours: groundOpening.drawContours,
    confirmGround: groundOpening.confirmGround,
    finish,
    idle: lineAnswers.idle,
    saveNow: keeping.saveNow,
    undo: steps.undo,
    redo: steps.redo,
    silence,

    /** Looks for coordinate systems that put a file where it is said to lie. */
    findSystems: (asked: Sent<'findSystems'>): Promise<{ readonly systems: readonly FittingSystem[] } | { readonly refusal: Refusal }> =>
      world.ask('findSystems', asked).then(
        systems => ({ systems }),
        error => ({ refusal: refusalOf(error) }),
      ),
    /** Works on in a second tab without keeping anything in this browser. */
    workHere: () => keeping.letIn({ kind: 'not-kept' }),

    /** A tap on the plan; `feature` is the drawn feature under it. */
    tap(at: Display, feature: string | null): void {
      const now = mode.value
      if (now.kind === 'look' || now.kind === 'chosen-feature') {
        batch(() => {
          mode.value = feature === null ? { kind: 'look' } : { kind: 'chosen-feature', id: feature }
          if (feature !== null) leaf.value = 'drawn'
        })
        return
      }
      draw(fromDisplay(at, localCentre.value))
    },
    /** Another line of the plan becomes the one that is worked on, ready to be dragged. */
    takeLine(id: string): void {
      batch(() => {
        hand.rest()
        edit(p => edits.workOn(p, id))
      })
    },
    /** A place given by typing, or by Enter at the crosshair. */
    place: draw,
    pointAt,
    drag,
    dragDisplay: (handle: Handle, at: Display, phase: 'start' | 'move' | 'end') => drag(handle, fromDisplay(at, localCentre.value), phase),
    nudge(handle: Handle, from: Place, east_m: number, north_m: number): void {
      drag(handle, nudged(from, east_m, north_m, localCentre.value), 'end', `nudge-${JSON.stringify(handle)}`)
    },
    /** What a limit does to no-go ground against its usual value; null where nobody can say. */
    limitChange: (name: keyof Settings): Promise<NoGoChange | null> =>
      ground.value === null ? Promise.resolve(null) : world.ask('limitChange', { name }).catch(() => null),
    readPlace: (at: Display | null) => readPlace(at && fromDisplay(at, localCentre.value)),

    /** Asks one of the three questions; asked again, it is put away. */
    ask(question: AskedQuestion): void {
      batch(() => {
        focused.value = focused.value === question ? null : question
        if (focused.value !== null) leaf.value = 'answers'
      })
    },
    drawLine: () => {
      mode.value = { kind: 'draw-line', places: [] }
    },
    walkLine: () => {
      mode.value = { kind: 'walk-line', from: null }
    },
    /** Where the pointer is while a line is walked: it is answered as it grows. */
    walkTo(at: Display): void {
      const now = mode.value
      if (now.kind === 'walk-line' && now.from !== null && !readOnly.value)
        traceLine({ kind: 'walk', from: now.from, toward: fromDisplay(at, localCentre.value) }, null)
    },
    /** The drawn line is laid on the contour that it comes nearest to. */
    async fitLine(): Promise<void> {
      const [held] = plan.value.lines
      if (held === undefined) return
      try {
        const found = await world.ask('fitLine', { path: held.path })
        byHand.value = found === null ? 'no-fit' : 'fitted'
        if (found === null || plan.value.lines[0] !== held) return
        shaping.value = false
        const traced = { through: found.through, length_m: found.length_m, fall_ratio: 0 }
        edit(p => edits.setLine(p, 'trace-line', { ...held, path: found.path, traced }))
      } catch (error) {
        traceProblem.value = refusalOf(error)
      }
    },
    /** The next line traced or drawn is one more. */
    addLine: () => {
      batch(() => {
        adding.value = true
        mode.value = { kind: 'point-line' }
      })
    },
    pointLine: () => {
      mode.value = { kind: 'point-line' }
    },
    measure: (places: readonly Place[] = []) => {
      mode.value = { kind: 'measure', places }
    },
    readHere: (at: Place | null = null) => {
      mode.value = { kind: 'read-place', at }
    },
    /** A place was held, or clicked with the other button: it is read, unless the hand is drawing. */
    held(at: Display): void {
      if (['look', 'chosen-feature', 'read-place'].includes(mode.value.kind) && ground.value !== null)
        mode.value = { kind: 'read-place', at: fromDisplay(at, localCentre.value) }
    },
    drawFeature: (feature: FeatureKind, shape: 'point' | 'line' | 'polygon') => {
      mode.value = { kind: 'draw-feature', feature, shape, places: [] }
    },
    choose: (id: string | null) => {
      mode.value = id === null ? { kind: 'look' } : { kind: 'chosen-feature', id }
    },
    takeBackPlace: () => {
      const now = mode.value
      if (now.kind === 'draw-line' || now.kind === 'draw-feature' || now.kind === 'measure')
        mode.value = { ...now, places: now.places.slice(0, -1) }
    },
    cancel: () => {
      batch(() => {
        mode.value = { kind: 'look' }
        draftLine.value = null
        draftFeature.value = null
        draftSettings.value = null
        adding.value = false
        byHand.value = null
        focused.value = null
      })
      refresh()
    },

    /** Length and fall of the traced line: the line at hand is traced again with them. */
    setTracing(parts: Partial<{ readonly length_m: number; readonly fall_ratio: number }>): void {
      tracing.value = { ...tracing.value, ...parts }
      const held = plan.value.lines[0]
      if (held?.traced === undefined || readOnly.value) return
      const { through, length_m, fall_ratio } = { ...held.traced, ...parts }
      traceLine({ kind: 'through', through, length_m, fall_ratio }, { name: 'move-line', joins: 'tracing' })
    },
    /** A free line becomes a level one through its middle vertex. */
    level(): void {
      const path = plan.value.lines[0]?.path
      if (path === undefined) return
      const length_m = roughLength_m(path, localCentre.value)
      batch(() => {
        shaping.value = false
        tracing.value = { length_m, fall_ratio: 0 }
      })
      const through = path[Math.floor(path.length / 2)]!
      traceLine({ kind: 'through', through, length_m, fall_ratio: 0 }, { name: 'trace-line', joins: null })
    },

    planText: (): string => writePlan(plan.value),
    /** The plan's text with the open raster in it, or why that cannot be. */
    async planTextWithGround(): Promise<{ readonly text: string } | { readonly refusal: Refusal }> {
      const open = ground.value
      if (open === null) return { text: writePlan(plan.value) }
      try {
        const file = new Uint8Array(await open.file.arrayBuffer())
        return { text: writePlan(await withGroundInside(plan.value, file, open.options)) }
      } catch (error) {
        return { refusal: refusalIn(error) }
      }
    },
    /** A raster of the ground, or of the line in sight, as a GeoTIFF. */
    gridFile: (grid: GridName) => world.ask('gridFile', { grid }),
    /** The printed drawing set, with what the plan keeps of crossings, prices, plants and whom to ring. */
    drawingSet: (language: Language, units: UnitSystem, dateText: string, paper: PaperName) =>
      world.ask('drawingSet', {
        records: records.value,
        holding: plan.value.holding,
        lineName: plan.value.lines[0]?.id ?? '',
        dateText,
        paper,
        language,
        units,
      }),
    lasting: keeping.lasting,
    unopened: keeping.unopened,
    markInFile: keeping.markInFile,
    report: (language: Language, units: UnitSystem, dateText: string) =>
      world.ask('report', { language, units, holding: plan.value.holding, dateText }),
  }
}

function geometryOf(shape: 'point' | 'line' | 'polygon', places: readonly Place[]): PlanFeature['geometry'] | null {
  if (shape === 'point') return places[0] ? { type: 'Point', coordinates: places[0] } : null
  if (shape === 'line') return places.length >= 2 ? { type: 'LineString', coordinates: places } : null
  return places.length >= 3 ? { type: 'Polygon', coordinates: [[...places, places[0]!]] } : null
}
