import fc from 'fast-check'
import { backwater, crossSection, type DitchPlace, ditchChannel, evenDitch, waterAtStakes } from 'soakline/earthworks'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'

fc.configureGlobal({ seed: 1, numRuns: 25 })

const bed = { form: 'trapezoid', bedWidth_m: 1, sideSlope_ratio: 1.5 } as const
const rise = (length_m: number, flow: number, level: number, n: number) =>
  backwater(evenDitch(bed, length_m, flow, 5), level, n).at(-1)!.level_m - level

test('0.25 m³/s along a bed of 1 m, sides 1.5:1, n 0.08, 0.4 m deep at the outlet: 0.12 m higher after 100 m, 0.18 m after 200 m (worked apart)', () => {
  expect(rise(100, 0.25, 0.4, 0.08)).toBeCloseTo(0.12, 2)
  expect(rise(200, 0.25, 0.4, 0.08)).toBeCloseTo(0.18, 2)
})

test('oracle: the differential equation of flow that grows along the way, in steps of 2 mm', () => {
  // dy/dx = (Sf + 2 Q q / (g A²)) / (1 − Q² T / (g A³)) going upstream on a level bed, q = Q₀/L.
  const length = 100
  let y = 0.4
  const dx = 0.002
  const at = (x: number, depth: number): number => {
    const q = 0.25 * (1 - x / length)
    const area = depth + 1.5 * depth * depth
    const perimeter = 1 + 2 * depth * Math.sqrt(3.25)
    const friction = ((q * 0.08) / (area * (area / perimeter) ** (2 / 3))) ** 2
    return (friction + (2 * q * (0.25 / length)) / (9.81 * area * area)) / (1 - (q * q * (1 + 3 * depth)) / (9.81 * area ** 3))
  }
  for (let x = 0; x < length - dx / 2; x += dx) {
    const half = y + (at(x, y) * dx) / 2
    y += at(x + dx / 2, half) * dx
  }
  expect(rise(100, 0.25, 0.4, 0.08)).toBeCloseTo(y - 0.4, 4)
})

test('law: still water lies level; more flow or more growth never stands lower; the water rises upstream', () =>
  fc.assert(
    fc.property(evenly(0.02, 0.2), evenly(0.3, 0.6), evenly(0.02, 0.1), evenly(1.05, 2), (flow, level, n, times) => {
      expect(rise(60, 0, level, n)).toBeCloseTo(0, 12)
      expect(rise(60, flow * times, level, n)).toBeGreaterThan(rise(60, flow, level, n))
      if (n * times <= 0.5) expect(rise(60, flow, level, n * times)).toBeGreaterThan(rise(60, flow, level, n))
      const levels = backwater(evenDitch(bed, 60, flow, 5), level, n).map(w => w.level_m)
      for (let k = 1; k < levels.length; k++) expect(levels[k]!).toBeGreaterThanOrEqual(levels[k - 1]! - 1e-4)
    }),
  ))

test('a falling ditch far from its outlet runs at its normal depth', () => {
  const places: DitchPlace[] = Array.from({ length: 61 }, (_, k) => ({
    distance_m: 5 * k,
    bed_m: 5 * k * 0.005,
    shape: bed,
    flow_m3s: 0.2,
  }))
  const far = backwater(places, 0.6, 0.05).at(-1)!
  const q = (d: number) => ((d + 1.5 * d * d) ** (5 / 3) / (1 + 2 * d * Math.sqrt(3.25)) ** (2 / 3)) * (Math.sqrt(0.005) / 0.05)
  expect(q(far.depth_m)).toBeCloseTo(0.2, 3)
})

test('where the outlet is too low to hold it, the water passes it at its critical depth', () => {
  const [outlet] = backwater(evenDitch(bed, 50, 0.3, 5), 0.05, 0.05)
  expect(outlet!.critical).toBe(true)
  expect(outlet!.froude).toBeCloseTo(1, 6)
  expect(outlet!.depth_m).toBeGreaterThan(0.05)
})

test('freeboard and water against fill are taken at each stake against its own level', () => {
  const section = crossSection(
    {
      bedWidth_m: 1,
      depth_m: 0.3,
      cutSideSlope_ratio: 1.5,
      bermInnerSlope_ratio: 1.5,
      bermOuterSlope_ratio: 2,
      crestWidth_m: 0.5,
      bermPerCut_ratio: 0.9,
      freeboard_m: 0.15,
    },
    0.06,
  )
  const places = evenDitch(ditchChannel(section), 60, 0.05, 10)
  const waters = backwater(places, section.sill_z_m, 0.08)
  const at = waterAtStakes(
    places.map(() => section),
    waters.map(w => w.level_m),
  )
  expect(at.leastFreeboardStake).toBe(6)
  expect(at.leastFreeboard_m).toBeLessThan(section.crest_z_m - section.sill_z_m)
  expect(at.mostAgainstFill_m).toBeCloseTo(waters[6]!.level_m - section.lip_z_m, 12)
  expect(at.stakes[0]!.freeboard_m).toBeCloseTo(0.15, 9)
  expect(refusalCode(() => waterAtStakes([section], []))).toBe('line/bad-levels')
})

describe('refusals', () => {
  test('each has its code', () => {
    const places = evenDitch(bed, 50, 0.1, 5)
    expect(refusalCode(() => backwater(places, -0.1, 0.05))).toBe('backwater/outlet-dry')
    expect(refusalCode(() => backwater(places.slice(1), 0.4, 0.05))).toBe('backwater/bad-places')
    expect(refusalCode(() => backwater(places, 0.4, 5))).toBe('channel/bad-roughness')
    expect(refusalCode(() => evenDitch(bed, 0, 1, 1))).toBe('backwater/bad-places')
    const low = {
      form: 'drawn',
      points: [
        [0, 0.42],
        [1, 0],
        [2, 0],
        [3, 0.42],
      ] as [number, number][],
    } as const
    expect(refusalCode(() => backwater(evenDitch(low, 300, 0.25, 5), 0.4, 0.08))).toBe('backwater/over-banks')
  })
})
