import { firstAsked } from '../first-moments.js'
import type {
  Answered,
  Asked,
  FileQuestion,
  GroundPicture,
  Pictured,
  Progress,
  Question,
  Refusal,
  Reply,
  Sent,
  Warming,
  Withdrawn,
} from './protocol.js'
import { readAside } from './read-aside.js'
import { Refused } from './refused.js'

export { Refused, refusalOf } from './refused.js'

export interface AskOptions {
  readonly signal?: AbortSignal
  readonly onProgress?: (done: number) => void
  readonly onPicture?: (picture: GroundPicture) => void
  readonly transfer?: Transferable[]
}

/** The one who answers. */
export interface WorkerClient {
  /**
   * Asks the worker. The promise is refused with `Refused`, or with the signal's own reason.
   *
   * @param options.signal takes the question back
   * @param options.onProgress told how far a long question is, 0–1
   * @param options.onPicture told what can be drawn of a ground before it is open
   * @param options.transfer buffers that are handed over and can no longer be used here; default none
   */
  ask<K extends Question>(question: K, sent: Sent<K>, options?: AskOptions): Promise<Answered<K>>
  /** Starts the worker, so that the first question does not wait for its code to be read. */
  begin(): void
  stop(): void
}

interface Waiting {
  readonly question: Question
  resolve(value: unknown): void
  reject(reason: unknown): void
  progress?: ((done: number) => void) | undefined
  picture?: ((picture: GroundPicture) => void) | undefined
}

/** A client of a worker that is started with the first question if not before, and started anew with the next question after it has died. */
export function workerClient(start: () => Worker): WorkerClient {
  const waiting = new Map<number, Waiting>()
  let worker: Worker | null = null
  let last = 0
  /** The worker that was told to ready its engine for a drag. */
  let warmed: Worker | null = null

  const end = (refusal: Refusal): void => {
    worker?.terminate()
    worker = null
    const left = [...waiting.values()]
    waiting.clear()
    for (const { reject } of left) reject(new Refused(refusal))
  }
  const started = (): Worker => {
    const fresh = start()
    fresh.onmessage = ({ data }: MessageEvent<Reply | Progress | Pictured>) => {
      const asker = waiting.get(data.id)
      if ('done' in data) return asker?.progress?.(data.done)
      if ('picture' in data) return asker?.picture?.(data.picture)
      waiting.delete(data.id)
      if (data.ok && asker?.question === 'answer' && warmed !== fresh) {
        warmed = fresh
        fresh.postMessage({ warmUp: true } satisfies Warming)
      }
      if (data.ok) asker?.resolve(data.value)
      else asker?.reject(new Refused(data.error))
    }
    fresh.onerror = event => {
      event.preventDefault()
      if (fresh === worker)
        end({ code: 'worker/died', message: event.message || 'The worker stopped. Open the raster again.', details: {} })
    }
    fresh.onmessageerror = () =>
      end({ code: 'worker/died', message: 'A message of the worker could not be read. Open the raster again.', details: {} })
    return fresh
  }

  return {
    ask(question, sent, { signal, onProgress, onPicture, transfer = [] } = {}) {
      return new Promise((resolve, reject) => {
        if (signal?.aborted) return reject(signal.reason)
        worker ??= started()
        const id = ++last
        const withdraw = (): void => {
          if (!waiting.delete(id)) return
          worker?.postMessage({ withdraw: id } satisfies Withdrawn)
          reject(signal?.reason)
        }
        const settled = (): void => signal?.removeEventListener('abort', withdraw)
        waiting.set(id, {
          question,
          progress: onProgress,
          picture: onPicture,
          resolve(value) {
            settled()
            resolve(value as Answered<typeof question>)
          },
          reject(reason) {
            settled()
            reject(reason)
          },
        })
        signal?.addEventListener('abort', withdraw)
        try {
          worker.postMessage({ id, question, sent } as Asked, transfer)
        } catch (error) {
          waiting.delete(id)
          settled()
          reject(error)
        }
      })
    },
    begin() {
      worker ??= started()
    },
    stop: () => end({ code: 'worker/stopped', message: 'The worker was stopped.', details: {} }),
  }
}

const sheetWorker = workerClient(() => new Worker(new URL('./main.ts', import.meta.url), { type: 'module', name: 'soakline' }))

const newReader = (): Worker => new Worker(new URL('./reader.ts', import.meta.url), { type: 'module', name: 'soakline-reader' })

/** A reader that stands by, so that a file that is on its way need not wait until one is up. */
let standby: Worker | null = null
function standBy(): void {
  if (standby !== null) return
  const reader = newReader()
  // One that cannot be started is told of by the next, which has somebody to tell.
  reader.onerror = event => {
    event.preventDefault()
    if (reader === standby) standby = null
  }
  standby = reader
}
function nextReader(): Worker {
  const ready = standby ?? newReader()
  standby = null
  return ready
}

/** Starts the sheet's worker and a reader ahead of the first file: the page draws its map for the first time meanwhile. */
export function warmUp(): void {
  sheetWorker.begin()
  standBy()
}

/** Questions about files: each is answered by a reader of its own. */
const FILE_QUESTIONS: Readonly<Record<FileQuestion, true>> = {
  readGround: true,
  cutGround: true,
  fileKind: true,
  readLayers: true,
  importFeatures: true,
  importLine: true,
  importRain: true,
  importStorm: true,
  importDailyRain: true,
  importReadings: true,
  importLevelBook: true,
  importPlan: true,
}
const isAboutFile = (question: Question): question is FileQuestion => Object.hasOwn(FILE_QUESTIONS, question)

/** Asks the sheet's own worker, or a reader where it is about a file; a file of heights is read by a reader first. See `WorkerClient.ask`. */
export const askWorker: WorkerClient['ask'] = async <K extends Question>(
  question: K,
  sent: Sent<K>,
  options: Parameters<WorkerClient['ask']>[2],
): Promise<Answered<K>> => {
  firstAsked.come()
  if (question === 'bringGround') standBy()
  if (isAboutFile(question))
    return readAside(nextReader, question as FileQuestion, sent as Sent<FileQuestion>, options) as Promise<Answered<K>>
  const file = question === 'openGround' ? (sent as Sent<'openGround'>) : null
  if (file === null || !('bytes' in file)) return sheetWorker.ask(question, sent, options)
  const read = await readAside(nextReader, 'readGround', file, options)
  return sheetWorker.ask(question, { name: file.name, read } as Sent<K>, { ...options, transfer: [read.grid.data.buffer] })
}

/** Ends the sheet's worker; the next question starts a new one, which knows no ground. */
export const stopWorker = (): void => sheetWorker.stop()
