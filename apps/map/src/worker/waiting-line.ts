import type { Asked, Question } from './protocol.js'

/** The questions that wait for the worker. */
export interface WaitingLine {
  /** Puts a question in line; gives the ids of those that it makes void. */
  add(asked: Asked): number[]
  /** Takes a question out of the line, unanswered. */
  withdraw(id: number): void
  next(): Asked | undefined
}

/** Questions that are worked out in turns, while others are answered between. */
export const BEHIND = ['whole', 'candidates', 'matters', 'bringGround', 'bringMapData'] as const satisfies readonly Question[]
export type Behind = (typeof BEHIND)[number]

/** Questions that a newer one makes void while they wait. */
const ENDS: Readonly<Partial<Record<Question, readonly Question[]>>> = {
  answer: ['answer', 'whole', 'matters'],
  whole: ['whole'],
  candidates: ['candidates'],
  matters: ['matters'],
  setSite: ['whole', 'candidates', 'matters'],
  openGround: ['whole', 'candidates', 'matters'],
}

/** Which of the long answers that are being worked out behind a question calls off. */
export const callsOff = (question: Question): readonly Behind[] => BEHIND.filter(other => ENDS[question]?.includes(other))

// The picture of the ground may come later than an answer under the finger, but before the long work that nobody waits for with a finger.
const isTile = ({ question }: Asked): boolean => question === 'tile'
const isLong = ({ question }: Asked): boolean => question === 'setSite' || question === 'contours' || question === 'report'

/**
 * The order in which questions are answered: as they came; tiles after all others, but before the site is worked out anew when no answer waits for it.
 *
 * Laws     a newer `answer` makes every older one void, and the whole answer about an older line;
 *        a question that was taken back is never answered.
 */
export function waitingLine(): WaitingLine {
  let waiting: Asked[] = []
  return {
    add(asked) {
      const older = ENDS[asked.question] ?? []
      const void_ = waiting.filter(other => older.includes(other.question)).map(other => other.id)
      waiting = [...waiting.filter(other => !void_.includes(other.id)), asked]
      return void_
    },
    withdraw(id) {
      waiting = waiting.filter(other => other.id !== id)
    },
    next() {
      const other = waiting.find(asked => !isTile(asked))
      const hurried = other && (!isLong(other) || waiting.some(asked => asked.question === 'answer'))
      const first = hurried ? other : (waiting.find(isTile) ?? other)
      waiting = waiting.filter(asked => asked !== first)
      return first
    },
  }
}
