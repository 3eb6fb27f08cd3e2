import fc from 'fast-check'
import {
  bankDepth_m,
  bareVelocity,
  type ChannelShape,
  criticalDepth_m,
  cubeRoot,
  fifthRoot,
  gradedDrain,
  grassRoughness,
  grassVelocity,
  nonScourVelocity,
  normalDepth_m,
  powerByRoots,
  sheetFlow,
  stoneShear,
  twoThirdsPower,
  uniformFlow,
  wetted,
} from 'soakline/earthworks'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'
import { inverseSinh, inverseTangent } from '../../src/earthworks/arcs.js'
import { leastWhere } from '../../src/earthworks/roots.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

const shapes: fc.Arbitrary<ChannelShape> = fc.oneof(
  fc.record({
    form: fc.constant('trapezoid' as const),
    bedWidth_m: evenly(0, 3),
    sideSlope_ratio: evenly(0.1, 4),
    otherSideSlope_ratio: evenly(0, 4),
  }),
  fc.record({ form: fc.constant('bowl' as const), topWidth_m: evenly(0.5, 6), depth_m: evenly(0.1, 1) }),
  fc.record({ form: fc.constant('arc' as const), topWidth_m: evenly(2.5, 6), depth_m: evenly(0.7, 1.2) }),
  fc.array(fc.record({ run: evenly(0.05, 1), z: evenly(0, 0.6) }), { minLength: 1, maxLength: 6 }).map(pieces => {
    let x = 0
    const bed = pieces.map(({ run, z }): [number, number] => [(x += run), z])
    return { form: 'drawn' as const, points: [[0, 0.9], ...bed, [x + 1, 0.9]] as [number, number][] }
  }),
)

describe('roots and arcs, built from + − × ÷ √', () => {
  test('agree with the engine’s own', () =>
    fc.assert(
      fc.property(evenly(1e-9, 1e9), evenly(0, 4), (x, exponent) => {
        expect(Math.abs(cubeRoot(x) / Math.cbrt(x) - 1)).toBeLessThan(1e-15)
        expect(Math.abs(fifthRoot(x) / x ** 0.2 - 1)).toBeLessThan(1e-14)
        expect(Math.abs(twoThirdsPower(x) / x ** (2 / 3) - 1)).toBeLessThan(1e-14)
        expect(Math.abs(powerByRoots(x, exponent) / x ** exponent - 1)).toBeLessThan(1e-13)
        expect(Math.abs(inverseSinh(x) / Math.asinh(x) - 1)).toBeLessThan(1e-14)
        expect(Math.abs(inverseTangent(x) / Math.atan(x) - 1)).toBeLessThan(1e-14)
      }),
    ))

  test('are exact for cubes and zero, and NaN below zero', () => {
    expect([cubeRoot(8), cubeRoot(27), cubeRoot(0), fifthRoot(32), cubeRoot(1)]).toEqual([2, 3, 0, 2, 1])
    expect(cubeRoot(-1)).toBeNaN()
    expect(powerByRoots(-1, 2)).toBeNaN()
    expect(powerByRoots(3, 2)).toBe(9)
    expect(inverseSinh(-2)).toBe(-inverseSinh(2))
  })
})

describe('the least number at which a rising function is 0 or more', () => {
  const halved = (rises: (x: number) => number, low: number, high: number): number => {
    for (;;) {
      const middle = (low + high) / 2
      if (!(middle > low && middle < high)) return high
      if (rises(middle) < 0) low = middle
      else high = middle
    }
  }

  test('is that of halving the range to the last bit, by less than half of the trials where the function is not level there', () => {
    let [trials, halvings] = [0, 0]
    fc.assert(
      fc.property(evenly(0, 200), evenly(0.01, 3), evenly(0.1, 8), fc.constantFrom(0, 1, 2), (datum, root, width, bend) => {
        const rises = (x: number): number => (x - datum - root) * (1 + bend * (x - datum) * (x - datum))
        const [low, high] = [datum, datum + root + width]
        const counted = (x: number): number => {
          trials++
          return rises(x)
        }
        const slow = (x: number): number => {
          halvings++
          return rises(x)
        }
        expect(leastWhere(counted, low, rises(low), high, rises(high))).toBe(halved(slow, low, high))
      }),
    )
    expect(trials).toBeLessThan(halvings / 2)
  })

  test('and where it is level or upright there', () =>
    fc.assert(
      fc.property(evenly(0.01, 3), evenly(0.1, 8), fc.constantFrom(3, 1 / 3), (root, width, power) => {
        const rises = (x: number): number => (x < root ? -1 : 1) * Math.abs(x - root) ** power
        expect(leastWhere(rises, 0, rises(0), root + width, rises(root + width))).toBe(halved(rises, 0, root + width))
      }),
    ))

  test('is the upper end where nothing lies between the ends, and found where the lower end is 0 too', () => {
    expect(leastWhere(x => x, 1, -1, 1 + Number.EPSILON, 1)).toBe(1 + Number.EPSILON)
    // Water in a triangle: nothing at nothing, below 0 just above it.
    const triangle = (x: number): number => x ** 6 - x
    expect(leastWhere(triangle, 0, triangle(0), 2, triangle(2))).toBeCloseTo(1, 15)
  })
})

