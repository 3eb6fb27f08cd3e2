import { type Base, type Store, StoreProblem } from './browser-store.js'
import type { JournalRow } from './journal.js'

/** The state of keeping, told at every change. */
export interface KeeperTold {
  /** A step is on its way to the store. */
  keeping(): void
  /** Everything is kept; `ground` is false where there was no room for the raster. */
  kept(ground: boolean): void
  /** Nothing more is kept: taken over or made by a newer page. */
  lost(why: 'taken' | 'newer'): void
  /** The step could not be kept, also at a second try; the next one tries again. */
  failed(error: unknown): void
}

/** Keeps every step as it is made. */
export interface Keeper {
  /** Another work from now on; it is written with its next step, or with `keep()`. `rows`: its steps so far; `stands`: the store has it so already. */
  begin(base: Base, rows?: readonly JournalRow[], stands?: boolean): void
  /** Keeps a step, or without one the work as it is. */
  keep(row?: JournalRow): void
  /** Resolves when everything is written that can be. */
  idle(): Promise<void>
}

/** A journal longer than this is begun anew on the plan as it stands; after a reload undo then goes back to there. Source: judgement. */
const MOST_ROWS = 500

/**
 * Writes steps one after another; those that wait while one is written go together.
 *
 * Laws  what is kept is at every moment the work as it was after one of its steps · after a failure all is written anew, so that no step is left out in between.
 */
export function keeper(store: Store, now: () => Base, told: KeeperTold): Keeper {
  let base = now
  let since: JournalRow[] = []
  let waiting: JournalRow[] = []
  /** Counts works and bases; `stands` is the one that the store has whole. */
  let work = 0
  let stands = -1
  let due = false
  let withGround = true
  let running: Promise<void> | null = null

  /** The same work on a later base, where the journal has grown long. */
  function shorten(): void {
    if (since.length <= MOST_ROWS) return
    const as = now()
    base = () => as
    since = []
    work++
  }

  async function write(): Promise<void> {
    const rows = waiting
    waiting = []
    if (stands === work) return store.append(rows)
    const [number, whole, steps] = [work, base(), [...since]]
    stands = -1
    await store.write(withGround ? whole : { ...whole, ground: null }, steps)
    stands = number
  }

  /** A second try: all anew, unless the store is no longer this tab's. */
  function again(error: unknown): Promise<void> {
    if (error instanceof StoreProblem && error.code !== 'gone') throw error
    stands = -1
    return write()
  }

  /** No room for both: the plan is small, and it is what cannot be had again. */
  function withoutGround(error: unknown): Promise<void> {
    if (!isFull(error) || !withGround || base().ground === null) throw error
    withGround = false
    return write().catch(still => {
      withGround = true
      throw still
    })
  }

  async function writeAll(): Promise<void> {
    while (due) {
      due = false
      shorten()
      try {
        await write().catch(again).catch(withoutGround)
        if (!due) told.kept(withGround)
      } catch (error) {
        if (error instanceof StoreProblem && (error.code === 'taken' || error.code === 'newer')) told.lost(error.code)
        else if (!due) told.failed(error)
      }
    }
    running = null
  }

  return {
    begin(from, rows = [], has = false) {
      base = () => from
      since = [...rows]
      waiting = []
      work++
      if (has) stands = work
      withGround = true
    },
    keep(row) {
      if (row) {
        since.push(row)
        waiting.push(row)
      }
      due = true
      told.keeping()
      running ??= writeAll()
    },
    async idle() {
      while (running !== null) await running
    },
  }
}

const isFull = (error: unknown): boolean => (error as { name?: unknown } | null)?.name === 'QuotaExceededError'
