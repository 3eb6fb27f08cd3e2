import { studyWater } from 'soakline/hydrology'
import { type Point, surfaceValue } from 'soakline/raster'
import { belowBerm, dugGround, type FlowGround, flowAlong, forestRun_m, overflowInFull, type SiteFeature } from 'soakline/siting'
import { describe, expect, test } from 'vitest'
import { gridOf, heading, lineAcross, plane, type Surface, vValley } from '../../../../tests/helpers/surfaces.js'
import { areaFeature, cabin, dugAlong, lineFeature } from './dug-scenes.js'

const on = (surface: Surface, width: number, height: number): FlowGround => {
  const grid = gridOf(width, height, 1, surface)
  const height_m = (place: Point): number => surfaceValue(grid, place)
  return { cell_m: 1, height_m, brim_m: height_m }
}

describe('Manning on exact ground', () => {
  // Source: Manning; Chow (1959), Open-Channel Hydraulics: q = (1/n) y^(5/3) S^(1/2) per metre of a wide strip.
  for (const [azimuth, fall, flow, over] of [
    [180, 0.1, 0.05, 4],
    [133, 0.05, 0.2, 10],
    [90, 0.2, 0.01, 1.5],
  ] as const)
    test(`a plane of ${fall} that falls towards ${azimuth}°: the hand formula of a wide strip`, () => {
      const [east, north] = heading(azimuth)
      const path: Point[] = [
        [50 - 20 * east, 50 - 20 * north],
        [50 + 20 * east, 50 + 20 * north],
      ]
      const along = flowAlong(on(plane(azimuth, fall, [50, 50]), 100, 100), path, flow, over)
      expect(along.length).toBeGreaterThan(15)
      for (const { form, slope_ratio, bare, grassed } of along) {
        expect(form).toBe('sheet')
        expect(slope_ratio).toBeCloseTo(fall, 4)
        for (const [n, water] of [
          [0.02, bare],
          [0.07, grassed],
        ] as const) {
          expect(((1 / n) * water.depth_m ** (5 / 3) * Math.sqrt(slope_ratio)) / (flow / over)).toBeCloseTo(1, 6)
          expect(water.velocity_ms * water.depth_m * over).toBeCloseTo(flow, 8)
          expect(water.width_m).toBe(over)
        }
      }
    })

  // Source: Chow (1959): triangle of side slope z, A = z y², P = 2 y √(1 + z²), Q = A R^(2/3) S^(1/2) / n.
  for (const [side, fall, flow] of [
    [0.1, 0.05, 0.1],
    [0.25, 0.02, 0.3],
  ] as const)
    test(`a valley with sides of ${side}: the triangular section's normal depth`, () => {
      const ground = on(vValley(180, side, fall, [50.5, 50]), 101, 100)
      const along = flowAlong(
        ground,
        [
          [50.5, 80],
          [50.5, 20],
        ],
        flow,
        1,
      )
      const z = 1 / side
      for (const { form, bare, grassed } of along) {
        expect(form).toBe('banked')
        for (const [n, water] of [
          [0.02, bare],
          [0.07, grassed],
        ] as const) {
          const y = (((flow * n) / (z * Math.sqrt(fall))) * ((2 * Math.sqrt(1 + z * z)) / z) ** (2 / 3)) ** (3 / 8)
          expect(water.depth_m / y).toBeGreaterThan(0.999)
          expect(water.depth_m / y).toBeLessThan(1.001)
          expect(water.width_m! / (2 * z * y)).toBeCloseTo(1, 2)
        }
      }
    })

  test('more flow stands deeper; a ridge does not hold it; a pool has no speed', () => {
    const valley = on(vValley(180, 0.1, 0.05, [50.5, 50]), 101, 100)
    const path: Point[] = [
      [50.5, 80],
      [50.5, 20],
    ]
    const depths = [0.02, 0.05, 0.1, 0.4].map(flow => flowAlong(valley, path, flow, 1)[5]!.bare.depth_m)
    for (let k = 1; k < depths.length; k++) expect(depths[k]!).toBeGreaterThan(depths[k - 1]!)
    const ridge = on((x, y) => 100 + 0.05 * y - 0.1 * Math.abs(x - 50.5), 101, 100)
    expect(flowAlong(ridge, path, 0.1, 3).every(s => s.form === 'sheet')).toBe(true)
    const pool = { ...valley, brim_m: (p: Point) => valley.height_m(p) + 0.4 }
    const [first] = flowAlong(pool, path, 0.1, 3)
    expect(first).toMatchObject({ form: 'pool', bare: { velocity_ms: 0 } })
    expect(first!.bare.depth_m).toBeCloseTo(0.4, 6)
  })

  test('refusals', () => {
    const ground = on(plane(180, 0.1, [50, 50]), 100, 100)
    const path: Point[] = [
      [50, 60],
      [50, 40],
    ]
    for (const [flow, over] of [
      [-1, 1],
      [Number.NaN, 1],
      [1, 0],
    ] as const)
      expect(() => flowAlong(ground, path, flow, over)).toThrow(expect.objectContaining({ code: 'flow/bad-flow' }))
    expect(flowAlong(ground, [[50, 60]], 1, 1)).toEqual([])
  })
})

