import { expect, test } from 'vitest'
import type { Sent } from '../src/worker/protocol.js'
import { REHEARSALS, rehearsal, SLOW_MS } from '../src/worker/rehearsal.js'

// The first answer on a ground is worked out some more times before a finger is on the line, and never in its way.

const asked = (revision: number, live = false): Sent<'answer'> => ({ revision, line: { path: [] }, rain: [], live })
const opened = { name: 'a.tif', bytes: new ArrayBuffer(0), options: {} }

function watched({ takes_ms = 5 } = {}) {
  const times: number[] = []
  let now_ms = 0
  const answered = rehearsal(
    ({ revision }) => {
      times.push(revision)
      now_ms += takes_ms
    },
    () => now_ms,
  )
  return { times, answered }
}
const all = async (steps: AsyncGenerator<void> | null): Promise<void> => {
  if (steps) for await (const _ of steps) void _
}

test('the first answer on a ground is rehearsed, the ones after it are not, and on another ground the first again', async () => {
  const { times, answered } = watched()
  expect(answered('answer', asked(0))).toBeNull()
  answered('openGround', opened)
  await all(answered('answer', asked(1)))
  expect(times).toEqual(Array<number>(REHEARSALS).fill(1))
  expect(answered('answer', asked(2))).toBeNull()
  expect(answered('traceLine', { through: [0, 0], length_m: 1, fall_ratio: 0 })).toBeNull()
  answered('openGround', opened)
  await all(answered('answer', asked(3)))
  expect(times.slice(REHEARSALS)).toEqual(Array<number>(REHEARSALS).fill(3))
})

test('a finger on the line ends it, and so does another ground; where the finger was first there is none', async () => {
  for (const end of ['answer', 'openGround'] as const) {
    const { times, answered } = watched()
    answered('openGround', opened)
    const steps = answered('answer', asked(1))!
    await steps.next()
    await steps.next()
    answered(end, end === 'answer' ? asked(2, true) : opened)
    await all(steps)
    expect(times).toEqual([1, 1])
  }
  const { answered } = watched()
  answered('openGround', opened)
  expect(answered('answer', asked(1, true))).toBeNull()
  expect(answered('answer', asked(2))).toBeNull()
})

test('what takes long is not done again: questions would wait for it', async () => {
  const { times, answered } = watched({ takes_ms: SLOW_MS + 1 })
  answered('openGround', opened)
  await all(answered('answer', asked(1)))
  expect(times).toEqual([1])
})
