import { studyWater } from 'soakline/hydrology'
import type { Point } from 'soakline/raster'
import {
  dugGround,
  outletPlaces,
  type SiteFeature,
  SPILL_REASONS,
  type SpillChoiceOptions,
  type SpillReasonCode,
  spillChoice,
} from 'soakline/siting'
import { gradient } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { gridOf, plane, reshaped, roof } from '../../../../tests/helpers/surfaces.js'
import { areaFeature, cabin, dugAlong, lineFeature } from './dug-scenes.js'

const base = gridOf(201, 161, 1, plane(180, 0.08, [100.5, 80.5]))
const study = studyWater(base)
/** From west to east. */
const line: Point[] = Array.from({ length: 61 }, (_, k): Point => [70.5 + k, 120.5])
const dug = dugGround(study, [dugAlong(base, line, 0.08)])
const choose = (features: readonly SiteFeature[], options: SpillChoiceOptions = {}, flow = 0.02) =>
  spillChoice(dug, line, 0, features, flow, { elevationError_m: 0.1, ...options })
const codes = (reasons: readonly { readonly code: SpillReasonCode }[]): SpillReasonCode[] => reasons.map(r => r.code)

const wood = areaFeature('forest', 0, 20, 90, 80)
const house = cabin([131.5, 70.5], 4)

describe('a wood below the west end, a cabin below the east end', () => {
  const choice = choose([wood, house])

  test('the west end is the best, the bed falls toward it, the east end is forbidden', () => {
    expect(choice.places.length).toBe(13)
    const best = choice.places[choice.best!]!
    expect(best.where).toBe('start')
    expect(choice.bedFall_ratio).toBe(-0.005)
    expect(codes(best.reasons)).toEqual(expect.arrayContaining(['ends-in-forest', 'undisturbed-ground', 'far-from-buildings']))
    const east = choice.places[choice.places.length - 1]!
    expect(east.acceptable).toBe(false)
    expect(codes(east.reasons)).toContain('reaches-building')
  })

  test('between the ends the sill would lie on fill: forbidden, unless armoured or cut into old ground', () => {
    for (const { where, acceptable, reasons } of choice.places)
      if (where === 'between') {
        expect(acceptable).toBe(false)
        expect(codes(reasons)).toContain('sill-on-fill')
      }
    const third = (options: SpillChoiceOptions) => choose([wood, house], options).places[3]!
    expect(codes(third({ armoured: true }).reasons)).toContain('sill-armoured')
    expect(third({ armoured: true }).acceptable).toBe(true)
    expect(codes(third({ sill_z_m: 0.4 }).reasons)).toContain('undisturbed-ground')
    expect(third({ sill_z_m: 0.41 }).acceptable).toBe(false)
  })

  test('mirrored, the east end is the best', () => {
    const other = choose([areaFeature('forest', 111, 20, 201, 80), cabin([69.5, 70.5], 4)])
    expect(other.places[other.best!]!.where).toBe('end')
    expect(other.bedFall_ratio).toBe(0.005)
    expect(other.places.map(p => codes(p.reasons)).reverse()).toEqual(choice.places.map(p => codes(p.reasons)))
  })

  test('the order of features changes nothing; ranks are each once; a forbidden place never comes before an acceptable one', () => {
    expect(choose([house, wood])).toEqual(choice)
    expect(choice.places.map(p => p.rank).sort((a, b) => a - b)).toEqual(choice.places.map((_, k) => k + 1))
    const worstGood = Math.max(...choice.places.filter(p => p.acceptable).map(p => p.rank))
    const bestBad = Math.min(...choice.places.filter(p => !p.acceptable).map(p => p.rank))
    expect(worstGood).toBeLessThan(bestBad)
  })

  test('a line that is only drawn gives the same best end', () => {
    const drawn = spillChoice(dugGround(study, []), line, null, [wood, house], 0.02, { elevationError_m: 0.1 })
    expect(drawn.places[drawn.best!]!.where).toBe('start')
    expect(drawn.places[12]!.acceptable).toBe(false)
  })

  test('armoured, the second stage is a sill’s length away at least', () => {
    const two = choose([wood, house], { armoured: true })
    const [a, b] = [two.places[two.best!]!, two.places[two.secondStage!]!]
    expect(b.acceptable).toBe(true)
    expect(Math.abs(a.chainage_m - b.chainage_m)).toBeGreaterThanOrEqual(two.sill_m)
  })
})