describe('sections', () => {
  test('law: the area grows by the width, the perimeter is at least the width, and nothing falls', () =>
    fc.assert(
      fc.property(shapes, evenly(0.05, 0.95), (shape, share) => {
        const depth = share * Math.min(0.6, bankDepth_m(shape))
        const step = 1e-7
        const w = wetted(shape, depth)
        const deeper = wetted(shape, depth + step)
        expect(deeper.area_m2).toBeGreaterThanOrEqual(w.area_m2)
        expect(deeper.width_m).toBeGreaterThanOrEqual(w.width_m - 1e-12)
        expect(deeper.perimeter_m).toBeGreaterThanOrEqual(w.perimeter_m - 1e-12)
        expect(w.perimeter_m).toBeGreaterThanOrEqual(w.width_m - 1e-12)
        const grown = (deeper.area_m2 - w.area_m2) / step
        expect(grown).toBeGreaterThan(w.width_m * (1 - 1e-4) - 1e-6)
        expect(grown).toBeLessThan(deeper.width_m * (1 + 1e-4) + 1e-6)
      }),
      { endOnFailure: true },
    ))

  test('oracle: a trapezoid drawn as points is the trapezoid', () =>
    fc.assert(
      fc.property(evenly(0.2, 3), evenly(0, 4), evenly(0.01, 0.9), (bed, z, depth) => {
        const drawn = wetted(
          {
            form: 'drawn',
            points: [
              [-z, 1],
              [0, 0],
              [bed, 0],
              [bed + z, 1],
            ],
          },
          depth,
        )
        const exact = wetted({ form: 'trapezoid', bedWidth_m: bed, sideSlope_ratio: z }, depth)
        expect(drawn.area_m2).toBeCloseTo(exact.area_m2, 12)
        expect(drawn.perimeter_m).toBeCloseTo(exact.perimeter_m, 12)
        expect(drawn.width_m).toBeCloseTo(exact.width_m, 12)
      }),
    ))

  test('oracle: parabola and arc agree with many chords', () => {
    for (const shape of [
      { form: 'bowl', topWidth_m: 3, depth_m: 0.5 },
      { form: 'arc', topWidth_m: 3, depth_m: 0.5 },
    ] as const) {
      const radius = (9 / 4 + 0.25) / 1
      const bed = (x: number) => (shape.form === 'bowl' ? 0.5 * (x / 1.5) ** 2 : radius - Math.sqrt(radius * radius - x * x))
      const points = Array.from({ length: 4001 }, (_, k): [number, number] => [(k - 2000) / 1250, bed((k - 2000) / 1250)])
      const chords = wetted({ form: 'drawn', points }, 0.4)
      const exact = wetted(shape, 0.4)
      expect(chords.area_m2).toBeCloseTo(exact.area_m2, 5)
      expect(chords.perimeter_m).toBeCloseTo(exact.perimeter_m, 5)
    }
  })

  test('only the pool over the lowest point counts, until the water joins the next', () => {
    const points: [number, number][] = [
      [0, 1],
      [1, 0],
      [2, 0.5],
      [3, 0.1],
      [4, 1],
    ]
    expect(wetted({ form: 'drawn', points }, 0.4).width_m).toBeCloseTo(0.4 + 0.8, 12)
    expect(wetted({ form: 'drawn', points }, 0.6).width_m).toBeGreaterThan(2.5)
    expect(bankDepth_m({ form: 'drawn', points })).toBe(1)
  })

  test('refusals', () => {
    const drawn: ChannelShape = {
      form: 'drawn',
      points: [
        [0, 1],
        [1, 0],
        [2, 0.5],
      ],
    }
    expect(refusalCode(() => wetted(drawn, 0.6))).toBe('channel/over-banks')
    expect(refusalCode(() => wetted(drawn, -1))).toBe('channel/bad-depth')
    expect(refusalCode(() => wetted(drawn, Number.NaN))).toBe('channel/bad-depth')
    expect(
      refusalCode(() =>
        wetted(
          {
            form: 'drawn',
            points: [
              [1, 1],
              [0, 0],
              [2, 1],
            ],
          },
          0.1,
        ),
      ),
    ).toBe('channel/bad-shape')
    expect(refusalCode(() => wetted({ form: 'trapezoid', bedWidth_m: 0, sideSlope_ratio: 0 }, 0.1))).toBe('channel/bad-shape')
    expect(refusalCode(() => wetted({ form: 'arc', topWidth_m: 1, depth_m: 0.6 }, 0.1))).toBe('channel/bad-shape')
    expect(refusalCode(() => wetted({ form: 'arc', topWidth_m: 2, depth_m: 0.4 }, 2))).toBe('channel/over-banks')
    expect(refusalCode(() => wetted({ form: 'bowl', topWidth_m: 0, depth_m: 0.4 }, 0.1))).toBe('channel/bad-shape')
  })
})

