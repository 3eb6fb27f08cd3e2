import { InputError } from 'soakline/foundation'
import type { Refusal } from './protocol.js'
import { type GroundFile, type ReadGround, readGround } from './read-ground.js'

// A worker that reads one file and is ended. Whatever the file does to its decoder, the page and the session with its grids go on.

/** What the reader says: that it is alive, and once what came of the file. */
export type ReaderSays =
  | { readonly alive: true }
  | { readonly ok: true; readonly value: ReadGround }
  | { readonly ok: false; readonly error: Refusal }

interface Scope {
  onmessage: ((event: MessageEvent<GroundFile>) => void) | null
  postMessage(message: ReaderSays, transfer?: Transferable[]): void
}
const scope = self as unknown as Scope

/** How often it says that it is alive. A decoder that spins lets no timer run. Unit: ms. */
const BEAT_MS = 1000

scope.onmessage = async ({ data }) => {
  setInterval(() => scope.postMessage({ alive: true }), BEAT_MS)
  try {
    const { grid, report } = await readGround(data)
    scope.postMessage({ ok: true, value: { grid, report } }, [grid.data.buffer])
  } catch (error) {
    scope.postMessage({
      ok: false,
      error:
        error instanceof InputError
          ? error.toJSON()
          : { code: 'unexpected', message: error instanceof Error ? error.message : String(error), details: {} },
    })
  }
}