describe('nowhere is acceptable, and each place says why', () => {
  const all = (features: readonly SiteFeature[], code: SpillReasonCode, options: SpillChoiceOptions = { armoured: true }): void => {
    const { best, secondStage, bedFall_ratio, places } = choose(features, options)
    expect([best, secondStage, bedFall_ratio]).toEqual([null, null, null])
    for (const { reasons, acceptable } of places) {
      expect(acceptable).toBe(false)
      expect(codes(reasons)).toContain(code)
    }
  }
  test('a track receives the water', () =>
    all(
      [
        wood,
        lineFeature('track', [
          [0, 110.5],
          [201, 110.5],
        ]),
      ],
      'track-receives',
    ))
  test('a track runs down the slope under the line', () => {
    const { places } = choose(
      [
        lineFeature('track', [
          [100.5, 100],
          [100.5, 40],
        ]),
      ],
      { armoured: true },
    )
    for (const { chainage_m, reasons } of places) {
      if (Math.abs(chainage_m - 30) < 1) expect(codes(reasons)).toContain('runs-in-track')
      if (Math.abs(chainage_m - 30) > 6) expect(codes(reasons)).not.toContain('runs-in-track')
    }
  })
  test('the boundary lies below', () =>
    all(
      [
        lineFeature('boundary', [
          [0, 60.5],
          [201, 60.5],
        ]),
      ],
      'crosses-boundary',
    ))
  test('a row of cabins', () =>
    all(
      Array.from({ length: 8 }, (_, k) => cabin([66.5 + 10 * k, 70.5], 5, null, `c${k}`)),
      'reaches-building',
    ))
})

test('a boundary just inside the wood: the run through it is short', () => {
  const short = choose([
    wood,
    lineFeature('boundary', [
      [0, 70.5],
      [201, 70.5],
    ]),
  ]).places[0]!
  expect(codes(short.reasons)).toEqual(expect.arrayContaining(['ends-in-forest', 'short-forest-run']))
  expect(short.reasons.find(r => r.code === 'short-forest-run')!.measured).toBeCloseTo(9.5, 0)
  expect(
    codes(
      choose([
        wood,
        lineFeature('boundary', [
          [0, 40.5],
          [201, 40.5],
        ]),
      ]).places[0]!.reasons,
    ),
  ).not.toContain('short-forest-run')
})

describe('clearance is also height', () => {
  // Beside the way, 14 m off: nearer than 30 m, farther than the clearance.
  const beside = (floor: number): SiteFeature => cabin([50.5, 80.5], 3, floor)
  const ground = 100
  test('a floor high over the flow is high enough; one level with it is not', () => {
    expect(codes(choose([beside(ground + 1)]).places[0]!.reasons)).not.toContain('not-high-enough')
    expect(codes(choose([beside(ground + 0.1)]).places[0]!.reasons)).toContain('not-high-enough')
  })
  test('it flips where the rise passes the depth and twice the error', () => {
    const { measured, limit } = choose([beside(ground + 0.1)]).places[0]!.reasons.find(r => r.code === 'not-high-enough')!
    const flips = ground + 0.1 + (limit! - measured!)
    expect(limit!).toBeGreaterThan(0.2)
    expect(codes(choose([beside(flips - 0.01)]).places[0]!.reasons)).toContain('not-high-enough')
    expect(codes(choose([beside(flips + 0.01)]).places[0]!.reasons)).not.toContain('not-high-enough')
    // A doubled error asks for more height.
    expect(codes(choose([beside(flips + 0.01)], { elevationError_m: 0.2 }).places[0]!.reasons)).toContain('not-high-enough')
  })
})

test('the exit: more flow over the same sill is faster; a steep one is told', () => {
  const gentle = choose([wood], { sill_m: 4 }, 0.005).places[0]!
  const hard = choose([wood], { sill_m: 1 }, 0.4).places[0]!
  expect(codes(gentle.reasons)).toContain('speed-within-grassed')
  expect(codes(hard.reasons)).toEqual(expect.arrayContaining(['too-fast-bare', 'too-fast-grassed', 'longer-than-published']))
  const steep = gridOf(121, 121, 1, plane(180, 0.25, [60.5, 60.5]))
  const on = Array.from({ length: 31 }, (_, k): Point => [45.5 + k, 80.5])
  const water = dugGround(studyWater(steep), [dugAlong(steep, on, 0.25)])
  expect(codes(spillChoice(water, on, 0, [], 0.02).places[0]!.reasons)).toContain('steep-exit')
})

