import { InputError } from 'soakline/foundation'
import { crosses, distance_m, type Point, pathLength_m, surfaceValue } from 'soakline/raster'
import { type DiggingLimits, type SmoothedLine, smoothLine } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { arc, cone, gridOf, plane, type Surface } from '../../../../tests/helpers/surfaces.js'

const flat = gridOf(60, 60, 1, () => 100)

/** A line that nothing may ease: the ground is a metre off the level everywhere, so each piece stays as it was given. */
const frozen = (given: readonly Point[], limits: DiggingLimits = {}): SmoothedLine =>
  smoothLine(flat, given, { mostOff_m: 0, levels_m: [99, 99], ...limits })

const refusal = (act: () => unknown): InputError => {
  try {
    act()
  } catch (error) {
    if (error instanceof InputError) return error
    throw error
  }
  throw new Error('not refused')
}

/** Radius of the circle through three places, by their triangle's sides and Heron's area. */
function circle_m(a: Point, b: Point, c: Point): number {
  const [x, y, z] = [distance_m(a, b), distance_m(b, c), distance_m(a, c)]
  const s = (x + y + z) / 2
  return (x * y * z) / (4 * Math.sqrt(Math.max(0, s * (s - x) * (s - y) * (s - z))))
}

const pieces_m = (path: readonly Point[]): number[] => path.slice(1).map((p, k) => distance_m(path[k]!, p))

const turnings: readonly (readonly [string, (p: Point) => Point])[] = [
  ['as drawn', ([x, y]) => [x, y]],
  ['mirrored', ([x, y]) => [60 - x, y]],
  ['upside down', ([x, y]) => [x, 60 - y]],
  ['turned', ([x, y]) => [y, 60 - x]],
]

describe('spacing of vertices', () => {
  const along = (...at: number[]): Point[] => at.map(x => [10 + x, 30])

  test('a line whose vertices have the spacing already keeps its own; a piece of two spacings is divided', () => {
    expect(smoothLine(flat, along(0, 2, 5, 7)).path).toEqual(along(0, 2, 5, 7))
    expect(smoothLine(flat, along(0, 4, 8)).path).toEqual(along(0, 2, 4, 6, 8))
    expect(smoothLine(flat, along(0, 3.9, 7.8)).path).toEqual(along(0, 3.9, 7.8))
  })

  test('vertices too close are strung anew, evenly; a line shorter than two spacings has its ends only', () => {
    const line = smoothLine(flat, along(0, 1, 2, 3, 11))
    expect(line.path.length).toBe(6)
    for (const piece of pieces_m(line.path)) expect(piece).toBeCloseTo(2.2, 12)
    expect(smoothLine(flat, along(0, 1, 3.9)).path).toEqual(along(0, 3.9))
    expect(smoothLine(flat, along(0, 0.5)).path).toEqual(along(0, 0.5))
  })

  test('where a corner leaves two pieces of which one is too short, the ends alone remain', () => {
    const corner: Point[] = [
      [10, 10],
      [11, 10],
      [11, 13.1],
    ]
    const line = smoothLine(flat, corner)
    expect(line.path).toEqual([corner[0], corner[2]])
    expect(line.kept).toEqual([])
  })

  test('where a cut corner leaves a piece too short, one piece fewer remains, though the others had room', () => {
    const corner: Point[] = [
      [10, 10],
      [18.95, 10],
      [18.95, 18.95],
    ]
    // 17.9 m in pieces of at least 3 m: five of 3.58 m. The one across the corner is 2.5 m long.
    const line = smoothLine(flat, corner, { spacing_m: 3, radius_m: 3 })
    expect(line.path.length).toBe(5)
    for (const piece of pieces_m(line.path)) expect(piece).toBeGreaterThanOrEqual(3 - 1e-8)
  })

  test('a zigzag that becomes straight and short has as many vertices as its new length has room for', () => {
    const zigzag: Point[] = Array.from({ length: 21 }, (_, k) => [10 + 1.5 * k, 30 + (k % 2)])
    const line = smoothLine(flat, zigzag)
    const long = pathLength_m(line.path)
    expect(long).toBeLessThan(30.5)
    expect(Math.min(...pieces_m(line.path))).toBeGreaterThan(2 - 1e-8)
    expect(line.path.length - 1).toBeLessThanOrEqual(long / 2.02)
    expect(line.path.length - 1).toBeGreaterThan(long / 2.6)
    expect(line.tightBends).toEqual([])
  })
})

