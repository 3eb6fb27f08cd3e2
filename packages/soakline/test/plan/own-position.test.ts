import fc from 'fast-check'
import { type Place, ringOnEarth, stepOnEarth, wayToStake, windOf } from 'soakline/plan'
import { expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'

fc.configureGlobal({ seed: 1 })

/** A place in space: earth-centred coordinates on the ellipsoid of WGS 84, by its defining constants. Another way to the same step than radii of curvature. */
function inSpace([lon, lat]: Place): readonly [number, number, number] {
  const [a, f] = [6_378_137, 1 / 298.257223563]
  const [l, p] = [(lon * Math.PI) / 180, (lat * Math.PI) / 180]
  const e2 = f * (2 - f)
  const n = a / Math.sqrt(1 - e2 * Math.sin(p) ** 2)
  return [n * Math.cos(p) * Math.cos(l), n * Math.cos(p) * Math.sin(l), n * (1 - e2) * Math.sin(p)]
}

/** East and north of a chord, seen from half-way between the two places. */
function chord(from: Place, to: Place): { readonly east_m: number; readonly north_m: number } {
  const [a, b] = [inSpace(from), inSpace(to)]
  const d = [b[0] - a[0], b[1] - a[1], b[2] - a[2]] as const
  const [l, p] = [((from[0] + to[0]) / 2) * (Math.PI / 180), ((from[1] + to[1]) / 2) * (Math.PI / 180)]
  return {
    east_m: -Math.sin(l) * d[0] + Math.cos(l) * d[1],
    north_m: -Math.sin(p) * Math.cos(l) * d[0] - Math.sin(p) * Math.sin(l) * d[1] + Math.cos(p) * d[2],
  }
}

const place = fc.tuple(evenly(-180, 179), evenly(-70, 70))
const near = fc.tuple(evenly(-0.02, 0.02), evenly(-0.02, 0.02))

test('law: a step of up to some 3 km is that of the chord in space, within a millimetre; back again is the opposite', () =>
  fc.assert(
    fc.property(place, near, ([lon, lat], [dx, dy]) => {
      const [from, to]: Place[] = [
        [lon, lat],
        [lon + dx, lat + dy],
      ]
      const step = stepOnEarth(from!, to!)
      const other = chord(from!, to!)
      expect(Math.abs(step.east_m - other.east_m)).toBeLessThan(1e-3)
      expect(Math.abs(step.north_m - other.north_m)).toBeLessThan(1e-3)
      const back = stepOnEarth(to!, from!)
      expect(back.east_m).toBeCloseTo(-step.east_m, 9)
      expect(back.north_m).toBeCloseTo(-step.north_m, 9)
    }),
    { numRuns: 200 },
  ))

test('handbook: one minute of latitude is 1842.9 m at the equator and 1861.6 m near the poles, one of longitude 1855.3 m at the equator (from memory: Bowditch)', () => {
  expect(stepOnEarth([10, -1 / 120], [10, 1 / 120]).north_m).toBeCloseTo(1842.9, 1)
  expect(stepOnEarth([10, 89.9], [10, 89.9 + 1 / 60]).north_m).toBeCloseTo(1861.6, 0)
  expect(stepOnEarth([10, 0], [10 + 1 / 60, 0]).east_m).toBeCloseTo(1855.3, 1)
})

test('across the line of dates the short way is taken', () => {
  expect(stepOnEarth([179.9999, 10], [-179.9999, 10]).east_m).toBeCloseTo(21.93, 1)
})

test('every corner of the circle is as far away as the device may err', () => {
  const at: Place = [-32.86, 36.5]
  const ring = ringOnEarth(at, 12)
  expect(ring[0]).toEqual(ring.at(-1))
  for (const corner of ring) {
    const { east_m, north_m } = stepOnEarth(at, corner)
    expect(Math.hypot(east_m, north_m)).toBeCloseTo(12, 3)
  }
})

const HERE: Place = [-32.86, 36.5]
/** Places so many metres east and north of HERE, by the lengths of a degree there. */
const off = (east: number, north: number): Place => {
  const { east_m, north_m } = stepOnEarth([HERE[0], HERE[1]], [HERE[0] + 1e-3, HERE[1] + 1e-3])
  return [HERE[0] + (east / east_m) * 1e-3, HERE[1] + (north / north_m) * 1e-3]
}

test('a stake 30 m east and 40 m north lies 50 m away, 37° from north', () => {
  const way = wayToStake({ at: HERE, accuracy_m: 4 }, off(30, 40), 10, 0.1)
  expect(way.state).toBe('walk')
  expect(way.distance_m!).toBeCloseTo(50, 2)
  expect(way.bearing_deg!).toBeCloseTo(36.87, 2)
  // 4 m of doubt on a slope of 1 in 10 are 0.4 m of level.
  expect(way.levelDoubt_m).toBeCloseTo(0.4, 9)
})

test('failure 92: a device that is not sure, or less sure than the limit, leads nowhere', () => {
  for (const [accuracy_m, state] of [
    [null, 'unknown'],
    [Number.NaN, 'unknown'],
    [-1, 'unknown'],
    [10.01, 'too-rough'],
    [Number.POSITIVE_INFINITY, 'too-rough'],
  ] as const) {
    const way = wayToStake({ at: HERE, accuracy_m }, off(30, 40), 10, 0.1)
    expect(way).toMatchObject({ state, distance_m: null, bearing_deg: null })
  }
  expect(wayToStake({ at: [Number.NaN, 36.5], accuracy_m: 3 }, off(30, 40), 10, 0.1).state).toBe('unknown')
  expect(wayToStake({ at: HERE, accuracy_m: 10 }, off(30, 40), 10, null)).toMatchObject({ state: 'walk', levelDoubt_m: null })
})

test('within what the device can tell, it says that one is there and no more', () => {
  expect(wayToStake({ at: HERE, accuracy_m: 5 }, off(3, 3.9), 10, 0.1).state).toBe('here')
  expect(wayToStake({ at: HERE, accuracy_m: 5 }, off(3, 4.1), 10, 0.1).state).toBe('walk')
  expect(wayToStake({ at: HERE, accuracy_m: 5 }, HERE, 10, 0.1)).toMatchObject({ state: 'here', distance_m: 0, bearing_deg: null })
})

test('the eight winds lie about their bearings', () => {
  expect([0, 22.4, 22.6, 90, 180, 270, 337.4, 337.6, 359.9].map(windOf)).toEqual([0, 0, 1, 2, 4, 6, 7, 0, 0])
})