describe('a cabin left, right, below, above and just beside the path', () => {
  const base = gridOf(201, 201, 1, plane(180, 0.1, [100.5, 100.5]))
  const study = studyWater(base)
  const dug = dugGround(study, [dugAlong(base, lineAcross(180, [100.5, 100.5], -40, 40), 0.1)])
  const from = belowBerm(dug, 0, 20)!
  const full = (features: readonly SiteFeature[], elevationError_m: number | null = 0.1) =>
    overflowInFull(dug, features, from, 0.05, { elevationError_m, sill_m: 4 })!

  test('left and right at the same distance: the same numbers', () => {
    for (const away of [8, 15, 30]) {
      const [left, right] = [-away, away].map(x => full([cabin([from[0] + x, 60.5])]).passes[0]!)
      for (const side of [left!, right!]) {
        expect(side.distance_m).toBeCloseTo(away - 3, 1)
        expect(side.meets).toBe(false)
      }
      expect(left!.heightAboveFlow_m).toBeCloseTo(right!.heightAboveFlow_m!, 3)
      expect(left!.bandDistance_m).toBeCloseTo(right!.bandDistance_m, 1)
    }
  })

  test('below: met, where geometry says; just beside it by less and by more than half its width: flips within a cell', () => {
    const below = full([cabin([from[0], 60.5])]).passes[0]!
    expect(below).toMatchObject({ kind: 'building', meets: true, distance_m: 0, bandDistance_m: 0 })
    expect(below.chainage_m).toBeCloseTo(from[1] - 63.5, 0)
    for (const side of [-1, 1]) {
      expect(full([cabin([from[0] + side * 2.5, 60.5])]).passes[0]!.meets).toBe(true)
      expect(full([cabin([from[0] + side * 3.5, 60.5])]).passes[0]!.meets).toBe(false)
    }
  })

  test('above: never met, and high over the flow', () => {
    const above = full([cabin([from[0], 160.5])]).passes[0]!
    expect(above.meets).toBe(false)
    expect(above.distance_m).toBeGreaterThan(15)
    expect(above.heightAboveFlow_m).toBeGreaterThan(1)
    expect(above.neededHeight_m).toBeCloseTo(0.2, 9)
    expect(full([cabin([from[0], 160.5])], null).passes[0]!.neededHeight_m).toBe(null)
  })

  test('a floor set higher stands higher over the flow by as much; the flow’s depth is taken off', () => {
    const at: Point = [from[0] + 8, 60.5]
    const [low, high] = [96, 97.5].map(floor => full([cabin(at, 3, floor)]).passes[0]!)
    expect(high!.heightAboveFlow_m! - low!.heightAboveFlow_m!).toBeCloseTo(1.5, 6)
    const answer = full([cabin(at, 3, 97)])
    const depth = Math.max(answer.stations[10]!.bare.depth_m, answer.stations[10]!.grassed.depth_m)
    // Nearest to the cabin the ground of the way lies level with some place of its footprint.
    const ground = 97 - answer.passes[0]!.heightAboveFlow_m! - depth
    expect(ground).toBeGreaterThan(95.5)
    expect(ground).toBeLessThan(96.5)
  })

  test('track, boundary, well, buried line and wood are told in order with their chainage', () => {
    const features = [
      lineFeature('boundary', [
        [0, 30],
        [201, 30],
      ]),
      lineFeature('track', [
        [0, 110],
        [201, 110],
      ]),
      lineFeature('utility', [
        [0, 90],
        [201, 90],
      ]),
      areaFeature('forest', 0, 50, 201, 70),
      { ...lineFeature('well', []), shapes: [{ type: 'point', at: [from[0] + 6, 80] } as const] },
    ]
    const { passes, inForest_m, overflow } = full(features)
    expect(passes.map(p => [p.kind, p.meets])).toEqual([
      ['track', true],
      ['utility', true],
      ['well', false],
      ['forest', true],
      ['boundary', true],
    ])
    const chainages = passes.map(p => p.chainage_m)
    const wanted = [110, 90, 80, 70, 30].map(y => from[1] - y)
    for (const [k, chainage] of chainages.entries()) expect(Math.abs(chainage - wanted[k]!)).toBeLessThan(1)
    expect(passes[2]!.distance_m).toBeCloseTo(6, 1)
    expect(inForest_m).toBeCloseTo(20, 0)
    expect(overflow.endsIn).toBe('forest')
    // Beyond a boundary no wood counts.
    expect(
      forestRun_m(
        [
          [10, 100],
          [10, 0],
        ],
        [
          areaFeature('forest', 0, 0, 20, 50),
          lineFeature('boundary', [
            [0, 30],
            [20, 30],
          ]),
        ],
      ),
    ).toBeCloseTo(20, 0)
  })

  test('exit bare and grassed, and the lengths that the rules ask', () => {
    const { exit, spreader, deepest, fastest } = full([])
    expect(exit!.map(e => e.cover)).toEqual(['bare', 'grass', 'stone'])
    // q 0.0125 m²/s on 10 %: bare y = (q n/√S)^0.6.
    expect(exit![0]!.depth_m).toBeCloseTo(((0.0125 * 0.02) / Math.sqrt(0.1)) ** 0.6, 4)
    expect(spreader.find(s => s.chosen)!.length_m).toBeCloseTo((0.05 * 13) / 0.3048 ** 2, 6)
    expect(deepest!.grassed.depth_m).toBeGreaterThan(fastest!.bare.depth_m)
  })
})
