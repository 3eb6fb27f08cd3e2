import { builtAgainstPlan, groundWork, plantingRows, plantZones, settingsAsBuilt, stakesOf, verdictsChanged } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { laidOn, SLOPE, STRAIGHT } from './laid-on.js'

// What follows from an answer, by its settings.

const { laid, answer, settings } = laidOn(SLOPE, STRAIGHT, { spillChainage_m: 0 })

describe('the work on the ground', () => {
  test('its parts are those of the single functions, by the settings', () => {
    const { laid: other, answer: second } = laidOn(SLOPE, STRAIGHT, {
      spillChainage_m: 0,
      stakesEvery_m: 8,
      digStretch_m: 20,
      soakWidth_m: 1,
    })
    const work = groundWork(other, second)
    expect(work.stakes).toEqual(stakesOf(other, { every_m: 8 }))
    expect(work.digging.stretches.every(s => s.length_m <= 20 + 1e-9)).toBe(true)
    expect(work.planting.zones.find(z => z.zone === 'soak-zone')!.width_m).toBeCloseTo(1, 1)
    const plain = groundWork(laid, answer)
    expect(plantingRows(plain.planting.zones)).toEqual(plantingRows(plantZones(laid, { intake_mmh: answer.soaking.infiltration_mmh })))
  })

  test('plants on the berm as the settings say: none, small ones, trees', () => {
    const woody = (bermPlants: 'none' | 'small' | 'trees') => {
      const { laid: other, answer: second } = laidOn(SLOPE, STRAIGHT, { spillChainage_m: 0, bermPlants })
      return groundWork(other, second).planting.zones.find(z => z.zone === 'crest')!.conditions.woody
    }
    expect([woody('none'), woody('small'), woody('trees')]).toEqual(['kept-out', 'small', 'allowed'])
  })

  test('derived: 2 mm wrong on the crossbar of a frame of 1.2 m and 2 m puts 100 m off by 167 mm', () => {
    const { levelling } = groundWork(laid, answer)
    const perMetre = levelling.aFrame.error.byBias_m / (levelling.aFrame.steps * levelling.aFrame.legSpan_m)
    expect(perMetre * 100).toBeCloseTo(0.1667, 4)
  })

  test('with a list of his own the user sees no general types', () => {
    const own = {
      name: 'pear',
      needs: { wetFeet_h: 1, drainedDepth_m: 1, sun: 'full', spread_m: 3, woody: true, deepDrainage: false },
    } as const
    const work = groundWork(laid, answer, { plants: [own] })
    expect([work.planting.starter, work.planting.plants]).toEqual([false, [own]])
    expect(groundWork(laid, answer).planting.starter).toBe(true)
  })
})

describe('readings against the plan', () => {
  const at = stakesOf(laid).filter(s => s.crest_m !== null)
  const read = (change: (k: number) => number) =>
    at.map((s, k) => ({ what: 'crest' as const, chainage_m: s.chainage_m, level_m: s.crest_m! + change(k) }))

  test('the tolerance of the crest is that of the settings', () => {
    const spots = (crestTolerance_mm: number) =>
      builtAgainstPlan({ ...laid, settings: { ...settings, crestTolerance_mm } }, answer, {
        fresh: false,
        readings: read(k => (k === 3 ? -0.03 : 0)),
      }).lowSpots.length
    expect([spots(20), spots(40)]).toEqual([1, 0])
  })

  test('what the staff cannot show is no low spot, and does not make one longer', () => {
    const [spot] = builtAgainstPlan(laid, answer, { fresh: false, readings: read(k => (k === 3 ? -0.06 : -0.0004)) }).lowSpots
    expect(spot!.from_m).toBeCloseTo(at[2]!.chainage_m, 1)
    expect(spot!.to_m).toBeCloseTo(at[4]!.chainage_m, 1)
  })

  test('it is assessed over the sill and at the spill that were laid out', () => {
    expect(settingsAsBuilt(laid)).toMatchObject({ spillChainage_m: laid.spillAt_m, sillLength_m: laid.sill!.to_m - laid.sill!.from_m })
  })
})

test('verdicts that changed: the worst of each check, what got worse first', () => {
  const finding = (check: string, verdict: 'holds' | 'watch' | 'fails' | 'unknown') => ({ check, verdict }) as never
  const planned = {
    findings: [finding('a', 'fails'), finding('b', 'holds'), finding('b', 'watch'), finding('c', 'holds'), finding('d', 'unknown')],
  }
  const built = { findings: [finding('a', 'holds'), finding('b', 'fails'), finding('c', 'holds'), finding('d', 'watch')] }
  expect(verdictsChanged(planned, built)).toEqual([
    { check: 'b', planned: 'watch', built: 'fails' },
    { check: 'd', planned: 'unknown', built: 'watch' },
    { check: 'a', planned: 'fails', built: 'holds' },
  ])
})

test('tape and bearing go from the stake that is chosen; a number beyond the last is the last', () => {
  const from = (baseStake: number) => {
    const { laid, answer } = laidOn(SLOPE, STRAIGHT, { baseStake })
    return groundWork(laid, answer).stakes
  }
  const [first, third, beyond] = [from(1), from(3), from(1000)]
  expect(third[2]!.fromBase).toMatchObject({ distance_m: 0, bearing_deg: null })
  expect(third[0]!.fromBase.distance_m).toBeCloseTo(first[2]!.fromBase.distance_m, 12)
  expect(beyond.at(-1)!.fromBase.distance_m).toBe(0)
  expect(third.map(({ fromBase: _, ...rest }) => rest)).toEqual(first.map(({ fromBase: _, ...rest }) => rest))
})
