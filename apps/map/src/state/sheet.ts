import { batch, computed, type Signal, signal } from '@preact/signals'
import type { Question as AskedQuestion, Language, PaperName, UnitSystem } from '@soakline/drawing'
import { type FittingSystem, optionsKept, packZip, type ReadOptions, withGroundInside, withKind } from '@soakline/io'
import type { Warning } from 'soakline/foundation'
import type { SightingKind } from 'soakline/hydrology'
import {
  emptyPlan,
  type GridName,
  groundAnswers,
  type Place,
  type Plan,
  type PlanFeature,
  type PlanLine,
  type Settings,
  settingsFrom,
  writePlan,
} from 'soakline/plan'
import type { FeatureKind, NoGoChange } from 'soakline/siting'
import { fromDisplay, toDisplay } from '../display.js'
import { Refused, refusalOf } from '../worker/client.js'
import type { Answered, Display, FieldFile, LineAnswer, LyingOn, ReadLayer, Refusal, Sent } from '../worker/protocol.js'
import { type BroughtFile, putTogether } from './brought-files.js'
import type { Kept } from './browser-store.js'
import * as edits from './edits.js'
import { type FileKind, HEAD_BYTES, headKind, textKind } from './file-kind.js'
import { createFileLines } from './file-lines.js'
import { createFoundLines } from './found-lines.js'
import { createGroundWork } from './ground-work.js'
import { createHand } from './hand.js'
import { type Edit, type History, perform, redo, startHistory, undo } from './history.js'
import { heldAfter, heldVertices, nudged, roughLength_m } from './hold.js'
import { createInSight } from './in-sight.js'
import { changeBetween, replay } from './journal.js'
import { createKeeping } from './keeping.js'
import { draftPlan, isOfNewerPage } from './kept-text.js'
import { createLineAnswers } from './line-answers.js'
import type { Handle } from './mode.js'
import { createNotices } from './notices.js'
import type { OpenGround } from './open-ground.js'
import { createGroundOpening } from './opening-ground.js'
import { createPointedPlace } from './pointed-place.js'
import { cornersOf, positionsOf } from './positions.js'
import { refusal, refusalIn } from './refusals.js'
import { spillDraggedTo, spillOnMap } from './spill-handle.js'
import { createTracing } from './traced-line.js'
import type { World } from './world.js'

/** What was said of a layer that leaves something open. */
export type LayerSaid = Partial<Sent<'readLayers'>['said']> & {
  /** Which of its lines is the swale: its name, or its number in the file. */
  readonly line?: string
  /** What its layers show, in their order. */
  readonly kinds?: readonly LayerKind[]
}

/** A layer that waits for an answer of the user. */
export interface LayerQuestion {
  readonly file: Blob
  readonly name: string
  readonly said: LayerSaid
  readonly refusal: Refusal
}

/** A file in the order in which those brought together are opened. */
export interface Waiting extends BroughtFile {
  readonly drop: number
  readonly isGround: boolean
}

/** Layers of a file that wait to be told what they show. */
export interface KindQuestion {
  readonly file: Blob
  readonly name: string
  readonly said: LayerSaid
  readonly layers: readonly ReadLayer[]
  /** What was left out of the file as a whole. */
  readonly warnings: readonly Warning[]
}

/** What a layer shows: a kind, the line, what its features say themselves, or nothing that is wanted. */
export type LayerKind = FeatureKind | 'line' | 'own' | 'leave'

/** The leaves of the margin. */
export type Leaf = 'answers' | 'drawn' | 'settings' | 'ground' | 'work'

export type DemoLine = 'spur' | 'bench'

/** A handle at its place. */
export interface HandlePlace {
  readonly handle: Handle
  readonly place: Place
  /** To which side it stands off, east and south on the screen, as a unit vector; absent: it stands on its place. */
  readonly lean?: readonly [x: number, y: number]
}

/** Refusals of layers that are questions. */
const LAYER_ASKABLE: readonly string[] = [
  'vector/system-unknown',
  'crs/unknown',
  'vector/unit-unknown',
  'line/several',
  'line/no-such-line',
]

/** Depth of a pit of which nobody has said how deep it is: too shallow to tell anything until somebody does. Source: judgement. */
const FIRST_PIT_M = 0.5

