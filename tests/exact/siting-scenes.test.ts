import type { Finding, Verdict } from 'soakline/foundation'
import { type RainTable, studyWater } from 'soakline/hydrology'
import { type Assessment, assessFully, type Settings, settingsFrom, siteOf } from 'soakline/plan'
import type { Point } from 'soakline/raster'
import type { SiteFeature } from 'soakline/siting'
import { gradient } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { arc, cone, gridOf, lineAcross, roof, type Surface, saddle } from '../helpers/surfaces.js'

// The whole assessment on ground whose fall lines are known by geometry, with a cabin left, right, below, above and just beside the way of the overflow:
// verdicts change where geometry says, within a cell.

const SIZE = 120
const MIDDLE: Point = [60, 60]
const CLEARANCE_m = 10
const HALF_m = 3
const RAIN: RainTable = {
  rows: [
    [1 / 12, 14],
    [1 / 4, 26],
    [1, 48],
    [24, 120],
  ].map(([duration_h, depth_mm]) => ({ duration_h: duration_h!, chancePerYear: 0.04, depth_mm: depth_mm! })),
}
/** A cabin whose floor stands high over any flow, so that the distance in plan alone decides; a low floor beside a flow asks to watch further off. */
const cabinAt = ([x, y]: Point, floor_m: number): SiteFeature => ({
  id: 'cabin',
  kind: 'building',
  name: null,
  floor_m,
  shapes: [{ type: 'polygon', rings: [[[x - HALF_m, y - HALF_m], [x + HALF_m, y - HALF_m], [x + HALF_m, y + HALF_m], [x - HALF_m, y + HALF_m]]] }], // biome-ignore format: one ring
})

/** Heights that are as good as exact, so that the tried terrains run as geometry does; fewer of them than usual never say that it holds. */
const given: Partial<Settings> = {
  allBuildingsDrawn: true,
  elevationError_m: 0.001,
  buildingClearance_m: CLEARANCE_m,
  depth_m: 0.3,
  acceptanceChanceAboveHouse: 0.04,
}
const { settings } = settingsFrom(given)

interface Scene {
  readonly surface: Surface
  readonly line: readonly Point[]
  /** Where the water ends, so that the raster's edge is not in question. */
  readonly stream?: readonly Point[]
}

function answer({ surface, line, stream }: Scene, cabin: Point | null, more: Partial<Settings> = {}): Assessment {
  const ground = gridOf(SIZE, SIZE, 1, surface)
  const features: SiteFeature[] = [
    ...(cabin ? [cabinAt(cabin, surface(...cabin) + 4)] : []),
    ...(stream
      ? [{ id: 'stream', kind: 'stream' as const, name: null, floor_m: null, shapes: [{ type: 'line' as const, path: stream }] }]
      : []),
  ]
  const all = { ...settings, ...more }
  const site = siteOf(studyWater(ground), gradient(ground), features, all, { sha256: '', warnings: [] })
  return assessFully(site, line, all, RAIN)
}
const verdict = (a: Assessment, check: Finding['check']): Verdict => a.findings.find(f => f.check === check)!.verdict

/** How far north of a place the way of the overflow from one end passes it, or east of it for ways that run east. */
const wayFrom = (a: Assessment, chainage: 'start' | 'end'): readonly Point[] => {
  const at = chainage === 'start' ? 0 : a.line.length_m
  return [...a.spills.find(s => s.chainage_m === at)!.path.points]
}

