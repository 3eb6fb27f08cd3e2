import { readLevelBook } from '@soakline/io'
import { METRES_PER } from 'soakline/foundation'
import { levelBook } from 'soakline/plan'
import { describe, expect, test } from 'vitest'
import { refusal } from './refusal.js'

const HEAD = 'point,backsight_m,intermediate_m,foresight_m,level_m\n'

describe('a level book as a table', () => {
  test('a worked example comes to its levels', () => {
    const { readings, start_m, closesOn_m } = readLevelBook(
      `${HEAD}BM,1.525,,,100\n1,,1.870,,\n2,,2.145,,\n3,1.640,,0.985,\n4,,1.220,,\nEnd,,,2.310,\n`,
    )
    expect([start_m, closesOn_m]).toEqual([100, null])
    const book = levelBook(readings, start_m!)
    expect(book.rows.map(row => Number(row.level_m.toFixed(6)))).toEqual([100, 99.655, 99.38, 100.54, 100.96, 99.87])
    expect(book.check.agrees).toBe(true)
  })

  test('in Spanish with decimal commas, in feet, and with a known last point', () => {
    const { readings, start_m, closesOn_m } = readLevelBook(
      'Punto;Atrás_ft;Adelante_ft;Cota_ft\r\n# seco\r\nA;5,5;;1000\r\nB;;4,25;1001,25\r\n',
    )
    expect(readings).toEqual([
      { point: 'A', backsight_m: 5.5 * METRES_PER.ft },
      { point: 'B', foresight_m: 4.25 * METRES_PER.ft },
    ])
    expect([start_m, closesOn_m]).toEqual([1000 * METRES_PER.ft, 1001.25 * METRES_PER.ft])
    expect(levelBook(readings, start_m!, closesOn_m).misclosure_m).toBeCloseTo(0, 9)
  })

  test.each([
    ['', 'level-book/empty'],
    [HEAD, 'level-book/empty'],
    ['point,foresight\nA,1\n', 'level-book/header'],
    ['point,backsight,backsight,foresight\nA,1,2,\n', 'level-book/header'],
    ['point,backsight,foresight\nA,one,\nB,,1\n', 'level-book/number'],
    ['point,backsight,foresight\nA,1,5,,\nB,,1\n', 'level-book/number'],
    [`${HEAD}A,1,,,5\nB,,1,,5\nC,,,1,\n`, 'level-book/known-level'],
  ])('refused: %j', async (text, code) => {
    expect((await refusal(() => readLevelBook(text))).code).toBe(code)
  })
})
