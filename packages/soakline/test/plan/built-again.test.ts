import { studyWater } from 'soakline/hydrology'
import { asBuilt, assess, type BuiltReading, siteOf, stakesOf } from 'soakline/plan'
import { gradient } from 'soakline/terrain'
import { describe, expect, test } from 'vitest'
import { gridOf, lineAcross, roof } from '../../../../tests/helpers/surfaces.js'
import { laidOn, RAIN } from './laid-on.js'

// A roof of 10 %, so that no edge cuts the catchment.
const CENTRE = [100.3, 99.6] as const
const SLOPE = gridOf(200, 200, 1, roof(0, 0.1, CENTRE))
const STRAIGHT = lineAcross(0, CENTRE, 60, 40)

const { laid, answer, settings } = laidOn(SLOPE, STRAIGHT, { spillChainage_m: 0 })
const site = siteOf(studyWater(SLOPE), gradient(SLOPE), [], settings, { sha256: '', warnings: [] })
const stakes = stakesOf(laid, { every_m: 2 })
const again = (change: (what: string, at: number) => number) => {
  const readings = stakes.flatMap((s): BuiltReading[] => [
    { what: 'bed', chainage_m: s.chainage_m, level_m: s.bed_m + change('bed', s.chainage_m) },
    ...(s.crest_m === null
      ? []
      : [{ what: 'crest' as const, chainage_m: s.chainage_m, level_m: s.crest_m + change('crest', s.chainage_m) }]),
  ])
  return assess(site, STRAIGHT, settings, RAIN, { built: asBuilt(laid, readings).built })
}
const verdict = (a: typeof answer, check: string) => a.findings.find(f => f.check === check)!.verdict

describe('the assessment on what was built', () => {
  test('built as planned, the answer is the plan’s', () => {
    const a = again(() => 0)
    expect(a.storage!.toSill_m3).toBeCloseTo(answer.storage!.toSill_m3, 6)
    expect(a.spillway!.highestWater_m).toBeCloseTo(answer.spillway!.highestWater_m, 6)
    expect(a.findings.map(f => f.verdict)).toEqual(answer.findings.map(f => f.verdict))
  })

  test('a low spot of 6 cm costs 6 cm of freeboard, and the finding says so', () => {
    const a = again((what, at) => (what === 'crest' && at === 20 ? -0.06 : 0))
    const least = (x: typeof answer): number => Math.min(...x.spillway!.water.map(w => w.freeboard_m))
    // The water stands a little lower at the low spot than where the freeboard was least before.
    expect(Math.abs(least(answer) - least(a) - 0.06)).toBeLessThan(0.002)
    expect(verdict(answer, 'freeboard')).toBe('holds')
    expect(verdict(a, 'freeboard')).toBe('watch')
    expect(a.storage!.crestElevation_m).toBeCloseTo(answer.storage!.crestElevation_m - 0.06, 3)
  })

  test('a berm lower than its sill is answered, not refused: water over the berm', () => {
    const a = again((what, at) => (what === 'crest' && at === 20 ? -0.3 : 0))
    expect(verdict(a, 'freeboard')).toBe('fails')
    expect(a.storage!.toSill_m3).toBeLessThan(answer.storage!.toSill_m3)
  })

  test('an uneven bed stores less, and the profile shows the bed as it is', () => {
    const a = again((what, at) => (what === 'bed' ? (0.04 * at) / 40 : 0))
    expect(a.storage!.toSill_m3).toBeLessThan(answer.storage!.toSill_m3)
    expect(a.profile.at(-1)!.bed_m - a.profile[0]!.bed_m).toBeCloseTo(0.04, 6)
  })
})
