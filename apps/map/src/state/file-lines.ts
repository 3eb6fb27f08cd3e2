import { signal } from '@preact/signals'
import type { Warning } from 'soakline/foundation'
import type { Refusal } from '../worker/protocol.js'

/** What a dropped file came to: one visible line each. */
export interface FileLine {
  readonly number: number
  /** Which drop it came with: those of one are shown together. */
  readonly drop: number
  readonly name: string
  readonly what: 'ground' | 'features' | 'line' | 'rain' | 'storm' | 'daily-rain' | 'readings' | 'level-book' | 'plan' | 'settings' | null
  /** Features, rows or vertices taken. */
  readonly count: number | null
  readonly refusal: Refusal | null
  readonly warnings: readonly Warning[]
}

/** Lines about files that are kept: more than come at once. Source: judgement. */
const MOST_FILE_LINES = 600

/** What became of the files that were brought. */
export function createFileLines() {
  const files = signal<readonly FileLine[]>([])
  /** The drop that is being opened, or was last. */
  const dropSpokenOf = signal(0)

  let fileNumber = 0

  const addFile = (line: Omit<FileLine, 'number' | 'drop'>): void => {
    files.value = [...files.value.slice(1 - MOST_FILE_LINES), { ...line, number: ++fileNumber, drop: dropSpokenOf.value }]
  }

  const taken = (name: string, what: FileLine['what'], count: number | null, warnings: readonly Warning[] = []): void =>
    addFile({ name, what, count, refusal: null, warnings })
  const notTaken = (name: string, refusal: Refusal): void => addFile({ name, what: null, count: null, refusal, warnings: [] })

  return {
    files,
    dropSpokenOf,
    taken,
    notTaken,
    forgetFile: (number: number) => {
      files.value = files.value.filter(f => f.number !== number)
    },
  }
}

export type FileLines = ReturnType<typeof createFileLines>
