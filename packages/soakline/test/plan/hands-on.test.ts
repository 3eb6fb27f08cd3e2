import { type RainTable, studyWater } from 'soakline/hydrology'
import {
  assess,
  busyHours,
  compareDesigns,
  dugView,
  type GroundWork,
  groundWork,
  JOB_STEPS,
  jobSteps,
  judgedLevels,
  laidLine,
  type Settings,
  settingsFrom,
  siteOf,
  soakRates_m3s,
  stageAt,
  stagesOf,
  stormAt,
  stormLength_h,
  whatMatters,
} from 'soakline/plan'
import type { Point } from 'soakline/raster'
import { gradient } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { gridOf, lineAcross, roof } from '../../../../tests/helpers/surfaces.js'

// What a hand asks of an answered line: its water at any level, its storm at any hour, another design beside it, what would change it, how the job stands.

const CENTRE: Point = [70.3, 100.6]
const ground = gridOf(140, 140, 1, roof(180, 0.1, CENTRE))
const LINE = lineAcross(180, CENTRE, 50, 30)
const RAIN: RainTable = {
  rows: [0.5, 0.04, 0.01].flatMap((chancePerYear, k) =>
    [
      [1 / 12, 8],
      [1 / 4, 15],
      [1, 28],
      [24, 70],
    ].map(([duration_h, depth_mm]) => ({ duration_h: duration_h!, chancePerYear, depth_mm: depth_mm! * (1 + 0.7 * k) })),
  ),
}
const given = (settings: Partial<Settings> = {}): Settings => settingsFrom({ slowestTest_mmh: 30, intakeTests: 3, ...settings }).settings
const settings = given()
const site = siteOf(studyWater(ground), gradient(ground), [], settings, { sha256: '', warnings: [] })
const answerOf = (other: Partial<Settings> = {}, line = LINE) => assess(site, line, given(other), RAIN)
const answer = answerOf()

describe('the water at a level', () => {
  const stages = stagesOf(site, answer, settings)!
  test('more water never holds or lets out less, and nothing leaves below the first opening', () => {
    for (let k = 1; k < stages.length; k++) {
      expect(stages[k]!.held_m3).toBeGreaterThanOrEqual(stages[k - 1]!.held_m3)
      expect(stages[k]!.leaves_m3s!).toBeGreaterThanOrEqual(stages[k - 1]!.leaves_m3s!)
    }
    for (const stage of stages)
      if (stage.level_m < answer.storage!.sillElevation_m - 1e-9) expect(stage.leaves_m3s).toBe(0)
      else if (stage.level_m > answer.storage!.sillElevation_m + 0.01) expect(stage.leaves_m3s).toBeGreaterThan(0)
  })
  test('at the level of the first opening it holds what the answer says, and at the crest as well', () => {
    const { toSill_m3, toCrest_m3, sillElevation_m, crestElevation_m } = answer.storage!
    expect(stageAt(stages, sillElevation_m)!.held_m3 / toSill_m3).toBeCloseTo(1, 2)
    expect(stageAt(stages, crestElevation_m)!.held_m3 / toCrest_m3).toBeCloseTo(1, 6)
    expect(stageAt(stages, crestElevation_m)!.crestOver_m).toBeCloseTo(0, 9)
  })
  test('the table keeps to itself, and there is none without a ditch', () => {
    expect(stageAt(stages, -1e6)).toEqual(stages[0])
    expect(stageAt(stages, 1e6)).toEqual(stages[stages.length - 1])
    expect(stageAt([], 0)).toBeNull()
    expect(stagesOf(site, { ...answer, storage: null }, settings)).toBeNull()
  })
})

describe('the storm at an hour', () => {
  const levels = judgedLevels(answer)!
  test('what came has spilled, soaked in or stands, at every hour', () => {
    for (let hour = 0; hour <= stormLength_h(levels); hour += 0.37) {
      const at = stormAt(levels, hour)
      expect(at.spilled_m3 + at.soaked_m3 + at.standing_m3).toBeCloseTo(at.came_m3, 6)
      expect(at.soaked_m3).toBeGreaterThanOrEqual(0)
    }
  })
  test('at its end it has come to what the storm’s answer says', () => {
    const storm = answer.storms.find(s => s.chancePerYear === answer.acceptance.chancePerYear)!
    const end = stormAt(levels, 1e9)
    expect(end.spilled_m3).toBeCloseTo(storm.spilled_m3!, 6)
    expect(end.soaked_m3).toBeCloseTo(storm.soaked_m3!, 6)
    expect(end.came_m3).toBeCloseTo(storm.runoff_m3, 6)
    expect(soakRates_m3s(levels).reduce((sum, rate) => sum + rate, 0) * levels.step_h * 3600).toBeCloseTo(storm.soaked_m3!, 6)
  })
  test('the busy hours hold the peaks in and out', () => {
    const { from_h, to_h } = busyHours(levels)
    for (const flows of [levels.inflows_m3s, levels.spills_m3s]) {
      const peak_h = flows.indexOf(Math.max(...flows)) * levels.step_h
      expect(peak_h).toBeGreaterThanOrEqual(from_h)
      expect(peak_h).toBeLessThanOrEqual(to_h)
    }
    expect(to_h).toBeLessThan(stormLength_h(levels))
  })
})

