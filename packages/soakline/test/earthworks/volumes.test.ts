import fc from 'fast-check'
import {
  averageEndArea_m3,
  benchCut,
  constructionHeight_m,
  earthVolumes,
  prismoidal_m3,
  SETTLEMENT,
  SOIL_VOLUMES,
  taperingPrism,
} from 'soakline/earthworks'
import { expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { refusalCode } from '../../../../tests/helpers/refusal-code.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

const size = evenly(0, 5)

test('law: prismoidal is exact for a tapering prism, and average end area exceeds it by the stated excess', () =>
  fc.assert(
    fc.property(size, size, size, size, (z, first, last, length) => {
      const prism = taperingPrism(z, first, last, length)
      const middle = (first + last) / 2
      expect(prismoidal_m3(z * first * first, z * middle * middle, z * last * last, length)).toBeCloseTo(prism.exact_m3, 9)
      expect(prism.averageEndArea_m3 - prism.exact_m3).toBeCloseTo(prism.excess_m3, 9)
      expect(prism.excess_m3).toBeGreaterThanOrEqual(0)
    }),
  ))

test('law: stations may be split without changing the volume', () =>
  fc.assert(
    fc.property(size, size, size, (a, b, length) => {
      expect(averageEndArea_m3([a, (a + b) / 2, b], length / 2)).toBeCloseTo(averageEndArea_m3([a, b], length), 10)
    }),
  ))

test('law: what is built to a convention settles back to the height asked', () =>
  fc.assert(
    fc.property(size, evenly(0, 0.5), (height, share) => {
      expect(constructionHeight_m(height, share, 'of-built') * (1 - share)).toBeCloseTo(height, 12)
      expect(constructionHeight_m(height, share, 'of-settled') / (1 + share)).toBeCloseTo(height, 12)
      expect(constructionHeight_m(height, share, 'of-built')).toBeGreaterThanOrEqual(
        constructionHeight_m(height, share, 'of-settled') * (1 - 1e-14),
      )
    }),
  ))

test('the bench’s cut triangle closes on the ground', () => {
  const { area_m2, faceHeight_m } = benchCut(1.2, 0.3, 0.75)
  // The top of the face lies 1.2 + 0.75 h uphill of the bench's middle, on ground of 0.3.
  expect(faceHeight_m).toBeCloseTo(0.3 * (1.2 + 0.75 * faceHeight_m), 12)
  expect(area_m2).toBeCloseTo((1.2 * faceHeight_m) / 2, 12)
})

test('ranges run from low to high, and settlement shares are shares', () => {
  for (const soil of Object.values(SOIL_VOLUMES))
    for (const range of [soil.swell_ratio, soil.compactedPerBank_ratio]) expect(range.low).toBeLessThan(range.high)
  for (const { share_ratio } of Object.values(SETTLEMENT)) expect(share_ratio > 0 && share_ratio < 1).toBe(true)
})

test('refusals', () => {
  expect(refusalCode(() => averageEndArea_m3([1], 10))).toBe('line/too-few-stakes')
  expect(refusalCode(() => averageEndArea_m3([1, -1], 10))).toBe('volume/bad-area')
  expect(refusalCode(() => averageEndArea_m3([1, 1], Number.NaN))).toBe('line/bad-spacing')
  expect(refusalCode(() => prismoidal_m3(1, 1, 1, -1))).toBe('line/bad-spacing')
  expect(refusalCode(() => benchCut(1, 1, 1))).toBe('section/cut-never-ends')
  expect(refusalCode(() => earthVolumes(10, -0.1, 0.85))).toBe('volume/bad-ratio')
  expect(refusalCode(() => constructionHeight_m(0.5, 1, 'of-built'))).toBe('volume/bad-ratio')
})
