import { batch, computed, type ReadonlySignal, signal } from '@preact/signals'
import type { Plan } from 'soakline/plan'
import { refusalOf, type WorkerClient } from '../worker/client.js'
import type { FoundLines, Refusal } from '../worker/protocol.js'

/** What a search for lines rests on. */
export interface SearchNeeds {
  readonly ask: WorkerClient['ask']
  readonly plan: ReadonlySignal<Plan>
  /** Resolves when the worker knows what is drawn and set. */
  settled(): Promise<void>
}

/** Possible lines, looked for over the whole ground. */
export function createFoundLines({ ask, plan, settled }: SearchNeeds) {
  /** Possible lines, with the plan that they were looked for on. */
  const found = signal<{ readonly search: FoundLines; readonly about: Plan } | null>(null)
  const foundDone = signal<number | null>(null)
  /** Rank of the possible line that stands out on the plan. */
  const foundShown = signal<number | null>(null)
  const findProblem = signal<Refusal | null>(null)
  let foundOff: AbortController | null = null

  /** True where what is drawn or set has changed since the search. */
  const foundIsOld = computed(() => {
    if (found.value === null) return false
    const { about } = found.value
    const now = plan.value
    return (
      about.features !== now.features ||
      about.settings !== now.settings ||
      about.hollows !== now.hollows ||
      about.rain !== now.rain ||
      about.measuredStorm !== now.measuredStorm
    )
  })

  /** Looks over the whole ground for possible lines; a later search takes the place of an earlier one. */
  async function findLines(): Promise<void> {
    foundOff?.abort()
    const off = new AbortController()
    foundOff = off
    batch(() => {
      foundDone.value = 0
      findProblem.value = null
    })
    try {
      await settled()
      const about = plan.value
      const search = await ask(
        'candidates',
        { rain: about.rain },
        {
          signal: off.signal,
          onProgress: done => {
            if (foundOff === off) foundDone.value = done
          },
        },
      )
      if (foundOff === off) found.value = { search, about }
    } catch (error) {
      const refusal = refusalOf(error)
      // A changed site calls it off: what was found before stays, and is said to be old.
      if (!off.signal.aborted && foundOff === off && refusal.code !== 'worker/called-off') findProblem.value = refusal
    } finally {
      if (foundOff === off) foundDone.value = null
    }
  }

  function stopFinding(): void {
    foundOff?.abort()
    foundOff = null
    foundDone.value = null
  }

  function putFoundAway(): void {
    stopFinding()
    batch(() => {
      found.value = null
      foundShown.value = null
      findProblem.value = null
    })
  }

  return { found, foundDone, foundShown, foundIsOld, findProblem, findLines, stopFinding, putFoundAway }
}
