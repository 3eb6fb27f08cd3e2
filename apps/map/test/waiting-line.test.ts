import { describe, expect, test } from 'vitest'
import { Refused, workerClient } from '../src/worker/client.js'
import type { Asked, Question } from '../src/worker/protocol.js'
import { waitingLine } from '../src/worker/waiting-line.js'

const asked = (id: number, question: Question): Asked => ({ id, question, sent: undefined }) as unknown as Asked

describe('the waiting line', () => {
  test('a newer answer makes the older one void', () => {
    const line = waitingLine()
    expect(line.add(asked(1, 'answer'))).toEqual([])
    expect(line.add(asked(2, 'answer'))).toEqual([1])
    expect(line.next()?.id).toBe(2)
    expect(line.next()).toBeUndefined()
  })

  test('questions keep their order, tiles come last', () => {
    const line = waitingLine()
    for (const [id, question] of [
      [1, 'tile'],
      [2, 'setSite'],
      [3, 'tile'],
      [4, 'answer'],
    ] as const)
      line.add(asked(id, question))
    expect([line.next(), line.next(), line.next(), line.next()].map(q => q?.id)).toEqual([2, 4, 1, 3])
  })

  test('the ground is drawn before the site is worked out, when no answer waits for it', () => {
    const line = waitingLine()
    line.add(asked(1, 'setSite'))
    line.add(asked(2, 'tile'))
    expect(line.next()?.id).toBe(2)
    expect(line.next()?.id).toBe(1)
  })

  test('what was taken back is not answered', () => {
    const line = waitingLine()
    line.add(asked(1, 'tile'))
    line.withdraw(1)
    expect(line.next()).toBeUndefined()
  })
})

describe('the client', () => {
  /** A worker that does only what the test says. */
  const fake = (): { worker: Worker; posted: { id?: number; withdraw?: number }[] } => {
    const posted: { id?: number; withdraw?: number }[] = []
    return {
      posted,
      worker: { postMessage: (message: { id: number }) => void posted.push(message), terminate: () => {} } as unknown as Worker,
    }
  }

  test('a worker that dies refuses everything that waits, and the next question starts a new one', async () => {
    const made = [fake(), fake()]
    let started = 0
    const client = workerClient(() => made[started++]!.worker)
    const first = client.ask('contours', { units: 'metric' })
    made[0]!.worker.onerror?.({ message: 'out of memory', preventDefault: () => {} } as ErrorEvent)
    await expect(first).rejects.toBeInstanceOf(Refused)
    await expect(first).rejects.toMatchObject({ refusal: { code: 'worker/died' } })
    const second = client.ask('contours', { units: 'metric' })
    expect(started).toBe(2)
    made[1]!.worker.onmessage?.({ data: { id: made[1]!.posted[0]!.id, ok: true, value: 'lines' } } as MessageEvent)
    expect(await second).toBe('lines')
  })

  test('an aborted question is taken back from the worker', async () => {
    const one = fake()
    const client = workerClient(() => one.worker)
    const control = new AbortController()
    const question = client.ask('contours', { units: 'metric' }, { signal: control.signal })
    control.abort()
    await expect(question).rejects.toMatchObject({ name: 'AbortError' })
    expect(one.posted[1]).toEqual({ withdraw: one.posted[0]!.id })
  })
})
