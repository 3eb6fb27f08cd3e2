import fc from 'fast-check'
import { expect, test } from 'vitest'
import { latestQueue } from '../src/state/queue.js'

fc.configureGlobal({ seed: 1 })

test('laws: never two jobs at once, in order, the last always runs, a kept job is never dropped', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.tuple(fc.boolean(), fc.nat({ max: 3 }), fc.nat({ max: 3 })), { minLength: 1, maxLength: 20 }),
      async jobs => {
        let running = 0
        const ran: number[] = []
        const queue = latestQueue<{ n: number; keep: boolean; turns: number }>(
          async ({ n, turns }) => {
            expect(++running).toBe(1)
            for (let k = 0; k < turns; k++) await Promise.resolve()
            ran.push(n)
            running--
            if (turns === 3) throw new Error('a job that fails does not stop the queue')
          },
          job => job.keep,
        )
        for (const [n, [keep, turns, wait]] of jobs.entries()) {
          queue.push({ n, keep, turns })
          for (let k = 0; k < wait; k++) await Promise.resolve()
        }
        await queue.idle()
        expect(ran).toEqual([...ran].sort((a, b) => a - b))
        expect(ran.at(-1)).toBe(jobs.length - 1)
        for (const [n, [keep]] of jobs.entries()) if (keep) expect(ran).toContain(n)
      },
    ),
  )
})

test('of many waiting jobs only the latest runs', async () => {
  const ran: number[] = []
  const queue = latestQueue<number>(async n => {
    await new Promise(resolve => setTimeout(resolve, 1))
    ran.push(n)
  })
  for (let n = 0; n < 50; n++) queue.push(n)
  await queue.idle()
  expect(ran).toEqual([0, 49])
})
