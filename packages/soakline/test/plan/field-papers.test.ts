import { aFrameError, digPlan, fieldPapers, plantZones, stakesOf, stormCard } from 'soakline/plan'
import { expect, test } from 'vitest'
import { KNOLL, laidOn, SLOPE, STRAIGHT } from './laid-on.js'

const on = laidOn(SLOPE, STRAIGHT)

test('the papers are those that each function gives alone', () => {
  const papers = fieldPapers(SLOPE, on.answer, on.settings, { every_m: 4, ring: 'Ana 555' })!
  expect(papers.stakes).toEqual(stakesOf(on.laid, { every_m: 4 }))
  expect(papers.dig).toEqual(digPlan(on.laid, { stakes: papers.stakes.length }))
  expect(papers.zones).toEqual(plantZones(on.laid, { intake_mmh: on.answer.soaking.infiltration_mmh }))
  expect(papers.card).toEqual(stormCard(on.laid, on.answer, 'Ana 555'))
})

test('the A-frame’s error is that of all steps walked, at 2 mm: 100 m stray 167 mm by bias (DOSSIER §11)', () => {
  const papers = fieldPapers(SLOPE, on.answer, on.settings)!
  expect(papers.aFrameError.steps).toBe(papers.tally[papers.tally.length - 1]!.stepsSoFar)
  expect(papers.aFrameError.byBias_m).toBeCloseTo(aFrameError(papers.aFrameError.steps, 0.002).byBias_m, 12)
  expect((papers.aFrameError.byBias_m / papers.aFrameError.steps) * 50).toBeCloseTo(0.167, 3)
})

test('a level book may miss 5 mm after one stand, 10 mm after four (DOSSIER §11: 5√n mm)', () => {
  const { misclosure } = fieldPapers(SLOPE, on.answer, on.settings)!
  expect(misclosure.oneStand_m).toBeCloseTo(0.005, 12)
  expect(misclosure.fourStands_m).toBeCloseTo(0.01, 12)
})

test('sections worth drawing: the steepest and the flattest ground of the line', () => {
  // A knoll of one slope, cut by a straight line: across it the slope is least where the line points uphill.
  const line = laidOn(KNOLL, [
    [60, 112],
    [80, 118],
    [100, 112],
  ])
  const { sections } = fieldPapers(KNOLL, line.answer, line.settings)!
  const slopes = line.laid.ditch.stakes.map(s => s.section.groundSlope_ratio)
  expect(sections.map(s => s.why)).toEqual(['steepest', 'flattest'])
  expect(sections[0]!.section.groundSlope_ratio).toBe(Math.max(...slopes))
  expect(sections[1]!.section.groundSlope_ratio).toBe(Math.min(...slopes))
})

test('an answer without a ditch has no papers', () => {
  expect(fieldPapers(SLOPE, { ...on.answer, section: null }, on.settings)).toBeNull()
})
