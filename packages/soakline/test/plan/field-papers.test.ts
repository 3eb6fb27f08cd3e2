import { aFrameError, fieldPapers, groundWork, plantZones, stakesOf, stormCard } from 'soakline/plan'
import { expect, test } from 'vitest'
import { KNOLL, laidOn, SLOPE, STRAIGHT } from './laid-on.js'

const on = laidOn(SLOPE, STRAIGHT, { stakesEvery_m: 4 })
const papers = fieldPapers(on.laid, groundWork(on.laid, on.answer, { ring: 'Ana 555' }))

test('the papers are those of the work on the ground, and those that each function gives alone', () => {
  expect(papers.stakes).toEqual(stakesOf(on.laid, { every_m: 4 }))
  expect(papers.dig).toEqual(groundWork(on.laid, on.answer).digging)
  expect(papers.zones).toEqual(plantZones(on.laid, { intake_mmh: on.answer.soaking.infiltration_mmh }))
  expect(papers.card).toEqual(stormCard(on.laid, on.answer, 'Ana 555'))
})

test('the A-frame’s error is that of all steps walked, at 2 mm: 100 m stray 167 mm by bias (derived)', () => {
  expect(papers.aFrameError.byBias_m).toBeCloseTo(aFrameError(papers.aFrameError.steps, 0.002).byBias_m, 12)
  expect((papers.aFrameError.byBias_m / papers.aFrameError.steps) * 50).toBeCloseTo(0.167, 3)
})

test('a level book may miss 5 mm after one stand, 10 mm after four (field tolerance of levelling handbooks, 5√n mm)', () => {
  expect(papers.misclosure.oneStand_m).toBeCloseTo(0.005, 12)
  expect(papers.misclosure.fourStands_m).toBeCloseTo(0.01, 12)
})

test('sections worth drawing: the steepest and the flattest ground of the line', () => {
  // A knoll of one slope, cut by a straight line: across it the slope is least where the line points uphill.
  const line = laidOn(KNOLL, [
    [60, 112],
    [80, 118],
    [100, 112],
  ])
  const { sections } = fieldPapers(line.laid, groundWork(line.laid, line.answer))
  const slopes = line.laid.ditch.stakes.map(s => s.section.groundSlope_ratio)
  expect(sections.map(s => s.why)).toEqual(['steepest', 'flattest'])
  expect(sections[0]!.section.groundSlope_ratio).toBe(Math.max(...slopes))
  expect(sections[1]!.section.groundSlope_ratio).toBe(Math.min(...slopes))
})
