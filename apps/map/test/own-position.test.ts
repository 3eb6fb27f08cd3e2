import { expect, test } from 'vitest'
import { ownPosition } from '../src/state/own-position.js'

/** A device that a test speaks for. */
function device() {
  let told: { here: PositionCallback; not: PositionErrorCallback } | null = null
  const asked: PositionOptions[] = []
  const geolocation = {
    watchPosition(here: PositionCallback, not: PositionErrorCallback, options: PositionOptions) {
      told = { here, not }
      asked.push(options)
      return 7
    },
    clearWatch(id: number) {
      expect(id).toBe(7)
      told = null
    },
  } as unknown as Geolocation
  return {
    geolocation,
    asked,
    listening: () => told !== null,
    stands: (longitude: number, latitude: number, accuracy: number) =>
      told!.here({ coords: { longitude, latitude, accuracy } } as GeolocationPosition),
    fails: (code: number) => told!.not({ code } as GeolocationPositionError),
  }
}

test('nothing is asked of the device before a person asks; then it says where it is and how sure', () => {
  const phone = device()
  const own = ownPosition(phone.geolocation)
  expect(own.position.value).toEqual({ kind: 'off' })
  expect(phone.asked).toEqual([])
  own.ask()
  expect(own.position.value).toEqual({ kind: 'asking' })
  // An old position from the device's memory would lead to the wrong stake.
  expect(phone.asked[0]).toMatchObject({ enableHighAccuracy: true, maximumAge: 0 })
  phone.stands(-32.86, 36.5, 4)
  expect(own.position.value).toEqual({ kind: 'on', fix: { at: [-32.86, 36.5], accuracy_m: 4 } })
  own.stop()
  expect(own.position.value).toEqual({ kind: 'off' })
  expect(phone.listening()).toBe(false)
})

test('a device that does not say how sure it is, or says 0, is not sure', () => {
  const phone = device()
  const own = ownPosition(phone.geolocation)
  own.ask()
  for (const accuracy of [0, Number.NaN, Number.POSITIVE_INFINITY, undefined as unknown as number]) {
    phone.stands(-32.86, 36.5, accuracy)
    expect(own.position.value).toMatchObject({ kind: 'on', fix: { accuracy_m: null } })
  }
})

test('each way to have no position is told apart, and an old position goes with it', () => {
  const phone = device()
  const own = ownPosition(phone.geolocation)
  own.ask()
  phone.stands(-32.86, 36.5, 4)
  for (const [code, why] of [
    [1, 'denied'],
    [2, 'unavailable'],
    [3, 'timeout'],
    [99, 'unavailable'],
  ] as const) {
    phone.fails(code)
    expect(own.position.value).toEqual({ kind: 'none', why })
  }
  phone.stands(-32.86, 36.5, 5)
  expect(own.position.value.kind).toBe('on')
  const without = ownPosition(undefined)
  without.ask()
  expect(without.position.value).toEqual({ kind: 'none', why: 'missing' })
})
