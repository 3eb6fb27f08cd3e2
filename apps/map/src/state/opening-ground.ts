import { batch, type ReadonlySignal, type Signal, signal } from '@preact/signals'
import type { UnitSystem } from '@soakline/drawing'
import { answersKept, optionsKept, type ReadOptions } from '@soakline/io'
import type { FeatureCollection } from 'geojson'
import { emptyPlan, groundAnswers, type Plan } from 'soakline/plan'
import { refusalOf, type WorkerClient } from '../worker/client.js'
import type { GroundCard, GroundPicture, Refusal } from '../worker/protocol.js'
import * as edits from './edits.js'
import type { FileLines } from './file-lines.js'
import type { Hand } from './hand.js'
import { type Edit, type History, startHistory } from './history.js'
import type { InSight } from './in-sight.js'
import type { Keeping } from './keeping.js'
import type { Notices } from './notices.js'
import type { GroundQuestion, OpenGround } from './open-ground.js'
import { refusal } from './refusals.js'

/** Refusals that are questions: with an answer the same file can be read. */
const ASKABLE: readonly string[] = [
  'crs/unknown',
  'elevation-unit/unknown',
  'grid/nodata-unclear',
  'grid/nodata-is-a-height',
  'grid/several-bands',
  'archive/several-files',
  'colours/unknown-code',
  'tile/unknown-place',
]

/** Whether an answer helps: a picture may be heights that are packed into its colours, a palette is none; of a raster too large a part may be cut where it has a place. */
const isAskable = ({ code, details }: Refusal): boolean =>
  ASKABLE.includes(code) ||
  (code === 'grid/colours' && details.packable === true) ||
  (code === 'grid/too-large' && typeof details.west === 'number')

/** A raster of more bytes is read by slices of its file, never whole. Source: judgement. */
const MOST_WHOLE_BYTES = 64e6

const mayBeShort = (name: string): string => name.replace(/\.[^.]+$/, '').replace(/[-_]+/g, ' ')

/** How a raster is opened. */
export interface Opening {
  /** The plan that belongs to the raster; default a new one. */
  readonly plan?: Plan | null
  readonly demo?: boolean
  readonly keepHistory?: boolean
  /** The steps that led to the plan. */
  readonly history?: History
  /** Whether the work so far is set aside, so that one can go back to it. */
  readonly setAside?: boolean
  /** More will be put on the ground at once: nothing is asked yet. */
  readonly quiet?: boolean
  /** The file is read by what is given alone: what the plan keeps of the answers may be about another, of which this is a part. */
  readonly exact?: boolean
  /** Where the file is a part that was cut out: how the whole was read. */
  readonly cutWith?: ReadOptions | undefined
  /** A plan on the sheet that came together with the raster: it stays where the raster is its own. */
  readonly beside?: Plan | null
}

/** What opening a ground rests on. */
export interface OpeningNeeds {
  readonly ask: WorkerClient['ask']
  readonly history: Signal<History>
  readonly plan: ReadonlySignal<Plan>
  readonly ground: Signal<OpenGround | null>
  /** How the raster is read while a plan speaks of its ground so. */
  readonly readAs: WeakMap<Plan['ground'], ReadOptions>
  readonly hand: Pick<Hand, 'mode'>
  readonly keeping: Pick<Keeping, 'setAside' | 'planInFile' | 'beginJournal' | 'keep'>
  readonly lines: Pick<FileLines, 'notTaken'>
  readonly sight: InSight
  readonly notices: Notices
  record(edit: Edit): void
  /** Everything that was said of the ground before goes. */
  putAway(): void
  /** The plan is to be fitted to the evidence of its first answer. */
  fit(after: null): void
  refresh(): void
}

