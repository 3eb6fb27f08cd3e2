import { InputError } from 'soakline/foundation'
import { fileAnswers } from './file-answers.js'
import type { Answered, FileQuestion, Refusal, Sent } from './protocol.js'

// A worker that reads one file and is ended. Whatever the file does to its decoder, the page and the session with its grids go on.

/** What it is asked, once. */
export interface ReaderAsked<K extends FileQuestion = FileQuestion> {
  readonly question: K
  readonly sent: Sent<K>
}

/** What the reader says: that it is alive, and once what came of the file. */
export type ReaderSays<K extends FileQuestion = FileQuestion> =
  | { readonly alive: true }
  | { readonly ok: true; readonly value: Answered<K> }
  | { readonly ok: false; readonly error: Refusal }

interface Scope {
  onmessage: ((event: MessageEvent<ReaderAsked>) => void) | null
  postMessage(message: ReaderSays, transfer?: Transferable[]): void
}
const scope = self as unknown as Scope

/** How often it says that it is alive. A decoder that spins lets no timer run. Unit: ms. */
const BEAT_MS = 1000

/** What need not be copied on its way to the page. */
const handedOver: Readonly<Partial<{ [K in FileQuestion]: (value: Answered<K>) => readonly ArrayBufferLike[] }>> = {
  readGround: ({ grid }) => [grid.data.buffer],
  cutGround: ({ file }) => [file],
  importPlan: ({ inside }) => (inside === null ? [] : [inside.bytes]),
}

async function answer<K extends FileQuestion>({ question, sent }: ReaderAsked<K>): Promise<void> {
  try {
    const value = await fileAnswers[question](sent)
    scope.postMessage({ ok: true, value }, [...(handedOver[question]?.(value) ?? [])] as Transferable[])
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

scope.onmessage = ({ data }) => {
  setInterval(() => scope.postMessage({ alive: true }), BEAT_MS)
  void answer(data)
}
