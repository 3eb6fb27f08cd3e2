import type { ReadOptions } from '@soakline/io'
import { type IDBPDatabase, type IDBPTransaction, openDB } from 'idb'
import type { JournalRow } from './journal.js'

/** The plan on which a journal stands, with the raster's own file. */
export interface Base {
  readonly planText: string
  /** Null where the browser had no room for it. */
  readonly ground: Blob | null
  readonly name: string
  readonly options: ReadOptions
  readonly demo: boolean
  /** True where the plan stands so in a file, too. */
  readonly inFile?: boolean
}

/** What the browser keeps of the work: a plan and every step since. */
export interface Kept extends Base {
  readonly rows: readonly JournalRow[]
}

/** Why a store cannot be used: another tab took it over; a newer page made it; an older page holds it open; what was kept is no longer there. */
export type StoreTrouble = 'taken' | 'newer' | 'blocked' | 'gone'

export class StoreProblem extends Error {
  override readonly name = 'StoreProblem'

  constructor(
    readonly code: StoreTrouble,
    options?: ErrorOptions,
  ) {
    super(code, options)
  }
}

/** Slots beside the work itself: work set aside for other ground, and work that could not be opened. */
export type Slot = 'aside' | 'unopened'

/** Where the work is kept between visits. Each call is all or nothing. Writing throws `StoreProblem`, or what the browser throws, e.g. where it is full. */
export interface Store {
  /** Makes this tab the one that writes, and reads what is kept. Writes of the tab before are refused from then on. */
  claim(): Promise<Kept | null>
  /** Reads what is kept, and leaves the one that writes as it is. */
  read(): Promise<Kept | null>
  /** Keeps the work anew: its base and all steps since. The raster is written only when it is another one. */
  write(base: Base, rows: readonly JournalRow[]): Promise<void>
  /** Adds steps to the journal. */
  append(rows: readonly JournalRow[]): Promise<void>
  /** Copies what is kept now into a slot. */
  copyTo(slot: Slot): Promise<void>
  readFrom(slot: Slot): Promise<Kept | null>
}

const NAME = 'soakline-sheet'
/** 1: plan and raster. 2: the journal, and the token of the tab that writes. */
const VERSION = 2

type Row = Omit<Base, 'ground'> & { readonly rows?: readonly JournalRow[] }

/** A step is kept once the browser has it, whatever becomes of the page: waiting for the disk at each would let the next ones queue up. */
const STEP = { durability: 'relaxed' } as const
/** A whole work is on the disk before the browser says so. */
const WHOLE = { durability: 'strict' } as const

/**
 * The store of this browser.
 *
 * Throws  StoreProblem `newer` where a newer page left it, `blocked` where an older one holds it open in another tab; and what the browser throws
 *         where it keeps nothing (private windows, blocked storage).
 */