/** The raster that is open: opened, asked about, read again, given back to a worker that has died. */
export function createGroundOpening(needs: OpeningNeeds) {
  const { ask, history, plan, ground, readAs, hand, keeping, sight, record, putAway, fit, refresh } = needs
  const { tell, silence } = needs.notices
  const { notTaken } = needs.lines
  const { opening, openingDone, inSight, askOfFile } = sight

  const contours = signal<FeatureCollection | null>(null)
  const groundQuestion = signal<GroundQuestion | null>(null)
  const awaitingGround = signal<Plan | null>(null)
  /** Ground that is being opened, as soon as it can be drawn. */
  const coming = signal<GroundPicture | null>(null)
  let openingOff: AbortController | null = null
  /** The file that the open ground was read from, or of which it is a part. */
  let openedFrom: Blob | null = null
  let contourUnits: UnitSystem = 'metric'

  /** Reads a raster as a waiting plan has it, where that gives the plan's own ground; else as if nothing had been said before. */
  async function readGround(
    file: Blob,
    name: string,
    options: ReadOptions,
    wanted: Plan | null,
    exact: boolean,
    off: AbortController,
  ): Promise<{ readonly card: GroundCard; readonly options: ReadOptions }> {
    const read = async (said: ReadOptions): Promise<GroundCard> => {
      const bytes = file.size > MOST_WHOLE_BYTES ? file : await file.arrayBuffer()
      return ask(
        'openGround',
        { name, bytes, options: said },
        {
          transfer: bytes instanceof ArrayBuffer ? [bytes] : [],
          signal: off.signal,
          onProgress: done => {
            openingDone.value = done
          },
          onPicture: picture => {
            coming.value = picture
          },
        },
      )
    }
    const kept = wanted === null ? {} : optionsKept(groundAnswers(wanted.ground))
    if (!exact && Object.keys(options).length === 0 && Object.keys(kept).length > 0) {
      const card = await read(kept).catch(error => {
        if (off.signal.aborted || refusalOf(error).code === 'worker/died') throw error
        return null
      })
      if (card !== null && card.report.sha256 === wanted?.ground.sha256) return { card, options: kept }
    }
    return { card: await read(options), options }
  }

  /** Of a ground of which a waiting plan keeps a part: that part as a file of its own, so that the whole need not be kept. As it was where it is no part. */
  async function partKept(file: Blob, name: string, options: ReadOptions, how: Opening, off: AbortController) {
    if (options.window === undefined || how.exact) return { file, options, cutWith: how.cutWith }
    try {
      const cut = await ask('cutGround', { name, file, options }, { signal: off.signal })
      return { file: new Blob([cut.file]), options: {}, cutWith: options }
    } catch (error) {
      // Only of some formats can a part be written by itself.
      if (off.signal.aborted) throw error
      return { file, options, cutWith: how.cutWith }
    }
  }

  /** Opens a raster. When it is refused, or called off, everything stays as it was. */
  async function openGround(whole: Blob, name: string, given: ReadOptions, how: Opening = {}): Promise<boolean> {
    opening.value = name
    openingDone.value = 0
    const off = new AbortController()
    openingOff = off
    try {
      const waits = how.plan ?? awaitingGround.value
      const beside = how.beside ?? null
      const { card, options: read } = await readGround(whole, name, given, waits ?? beside, how.exact ?? false, off)
      const { file, options, cutWith } = await partKept(whole, name, read, how, off)
      const { report } = card
      const wanted = waits ?? (beside !== null && ['', report.sha256].includes(beside.ground.sha256) ? beside : null)
      const again = wanted === null && ground.value?.file === file
      // Its own ground again: what had to be asked this time is kept for the next.
      const itself = wanted !== null && wanted.ground.sha256 === report.sha256
      const all = { ...cutWith, ...options }
      const asked = answersKept(all)
      // What a part was cut out of, and how, stays with what is said of the part.
      const before = again ? plan.value.ground.answers : itself ? wanted.ground.answers : undefined
      const answers = asked === undefined ? before : { ...before, ...asked }
      const nodata = typeof all.nodata === 'number' ? all.nodata : null
      const said = {
        file: name,
        sha256: report.sha256,
        crs: report.crs,
        elevationUnit: all.elevationUnit ?? null,
        nodata: Number.isNaN(nodata) ? null : nodata,
        ...(answers === undefined ? {} : { answers }),
      }
      readAs.set(said, options)
      if (how.setAside && ground.value?.file !== file) await keeping.setAside()
      const next =
        wanted === null
          ? again
            ? { ...plan.value, ground: said }
            : emptyPlan(mayBeShort(name), said)
          : itself && answers !== undefined
            ? { ...wanted, ground: { ...wanted.ground, answers } }
            : wanted
      if (wanted !== null && wanted.ground.sha256 !== '' && wanted.ground.sha256 !== report.sha256) tell('other-ground')
      batch(() => {
        coming.value = null
        ground.value = { card, file, name, options, demo: how.demo ?? false }
        openedFrom = whole
        groundQuestion.value = null
        awaitingGround.value = null
        silence('ground-missing')
        contours.value = null
        putAway()
        if (again) record(edits.setGround(plan.value, said))
        else if (!how.keepHistory) {
          history.value = how.history ?? startHistory(next)
          keeping.planInFile.value = null
          keeping.beginJournal()
        }
        hand.mode.value = plan.value.lines.length === 0 ? { kind: 'point-line' } : { kind: 'look' }
        if (!again && plan.value.lines.length > 0) fit(null)
      })
      drawContours(contourUnits)
      if (!how.quiet) refresh()
      return true
    } catch (error) {
      const problem = off.signal.aborted ? refusal('file/stopped') : refusalOf(error)
      if (isAskable(problem))
        groundQuestion.value = {
          file: whole,
          name,
          options: given,
          refusal: problem,
          plan: how.plan ?? null,
          demo: how.demo ?? false,
          cutWith: how.cutWith,
        }
      else notTaken(name, problem)
      return false
    } finally {
      if (openingOff === off) openingOff = null
      opening.value = null
      coming.value = null
    }
  }

  /** The part of a large raster that was chosen: it is opened and kept in its place. Null where it is refused, or called off. */
  async function partOf(whole: Blob, name: string, options: ReadOptions): Promise<Blob | null> {
    let part: Blob | null = null
    await inSight(
      name,
      async () => {
        const { file } = await askOfFile('cutGround', { name, file: whole, options })
        part = new Blob([file])
      },
      problem => notTaken(name, problem),
    )
    return part
  }

  /** Contours of the open ground in steps that are whole in the reader's units. */
  function drawContours(units: UnitSystem): void {
    contourUnits = units
    const card = ground.value?.card
    if (card === undefined) return
    void ask('contours', { units }).then(
      found => {
        if (ground.value?.card === card && contourUnits === units) contours.value = found
      },
      () => undefined,
    )
  }

  /** A worker that has died knows no ground any more: it is given the ground again, and the plan stays. */
  function afterDeath(error: unknown): void {
    if (refusalOf(error).code !== 'worker/died' || ground.value === null) return
    tell('worker-died')
    const { file, name, options, demo } = ground.value
    ground.value = null
    void openGround(file, name, options, { plan: plan.value, demo, keepHistory: true, exact: true })
  }

  return {
    contours,
    groundQuestion,
    awaitingGround,
    coming,
    openGround,
    partOf,
    drawContours,
    afterDeath,
    /** Whether the open ground came from a file: is it, or a part of it. */
    isFrom: (file: Blob) => openedFrom === file,
    callOffGround: () => openingOff?.abort(),
    /** Reads the open raster again with more said about it; the plan stays. */
    async confirmGround(said: ReadOptions): Promise<void> {
      const open = ground.value
      if (open === null) return
      if (await openGround(open.file, open.name, { ...open.options, ...said }, { demo: open.demo })) keeping.keep()
    },
  }
}

export type GroundOpening = ReturnType<typeof createGroundOpening>
