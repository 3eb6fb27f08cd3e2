import fc from 'fast-check'
import { finish, inTurns } from 'soakline/foundation'
import { type Drainage, drainage, lineCatchment, releasedWater, studyWater, type WaterStudy } from 'soakline/hydrology'
import { cellAt, type ElevationGrid, type Point, ringArea_m2 } from 'soakline/raster'
import {
  areaDoubt,
  buildingDoubts,
  type DoubtOptions,
  type DoubtQuestion,
  type DoubtRuns,
  doubtRuns,
  doubtRunsSteps,
  errorField,
  joinedRuns,
  type SiteFeature,
  visitedRings,
} from 'soakline/siting'
import { describe, expect, test } from 'vitest'
import { cases } from '../../../../tests/helpers/cases.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { gridOf, lineAcross, plane, reshaped } from '../../../../tests/helpers/surfaces.js'

const SIZE = 120
const middle: Point = [60, 60]

/** A slope of 10 % towards 200°, gently ribbed. */
const hillside = gridOf(SIZE, SIZE, 1, (x, y) => plane(200, 0.1, middle)(x, y) + 0.5 * Math.sin(x / 15) + 0.3 * Math.sin((x + 2 * y) / 19))
const study = studyWater(hillside)
const line = lineAcross(200, middle, -15, 30)

const box = (x: number, y: number, half = 4): SiteFeature => ({
  id: `at ${x} ${y}`,
  kind: 'building',
  name: null,
  floor_m: null,
  shapes: [
    {
      type: 'polygon',
      rings: [
        [
          [x - half, y - half],
          [x + half, y - half],
          [x + half, y + half],
          [x - half, y + half],
        ],
      ],
    },
  ],
})

const question: DoubtQuestion = {
  line,
  spills: [[line[0]!], [line[line.length - 1]!]],
  error: { sigma_m: 0.1, correlated_ratio: 0.7, correlationLength_m: 12 },
  clearance: { plan_m: 10, height_m: 0.35 },
  seed: 42,
  runs: 30,
}

/** Where the water of the first spill passes, some way down. */
const wayDown = releasedWater(study.ground, study.filled, study.drained, line[0]!)!.points
const passed = wayDown[Math.floor(wayDown.length / 2)]!

const same = (a: DoubtRuns, b: DoubtRuns): void => {
  expect(a.areas_m2).toEqual(b.areas_m2)
  expect(a.catchmentCut).toBe(b.catchmentCut)
  a.spills.forEach((spill, k) => {
    expect(spill.buildings).toEqual(b.spills[k]!.buildings)
    expect([...spill.visits]).toEqual([...b.spills[k]!.visits])
    expect(spill.leftWindow).toBe(b.spills[k]!.leftWindow)
  })
}

describe('the same seed gives the same bits', () => {
  const features = [box(passed[0], passed[1]), box(30, 20)]
  const whole = doubtRuns(study, features, question)

  test('run again', () => same(doubtRuns(study, features, question), whole))
  test('another seed is another answer', () =>
    expect(doubtRuns(study, features, { ...question, seed: 43 }).areas_m2).not.toEqual(whole.areas_m2))

  test('in parts, joined in any order', () => {
    const one = doubtRuns(study, features, { ...question, runs: 11 })
    const two = doubtRuns(study, features, { ...question, firstRun: 11, runs: 19 })
    same(joinedRuns(one, two), whole)
    same(joinedRuns(two, one), whole)
    expect(joinedRuns(two, one).runs).toBe(30)
    expect(() => joinedRuns(one, one)).toThrow(expect.objectContaining({ code: 'doubt/parts-do-not-fit' }))
    expect(() => joinedRuns(one, { ...two, seed: 1 })).toThrow(expect.objectContaining({ code: 'doubt/parts-do-not-fit' }))
  })

  test('step by step with progress, and called off', async () => {
    let last = 0
    const steps = doubtRunsSteps(study, features, question)
    for (let step = steps.next(); ; step = steps.next()) {
      if (step.done) {
        same(step.value, whole)
        break
      }
      expect(step.value).toBeGreaterThan(last)
      expect(step.value).toBeLessThanOrEqual(1)
      last = step.value
    }
    expect(last).toBe(1)
    const signal = { aborted: false, reason: 'no longer wanted' }
    await expect(
      inTurns(doubtRunsSteps(study, features, question), {
        signal,
        onProgress: done => {
          if (done > 0.3) signal.aborted = true
        },
      }),
    ).rejects.toBe('no longer wanted')
    same(finish(doubtRunsSteps(study, features, question)), whole)
  })
})

