import fc from 'fast-check'
import { crossSection, cutArea_m2, type Section, sectionStorage_m2, waterWidth_m, wedgeStorage_m2 } from 'soakline/earthworks'
import { InputError } from 'soakline/foundation'
import { describe, expect, test } from 'vitest'
import { NARROW_DITCH } from '../../../../tests/helpers/ditches.js'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

/** Shapes and slopes that a person might dig, with the odd ones left in; those refused are skipped. */
const sections = fc
  .record({
    bedWidth_m: evenly(0.3, 3),
    depth_m: evenly(0.2, 1),
    cutSideSlope_ratio: fc.oneof(fc.constant(0), evenly(0, 3)),
    bermInnerSlope_ratio: fc.oneof(fc.constant(0), evenly(0, 4)),
    bermOuterSlope_ratio: fc.oneof(fc.constant(0), evenly(0, 4)),
    crestWidth_m: evenly(0.05, 0.6),
    bermPerCut_ratio: evenly(0.6, 1.2),
    freeboard_m: evenly(0, 0.2),
    slope: fc.oneof(fc.constant(0), evenly(0, 0.3)),
    uphillReach_m: evenly(0, 30),
  })
  .map(({ slope, uphillReach_m, ...shape }) => {
    try {
      return crossSection(shape, slope, { uphillReach_m })
    } catch (error) {
      if (error instanceof InputError) return null
      throw error
    }
  })
  .filter((section): section is Section => section !== null)

const ringArea = (ring: readonly (readonly [number, number])[]): number =>
  Math.abs(ring.reduce((sum, [x, z], k) => sum + x * ring[(k + 1) % ring.length]![1] - ring[(k + 1) % ring.length]![0] * z, 0)) / 2

/** Height of a drawn line at x. */
function heightOn(path: readonly (readonly [number, number])[], x: number): number {
  for (let k = 1; k < path.length; k++) {
    const [xa, za] = path[k - 1]!
    const [xb, zb] = path[k]!
    if (x >= xa && x < xb) return za + ((x - xa) / (xb - xa)) * (zb - za)
  }
  return Infinity
}

describe('laws', () => {
  test('the berm’s area is exactly what the cut and the ratio ask for', () =>
    fc.assert(
      fc.property(sections, s => {
        expect(Math.abs(s.berm_m2 / (s.shape.bermPerCut_ratio * s.cut_m2) - 1)).toBeLessThan(1e-11)
        expect(Math.abs(ringArea(s.bermRing) - s.berm_m2)).toBeLessThan(1e-9 * (1 + s.berm_m2))
        expect(Math.abs(ringArea(s.cutRing) - s.cut_m2)).toBeLessThan(1e-9 * (1 + s.cut_m2))
      }),
    ))

  test('storage never falls as the level rises, and is 0 at and under the bed', () =>
    fc.assert(
      fc.property(sections, evenly(0, 1), evenly(0, 1), (s, a, b) => {
        const low = Math.min(a, b) * s.crest_z_m
        const high = Math.max(a, b) * s.crest_z_m
        expect(sectionStorage_m2(s, high)).toBeGreaterThanOrEqual(sectionStorage_m2(s, low) * (1 - 1e-14))
        expect(sectionStorage_m2(s, 0)).toBe(0)
        expect(sectionStorage_m2(s, -1)).toBe(0)
        expect(s.storageToCrest_m2).toBeGreaterThanOrEqual(s.storageToSill_m2)
      }),
    ))

  test('storage grows with the level by the width of the water', () =>
    fc.assert(
      fc.property(sections, evenly(0.02, 0.98), (s, share) => {
        const z = share * s.holds_z_m
        const step = 1e-6
        const grown = (sectionStorage_m2(s, z + step) - sectionStorage_m2(s, z - step)) / (2 * step)
        expect(Math.abs(grown / waterWidth_m(s, z) - 1)).toBeLessThan(1e-3)
      }),
    ))

  test('mirrored units: all lengths k times larger give areas k² times larger', () =>
    fc.assert(
      fc.property(sections, fc.constantFrom(1 / 0.3048, 0.3048, 2), (s, k) => {
        const { shape } = s
        const larger = crossSection(
          {
            ...shape,
            bedWidth_m: shape.bedWidth_m * k,
            depth_m: shape.depth_m * k,
            crestWidth_m: shape.crestWidth_m * k,
            freeboard_m: shape.freeboard_m * k,
          },
          s.groundSlope_ratio,
          // Where the crest lies below the cut’s uphill edge no ground above that is reached.
          { uphillReach_m: s.groundSlope_ratio === 0 ? 0 : Math.max(0, (s.holds_z_m - s.uphillEdge_z_m) / s.groundSlope_ratio + 1e-9) * k },
        )
        expect(larger.cut_m2 / s.cut_m2).toBeCloseTo(k * k, 9)
        expect(larger.crest_z_m / s.crest_z_m).toBeCloseTo(k, 9)
        expect(larger.outerToe_x_m / s.outerToe_x_m).toBeCloseTo(k, 9)
        expect(larger.storageToSill_m2 / s.storageToSill_m2).toBeCloseTo(k * k, 5)
      }),
    ))

  test('the line after the work runs downhill without overhang and starts and ends on the ground', () =>
    fc.assert(
      fc.property(sections, s => {
        for (let k = 1; k < s.dug.length; k++) expect(s.dug[k]![0]).toBeGreaterThanOrEqual(s.dug[k - 1]![0])
        expect(s.dug[0]).toEqual(s.ground[0])
        expect(s.dug.at(-1)).toEqual(s.ground.at(-1))
        expect(Math.max(...s.dug.filter(([x]) => x > 0).map(([, z]) => z))).toBeCloseTo(s.crest_z_m, 12)
      }),
    ))

  test('oracle: storage agrees with water poured on the drawn line, strip by strip', () =>
    fc.assert(
      fc.property(sections, evenly(0.1, 1), (s, share) => {
        const z = share * s.holds_z_m
        const left = s.ground[0]![0]
        const right = s.bermRing.reduce((x, [px, pz]) => (pz === s.crest_z_m ? Math.min(x, px) : x), Infinity)
        const strips = 20_000
        const width = (right - left) / strips
        let poured = 0
        for (let k = 0; k < strips; k++) poured += Math.max(0, z - heightOn(s.dug, left + (k + 0.5) * width)) * width
        expect(Math.abs(sectionStorage_m2(s, z) - poured)).toBeLessThan(1e-3 * (0.01 + poured))
      }),
      { numRuns: 40 },
    ))
})

