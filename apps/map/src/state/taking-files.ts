import { batch, type ReadonlySignal, signal } from '@preact/signals'
import { optionsKept, type ReadOptions, withKind } from '@soakline/io'
import type { Warning } from 'soakline/foundation'
import { groundAnswers, type Plan, type PlanFeature, type Settings, settingsFrom } from 'soakline/plan'
import { Refused, type WorkerClient } from '../worker/client.js'
import type { Answered, LyingOn, ReadLayer, Refusal, Sent } from '../worker/protocol.js'
import * as edits from './edits.js'
import { type FileKind, HEAD_BYTES, headKind } from './file-kind.js'
import type { FileLines } from './file-lines.js'
import type { GroundWork } from './ground-work.js'
import type { Hand } from './hand.js'
import type { Edit } from './history.js'
import type { InSight } from './in-sight.js'
import type { Keeping } from './keeping.js'
import type { KindQuestion, LayerKind, LayerQuestion, LayerSaid } from './layer-question.js'
import type { Margin } from './margin.js'
import type { Notices } from './notices.js'
import type { OpenGround } from './open-ground.js'
import type { GroundOpening } from './opening-ground.js'
import { refusal, refusalIn } from './refusals.js'

/** Refusals of layers that are questions. */
const LAYER_ASKABLE: readonly string[] = [
  'vector/system-unknown',
  'crs/unknown',
  'vector/unit-unknown',
  'line/several',
  'line/no-such-line',
]

/** What taking files rests on. */
export interface TakingNeeds {
  readonly ask: WorkerClient['ask']
  readonly plan: ReadonlySignal<Plan>
  readonly ground: ReadonlySignal<OpenGround | null>
  readonly readAs: WeakMap<Plan['ground'], ReadOptions>
  readonly hand: Pick<Hand, 'mode' | 'draftLine'>
  readonly keeping: Pick<Keeping, 'keep' | 'workNumber'>
  readonly lines: Pick<FileLines, 'taken' | 'notTaken'>
  readonly sight: InSight
  readonly groundOpening: Pick<GroundOpening, 'openGround' | 'awaitingGround'>
  readonly groundWork: Pick<GroundWork, 'work'>
  readonly notices: Pick<Notices, 'tell'>
  edit(make: (plan: Plan) => Edit): void
  note(make: (plan: Plan) => Edit): void
  /** Resolves when the worker has answered about the line as it is. */
  answered(): Promise<void>
  readonly margin: Pick<Margin, 'leaf'>
  /** The drop that the file came with that was opened last of those that waited. */
  dropNow(): number | null
}

/** Takes what a file holds, by what it is: each becomes an edit, a ground or a question. */
export function createFileTaking(needs: TakingNeeds) {
  const { ask, plan, ground, readAs, hand, keeping, edit, note, answered, margin, dropNow } = needs
  const { taken, notTaken } = needs.lines
  const { askOfFile, isCalledOff } = needs.sight
  const { openGround, awaitingGround } = needs.groundOpening
  const { work } = needs.groundWork

  const kindQuestion = signal<KindQuestion | null>(null)
  const layerQuestion = signal<LayerQuestion | null>(null)
  /** With what was dropped together the plan came that was put on the open ground. */
  let planCameIn: number | null = null

  async function openAs(file: Blob, name: string, said: LayerSaid): Promise<void> {
    const kind = await kindOf(file, name)
    if (kind === 'ground') {
      const drop = dropNow()
      const beside = drop !== null && planCameIn === drop ? plan.value : null
      if (await openGround(file, name, {}, { setAside: true, beside })) {
        taken(name, 'ground', null)
        keeping.keep()
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
      await answered()
      const { readings } = await askOfFile('importReadings', { text, stakes: await stakesNow() })
      note(now => edits.addReadings(now, readings))
      margin.leaf.value = 'work'
      taken(name, 'readings', readings.length)
    } else if (kind === 'level-book') {
      const { readings, start_m: said_m, closesOn_m } = await askOfFile('importLevelBook', { text })
      const start_m = said_m ?? work.value?.work.stakes[0]?.ground_m
      if (start_m === undefined) return notTaken(name, refusal('level-book/no-start'))
      note(now => edits.setRecords(now, 'set-book', { levelBook: { start_m, closesOn_m, readings } }))
      margin.leaf.value = 'work'
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
        if (layers.length === 1 || isCalledOff()) throw error
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

  /** What a file seems to be: by its first bytes where they say it, else a reader is asked. Throws Refused. */
  async function kindOf(file: Blob, name: string): Promise<FileKind> {
    const head = await headOf(file, name)
    return head === 'ground' || head === 'layer' ? head : (await askOfFile('fileKind', { name, file })).kind
  }
  const headOf = async (file: Blob, name: string) => headKind(name, new Uint8Array(await file.slice(0, HEAD_BYTES).arrayBuffer()))

  /** The ground that files are laid on. */
  function lyingOn(): LyingOn {
    const open = ground.value
    if (open === null) throw new Refused(refusal('file/no-ground-yet'))
    const { report, localCentre: centre, bounds } = open.card
    return { crs: report.crs, extent: centre === null ? bounds : null }
  }

  /** Where the stakes of the answered line stand; none where no ditch can be laid out. */
  async function stakesNow(): Promise<Sent<'importReadings'>['stakes']> {
    const now = await ask('groundWork', { records: {}, rain: [], frame: null, backsight_m: null }).catch(() => null)
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
      hand.draftLine.value = null
      hand.mode.value = { kind: 'look' }
    })
    taken(name, 'line', path.length, [...before, ...warnings])
  }

  async function openPlanText(name: string, text: string): Promise<void> {
    // The raster is kept once, as the open ground: not in every step that can be undone.
    const { plan: opened, inside } = await askOfFile('importPlan', { text })
    if (inside !== null && opened.ground.sha256 !== ground.value?.card.report.sha256) {
      const file = new Blob([inside.bytes])
      if (!(await openGround(file, inside.name, inside.options, { plan: opened, setAside: true, exact: true }))) return
      keeping.keep()
      return taken(name, 'plan', null)
    }
    const open = ground.value
    if (open === null || (opened.ground.sha256 !== open.card.report.sha256 && opened.ground.sha256 !== '')) {
      // The plan holds no raster: it waits until its own is brought.
      batch(() => {
        awaitingGround.value = opened
        needs.notices.tell('ground-missing')
      })
    } else {
      const kept = optionsKept(groundAnswers(opened.ground))
      // Where the open file is the part itself, the plan's answers are about the whole, and the same ground says that no other are needed.
      const options = kept.window !== undefined && open.options.window === undefined ? open.options : { ...open.options, ...kept }
      readAs.set(opened.ground, options)
      edit(now => edits.openPlan(now, opened))
      planCameIn = dropNow()
      keeping.workNumber.value++
      if (JSON.stringify(options) !== JSON.stringify(open.options))
        void openGround(open.file, open.name, options, { plan: opened, demo: open.demo, keepHistory: true })
      hand.mode.value = { kind: opened.lines.length === 0 ? 'point-line' : 'look' }
    }
    taken(name, 'plan', null)
  }

  return { kindQuestion, layerQuestion, openAs, tellApart, askOrRefuse, kindOf, headOf, lyingOn }
}

export type FileTaking = ReturnType<typeof createFileTaking>

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
