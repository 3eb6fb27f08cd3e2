import { finish, inBands, inTurns, type Steps, within } from 'soakline/foundation'
import { describe, expect, test } from 'vitest'

function* count(to: number, done: number[] = []): Steps<string> {
  for (let k = 1; k <= to; k++) {
    done.push(k)
    yield k / to
  }
  return 'counted'
}

describe('long work in steps', () => {
  test('at once, or in turns: the same result', async () => {
    expect(finish(count(5))).toBe('counted')
    expect(await inTurns(count(5))).toBe('counted')
  })

  test('progress is told, never falls and ends at 1', async () => {
    const told: number[] = []
    await inTurns(within(0.5, 1, count(4)), { onProgress: done => told.push(done) })
    expect(told).toEqual([0.625, 0.75, 0.875, 1, 1])
  })

  test('called off between two steps, with the signal’s own reason; nothing more is done', async () => {
    const done: number[] = []
    const calling = new AbortController()
    const reason = new Error('no longer wanted')
    const work = inTurns(count(1e9, done), { signal: calling.signal })
    setTimeout(() => calling.abort(reason), 5)
    await expect(work).rejects.toBe(reason)
    const after = done.length
    await new Promise(resolve => setTimeout(resolve, 20))
    expect(done.length).toBe(after)
  })

  test('a signal that was aborted before does nothing at all', async () => {
    const done: number[] = []
    await expect(inTurns(count(3, done), { signal: AbortSignal.abort('off') })).rejects.toBe('off')
    expect(done).toEqual([])
  })

  test('a fault in the work is thrown, not kept', async () => {
    function* faulty(): Steps<void> {
      yield 0.5
      throw new Error('broken')
    }
    await expect(inTurns(faulty())).rejects.toThrow('broken')
  })

  test('bands cover every row once, whatever the width', () => {
    for (const [rows, width] of [
      [1, 1],
      [1000, 1000],
      [7, 200_000],
      [0, 5],
    ] as const) {
      const seen: number[] = []
      finish(
        inBands(rows, width, (first, end) => {
          for (let row = first; row < end; row++) seen.push(row)
        }),
      )
      expect(seen).toEqual(Array.from({ length: rows }, (_, k) => k))
    }
  })
})