describe('what the depth means', () => {
  test('the bed lies depth_m under the downhill lip, on any slope', () => {
    for (const slope of [0, 0.05, 0.1, 0.2]) {
      const s = crossSection(NARROW_DITCH, slope)
      expect(s.lip_z_m).toBe(0.4)
      expect(heightOn(s.ground, s.lip_x_m)).toBeCloseTo(0.4, 12)
      expect(s.waterAgainstFill_m).toBe(s.sill_z_m - 0.4)
    }
  })

  test('a freeboard taller than the berm keeps all water in the cut', () => {
    const low = crossSection({ ...NARROW_DITCH, freeboard_m: 0.4 }, 0.05)
    expect(low.sill_z_m).toBeLessThan(low.lip_z_m)
    expect(low.waterAgainstFill_m).toBe(0)
    expect(low.storageToSill_m2).toBeCloseTo(0.6 * low.sill_z_m + low.sill_z_m ** 2, 12)
  })
})

describe('flat and nearly flat ground', () => {
  test('on level ground the section holds to the ground and says so; the berm alone stops no water from running back', () => {
    const flat = crossSection(NARROW_DITCH, 0)
    expect(flat.holds_z_m).toBe(0.4)
    expect(flat.sill_z_m).toBeGreaterThan(0.4)
    expect(flat.storageToSill_m2).toBeCloseTo(0.6 * 0.4 + 0.4 ** 2, 12)
    expect(flat.storageToCrest_m2).toBe(flat.storageToSill_m2)
    expect(flat.remarks.map(r => r.code)).toEqual(['section/holds-less-than-sill'])
    expect(waterWidth_m(flat, flat.sill_z_m)).toBeCloseTo(1.4, 12)
  })

  test('the gentler the ground, the nearer to that; no sudden leap', () => {
    const almost = crossSection(NARROW_DITCH, 1e-7)
    expect(almost.storageToSill_m2).toBeCloseTo(crossSection(NARROW_DITCH, 0).storageToSill_m2, 4)
  })

  test('with unbounded trust in the ground uphill the whole wedge counts', () => {
    const near = crossSection(NARROW_DITCH, 0.01)
    const far = crossSection(NARROW_DITCH, 0.01, { uphillReach_m: 1e6 })
    expect(near.remarks.map(r => r.code)).toEqual(['section/holds-less-than-crest'])
    expect(far.remarks).toEqual([])
    expect(far.storageToCrest_m2).toBeGreaterThan(near.storageToCrest_m2)
    expect(far.storageToSill_m2).toBe(near.storageToSill_m2)
  })
})

