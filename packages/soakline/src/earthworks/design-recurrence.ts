import type { Known } from '../foundation/index.js'

/** The storm that published practice sizes a work for. */
export interface DesignRecurrence {
  readonly work: string
  /** Average years between such storms, the least where a rule gives more by size. */
  readonly interval_yr: number
  /** Null where the rule names no duration. */
  readonly duration_h: number | null
  readonly source: string
  readonly known: Known
}

const row = (
  work: string,
  interval_yr: number,
  duration_h: number | null,
  source: string,
  known: Known = 'published',
): DesignRecurrence => ({
  work,
  interval_yr,
  duration_h,
  source: known === 'from-memory' ? `${source} (from memory, unchecked)` : source,
  known,
})

/** Storms that other works of this kind are sized for: the ground on which a chosen chance may be compared. None of them decides anything here. */
export const DESIGN_RECURRENCES = {
  terrace: row('terrace, storage or channel', 10, 24, 'USDA-NRCS practice standard 600 (Wisconsin)'),
  sedimentBasin: row('water and sediment control basin, up to 50 acres', 10, null, 'USDA-NRCS Iowa sheet for practice 638'),
  temporaryDiversion: row('diversion, temporary', 2, null, 'USDA-NRCS practice standard 362', 'from-memory'),
  farmlandDiversion: row('diversion, farmland', 10, 24, 'USDA-NRCS practice standard 362', 'from-memory'),
  protectingDiversion: row('diversion that protects buildings or roads', 25, 24, 'USDA-NRCS practice standard 362', 'from-memory'),
  pondSpillway: row(
    'auxiliary spillway of an embankment pond, the least by size',
    25,
    null,
    'USDA-NRCS practice standard 378',
    'from-memory',
  ),
} as const satisfies Readonly<Record<string, DesignRecurrence>>
