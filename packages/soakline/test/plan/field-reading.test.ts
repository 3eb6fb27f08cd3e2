import fc from 'fast-check'
import {
  asBuilt,
  type BuiltReading,
  behindFrame_m,
  defaultSettings,
  type FieldReading,
  fullDepth_m,
  knownBed_m,
  levelRead_m,
  plannedLevel_m,
  readAtStake,
  readingFor_m,
  staffReadings,
  stakesOf,
  waterLevelSheet,
  withReading,
} from 'soakline/plan'
import { expect, test } from 'vitest'
import { evenly } from '../../../../tests/helpers/evenly.js'
import { laidOn, SLOPE, STRAIGHT } from './laid-on.js'

fc.configureGlobal({ seed: 1 })

const { laid } = laidOn(SLOPE, STRAIGHT, { spillChainage_m: 20, sillLength_m: 3 })
const stakes = stakesOf(laid, { every_m: 5 })

test('by hand: 1.20 m on a point at 100.00 m and 1.85 m here give 99.35 m; hose 0.90 m and 1.02 m give 99.88 m; 3 cm toward the leg here give 99.95 m', () => {
  expect(levelRead_m({ tool: 'staff', known_m: 100, backsight_m: 1.2, read_m: 1.85 })).toBeCloseTo(99.35, 9)
  expect(levelRead_m({ tool: 'water', known_m: 100, there_m: 0.9, read_m: 1.02 })).toBeCloseTo(99.88, 9)
  // Legs 2 m apart, plumb line 1.2 m: 0.03 / 1.2 × 2 = 0.05.
  expect(levelRead_m({ tool: 'frame', known_m: 100, offset_m: 0.03 })).toBeCloseTo(99.95, 9)
})

test('law: what the tool must show for a level, read, gives that level', () =>
  fc.assert(
    fc.property(evenly(-50, 3000), evenly(0, 4), evenly(-2, 2), (known_m, there_m, change_m) => {
      const wanted_m = known_m + change_m
      const blanks: FieldReading[] = [
        { tool: 'staff', known_m, backsight_m: there_m, read_m: 0 },
        { tool: 'water', known_m, there_m, read_m: 0 },
        { tool: 'frame', known_m, offset_m: 0 },
      ]
      for (const blank of blanks) {
        const shown = readingFor_m(blank, wanted_m)
        const read = blank.tool === 'frame' ? { ...blank, offset_m: shown } : { ...blank, read_m: shown }
        expect(levelRead_m(read)).toBeCloseTo(wanted_m, 9)
      }
    }),
    { numRuns: 100 },
  ))

test('the sheets that are printed say the same', () => {
  const { rows } = staffReadings(stakes, stakes[0]!.ground_m, 1.3)
  const water = waterLevelSheet(stakes)
  for (const [k, stake] of stakes.entries()) {
    const blank: FieldReading = { tool: 'staff', known_m: stakes[0]!.ground_m, backsight_m: 1.3, read_m: 0 }
    expect(readingFor_m(blank, plannedLevel_m('bed', stake, false)!)).toBeCloseTo(rows[k]!.bed_m!, 9)
    const heaped = plannedLevel_m('crest', stake, true)
    if (rows[k]!.crestBuilt_m !== null) expect(readingFor_m(blank, heaped!)).toBeCloseTo(rows[k]!.crestBuilt_m!, 9)
    else expect(heaped).toBeNull()
    const before = stakes[k - 1]
    if (before === undefined) continue
    const hose: FieldReading = { tool: 'water', known_m: before.bed_m, there_m: 1, read_m: 0 }
    expect(readingFor_m(hose, stake.bed_m) - 1).toBeCloseTo(water.rows[k - 1]!.bed_m, 9)
  }
})

test('law: a reading is judged as the readings of what was built are', () =>
  fc.assert(
    fc.property(evenly(0, stakes.length - 1), fc.constantFrom('bed', 'crest', 'sill'), evenly(-0.1, 0.1), (at, what, off_m) => {
      const stake = stakes[Math.round(at)]!
      const planned_m = plannedLevel_m(what, stake, false)
      if (planned_m === null || (what === 'sill' && Math.abs(stake.chainage_m - 20) > 1.4)) return
      const settings = defaultSettings()
      const here = readAtStake(what, planned_m + off_m, planned_m, fullDepth_m(stakes), settings)
      const reading: BuiltReading = { what, chainage_m: stake.chainage_m, level_m: planned_m + off_m }
      const [judged] = asBuilt(laid, [reading], {
        crestTolerance_m: settings.crestTolerance_mm / 1000,
        sillTolerance_m: settings.sillTolerance_mm / 1000,
        unevennessShare_ratio: settings.unevennessShare_ratio,
      }).readings
      expect(judged!.off_m).toBeCloseTo(off_m, 6)
      // Half a millimetre to either side is left to rounding.
      const limits_m = [fullDepth_m(stakes)! * 0.05, 0.02, 0.00635]
      if (limits_m.every(limit => Math.abs(Math.abs(off_m) - limit) > 0.001)) expect(here.work === 'keep').toBe(judged!.withinTolerance)
      expect(here.work).not.toBe(off_m > 0 ? 'fill' : 'dig')
    }),
    { numRuns: 100 },
  ))

test('while the sill is not known no bed counts as within tolerance but one at its level', () => {
  expect(fullDepth_m(stakes.map(s => ({ ...s, sill_m: null })))).toBeNull()
  expect(readAtStake('bed', 10.002, 10, null, defaultSettings()).work).toBe('dig')
  expect(readAtStake('bed', 10.0003, 10, null, defaultSettings()).work).toBe('keep')
})

test('a bed that was read leads on; one that was not is taken as planned', () => {
  const [first, second] = [stakes[0]!, stakes[1]!]
  const read: BuiltReading = { what: 'bed', chainage_m: first.chainage_m + 0.02, level_m: first.bed_m + 0.07 }
  expect(knownBed_m(first, [read])).toEqual({ level_m: first.bed_m + 0.07, from: 'read' })
  expect(knownBed_m(first, [{ ...read, what: 'crest' }])).toEqual({ level_m: first.bed_m, from: 'plan' })
  // Level bed: the leg behind stands as much too high as the bed before did.
  expect(behindFrame_m(first, second, first.bed_m + 0.07)).toBeCloseTo(second.bed_m + 0.07, 9)
  // On a fall of 1 in 100 it stands one step's drop higher than the stake.
  const fallen = { ...second, bed_m: first.bed_m - 0.05 }
  expect(behindFrame_m(first, fallen, first.bed_m)).toBeCloseTo(fallen.bed_m + 0.02, 9)
})

test('a second reading of the same thing at the same place takes the place of the first', () => {
  const one: BuiltReading = { what: 'bed', chainage_m: 5, level_m: 10 }
  const other: BuiltReading = { what: 'crest', chainage_m: 5, level_m: 11 }
  expect(withReading([one, other], { ...one, chainage_m: 5.03, level_m: 10.1 })).toEqual([
    other,
    { ...one, chainage_m: 5.03, level_m: 10.1 },
  ])
})

test('a reading that is no number is refused', () => {
  for (const reading of [
    { tool: 'staff', known_m: Number.NaN, backsight_m: 1, read_m: 1 },
    { tool: 'water', known_m: 1, there_m: 1, read_m: Number.POSITIVE_INFINITY },
    { tool: 'frame', known_m: 1, offset_m: Number.NaN },
  ] as const)
    expect(() => levelRead_m(reading)).toThrow(expect.objectContaining({ code: 'levelling/bad-size' }))
})
