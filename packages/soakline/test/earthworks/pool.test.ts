import fc from 'fast-check'
import {
  type Inflow,
  type Pool,
  type PoolLevel,
  routeCascade,
  routeFull,
  routePool,
  storageIndication,
  storageShare_ratio,
  triangularStorage_m3,
  type Weir,
} from 'soakline/earthworks'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'

fc.configureGlobal({ seed: 1, numRuns: 40 })

const LENGTH_m = 100
const BED_m = 1
/** A ditch with upright sides, 0.6 m deep; its bed soaks at a rate. */
const boxLevels = (intake_mmh: number): PoolLevel[] =>
  Array.from({ length: 61 }, (_, k) => ({
    level_m: k / 100,
    storage_m3: (LENGTH_m * BED_m * k) / 100,
    soak_m3s: (LENGTH_m * BED_m * intake_mmh) / 3_600_000,
  }))
const notch: Weir = { crest_m: 0.3, length_m: 0.3, coefficient: 1.45 }
const sill: Weir = { crest_m: 0.4, length_m: 6, coefficient: 1.45 }
const ditch = (intake_mmh: number, outlets: readonly Weir[] = [notch, sill]): Pool => ({
  levels: boxLevels(intake_mmh),
  outlets,
  crest_m: 0.6,
})
const storm = (peak_m3s: number): Inflow => ({
  step_s: 300,
  flows_m3s: [0, 0.25, 0.6, 1, 0.8, 0.55, 0.35, 0.2, 0.1, 0.05, 0.02, 0].map(share => share * peak_m3s),
})

