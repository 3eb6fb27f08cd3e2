import { InputError, type Sourced } from '../foundation/index.js'
import type { HydrologicSoilGroup } from './soil-group.js'

/** How well the ground is covered. Pasture: poor under 50 % cover, fair 50–75 %, good over 75 %. Woods: poor litter destroyed, fair grazed, good protected. */
export type CoverCondition = 'poor' | 'fair' | 'good'

/** One line of the table: a cover in one condition, its curve number for each soil group at average wetness, initial abstraction 0.2 S. */
export interface CoverRow {
  readonly cover: string
  /** null where the table knows one condition only. */
  readonly condition: CoverCondition | null
  readonly curveNumbers: Readonly<Record<HydrologicSoilGroup, number>>
  readonly source: string
}

const row = (table: string, cover: string, condition: CoverCondition | null, A: number, B: number, C: number, D: number): CoverRow => ({
  cover,
  condition,
  curveNumbers: { A, B, C, D },
  source: `USDA TR-55 (1986) Table 2-2${table}`,
})

/**
 * Curve numbers by cover, condition and soil group. The two 30s (brush and woods, good, group A) are the floor that the table keeps:
 * the true number is lower, so the runoff given with them is on the high side.
 *
 * Source  USDA TR-55 (1986) Table 2-2a–d (numbers read; which of the sub-tables a cover stands in is from memory).
 */
export const COVER_ROWS: readonly CoverRow[] = [
  row('c', 'pasture', 'poor', 68, 79, 86, 89),
  row('c', 'pasture', 'fair', 49, 69, 79, 84),
  row('c', 'pasture', 'good', 39, 61, 74, 80),
  row('c', 'meadow', null, 30, 58, 71, 78),
  row('c', 'brush', 'poor', 48, 67, 77, 83),
  row('c', 'brush', 'fair', 35, 56, 70, 77),
  row('c', 'brush', 'good', 30, 48, 65, 73),
  row('c', 'woods-grass', 'poor', 57, 73, 82, 86),
  row('c', 'woods-grass', 'fair', 43, 65, 76, 82),
  row('c', 'woods-grass', 'good', 32, 58, 72, 79),
  row('c', 'woods', 'poor', 45, 66, 77, 83),
  row('c', 'woods', 'fair', 36, 60, 73, 79),
  row('c', 'woods', 'good', 30, 55, 70, 77),
  row('c', 'farmstead', null, 59, 74, 82, 86),
  row('b', 'fallow-bare', null, 77, 86, 91, 94),
  row('a', 'newly-graded', null, 77, 86, 91, 94),
  row('b', 'row-crop-straight', 'poor', 72, 81, 88, 91),
  row('b', 'row-crop-straight', 'good', 67, 78, 85, 89),
  row('b', 'row-crop-contoured', 'poor', 70, 79, 84, 88),
  row('b', 'row-crop-contoured', 'good', 65, 75, 82, 86),
  row('b', 'row-crop-contoured-terraced', 'poor', 66, 74, 80, 82),
  row('b', 'row-crop-contoured-terraced', 'good', 62, 71, 78, 81),
  row('b', 'small-grain-straight', 'poor', 65, 76, 84, 88),
  row('b', 'small-grain-straight', 'good', 63, 75, 83, 87),
  row('b', 'small-grain-contoured', 'poor', 63, 74, 82, 85),
  row('b', 'small-grain-contoured', 'good', 61, 73, 81, 84),
  row('b', 'rotation-meadow-straight', 'poor', 66, 77, 85, 89),
  row('b', 'rotation-meadow-straight', 'good', 58, 72, 81, 85),
  row('b', 'rotation-meadow-contoured', 'poor', 64, 75, 83, 85),
  row('b', 'rotation-meadow-contoured', 'good', 55, 69, 78, 83),
  row('a', 'lawn', 'poor', 68, 79, 86, 89),
  row('a', 'lawn', 'fair', 49, 69, 79, 84),
  row('a', 'lawn', 'good', 39, 61, 74, 80),
  row('a', 'gravel-road', null, 76, 85, 89, 91),
  row('a', 'dirt-road', null, 72, 82, 87, 89),
  row('a', 'impervious', null, 98, 98, 98, 98),
]

/** The cover codes, each once, in the order of the table. */
export const COVERS: readonly string[] = [...new Set(COVER_ROWS.map(r => r.cover))]

/**
 * The curve number of a cover on a soil group, with its source. Where the table knows a cover in one condition only, `condition` is left unread.
 *
 * Throws  `cover/unknown`; `cover/condition-missing` when the cover is tabled by condition and the one given is null or not among them;
 *         `cover/soil-group-unknown`.
 * Source  USDA TR-55 (1986) Table 2-2a–d.
 */
export function curveNumber(cover: string, condition: CoverCondition | null, group: HydrologicSoilGroup): Sourced<'1'> {
  const rows = COVER_ROWS.filter(r => r.cover === cover)
  if (rows.length === 0)
    throw new InputError('cover/unknown', `No curve number is tabled for the cover "${cover}"; take one of ${COVERS.join(', ')}.`, {
      cover,
    })
  const found = rows.find(r => r.condition === null || r.condition === condition)
  if (found === undefined) {
    const conditions = rows.map(r => r.condition).join(', ')
    throw new InputError(
      'cover/condition-missing',
      `The curve number of ${cover} depends on its condition, and "${condition ?? 'none'}" is not tabled; say one of ${conditions}.`,
      { cover, condition, conditions },
    )
  }
  // A code from a file may be anything, whatever the type says.
  if (!Object.hasOwn(found.curveNumbers, group))
    throw new InputError('cover/soil-group-unknown', `The soil group is "${group}"; curve numbers are tabled for A, B, C and D.`, { group })
  const words = found.condition === null ? cover : `${cover}, ${found.condition}`
  return { value: found.curveNumbers[group], unit: '1', source: `${found.source}: ${words}, soil group ${group}`, known: 'published' }
}
