import { batch, type ReadonlySignal, signal } from '@preact/signals'
import { packZip, type ReadOptions } from '@soakline/io'
import { type BroughtFile, putTogether } from './brought-files.js'
import { type FileKind, textKind } from './file-kind.js'
import type { FileLines } from './file-lines.js'
import type { InSight } from './in-sight.js'
import type { LayerKind, LayerSaid } from './layer-question.js'
import type { Notices } from './notices.js'
import type { GroundOpening } from './opening-ground.js'
import { refusal } from './refusals.js'
import type { FileTaking } from './taking-files.js'

/** A file in the order in which those brought together are opened. */
export interface Waiting extends BroughtFile {
  readonly drop: number
  readonly isGround: boolean
}

/** Rasters brought together that are larger are opened one by one. Source: judgement. */
const MOST_JOINED_BYTES = 512e6

/** What the turn of files rests on. */
export interface TurnNeeds {
  readonly readOnly: ReadonlySignal<boolean>
  readonly lines: FileLines
  readonly sight: InSight
  readonly groundOpening: GroundOpening
  readonly taking: FileTaking
  readonly notices: Pick<Notices, 'tell'>
  keep(): void
}

/** Files that are brought, opened one after another; a question about one of them holds up those after it. */
export function createFilesInTurn({ readOnly, lines, sight, groundOpening, taking, notices: { tell }, keep }: TurnNeeds) {
  const { dropSpokenOf, taken, notTaken } = lines
  const { inSight } = sight
  const { groundQuestion, openGround, partOf } = groundOpening
  const { kindQuestion, layerQuestion, openAs, tellApart, askOrRefuse, kindOf, headOf } = taking

  /** Files that come after the one that is asked about. */
  const waiting = signal<readonly Waiting[]>([])
  let drops = 0
  /** The file that was opened last of those that waited. */
  let last: Waiting | null = null
  let inTurn: Promise<void> = Promise.resolve()

  /** What came with a ground that was not opened lies on that one and on no other: it is not taken, with a line for each. */
  function leaveWhatLiesOn(drop: number): void {
    const lying = waiting.value.filter(one => one.drop === drop && !one.isGround)
    waiting.value = waiting.value.filter(one => !lying.includes(one))
    for (const { name } of lying) notTaken(name, refusal('file/ground-left'))
  }

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

  return {
    waiting,
    /** Which drop came with the file that was opened last of those that waited. */
    dropNow: () => last?.drop ?? null,
    /** Files that are brought from now on are opened after this. */
    openAfter(first: Promise<void>): void {
      inTurn = first
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
  }
}

export type FilesInTurn = ReturnType<typeof createFilesInTurn>
