import { SIGHTING_KINDS } from 'soakline/hydrology'
import type { Assessment } from 'soakline/plan'
import { BREACH_BELOW, PASSED_KINDS } from 'soakline/siting'
import { describe, expect, test } from 'vitest'
import { breachStretches, sayAreaRange, sayBreach, sayFeature, sayTriedTerrains, sitingSheetWords, type Voice } from '../src/index.js'

const ENGLISH: Voice = { language: 'en', units: 'metric' }
const SPANISH: Voice = { language: 'es', units: 'metric' }

const stake = (chainage_m: number, below: string, nearestBuilding: string | null = null) =>
  ({
    chainage_m,
    below,
    nearestBuilding,
    nearestBuilding_m: nearestBuilding ? 3 : null,
    depth_m: null,
    peak_m3s: 0.4,
    volume_m3: 20,
  }) as never

const breaches = [stake(0, 'nothing'), stake(10, 'building', 'Cabin'), stake(20, 'building', 'Cabin'), stake(30, 'building', 'Barn')]
const line = {
  path: [
    [0, 0],
    [40, 0],
  ],
  length_m: 40,
}

describe('what the sheet says about siting', () => {
  test('stakes are grouped into stretches by what lies below, buildings by their names', () => {
    expect(breachStretches(breaches).map(s => [s.from_m, s.to_m, s.name])).toEqual([
      [0, 0, null],
      [10, 20, 'Cabin'],
      [30, 30, 'Barn'],
    ])
  })

  test('stretches and the worst place are said in both languages', () => {
    const assessment = { line, breaches, worstBreach: { stake: 1, overflow: null } } as unknown as Assessment
    expect(sayBreach(assessment, ENGLISH)!.stretches[1]).toBe('From 10 m to 20 m: Cabin')
    expect(sayBreach(assessment, ENGLISH)!.worst.join(' ')).toContain('Below it: Cabin')
    expect(sayBreach(assessment, SPANISH)!.stretches[1]).toBe('De 10 m a 20 m: Cabin')
  })

  test('a quick answer says nothing of tried terrains; a whole one says what none of many still allows', () => {
    const path = { reachedInRuns: 0, nearInRuns: 0, runs: 200, clearance_m: 5, atMost_ratio: 0.015, leftWindow: 0 }
    const spill = (more: object) => ({ line, catchment: {}, spills: [{ chainage_m: 0, rank: 1, path: more }] }) as unknown as Assessment
    expect(sayTriedTerrains(spill({}), ENGLISH)).toEqual([])
    expect(sayTriedTerrains(spill(path), ENGLISH)[0]).toMatch(/0 of 200 tried terrains.*0 of 200 still allows up to/)
    expect(sayTriedTerrains(spill(path), SPANISH)[0]).toMatch(/0 de 200/)
    expect(sayAreaRange(spill({}), ENGLISH)).toBeNull()
  })

  test.each([ENGLISH, SPANISH])('every code has its words: $language', voice => {
    const say = sitingSheetWords(voice)
    for (const below of BREACH_BELOW) expect(say.lies[below]).toBeTruthy()
    for (const kind of SIGHTING_KINDS) expect(say.soil.sighting[kind]).toBeTruthy()
    for (const kind of PASSED_KINDS) expect(sayFeature(kind, voice)).not.toBe('')
  })
})
