import { type InputError, seededRandom } from 'soakline/foundation'
import { stakesOf } from 'soakline/plan'
import type { Point } from 'soakline/raster'
import { expect, test } from 'vitest'
import { arc } from '../../../../tests/helpers/surfaces.js'
import { bearing_deg, cosineOf, sineOf } from '../../src/plan/angles.js'
import { CENTRE, KNOLL, laidOn, SLOPE, STRAIGHT } from './laid-on.js'

test('a straight line of 40 m: stakes at its ends, every 5 m, at the spill and both ends of the sill', () => {
  const { laid, answer } = laidOn(SLOPE, STRAIGHT, { spillChainage_m: 20, sillLength_m: 3 })
  const stakes = stakesOf(laid, { every_m: 5 })
  expect(stakes.map(s => [s.chainage_m, s.kinds.join()])).toEqual([
    [0, 'start'],
    [5, 'step'],
    [10, 'step'],
    [15, 'step'],
    [18.5, 'sill-end'],
    [20, 'spill'],
    [21.5, 'sill-end'],
    [25, 'step'],
    [30, 'step'],
    [35, 'step'],
    [40, 'end'],
  ])
  expect(stakes.map(s => s.number)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11])
  // The bed, sill and crest are those of the answer.
  for (const s of stakes) {
    expect(s.bed_m).toBeCloseTo(answer.line.bedElevation_m, 9)
    expect(s.sill_m).toBeCloseTo(answer.spillway!.sillElevation_m, 9)
    expect(s.cut_m).toBeCloseTo(0.4, 4)
    if (s.kinds[0] === 'spill') expect(s.crest_m).toBeNull()
    else {
      expect(s.crest_m).toBeCloseTo(answer.storage!.crestElevation_m, 3)
      expect(s.bermToBuild_m! / s.bermSettled_m!).toBeCloseTo(1.25, 9)
    }
  }
})

test('tape, bearing and drop from a chosen base stake, by hand', () => {
  const { laid } = laidOn(SLOPE, STRAIGHT)
  const stakes = stakesOf(laid, { every_m: 10, base: 2 })
  const base = stakes[1]!
  expect(base.fromBase).toEqual({ distance_m: 0, tape_m: 0, bearing_deg: null })
  expect(stakes[0]!.fromBase.bearing_deg).toBeCloseTo(270, 9)
  expect(stakes[stakes.length - 1]!.fromBase.bearing_deg).toBeCloseTo(90, 9)
  expect(stakes[stakes.length - 1]!.fromBase.distance_m).toBeCloseTo(40 - base.chainage_m, 9)
  // A tape measures ground: 0.9996 of a grid is 1.0004 of it.
  expect(stakesOf(laid, { every_m: 10, groundPerGrid_ratio: 1.0004 }).at(-1)!.fromBase.distance_m).toBeCloseTo(40.016, 6)
})

test('horizontal doubt is the error of height over the slope; on flat ground it is cut off and said so', () => {
  const { laid } = laidOn(SLOPE, STRAIGHT)
  for (const s of stakesOf(laid)) {
    expect(s.horizontalDoubt_m).toBeCloseTo(0.5, 3)
    expect(s.doubtCapped).toBe(false)
  }
  for (const s of stakesOf(laid, { doubtCap_m: 0.3 })) expect([s.horizontalDoubt_m, s.doubtCapped]).toEqual([0.3, true])
  expect(stakesOf(laidOn(SLOPE, STRAIGHT, { elevationError_m: null }).laid)[0]!.horizontalDoubt_m).toBeNull()
})

test('a slow curve gets a stake for each angle that it has turned; a single bend one at its vertex', () => {
  // 60 m round a knoll at 30 m: 114.6°, in chords of 1 m that turn 1.9° each.
  const { laid } = laidOn(KNOLL, arc(180, CENTRE, 30, 60))
  const bends = stakesOf(laid, { every_m: 100, bend_deg: 20 }).filter(s => s.kinds.includes('bend'))
  expect(bends.length).toBe(5)
  const bent: Point[] = [
    [60, 80],
    [80, 80],
    [99, 79],
  ]
  const one = stakesOf(laidOn(SLOPE, bent, { depth_m: 0.5 }).laid, { every_m: 100, bend_deg: 3 }).filter(s => s.kinds.includes('bend'))
  expect(one.map(s => s.chainage_m)).toEqual([20])
})

test('check banks of a falling bed are staked, and the bed’s drops sum to its fall', () => {
  const falling: Point[] = [
    [60, 82],
    [100, 78],
  ]
  const { laid } = laidOn(SLOPE, falling, {
    bedFall_ratio: 0.01,
    checkBanks: true,
    depth_m: 0.2,
    spillChainage_m: Math.sqrt(1616),
    bedWidth_m: 2,
    notchDepth_m: 0,
  })
  const stakes = stakesOf(laid)
  const length_m = Math.sqrt(40 * 40 + 4 * 4)
  expect(stakes.filter(s => s.kinds.includes('check-bank')).map(s => s.chainage_m)).toEqual([expect.closeTo(length_m - 20, 9)])
  expect(stakes.reduce((sum, s) => sum + (s.toNext?.bedDrop_m ?? 0), 0)).toBeCloseTo(0.01 * length_m, 9)
  expect(stakes.reduce((sum, s) => sum + (s.toNext?.distance_m ?? 0), 0)).toBeCloseTo(length_m, 9)
})

test.each([
  [{ every_m: 0 }, 'stakes/bad-spacing'],
  [{ every_m: Number.NaN }, 'stakes/bad-spacing'],
  [{ bend_deg: 0 }, 'stakes/bad-bend'],
  [{ base: 99 }, 'stakes/bad-base'],
  [{ groundPerGrid_ratio: 3 }, 'stakes/bad-scale'],
])('refused: %o', (options, code) => {
  const { laid } = laidOn(SLOPE, STRAIGHT)
  expect(() => stakesOf(laid, options)).toThrow(expect.objectContaining({ code }) as InputError)
})

test('law: sines and bearings agree with the engine’s to the last figures', () => {
  const random = seededRandom(7).uniform
  for (let k = 0; k < 2000; k++) {
    const angle = (random() - 0.5) * 1440
    expect(Math.abs(sineOf(angle) - Math.sin((angle * Math.PI) / 180))).toBeLessThan(3e-15 * (1 + Math.abs(angle) / 90))
    expect(sineOf(angle) ** 2 + cosineOf(angle) ** 2).toBeCloseTo(1, 14)
    const [e, n] = [random() - 0.5, random() - 0.5]
    const expected = ((Math.atan2(e, n) * 180) / Math.PI + 360) % 360
    expect(Math.abs(bearing_deg(e, n)! - expected)).toBeLessThan(1e-11)
  }
  expect([0, 90, 180, 270, 360].map(sineOf)).toEqual([0, 1, 0, -1, 0].map(x => expect.closeTo(x, 15) as number))
  expect([bearing_deg(0, 1), bearing_deg(1, 0), bearing_deg(0, -1), bearing_deg(-1, 0), bearing_deg(0, 0)]).toEqual([0, 90, 180, 270, null])
})