describe('radius of bends', () => {
  const corner: Point[] = [
    [10, 40],
    [30, 40],
    [30, 20],
  ]

  test.each(turnings)('a right angle, %s, is eased as far as the radius asks and no further', (_, turn) => {
    for (const radius_m of [4, 5, 8]) {
      const { path, tightBends, kept } = smoothLine(flat, corner.map(turn), { radius_m })
      expect(tightBends).toEqual([])
      expect(kept).toEqual([])
      const radii = path.slice(2).map((c, k) => circle_m(path[k]!, path[k + 1]!, c))
      expect(Math.min(...radii)).toBeGreaterThan(radius_m * (1 - 1e-6))
      expect(Math.min(...radii)).toBeLessThan(radius_m / 0.9)
      // Far from the corner the legs are where they were.
      for (const at of [0, 1, path.length - 2, path.length - 1])
        expect(Math.min(...[turn([30, 40])].flatMap(([x, y]) => [Math.abs(path[at]![0] - x), Math.abs(path[at]![1] - y)]))).toBeLessThan(
          1e-9,
        )
    }
  })

  test('turned and mirrored lines give turned and mirrored lines', () => {
    const plain = smoothLine(flat, corner)
    for (const [, turn] of turnings) {
      const { path } = smoothLine(flat, corner.map(turn))
      path.forEach((p, k) => {
        expect(distance_m(p, turn(plain.path[k]!))).toBeLessThan(1e-9)
      })
    }
  })

  test('a bend of the very radius is none too tight', () => {
    const bend = Array.from({ length: 6 }, (_, k): Point => [30 + 5 * Math.cos(k / 2), 30 + 5 * Math.sin(k / 2)])
    const line = frozen(bend, { radius_m: 5 })
    expect(line.path).toEqual(bend)
    expect(line.tightBends).toEqual([])
    const tight = frozen(bend, { radius_m: 5.01 })
    expect(tight.tightBends.length).toBe(1)
    expect(tight.tightBends[0]!.radius_m).toBeCloseTo(5, 9)
  })

  test('of a run of tight bends the shortest is named, with its place; a second run is named apart', () => {
    // Bends at 3, 6 and 9 m: by 36°, 60° and 36°; straight; then one by 45°.
    const turns = [0, 36, 60, 36, 0, 0, -45, 0]
    const path: Point[] = [[10, 20]]
    let heading = 0
    for (const turn of turns) {
      heading += (turn * Math.PI) / 180
      const [x, y] = path[path.length - 1]!
      path.push([x + 3 * Math.cos(heading), y + 3 * Math.sin(heading)])
    }
    const { tightBends, chainage_m } = frozen(path, { spacing_m: 1.6 })
    expect(tightBends.length).toBe(2)
    expect(tightBends[0]!.chainage_m).toBe(chainage_m[2])
    // Two pieces of 3 m that turn by 60° lie on a circle of 1.5 / sin 30°.
    expect(tightBends[0]!.radius_m).toBeCloseTo(3, 9)
    expect(tightBends[1]!.chainage_m).toBe(chainage_m[6])
    expect(tightBends[1]!.radius_m).toBeCloseTo(1.5 / Math.sin(Math.PI / 8), 9)
  })

  test('of bends alike the first is named; a right angle has its circle, one that turns back has none', () => {
    const stairs: Point[] = [
      [10, 10],
      [13, 10],
      [13, 13],
      [16, 13],
      [16, 16],
    ]
    expect(frozen(stairs).tightBends).toEqual([{ chainage_m: 3, radius_m: expect.closeTo(1.5 * Math.SQRT2, 9) }])
    const back: Point[] = [
      [10, 10],
      [13, 10],
      [10.5, 11.5],
    ]
    expect(frozen(back).tightBends).toEqual([{ chainage_m: 3, radius_m: 0 }])
  })
})