describe('without error every run is the ground as it is', () => {
  test('area, way and nearness', () => {
    const runs = doubtRuns(study, [box(passed[0], passed[1])], { ...question, runs: 3, error: { ...question.error, sigma_m: 0 } })
    expect(runs.areas_m2).toEqual(new Array(3).fill(runs.withoutError.area_m2))
    const exact = lineCatchment(study.net, study.ground, line, study.rim).area_m2
    expect(Math.abs(runs.withoutError.area_m2 / exact - 1)).toBeLessThan(0.01)
    expect(runs.spills[0]!.buildings[0]).toMatchObject({ touched: 3, reached: 3, near: 3, nearest_m: 0 })
    const { geometry } = runs
    const cells = new Set(wayDown.map(([x, y]) => cellAt(geometry, x, y)).filter(cell => cell >= 0))
    runs.spills[0]!.visits.forEach((count, cell) => {
      if (cells.has(cell)) expect(count).toBe(3)
      else expect(count).toBe(0)
    })
  })
})

describe('the catchment of a run', () => {
  /** The areas of the runs and what `lineCatchment` says of the very same grounds. */
  function both(
    base: ElevationGrid,
    on: WaterStudy,
    error: DoubtQuestion['error'],
    runs: number,
  ): { ours: readonly number[]; theirs: number[] } {
    const ours = doubtRuns(on, [], { ...question, error, runs, spills: [] }, { marginCells: SIZE }).areas_m2
    const theirs = Array.from({ length: runs }, (_, run) => {
      const field = errorField(base.geometry, error, question.seed, run).data
      const tried = studyWater(reshaped(base, (z, cell) => z + field[cell]!))
      return lineCatchment(tried.net, tried.ground, line, tried.rim).area_m2
    })
    return { ours, theirs }
  }

  test('on smoothly wrong ground it is within 2 % of `lineCatchment` on the same ground, run by run', () => {
    const { ours, theirs } = both(hillside, study, { sigma_m: 0.1, correlated_ratio: 1, correlationLength_m: 15 }, 12)
    ours.forEach((area, run) => {
      expect(Math.abs(area / theirs[run]! - 1)).toBeLessThan(0.02)
    })
  })

  test('P50 is within 5 % of `lineCatchment` on the ground as it is, for smooth errors; P10 ≤ P50 ≤ P90', () => {
    const runs = doubtRuns(study, [], {
      ...question,
      runs: 120,
      spills: [],
      error: { sigma_m: 0.1, correlated_ratio: 1, correlationLength_m: 15 },
    })
    const { p10_m2, p50_m2, p90_m2, cut } = areaDoubt(runs)
    const exact = lineCatchment(study.net, study.ground, line, study.rim).area_m2
    expect(Math.abs(p50_m2 / exact - 1)).toBeLessThan(0.05)
    expect(p10_m2).toBeLessThan(p50_m2)
    expect(p50_m2).toBeLessThan(p90_m2)
    expect(cut).toBe(0)
  })

  test('law: in no run does a line catch less than a part of it, or more than its parts together', () => {
    const side = 40
    const on = studyWater(gridOf(side, side, 1, (x, y) => 100 + 0.1 * y + 0.05 * x + 0.2 * Math.sin(x / 5)))
    const error = { sigma_m: 0.1, correlated_ratio: 0, correlationLength_m: 0 }
    const areas = (path: readonly Point[]): readonly number[] =>
      doubtRuns(on, [], { ...question, line: path, spills: [], runs: 20, error }, { marginCells: side }).areas_m2
    const place = fc.tuple(evenly(14, 24), evenly(16, 24))
    // By 17 m² before water kept its place in the cell below the line, too.
    const once: [number, number][] = [
      [22.4, 21.2],
      [16.3, 21.3],
      [18.5, 22],
      [20.9, 16.2],
      [19.9, 22.4],
      [19.8, 19.4],
    ]
    fc.assert(
      fc.property(fc.array(place, { minLength: 3, maxLength: 6 }), path => {
        const middle = path.length >> 1
        const [whole, first, second] = [areas(path), areas(path.slice(0, middle + 1)), areas(path.slice(middle))]
        whole.forEach((area, run) => {
          expect(area).toBeGreaterThanOrEqual(Math.max(first[run]!, second[run]!) - 1e-9)
          expect(area).toBeLessThanOrEqual(first[run]! + second[run]! + 1e-9)
        })
      }),
      { seed: 19, numRuns: cases(40), examples: [[once]] },
    )
  })

  test('on ground wrong from cell to cell no water slips through where hollows spill across the line', () => {
    // Oracle: single directions with hollows passing on; each cell’s way tried against the line, link by link.
    const error = { sigma_m: 0.1, correlated_ratio: 0, correlationLength_m: 0 }
    const runs = doubtRuns(study, [], { ...question, runs: 40, spills: [], error }, { marginCells: SIZE })
    let slow = 0
    for (let run = 0; run < 40; run++) {
      const field = errorField(hillside.geometry, error, question.seed, run).data
      slow += singleArea(drainage(reshaped(hillside, (z, cell) => z + field[cell]!)))
    }
    const mean = runs.areas_m2.reduce((a, b) => a + b) / 40
    expect(Math.abs(mean / (slow / 40) - 1)).toBeLessThan(0.08)
  })
})