/** Side of the area that open data is brought for, at first. Source: judgement. */
const FIRST_SIDE_M = 1000

/** Rasters brought together that are larger are opened one by one. Source: judgement. */
const MOST_JOINED_BYTES = 512e6

/** Handles of a chosen feature on the plan. */
const MOST_HANDLES = 40

const NO_GROUND: Plan['ground'] = { file: '', sha256: '', crs: 'local', elevationUnit: null, nodata: null }

/** A square on the ground: its middle in degrees, and its side. */
export interface Area {
  readonly middle: readonly [number, number]
  readonly side_m: number
}

export type { FileLine } from './file-lines.js'
export type { Notice } from './notices.js'
export type { GroundQuestion, OpenGround } from './open-ground.js'

export type Sheet = ReturnType<typeof createSheet>

/** The sheet's state and everything that can be done to it. No DOM: the world outside is handed in. */
export function createSheet(world: World) {
  const { notices, tell, silence } = createNotices()
  const history: Signal<History> = signal(startHistory(emptyPlan('', NO_GROUND)))
  const plan = computed(() => history.value.plan)
  const ground = signal<OpenGround | null>(null)
  const kindQuestion = signal<KindQuestion | null>(null)
  const layerQuestion = signal<LayerQuestion | null>(null)
  /** Files that come after the one that is asked about. */
  const waiting = signal<readonly Waiting[]>([])
  let drops = 0
  /** The file that was opened last of those that waited. */
  let last: Waiting | null = null
  /** With what was dropped together the plan came that was put on the open ground. */
  let planCameIn: number | null = null
  /** Set while the plan is to be fitted to the evidence of the first answer after this one. */
  const toFit = signal<{ readonly after: LineAnswer | null } | null>(null)
  const focused = signal<AskedQuestion | null>(null)
  const leaf = signal<Leaf>('answers')
  /** The square that open data is to be brought for. */
  const area = signal<Area | null>(null)

  const hand = createHand(plan)
  const { mode, shaping, draftLine, draftFeature, draftSettings, adding, byHand, tracing, line, features, chosen } = hand
  const keeping = createKeeping({ world, plan, ground, notices: { notices, tell, silence }, letGo: hand.letGo })
  const { saving, planInFile, workNumber, readOnly, beginJournal, keep } = keeping
  const lines = createFileLines()
  const { dropSpokenOf, taken, notTaken } = lines
  const sight = createInSight(world.ask, lines)
  const { opening, inSight, askOfFile } = sight
  /** How the raster is read while a plan speaks of its ground so. */
  const readAs = new WeakMap<Plan['ground'], ReadOptions>()
  let names: ReadonlyMap<string, Readonly<Record<Language, string>>> = new Map()

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
    fit() {
      toFit.value = { after: null }
    },
    refresh,
  })
  const { groundQuestion, awaitingGround, openGround, partOf } = groundOpening

  function record(edit: Edit): void {
    const before = plan.value
    history.value = perform(history.value, edit)
    const { ground: now } = plan.value
    const options = now === before.ground ? undefined : readAs.get(now)
    keep({
      what: 'edit',
      name: edit.name,
      joins: edit.joins,
      change: changeBetween(before, plan.value),
      ...(options ? { readAs: options } : {}),
    })
  }

  /** Does an edit, asks again, and keeps the work. */
  function edit(make: (plan: Plan) => Edit) {
    if (readOnly.value) return tell('second-tab')
    record(make(plan.value))
    refresh()
  }

  /** Notes something that no answer rests on: the work on the ground is worked out anew, the answer stays. */
  function note(make: (plan: Plan) => Edit) {
    if (readOnly.value) return tell('second-tab')
    record(make(plan.value))
    askWork()
  }

  function step(which: 'undo' | 'redo') {
    if (readOnly.value) return tell('second-tab')
    const [before, how] = [plan.value, which === 'undo' ? undo : redo]
    const wasDrafting = draftLine.value !== null || draftFeature.value !== null || draftSettings.value !== null
    batch(() => {
      draftLine.value = null
      draftFeature.value = null
      draftSettings.value = null
      byHand.value = null
      history.value = how(history.value)
      const now = mode.value
      if (now.kind === 'chosen-feature' && !plan.value.features.some(f => f.id === now.id)) mode.value = { kind: 'look' }
    })
    if (plan.value === before) return
    keep({ what: which })
    renameDemo(world.language.value)
    const options = plan.value.ground === before.ground ? undefined : readAs.get(plan.value.ground)
    if (options && ground.value) {
      const { file, name, demo } = ground.value
      void openGround(file, name, options, { plan: plan.value, demo, keepHistory: true, exact: true })
    } else if (wasDrafting || !asksTheSame(before, plan.value)) refresh()
    else askWork()
  }

  /** Puts kept work on the sheet, with its steps of undo; `stands`: the store has it as the work of now. False where it cannot be opened. */
  async function takeUp(kept: Kept, stands: boolean): Promise<boolean> {
    try {
      const base = draftPlan(kept.planText)
      readAs.set(base.ground, kept.options)
      const { history: was, inFile, readings, cut } = replay(base, kept.inFile === true, kept.rows)
      for (const [of, options] of readings) readAs.set(of, options)
      if (kept.demo) names = await demoText('features.geojson').then(demoNames, () => names)
      if (kept.ground === null) {
        // There was no room for the raster: the plan waits for it.
        batch(() => {
          awaitingGround.value = was.plan
          tell('ground-missing')
        })
        return true
      }
      const options = readAs.get(was.plan.ground) ?? kept.options
      if (!(await openGround(kept.ground, kept.name, options, { plan: was.plan, history: was, demo: kept.demo, exact: true }))) return false
      batch(() => keeping.goOnWith(kept, { options, inFile, cut, stands }))
      return true
    } catch {
      return false
    }
  }

  /** What came with a ground that was not opened lies on that one and on no other: it is not taken, with a line for each. */
  function leaveWhatLiesOn(drop: number): void {
    const lying = waiting.value.filter(one => one.drop === drop && !one.isGround)
    waiting.value = waiting.value.filter(one => !lying.includes(one))
    for (const { name } of lying) notTaken(name, refusal('file/ground-left'))
  }

  let inTurn: Promise<void> = Promise.resolve()

  /** Opens what waits, one file after another, until one of them must be asked about. */
  function openNext(): Promise<void> {
    inTurn = inTurn.then(async () => {
      for (;;) {
        const [next, ...rest] = waiting.value
        if (next === undefined || groundQuestion.value !== null || kindQuestion.value !== null || layerQuestion.value !== null) return
        waiting.value = rest
        last = next
        dropSpokenOf.value = next.drop
        await openOne(next.file, next.name)
        if (next.isGround && groundQuestion.value === null && !groundOpening.isFrom(next.file)) leaveWhatLiesOn(next.drop)
      }
    })
    return inTurn
  }

  async function openOne(file: Blob, name: string, said: LayerSaid = {}): Promise<void> {
    await inSight(
      name,
      () => openAs(file, name, said),
      problem => askOrRefuse(file, name, said, problem),
    )
  }

  async function openAs(file: Blob, name: string, said: LayerSaid): Promise<void> {
    const kind = await kindOf(file, name)
    if (kind === 'ground') {
      const beside = last !== null && planCameIn === last.drop ? plan.value : null
      if (await openGround(file, name, {}, { setAside: true, beside })) {
        taken(name, 'ground', null)
        keep()
      }
      return
    }
    const text = kind === 'layer' ? '' : await file.text()
    if (kind === 'plan') await openPlanText(name, text)
    else if (kind === 'settings') {
      const given = JSON.parse(text) as Partial<Settings>
      settingsFrom(given)
      edit(now => ({ ...edits.openPlan(now, { ...now, settings: { ...now.settings, ...given } }), name: 'set-setting' }))
      taken(name, 'settings', Object.keys(given).length)
    } else if (kind === 'unknown') notTaken(name, refusal('file/unknown'))
    else if (kind === 'table-without-header') notTaken(name, refusal('file/table-without-header'))
    else if (ground.value === null) notTaken(name, refusal('file/no-ground-yet'))
    else if (kind === 'layer' || kind === 'features-without-kind') await openLayers(file, name, said)
    else if (kind === 'line') await takeLine(name, text, [], said.line)
    else if (kind === 'rain') {
      const { rows, warnings } = await askOfFile('importRain', { text })
      edit(now => edits.setRain(now, rows))
      taken(name, 'rain', rows.length, warnings)
    } else if (kind === 'storm') {
      const { step_h, depths_mm } = await askOfFile('importStorm', { text })
      edit(now => edits.setMeasuredStorm(now, { step_h, depths_mm, source: name }))
      taken(name, 'storm', depths_mm.length)
    } else if (kind === 'daily-rain') {
      const { firstDay, depths_mm, warnings } = await askOfFile('importDailyRain', { text })
      edit(now => edits.setDailyRain(now, { firstDay, depths_mm, source: name }))
      taken(name, 'daily-rain', depths_mm.length, warnings)
    } else if (kind === 'readings') {
      await lineAnswers.idle()
      const { readings } = await askOfFile('importReadings', { text, stakes: await stakesNow() })
      note(now => edits.addReadings(now, readings))
      leaf.value = 'work'
      taken(name, 'readings', readings.length)
    } else if (kind === 'level-book') {
      const { readings, start_m: said_m, closesOn_m } = await askOfFile('importLevelBook', { text })
      const start_m = said_m ?? work.value?.work.stakes[0]?.ground_m
      if (start_m === undefined) return notTaken(name, refusal('level-book/no-start'))
      note(now => edits.setRecords(now, 'set-book', { levelBook: { start_m, closesOn_m, readings } }))
      leaf.value = 'work'
      taken(name, 'level-book', readings.length)
    } else await takeFeatures(name, text)
  }

  /** Reads a file of layers: taken as it is where it says itself what it shows, else asked about layer by layer in one step. */
  async function openLayers(file: Blob, name: string, said: LayerSaid): Promise<void> {
    const { line: _line, kinds: _kinds, ...left } = said
    const { layers, warnings, together } = await askOfFile('readLayers', { bytes: await file.arrayBuffer(), on: lyingOn(), said: left })
    const open = layers.find(({ problem }) => problem !== null && LAYER_ASKABLE.includes(problem.code))
    if (open?.problem) {
      layerQuestion.value = { file, name, said, refusal: open.problem }
      return
    }
    const question = { file, name, said, layers, warnings }
    if (said.kinds !== undefined || together === null) return tellApart(question)
    const all = [...warnings, ...layers.flatMap(layer => layer.warnings)]
    if (together.kind === 'line') await takeLine(name, together.geojson, all, said.line)
    else if (together.kind === 'features-without-kind') await tellApart(question)
    else await takeFeatures(name, together.geojson, all)
  }

  /** Takes layers by what was said that they show; asks where nothing was said yet. */
  async function tellApart(question: KindQuestion): Promise<void> {
    const { name, said, layers, warnings } = question
    const { kinds } = said
    if (kinds === undefined) {
      kindQuestion.value = question
      return
    }
    const meant = layers.flatMap((layer, k) =>
      kinds[k] === 'leave' || layer.problem !== null ? [] : [{ ...layer, kind: kinds[k] ?? 'own' }],
    )
    const line = meant.find(({ kind }) => kind === 'line')
    const before = [...warnings, ...meant.flatMap(layer => layer.warnings), ...leftOut(layers, kinds)]
    // All is read before any of it is taken: where it must be asked which line is meant, or where it is called off, the plan is as it was.
    const path = line === undefined ? null : await askOfFile('importLine', { text: line.geojson, on: lyingOn(), line: said.line })
    const features: PlanFeature[] = []
    const refused: [name: string, problem: Refusal][] = []
    for (const { kind, geojson, source, part } of meant) {
      if (kind === 'line') continue
      try {
        const { features: found, warnings: more } = await askOfFile('importFeatures', {
          text: kind === 'own' ? geojson : withKind(geojson, kind),
          on: lyingOn(),
        })
        features.push(...found)
        before.push(...more)
      } catch (error) {
        if (layers.length === 1 || sight.isCalledOff()) throw error
        refused.push([[name, source, part].filter(word => word !== '').join(': '), refusalIn(error)])
      }
    }
    if (path !== null) putLine(name, path, meant.length > 1 ? [] : before)
    for (const [which, problem] of refused) notTaken(which, problem)
    if (features.length > 0) edit(now => edits.importFeatures(now, features))
    if (features.length > 0 || (path === null && refused.length === 0)) taken(name, 'features', features.length, before)
  }

  /** What a layer leaves open is asked; all else is told as a refusal. */
  function askOrRefuse(file: Blob, name: string, said: LayerSaid, problem: Refusal): void {
    if (LAYER_ASKABLE.includes(problem.code)) layerQuestion.value = { file, name, said, refusal: problem }
    else notTaken(name, problem)
  }

  /** Several rasters that are brought at once, as one archive: then it is asked which is meant, or whether they are tiles of one. */
  async function asOneGround(
    list: readonly { readonly file: Blob; readonly name: string }[],
  ): Promise<readonly { readonly file: Blob; readonly name: string }[]> {
    const heads = await Promise.all(list.map(({ file, name }) => headOf(file, name)))
    const rasters = list.filter((_, k) => heads[k] === 'ground')
    const [first] = rasters
    if (first === undefined || rasters.length < 2 || rasters.reduce((sum, { file }) => sum + file.size, 0) > MOST_JOINED_BYTES) return list
    const files = await Promise.all(rasters.map(async ({ file, name }) => ({ name, bytes: new Uint8Array(await file.arrayBuffer()) })))
    // By name: the first tile gives the heights where two overlap, in whatever order they were dropped.
    files.sort((a, b) => (a.name < b.name ? -1 : 1))
    return [
      { file: new Blob([packZip(files)]), name: `${files[0]!.name} + ${rasters.length - 1}` },
      ...list.filter((_, k) => heads[k] !== 'ground'),
    ]
  }

  /** What a file seems to be: by its first bytes where they say it, else a reader is asked. Throws Refused. */
  async function kindOf(file: Blob, name: string): Promise<FileKind> {
    const head = await headOf(file, name)
    return head === 'ground' || head === 'layer' ? head : (await askOfFile('fileKind', { name, file })).kind
  }

  const headOf = async (file: Blob, name: string) => headKind(name, new Uint8Array(await file.slice(0, HEAD_BYTES).arrayBuffer()))

  /** Which of the files that were brought are ground, in their order; those that were called off while an archive was looked into are left out. */
  async function toldApart(brought: readonly BroughtFile[]): Promise<readonly (BroughtFile & { readonly isGround: boolean })[]> {
    const told: (BroughtFile & { readonly isGround: boolean })[] = []
    for (const one of brought) {
      let isGround = /\.tiff?$/i.test(one.name)
      const look = async (): Promise<void> => {
        isGround = (await firstLook(one.file, one.name)) === 'ground'
        // Called off while it was looked at: it is not begun.
        sight.throwIfCalledOff()
      }
      // What cannot be looked into is told when its turn comes.
      if (isGround || (await inSight(one.name, look, () => undefined))) told.push({ ...one, isGround })
    }
    return told
  }

  /** What the first bytes of a file say; what an archive holds is asked. Null where they do not say it. */
  async function firstLook(file: Blob, name: string): Promise<FileKind | null> {
    const head = await headOf(file, name)
    if (head === 'archive') return kindOf(file, name)
    return head ?? (/\.(csv|txt)$/i.test(name) ? textKind(name, await file.slice(0, 4096).text()) : null)
  }

  /** The ground that files are laid on. */
  function lyingOn(): LyingOn {
    const open = ground.value
    if (open === null) throw new Refused(refusal('file/no-ground-yet'))
    const { report, localCentre: centre, bounds } = open.card
    return { crs: report.crs, extent: centre === null ? bounds : null }
  }

  /** Where the stakes of the answered line stand; none where no ditch can be laid out. */
  async function stakesNow(): Promise<Sent<'importReadings'>['stakes']> {
    const now = await world.ask('groundWork', { records: {}, rain: [], frame: null, backsight_m: null }).catch(() => null)
    return (now?.work.stakes ?? []).map(({ number, chainage_m }) => ({ number, chainage_m }))
  }

  async function takeFeatures(name: string, text: string, before: readonly Warning[] = []): Promise<void> {
    const { features: found, warnings } = await askOfFile('importFeatures', { text, on: lyingOn() })
    edit(now => edits.importFeatures(now, found))
    taken(name, 'features', found.length, [...before, ...warnings])
  }

  async function takeLine(name: string, text: string, before: readonly Warning[] = [], wanted?: string): Promise<void> {
    putLine(name, await askOfFile('importLine', { text, on: lyingOn(), line: wanted }), before)
  }

  function putLine(name: string, { path, warnings }: Answered<'importLine'>, before: readonly Warning[]): void {
    edit(now => edits.setLine(now, 'draw-line', { id: now.lines[0]?.id ?? 'line-1', path }))
    batch(() => {
      draftLine.value = null
      mode.value = { kind: 'look' }
    })
    taken(name, 'line', path.length, [...before, ...warnings])
  }

  async function openPlanText(name: string, text: string): Promise<void> {
    // The raster is kept once, as the open ground: not in every step that can be undone.
    const { plan: opened, inside } = await askOfFile('importPlan', { text })
    if (inside !== null && opened.ground.sha256 !== ground.value?.card.report.sha256) {
      const file = new Blob([inside.bytes])
      if (!(await openGround(file, inside.name, inside.options, { plan: opened, setAside: true, exact: true }))) return
      keep()
      return taken(name, 'plan', null)
    }
    const open = ground.value
    if (open === null || (opened.ground.sha256 !== open.card.report.sha256 && opened.ground.sha256 !== '')) {
      // The plan holds no raster: it waits until its own is brought.
      batch(() => {
        awaitingGround.value = opened
        tell('ground-missing')
      })
    } else {
      const kept = optionsKept(groundAnswers(opened.ground))
      // Where the open file is the part itself, the plan's answers are about the whole, and the same ground says that no other are needed.
      const options = kept.window !== undefined && open.options.window === undefined ? open.options : { ...open.options, ...kept }
      readAs.set(opened.ground, options)
      edit(now => edits.openPlan(now, opened))
      planCameIn = last?.drop ?? null
      workNumber.value++
      if (JSON.stringify(options) !== JSON.stringify(open.options))
        void openGround(open.file, open.name, options, { plan: opened, demo: open.demo, keepHistory: true })
      mode.value = { kind: opened.lines.length === 0 ? 'point-line' : 'look' }
    }
    taken(name, 'plan', null)
  }

  async function demoText(name: string): Promise<string> {
    return (await world.demoFile(name)).text()
  }

  async function demoLine(which: DemoLine): Promise<PlanLine> {
    const { path } = await world.ask('importLine', { text: await demoText(`line-${which}.geojson`), on: lyingOn() })
    const centre = localCentre.value
    return {
      id: `demo-${which}`,
      path,
      traced: { through: path[Math.floor(path.length / 2)]!, fall_ratio: 0, length_m: roughLength_m(path, centre) },
    }
  }

  /** The first work on the sheet, once it is there. */
  let begun: Promise<void> = Promise.resolve()

  async function beginWork(): Promise<void> {
    const mine = await world.tab.claim(keeping.handOver)
    if (!mine) keeping.lookOn()
    const kept = await keeping.openKept(mine)
    if (kept) {
      if (await takeUp(kept, true)) {
        if (mine) tell('restored')
        return
      }
      if (isOfNewerPage(kept.planText)) keeping.leaveStore()
      else await keeping.putByUnopened(kept)
    }
    await openDemo()
  }

  /** The demo holding with its better line. */
  async function openDemo(): Promise<void> {
    opening.value = 'ground.tif'
    try {
      const file = await world.demoFile('ground.tif')
      const had = ground.value !== null
      if (
        !(await openGround(
          file,
          'ground.tif',
          {},
          { demo: true, setAside: had && !(ground.value?.demo && saving.value.kind === 'untouched'), quiet: true },
        ))
      )
        return
      const language = world.language.value
      const text = await demoText('features.geojson')
      names = demoNames(text)
      const { features: found } = await world.ask('importFeatures', { text, on: lyingOn() })
      const { rows } = await world.ask('importRain', { text: await demoText('rain.csv') })
      const settings = JSON.parse(await demoText('settings.json')) as Partial<Settings>
      const first = await demoLine('spur')
      batch(() => {
        history.value = startHistory({
          ...plan.value,
          holding: world.demoHolding(language),
          features: found.map(f => ({ ...f, name: names.get(f.id)?.[language] ?? f.name })),
          rain: rows,
          settings,
          lines: [first],
        })
        mode.value = { kind: 'look' }
        saving.value = { kind: 'untouched' }
        toFit.value = { after: null }
        beginJournal()
      })
      refresh()
    } catch (error) {
      notTaken('demo', refusalIn(error))
    } finally {
      opening.value = null
    }
  }

  /** The demo's names follow the language while nobody has changed them. */
  function renameDemo(language: Language): void {
    if (!ground.value?.demo) return
    const now = plan.value
    const other = (name: string | null, id: string): string | null => {
      const pair = names.get(id)
      return pair && (name === pair.en || name === pair.es) ? pair[language] : name
    }
    const renamed = now.features.map(f => (other(f.name, f.id) === f.name ? f : { ...f, name: other(f.name, f.id) }))
    const holding =
      now.holding === world.demoHolding('en') || now.holding === world.demoHolding('es') ? world.demoHolding(language) : now.holding
    if (holding === now.holding && renamed.every((f, k) => f === now.features[k])) return
    history.value = { ...history.value, plan: { ...now, features: renamed, holding } }
    // A demo that nobody has touched is not kept.
    if (saving.value.kind === 'untouched') beginJournal()
    else keep({ what: 'rename', change: changeBetween(now, plan.value) })
    refresh()
  }

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
    kindQuestion,
    layerQuestion,
    waiting,
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
    openDemo,
    renameDemo,
    drawContours: groundOpening.drawContours,
    confirmGround: groundOpening.confirmGround,
    finish,
    idle: lineAnswers.idle,
    saveNow: keeping.saveNow,
    undo: () => step('undo'),
    redo: () => step('redo'),
    silence,

    /** Opens the work that this browser kept, or else the demo. Files that are brought meanwhile are opened after it. */
    start(): Promise<void> {
      const first = beginWork()
      begun = first.catch(() => undefined)
      inTurn = begun
      return first
    },

    /** Opens files one after another: a plan before its ground, ground before all that lies on it. A question holds up those that come after it. */
    async openFiles(list: readonly BroughtFile[], more = false): Promise<void> {
      if (readOnly.value) return tell('second-tab')
      const drop = ++drops
      if (waiting.value.length === 0) dropSpokenOf.value = drop
      if (more) notTaken('…', refusal('file/too-many'))
      const { files: brought, beside } = await putTogether(list)
      for (const name of beside) notTaken(name, refusal('file/beside-another'))
      const looking = inTurn.then(() => toldApart(brought))
      inTurn = looking.then(() => undefined)
      const told = await looking
      const grounds = told.filter(one => one.isGround)
      const others = told.filter(one => !one.isGround)
      const plans = grounds.length === 0 ? [] : others.filter(({ name }) => /\.soakline\.json$/i.test(name))
      const sorted = [...plans, ...(await asOneGround(grounds)), ...others.filter(one => !plans.includes(one))]
      const carriers = new Set(plans.length > 0 ? [] : sorted.slice(0, sorted.length - others.length).map(({ name }) => name))
      waiting.value = [...waiting.value, ...sorted.map(one => ({ ...one, drop, isGround: carriers.has(one.name) }))]
      await openNext()
    },

    /** Tries the waiting raster again with what the user said. */
    async answerGround(said: ReadOptions): Promise<void> {
      const question = groundQuestion.value
      if (question === null) return
      groundQuestion.value = null
      const { file: asked, name, plan: wanted, demo } = question
      const options = { ...question.options, ...said }
      const how = { plan: wanted, demo, setAside: true }
      const part = said.window === undefined ? null : await partOf(asked, name, options)
      const opened =
        said.window === undefined
          ? await openGround(asked, name, options, { ...how, cutWith: question.cutWith, exact: question.cutWith !== undefined })
          : part !== null && (await openGround(part, name, {}, { ...how, cutWith: options, exact: true }))
      if (opened) {
        taken(name, 'ground', null)
        keep()
      } else if (groundQuestion.value === null && last?.file === asked) leaveWhatLiesOn(last.drop)
      await openNext()
    },
    /** Leaves the file that is asked about, with a line that says so; those after it are opened. */
    async leaveQuestion(): Promise<void> {
      const question = groundQuestion.value ?? layerQuestion.value ?? kindQuestion.value
      if (question === null) return
      const wasGround = question === groundQuestion.value
      batch(() => {
        groundQuestion.value = null
        layerQuestion.value = null
        kindQuestion.value = null
        notTaken(question.name, refusal('file/left-unanswered'))
        if (wasGround && last?.file === question.file) leaveWhatLiesOn(last.drop)
      })
      await openNext()
    },
    /** Looks for coordinate systems that put a file where it is said to lie. */
    findSystems: (asked: Sent<'findSystems'>): Promise<{ readonly systems: readonly FittingSystem[] } | { readonly refusal: Refusal }> =>
      world.ask('findSystems', asked).then(
        systems => ({ systems }),
        error => ({ refusal: refusalOf(error) }),
      ),
    /** What each layer shows, in their order. */
    async answerKinds(kinds: readonly LayerKind[]): Promise<void> {
      const question = kindQuestion.value
      if (question === null) return
      kindQuestion.value = null
      const said = { ...question.said, kinds }
      await inSight(
        question.name,
        () => tellApart({ ...question, said }),
        problem => askOrRefuse(question.file, question.name, said, problem),
      )
      await openNext()
    },
    /** Reads the waiting layer again with what the user said. */
    async answerLayer(more: LayerSaid): Promise<void> {
      const question = layerQuestion.value
      if (question === null) return
      layerQuestion.value = null
      await openOne(question.file, question.name, { ...question.said, ...more })
      await openNext()
    },
    /** Takes up the work that was set aside; that of now is set aside in its place. */
    async goBack(): Promise<void> {
      const kept = await keeping.readAside()
      if (kept === null || readOnly.value) return
      if (keeping.keeps() && ground.value !== null) await keeping.setAside()
      if (await takeUp(kept, false)) keep()
    },
    /** Makes this tab the one that works on the kept work; the tab before looks on. */
    async takeOver(): Promise<void> {
      // What this tab opened first would otherwise come after the work that is taken over, and lie on it.
      await begun
      await world.tab.takeOver(keeping.handOver)
      const kept = await keeping.openAsMine()
      if (kept === null) beginJournal()
      if (kept === null || (await takeUp(kept, true)))
        keeping.letIn(kept === null ? { kind: 'untouched' } : { kind: 'saved', at: world.now() })
      else await keeping.putByUnopened(kept)
    },
    /** Works on in a second tab without keeping anything in this browser. */
    workHere: () => keeping.letIn({ kind: 'not-kept' }),

    async useDemoLine(which: DemoLine): Promise<void> {
      const found = await demoLine(which)
      batch(() => {
        hand.rest()
        toFit.value = { after: answer.value }
      })
      edit(now => edits.setLine(now, 'draw-line', found))
    },

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