describe('height off the level, and stretches that are kept', () => {
  const bent: Point[] = [
    [10, 10],
    [13, 10],
    [16, 11],
    [19, 10],
  ]

  test('on level ground nothing leaves the level: a limit of nothing keeps nothing', () => {
    const line = smoothLine(flat, bent, { mostOff_m: 0 })
    expect(line.kept).toEqual([])
    expect(line.largestHeight_m).toBe(0)
    expect(line.tightBends).toEqual([])
  })

  test('a line kept from end to end is one stretch, as it was given, and says how far off it is', () => {
    const line = frozen(bent)
    expect(line.path).toEqual(bent)
    expect(line.kept).toEqual([{ from_m: 0, to_m: line.chainage_m[3] }])
    expect(line.largestHeight_m).toBe(1)
    expect(line.largestPlan_m).toBe(0)
    expect([...line.cut_m]).toEqual([1, 1, 1, 1])
  })

  test('two bumps on level ground: a stretch kept at each, on the given line at both its ends, and smooth between them', () => {
    const bumps: Surface = (x, y) =>
      100 + Math.max(0, 1 - Math.hypot(x - 20.5, y - 29.5) / 2) + Math.max(0, 1 - Math.hypot(x - 40.5, y - 29.5) / 2)
    const ground = gridOf(60, 60, 1, bumps)
    const line = smoothLine(ground, [
      [5, 29.5],
      [55, 29.5],
    ])
    expect(line.kept.length).toBe(2)
    const [first, second] = line.kept
    for (const [k, at] of [
      [first!, 15.5],
      [second!, 35.5],
    ] as const) {
      expect(k.from_m).toBeLessThan(at - 1.7)
      expect(k.to_m).toBeGreaterThan(at + 1.7)
      expect(k.to_m - k.from_m).toBeLessThan(9)
    }
    expect(line.largestHeight_m).toBeCloseTo(1, 9)
  })

  test('a tight corner over a bump: what is kept runs through the given corner, the rest begins and ends on the given line', () => {
    const ground = gridOf(60, 60, 1, (x, y) => 100 + 0.4 * Math.max(0, 4 - Math.hypot(x - 27, y - 37)))
    const corner: Point[] = [
      [10, 40],
      [30, 40],
      [30, 20],
    ]
    const line = smoothLine(ground, corner)
    for (const { from_m, to_m } of line.kept)
      for (const at of [from_m, to_m]) {
        const [x, y] = line.path[line.chainage_m.indexOf(at)]!
        expect(Math.min(Math.abs(x - 30), Math.abs(y - 40))).toBeLessThan(1e-9)
      }
    for (let k = 1; k < line.path.length; k++) {
      const [a, b] = [line.path[k - 1]!, line.path[k]!]
      const at = (line.chainage_m[k - 1]! + line.chainage_m[k]!) / 2
      if (line.kept.some(({ from_m, to_m }) => at > from_m && at < to_m)) continue
      for (let t = 0; t <= 1; t += 0.05)
        expect(Math.abs(surfaceValue(ground, [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]) - 100)).toBeLessThanOrEqual(0.15 + 1e-9)
    }
  })

  test('on a slope a bend is eased as far as the height allows: nothing need be kept, and what stays tight is said', () => {
    const ground = gridOf(60, 60, 1, plane(0, 0.1, [30, 30]))
    // A tooth of 2 m on a level line: its top would have to come down by more than a metre, 0.15 m of height are 1.5 m of way.
    const tooth: Point[] = [
      [10, 30],
      [28, 30],
      [30, 32],
      [32, 30],
      [50, 30],
    ]
    const wide = smoothLine(ground, tooth, { mostOff_m: 0.15 })
    const none = smoothLine(ground, tooth, { mostOff_m: 0.21 })
    expect(none.kept).toEqual([])
    expect(none.tightBends).toEqual([])
    for (const p of none.path) expect(p[1]).toBeGreaterThan(29)
    expect(wide.path[0]).toEqual(tooth[0])
    expect(wide.path[wide.path.length - 1]).toEqual(tooth[4])
  })
})

