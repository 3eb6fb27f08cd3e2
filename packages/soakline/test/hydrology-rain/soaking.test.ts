import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'
import { creditedIntake } from '../../src/hydrology/credited-intake.js'
import { ditchLevels, emptyingTime_h, intakeToEmpty_mmh, type SoakLevel } from '../../src/hydrology/drain-down.js'
import { TEXTURES, type Texture } from '../../src/hydrology/green-ampt.js'
import { augerIntake_mmh, pitIntake_mmh, ringIntake_mmh } from '../../src/hydrology/intake-test.js'
import { PUBLISHED_INTAKE, publishedIntake } from '../../src/hydrology/published-intake.js'
import { SOIL_GROUP_RULES, soilGroupOfRate } from '../../src/hydrology/soil-group.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

describe('published intake', () => {
  test('every texture has a low, a middle and a high value, in that order, and says where the low one stands', () => {
    for (const texture of TEXTURES) {
      const { low_mmh, middle_mmh, high_mmh, lowSource } = publishedIntake(texture)
      expect(low_mmh).toBeGreaterThan(0)
      expect(middle_mmh).toBeGreaterThanOrEqual(low_mmh)
      expect(high_mmh).toBeGreaterThanOrEqual(middle_mmh)
      expect(lowSource).not.toBe('')
    }
    for (const p of PUBLISHED_INTAKE) expect(p.high_mmh ?? Infinity, p.source).toBeGreaterThanOrEqual(p.low_mmh)
  })

  test('loam: 3.4 (Rawls, 1983), 7.62 (Minnesota), 10–20 mm/h (FAO): low 3.4, middle 8.81, high 20', () => {
    const loam = publishedIntake('loam')
    expect([loam.low_mmh, loam.high_mmh]).toEqual([3.4, 20])
    expect(loam.middle_mmh).toBeCloseTo((7.62 + 10) / 2, 12)
    expect(loam.lowKnown).toBe('from-memory')
  })

  test('sand: the lowest published is the design rate of Minnesota, 0.8 in/h', () => {
    expect(publishedIntake('sand').low_mmh).toBeCloseTo(20.32, 12)
  })

  test('an unknown texture is refused', () => expect(refusalCode(() => publishedIntake('silt' as Texture))).toBe('soil/unknown-texture'))
})

describe('what may be credited', () => {
  test('three tests: half the slowest, whatever is published', () => {
    expect(creditedIntake({ tests_mmh: [30, 12, 50], texture: 'clay' })).toMatchObject({
      intake: { value: 6, unit: 'mm/h' },
      because: 'intake/half-slowest-test',
    })
  })

  test('no tests: the lowest published; fewer than three count only where they are lower still', () => {
    expect(creditedIntake({ tests_mmh: [], texture: 'loam' })).toMatchObject({
      intake: { value: 3.4, known: 'from-memory' },
      because: 'intake/lowest-published',
    })
    expect(creditedIntake({ tests_mmh: [100, 90], texture: 'loam' }).intake?.value).toBe(3.4)
    expect(creditedIntake({ tests_mmh: [100, 3], texture: 'loam' })).toMatchObject({
      intake: { value: 1.5 },
      because: 'intake/few-tests-lower',
    })
  })

  test('neither tests nor texture: unknown', () => {
    expect(creditedIntake({ tests_mmh: [40, 50], texture: null })).toEqual({ intake: null, because: 'intake/unknown' })
  })

  test('law: never more than half of any test, and a slower test never gives more', () =>
    fc.assert(
      fc.property(fc.array(evenly(0, 200), { maxLength: 6 }), fc.constantFrom(...TEXTURES), evenly(0, 1), (tests, texture, share) => {
        const credited = creditedIntake({ tests_mmh: tests, texture }).intake!.value
        for (const t of tests) expect(credited).toBeLessThanOrEqual(t / 2)
        const slower = creditedIntake({ tests_mmh: tests.map(t => t * share), texture }).intake!.value
        expect(slower).toBeLessThanOrEqual(credited)
      }),
    ))

  test('a test that failed to be read is refused, not skipped', () => {
    expect(refusalCode(() => creditedIntake({ tests_mmh: [Number.NaN], texture: 'loam' }))).toBe('soil/bad-test')
    expect(refusalCode(() => creditedIntake({ tests_mmh: [-1], texture: 'loam' }))).toBe('soil/bad-test')
  })
})

describe('tests in the ground', () => {
  test('twice the water in the same time is twice the intake; twice the time is half', () => {
    const ring = { water_mL: 1200, time_min: 15, innerDiameter_mm: 300 }
    expect(ringIntake_mmh({ ...ring, water_mL: 2400 })).toBeCloseTo(2 * ringIntake_mmh(ring), 9)
    const pit = { length_m: 1, width_m: 0.5, waterDepth_m: 0.8, from75To25_min: 90 }
    expect(pitIntake_mmh({ ...pit, from75To25_min: 180 })).toBeCloseTo(pitIntake_mmh(pit) / 2, 9)
  })

  test('oracle: an auger hole that soaks evenly through bed and walls falls as Porchet has it', () => {
    const [r, rate_mmh] = [40, 45]
    let h = 300
    let minutes = 0
    for (; h > 200; minutes += 1e-3) h -= (rate_mmh / 60) * 1e-3 * ((Math.PI * r * r + 2 * Math.PI * r * h) / (Math.PI * r * r))
    expect(augerIntake_mmh({ radius_mm: r, from_mm: 300, to_mm: 200, time_min: minutes })).toBeCloseTo(rate_mmh, 1)
  })

  test('refusals', () => {
    expect(refusalCode(() => ringIntake_mmh({ water_mL: 0, time_min: 15, innerDiameter_mm: 300 }))).toBe('soil/bad-test')
    expect(refusalCode(() => pitIntake_mmh({ length_m: 1, width_m: 0.5, waterDepth_m: 0, from75To25_min: 90 }))).toBe('soil/bad-test')
    expect(refusalCode(() => augerIntake_mmh({ radius_mm: 40, from_mm: 200, to_mm: 200, time_min: 10 }))).toBe('soil/bad-test')
  })
})