describe('a level pool', () => {
  test('law: what stood and ran in is what spilled, soaked and is left, to 1e-9; nothing spills up to the lowest crest', () =>
    fc.assert(
      fc.property(evenly(0, 0.3), evenly(0, 100), evenly(0, 0.6), (peak, intake, start_m) => {
        const r = routePool(ditch(intake), storm(peak), { start_m, follow_h: 6 })
        const total = r.start_m3 + r.inflow_m3
        expect(Math.abs(total - r.spilled_m3 - r.soaked_m3 - r.left_m3)).toBeLessThanOrEqual(1e-9 * (1 + total))
        expect(r.left_m3).toBeGreaterThanOrEqual(0)
        if (r.highest_m <= notch.crest_m) expect(r.spilled_m3).toBe(0)
        expect(r.spilled_m3BySteps.reduce((a, b) => a + b, 0)).toBeCloseTo(r.spilled_m3, 9)
        expect(r.peakSpill_m3s).toBeLessThanOrEqual(Math.max(peak, r.spills_m3s[0]!) * (1 + 1e-9))
      }),
    ))

  test('law: a larger storm never stands lower or spills less; soaking never raises the water', () =>
    fc.assert(
      fc.property(evenly(0.01, 0.2), evenly(1, 2), evenly(0, 50), (peak, times, intake) => {
        const small = routePool(ditch(intake), storm(peak), { follow_h: 2 })
        const large = routePool(ditch(intake), storm(peak * times), { follow_h: 2 })
        const tight = routePool(ditch(0), storm(peak), { follow_h: 2 })
        expect(large.highest_m).toBeGreaterThanOrEqual(small.highest_m - 1e-9)
        expect(large.spilled_m3).toBeGreaterThanOrEqual(small.spilled_m3 - 1e-9)
        expect(tight.highest_m).toBeGreaterThanOrEqual(small.highest_m - 1e-9)
      }),
    ))

  test('finer steps change the answer by less than 0.2 %', () => {
    const usual = routePool(ditch(20), storm(0.2), { follow_h: 1 })
    const fine = routePool(ditch(20), storm(0.2), { follow_h: 1, partsPerStep: 400 })
    expect(Math.abs(usual.highest_m / fine.highest_m - 1)).toBeLessThan(0.002)
    expect(Math.abs(usual.spilled_m3 / fine.spilled_m3 - 1)).toBeLessThan(0.002)
    expect(Math.abs(usual.peakSpill_m3s / fine.peakSpill_m3s - 1)).toBeLessThan(0.002)
  })

  test('a box that soaks through its bed alone is empty after depth over rate (exact)', () => {
    const r = routePool(ditch(25, [sill]), { step_s: 300, flows_m3s: [0] }, { start_m: 0.4 })
    expect(Math.abs(r.hoursToEmpty! - 400 / 25)).toBeLessThan(300 / 3600)
    expect(r.soaked_m3).toBeCloseTo(40, 9)
    expect(r.left_m3).toBe(0)
  })

  test('without soaking it never empties, and keeps what lies under its lowest crest', () => {
    const r = routePool(ditch(0), storm(0.2), { follow_h: 48 })
    expect(r.hoursToEmpty).toBeNull()
    expect(r.left_m3).toBeGreaterThan(30)
    expect(r.left_m3).toBeLessThan(30.3)
  })

  test('the spill starts when the water reaches the lowest crest', () => {
    const steady: Inflow = { step_s: 60, flows_m3s: Array.from({ length: 120 }, () => 0.01) }
    const r = routePool(ditch(0), steady, { follow_h: 0 })
    expect(Math.abs(r.spillStarts_s! - 3000)).toBeLessThan(61)
    expect(routePool(ditch(0), storm(0.001)).spillStarts_s).toBeNull()
  })

  test('the spill is checked full to the long sill, the notch blocked, nothing soaking', () => {
    const worst = routeFull(ditch(50, [sill]), storm(0.2))
    const best = routePool(ditch(50), storm(0.2))
    expect(worst.soaked_m3).toBe(0)
    expect(worst.start_m3).toBeCloseTo(40, 9)
    expect(worst.highest_m).toBeGreaterThan(best.highest_m)
    expect(worst.freeboard_m).toBeCloseTo(0.6 - worst.highest_m, 12)
    expect(refusalCode(() => routeFull(ditch(0, []), storm(0.1)))).toBe('weir/none')
  })

  test('a storm that the sill cannot pass runs over the berm, and is said to', () => {
    const r = routePool(ditch(0, [{ ...sill, length_m: 0.5 }]), storm(2), { follow_h: 1 })
    expect(r.overtopped).toBe(true)
    expect(r.freeboard_m).toBeLessThan(0)
  })

  test('through a gap runs the water that stood and the rest of the storm', () => {
    const r = routePool(ditch(0, [sill]), storm(0.2), { start_m: 0.4, gap: { width_m: 2, opens: { at_s: 600 } } })
    expect(r.gapOpened_s).toBe(600)
    expect(r.behindGap_m3!).toBeGreaterThan(40)
    const rest = r.inflow_m3 - (300 * 0.2 * (0.25 + 0.6 + 0.25)) / 2
    expect(r.afterGap_m3! + r.left_m3).toBeCloseTo(r.behindGap_m3! + rest, 6)
    expect(r.left_m3).toBeLessThan(0.2)
    expect(r.peakSpill_m3s).toBeGreaterThan(0.5)
  })

  test('refusals', () => {
    const pool = ditch(0)
    expect(refusalCode(() => routePool({ ...pool, levels: pool.levels.slice(0, 1) }, storm(1)))).toBe('pool/bad-levels')
    expect(refusalCode(() => routePool({ ...pool, levels: [...pool.levels].reverse() }, storm(1)))).toBe('pool/bad-levels')
    expect(refusalCode(() => routePool(pool, { step_s: 0, flows_m3s: [1] }))).toBe('pool/bad-inflow')
    expect(refusalCode(() => routePool(pool, { step_s: 60, flows_m3s: [-1] }))).toBe('pool/bad-inflow')
    expect(refusalCode(() => routePool(pool, storm(1), { start_m: 0.7 }))).toBe('pool/bad-start')
  })
})

