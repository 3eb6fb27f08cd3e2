import { type InputError, seededRandom } from 'soakline/foundation'
import { aFrameError, aFrameTally, calibratedAFrame, levelBook, staffReadings, stakesOf, waterLevelSheet } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { laidOn, SLOPE, STRAIGHT } from './laid-on.js'

const stakes = stakesOf(laidOn(SLOPE, STRAIGHT, { bedFall_ratio: 0.0025, spillChainage_m: 40 }).laid, { every_m: 5 })

describe('A-frame', () => {
  test('the level mark lies half-way between both readings, whatever the two points: simulated frame', () => {
    const random = seededRandom(3).uniform
    for (let k = 0; k < 200; k++) {
      const [mark, step] = [0.5 + random() * 0.2, (random() - 0.5) * 0.3]
      // A plumb line of 1.2 m over legs 2 m apart swings by step × 1.2 / 2, to the other side once the frame is turned.
      const found = calibratedAFrame(mark + step * 0.6, mark - step * 0.6)
      expect(found.levelMark_m).toBeCloseTo(mark, 12)
      expect(found.pointsDiffer_m).toBeCloseTo(step, 12)
    }
  })

  test('a mark 2 mm off adds up to 167 mm in 100 m when one leg always leads [derived]', () => {
    expect(aFrameError(50, 0.002).byBias_m).toBeCloseTo(0.1667, 4)
  })

  test('the tally counts whole steps and what is left to each stake', () => {
    const tally = aFrameTally(stakes)
    expect(tally[1]).toEqual({ stake: 2, steps: 2, rest_m: 1, stepsSoFar: 2, bedDropSoFar_m: expect.closeTo(0.0125, 9) })
    for (const [k, row] of tally.slice(1).entries())
      expect(row.steps * 2 + row.rest_m).toBeCloseTo(stakes[k + 1]!.chainage_m - stakes[k]!.chainage_m, 9)
    expect(tally.at(-1)!.bedDropSoFar_m).toBeCloseTo(0.1, 9)
  })
})

test('water level: readings grow by what the bed falls; stakes too far apart for the hose are marked', () => {
  const sheet = waterLevelSheet(stakes)
  expect(sheet.rows[0]!.bed_m).toBeCloseTo(0.0125, 9)
  expect(sheet.rows.every(row => !row.tooFar)).toBe(true)
  expect(sheet.error_m).toBeCloseTo(0.005 * Math.sqrt(sheet.setUps), 12)
  expect(waterLevelSheet(stakes, { reach_m: 4 }).rows.some(row => row.tooFar)).toBe(true)
})

test('staff readings: level + reading is the line of sight; what the staff cannot show is left empty', () => {
  const known_m = stakes[0]!.ground_m
  const { sight_m, rows } = staffReadings(stakes, known_m, 1.5)
  expect(sight_m).toBeCloseTo(known_m + 1.5, 12)
  for (const [k, row] of rows.entries()) {
    expect(row.bed_m! + stakes[k]!.bed_m).toBeCloseTo(sight_m, 9)
    expect(row.sill_m! + stakes[k]!.sill_m!).toBeCloseTo(sight_m, 9)
  }
  expect(staffReadings(stakes, known_m, 0.1).rows[0]!.crestBuilt_m).toBeNull()
  expect(staffReadings(stakes, known_m, 1.5, { staff_m: 1 }).rows[0]!.bed_m).toBeNull()
})

describe('level book', () => {
  const reading = (point: string, rest: object) => ({ point, ...rest })

  test('law: seeded walks over known points: every level comes back, the three checks agree, and a closed walk misses by 0', () => {
    const random = seededRandom(11).uniform
    for (let k = 0; k < 100; k++) {
      const levels = Array.from({ length: 2 + Math.floor(random() * 12) }, () => 50 + random() * 3)
      levels.push(levels[0]!)
      let sight = levels[0]! + 1.5
      const book = levels.map((level, j) => {
        if (j === 0) return reading('a', { backsight_m: sight - level })
        const read = sight - level
        if (j === levels.length - 1) return reading('z', { foresight_m: read })
        if (random() < 0.5) return reading(`i${j}`, { intermediate_m: read })
        sight = level + 1 + random()
        return reading(`c${j}`, { foresight_m: read, backsight_m: sight - level })
      })
      const worked = levelBook(book, levels[0]!, levels[0]!)
      for (const [j, row] of worked.rows.entries()) expect(row.level_m).toBeCloseTo(levels[j]!, 9)
      expect(worked.check.agrees).toBe(true)
      expect(worked.misclosure_m).toBeCloseTo(0, 9)
    }
  })

  test('three stands may miss by 5 mm × √3', () => {
    const book = levelBook(
      [
        reading('a', { backsight_m: 1 }),
        reading('b', { foresight_m: 1, backsight_m: 1 }),
        reading('c', { foresight_m: 1, backsight_m: 1 }),
        reading('a', { foresight_m: 1.006 }),
      ],
      10,
      10,
    )
    expect(book.stands).toBe(3)
    expect(book.misclosure_m).toBeCloseTo(-0.006, 12)
    expect(book.allowed_m).toBeCloseTo(0.00866, 5)
  })

  test.each([
    [[reading('a', { backsight_m: 1 })], 'levelling/too-short'],
    [[reading('a', { foresight_m: 1 }), reading('b', { foresight_m: 1 })], 'levelling/book-shape'],
    [[reading('a', { backsight_m: 1 }), reading('b', { intermediate_m: 1 })], 'levelling/book-shape'],
    [[reading('a', { backsight_m: 1 }), reading('b', { backsight_m: 1 }), reading('c', { foresight_m: 1 })], 'levelling/book-shape'],
    [
      [reading('a', { backsight_m: 1 }), reading('b', { intermediate_m: 1, foresight_m: 2 }), reading('c', { foresight_m: 1 })],
      'levelling/book-shape',
    ],
    [[reading('a', { backsight_m: Number.NaN }), reading('b', { foresight_m: 1 })], 'levelling/bad-size'],
  ])('refused: %o', (book, code) => {
    expect(() => levelBook(book, 10)).toThrow(expect.objectContaining({ code }) as InputError)
  })
})
