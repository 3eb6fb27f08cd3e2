import { inTurns } from 'soakline/foundation'
import { lineCatchment, studyWater } from 'soakline/hydrology'
import { defaultSettings, type Settings } from 'soakline/plan'
import { chainages_m, distance_m, distanceToShape_m, type ElevationGrid, type Shape, stations, surfaceValue } from 'soakline/raster'
import {
  CANDIDATE_LIMITS,
  CANDIDATE_REASONS,
  type CandidateLimits,
  type CandidateSearch,
  candidateLines,
  candidateLinesSteps,
  cautionsAlong,
  type FeatureKind,
  type NoGoGround,
  noGoAlong,
  noGoGround,
  overflowFrom,
  type SiteFeature,
} from 'soakline/siting'
import { gradient } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { cone, gridOf, plane, terrain, vValley } from '../../../../tests/helpers/surfaces.js'

const SETTINGS: Settings = { ...defaultSettings(), elevationError_m: 0.1 }
const STORM = { runoff_mm: 40, rain_mm: 90, assumed: false }

interface Asked {
  readonly ground: ElevationGrid
  readonly study: ReturnType<typeof studyWater>
  readonly noGo: NoGoGround
  readonly features: readonly SiteFeature[]
  readonly search: CandidateSearch
}
function ask(
  ground: ElevationGrid,
  features: readonly SiteFeature[] = [],
  limits: Partial<CandidateLimits> = {},
  settings = SETTINGS,
): Asked {
  const study = studyWater(ground)
  const noGo = noGoGround(study, gradient(ground), features, settings)
  return { ground, study, noGo, features, search: candidateLines({ study, features, noGo }, settings, STORM, limits) }
}

const feature = (kind: FeatureKind, shape: Shape): SiteFeature => ({ id: kind, kind, name: null, shapes: [shape], floor_m: null })
const block = (x: number, y: number, side: number): Shape => ({
  type: 'polygon',
  rings: [
    [
      [x, y],
      [x + side, y],
      [x + side, y + side],
      [x, y + side],
    ],
  ],
})

/** Every law of a search, on whatever ground. */
function keepsTheLaws({ ground, study, noGo, features, search }: Asked, given: Partial<CandidateLimits> = {}): void {
  const limit = {
    ...Object.fromEntries(Object.entries(CANDIDATE_LIMITS).map(([k, e]) => [k, e.default])),
    ...given,
  } as unknown as CandidateLimits
  const { candidates } = search
  expect(candidates.length).toBeLessThanOrEqual(limit.mostLines)
  candidates.forEach((line, k) => {
    expect(line.rank).toBe(k + 1)
    if (k > 0) expect(line.score).toBeLessThanOrEqual(candidates[k - 1]!.score)
    // On its level, everywhere.
    const along = stations(line.path, 0.5)
    for (const { chainage_m, at } of along)
      expect(Math.abs(surfaceValue(ground, at) - (line.elevation_m - line.fall_ratio * chainage_m))).toBeLessThanOrEqual(
        limit.mostOffLevel_m + 1e-6,
      )
    expect(noGoAlong(noGo, line.path)).toEqual([])
    if (limit.avoidCautions) expect(cautionsAlong(noGo, line.path)).toEqual([])
    expect(line.length_m).toBeCloseTo(chainages_m(line.path).at(-1)!, 6)
    expect(line.length_m).toBeGreaterThan(0.8 * limit.leastLength_m)
    expect(line.length_m).toBeLessThanOrEqual(limit.mostLength_m + 1e-6)
    // Its catchment, by asking again.
    const caught = lineCatchment(study.net, study.ground, line.path, study.rim)
    expect(line.catchment_m2).toBe(caught.area_m2)
    expect(line.cutByEdge).toBe(caught.cutByEdge)
    expect(line.reasons.some(r => r.code === 'line/catchment-cut-by-edge')).toBe(line.cutByEdge)
    expect(line.catchment_m2).toBeGreaterThanOrEqual(limit.leastCatchment_m2)
    expect(line.kept_m3).toBeCloseTo(Math.min((caught.area_m2 * STORM.runoff_mm) / 1000, line.storage_m3), 9)
    expect(line.keptPerDay_m3).toBeCloseTo(line.kept_m3 / (line.labour.high_days + 1), 9)
    expect(line.labour.low_days).toBeLessThan(line.labour.high_days)
    // It spills at its last vertex, where nothing forbids it.
    expect(line.spill.at).toEqual(line.path[line.path.length - 1])
    const overflow = overflowFrom(study, features, line.spill.at)!
    expect(overflow.buildings[0]?.distance_m ?? Infinity).toBeGreaterThanOrEqual(limit.spillClearance_m)
    expect(overflow.crosses).not.toContain('boundary')
    expect(overflow.endsIn).not.toBe('boundary')
    expect(line.reasons.slice(0, 2).map(r => r.code)).toEqual(['line/catches-and-keeps', 'line/spills'])
    const order = line.reasons.map(r => CANDIDATE_REASONS.indexOf(r.code))
    expect([...order].sort((a, b) => a - b)).toEqual(order)
    // Apart as the closest rule asks, or on one level with a gap.
    for (const other of candidates.slice(0, k)) {
      const away = Math.min(...along.map(({ at }) => distanceToShape_m(at, { type: 'line', path: other.path })))
      const least =
        Math.abs(other.elevation_m - line.elevation_m) < 1e-6 ? 0.8 * limit.lineGap_m : Math.min(line.spacing.low_m, other.spacing.low_m)
      // Looked at from vertex to line; between vertices 2 m apart a little less.
      expect(away).toBeGreaterThan(least - 1)
    }
  })
}

