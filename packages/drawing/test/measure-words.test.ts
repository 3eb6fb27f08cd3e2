import { sayMeasured, sayTimeLeft, type Voice } from '@soakline/drawing'
import type { MeasuredWay } from 'soakline/terrain'
import { expect, test } from 'vitest'

const EN: Voice = { language: 'en', units: 'metric' }
const FEET: Voice = { language: 'es', units: 'us' }

const way: MeasuredWay = {
  heights_m: [431.2, 428.1, 428.12],
  legs: [
    { length_m: 30, rise_m: -3.1, tape_m: 30.16 },
    { length_m: 40, rise_m: 0.02, tape_m: 40 },
  ],
  length_m: 70,
  rise_m: -3.08,
  tape_m: 70.16,
  area_m2: 600,
}

test('what was measured is said with its ends, its fall, the tape and the area, and leg by leg', () => {
  const { sentences, legs } = sayMeasured(way, EN)
  expect(sentences.join(' ')).toBe(
    '70 m level distance. The last place lies 3.1 m below the first. A taut tape from place to place: 70.2 m. Heights: 431.2 m at the first, 428.1 m at the last. Closed from the last to the first: 600 m² of level area.',
  )
  expect(legs).toEqual([
    { name: '1 to 2', text: '30 m, falls 3.1 m (10%)' },
    { name: '2 to 3', text: '40 m, the same height' },
  ])
})

test('in Spanish with feet no meter is left, and a height that is not known is said to be so', () => {
  const said = sayMeasured(
    {
      ...way,
      heights_m: [null, 428.1, 428.1],
      rise_m: null,
      tape_m: null,
      legs: [{ length_m: 30, rise_m: null, tape_m: null }, way.legs[1]!],
    },
    FEET,
  )
  const text = [...said.sentences, ...said.legs.map(leg => leg.text)].join(' ')
  expect(text).toContain('sin dato en el primero')
  expect(text).toContain('98,4 pies, en uno de ellos no se conoce la altura')
  expect(text).not.toMatch(/\d m\b|below|above|NaN/)
})

test('the time left is told roughly, and not before it can be', () => {
  expect(sayTimeLeft(null, EN)).toBe('')
  expect([4, 11, 61, 100, 200].map(left => sayTimeLeft(left, EN))).toEqual([
    'a few seconds left',
    'about 15 s left',
    'about 65 s left',
    'about 2 minutes left',
    'about 4 minutes left',
  ])
  expect(sayTimeLeft(45, FEET)).toBe('faltan unos 45 s')
})
