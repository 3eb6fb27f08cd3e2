import fc from 'fast-check'
import { averageEndArea_m3, crossSection, gradedStorage_m3, keptDespiteFall_ratio, lineStorage, lineStorage_m3 } from 'soakline/earthworks'
import { describe, expect, test } from 'vitest'
import { NARROW_DITCH } from '../../../../tests/helpers/ditches.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

describe('a level line', () => {
  test('equal sections hold section × length', () => {
    const section = crossSection(NARROW_DITCH, 0.1)
    const held = lineStorage([section, section, section], [10, 4])
    expect(held.length_m).toBe(14)
    expect(held.toSill_m3).toBeCloseTo(14 * section.storageToSill_m2, 12)
    expect(held.toCrest_m3).toBeCloseTo(14 * section.storageToCrest_m2, 12)
    expect(held.waterAgainstFill_m).toBe(section.waterAgainstFill_m)
    expect(held.waterAgainstFillStake).toBe(0)
  })

  test('the reserve for sediment stands beside the storage, not inside it', () => {
    const section = crossSection(NARROW_DITCH, 0.1)
    const held = lineStorage([section, section], 100)
    expect(held.sedimentReserve_m3).toBeCloseTo(0.15 * held.toSill_m3, 12)
    expect(held.toSillAfterSediment_m3).toBeCloseTo(0.85 * held.toSill_m3, 12)
    expect(lineStorage([section, section], 100, { sedimentShare_ratio: 0 }).toSillAfterSediment_m3).toBe(held.toSill_m3)
  })

  test('still water has one level: the lowest sill of unlike stakes decides', () => {
    const gentle = crossSection(NARROW_DITCH, 0.05)
    const steep = crossSection(NARROW_DITCH, 0.25)
    const held = lineStorage([gentle, steep], 10)
    expect(held.sill_z_m).toBe(Math.min(gentle.sill_z_m, steep.sill_z_m))
    expect(held.crest_z_m).toBe(Math.min(gentle.crest_z_m, steep.crest_z_m))
    expect(held.toSill_m3).toBeLessThan(5 * (gentle.storageToSill_m2 + steep.storageToSill_m2))
  })

  test('a stake on level ground is counted to its ground and named', () => {
    const held = lineStorage([crossSection(NARROW_DITCH, 0.1), crossSection(NARROW_DITCH, 0), crossSection(NARROW_DITCH, 0.1)], 5)
    expect(held.heldBackStakes).toEqual([1])
  })

  test('law: sill ≤ crest, and a deeper level never holds less', () =>
    fc.assert(
      fc.property(fc.array(evenly(0, 0.3), { minLength: 2, maxLength: 12 }), evenly(0, 1), (slopes, share) => {
        const sections = slopes.map(slope => crossSection(NARROW_DITCH, slope))
        const held = lineStorage(sections, 3)
        expect(held.toSill_m3).toBeLessThanOrEqual(held.toCrest_m3)
        expect(lineStorage_m3(sections, 3, share * held.sill_z_m)).toBeLessThanOrEqual(held.toSill_m3)
      }),
    ))

  test('oracle: a falling bed by levels at each stake tends to the exact integral', () => {
    // Deep freeboard: water stays in the cut, which is a trapezoid.
    const section = crossSection({ ...NARROW_DITCH, depth_m: 0.6 }, 0.02)
    const stakes = 401
    const levels = Array.from({ length: stakes }, (_, k) => 0.5 - 0.004 * (k * 0.25))
    const stepped = lineStorage_m3(new Array(stakes).fill(section), 0.25, levels)
    const exact = gradedStorage_m3({ bedWidth_m: 0.6, sideSlope_ratio: 1, depthAtSill_m: 0.5, length_m: 100, fall_ratio: 0.004 })
    expect(stepped / exact).toBeCloseTo(1, 5)
    expect(stepped).toBeGreaterThanOrEqual(exact * (1 - 1e-12))
  })

  test('refusals', () => {
    const s = crossSection(NARROW_DITCH, 0.1)
    expect(refusalCode(() => lineStorage([s], 10))).toBe('line/too-few-stakes')
    expect(refusalCode(() => lineStorage([s, s], [10, 10]))).toBe('line/bad-spacing')
    expect(refusalCode(() => lineStorage([s, s], -1))).toBe('line/bad-spacing')
    expect(refusalCode(() => lineStorage([s, s], 10, { sedimentShare_ratio: 15 }))).toBe('line/bad-sediment-share')
    expect(refusalCode(() => lineStorage_m3([s, s], 10, [0.1]))).toBe('line/bad-levels')
    expect(refusalCode(() => lineStorage_m3([s, s], 10, 5))).toBe('section/level-over-crest')
  })
})

describe('a ditch that falls', () => {
  const ditches = fc.record({
    bedWidth_m: evenly(0, 3),
    sideSlope_ratio: fc.double({ min: 0.1, max: 4, noNaN: true }),
    depthAtSill_m: fc.double({ min: 0.1, max: 1, noNaN: true }),
    length_m: fc.double({ min: 1, max: 300, noNaN: true }),
    fall_ratio: fc.oneof(fc.constant(0), evenly(0, 0.05)),
  })

  test('oracle: agrees with thin slices', () =>
    fc.assert(
      fc.property(ditches, ditch => {
        const slices = 4000
        const areas = Array.from({ length: slices + 1 }, (_, k) => {
          const y = Math.max(0, ditch.depthAtSill_m - (ditch.fall_ratio * ditch.length_m * k) / slices)
          return ditch.bedWidth_m * y + ditch.sideSlope_ratio * y * y
        })
        const sliced = averageEndArea_m3(areas, ditch.length_m / slices)
        expect(Math.abs(gradedStorage_m3(ditch) / sliced - 1)).toBeLessThan(1e-3)
      }),
    ))

  test('law: never more than level; past depth/fall a longer ditch holds no more', () =>
    fc.assert(
      fc.property(ditches, ditch => {
        const kept = keptDespiteFall_ratio(ditch, ditch.fall_ratio * ditch.length_m)
        expect(kept).toBeGreaterThan(0)
        expect(kept).toBeLessThanOrEqual(1 + 1e-12)
        if (ditch.fall_ratio * ditch.length_m > ditch.depthAtSill_m)
          expect(gradedStorage_m3({ ...ditch, length_m: 2 * ditch.length_m })).toBe(gradedStorage_m3(ditch))
      }),
    ))

  test('refusals', () => {
    const ditch = { bedWidth_m: 1, sideSlope_ratio: 2, depthAtSill_m: 0.5, length_m: 100 }
    expect(refusalCode(() => gradedStorage_m3({ ...ditch, fall_ratio: -0.01 }))).toBe('line/bad-ditch')
    expect(refusalCode(() => keptDespiteFall_ratio({ ...ditch, depthAtSill_m: 0 }, 0.1))).toBe('line/bad-ditch')
  })
})
