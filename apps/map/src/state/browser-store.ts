import type { ReadOptions } from '@soakline/io'
import { openDB } from 'idb'

/** What the browser keeps of the work: the plan as text and the raster's own file. */
export interface Kept {
  readonly planText: string
  readonly ground: Blob
  readonly name: string
  readonly options: ReadOptions
  readonly demo: boolean
}

/** Where the work is kept between visits. */
export interface Store {
  read(): Promise<Kept | null>
  /** Keeps the work; the raster is written only when it is another one. */
  write(kept: Kept): Promise<void>
  /** Sets the work aside that is kept now, so that it can be taken up again. */
  setAside(): Promise<void>
  /** The work that was set aside last. */
  readAside(): Promise<Kept | null>
}

type Row = Omit<Kept, 'ground'>

/** The store of this browser. Throws what the browser throws where it keeps nothing (private windows, blocked storage). */
export async function openStore(): Promise<Store> {
  const db = await openDB('soakline-sheet', 1, { upgrade: fresh => void fresh.createObjectStore('kept') })
  let written: Blob | null = null
  const read = async (suffix: string): Promise<Kept | null> => {
    const row = (await db.get('kept', `plan${suffix}`)) as Row | undefined
    const ground = (await db.get('kept', `ground${suffix}`)) as Blob | undefined
    return row && ground ? { ...row, ground } : null
  }
  return {
    async read() {
      const kept = await read('')
      written = kept?.ground ?? null
      return kept
    },
    async write({ ground, ...row }) {
      const transaction = db.transaction('kept', 'readwrite')
      const puts: Promise<unknown>[] = [transaction.store.put(row, 'plan')]
      if (ground !== written) puts.push(transaction.store.put(ground, 'ground'))
      await Promise.all([...puts, transaction.done])
      written = ground
    },
    async setAside() {
      const kept = await read('')
      if (kept === null) return
      const { ground, ...row } = kept
      const transaction = db.transaction('kept', 'readwrite')
      await Promise.all([transaction.store.put(row, 'plan-aside'), transaction.store.put(ground, 'ground-aside'), transaction.done])
    },
    readAside: () => read('-aside'),
  }
}