describe('refusals', () => {
  test('steep ground: a berm face no steeper than the ground never meets it', () => {
    expect(refusalCode(() => crossSection(NARROW_DITCH, 0.5))).toBe('section/no-toe')
    expect(refusalCode(() => crossSection(NARROW_DITCH, 0.7))).toBe('section/no-toe')
  })
  test('a ditch side no steeper than the ground never comes out', () => {
    expect(refusalCode(() => crossSection({ ...NARROW_DITCH, cutSideSlope_ratio: 3, bermOuterSlope_ratio: 1 }, 0.4))).toBe(
      'section/cut-never-ends',
    )
  })
  test('too little earth for the crest', () => {
    expect(refusalCode(() => crossSection({ ...NARROW_DITCH, crestWidth_m: 3 }, 0.2))).toBe('section/berm-below-lip')
  })
  test('a sill under the bed', () => {
    expect(refusalCode(() => crossSection({ ...NARROW_DITCH, freeboard_m: 2 }, 0.1))).toBe('section/sill-below-bed')
  })
  test('sizes that are none', () => {
    expect(refusalCode(() => crossSection({ ...NARROW_DITCH, depth_m: 0 }, 0.1))).toBe('section/bad-shape')
    expect(refusalCode(() => crossSection({ ...NARROW_DITCH, bermPerCut_ratio: 0 }, 0.1))).toBe('section/bad-shape')
    expect(refusalCode(() => crossSection({ ...NARROW_DITCH, bedWidth_m: -1 }, 0.1))).toBe('section/bad-shape')
    expect(refusalCode(() => crossSection({ ...NARROW_DITCH, bedWidth_m: 0, cutSideSlope_ratio: 0 }, 0.1))).toBe('section/bad-shape')
    expect(
      refusalCode(() => crossSection({ ...NARROW_DITCH, crestWidth_m: 0, bermInnerSlope_ratio: 0, bermOuterSlope_ratio: 0 }, 0.1)),
    ).toBe('section/bad-shape')
    expect(refusalCode(() => crossSection({ ...NARROW_DITCH, freeboard_m: Number.NaN }, 0.1))).toBe('section/bad-shape')
    expect(refusalCode(() => crossSection(NARROW_DITCH, 0.1, { uphillReach_m: Number.NaN }))).toBe('section/bad-shape')
  })
  test('ground that rises to the berm’s side', () => {
    expect(refusalCode(() => crossSection(NARROW_DITCH, -0.1))).toBe('section/bad-slope')
    expect(refusalCode(() => crossSection(NARROW_DITCH, Number.NaN))).toBe('section/bad-slope')
  })
  test('water over the crest', () => {
    const s = crossSection(NARROW_DITCH, 0.1)
    expect(refusalCode(() => sectionStorage_m2(s, s.crest_z_m + 0.01))).toBe('section/level-over-crest')
    expect(refusalCode(() => waterWidth_m(s, Number.NaN))).toBe('section/bad-level')
  })
  test('a wedge on level ground', () => {
    expect(refusalCode(() => wedgeStorage_m2(0.3, 0, 2))).toBe('section/bad-slope')
  })
})

test('the cut asked for alone is the section’s, and is refused where the section is', () => {
  fc.assert(
    fc.property(sections, s => {
      expect(cutArea_m2(s.shape, s.groundSlope_ratio)).toBe(s.cut_m2)
    }),
  )
  for (const [shape, slope] of [
    [NARROW_DITCH, 0.5],
    [{ ...NARROW_DITCH, cutSideSlope_ratio: 3, bermOuterSlope_ratio: 1 }, 0.4],
    [{ ...NARROW_DITCH, crestWidth_m: 3 }, 0.2],
    [{ ...NARROW_DITCH, freeboard_m: 2 }, 0.1],
    [{ ...NARROW_DITCH, depth_m: 0 }, 0.1],
    [NARROW_DITCH, -0.1],
  ] as const)
    expect(refusalCode(() => cutArea_m2(shape, slope))).toBe(refusalCode(() => crossSection(shape, slope)))
})

test('law: once water stands over the ditch’s uphill edge, a section holds its cut and the wedge behind its berm', () => {
  // The wedge stands on the old ground; the cut adds its own area below it.
  const s = crossSection({ ...NARROW_DITCH, bedWidth_m: 1, freeboard_m: 0 }, 0.1)
  const against = s.crest_z_m - s.lip_z_m
  expect(s.storageToCrest_m2).toBeCloseTo(s.cut_m2 + wedgeStorage_m2(against, 0.1, 1.5), 12)
})