describe('possible lines on exact ground', () => {
  // Falls 10 % to the south.
  const hillside = (): ElevationGrid => gridOf(160, 160, 1, plane(180, 0.1, [80, 80]))

  test('on a plane: straight level lines across the slope, as long as may be, the ditch reckoned on 10 %', () => {
    const asked = ask(hillside())
    keepsTheLaws(asked)
    expect(asked.search.candidates.length).toBeGreaterThan(3)
    for (const line of asked.search.candidates) {
      expect(line.slope_ratio).toBeCloseTo(0.1, 3)
      expect(line.offLevel_m).toBeLessThan(0.001)
      const ys = line.path.map(p => p[1])
      expect(Math.max(...ys) - Math.min(...ys)).toBeLessThan(0.01)
      // 0.35 m³ a metre to the sill, or a little more: the trapezoid of 1 m by 0.3 m and the wedge over it.
      expect(line.storage_m3 / line.length_m).toBeGreaterThan(0.35)
      expect(line.storage_m3 / line.length_m).toBeLessThan(0.7)
    }
    // Every strip up to the top of the raster drains in.
    const best = asked.search.candidates[0]!
    expect(best.catchment_m2 / (best.length_m * (160 - best.path[0]![1]))).toBeCloseTo(1, 1)
  })

  test('a cabin: nothing above it, nothing within 30 m uphill, no overflow to it', () => {
    const cabin = block(76, 60, 8)
    const asked = ask(hillside(), [feature('building', cabin)])
    keepsTheLaws(asked)
    expect(asked.search.candidates.length).toBeGreaterThan(2)
    for (const { path } of asked.search.candidates)
      for (const { at } of stations(path, 1)) {
        expect(at[1] > 68 && at[0] > 74 && at[0] < 86).toBe(false)
        if (at[1] > 68.5) expect(distanceToShape_m(at, cabin)).toBeGreaterThan(30 - 0.8)
      }
    expect(asked.search.remarks.map(r => r.code)).toEqual(['candidates/no-boundary-drawn'])
    expect(asked.search.ruledOut.map(r => r.by)).toEqual(expect.arrayContaining(['above-building', 'seepage', 'near-building']))
  })

  test('two cabins side by side leave the middle: a line there spills away from both or is not offered', () => {
    const asked = ask(hillside(), [feature('building', block(30, 10, 8)), { ...feature('building', block(120, 10, 8)), id: 'other' }])
    keepsTheLaws(asked)
    for (const line of asked.search.candidates) expect(line.spill.nearestBuilding_m).toBeGreaterThanOrEqual(10)
  })

  test('within a boundary whose foot is near no overflow stays on the holding: no line, and the answer says what fell', () => {
    const { search } = ask(hillside(), [feature('boundary', block(20, 60, 80))])
    expect(search.candidates).toEqual([])
    expect(search.dropped.spill).toBeGreaterThan(0)
    expect(search.remarks.map(r => r.code)).toContain('candidates/none-found')
  })

  test('a stream on the holding takes the overflow', () => {
    const asked = ask(hillside(), [
      feature('boundary', block(10, 10, 140)),
      feature('stream', { type: 'line', path: [[0, 30], [160, 30]] }), // biome-ignore format: one line
    ])
    keepsTheLaws(asked)
    expect(asked.search.candidates.length).toBeGreaterThan(2)
    for (const line of asked.search.candidates) expect(line.spill.endsIn).toBe('stream')
  })

  test('on a cone: arcs round it, each with its sector', () => {
    const asked = ask(gridOf(200, 200, 1, cone(0.12, [100.3, 99.6])))
    keepsTheLaws(asked)
    expect(asked.search.candidates.length).toBeGreaterThan(5)
    for (const line of asked.search.candidates) {
      const away = line.path.map(p => distance_m(p, [100.3, 99.6]))
      // Smoothed bends and a 1-m raster leave it within the tolerance of its level.
      expect(Math.max(...away) - Math.min(...away)).toBeLessThan(0.15 / 0.12)
      expect(line.catchment_m2 / ((line.length_m * away[0]!) / 2)).toBeCloseTo(1, 1)
      expect(line.cutByEdge).toBe(false)
    }
  })

  test('a closed contour that one wet spot breaks gives one line, not two', () => {
    const spot = feature('wet', block(140, 92, 16))
    const asked = ask(gridOf(200, 200, 1, cone(0.12, [100.3, 99.6])), [spot], { mostLength_m: 1000 })
    keepsTheLaws(asked, { mostLength_m: 1000 })
    const broken = asked.search.candidates.filter(({ path }) => {
      const away = distance_m(path[0]!, [100.3, 99.6])
      return away > 42 && away < 54
    })
    expect(broken.length).toBeGreaterThan(0)
    for (const line of broken) expect(line.length_m / (2 * Math.PI * distance_m(line.path[0]!, [100.3, 99.6]))).toBeGreaterThan(0.9)
  })

  test('an overflow that runs too little below a floor is told, and the line spills at its other end', () => {
    // The ground at the house lies at 94.4 m.
    const house = (floor_m: number): SiteFeature => ({ ...feature('building', block(60, 20, 8)), floor_m })
    const both = (floor_m: number) => ask(hillside(), [house(floor_m)]).search.candidates
    const low = both(94).filter(c => c.otherEnd.reasons.includes('not-high-enough'))
    expect(low.length).toBeGreaterThan(0)
    for (const line of low) {
      expect(line.otherEnd.ease_ratio).toBeLessThan(line.spill.ease_ratio)
      expect(line.spill.reasons).not.toContain('not-high-enough')
    }
    expect(both(120).flatMap(c => [...c.otherEnd.reasons, ...c.spill.reasons])).not.toContain('not-high-enough')
  })

  test('in a valley no line crosses the channel: there water gathers', () => {
    const asked = ask(gridOf(240, 240, 1, vValley(180, 0.12, 0.03, [120, 120])))
    keepsTheLaws(asked)
    expect(asked.search.candidates.length).toBeGreaterThan(3)
    for (const line of asked.search.candidates) {
      const sides = line.path.map(([x]) => Math.sign(x - 120))
      expect(new Set(sides).size).toBe(1)
    }
    expect(asked.search.ruledOut.map(r => r.by)).toContain('high-wetness')
  })

  test('lines that fall: each falls to its spill by the set ratio', () => {
    const asked = ask(gridOf(200, 200, 1, cone(0.12, [100.3, 99.6])), [], { lineFall_ratio: 0.005 })
    keepsTheLaws(asked, { lineFall_ratio: 0.005 })
    expect(asked.search.candidates.length).toBeGreaterThan(3)
    for (const line of asked.search.candidates) {
      const fall = surfaceValue(asked.ground, line.path[0]!) - surfaceValue(asked.ground, line.path[line.path.length - 1]!)
      expect(fall / line.length_m).toBeCloseTo(0.005, 2)
      expect(fall).toBeGreaterThan(0)
    }
    const level = ask(gridOf(200, 200, 1, cone(0.12, [100.3, 99.6])))
    // A bed that falls holds less.
    const perMetre = (a: Asked): number => Math.max(...a.search.candidates.map(c => c.storage_m3 / c.length_m))
    expect(perMetre(asked)).toBeLessThan(perMetre(level))
  })

  test('ground too gentle, too steep, or too coarse gives no line, and says why', () => {
    const gentle = ask(gridOf(80, 80, 1, plane(180, 0.01, [40, 40]))).search
    expect([gentle.candidates.length, gentle.ruledOut[0]!.by]).toEqual([0, 'too-gentle'])
    const steep = ask(gridOf(80, 80, 1, plane(180, 0.4, [40, 40]))).search
    expect([steep.candidates.length, steep.ruledOut.map(r => r.by).includes('too-steep')]).toEqual([0, true])
    const coarse = ask(gridOf(60, 60, 10, plane(180, 0.1, [300, 300]))).search
    expect(coarse.candidates).toEqual([])
    expect(coarse.remarks).toEqual([{ code: 'ground/too-coarse', details: { cell_m: 10, bedWidth_m: 1 } }])
    expect(ask(gridOf(60, 60, 5, plane(180, 0.1, [150, 150]))).search.candidates.length).toBeGreaterThan(0)
  })

  test('at the foot of a slope, beside a flat, no line is offered; higher up there is one', () => {
    // 10 % down to a flat of 30 m, then on down: nothing gathers on it, yet a ditch at its edge would lie in what seeps out there.
    const asked = ask(gridOf(160, 160, 1, (_, y) => 100 + (y > 80 ? 0.1 * (y - 80) : y > 50 ? 0.001 * (y - 80) : -0.03 + 0.1 * (y - 50))))
    keepsTheLaws(asked)
    const ys = asked.search.candidates.map(line => line.path[0]![1])
    expect(ys.filter(y => y > 80).length).toBeGreaterThan(0)
    for (const y of ys) expect(y > 82.5 || y < 50).toBe(true)
    const { ruledOut } = ask(asked.ground, [], { searchInterval_m: 0.1 }).search
    expect(ruledOut.map(r => r.by)).toContain('foot-of-slope')
  })

  test('where cautions are not avoided, lines on them say so', () => {
    const steep = gridOf(160, 160, 1, plane(180, 0.23, [80, 80]))
    expect(ask(steep).search.candidates).toEqual([])
    const asked = ask(steep, [], { avoidCautions: false })
    keepsTheLaws(asked, { avoidCautions: false })
    expect(asked.search.candidates.length).toBeGreaterThan(0)
    for (const line of asked.search.candidates) {
      const said = line.reasons.find(r => r.code === 'line/on-caution')!
      expect(String(said.details.reasons)).toContain('slide-prone')
    }
  })

  test('a line below another names it', () => {
    const { candidates } = ask(hillside()).search
    const named = candidates.filter(c => c.reasons.some(r => r.code === 'line/below-another'))
    expect(named.length).toBeGreaterThan(0)
    for (const line of named) {
      const ranks = String(line.reasons.find(r => r.code === 'line/below-another')!.details.ranks)
        .split(',')
        .map(Number)
      for (const rank of ranks) expect(candidates[rank - 1]!.elevation_m).toBeGreaterThan(line.elevation_m)
    }
  })
})