describe('lines that meet or cross themselves', () => {
  // The last piece crosses the first one; its end has the same x as its beginning. All pieces are 2 to 4 m, all bends wider than 1.7 m.
  const loop: Point[] = [
    [20, 30],
    [23, 30],
    [25.1, 27.9],
    [25.1, 24.9],
    [23, 22.8],
    [20.3, 23.5],
    [20.8, 26.1],
    [21.5, 28.7],
    [20, 31.3],
  ]
  const limits = { radius_m: 1.7, spacing_m: 1.7 }

  test.each(turnings)('a loop whose last piece crosses its first, %s: both are kept and named, whichever way it is walked', (_, turn) => {
    for (const given of [loop.map(turn), loop.map(turn).reverse()]) {
      const line = smoothLine(flat, given, limits)
      expect(line.path).toEqual(given)
      expect(line.kept).toEqual([
        { from_m: 0, to_m: line.chainage_m[1] },
        { from_m: line.chainage_m[7], to_m: line.chainage_m[8] },
      ])
    }
  })

  test.each(turnings)('a ring, %s, stays a ring: that its ends meet is no crossing', (_, turn) => {
    const ring = Array.from(
      { length: 13 },
      (_, k): Point => [30 + 5.5 * Math.cos(((k % 12) * Math.PI) / 6), 30 + 5.5 * Math.sin(((k % 12) * Math.PI) / 6)],
    )
    const line = smoothLine(flat, ring.map(turn))
    expect(line.path).toEqual(ring.map(turn))
    expect(line.kept).toEqual([])
    expect(line.largestPlan_m).toBe(0)
  })

  test.each(turnings)('a ring that crosses itself, %s: the crossing pieces are kept, also the first and the last', (_, turn) => {
    // From the crossing's west side round by the east and home: eight pieces, of which the first crosses the sixth.
    const home: Point[] = [...loop.slice(0, 8), [20, 31.3], [18, 32.5], [16.2, 30.5], [17.5, 28.6], [20, 30]]
    for (const given of [home.map(turn), home.map(turn).reverse()]) {
      const line = smoothLine(flat, given, limits)
      const crossing: number[] = []
      for (let j = 2; j < given.length - 1; j++)
        for (let i = 0; i < j - 1; i++)
          if (!(i === 0 && j === given.length - 2) && crosses(given[i]!, given[i + 1]!, given[j]!, given[j + 1]!)) crossing.push(i, j)
      expect(crossing.length).toBe(2)
      expect(crossing.some(k => k === 0 || k === given.length - 2)).toBe(true)
      expect(line.path).toEqual(given)
      expect(line.kept).toEqual(crossing.sort((a, b) => a - b).map(k => ({ from_m: line.chainage_m[k], to_m: line.chainage_m[k + 1] })))
    }
  })
})

