import { timeLeft_s } from 'soakline/foundation'
import { expect, test } from 'vitest'

test('work goes on as it did: half done in 10 s leaves 10 s, all done leaves none', () => {
  expect(timeLeft_s(0.5, 10)).toBe(10)
  expect(timeLeft_s(0.25, 20)).toBe(60)
  expect(timeLeft_s(0.25, 40)).toBe(120)
  expect(timeLeft_s(1, 7)).toBe(0)
  expect(timeLeft_s(1.2, 7)).toBe(0)
})

test('nothing is said before there is something to go by', () => {
  expect(timeLeft_s(0, 100)).toBeNull()
  expect(timeLeft_s(0.01, 100)).toBeNull()
  expect(timeLeft_s(0.5, 0.2)).toBeNull()
})