test('two designs: the numbers are the answers’ own, and the other way round they change places', () => {
  const deeper = answerOf({ depth_m: 0.6 })
  const compared = compareDesigns(answer, deeper)
  const row = (by: string) => compared.rows.find(one => one.by === by)!
  expect(row('holds')).toEqual({ by: 'holds', a: answer.storage!.toSill_m3, b: deeper.storage!.toSill_m3 })
  expect(row('earth').b!).toBeGreaterThan(row('earth').a!)
  expect(compareDesigns(deeper, answer).rows).toEqual(compared.rows.map(({ by, a, b }) => ({ by, a: b, b: a })))
  expect(compareDesigns(answer, answer).verdicts).toEqual([])
  expect(compared.spills.a!.endsIn).toBe(answer.spills.find(s => s.chainage_m === answer.spillway!.chainage_m)!.path.endsIn)
})

describe('what would change an answer most', () => {
  const influences = whatMatters(site, LINE, settings, RAIN)
  test('at most three for each check, the weightier first, each the answer’s own when it is changed so', () => {
    const checks = new Set(influences.map(one => one.check))
    for (const check of checks) expect(influences.filter(one => one.check === check).length).toBeLessThanOrEqual(3)
    const rain = influences.find(one => one.change === 'more-rain' && one.check === 'spill-carries-peak')
    if (rain) {
      const again = answerOf({ rainUplift_ratio: rain.value }).findings.find(f => f.check === 'spill-carries-peak')!
      expect(rain.after.measured).toBeCloseTo(again.measured!, 9)
    }
    const deeper = influences.find(one => one.check === 'storage-holds-storm' && one.change === 'deeper')!
    expect(deeper.after.measured!).toBeGreaterThan(deeper.before.measured!)
  })
  test('what rests on the place alone is not said to hang on rain or soil', () => {
    expect(influences.filter(one => one.check === 'permissions-asked')).toEqual([])
  })
})

describe('how the steps of the job stand', () => {
  const work: GroundWork = groundWork(laidLine(ground, answer, settings)!, answer)
  const step = (name: string, ...asked: Parameters<typeof jobSteps>) => jobSteps(...asked).find(one => one.step === name)!
  test('every step has a verdict, in the order of the job', () => {
    expect(jobSteps(answer, settings.depth_m, work, null).map(one => one.step)).toEqual(JOB_STEPS)
  })
  test('a line that lies off its level is told of before no ditch fits it', () => {
    expect(step('line', answer, settings.depth_m, work, null).verdict).toBe('holds')
    const off = answerOf(
      {},
      LINE.map(([x, y], k): Point => (k === 0 ? [x, y + 1] : [x, y])),
    )
    expect(step('line', off, settings.depth_m, null, null).verdict).toBe('watch')
    const far = answerOf(
      {},
      LINE.map(([x, y], k): Point => (k === 0 ? [x, y + 8] : [x, y])),
    )
    expect([far.storage, step('line', far, settings.depth_m, null, null).verdict]).toEqual([null, 'fails'])
  })
  test('digging waits while a check fails or is unknown; nothing built and no storm noted is unknown, never within limits', () => {
    expect(step('digging', answer, settings.depth_m, work, null).because).toMatch(/digging\/checks-(fail|unknown)/)
    const held = { ...answer, findings: answer.findings.map(f => ({ ...f, verdict: 'holds' as const })) }
    expect(step('digging', held, settings.depth_m, work, null).verdict).toBe('holds')
    expect(step('as-built', held, settings.depth_m, work, null).verdict).toBe('unknown')
    expect(step('care', held, settings.depth_m, work, null).verdict).toBe('unknown')
    expect(step('stakes', held, settings.depth_m, null, null).verdict).toBe('unknown')
  })
})

test('the ground to look at: nothing changes but the strip of the works, cut on the uphill side and raised on the downhill one', () => {
  const { before, asDug } = dugView(site, answer, settings)!
  const { geometry } = asDug
  expect(before.geometry).toEqual(geometry)
  expect(Math.max(geometry.width, geometry.height)).toBeLessThanOrEqual(222)
  const lineNorth_m = LINE[0]![1]
  let [cut, laid] = [0, 0]
  for (let k = 0; k < asDug.data.length; k++) {
    const changed = asDug.data[k]! - before.data[k]!
    if (Math.abs(changed) < 0.02) continue
    const y = geometry.north_m - (Math.floor(k / geometry.width) + 0.5) * geometry.cell_m
    // The slope falls to the south.
    expect(Math.abs(y - lineNorth_m)).toBeLessThan(8)
    if (changed < 0) cut++
    else laid++
  }
  expect(Math.min(cut, laid)).toBeGreaterThan(100)
  expect(dugView(site, { ...answer, storage: null }, settings)).toBeNull()
})