describe('a roof: water falls straight down from each end of the line', () => {
  // Ridge along y = 100; the line lies 30 m south of it, from x = 45 to 75 (its first vertex is the eastern one or the western one).
  const scene: Scene = {
    surface: roof(180, 0.1, [60, 100]),
    line: lineAcross(180, [60, 100], 30, 30),
    stream: [[0.5, 6], [SIZE - 0.5, 6]], // biome-ignore format: one line
  }
  const bare = answer(scene, null)
  const xs = (['start', 'end'] as const).map(end => wayFrom(bare, end)[0]![0]).sort((a, b) => a - b) as [number, number]

  test('the ways leave within three metres of the ends and run due south', () => {
    expect(Math.abs(xs[0] - 45)).toBeLessThan(3)
    expect(Math.abs(xs[1] - 75)).toBeLessThan(3)
    for (const end of ['start', 'end'] as const) {
      const way = wayFrom(bare, end)
      for (const [x] of way.slice(3)) expect(Math.abs(x - way[3]![0])).toBeLessThan(1)
    }
  })

  for (const [name, side] of [
    ['right', 1],
    ['left', -1],
  ] as const)
    test(`${name} of the way: reached, near, missed, each to a cell of where geometry says`, () => {
      const x = side > 0 ? xs[1] : xs[0]
      const aside = (wall_m: number) => verdict(answer(scene, [x + side * (HALF_m + wall_m), 36]), 'overflow-misses-buildings')
      // Reached within a cell of the wall; near within the clearance; each to a cell.
      expect([0, 2, CLEARANCE_m - 1, CLEARANCE_m + 1].map(aside)).toEqual(['fails', 'watch', 'watch', 'holds'])
    }, 120_000)

  test('below the middle of the line: no overflow comes near, a break does', () => {
    const wide = { ...scene, line: lineAcross(180, [60, 100], 30, 50) }
    const a = answer(wide, [60, 40])
    expect(verdict(a, 'overflow-misses-buildings')).toBe('holds')
    expect(verdict(a, 'breach-misses-buildings')).toBe('fails')
  })

  test('above the line, and beyond the ridge: neither', () => {
    for (const cabin of [
      [60, 88],
      [60, 112],
    ] as const) {
      // biome-ignore format: two places
      const a = answer(scene, cabin)
      expect(verdict(a, 'overflow-misses-buildings')).toBe('holds')
      expect(verdict(a, 'breach-misses-buildings')).toBe('holds')
    }
  })
})

describe('a cone: water falls along the radius through each end', () => {
  const scene: Scene = {
    surface: cone(0.12, [60, 110]),
    line: arc(180, [60, 110], 45, 36),
    // A ring of stream south of it all.
    stream: arc(180, [60, 110], 98, 150).filter(([x, y]) => x > 0.5 && x < SIZE - 0.5 && y > 0.5),
  }
  const bare = answer(scene, null)
  const way = wayFrom(bare, 'start')
  const start = way[0]!
  const out = Math.hypot(start[0] - 60, start[1] - 110)
  const along = (far_m: number, aside_m: number): Point => {
    const [ux, uy] = [(start[0] - 60) / out, (start[1] - 110) / out]
    return [start[0] + far_m * ux - aside_m * uy, start[1] + far_m * uy + aside_m * ux]
  }

  test('on the radius it is reached; aside of it within the clearance it asks to watch; beyond clearance, corner and band it is missed', () => {
    const aside = (aside_m: number) => verdict(answer(scene, along(25, aside_m)), 'overflow-misses-buildings')
    expect(aside(0)).toBe('fails')
    // The band that water may spread to is some metres wide after 25 m, the corner of the cabin stands out by √2.
    const [near_m, away_m] = [CLEARANCE_m + HALF_m - 1, CLEARANCE_m + Math.SQRT2 * HALF_m + 10]
    expect([near_m, -near_m].map(aside)).toEqual(['watch', 'watch'])
    expect([away_m, -away_m].map(aside)).toEqual(['holds', 'holds'])
  })
})

describe('a saddle: the pass parts the water', () => {
  // It rises to east and west of the middle and falls to north and south; the line lies south of the pass.
  const scene: Scene = {
    surface: (x, y) => saddle(90, 0.0022, MIDDLE)(x, y),
    line: Array.from({ length: 21 }, (_, k): Point => {
      // A level curve of the saddle south of the pass: y = 60 − √(x′² + 30²).
      const across = (k - 10) * 1.2
      return [60 + across, 60 - Math.sqrt(across * across + 30 * 30)]
    }),
    stream: [[0.5, 4], [SIZE - 0.5, 4]], // biome-ignore format: one line
  }
  test('a cabin beyond the pass is never reached, one below the end is', () => {
    const start = wayFrom(answer(scene, null), 'start')
    const below = start.find(([, y]) => y < 16)!
    expect(verdict(answer(scene, [60, 90]), 'overflow-misses-buildings')).toBe('holds')
    expect(verdict(answer(scene, below), 'overflow-misses-buildings')).toBe('fails')
  })
})