/** Whether two plans differ in nothing that an answer rests on. */
const asksTheSame = (a: Plan, b: Plan): boolean =>
  (['ground', 'lines', 'features', 'rain', 'soil', 'measuredStorm', 'dailyRain', 'hollows', 'settings'] as const).every(
    key => a[key] === b[key],
  )

/** What was said to be left out, and what could not be read, as one remark each. */
function leftOut(layers: readonly ReadLayer[], kinds: readonly LayerKind[]): Warning[] {
  const unread = layers.filter(({ problem }) => problem !== null)
  const left = layers.filter(({ problem }, k) => problem === null && kinds[k] === 'leave')
  return [
    ...(unread.length > 0
      ? [{ code: 'vector/layers-unreadable' as const, details: { layers: unread.length, first: unread[0]!.source } }]
      : []),
    ...(left.length > 0
      ? [
          {
            code: 'vector/layers-left-out' as const,
            details: { layers: left.length, features: left.reduce((sum, { outline }) => sum + outline.features, 0) },
          },
        ]
      : []),
  ]
}

function geometryOf(shape: 'point' | 'line' | 'polygon', places: readonly Place[]): PlanFeature['geometry'] | null {
  if (shape === 'point') return places[0] ? { type: 'Point', coordinates: places[0] } : null
  if (shape === 'line') return places.length >= 2 ? { type: 'LineString', coordinates: places } : null
  return places.length >= 3 ? { type: 'Polygon', coordinates: [[...places, places[0]!]] } : null
}

/** The demo's names in both languages, by id. */
function demoNames(text: string): ReadonlyMap<string, Readonly<Record<Language, string>>> {
  const { features } = JSON.parse(text) as { features: { properties: { id: string; name?: string; name_es?: string } }[] }
  return new Map(features.flatMap(({ properties: p }) => (p.name && p.name_es ? [[p.id, { en: p.name, es: p.name_es }] as const] : [])))
}
