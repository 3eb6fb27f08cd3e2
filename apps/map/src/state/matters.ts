import { signal } from '@preact/signals'
import type { Influence } from 'soakline/plan'
import type { LineAnswer } from '../worker/protocol.js'
import type { Sheet } from './sheet.js'

/** What would change the answers most, worked out when a reader asks why. */
export function createMatters(sheet: Sheet) {
  const found = signal<{ readonly revision: number; readonly influences: readonly Influence[] } | null>(null)
  const done = signal<number | null>(null)
  let off: AbortController | null = null
  let asked: number | null = null

  async function ask(about: LineAnswer | null = sheet.settled.value): Promise<void> {
    const line = sheet.line.value
    if (about === null || line === null || asked === about.revision) return
    asked = about.revision
    off?.abort()
    const mine = new AbortController()
    off = mine
    done.value = 0
    try {
      const influences = await sheet.askWorker(
        'matters',
        { path: line.path, rain: sheet.plan.value.rain },
        {
          signal: mine.signal,
          onProgress: part => {
            if (off === mine) done.value = part
          },
        },
      )
      if (off === mine) found.value = { revision: about.revision, influences }
    } catch {
      // Called off by a newer line, which asks again when it is asked why.
      if (off === mine) asked = null
    } finally {
      if (off === mine) done.value = null
    }
  }

  return { found, done, ask }
}
