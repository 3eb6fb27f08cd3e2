import { type ReadonlySignal, signal } from '@preact/signals'
import type { OwnFix } from 'soakline/plan'

/** What the device says of its own place. */
export type Position =
  | { readonly kind: 'off' }
  | { readonly kind: 'asking' }
  | { readonly kind: 'on'; readonly fix: OwnFix }
  | { readonly kind: 'none'; readonly why: 'denied' | 'unavailable' | 'timeout' | 'missing' }

/** Asks the device where it is, once it is told to; what it says is kept nowhere and sent nowhere. */
export interface OwnPosition {
  readonly position: ReadonlySignal<Position>
  ask(): void
  stop(): void
}

/** How long a first position may take out in the open, before the page says that none came. Source: judgement. */
const PATIENCE_MS = 20_000

/** W3C Geolocation, GeolocationPositionError: 1 denied, 2 unavailable, 3 timeout. */
const WHY = { 1: 'denied', 2: 'unavailable', 3: 'timeout' } as const

export function ownPosition(device: Geolocation | undefined): OwnPosition {
  const position = signal<Position>({ kind: 'off' })
  let watching: number | null = null
  const stop = (): void => {
    if (watching !== null) device?.clearWatch(watching)
    watching = null
    position.value = { kind: 'off' }
  }
  return {
    position,
    stop,
    ask(): void {
      stop()
      if (device === undefined) {
        position.value = { kind: 'none', why: 'missing' }
        return
      }
      position.value = { kind: 'asking' }
      watching = device.watchPosition(
        ({ coords: { longitude, latitude, accuracy } }) => {
          position.value = {
            kind: 'on',
            // A device that says 0 says nothing: no receiver is that sure.
            fix: { at: [longitude, latitude], accuracy_m: accuracy > 0 && Number.isFinite(accuracy) ? accuracy : null },
          }
        },
        ({ code }) => {
          // What was said before is old by now: it leads no more.
          position.value = { kind: 'none', why: WHY[code as 1 | 2 | 3] ?? 'unavailable' }
        },
        { enableHighAccuracy: true, maximumAge: 0, timeout: PATIENCE_MS },
      )
    },
  }
}