test('a lower ditch is told, and its berm is no receiving ground', () => {
  const below: Point[] = Array.from({ length: 41 }, (_, k): Point => [50.5 + k, 100.5])
  const two = dugGround(study, [dugAlong(base, line, 0.08), dugAlong(base, below, 0.08)])
  const { places } = spillChoice(two, line, 0, [wood], 0.02, { elevationError_m: 0.1 })
  expect(codes(places[0]!.reasons)).toContain('into-lower-ditch')
  expect(codes(places[12]!.reasons)).not.toContain('into-lower-ditch')
})

test('a roof: each end spills to its own side; refusals; every code has its side', () => {
  const ridge = gridOf(161, 161, 1, roof(90, 0.06, [80.5, 80.5]))
  const over: Point[] = Array.from({ length: 21 }, (_, k): Point => [70.5 + k, 80.5])
  const { places } = spillChoice(dugGround(studyWater(ridge), []), over, null, [cabin([140.5, 80.5])], 0.02)
  expect(codes(places[places.length - 1]!.reasons)).toContain('reaches-building')
  expect(codes(places[0]!.reasons)).not.toContain('reaches-building')
  expect(() => choose([], { spacing_m: 0 })).toThrow(expect.objectContaining({ code: 'spill/bad-spacing' }))
  expect(() => choose([], { bedFall_ratio: 0.2 })).toThrow(expect.objectContaining({ code: 'spill/bad-spacing' }))
  for (const { side, weight } of Object.values(SPILL_REASONS)) expect(side === 'forbids').toBe(weight === 0)
  // A mutated copy of the ground with a void at the end: there is no ground to spill on.
  const gap = reshaped(base, (z, cell) => (cell % 201 < 68 ? Number.NaN : z))
  const edge = spillChoice(
    dugGround(studyWater(gap), []),
    line.slice(0, 30).map(([x, y]): Point => [x - 3, y]),
    null,
    [],
    0.02,
  )
  expect(codes(edge.places[0]!.reasons)).toEqual(['no-ground'])
})

describe('outlets before there is a line', () => {
  const slope = gradient(base)
  test('along the wood’s upper edge, not below the cabin, with the counts of what was left out', () => {
    const { places, leftOut } = outletPlaces(study, slope, [areaFeature('forest', 0, 20, 201, 60), cabin([100.5, 90.5], 5)])
    expect(places.length).toBeGreaterThan(4)
    for (const { into, at, nearestBuilding_m, overflow } of places) {
      expect(into).toBe('forest')
      expect(Math.abs(at[1] - 60.5)).toBeLessThan(1.1)
      expect(nearestBuilding_m).toBeGreaterThan(10)
      expect(overflow.endsIn).toBe('forest')
    }
    expect(places.map(p => p.rank)).toEqual(places.map((_, k) => k + 1))
    expect(leftOut['water-passes-building']).toBe(0)
  })
  test('a cabin inside the wood’s way, a track along its edge, steep ground: left out, and counted', () => {
    const woods = areaFeature('forest', 0, 20, 201, 60)
    const passing = outletPlaces(study, slope, [woods, cabin([100.5, 40.5], 5)])
    expect(passing.places.every(({ at }) => Math.abs(at[0] - 100.5) > 5)).toBe(true)
    expect(passing.leftOut['water-passes-building']).toBeGreaterThan(5)
    const track = outletPlaces(study, slope, [
      woods,
      lineFeature('track', [
        [0, 61],
        [201, 61],
      ]),
    ])
    expect(track.places).toEqual([])
    expect(track.leftOut.track).toBeGreaterThan(100)
    const steep = outletPlaces(study, slope, [woods], { flat_ratio: 0.05 })
    expect(steep.places).toEqual([])
    expect(steep.leftOut['too-steep']).toBeGreaterThan(100)
  })
  test('into a stream; off the holding; nothing drawn', () => {
    const water = outletPlaces(study, slope, [
      lineFeature('stream', [
        [0, 40.5],
        [201, 40.5],
      ]),
    ])
    expect(water.places.length).toBeGreaterThan(4)
    expect(water.places.every(p => p.into === 'stream')).toBe(true)
    const holding = areaFeature('boundary', 0, 80, 201, 160)
    expect(outletPlaces(study, slope, [areaFeature('forest', 0, 20, 201, 60), holding]).places).toEqual([])
    const none = outletPlaces(study, slope, [])
    expect(none.places).toEqual([])
    expect(Object.values(none.leftOut).every(n => n === 0)).toBe(true)
  })
})