describe('a spur: fall lines part from its crest', () => {
  /** Falls 8 % to the south, and away from its crest to both sides. */
  const surface: Surface = (x, y) => 40 + 0.08 * y - 0.0015 * (x - 60) ** 2
  // Level curves: y = y0 + (0.0015 / 0.08)(x − 60)².
  // No place of the scene lies on a border between cells, where a turn decides to which it belongs.
  const line = Array.from({ length: 31 }, (_, k): Point => [45.3 + 0.98 * k, 70.2 + (0.0015 / 0.08) * (0.98 * k - 14.7) ** 2])
  const scene: Scene = { surface, line, stream: [[3.6, 90], [3.6, 8.2], [SIZE - 3.6, 8.2], [SIZE - 3.6, 90]] } // biome-ignore format: one line

  /** The fall line of the formula, dx/dy = −0.003 (x − 60) / 0.08, whose solution is x − 60 = (x₀ − 60) exp(0.0375 (y₀ − y)). */
  const fallLine = ([x0, y0]: Point, y: number): Point => [60 + (x0 - 60) * Math.exp(0.0375 * (y0 - y)), y]

  test('the way from either end is the formula’s, within a cell and a half in 40 m; a cabin on it is reached, one on the crest below is not', () => {
    const bare = answer(scene, null)
    for (const end of ['start', 'end'] as const) {
      const way = wayFrom(bare, end)
      const at = way.find(([, y]) => y < way[0]![1] - 3)!
      const later = way.filter(([x, y]) => y < at[1] && y > at[1] - 35 && x > 4 && x < SIZE - 4)
      for (const [x, y] of later)
        expect(Math.abs(x - fallLine(at, y)[0]) * Math.cos(Math.atan(0.0375 * Math.abs(x - 60)))).toBeLessThan(1.5)
      expect(verdict(answer(scene, fallLine(at, at[1] - 15)), 'overflow-misses-buildings')).toBe('fails')
    }
    const onCrest = answer(scene, [60, 40])
    expect(verdict(onCrest, 'overflow-misses-buildings')).toBe('holds')
    expect(verdict(onCrest, 'breach-misses-buildings')).toBe('fails')
  })

  const TURNS: readonly [string, (p: Point) => Point, (p: Point) => Point][] = [
    ['a quarter', ([x, y]) => [y, SIZE - x], ([x, y]) => [SIZE - y, x]],
    ['a half', ([x, y]) => [SIZE - x, SIZE - y], ([x, y]) => [SIZE - x, SIZE - y]],
    ['mirrored', ([x, y]) => [SIZE - x, y], ([x, y]) => [SIZE - x, y]],
    ['mirrored and a quarter', ([x, y]) => [y, x], ([x, y]) => [y, x]],
  ]
  const ask = (turn: (p: Point) => Point, back: (p: Point) => Point) => {
    const turned: Scene = {
      surface: (x, y) => surface(...back([x, y])),
      line: line.map(turn),
      stream: scene.stream!.map(turn),
    }
    // Off the crest, so that neither side is like the other. Terrains are tried with errors of their own, which do not turn with the scene: none here.
    return answer(turned, turn([71.3, 36.4]), { triedTerrains: 0 })
  }
  const same = (p: Point): Point => p
  const plain = ask(same, same)
  for (const [name, turn, back] of TURNS)
    test(`turned ${name}: the same verdicts and the same numbers`, () => {
      const a = ask(turn, back)
      const told = (of: Assessment) => of.findings.map(f => [f.check, f.verdict, f.because])
      expect(told(a)).toEqual(told(plain))
      for (const [k, { check, measured }] of a.findings.entries()) {
        const before = plain.findings[k]!.measured
        if (measured === null || before === null) expect(measured, check).toBe(before)
        else expect(Math.abs(measured - before), check).toBeLessThanOrEqual(1e-6 * Math.max(1, Math.abs(before)))
      }
      expect(Math.abs(a.catchment.area_m2 / plain.catchment.area_m2 - 1)).toBeLessThan(1e-9)
    })
})
