import { signal } from '@preact/signals'
import type { WorkerClient } from '../worker/client.js'
import type { Answered, FileQuestion, Refusal, Sent } from '../worker/protocol.js'
import type { FileLines } from './file-lines.js'
import { refusal, refusalIn } from './refusals.js'

/** Files that are read in sight of the reader of the page, one at a time. */
export function createInSight(ask: WorkerClient['ask'], { notTaken }: Pick<FileLines, 'notTaken'>) {
  const opening = signal<string | null>(null)
  /** How far the study of the raster is that is being opened, 0–1. */
  const openingDone = signal(0)
  /** Calls off the questions about the file that is being read. */
  let readingOff: AbortController | null = null

  /** Asks about the file that is being read, so that it can be called off. */
  const askOfFile = <K extends FileQuestion>(question: K, sent: Sent<K>): Promise<Answered<K>> =>
    ask(question, sent, readingOff === null ? {} : { signal: readingOff.signal })

  /** Reads a file in sight of the reader of the page, who can call it off: then nothing of it is taken, a line says so, and the answer is false. */
  async function inSight(name: string, read: () => Promise<void>, refused: (problem: Refusal) => void): Promise<boolean> {
    const off = new AbortController()
    readingOff = off
    opening.value = name
    openingDone.value = 0
    try {
      await read()
      return true
    } catch (error) {
      if (!off.signal.aborted) {
        refused(refusalIn(error))
        return true
      }
      notTaken(name, refusal('file/stopped'))
      return false
    } finally {
      if (readingOff === off) {
        readingOff = null
        opening.value = null
      }
    }
  }

  return {
    opening,
    openingDone,
    askOfFile,
    inSight,
    /** Throws where the file that is being read was called off. */
    throwIfCalledOff: () => readingOff?.signal.throwIfAborted(),
    isCalledOff: () => readingOff?.signal.aborted === true,
    callOff: () => readingOff?.abort(),
  }
}

export type InSight = ReturnType<typeof createInSight>