/** Cells whose single-direction way crosses the line, m². */
function singleArea({ direction, geometry }: Drainage): number {
  const { width, height } = geometry
  const step = [-width, 1 - width, 1, width + 1, width, width - 1, -1, -width - 1]
  const side = (cell: number): { along: number; down: number } => {
    const x = (cell % width) + 0.5
    const y = height - Math.floor(cell / width) - 0.5
    const [ax, ay] = line[0]!
    const [bx, by] = line[line.length - 1]!
    const long = Math.hypot(bx - ax, by - ay)
    return { along: ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long, down: ((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / long }
  }
  const crosses = (cell: number, to: number): boolean => {
    const a = side(cell)
    const b = side(to)
    if (a.down >= 0 === b.down >= 0) return false
    const along = a.along + (a.down / (a.down - b.down)) * (b.along - a.along)
    return along >= 0 && along < 30
  }
  const known = new Map<number, boolean>()
  for (let start = 0; start < direction.length; start++) {
    const way: number[] = []
    let caught = false
    for (let cell = start; direction[cell]! < 8 && !caught; ) {
      if (known.has(cell)) {
        caught = known.get(cell)!
        break
      }
      way.push(cell)
      const to = cell + step[direction[cell]!]!
      caught = crosses(cell, to)
      cell = to
    }
    for (const cell of way) known.set(cell, caught)
  }
  return [...known.values()].filter(caught => caught).length
}

describe('buildings', () => {
  test('one on the way is reached in nearly every run, one far aside in none: which still allows 1.5 %', () => {
    const aside = box(112, 112, 3)
    const runs = doubtRuns(study, [box(passed[0], passed[1]), aside], { ...question, runs: 200 }, { marginCells: SIZE })
    const [first, second] = buildingDoubts(runs, 0)
    expect(first).toMatchObject({ runs: 200, nearest_m: 0 })
    expect(first!.reached).toBeGreaterThan(195)
    expect(second).toMatchObject({ id: aside.id, reached: 0, near: 0, runs: 200, nearest_m: null, leastRise_m: null })
    expect(second!.reachedAtMost_ratio).toBeCloseTo(0.0149, 4)
  })

  test('a floor high enough is not reached; heights of the floor count, not of the ground', () => {
    const high = { ...box(passed[0], passed[1]), floor_m: 200 }
    const [building] = buildingDoubts(doubtRuns(study, [high], question), 0)
    expect(building).toMatchObject({ touched: 0, reached: 0, near: 0, nearest_m: 0 })
    expect(building!.leastRise_m).toBeGreaterThan(90)
  })

  test('a hollow that the water fills counts as far as it stands', () => {
    // A bowl 20 m across on the slope; the cabin at its rim, 8 m from where water enters and leaves.
    const bowl = reshaped(gridOf(SIZE, SIZE, 1, plane(180, 0.02, middle)), (z, cell) => {
      const x = (cell % SIZE) + 0.5 - 60
      const y = SIZE - Math.floor(cell / SIZE) - 0.5 - 60
      return z - 1.5 * Math.max(0, 1 - (x * x + y * y) / 400)
    })
    const on = studyWater(bowl)
    const ask = {
      ...question,
      clearance: { plan_m: 2, height_m: 0.3 },
      spills: [[[60, 95] as Point]],
      error: { ...question.error, sigma_m: 0.01 },
    }
    const [reached] = buildingDoubts(doubtRuns(on, [box(77, 60, 2)], ask, { marginCells: SIZE }), 0)
    expect(reached!.reached).toBe(30)
    const [dry] = buildingDoubts(doubtRuns(on, [box(95, 60, 2)], ask, { marginCells: SIZE }), 0)
    expect(dry!.reached).toBe(0)
  })

  test('a stream takes the water: what lies beyond is not reached', () => {
    const stream: SiteFeature = {
      id: 's',
      kind: 'stream',
      name: null,
      floor_m: null,
      shapes: [
        {
          type: 'line',
          path: [
            [0, passed[1] + 20],
            [120, passed[1] + 20],
          ],
        },
      ],
    }
    const runs = doubtRuns(study, [box(passed[0], passed[1]), stream], question, { marginCells: SIZE })
    expect(buildingDoubts(runs, 0)[0]).toMatchObject({ touched: 0 })
    expect(runs.spills[0]!.leftWindow).toBe(0)
  })
})

describe('the window', () => {
  const cutTo = (options: DoubtOptions): DoubtRuns => doubtRuns(study, [], question, options)

  test('holds catchment and overflow, and says so when it cannot', () => {
    const whole = cutTo({})
    expect(whole.clipped).toBe(false)
    expect(whole.catchmentCut).toBe(0)
    expect(whole.spills.every(spill => spill.leftWindow === 0)).toBe(true)
    const small = cutTo({ mostCells: 1600 })
    expect(small.clipped).toBe(true)
    expect(small.geometry.width * small.geometry.height).toBeLessThanOrEqual(1600)
    expect(small.catchmentCut).toBe(30)
    expect(small.spills[0]!.leftWindow).toBe(30)
  })

  test('a spill beyond it, or where there is no ground, is not known', () => {
    const far = doubtRuns(study, [], { ...question, spills: [[line[0]!, [5, 5]]] }, { mostCells: 1600 })
    expect(far.spills[0]!.leftWindow).toBe(30)
    const off = doubtRuns(study, [], { ...question, spills: [[[-50, -50]]] })
    expect(off.spills[0]!.leftWindow).toBe(30)
    expect(() =>
      doubtRuns(study, [], {
        ...question,
        spills: [],
        line: [
          [-50, -50],
          [-40, -50],
        ],
      }),
    ).toThrow(expect.objectContaining({ code: 'doubt/off-raster' }))
  })

  test('a wider one changes nothing but by a hair', () => {
    const narrow = cutTo({})
    const wide = cutTo({ marginCells: SIZE })
    narrow.areas_m2.forEach((area, run) => {
      expect(Math.abs(area / wide.areas_m2[run]! - 1)).toBeLessThan(0.01)
    })
  })
})

test('rings of the ground passed: narrower the more runs they ask for', () => {
  const runs = doubtRuns(study, [], question, { marginCells: SIZE })
  const areas = [0, 0.1, 0.5].map(share => visitedRings(runs, 0, share).reduce((sum, ring) => sum + ringArea_m2(ring), 0))
  expect(areas[0]).toBeGreaterThan(areas[1]!)
  expect(areas[1]).toBeGreaterThan(areas[2]!)
})

test.each([
  ['doubt/bad-runs', { runs: 0 }],
  ['doubt/bad-runs', { runs: 2.5 }],
  ['doubt/bad-runs', { firstRun: -1 }],
  ['doubt/bad-clearance', { clearance: { plan_m: 0, height_m: 1 } }],
  ['doubt/bad-error-model', { error: { sigma_m: Number.NaN, correlated_ratio: 0, correlationLength_m: 0 } }],
])('refused: %s', (code, change) => {
  expect(() => doubtRuns(study, [], { ...question, ...change })).toThrow(expect.objectContaining({ code }))
})
