import { expect, test } from 'vitest'
import { withVertex } from '../src/state/edits.js'
import { heldAfter, heldVertices } from '../src/state/hold.js'

const path = Array.from({ length: 31 }, (_, k) => [k, 0] as const)

test('both ends of a line can be held, and nine vertices between them', () => {
  expect(heldVertices(path)).toEqual([0, 3, 6, 9, 12, 15, 18, 21, 24, 27, 30])
  expect(heldVertices(path.slice(0, 3))).toEqual([0, 1, 2])
})

for (const number of [0, 1, 5, 9, 10])
  test(`after vertex ${number} is moved the same places are held by the same numbers`, () => {
    const held = heldVertices(path)
    const index = held[number]!
    const to = [index, 7] as const
    const moved = withVertex({ id: 'line', path }, index, to, held[number - 1] ?? -1, held[number + 1] ?? path.length)
    const after = heldAfter(held, number).map(k => moved.path[k])
    expect(after).toEqual(held.map((k, n) => (n === number ? to : path[k])))
  })
