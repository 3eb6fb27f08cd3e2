import type { Known, Sourced } from '../foundation/index.js'
import type { Texture } from './green-ampt.js'
import { refuseNegative } from './method-limits.js'
import { publishedIntake } from './published-intake.js'

/** Fewest tests in the ground from which intake is credited. */
export const FEWEST_TESTS = 3
/** What a test's intake is divided by. Source: Minnesota Stormwater Manual (safety factor on measured rates). */
export const TEST_SAFETY_FACTOR = 2

/** What is known of the soil under the bed. */
export interface KnownSoil {
  /** Intake of each test in the ground at the depth of the bed, any method. */
  readonly tests_mmh: readonly number[]
  /** As felt in the pit; null when nobody has looked. */
  readonly texture: Texture | null
}

/** What a swale may count on soaking in, through its bed alone: the sides are not credited. */
export interface CreditedIntake {
  /** Null when neither three tests nor a texture are known: then everything that rests on soaking is unknown. */
  readonly intake: Sourced<'mm/h'> | null
  readonly because: 'intake/half-slowest-test' | 'intake/lowest-published' | 'intake/few-tests-lower' | 'intake/unknown'
}

/**
 * Intake that may be credited: half the slowest of three tests or more. With fewer, the lowest published value of the texture, or half the slowest
 * test where that is lower still. Frozen, hard-baked, water-repellent and dispersive ground takes less than any of them.
 *
 * Units   mm/h over the bed.
 * Laws    a slower test never gives more; never more than half of any test.
 * Throws  `soil/bad-test` for a test that is no number of 0 or more; `soil/unknown-texture`.
 * Source  half: `TEST_SAFETY_FACTOR`; three tests, the slowest: the form of BRE Digest 365; the lowest without tests: judgement.
 */
export function creditedIntake({ tests_mmh, texture }: KnownSoil): CreditedIntake {
  for (const test_mmh of tests_mmh) refuseNegative('soil/bad-test', { test_mmh }, 'Give mm/h.')
  const slowest = tests_mmh.length === 0 ? null : Math.min(...tests_mmh) / TEST_SAFETY_FACTOR
  const credit = (value: number, source: string, known: Known): Sourced<'mm/h'> => ({ value, unit: 'mm/h', source, known })
  if (slowest !== null && tests_mmh.length >= FEWEST_TESTS)
    return {
      intake: credit(slowest, `half the slowest of ${tests_mmh.length} tests in the ground`, 'derived'),
      because: 'intake/half-slowest-test',
    }
  if (texture === null) return { intake: null, because: 'intake/unknown' }
  const { low_mmh, lowSource, lowKnown } = publishedIntake(texture)
  if (slowest !== null && slowest < low_mmh)
    return {
      intake: credit(slowest, `half the slowest of ${tests_mmh.length} tests, lower than all published for ${texture}`, 'derived'),
      because: 'intake/few-tests-lower',
    }
  return { intake: credit(low_mmh, `lowest published for ${texture}: ${lowSource}`, lowKnown), because: 'intake/lowest-published' }
}
