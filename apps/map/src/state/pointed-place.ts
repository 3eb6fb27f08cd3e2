import { type ReadonlySignal, signal } from '@preact/signals'
import type { LineSection, Place } from 'soakline/plan'
import type { WorkerClient } from '../worker/client.js'
import type { LineAnswer, PlaceReading } from '../worker/protocol.js'
import { latestQueue } from './queue.js'

/** What pointing rests on. */
export interface PointingNeeds {
  readonly ask: WorkerClient['ask']
  readonly answer: ReadonlySignal<LineAnswer | null>
  /** True while a newer answer is on its way. */
  readonly answering: ReadonlySignal<boolean>
  /** True while something on the plan moves under the finger. */
  isDrafting(): boolean
  isOpen(): boolean
}

/** The place along the line, or on the ground, that is pointed at. Nothing of it is part of the plan. */
export function createPointedPlace({ ask, answer, answering, isDrafting, isOpen }: PointingNeeds) {
  /** Distance along the line that is pointed at, in the long section or on the plan. */
  const pointer = signal<number | null>(null)
  /** The ditch's section at a place of the answered line; `section` is null where it cannot be dug as it is set. */
  const sectionHere = signal<{ readonly revision: number; readonly chainage_m: number; readonly section: LineSection | null } | null>(null)
  const reading = signal<PlaceReading | null>(null)

  const sectionQueue = latestQueue<number>(async chainage_m => {
    const about = answer.value
    if (about === null || answering.value) return
    const section = await ask('sectionAt', { chainage_m })
    // The worker answers about its last line: what came in between makes it void.
    if (answer.value === about && pointer.value !== null) sectionHere.value = { revision: about.revision, chainage_m, section }
  })

  /** Points at a place along the line; null at none. While a line is dragged nothing is asked for. */
  function point(chainage_m: number | null): void {
    pointer.value = isDrafting() ? null : chainage_m
    if (pointer.value === null) sectionHere.value = null
    else sectionQueue.push(pointer.value)
  }

  const placeQueue = latestQueue<Place | null>(async place => {
    reading.value = place === null || !isOpen() ? null : await ask('readPlace', { place }).catch(() => null)
  })

  return {
    pointer,
    sectionHere,
    reading,
    point,
    /** Reads the ground at a place; null at none. */
    readPlace: (place: Place | null) => placeQueue.push(place),
    /** The line may have become shorter. */
    keepOnLine(length_m: number): void {
      if (pointer.value !== null) pointer.value = Math.min(pointer.value, length_m)
    },
    /** The section at the place is asked for again, about a newer answer. */
    pointAgain(): void {
      if (pointer.value !== null) point(pointer.value)
    },
    /** Another ground: no place of the one before is pointed at. */
    putPointerAway(): void {
      pointer.value = null
      sectionHere.value = null
    },
  }
}
