import { expect, test, vi } from 'vitest'
import { createSession } from '../src/worker/session.js'
import { warmDrag } from '../src/worker/warm-drag.js'

const session = () => createSession({ toBitmap: () => Promise.reject(new Error('no picture is asked for')) })

test('the invented drag goes through what a line’s answer needs: a catchment, spills, a storm with peaks, a ditch', async () => {
  const invented = session()
  const answer = vi.spyOn(invented, 'answer')
  for await (const _ of warmDrag(invented)) void _
  const answers = await Promise.all(answer.mock.results.map(({ value }) => value as ReturnType<typeof invented.answer>))
  expect(answers.length).toBeGreaterThan(20)
  for (const { assessment, drawn } of answers) {
    expect(assessment.catchment.area_m2).toBeGreaterThan(100)
    expect(assessment.catchment.ridge).not.toBeNull()
    expect(assessment.spills.length).toBe(2)
    expect(assessment.spillway).not.toBeNull()
    expect(assessment.storage).not.toBeNull()
    expect(drawn.features.length).toBeGreaterThan(5)
  }
})
