import { useComputed } from '@preact/signals'
import type { Verdict } from 'soakline/foundation'
import { answersSoFar } from '../state/answers-in-order.js'
import { Mark } from './drawing.js'
import { useDesk } from './with-sheet.js'

/** The three questions in the order in which a person asks them. */
export const ASKED = ['ridge', 'building', 'spill'] as const

/** Always in reach: each question zooms the plan to its evidence, opens its answer and dims the rest; a second tap lifts it. */
export function QuestionsBar() {
  const { sheet, prefs, voice, say, words } = useDesk()
  const answers = useComputed(() => (sheet.answer.value === null ? [] : answersSoFar(sheet.answer.value.assessment, prefs.voice.value)))
  return (
    <nav class="questions" aria-label={say.questions}>
      {ASKED.map(question => {
        const verdict: Verdict = answers.value.find(a => a.question === question)?.verdict ?? 'unknown'
        return (
          <button
            type="button"
            key={question}
            aria-pressed={sheet.focused.value === question}
            disabled={sheet.answer.value === null}
            onClick={() => sheet.ask(question)}
          >
            <Mark verdict={verdict} voice={voice} />
            <span>{words.question[question]}</span>
          </button>
        )
      })}
    </nav>
  )
}
