import fc from 'fast-check'
import { expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { exponential, naturalLog } from '../../src/hydrology/logarithm.js'

fc.configureGlobal({ seed: 1, numRuns: 100 })

const positive = fc.double({ min: 1e-6, max: 1e6, noNaN: true })

test('oracle: the logarithm agrees with the engine to its last bits', () => {
  fc.assert(
    fc.property(positive, x => {
      expect(Math.abs(naturalLog(x) - Math.log(x))).toBeLessThan(1e-15 + 4e-16 * Math.abs(Math.log(x)))
    }),
  )
  expect(naturalLog(1)).toBe(0)
  expect(naturalLog(0)).toBe(-Infinity)
  expect(naturalLog(Infinity)).toBe(Infinity)
  expect(naturalLog(-1)).toBeNaN()
})

test('oracle: the exponential agrees with the engine', () => {
  const wide = evenly(-30, 30)
  fc.assert(
    fc.property(wide, x => {
      expect(Math.abs(exponential(x) / Math.exp(x) - 1)).toBeLessThan(1e-14)
    }),
  )
  expect(exponential(0)).toBe(1)
  expect(exponential(-1000)).toBe(0)
  expect(exponential(1000)).toBe(Infinity)
  expect(exponential(NaN)).toBeNaN()
})