describe('possible lines on invented ground', () => {
  test.each(['smooth', 'rough', 'lakes', 'gaps', 'decimetres', 'level'] as const)('the laws hold on %s ground', kind => {
    for (const seed of [1, 2]) {
      const limits = { leastSlope_ratio: 0.005, mostSlope_ratio: 0.5, leastLength_m: 8, mostOffLevel_m: 0.3 }
      keepsTheLaws(ask(terrain(kind, seed, 90, 80), [feature('building', block(40, 40, 6))], limits), limits)
    }
  })

  test('law: enlarging a no-go never adds feasible length', () => {
    for (const kind of ['smooth', 'rough', 'lakes'] as const) {
      const ground = terrain(kind, 3, 90, 80)
      const features = [feature('building', block(40, 40, 6)), feature('track', { type: 'line', path: [[5, 20], [80, 60]] })] // biome-ignore format: one line
      let feasible_m = Infinity
      for (const wider_m of [0, 4, 12, 30]) {
        const settings = { ...SETTINGS, setbackBuilding_m: 5 + wider_m, setbackTrack_m: 2 + wider_m, seepage_m: 10 + wider_m }
        const { looked_m, ruledOut } = ask(ground, features, {}, settings).search
        const left_m = looked_m - ruledOut.reduce((sum, part) => sum + part.length_m, 0)
        expect(left_m).toBeLessThanOrEqual(feasible_m + 1e-6)
        feasible_m = left_m
      }
    }
  })

  test('in steps the same; called off in between nothing breaks', async () => {
    const { study, noGo, search } = ask(terrain('smooth', 5, 80, 80))
    const progress: number[] = []
    const again = await inTurns(candidateLinesSteps({ study, features: [], noGo }, SETTINGS, STORM), {
      onProgress: done => progress.push(done),
    })
    expect(again).toEqual(search)
    expect(progress.length).toBeGreaterThan(5)
    const signal = { aborted: true, reason: 'enough' }
    await expect(inTurns(candidateLinesSteps({ study, features: [], noGo }, SETTINGS, STORM), { signal })).rejects.toBe('enough')
  })

  test('every limit of a possible line says unit, meaning and source', () => {
    for (const entry of Object.values(CANDIDATE_LIMITS)) {
      expect(entry.meaning.length).toBeGreaterThan(15)
      expect(entry.source.length).toBeGreaterThan(4)
    }
  })
})
