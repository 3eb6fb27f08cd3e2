import { computed, effect, signal } from '@preact/signals'
import type { Place } from 'soakline/plan'
import type { MeasuredWay } from 'soakline/terrain'
import { latestQueue } from './queue.js'
import type { Sheet } from './sheet.js'

/** What is measured on the plan: the places that were set, and the pointer ahead of them. It is no part of the plan. */
export function createMeasuring(sheet: Sheet) {
  const ahead = signal<Place | null>(null)
  const set = signal<MeasuredWay | null>(null)
  const running = signal<MeasuredWay | null>(null)
  const places = computed<readonly Place[]>(() => {
    const mode = sheet.mode.value
    return mode.kind === 'measure' ? mode.places : []
  })
  /** The way as it is drawn: on to the pointer, once there is a place to come from. */
  const drawn = computed(() => (ahead.value === null || places.value.length === 0 ? places.value : [...places.value, ahead.value]))
  const measure = (of: readonly Place[]): Promise<MeasuredWay | null> => sheet.askWorker('measure', { places: of })
  const setQueue = latestQueue<readonly Place[]>(async of => {
    const got = await measure(of)
    if (places.value === of) set.value = got
  })
  const runningQueue = latestQueue<readonly Place[]>(async of => {
    const got = await measure(of)
    if (drawn.value === of) running.value = got
  })
  effect(() => {
    const of = places.value
    if (of.length < 2) set.value = null
    else setQueue.push(of)
    if (of.length === 0) ahead.value = null
  })
  effect(() => {
    const of = drawn.value
    if (of === places.value) running.value = null
    else runningQueue.push(of)
  })
  return {
    places,
    drawn,
    /** What the places that were set come to; null under two. */
    set,
    /** The same on to the pointer; null while there is none. */
    running,
    pointAt(at: Place | null): void {
      if (places.value.length > 0) ahead.value = at
    },
  }
}
