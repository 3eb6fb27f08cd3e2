import type { Answered, FileQuestion, Refusal, Sent } from './protocol.js'
import type { ReaderAsked, ReaderSays } from './reader.js'
import { Refused } from './refused.js'

/** Longest time without a sign of life: the longest single pass over a raster that a page can hold, on a slow phone, and some. Unit: ms. Source: judgement. */
export const MOST_STILL_MS = 60_000

/**
 * Asks about a file in a worker of its own, which is ended afterwards, however it went.
 *
 * Laws    A decoder that spins is ended after a minute without a sign of life, at once when the reader of the page calls it off; nothing else is touched by it.
 * Throws  Refused with the file's own refusal, `file/reader-stuck`, `file/reader-died`; the signal's reason.
 *
 * @param start makes the worker
 */
export function readAside<K extends FileQuestion>(
  start: () => Worker,
  question: K,
  sent: Sent<K>,
  {
    signal,
    transfer = [],
    still_ms = MOST_STILL_MS,
  }: { readonly signal?: AbortSignal | undefined; readonly transfer?: Transferable[] | undefined; readonly still_ms?: number } = {},
): Promise<Answered<K>> {
  return new Promise((resolve, reject) => {
    if (signal?.aborted) return reject(signal.reason)
    const worker = start()
    let timer: ReturnType<typeof setTimeout>
    const end = (settle: () => void): void => {
      clearTimeout(timer)
      signal?.removeEventListener('abort', calledOff)
      worker.terminate()
      settle()
    }
    const calledOff = (): void => end(() => reject(signal?.reason))
    const refuse = (code: Refusal['code'], message: string): void => end(() => reject(new Refused({ code, message, details: {} })))
    const wait = (): void => {
      clearTimeout(timer)
      timer = setTimeout(
        () =>
          refuse(
            'file/reader-stuck',
            'Reading this file did not come to an end, so it was stopped. Have it exported again in a plain form.',
          ),
        still_ms,
      )
    }
    worker.onmessage = ({ data }: MessageEvent<ReaderSays<K>>) => {
      if ('alive' in data) return wait()
      end(() => (data.ok ? resolve(data.value) : reject(new Refused(data.error))))
    }
    worker.onerror = event => {
      event.preventDefault()
      refuse(
        'file/reader-died',
        event.message || 'The part of the page that reads files has stopped. Reload the page and open the file again.',
      )
    }
    worker.onmessageerror = () =>
      refuse('file/reader-died', 'What was read could not be handed over. Reload the page and open the file again.')
    signal?.addEventListener('abort', calledOff)
    wait()
    worker.postMessage({ question, sent } satisfies ReaderAsked<K>, transfer)
  })
}