describe('ends and refusals', () => {
  test.each([
    ['east', [59.5 + 1e-14, 30], [40, 30]],
    ['west', [0.5 - 1e-14, 30], [20, 30]],
    ['north', [30, 59.5 + 1e-14], [30, 40]],
    ['south', [30, 0.5 - 1e-14], [30, 20]],
  ] as [string, Point, Point][])(
    'an end on the outermost cell centres of the %s side, beyond them by a rounding, has the ground there',
    (_, end, inner) => {
      const ground = gridOf(60, 60, 1, (x, y) => x + 2 * y)
      expect(surfaceValue(ground, end)).toBeNaN()
      for (const [given, k] of [
        [[end, inner], 0],
        [[inner, end], 1],
      ] as [Point[], 0 | 1][]) {
        const line = smoothLine(ground, given, { mostOff_m: 100 })
        const last = line.path.length - 1
        expect(line.ground_m[k * last]).toBeCloseTo(end[0] + 2 * end[1], 4)
        expect(line.level_m[k * last]).toBe(line.ground_m[k * last])
        expect(line.ground_m[(1 - k) * last]).toBeCloseTo(inner[0] + 2 * inner[1], 4)
      }
    },
  )

  test('each setting is refused by itself, and its own limit taken', () => {
    const given: Point[] = [
      [10, 30],
      [40, 30],
    ]
    const wrong: DiggingLimits[] = [
      { radius_m: 0 },
      { radius_m: -5 },
      { radius_m: Number.NaN },
      { radius_m: Number.POSITIVE_INFINITY },
      { spacing_m: 0 },
      { spacing_m: -2 },
      { spacing_m: 5.01 },
      { spacing_m: Number.NaN },
      { mostOff_m: -0.01 },
      { mostOff_m: Number.NaN },
      { mostOff_m: Number.POSITIVE_INFINITY },
    ]
    for (const limits of wrong) {
      const error = refusal(() => smoothLine(flat, given, limits))
      expect(error.code).toBe('smooth/setting')
      expect(error.details).toEqual({ radius_m: 5, spacing_m: 2, mostOff_m: 0.15, ...limits })
    }
    for (const limits of [{ spacing_m: 5 }, { radius_m: 2 }, { mostOff_m: 0 }]) expect(smoothLine(flat, given, limits).kept).toEqual([])
  })

  test('a line without two places, or with a place that is no place, and an end without ground: refused, with what was given', () => {
    for (const given of [
      [],
      [[3, 3]],
      [
        [3, 3],
        [3, 3],
      ],
      [
        [3, 3],
        [Number.POSITIVE_INFINITY, 3],
      ],
      [
        [3, 3],
        [3, Number.NaN],
      ],
    ] as Point[][]) {
      const error = refusal(() => smoothLine(flat, given, { levels_m: [100, 100] }))
      expect(error.code).toBe('smooth/line')
      expect(error.details).toEqual({ vertices: given.length })
    }
    const out: Point[] = [
      [10, 30],
      [20, 30],
      [70, 30],
    ]
    const error = refusal(() => smoothLine(flat, out))
    expect(error.code).toBe('smooth/no-ground')
    expect(error.details).toEqual({ first: out[0], last: out[2] })
    expect(refusal(() => smoothLine(flat, [...out].reverse())).code).toBe('smooth/no-ground')
    for (const levels_m of [
      [Number.NaN, 100],
      [100, Number.NaN],
      [100, Number.POSITIVE_INFINITY],
    ] as [number, number][])
      expect(refusal(() => smoothLine(flat, out.slice(0, 2), { levels_m })).code).toBe('smooth/no-ground')
  })

  test('a wide arc on a cone keeps its level and its vertices', () => {
    const ground = gridOf(120, 120, 1, cone(0.1, [60.2, 59.9]))
    const given = arc(0, [60.2, 59.9], 30, 40).filter((_, k) => k % 3 === 0)
    const line = smoothLine(ground, given)
    expect(line.path[0]).toEqual(given[0])
    expect(line.path[line.path.length - 1]).toEqual(given[given.length - 1])
    expect(line.kept).toEqual([])
    expect(line.tightBends).toEqual([])
  })
})

test('a right angle is a bend like others: its radius is that of the circle through its three places', () => {
  const given: Point[] = [
    [10, 30],
    [14, 30],
    [14, 34],
  ]
  const { path, tightBends } = frozen(given, { spacing_m: 3, radius_m: 4 })
  expect(path).toEqual(given)
  expect(tightBends).toEqual([{ chainage_m: 4, radius_m: expect.closeTo(Math.SQRT2 * 2, 9) }])
})
