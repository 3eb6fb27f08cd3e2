import { type SoilPit, soilDecision } from 'soakline/hydrology'
import { NOT_LOOKED_AT, notLookedAt, type Settings } from 'soakline/plan'
import { expect, test } from 'vitest'
import { laidOn, SLOPE, STRAIGHT } from './laid-on.js'

const { answer, laid } = laidOn(SLOPE, STRAIGHT)
const ALL_ASSUMED = Object.keys(laid.settings) as (keyof Settings)[]

const pit = (changes: Partial<SoilPit>): SoilPit => ({
  id: 'a',
  at: null,
  chainage_m: 20,
  depth_m: 1.5,
  layers: [{ from_m: 0, to_m: 1.5, texture: 'loam', roots: null, mottled: null }],
  mottlingDepth_m: 'none',
  waterDepth_m: 'none',
  rockDepth_m: 'none',
  crumbTest: 'none',
  cracks: false,
  tests: [],
  ...changes,
})
const PLAN = { lineLength_m: 40, bedDepth_m: 0.4, pondedDepth_m: 0.3, bedWidth_m: 1, sideSlope_ratio: 1, groundSlope_ratio: 0.1 }
const left = (pits: readonly SoilPit[], settings: Partial<Settings> = {}): readonly string[] =>
  notLookedAt(
    { ...answer, soaking: { ...answer.soaking, record: soilDecision({ pits, sightings: [] }, PLAN) } },
    { ...laid.settings, ...settings },
    ALL_ASSUMED.filter(key => !Object.hasOwn(settings, key)),
  )

test('where nothing was answered all is named', () => {
  expect(notLookedAt(answer, laid.settings, ALL_ASSUMED)).toEqual([...NOT_LOOKED_AT])
  expect(left([])).toEqual([...NOT_LOOKED_AT])
})

test('what a pit answers is named as long as a pit leaves it open', () => {
  const soil = ['groundwater', 'dispersive-soil', 'cracking-soil']
  const named = (...pits: SoilPit[]): string[] => soil.filter(thing => left(pits).includes(thing))
  expect(named(pit({}))).toEqual([])
  expect(named(pit({}), pit({ waterDepth_m: null }))).toEqual(['groundwater'])
  expect(named(pit({}), pit({ crumbTest: null }))).toEqual(['dispersive-soil'])
  expect(named(pit({}), pit({ cracks: null }))).toEqual(['cracking-soil'])
  // Soil that comes apart or cracks was looked at: the findings say so.
  expect(named(pit({ crumbTest: 'halo', cracks: true }))).toEqual([])
})

test('fire and snow are named until the setting is answered; snow that is said to be stays, since no melt is worked out', () => {
  const named = (settings: Partial<Settings>): string[] =>
    ['burned-ground', 'snow-and-frost'].filter(thing => left([], settings).includes(thing))
  expect(named({ burnedAbove: false, snowOrFrost: false })).toEqual([])
  expect(named({ burnedAbove: true, snowOrFrost: true })).toEqual(['snow-and-frost'])
})
