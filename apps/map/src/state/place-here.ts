import { effect, signal } from '@preact/signals'
import type { Place } from 'soakline/plan'
import type { PlaceReading } from '../worker/protocol.js'
import { latestQueue } from './queue.js'
import type { Sheet } from './sheet.js'

/** What is known of the place that was asked about; null beyond the raster, undefined while none is asked about or the answer is still to come. */
export function createPlaceHere(sheet: Sheet) {
  const reading = signal<PlaceReading | null | undefined>(undefined)
  const queue = latestQueue<Place>(async place => {
    const got = await sheet.askWorker('readPlace', { place })
    const mode = sheet.mode.value
    if (mode.kind === 'read-place' && mode.at === place) reading.value = got
  })
  effect(() => {
    const mode = sheet.mode.value
    if (mode.kind !== 'read-place' || mode.at === null) reading.value = undefined
    else queue.push(mode.at)
  })
  return { reading }
}