describe('even flow', () => {
  test('law: the normal depth carries the flow; at the critical depth the Froude number is 1', () =>
    fc.assert(
      fc.property(shapes, evenly(0.001, 0.02), evenly(0.001, 0.1), evenly(0.015, 0.1), (shape, flow, fall_ratio, roughness) => {
        if (shape.form === 'drawn') return
        const channel = { shape, fall_ratio, roughness }
        const carried = uniformFlow(channel, normalDepth_m(channel, flow)).flow_m3s
        expect(Math.abs(carried / flow - 1)).toBeLessThan(1e-9)
        const critical = wetted(shape, criticalDepth_m(shape, flow))
        expect(Math.abs(flow / critical.area_m2 / Math.sqrt((9.81 * critical.area_m2) / critical.width_m) - 1)).toBeLessThan(1e-9)
      }),
    ))

  test('a very wide channel runs as a sheet', () => {
    const channel = { shape: { form: 'trapezoid', bedWidth_m: 1e5, sideSlope_ratio: 0 }, fall_ratio: 0.02, roughness: 0.03 } as const
    expect(normalDepth_m(channel, 1e5 * 0.05) / sheetFlow(0.05, 0.02, 0.03).depth_m).toBeCloseTo(1, 4)
  })

  test('a bare bed 1 m wide at 1 % and 0.3 m deep runs about 1.4 m/s (worked by hand: n 0.025, sides 1.5:1)', () => {
    const flow = uniformFlow({ shape: { form: 'trapezoid', bedWidth_m: 1, sideSlope_ratio: 1.5 }, fall_ratio: 0.01, roughness: 0.025 }, 0.3)
    expect(flow.velocity_ms).toBeCloseTo(1.41, 2)
    expect(flow.velocity_ms).toBeGreaterThan(bareVelocity('firm-loam').value)
  })

  test('refusals', () => {
    const channel = { shape: { form: 'trapezoid', bedWidth_m: 1, sideSlope_ratio: 1 }, fall_ratio: 0.01, roughness: 0.03 } as const
    expect(refusalCode(() => uniformFlow({ ...channel, fall_ratio: 0 }, 0.1))).toBe('channel/bad-fall')
    expect(refusalCode(() => uniformFlow({ ...channel, fall_ratio: 1.1 }, 0.1))).toBe('channel/bad-fall')
    expect(refusalCode(() => uniformFlow({ ...channel, roughness: 0.005 }, 0.1))).toBe('channel/bad-roughness')
    expect(refusalCode(() => normalDepth_m(channel, -1))).toBe('channel/bad-flow')
    expect(
      refusalCode(() =>
        normalDepth_m(
          {
            ...channel,
            shape: {
              form: 'drawn',
              points: [
                [0, 0.2],
                [1, 0],
                [2, 0.2],
              ],
            },
          },
          5,
        ),
      ),
    ).toBe('channel/flow-over-banks')
    expect(normalDepth_m(channel, 0)).toBe(0)
  })
})

