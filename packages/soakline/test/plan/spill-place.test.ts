import { type Assessment, spillInUse, spillPlace_m } from 'soakline/plan'
import { expect, test } from 'vitest'

const spills = [
  { chainage_m: 0, rank: 2 },
  { chainage_m: 40, rank: 1 },
] as unknown as Assessment['spills']
const line = { length_m: 40 } as Assessment['line']
const spillway = { chainage_m: 0 } as Assessment['spillway']

test('a ditch spills at its spillway, else where the settings name it, else at the best place, and never beyond its line', () => {
  expect(spillPlace_m({ line, spillway, spills }, { spillChainage_m: 20 })).toBe(0)
  expect(spillPlace_m({ line, spillway: null, spills }, { spillChainage_m: 20 })).toBe(20)
  expect(spillPlace_m({ line, spillway: null, spills }, { spillChainage_m: 70 })).toBe(40)
  expect(spillPlace_m({ line, spillway: null, spills }, { spillChainage_m: null })).toBe(40)
  expect(spillPlace_m({ line, spillway: null, spills: [] }, { spillChainage_m: null })).toBe(0)
})

test('the overflow that is handed on is that of the spillway, though another place ranks higher', () => {
  expect(spillInUse({ spillway, spills })!.chainage_m).toBe(0)
  expect(spillInUse({ spillway: null, spills })!.chainage_m).toBe(40)
  expect(spillInUse({ spillway: null, spills: [] })).toBeNull()
})
