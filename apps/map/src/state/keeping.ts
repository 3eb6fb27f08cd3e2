import { batch, type ReadonlySignal, signal } from '@preact/signals'
import type { ReadOptions } from '@soakline/io'
import { type Plan, writePlan } from 'soakline/plan'
import { type Base, type Kept, type Store, StoreProblem, type StoreTrouble } from './browser-store.js'
import type { JournalRow } from './journal.js'
import { type Keeper, keeper } from './keeper.js'
import { textOfKept } from './kept-text.js'
import type { Notice, Notices } from './notices.js'
import type { OpenGround } from './open-ground.js'
import type { World } from './world.js'

export type Saving =
  | { readonly kind: 'untouched' }
  | { readonly kind: 'saving' }
  | { readonly kind: 'saved'; readonly at: Date }
  | { readonly kind: 'not-kept' }

/** So many steps that stand in no file are reminded of. Source: judgement. */
const UNFILED_STEPS = 25

const NO_STORE: Readonly<Record<StoreTrouble, Notice>> = {
  newer: 'newer-store',
  blocked: 'older-tab',
  taken: 'second-tab',
  gone: 'no-storage',
}

/** What keeping rests on. */
export interface KeepingNeeds {
  readonly world: Pick<World, 'openStore' | 'askToLast' | 'now'>
  readonly plan: ReadonlySignal<Plan>
  readonly ground: ReadonlySignal<OpenGround | null>
  readonly notices: Notices
  /** Takes the hand off what it draws or moves. */
  letGo(): void
}

/** How work that is taken up again was kept. */
export interface TakenUp {
  /** How its raster is read. */
  readonly options: ReadOptions
  /** The plan that stands in a file. */
  readonly inFile: Plan | null
  /** True where not all of its steps could be followed. */
  readonly cut: boolean
  /** True where the store has it as the work of now. */
  readonly stands: boolean
}

