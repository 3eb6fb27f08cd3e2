import { plainText } from '@soakline/drawing'
import type { ComponentChildren } from 'preact'
import { useLayoutEffect, useRef } from 'preact/hooks'
import { useDesk } from './with-sheet.js'

interface QuestionFormProps<A> {
  /** Default: that there is one question. */
  readonly title?: string
  /** Name of the file; null where a label says it. */
  readonly name: string | null
  /** What was said; null while it is no answer yet. */
  readonly answer: A | null
  onAnswer(answer: A): void
  readonly children: ComponentChildren
}

/** What is asked about a file before it can be read, with the ways to answer it and to leave it. The focus begins at its heading. */
export function QuestionForm<A>({ title, name, answer, onAnswer, children }: QuestionFormProps<A>) {
  const { sheet, say } = useDesk()
  const heading = useRef<HTMLHeadingElement>(null)
  useLayoutEffect(() => heading.current?.focus(), [])
  return (
    <form
      class="block question"
      onSubmit={event => {
        event.preventDefault()
        if (answer !== null) onAnswer(answer)
      }}
    >
      <h2 ref={heading} tabIndex={-1}>
        {title ?? say.ask.title}
      </h2>
      {name !== null && <p class="file-name">{plainText(name)}</p>}
      {children}
      <p class="button-row">
        <button type="submit" class="firm" disabled={answer === null}>
          {say.ask.go}
        </button>
        <button type="button" onClick={() => void sheet.leaveQuestion()}>
          {say.ask.not}
        </button>
      </p>
    </form>
  )
}
