import {
  BROAD_CREST_IDEAL,
  bowlPerimeterShort_m,
  breachOntoWater,
  channelFreeboard_m,
  suddenBreach,
  vNotchFlow_m3s,
  weirFlow_m3s,
  wetted,
} from 'soakline/earthworks'
import { InputError, seededRandom } from 'soakline/foundation'
import { describe, expect, test } from 'vitest'

const random = seededRandom(8)
const within = (low: number, high: number): number => low + (high - low) * random.uniform()
const GRAVITY = 9.81

describe('a sudden breach onto water', () => {
  test('law: water and momentum are kept across the front; the depth lies between', () => {
    for (let k = 0; k < 200; k++) {
      const stood = within(0.05, 3)
      const below = stood * within(0.001, 0.99)
      const { depth_m: m, velocity_ms: u, front_ms: s } = breachOntoWater(stood, below)
      expect(m).toBeGreaterThan(below)
      expect(m).toBeLessThan(stood)
      expect(u).toBeGreaterThan(0)
      expect(s).toBeGreaterThan(u)
      // In the frame of the front: water (s) below = (s − u) m; momentum g (m² − below²)/2 = below s u.
      expect(((s - u) * m) / (s * below)).toBeCloseTo(1, 8)
      expect((GRAVITY * (m * m - below * below)) / 2 / (below * s * u)).toBeCloseTo(1, 7)
      // Behind: the speed gained is twice the fall of the wave speed (Ritter's fan).
      expect(u / (2 * (Math.sqrt(GRAVITY * stood) - Math.sqrt(GRAVITY * m)))).toBeCloseTo(1, 9)
    }
  })

  test('less water below: a faster run, a lower step; its flow at the opening nears that onto dry ground', () => {
    let before = breachOntoWater(1, 0.9)
    for (const below of [0.5, 0.2, 0.05, 0.01]) {
      const next = breachOntoWater(1, below)
      expect(next.velocity_ms).toBeGreaterThan(before.velocity_ms)
      expect(next.depth_m).toBeLessThan(before.depth_m)
      before = next
    }
    expect(before.velocity_ms).toBeLessThan(suddenBreach(1).front_ms)
    // Over 0.138 of the depth the opening itself is drowned: less runs through than onto dry ground.
    const drowned = breachOntoWater(1, 0.5)
    expect(drowned.depth_m * drowned.velocity_ms).toBeLessThan(suddenBreach(1).flow_m2s)
  })

  test('refusals', () => {
    for (const [stood, below] of [
      [1, 0],
      [1, 1],
      [1, 2],
      [Number.NaN, 0.1],
      [Infinity, 0.1],
    ] as const)
      expect(() => breachOntoWater(stood, below)).toThrow(InputError)
  })
})

test('a V-notch: nothing without head, 2^2.5 of it at twice the head, more than a broad crest of the same V', () => {
  expect(vNotchFlow_m3s(0)).toBe(0)
  expect(vNotchFlow_m3s(0.2) / vNotchFlow_m3s(0.1)).toBeCloseTo(2 ** 2.5, 12)
  expect(vNotchFlow_m3s(0.1, 2)).toBeCloseTo(2 * vNotchFlow_m3s(0.1), 15)
  const broad = weirFlow_m3s({ crest_m: 0, length_m: 0, coefficient: BROAD_CREST_IDEAL, sideSlope_ratio: 1 }, 0.1)
  expect(vNotchFlow_m3s(0.1)).toBeGreaterThan(broad)
  expect(() => vNotchFlow_m3s(-0.1)).toThrow(InputError)
  expect(() => vNotchFlow_m3s(0.1, 0)).toThrow(InputError)
})

test('the short perimeter of a bowl is never shorter than the arc, by less than 1.7 %, and is not given where it is not meant', () => {
  for (let k = 0; k < 200; k++) {
    const topWidth_m = within(0.5, 6)
    const depth_m = (topWidth_m / 4) * random.uniform()
    const short = bowlPerimeterShort_m(topWidth_m, depth_m)!
    const { perimeter_m } = wetted({ form: 'bowl', topWidth_m, depth_m }, depth_m)
    expect(short).toBeGreaterThanOrEqual(perimeter_m * (1 - 1e-12))
    expect(short).toBeLessThan(perimeter_m * 1.017)
  }
  expect(bowlPerimeterShort_m(2, 0.51)).toBeNull()
})

test('freeboard: about 0.15 m where tranquil, the depth itself where it shoots, if that is more', () => {
  expect([channelFreeboard_m(0.1, 1), channelFreeboard_m(0.1, 1.01), channelFreeboard_m(0.5, 2)]).toEqual([0.15, 0.15, 0.5])
  expect(() => channelFreeboard_m(Number.NaN, 1)).toThrow(InputError)
})