describe('time to empty', () => {
  const levels = fc
    .array(
      fc.record({
        rise: fc.double({ min: 0.01, max: 0.5, noNaN: true }),
        surface: fc.double({ min: 0.1, max: 5, noNaN: true }),
        soaking: fc.double({ min: 0.1, max: 5, noNaN: true }),
      }),
      { minLength: 2, maxLength: 6 },
    )
    .map(rows => {
      let level_m = 0
      return rows.map(
        ({ rise, surface, soaking }, k): SoakLevel => ({
          level_m: k === 0 ? 0 : (level_m += rise),
          surface_m2: surface,
          soaking_m2: soaking,
        }),
      )
    })

  test('oracle: the exact integral agrees with a fine sum, for any section', () =>
    fc.assert(
      fc.property(levels, rows => {
        let sum = 0
        for (let k = 1; k < rows.length; k++) {
          const [a, b] = [rows[k - 1]!, rows[k]!]
          for (let j = 0; j < 2000; j++) {
            const x = (j + 0.5) / 2000
            const surface = a.surface_m2 + x * (b.surface_m2 - a.surface_m2)
            const soaking = a.soaking_m2 + x * (b.soaking_m2 - a.soaking_m2)
            sum += ((surface / soaking) * (b.level_m - a.level_m)) / 2000
          }
        }
        expect(emptyingTime_h(rows, 20) / (sum / 0.02)).toBeCloseTo(1, 5)
      }),
      { numRuns: 30 },
    ))

  test('law: twice the intake, half the time; a higher start never takes less; an extra row on the line changes nothing', () =>
    fc.assert(
      fc.property(levels, evenly(0, 1), evenly(0, 1), (rows, a, b) => {
        const top = rows.at(-1)!.level_m
        expect(emptyingTime_h(rows, 20)).toBeCloseTo(2 * emptyingTime_h(rows, 40), 9)
        expect(emptyingTime_h(rows, 20, top * Math.max(a, b))).toBeGreaterThanOrEqual(
          emptyingTime_h(rows, 20, top * Math.min(a, b)) - 1e-12,
        )
        const [low, high] = [rows[0]!, rows[1]!]
        const half: SoakLevel = {
          level_m: (low.level_m + high.level_m) / 2,
          surface_m2: (low.surface_m2 + high.surface_m2) / 2,
          soaking_m2: (low.soaking_m2 + high.soaking_m2) / 2,
        }
        expect(emptyingTime_h([low, half, ...rows.slice(1)], 20)).toBeCloseTo(emptyingTime_h(rows, 20), 9)
      }),
    ))

  test('0.3 m to be gone in 48 h through the ground under it needs 6.25 mm/h', () => {
    expect(
      intakeToEmpty_mmh(
        [
          { level_m: 0, surface_m2: 1, soaking_m2: 1 },
          { level_m: 0.3, surface_m2: 1, soaking_m2: 1 },
        ],
        48,
      ),
    ).toBeCloseTo(6.25, 12)
  })

  test('a triangle through its bed alone never empties, nor does ground that takes nothing', () => {
    expect(emptyingTime_h(ditchLevels(0, 3, 0.3, 'bed'), 13)).toBe(Infinity)
    expect(emptyingTime_h(ditchLevels(1, 3, 0.3, 'wetted'), 0)).toBe(Infinity)
    expect(emptyingTime_h(ditchLevels(1, 3, 0.3, 'wetted'), 0, 0)).toBe(0)
  })

  test('refusals', () => {
    const rows = ditchLevels(1, 3, 0.3, 'wetted')
    expect(refusalCode(() => emptyingTime_h([], 13))).toBe('soak/bad-levels')
    expect(refusalCode(() => emptyingTime_h([...rows].reverse(), 13))).toBe('soak/bad-levels')
    expect(refusalCode(() => emptyingTime_h([rows[0]!, rows[1]!, rows[1]!], 13))).toBe('soak/bad-levels')
    expect(refusalCode(() => emptyingTime_h(rows, -1))).toBe('soak/bad-intake')
    expect(refusalCode(() => emptyingTime_h(rows, 13, 0.4))).toBe('soak/level-outside')
    expect(refusalCode(() => intakeToEmpty_mmh(rows, 0))).toBe('soak/bad-time')
    expect(refusalCode(() => ditchLevels(1, 3, 0, 'bed'))).toBe('soak/bad-levels')
  })
})

describe('soil groups by rate', () => {
  const { transmissionRate, tightestLayer } = SOIL_GROUP_RULES

  test('the two published rules differ by up to two groups: 10.9 mm/h (sandy loam) is A by TR-55 (1986), C by NEH ch. 7 (2009)', () => {
    expect(soilGroupOfRate(10.9, transmissionRate)).toBe('A')
    expect(soilGroupOfRate(10.9, tightestLayer)).toBe('C')
  })

  test('on a limit, the group of more runoff', () => {
    expect(soilGroupOfRate(0.3 * 25.4, transmissionRate)).toBe('B')
    expect(soilGroupOfRate(0, transmissionRate)).toBe('D')
    expect(refusalCode(() => soilGroupOfRate(Number.NaN, transmissionRate))).toBe('soil/bad-test')
  })
})