describe('several ditches', () => {
  const inflow = storm(0.15)
  const three = [
    { pool: ditch(10), inflow, spillsTo: 1 },
    { pool: ditch(10), inflow, spillsTo: 2 },
    { pool: ditch(10), inflow, spillsTo: null },
  ]

  test('law: together they lose no water, with or without a failure', () => {
    for (const fails of [undefined, { ditch: 0, when: 'highest' as const }]) {
      const r = routeCascade(three, { follow_h: 4, ...(fails ? { fails } : {}) })
      const own_m3 = 3 * routePool(ditch(10), inflow, { follow_h: 0 }).inflow_m3
      expect(Math.abs(own_m3 - r.leaves_m3 - r.soaked_m3 - r.left_m3)).toBeLessThan(1e-9 * own_m3)
    }
  })

  test('the lower ones stand higher; one that spills past the others does not load them', () => {
    const r = routeCascade(three, { follow_h: 4 })
    expect(r.fallen).toEqual([])
    expect(r.ditches[1]!.highest_m).toBeGreaterThan(r.ditches[0]!.highest_m)
    const past = routeCascade([{ ...three[0]!, spillsTo: null }, { ...three[1]!, spillsTo: null }, three[2]!], { follow_h: 4 })
    expect(past.ditches[2]!.highest_m).toBe(past.ditches[0]!.highest_m)
  })

  test('when the top one fails, those below whose sill cannot pass it fall too', () => {
    const tight = three.map(d => ({ ...d, pool: ditch(10, [{ ...sill, length_m: 2 }]) }))
    expect(routeCascade(tight, { follow_h: 4 }).fallen).toEqual([])
    const r = routeCascade(tight, { fails: { ditch: 0, when: 'highest' }, gapWidth_m: 4, follow_h: 4 })
    expect(r.fallen).toEqual([0, 1, 2])
    expect(r.ditches[2]!.afterGap_m3!).toBeGreaterThan(r.ditches[0]!.afterGap_m3!)
    const wide = three.map((d, k) => (k === 0 ? d : { ...d, pool: ditch(10, [{ ...sill, length_m: 60 }]) }))
    expect(routeCascade(wide, { fails: { ditch: 0, when: 'highest' }, follow_h: 4 }).fallen).toEqual([0])
  })

  test('refusals', () => {
    expect(refusalCode(() => routeCascade([{ ...three[0]!, spillsTo: 0 }]))).toBe('cascade/bad-order')
    expect(refusalCode(() => routeCascade([three[0]!, { ...three[2]!, inflow: { ...inflow, step_s: 60 } }]))).toBe('cascade/bad-steps')
    expect(refusalCode(() => routeCascade([{ ...three[0]!, spillsTo: null }], { fails: { ditch: 3, when: 'highest' } }))).toBe(
      'cascade/no-such-ditch',
    )
  })
})

describe('the handbook’s storage-indication', () => {
  const rows = [0, 100, 150].map((storage_m3, k) => ({ storage_m3, outflow_m3s: [0, 0.5, 3][k]! }))

  test('remarks on rows where ΔO/2 exceeds ΔS/Δt (RT-STABLE: FHWA HDS-2 ch. 7)', () => {
    expect(storageIndication(rows, [0, 0], 60).remarks.map(r => [r.code, r.details.halfOutflow_m3s])).toEqual([['rating/unstable', 1.25]])
    expect(storageIndication(rows, [0, 0], 30).remarks).toEqual([])
  })

  test('law: it conserves water by the trapezium rule, to 1e-9; its peak is no higher than that of the inflow and comes later', () =>
    fc.assert(
      fc.property(fc.array(evenly(0, 0.4), { minLength: 2, maxLength: 30 }), flows => {
        const inflow = [0, ...flows, 0]
        const { outflow_m3s, storage_m3 } = storageIndication(
          rows.map(r => ({ ...r, storage_m3: r.storage_m3 * 20 })),
          inflow,
          60,
        )
        const volume = (q: readonly number[]) => q.slice(1).reduce((sum, flow, k) => sum + ((flow + q[k]!) / 2) * 60, 0)
        expect(Math.abs(volume(inflow) - volume(outflow_m3s) - storage_m3.at(-1)!)).toBeLessThan(1e-9 * (1 + volume(inflow)))
        expect(Math.max(...outflow_m3s)).toBeLessThanOrEqual(Math.max(...inflow) + 1e-12)
      }),
    ))

  test('refusals', () => {
    expect(refusalCode(() => storageIndication(rows.slice(0, 1), [0], 60))).toBe('rating/bad-rows')
    expect(refusalCode(() => storageIndication([...rows].reverse(), [0], 60))).toBe('rating/bad-rows')
    expect(refusalCode(() => storageIndication(rows, [0, 50, 50], 60))).toBe('rating/outside')
    expect(refusalCode(() => storageIndication(rows, [0], 0))).toBe('pool/bad-inflow')
    expect(refusalCode(() => storageShare_ratio(0.9, 'I-IA'))).toBe('storage-estimate/outside')
    expect(refusalCode(() => triangularStorage_m3(1, 0.5, 0.6))).toBe('storage-estimate/outside')
  })
})
