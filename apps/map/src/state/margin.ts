import { batch, signal } from '@preact/signals'
import type { Question } from '@soakline/drawing'

/** The leaves of the margin. */
export type Leaf = 'answers' | 'drawn' | 'settings' | 'ground' | 'work'

/** What the margin has open: its leaf, and the question that stands out on the plan. */
export function createMargin() {
  const leaf = signal<Leaf>('answers')
  const focused = signal<Question | null>(null)
  return {
    leaf,
    focused,
    /** Asks one of the three questions; asked again, it is put away. */
    ask(question: Question): void {
      batch(() => {
        focused.value = focused.value === question ? null : question
        if (focused.value !== null) leaf.value = 'answers'
      })
    },
  }
}

export type Margin = ReturnType<typeof createMargin>
