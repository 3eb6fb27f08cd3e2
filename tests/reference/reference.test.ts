import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'
import { MISPRINTS } from './misprints.js'
import { meets, numbersOf, type ReferenceValue, testName } from './reference-value.js'
import { CHANNEL_VALUES } from './values-channel.js'
import { CURVATURE_VALUES } from './values-curvature.js'
import { DEPRESSION_VALUES } from './values-depressions.js'
import { EARTHWORKS_VALUES } from './values-earthworks.js'
import { INTAKE_VALUES } from './values-intake.js'
import { LEVELLING_VALUES } from './values-levelling.js'
import { PLANTING_VALUES } from './values-planting.js'
import { ROUTING_VALUES } from './values-routing.js'
import { RUNOFF_VALUES } from './values-runoff.js'
import { SPILLWAY_VALUES } from './values-spillway.js'
import { STORM_VALUES } from './values-storm.js'
import { TERRAIN_VALUES } from './values-terrain.js'
import { TIME_AND_PEAK_VALUES } from './values-time-and-peak.js'
import { UNIT_VALUES } from './values-units.js'
import { WITHOUT_FUNCTION } from './without-function.js'

/** Every list of values known from outside; a new subject adds its own here. */
const SUBJECTS: Readonly<Record<string, readonly ReferenceValue[]>> = {
  units: UNIT_VALUES,
  runoff: RUNOFF_VALUES,
  storm: STORM_VALUES,
  timeAndPeak: TIME_AND_PEAK_VALUES,
  intake: INTAKE_VALUES,
  earthworks: EARTHWORKS_VALUES,
  channel: CHANNEL_VALUES,
  spillway: SPILLWAY_VALUES,
  routing: ROUTING_VALUES,
  terrain: TERRAIN_VALUES,
  curvature: CURVATURE_VALUES,
  depressions: DEPRESSION_VALUES,
  levelling: LEVELLING_VALUES,
  planting: PLANTING_VALUES,
}

describe.each(Object.entries(SUBJECTS))('reference values: %s', (_subject, values) => {
  for (const value of values)
    test(testName(value), () => {
      const expected = numbersOf(value.expected)
      const answered = new Map(numbersOf(value.answer()))
      expect([...answered.keys()]).toEqual(expected.map(([place]) => place))
      const missed = expected.filter(([place, number]) => !meets(answered.get(place)!, number, value.tolerance))
      expect(missed.map(([place, number]) => `${place} ${number} ${value.unit}, ours ${answered.get(place)}`)).toEqual([])
    })
})

test('every value has a name of its own, a source, a tolerance, and at least one number', () => {
  const all = Object.values(SUBJECTS).flat()
  expect(new Set(all.map(v => v.id)).size).toBe(all.length)
  for (const value of all) {
    expect(value.source, value.id).not.toBe('')
    expect(value.tolerance.abs ?? value.tolerance.rel, value.id).toBeDefined()
    expect(numbersOf(value.expected).length, value.id).toBeGreaterThan(0)
  }
})

test('the comparison itself: either tolerance is enough, and NaN never passes', () => {
  expect(meets(101, 100, { abs: 0.1, rel: 0.02 })).toBe(true)
  expect(meets(100.05, 100, { abs: 0.1, rel: 1e-6 })).toBe(true)
  expect(meets(101, 100, { abs: 0.1, rel: 1e-6 })).toBe(false)
  expect(meets(Number.NaN, 100, { abs: 1e9, rel: 1 })).toBe(false)
})

describe('known misprints are not followed', () => {
  for (const { where, printed, holds, unit, within, why, answer } of MISPRINTS)
    test(`${where}: printed ${printed} ${unit}, ${why}`, () => {
      expect(Math.abs(answer() - holds)).toBeLessThanOrEqual(within)
      expect(Math.abs(answer() - printed)).toBeGreaterThan(within)
    })
})

/** The list from which the values come; not part of the project. */
const PUBLISHED = fileURLToPath(new URL('../../../shared/REFERENCE/reference-values.json', import.meta.url))

describe.skipIf(!existsSync(PUBLISHED))('the whole list of published values (skipped where ../shared is absent)', () => {
  const ids = existsSync(PUBLISHED) ? (JSON.parse(readFileSync(PUBLISHED, 'utf8')) as { id: string; how_known: string }[]) : []
  /** A value in several parts is `ID/part`. */
  const answered = new Set(
    Object.values(SUBJECTS)
      .flat()
      .map(value => value.id.split('/')[0]!),
  )

  test('each is answered by a function, or stands in the list of those that are not, with the reason', () => {
    expect(ids.map(({ id }) => id).filter(id => !answered.has(id) && !(id in WITHOUT_FUNCTION))).toEqual([])
    expect(Object.keys(WITHOUT_FUNCTION).filter(id => answered.has(id))).toEqual([])
    expect(Object.keys(WITHOUT_FUNCTION).filter(id => !ids.some(value => value.id === id))).toEqual([])
  })

  test('what is known from memory there is said to be so here', () => {
    const values = Object.values(SUBJECTS).flat()
    const silent = ids.filter(
      ({ id, how_known }) =>
        how_known === 'memory' &&
        answered.has(id) &&
        !values.some(value => value.id.split('/')[0] === id && /from memory/.test(testName(value))),
    )
    expect(silent.map(({ id }) => id)).toEqual([])
  })
})