/** The work in this browser: kept step by step as it is made, by the one tab that may. */
export function createKeeping({ world, plan, ground, notices: { tell, silence }, letGo }: KeepingNeeds) {
  const saving = signal<Saving>({ kind: 'untouched' })
  const planInFile = signal<Plan | null>(null)
  /** Counts the works that have stood on the sheet: a ground with its plan, a plan opened, work taken up again. */
  const workNumber = signal(0)
  /** False where the browser may clear what it keeps; null before it was asked. */
  const lasting = signal<boolean | null>(null)
  /** Work kept here that could not be opened, as the text of a plan file. */
  const unopened = signal<string | null>(null)
  const readOnly = signal(false)
  const canGoBack = signal<'aside' | null>(null)

  let store: Store | null = null
  let journal: Keeper | null = null
  let keeps = true
  /** Steps since the plan stood in a file, or since the last reminder. */
  let unfiled = 0

  /** The work as it is now, as the store keeps it. */
  const baseNow = (): Base => {
    const open = ground.value
    if (open === null) throw new Error('There is no ground yet.')
    return {
      planText: writePlan(plan.value),
      ground: open.file,
      name: open.name,
      options: open.options,
      demo: open.demo,
      inFile: planInFile.value === plan.value,
    }
  }

  /** Another work stands on the sheet: nothing of it is kept before its first step, or before `keep()`. */
  function beginJournal(): void {
    unfiled = 0
    workNumber.value++
    if (ground.value === null) return
    journal?.begin(baseNow())
  }

  /** Sends a step to the store as it is made; without one, the work as it stands. */
  function keep(row?: JournalRow): void {
    if (!keeps || ground.value === null) return
    if (journal === null) {
      saving.value = { kind: 'not-kept' }
      return
    }
    if (row?.what === 'in-file') unfiled = 0
    else if (row && ++unfiled >= UNFILED_STEPS) {
      unfiled = 0
      tell('only-here')
    }
    journal.keep(row)
  }

  function journalIn(opened: Store): Keeper {
    return keeper(opened, baseNow, {
      keeping: () => {
        saving.value = { kind: 'saving' }
      },
      kept(withGround) {
        batch(() => {
          saving.value = { kind: 'saved', at: world.now() }
          silence('save-failed')
          if (!withGround) tell('ground-not-kept')
        })
        if (lasting.value === null) {
          lasting.value = false
          void world.askToLast().then(
            promised => {
              lasting.value = promised
            },
            () => undefined,
          )
        }
      },
      lost: why => (why === 'taken' ? handOver() : stopKeeping('newer-store')),
      failed() {
        batch(() => {
          saving.value = { kind: 'not-kept' }
          tell('save-failed')
        })
      },
    })
  }

  function stopKeeping(why: Notice): void {
    batch(() => {
      keeps = false
      saving.value = { kind: 'not-kept' }
      tell(why)
    })
  }

  /** Another tab has taken the work over: this one only looks from now on. */
  function handOver(): void {
    if (!keeps) return
    batch(() => {
      readOnly.value = true
      letGo()
      stopKeeping('taken-over')
      // What is kept now is the other tab's: this one has nothing to say of it.
      saving.value = { kind: 'untouched' }
    })
  }

  const saveNow = (): Promise<void> => journal?.idle() ?? Promise.resolve()

  /** Opens the store, tells why there is none, and reads what is kept. */
  async function openKept(mine: boolean): Promise<Kept | null> {
    try {
      store ??= await world.openStore().catch(error => {
        if (error instanceof StoreProblem) throw error
        return world.openStore()
      })
      const opened = store
      const read = (): Promise<Kept | null> => (mine ? opened.claim() : opened.read())
      const kept = await read().catch(read)
      journal = journalIn(opened)
      if (await opened.readFrom('aside').catch(() => null)) canGoBack.value = 'aside'
      return kept
    } catch (error) {
      // What is there and cannot be read must not be written over.
      store = null
      tell(NO_STORE[error instanceof StoreProblem ? error.code : 'gone'])
      return null
    }
  }

  /** Work that does not open stays in the store's own slot for it, and can be saved to a file. */
  async function putByUnopened(kept: Kept): Promise<void> {
    unopened.value = textOfKept(kept)
    tell('restore-failed')
    await store?.copyTo('unopened').catch(() => {
      keeps = false
    })
  }

  return {
    saving,
    planInFile,
    workNumber,
    lasting,
    unopened,
    readOnly,
    canGoBack,
    beginJournal,
    keep,
    handOver,
    saveNow,
    openKept,
    putByUnopened,
    /** False where nothing that is done from now on is kept. */
    keeps: () => keeps,
    /** The work so far is set aside, so that one can go back to it. */
    async setAside(): Promise<void> {
      if (store === null) return
      const at = store
      keep()
      await saveNow()
      await at.copyTo('aside').catch(() => undefined)
      canGoBack.value = 'aside'
    },
    /** The work that was set aside. */
    readAside: async (): Promise<Kept | null> => (await store?.readFrom('aside').catch(() => null)) ?? null,
    /** Kept work stands on the sheet again, with its steps. */
    goOnWith(kept: Kept, { options, inFile, cut, stands }: TakenUp): void {
      workNumber.value++
      planInFile.value = inFile
      if (cut) tell('restored-in-part')
      else journal?.begin({ ...kept, options }, kept.rows, stands)
      if (stands && !readOnly.value) saving.value = { kind: 'saved', at: world.now() }
      unfiled = Math.min(UNFILED_STEPS - 1, kept.rows.length - 1 - kept.rows.map(row => row.what).lastIndexOf('in-file'))
    },
    /** Another tab works on the sheet: this one looks on, and keeps nothing. */
    lookOn(): void {
      batch(() => {
        readOnly.value = true
        keeps = false
        tell('second-tab')
      })
    },
    /** What is kept is of a later page: it is left as it is. */
    leaveStore(): void {
      store = null
      journal = null
      tell('newer-store')
    },
    /** Opens the store as the one tab that writes to it. */
    openAsMine(): Promise<Kept | null> {
      keeps = true
      return openKept(true)
    },
    /** Changes are let in, once the work that was taken over stands on the sheet. */
    letIn(how: Saving): void {
      batch(() => {
        readOnly.value = false
        saving.value = how
        silence('second-tab', 'taken-over')
      })
    },
    markInFile: () => {
      planInFile.value = plan.value
      silence('only-here')
      if (saving.value.kind !== 'untouched') keep({ what: 'in-file' })
    },
  }
}

export type Keeping = ReturnType<typeof createKeeping>