describe('a drain that leads water away', () => {
  const design = {
    flow_m3s: 0.2,
    bedWidth_m: 1,
    sideSlope_ratio: 1.5,
    fall_ratio: 0.01,
    roughnessTall: 0.08,
    roughnessBare: 0.022,
    permissible_ms: bareVelocity('firm-loam').value,
    freeboard_m: 0.15,
  }
  test('1 % is too steep for a bare loam bed; the steepest fall named is just right', () => {
    const drain = gradedDrain(design)
    expect(drain.bedHolds).toBe(false)
    expect(drain.steepestFall_ratio).toBeLessThan(0.004)
    const gentle = gradedDrain({ ...design, fall_ratio: drain.steepestFall_ratio })
    expect(gentle.bedHolds).toBe(true)
    expect(gentle.velocity_ms).toBeCloseTo(design.permissible_ms, 6)
    const wide = gradedDrain({ ...design, bedWidth_m: drain.narrowestBed_m ?? Number.NaN })
    expect(wide.velocity_ms).toBeCloseTo(design.permissible_ms, 6)
  })

  test('law: the depth comes from the tall growth, the velocity from the bare bed; steeper is faster and shallower', () =>
    fc.assert(
      fc.property(evenly(0.0005, 0.05), evenly(1.1, 3), (fall_ratio, times) => {
        const a = gradedDrain({ ...design, fall_ratio })
        const b = gradedDrain({ ...design, fall_ratio: fall_ratio * times })
        expect(b.velocity_ms).toBeGreaterThan(a.velocity_ms)
        expect(b.depth_m).toBeLessThan(a.depth_m)
        expect(a.digDepth_m).toBeCloseTo(a.depth_m + 0.15, 12)
      }),
      { numRuns: 15 },
    ))

  test('refusals', () => {
    expect(refusalCode(() => gradedDrain({ ...design, flow_m3s: 0 }))).toBe('drain/bad-design')
    expect(refusalCode(() => gradedDrain({ ...design, roughnessBare: 0.09 }))).toBe('drain/bad-design')
    expect(refusalCode(() => gradedDrain({ ...design, freeboard_m: -1 }))).toBe('drain/bad-design')
  })
})

describe('what covers bear', () => {
  test('a cover that a rule does not use on a slope has no number; the two rules disagree about reed canarygrass', () => {
    expect(grassVelocity('tp-61', 'lespedeza-lovegrass-alfalfa', 'resistant', 0.07)).toBeNull()
    const tp61 = grassVelocity('tp-61', 'grass-mixture-canarygrass', 'erodible', 0.04)!
    const kansas = grassVelocity('kansas-5-40-56', 'sod-grasses-canarygrass', 'erodible', 0.04)!
    expect(kansas.value).toBeGreaterThan(tp61.value)
    expect(tp61.source).toContain('TP-61')
    expect(refusalCode(() => grassVelocity('tp-61', 'moss' as never, 'erodible', 0.04))).toBe('channel/unknown-cover')
    expect(refusalCode(() => grassVelocity('tp-61', 'bermudagrass', 'erodible', Number.NaN))).toBe('channel/bad-fall')
  })

  test('the non-scour table says nothing about thin water', () => {
    expect(nonScourVelocity('sandy-loam-light', 0.3)).toBeNull()
    expect(nonScourVelocity('sandy-loam-light', 0.7)!.value).toBeGreaterThan(3.1 * 0.3048)
    expect(nonScourVelocity('sandy-loam-light', 4)).toBeNull()
  })

  test('outside their limits the rules refuse', () => {
    expect(refusalCode(() => stoneShear(0.01))).toBe('channel/bad-stone')
    expect(stoneShear(0.1524).value).toBeCloseTo(95.76, 1)
    expect(refusalCode(() => grassRoughness(3, 'C'))).toBe('channel/retardance-outside')
    expect(refusalCode(() => grassRoughness(0.001, 'C'))).toBe('channel/retardance-outside')
  })
})
