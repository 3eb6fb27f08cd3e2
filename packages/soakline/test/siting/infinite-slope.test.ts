import { infiniteSlopeFactor, type SlopeSoil, steepestStable_ratio } from 'soakline/siting'
import { describe, expect, test } from 'vitest'

const tan = (deg: number): number => Math.tan((deg * Math.PI) / 180)
const soil = (cohesion_kPa: number, friction_deg: number, weight_kNm3: number, depth_m: number, wetShare_ratio: number): SlopeSoil => ({
  cohesion_kPa,
  friction_deg,
  weight_kNm3,
  depth_m,
  wetShare_ratio,
})

describe('infinite slope', () => {
  // c′ kPa, φ′, γ, z, m, β, FS: worked from the formula, reference dossier §9.5.
  test.each([
    [0, 30, 18, 2, 0, 20, 1.586],
    [0, 30, 20, 2, 1, 20, 0.808],
    [5, 28, 19, 1.5, 0, 25, 1.598],
    [5, 28, 19, 1.5, 1, 25, 1.01],
    [2, 26, 19, 1.5, 1, 15, 1.161],
  ])('c′ %d φ′ %d γ %d z %d m %d at %d° gives %d', (c, phi, gamma, z, m, beta, factor) => {
    expect(infiniteSlopeFactor(tan(beta), soil(c, phi, gamma, z, m))).toBeCloseTo(factor, 3)
  })

  // Steepest slope of soil without cohesion at 1.5, γ 19: dossier §9.5, printed to a tenth of a degree with a rounder weight of water.
  test.each([
    [20, 13.6, 6.7],
    [25, 17.3, 8.6],
    [30, 21.1, 10.6],
    [35, 25.0, 12.7],
  ])('φ′ %d° stands %d° dry and %d° under water', (phi, dry, wet) => {
    const degrees = (ratio: number): number => (Math.atan(ratio) * 180) / Math.PI
    expect(degrees(steepestStable_ratio(soil(0, phi, 19, 2, 0), 1.5))).toBeCloseTo(dry, 1)
    expect(Math.abs(degrees(steepestStable_ratio(soil(0, phi, 19, 2, 1), 1.5)) - wet)).toBeLessThan(0.06)
  })

  test('dry and without cohesion it is tan φ′ / tan β, to the engine’s own tangent', () => {
    for (let phi = 1; phi <= 60; phi++) expect(infiniteSlopeFactor(0.3, soil(0, phi, 19, 1, 0)) / (tan(phi) / 0.3)).toBeCloseTo(1, 13)
    expect(infiniteSlopeFactor(0.3, soil(0, 0, 19, 1, 0))).toBe(0)
  })

  test('law: steeper or wetter ground has the lower factor; at the steepest stable slope it is the target', () => {
    for (let k = 1; k <= 60; k++) {
      const s = soil((k * 7) % 6, 15 + ((k * 11) % 25), 16 + (k % 6), 0.5 + (k % 4), (k % 5) / 4)
      const factors = [0.05, 0.1, 0.2, 0.3].map(g => infiniteSlopeFactor(g, s))
      expect([...factors].sort((a, b) => b - a)).toEqual(factors)
      expect(infiniteSlopeFactor(0.2, { ...s, wetShare_ratio: 1 })).toBeLessThanOrEqual(infiniteSlopeFactor(0.2, s))
      const steepest = steepestStable_ratio(s, 1.5)
      if (Number.isFinite(steepest)) expect(infiniteSlopeFactor(steepest, s)).toBeCloseTo(1.5, 9)
    }
    expect(steepestStable_ratio(soil(100, 30, 19, 0.5, 1), 1.5)).toBe(Number.POSITIVE_INFINITY)
  })

  test('a soil that is none is refused', () => {
    for (const wrong of [{ weight_kNm3: 9 }, { friction_deg: 61 }, { depth_m: 0 }, { wetShare_ratio: 1.1 }, { cohesion_kPa: Number.NaN }])
      expect(() => infiniteSlopeFactor(0.2, { ...soil(1, 25, 19, 1, 1), ...wrong })).toThrow(
        expect.objectContaining({ code: 'slope/bad-soil' }),
      )
  })
})
