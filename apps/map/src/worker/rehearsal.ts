import type { Sent, SessionQuestion } from './protocol.js'

/** With so many the first answers under a finger take little longer than later ones. Source: tried. */
export const REHEARSALS = 10
/** Where one answer takes longer than this, the questions that come meanwhile would wait for it, and no finger is followed anyway. Unit: ms. Source: judgement. */
export const SLOW_MS = 100

/**
 * The first answer on each ground is worked out some more times before a finger drags its line: not all of the code that the engine had ready from another
 * ground, or from the invented one of `warmDrag`, holds on this one. It serves speed alone: nothing of it is shown or kept.
 *
 * @param once  works out an answer and forgets it
 * @returns what is told each question that was answered, and gives the steps to go through when no question waits; they end by themselves when a finger
 *          is on the line or another ground is open
 */
export function rehearsal(
  once: (sent: Sent<'answer'>) => void,
  now: () => number = () => performance.now(),
): (question: SessionQuestion, sent: Sent<SessionQuestion>) => AsyncGenerator<void> | null {
  let due = false
  let current: Sent<'answer'> | null = null
  return (question, sent) => {
    if (question === 'openGround') {
      due = true
      current = null
    }
    if (question !== 'answer') return null
    const asked = sent as Sent<'answer'>
    if (asked.live) current = null
    const isFirst = due && !asked.live
    due = false
    if (!isFirst) return null
    current = asked
    return steps(asked)
  }
  async function* steps(asked: Sent<'answer'>): AsyncGenerator<void> {
    for (let k = 0; k < REHEARSALS && current === asked; k++) {
      const begun = now()
      once(asked)
      if (now() - begun > SLOW_MS) return
      yield
    }
  }
}