export async function openStore(): Promise<Store> {
  const token = crypto.getRandomValues(new Uint32Array(4)).join('-')
  let db: IDBPDatabase | null = null
  let outdated = false
  let written: Blob | null = null

  async function connected(): Promise<IDBPDatabase> {
    if (outdated) throw new StoreProblem('newer')
    db ??= await connect(
      () => (db = null),
      newer => {
        db = null
        outdated = newer
      },
    )
    return db
  }

  const begin = <Mode extends IDBTransactionMode>(
    open: IDBPDatabase,
    mode: Mode,
    how: IDBTransactionOptions = STEP,
  ): IDBPTransaction<unknown, StoreName[], Mode> => {
    try {
      return open.transaction(['kept', 'journal'], mode, how)
    } catch (error) {
      // The connection has been closed under the page; the next call makes another.
      db = null
      throw error
    }
  }

  const kept = async (slot?: Slot): Promise<Kept | null> => {
    const at = slot ? `-${slot}` : ''
    const transaction = begin(await connected(), 'readonly')
    transaction.done.catch(() => undefined)
    const [row, ground, rows] = (await all([
      () => transaction.objectStore('kept').get(`plan${at}`),
      () => transaction.objectStore('kept').get(`ground${at}`),
      async () => (slot ? [] : transaction.objectStore('journal').getAll()),
    ])) as [Row | undefined, Blob | undefined, JournalRow[]]
    return row ? { ...row, ground: ground ?? null, rows: slot ? (row.rows ?? []) : rows } : null
  }

  /** Does something as the one tab that may, in one transaction. */
  async function asOwner(
    how: IDBTransactionOptions,
    act: (of: (store: StoreName) => WritableStore, owner: string | undefined) => Promise<unknown>,
  ): Promise<void> {
    const transaction = begin(await connected(), 'readwrite', how)
    // The transaction's own failure comes with the first error below, too.
    transaction.done.catch(() => undefined)
    try {
      const owner = (await transaction.objectStore('kept').get('owner')) as string | undefined
      if (owner !== undefined && owner !== token) throw new StoreProblem('taken')
      await act(name => transaction.objectStore(name), owner)
    } catch (error) {
      // A request that fails because its transaction did says less than the transaction.
      const cause = transaction.error ?? error
      try {
        transaction.abort()
      } catch {
        // It has aborted by itself.
      }
      throw cause
    }
    await transaction.done
  }

  await connected()
  return {
    async claim() {
      const transaction = begin(await connected(), 'readwrite')
      await all([() => transaction.objectStore('kept').put(token, 'owner'), () => transaction.done])
      const found = await kept()
      written = found?.ground ?? null
      return found
    },
    read: () => kept(),
    async write({ ground, ...row }, rows) {
      await asOwner(WHOLE, (of, owner) =>
        all([
          ...(owner === undefined ? [() => of('kept').put(token, 'owner')] : []),
          () => of('kept').put(row, 'plan'),
          ...(ground === null ? [() => of('kept').delete('ground')] : []),
          ...(ground !== null && (ground !== written || owner === undefined) ? [() => of('kept').put(ground, 'ground')] : []),
          () => of('journal').clear(),
          ...rows.map(one => () => of('journal').add(one)),
        ]),
      )
      written = ground
    },
    append: rows =>
      asOwner(STEP, async (of, owner) => {
        // The reader may have cleared the page's data meanwhile: steps without their base are worth nothing.
        if (owner === undefined || (await of('kept').getKey('plan')) === undefined) throw new StoreProblem('gone')
        await all(rows.map(one => () => of('journal').add(one)))
      }),
    copyTo: slot =>
      asOwner(WHOLE, async of => {
        const row = (await of('kept').get('plan')) as Row | undefined
        if (row === undefined) return
        const [ground, rows] = [(await of('kept').get('ground')) as Blob | undefined, (await of('journal').getAll()) as JournalRow[]]
        await all([
          () => of('kept').put({ ...row, rows }, `plan-${slot}`),
          () => (ground ? of('kept').put(ground, `ground-${slot}`) : of('kept').delete(`ground-${slot}`)),
        ])
      }),
    readFrom: slot => kept(slot),
  }
}

type StoreName = 'kept' | 'journal'

/** The requests of a transaction, each so that one that fails at once leaves no other's failure unheard. */
const all = (requests: readonly (() => Promise<unknown>)[]): Promise<unknown[]> => Promise.all(requests.map(async request => request()))

interface WritableStore {
  get(key: string): Promise<unknown>
  getKey(key: string): Promise<unknown>
  getAll(): Promise<unknown[]>
  put(value: unknown, key?: string): Promise<unknown>
  add(value: unknown): Promise<unknown>
  delete(key: string): Promise<void>
  clear(): Promise<void>
}

/** Opens the database, and closes it when a newer page, or the reader who clears the page's data, wants it. */
function connect(onClosed: () => void, onWanted: (newer: boolean) => void): Promise<IDBPDatabase> {
  return new Promise((resolve, reject) => {
    openDB(NAME, VERSION, {
      // What stands in version 1 is read as it is; only what is missing is made.
      upgrade(fresh) {
        if (!fresh.objectStoreNames.contains('kept')) fresh.createObjectStore('kept')
        if (!fresh.objectStoreNames.contains('journal')) fresh.createObjectStore('journal', { autoIncrement: true })
      },
      blocked: () => reject(new StoreProblem('blocked')),
      blocking(_, wanted, event) {
        ;(event.target as IDBDatabase).close()
        onWanted(wanted !== null)
      },
      terminated: onClosed,
    }).then(resolve, error =>
      reject((error as { name?: unknown } | null)?.name === 'VersionError' ? new StoreProblem('newer', { cause: error }) : error),
    )
  })
}
