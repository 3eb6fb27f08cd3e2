import type { InputError } from 'soakline/foundation'
import { DIG_PHASES, digPlan } from 'soakline/plan'
import type { Point } from 'soakline/raster'
import { expect, test } from 'vitest'
import { laidOn, SLOPE, STRAIGHT } from './laid-on.js'

const { laid, answer } = laidOn(SLOPE, STRAIGHT, { spillChainage_m: 20, sillLength_m: 2 })

test('stretches run outwards from the spill and hold the ditch’s whole earth', () => {
  const plan = digPlan(laid, { stretch_m: 10 })
  expect(plan.stretches.map(s => [s.from_m, s.to_m])).toEqual([
    [10, 20],
    [20, 30],
    [0, 10],
    [30, 40],
  ])
  expect(plan.cut_m3).toBeCloseTo(answer.earth!.cut_m3, 6)
  expect(plan.bermSettled_m3).toBeCloseTo(answer.earth!.bermSettled_m3, 6)
  expect(plan.loose_m3).toBeCloseTo(answer.earth!.bermLoose_m3, 6)
  expect(plan.stretches.reduce((sum, s) => sum + s.personDays!.low_days, 0)).toBeCloseTo(plan.personDays!.low_days, 9)
  // By hand, ring (−0.6, 0.6) (0, 0) (1, 0) (1.4, 0.4): the uphill edge lies (0.4 + 10 % of 1.4)/(1 − 10 %) = 0.6 high. Shoelace: (0.4 + 1.08)/2.
  expect(plan.stretches[0]!.cut_m3).toBeCloseTo(10 * 0.74, 3)
  expect(plan.personDays).toEqual(answer.earth!.personDaysRange)
})

test('the spill comes before any earth is moved, the ends before the levels, and every phase says what rain does', () => {
  const { phases } = digPlan(laid, { stakes: 11 })
  expect(phases.map(p => p.code)).toEqual([...DIG_PHASES])
  expect(phases.map(p => p.order)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10])
  const at = (code: string): number => phases.findIndex(p => p.code === code)
  expect(at('make-spill')).toBeLessThan(at('strip-turf'))
  expect(at('strip-turf')).toBeLessThan(at('dig-from-spill'))
  expect(phases[at('make-spill')]!.quantities).toMatchObject({ at_m: 20, sillLength_m: 2 })
  expect(phases[at('ask-and-mark')]!.quantities).toEqual({ length_m: 40, stakes: 11 })
  expect(phases[at('turn-ends-uphill')]!.quantities.ends).toBe(2)
  for (const phase of phases) for (const value of Object.values(phase.quantities)) expect(Number.isFinite(value)).toBe(true)
})

test('where the spill takes the whole end, only the other end is closed', () => {
  const atEnd = digPlan(laidOn(SLOPE, STRAIGHT, { spillChainage_m: 0, sillLength_m: 2 }).laid)
  expect(atEnd.phases.find(p => p.code === 'turn-ends-uphill')!.quantities.ends).toBe(1)
  expect(atEnd.stretches[0]!.from_m).toBe(0)
})

test('crossings keep off the spill and the line’s ends; a flatter ramp by hand', () => {
  const { crossings } = digPlan(laid, {
    crossings: [
      { chainage_m: 30, crosser: 'machine' },
      { chainage_m: 22, crosser: 'barrow' },
      { chainage_m: 0, crosser: 'stock' },
    ],
  })
  expect(crossings.map(c => c.refused)).toEqual([null, 'crossing/at-spill', 'crossing/beyond-line'])
  // Uphill side of the cut: 0.4 + 10 % of 2 m is 0.6 m high, from 1:1 to 7:1 over 3.5 m.
  expect(crossings[0]!.extraCut_m3).toBeCloseTo(3.5 * 0.5 * 6 * 0.6 * 0.6, 2)
  expect(crossings[0]!.extraFill_m3).toBeGreaterThan(0)
})

test('the mulch is one number: crest and outer face along them, as deep as it is set', () => {
  const plan = digPlan(laid)
  expect(plan.mulch_m3).toBe(answer.earth!.mulch_m3)
  expect(plan.phases.find(phase => phase.code === 'cover-and-plant')!.quantities).toMatchObject({
    mulch_m3: plan.mulch_m3,
    area_m2: expect.closeTo(plan.mulch_m3 / laid.settings.mulchDepth_m, 9),
  })
  const { dug, crest_z_m, outerToe_x_m, lip_x_m } = laid.ditch.stakes[0]!.section
  const outside = dug.filter(([x, z]) => x >= lip_x_m && x <= outerToe_x_m + 1e-9 && (z >= crest_z_m - 1e-9 || x === outerToe_x_m))
  expect(outside).toHaveLength(3)
  const [inner, outer, toe] = outside as [Point, Point, Point]
  const along_m = outer[0] - inner[0] + Math.hypot(toe[0] - outer[0], toe[1] - outer[1])
  expect(plan.mulch_m3).toBeCloseTo(40 * along_m * laid.settings.mulchDepth_m, 3)
})

test('days in heavier soil are never fewer; cost is by the user’s rates alone', () => {
  const plan = digPlan(laid, { rates: { personDay: 100, mulch_m3: 10 } })
  const soils = plan.bySoil.filter(row => row.soil !== 'rock').map(row => row.days!.high_days)
  expect([...soils].sort((a, b) => a - b)).toEqual(soils)
  expect(plan.bySoil.filter(row => row.chosen).map(row => row.soil)).toEqual(['firm'])
  expect(plan.cost).toEqual({
    byHand: { low: 100 * plan.personDays!.low_days, high: 100 * plan.personDays!.high_days },
    byMachine: null,
    mulch: 10 * plan.mulch_m3,
  })
  expect(digPlan(laid).cost).toBeNull()
})

test.each([
  [{ stretch_m: 0 }, 'digging/bad-size'],
  [{ stripDepth_m: Number.NaN }, 'digging/bad-size'],
  [{ rates: { personDay: -1 } }, 'digging/bad-rate'],
])('refused: %o', (options, code) => {
  expect(() => digPlan(laid, options)).toThrow(expect.objectContaining({ code }) as InputError)
})
