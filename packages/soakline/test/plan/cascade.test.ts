import { InputError } from 'soakline/foundation'
import { type RainTable, studyWater } from 'soakline/hydrology'
import { assess, cascadeOf, judgedLevels, settingsFrom, siteOf, stormAt, stormLength_h, stormShares } from 'soakline/plan'
import type { Point } from 'soakline/raster'
import { gradient } from 'soakline/terrain'
import { expect, test } from 'vitest'
import { gridOf, lineAcross, roof } from '../../../../tests/helpers/surfaces.js'

// A roof of 10 %: an upper line 40 m below the ridge and a lower one 30 m further down, both 40 m long.

const CENTRE: Point = [100.3, 79.6]
const ground = gridOf(200, 200, 1, roof(0, 0.1, CENTRE))
const UPPER = lineAcross(0, CENTRE, 40, 40)
const LOWER = lineAcross(0, CENTRE, 70, 40)
/** Beside the others: what the upper line's ends spill never meets it. */
const BESIDE = LOWER.map(([x, y]): Point => [x + 60, y + 20])
const RAIN: RainTable = {
  rows: [
    [7, 13, 17],
    [14, 26, 33],
    [26, 49, 62],
    [62, 126, 165],
  ].flatMap((depths, k) =>
    depths.map((depth_mm, j) => ({ duration_h: [1 / 12, 0.25, 1, 24][k]!, chancePerYear: [0.5, 0.04, 0.01][j]!, depth_mm })),
  ),
}
const { settings } = settingsFrom({ depth_m: 0.4, spillChainage_m: 20 })
const site = siteOf(studyWater(ground), gradient(ground), [], settings, { sha256: '', warnings: [] })

test('the lower ditch has the strip between the two for its own, and takes what the upper one spills', () => {
  const cascade = cascadeOf(site, [LOWER, UPPER], settings, RAIN)!
  expect(cascade.ditches.map(d => d.line)).toEqual([1, 0])
  const [upper, lower] = cascade.ditches as [(typeof cascade.ditches)[0], (typeof cascade.ditches)[0]]
  expect(upper.spillsInto).toBe(0)
  expect(lower.spillsInto).toBeNull()
  // Within half a cell of the ridge's place.
  expect(Math.abs(upper.ownArea_m2 - 40 * 40)).toBeLessThan(40 * 0.55)
  expect(Math.abs(lower.catchment_m2 - 40 * 70)).toBeLessThan(40 * 0.55)
  expect(lower.ownArea_m2 / (40 * 30) - 1).toBeCloseTo(0, 1)
  // All full and nothing soaking: what comes in leaves again.
  const alone = assess(site, LOWER, settings, RAIN).storms.find(s => s.chancePerYear === 0.04)!
  expect(lower.spilled_m3 / alone.worst!.runoff_m3).toBeCloseTo(1, 1)
  expect(lower.peakSpill_m3s).toBeGreaterThan(upper.peakSpill_m3s)
})

test('the storm is followed through both from empty: what the upper spills runs into the lower, and no water is lost in either', () => {
  const { ditches } = cascadeOf(site, [LOWER, UPPER], settings, RAIN)!
  const [upper, lower] = ditches as [(typeof ditches)[0], (typeof ditches)[0]]
  const end = (of: typeof upper) => stormAt(of.levels, stormLength_h(of.levels))
  // Nothing lies above the upper one: its storm is the one that it has alone, at the cascade's finer step.
  const alone = judgedLevels(assess(site, UPPER, settings, RAIN))!
  expect(end(upper).came_m3 / stormAt(alone, stormLength_h(alone)).came_m3).toBeCloseTo(1, 2)
  expect(Math.max(...upper.levels.levels_m) - Math.max(...alone.levels_m)).toBeCloseTo(0, 2)
  for (const hour_h of [6, 12, 18, 30]) {
    const [high, low] = [stormAt(upper.levels, hour_h), stormAt(lower.levels, hour_h)]
    for (const { came_m3, spilled_m3, soaked_m3, standing_m3 } of [high, low])
      expect(Math.abs(came_m3 - spilled_m3 - soaked_m3 - standing_m3)).toBeLessThan(1e-6 * Math.max(1, came_m3))
    // Its own strip takes the same rain: what came besides is what the upper one spilled.
    const own_m3 = (high.came_m3 * lower.ownArea_m2) / upper.ownArea_m2
    expect((low.came_m3 - own_m3) / Math.max(1, high.came_m3)).toBeCloseTo(high.spilled_m3 / Math.max(1, high.came_m3), 1)
  }
  expect(end(upper).spilled_m3).toBeGreaterThan(10)
  // On its way down the upper one's water ends at the lower line, 30 m below.
  const [from, to] = [upper.way[0]!, upper.way[upper.way.length - 1]!]
  expect(Math.hypot(to[0] - from[0], to[1] - from[1])).toBeCloseTo(30, -1)
  expect(stormShares(upper.levels, { level_m: upper.sillElevation_m, spill_m3s: 0 }, upper)).toEqual({ fill_ratio: 1, spill_ratio: 0 })
})

test('when the upper berm gives way more comes at once than the lower sill was made for, and the lower one is told of', () => {
  const cascade = cascadeOf(site, [UPPER, LOWER], settings, RAIN)!
  const upperFails = cascade.whenFails.find(f => f.line === 0)!
  const usual = cascade.ditches.find(d => d.line === 1)!
  expect(upperFails.peak_m3s).toBeGreaterThan(usual.peakSpill_m3s)
  expect(upperFails.leaves_m3).toBeGreaterThan(usual.spilled_m3)
  // The lowest fails alone.
  expect(cascade.whenFails.find(f => f.line === 1)!.alsoFall).toEqual([])
})

test('ditches side by side share nothing', () => {
  const cascade = cascadeOf(site, [UPPER, BESIDE], settings, RAIN)!
  expect(cascade.ditches.map(d => d.spillsInto)).toEqual([null, null])
  for (const ditch of cascade.ditches) expect(ditch.ownArea_m2 / ditch.catchment_m2).toBeCloseTo(1, 6)
})

test('without a known peak nothing is said; one line alone is no cascade', () => {
  const daily: RainTable = { rows: RAIN.rows.filter(row => row.duration_h === 24) }
  expect(cascadeOf(site, [UPPER, LOWER], settings, daily)).toBeNull()
  expect(() => cascadeOf(site, [UPPER], settings, RAIN)).toThrow(InputError)
})
