import type { Assessment } from './assessment.js'
import type { Settings } from './settings.js'

/** What an answer may leave out, in the order in which it is told. */
export const NOT_LOOKED_AT = [
  'breach-beyond-ways',
  'seepage-and-slope',
  'groundwater',
  'dispersive-soil',
  'cracking-soil',
  'burned-ground',
  'snow-and-frost',
  'sediment-and-debris',
  'water-from-beyond',
  'floods-and-plants',
] as const
/** One of `NOT_LOOKED_AT`. */
export type NotLookedAt = (typeof NOT_LOOKED_AT)[number]

/**
 * What this answer did not look at. What a pit or a setting answers is named as long as nobody has answered it; snow and frozen ground also where
 * they were said to be, since no snowmelt is worked out; the rest always.
 *
 * Shapes  `assumed` are the settings that nobody has set.
 */
export function notLookedAt({ soaking: { record } }: Assessment, settings: Settings, assumed: readonly (keyof Settings)[]): NotLookedAt[] {
  const unnoted = (code: string): boolean => record === null || record.pits.dug === 0 || record.reasons.some(reason => reason.code === code)
  const answered: Partial<Record<NotLookedAt, boolean>> = {
    groundwater: !unnoted('soil/water-not-noted'),
    'dispersive-soil': !unnoted('soil/crumbs-not-tested'),
    'cracking-soil': record !== null && record.cracking !== 'unknown',
    'burned-ground': !assumed.includes('burnedAbove'),
    'snow-and-frost': !assumed.includes('snowOrFrost') && !settings.snowOrFrost,
  }
  return NOT_LOOKED_AT.filter(thing => !answered[thing])
}
